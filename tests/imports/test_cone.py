"""Cone tests of logs, tables and site files: what is read, what is set aside and why. Soundings are invented."""

import pytest

from methodpick.formats.log_ags4 import borings_ags4
from methodpick.formats.site_yaml import whole_site_yaml
from methodpick.ground.check import check
from methodpick.imports.ags3 import read_ags3
from methodpick.imports.ags4 import read_ags4
from methodpick.imports.diggs import read_diggs
from methodpick.imports.site_file import read_site
from methodpick.imports.tables import read_tables

GEOL = '"BH1","0.00","2.00","Medium dense SAND"', '"BH1","2.00","9.00","Soft grey CLAY"'


def ags4(*rows, layers=GEOL, ratio="0.80"):
    return "\n".join(
        (
            '"GROUP","LOCA"\n"HEADING","LOCA_ID","LOCA_FDEP"\n"UNIT","","m"\n"DATA","BH1","9.00"\n',
            '"GROUP","GEOL"\n"HEADING","LOCA_ID","GEOL_TOP","GEOL_BASE","GEOL_DESC"\n"UNIT","","m","m",""',
            *(f'"DATA",{layer}' for layer in layers),
            f'\n"GROUP","SCPG"\n"HEADING","LOCA_ID","SCPG_TESN","SCPG_CAR"\n"UNIT","","",""\n"DATA","BH1","1","{ratio}"\n',
            '"GROUP","SCPT"\n"HEADING","LOCA_ID","SCPG_TESN","SCPT_DPTH","SCPT_RES","SCPT_FRES","SCPT_PWP2"',
            '"UNIT","","","m","MPa","kPa","kPa"',
            *(f'"DATA","BH1","1",{row}' for row in rows),
        )
    )


def counted(read, group="SCPT"):
    return next((count.rows, count.used, dict(count.set_aside)) for count in read.counts if count.group == group)


def test_readings_are_means_over_a_tenth_of_a_metre():
    read = read_ags4(ags4('"3.02","0.50","20","100"', '"3.08","0.70","30",""', '"3.11","0.65","",""'))
    boring = read.profiles[0]
    assert [(each.depth_m, each.resistance_kpa, each.friction_kpa, each.pore_kpa) for each in boring.cone] == [
        (3.05, 600.0, 25.0, 100.0),
        (3.11, 650.0, None, None),
    ]
    assert boring.cone_area_ratio == 0.8
    assert counted(read) == (3, 3, {})


def test_units_are_those_of_the_columns():
    text = ags4('"3.02","0.50","0.02","100"').replace('"MPa","kPa","kPa"', '"MN/m2","MPa","kPa"')
    (reading,) = read_ags4(text).profiles[0].cone
    assert (reading.resistance_kpa, reading.friction_kpa) == (500.0, 20.0)


def test_every_row_is_counted_with_its_reason():
    rows = ('"3.0","0.5","",""', '"","0.5","",""', '"4.0","","",""', '"5.0","-0.1","",""', '"9.5","0.9","",""')
    assert counted(read_ags4(ags4(*rows))) == (
        5,
        1,
        {
            "the reading of the cone has no depth": 1,
            "no resistance is given": 1,
            "the resistance is below zero or above 150 MPa": 1,
            "no layer is described at its depth": 1,
        },
    )


def test_a_sounding_without_layers_makes_no_ground():
    read = read_ags4(ags4('"3.0","0.5","",""', '"4.0","0.5","",""', layers=()))
    assert read.profiles[0].cone == ()
    assert counted(read)[1] == 0
    assert any("no layer of it is described" in doubt.message and doubt.severity == "serious" for doubt in read.doubts)


def test_an_area_ratio_that_cannot_be_is_left_out():
    read = read_ags4(ags4('"3.0","0.5","",""', ratio="80"))
    assert read.profiles[0].cone_area_ratio is None
    assert any("area ratio of 80 cannot be" in doubt.message for doubt in read.doubts)


def test_ags3():
    text = (
        '"**HOLE"\n"*HOLE_ID","*HOLE_FDEP"\n"<UNITS>","m"\n"BH1","15"\n\n'
        '"**GEOL"\n"*HOLE_ID","*GEOL_TOP","*GEOL_BASE","*GEOL_DESC"\n"<UNITS>","m","m",""\n"BH1","0","15","Soft CLAY"\n\n'
        '"**STCN"\n"*HOLE_ID","*STCN_DPTH","*STCN_RES","*STCN_FRES"\n"<UNITS>","m","MN/m2","kN/m2"\n"BH1","2.00","0.71","21"\n'
    )
    read = read_ags3(text)
    assert [(each.resistance_kpa, each.friction_kpa) for each in read.profiles[0].cone] == [(710.0, 21.0)]
    assert counted(read, "STCN") == (1, 1, {})


