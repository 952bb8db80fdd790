"""The survey: it counts what is planned, refused and uncaught, compares with an earlier one, and hands plans to a verifier."""

from pathlib import Path
from types import SimpleNamespace

import measures
import pytest
import survey
from measures import against, fallback_share, measured, summary, worst_verdict
from survey import VERIFIER, surveyed, verifier

CORPUS = Path(__file__).parents[1] / "corpus"
TASK = ("generated", "12", 0)


def finished(records):
    return [one | {"id": f"{one['series']}/{number}"} for number, one in enumerate(records)]


def test_a_generated_site_gives_a_record_a_shaft():
    found = surveyed(TASK, None)
    assert [one["result"] for one in found] == ["planned"] * 3
    for one in found:
        for key in ("supports_m", "confidence_m", "verdicts_m"):
            assert abs(sum(one[key].values()) - one["tip_m"]) < 1e-6
    assert "generated: 3 shafts, 3 planned" in summary(finished(found))


def test_a_shaft_that_nothing_builds_is_measured(monkeypatch):
    """Its plan holds no placement and no casing; all of it is undecided."""
    monkeypatch.setattr(measures, "plain", lambda shaft: {"method": shaft.method})
    length = SimpleNamespace(
        top_m=0.0, base_m=9.0, support="undecided", confidence="undecided", fluid=None, drilled_in=None, later_in=(), verdicts={}
    )
    found = measured(SimpleNamespace(method="undecided", placement=None, intervals=(length,), casings=()))
    assert (found["undecided"], found["placement"], found["supports_m"]) == (True, None, {"undecided": 9.0})


def test_a_boring_of_a_field_file_is_planned_at_three_diameters():
    found = surveyed(("field", str(CORPUS / "harrow-quay.ags"), 0), None)
    assert {one["result"] for one in found} == {"planned"}
    assert {one["diameter_m"] for one in found} == {0.9, 1.2, 1.8}
    assert len({one["name"] for one in found}) == len(found) / 3


def test_what_is_refused_or_uncaught_is_counted_with_its_reason(monkeypatch, tmp_path):
    bad = tmp_path / "bad.yaml"
    bad.write_text("methodpick: 1\nborings: []\n", encoding="utf-8")
    refused = surveyed(("profile", str(bad), 0), None)
    assert refused[0]["result"] == "refused"
    monkeypatch.setattr(survey, "plan", lambda *_, **__: 1 / 0)
    uncaught = surveyed(TASK, None)
    assert {one["result"] for one in uncaught} == {"exception"}
    text = summary(finished([*refused, *uncaught]))
    assert "ZeroDivisionError" in text
    assert "refused, 1" in text


def test_a_survey_against_itself_changes_nothing_and_a_change_is_found():
    before = finished(surveyed(TASK, None))
    assert "built in another way: 0 of 3" in against(before, before)
    after = [before[0] | {"method": "other", "way": []}, *before[1:]]
    text = against(after, before)
    assert "built in another way: 1 of 3 (33.3 %)" in text
    assert f"1 {before[0]['method']} to other" in text
    assert "0 shafts with the same input" in against([one | {"input": "x"} for one in before], before)


def test_what_the_site_file_itself_excludes_is_counted_apart():
    """Site 276: household waste that casing has to keep in, and a specification that allows none."""
    found = finished(surveyed(("generated", "12", 276), None))
    assert [one["excluded_by"] for one in found] == [["site.allowed: [dry, slurry]"]] * 3
    assert "3 of them excluded by their own site file (site.allowed 3); 0 left (0.0 %)" in summary(found)
    assert "excluded" not in summary([one | {"excluded_by": []} for one in found])


def test_plans_are_handed_to_a_verifier_by_name(monkeypatch):
    monkeypatch.setattr(survey, "contradict", lambda made, _site, _book: [f"{made.shafts[0].id} is wrong"], raising=False)
    found = surveyed(TASK, "survey:contradict")
    assert [one["contradictions"] for one in found] == [["P1 is wrong"], ["P2 is wrong"], ["P3 is wrong"]]
    assert "verified: 3 plans with contradictions" in summary(finished(found))
    assert verifier("survey:no_such_function") is None
    assert verifier("no_such_module_here:check") is None


def test_the_worst_state_that_a_length_stands_in_decides_whether_it_is_a_fallback():
    verdicts = {"dry": SimpleNamespace(state="allowed"), "cased_balanced": SimpleNamespace(state="unknown")}
    length = SimpleNamespace(drilled_in="dry", fluid=None, later_in=("cased_balanced",), verdicts=verdicts)
    assert worst_verdict(length) == "unknown"
    assert fallback_share([{"verdicts_m": {"allowed": 3.0, "unknown": 1.0}}]) == 0.25


FOUND = {
    "a proven way of the family that was found first": 295,
    "fluid of a hole without a casing": 297,
    "an interval of two millimetres": 386,
    "smeared clay of less than no length": 692,
    "firm by the hours of another placement": 820,
    "fluid in a raised pad": 1051,
    "the wall of a pit over the drilling grade": 1221,
    "a slice of two millimetres told as open": 1257,
}
"""What the survey of seed 12 found that a plan and its verifier did not agree on, by the number of the site."""


@pytest.mark.parametrize("number", FOUND.values(), ids=list(FOUND))
@pytest.mark.ci_only("plans and verifies a dozen shafts")
def test_what_the_survey_found_stays_mended(number):
    found = surveyed(("generated", "12", number), VERIFIER)
    assert [one["contradictions"] for one in found] == [[], [], []]
