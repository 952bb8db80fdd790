"""``methodpick sheets``: one command gives all sheets."""

import json
import os
import sys

import pytest
from command_line import run, run_as_process

from methodpick.cli.output import MANIFEST
from methodpick.resources import folder

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


def test_without_the_library_the_csv_are_still_written(tmp_path):
    (tmp_path / "away").mkdir()
    (tmp_path / "away" / "xlsxwriter.py").write_text("raise ImportError('away')\n", encoding="utf-8")
    paths = os.pathsep.join([str(tmp_path / "away"), *sys.path])
    done = run_as_process("sheets", LENS, "-o", tmp_path / "out", env={**os.environ, "PYTHONPATH": paths})
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


def test_wrong_input_is_exit_2_and_never_a_traceback(tmp_path):
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
