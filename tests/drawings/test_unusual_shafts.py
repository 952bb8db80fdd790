"""Pictures of shafts unlike the examples: very short, very deep, of thin layers, with long names, many in a row, without a method."""

from dataclasses import replace
from itertools import pairwise, permutations
from xml.etree import ElementTree as ET

import pytest
from picture_words import SVG, boxes, collisions, on_hatching, place_of, struck, words

from methodpick.drawings.canvas import GREY, INK, WATER, width_of, wrap_name
from methodpick.drawings.charts import draw_volume, draw_window
from methodpick.drawings.hatching import HATCHES
from methodpick.drawings.site_section import MOST, draw_section
from methodpick.drawings.strip_log import draw_strip, draw_strip_in_characters
from methodpick.drawings.structure_line import StructureLine
from methodpick.plan.pipeline import plan
from methodpick.unit_markup import NumberWriter

HEAD = "methodpick: 1\nsite: {name: Mill gate, units: si}\nborings:\n  - id: S-1\n    ground_elevation: %s\n    depth: %s\n    layers:\n"
LAMINAE = [("clay", "CL"), ("wet sand", "SP"), ("silt", "ML"), ("peat", "PT"), ("gravel", "GP")]


@pytest.fixture(scope="module")
def of_text(read_text, book):
    return lambda text: plan(read_text(text), book, path="test.yaml", digest="0" * 64).shafts[0]


@pytest.fixture(scope="module")
def short(of_text):
    """A sign on three metres of clay below the sea, with its cut-off at the ground."""
    layers = (
        '      - {top: 0, base: 0.2, description: "asphalt"}\n'
        '      - {top: 0.2, base: 4, description: "stiff brown clay", symbol: CL, su: 80}\n'
    )
    tests = "    spt: [{depth: 1, n: 9}, {depth: 1.3, n: 10}]\n"
    return of_text(HEAD % (-2.4, 4) + layers + tests + "shafts:\n  - {id: SIGN, boring: S-1, diameter: 600, tip: 3, cutoff: 0}\n")


@pytest.fixture(scope="module")
def laminated(of_text):
    """Thirty layers of 0.15 m over hard clay; four tests within them stand too near to each other for their numbers."""
    layers = "".join(
        f'      - {{top: {0.15 * index:.2f}, base: {0.15 * index + 0.15:.2f}, description: "soft {name}", symbol: {symbol}}}\n'
        for index in range(30)
        for name, symbol in LAMINAE[index % 5 : index % 5 + 1]
    )
    below = '      - {top: 4.5, base: 30, description: "hard clay", symbol: CL, su: 250}\n'
    tests = "    spt: [{depth: 1.0, n: 3}, {depth: 1.1, n: WOH}, {depth: 1.2, n: 4}, {depth: 10, n: 45}]\n"
    return of_text(HEAD % (308, 30) + layers + below + tests + "shafts:\n  - {id: L1, boring: S-1, diameter: 900, tip: 25}\n")


@pytest.fixture(scope="module")
def deep(of_text):
    """Sixty metres below a sea bed, under long words."""
    names = [("very soft dark grey organic clayey silt with shells and laminae of fibrous peat", "OL"), ("hard clay", "CL")]
    layers = "".join(
        f'      - {{top: {5 * index}, base: {5 * index + 5}, description: "{name}", symbol: {symbol}}}\n'
        for index in range(13)
        for name, symbol in names[index % 2 : index % 2 + 1]
    )
    shaft = "shafts:\n  - {id: PIER-EAST-FORESHORE-17-UPSTREAM-COLUMN, boring: S-1, diameter: 2400, tip: 61, cutoff: 1}\n"
    return of_text(HEAD % (-12.5, 65) + layers + shaft)


@pytest.fixture(params=["short", "laminated", "deep"])
def unusual(request):
    return request.getfixturevalue(request.param)


