"""``methodpick compare`` as a user meets it."""

import csv
import json

import pytest
from command_line import run

from methodpick.plan.reasons.notes import FAMILY_WORDS
from methodpick.resources import folder

SITE = folder("profiles") / "caving-lens.yaml"


def read_tabs(path):
    """Return the rows of every sheet of a workbook, read by another library than the one that writes."""
    openpyxl = pytest.importorskip("openpyxl")
    return {sheet.title: list(sheet.iter_rows(values_only=True)) for sheet in openpyxl.load_workbook(path)}


def test_the_page_has_all_parts_within_80_columns():
    done = run("compare", SITE, "--kinds")
    assert done.returncode == 0, done.stderr
    for word in ("SIDE BY SIDE", "one casing", "relative cost", "tool's own", "No rates are given", "SHAFT P4", FAMILY_WORDS["slurry"]):
        assert word in done.stdout, word
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert "⟦" not in done.stdout


def test_json_and_csv_from_standard_input():
    text = SITE.read_bytes()
    made = json.loads(run("compare", "-", "--json", "-", piped=text).stdout)
    assert made["format"] == "methodpick-compare/1"
    assert made["input"]["path"] == "standard input"
    names = [way["title"] for way in made["ways"]]
    rows = list(csv.DictReader(run("compare", "-", "--csv", "-", piped=text).stdout.splitlines()))
    assert [row["way"] for row in rows] == names
    assert all(float(row["concrete to order, yd3"]) > 0 for row in rows)


def test_a_comparison_is_written_as_a_workbook(tmp_path):
    """The ways and each kind in them; of two revisions what changed, the inputs and the sums, with the numbers of the page."""
    book = tmp_path / "ways.xlsx"
    done = run("compare", SITE, "-o", book)
    assert done.returncode == 0, done.stderr
    tabs = read_tabs(book)
    assert list(tabs) == ["comparison", "kinds"]
    heads, *rows = tabs["comparison"][2:]
    assert [row[0] for row in rows] == ["plan", "cautious", "one fluid", "one casing diameter", "other family"]
    drilled = next(place for place, head in enumerate(heads) if head.startswith("drilled"))
    assert rows[0][drilled] == pytest.approx(240.0), "4 shafts of 60 ft"
    assert {row[0] for row in tabs["kinds"][3:]} == {row[0] for row in rows}
    later = tmp_path / "later.yaml"
    later.write_text(SITE.read_text(encoding="utf-8").replace("tip: 60", "tip: 66"), encoding="utf-8")
    assert run("compare", SITE, later, "-o", tmp_path / "changed.xlsx").returncode == 0
    tabs = read_tabs(tmp_path / "changed.xlsx")
    assert list(tabs) == ["changes", "inputs", "site"]
    assert tabs["inputs"][3][:3] == ("shafts[P4].tip", "60.0 ft", "66.0 ft")
    (drilled,) = [row for row in tabs["site"] if row[0] == "drilled"]
    assert drilled[2:4] == (pytest.approx(240.0), pytest.approx(264.0, abs=0.01))
    assert run("compare", SITE, "-o", tmp_path / "ways.ods").returncode == 2


def test_what_cannot_be_compared_is_refused(tmp_path):
    assert run("compare", SITE, "--csv", "-", "--json", "-").returncode == 2
    assert run("compare", SITE, "--json", SITE).returncode == 2
    assert run("compare", tmp_path / "none.yaml").returncode == 2
    assert run("compare", SITE, "--shaft", "P9").returncode == 2


def test_two_revisions_and_two_agencies(tmp_path):
    later = tmp_path / "later.yaml"
    later.write_text(SITE.read_text(encoding="utf-8").replace("tip: 60", "tip: 66"), encoding="utf-8")
    done = run("compare", SITE, later, "--strict")
    assert done.returncode == 1, done.stderr
    for word in ("INPUTS THAT DIFFER", "shafts[P4].tip: 60.0 ft -> 66.0 ft", "Because of shafts[P4].tip", "THE WHOLE SITE", "+24.0 ft"):
        assert word in done.stdout, word
    assert max(map(len, done.stdout.splitlines())) <= 80
    same = run("compare", SITE, SITE, "--strict")
    assert same.returncode == 0, same.stderr
    assert "do not differ" in same.stdout
    other = json.loads(run("compare", "-", "--against-agency", "fdot", "--json", "-", piped=SITE.read_bytes()).stdout)
    assert other["after"]["rulebook"]["overlays"] == ["fdot"]
    assert other["changes"][0]["causes"][0]["share"] == "decides"
    rows = list(csv.DictReader(run("compare", SITE, later, "--csv", "-").stdout.splitlines()))
    assert [row["shafts"] for row in rows] == ["P4"]


def test_what_belongs_to_the_other_form_is_refused(tmp_path):
    for words in (
        (SITE, "--strict"),
        (SITE, SITE, "--kinds"),
        ("-", "-"),
        (SITE, tmp_path / "none.yaml"),
        (SITE, "--against-agency", "fdto"),
    ):
        done = run("compare", *words)
        assert done.returncode in {2, 3}, words
        assert "Traceback" not in done.stderr
