"""The slow twin: a place where a condition holds is found, and never a wrong one; reasons and values are written as text."""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.engine.compiler import TRUE
from methodpick.engine.grammar import parse
from methodpick.engine.interpret import (
    Search,
    known_of,
    named_limits,
    plain_number,
    reason_text,
    supporting_facts,
    truth,
    value_text,
    weakest_confidence,
    weakest_limit,
    witness,
    write,
)
from methodpick.engine.rule import Both, Not
from methodpick.strict_yaml import read
from methodpick.vocabulary.catalogue import catalogue_of
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import ANY_NUMBER, Choice, Span, any_of, known, likely_bool, point

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


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (None, "not known"),
        (point(2), "2 m"),
        (Span(1, 3), "1 m to 3 m"),
        (Span(1, 3, 2), "2 m (1 m to 3 m)"),
        (Span(1.0001, 1.0002), "1 m"),
        (Span(3, inf), "3 m or more"),
        (Span(-inf, 3), "3 m or less"),
        (Span(3, inf, 5), "5 m (3 m or more)"),
        (ANY_NUMBER, "not known"),
        (Span(-inf, inf, 2), "2 m, likely"),
        (known("silty_sand"), "sand with fines"),
        (Choice(frozenset({"b", "a"})), "a or b"),
        (likely_bool(True), "yes (likely) or no"),
        (point(1234.5), "1234 m"),
    ],
)
def test_values_in_words(value, said):
    assert value_text(value, "m") == said


def test_a_reader_may_have_it_in_own_units():
    def feet(value, unit):
        return f"{value / 0.3048:.1f} ft" if unit == "m" else plain_number(value, unit)

    assert value_text(Span(1, 2), "m", feet) == "3.3 ft to 6.6 ft"
    assert plain_number(0.5, "1") == "0.5"


def test_a_reason_holds_values_and_limits_but_no_braces(book):
    for rule in book.rules:
        text = reason_text(rule, {}, book)
        assert "{" not in text, rule.id
    rule = book.by_id["granular-wall-lacks-cohesion"]
    text = reason_text(rule, {"soil": known("clean_sand"), "cohesion_needed_kpa": point(4.2)}, book)
    assert "clean sand" in text
    assert "4.2 kPa" in text


def test_what_a_truth_rests_on_is_named_and_nothing_else(book):
    rule = book.by_id["granular-wall-lacks-cohesion"]
    values = {"soil": known("clay"), "cohesive": known("no"), "cohesion_margin_kpa": point(-1), "fines_percent": Span(0, 5)}
    assert supporting_facts(rule, values, book) == ("soil",)
    assert set(supporting_facts(rule, {**values, "soil": known("clean_sand")}, book)) >= {"soil", "cohesion_margin_kpa"}


def test_a_decision_is_as_sure_as_its_weakest_limit(book):
    order = ("read", "digest", "secondary", "memory", "own")
    for rule in book.rules:
        assert all(order.index(book.limits[name].confidence) <= order.index(weakest_limit(rule, book)) for name in rule.limits), rule.id
    assert weakest_limit(book.by_id["dry-suits-clay"], book) == "read"


def test_a_rule_is_known_as_well_as_its_weakest_limit_or_source(book):
    """By hand from the two data files: the sources of the rule, and the limits that its sentence names."""
    slurry = book.by_id["mineral-limits-before-concrete"]
    assert set(named_limits(slurry, book)) >= {"mineral_density_max_kg_m3", "mineral_sand_max_percent"}
    assert slurry.limits == ()
    assert weakest_confidence(slurry, book) == "memory", "AASHTO's table is recalled, though the FPS guide was read"
    assert weakest_confidence(book.by_id["no-entry"], book) == "read"
    assert weakest_confidence(book.by_id["placement-dry-check"], book) == "digest"
    assert weakest_confidence(book.by_id["volume-curve"], book) == "own", "common practice has no text that could be read"


@pytest.mark.parametrize(
    ("fact", "value", "said"),
    [
        ("uplift_factor", Span(0.51, 1000, 0.56), "0.56 (0.51 or more)"),
        ("uplift_factor", Span(0, 1000, 0), "0, likely"),
        ("uplift_factor", Span(0, 3), "0 to 3"),
        ("uplift_factor", Span(2, 999), "2 to 999"),
        ("uplift_factor", point(1000), "1000"),
        ("cohesion_margin_kpa", Span(-1000, 4), "4 kPa or less"),
        ("cohesion_margin_kpa", Span(-5, 1000), "-5 kPa or more"),
        ("fines_percent", Span(60, 100), "60 % to 100 %"),
        ("soil", known("clay"), "clay"),
    ],
)
def test_the_end_of_a_domain_is_no_bound_that_somebody_knows(book, fact, value, said):
    """By hand: the catalogue ends the safety against uplift at 1000 and the margin of cohesion at -1000 and 1000 kPa; nothing less
    than no safety or more than 100 % of fines can be."""
    spec = book.catalogue.facts[fact]
    assert value_text(known_of(value, spec), spec.unit) == said
    assert known_of(spec.domain, spec) is None
    assert known_of(None, spec) is None


def test_the_whole_domain_is_nothing_known(book):
    rule = book.by_id["granular-wall-lacks-cohesion"]
    whole = {name: book.catalogue.facts[name].domain for name in ("cohesion_needed_kpa", "soil")}
    assert reason_text(rule, whole, book) == reason_text(rule, {}, book)
