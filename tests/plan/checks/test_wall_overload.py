"""The clay wall: collapse limit 2 (1 + ln(1 + 2 z/D)) between 3.8 and 6, closure (1/2)(su/G) exp(OR - 1); worked by hand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.wall_overload import WallOverloadFacts, check_wall_overload
from methodpick.vocabulary.values import FALSE, TRUE, Span, likely_bool, point

WALL = WallOverloadFacts(
    place=ProvedPlace(2, 0.0, 10.0),
    depth_m=10.0,
    diameter_m=1.0,
    total_kpa=point(180.0),
    surcharge_kpa=point(0.0),
    inside_kpa=point(0.0),
    su_kpa=point(45.0),
    fissured=FALSE,
    rigidity=point(100.0),
    dry=False,
)
"""180 / 45 = 4; at 10 diameters the limit is the cap of 6."""


def results(facts, limits):
    return {check.id: check.result for check in check_wall_overload(facts, limits)}


@pytest.mark.parametrize(
    ("su", "word"),
    [
        (point(45.0), "holds"),  # 4.0 / 0.77 = 5.19
        (point(39.0), "holds"),  # 4.615 / 0.77 = 5.994
        (point(38.9), "little_margin"),  # 4.627 / 0.77 = 6.009
        (point(30.0), "little_margin"),  # 6.0
        (point(29.9), "fails"),  # 6.02
        (Span(29, 60, 45), "open_range"),
        (Span(25, 60, 29), "open_likely"),
        (Span(25, 60), "unknown"),
        (Span(0, 60, 45), "open_range"),
        (None, "unknown"),
    ],
)
def test_the_wall_against_the_cap(limits, su, word):
    assert results(replace(WALL, su_kpa=su), limits)["wall-overload"] == word


@pytest.mark.parametrize(
    ("depth", "limit"),
    [
        (1.0, 4.1972),  # 2 (1 + ln 3), as published for a depth of one diameter
        (0.5, 3.8),  # 2 (1 + ln 2) = 3.386 is below the plane cut
        (5.0, 6.0),  # 6.796, above the cap
    ],
)
def test_the_limit_by_depth(limits, depth, limit):
    (check,) = check_wall_overload(replace(WALL, depth_m=depth), limits)
    assert check.has.likely == pytest.approx(limit, abs=1e-4)


def test_load_and_fluid_enter(limits):
    """(180 + 99) / 45 = 6.2; (180 + 99 - 20) / 45 = 5.76."""
    loaded = replace(WALL, surcharge_kpa=point(99.0))
    assert results(loaded, limits)["wall-overload"] == "fails"
    assert results(replace(loaded, inside_kpa=point(20.0)), limits)["wall-overload"] == "little_margin"
    assert results(replace(WALL, inside_kpa=point(200.0), su_kpa=point(0.0)), limits)["wall-overload"] == "holds"


def test_fissured_clay_asks_for_twice(limits):
    """4 / 0.5 = 8 against 6, where 4 / 0.77 = 5.19 is enough in whole clay."""
    assert results(replace(WALL, fissured=TRUE), limits)["wall-overload"] == "little_margin"
    assert results(replace(WALL, fissured=likely_bool(False)), limits)["wall-overload"] == "little_margin"
    assert results(replace(WALL, su_kpa=point(60.0), fissured=TRUE), limits)["wall-overload"] == "holds"  # 3 / 0.5 = 6


@pytest.mark.parametrize(
    ("su", "rigidity", "percent", "word"),
    [
        (point(45.0), point(100.0), 10.043, "fails"),  # an overload of 4: 10.0 % in the handbook's table, over the flag by a hair
        (point(46.0), point(100.0), 9.21, "holds"),  # 3.913: exp(2.913) / 200 = 9.21 %
        (point(45.0), Span(90, 200, 150), 6.695, "open_range"),  # 11.2 % in the softest clay
        (point(90.0), point(100.0), 1.359, "holds"),  # an overload of 2
        (Span(40, 60, 44), point(100.0), 11.0, "open_likely"),  # 4.091 likely, 3.0 at best
        (Span(0, 90, 60), point(100.0), 3.695, "open_range"),
        (point(45.0), None, None, "unknown"),
    ],
)
def test_the_closure_of_a_dry_hole(limits, su, rigidity, percent, word):
    checks = check_wall_overload(replace(WALL, su_kpa=su, rigidity=rigidity, dry=True), limits)
    assert checks[1].result == word
    assert checks[1].needed.likely == (None if percent is None else pytest.approx(percent, rel=2e-3))


def test_closure_is_asked_of_dry_holes_only(limits):
    assert set(results(WALL, limits)) == {"wall-overload"}


@given(st.floats(1.0, 150.0), st.floats(0.0, 1.0), st.floats(0.0, 100.0), st.floats(0.0, 50.0))
def test_weaker_clay_more_load_and_less_fluid_better_no_wall(limits, rank, su, share, inside, load):
    facts = replace(WALL, su_kpa=point(su), inside_kpa=point(inside), dry=True)
    before = rank(check_wall_overload(facts, limits))
    assert rank(check_wall_overload(replace(facts, su_kpa=point(su * share)), limits)) >= before
    assert rank(check_wall_overload(replace(facts, surcharge_kpa=point(load)), limits)) >= before
    assert rank(check_wall_overload(replace(facts, inside_kpa=point(inside * share)), limits)) >= before


def test_a_full_hole_has_no_overload(limits):
    checks = check_wall_overload(replace(WALL, inside_kpa=point(181.0), dry=True), limits)
    assert [check.needed.likely for check in checks] == [0.0, 0.0]
