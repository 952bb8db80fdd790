"""Whole shafts worked by hand, in feet and inches, down to the fall of the concrete at every pull.

Areas in ft2 by diameter in inches: 36: 7.0686, 41.25: 9.2806, 42: 9.6211, 47: 12.0482, 48: 12.5664, 53: 15.3207, 54: 15.9043,
59: 18.9859, 60: 19.6350. Steel weighs 10.69 (D - t) t in lb/ft; concrete 150 pcf, water 62.4 pcf.
"""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from methodpick.engine.load import lay_over
from methodpick.ground.site import Shaft
from methodpick.plan.casing.sizes import CasingSize, casing_mass
from methodpick.plan.concrete import pulls
from methodpick.plan.concrete.hole import _volumes, below, bores, curve_of, parts_of
from methodpick.plan.concrete.placement import _starter_stays
from methodpick.plan.concrete.pull_steps import AroundFluid, PullSite, _more_drop, _note
from methodpick.plan.concrete.pulls import OUT_M, PulledString, PullTerms, pull_all
from methodpick.plan.demands.ground_on_casing import ExternalPressure
from methodpick.plan.pipeline import plan
from methodpick.plan.result import Casing
from methodpick.strict_yaml import read
from methodpick.unit_markup import spell
from methodpick.units import FOOT_M, INCH_M, POUND_KG, YARD3_M3
from methodpick.vocabulary.values import Span, point

CONCRETE = 23.5
WATER = CONCRETE * 62.4 / 150
FT3 = FOOT_M**3


def pipe(outside_in, wall_in, base_ft, stick_ft, predrilled_in=None, predrilled_ft=0.0):
    size = CasingSize(outside_in * INCH_M, wall_in * INCH_M)
    length = (base_ft + stick_ft) * FOOT_M
    hole = None if predrilled_in is None else predrilled_in * INCH_M
    return Casing(
        "temporary",
        size.outside_m,
        size.wall_m,
        -stick_ft * FOOT_M,
        base_ft * FOOT_M,
        length,
        casing_mass(size, length),
        "set",
        predrilled_ft * FOOT_M,
        hole,
        0.0,
        "yes",
        "clay",
        "",
    )


def bare(shaft, book):
    """Give what the hole asks of the ground: a shaft in ground that is not sliced."""
    return SimpleNamespace(shaft=shaft, slices=(), tables=book.tables, limits=book.values)


def volumes(book, diameter_in, tip_ft, casings):
    """Give theoretical and fill in yd3."""
    shaft = Shaft(id="S", diameter_m=diameter_in * INCH_M, tip_m=tip_ft * FOOT_M)
    found = below(parts_of(bare(shaft, book), casings, 0.0), 0.0)
    return found[0] / YARD3_M3, found[2] / YARD3_M3


def column(casings, index, diameter_in, tip_ft, fluid=(0.0, 0.0)):
    hole = bores(diameter_in * INCH_M, None, tip_ft * FOOT_M, casings)
    return PullSite(casings, hole, AroundFluid(*fluid), 0.0, lambda *_: 0.0).column_of(index, CONCRETE)


# ---- the golden shaft: no predrill oversize, no cavities, concrete to grade


def test_the_golden_shaft_by_its_parts(book):
    """48 in by 60 ft, 54 in x 0.5 in over 35 ft, 3 ft of stick-up.

    12.5664 x 60 = 753.98 ft3 = 27.93 yd3; 15.9043 x 35 + 12.5664 x 25 = 870.81 ft3 = 32.25 yd3; 10.69 x 53.5 x 0.5 = 285.96 lb/ft, 38 ft
    weigh 10,866 lb; to grade inside 12.5664 x 25 + 15.3207 x 35 = 850.38 ft3 stand, and (15.9043 - 15.3207) x 35 / 15.9043 = 1.28 ft
    are missing when the casing is out.
    """
    casings = [pipe(54, 0.5, 35, 3)]
    assert volumes(book, 48, 60, casings) == pytest.approx((27.93, 32.25), abs=0.005)
    assert casings[0].mass_kg / POUND_KG == pytest.approx(10866, rel=1e-3)
    one = column(casings, 0, 48, 60)
    full = one.content(0.0, 35 * FOOT_M)
    assert full / FT3 == pytest.approx(850.38, abs=0.05)
    assert one.level(full, OUT_M) / FOOT_M == pytest.approx(1.28, abs=0.005)


