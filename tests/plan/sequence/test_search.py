"""The search is exact: on small made-up grounds it finds what walking every path finds."""

from dataclasses import replace

import pytest
from effort import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from methodpick.plan.sequence.drilling_options import SearchNode
from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.path import NOTHING
from methodpick.plan.sequence.search import SearchEdges, search
from methodpick.plan.sequence.search_input import SearchInput, SearchOptions, SearchSlice, read_costs
from methodpick.plan.sequence.seats import Seat
from methodpick.terms import CASING_WAYS, STATES

RANKS = st.sampled_from((0, 0, 0, 1, 2, 3, 4, 5))


@st.composite
def grounds(draw):
    cuts, top = [], 0.0
    for _ in range(draw(st.integers(2, 5))):
        base = top + draw(st.sampled_from((1.0, 2.5, 4.0)))
        cuts.append(
            SearchSlice(
                top,
                base,
                draw(st.integers(0, 9)) > 0,
                {state: draw(RANKS) for state in STATES},
                {state: draw(st.integers(0, 2)) for state in STATES},
                {state: draw(st.integers(-2, 2)) for state in STATES},
                draw(st.sampled_from((0.3, 1.5, 12.0, 72.0))),
                0.3,
                4.0,
                frozenset(draw(st.sets(st.sampled_from(CASING_WAYS)))),
                draw(RANKS),
                draw(RANKS),
            )
        )
        top = base
    seats = [
        Seat(cut.top_m + 0.6, draw(st.sampled_from(("yes", "probable", "no"))), 0.6, index, in_socket=False, pushed_m=0.6)
        for index, cut in enumerate(cuts[1:], 1)
    ]
    seats.append(Seat(top, "no", 0.0, len(cuts) - 1, in_socket=draw(st.booleans()), pushed_m=0.0))
    return tuple(cuts), tuple(seats)


def walked(lengths, given):
    """Walk every path and keep the best score."""
    options, edges = given.options, SearchEdges(lengths, given)
    best = [None]

    def walk(node, score):
        if node.depth_m >= lengths.end_m - 1e-6:
            if best[0] is None or score < best[0]:
                best[0] = score
            return
        for edge in edges.of(node):
            walk(edge.reached, score.plus(edge.segment.score))

    walk(SearchNode(options.start_m, 0, "none", False, "", frozenset()), NOTHING)
    return best[0]


@given(grounds(), st.sampled_from(("", "dry", "slurry", "casing_then_dry", "full_depth_casing", "permanent_casing")), st.booleans())
@settings(max_examples=examples(120))
def test_the_search_equals_walking_every_path(book, made, family, cautious):
    cuts, seats = made
    costs = read_costs(book.values, None, 3)
    options = SearchOptions(0.5, 1.0, 1.0, 1.5, 5.0, 0.3, 1.0, most_strings=2, family=family)
    given = SearchInput(cuts, seats, costs, options)
    lengths = LengthScores(given, cautious=cautious)
    found = search(lengths, given)
    expected = walked(lengths, given)
    assert (found is None) == (expected is None)
    if found is not None:
        assert found.score[:4] == pytest.approx(expected[:4], abs=1e-6)
        assert found.score[4] == pytest.approx(expected[4], abs=1e-6)


@given(grounds())
@settings(max_examples=examples(60))
def test_widening_the_allowed_methods_never_worsens_the_score(book, made):
    cuts, seats = made
    costs = read_costs(book.values, None, 3)
    given = SearchInput(cuts, seats, costs, SearchOptions(0.5, 1.0, 1.0, 1.5, 5.0, 0.3, 1.0))
    lengths = LengthScores(given, cautious=False)
    fewer = replace(given.options, fluids=("mineral",), permanent=False, most_strings=1)
    narrow, wide = search(lengths, replace(given, options=fewer)), search(lengths, given)
    if narrow is not None:
        assert wide is not None
        assert wide.score[:5] <= tuple(value + 1e-9 for value in narrow.score[:5])


def test_the_users_rates_go_before_the_rulebooks(book):
    assert read_costs(book.values, {"cost_polymer_m": 9.0}, 1).per_m["polymer"] == 9.0
    assert (
        read_costs(book.values, {"cost_fill": 0.0}, 4).plant["polymer"]
        == read_costs(book.values, {"cost_fill": 0.0}, 1).plant["polymer"] / 4
    )


def test_plant_that_is_at_hand_is_not_brought_again(book):
    away, here = read_costs(book.values, None, 1), read_costs(book.values, None, 1, ["oscillated"])
    assert away.plant["oscillated"] > 0
    assert here.plant["oscillated"] == 0
    assert here.plant["vibrated"] == away.plant["vibrated"]


