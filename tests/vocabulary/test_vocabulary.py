import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.errors import RuleError
from methodpick.strict_yaml import read
from methodpick.vocabulary.assumptions import applies, assumptions_of, inside, misses, narrow
from methodpick.vocabulary.catalogue import catalogue_of
from methodpick.vocabulary.fact import Fact
from methodpick.vocabulary.tables import table_of
from methodpick.vocabulary.values import Choice, Span, maybe, meet, one, point, some

CATALOGUE = catalogue_of(read("""facts:
  soil: {type: enum, values: [sand, silt, clay], scope: slice, meaning: soil}
  n: {type: number, unit: "1", domain: [0, 100], scope: slice, meaning: count}
  wet: {type: boolean, scope: slice, meaning: wet}
"""))
ends = st.floats(-100, 100)
spans = st.tuples(ends, ends).map(lambda pair: Span(min(pair), max(pair)))
words = st.sets(st.sampled_from("abcd"), min_size=1).map(lambda chosen: Choice(frozenset(chosen)))


@given(spans, spans)
def test_meet_and_hull_of_spans_are_set_operations(first, second):
    both = first.meet(second)
    assert (both is None) == (max(first.low, second.low) > min(first.high, second.high))
    hull = first.hull(second)
    assert hull.low <= min(first.low, second.low)
    assert hull.high >= max(first.high, second.high)
    assert meet(first, first) == first


@given(words, words)
def test_meet_of_choices(first, second):
    both = first.meet(second)
    assert (both.values if both else frozenset()) == first.values & second.values


def test_values_refuse_nonsense():
    for call in (lambda: Span(3, 1), lambda: Span(0, 1, 2), lambda: Span(float("nan"), 1), lambda: Choice(frozenset()),
                 lambda: Choice(frozenset("a"), "b")):
        with pytest.raises(ValueError, match=r"."):
            call()
    assert meet(point(1), one("a")) is None


TABLE = """table: t
inputs: [soil, n]
outputs: {phi: deg}
rows:
  - {when: {soil: sand, n: [0, 10]}, then: {phi: {low: 28, likely: 30, high: 32}}}
  - {when: {soil: sand, n: [10, 100]}, then: {phi: {low: 32, likely: 35, high: 40}}}
  - {when: {soil: [silt, clay]}, then: {phi: [22, 30]}}
"""


def test_a_table_gives_the_hull_of_what_may_hold_and_the_likely_row():
    table = table_of(read(TABLE), CATALOGUE)
    assert table.look_up({"soil": one("sand"), "n": point(4)})["phi"] == Span(28, 32, 30)
    assert table.look_up({"soil": one("sand"), "n": Span(4, 20, 12)})["phi"] == Span(28, 40, 35)
    assert table.look_up({"soil": some("sand", "clay"), "n": point(4)})["phi"] == Span(22, 32)
    assert table.look_up({"soil": one("sand"), "n": point(10)})["phi"].likely == 35, "ranges are half open"


def test_overlapping_rows_are_refused_with_a_witness():
    with pytest.raises(RuleError, match="overlaps row 1") as found:
        table_of(read(TABLE.replace("n: [10, 100]", "n: [8, 100]")), CATALOGUE)
    assert "soil = sand" in found.value.render()


def test_assumptions_narrow_where_certain_and_never_override():
    made = assumptions_of(read("""assumptions:
  - {id: dry-sand, fact: wet, set: no, where: {soil: sand}, why: because, source: own}
  - {id: likely, fact: n, set: {likely: 20}, why: because, source: own}
"""), CATALOGUE)
    dry, likely = made
    assert applies(dry.where, {"soil": one("sand")})
    assert not applies(dry.where, {"soil": some("sand", "silt")})
    assert not applies(dry.where, {})
    domain = CATALOGUE.facts["wet"].domain
    fact = narrow(dry, None, domain, "1")
    assert fact.value == one("no")
    assert fact.basis == "assumed"
    assert fact.assumed == {"dry-sand"}
    known = Fact("wet", one("yes"), "1", "logged")
    assert narrow(dry, known, domain, "1") is None
    assert misses(dry, known)
    assert narrow(dry, Fact("wet", maybe(False), "1", "logged"), domain, "1").value == one("no")
    assert narrow(likely, None, CATALOGUE.facts["n"].domain, "1").value == Span(0, 100, 20)
    assert narrow(likely, Fact("n", Span(0, 50, 30), "1", "tested"), CATALOGUE.facts["n"].domain, "1") is None
    assert inside(Span(1, 2), Span(0, 3))
    assert not inside(Span(1, 2), one("a"))


def test_a_broken_catalogue_says_all_at_once():
    with pytest.raises(RuleError) as found:
        catalogue_of(read("facts:\n  a: {type: nmber, scope: slice, meaning: x}\n  b: {type: number, scope: slise, meaning: y}\n"))
    text = found.value.render()
    assert "did you mean 'number'?" in text
    assert "did you mean 'slice'?" in text
    assert "a number needs its domain" in text
