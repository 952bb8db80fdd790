"""Soil that fluid holds above a cavity: certain where the boring lost its fluid, likely over an open void, else possible."""

import pytest

from methodpick.plan.checks.drained_wall import CAVITY_TOP, OPEN_SHOE, OPEN_VOID, OTHER_CAVITIES, DrainedWallFacts, check_drained_wall
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.vocabulary.values import Choice

YES, LIKELY, NO = Choice(frozenset({"yes"}), "yes"), Choice(frozenset({"yes", "no"}), "yes"), Choice(frozenset({"no"}), "no")


@pytest.mark.parametrize(
    ("cavity", "takes", "result"),
    [
        (YES, YES, "fails"),
        (YES, OPEN_VOID, "open_likely"),
        (LIKELY, OPEN_VOID, "open_likely"),
        (YES, OTHER_CAVITIES, "open_range"),
        (LIKELY, OTHER_CAVITIES, "open_range"),
        (NO, YES, "holds"),
    ],
)
def test_how_grave_it_is_follows_from_the_cavity_and_from_the_loss(cavity, takes, result):
    """Barred only where the loss is certain, unlikely to hold over an open void, else doubtful."""
    (check,) = check_drained_wall(DrainedWallFacts(ProvedPlace(3, 2.0, 8.0), 12.0, cavity, takes))
    assert check.result == result
    assert (check.top_m, check.base_m, check.inputs[CAVITY_TOP].low) == (2.0, 8.0, 12.0)
    assert OPEN_SHOE not in check.inputs


def test_an_open_shoe_is_named():
    (check,) = check_drained_wall(DrainedWallFacts(ProvedPlace(3, 2.0, 8.0), 12.0, YES, YES, 8.0))
    assert check.inputs[OPEN_SHOE].low == 8.0
    assert check.remedy.startswith("Case the soil into the rock and seal it")
