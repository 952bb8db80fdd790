"""Sizes of the trade: lists of standards and makers (from memory) and steps in inches (GEC 10-2018 sec. 5.2, digest)."""

import pytest

from methodpick.engine.load import lay_over
from methodpick.ground.profile import Profile
from methodpick.ground.site import Shaft, Site, SiteConditions
from methodpick.plan.casing.sizes import CasingUse, starter_size, string_sizes
from methodpick.plan.pipeline import plan
from methodpick.strict_yaml import read
from methodpick.units import INCH_M
from methodpick.vocabulary.trade_sizes import TradeSizes

SAND_OVER_CLAY = """methodpick: 1
site: {units: UNITS, allowed: [dry, temporary_casing, slurry]}
borings:
  - id: B
    depth: 30 m
    water: [{reading: settled, depth: 2 m, after: 24 h}]
    layers:
      - {top: 0 m, base: 8 m, description: "medium dense fine sand", symbol: SP, fines: 3 %, absent: [cobbles, boulders]}
      - {top: 8 m, base: 30 m, description: "very stiff clay", symbol: CH, su: 180 kPa, absent: [fissured]}
shafts: [{id: S, boring: B, diameter: SIZE, tip: 20 m}]
"""


def of_units(units):
    return Site(borings=(Profile(id="B"),), site=SiteConditions(units=units))


def shaft(diameter_m, **more):
    return Shaft(id="S", diameter_m=diameter_m, tip_m=20.0, **more)


@pytest.mark.parametrize(
    ("diameter_m", "pipe_m", "segmental_m"), [(0.6, 0.660, 0.750), (0.9, 1.016, 1.000), (1.2, 1.321, 1.300), (1.5, 1.524, 1.800)]
)
def test_a_metric_site_takes_metric_sizes(trade_sizes, diameter_m, pipe_m, segmental_m):
    """Pipe: 600 mm inside two walls of 9.5 mm is over 610 mm, so 660 mm, and so on. Segmental casing by its clear inside of the list:
    670, 920, 1220 and 1700 mm.
    """
    (pipe,) = string_sizes(of_units("si"), shaft(diameter_m), [CasingUse()], trade_sizes("si"))
    (segmental,) = string_sizes(of_units("si"), shaft(diameter_m), [CasingUse(way="oscillated")], trade_sizes("si"))
    assert (pipe.outside_m, segmental.outside_m) == (pipe_m, segmental_m)
    starters_m = {0.660: 0.711, 1.016: 1.067, 1.321: 1.422, 1.524: 1.626}
    assert starter_size(pipe.outside_m, trade_sizes("si")).outside_m == starters_m[pipe_m]


def test_metric_casing_beyond_the_lists_goes_by_steps(trade_sizes):
    """casing_step_metric_m: 2600 mm inside and two walls of 2600 / 150, so 17.5 mm, ask for 2635 mm: 2700 mm."""
    (pipe,) = string_sizes(of_units("si"), shaft(2.6), [CasingUse()], trade_sizes("si"))
    assert pipe.outside_m == pytest.approx(2.7)


def test_a_us_site_takes_inches(trade_sizes):
    (size,) = string_sizes(of_units("us"), shaft(48 * INCH_M), [CasingUse()], trade_sizes("us"))
    assert size.outside_m == pytest.approx(54 * INCH_M)


@pytest.mark.parametrize(("shaft_in", "outside_m"), [(36, 1.0), (42, 1.18), (48, 1.3), (60, 1.8)])
def test_an_oscillator_on_a_us_site_turns_metric_casing(trade_sizes, shaft_in, outside_m):
    """914, 1067, 1219 and 1524 mm pass 920, 1100, 1220 and 1700 mm inside; oscillators are metric machines (common practice, no source)."""
    (size,) = string_sizes(of_units("us"), shaft(shaft_in * INCH_M), [CasingUse(way="oscillated")], trade_sizes("us"))
    assert size.outside_m == outside_m


@pytest.mark.parametrize(("plant", "asked"), [("oscillator", True), ("vibratory", False)])
def test_metric_casing_on_a_us_site_is_asked_about(book, read_text, plant, asked):
    """60 in go through 1800 mm, where 1500 mm would nearly do: whoever drew the shaft is asked."""
    none = {"oscillator": "false", "kelly_twist": "false", "vibratory": "false", "impact_hammer": "false", plant: "true"}
    units = f"us, equipment: {{{', '.join(f'{name}: {there}' for name, there in none.items())}}}"
    text = SAND_OVER_CLAY.replace("UNITS", units).replace("SIZE", "60 in").replace(", slurry]", "]")
    (made,) = plan(read_text(text), book).shafts
    assert any("metric" in gap.question for gap in made.gaps) == asked


