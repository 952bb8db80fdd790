"""Weathering that logs grade beside their words, in every format. Logs are invented; scales: ISRM, EN ISO 14689, BS 5930."""

import pytest

from methodpick.errors import InputError
from methodpick.formats.log_ags4 import borings_ags4
from methodpick.ground.check import check
from methodpick.imports.ags3 import read_ags3
from methodpick.imports.ags4 import read_ags4
from methodpick.imports.diggs import read_diggs
from methodpick.imports.site_file import read_site
from methodpick.imports.tables import read_tables

LAYERS = '"BH1","0.00","3.00","Stiff CLAY"', '"BH1","3.00","15.00","Strong grey SANDSTONE"'


def ags4(*grades, layers=LAYERS, more=""):
    return "\n".join(
        (
            '"GROUP","LOCA"\n"HEADING","LOCA_ID","LOCA_FDEP"\n"UNIT","","m"\n"DATA","BH1","15.00"\n',
            '"GROUP","GEOL"\n"HEADING","LOCA_ID","GEOL_TOP","GEOL_BASE","GEOL_DESC"\n"UNIT","","m","m",""',
            *(f'"DATA",{layer}' for layer in layers),
            '\n"GROUP","WETH"\n"HEADING","LOCA_ID","WETH_TOP","WETH_BASE","WETH_SCH","WETH_WETH"\n"UNIT","","m","m","",""',
            *(f'"DATA","BH1",{grade}' for grade in grades),
            more,
        )
    )


def told(text):
    read = read_ags4(text)
    return [(layer.top_m, layer.base_m, layer.weathering, layer.described.likely) for layer in read.profiles[0].layers], read


def test_a_layer_is_parted_where_the_grade_changes():
    layers, read = told(ags4('"3.00","6.50","ISRM","IV"', '"6.50","15.00","ISRM","II"'))
    assert layers == [(0, 3, None, "clay"), (3, 6.5, "highly", "weathered_rock"), (6.5, 15, "slightly", "rock")]
    assert not read.doubts


def test_equal_grades_part_nothing_and_the_rest_keeps_its_words():
    layers, _ = told(ags4('"5.00","7.00","","Slightly weathered"', '"7.00","9.00","","SW"'))
    assert layers[1:] == [(3, 5, None, "rock"), (5, 9, "slightly", "rock"), (9, 15, None, "rock")]


@pytest.mark.parametrize(
    ("scheme", "grade", "degrees"),
    [
        ("EN ISO 14689-1", "3", "highly"),
        ("ISRM", "3", "moderately"),
        ("", "3", "moderately to highly"),
        ("BS5930", "III/IV", "moderately to highly"),
    ],
)
def test_a_digit_is_read_by_its_scheme(scheme, grade, degrees):
    """EN ISO 14689-1 table of weathering: 0 fresh, 3 highly weathered; ISRM: I fresh, III moderately weathered (from memory)."""
    assert told(ags4(f'"3.00","15.00","{scheme}","{grade}"'))[0][1][2] == degrees


def test_the_table_of_codes_of_the_file_goes_before_the_scheme():
    codes = '\n"GROUP","ABBR"\n"HEADING","ABBR_HDNG","ABBR_CODE","ABBR_DESC"\n"UNIT","","",""\n"DATA","WETH_WETH","2","Highly weathered"\n'
    assert told(ags4('"3.00","15.00","","2"', more=codes))[0][1][2] == "highly"


def test_words_and_grade_that_disagree_are_a_doubt_and_both_stay_possible():
    layers = LAYERS[0], '"BH1","3.00","15.00","Strong grey slightly weathered SANDSTONE"'
    _, read = told(ags4('"3.00","15.00","ISRM","V"', layers=layers))
    rock = read.profiles[0].layers[1].described
    assert rock.soils == {"rock", "weathered_rock"}
    assert (rock.likely, rock.decomposed) == ("weathered_rock", True)
    assert any("the log grades its weathering as completely" in doubt.message for doubt in check(read.site))


