"""AGS4 to borings, on an invented quay. What a reading means is common practice, no source, unless one is named."""

from pathlib import Path

import pytest

from methodpick.errors import InputError
from methodpick.ground.layer_parts import at_named_depths
from methodpick.imports.ags4 import read_ags4
from methodpick.imports.log_layers import coded_soils

CORPUS = Path(__file__).parent.parent / "corpus"


@pytest.fixture(scope="module")
def quay():
    return read_ags4(CORPUS / "harrow-quay.ags")


@pytest.fixture
def boring(quay):
    return quay.profiles[1]


def group(name, headings, units, *rows):
    def line(kind, cells):
        return ",".join(f'"{cell}"' for cell in (kind, *cells))

    return "\n".join([f'"GROUP","{name}"', line("HEADING", headings), line("UNIT", units), *(line("DATA", row) for row in rows), "", ""])


def layers(*rows):
    return group(
        "GEOL", ("LOCA_ID", "GEOL_TOP", "GEOL_BASE", "GEOL_DESC", "GEOL_LEG"), ("", "m", "m", "", ""), *(("B-1", *row) for row in rows)
    )


def header(kind="CP", depth="30.00", remark=""):
    return group("LOCA", ("LOCA_ID", "LOCA_TYPE", "LOCA_FDEP", "LOCA_REM"), ("", "", "m", ""), ("B-1", kind, depth, remark))


def strikes(*rows):
    return group("WSTG", ("LOCA_ID", "WSTG_DPTH", "WSTG_REM"), ("", "m", ""), *(("B-1", *row) for row in rows))


def rises(*rows):
    return group("WSTD", ("LOCA_ID", "WSTG_DPTH", "WSTD_NMIN", "WSTD_POST"), ("", "m", "min", "m"), *(("B-1", *row) for row in rows))


GROUND = layers(
    ("0", "2", "Firm brown CLAY", ""),
    ("2", "8", "Dense sandy GRAVEL", ""),
    ("8", "20", "Stiff CLAY", ""),
    ("20", "30", "Dense silty SAND", ""),
)


def only(*parts):
    return read_ags4("".join(parts)).profiles[0]


def test_borings_whose_names_count_alike_come_in_the_order_of_their_names():
    names = [f"BH{'0' * zeros}1" for zeros in range(9)]
    read = read_ags4(group("LOCA", ("LOCA_ID", "LOCA_FDEP"), ("", "m"), *((name, "3") for name in names)))
    assert [profile.id for profile in read.profiles] == sorted(names)


def test_borings_come_in_natural_order_and_proposed_ones_are_left_out(quay):
    assert [profile.id for profile in quay.profiles] == ["B-2", "B-10"]
    assert any("proposed" in doubt.message and doubt.boring == "B-3" for doubt in quay.doubts)


def test_header(boring):
    assert boring.technique == "cable_percussion"
    assert (boring.depth_m, boring.ground_elevation_m, boring.casing_depth_m) == (24.0, 6.2, 15.5)
    assert (boring.position.east_m, boring.position.north_m) == (1250.0, 880.5)
    assert boring.hammer_efficiency_percent == 71


def test_layers_are_sorted_and_keep_their_words(boring):
    assert [layer.top_m for layer in boring.layers] == [0.0, 1.8, 4.5, 9.0, 15.5, 20.0]
    assert [layer.base_m for layer in boring.layers] == [1.8, 4.5, 9.0, 15.5, 20.0, 24.0]
    assert boring.layers[1].description == "Soft grey slightly peaty CLAY"


def test_formation_gives_the_origin_where_the_description_does_not(boring):
    assert [layer.origin for layer in boring.layers[:3]] == ["unknown", "alluvial", "alluvial"]


def test_thin_bed_becomes_a_seam_and_change_within_a_layer_a_remark(boring):
    assert boring.layers[3].seams[0].thickness_m == 0.15
    assert boring.layers[3].seams[0].wet is True
    assert any(remark.depth_m == 12.0 and "very stiff" in remark.text for remark in boring.remarks)


def details(*rows):
    headings = ("LOCA_ID", "DETL_TOP", "DETL_BASE", "DETL_DESC")
    return group("DETL", headings, ("", "m", "m", ""), *(("B-1", *row) for row in rows))


