"""The takeoff: published rows, sums of parts, laws, and nothing that merges what is certain with what is a range."""

import csv
import io
import json
import os
from dataclasses import replace
from functools import partial
from math import ceil, pi
from types import SimpleNamespace

import pytest
from command_line import run, run_as_process

from methodpick.formats.json import takeoff_json
from methodpick.formats.sheets import defused, takeoff_csv
from methodpick.plan.result.steps import FLUID_TO_FILL
from methodpick.site.estimate import FOR_THE_LOSS
from methodpick.site.job import Job
from methodpick.site.planning import plan_site
from methodpick.site.result import BY_DRAWING, EMPTY_BORE, HOLE, LOST, MEASURED, OVERBREAK, OVERSIZE, PAD_BANK, PAD_LOOSE, STOCK
from methodpick.site.site_takeoff import ShaftCounts, cage_checks, casing_lines, jobs_of, take_off
from methodpick.site.takeoff_lines import _percent, swell_of
from methodpick.tables.takeoff import HEAD
from methodpick.unit_markup import spell
from methodpick.units import YARD3_M3

FOOT, INCH, POUND = 0.3048, 0.0254, 0.45359237


@pytest.fixture(scope="module")
def viaduct(takeoff):
    return takeoff("viaduct")


def line(shaft, item):
    return next(row for row in shaft.lines if row.item.startswith(item))


def shaft_in_clay(read_text, book, diameter, tip=52, more=""):
    text = f"""\
methodpick: 1
site: {{units: us, starter_casing: false, recharge: [none], contamination: none}}
borings:
  - {{id: B, depth: 150, technique: solid_auger, water: [{{reading: settled, depth: 140, after: 24 h}}],
     layers: [{{top: 0, base: 150, description: "hard grey lean clay", symbol: CL, su: 4000, pi: 20, absent: [fissured]}}]}}
shafts: [{{id: P1, boring: B, diameter: {diameter}, tip: {tip}, cutoff: 2}}]
{more}"""
    made = read_text(text)
    return take_off(made, plan_site(made, book), book).shafts[0]


def test_an_empty_bore_of_nothing_is_no_difference_of_levels(takeoff):
    """Over the river the cut-off stands 20 ft above the mudline: none is drilled empty, and 'cut-off - top' would be -20 ft."""
    empty = line(takeoff("river-crossing").shafts[0], "empty bore")
    assert empty.amount.likely == 0
    assert spell(empty.formula, "us") == "none: cut-off -20.0 ft, no lower than the top, 0.0 ft"


def test_hours_of_rig_and_crew_at_two_shafts_at_a_time_are_told_beside_their_price(read_text, book):
    """Rig 8 to 9 h and crew 7 to 8 h a shaft: five shafts are some 80 h, and five days of ten hours and one more on site."""
    made = read_text("""\
methodpick: 1
site: {units: us}
borings:
  - {id: B, depth: 90, technique: solid_auger, water: [{reading: settled, depth: 14, after: 24 h}], layers: [
     {top: 0, base: 12, description: stiff lean clay, symbol: CL, su: 1500}, {top: 12, base: 26, description: dense sand, symbol: SP},
     {top: 26, base: 90, description: very stiff fat clay, symbol: CH, su: 3000}]}
shafts: [{id: P1, boring: B, diameter: 48, tip: 62, cutoff: 3, count: 5}]
rates: {currency: crowns, rig: 400}
""")
    found = take_off(made, plan_site(made, book), book)
    rig = next(line for line in found.cost.lines if line.item == "rig and crew")
    assert rig.quantity.likely > found.calendar.on_site_h.likely
    held = f"; {found.calendar.on_site_h.likely:.0f} h of shifts hold them, as the crew finishes one shaft while the rig begins the next"
    assert rig.formula.endswith(held)
    assert found.cost.total.likely == pytest.approx(400 * rig.quantity.likely), "what is said to be priced is priced"


