"""Open hazards: those with one answer in one sentence, each where it is open, and none left out."""

from dataclasses import replace

import pytest

from methodpick.document.cautions import hazards_in_short, hazards_in_words
from methodpick.document.pages import ROOMS
from methodpick.plan.result import OpenHazard
from methodpick.unit_markup import spell


@pytest.fixture(scope="module")
def shaft(planned):
    return replace(planned("stiff-clay").shafts[0], checks=())


def hazard(rule, treatment, *lengths, state="dry"):
    return OpenHazard(rule, state, treatment, lengths[0][0], lengths[-1][1], f"Words of {rule}.", lengths)


def short(shaft, *hazards):
    return [spell(entry, "si") for entry in hazards_in_short([replace(shaft, open_hazards=hazards)])]


def test_what_asks_for_the_same_stands_in_one_sentence_with_its_places(shaft):
    said = short(shaft, hazard("sand-runs", "Case it.", (0.0, 2.0)), hazard("clay-closes", "Case it.", (5.0, 8.0)))
    assert said == ["Open: sand runs, 0.00 to 2.00 m; clay closes, 5.00 to 8.00 m. Case it."]


def test_what_lies_at_one_place_stands_in_one_sentence_with_all_that_is_to_be_done(shaft):
    said = short(shaft, hazard("head-low", "Raise the level.", (1.0, 2.0)), hazard("pressure-low", "Make it heavier.", (1.0, 2.0)))
    assert said == ["Open, 1.00 to 2.00 m: head low; pressure low. Raise the level. Make it heavier."]


def test_lengths_apart_are_not_told_as_one(shaft):
    """A hazard at the top and at the tip is not one of the whole shaft."""
    (said,) = short(shaft, hazard("blew-in", "Fill it.", (0.0, 0.4), (26.0, 28.0)))
    assert said == "Open, parts of 0.00 to 28.00 m: blew in. Fill it."
    (words,) = hazards_in_words((hazard("blew-in", "Fill it.", (0.0, 0.4), (26.0, 28.0)),))
    assert spell(words, "si").startswith("Not ruled out, 0.00 to 0.40 m and 26.00 to 28.00 m:")
    (many,) = short(shaft, hazard("blew-in", "Fill it.", (0.0, 1.0), (2.0, 3.0), (4.0, 5.0), (6.0, 7.0)))
    assert many == "Open, parts of 0.00 to 7.00 m: blew in. Fill it."


def test_the_gravest_stand_with_what_to_do_and_the_others_by_name(shaft):
    """What is only to be asked comes last, however long it is."""
    hazards = [hazard(f"danger-{metres}", f"Do {metres}.", (0.0, float(metres))) for metres in (1, 2, 3, 4)]
    asked = hazard("fluid-not-allowed", "Read the specification, or ask the owner, before the bid.", (0.0, 30.0))
    said = short(shaft, asked, *hazards)
    assert len(said) == ROOMS[0].treated + 1
    assert said[0].startswith("Open, 0.00 to 4.00 m: danger 4. Do 4.")
    assert said[-1].startswith("Open as well: ")
    for name in ("danger 1", "danger 2", "fluid perhaps not allowed"):
        assert name in said[-1]


def test_every_state_keeps_its_own_treatment_in_words():
    (words,) = hazards_in_words([hazard("lifts", "Fill it.", (1.0, 2.0)), hazard("lifts", "Raise it.", (4.0, 9.0), state="polymer")])
    assert spell(words, "si").startswith("Not ruled out, 1.00 to 2.00 m and 4.00 to 9.00 m: Words of lifts.")
    assert "Fill it." in words
    assert "Raise it." in words
