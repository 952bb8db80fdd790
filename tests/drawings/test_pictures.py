"""The pictures of every example: well-formed, complete, self-contained, and not moved by what a log says."""

import os
import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from effort import examples
from hostile import HOSTILE, spoilt
from hypothesis import given, settings
from picture_words import SVG, collisions, on_hatching, place_of, words

from methodpick.document.fluid import window_figure
from methodpick.document.pages import group_shafts
from methodpick.drawings.charts import _cut, draw_volume
from methodpick.drawings.hatching import HATCHES, hatch_of
from methodpick.drawings.site_section import draw_section
from methodpick.drawings.strip_log import draw_strip
from methodpick.errors import InputError
from methodpick.formats.report import figure_svg
from methodpick.resources import folder

GOLDEN = Path(__file__).parents[1] / "golden"
EXAMPLES = sorted(path.stem for path in folder("profiles").glob("*.yaml"))
ALL = [*EXAMPLES, "twenty-layers", "descriptions-only", "cobbles-thin", "residual-thin", "soft-clay-over-rock-thin"]


def window_svg(shaft, units):
    return figure_svg(window_figure(shaft), units)


def pictures(plan, units, shafts=None):
    yield draw_section(plan.shafts, units)
    for shaft in shafts or plan.shafts:
        yield draw_strip(shaft, units)
        yield draw_volume(shaft, units)
        if shaft.slurry is not None:
            yield window_svg(shaft, units)


@pytest.fixture(scope="module")
def drawn(planned):
    """Draw the pictures of an example, once for all tests; of shafts that share a sheet, one. Each comes with its tree."""

    @cache
    def draw(name, units):
        shafts = [sheet.first for sheet in group_shafts(planned(name).shafts)]
        return tuple((svg, ET.fromstring(svg)) for svg in pictures(planned(name), units, shafts))

    return draw


@pytest.mark.parametrize("name", EXAMPLES)
def test_lettering_of_a_strip_stands_on_white_and_does_not_collide(planned, name):
    """The numbers of casings in their circles apart; words of layers are drawn beside their hatch."""
    for group in group_shafts(planned(name).shafts)[:6]:
        svg = draw_strip(group.first, "us")
        assert on_hatching(svg) == []
        assert collisions(svg) == []


def test_the_axis_of_blow_counts_begins_at_the_ground(planned):
    """Over it runs the line of the drilling grade, with its words."""
    shaft = planned("artesian-sand").shafts[0]
    tree = ET.fromstring(draw_strip(shaft, "si"))
    (ground,) = [float(one.get("y1")) for one in tree.iter(f"{SVG}line") if one.get("stroke-width") == "1.4"]
    (axis,) = [one for one in tree.iter(f"{SVG}line") if one.get("stroke-width") == "0.5" and one.get("x1") == one.get("x2")]
    assert float(axis.get("y1")) == pytest.approx(ground)


def test_a_void_and_an_open_hole_have_hatches_of_their_own():
    looks = [(hatch.strokes, hatch.filled, hatch.width) for hatch in (HATCHES["void"], HATCHES["dry"])]
    assert looks[0] != looks[1]
    assert all(strokes for strokes, _, _ in looks)


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("name", ALL)
def test_every_picture_is_well_formed_and_asks_nothing_of_outside(drawn, name, units):
    for svg, tree in drawn(name, units):
        assert tree.tag == f"{SVG}svg"
        assert svg.replace('xmlns="http://www.w3.org/2000/svg"', "").count("http") == 0
        assert not re.search(r"href|@import|<image|<script|<style|url\((?!#)", svg)
        assert "⟦" not in svg
        assert "nan" not in svg.lower().replace("resonance", "")
        assert tree.find(f"{SVG}title").text
        assert len(tree.find(f"{SVG}desc").text) > 40, "what it shows, to those who do not see it"
        named = {one.get("id") for one in tree.iter() if one.tag in {f"{SVG}title", f"{SVG}desc"}}
        assert set(tree.get("aria-labelledby").split()) == named


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("name", ALL)
def test_nothing_is_drawn_outside_the_sheet(drawn, name, units):
    for _, tree in drawn(name, units):
        wide, high = float(tree.get("width")), float(tree.get("height"))
        for one in tree.iter():
            if one.tag in {f"{SVG}text", f"{SVG}rect"} and one.get("x") is not None:
                x, y = place_of(one)
                assert -6 <= x <= wide, (one.attrib, one.text)
                assert -2 <= y <= high, (one.attrib, one.text)