def test_the_golden_shaft_pulled_leaves_concrete_at_grade():
    """(870.81 - 314.16) / 15.3207 = 36.33 ft of concrete over the shoe, 1.33 ft above the ground, for grade when it is out."""
    casings = [pipe(54, 0.5, 35, 3)]
    string = PulledString(1, -3 * FOOT_M, 35 * FOOT_M, (38 * FOOT_M,), column(casings, 0, 48, 60))
    (lift,) = pull_all([string], PullTerms(ExternalPressure(((0.0, 10 * FOOT_M),)), None, CONCRETE, 15.0, 5 * FOOT_M, 0.0, 0.5))
    assert (lift.before_m / FOOT_M, lift.after_m) == pytest.approx((-1.33, 0.0), abs=0.005)
    assert lift.added_m3 / YARD3_M3 == pytest.approx(32.25, abs=0.005)
    assert lift.safe


SITE = """methodpick: 1
site:
  units: us
  allowed: [dry, temporary_casing]
  starter_casing: false
  equipment: {vibratory: false, oscillator: false, rotator: false, kelly_twist: true, impact_hammer: false}
borings:
  - id: B-1
    depth: 90
    water: [{reading: piezometer, depth: 10}]
    layers:
      - {top: 0, base: 9.2313 m, description: "loose grey fine to medium sand", symbol: SP, unit_weight: 120, absent: [cobbles, boulders]}
      - {top: 9.2313 m, base: 90, description: "very stiff grey clay", symbol: CH, su: 3200, unit_weight: 128, absent: [fissured]}
    spt: [{depth: 10, n: 7}, {depth: 20, n: 8}, {depth: 40, n: 24}]
shafts: [{id: P1, diameter: 48, tip: 60}]
stock: [{outside_diameter: 54, wall: 0.8125 in, length: 38}]
"""
STICK_UP = """overlay: three-feet
title: A stick-up of 3 ft
level: project
set:
  stick_up_m: {value: 0.9144, source: own, where: "test", confidence: own}
"""


def golden_plan(book, read_text):
    return plan(read_text(SITE), lay_over(book, read(STICK_UP, "three-feet.yaml"))).shafts[0]


def test_the_golden_shaft_through_a_site_file(book, read_text):
    """The same shaft from a file: sand to 30.29 ft, 54 in from the yard twisted into the clay.

    Water read once at 10 ft may stand 1 m higher, at 2.048 m: over the clay 7.183 m, and (7.183 + t) / 6 = t gives a seat of 1.437 m, to
    35 ft.

    Twisting wants 0.25 + 0.54 = 0.79 in of wall: 13/16 in. 10.69 x 53.1875 x 0.8125 = 461.97 lb/ft, 38 ft weigh 17,555 lb; inside 52.375 in
    are 14.9617 ft2, and (15.9043 - 14.9617) x 35 / 15.9043 = 2.07 ft are missing when the casing is out.

    Swell of 25 % for all soils: 32.25 x 1.25 = 40.3 yd3 loose, told by the table with its rows set to that.
    """
    table = book.tables["swell"]
    rows = tuple(replace(row, then={"swell_percent": point(25.0)}) for row in table.rows)
    shaft = golden_plan(replace(book, tables={**book.tables, "swell": replace(table, rows=rows, _found={})}), read_text)
    (casing,) = shaft.casings
    assert (casing.outside_diameter_m / INCH_M, casing.wall_m / INCH_M) == pytest.approx((54, 0.8125), abs=0.002)
    assert (casing.base_m / FOOT_M, casing.top_m / FOOT_M) == pytest.approx((35, -3), abs=2e-3)
    assert casing.from_yard
    concrete = shaft.concrete
    assert concrete.theoretical_m3 / YARD3_M3 == pytest.approx(27.93, abs=0.005)
    assert concrete.fill_m3 / YARD3_M3 == pytest.approx(32.25, abs=0.005)
    assert concrete.casing_oversize_m3 / YARD3_M3 == pytest.approx(32.25 - 27.93, abs=0.01)
    assert casing.mass_kg / POUND_KG == pytest.approx(17555, rel=3e-3), "the wall is kept to a tenth of a millimetre"
    assert concrete.pulls[0].level_drop_m / FOOT_M == pytest.approx(2.07, abs=0.005)
    loose = next(line for line in shaft.quantities if line.item == "spoil, loose")
    assert loose.value / YARD3_M3 == pytest.approx(40.3, abs=0.05)


