import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.engine.compiler import TRUE
from methodpick.engine.grammar import parse
from methodpick.engine.interpret import Search, truth, witness, write
from methodpick.engine.rule import Both, Not
from methodpick.strict_yaml import read
from methodpick.vocabulary.catalogue import catalogue_of
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import any_of, known, point

CATALOGUE = catalogue_of(
    read("""facts:
  x: {type: number, unit: m, domain: [0, 10], resolution: 1, scope: slice, meaning: m}
  y: {type: number, unit: m, domain: [5, null], scope: slice, meaning: m}
  soil: {type: enum, values: [sand, silt, clay], scope: slice, meaning: m}
  wet: {type: boolean, scope: slice, meaning: m}
""")
)
LIMITS = {name: Limit(name, value, "m", "own", "", "", "own", "") for name, value in (("low", 3.0), ("near", 3.0001), ("high", 7.0))}


def condition(text):
    return parse(text, CATALOGUE, LIMITS)


@pytest.mark.parametrize(
    "text",
    [
        "x > low and x < near",
        "x > low and not x >= near and soil == clay",
        "x >= 0 and x <= 0",
        "y > high",
        "x > y",
        "x + y < high * 2",
        "soil not in {sand, silt} and not wet",
        "not (x < high or wet)",
        "x * 2 > high and x < high",
        "x > 2 * low",
    ],
)
def test_a_witness_is_found_and_holds(text):
    place = witness(condition(text), CATALOGUE)
    assert place is not None
    assert truth(condition(text), place, CATALOGUE) == TRUE


@pytest.mark.parametrize(
    "text",
    [
        "x > high and x < low",
        "wet and not wet",
        "soil == clay and soil == sand",
        "x < 0",
        "y < low",
        "x > near and x < low",
        "soil in {sand} and not soil in {sand, clay}",
        "x > 4 * low",
    ],
)
def test_none_is_found_where_there_is_none_and_that_is_a_proof(text):
    search = Search(condition(text), CATALOGUE)
    assert search.run() is None
    assert search.exact


def test_a_comparison_of_two_facts_is_no_proof():
    search = Search(condition("x > y and x < y"), CATALOGUE)
    assert search.run() is None
    assert not search.exact


atoms = st.sampled_from(["x > low", "x <= near", "x >= high", "x < high", "soil == clay", "soil in {sand, silt}", "wet", "y > high"])
texts = st.recursive(
    atoms,
    lambda inner: st.one_of(
        st.tuples(inner, inner).map(lambda two: f"({two[0]} and {two[1]})"),
        st.tuples(inner, inner).map(lambda two: f"({two[0]} or {two[1]})"),
        inner.map(lambda text: f"(not {text})"),
    ),
    max_leaves=5,
)
points = st.fixed_dictionaries(
    {
        "x": st.floats(0, 10).map(point),
        "y": st.floats(5, 50).map(point),
        "soil": st.sampled_from(["sand", "silt", "clay"]).map(known),
        "wet": st.sampled_from(["yes", "no"]).map(known),
    }
)


@given(texts, points)
def test_no_random_place_beats_the_search(text, place):
    """Completeness: where any place meets a condition, the search finds one."""
    if truth(condition(text), place, CATALOGUE) == TRUE:
        assert witness(condition(text), CATALOGUE) is not None


@given(texts)
def test_a_condition_and_its_denial_meet_nowhere(text):
    assert witness(Both((condition(text), Not(condition(text)))), CATALOGUE) is None


def test_the_search_gives_up_in_time():
    text = " and ".join(f"x * {number} > y" for number in range(20))
    search = Search(Both((condition(text), condition("x < 0"))), CATALOGUE)
    assert search.run() is None
    assert not search.exact


def test_a_place_is_written_as_a_case():
    assert write({"soil": any_of("sand", "clay"), "x": point(3)}) == "soil: [clay, sand], x: 3"
    assert write({}) == "anything"
