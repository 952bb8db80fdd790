"""Each input of a proof has one unfavourable end: opened towards it the proof is open, opened the other way it stays as it was.

The facts are known exactly and hold; which end is the bad one is what a foreman would say, no formula is asked.
"""

from dataclasses import replace

import pytest

from methodpick.plan.checks.artesian import ArtesianFacts, check_artesian
from methodpick.plan.checks.bare_ground import BareGroundFacts, check_bare_ground
from methodpick.plan.checks.base_failure import BaseFailureFacts, SoilPlug, compare_base_failure
from methodpick.plan.checks.fluid_head import CasingTopFacts, StarterShoeFacts, check_casing_top, check_starter_shoe
from methodpick.plan.checks.fluid_window import FluidWindowFacts, WallAt, check_density, compare_wall, worst_of_walls
from methodpick.plan.checks.inputs import Contact, ProvedPlace
from methodpick.plan.checks.neighbours import VibrationFacts, check_vibration
from methodpick.plan.checks.platform import Load, PlatformFacts, check_platform
from methodpick.plan.checks.pull import PullFacts, check_pull
from methodpick.plan.checks.pull_balance import PullBalanceFacts, ShoeAt, check_pull_balance
from methodpick.plan.checks.torque import TorqueFacts, check_torque
from methodpick.plan.checks.wall_cohesion import WallCohesionFacts, check_wall_cohesion
from methodpick.plan.checks.wall_overload import WallOverloadFacts, check_wall_overload
from methodpick.plan.checks.water_seat import WaterSeatFacts, check_water_seat
from methodpick.plan.checks.workability import WorkabilityFacts, check_workability
from methodpick.vocabulary.values import FALSE, Span, known, point

PLACE = ProvedPlace(1, 0.0, 10.0)
NONE = point(0.0)
BASE = BaseFailureFacts(PLACE, 10.0, 1.0, point(60.0), point(60.0), FALSE, point(180.0), point(20.0), point(20.0))
PLUG = SoilPlug(2.0, point(18.0), point(6.0), 1.2)
WALL = WallOverloadFacts(PLACE, 10.0, 1.0, point(180.0), point(10.0), point(30.0), point(60.0), FALSE, point(300.0), dry=True)
SEAT = WaterSeatFacts(PLACE, 6.0, 1.5, point(0.9), known("clean_sand"), point(-4.0), point(1050.0), point(-2.0), over_water=True)
SHOE = StarterShoeFacts(PLACE, 2.0, point(1050.0), point(-1.0), point(38.0), point(0.5), point(0.5), None)
ARTESIAN = ArtesianFacts(PLACE, 12.0, point(-1.5), 0.0, point(1050.0), 3.0, known("clay"), 5.0, point(3.5), 1.2)
WORK = WorkabilityFacts(PLACE, True, True, point(0.5), point(1.5), point(0.5), point(4.0))
LOAD = Load("track", point(300.0), 1.0, 5.0, point(2.0))
PLATFORM = PlatformFacts(PLACE, LOAD, 0.5, point(30.0), None, cased=False)
BARE = BareGroundFacts(PLACE, known("clay"), FALSE, None, point(235.0), point(135.0), point(30.0))
CONTACT = Contact(10.0, point(20.0), point(10.0), point(1.0))
TORQUE = TorqueFacts(PLACE, 1.0, (CONTACT,), point(20.0), point(20.0), point(800.0))
PULL = PullFacts(PLACE, 1.0, 5000.0, (CONTACT,), turns=False, plant_kn=point(1000.0))
COHESION = WallCohesionFacts(PLACE, 8.0, 1.0, point(2.2), point(34.0), point(18.0))
BLOW = VibrationFacts(PLACE, "driven", point(20.0), 10.0, point(30000.0), point(1.0))
HEAD = CasingTopFacts(PLACE, point(0.0), casing_top_m=-1.0, over_water=False)
SPOT = WallAt(10.0, point(190.0), point(2.0), point(33.0), None, wall=True, bears_water=True, opens=False)
OPEN = WallAt(10.0, point(190.0), point(2.0), point(33.0), point(20.0), wall=False, bears_water=False, opens=True)
LIFTED = ShoeAt(1, 8.0, 2.0, point(90.0), point(10.0))


def window(limits, wall):
    limit = limits["mineral_density_min_kg_m3"], limits["mineral_density_max_kg_m3"]
    return FluidWindowFacts(PLACE, "mineral", 1.0, point(1080.0), point(0.0), *limit, (wall,))


