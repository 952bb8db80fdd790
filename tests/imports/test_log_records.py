"""Logs that another program has saved again: the same borings, whatever became of quotes, commas, case and units. Invented; no source."""

import re

import pytest

from methodpick.imports.ags3 import read_ags3
from methodpick.imports.ags4 import read_ags4
from methodpick.imports.input_formats import format_of, read_file

AGS4 = """"GROUP","LOCA"
"HEADING","LOCA_ID","LOCA_TYPE","LOCA_GL","LOCA_FDEP"
"UNIT","","","m","m"
"TYPE","ID","PA","2DP","2DP"
"DATA","KB-1","CP","12.50","15.00"

"GROUP","GEOL"
"HEADING","LOCA_ID","GEOL_TOP","GEOL_BASE","GEOL_DESC"
"UNIT","","m","m",""
"TYPE","ID","2DP","2DP","X"
"DATA","KB-1","0.00","6.00","Firm ""blue"" CLAY, fissures at 10\N{DEGREE SIGN}"
"DATA","KB-1","6.00","15.00","Dense SAND"

"GROUP","ISPT"
"HEADING","LOCA_ID","ISPT_TOP","ISPT_NVAL","ISPT_REP"
"UNIT","","m","",""
"TYPE","ID","2DP","0DP","X"
"DATA","KB-1","2.00","12","N=12 (1,2/3,3,3,3)"
"DATA","KB-1","7.00","","50/75mm (12,13/50 for 75mm)"
"""
AGS3 = """"**HOLE"
"*HOLE_ID","*HOLE_TYPE","*HOLE_GL","*HOLE_FDEP"
"<UNITS>","","m","m"
"KB-1","CP","12.50","15.00"

"**GEOL"
"*HOLE_ID","*GEOL_TOP","*GEOL_BASE","*GEOL_DESC"
"<UNITS>","m","m",""
"KB-1","0.00","6.00","Firm ""blue"" CLAY, fissures at 10\N{DEGREE SIGN}"
"KB-1","6.00","15.00","Dense SAND"

"**ISPT"
"*HOLE_ID","*ISPT_TOP","*ISPT_NVAL","*ISPT_REP"
"<UNITS>","m","",""
"KB-1","2.00","12","N=12 (1,2/3,3,3,3)"
"KB-1","7.00","","50/75mm (12,13/50 for 75mm)"
"""
SAVED = {
    "tabs": lambda text: text.replace('","', '"\t"'),
    "semicolons": lambda text: text.replace('","', '";"'),
    "blanks behind commas": lambda text: text.replace('","', '", "'),
    "tabs behind commas": lambda text: text.replace('","', '",\t"'),
    "commas at the end": lambda text: re.sub(r'(?m)"$', '",,,', text),
    "curly quotes": lambda text: re.sub(r'(?<!")"(?!")(?=[^,\n])', "\N{LEFT DOUBLE QUOTATION MARK}", text),
    "headings in lower case": lambda text: re.sub(r'"\*?[A-Z]{4}_[A-Z0-9]+"', lambda found: found[0].lower(), text),
    "groups in lower case": lambda text: re.sub(r'"(?:GROUP","|\*\*)[A-Z]{4}"', lambda found: found[0].lower(), text),
    "units in the headings": lambda text: text.replace('_TOP"', '_TOP (m)"').replace('_BASE"', '_BASE [m]"'),
    "units that say from where": lambda text: text.replace('"m"', '"m bgl"'),
    "units in words": lambda text: text.replace('"m"', '"METRES"'),
    "no units": lambda text: re.sub(r'(?m)^"(?:UNIT"|<UNITS>).*\n', "", text),
    "units with the numbers": lambda text: re.sub(r'"(\d+\.00)"', r'"\1 m"', text),
    "decimal commas": lambda text: re.sub(r'"(\d+)\.(\d\d)"', r'"\1,\2"', text),
    "line ends of old": lambda text: text.replace("\n", "\r"),
    "line ends of others": lambda text: text.replace("\n", "\r\n"),
    "blank lines": lambda text: text.replace("\n", "\n\n"),
}


@pytest.mark.parametrize("how", SAVED)
@pytest.mark.parametrize(("read", "plain"), [(read_ags4, AGS4), (read_ags3, AGS3)], ids=["AGS4", "AGS3"])
def test_a_log_that_was_saved_again_gives_the_same_boring(read, plain, how):
    changed = SAVED[how](plain)
    assert changed != plain
    assert read(changed).profiles == read(plain).profiles


@pytest.mark.parametrize(("text", "name"), [(AGS4, "an AGS4 log"), (AGS3, "an AGS3 log")], ids=["AGS4", "AGS3"])
@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_log_is_known_and_read_in_every_coding(tmp_path, text, name, coding):
    path = tmp_path / "log.ags"
    path.write_bytes(text.encode(coding))
    assert format_of(path).name == name
    assert read_file(path).profiles[0].layers[0].description.endswith("10\N{DEGREE SIGN}")


@pytest.mark.parametrize(("text", "name"), [(AGS4, "an AGS4 log"), (AGS3, "an AGS3 log")], ids=["AGS4", "AGS3"])
def test_a_log_without_quotes_is_known_by_its_beginning(tmp_path, text, name):
    path = tmp_path / "log.txt"
    path.write_text(text.replace('""', "").replace('"', "").replace(" CLAY,", " CLAY"), "utf-8")
    assert format_of(path).name == name
    assert [layer.base_m for layer in read_file(path).profiles[0].layers] == [6.0, 15.0]


def test_a_comma_that_may_part_thousands_is_no_number():
    read = read_ags4(AGS4.replace('"12.50"', '"1,250"'))
    assert read.profiles[0].ground_elevation_m is None
    assert any("not a number" in doubt.message for doubt in read.doubts)
    assert read_ags4(AGS4.replace('"12.50"', '"1,250.5"')).profiles[0].ground_elevation_m == 1250.5


def test_a_comma_for_a_point_is_told_once_a_heading():
    read = read_ags4(SAVED["decimal commas"](AGS4))
    told = [doubt.message for doubt in read.doubts if "comma" in doubt.message]
    assert sorted(message.partition(" ")[0] for message in told) == ["GEOL_BASE", "GEOL_TOP", "ISPT_TOP", "LOCA_FDEP", "LOCA_GL"]


def test_a_length_in_millimetres_is_as_exact_as_its_column():
    assert read_ags4(AGS4.replace('"6.00"', '"6000.8 mm"')).profiles[0].layers[0].base_m == 6.001
