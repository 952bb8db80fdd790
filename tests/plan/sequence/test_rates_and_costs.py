"""Rates by ground and diameter, rock that stands, and costs over a dry metre."""

from math import pi

import pytest

from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.plan.result import FLUID_TO_FILL
from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.search import search
from methodpick.plan.sequence.search_input import (
    USUAL_SIZE,
    SearchInput,
    SearchOptions,
    SearchSlice,
    drilling_hours,
    read_costs,
    size_factors,
)
from methodpick.plan.sequence.seats import Seat
from methodpick.terms import STATES

# ---- How fast ground is drilled by its strength, diameter and depth, how long good rock stands, and what fluid a hole holds as drilled


ROCK = """methodpick: 1
site: {{units: si, allowed: [dry, slurry]{site}}}
borings:
  - id: B-1
    depth: {depth}
    water: [{{reading: none_met}}]
    layers:
      - {{top: 0, base: 3, description: "stiff brown clay", symbol: CL, su: 90, unit_weight: 19.5}}
      - {{top: 3, base: {depth}, description: "{words}", symbol: rock, unit_weight: 25, {tests} absent: [cavities{slaking}]}}
shafts: [{{id: P1, diameter: {diameter}, tip: 20}}]
"""


@pytest.fixture
def given_of(book, read_text):
    """Give what the search works on."""

    def given(words="grey sandstone", tests="rqd: 60, ucs: 40,", diameter=1000, slaking=", slaking", depth=40, site=""):
        site = read_text(ROCK.format(words=words, tests=tests, diameter=diameter, slaking=slaking, depth=depth, site=site))
        return PlanContext(PlanBasis(site, book, book.assumptions), site.borings[0], site.shafts[0]).search_input

    return given


def rock(given):
    return next(piece for piece in given.slices if piece.top_m >= 3)


def test_stronger_rock_wider_shafts_and_massive_rock_take_longer(given_of):
    rates = [rock(given_of(tests=f"rqd: 60, ucs: {strength},")).rate_m_h for strength in (3, 15, 40, 80, 150)]
    assert rates == sorted(rates, reverse=True)
    assert rates[0] > 5 * rates[-1]
    narrow, wide = (rock(given_of(diameter=diameter)).rate_m_h for diameter in (1000, 2000))
    assert narrow / wide == pytest.approx(2**1.4, rel=0.02)
    jointed, massive = (rock(given_of(tests=f"rqd: {quality}, ucs: 40,")).rate_m_h for quality in (60, 90))
    assert 1.4 < jointed / massive < 2.0


@pytest.mark.parametrize(
    ("words", "tests", "slaking", "stands"),
    [
        ("grey sandstone", "rqd: 60, ucs: 40,", ", slaking", True),
        ("grey sandstone", "rqd: 30, ucs: 40,", ", slaking", False),
        ("grey shale", "rqd: 80, ucs: 40,", "", False),
        ("white chalk", "rqd: 80, ucs: 10,", "", False),
        ("white gypsum", "rqd: 80, ucs: 20,", "", False),
    ],
    ids=["good rock", "poor rock", "shale", "chalk", "gypsum"],
)
def test_good_rock_stands_for_as_long_as_it_takes(words, tests, slaking, stands, given_of):
    assert (rock(given_of(words, tests, slaking=slaking)).stand_h > 1000) == stands


@pytest.mark.parametrize(
    ("words", "certain"),
    [
        ("strong grey granite", True),
        ("strong grey sandstone", False),
        ("highly weathered granite", False),
        ("strong grey basalt", False),
        ("kaolinised granite", False),
        ("strong hydrothermally altered granite", False),
        ("strong grey gneiss, clay on joints", False),
    ],
)
def test_rock_without_clay_has_no_cap_for_certain_though_no_log_says_that_it_does_not_slake(words, certain, given_of):
    """Slaking is a matter of clay-bearing rock (Franklin and Chandra 1972, from memory); some basalts hold swelling clay."""
    assert (rock(given_of(words, "rqd: 85, ucs: 120,", slaking="")).stand_worst_h > 1000) is certain