def check_base_failure(facts, limits):
    """Give the record of the proof, as a plan writes it."""
    return (compare_base_failure(facts, limits).write(),)


def check_fluid_window(facts, limits):
    """Give the records of a density and of the worst walls of its facts, as a plan writes them."""
    compared = [(compare_wall(facts, wall, limits), (wall.depth_m, wall.depth_m)) for wall in facts.walls]
    return (*check_density(facts, limits), *worst_of_walls(compared, facts.place.stage))


CASES = {
    "base": (check_base_failure, lambda _: BASE, {"su_base_kpa": -59, "su_below_kpa": -59, "total_kpa": 900, "surcharge_kpa": 900}),
    "base-fluid": (check_base_failure, lambda _: replace(BASE, su_base_kpa=point(16.0), inside_kpa=point(110.0)), {"inside_kpa": -110}),
    "wall": (check_wall_overload, lambda _: WALL, {"total_kpa": 900, "surcharge_kpa": 900, "su_kpa": -55, "rigidity": -290}),
    "wall-fluid": (check_wall_overload, lambda _: replace(WALL, su_kpa=point(30.0), inside_kpa=point(100.0)), {"inside_kpa": -100}),
    "seat": (check_water_seat, lambda _: SEAT, {"ground_m": 2, "inside_level_m": -2, "density_kg_m3": 200, "water_level_m": 2}),
    "shoe": (
        check_starter_shoe,
        lambda _: SHOE,
        {"density_kg_m3": 500, "fluid_level_m": -2, "total_kpa": -30, "water_level_m": 1.5, "at_rest": -0.4},
    ),
    "shoe-clay": (check_starter_shoe, lambda _: replace(SHOE, fluid_level_m=point(-3.0), su_kpa=point(40.0)), {"su_kpa": -39}),
    "artesian": (check_artesian, lambda _: ARTESIAN, {"water_level_m": -5, "density_kg_m3": -200}),
    "work": (check_workability, lambda _: WORK, {"wait_h": 5, "pour_h": 5, "pull_h": 5, "workable_h": -3}),
    "platform": (check_platform, lambda _: PLATFORM, {"su_kpa": -29}),
    "bare": (check_bare_ground, lambda _: BARE, {"concrete_kpa": 200, "horizontal_kpa": -130, "su_kpa": -25}),
    "torque": (check_torque, lambda _: TORQUE, {"shoe_kn_m": 900, "inside_kn_m": 900, "rated_kn_m": -700}),
    "pull": (check_pull, lambda _: PULL, {"plant_kn": -900}),
    "cohesion": (check_wall_cohesion, lambda _: COHESION, {"cohesion_kpa": -2, "phi_deg": -12, "unit_weight_kn_m3": 12}),
    "blow": (check_vibration, lambda _: BLOW, {"distance_m": -15, "energy_j": 1e6, "ground_factor": 4}),
    "casing-top": (check_casing_top, lambda _: HEAD, {"fluid_level_m": -0.9}),
    "window": (check_fluid_window, lambda limits: window(limits, SPOT), {"density_kg_m3": -200, "fluid_level_m": 4}),
    "window-opening": (check_fluid_window, lambda limits: window(limits, OPEN), {"fluid_level_m": -20}),
}
NAMED = [(case, name, by) for case, (_, _, fields) in CASES.items() for name, by in fields.items()]


def opened(value, by):
    return Span(min(value, value + by), max(value, value + by), value)


@pytest.mark.parametrize(("case", "name", "by"), NAMED, ids=str)
def test_an_input_opens_its_proof_at_its_unfavourable_end(limits, rank, case, name, by):
    check, make, _ = CASES[case]
    facts = make(limits)
    before = rank(check(facts, limits))
    assert before <= 1, "the facts hold to begin with"
    value = getattr(facts, name).likely
    assert rank(check(replace(facts, **{name: opened(value, by)}), limits)) == 2


ONE_SIDED = [entry for entry in NAMED if entry[0] not in {"casing-top", "window"}]


@pytest.mark.parametrize(("case", "name", "by"), ONE_SIDED, ids=str)
def test_an_input_opened_the_other_way_changes_nothing(limits, rank, case, name, by):
    check, make, _ = CASES[case]
    facts = make(limits)
    value = getattr(facts, name).likely
    other = -min(abs(by), 0.9 * abs(value)) if by > 0 else abs(by)
    assert rank(check(replace(facts, **{name: opened(value, other)}), limits)) == rank(check(facts, limits))


