"""The derivation of an answer: every rule told, every formula the call that decided."""

import pytest

from methodpick.errors import InputError
from methodpick.mechanics.registry import REGISTRY, call_behind, recording
from methodpick.plan.pipeline import plan
from methodpick.unit_markup import spell
from methodpick.why.explanation import explain_depth, worked
from methodpick.why.flips import shaft_question

# ---- The derivation: every rule of a verdict is told, down to the logged line, the limit and the source


def texts(nodes):
    for node in nodes:
        yield spell(node.text, "si")
        yield from texts(node.parts)


@pytest.fixture(scope="module")
def ask(site, planned, book):
    def asked(name, depth_m, **more):
        shaft = planned(name).shafts[0]
        return explain_depth(shaft_question(site(name), book, shaft.id), shaft, depth_m, **{"flips": False, **more})

    return asked


def test_why_not_dry_names_the_hazard_the_condition_the_log_and_the_source(ask):
    told = "\n".join(texts(ask("caving-lens", 7.3, not_states=["dry"]).derivation))
    assert "dry: ruled out" in told
    assert "granular-below-water-flows (must, caving) speaks against it and holds" in told
    assert "water_position == below: holds" in told
    assert "symbol SP" in told
    assert "N = 14 at 7.16 m" in told
    assert "source: " in told


MORE = pytest.mark.ci_only("asks the same of one more site")
ASKED = ["caving-lens", *(pytest.param(name, marks=MORE) for name in ("soft-clay-over-rock-thin", "karst", "artesian-sand"))]


@pytest.mark.parametrize("name", ASKED)
def test_every_rule_of_the_verdict_is_in_the_tree(ask, planned, name):
    for interval in planned(name).shafts[0].intervals:
        depth = (interval.top_m + interval.base_m) / 2
        told = "\n".join(texts(ask(name, depth, not_states=["dry", "polymer", "cased_plug"]).derivation))
        for state in ("dry", "polymer", "cased_plug"):
            for rule in interval.verdicts[state].rules:
                assert f"{rule} (" in told


def test_a_formula_is_shown_with_its_numbers_and_they_give_its_result(ask):
    # soft clay at 10.4 m under a rig: OR = (stress + surcharge - inside) / su, recomputed here from the numbers printed
    told = list(texts(ask("soft-clay-over-rock-thin", 10.4, not_states=["dry"]).derivation))
    line = next(text for text in told if text.startswith("formula overload_ratio"))
    words = line.replace(",", "").replace(":", "").split()
    stress, inside, su = (float(words[words.index(name) + 1]) for name in ("total_stress_kpa", "inside_pressure_kpa", "su_kpa"))
    result = float(words[words.index("su_kpa") + 3])
    assert result == pytest.approx((stress - inside) / su, rel=0.05)


def test_an_assumption_is_named_where_a_fact_rests_on_it(ask):
    told = "\n".join(texts(ask("saturated-sand", 12.0).derivation))
    assert "rests on the assumption water-season" in told


def test_a_number_that_keeps_a_rule_silent_is_told_with_its_limit(ask):
    told = "\n".join(texts(ask("saturated-sand", 12.0).derivation))
    assert "rules against it that a number keeps silent" in told
    assert "fluid_head_m < fluid_head_least_m: does not hold" in told


def test_what_was_told_once_is_only_named_again(ask):
    told = list(texts(ask("soft-clay-over-rock-thin", 10.4, not_states=["dry"]).derivation))
    full = [text for text in told if text.startswith("su_kpa = ") and "as above" not in text]
    assert len(full) == 1


def test_the_other_states_and_ways_are_named(ask, planned):
    answer = ask("caving-lens", 7.3)
    assert any(text.startswith("dry: ruled out (") for text in answer.other_states)
    assert len(answer.other_ways) == len(planned("caving-lens").shafts[0].alternates)
    assert answer.flips is None


def test_ground_of_which_the_log_says_nothing_is_said_so(ask, planned):
    shaft = planned("descriptions-only").shafts[0]
    assert shaft.intervals
    told = "\n".join(texts(ask("descriptions-only", 1.0).derivation))
    assert "boring" in told


def test_a_depth_outside_the_shaft_is_refused(ask):
    with pytest.raises(InputError, match=r"324\.8 ft"):
        ask("caving-lens", 99.0)


# ---- Every number that a derivation shows as a formula comes from a call that decided while the plan was made


SITES = ("caving-lens", "soft-clay-over-rock-thin", *(pytest.param(name, marks=MORE) for name in ("artesian-sand", "river-crossing")))
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