def test_the_curve_of_the_golden_shaft(book):
    """From the tip up: 25 ft of 48 in are 314.16 ft3 = 11.64 yd3; 35 ft more are 20.62 yd3 as drilled and 19.86 yd3 in the casing."""
    shaft = Shaft(id="S", diameter_m=48 * INCH_M, tip_m=60 * FOOT_M)
    points = curve_of(parts_of(bare(shaft, book), [pipe(54, 0.5, 35, 3)], 0.0))
    assert [point.depth_m / FOOT_M for point in points] == pytest.approx([60, 35, 0], abs=1e-6)
    assert [point.fill_m3 / YARD3_M3 for point in points] == pytest.approx([0, 11.64, 32.25], abs=0.01)
    assert [point.casings_in_m3 / YARD3_M3 for point in points] == pytest.approx([0, 11.64, 31.50], abs=0.01)
    assert [point.theoretical_m3 / YARD3_M3 for point in points] == pytest.approx([0, 11.64, 27.93], abs=0.01)


# ---- a casing in a wider predrilled hole


def annulus():
    return [pipe(42, 0.375, 30, 4, predrilled_in=48, predrilled_ft=27)]


def test_a_casing_in_a_predrilled_hole(book):
    """36 in by 50 ft; 42 in x 0.375 in set in a 48 in hole to 27 ft and pushed 3 ft into the clay, 4 ft of stick-up.

    7.0686 x 50 = 353.43 ft3 = 13.09 yd3; 12.5664 x 27 + 9.6211 x 3 + 7.0686 x 20 = 509.53 ft3 = 18.87 yd3;
    10.69 x 41.625 x 0.375 = 166.86 lb/ft, 34 ft weigh 5,673 lb.
    """
    casings = annulus()
    assert volumes(book, 36, 50, casings) == pytest.approx((13.09, 18.87), abs=0.005)
    assert casings[0].mass_kg / POUND_KG == pytest.approx(5673, rel=1e-3)


def test_the_gap_of_a_predrilled_hole_takes_concrete_at_once():
    """To grade inside stand 141.37 + 9.2806 x 30 = 419.79 ft3. While the shoe is in the clay the gap is closed and
    only steel is missed: at 27.01 ft (9.6211 - 9.2806) x 2.99 / 9.2806 = 0.11 ft.

    At 27 ft it opens: 419.79 - 141.37 - 28.86 = 249.56 ft3 stand in casing and gap, 9.2806 + 12.5664 - 9.6211 = 12.2259 ft2, so
    20.41 ft high: the level falls to 6.59 ft. With water in the gap to grade the concrete in it ends 150 / 87.6 = 1.712 times as
    deep as inside: 9.2806 (27 - c) + 2.9453 (27 - 1.712 c) = 249.56, c = 5.62 ft. Out, with nothing added: 249.56 / 12.5664 = 19.86 ft
    high, 7.14 ft below grade.
    """
    dry, wet = column(annulus(), 0, 36, 50), column(annulus(), 0, 36, 50, (WATER, 0.0))
    full = dry.content(0.0, 30 * FOOT_M)
    assert full / FT3 == pytest.approx(419.79, abs=0.05)
    assert dry.level(full, 27.01 * FOOT_M) / FOOT_M == pytest.approx(0.11, abs=0.005)
    assert dry.level(full, 27 * FOOT_M) / FOOT_M == pytest.approx(6.59, abs=0.01)
    assert wet.level(full, 27 * FOOT_M) / FOOT_M == pytest.approx(5.62, abs=0.01)
    assert (dry.level(full, OUT_M) / FOOT_M, wet.level(full, OUT_M) / FOOT_M) == pytest.approx((7.14, 7.14), abs=0.01)


