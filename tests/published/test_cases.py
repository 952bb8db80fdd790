"""Published case histories: the site files of ``cases/`` are planned as a user would and compared with what was built there.

The expected values are what was built and what failed, each with its citation in ``cases/built.yaml``. The table is printed by
``python tests/agreement.py``. A third of the cases is set aside and not planned here.
"""

import pytest
import yaml
from agreement import KINDS, totals
from published.judging import CASES, NAMED, STRONG, Share, agreement, answers_for, grade, planned, planned_dry, records, rules, same_alarm

from methodpick.imports.site_file import read_site

RECORDS = records()
OPEN = [case for case, record in RECORDS.items() if record["set"] == "open"]
LEVELS = {"expected": 77.0, "one": 93.0, "any": 93.0}
"""Share of length in percent that the open set reached on 2026-11-26; the aims are 80 for expected and 95 for any plan."""
SAID = 27
"""Expected cautions of the open set that plans said on 2026-11-26, of 31."""


@pytest.fixture(scope="module")
def answers():
    return answers_for("open")


def test_every_third_case_is_set_aside():
    assert {case for number, case in enumerate(sorted(RECORDS)) if number % 3 == 2} == RECORDS.keys() - set(OPEN)


@pytest.mark.parametrize("case", RECORDS)
def test_a_site_file_is_read_and_names_its_source(case):
    path = CASES / f"{case}.yaml"
    site, _ = read_site(path)
    head = path.read_text(encoding="utf-8").split("methodpick:")[0]
    assert all(word in head for word in (f"# {case}:", "# Source:", "Kind:", "# Stated", "# Assumed here"))
    assert RECORDS[case]["citation"]
    deepest = max((one["base"] for part in ("built", "failed") for one in RECORDS[case][part]), default=0.0)
    assert deepest <= max(shaft.tip_m for shaft in site.shafts) + 0.01


@pytest.mark.parametrize("case", RECORDS)
def test_a_case_tells_who_tells_of_it(case):
    """What a firm says of its own work, the press and a forum thread are no papers, and the tables part them."""
    record = RECORDS[case]
    assert record["kind"] in KINDS
    sheet = any(word in record["citation"] for word in ("Contractor's", "contractor's", "Consultant's", "Supplier's"))
    forum = "orum thread" in record["citation"]
    assert (record["kind"] == "sheet", record["kind"] == "forum") == (sheet, forum)


def test_what_was_built_is_no_site_file_and_names_rules_that_exist():
    assert next(iter(yaml.safe_load((CASES / "built.yaml").read_text(encoding="utf-8")))) != "methodpick"
    named = {
        rule
        for record in RECORDS.values()
        for one in (*record["cautions"], *record["failed"])
        for key in ("any", "rules")
        for rule in one.get(key, ())
    }
    assert named <= rules().keys()
    hazards = {hazard for record in RECORDS.values() for one in record["failed"] for hazard in one.get("hazards", ())}
    assert hazards <= {rule["hazard"] for rule in rules().values()}


@pytest.mark.parametrize("case", OPEN)
def test_a_plan_tiles_the_shaft(case):
    for shaft in planned(case)["shafts"]:
        ends = [0.0] + [one["base_m"] for one in shaft["intervals"]]
        assert [one["top_m"] for one in shaft["intervals"]] == ends[:-1]
        assert ends[-1] == shaft["tip_depth_m"]


def test_no_case_is_planned_dry_where_dry_failed(answers):
    assert {one.case: one.dry_where_dry_failed for one in answers if one.dry_where_dry_failed > 0.01} == {}


def test_every_failure_is_refused_or_flagged_by_its_own_mechanism_at_its_depth(answers):
    """What is not named has its reason in built.yaml, and may have none once it is named."""
    wrong = [
        (one.case, failure["mechanism"], said)
        for one in answers
        for failure, said in one.failures
        if (said in NAMED) == ("not_named" in failure)
    ]
    assert wrong == []
    assert sum(said in NAMED for one in answers for _, said in one.failures) == 8, "of 10, on 2026-11-26"


def test_the_same_refusal_or_danger_is_seldom_raised_where_the_method_worked(answers):
    found = [
        same_alarm(one, failure, said, answers) for one in answers for failure, said in one.failures if said in STRONG and failure["method"]
    ]
    successes = sum(count for _, count in found)
    assert successes >= 7, "a share of nothing says nothing"
    assert sum(len(cases) for cases, _ in found) <= 0.1 * successes


