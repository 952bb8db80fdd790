"""A string that stands from the surface first is the starter, and what carries no shoe is no seat.

What is expected is common practice (no source): a starter is set where a hole is opened; a casing that goes ahead of the dig from the
surface needs none around it. Hard rock is cut by the teeth of an oscillated or rotated shoe, slowly up to 80 to 100 MPa (from memory);
nothing else enters it. Across a void a casing is lowered from drilled rock to the rock below.
"""

import pytest

from methodpick.plan.pipeline import plan
from methodpick.plan.plan_context import PlanBasis, PlanContext

SITE = """methodpick: 1
site: {{units: si, allowed: [{allowed}], equipment: {{vibratory: true, oscillator: {oscillator}, kelly_twist: true}}}}
borings:
  - id: B-1
    depth: 40
    water: [{{reading: settled, depth: 2}}]
    layers:
{layers}
    cores: [{cores}]
shafts: [{{id: P1, diameter: 1200, tip: {tip}, cutoff: 0}}]
"""
SAND = 'description: "medium dense clean sand", symbol: SP, unit_weight: 19, phi: 34, absent: [cobbles, boulders]'
STIFF = 'description: "stiff grey clay", symbol: CL, su: 90, unit_weight: 19.5, absent: [fissured]'
GRANITE = 'description: "strong grey granite", symbol: rock, unit_weight: 26, rqd: 85, ucs: 90, absent: [cavities, slaking]'
MARL = 'description: "weak grey siltstone", symbol: rock, unit_weight: 24, rqd: 60, ucs: 8, absent: [cavities, slaking]'
VOID = 'description: "void, rods dropped", symbol: void, features: [cavities, karst]'
CASING = "temporary_casing, permanent_casing, dry, slurry"


def text(layers, tip, allowed=CASING, oscillator="false", cores=""):
    tops = [0, *(base for base, _ in layers)]
    lines = "\n".join(f"      - {{top: {top}, base: {base}, {words}}}" for top, (base, words) in zip(tops, layers, strict=False))
    return SITE.format(layers=lines, tip=tip, allowed=allowed, oscillator=oscillator, cores=cores)


@pytest.fixture
def planned_in(book, read_text):
    return lambda *given, **more: plan(read_text(text(*given, **more)), book).shafts[0]


@pytest.fixture
def given_of(book, read_text):
    """Give what the search works on."""

    def given(*layers, **more):
        site = read_text(text(*layers, **more))
        return PlanContext(PlanBasis(site, book, book.assumptions), site.borings[0], site.shafts[0]).search_input

    return given


def kinds(shaft):
    return [casing.kind for casing in shaft.casings]


def test_a_casing_that_goes_ahead_from_the_surface_is_the_starter(planned_in):
    shaft = planned_in([(10, SAND), (40, STIFF)], 18, allowed="temporary_casing, dry")
    assert kinds(shaft) == ["temporary"]
    first = shaft.stages[0]
    assert (first.action, first.top_m) == ("advance_casing", 0.0)
    assert "starter" not in " ".join(stage.text for stage in shaft.stages)
    assert shaft.intervals[0].drilled_in == first.state


def test_a_hole_that_is_opened_first_keeps_its_starter(planned_in):
    shaft = planned_in([(6, STIFF), (12, SAND), (40, STIFF)], 20)
    assert kinds(shaft)[0] == "starter"
    assert shaft.stages[0].action == "set_starter"


def test_the_hours_of_such_a_casing_count_from_the_surface(planned_in):
    """0.15 h for each metre of casing and its drilling (limits hours_advance_m, table drilling_rate): 11.2 m at 6 m/h and 0.15 h/m."""
    shaft = planned_in([(10, SAND), (40, STIFF)], 18, allowed="temporary_casing, dry")
    advanced = [stage for stage in shaft.stages if stage.action == "advance_casing"]
    assert sum(stage.base_m - stage.top_m for stage in advanced) == pytest.approx(shaft.casings[0].base_m, abs=0.002)


def test_clay_that_is_tight_from_the_surface_is_pushed_into_as_under_a_crust(given_of):
    """A seat in the lower of two clays may be pushed through both: whether the upper starts at the ground or half a metre down."""
    hard = STIFF.replace("stiff grey", "hard brown").replace("su: 90", "su: 220")
    pushed = [
        {seat.depth_m: seat.pushed_m for seat in given_of([*crust, (12, STIFF), (40, hard)], 30).seats if 12 < seat.depth_m < 14}
        for crust in ([], [(0.5, SAND)])
    ]
    assert pushed[0]
    assert pushed[0] == pushed[1]


def test_no_seat_lies_in_a_void_nor_where_no_core_was_recovered(given_of):
    layers = [(10, SAND), (15, MARL), (17, VOID), (40, MARL)]
    seats = [seat.depth_m for seat in given_of(layers, 30).seats]
    assert not [depth for depth in seats if 15 < depth <= 17]
    assert [depth for depth in seats if 17 < depth < 18]
    lost = given_of(layers, 30, cores="{top: 17, base: 20, recovery: 0}")
    assert not [seat.depth_m for seat in lost.seats if 15 < seat.depth_m <= 20]
    good = given_of(layers, 30, cores="{top: 17, base: 20, recovery: 90}")
    assert [seat.depth_m for seat in good.seats if 17 < seat.depth_m <= 20]


def test_a_casing_across_a_void_is_lowered_from_the_rock_above_it(planned_in):
    shaft = planned_in([(10, STIFF), (15, MARL), (17, VOID), (40, MARL)], 24)
    strings = [casing for casing in shaft.casings if not casing.is_starter]
    across = strings[-1]
    assert 17 < across.base_m < 19
    assert across.kind == "permanent"
    assert across.predrill_base_m == pytest.approx(15, abs=0.01)
    assert not [casing for casing in strings if 15 < casing.base_m <= 17]
    assert "advance permanent casing" in shaft.decision.lower()


@pytest.mark.parametrize(("rock", "entered"), [(GRANITE, False), (MARL, True)], ids=["granite of 90 MPa", "siltstone of 8 MPa"])
def test_no_casing_is_vibrated_or_twisted_into_hard_rock(rock, entered, planned_in):
    shaft = planned_in([(10, SAND), (40, rock)], 15, allowed="temporary_casing, slurry")
    for way in (*shaft.alternates, *shaft.ladder, shaft):
        for casing in way.casings:
            if casing.way in {"vibrated", "twisted", "driven"} and casing.base_m < 15:
                assert entered or casing.base_m <= 10.0
    ahead = [
        casing
        for way in (*shaft.alternates, *shaft.ladder, shaft)
        for casing in way.casings
        if casing.way is not None and casing.base_m >= 10.0
    ]
    assert ahead, "some way brings casing to the rock"
    assert entered == any(casing.base_m > 10.0 for casing in ahead)


def test_an_oscillator_cuts_its_shoe_into_hard_rock(planned_in):
    shaft = planned_in([(10, SAND), (40, GRANITE)], 15, allowed="temporary_casing, dry", oscillator="true")
    (string,) = [casing for casing in shaft.casings if not casing.is_starter]
    assert string.way == "oscillated"
    assert string.base_m == pytest.approx(10.3, abs=0.01)