def test_fluid_fills_the_hole_as_it_is_drilled(planned):
    """Caving lens: inside of the starter to its shoe, and below it the hole for the casing, by hand from the printed sizes."""
    shaft = planned("caving-lens").shafts[0]
    starter, string = shaft.casings
    level = shaft.slurry.level_m
    inside = starter.outside_diameter_m - 2 * starter.wall_m
    hand = pi / 4 * (inside**2 * (starter.base_m - level) + string.predrill_diameter_m**2 * (string.predrill_base_m - starter.base_m))
    line = next(line for line in shaft.quantities if line.item.endswith(FLUID_TO_FILL))
    assert line.value == pytest.approx(hand, rel=1e-3)


def test_fluid_below_a_casing_fills_its_inside_and_what_is_drilled_below(planned):
    """River: inside the permanent casing to its shoe, and the socket below it, by hand from the printed sizes."""
    shaft = planned("river-crossing").shafts[0]
    (string,) = shaft.casings
    drilled = [stage for stage in shaft.stages if stage.action == "drill"]
    assert {stage.state for stage in drilled} == {"water"}
    assert drilled[0].top_m == string.base_m
    inside = string.outside_diameter_m - 2 * string.wall_m
    below = sum(stage.tool_m**2 * (stage.base_m - stage.top_m) for stage in drilled)
    hand = pi / 4 * (inside**2 * (string.base_m - shaft.slurry.level_m) + below)
    line = next(line for line in shaft.quantities if line.item.endswith(FLUID_TO_FILL))
    assert line.value == pytest.approx(hand, rel=1e-3)


@pytest.mark.parametrize(("name", "welded"), [("river-crossing", True), ("boulders", False)], ids=["stays", "is pulled"])
def test_joints_of_a_casing_take_time(name, welded, planned, site, book):
    """A weld of a pipe of 0.9 m takes 2 to 3 h, a joint of casing that is pulled 10 to 20 min (from memory)."""
    made = site(name)
    context = PlanContext(PlanBasis(made, book, book.assumptions), made.borings[0], made.shafts[0])
    shaft = planned(name).shafts[0]
    (string,) = [casing for casing in shaft.casings if not casing.is_starter]
    joints = len(string.sections_m) - 1
    assert joints > 0
    advanced = [stage for stage in shaft.stages if stage.action == "advance_casing"]
    drilled = sum(drilling_hours(context.search_input.slices, stage.top_m, stage.base_m) for stage in advanced)
    length = sum(stage.base_m - stage.top_m for stage in advanced)
    each = 2.8 * string.outside_diameter_m if welded else 0.25
    assert sum(stage.hours for stage in advanced) == pytest.approx(drilled + 0.15 * length + joints * each, abs=0.03)


def test_ground_that_nobody_read_is_priced_by_how_it_is_drilled(given_of):
    """The boring ends at 12 m and the shaft at 20 m: 8 m of slurry cost as slurry."""
    given = given_of(depth=12)
    lengths = LengthScores(given, cautious=False)
    for state, each in (("dry", 1.0), ("mineral", given.costs.per_m["mineral"])):
        below = lengths.score(state, 12.0, 20.0)
        assert below.undecided_m == pytest.approx(8.0)
        assert below.cost == pytest.approx(8.0 * each)
    assert given.costs.per_m["mineral"] > 1.2


def test_a_depth_just_below_a_cut_is_the_cut(given_of):
    """Cuts nearer than 11 mm are one, so that a margin above a boundary makes no slice of a few millimetres."""
    lengths = LengthScores(given_of(depth=12), cautious=False)
    cut = lengths.tops[1]
    assert [lengths.cut_near(cut + below) for below in (0.0, 0.002, 0.011)] == [cut] * 3
    assert lengths.cut_near(cut + 0.02) == cut + 0.02
    assert lengths.cut_near(cut - 0.002) == cut - 0.002
    assert lengths.cut_near(lengths.tops[0]) == lengths.tops[0]


def test_no_clay_is_smeared_below_a_hole_that_is_drilled_past_it(given_of):
    """Casing that is brought ahead smears the clay below the end of its hole; one that is only pushed in below it smears none."""
    lengths = LengthScores(given_of(depth=12), cautious=False)
    clay = [piece for piece in lengths.slices if piece.smears]
    assert clay
    top, base = clay[0].top_m, clay[-1].base_m
    middle = (top + base) / 2
    assert lengths.smeared(middle, base) == pytest.approx(base - middle)
    assert lengths.smeared(middle, middle - 0.4) == 0.0
    assert lengths.smeared(base, top) == 0.0