def test_an_agency_that_sizes_by_the_outside(book):
    """48 in outside for a shaft of 48 in that is called nominal; a minimum, and an inside that is drawn, keep the full tool passing."""
    by_outside = TradeSizes("us", {**book.values, "nominal_is_outside": 1.0}, book.sizes)
    for drawn, outside_in in (("nominal", 48), ("minimum", 54), ("casing_inside", 54), ("casing_outside", 48)):
        (size,) = string_sizes(of_units("us"), shaft(48 * INCH_M, diameter_is=drawn), [CasingUse()], by_outside)
        assert size.outside_m == pytest.approx(outside_in * INCH_M), drawn


@pytest.mark.parametrize(("units", "size", "step_m"), [("us", "48 in", 2 * INCH_M), ("si", "1200 mm", 0.05)])
def test_tools_and_core_barrels_come_in_trade_sizes(book, read_text, units, size, step_m):
    """2 in and 50 mm (from memory); the shaft's own tool is as drawn."""
    (made,) = plan(read_text(SAND_OVER_CLAY.replace("UNITS", units).replace("SIZE", size)), book).shafts
    tools = [stage.tool_m for stage in made.stages if stage.tool_m is not None]
    assert len(tools) > 1
    for tool_m in tools:
        assert tool_m / step_m == pytest.approx(round(tool_m / step_m), abs=1e-3)


def test_no_tool_is_wider_than_what_it_goes_through():
    trade = TradeSizes("us", {"tool_step_m": 0.0508}, {})
    assert trade.tool_to(1.499, 1.372) == pytest.approx(1.4732)
    assert trade.tool_to(1.38, 1.372) == pytest.approx(1.38), "no step between casing and hole"


def test_below_a_casing_of_the_drawn_outside_works_a_tool_that_passes(book, read_text):
    """1219 mm outside by 9.5 mm leaves 1200 mm for a shaft of 1220 mm: 1150 or 1200 mm, never 1220 mm."""
    text = SAND_OVER_CLAY.replace("UNITS", "si").replace("SIZE", "1219 mm, diameter_is: casing_outside").replace(", slurry]", "]")
    (made,) = plan(read_text(text), book).shafts
    below = [stage for stage in made.stages if stage.action == "drill" and stage.top_m >= 8.0]
    assert below
    inside_m = min(casing.inside_m for casing in made.casings if casing.kind != "starter")
    assert all(stage.tool_m <= inside_m for stage in below)


# ---- another market, by an overlay


OURS = """overlay: alder piling
level: company
sizes:
  segmental_si: {unit: mm, sizes: [[900, 820], [1330, 1250], [1650, 1550]], source: own, where: "yard list of 2026", confidence: read}
"""


def test_an_overlay_brings_the_market_of_a_contractor(book, read_text):
    """A shaft of 1200 mm, an oscillator: 1300 mm of the shipped list lets 1220 mm pass; of three sizes of a yard 1330 mm is the least."""
    ours = lay_over(book, read(OURS))
    site = read_text(
        SAND_OVER_CLAY.replace("UNITS", "si, equipment: {oscillator: true, kelly_twist: false, vibratory: false, impact_hammer: false}")
        .replace("SIZE", "1200 mm")
        .replace(", slurry]", "]")
    )
    widths = []
    for rulebook in (book, ours):
        (made,) = plan(site, rulebook).shafts
        widths.append({casing.outside_diameter_m for casing in made.casings if casing.way == "oscillated"})
    assert widths == [{1.3}, {1.33}]
    assert ours.digest != book.digest
    (noted,) = ours.loosened
    assert (noted.overlay, noted.reason) == ("alder piling", "own, yard list of 2026")
    assert noted.what == "sizes of segmental casing on SI sites: 11 from ⟦0.62|size⟧ to ⟦2.5|size⟧ become 3 from ⟦0.9|size⟧ to ⟦1.65|size⟧"


def test_a_list_for_us_sites_goes_before_the_steps(book):
    """A yard with segmental casing in inches: 48 in go through 54 in, 50 in inside, in place of 1300 mm of the shipped list."""
    listed = "{unit: in, sizes: [[48, 44], [54, 50]], source: own, confidence: read, reason: our yard}"
    sizes = lay_over(book, read(f"overlay: ours\nsizes: {{segmental_us: {listed}}}\n")).sizes
    trade = TradeSizes("us", book.values, sizes)
    assert trade.outside_from(48 * INCH_M, "oscillated", 48 * INCH_M) == pytest.approx(54 * INCH_M)
    assert trade.next_outside(1.2, "oscillated") == pytest.approx(48 * INCH_M)
    assert trade.outside_from(48 * INCH_M, "driven") == pytest.approx(48 * INCH_M), "pipe still goes by steps"
