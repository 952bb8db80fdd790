"""Changed files never end in a traceback, take long or plan what the verifier contradicts: a fixed series, and what was found before."""

import pytest
from fuzz import SEED, attack, run, tried

PARSED, PLANNED_EVERY = 600, 5
"""Some 20 s of the processor, half of it plans; the script tries as many as it is given."""


@pytest.mark.ci_only("reads some thousand changed files and plans a share of them")
def test_a_series_of_changed_files_is_read_or_refused():
    counts, bad = run(SEED, range(PARSED), PLANNED_EVERY)
    assert bad == []
    assert sum(count for (_, result), count in counts.items() if result == "planned") >= 15
    assert sum(counts.values()) == PARSED


def test_a_short_series_is_read_or_refused():
    counts, bad = run(SEED, range(120), 0)
    assert bad == []
    assert {kind for kind, _ in counts} >= {"site", "example", "log", "rules", "table", "limits", "assumptions", "overlay", "moved limits"}


def test_a_case_is_the_same_by_its_number():
    assert attack(SEED, 17).text == attack(SEED, 17).text
    assert attack(SEED, 17).text != attack(SEED + 1, 17).text


FOUND = {
    "half a sign in a log": (15, 1432),
    "a gradient of 1 in clay": (15, 287),
    "a tool of the metric list verified by the inch": (15, 142499),
    "a tool of a tenth of a millimetre": (15, 6887),
    "a description that holds the mark of a number": (15, 626836),
    "a starter as long as the shaft": (15, 651071),
    "a pit without a starter": (15, 299999),
    "a shoe two millimetres below a boundary": (15, 801479),
    "casing by refused plant across a gap in the log": (15, 921326),
    "nights without end in a shift of no hours": (15, 352959),
    "a drop of the concrete at the least that is told": (15, 170867),
    "hours under a headroom that nobody told": (15, 431),
}
"""Seed and number of each case that was found; what it was. The files of older finds stand in the tests of what they are about."""


@pytest.mark.parametrize(("seed", "number"), FOUND.values(), ids=list(FOUND))
def test_what_was_found_stays_mended(seed, number):
    found = tried(seed, number, planning=True)
    assert found.result not in {"uncaught", "contradiction"}, found.words
