"""Slips of files and terminals that once ended in a traceback, never ended, or passed without a word: each is answered."""

import pytest
from command_line import run, run_as_process
from shipped import shipped_rulebook

from methodpick.plan.pipeline import plan
from methodpick.resources import folder

LAYERS = "[{top: 0, base: 6, description: clay, symbol: CL, n: [9]}, {top: 6, base: 20, description: sand, symbol: SP, n: [20]}]"
SETTLED = "{depth: 3, reading: settled}"
SITE = """methodpick: 1
site: {{name: s, units: si{site}}}
borings:
  - {{id: B-1, depth: 20{boring}, water: [{water}], layers: {layers}}}
shafts:
  - {{id: P1, boring: B-1, diameter: 1000, tip: {tip}{shaft}}}
"""


def text_of(**parts):
    return SITE.format(**{"site": "", "boring": "", "water": SETTLED, "layers": LAYERS, "tip": "15", "shaft": ""} | parts)


@pytest.fixture
def given(tmp_path):
    def write(**parts):
        path = tmp_path / "site.yaml"
        path.write_text(text_of(**parts))
        return path

    return write


DOUBTED = {
    "a layer of water": ({"layers": LAYERS.replace("description: clay, symbol: CL, n: [9]", "symbol: water")}, "is logged as water"),
    "a layer said to be water": (
        {"layers": LAYERS.replace("description: clay, symbol: CL, n: [9]", "description: water")},
        "is logged as water",
    ),
    "struck above the ground": ({"water": "{reading: confined, struck: -1}"}, "struck 1.00 m above the ground"),
    "an elevation for a height": ({"site": ", drilling_grade: {above_ground: 24.5}"}, "that may be an elevation"),
    "feet beside metres": (
        {"site": ", drilling_grade: {elevation: 32.8}", "boring": ", ground_elevation: 10"},
        "differ as feet and metres do",
    ),
    "feet beside metres at a shaft": (
        {"boring": ", ground_elevation: 10", "shaft": ", ground_elevation: 32.8"},
        "differ as feet and metres do",
    ),
}


@pytest.mark.parametrize(("parts", "said"), DOUBTED.values(), ids=list(DOUBTED))
def test_a_slip_is_a_doubt_and_the_plan_is_made_all_the_same(given, parts, said):
    path = given(**parts)
    assert said in " ".join(run("check", path).stdout.split())
    done = run("plan", path, "--full")
    assert (done.returncode, done.stderr) == (0, "")
    assert said in " ".join(done.stdout.split())


REFUSED = {
    "grade below the tip": (
        {"site": ", drilling_grade: {above_ground: -16}"},
        "the drilling grade lies 16.00 m below the ground, at or below the tip",
    ),
    "a tip of millimetres": ({"tip": "5 mm"}, "site.yaml:6:48: tip 5 mm cannot be"),
    "an unknown agency": ({"site": ", agency: caltarns"}, "site.yaml:2:36: there is no overlay for the agency 'caltarns'"),
    "decimals after a comma": ({"tip": '"2,5"'}, "hint: write the number with a point: 2.5"),
    "a comma of thousands or of decimals": ({"tip": '"1,200 mm"'}, "hint: write 1.2 or 1200, whichever is meant"),
}


@pytest.mark.parametrize(("parts", "said"), REFUSED.values(), ids=list(REFUSED))
def test_a_slip_that_no_plan_can_be_made_of_is_refused_at_its_place(given, parts, said):
    done = run("plan", given(**parts))
    assert done.returncode == 2
    assert said in done.stderr


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b'methodpick: 1\nborings: [{id: "B\xff"}]\n', ":2:18: the file is not UTF-8 text here (byte 255)"),
        (b'methodpick: 1\nborings: [{id: "B\x01"}]\n', ":2:18: the character U+0001 cannot stand in a file of text"),
        ('methodpick: 1\nborings: [{id: "Bö\x9b"}]\n'.encode(), ":2:19: the character U+009B cannot stand in a file of text"),
        (b"\xef\xbb\xbfa: \xff", ":1:4: the file is not UTF-8 text here"),
    ],
)
def test_what_is_no_text_is_told_with_line_and_column(tmp_path, data, said):
    path = tmp_path / "site.yaml"
    path.write_bytes(data)
    done = run("plan", path)
    assert done.returncode == 2
    assert said in done.stderr


@pytest.mark.parametrize("columns", ["1", "2", "0", "-3", "x"])
def test_a_terminal_that_says_it_is_narrow_gets_a_page_in_time(monkeypatch, columns):
    """At one column every word was broken into lines of a letter, which took minutes."""
    monkeypatch.setenv("COLUMNS", columns)
    done = run("plan", folder("profiles") / "caving-lens.yaml")
    assert done.returncode == 0
    assert max(map(len, done.stdout.splitlines())) >= 40


def test_an_unknown_agency_of_the_command_line_is_of_the_rules():
    done = run("plan", folder("profiles") / "caving-lens.yaml", "--agency", "caltarns")
    assert done.returncode == 3


@pytest.mark.ci_only("starts a process")
def test_a_page_for_a_narrow_terminal_as_a_program():
    done = run_as_process("plan", folder("profiles") / "caving-lens.yaml", env={"COLUMNS": "1", "PATH": "/usr/bin"})
    assert done.returncode == 0


def test_a_starter_in_a_pit_is_counted_from_its_floor(read_text):
    """By hand: floor at 3.0 m, fluid 1.55 m above it to hold the heads, so the shoe 1.55 m below it; it once lay above the floor."""
    shaft = plan(read_text(text_of(site=", drilling_grade: {above_ground: -3}")), shipped_rulebook()).shafts[0]
    starter = shaft.casings[0]
    assert starter.kind == "starter"
    assert starter.base_m == pytest.approx(4.55)
    assert starter.base_m - starter.top_m == pytest.approx(starter.length_m)
    assert starter.mass_kg > 0
    assert all(stage.top_m is None or stage.base_m is None or stage.top_m <= stage.base_m for stage in shaft.stages)
