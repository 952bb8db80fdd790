"""The draft of the installation plan: what is known is filled in, the rest is named, nothing is invented."""

import re

import pytest

from methodpick.document.fluid import over_the_hole
from methodpick.document.installation_plan import installation_plan
from methodpick.document.model import Blanks, texts_of
from methodpick.unit_markup import spell


def sections(plan):
    (page,) = installation_plan(plan).pages
    return page.sections


def blanks(plan):
    return [entry for part in sections(plan) for block in part.blocks if isinstance(block, Blanks) for entry in block.entries]


def test_what_is_known_is_filled_in_and_the_rest_is_named(planned):
    plan = planned("caving-lens")
    document = installation_plan(plan)
    said = texts_of(document, "us")
    for wanted in (spell(plan.shafts[0].decision, "us"), "48 in", "polymer", "Bring the concrete to", "licensed engineer"):
        assert wanted in said
    assert document.pages[0].lines[1].startswith("Not for construction.")
    found = blanks(plan)
    for wanted in ("superintendent", "drill foreman", "licensed engineer in charge", "drill rigs", "product and maker", "supplier"):
        assert any(wanted in entry for entry in found), wanted
    assert document.closing == f"{len(found)} blanks are left to fill. Search for the word BLANK."


def test_the_sections_are_those_that_agencies_ask_for(planned):
    """Contents of a drilled shaft installation plan as guide specifications list them (common practice, from memory of those lists)."""
    headings = " ".join(part.title for part in sections(planned("karst"))).lower()
    for word in (
        "experience", "people", "sequence", "equipment", "excavation", "stable", "temporary casing", "permanent casing", "fluid",
        "reinforcement", "concrete", "pulling", "depth-volume", "joint", "integrity", "tolerance", "obstruction", "environment",
        "neighbour", "trial", "anomal", "safety", "otherwise", "question",
    ):  # fmt: skip
        assert word in headings, word
    assert [part.title.split(".")[0] for part in sections(planned("karst"))] == [str(index) for index in range(1, 27)]


def test_each_warning_stands_once(planned):
    plan = planned("karst")
    said = texts_of(installation_plan(plan), "us")
    for rule in {caution.rule for shaft in plan.shafts for caution in shaft.cautions}:
        assert f"[{rule}]" in said, rule
    assert said.count("[no-entry]") == 1


def test_no_name_is_invented(planned):
    """Words with a capital inside a sentence come from the input or are units, headings and labels; no firm and no machine stands there."""
    entries = [entry for part in sections(planned("caving-lens")) for block in part.blocks for entry in getattr(block, "entries", ())]
    inside = {word for entry in entries for word in re.findall(r"(?<=[a-z,;] )[A-Z][a-z]{2,}\b", entry)}
    assert inside <= {"Marsh", "Search"}, inside


@pytest.mark.parametrize("name", ["artesian-sand", "caving-lens", "saturated-sand", "cobbles-thin"])
def test_the_fluid_programme_is_in_it(planned, name):
    plan = planned(name)
    said = texts_of(installation_plan(plan), "si")
    for shaft in plan.shafts:
        if (programme := shaft.fluid_programme) is not None:
            for text in (programme.loss.text, programme.sand.text, *(time.text for time in programme.times)):
                assert " ".join(spell(text, "si").split()) in said, text


def test_an_empty_window_comes_with_its_remedies(empty_window):
    plan = empty_window
    said = texts_of(installation_plan(plan), "us")
    assert " ".join(spell(over_the_hole(plan.shafts[0].slurry), "us").split()) in said
    for remedy in plan.shafts[0].slurry.remedies:
        assert " ".join(spell(remedy.text, "us").split()) in said