# ---- Costs over a dry metre by the diameter of the shaft


def costs(book, diameter_m, rates=None):
    return read_costs(book.values, rates, 1, size=size_factors(diameter_m, book.values))


def test_slurry_and_casing_in_a_narrow_shaft(book):
    narrow = costs(book, 0.45)
    assert 2.04 <= narrow.per_m["mineral"] <= 2.19
    set_in_a_hole = narrow.per_m["cased_balanced"] + narrow.casing_m + narrow.advance_m["vibrated"] / 2
    assert set_in_a_hole == pytest.approx(2.7, abs=0.2)


def test_the_usual_size_has_the_costs_of_the_rulebook(book):
    usual = costs(book, 1.2)
    assert size_factors(1.2, book.values) == USUAL_SIZE
    assert usual.per_m["mineral"] == book.values["cost_mineral_m"]


def test_casing_grows_faster_than_fluid_in_wide_shafts_and_is_never_cheaper(book):
    wide = [costs(book, diameter) for diameter in (1.2, 1.5, 2.0, 3.0)]
    permanent = [each.permanent_m for each in wide]
    assert permanent == sorted(permanent)
    assert permanent[-1] > 1.5 * permanent[0]
    share = [each.casing_m / (each.per_m["mineral"] - 1.0) for each in wide]
    assert share == sorted(share)
    assert [each.per_m["dry"] for each in wide] == [1.0] * 4


def test_the_users_own_costs_are_taken_as_they_are(book):
    mine = costs(book, 3.0, {"cost_casing_m": 0.7, "cost_polymer_m": 1.4})
    assert (mine.casing_m, mine.per_m["polymer"]) == (0.7, 1.4)


@pytest.mark.parametrize("name", ["river-crossing", "karst"])
def test_a_wide_shaft_is_verified_with_the_same_costs(name, planned):
    """The review works costs out by itself; plans of the example sites are verified where they are made."""
    assert all(shaft.relative_cost > 0 for shaft in planned(name).shafts)


@pytest.mark.parametrize(
    ("neighbours", "near"), [("[]", False), ("[{what: shed, distance: 21}]", True), ("[{what: shed, distance: 22}]", False)]
)
def test_shaking_is_dearer_only_near_a_neighbour(neighbours, near, given_of):
    """Effects are usually small by 70 ft, 21.3 m (FHWA-NHI-18-024 sec. 5.2, digest)."""
    assert given_of(site=f", neighbours: {neighbours}").options.shaking is near


# ---- A string that stands from the surface in place of a starter


RANKS = {state: 5 if state == "dry" else 0 for state in STATES}
NOTHING_OF_IT = dict.fromkeys(STATES, 0)


@pytest.mark.parametrize(("surface_m", "casing_m", "strings"), [(0.0, 3.5, 0), (None, 6.0, 1)])
def test_casing_in_place_of_a_starter_costs_what_it_is_longer(book, surface_m, casing_m, strings):
    """Common practice: the casing that stands first is the starter, which counts nothing in every way of building. By hand for 5 m: without
    a starter one more string and 5 m of casing with 1 m of stick-up; in place of a starter of 1.5 m only the 3.5 m below its shoe."""
    costs = read_costs(book.values, None, 1, ("twisted",))
    ground = SearchSlice(0.0, 5.0, True, RANKS, NOTHING_OF_IT, NOTHING_OF_IT, 0.3, 0.3, 4.0, frozenset({"twisted"}), 0, 1)
    seat = Seat(5.0, "no", 0.0, 0, in_socket=False, pushed_m=0.0)
    options = SearchOptions(1.5, 1.0, 1.0, 1.5, 5.0, 0.3, 1.0, surface_m=surface_m, predug_m=1.5, family="full_depth_casing")
    given = SearchInput((ground,), (seat,), costs, options)
    found = search(LengthScores(given, cautious=False), given)
    drilled = (1.35 + 0.6) * 3.5 + 4.0
    assert found.cost == pytest.approx(drilled + 2.0 * strings + 0.3 * casing_m)