@pytest.mark.parametrize("name", ALL)
def test_the_letters_are_large_enough_to_read_on_paper(drawn, name):
    """The sheet is 700 units wide on 186 mm of paper, so 8.4 units are 6.3 points; less is hard to read (common practice)."""
    for _, tree in drawn(name, "us"):
        for one in tree.iter(f"{SVG}text"):
            assert float(one.get("font-size")) >= 8.4, one.text


@pytest.mark.parametrize("name", ALL)
def test_every_hatch_that_is_used_is_defined(drawn, name):
    for svg, _ in drawn(name, "si"):
        assert set(re.findall(r"url\(#([^)]+)\)", svg)) == set(re.findall(r'<pattern id="([^"]+)"', svg))


@pytest.mark.parametrize("name", ALL)
def test_the_strip_draws_every_layer_of_the_shaft(planned, name):
    for shaft in planned(name).shafts:
        tree = ET.fromstring(draw_strip(shaft, "si"))
        fills = [one.get("fill") for one in tree.iter(f"{SVG}rect") if one.get("width") == "34"]
        reached = [layer for layer in shaft.ground.layers if layer.top_m < shaft.tip_depth_m]
        drawn = [fill.removeprefix("url(#a-").removesuffix(")") for fill in fills]
        drawn = [hatch for hatch in drawn if hatch != "open-water"]
        assert drawn[: len(reached)] == ["slab" if one.slab else hatch_of(one.soil_class, one.description, one.symbol) for one in reached]
        said = " ".join(words(draw_strip(shaft, "si")))
        for layer in reached:
            assert (layer.description or layer.soil_class).split()[0] in said, layer.description


def test_the_strip_is_the_golden_one(planned):
    """After a wanted change: METHODPICK_GOLDEN=write pytest tests/drawings, then look at the picture."""
    shown = draw_strip(planned("stiff-clay-thin").shafts[0], "us")
    path = GOLDEN / "strip.svg"
    if os.environ.get("METHODPICK_GOLDEN") == "write":
        path.write_text(shown, encoding="utf-8")
    assert shown == path.read_text(encoding="utf-8")


def test_layers_stand_at_their_depths(planned):
    """Tops of the layers of the caving lens are 0, 20 and 29 ft: their distances down the sheet stand as 20 to 9."""
    (shaft,) = planned("caving-lens").shafts
    tree = ET.fromstring(draw_strip(shaft, "us"))
    tops = [float(one.get("y")) for one in tree.iter(f"{SVG}rect") if one.get("width") == "34"]
    assert len(tops) == 3
    assert (tops[1] - tops[0]) / (tops[2] - tops[1]) == pytest.approx(20 / 9, rel=0.01)


def test_elevations_run_with_the_depths(planned):
    """The ground of boring B-3 is at 424.0 ft, so elevation 420 lies 4 ft deep: 0.2 of the way from 0 to 20 ft."""
    (shaft,) = planned("caving-lens").shafts
    places = {one.text: float(one.get("y")) for one in ET.fromstring(draw_strip(shaft, "us")).iter(f"{SVG}text")}
    assert (places["420"] - places["0"]) / (places["20"] - places["0"]) == pytest.approx(0.2, abs=0.01)


def test_units_are_those_asked_for(planned):
    (shaft,) = planned("caving-lens").shafts
    us, si = words(draw_strip(shaft, "us")), words(draw_strip(shaft, "si"))
    assert "16.0 ft" in us
    assert "4.88 m" in si
    assert "tip 60.0 ft" in us
    assert "tip 18.29 m" in si
    assert "54 in x 0.500 in" in " ".join(us)


