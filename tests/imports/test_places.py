"""Borings and shafts by latitude and longitude, in every format. Places are invented; distances by tests/ground/test_position.py."""

import pytest

from methodpick.errors import InputError
from methodpick.formats.log_ags4 import borings_ags4
from methodpick.formats.site_yaml import whole_site_yaml
from methodpick.ground.position import apart_m, degrees_in
from methodpick.imports.ags3 import read_ags3
from methodpick.imports.ags4 import read_ags4
from methodpick.imports.diggs import read_diggs
from methodpick.imports.site_file import read_site
from methodpick.imports.tables import read_tables


@pytest.mark.parametrize(
    ("text", "letters", "degrees"),
    [
        ("51.4773", "NS", 51.4773),
        ("51 28 38.28N", "NS", 51.4773),
        ("N 51\N{DEGREE SIGN}28'38.28\"", "NS", 51.4773),
        ("51:28:38.28", "NS", 51.4773),
        ("-000:00:05.4", "EW", -0.0015),
        ("0 00 05.4W", "EW", -0.0015),
        ("0\N{DEGREE SIGN} 0.09' W", "EW", -0.0015),
        ("33 51.6 S", "NS", -33.86),
        ("51d28m38.28s", "NS", 51.4773),
        ("33d51m36sS", "NS", -33.86),
        ("-81.146 deg", "EW", -81.146),
    ],
)
def test_angles_are_read_however_they_are_written(text, letters, degrees):
    assert degrees_in(text, letters) == pytest.approx(degrees, abs=1e-9)


@pytest.mark.parametrize(
    "text",
    ["51 60 00N", "51 28 75N", "-51N", "51.5 28 00", "north", "", "51 28 38.5E", "1e2", "12 34 56 78", "5m1.47790", "5m", "51'", '51 28"'],
)
def test_what_is_no_angle_is_refused(text):
    with pytest.raises(ValueError, match=r"no angle|cannot be|without degrees"):
        degrees_in(text, "NS")


def ags4(*rows):
    lines = [
        '"GROUP","LOCA"',
        '"HEADING","LOCA_ID","LOCA_NATE","LOCA_NATN","LOCA_LAT","LOCA_LON","LOCA_LLZ","LOCA_FDEP"',
        '"UNIT","","m","m","","","","m"',
        *(f'"DATA",{row}' for row in rows),
        '"GROUP","GEOL"',
        '"HEADING","LOCA_ID","GEOL_TOP","GEOL_BASE","GEOL_DESC"',
        '"UNIT","","m","m",""',
        *(f'"DATA",{row.split(",")[0]},"0.00","9.50","Stiff CLAY"' for row in rows),
    ]
    return "\n".join(lines) + "\n"


def test_a_log_in_degrees_gives_places_that_can_be_measured():
    read = read_ags4(ags4('"BH1","","","51 28 38.28N","000 00 05.4W","WGS84","9.5"', '"BH2","","","51.47790","-0.00210","","9.5"'))
    first, second = read.profiles
    assert first.position.degrees == pytest.approx((51.4773, -0.0015))
    assert apart_m(first.position, second.position) == pytest.approx(78.7, abs=0.1)
    assert not read.doubts


def test_a_grid_beside_degrees_stays():
    (only,) = read_ags4(ags4('"BH1","532290.00","180450.00","51.4773","-0.0015","WGS84","9.5"')).profiles
    assert only.position.grid == (532290.0, 180450.0)
    assert only.position.degrees == (51.4773, -0.0015)


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ('"BH1","","","51.4773","","","9.5"', "only one of latitude and longitude"),
        ('"BH1","","","97.2","-0.0015","","9.5"', "LOCA_LAT of 97.2 degrees cannot be"),
        ('"BH1","","","see plan","-0.0015","","9.5"', "LOCA_LAT is no angle"),
    ],
)
def test_what_is_no_place_is_a_doubt_and_not_a_place(row, words):
    read = read_ags4(ags4(row))
    assert read.profiles[0].position is None
    assert any(words in doubt.message for doubt in read.doubts)


def test_nil_by_nil_and_blanks_are_no_place():
    read = read_ags4(ags4('"BH1","","","0","0","","9.5"', '"BH2","","","","","","9.5"'))
    assert [boring.position for boring in read.profiles] == [None, None]


def test_degrees_on_another_datum_are_left_out():
    """Airy and WGS84 differ by about a hundred metres in Britain (guide of the national mapping agency, from memory)."""
    rows = [
        f'"BH{number}","","","51.4773{number}","-0.00151","{datum}","9.5"'
        for number, datum in ((1, "ETRS89"), (2, "OSGB36"), (3, "WGS 84"))
    ]
    read = read_ags4(ags4(*rows))
    assert [boring.position is None for boring in read.profiles] == [False, True, False]
    assert any("on OSGB36" in doubt.message and doubt.severity == "serious" for doubt in read.doubts)