@pytest.mark.parametrize(("above", "found"), [(0, True), (5, False)])
def test_fluid_after_a_dry_start_must_hold_the_wall_above_too(book, above, found):
    """Dry above, ruled out below 4 m; water holds the ground below, and above it does or is ruled out (common practice, no source)."""

    def piece(top, base, dry, water):
        rank = dict.fromkeys(STATES, 5) | {"dry": dry, "water": water}
        none = dict.fromkeys(STATES, 0)
        return SearchSlice(top, base, True, rank, none, none, 72.0, 72.0, 4.0, frozenset(), 0, 0)

    cuts = (piece(0.0, 6.0, 0, above), piece(6.0, 12.0, 5, 0))
    seats = (Seat(12.0, "no", 0.0, 1, in_socket=False, pushed_m=0.0),)
    given = SearchInput(cuts, seats, read_costs(book.values, None, 1), SearchOptions(0.5, 1.0, 1.0, 1.5, 5.0, 0.3, 1.0))
    path = search(LengthScores(given, cautious=False), given)
    assert (path is not None) is found
    assert path is None or path.last == "water"


@pytest.mark.parametrize(
    ("dry", "water", "cautious", "open_m"),
    [
        (0, 4, False, (4.5, 0.0, 0.0)),
        (0, 3, False, (0.0, 4.5, 0.0)),
        (0, 2, True, (0.0, 0.0, 4.5)),
        (0, 2, False, (0.0, 0.0, 0.0)),
        (2, 4, True, (4.5, 0.0, 0.0)),
        (2, 2, True, (0.0, 0.0, 4.5)),
    ],
)
def test_a_length_that_is_drilled_dry_counts_under_its_later_fluid_too(book, dry, water, cautious, open_m):
    """Given up dry at 5 m, 1 m over ground that rules dry out, below a starter to 0.5 m: 4.5 m, open by the graver (common practice)."""
    none = dict.fromkeys(STATES, 0)

    def piece(top, base, dry, water):
        rank = dict.fromkeys(STATES, 5) | {"dry": dry, "water": water}
        return SearchSlice(top, base, True, rank, none, none, 72.0, 72.0, 4.0, frozenset(), 0, 0)

    cuts = (piece(0.0, 5.0, dry, water), piece(5.0, 6.0, 0, 0), piece(6.0, 12.0, 5, 0))
    seats = (Seat(12.0, "no", 0.0, 2, in_socket=False, pushed_m=0.0),)
    costs = replace(read_costs(book.values, None, 1), per_m=dict.fromkeys(STATES, 2.0) | {"dry": 1.0})
    given = SearchInput(cuts, seats, costs, SearchOptions(0.5, 1.0, 1.0, 1.5, 5.0, 0.3, 1.0))
    path = search(LengthScores(given, cautious=cautious), given)
    assert [run.state for run in path.runs] == ["dry", "water"]
    assert path.runs[0].base_m == pytest.approx(5.0)
    assert path.score[1:4] == pytest.approx(open_m)


@pytest.mark.parametrize(("clear_m", "least"), [(0.0, 18.0), (5.0, 13.0)])
def test_the_least_of_a_rest_counts_the_emptied_casing_only_where_it_may_be_dug_in(book, clear_m, least):
    """10 m at 2 a metre, in an emptied casing at 1: for the last 2 m pushed into a seat at the tip, and down to a dry seat at 5 m."""
    none = dict.fromkeys(STATES, 0)
    cut = SearchSlice(0.0, 10.0, True, none, none, none, 72.0, 72.0, 4.0, frozenset(), 0, 0)
    seats = [Seat(10.0, "yes", 2.0, 0, in_socket=False, pushed_m=2.0)]
    if clear_m:
        seats.insert(0, Seat(clear_m, "no", 0.0, 0, in_socket=False, pushed_m=0.0, clear_of_water=True))
    costs = replace(read_costs(book.values, None, 1), per_m=dict.fromkeys(STATES, 2.0) | {"cased_dry": 1.0})
    given = SearchInput((cut,), tuple(seats), costs, SearchOptions(0.0, 1.0, 1.0, 1.5, 5.0, 0.3, 1.0))
    lengths = LengthScores(given, cautious=False)
    assert lengths.least_below(0.0).cost == pytest.approx(least, abs=1e-5)
    assert lengths.least_below(9.0).cost == pytest.approx(1.0, abs=1e-5)