@pytest.mark.parametrize("grade", ["I", "II", "III"])
def test_a_better_grade_never_makes_words_better(grade):
    layers = LAYERS[0], '"BH1","3.00","15.00","Highly weathered grey GRANITE"'
    _, read = told(ags4(f'"3.00","15.00","ISRM","{grade}"', layers=layers))
    rock = read.profiles[0].layers[1].described
    assert rock.likely == "weathered_rock"
    assert any("words say highly weathered" in doubt.message for doubt in check(read.site))


def test_a_layer_whose_words_name_depths_has_all_grades_as_one_range():
    layers = LAYERS[0], '"BH1","3.00","15.00","Weak grey SANDSTONE, strong below 9.00m"'
    assert told(ags4('"3.00","6.50","ISRM","IV"', '"6.50","15.00","ISRM","II"', layers=layers))[0][1:] == [
        (3, 15, "slightly to highly", "rock")
    ]


def counted(read):
    return next((count.rows, count.used, dict(count.set_aside)) for count in read.counts if count.group == "WETH")


def test_every_row_is_counted_used_or_set_aside_with_its_reason():
    rows = (
        '"0.00","3.00","","II"',
        '"3.00","9.00","","II"',
        '"","9.00","","II"',
        '"9.00","9.00","","II"',
        '"9.00","15.00","","see core box"',
    )
    assert counted(told(ags4(*rows))[1]) == (
        5,
        1,
        {
            "the ground that it grades is no rock by its words": 1,
            "the grade of weathering has no depth": 1,
            "the base of the graded length is not below its top": 1,
            "no grade of weathering is understood": 1,
        },
    )


def test_grades_that_overlap_are_a_doubt_and_a_range():
    layers, read = told(ags4('"3.00","15.00","ISRM","II"', '"8.00","15.00","ISRM","IV"'))
    assert (
        layers[1:] == [(3, 8, "slightly", "rock"), (8, 15, "slightly to highly", "weathered_rock")] or layers[2][2] == "slightly to highly"
    )
    assert any("two grades of weathering overlap" in doubt.message for doubt in read.doubts)


def test_ags3():
    text = (
        '"**HOLE"\n"*HOLE_ID","*HOLE_FDEP"\n"<UNITS>","m"\n"BH1","15"\n\n'
        '"**GEOL"\n"*HOLE_ID","*GEOL_TOP","*GEOL_BASE","*GEOL_DESC"\n"<UNITS>","m","m",""\n"BH1","0","15","Strong GRANITE"\n\n'
        '"**WETH"\n"*HOLE_ID","*WETH_TOP","*WETH_BASE","*WETH_GRAD"\n"<UNITS>","m","m",""\n"BH1","0","6","V"\n"BH1","6","15","II"\n'
    )
    assert [(layer.base_m, layer.weathering) for layer in read_ags3(text).profiles[0].layers] == [(6, "completely"), (15, "slightly")]


def test_diggs_beside_written_words():
    text = (
        '<Diggs xmlns="http://diggsml.org/schemas/2.6" xmlns:gml="http://www.opengis.net/gml/3.2"><samplingFeature><Borehole gml:id="b">'
        '<gml:name>B-1</gml:name><totalMeasuredDepth uom="m">9</totalMeasuredDepth></Borehole></samplingFeature><observation>'
        "<LithologySystem><lithologyObservation><LithologyObservation><location><gml:posList>0 9</gml:posList></location><primaryLithology>"
        "<Lithology><lithDescription>grey SHALE</lithDescription><fieldProperties><FieldProperties><rockWeathering>highly weathered"
        "</rockWeathering></FieldProperties></fieldProperties></Lithology></primaryLithology></LithologyObservation></lithologyObservation>"
        "</LithologySystem></observation></Diggs>"
    )
    layer = read_diggs(text).profiles[0].layers[0]
    assert (layer.weathering, layer.described.likely) == ("highly", "weathered_rock")


def test_tables_and_the_way_through_a_log_and_back(tmp_path):
    (tmp_path / "layers.csv").write_text(
        "boring,top (m),base (m),description,weathering grade\nB-1,0,4,stiff clay,\nB-1,4,9,sandstone,III/IV\n"
    )
    boring = read_tables(tmp_path).site.borings[0]
    assert boring.layers[1].weathering == "moderately to highly"
    assert read_ags4(borings_ags4([boring]).text).profiles[0].layers == boring.layers