def test_diggs_in_feet_and_tons_with_values_that_are_none():
    """One tsf is 95.7605 kPa (2000 lbf over a square foot; NIST SP 811)."""
    text = (
        '<Diggs xmlns="http://diggsml.org/schemas/2.6" xmlns:gml="http://www.opengis.net/gml/3.2"><samplingFeature><Borehole gml:id="b">'
        '<gml:name>B-1</gml:name><totalMeasuredDepth uom="ft">40</totalMeasuredDepth></Borehole></samplingFeature><observation>'
        "<LithologySystem><lithologyObservation><LithologyObservation><location><gml:posList>0 40</gml:posList></location>"
        "<primaryLithology><Lithology><lithDescription>soft clay</lithDescription></Lithology></primaryLithology></LithologyObservation>"
        "</lithologyObservation></LithologySystem></observation><measurement><Test><outcome><TestResult><location><MultiPointLocation>"
        "<gml:posList>10.0 11.0 12.0</gml:posList></MultiPointLocation></location><results><ResultSet><parameters><PropertyParameters>"
        '<properties><Property index="1"><propertyClass>tip_resistance</propertyClass><uom>tonf[US]/ft2</uom><nullValue>9999</nullValue>'
        '</Property><Property index="2"><propertyClass>sleeve_friction</propertyClass><uom>tonf[US]/ft2</uom></Property></properties>'
        '</PropertyParameters></parameters><dataValues cs="," ts=" ">9,0.2 9999,0.3 10,0.1</dataValues></ResultSet></results></TestResult>'
        "</outcome><procedure><StaticConePenetrationTest><netAreaRatioCorrection>0.8</netAreaRatioCorrection></StaticConePenetrationTest>"
        "</procedure></Test></measurement></Diggs>"
    )
    boring = read_diggs(text).profiles[0]
    assert [each.depth_m for each in boring.cone] == [3.048, 3.658]
    assert [each.resistance_kpa for each in boring.cone] == pytest.approx([861.8, 957.6], abs=0.1)
    assert [each.friction_kpa for each in boring.cone] == pytest.approx([19.15, 9.58], abs=0.01)
    assert boring.cone_area_ratio == 0.8


def test_tables_and_a_site_file_and_back(tmp_path):
    (tmp_path / "layers.csv").write_text("boring,top (ft),base (ft),description\nB-1,0,40,soft clay\n")
    (tmp_path / "cpt.csv").write_text("boring,depth (ft),qc (tsf),fs (psf),u2 (psf)\nB-1,10,9,400,800\nB-1,11,10,,-50\n")
    site = read_tables(tmp_path).site
    assert [each.pore_kpa for each in site.borings[0].cone] == pytest.approx([38.3, -2.39], abs=0.01)
    assert read_site(whole_site_yaml(site, "us"))[0].borings == site.borings


def test_a_written_log_keeps_the_cone():
    read = read_ags4(ags4('"3.02","0.5128","20.25","-12.5"', '"4.08","1.7","",""')).profiles[0]
    back = read_ags4(borings_ags4([read]).text).profiles[0]
    assert (back.cone, back.cone_area_ratio) == (read.cone, read.cone_area_ratio)


def site_with(description, resistance, friction):
    readings = ", ".join(f"{{depth: {5 + step / 10}, resistance: {resistance} MPa, friction: {friction} kPa}}" for step in range(8))
    return read_site(
        "methodpick: 1\nsite: {units: si}\nborings:\n  - id: B-1\n    depth: 20\n"
        f"    layers: [{{top: 0, base: 20, description: {description}}}]\n"
        f"    cone: [{readings}]\n"
    )[0]


@pytest.mark.parametrize(
    ("description", "resistance", "friction", "told"),
    [
        ("stiff clay", 15, 60, "described as clay, but the cone behaves as in sand"),
        ("soft clay", 0.6, 24, ""),
        ("medium dense clean sand", 0.8, 40, "but the cone behaves as in clay"),
        ("medium dense clean sand", 12, 60, ""),
        ("sandy silt", 15, 60, ""),
    ],
)
def test_words_that_the_cone_contradicts_are_a_doubt(description, resistance, friction, told):
    """Zones of the chart of Robertson (2010), from memory: 15 MPa with 0.4 % lies among sands, 0.8 MPa with 5 % among clays."""
    found = [doubt.message for doubt in check(site_with(description, resistance, friction)) if "the cone behaves" in doubt.message]
    assert bool(found) == bool(told)
    assert all(told in message for message in found)


# soundings of their own, beside a boring