@pytest.mark.parametrize(
    ("row", "parts"),
    [
        (("12.00", "", "Below 12.00m, very stiff"), [(8.0, "stiff"), (12.0, "very_stiff")]),
        (("12.00", "15.00", "soft"), [(8.0, "stiff"), (12.0, "soft"), (15.0, "stiff")]),
        (("12.00", "", "... becoming very stiff"), [(8.0, "stiff"), (12.0, "very_stiff")]),
        (("12.00", "", "pocket of sand"), [(8.0, "stiff")]),
        (("12.00", "15.00", "grey"), [(8.0, "stiff")]),
        (("12.00", "15.00", "no recovery"), [(8.0, "stiff")]),
    ],
)
def test_a_detail_of_a_length_parts_its_layer(row, parts):
    read = at_named_depths(only(header(), GROUND, details(row)))
    found = [(part.top_m, part.described.consistency[0]) for part in read.layers if 8 <= part.top_m < 20]
    assert found == parts
    assert any(remark.depth_m == 12.0 for remark in read.remarks)


def test_vane_tests_belong_to_their_layer(boring):
    su = boring.layers[1].su_kpa
    assert (su.low, su.likely, su.high) == (22.0, 25.0, 28.0)


def test_counts_and_refusals(boring):
    assert [(test.depth_m, test.n, test.penetration_m) for test in boring.spt] == [
        (5.0, 32, None),
        (7.5, 50, 0.2),
        (10.5, 19, None),
        (16.5, 50, None),
    ]
    assert boring.spt[0].blows == (9, 15, 17)  # 75 mm increments summed by 150 mm: 4+5, 7+8, 8+9
    assert boring.spt[1].refusal


def test_cores_keep_an_rqd_of_zero(boring):
    assert [(run.top_m, run.rqd_percent) for run in boring.cores] == [(20.0, 0.0), (22.0, 60.0)]


def test_remarks_are_tagged_with_denials_heeded(boring):
    tags = {remark.text: (remark.depth_m, remark.tag) for remark in boring.remarks}
    assert tags["Sides unstable below 3.0m"] == (3.0, "collapse")
    assert tags["No voids met"] == (None, "none")
    assert tags["water added (penetration test)"] == (5.0, "water_added")
    assert any(tag == (13.2, "obstruction") for tag in tags.values())
    assert any(tag == (20.0, "fluid_loss") for tag in tags.values())


def test_water_of_the_quay(boring):
    found = {(reading.reading, reading.met_m, reading.level_m) for reading in boring.water}
    assert ("while_drilling", 4.8, 4.6) in found  # rose inside the gravel: its own level
    assert ("confined", 15.5, 3.1) in found  # rose through clay, last reading of two
    assert ("piezometer", 2.85, 2.85) in found  # highest of two readings
    assert ("piezometer", 3.05, 3.05) in found  # overnight in the hole cased to 15.5: the sand below
    assert next(r for r in boring.water if r.depth_m == 3.05).response_zone_m == (15.5, 18.0)


def test_none_met_in_a_remark(quay):
    assert [(reading.reading, reading.hole_depth_m) for reading in quay.profiles[0].water] == [("none_met", 12.0)]


def test_legend_against_description_is_a_doubt(quay):
    assert any("legend code 403" in doubt.message and doubt.boring == "B-2" for doubt in quay.doubts)


def test_later_strike_below_clay_without_a_rise_is_pressure_of_unknown_height():
    water = only(header(), GROUND, strikes(("2.10", ""), ("21.00", ""))).water
    assert [(one.reading, one.met_m, one.level_m) for one in water] == [("while_drilling", 2.1, 2.1), ("confined", 21.0, None)]
    assert "rise not recorded" in water[1].remark


def test_strike_inside_clay_after_an_earlier_one_is_pressure():
    assert only(header(), GROUND, strikes(("2.10", ""), ("15.00", ""))).water[1].reading == "confined"


def test_first_strike_below_thin_clay_is_the_water_level():
    assert only(header(), GROUND, strikes(("2.10", ""))).water[0].reading == "while_drilling"


def test_lone_strike_below_thick_clay_is_pressure():
    assert only(header(), GROUND, strikes(("20.10", ""))).water[0].reading == "confined"


