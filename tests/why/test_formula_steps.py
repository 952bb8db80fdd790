"""Every number that a derivation shows as a formula comes from a call that decided while the plan was made."""

import pytest

from methodpick.mechanics.registry import REGISTRY, call_behind, recording
from methodpick.plan.pipeline import plan
from methodpick.why.explanation import explain_depth, worked
from methodpick.why.flips import shaft_question

SITES = ("caving-lens", "soft-clay-over-rock-thin", "artesian-sand", "river-crossing")
STATES = ("dry", "water", "mineral", "cased_balanced")
MOST = 4
"""Intervals of a site that are asked about."""


def lines(nodes):
    for node in nodes:
        if node.text.startswith("formula "):
            yield node.text
        yield from lines(node.parts)


@pytest.fixture(scope="module", params=SITES)
def told(request, site, book):
    """Give the calls that a plan made, and the formulas of the derivations of every interval of it."""
    with recording() as calls:
        made = plan(site(request.param), book)
    shaft = made.shafts[0]
    found = []
    question = shaft_question(site(request.param), book, shaft.id)
    for interval in shaft.intervals[:MOST]:
        asked = explain_depth(question, shaft, (interval.top_m + interval.base_m) / 2, flips=False, not_states=STATES)
        found += lines(asked.derivation)
    return calls, found


def test_the_numbers_of_a_formula_are_those_of_a_call_that_planned(told):
    calls, found = told
    planned = {f"formula {call.formula.name}: {call.formula.symbols}{worked(call)}" for call in calls}
    shown = [text for text in found if "; with " in text]
    assert shown
    for text in shown:
        assert any(text.startswith(each) for each in planned), text


def test_a_formula_without_numbers_has_no_likely_value(told):
    """Where a likely value exists its call is found: nothing is shown from the register alone."""
    _, found = told
    bare = {text.split(":")[0].removeprefix("formula ") for text in found if "; with " not in text}
    assert bare <= set(REGISTRY)
    assert len([text for text in found if "; with " in text]) > 3 * len([text for text in found if "; with " not in text])


def test_the_call_behind_a_value_is_the_latest_that_gave_it():
    with recording() as calls:
        values = [REGISTRY["collapse_limit"].call(depth, 1.2) for depth in (0.1, 0.2, 8.0)]
    assert values[0] == values[1], "the floor of the plane cut"
    assert call_behind(calls, values[0], ["collapse_limit"]).arguments["depth_m"] == 0.2
    assert call_behind(calls, values[0], ["overload_ratio"]) is None


def test_calls_that_fail_are_not_recorded():
    with pytest.raises(ValueError, match="diameter_m"), recording() as calls:
        REGISTRY["collapse_limit"].call(1.0, -1.0)
    assert calls == []
