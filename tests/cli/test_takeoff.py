"""``methodpick takeoff`` and ``methodpick sheets`` as a user meets them."""

import csv
import json
import os
import pty
import re
import subprocess
import sys

import pytest
from command_line import run, run_as_process

from methodpick.cli.output import MANIFEST
from methodpick.document.site import BORINGS
from methodpick.document.takeoff import HOURS_TITLE, STRINGS, SUMS
from methodpick.resources import folder

# ---- ``methodpick takeoff`` and the whole site under ``plan`` and ``why``


VIADUCT = folder("profiles") / "viaduct.yaml"


@pytest.fixture(scope="module")
def page():
    return run("takeoff", VIADUCT)


def test_the_calendar_is_short_unless_it_is_asked_for(page):
    assert "\nCALENDAR\n" in page.stdout
    assert "What binds: the rigs." in page.stdout
    assert "CALENDAR, SHAFT BY SHAFT" not in page.stdout
    done = run("takeoff", VIADUCT, "--calendar")
    bars = done.stdout[done.stdout.index("CALENDAR, SHAFT BY SHAFT") :]
    rows = [line for line in bars.splitlines() if re.match(r" +B\d+-\d ", line)]
    assert len(rows) == 60
    assert all(row.rstrip().endswith("#") for row in rows)
    assert max(map(len, bars.splitlines())) <= 80


def test_the_page_has_all_parts_within_80_columns(page):
    assert page.returncode == 0, page.stderr
    assert page.stderr == ""
    for word in (
        BORINGS.upper(),
        "two nearest borings do not agree",
        SUMS.upper(),
        "casing oversize (method",
        "ground overbreak",
        "CLEARANCE OF CAGES",
        STRINGS.upper(),
        HOURS_TITLE.upper(),
        "COST, CROWNS",
        "licensed engineer",
    ):
        assert word in " ".join(page.stdout.split()), word
    assert max(map(len, page.stdout.splitlines())) <= 80
    assert "⟦" not in page.stdout


def test_one_shaft_shows_every_line_with_its_formula():
    done = run("takeoff", VIADUCT, "--shaft", "B4-1", "--units", "si")
    assert done.returncode == 0, done.stderr
    assert "SHAFT B4-1" in done.stdout
    assert "pi/4 D^2" in done.stdout
    assert " ft" not in done.stdout
    assert "SHAFT B4-2" not in done.stdout


def test_csv_and_json_to_files_and_to_standard_output(tmp_path):
    assert run("takeoff", VIADUCT, "--shaft", "B1-1", "--csv", tmp_path / "t.csv", "--json", tmp_path / "t.json").returncode == 0
    rows = list(csv.DictReader((tmp_path / "t.csv").read_text(encoding="utf-8").splitlines()))
    assert {row["shaft"] for row in rows if row["scope"] == "shaft"} == {"B1-1"}
    assert json.loads((tmp_path / "t.json").read_text(encoding="utf-8"))["format"] == "methodpick-takeoff/1"
    assert run("takeoff", VIADUCT, "--shaft", "B1-1", "--csv", "-").stdout == (tmp_path / "t.csv").read_text(encoding="utf-8")
    both = run("takeoff", VIADUCT, "--csv", "-", "--json", "-")
    assert both.returncode == 2
    assert "cannot both" in both.stderr


def test_wrong_input_is_exit_2_and_never_a_traceback(tmp_path):
    (tmp_path / "bad.yaml").write_text("methodpick: 1\nborings: [{id: B}]\nrates: {rigg: 3}\n", encoding="utf-8")
    for words in (("takeoff", tmp_path / "bad.yaml"), ("takeoff", VIADUCT, "--shaft", "B99-1"), ("takeoff", tmp_path / "none.yaml")):
        done = run(*words)
        assert done.returncode == 2
        assert "Traceback" not in done.stderr
    assert "did you mean 'rig'?" in run("takeoff", tmp_path / "bad.yaml").stderr


def test_plan_names_the_borings_and_why_stands_on_the_same_ground():
    planned = run("plan", VIADUCT, "--shaft", "B5-4", "--for", "engineer")
    assert planned.returncode == 0, planned.stderr
    assert "boring V-5 of 2026-03-06, 59.2 ft away, its ground 3.0 ft lower" in " ".join(planned.stdout.split())
    assert BORINGS.upper() in planned.stdout
    asked = run("why", VIADUCT, "--shaft", "B5-4", "--depth", "30ft", "--no-flips")
    assert asked.returncode == 0, asked.stderr