def test_rise_within_the_gravel_is_no_pressure_but_through_clay_it_is():
    water = only(header(), GROUND, strikes(("5.00", ""), ("20.00", "")), rises(("5.00", "20", "3.00"), ("20.00", "20", "12.00"))).water
    assert [(one.reading, one.level_m) for one in water] == [("while_drilling", 3.0), ("confined", 12.0)]


def test_rise_above_the_ground_is_artesian():
    water = only(header(), GROUND, strikes(("20.00", "")), rises(("20.00", "20", "-0.50"))).water
    assert (water[0].reading, water[0].rises_to_m) == ("confined", -0.5)


@pytest.mark.parametrize("remark", ["None encountered", "No groundwater encountered", "Dry", "water not met", "Borehole remained dry"])
@pytest.mark.parametrize("depth", ["", "0.00"])
def test_none_encountered_is_a_fact(depth, remark):
    water = only(header(), GROUND, strikes((depth, remark))).water
    assert [(one.reading, one.hole_depth_m) for one in water] == [("none_met", 30.0)]


def test_blank_water_row_says_nothing():
    read = read_ags4(header() + GROUND + strikes(("", "")))
    assert read.profiles[0].water == ()
    assert any("neither depth nor remark" in doubt.message for doubt in read.doubts)


def test_depth_of_a_strike_in_its_remark_is_taken_with_a_doubt():
    read = read_ags4(header() + GROUND + strikes(("", "Slow seepage at 3.40m")))
    assert read.profiles[0].water[0].met_m == 3.4
    assert any("remark is taken" in doubt.action for doubt in read.doubts)


def test_no_water_rows_and_no_remark_says_nothing():
    assert only(header(), GROUND).water == ()


@pytest.mark.parametrize(
    ("kind", "technique"),
    [("CP", "cable_percussion"), ("RC", "core"), ("RO", "rotary"), ("CP+RC", "cable_percussion"), ("SNC", "sonic"), ("XX", "unknown")],
)
def test_technique(kind, technique):
    assert only(header(kind), GROUND).technique == technique


def test_row_with_base_above_top_and_row_without_top_are_doubts():
    read = read_ags4(header() + layers(("0", "2", "CLAY", ""), ("5", "4", "SAND", ""), ("", "9", "PEAT", "")))
    assert len(read.profiles[0].layers) == 1
    assert [doubt.severity for doubt in read.doubts] == ["serious", "serious"]


def test_missing_base_is_the_next_top_or_the_end():
    profile = only(header(), layers(("0", "", "CLAY", ""), ("4", "", "SAND", "")))
    assert [(layer.top_m, layer.base_m) for layer in profile.layers] == [(0.0, 4.0), (4.0, 30.0)]


def test_legend_speaks_where_the_description_does_not():
    profile = only(header(), layers(("0", "2", "as above", "201"), ("2", "3", "as above", "812")))
    assert [layer.symbol for layer in profile.layers] == ["CL-CH", "rock"]


def test_a_legend_of_rock_says_nothing_of_its_weathering():
    assert {"rock", "weathered_rock", "intermediate"} <= coded_soils("801", {"801": "MUDSTONE"})
    assert coded_soils("801", {"801": "MUDSTONE"}).isdisjoint({"clay", "clean_sand"})


def test_legend_of_made_ground_gives_the_origin():
    assert only(header(), layers(("0", "2", "Brown sandy GRAVEL", "102"))).layers[0].origin == "fill"


def test_boring_without_a_header_is_read_with_a_doubt():
    read = read_ags4(GROUND)
    assert read.profiles[0].depth_m is None
    assert "no header row" in read.doubts[0].message


def test_inclined_boring_is_never_ignored():
    read = read_ags4(header() + GROUND + group("HORN", ("LOCA_ID", "HORN_INCL"), ("", "deg"), ("B-1", "60")))
    assert read.doubts[0].severity == "serious"


def test_file_without_borings_is_refused():
    with pytest.raises(InputError, match="no boring"):
        read_ags4(group("PROJ", ("PROJ_ID",), ("",), ("X",)))


def test_ags3_is_named_by_the_reader_of_ags4():
    with pytest.raises(InputError, match="AGS3"):
        read_ags4(CORPUS / "old-mill-ags3.ags")


def test_doubt_quotes_its_line(quay):
    doubt = next(doubt for doubt in quay.doubts if "legend" in doubt.message)
    assert doubt.render().startswith("harrow-quay.ags:41: B-2, 0.00 m: legend code 403")