@pytest.mark.parametrize("units", ["us", "si"])
def test_words_touch_neither_each_other_nor_hatches_nor_lines(unusual, units):
    strip, section = draw_strip(unusual, units), draw_section((unusual,), units)
    for svg in (strip, section):
        assert collisions(svg) == []
        assert on_hatching(svg) == []
        wide, high = (float(ET.fromstring(svg).get(name)) for name in ("width", "height"))
        for one in ET.fromstring(svg).iter(f"{SVG}text"):
            x, y = place_of(one)
            assert 0 <= x <= wide
            assert 0 <= y <= high
    assert struck(strip) == []


@pytest.mark.parametrize("name", ["karst", "artesian-sand", "river-crossing", "caving-lens", "saturated-sand", "stiff-clay"])
def test_no_line_runs_through_the_words_of_a_strip(planned, name):
    """The cut-off may lie at the ground, at the drilling grade or between; a fluid may be held from near the ground."""
    for shaft in planned(name).shafts:
        for cutoff_m in (shaft.cutoff_m, 0.0, 0.1, -0.1, shaft.design.grade_m):
            assert struck(draw_strip(replace(shaft, cutoff_m=cutoff_m), "us")) == []


def test_words_far_from_their_thin_layer_begin_with_the_depth_of_its_top(laminated):
    """The twentieth layer begins at 19 x 0.15 = 2.85 m; words of the first stand beside it and need no depth."""
    said = words(draw_strip(laminated, "si"))
    assert "2.85: soft gravel (GP)" in said
    assert "4.50: hard clay (CL)" in said
    assert "soft clay (CL)" in said


def test_numbers_of_tests_that_have_no_room_are_counted(laminated, short):
    assert "The numbers of 2 penetration tests have no room; their bars are drawn." in words(draw_strip(laminated, "si"))
    assert "have no room" not in " ".join(words(draw_strip(short, "si")))


def test_of_many_layers_the_section_names_as_many_as_it_has_lines_for(laminated, short):
    said = " ".join(words(draw_section((laminated,), "si")))
    assert "303.50 hard clay" in said
    assert "thin layers are not named" in said
    assert "not named" not in " ".join(words(draw_section((short,), "si")))


def test_words_of_the_section_are_cut_only_where_there_is_no_second_line_for_them(deep):
    """Thirteen layers of which seven take two lines: twenty lines of 11 fit a section 330 high."""
    said = words(draw_section((deep,), "si"))
    assert not [text for text in said if text.endswith("...")]
    assert len([text for text in said if text.endswith("peat")]) == 7


def test_a_long_name_stands_over_two_lines_and_is_not_cut(planned):
    """Twelve shafts of one pier differ at the end of their names only."""
    shaft = planned("caving-lens").shafts[0]
    named = [replace(shaft, id=f"PILE-{index:03d}-NORTH", count=1) for index in range(MOST)]
    said = words(draw_section(named, "us"))
    assert said.count("NORTH") == MOST
    assert {f"PILE-{index:03d}-" for index in range(MOST)} <= set(said)
    assert collisions(draw_section(named, "us")) == []
    assert wrap_name("A" * 60, 80, 9.2, 2)[0].endswith("...")


def test_rows_of_the_section_hold_as_many_shafts_each_as_they_can(planned):
    """Thirty shafts at eight in a row make four rows; ten at eight make two of five, not eight and two."""
    shaft = planned("caving-lens").shafts[0]
    line = StructureLine(placed=False, by_east=False)
    assert [len(row) for row in line.rows([shaft] * 30, MOST)] == [8, 8, 8, 6]
    assert [len(row) for row in line.rows([shaft] * 10, MOST)] == [5, 5]
    assert [len(row) for row in line.rows([shaft] * 3, MOST)] == [3]


def test_the_sign_of_a_swatch_is_not_cut(planned):
    """A hatch of the key begins at the corner of its swatch, whose place counted in tiles is whole."""
    for name in ("karst", "caving-lens"):
        for one in ET.fromstring(draw_strip(planned(name).shafts[0], "us")).iter(f"{SVG}rect"):
            if one.get("transform"):
                tile = HATCHES[one.get("fill").removeprefix("url(#a-").removesuffix(")")]
                for side, size in (("x", tile.width), ("y", tile.height)):
                    tiles = float(one.get(side)) / size
                    assert abs(tiles - round(tiles)) < 0.01


