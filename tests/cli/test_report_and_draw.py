"""``methodpick report`` and ``methodpick draw`` as programs."""

import sys
from html import unescape

import pytest
from command_line import run

from methodpick.cli.report import ENDINGS
from methodpick.resources import folder


@pytest.fixture
def karst():
    return folder("profiles") / "karst.yaml"


def test_help_names_every_ending_that_is_written():
    listed = run("report", "--help").stdout
    assert [ending for ending in ENDINGS if ending != ".htm" and ending not in listed] == []


def test_report_writes_by_the_ending(karst, tmp_path):
    pytest.importorskip("jinja2")
    for name, start in (("r.html", "<!DOCTYPE html>"), ("r.md", "# Drilled shaft installation plan (draft)")):
        done = run("report", karst, "-o", tmp_path / name)
        assert done.returncode == 0, done.stderr
        assert done.stdout == ""
        assert (tmp_path / name).read_text(encoding="utf-8").startswith(start)


@pytest.mark.parametrize(
    ("words", "titles"),
    [
        (("--for", "foreman"), ("Foreman's sheet: Shaft R1", "Fluid tests of the site", "Safety page")),
        (("--for", "engineer"), ("For the reviewing engineer: Shaft R1",)),
        (("--for", "estimator"), ("For the estimator",)),
        (("--letter",), ("Method statement for the bid",)),
    ],
)
def test_a_reader_and_a_letter_are_written_in_every_format(karst, tmp_path, words, titles):
    """The same pages as those that plan prints; the owner's report is another document."""
    pytest.importorskip("jinja2")
    printed = run("plan", karst, *words).stdout
    for name in ("r.html", "r.md"):
        done = run("report", karst, *words, "-o", tmp_path / name)
        assert done.returncode == 0, done.stderr
        text = unescape((tmp_path / name).read_text(encoding="utf-8"))
        assert [title for title in titles if title not in text] == []
        assert [title for title in titles if title not in printed] == []
        assert "Record of reliance" not in text


def test_report_of_one_shaft_in_other_units(karst, tmp_path):
    done = run("report", karst, "-o", tmp_path / "r.md", "--shaft", "R2", "--units", "si")
    assert done.returncode == 0, done.stderr
    text = (tmp_path / "r.md").read_text(encoding="utf-8")
    assert "Shaft R2" in text
    assert "Shaft R1" not in text
    assert "1372 mm" in text, "54 in x 25.4 mm"


@pytest.mark.parametrize("what", ["strip", "window", "volume"])
def test_draw_writes_an_svg(karst, tmp_path, what):
    done = run("draw", karst, "--shaft", "R1", "--what", what, "-o", tmp_path / "p.svg")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "p.svg").read_text(encoding="utf-8").startswith("<svg ")


def test_draw_writes_the_calendar_of_all_shafts(karst, tmp_path):
    done = run("draw", karst, "--what", "calendar", "-o", tmp_path / "c.svg")
    assert done.returncode == 0, done.stderr
    svg = (tmp_path / "c.svg").read_text(encoding="utf-8")
    assert ">R1 (1)<" in svg
    assert "casing strings in the ground" in svg


def test_draw_writes_a_section_of_all_shafts_and_a_png(karst, tmp_path):
    pytest.importorskip("resvg_py")
    done = run("draw", karst, "--what", "section", "-o", tmp_path / "s.png")
    if done.returncode:
        assert "no usable font was found" in done.stderr, "a machine without fonts gets a sentence and no picture"
    else:
        assert (tmp_path / "s.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("report", "-o", "r.docx"), ".html, .pdf, or .md"),
        (("report", "--letter", "--for", "foreman", "-o", "r.html"), "name different pages"),
        (("draw", "-o", "p.gif", "--shaft", "R1"), ".svg or .png"),
        (("draw", "-o", "p.svg"), "one of R1, R2"),
        (("draw", "-o", "p.svg", "--shaft", "R9"), "R9"),
    ],
)
def test_mistakes_become_a_sentence(karst, tmp_path, words, said):
    done = run(words[0], karst, *words[1:], cwd=tmp_path)
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr


def test_a_dry_shaft_has_no_window_to_draw(tmp_path):
    done = run("draw", folder("profiles") / "stiff-clay.yaml", "--shaft", "P1", "--what", "window", "-o", tmp_path / "p.svg")
    assert done.returncode == 2
    assert "without support fluid" in done.stderr


def test_an_extra_that_is_missing_is_named(karst, tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "jinja2", None)
    done = run("report", karst, "-o", tmp_path / "r.html")
    assert done.returncode == 2
    assert "pip install 'methodpick[html]'" in done.stderr