def test_the_strip_over_water_starts_at_the_mudline(planned):
    (shaft,) = planned("river-crossing").shafts
    said = words(draw_strip(shaft, "us"))
    assert "mudline" in said
    assert "open water" in said
    assert "-18.0 ft" in said
    assert "drilling grade 30.0 ft above the mudline" in said


def test_refusals_are_written_in_the_readers_units(planned):
    """The karst log has 50 blows for 1 in."""
    shaft = planned("karst").shafts[0]
    assert '50/1"' in words(draw_strip(shaft, "us"))
    assert "50/25" in words(draw_strip(shaft, "si"))


def test_the_window_is_one_chart_whose_lines_are_named(planned):
    """Fluid with its aim and what is allowed, level, groundwater, what is needed and why; the words stand in the chart, not below it."""
    shaft = planned("artesian-sand").shafts[0]
    slurry = shaft.slurry
    said = " ".join(words(window_svg(shaft, "si")))
    for wanted in (
        f"aim at {slurry.density_target_kg_m3:.0f} kg/m3",
        f"{slurry.density_min_kg_m3:.0f} kg/m3 to {slurry.density_max_kg_m3:.0f} kg/m3",
        f"level of the fluid: {-slurry.level_m:.2f} m above the ground",
        "groundwater",
        "needed at least:",
        "keeping groundwater out",
        "pressure in the hole, kPa",
    ):
        assert wanted in said
    assert "mudline" in " ".join(words(window_svg(planned("river-crossing").shafts[0], "us")))


def test_the_line_of_the_fluid_is_its_weight_below_its_level(planned):
    """Hand: 9.81 x 1080 kg/m3 x (18.50 + 2.45) m = 222 kPa at the base of V1; the scale is read off its own marks."""
    for name in ("artesian-sand", "caving-lens", "saturated-sand", "cobbles-thin"):
        slurry = planned(name).shafts[0].slurry
        tree = ET.fromstring(window_svg(planned(name).shafts[0], "si"))
        (fluid,) = [one for one in tree.iter(f"{SVG}path") if one.get("stroke-width") == "2.2"]
        ends = [tuple(map(float, point.split())) for point in fluid.get("d")[1:].split("L")]
        marks = {
            float(one.text): float(one.get("x"))
            for one in tree.iter(f"{SVG}text")
            if one.get("text-anchor") == "middle" and one.text.isdigit() and float(one.get("y")) < 46
        }
        (low, left), (high, right) = min(marks.items()), max(marks.items())
        pressure = 9.81e-3 * slurry.density_target_kg_m3 * (slurry.base_m - slurry.level_m)
        assert ends[-1][0] == pytest.approx(left + (pressure - low) / (high - low) * (right - left), abs=0.6)
        assert ends[0][0] == pytest.approx(marks[0.0], abs=0.1)


def test_the_words_of_the_window_do_not_collide(planned):
    """Rows of words below the chart, by the estimated width of their letters."""
    for name in ("artesian-sand", "caving-lens", "saturated-sand", "karst", "river-crossing"):
        for shaft in planned(name).shafts:
            if shaft.slurry is not None:
                assert collisions(window_svg(shaft, "us")) == []


def test_an_empty_window_says_that_no_density_is_open(empty_window):
    said = " ".join(words(window_svg(empty_window.shafts[0], "us")))
    assert "no density is open: at least" in said
    assert "aim at" not in said


def test_a_bound_is_cut_at_the_edge_of_the_chart():
    """From 10 at depth 0 to 30 at depth 4, cut at 25: three quarters of the way."""
    assert _cut([(10.0, 0.0), (30.0, 4.0)], 25.0) == [(10.0, 0.0), (25.0, 3.0)]
    assert _cut([(30.0, 0.0), (40.0, 4.0)], 25.0) == []
    assert _cut([(30.0, 0.0), (20.0, 4.0), (20.0, 5.0)], 25.0) == [(25.0, 2.0), (20.0, 4.0), (20.0, 5.0)]


def test_a_dry_shaft_has_no_window(planned):
    with pytest.raises(InputError, match="without support fluid"):
        window_svg(planned("stiff-clay").shafts[0], "us")


