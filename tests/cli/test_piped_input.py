"""A file may come by standard input, of whatever format it is."""

import json
import subprocess
import sys

import pytest
from command_line import run, run_as_process

from methodpick.errors import InputError
from methodpick.input_files import STANDARD_INPUT, read_bytes
from methodpick.resources import folder

LENS = folder("profiles") / "caving-lens.yaml"


@pytest.fixture(scope="module")
def piped_plan():
    """Return the plan of the caving lens as JSON, from standard input."""
    return run("plan", "-", "--json", "-", piped=LENS.read_bytes()).stdout


def test_a_piped_site_file_is_planned_as_the_file_is(piped_plan):
    piped, named = json.loads(piped_plan), json.loads(run("plan", LENS, "--json", "-").stdout)
    assert piped["input"].pop("path") == "standard input"
    assert named["input"].pop("path") == "caving-lens.yaml"
    assert piped == named


def test_a_piped_plan_is_verified(piped_plan):
    done = run("verify", "-", piped=piped_plan.encode())
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("-: verified: 1 shaft")


@pytest.mark.parametrize("suffix", [".ags", ".xlsx"])
def test_the_format_of_what_is_piped_is_known_by_how_it_begins(suffix, tmp_path):
    made = tmp_path / f"made{suffix}"
    words = ("new", "--tables", made) if suffix == ".xlsx" else ("convert", LENS, "-o", made)
    assert run(*words).returncode == 0
    by_name, by_pipe = run("check", made), run("check", "-", piped=made.read_bytes())
    assert (by_pipe.returncode, by_pipe.stdout) == (by_name.returncode, by_name.stdout.replace(str(made), "-").replace(made.name, "-"))


def test_what_is_wrong_in_what_is_piped_has_its_place():
    done = run("plan", "-", piped=b"methodpick: 1\nsite: {units: xx}\n")
    assert done.returncode == 2
    assert "-:2:15: 'xx' is not a known value of 'units'" in done.stderr


@pytest.mark.parametrize("content", [b"", b"%PDF-1.7 words", b"\xff\xfe\x00\x00", b"words and no more"], ids=str)
def test_what_is_no_site_is_refused_by_name(content):
    done = run("plan", "-", piped=content)
    assert done.returncode == 2
    assert done.stderr.startswith("-")
    assert "Traceback" not in done.stderr


def test_closed_standard_input_is_said(monkeypatch):
    monkeypatch.setattr(sys, "stdin", None)
    with pytest.raises(InputError, match="-: standard input is closed"):
        read_bytes(STANDARD_INPUT, "-", 100)


def test_a_program_reads_its_standard_input():
    done = run_as_process("check", "-", input=LENS.read_text(encoding="utf-8"))
    assert done.stdout.startswith("-: 1 boring, 1 shaft.")


@pytest.mark.parametrize(("to", "suffix"), [("ags4", ".ags"), ("xlsx", ".xlsx")])
def test_what_is_converted_to_standard_output_is_the_file(to, suffix, tmp_path):
    named = tmp_path / f"made{suffix}"
    assert run("convert", LENS, "-o", named).returncode == 0
    made = tmp_path / "printed"
    with made.open("wb") as into:
        done = subprocess.run(
            [sys.executable, "-m", "methodpick", "convert", LENS, "-o", "-", "--to", to], stdout=into, stderr=subprocess.PIPE, check=False
        )
    assert done.returncode == 0, done.stderr
    if to == "ags4":
        assert made.read_bytes() == named.read_bytes()
    else:
        assert made.read_bytes()[:2] == b"PK"
        plans = [json.loads(run("plan", "-", "--json", "-", piped=path.read_bytes()).stdout)["shafts"] for path in (made, named)]
        assert plans[0] == plans[1]


def test_tables_of_csv_do_not_go_to_standard_output():
    done = run("convert", LENS, "--to", "csv")
    assert done.returncode == 2
    assert "several files" in done.stderr
    assert done.stdout == ""


@pytest.mark.parametrize(
    "words",
    [("-o", "made.csv"), ("-o", "made.diggs"), ("-o", "made.json"), ("-o", "made.xlsx", "--to", "ags4"), ("-o", "w", "--to", "xlsx")],
)
def test_an_output_whose_ending_is_not_what_is_written_is_refused(words, tmp_path):
    done = run("convert", LENS, *words, cwd=tmp_path)
    assert (done.returncode, done.stdout, list(tmp_path.glob("made*"))) == (2, "", [])
    assert "expected: a site file" in done.stderr


def test_csv_files_go_into_a_folder_that_is_made(tmp_path):
    assert run("convert", LENS, "--to", "csv", "-o", tmp_path / "tables").returncode == 0
    assert (tmp_path / "tables" / "layers.csv").exists()


@pytest.mark.parametrize(
    ("words", "begins"),
    [
        (("report", LENS, "-o", "-"), "<!doctype html>"),
        (("draw", LENS, "--shaft", "P4", "-o", "-"), "<svg"),
        (("compare", LENS, "--csv", "-"), "way,"),
        (("rules", "docs", "-o", "-"), "# "),
        (("new", "-"), "methodpick: 1"),
    ],
)
def test_a_file_named_by_a_dash_goes_to_standard_output_and_to_no_file(words, begins, tmp_path):
    done = run(*words, cwd=tmp_path)
    assert (done.returncode, list(tmp_path.iterdir())) == (0, [])
    assert done.stdout.lower().startswith(begins)


@pytest.mark.parametrize("words", [("compare", LENS, "-o", "-"), ("new", "--tables", "-")])
def test_a_workbook_named_by_a_dash_goes_to_standard_output_byte_for_byte(words, tmp_path):
    words = [sys.executable, "-m", "methodpick", *map(str, words)]
    done = subprocess.run(words, cwd=tmp_path, capture_output=True, check=False)
    assert (done.returncode, done.stdout[:2], list(tmp_path.iterdir())) == (0, b"PK", []), done.stderr


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("sheets", LENS, "-o", "-"), "several files"),
        (("compare", LENS, "-o", "-", "--json", "-"), "both go to standard output"),
        (("programme", "-"), "methodpick plan -"),
    ],
)
def test_what_cannot_go_by_a_dash_is_refused_with_the_way_to_do_it(words, told, tmp_path):
    done = run(*words, cwd=tmp_path)
    assert (done.returncode, done.stdout, list(tmp_path.iterdir())) == (2, "", [])
    assert told in done.stderr
