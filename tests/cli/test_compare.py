"""``methodpick compare`` as a user meets it."""

import csv
import json

from command_line import run

from methodpick.resources import folder

SITE = folder("profiles") / "caving-lens.yaml"


def test_the_page_has_all_parts_within_80_columns():
    done = run("compare", SITE, "--kinds")
    assert done.returncode == 0, done.stderr
    for word in ("SIDE BY SIDE", "one casing", "relative cost", "tool's own", "No rates are given", "SHAFT P4", "fluid to the tip"):
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
