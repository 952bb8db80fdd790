from math import inf

import pytest

from methodpick.engine.explain import (
    known_of,
    named_limits,
    plain_number,
    reason_text,
    supporting_facts,
    value_text,
    weakest_confidence,
    weakest_limit,
)
from methodpick.vocabulary.values import ANY_NUMBER, Choice, Span, known, likely_bool, point


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
        (known("silty_sand"), "silty sand"),
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