def test_every_shaft_of_an_entry_uses_its_string(read_text, book):
    """A hundred and thirty alike take a hundred and thirty starters in turn, and the last string comes back on the last day."""
    made = read_text("""\
methodpick: 1
site: {units: us}
borings:
  - {id: B, depth: 60, technique: solid_auger, water: [{reading: settled, depth: 14, after: 24 h}], layers: [
     {top: 0, base: 60, description: dense sand, symbol: SP}]}
shafts: [{id: P1, boring: B, diameter: 48, tip: 42, cutoff: 3, count: 130}]
""")
    found = take_off(made, plan_site(made, book), book)
    strings = len([casing for casing in found.site.plan.shafts[0].casings if casing.kind != "permanent"])
    assert sum(string.uses for string in found.yard.strings) == 130 * strings
    assert max(string.days.likely for string in found.yard.strings) > 100


def test_contaminated_spoil_is_told_to_whoever_prices_it(takeoff):
    """Fill of a gasworks yard down to 4.5 m; a clean site says nothing."""
    (note,) = [spell(note, "si") for note in takeoff("contaminated-fill").notes if "contaminated" in note]
    assert note.startswith("Spoil is contaminated at F1 (0.00 to 4.50 m)")
    assert "give rates that cover it" in note
    assert not [note for note in takeoff("caving-lens").notes if "contaminated" in note]


@pytest.mark.parametrize(
    ("inches", "yards_a_foot"),
    [(18, 0.0654), (24, 0.1164), (30, 0.1818), (36, 0.2618), (48, 0.4654), (60, 0.7272), (72, 1.0472), (96, 1.8617), (120, 2.9089)],
)
def test_concrete_by_diameter(read_text, book, inches, yards_a_foot):
    """Cubic yards a foot as estimating tables print them, pi/4 D^2 / 27 (common practice, no source); 50 ft from cut-off to tip."""
    yards = line(shaft_in_clay(read_text, book, inches), BY_DRAWING).amount.likely / YARD3_M3
    assert yards == pytest.approx(50 * yards_a_foot, rel=2e-3)  # the cut-off of 2 ft is kept to a millimetre


@pytest.mark.parametrize(
    ("outside", "wall", "pounds_a_foot"),
    [
        (16, 0.5, 82.85),
        (18, 0.375, 70.65),
        (18, 0.5, 93.54),
        (20, 0.375, 78.67),
        (20, 0.5, 104.23),
        (22, 0.5, 114.92),
        (24, 0.25, 63.47),
        (24, 0.375, 94.71),
        (24, 0.5, 125.62),  # ASTM A252 table 3, read
        (12.75, 0.5, 65.42),
        (12.75, 0.375, 49.56),
        (12, 0.312, 38.95),
    ],
)  # UFC 3-220-01A table B-1, read; with 489.6 lb/ft3
def test_casing_masses_of_published_tables(viaduct, site, book, outside, wall, pounds_a_foot):
    """A string of 40 ft of the size, through the line of the takeoff."""

    plan = next(shaft for shaft in viaduct.site.plan.shafts if shaft.casings)
    casing = replace(plan.casings[0], outside_diameter_m=outside * INCH, wall_m=wall * INCH, length_m=40 * FOOT)
    shaft = next(shaft for shaft in site("viaduct").shafts if shaft.id == plan.id)
    job = Job(site("viaduct"), shaft, replace(plan, casings=(casing,)), 0.0, book)
    mass = next(row for row in casing_lines(job) if row.unit == "kg").amount.likely
    assert mass / POUND / 40 == pytest.approx(pounds_a_foot, rel=1.5e-3)


