"""The words of the trade are the same for the package, the rules and the models of the ground."""

from typing import get_args

import pytest

from methodpick import terms
from methodpick.ground.descriptions.symbols_and_names import SYMBOLS


@pytest.mark.parametrize(
    ("fact", "words"), [("soil", terms.SOIL_CLASSES), ("consistency", terms.CONSISTENCIES), ("density", terms.DENSITIES)]
)
def test_the_catalogue_of_facts_declares_the_same_words(book, fact, words):
    assert book.catalogue.facts[fact].words == words


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        (terms.SoilClass, terms.SOIL_CLASSES),
        (terms.Consistency, terms.CONSISTENCIES),
        (terms.Density, terms.DENSITIES),
        (terms.Fluid, terms.FLUIDS),
        (terms.State, terms.STATES),
        (terms.Method, terms.METHODS),
        (terms.CasingKind, terms.CASING_KINDS),
        (terms.CasingWay, terms.CASING_WAYS),
        (terms.VerdictWord, terms.VERDICTS),
        (terms.Confidence, terms.CONFIDENCES),
    ],
)
def test_types_and_tuples_hold_the_same_words(kind, words):
    assert set(get_args(kind)) == set(words)
    assert len(words) == len(set(words))


def test_every_family_of_soils_is_made_of_soil_classes():
    for family in (terms.CLEAN_GRANULAR, terms.GRANULAR, terms.COHESIVE, terms.ROCK, terms.TIGHT, terms.SLOW_DRAINING):
        assert family < set(terms.SOIL_CLASSES)
    assert not terms.GRANULAR & terms.COHESIVE
    assert not terms.GRANULAR & terms.ROCK


def test_every_confidence_has_its_words():
    assert tuple(terms.CONFIDENCE_WORDS) == terms.CONFIDENCES


def test_sand_with_clay_in_it_is_called_no_silty_sand():
    """SC is clayey sand; ASTM D2487 heads SM and SC 'sands with fines', as SW and SP 'clean sands' (from memory)."""
    assert SYMBOLS["SC"].likely == "silty_sand"
    assert terms.in_plain_words("silty_sand") == "sand with fines"
    assert terms.in_plain_words("clean_sand") == "clean sand"
