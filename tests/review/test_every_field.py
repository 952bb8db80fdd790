"""Every number, word and answer of a written plan is held against something, or stands here with the reason why it is not."""

import re

import pytest
from changed_fields import accepted, field_of, keep_the_ground, leaves, written

LENS = "caving-lens"
FREE = {
    r"site\..*": "what was given and not what is said of it; it is held against the file where that is given",
    r"tool_version": "which program wrote the plan",
    r"input\.(path|digest)": "the name and the digest of the file that was planned; the ground itself is compared where the file is given",
    r"casings\.\*\.why": "why a casing stands where it does, in words; seal, seat and inside are held as fields",
    r"fluid_programme\.choice\..*": "what speaks for and against each fluid; the one that is used is held",
    r"fluid_programme\.water\.\*\.(what|value|unit|finding|text)": "the chemistry of the water in words; its limits are held",
    r"fluid_programme\.mix\.(ingredients\.\*|grades\.\*)\..*": (
        "the doses of the table of mixes, which who verifies does not size; stock and density are held"
    ),
    r"fluid_programme\.mix\.checks\.\*": "what the density of the mix means, in words",
    r"fluid_programme\.sand\.(density_at_sand_limit_kg_m3|sand_at_.*|text)": "what carried sand adds, for the one who tests the fluid",
    r"fluid_programme\.controls\.\*\.(name|unit|test|standards\..*)": "the names of the tests; their limits are held",
    r"fluid_programme\.times\.\*\.text": "when the fluid is tested, in words; the limits are held",
    r"fluid_programme\.loss\.(rate_.*|once_.*|hours_open|text)": (
        "the estimate of the loss, which decides nothing; hole, stock and reserve are held"
    ),
    r"concrete\.pulls\.\*\.(concrete_level_needed_m|level_drop_m|refill_m3|outside_kpa|annulus)": (
        "the table of pulls beyond its levels, which who verifies does not size; the balance at each shoe is proved and the levels are told"
    ),
    r"concrete\.pulls\.\*\.over_shoes\.\*\.(stands_m|needed_m)": "the same at the other shoes; the one must not be less than the other",
    r"concrete\.tremie\.(charge_m3|before_lift_m3)": "sizes of the tremie",
    r"concrete\.curve\.\*\.casings_in_m3": "the volume with the casings in; it is held to be no more than the hole's",
    r"quantities\.lines\.\*\.formula": "how a line was worked out, in words; its value and unit are held",
    r"family|proven": "the name of another way, and of one without stages whether it is proven; a way with stages is proved anew",
    r"intervals\.\*\.would_change.*": "flips, which are found by planning anew",
    r"(trigger|extra_fluid_m3|trials_ended)": "when a rung is climbed and what it takes beside the plan; trials end in a search",
    r"slurr(y|ies\.\*)\.(remedies|level_that_opens).*": "ways out of an empty window; no proven plan has one",
}
"""Fields that may change freely, by a pattern of their name within a way, and why."""
OF_A_WAY = re.compile(r"^shafts\.\*\.(?:(?:alternates\.\*|ladder\.\*|cautious)\.)?")
TOLD = ("shafts.*.decision", "shafts.*.stages.")
FEW = 6
"""The plain test command tries one in so many changes."""


def _is_free(name):
    within = OF_A_WAY.sub("", name)
    return any(re.fullmatch(pattern, within) for pattern in FREE)


def _not_held(found):
    return {name: changes[0] for name, changes in found.items() if not _is_free(name)}


def test_numbers_and_words_of_decision_and_stages_are_held(monkeypatch):
    keep_the_ground(monkeypatch.setattr)
    tried, found = accepted(written(LENS), within=TOLD, step=FEW)
    assert tried.total() > 30
    assert found == {}


@pytest.mark.ci_only("verifies a plan with each of 200 changes")
@pytest.mark.parametrize(("profile", "step"), [(LENS, 1), ("karst", 3), ("river-crossing", 1)])
def test_every_number_and_word_of_decision_and_stages_is_held(profile, step, monkeypatch):
    """Of karst, whose plans are costly, each third; ``tests/generated/changed_fields.py`` tries all."""
    keep_the_ground(monkeypatch.setattr)
    tried, found = accepted(written(profile), within=TOLD, step=step)
    assert tried.total() > 70
    assert found == {}


def test_some_fields_of_a_plan_are_held(monkeypatch):
    keep_the_ground(monkeypatch.setattr)
    names = sorted({field_of(path) for path, _ in leaves(written(LENS))})
    few = tuple(f"={name}" for name in names[:: len(names) // 40] if not _is_free(name))
    tried, found = accepted(written(LENS), most=1, within=few)
    assert tried.total() > 20
    assert _not_held(found) == {}


@pytest.mark.ci_only("verifies a plan with a change of each fourth of its 1,800 fields")
def test_each_fourth_field_of_a_plan_is_held_or_free(monkeypatch):
    """``tests/generated/changed_fields.py caving-lens --most 1`` tries all."""
    keep_the_ground(monkeypatch.setattr)
    names = sorted({field_of(path) for path, _ in leaves(written(LENS))})
    _, found = accepted(written(LENS), most=1, within=tuple(f"={name}" for name in names[::4] if not _is_free(name)))
    assert _not_held(found) == {}


def test_decision_and_stages_have_nothing_free():
    assert [
        name
        for name in ("shafts.*.decision", *(f"shafts.*.stages.*.{key}" for key in written(LENS)["shafts"][0]["stages"][0]))
        if _is_free(name)
    ] == []