WALLS = {
    "fluid-wall": (SPOT, {"total_kpa": 900, "water_level_m": -3, "phi_deg": -13}),
    "fluid-water": (SPOT, {"water_level_m": -3}),
    "fluid-opening": (OPEN, {"total_kpa": -130, "water_level_m": 8, "phi_deg": 12, "su_kpa": -19}),
}


@pytest.mark.parametrize(
    ("proof", "name", "by"), [(proof, name, by) for proof, (_, fields) in WALLS.items() for name, by in fields.items()]
)
def test_the_wall_by_its_unfavourable_end(limits, proof, name, by):
    wall, _ = WALLS[proof]
    facts = window(limits, wall)
    if proof == "fluid-opening":
        facts = replace(facts, density_kg_m3=point(1150.0), fluid_level_m=point(-2.8 if name != "su_kpa" else -2.0))
    if proof == "fluid-wall":
        facts = replace(facts, fluid="polymer", density_kg_m3=point(1050.0), fluid_level_m=point(1.5))
    value = getattr(wall, name).likely

    def result(span):
        found = {check.id: check.result for check in check_fluid_window(replace(facts, walls=(replace(wall, **{name: span}),)), limits)}
        return found[proof]

    assert result(point(value)) in {"holds", "little_margin"}
    assert result(opened(value, by)) == "open_range"
    assert result(opened(value, -by / 4)) == result(point(value))


@pytest.mark.parametrize(
    ("contact", "torque", "pull"),
    [
        (replace(CONTACT, moving_kpa=Span(5, 100, 10)), 2, 0),
        (replace(CONTACT, static_kpa=Span(5, 100, 20)), 2, 2),
        (replace(CONTACT, set_up=Span(0.5, 5, 1)), 2, 2),
        (replace(CONTACT, moving_kpa=Span(1, 10, 10), static_kpa=Span(1, 20, 20), set_up=Span(0.1, 1, 1)), 0, 0),
    ],
)
def test_friction_along_the_casing(limits, rank, contact, torque, pull):
    assert rank(check_torque(replace(TORQUE, contacts=(contact,)), limits)) == torque
    assert rank(check_pull(replace(PULL, contacts=(contact,)), limits)) == pull


@pytest.mark.parametrize(
    ("plug", "word"),
    [
        (PLUG, "holds"),
        (replace(PLUG, unit_weight_kn_m3=Span(10, 18, 18), adhesion_kpa=point(0.0)), "open_range"),
        (replace(PLUG, adhesion_kpa=Span(0, 6, 6)), "open_range"),
        (replace(PLUG, unit_weight_kn_m3=Span(18, 22, 18), adhesion_kpa=Span(6, 12, 6)), "holds"),
    ],
)
def test_the_plug_of_soil(limits, plug, word):
    """9 x 15 / (180 + 20 - 20 - 76) = 1.30 with the whole plug, 0.94 without its side; 9 x 17.7 / 144 = 1.11 by weight, 0.996 if light."""
    su = 15.0 if plug.adhesion_kpa.likely else 17.7
    facts = replace(BASE, su_base_kpa=point(su), plug=plug)
    (check,) = check_base_failure(facts, limits)
    assert check.result == {"holds": "little_margin"}.get(word, word)


@pytest.mark.parametrize(
    ("shoe", "word"),
    [
        (LIFTED, 0),
        (replace(LIFTED, outside_kpa=Span(60, 200, 90)), 2),
        (replace(LIFTED, outside_kpa=Span(60, 90, 90)), 0),
        (replace(LIFTED, outside_kpa=point(145.0), over_kpa=Span(0, 25, 25)), 2),
        (replace(LIFTED, over_kpa=Span(10, 30, 10)), 0),
    ],
)
def test_the_shoe_in_its_concrete(limits, rank, shoe, word):
    facts = PullBalanceFacts(PLACE, (shoe,), 0.0, 0.0, NONE, kept=False)
    assert rank(check_pull_balance(facts, limits)) == word


@pytest.mark.parametrize(("load", "word"), [(Span(100, 300, 300), 0), (Span(300, 3000, 300), 2)])
def test_the_load_on_the_platform(limits, rank, load, word):
    assert rank(check_platform(replace(PLATFORM, load=replace(LOAD, load_kn=load)), limits)) == word