@pytest.mark.parametrize(("percent", "dose"), [(3.5, 34.6), (4, 39.4), (5, 49.1), (6, 58.6)])
def test_bentonite_doses_hold_the_usual_range(book, percent, dose):
    """3.5 to 6 % by weight is the usual slurry of shafts (common practice); per m3 of water and bentonite, Gs 2.6, by mass balance.

    A mix of p percent of the water's weight holds p x 10 / (1 + p / 260) kg in a cubic metre: 34.6, 39.4, 49.1, 58.6.
    """
    assert percent * 10 / (1 + percent / 260) == pytest.approx(dose, abs=0.1)
    spans = [row.then["bentonite_percent"] for row in book.tables["fluid_dose"].rows]
    assert min(span.low for span in spans) <= percent <= max(span.high for span in spans)


def test_the_takeoff_mixes_what_the_fluid_programme_says(read_text, book):
    """5 % of the slurry's weight in clean sand: 0.05 / (0.05 / 2600 + 0.95 / 1000) = 51.6 kg/m3, worked by hand, on the loss of a
    fifth of the hole and on the stock of 1.5 holes."""
    made = read_text("""methodpick: 1
site: {units: si, allowed: [slurry], fluids_allowed: [mineral], water_chemistry: {hardness: 50, ph: 8}}
borings:
  - {id: B, depth: 30, water: [{reading: settled, depth: 3, after: 24 h}],
     layers: [{top: 0, base: 30, description: "dense fine to medium sand", symbol: SP, fines: 3 %}]}
shafts: [{id: P, boring: B, diameter: 1200, tip: 15}]
""")
    off = take_off(made, plan_site(made, book), book)
    lines = {row.item: row for row in (*off.shafts[0].lines, *off.site_lines)}
    hole = lines["mineral slurry, hole volume"].amount.likely
    assert lines[f"bentonite, dry, {FOR_THE_LOSS}"].amount.likely == pytest.approx(0.2 * hole * 51.6, rel=0.01)
    assert lines["bentonite, dry, for the stock"].amount.likely == pytest.approx(1.5 * hole * 51.6, rel=0.01)


def test_water_in_the_hole_is_called_water(read_text, book):
    made = read_text("""methodpick: 1
site: {units: si, allowed: [slurry], fluids_allowed: [water]}
borings:
  - {id: B, depth: 30, water: [{reading: piezometer, depth: 1}], layers: [{top: 0, base: 30, description: "grey sandstone", ucs: 40 MPa}]}
shafts: [{id: P, boring: B, diameter: 1200, tip: 15}]
""")
    planned = plan_site(made, book)
    off = take_off(made, planned, book)
    items = {row.item for row in (*off.shafts[0].lines, *off.site_lines)} | {line.item for line in planned.plan.shafts[0].quantities}
    assert {f"water{part}" for part in (HOLE, LOST, STOCK, FLUID_TO_FILL)} <= items
    assert not [item for item in items if "water fluid" in item]


def test_the_worked_stock_of_a_60_inch_hole():
    """60 in by 80 ft: 1571 ft3, 44.5 m3; 1.5 of it at 50 kg/m3 is 3336 kg of bentonite (worked by hand: 44.48 x 1.5 x 50)."""
    hole = pi / 4 * (60 * INCH) ** 2 * 80 * FOOT
    assert hole == pytest.approx(44.48, abs=0.01)
    assert hole * 1.5 * 50 == pytest.approx(3336, abs=1)


@pytest.mark.parametrize(
    ("soil", "low", "high"),
    [("clay", 35, 40), ("silt", 35, 35), ("clean_sand", 5, 5), ("clean_gravel", 5, 15), ("rock", 40, 72), ("weathered_rock", 25, 40)],
)
def test_swell_spans_the_published_values(viaduct, site, book, soil, low, high):
    """Alaska DOT 1983, FHWA 2007, Church 1981 as compiled (secondary): clay damp 40, silt 35, sand 5, gravel 5 to 15, granite 70 to 72."""
    job = Job(site("viaduct"), site("viaduct").shafts[0], viaduct.site.plan.shafts[0], 0.0, book)
    swell = swell_of(job, soil)
    assert swell.low <= low <= high <= swell.high
    assert swell.low <= swell.likely <= swell.high