def test_a_site_file_refuses_what_is_no_grade():
    text = "methodpick: 1\nborings:\n  - id: B-1\n    depth: 20\n    layers: [{top: 0, base: 20, description: shale, weathering: rusty}]\n"
    with pytest.raises(InputError, match="no grade of weathering"):
        read_site(text)
    assert read_site(text.replace("rusty", "4"))[0].borings[0].layers[0].weathering == "highly to completely"


# chalk: CIRIA C574 (from memory): A to C by the aperture of the joints, 1 to 5 by their spacing, Dm and Dc structureless


CHALK = '"BH1","0.00","3.00","Stiff CLAY"', '"BH1","3.00","15.00","White CHALK with flints"'


def test_chalk_is_parted_by_its_grades():
    layers, read = told(
        ags4('"3.00","6.50","CIRIA","Dm"', '"6.50","9.00","CIRIA","C3/4"', '"9.00","15.00","CIRIA","Grade B2"', layers=CHALK)
    )
    assert layers[1:] == [(3, 6.5, "Dm", "weathered_rock"), (6.5, 9, "C3 to C4", "rock"), (9, 15, "B2", "rock")]
    paste, rubble, rock = (layer.described for layer in read.profiles[0].layers[1:])
    assert (paste.as_soil.likely, paste.decomposed, rubble.decomposed, rock.decomposed) == ("silt", True, True, False)
    assert (paste.chalk_grade, rock.chalk_grade) == ("Dm", "B2")
    assert not read.doubts
    assert counted(read) == (3, 3, {})


def test_a_range_of_grades_down_to_paste_leaves_rock_possible():
    _, read = told(ags4('"3.00","15.00","","C4 to Dm"', layers=CHALK))
    chalk = read.profiles[0].layers[1].described
    assert {"rock", "weathered_rock"} <= chalk.soils
    assert chalk.likely == "weathered_rock"


@pytest.mark.parametrize(
    ("words", "grade", "likely", "doubted"),
    [
        ("Weak white CHALK (Grade B3)", "Dm", "weathered_rock", True),
        ("Structureless white CHALK (Grade Dm)", "B2", "weathered_rock", True),
        ("White putty CHALK", "A2", "weathered_rock", False),
        ("Weak white CHALK (Grade B3)", "B2", "rock", False),
    ],
)
def test_words_and_grade_of_chalk_that_disagree_leave_the_worse_likely(words, grade, likely, doubted):
    layers = CHALK[0], f'"BH1","3.00","15.00","{words}"'
    _, read = told(ags4(f'"3.00","15.00","","{grade}"', layers=layers))
    assert read.profiles[0].layers[1].described.likely == likely
    assert any("graded" in doubt.message or "grades" in doubt.message for doubt in check(read.site)) == doubted


def test_a_letter_is_a_class_of_rock_and_a_grade_of_chalk():
    assert told(ags4('"3.00","15.00","","B"'))[0][1][2] == "slightly to moderately"
    assert told(ags4('"3.00","15.00","","B"', layers=CHALK))[0][1][2] == "B"


def test_a_grade_of_chalk_over_other_rock_is_set_aside():
    _, read = told(ags4('"3.00","15.00","","B3"'))
    assert counted(read) == (1, 0, {"the ground that it grades is no chalk by its words": 1})


def test_a_grade_of_chalk_in_a_site_file_and_in_a_log_that_is_written():
    text = (
        "methodpick: 1\nsite: {units: si}\nborings:\n  - id: B1\n    layers:\n"
        "      - {top: 0, base: 9, description: white CHALK, weathering: c3/4}\n"
    )
    site, _ = read_site(text, "site.yaml")
    assert site.borings[0].layers[0].weathering == "C3 to C4"
    again = read_ags4(borings_ags4(site.borings).text)
    assert again.profiles[0].layers[0].weathering == "C3 to C4"