def test_the_gap_asks_for_concrete_before_the_pull():
    """For grade when it is out, 509.53 ft3 must be in: (509.53 - 141.37) / 9.2806 = 39.67 ft over the shoe, 9.67 ft above the ground.

    The casing ends at 4 ft, where 141.37 + 9.2806 x 34 = 456.91 ft3 stand: 52.62 ft3 = 1.95 yd3 are added between lifts.
    """
    string = PulledString(1, -4 * FOOT_M, 30 * FOOT_M, (34 * FOOT_M,), column(annulus(), 0, 36, 50))
    lifts = pull_all([string], PullTerms(ExternalPressure(()), None, CONCRETE, 15.0, 5 * FOOT_M, 0.0, 0.5))
    assert len(lifts) > 1
    assert lifts[0].before_m / FOOT_M == pytest.approx(-4.0)
    assert lifts[0].added_m3 / FT3 == pytest.approx(456.91, abs=0.05)
    assert sum(lift.added_m3 for lift in lifts[1:]) / YARD3_M3 == pytest.approx(1.95, abs=0.005)
    assert lifts[-1].after_m == pytest.approx(0.0, abs=1e-6)
    assert all(lift.safe for lift in lifts)


# ---- two strings


def two():
    return [pipe(60, 0.5, 20, 5), pipe(48, 0.5, 45, 5)]


def test_two_strings(book):
    """42 in by 60 ft; 60 in x 0.5 in to 20 ft, 48 in x 0.5 in through it to 45 ft, 5 ft of stick-up, no predrilled hole.

    9.6211 x 60 = 577.27 ft3 = 21.38 yd3; 19.6350 x 20 + 12.5664 x 25 + 9.6211 x 15 = 851.18 ft3 = 31.53 yd3; 10.69 x 59.5 x 0.5 x 25 =
    7,951 lb and 10.69 x 47.5 x 0.5 x 50 = 12,694 lb.
    """
    assert volumes(book, 42, 60, two()) == pytest.approx((21.38, 31.53), abs=0.005)
    assert [one.mass_kg / POUND_KG for one in two()] == pytest.approx([7951, 12694], rel=1e-3)


def test_the_inner_string_fills_the_gap_to_the_outer_one():
    """To grade inside stand 9.6211 x 15 + 12.0482 x 45 = 686.49 ft3; water stands in the gap to grade.

    At the outer shoe the gap opens: 686.49 - 144.32 - 314.16 = 228.01 = 12.0482 (20 - c) + 6.4195 (20 - 1.712 c), c = 6.13 ft. Out:
    228.01 / 18.9859 = 12.01 ft high, 7.99 ft below grade. Filled to grade and pulled, the outer one leaves its steel:
    (19.6350 - 18.9859) x 20 / 19.6350 = 0.66 ft.
    """
    inner, outer = column(two(), 1, 42, 60, (WATER, 0.0)), column(two(), 0, 42, 60, (WATER, 0.0))
    full = inner.content(0.0, 45 * FOOT_M)
    assert full / FT3 == pytest.approx(686.49, abs=0.05)
    assert inner.level(full, 20 * FOOT_M) / FOOT_M == pytest.approx(6.13, abs=0.01)
    assert inner.level(full, OUT_M) / FOOT_M == pytest.approx(7.99, abs=0.01)
    assert outer.level(full, 20 * FOOT_M) / FOOT_M == pytest.approx(7.99, abs=0.01), "the same concrete, now in the outer string"
    assert outer.level(outer.content(0.0, 20 * FOOT_M), OUT_M) / FOOT_M == pytest.approx(0.66, abs=0.005)


def test_two_strings_pulled():
    """The inner one first. All 851.18 ft3 end in the hole; before its first lift no more than 5 ft of stick-up hold them:

    144.32 + 12.0482 x 50 = 746.73 ft3, so that 104.45 ft3 = 3.87 yd3 are added later.
    """
    numbers = (2, 1)
    strings = [
        PulledString(number, -5 * FOOT_M, base * FOOT_M, ((base + 5) * FOOT_M,), column(two(), number - 1, 42, 60, (WATER, 0.0)))
        for number, base in zip(numbers, (45, 20), strict=True)
    ]
    lifts = pull_all(strings, PullTerms(ExternalPressure(((0.0, 0.0),)), None, CONCRETE, 15.0, 5 * FOOT_M, 0.0, 0.5))
    assert [lift.string.number for lift in lifts] == sorted((lift.string.number for lift in lifts), reverse=True)
    assert lifts[0].added_m3 / FT3 == pytest.approx(746.73, abs=0.05)
    assert sum(lift.added_m3 for lift in lifts) / FT3 == pytest.approx(851.18, abs=0.05)
    assert all(lift.safe for lift in lifts)
    assert lifts[-1].after_m == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(("pressed_kpa", "stays"), [(1e-6, False), (0.01, True)])