def apart(east, gl="12.00", more=""):
    """A boring at 100 m east and a sounding some way east of it."""
    return "\n".join(
        (
            '"GROUP","LOCA"\n"HEADING","LOCA_ID","LOCA_FDEP","LOCA_NATE","LOCA_NATN","LOCA_GL"\n"UNIT","","m","m","m","m"',
            '"DATA","BH1","15.00","100.0","50.0","12.10"',
            f'"DATA","CPT1","15.00","{east}","50.0","{gl}"\n',
            '"GROUP","GEOL"\n"HEADING","LOCA_ID","GEOL_TOP","GEOL_BASE","GEOL_DESC"\n"UNIT","","m","m",""',
            '"DATA","BH1","0","15","Soft CLAY"\n',
            '"GROUP","SCPT"\n"HEADING","LOCA_ID","SCPT_DPTH","SCPT_RES"\n"UNIT","","m","MPa"',
            '"DATA","CPT1","3.00","0.50"\n"DATA","CPT1","4.00","0.60"\n',
            more,
        )
    )


def test_a_sounding_beside_a_boring_is_read_with_it():
    """Pairs of a boring and a sounding stand some metres apart (common practice)."""
    read = read_ags4(apart("103.0"))
    assert [(boring.id, [each.depth_m for each in boring.cone]) for boring in read.profiles] == [("BH1", [3.0, 4.0])]
    assert counted(read) == (2, 2, {})
    assert [(doubt.severity, doubt.boring, "3.0 m from boring BH1" in doubt.message) for doubt in read.doubts] == [("note", "CPT1", True)]


@pytest.mark.parametrize(("east", "gl"), [("106.0", "12.00"), ("103.0", "14.00"), ("", "12.00")])
def test_a_sounding_that_is_far_or_stands_higher_is_a_hole_of_its_own(east, gl):
    read = read_ags4(apart(east, gl))
    assert [(boring.id, boring.cone) for boring in read.profiles] == [("BH1", ()), ("CPT1", ())]


def test_a_hole_with_tests_of_its_own_is_no_sounding():
    tests = '"GROUP","ISPT"\n"HEADING","LOCA_ID","ISPT_TOP","ISPT_NVAL"\n"UNIT","","m",""\n"DATA","CPT1","2.00","5"\n'
    assert [boring.id for boring in read_ags4(apart("103.0", more=tests)).profiles] == ["BH1", "CPT1"]


def sounded(latitude):
    """A DIGGS file with a borehole and a sounding north of it; a second of latitude is 30.9 m."""
    place = (
        '<referencePoint><PointLocation srsName="urn:ogc:def:crs:EPSG::4326"><gml:pos>{} -76.123456</gml:pos>'
        "</PointLocation></referencePoint>"
    )
    axis = '<totalMeasuredDepth uom="m">12</totalMeasuredDepth>'
    return (
        '<Diggs xmlns="http://diggsml.org/schemas/2.6" xmlns:gml="http://www.opengis.net/gml/3.2" xmlns:xlink="x">'
        f'<samplingFeature><Borehole gml:id="b"><gml:name>B-1</gml:name>{place.format("41.123456")}{axis}</Borehole></samplingFeature>'
        f'<samplingFeature><Sounding gml:id="s"><gml:name>C-1</gml:name>{place.format(latitude)}{axis}</Sounding></samplingFeature>'
        '<observation><LithologySystem><samplingFeatureRef xlink:href="#b"/><lithologyObservation><LithologyObservation><location>'
        "<gml:posList>0 12</gml:posList></location><primaryLithology><Lithology><lithDescription>soft clay</lithDescription></Lithology>"
        "</primaryLithology></LithologyObservation></lithologyObservation></LithologySystem></observation>"
        '<measurement><Test><samplingFeatureRef xlink:href="#s"/><outcome><TestResult><location><MultiPointLocation>'
        "<gml:posList>3.0 4.0</gml:posList></MultiPointLocation></location><results><ResultSet><parameters><PropertyParameters><properties>"
        '<Property index="1"><propertyClass>tip_resistance</propertyClass><uom>MPa</uom></Property></properties></PropertyParameters>'
        '</parameters><dataValues cs="," ts=" ">0.5 0.6</dataValues></ResultSet></results></TestResult></outcome><procedure>'
        "<StaticConePenetrationTest/></procedure></Test></measurement></Diggs>"
    )


def test_a_sounding_of_diggs_counts_beside_a_boring_and_is_set_aside_elsewhere():
    near = read_diggs(sounded("41.123486"))  # 0.00003 degrees, 3.3 m
    assert [(boring.id, [each.resistance_kpa for each in boring.cone]) for boring in near.profiles] == [("B-1", [500.0, 600.0])]
    assert counted(near, "Test") == (1, 1, {})
    far = read_diggs(sounded("41.123856"))  # 0.0004 degrees, 44 m
    assert [(boring.id, boring.cone) for boring in far.profiles] == [("B-1", ())]
    assert counted(far, "Test") == (1, 0, {"the sounding stands beside no boring": 1})
    assert any("44 m from boring B-1, the nearest" in doubt.message and doubt.severity == "note" for doubt in far.doubts)
