"""What passes through the real inside of a casing; diameters by hand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.clearance import ClearanceFacts, check_clearance
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.units import INCH_M

PIPE = ClearanceFacts(
    ProvedPlace(1, 0.0, 12.0), outside_diameter_m=54 * INCH_M, wall_m=0.5 * INCH_M, tool_m=1.2, string_m=None, cage_m=None, cover_m=None
)
"""53 in inside, 1.3462 m."""


def results(facts, limits):
    return {check.id.removeprefix("clearance-"): check.result for check in check_clearance(facts, limits)}


@pytest.mark.parametrize(
    ("outside", "wall", "tool", "word"),
    [
        (1.3716, 0.0127, 1.3208, "holds"),  # 1 in of clearance
        (1.3716, 0.0127, 1.3300, "little_margin"),
        (1.3716, 0.0127, 1.3462, "little_margin"),
        (1.3716, 0.0127, 1.3470, "fails"),
        (3.048, 0.0205, 3.0, "little_margin"),  # 3007 mm for a tool of 3000 mm
        (3.048, 0.0303, 3.0, "fails"),  # 2987 mm, with the wall that oscillating asks for
    ],
)
def test_the_tool(limits, outside, wall, tool, word):
    assert results(replace(PIPE, outside_diameter_m=outside, wall_m=wall, tool_m=tool), limits)["tool"] == word


@pytest.mark.parametrize(("string_in", "word"), [(48.0, "holds"), (52.0, "holds"), (52.1, "fails")])
def test_the_next_string(limits, string_in, word):
    """53 in inside pass 52 in with 1 in of clearance."""
    assert results(replace(PIPE, string_m=string_in * INCH_M), limits)["string"] == word


@pytest.mark.parametrize(
    ("cage", "cover", "word"),
    [
        (1.196, None, "holds"),  # 1.196 + 2 x 0.075 = 1.346 m
        (1.197, None, "fails"),
        (1.196, 0.1, "fails"),  # the drawing asks for 100 mm
        (1.146, 0.1, "holds"),
    ],
)
def test_the_cage_with_its_cover(limits, cage, cover, word):
    assert results(replace(PIPE, cage_m=cage, cover_m=cover), limits)["cage"] == word


def test_what_does_not_pass_is_not_asked(limits):
    assert set(results(PIPE, limits)) == {"tool"}
    checks = check_clearance(replace(PIPE, cage_m=1.0, cover_m=0.1), limits)
    assert checks[-1].limits == ()
    assert checks[-1].unit == "m"


@given(st.floats(0.6, 1.5), st.floats(0.0, 0.05))
def test_a_thicker_wall_betters_nothing(limits, rank, tool, more):
    facts = replace(PIPE, tool_m=tool, cage_m=1.1)
    assert rank(check_clearance(replace(facts, wall_m=facts.wall_m + more), limits)) >= rank(check_clearance(facts, limits))