def test_a_question_mark_fits_its_swatch():
    """A swatch is 20 by 12."""
    for name in ("unknown", "undecided"):
        assert HATCHES[name].height <= 12
        assert HATCHES[name].width <= 20


def test_words_of_a_density_window_do_not_stand_on_the_one_above_it(planned):
    """R1 is drilled under fluid twice; here the lower length begins where the upper ends, with an aim of its own."""
    shaft = planned("karst").shafts[0]
    upper = shaft.slurries[0]
    lower = replace(upper, top_m=upper.base_m + 0.3, base_m=shaft.tip_depth_m, density_max_kg_m3=1100.0)
    svg = draw_strip(replace(shaft, slurries=(upper, lower)), "us")
    assert on_hatching(svg) == []
    assert "64.3 to 68.7" in words(svg), "1100 kg/m3 are 68.7 pcf"


def test_the_end_of_the_boring_does_not_stand_on_the_words_of_its_last_layer(planned):
    """Long words in a thin last layer, below which the shaft goes on."""
    shaft = planned("caving-lens").shafts[0]
    *layers, last = shaft.ground.layers
    long = replace(last, top_m=shaft.tip_depth_m - 1.0, base_m=shaft.tip_depth_m - 0.4, description="hard grey fat clay with gravel " * 4)
    upper = replace(last, base_m=long.top_m)
    ended = replace(shaft, ground=replace(shaft.ground, layers=(*layers, upper, long), end_m=long.base_m))
    svg = draw_strip(ended, "si")
    assert f"boring ends {long.base_m:.2f} m" in " ".join(words(svg))
    assert collisions(svg) == []


def test_a_log_with_many_words_is_drawn_higher(planned):
    """Words of a real log take six rows a layer; they are cut only where the highest sheet has no room."""
    shaft = planned("twenty-layers").shafts[0]
    wordy = tuple(
        replace(layer, description=f"{layer.description}, with much else that the log says of it") for layer in shaft.ground.layers
    )
    plain, high = (
        float(ET.fromstring(draw_strip(each, "si")).get("height"))
        for each in (planned("caving-lens").shafts[0], replace(shaft, ground=replace(shaft.ground, layers=wordy)))
    )
    assert high > plain + 100


def test_the_window_names_the_ground_beside_it(planned):
    said = words(draw_window(planned("caving-lens").shafts[0], "us"))
    assert {"clay", "clean sand", "density allowed"} <= set(said)


def test_labels_beside_the_curve_are_parted(planned):
    """Rows of one label are 11 apart, labels at least 15: cut-off, shoe and least concrete of a short starter lie close together."""
    svg = draw_volume(planned("saturated-sand").shafts[0], "us")
    rows = {one.text: float(one.get("y")) for one in ET.fromstring(svg).iter(f"{SVG}text")}
    assert rows["cut-off"] - rows["casing 1 is lifted"] >= 14.9


def test_what_is_drawn_is_also_said(planned):
    """P4: clay to 20 ft, clean sand to 29 ft, clay to the tip at 60 ft; cased to 32.9 ft, then dry."""
    shaft = planned("caving-lens").shafts[0]
    (strip, section, window, volume) = (
        ET.fromstring(draw(shaft, "us")).find(f"{SVG}desc").text
        for draw in (draw_strip, lambda one, units: draw_section((one,), units), draw_window, draw_volume)
    )
    assert "clay to 20.0 ft, clean sand to 29.0 ft, clay to 60.0 ft" in strip
    assert "Water likely at 16.0 ft" in strip
    assert "dry to 60.0 ft" in strip
    assert "P4 (48 in, " in section
    assert "tip 364.0" in section
    assert "polymer fluid, aim at 62.5 pcf" in window
    assert "rises from 60.0 ft to 4.0 ft" in volume