def test_sums_are_the_parts_of_every_shaft_and_of_the_site(viaduct):
    for shaft in viaduct.shafts:
        for row in shaft.lines:
            if row.sum_of:
                parts = [other.amount for other in shaft.lines if other.item in row.sum_of]
                assert len(parts) == len(row.sum_of)
                for end in ("low", "likely", "high"):
                    assert getattr(row.amount, end) == pytest.approx(sum(getattr(part, end) for part in parts), abs=1e-9)
    for total in viaduct.totals:
        for end in ("low", "likely", "high"):
            parts = [getattr(row.amount, end) * shaft.count for shaft in viaduct.shafts for row in shaft.lines if row.item == total.item]
            parts += [getattr(row.amount, end) for row in viaduct.site_lines if row.item == total.item]
            assert getattr(total.amount, end) == pytest.approx(sum(parts), rel=1e-12)
    everything = {row.item for shaft in viaduct.shafts for row in shaft.lines} | {row.item for row in viaduct.site_lines}
    assert {row.item for row in viaduct.totals} == everything


def test_drilled_length_is_tip_less_grade_and_alike_shafts_count(takeoff):
    made = takeoff("saturated-sand")
    for shaft in made.shafts:
        grade = 3 * FOOT  # the file: drilling_grade above_ground 3
        assert line(shaft, "drilled, all materials").amount.likely == pytest.approx(shaft.tip_m + grade, abs=1e-3)
    total = next(row for row in made.totals if row.item == "drilled, all materials")
    assert total.amount.likely == pytest.approx((65 + 3) * FOOT * 8 + (78 + 3) * FOOT * 2, abs=0.02)
    assert total.shafts == 10


def test_the_spoil_counts_the_working_pad(takeoff):
    """The file: 3 ft of pad, ten shafts drilled through it as wide as their starter; fill that is not known swells by 5 to 60 %."""
    made = takeoff("saturated-sand")
    by_hand = 0.0
    for plan in made.site.plan.shafts:
        by_hand += plan.count * pi / 4 * plan.casings[0].outside_diameter_m ** 2 * 3 * FOOT
    totals = {row.item: row.amount for row in made.totals}
    assert totals[PAD_BANK].likely == pytest.approx(by_hand, rel=1e-3)
    loose = totals[PAD_LOOSE]
    assert (loose.low, loose.likely, loose.high) == pytest.approx((1.05 * by_hand, 1.3 * by_hand, 1.6 * by_hand), rel=1e-3)
    assert not [row for row in takeoff("viaduct").totals if "working pad" in row.item], "there the rig stands on the ground"


def test_two_fluids_are_told_with_their_stocks(viaduct, takeoff):
    """Polymer and mineral slurry: the note counts the shafts of each as the plans have them, and points to where one is weighed."""
    (note,) = (note for note in viaduct.notes if "fluids are planned" in note)
    used = [{slurry.fluid for slurry in plan.slurries} for plan in viaduct.site.plan.shafts]
    for fluid, words in (("polymer", "polymer fluid"), ("mineral", "mineral slurry")):
        stock = next(row.amount.likely for row in viaduct.site_lines if row.item == f"{words}, stock")
        assert f"{words} for {sum(fluid in each for each in used)} shafts, a stock of {stock / YARD3_M3:.1f} yd3" in spell(note, "us")
    assert "methodpick compare" in note
    assert not [note for note in takeoff("saturated-sand").notes if "fluids are planned" in note]


@pytest.mark.parametrize("name", ["viaduct", "karst", "river-crossing", "artesian-sand", "stiff-clay"])
def test_what_is_certain_and_what_is_a_range_stand_apart(takeoff, name):
    for shaft in takeoff(name).shafts:
        assert line(shaft, BY_DRAWING).amount.certain
        assert line(shaft, OVERSIZE).amount.certain
        broken = line(shaft, OVERBREAK).amount
        assert 0 <= broken.low <= broken.likely <= broken.high
        for row in shaft.lines:
            assert row.amount.low <= row.amount.likely + 1e-9
            assert row.amount.likely <= row.amount.high + 1e-9
            assert row.formula, row.item
            assert row.pay in {"paid", "incidental", "unknown"}


