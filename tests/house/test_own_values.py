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


NUMERIC = {
    "steps and tolerances of a search or a comparison": {
        "BED_STEP_M", "CERTAINLY_MORE", "DEPTH_STEP_M", "DIAMETER_STEP_M", "FINEST_M", "GRID", "INSET_M", "LEVEL_STEP_M",
        "PERMEABILITY_STEP", "PLUG_STEP_M", "RAISE_STEP_M", "SAME_CUT_M", "SAME_H", "SAME_M", "SAME_MARGIN", "SMALL_M", "STARTER_STEP_M",
        "STARTER_WIDER_STEPS", "STEP_M", "STRENGTH_STEP", "TOLERANCE", "TOLERANCE_M", "TOUCH_M", "_COST_GRID",
    },
    "how many are tried, kept or written": {
        "LEAST_NAMED_M3", "MOST_COVERS", "MOST_FILLS", "MOST_NAMED", "MOST_OPENINGS", "MOST_PIECES", "MOST_PIECES_GIVEN", "MOST_REASONS",
        "MOST_SEATS", "MOST_SETS", "MOST_SHAFTS", "MOST_STEPS", "MOST_TRIALS", "MOST_VERDICTS", "MOST_WAYS", "MOST_YARDS",
    },
    "guards against nothing and against overflow": {
        "FAR_M", "LEAST_STRESS_KPA", "LEAST_SU_KPA", "NEAREST_M", "NOTHING_THERE", "NO_UPLIFT", "OUT_M", "SHALLOWEST_M",
        "WAIVED_TIMES", "_OF_ROCK", "_OVERFLOW",
    },
    "constants of nature, and numbers of a published formula": {
        "ATMOSPHERE_KPA", "CRITICAL_SHARE", "GRAVITY_M_S2", "PLANE_BEARING", "PLANE_CUT", "POISSON", "REFUSAL_FACTOR",
        "SODA_ASH_OVER_HARDNESS", "STEEL_KG_M3", "WATER_KN_M3", "WOLFF_MOST", "YOUNG_KPA",
    },
}  # fmt: skip
"""Numbers that may stand in deciding code, by what they are; what somebody could see otherwise is a limit."""
CONSTANT = re.compile(r"^(_?[A-Z][A-Z_0-9]*)(?:: [^=]+)? = -?[0-9]", re.MULTILINE)


@pytest.mark.parametrize("folder", DECIDING)
def test_a_number_in_the_code_is_no_judgement(folder):
    known = set().union(*NUMERIC.values())
    texts = {path: path.read_text(encoding="utf-8") for path in sorted((PACKAGE / folder).rglob("*.py"))}
    found = {f"{path.relative_to(PACKAGE)}: {name}" for path, text in texts.items() for name in CONSTANT.findall(text) if name not in known}
    assert found == set()


def test_the_importers_part_water_as_the_planner_does(book):
    """An importer has no rulebook; what it takes for thin tight ground is what the limit says."""
    assert book.values["aquifer_parting_m"] == log_water.THIN_M
