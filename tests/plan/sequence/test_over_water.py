"""Shafts in open water, as bridge builders drill them: from a casing in the bed, up out of the water.

What is expected is common practice (FHWA-NHI-18-024 sec. 3.3 and 5.3, digest): the casing is the form of the column through the water and
stands in ground that holds it; below its shoe the shaft is drilled under fluid or dry as on land.
"""

import pytest

from methodpick.plan.pipeline import plan
from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.plan.sequence.drilling_options import SearchNode
from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.search import SearchEdges

RIVER = """methodpick: 1
site: {{units: si, setting: water, water_depth: 5, equipment: {{vibratory: true, oscillator: true, kelly_twist: true}}}}
borings:
  - id: B-1
    depth: 40
    water: [{{reading: settled, depth: -5}}]
    layers:
{layers}
shafts: [{{id: P1, diameter: 1500, tip: {tip}, cutoff: {cutoff}}}]
"""
COLUMN = -6
"""Cut-off in metres above the mudline, out of the water."""
STIFF = ('"stiff brown clay", symbol: CL, su: 90, unit_weight: 19.5, absent: [fissured]',)
MUD = '"very soft organic silt", symbol: OL, su: 8, unit_weight: 15'
SAND = '"medium dense sand", symbol: SP, unit_weight: 19.5, phi: 34'
VERY_STIFF = '"very stiff grey clay", symbol: CH, su: 150, unit_weight: 20, absent: [fissured]'
SANDSTONE = '"strong grey sandstone, jointed", symbol: rock, unit_weight: 24, rqd: 70, ucs: 40, absent: [cavities, slaking]'


def river(layers, tip, cutoff=0):
    tops = [0, *(base for base, _ in layers)]
    lines = [f"      - {{top: {top}, base: {base}, description: {words}}}" for top, (base, words) in zip(tops, layers, strict=False)]
    return RIVER.format(layers="\n".join(lines), tip=tip, cutoff=cutoff)


@pytest.fixture
def planned_river(book, read_text):
    return lambda layers, tip, cutoff=0: plan(read_text(river(layers, tip, cutoff)), book).shafts[0]


@pytest.fixture
def given_of(book, read_text):
    """Give what the search works on for a river."""

    def given(layers, tip, cutoff=0):
        site = read_text(river(layers, tip, cutoff))
        return PlanContext(PlanBasis(site, book, book.assumptions), site.borings[0], site.shafts[0]).search_input

    return given


def strings(shaft):
    return [(casing.kind, casing.base_m) for casing in shaft.casings if not casing.is_starter]


def test_nothing_is_drilled_from_the_bed_before_a_casing_stands_in_it(given_of):
    """Sand at 11 m ends the clay that would stand open for hours: on land the hole is predrilled dry to 10 m."""
    given = given_of([(11, STIFF[0]), (15, SAND), (40, VERY_STIFF)], 25)
    start = SearchNode(depth_m=given.options.start_m, strings=0, sealed="none", wet=False, fluid="", paid=frozenset())
    found = [edge.segment for edge in SearchEdges(LengthScores(given, cautious=False), given).of(start)]
    assert found
    assert all(segment.runs[0].state != "dry" for segment in found)


@pytest.mark.parametrize("layers", [[(40, STIFF[0])], [(40, SAND.replace("medium dense", "dense"))]])
def test_the_casing_of_a_column_ends_at_its_seat(layers, planned_river):
    """Whether the column ends in the water or at the bed, the casing goes into the bed and not to the tip."""
    column, below = planned_river(layers, 28, COLUMN), planned_river(layers, 28)
    assert strings(column) == strings(below)
    ((kind, base_m),) = strings(column)
    assert kind == "permanent"
    assert base_m < 5.0


def test_a_casing_goes_through_mud_into_ground_that_holds_it(planned_river):
    """6 m of mud over sand: no casing ends in the mud, and none of the mud is drilled open."""
    for cutoff in (0, COLUMN):
        shaft = planned_river([(6, MUD), (12, SAND), (40, STIFF[0])], 28, cutoff)
        assert all(base_m > 6.0 for _, base_m in strings(shaft))
        assert all(interval.support == "permanent_casing" for interval in shaft.intervals if interval.top_m < 6.0)


def test_firm_sand_below_the_river_is_no_reason_against_fluid(planned_river):
    """Below the shoe of the casing dense sand is drilled under slurry with its level in the casing, as on land."""
    shaft = planned_river([(40, SAND.replace("medium dense", "dense"))], 18)
    verdict = shaft.intervals[-1].verdicts["mineral"]
    assert "open-hole-over-water" not in verdict.rules


def test_no_way_of_a_shaft_empties_a_casing_that_the_plan_keeps_full(planned_river, planned):
    """A socket that is drilled full under the river is not bailed as the careful way."""
    shafts = [planned("river-crossing").shafts[0], planned_river([(4, SAND), (40, SANDSTONE)], 12, COLUMN)]
    for shaft in shafts:
        rungs = {rung.name: {stage.action for stage in rung.stages} for rung in shaft.ladder}
        if "bail" not in rungs["planned"]:
            assert not any("bail" in actions for actions in rungs.values())
    assert "bail" not in {stage.action for stage in shafts[0].stages}


LIMESTONE = '"grey limestone, WORDS", symbol: rock, rqd: RQD, recovery: 95, ucs: 15, features: [FEATURES]'


@pytest.mark.parametrize("tip", [13, 20])
@pytest.mark.parametrize(("words", "rqd", "features"), [("vuggy, few joints", 80, "karst, vuggy"), ("karstic", 45, "karst")])
def test_soluble_rock_under_a_river_is_drilled_full(planned_river, words, rqd, features, tip):
    """Common practice, no source: behind 0.3 m of seat nobody bails 11 m of river and sand over rock that may hold a channel to it."""
    limestone = LIMESTONE.replace("WORDS", words).replace("RQD", str(rqd)).replace("FEATURES", features)
    shaft = planned_river([(6, SAND), (40, limestone)], tip, COLUMN)
    assert not {"bail", "seal_test"} & {stage.action for stage in shaft.stages}
    assert all(stage.state != "dry" for stage in shaft.stages if stage.action == "drill")
    assert shaft.placement.state == "wet"