def test_a_starter_stays_where_water_outside_presses_on_concrete_at_the_cutoff(pressed_kpa, stays):
    """No concrete stands over the cut-off; a millionth of a kilopascal is nothing."""
    outside = SimpleNamespace(pressure=lambda *_, **__: pressed_kpa)
    casings, limits = [SimpleNamespace(is_starter=True)], {"concrete_unit_weight_kn_m3": CONCRETE}
    assert _starter_stays(casings, 2.0, outside, 2.0, limits) is stays


@pytest.mark.parametrize(("after_m", "words"), [(0.0, "comes out"), (-1e3, "comes out"), (2.0, "comes up to 2.00 m")])
def test_a_shoe_at_the_ground_is_out(after_m, words):
    lift = SimpleNamespace(safe=True, least_m=1.0, before_m=1.0, shoe_after_m=after_m, after_m=3.0)
    assert words in spell(_note(lift, pipe(54, 0.5, 35, 3), 0.0), "si")


def test_overbreak_is_a_share_of_the_hole_that_concrete_fills():
    """10 m of 1.2 m are 11.310 m3, of which 5, 10 and 15 % are 0.565, 1.131 and 1.696 m3; 2 m above the cut-off are not of the design."""
    found = _volumes(Shaft(id="S", diameter_m=1.2, tip_m=10.0, cutoff_m=2.0), (0.0, 10.0), (1.2, 1.0), 0.5, Span(5.0, 15.0, 10.0))
    assert (found.low_m3, found.likely_m3, found.high_m3) == pytest.approx((0.5655, 1.1310, 1.6965), abs=1e-4)
    assert (found.theoretical_m3, found.casings_in_m3, found.fill_m3) == pytest.approx((9.5478, 8.3540, 11.8097), abs=1e-4)


@pytest.mark.parametrize(("wall_m", "drop_m"), [(1.8, 0.39298), (1.2, 0.56588)])
def test_cavities_lower_the_concrete_in_the_wider_of_hole_and_casing(wall_m, drop_m):
    """A cubic metre over pi/4 x 1.8^2, and over pi/4 x 1.5^2 where the hole is given as narrower than the casing."""
    string = SimpleNamespace(number=1, column=SimpleNamespace(pieces=[SimpleNamespace(base_m=20.0, diameter_m=wall_m)]))
    site = SimpleNamespace(casings=[SimpleNamespace(outside_diameter_m=1.5)], overbroken_m3=lambda *_: 1.0)
    assert _more_drop(SimpleNamespace(string=string, shoe_m=8.0, shoe_after_m=2.0), site, 0.0) == pytest.approx(drop_m, rel=1e-4)


def test_the_concrete_is_needed_as_high_as_any_of_the_strings_asks(monkeypatch):
    monkeypatch.setattr(pulls, "needed_at", lambda *_: 3.0)
    monkeypatch.setattr(pulls, "needed_over", lambda outer, *_: outer)
    assert pulls._Pull._needed_level(SimpleNamespace(string=None, around=(2.0, 5.0), terms=None), 8.0) == 2.0
    assert pulls._Pull._needed_level(SimpleNamespace(string=None, around=(), terms=None), 8.0) == 3.0


def test_the_least_pull_is_the_casing_in_its_fluid_and_the_least_friction(book, read_text):
    (found,) = golden_plan(book, read_text).concrete.extraction
    assert (found.weight_low_kn > 0, found.friction_low_kn > 0) == (True, True)
    assert found.pull_low_kn == pytest.approx(found.weight_low_kn + found.friction_low_kn)
    assert found.pull_high_kn == pytest.approx(found.weight_kn + found.friction_high_kn)