def test_the_section_names_the_levels_of_casing_and_tip(planned):
    """The ground of boring B-6 is at 438.0 ft; a seat stands as many feet lower as it is deep. Nothing is drawn between two shafts."""
    shafts = planned("karst").shafts
    svg = draw_section(shafts, "us")
    said = words(svg)
    for shaft in shafts:
        deepest_ft = max(one.base_m for one in shaft.casings) / 0.3048
        assert f"casing {438.0 - deepest_ft:.1f}" in said
        assert f"tip {438.0 - shaft.tip_depth_m / 0.3048:.1f}" in said
    assert "20.0 ft" in said, "the shafts stand 20 ft apart"
    assert not [one for one in ET.fromstring(svg).iter(f"{SVG}path") if one.get("stroke-dasharray") == "7 4"]


def test_a_shaft_alone_in_the_section_has_its_layers_beside_it_with_their_levels(planned):
    """One of many has no room for them; P4 of caving-lens stands on 424.0 ft, its sand begins 20 ft lower, its lower clay at 29 ft."""
    drawn = words(draw_section(planned("caving-lens").shafts, "us", "a"))
    told = [text for text in drawn if text.split()[0] in {"424.0", "404.0", "395.0"}]
    assert told == [
        "424.0 stiff brown lean clay, moist",
        "404.0 medium dense grey fine to medium sand, wet",
        "395.0 very stiff grey fat clay",
    ]
    pair = words(draw_section(planned("karst").shafts, "us", "a"))
    assert not [text for text in pair if "silty sand" in text and text[0].isdigit()]


def test_one_word_of_the_key_has_one_swatch(planned):
    """What holds the wall and what stands in the hole is the same fluid, in the same hatch."""
    drawn = words(draw_strip(planned("river-crossing").shafts[0], "us", "a"))
    assert drawn.count("support fluid") == 1
    assert "held by fluid" not in drawn


def test_a_section_without_shafts_is_refused():
    with pytest.raises(InputError, match="no shaft"):
        draw_section((), "us")


@pytest.mark.parametrize(
    ("soil", "described", "symbol", "hatch"),
    [
        ("rock", "weak grey SHALE over limestone", "", "mudstone"),
        ("rock", "pink granite", "", "crystalline-rock"),
        ("rock", "strong, grey", "rock", "rock"),
        ("clay", "", "CH", "fat-clay"),
        ("clay", "", "CL", "clay"),
        ("cobbles", "", "", "cobbles"),
        ("weathered_rock", "weathered limestone", "", "weathered-rock"),
        ("nonsense", "", "", "unknown"),
    ],
)
def test_the_hatch_of_a_layer(soil, described, symbol, hatch):
    assert hatch_of(soil, described, symbol) == hatch
    assert hatch in HATCHES


def test_every_soil_of_the_catalogue_has_a_hatch(book):
    for soil in book.catalogue.facts["soil"].words:
        assert soil == "unknown" or hatch_of(soil) != "unknown", soil


def test_hatches_differ_without_colour():
    """Where two hatches share their strokes, black and white cannot tell them apart; only what is blank by meaning is blank."""
    signs = [(one.strokes, one.filled, one.width) for one in HATCHES.values() if one.strokes or one.filled]
    assert len(set(signs)) == len(signs)


def tags(tree):
    return {element.tag for element in tree.iter()}


def attributes(tree):
    return {name for element in tree.iter() for name in element.attrib}


@given(words=HOSTILE)
@settings(max_examples=examples(40))
def test_foreign_text_stays_text(planned, drawn, words):
    for name in ("caving-lens", "karst"):
        for svg, (_, fine) in zip(pictures(spoilt(planned(name), words), "us"), drawn(name, "us"), strict=True):
            svg.encode("utf-8")
            for part in (tags, attributes):
                assert part(ET.fromstring(svg)) <= part(fine)


@pytest.mark.parametrize("count", ["²", "٣", "-", "WOH", "50/", "50/76mm", "999999999999"])
def test_any_count_of_blows_is_drawn(planned, count):
    (shaft,) = planned("caving-lens").shafts
    odd = replace(shaft, ground=replace(shaft.ground, spt=((2.0, count),)))
    assert ET.fromstring(draw_strip(odd, "us")).tag == f"{SVG}svg"