def test_the_shares_do_not_fall(answers):
    share = totals(answers)[-1].share
    assert share.built == pytest.approx(518, abs=1), "metres built that worked, the open cases that are measured"
    for name, level in LEVELS.items():
        assert share.percent(name) >= level - 0.5, name
    assert share.percent("refused") <= 2.0, "ruled out although it worked"


def test_the_cautions_that_the_cases_ask_for_are_said(answers):
    assert totals(answers)[-1].said >= SAID


def test_a_difference_has_its_reason(answers):
    for one in answers:
        if one.share.built and one.share.percent("expected") < 99.5:
            assert RECORDS[one.case]["differs"], one.case


def verdicts(dry):
    return {
        "dry": dry,
        **{
            state: {"state": "allowed", "rules": []}
            for state in ("water", "polymer", "mineral", "cased_dry", "cased_balanced", "cased_plug")
        },
    }


def shaft(*supports, dry=None, starter=None, cautions=()):
    """Make a plan by hand: 10 m of each support, in sand."""
    return {
        "intervals": [
            {
                "top_m": 10.0 * at,
                "base_m": 10.0 * at + 10.0,
                "support": support,
                "fluid": None,
                "drilled_in": support,
                "soil_class": "clean_sand",
                "verdicts": verdicts(dry or {"state": "allowed", "rules": []}),
            }
            for at, support in enumerate(supports)
        ],
        "casings": [{"kind": "starter", "base_m": starter}] if starter else [],
        "cautions": list(cautions),
        "cautious": None,
        "alternates": [],
    }


BUILT = [{"top": 0.0, "base": 15.0, "support": "slurry", "worked": True}, {"top": 15.0, "base": 20.0, "support": "dry", "worked": True}]


def test_agreement_by_hand():
    """Built: 15 m of slurry over 5 m dry. Slurry then dry agrees over 10 + 5 m, dry throughout over 5 m, casing never."""
    assert agreement(BUILT, shaft("slurry", "dry")).expected == pytest.approx(15.0)
    assert agreement(BUILT, shaft("dry", "dry")).expected == pytest.approx(5.0)
    assert agreement(BUILT, shaft("temporary_casing", "temporary_casing")).any == 0.0
    cased = shaft("temporary_casing", "slurry", starter=10.0)
    assert agreement(BUILT, cased).expected == pytest.approx(10.0 + 5.0), "the zone of a starter casing stands for what is below it"
    cased["alternates"] = [{"intervals": shaft("dry", "dry")["intervals"]}]
    assert vars(agreement(BUILT, cased)) == vars(Share(20.0, 15.0, 15.0, 20.0, 0.0))
    ruled_out = shaft("slurry", "slurry", dry={"state": "ruled_out", "rules": ["granular-below-water-flows"]})
    assert agreement(BUILT, ruled_out).refused == pytest.approx(5.0)


def test_a_failed_length_does_not_count_as_built():
    assert agreement([{**BUILT[0], "worked": False}, BUILT[1]], shaft("slurry", "dry")).built == pytest.approx(5.0)


FINE = {"state": "allowed", "rules": []}
FAILURE = {"method": "dry", "top": 2.0, "base": 8.0, "hazards": ["caving"]}


@pytest.mark.parametrize(
    ("dry", "cautions", "said"),
    [
        ({"state": "ruled_out", "rules": ["granular-below-water-flows"]}, [], "refused"),
        ({"state": "ruled_out", "rules": ["dry-not-allowed"]}, [], "avoided"),  # a refusal for another reason is no answer to caving
        ({"state": "doubtful", "rules": ["granular-below-water-flows"]}, [], "open"),
        (FINE, [{"rule": "bell-in-stiff-clay-only", "severity": "danger", "where": "1.00 m to 4.00 m"}], "danger"),
        (FINE, [{"rule": "bell-in-stiff-clay-only", "severity": "danger", "where": "9.00 m to 12.00 m"}], "avoided"),
        (FINE, [{"rule": "fluid-level-kept", "severity": "danger", "where": ""}], "avoided"),  # names no depth
    ],
)
def test_the_grade_of_an_answer_to_a_failure(dry, cautions, said):
    assert grade(FAILURE, shaft("slurry", "slurry", dry=dry, cautions=cautions), FAILURE["top"], FAILURE["base"]) == said


def test_a_failure_that_the_plan_repeats_without_a_word_is_missed():
    again = shaft("dry", "dry", starter=3.0)
    assert grade(FAILURE, again, FAILURE["top"], FAILURE["base"]) == "missed"
    assert planned_dry(again, 2.0, 8.0) == pytest.approx(5.0), "from the shoe of the starter casing at 3 m"