def test_method_overrun_is_the_ratio_of_the_areas(viaduct):
    """(OD/D)^2 - 1 over the cased length, by hand for shaft B4-1: the 60 in starter, the hole drilled with a tool of 56 in, the
    widest of the trade within 100 mm of the 54 in casing that is set in it, the casing where it was pushed in, 48 in below.
    """
    shaft = next(shaft for shaft in viaduct.shafts if shaft.shaft == "B4-1")
    plan = next(plan for plan in viaduct.site.plan.shafts if plan.id == "B4-1")
    starter, string = plan.casings
    cut, tip, shaft_m = plan.cutoff_m, shaft.tip_m, shaft.diameter_m

    def area(diameter):
        return pi / 4 * diameter**2

    by_hand = (
        (starter.base_m - cut) * (area(starter.outside_diameter_m) - area(shaft_m))
        + (string.predrill_base_m - starter.base_m) * (area(56 * 0.0254) - area(shaft_m))
        + (string.base_m - string.predrill_base_m) * (area(string.outside_diameter_m) - area(shaft_m))
    )
    assert line(shaft, OVERSIZE).amount.likely == pytest.approx(by_hand, rel=1e-9)
    assert line(shaft, BY_DRAWING).amount.likely == pytest.approx(area(shaft_m) * (tip - cut), rel=1e-9)


def test_trucks_are_counted_as_begun(viaduct):
    for shaft in viaduct.shafts:
        order = line(shaft, "concrete, to order").amount
        assert line(shaft, "trucks").amount.high == ceil(order.high / (9 * YARD3_M3))  # the file: truck of 9 yd3


def test_tubes_by_the_cage(viaduct):
    """GEC 10 sec. 16.2 (digest): one for each foot of diameter: 38 in asks for 4, 48 in for 4, 40 in for 4; ASTM D6760: 3 at least."""
    assert {line(shaft, "integrity tubes").amount.likely for shaft in viaduct.shafts} == {4.0}


def test_a_cage_that_does_not_fit_is_said(read_text, book):
    text = """\
methodpick: 1
site: {units: us}
borings: [{id: B, depth: 90, layers: [{top: 0, base: 90, description: "hard clay", symbol: CL, su: 4000}]}]
shafts: [{id: P1, diameter: 48, tip: 50, cage_diameter: 44, cover: 3}, {id: P2, diameter: 48, tip: 50}]
"""
    made = read_text(text)
    first, second = take_off(made, plan_site(made, book), book).shafts
    assert first.checks[0].fits is False  # (48 - 44) / 2 = 2 in, 3 in wanted
    assert first.checks[0].there_m == pytest.approx(2 * INCH)
    assert second.checks[0].fits is None


def test_bid_quantities_are_the_paid_lines(viaduct):
    """15 bents of 4 columns: the lengths of all diameters and sockets are the length that the contract measures, once."""
    paid = {line.item: line for line in viaduct.totals if line.pay == "paid" and line.group == "drilling"}
    assert list(paid) == [MEASURED]
    lengths = [item.quantity for item in viaduct.bid.items if item.measure in {"shaft", "socket"}]
    assert sum(lengths) == pytest.approx(paid[MEASURED].amount.likely)
    (socket,) = [item for item in viaduct.bid.items if item.measure == "socket"]
    assert socket.quantity == pytest.approx(160 * FOOT, abs=0.01)  # 16 shafts with 10 ft of socket, by the file
    carried = sum(item.cost.likely for item in viaduct.bid.items if item.cost is not None)
    assert carried == pytest.approx(viaduct.cost.total.likely)


