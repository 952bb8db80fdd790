"""``new --tables`` writes tables, ``convert`` says how it understood them, and the site file plans like the tables."""

import json
import sys

import openpyxl
import pytest
from command_line import run

from methodpick.resources import folder


@pytest.fixture(scope="module")
def workbook(tmp_path_factory):
    path = tmp_path_factory.mktemp("form") / "site.xlsx"
    assert run("new", "--tables", path).returncode == 0
    return path


def test_the_workbook_has_lists_units_an_example_and_explanations(workbook):
    book = openpyxl.load_workbook(workbook)
    assert {"explanations", "site", "borings", "layers", "spt", "water", "shafts", "stock", "rates"} <= set(book.sheetnames)
    borings = book["borings"]
    assert "depth (ft)" in [cell.value for cell in borings[1]]
    lists = [rule.formula1 for rule in borings.data_validations.dataValidation]
    assert any("hollow_stem_auger" in choices for choices in lists)
    assert borings["A2"].value == "B-1"


def test_nothing_is_overwritten_unless_told(workbook, tmp_path):
    assert run("new", "--tables", workbook).returncode == 2
    assert run("new", "--tables", workbook, "--force").returncode == 0
    folder = tmp_path / "tables"
    assert run("new", "--tables", folder, "--units", "si").returncode == 0
    assert (folder / "shafts.csv").read_text(encoding="utf-8").startswith("id,boring,diameter (mm)")
    assert run("new", "--tables", folder).returncode == 2


@pytest.mark.parametrize("words", [(), ("--tables", "form.doc"), ("site.yaml", "--tables", "form.xlsx")])
def test_what_to_write_must_be_named(words, tmp_path):
    done = run("new", *words, cwd=tmp_path)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr


def test_convert_says_what_it_understood_and_the_site_file_plans_the_same(workbook, tmp_path):
    out = tmp_path / "site.yaml"
    done = run("convert", workbook, "-o", out)
    assert done.returncode == 0, done.stderr
    assert "diameter <- 'diameter (in)' in in" in done.stderr
    assert "shafts: 1 rows read, 1 used" in done.stderr
    plans = [json.loads(run("plan", source, "--json", "-").stdout) for source in (workbook, out)]
    for plan in plans:
        del plan["input"]  # the name and the digest of the file
    assert plans[0] == plans[1]


def test_without_the_library_the_extra_is_named(workbook, monkeypatch):
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    done = run("check", workbook)
    assert done.returncode == 2
    assert "methodpick[xlsx]" in done.stderr


@pytest.mark.parametrize("output", ["site.xlsx", "site"])
def test_a_site_file_becomes_tables_of_which_the_plan_is_the_same(output, tmp_path):
    source, target = folder("profiles") / "karst.yaml", tmp_path / output
    if not target.suffix:
        target.mkdir()
    done = run("convert", source, "-o", target)
    assert (done.returncode, done.stderr.splitlines()[-1]) == (0, f"{target}: 1 boring and 2 shafts written.")
    plans = [json.loads(run("plan", each, "--json", "-").stdout)["shafts"] for each in (source, target)]
    assert plans[0] == plans[1]


def test_an_output_without_an_ending_says_what_it_is_to_be(tmp_path):
    source, target = folder("profiles") / "karst.yaml", tmp_path / "tables"
    done = run("convert", source, "-o", target)
    assert (done.returncode, target.exists()) == (2, False)
    assert "--to csv makes the folder" in done.stderr
    assert run("convert", source, "-o", target, "--to", "csv").returncode == 0
    assert (target / "shafts.csv").is_file()


def test_what_no_table_holds_is_said_where_tables_are_written(tmp_path):
    done = run("convert", folder("profiles") / "stiff-clay.yaml", "-o", tmp_path / "site.xlsx")
    assert "- left out, layers, seams: 1\n" in done.stderr
