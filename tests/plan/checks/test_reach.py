"""Reach of casing plant and kelly; the usual reaches are those of the limits (from memory)."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.reach import CasingReachFacts, KellyReachFacts, check_casing_reach, check_kelly_reach
from methodpick.vocabulary.values import Span, point

STRING = CasingReachFacts(ProvedPlace(2, 0.0, 15.0), way="twisted", buried_m=15.0, outside_diameter_m=1.2)


def results(facts, limits):
    return {check.id.removeprefix("reach-"): check.result for check in check_casing_reach(facts, limits)}


@pytest.mark.parametrize(
    ("way", "buried", "word"),
    [
        ("twisted", 15.0, "holds"),
        ("twisted", 15.1, "fails"),
        ("vibrated", 30.0, "holds"),
        ("vibrated", 30.1, "fails"),
        ("driven", 60.1, "fails"),
        ("oscillated", 60.0, "holds"),
        ("oscillated", 60.1, "fails"),
    ],
)
def test_the_usual_reach_where_no_machine_is_named(limits, way, buried, word):
    checks = check_casing_reach(replace(STRING, way=way, buried_m=buried), limits)
    assert [check.result for check in checks] == [word]
    assert checks[0].limits == (f"reach_{way}_m",)


@pytest.mark.parametrize(
    ("reach", "word"),
    [
        (point(20.0), "holds"),
        (point(14.0), "fails"),
        (Span(12, 25, 18), "open_range"),
        (Span(12, 25, 13), "open_likely"),
        (Span(12, 25), "unknown"),
    ],
)
def test_a_named_machine_goes_first(limits, reach, word):
    checks = check_casing_reach(replace(STRING, machine_reach_m=reach), limits)
    assert (checks[0].result, checks[0].limits) == (word, ())


def test_the_casing_must_fit_the_machine(limits):
    assert results(replace(STRING, machine_diameter_m=point(1.2)), limits) == {"casing": "holds", "diameter": "holds"}
    assert results(replace(STRING, machine_diameter_m=point(1.19)), limits)["diameter"] == "fails"
    assert results(replace(STRING, machine_diameter_m=Span(1.0, 1.5, 1.2)), limits)["diameter"] == "open_range"


@pytest.mark.parametrize(
    ("kelly", "word"),
    [(point(43.0), "holds"), (point(41.9), "fails"), (Span(40, 60, 43), "open_range"), (Span(40, 60), "unknown"), (None, "holds")],
)
def test_the_kelly_reaches_from_the_top_of_the_casing(limits, kelly, word):
    """A tip at 40 m under a casing that stands 2 m up asks for 42 m."""
    (check,) = check_kelly_reach(KellyReachFacts(ProvedPlace(3, 0.0, 40.0), casing_top_m=-2.0, tip_m=40.0, kelly_m=kelly), limits)
    assert check.result == word
    if word == "unknown":
        assert check.remedy.startswith("How long is the kelly")


@pytest.mark.parametrize(("tip", "word"), [(48.0, "holds"), (55.0, "unknown"), (99.0, "unknown"), (101.0, "fails")])
def test_a_kelly_that_is_not_named_is_one_of_the_trade(limits, tip, word):
    """A large rig surely reaches 60 m less a fifth, 48 m, the longest kelly 100 m (from memory); between them the rig is to be chosen."""
    (check,) = check_kelly_reach(KellyReachFacts(ProvedPlace(None, 0.0, 0.0), casing_top_m=0.0, tip_m=tip, kelly_m=None), limits)
    assert (check.result, check.limits[0]) == (word, "kelly_m")


@given(st.floats(1.0, 80.0), st.floats(0.0, 30.0), st.sampled_from(["twisted", "vibrated", "driven", "oscillated"]))
def test_a_longer_string_betters_nothing(limits, rank, buried, more, way):
    facts = replace(STRING, way=way, buried_m=buried)
    assert rank(check_casing_reach(replace(facts, buried_m=buried + more), limits)) >= rank(check_casing_reach(facts, limits))
