"""Recognising a file by its suffix, else by how it begins, and reading it through one call."""

import subprocess
import sys
from importlib import import_module

import pytest

from methodpick.errors import InputError
from methodpick.imports import input_formats
from methodpick.imports.input_formats import AGS3 as AGS3_LOG
from methodpick.imports.input_formats import AGS4 as AGS4_LOG
from methodpick.imports.input_formats import FORMATS, SITE_FILE, InputFormat, format_of, listed, read_file

SITE = "# a comment\n\nmethodpick: 1\nborings: [{id: B-1, depth: 30}]\n"
AGS3 = '"**HOLE"\n"*HOLE_ID","*HOLE_FDEP"\n"<UNITS>","m"\n"BH1","9.5"\n'
AGS4 = '"GROUP","LOCA"\n"HEADING","LOCA_ID","LOCA_FDEP"\n"UNIT","","m"\n"DATA","BH1","9.5"\n'


def written(tmp_path, name, text):
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("known", FORMATS, ids=lambda known: known.name)
def test_every_format_has_a_reader_and_suffixes_of_its_own(known):
    module, _, function = known.reader.partition(":")
    assert callable(getattr(import_module(module), function))
    assert known.suffixes
    assert all(suffix.startswith(".") and suffix == suffix.lower() for suffix in known.suffixes)
    assert known.name.split()[0] in {"a", "an"}


@pytest.mark.parametrize(
    ("name", "text", "boring", "units"),
    [
        ("a.yaml", SITE, "B-1", "us"),
        ("a.YML", SITE, "B-1", "us"),
        ("a.txt", SITE, "B-1", "us"),
        ("a", SITE, "B-1", "us"),
        ("a.ags", AGS4, "BH1", "si"),
        ("a.AGS4", AGS4, "BH1", "si"),
        ("a.txt", AGS4, "BH1", "si"),
        ("a", "\ufeff" + AGS4, "BH1", "si"),
        ("a.csv", AGS4, "BH1", "si"),
        ("a.ags", AGS3, "BH1", "si"),
        ("a.AGS3", AGS3, "BH1", "si"),
        ("a.txt", "\n" + AGS3, "BH1", "si"),
    ],
)
def test_a_file_is_read_by_its_suffix_or_by_how_it_begins(tmp_path, name, text, boring, units):
    read = read_file(written(tmp_path, name, text))
    assert [profile.id for profile in read.profiles] == [boring]
    assert read.units == units
    assert len(read.digest) == 64


def test_formats_that_share_a_suffix_are_told_apart_by_how_they_begin(tmp_path, monkeypatch):
    other = InputFormat("another log", (".ags",), r"\s*PROJECT", "methodpick.imports.ags4:read_ags4")
    monkeypatch.setattr(input_formats, "FORMATS", (*FORMATS, other))
    assert format_of(written(tmp_path, "other.ags", "PROJECT 9\n")) is other
    assert format_of(written(tmp_path, "old.ags", '"**PROJ"\n')) is AGS3_LOG
    assert format_of(written(tmp_path, "new.ags", AGS4)) is AGS4_LOG
    assert format_of(written(tmp_path, "odd.ags", "Drilled in May.\n")) is AGS4_LOG, "the first of its suffix says what is wrong"


def test_an_imported_log_is_a_site_of_its_borings_named_like_the_file(tmp_path):
    read = read_file(written(tmp_path, "quay.ags", AGS4))
    assert (read.site.site.name, read.site.shafts, read.doubts) == ("quay", (), ())


@pytest.mark.parametrize("text", ["Drilled in May.\n", "%PDF-1.7\n", "site: {name: x}\n"])
def test_a_file_of_no_known_format_is_answered_with_the_formats(tmp_path, text):
    with pytest.raises(InputError) as caught:
        format_of(written(tmp_path, "log.txt", text))
    (problem,) = caught.value.problems
    for known in FORMATS:
        assert known.name in problem.expected
        assert known.suffixes[0] in problem.expected


def test_what_a_file_is_that_nobody_reads_is_said(tmp_path):
    with pytest.raises(InputError, match="this is a PDF"):
        read_file(written(tmp_path, "log.pdf", "%PDF-1.7\n"))


def test_what_is_no_regular_file_is_said(tmp_path):
    for path, word in ((tmp_path, "folder"), (tmp_path / "none.log", "no such file"), (written(tmp_path, "a.log", ""), "empty")):
        with pytest.raises(InputError, match=word):
            read_file(path)


def test_a_log_with_the_suffix_of_a_site_file_says_which_suffix_it_needs(tmp_path):
    with pytest.raises(InputError) as caught:
        read_file(written(tmp_path, "log.yaml", AGS4))
    assert ".ags" in caught.value.problems[0].hint


def test_naming_the_formats_imports_no_model_of_the_ground():
    """Help names them, and must stay fast."""
    code = "import sys, methodpick.imports.input_formats as f; f.listed(); print('pydantic' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    assert done.stdout == "False\n"


def test_help_of_every_command_that_reads_a_file_names_the_formats():
    from methodpick.cli.app import command_named

    for name in ("check", "plan", "takeoff", "report", "draw", "sheets", "why", "convert"):
        (file,) = (parameter for parameter in command_named(name).params if parameter.name == "file")
        for known in FORMATS:
            assert known.name in file.help, name
    assert listed().count("(") == len(FORMATS)


@pytest.mark.parametrize("text", ["methodpick: 1", "# a note\n\nmethodpick : 1", '{"methodpick": 1}', "{methodpick: 1}", '"methodpick": 1'])
def test_a_site_file_is_known_by_its_first_key_however_it_is_written(text):
    assert SITE_FILE.matches(text)


def test_a_plan_is_no_site_file():
    assert not SITE_FILE.matches('{"format": "methodpick-plan/1"}')
