"""A rulebook made less careful cannot hide: every page, the JSON, the sheets and Markdown say so first, with whose and why."""

import json
import shutil

import pytest
from command_line import output_of, run

from methodpick.document.record import TITLE
from methodpick.resources import folder

OVERLAY = """overlay: county
set:
  collapse_safety: {value: 1.5, reason: short strings only}
disable:
  - {rule: base-lifts-by-water-below, reason: wells run}
"""
SITE = folder("profiles") / "caving-lens.yaml"
SAID = ("base-lifts-by-water-below", "county", "wells run", "collapse safety", "short strings only")


@pytest.fixture(scope="module")
def loose(tmp_path_factory):
    path = tmp_path_factory.mktemp("loose") / "county.yaml"
    path.write_text(OVERLAY)
    return path


@pytest.mark.parametrize(
    "command",
    [
        ["plan"],
        ["plan", "--full"],
        ["plan", "--letter"],
        ["plan", "--for", "foreman"],
        ["plan", "--for", "estimator"],
        ["takeoff"],
        ["sheets"],
        ["why", "--depth", "3m", "--no-flips"],
        ["plan", "--json", "-"],
    ],
)
def test_what_is_printed_says_it(loose, command):
    text = " ".join(output_of(*command[:1], SITE, *command[1:], "--overlay", loose).split())
    for word in SAID:
        assert word in text


def test_it_stands_before_the_decision(loose):
    text = output_of("plan", SITE, "--overlay", loose)
    assert text.index(TITLE.upper()) < text.index("DECISION")


@pytest.mark.parametrize("ending", ["html", "md"])
def test_the_report_says_it_on_every_page(loose, tmp_path, ending):
    path = tmp_path / f"report.{ending}"
    output_of("report", SITE, "-o", path, "--overlay", loose)
    text = path.read_text()
    for word in SAID:
        assert word in text.replace("&#39;", "'")
    if ending == "html":
        assert text.count(TITLE) == text.count("<h1") > 1


def test_every_sheet_says_it_first(loose, tmp_path):
    openpyxl = pytest.importorskip("openpyxl")
    output_of("sheets", SITE, "-o", tmp_path, "--overlay", loose)
    for path in tmp_path.glob("*.csv"):
        head = path.read_text().splitlines()[:2]
        assert all(TITLE in line for line in head), path.name
    for tab in openpyxl.load_workbook(tmp_path / "workbook.xlsx"):
        assert TITLE in (tab["A2"].value or tab["B2"].value)
    stamp = json.loads((tmp_path / "plan.json").read_text())["rulebook"]
    assert [(found["origin"], found["reason"]) for found in stamp["loosened"]] == [
        ("county", "short strings only"),
        ("county", "wells run"),
    ]


def test_a_picture_says_it_on_the_terminal(loose, tmp_path):
    assert "wells run" in run("draw", SITE, "-o", tmp_path / "strip.svg", "--overlay", loose).stderr


def test_a_plan_that_hides_it_does_not_verify(loose, tmp_path):
    path = tmp_path / "plan.json"
    output_of("plan", SITE, "--json", path, "--overlay", loose)
    tree = json.loads(path.read_text())
    tree["rulebook"]["loosened"] = []
    path.write_text(json.dumps(tree))
    found = run("verify", path, "--overlay", loose)
    assert found.returncode == 1
    assert "rulebook.loosened" in found.stdout


def test_the_shipped_rules_say_nothing(tmp_path):
    assert "LESS CAREFUL" not in output_of("plan", SITE)
    shutil.copytree(folder("rules"), tmp_path / "mine")
    assert "LESS CAREFUL" not in output_of("plan", SITE, "--rules", tmp_path / "mine")


@pytest.fixture
def mine(tmp_path):
    return shutil.copytree(folder("rules"), tmp_path / "mine")


def change(path, old, new):
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new, 1))


def test_a_rulebook_folder_of_somebody_else_cannot_hide_it_either(mine):
    change(mine / "limits.yaml", "collapse_safety: {value: 2.0", "collapse_safety: {value: 1.3")
    change(mine / "method/dry.yaml", "id: base-lifts-by-water-below", "id: base-lifts-a-little")
    change(mine / "tables/friction.yaml", "{low: 25,", "{low: 24,")
    change(mine / "trade_sizes.yaml", "[273, 324,", "[270, 324,")
    text = " ".join(output_of("plan", SITE, "--rules", mine).split())
    for word in (
        "collapse safety: 2 becomes 1.3",
        "rule 'base-lifts-by-water-below' (must) is missing",
        "class table 'friction'",
        "sizes of pipe on SI sites",
        "'mine'",
    ):
        assert word in text


@pytest.mark.parametrize(
    ("file", "old", "new", "said"),
    [
        ("trade_sizes.yaml", "  pipe_si:", "  pipe_us:", "the list of trade sizes 'pipe_si' is missing"),
        ("limits.yaml", "  truck_m3: {", "  truck_load_m3: {", "the limit 'truck_m3' is missing"),
        (
            "limits.yaml",
            'collapse_safety: {value: 2.0, unit: "1", safe: higher, range: [1.2, 5]',
            'collapse_safety: {value: 0.01, unit: "1"',
            "0.01 1 cannot be 'collapse_safety'",
        ),
        (
            "limits.yaml",
            "casing_step_m: {value: 0.1524, unit: m, safe: none, range: [0.02, 0.5]",
            "casing_step_m: {value: 0, unit: m",
            "cannot be 'casing_step_m'",
        ),
    ],
)
def test_a_rulebook_that_planning_cannot_use_is_refused_by_name(mine, file, old, new, said):
    change(mine / file, old, new)
    found = run("plan", SITE, "--rules", mine)
    assert found.returncode == 3
    assert said in found.stderr


@pytest.mark.parametrize(
    ("folders", "said"),
    [
        (["tables"], "the class table 'behaviour' is missing"),
        (["method", "fluid", "casing", "ground", "concrete", "bell", "safety", "vibration", "data"], "no rule excludes dry"),
    ],
)
def test_a_rulebook_without_tables_or_rules_is_refused_by_name(mine, folders, said):
    for name in folders:
        shutil.rmtree(mine / name)
    found = run("plan", SITE, "--rules", mine)
    assert found.returncode == 3
    assert said in found.stderr
