"""Sizes of casings, and the ways of advancing them."""

import itertools

import pytest

from methodpick.facts.of_site import plant_at_hand
from methodpick.facts.of_slice import WAY_PLANT
from methodpick.ground.profile import Profile
from methodpick.ground.rates import RelativeCosts
from methodpick.ground.site import Equipment, Shaft, Site, StockCasing
from methodpick.plan.casing.sizes import CasingSize, CasingUse, casing_mass, splices, starter_size, string_sizes, wall_for
from methodpick.plan.concrete.hole import bores, volume
from methodpick.plan.other_ways.openings import PLANT_WORDS, WAY_OF_PLANT
from methodpick.plan.proving.casings import TURNED
from methodpick.plan.result import Casing
from methodpick.terms import CASING_WAYS, SHAKING_WAYS, WAY_WORDS, words_of_way
from methodpick.units import FOOT_M, INCH_M, POUND_KG, YARD3_M3

# ---- Sizes by hand and from print


def site(*stock):
    return Site(borings=(Profile(id="B"),), stock=stock)


def shaft(**more):
    return Shaft(id="S", diameter_m=48 * INCH_M, tip_m=60 * FOOT_M, **more)


def casing(outside_in, wall_in, base_ft, stick_ft=3.0, kind="temporary"):
    size = CasingSize(outside_in * INCH_M, wall_in * INCH_M)
    length = (base_ft + stick_ft) * FOOT_M
    return Casing(
        kind,
        size.outside_m,
        size.wall_m,
        -stick_ft * FOOT_M,
        base_ft * FOOT_M,
        length,
        casing_mass(size, length),
        "set",
        0.0,
        None,
        0.0,
        "yes",
        "clay",
        "",
    )


def test_the_golden_shaft():
    """48 in by 60 ft with 54 in by 0.5 in casing over 35 ft and 3 ft of stick-up, worked by hand:

    pi/4 4^2 60 = 753.98 ft3 = 27.93 yd3; 15.904 ft2 x 35 + 12.566 x 25 = 870.8 ft3 = 32.25 yd3; 285.96 lb/ft x 38 = 10,866 lb;
    32.25 x 1.25 = 40.3 yd3 loose.
    """
    pipe = casing(54, 0.5, 35)
    hole = bores(48 * INCH_M, None, 60 * FOOT_M, [pipe])
    fill = sum(volume(one.diameter_m, one.base_m - one.top_m) for one in hole)
    assert volume(48 * INCH_M, 60 * FOOT_M) / YARD3_M3 == pytest.approx(27.93, abs=0.01)
    assert fill / YARD3_M3 == pytest.approx(32.25, abs=0.01)
    assert pipe.mass_kg / POUND_KG == pytest.approx(10866, rel=1e-3)
    assert fill * 1.25 / YARD3_M3 == pytest.approx(40.3, abs=0.05)


def test_two_strings_and_a_permanent_one():
    """60 in over 20 ft pulled, 54 in over 40 ft left: 19.635 - the inner 53 in bore over 40 ft, then 48 in (by hand).

    pi/4 (53/12)^2 40 + pi/4 4^2 20 = 612.8 + 251.3 = 864.1 ft3 = 32.0 yd3.
    """
    hole = bores(48 * INCH_M, None, 60 * FOOT_M, [casing(60, 0.5, 20), casing(54, 0.5, 40, kind="permanent")])
    fill = sum(volume(one.diameter_m, one.base_m - one.top_m) for one in hole)
    assert fill / YARD3_M3 == pytest.approx(32.0, abs=0.02)
    assert [one.lined for one in hole] == [True, True, False]


def test_a_socket_has_its_own_diameter():
    hole = bores(1.2, (10.0, 1.0), 14.0, [])
    assert [(one.base_m, one.diameter_m) for one in hole] == [(10.0, 1.2), (14.0, 1.0)]


def test_the_tool_passes_and_strings_telescope(trade_sizes):
    sizes = string_sizes(site(), shaft(), [CasingUse(), CasingUse(), CasingUse(way="driven")], trade_sizes("us"))
    assert sizes[-1].inside_m >= 48 * INCH_M - 1e-6
    for outer, inner in itertools.pairwise(sizes):
        assert outer.inside_m > inner.outside_m
    steps = [one.outside_m / (6 * INCH_M) for one in sizes]
    assert steps == pytest.approx([round(step) for step in steps]), "trade sizes go in 6 in steps (GEC 10 sec. 5.2, digest)"
    assert starter_size(sizes[0].outside_m, trade_sizes("us")).inside_m > sizes[0].outside_m