def test_pay_follows_the_file_and_is_unknown_without_it(viaduct, takeoff):
    pays = {row.item: row.pay for row in viaduct.totals}
    assert pays[MEASURED] == "paid"
    assert pays["drilled, all materials"] == "incidental"  # the measured length is what is paid of it
    assert pays[EMPTY_BORE] == pays["concrete, ground overbreak"] == "incidental"
    assert {row.pay for row in takeoff("karst").totals} == {"unknown"}


@pytest.mark.parametrize(
    "name", ["karst", pytest.param("viaduct", marks=pytest.mark.ci_only("plans sixty shafts in a process of its own"))]
)
def test_json_and_csv_are_the_same_bytes_whatever_the_hash_seed(site_path, tmp_path, name):
    """Byte stability over processes: this one has a hash seed of its own."""
    made = []
    for seed, start in (("1", partial(run_as_process, env={**os.environ, "PYTHONHASHSEED": "1"})), ("2", run)):
        files = [tmp_path / f"{seed}.{kind}" for kind in ("json", "csv")]
        done = start("takeoff", site_path(name), "--json", files[0], "--csv", files[1])
        assert done.returncode == 0, done.stderr
        made.append([file.read_bytes() for file in files])
    assert made[0] == made[1]
    assert all(made[0])


def test_the_csv_reads_back_and_adds_up(viaduct):
    rows = list(csv.DictReader(io.StringIO(takeoff_csv(viaduct, "us"))))
    assert tuple(rows[0]) == HEAD
    order = [row for row in rows if row["item"] == "concrete, to order"]
    shafts = sum(float(row["likely"]) * int(row["alike"]) for row in order if row["scope"] == "shaft")
    assert shafts == pytest.approx(float(next(row["likely"] for row in order if row["scope"] == "sum")), abs=0.05)
    assert {row["unit"] for row in order} == {"yd3"}
    assert "⟦" not in takeoff_csv(viaduct, "us")


@pytest.mark.parametrize("name", ["=1+1", "+1", "-1", "@sum", "\tx", "\rx"])
def test_no_cell_of_foreign_text_becomes_a_formula(read_text, book, name):
    text = f"""\
methodpick: 1
borings: [{{id: B, depth: 60, layers: [{{top: 0, base: 60, symbol: CL, description: hard clay}}]}}]
shafts: [{{id: {json.dumps(name)}, diameter: 48, tip: 40}}]
"""
    made = read_text(text)
    rows = list(csv.reader(io.StringIO(takeoff_csv(take_off(made, plan_site(made, book), book)), newline="")))
    named = next(row[1] for row in rows if row[0] == "shaft")
    assert named == defused(name)
    assert named == "'" + name.replace("\r", " ")
    assert not [cell for row in rows for cell in (row[1], row[4], row[10]) if cell.startswith(("=", "+", "-", "@", "\t", "\r"))]


def test_the_json_has_the_format_and_no_mark(viaduct):
    tree = json.loads(takeoff_json(viaduct))
    assert tree["format"] == "methodpick-takeoff/1"
    assert len(tree["shafts"]) == len(tree["assignments"]) == 60
    assert "⟦" not in takeoff_json(viaduct)


def test_every_formula_is_spelled_in_both_units(viaduct):
    for shaft in viaduct.shafts[:5]:
        for row in shaft.lines:
            for units in ("us", "si"):
                assert "⟦" not in spell(row.formula, units)


def test_plan_and_takeoff_count_the_same_trucks(viaduct):
    for plan in viaduct.site.plan.shafts[:8]:
        assert plan.concrete.truck_m3 == viaduct.truck_m3