def test_the_section_draws_the_drilling_grade_where_it_is_not_the_ground(planned):
    """P5 is drilled from a platform 30 ft over the mudline at 387.5 ft, so at 417.5 ft; P4 from the ground."""
    over_water, on_land = (ET.fromstring(draw_section(planned(name).shafts, "us")) for name in ("river-crossing", "caving-lens"))
    (grade,) = [float(one.get("y1")) for one in over_water.iter(f"{SVG}line") if one.get("stroke-dasharray") == "8 3"]
    ticks = {one.text: float(one.get("y")) - 3.2 for one in over_water.iter(f"{SVG}text") if (one.text or "").isdigit()}
    assert grade == pytest.approx(ticks["420"] + (ticks["400"] - ticks["420"]) * 2.5 / 20, abs=0.5)
    assert not [one for one in on_land.iter(f"{SVG}line") if one.get("stroke-dasharray") == "8 3"]
    assert any("drilling grade" in one.text for one in over_water.iter(f"{SVG}text"))


def test_few_shafts_in_a_row_are_drawn_broader(planned):
    """The hatched ground of one is 60 wide, of two or three 40, of a full row 20; none touches the next."""
    shaft = planned("caving-lens").shafts[0]
    for count, wide in ((1, 60), (2, 40), (3, 40), (4, 20), (MOST, 20)):
        tree = ET.fromstring(draw_section([replace(shaft, id=f"P{index}") for index in range(count)], "us"))
        hatched = [one for one in tree.iter(f"{SVG}rect") if "url(" in one.get("fill") and not one.get("transform")]
        assert {float(one.get("width")) for one in hatched} == {wide}
        lefts = sorted({float(one.get("x")) for one in hatched})
        assert all(right - left > 2.4 * wide for left, right in pairwise(lefts))


@pytest.mark.parametrize("units", ["us", "si"])
def test_words_over_neighbours_in_a_full_row_stand_apart(planned, units):
    """Four columns of a bent stand as near as the section lets them; "casing 129.50" is as wide as a word over them can be."""
    for names in (("B1-1", "B1-2", "B1-3", "B1-4", "B2-1", "B2-2", "B2-3", "B2-4"), ("B13-1", "B13-2", "B13-3", "B13-4")):
        svg = draw_section([shaft for shaft in planned("viaduct").shafts if shaft.id in names], units)
        placed = [(box, width_of(text, 9.2)) for text, box in boxes(ET.fromstring(svg)) if text.startswith(("casing", "tip", "B"))]
        middles = [((left + right) / 2, base, wide) for (left, _, right, base), wide in placed]
        for (here, level, wide), (there, other, its_wide) in permutations(middles, 2):
            assert level != other or abs(here - there) >= (wide + its_wide) / 2 + 5


def test_characters_write_refusals_in_the_readers_units_and_no_test_is_dropped(planned, laminated):
    """The log of pier 3 has 50 blows for 4 in (102 mm). Tests at 1.0 and 1.1 m of 25 m share a row."""
    shaft = planned("river-crossing").shafts[0]
    us, si = ("\n".join(draw_strip_in_characters(shaft, NumberWriter(units))[0]) for units in ("us", "si"))
    assert ' 50/4" ' in us
    assert " 50/102 " in si
    assert " 3,WOH " in "\n".join(draw_strip_in_characters(laminated, NumberWriter("si"))[0])


def test_a_void_has_a_sign_of_its_own_in_characters(planned):
    rows, key = draw_strip_in_characters(planned("karst").shafts[0], NumberWriter("us"))
    assert any("( )( )" in row for row in rows)
    assert "( ) void" in key[0]


@pytest.mark.parametrize("colour", [INK, GREY, WATER])
def test_lettering_stands_out_from_white(colour):
    """4.5 to 1 is what the web content accessibility guidelines ask of small text (level AA); pictures stay white in the dark."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    light = [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    assert 1.05 / (0.2126 * light[0] + 0.7152 * light[1] + 0.0722 * light[2] + 0.05) >= 4.5