def test_the_yard_goes_first(trade_sizes):
    yard = StockCasing(outside_diameter_m=50 * INCH_M, wall_m=0.5 * INCH_M, length_m=12.0)
    (size,) = string_sizes(site(yard), shaft(), [CasingUse()], trade_sizes("us"))
    assert size.outside_m == pytest.approx(50 * INCH_M)


def test_walls_grow_with_pressure_and_driving(book):
    limits = book.values
    idle, emptied = wall_for(1.372, CasingUse(), limits), wall_for(1.372, CasingUse(200.0), limits)
    assert idle >= 0.325 * INCH_M - 1e-6, "0.325 in is the usual least wall (GEC 10 sec. 5.2, digest)"
    assert emptied > idle
    # API RP 2A form for a driven 54 in pipe: 0.25 + 0.54 = 0.79 in
    assert wall_for(1.372, CasingUse(way="driven"), limits) >= 0.79 * INCH_M - 1e-4
    # twisted as driven, 12 mm at least; oscillated max(20 mm, D / 80) = 20 mm, 25 mm for 2 m (practice, from memory)
    assert wall_for(1.372, CasingUse(way="twisted"), limits) >= 0.79 * INCH_M - 1e-4
    assert wall_for(0.4, CasingUse(way="twisted"), limits) >= 0.012
    assert 0.020 <= wall_for(1.372, CasingUse(way="oscillated"), limits) < 0.0216
    assert wall_for(2.0, CasingUse(way="oscillated"), limits) >= 0.025


def test_the_starter_lets_the_tool_pass_with_the_wall_that_it_has(trade_sizes):
    """3.0 m tool and an inch of clearance: 3.2 m and more outside, for the wall of a pipe as wide is over 20 mm (D / 150)."""
    assert starter_size(3.0, trade_sizes("us")).inside_m >= 3.0254 - 1e-6


def test_splices_from_mill_lengths(book):
    assert [splices(length, book.values) for length in (10, 12.19, 13, 25)] == [0, 0, 1, 2]


# ---- A way of advancing casing is whole: each part that it needs is there, so that a new one cannot be forgotten in any of them


@pytest.mark.parametrize("way", CASING_WAYS)
def test_facts_limits_costs_and_words_know_the_way(book, way):
    """All that is missing is named at once, with its place."""
    costs = {f"cost_advance_{way}_m", f"cost_plant_{way}", f"cost_hire_{way}"}
    limits = {*costs, f"reach_{way}_m", f"pull_{way}_kn", *((f"torque_{way}_knm", f"casing_{way}_m") if way in TURNED else ())}
    plant = set(WAY_PLANT.get(way, ()))
    missing = {
        "rules/facts.yaml": {f"penetrable_{way}", *plant} - set(book.catalogue.facts),
        "rules/tables/penetration.yaml": {f"penetrable_{way}"} - set(book.tables["penetration"].outputs),
        "rules/limits.yaml": limits - set(book.limits),
        "RelativeCosts in ground/rates.py": costs - set(RelativeCosts.model_fields),
        "WAY_PLANT in facts/of_slice.py": {way} - set(WAY_PLANT),
        "plant_at_hand in facts/of_site.py": plant - set(plant_at_hand(Equipment())),
        "WAY_WORDS in terms.py": {way} - set(WAY_WORDS),
    }
    lines = [f"{place} lacks {', '.join(sorted(names))}" for place, names in missing.items() if names]
    assert not lines, "\n".join(lines)


def test_no_part_knows_a_way_that_is_none(book):
    assert set(WAY_PLANT) == set(WAY_WORDS) == set(CASING_WAYS)
    assert set(CASING_WAYS) >= SHAKING_WAYS | TURNED
    assert len(PLANT_WORDS) == len({plant for plants in WAY_PLANT.values() for plant in plants}), "plant that may open a way has its words"
    assert WAY_OF_PLANT.keys() == PLANT_WORDS.keys()
    assert set(WAY_OF_PLANT.values()) == set(CASING_WAYS)
    assert {name for name in book.catalogue.facts if name.startswith("penetrable_")} == {f"penetrable_{way}" for way in CASING_WAYS}


def test_a_casing_without_a_way_is_pushed():
    assert words_of_way(None).means == "pushing"
