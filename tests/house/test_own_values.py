"""A number that is somebody's judgement is a limit of the rulebook, so that overlays and sensitivity studies reach it."""

import re
from pathlib import Path

import pytest

import methodpick
from methodpick.imports import log_water

PACKAGE = Path(methodpick.__file__).parent
DECIDING = ("facts", "mechanics", "plan", "site", "why")
JUDGED = re.compile(r"\(own values?\b|own values?\)", re.IGNORECASE)


@pytest.mark.parametrize("folder", DECIDING)
def test_no_constant_of_the_code_is_marked_as_an_own_value(folder):
    found = [
        f"{path.relative_to(PACKAGE)}:{number}"
        for path in sorted((PACKAGE / folder).rglob("*.py"))
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if JUDGED.search(line)
    ]
    assert found == []


def test_the_importers_part_water_as_the_planner_does(book):
    """An importer has no rulebook; what it takes for thin tight ground is what the limit says."""
    assert book.values["aquifer_parting_m"] == log_water.THIN_M