def test_ags3_with_columns_of_its_own():
    text = (
        '"**HOLE"\n"*HOLE_ID","*HOLE_FDEP","*?HOLE_LAT","*?HOLE_LONG"\n"<UNITS>","m","",""\n"BH1","9.5","51.4773","-0.0015"\n\n'
        '"**GEOL"\n"*HOLE_ID","*GEOL_TOP","*GEOL_BASE","*GEOL_DESC"\n"<UNITS>","m","m",""\n"BH1","0","9.5","Stiff CLAY"\n'
    )
    assert read_ags3(text).profiles[0].position.degrees == (51.4773, -0.0015)


def diggs(attributes, numbers):
    return (
        '<Diggs xmlns="http://diggsml.org/schemas/2.6" xmlns:gml="http://www.opengis.net/gml/3.2"><samplingFeature><Borehole gml:id="b">'
        f"<gml:name>B-1</gml:name><referencePoint><PointLocation><gml:pos {attributes}>{numbers}</gml:pos></PointLocation></referencePoint>"
        '<totalMeasuredDepth uom="ft">40</totalMeasuredDepth></Borehole></samplingFeature></Diggs>'
    )


EPSG = 'srsName="https://www.opengis.net/def/crs-compound?1=http://www.opengis.net/def/crs/EPSG/0/4326"'
OWN = 'srsName="urn:diggs:def:crs:DIGGS:0.1:4326_5702"'


@pytest.mark.parametrize(
    ("attributes", "numbers", "degrees"),
    [
        (f'{OWN} axisLabels="latitude longitude height" uomLabels="dega dega ft"', "39.47 -76.2 812", (39.47, -76.2)),
        (f'{OWN} axisLabels="longitude latitude height"', "-76.2 39.47 812", (39.47, -76.2)),
        (f'{OWN} uomLabels="degrees"', "-81.2 39.47 812", (39.47, -81.2)),
        (f'{OWN} uomLabels="degrees"', "39.47 -81.2 812", (39.47, -81.2)),
        (EPSG, "39.47 -76.2 812", (39.47, -76.2)),
        ('srsName="urn:ogc:def:crs:OGC:1.3:CRS84"', "-76.2 39.47", (39.47, -76.2)),
    ],
)
def test_diggs_in_the_order_of_its_axes(attributes, numbers, degrees):
    assert read_diggs(diggs(attributes, numbers)).profiles[0].position.degrees == degrees


def test_diggs_that_leaves_the_order_open_has_no_place():
    """Public files of this system of the format's own stand in both orders."""
    read = read_diggs(diggs(OWN, "39.47 -76.2 812"))
    assert read.profiles[0].position is None
    assert any("which of two angles is the latitude" in doubt.message for doubt in read.doubts)


SITE = """methodpick: 1
site: {units: si}
borings:
  - {id: B-1, depth: 20, position: {latitude: "51 28 38.28N", longitude: 0 00 05.4W}}
  - {id: B-2, depth: 20, position: {latitude: 51.4779, longitude: -0.0021}}
shafts:
  - {id: P1, diameter: 1200, tip: 12, position: {latitude: 51.47785, longitude: -0.00212}}
"""


def test_a_site_file_in_degrees_and_back():
    site = read_site(SITE)[0]
    assert site.borings[0].position.degrees == pytest.approx((51.4773, -0.0015))
    assert read_site(whole_site_yaml(site, "us"))[0] == site.model_copy(update={"site": site.site.model_copy(update={"units": "us"})})


@pytest.mark.parametrize(
    ("was", "now", "words"),
    [
        ("latitude: 51.4779, longitude: -0.0021", "latitude: 51.4779", "needs east and north, or latitude and longitude"),
        ("latitude: 51.4779", "latitude: 151.4779", "latitude 151.478 deg cannot be"),
        ("latitude: 51.4779", "latitude: 51 28 99N", "is not a latitude"),
    ],
)
def test_a_wrong_place_is_refused_at_its_place(was, now, words):
    with pytest.raises(InputError) as refused:
        read_site(SITE.replace(was, now))
    assert words in refused.value.render()
    assert ":5:" in refused.value.render()


def test_tables_in_degrees(tmp_path):
    (tmp_path / "borings.csv").write_text("id,depth (m),lat,long\nB-1,20,51 28 38.28 N,0 0 5.4 W\nB-2,20,51.4779,-0.0021\n")
    (tmp_path / "layers.csv").write_text("boring,top (m),base (m),description\nB-1,0,20,stiff clay\nB-2,0,20,stiff clay\n")
    (tmp_path / "shafts.csv").write_text("shaft,diameter (mm),tip (m),Latitude (deg),Longitude (deg)\nP1,1200,12,51.47785,-0.00212\n")
    site = read_tables(tmp_path).site
    assert site.borings[0].position.degrees == pytest.approx((51.4773, -0.0015))
    assert apart_m(site.shafts[0].position, site.borings[1].position) == pytest.approx(5.7, abs=0.1)


def test_a_written_log_keeps_degrees():
    (only,) = read_ags4(ags4('"BH1","","","51.47731234","-0.00151234","","9.5"')).profiles
    assert read_ags4(borings_ags4([only]).text).profiles[0].position == only.position
