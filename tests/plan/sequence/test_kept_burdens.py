"""What is kept from trial to trial of a search, and between plans, is what would be worked out anew."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from methodpick.engine.rulebook import verdict
from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.plan.sequence.drilling_options import DrillingOptions, SearchNode
from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.objections import Objection, Objections
from methodpick.plan.sequence.path import NOTHING, Run, Segment
from methodpick.plan.sequence.search import search
from methodpick.plan.sequence.search_input import SearchInput, SearchOptions, SearchSlice, read_costs
from methodpick.plan.sequence.seats import Seat
from methodpick.plan.sequence.segments import Edge
from methodpick.terms import STATES

RUNS = (Run(0.0, 9.0, "mineral"), Run(9.0, 10.0, "cased_balanced"))
SEGMENT = Segment(
    top_m=0.0,
    base_m=10.0,
    runs=RUNS,
    casing="set",
    way=None,
    ahead_m=9.0,
    keep=False,
    sealed="yes",
    embedment_m=1.0,
    stratum=0,
    bails=False,
    score=NOTHING,
)
AFTER = SearchNode(10.0, 1, "yes", True, "mineral", frozenset({"mineral"}))
AT_THE_SHOE = Objection("pull", "pull_out", "unlikely", 9.0, 10.0, "set")
AT_ANOTHER = Objection("water-seat", "string", "barred", 11.0, 12.0)
IN_THE_STATE = Objection("fluid-wall", "run", "unlikely", 2.0, 5.0, "mineral")
BARRING = Objection("water-seat", "string", "barred", 9.0, 10.0)


@pytest.mark.parametrize(
    "batches",
    [
        ([AT_THE_SHOE], [IN_THE_STATE]),
        ([AT_ANOTHER], [AT_THE_SHOE, IN_THE_STATE]),
        ([IN_THE_STATE, AT_THE_SHOE], [AT_ANOTHER]),
        ([AT_THE_SHOE], [BARRING], [IN_THE_STATE]),
    ],
)
def test_a_burden_that_grows_is_that_of_all_objections(batches):
    """By hand: each unlikely objection adds its length, 1 m and 3 m; what bars the shoe bars the segment for good."""
    known, edge = Objections(), Edge(SEGMENT, AFTER, 0)
    assert edge.burden(known, 1.0, cautious=False) == NOTHING
    for batch in batches:
        known.add(batch)
        assert edge.burden(known, 1.0, cautious=False) == known.burden(SEGMENT, 0, 1.0, cautious=False)
    everything = [objection for batch in batches for objection in batch]
    length = 1.0 * (AT_THE_SHOE in everything) + 3.0 * (IN_THE_STATE in everything)
    total = edge.burden(known, 1.0, cautious=False)
    assert total is None if BARRING in everything else total.unlikely_m == length


def test_an_objection_is_added_once():
    known = Objections()
    assert known.add([AT_THE_SHOE, AT_THE_SHOE])
    assert not known.add([AT_THE_SHOE])
    assert known.known == [AT_THE_SHOE]


TOO_LONG_OPEN = Objection("open-time", "open", "barred", 2.0, 5.0, "dry", reaches_m=18.0)


def test_a_wall_that_falls_by_the_tip_may_stand_until_a_casing_or_fluid_holds_it():
    """What does not stand until a hole of 18 m is poured may stand until a casing at 10 m is set, or fluid comes in at 6 m."""
    known = Objections([TOO_LONG_OPEN])
    dry = SEGMENT._replace(runs=(Run(0.0, 9.0, "dry"), Run(9.0, 10.0, "cased_dry")))
    to_tip = SEGMENT._replace(base_m=18.0, runs=(Run(0.0, 18.0, "dry"),), casing="none")
    filled = to_tip._replace(runs=(Run(0.0, 6.0, "dry"), Run(6.0, 18.0, "mineral")))
    assert known.burden(to_tip, 0, 1.0, cautious=False) is None
    for segment in (dry, filled):
        assert known.burden(segment, 0, 1.0, cautious=False) == NOTHING


SHAFT_LONG = Objection("torque-restart", "way", "unlikely", 9.0, 10.0, "twisted", gripped_from_m=1.0)
FROM_SURFACE = SEGMENT._replace(casing="advanced", way="twisted", ahead_m=0.0)


def test_a_casing_with_less_in_the_grip_of_the_ground_is_not_held_against_by_a_longer_one():
    """A casing twisted down from the surface likely sticks; one for which the top 2 m are drilled open is proved by itself."""
    known = Objections()
    known.add([SHAFT_LONG])
    assert known.burden(FROM_SURFACE, 0, 1.0, cautious=False).unlikely_m == 1.0
    assert known.burden(FROM_SURFACE._replace(ahead_m=2.0), 0, 1.0, cautious=False) == NOTHING
    assert known.ways_against(0.0, 10.0, "unlikely") == {"twisted"}
    assert known.ways_against(2.0, 10.0, "unlikely") == frozenset()


def test_a_check_is_held_against_a_casing_once_whatever_grips_it():
    known = Objections()
    assert known.add([SHAFT_LONG])
    assert not known.add([replace(SHAFT_LONG, gripped_from_m=0.5)])
    assert known.add([replace(SHAFT_LONG, gripped_from_m=3.0)])
    for ahead_m, length in ((0.0, 1.0), (2.0, 1.0), (4.0, 0.0)):
        assert known.burden(FROM_SURFACE._replace(ahead_m=ahead_m), 0, 1.0, cautious=False).unlikely_m == length


@pytest.mark.parametrize("name", ["caving-lens", "stiff-clay-thin"])
def test_verdicts_are_those_of_every_slice_alone(site, book, name):
    made = site(name)
    ground = PlanContext(PlanBasis(made, book, book.assumptions), made.borings[0], made.shafts[0]).ground
    for judged in ground.slices:
        for state in STATES:
            outcomes = (*ground.shared_outcomes, judged.outcomes, judged.state_outcomes[state])
            assert judged.verdicts[state] == verdict(state, outcomes)


def test_proofs_that_plans_share_are_those_of_each_plan_alone(site, book):
    made = site("caving-lens")
    shared = PlanBasis(made, book, book.assumptions)
    for tip_m in (18.0, 18.288, 17.0):
        shaft = with_tip(made.shafts[0], tip_m)
        alone = PlanBasis(made, book, book.assumptions)
        checks = []
        for basis in (shared, alone):
            context = PlanContext(basis, made.borings[0], shaft)
            checks.append(context.checks(context.best()))
        assert checks[0] == checks[1]
    assert shared.proved
    assert replace(shared, doubts=()).proved is shared.proved


def with_tip(shaft, tip_m):
    return shaft.model_copy(update={"tip_m": tip_m})


@pytest.mark.parametrize(("strings", "holds"), [(0, False), (1, True)])
def test_what_is_held_against_a_seal_speaks_of_ground_dug_dry_below_a_casing(strings, holds):
    below = SEGMENT._replace(top_m=10.0, base_m=20.0, runs=(Run(10.0, 20.0, "dry"),), casing="none")
    about = Objection(check="emptied-seal-soil", kind="seal", weight="barred", top_m=9.0, base_m=10.0)
    assert about.holds_for(below, strings) is holds


@pytest.mark.parametrize(("pushed_m", "parts"), [(5.9, 1), (6.1, 2)])
def test_a_plug_that_is_shorter_than_a_run_is_not_kept_by_itself(pushed_m, parts):
    """From 5 to 10 m with runs of 1 m at least: the plug is kept to where the shoe enters the seal, and the level is enough below."""
    ways = SimpleNamespace(
        lengths=SimpleNamespace(score=lambda state, top, base: None if (state, top, base) == ("cased_plug", pushed_m, 10.0) else NOTHING),
        options=SimpleNamespace(least_run_m=1.0),
    )
    found = list(DrillingOptions._inside(ways, 5.0, SimpleNamespace(depth_m=10.0, entered_m=pushed_m)))
    assert found[:2] == [(Run(5.0, 10.0, "cased_plug"),), (Run(5.0, 10.0, "cased_balanced"),)]
    assert found[2:] == [(Run(5.0, pushed_m, "cased_plug"), Run(pushed_m, 10.0, "cased_balanced"))][: parts - 1]


@pytest.mark.parametrize(("wet", "seat_m", "starts"), [(False, 5.0, [0.0]), (False, 5.1, [0.0, 4.0]), (True, 5.1, [0.0])])
def test_a_dry_predrill_ends_a_run_above_the_seat(wet, seat_m, starts):
    """It stands dry to 4 m, and a run is 1 m at least; a hole that is full is not predrilled dry."""
    ways = SimpleNamespace(
        options=SimpleNamespace(least_run_m=1.0, set_h=1.0, may_empty=True, over_water=False, surface_m=None),
        dry_to=lambda *_, cased: (4.0,) if cased else (),
        _hollow_ground=lambda _: (),
        _ahead_from=lambda _, __, ahead: [ahead],
        _across_lost_ground=lambda *_: [],
    )
    node = SimpleNamespace(depth_m=0.0, wet=wet, sealed="none", strings=0)
    assert list(DrillingOptions.casing_ahead(ways, node, SimpleNamespace(depth_m=seat_m))) == starts


ALL_CASED = SearchSlice(
    0.0,
    8.0,
    logged=True,
    rank={state: 0 if state == "cased_plug" else 5 for state in STATES},
    should=dict.fromkeys(STATES, 0),
    points=dict.fromkeys(STATES, 0),
    stand_h=0.3,
    stand_worst_h=0.3,
    rate_m_h=4.0,
    ways=frozenset({"oscillated"}),
    pull=0,
    leave=0,
    smears=False,
)
TO_THE_TIP = Seat(8.0, "no", 0.0, 0, in_socket=False, pushed_m=0.0)
NOT_PULLED = Objection("pull", "pull_out", "barred", 7.0, 8.0, "oscillated")


@pytest.mark.parametrize(("known", "stays"), [([], False), ([NOT_PULLED], True), ([replace(NOT_PULLED, kind="way")], None)])
def test_a_casing_that_cannot_be_pulled_may_still_stay(book, known, stays):
    """Only an oscillator gets through, and only casing holds the ground: pulled it is cheapest; where nothing pulls it, it stays."""
    options = SearchOptions(0.0, 1.0, 1.0, 1.5, 5.0, 0.3, 1.0, objections=Objections(known))
    given = SearchInput((ALL_CASED,), (TO_THE_TIP,), read_costs(book.values, None, 1), options)
    found = search(LengthScores(given, cautious=False), given)
    assert (found.segments[-1].keep if found else None) is stays
