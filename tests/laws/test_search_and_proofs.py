"""The search with the objections of the proofs finds what proving every path finds.

Every sequence of segments is walked on generated sites of few sequences, each way of advancing casing tried at every place, and each
sequence is built and proved by itself. The best of them, by its score and by what its own proofs object to, is the best of the search,
which proves only a few. Three kinds of objections are counted more widely than their own sequence asks for, never in its favour: against a
casing inside another one bare ground that a string further in keeps from the concrete, and a pull beside a string that stays; and
against a hole under fluid what no density of that fluid suits, where a casing changes at which depth that is.
"""

from dataclasses import replace

from effort import examples
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st
from shipped import shipped_rulebook
from sites import numbered_site

from methodpick.imports.site_file import read_site
from methodpick.plan.judging.planning_input import boring_at_shaft, choose_boring
from methodpick.plan.pipeline import planning_basis
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.sequence.drilling_options import DrillingOptions, SearchNode
from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.objections import Objections, search_proven
from methodpick.plan.sequence.path import NOTHING, SequencePath
from methodpick.plan.sequence.search import SearchEdges, search
from methodpick.plan.sequence.segments import Segments

SEED = 12
MOST_PATHS = 400
CLOSE = 1e-5
OF_NESTED = frozenset({"bare", "pull_out"})
WIDE = OF_NESTED | {"bare_under"}
"""Kinds of objections that are counted against more sequences than they were proved for."""


class EveryWay(DrillingOptions):
    """Brings casing by every way that gets through, whatever it costs."""

    def _ways_to(self, _, seat, ahead_m):
        return self._ways_through(ahead_m, seat)


def without_objections(given, most_strings):
    return replace(
        given, options=replace(given.options, objections=Objections(), most_strings=min(most_strings, given.options.most_strings))
    )


def every_path(given):
    """Return every path; None where there are too many."""
    lengths = LengthScores(given, cautious=False)
    segments = Segments(lengths, given)
    segments.drilling = EveryWay(lengths, given)
    edges, found = SearchEdges(lengths, given, segments=segments), []

    def walk(node, taken, score):
        if len(found) > MOST_PATHS:
            return
        if node.depth_m >= lengths.end_m - 1e-6:
            found.append(SequencePath(tuple(taken), score))
            return
        for edge in edges.of(node):
            walk(edge.reached, [*taken, edge.segment], score.plus(edge.segment.score))

    walk(SearchNode(given.options.start_m, 0, "none", False, "", frozenset()), [], NOTHING)
    return found if len(found) <= MOST_PATHS else None


def burdened(path, objections, given):
    """Return the score of a path with objections; None where one bars it."""
    total = NOTHING
    for strings, segment in enumerate(path.segments):
        burden = objections.burden(segment, strings, given.costs.should_m, cautious=False)
        if burden is None:
            return None
        total = total.plus(segment.score).plus(burden)
    return total


def best_proved(context, given, paths, counted):
    """Return the best score of all paths, each by what its own proofs object to and what is counted against all."""
    scores = []
    for path in paths:
        objections = Objections()
        objections.add(counted)
        objections.add(context.objections_to(path))
        scores.append(burdened(path, objections, given))
    return min((score for score in scores if score is not None), default=None)


def compared(number, most_strings, book):
    """Return the best score of the search, that of proving every path, and what the search knows; skips a site of too many paths."""
    site, _ = read_site(numbered_site(SEED, number).text, f"{number}.yaml")
    shaft = site.shafts[0]
    boring = boring_at_shaft(site, shaft, choose_boring(site, shaft).boring, book.values)
    context = PlanContext(planning_basis(site, book), boring, shaft)
    given = without_objections(context.search_input, most_strings)
    paths = every_path(given)
    assume(paths is not None)
    lengths = LengthScores(given, cautious=False)
    segments, known = Segments(lengths, given), given.options.objections
    found, ended_well = search_proven(lambda near: search(lengths, given, near, segments), context.objections_to, known)
    assume(ended_well)
    kinds = WIDE if most_strings > 1 else WIDE - OF_NESTED
    wide = [objection for objection in known.known if objection.kind in kinds]
    return (None if found is None else found.score), best_proved(context, given, paths, wide)


def are_equal(found, best):
    """Compare two scores, none included."""
    if found is None or best is None:
        return found is best
    return all(abs(one - other) < CLOSE for one, other in zip(found[:5], best[:5], strict=True))


@example(96)
@example(2723)
@given(st.integers(0, 5_000))
@settings(max_examples=examples(100, least=12), suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])
def test_the_search_equals_proving_every_path_of_one_string_at_most(number):
    """At 96 the clearance in a casing that is set was held against one that is vibrated in, whose wall is another."""
    found, best = compared(number, 1, shipped_rulebook())
    assert are_equal(found, best)


@given(st.integers(0, 5_000))
@settings(max_examples=examples(60, least=8), suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])
def test_the_search_equals_proving_every_path(number):
    found, best = compared(number, 3, shipped_rulebook())
    assert are_equal(found, best)
