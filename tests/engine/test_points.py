"""What fires where every fact is known, and the places that are refused; that it agrees with sets is a law in tests/laws."""

import math

import pytest

from methodpick.engine.points import fired_at_points
from methodpick.engine.rule import Always, Arithmetic, Both, Compare, Either, FactRef, Not, Number, Within
from methodpick.vocabulary.catalogue import Catalogue, FactSpec
from methodpick.vocabulary.values import EITHER, Choice, Span

SOILS = ("sand", "clay", "rock")
CATALOGUE = Catalogue(
    {
        "head_m": FactSpec("head_m", "number", "m", Span(0, 60), (), 0.1, "slice", "logged", "", "", False),
        "fall_m": FactSpec("fall_m", "number", "m", Span(0, 60), (), 0.1, "slice", "logged", "", "", False),
        "soil": FactSpec("soil", "enum", "1", Choice(frozenset(SOILS)), SOILS, 0, "slice", "logged", "", "", False),
        "wet": FactSpec("wet", "boolean", "1", EITHER, ("no", "yes"), 0, "slice", "logged", "", "", False),
    }
)
SANDY, WET = Within("soil", frozenset({"sand"}), ""), Within("wet", frozenset({"yes"}), "")
HIGH = Compare(">", FactRef("head_m"), Number(2.0), "")
RULES = {
    "sand-under-water": Both((SANDY, WET)),
    "high": HIGH,
    "not-high": Not(HIGH),
    "sand-or-wet": Either((SANDY, WET)),
    "falls": Compare("<", FactRef("head_m"), FactRef("fall_m"), ""),
    "always": Always(),
    "never": Not(Always()),
}


@pytest.fixture(scope="module")
def fired():
    return fired_at_points(tuple(RULES), tuple(RULES.values()), CATALOGUE)


@pytest.mark.parametrize(
    ("place", "ids"),
    [
        ({"soil": "sand", "wet": True, "head_m": 2.0, "fall_m": 3}, ("sand-under-water", "not-high", "sand-or-wet", "falls", "always")),
        ({"soil": "clay", "wet": "no", "head_m": 2.1, "fall_m": 2.1}, ("high", "always")),
        ({"soil": "rock", "wet": "yes", "head_m": -1, "fall_m": -2}, ("not-high", "sand-or-wet", "always")),
    ],
)
def test_rules_fire_in_their_order(fired, place, ids):
    assert fired(place) == ids


@pytest.mark.parametrize(
    ("changed", "error", "said"),
    [
        ({"soil": "gravle"}, ValueError, "'soil' cannot be 'gravle'"),
        ({"wet": "maybe"}, ValueError, "'wet' cannot be 'maybe'"),
        ({"head_m": math.nan}, ValueError, "nan is no number"),
        ({"fall_m": math.nan}, ValueError, "nan is no number"),
        ({"head_m": "2"}, TypeError, "str"),
        ({"head_m": None}, TypeError, "NoneType"),
        ({"wet": None}, ValueError, "'wet' cannot be None"),
    ],
)
def test_what_is_no_value_of_a_fact_is_refused(fired, changed, error, said):
    place = {"soil": "sand", "wet": True, "head_m": 2.0, "fall_m": 3.0, **changed}
    for _ in range(2):
        with pytest.raises(error, match=said):
            fired(place)


@pytest.mark.parametrize("missing", ["soil", "wet", "head_m"])
def test_a_missing_fact_is_named(fired, missing):
    place = {"soil": "sand", "wet": True, "head_m": 2.0, "fall_m": 3.0}
    del place[missing]
    with pytest.raises(KeyError, match=missing):
        fired(place)


def test_a_fact_that_cannot_matter_is_not_asked_for():
    only = fired_at_points(("wet-sand",), (RULES["sand-under-water"],), CATALOGUE)
    assert only({"soil": "clay"}) == ()
    assert only({"soil": "sand", "wet": True}) == ("wet-sand",)


def test_a_division_by_zero_fires_nothing():
    share = Compare("<", Arithmetic("/", (FactRef("head_m"), FactRef("fall_m"))), Number(1.0), "")
    both = fired_at_points(("less", "not-less"), (share, Not(share)), CATALOGUE)
    assert both({"head_m": 1.0, "fall_m": 2.0}) == ("less",)
    assert both({"head_m": 1.0, "fall_m": 0.0}) == ()


def test_no_rules_fire_nowhere():
    assert fired_at_points((), (), CATALOGUE)({}) == ()


def test_the_shipped_rules_fire_at_a_point_as_on_sets(book):
    from methodpick.vocabulary.values import known, point

    for scope in book.scopes.values():
        for share in (0, 1, 2, 3):
            specs = [book.catalogue.facts[name] for name in scope.program.names]
            place = {spec.name: spec.words[share % len(spec.words)] if spec.words else (-1.0, 0.0, 1.0, 9.0)[share] for spec in specs}
            exact = {name: known(value) if isinstance(value, str) else point(value) for name, value in place.items()}
            assert scope.fired(place) == scope.judge(exact).fired() == scope.judge(exact).fired_likely()