def test_the_bar_is_for_a_terminal_only():
    """On a pseudo-terminal the bar goes to standard error, without colour whatever the page has; standard output stays the page."""
    reader, writer = pty.openpty()
    code = (
        "import time\nfrom methodpick.cli.output import progress_bar\nwith progress_bar('planning') as tell:\n"
        "    for n in (1, 2, 3):\n        time.sleep(0.4)\n        tell(n, 3)\nprint('page')"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=writer, check=True, timeout=60, env={**os.environ, "TERM": "xterm"}
    )
    os.close(writer)
    seen = os.read(reader, 65536).decode("utf-8", "replace")
    os.close(reader)
    assert done.stdout == b"page\n"
    assert "planning" in seen
    assert re.search("\x1b\\[[0-9;]*m", seen) is None
    assert "/100" not in seen


# ---- ``methodpick sheets``: one command gives all sheets


LENS = folder("profiles") / "caving-lens.yaml"
WANTED = {
    "method_schedule.csv",
    "casing_schedule.csv",
    "strings.csv",
    "slurry_control.csv",
    "concrete_plan.csv",
    "depth_volume.csv",
    "takeoff.csv",
    "hold_points.csv",
    "fallbacks.csv",
    "questions.csv",
    "assumptions.csv",
    "reliance.csv",
    "workbook.xlsx",
    "report.html",
    "plan.json",
}


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    home = tmp_path_factory.mktemp("site") / "deep" / "sheets"
    return home, run("sheets", LENS, "-o", home)


def test_one_command_gives_all_sheets_and_says_so(written):
    home, done = written
    assert done.returncode == 0, done.stderr
    assert {path.name for path in home.iterdir()} >= WANTED
    for path in home.iterdir():
        assert path.name in done.stdout or path.name == MANIFEST
    assert "licensed engineer" in done.stdout


def test_plan_json_and_takeoff_csv_are_those_of_the_other_commands(written):
    home, _ = written
    assert json.loads((home / "plan.json").read_text(encoding="utf-8"))["format"] == "methodpick-plan/2"
    assert run("plan", LENS, "--json", "-").stdout == (home / "plan.json").read_text(encoding="utf-8")
    assert run("takeoff", LENS, "--csv", "-").stdout == (home / "takeoff.csv").read_text(encoding="utf-8")


def test_files_of_others_are_left_alone_and_its_own_are_the_same_twice(written):
    home, _ = written
    (home / "notes.txt").write_text("mine", encoding="utf-8")
    before = {path.name: path.read_bytes() for path in home.iterdir()}
    assert run_as_process("sheets", LENS, "-o", home, env={**os.environ, "PYTHONHASHSEED": "7"}).returncode == 0
    assert {path.name: path.read_bytes() for path in home.iterdir()} == before


def test_without_the_library_the_csv_are_still_written(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "xlsxwriter", None)
    done = run("sheets", LENS, "-o", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    assert "methodpick[xlsx]" in done.stderr
    assert {path.name for path in (tmp_path / "out").iterdir()} >= WANTED - {"workbook.xlsx"}
    assert not (tmp_path / "out" / "workbook.xlsx").exists()


def test_sheets_on_the_console_in_other_units():
    done = run("sheets", LENS, "--sheet", "hold_points", "--sheet", "strings", "--units", "si", "--width", "100")
    assert done.returncode == 0, done.stderr
    assert "HOLD POINTS" in done.stdout
    assert "CASING STRINGS" in done.stdout
    assert "TAKEOFF" not in done.stdout
    assert " ft" not in done.stdout
    assert "⟦" not in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 100


def test_a_sheet_that_is_not_there_is_exit_2_and_never_a_traceback(tmp_path):
    taken = tmp_path / "file"
    taken.write_text("x", encoding="utf-8")
    for words in (
        ("sheets", LENS, "-o", taken),
        ("sheets", LENS, "-o", taken / "under"),
        ("sheets", LENS, "--sheet", "hold_point"),
        ("sheets", tmp_path / "none.yaml"),
        ("sheets", LENS, "--shaft", "nobody"),
    ):
        done = run(*words)
        assert done.returncode == 2, words
        assert "Traceback" not in done.stderr
    assert "did you mean 'hold_points'?" in run("sheets", LENS, "--sheet", "hold_point").stderr