@pytest.mark.parametrize(
    ("cage_m", "cover_m", "fits"), [(1.35, 0.075, True), (1.35, 0.0754, True), (1.35, 0.0756, False), (1.0, 0.25 + 5e-4, True)]
)
def test_a_cage_fits_to_half_a_millimetre(cage_m, cover_m, fits):
    """(1.5 - 1.35) / 2 is 75 mm, and (1.5 - 1.0) / 2 is 250 mm."""
    shaft = SimpleNamespace(diameter_m=1.5, socket_diameter_m=None, cage_diameter_m=cage_m, cover_m=cover_m)
    (check,) = cage_checks(SimpleNamespace(shaft=shaft, plan=SimpleNamespace(casings=())))
    assert check.fits is fits


@pytest.mark.parametrize(("part_m3", "whole_m3", "words"), [(1.5, 20.0, "7.5 %"), (0.0, 20.0, "0 %"), (1.0, 0.0, "0 %")])
def test_overbreak_is_written_as_a_share_of_the_hole(part_m3, whole_m3, words):
    assert spell(_percent(part_m3, whole_m3), "si") == words


def test_the_bid_says_which_shafts_are_not_proven(planned_site, site, book):
    """A price must not hide that the plan it is of is short of a proof."""
    belled, found = site("bell-in-wet-ground"), planned_site("bell-in-wet-ground")
    assert not found.plan.shafts[0].proven
    assert any("P1 (" in note and "not proven" in note for note in take_off(belled, found, book).bid.notes)


def test_speeds_that_hold_for_all_diameters_are_said(takeoff):
    """The viaduct has shafts of 48, 54 and 60 in and one speed for each ground; the karst has no speeds."""
    assert any("speeds given are used for all diameters" in note for note in takeoff("viaduct").notes)
    assert not any("speeds given" in note for note in takeoff("karst").notes)


ON_GLOBE = """methodpick: 1
site: {units: si}
borings:
  - {id: B, depth: 20, position: {latitude: 51.5, longitude: -0.1}, water: [{reading: settled, depth: 15, after: 24}],
     layers: [{top: 0, base: 20, description: "stiff clay", symbol: CH, su: 120, absent: [fissured]}]}
shafts:
  - {id: S1, boring: B, diameter: 900, tip: 10, position: {latitude: 51.50001, longitude: -0.1}}
  - {id: S2, boring: B, diameter: 900, tip: 10, position: {latitude: 51.50002, longitude: -0.1}}
"""


def test_shafts_that_differ_by_latitude_alone_are_counted_once(book, read_text):
    site = read_text(ON_GLOBE)
    jobs, counts = jobs_of(site, plan_site(site, book), book), ShaftCounts()
    first, second = (counts.of(job).takeoff for job in jobs)
    assert (first.shaft, second.shaft) == ("S1", "S2")
    assert first.lines is second.lines


@pytest.mark.parametrize("name", ["river-crossing", "bell-in-wet-ground", "karst", "contaminated-fill", "caving-lens", "saturated-sand"])
def test_plan_and_takeoff_give_the_same_figure_for_the_same_thing(takeoff, name):
    """Two pages with two numbers for one quantity, and nobody believes either."""
    made = takeoff(name)
    plans = {shaft.id: shaft for shaft in made.site.plan.shafts}
    for shaft in made.shafts:
        plan = plans[shaft.shaft]
        said = {one.item: one.value for one in plan.quantities}
        taken = {one.item: one.amount.likely for one in shaft.lines}
        pairs = {
            "drilled, all materials": said["drilled length"],
            EMPTY_BORE: said["empty bore"],
            BY_DRAWING: said["concrete, theoretical"],
            "concrete, to order": plan.concrete.expected_m3 + plan.concrete.over_pour_m3,
            "spoil, bank": said["spoil, bank"],
            "spoil, loose": said["spoil, loose"],
        }
        assert {item: taken[item] for item in pairs} == pytest.approx(pairs, rel=1e-6), shaft.shaft
        for item in (one for one in said if one.endswith(FLUID_TO_FILL)):
            assert taken[item.replace(FLUID_TO_FILL, HOLE)] == pytest.approx(said[item])
