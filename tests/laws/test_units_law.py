"""Laws of the units: there and back again, and no two names of one kind that fold to the same word."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick import units

UNITS = [(unit, inside) for inside, factors in units.FACTORS.items() for unit in factors]

FEET_AND_INCHES = ["{} ft {} in", "{}'{}\"", "{}'-{}\"", "{} feet {} inches"]


@given(st.sampled_from(UNITS), st.floats(-1e6, 1e6))
def test_converting_and_restoring_gives_the_number_back(pair, value):
    unit, inside = pair
    assert math.isclose(units.restore(units.convert(value, unit, inside), unit, inside), value, rel_tol=1e-12, abs_tol=1e-300)


@given(st.sampled_from(UNITS), st.floats(0, 1e6), st.floats(0, 1e6))
def test_conversion_keeps_the_order(pair, first, second):
    low, high = sorted((first, second))
    assert units.convert(low, *pair) <= units.convert(high, *pair)


@given(st.integers(0, 500), st.integers(0, 11), st.sampled_from(FEET_AND_INCHES))
def test_feet_with_inches_are_twelve_to_the_foot(feet, inches, form):
    assert math.isclose(units.parse(form.format(feet, inches), "m", "m"), (12 * feet + inches) * 0.0254, abs_tol=1e-9)


@given(st.sampled_from(UNITS), st.floats(-1e5, 1e5).map(lambda number: round(number, 6)))
def test_a_text_with_its_unit_means_the_same_as_the_bare_number_in_it(pair, value):
    unit, inside = pair
    if unit == "1":
        return
    assert units.parse(f"{value!r} {unit}", "no such unit", inside) == units.convert(value, unit, inside)


@pytest.mark.parametrize("inside", units.FACTORS)
def test_case_does_not_decide_which_unit_is_meant(inside):
    names = [unit.casefold() for unit in units.FACTORS[inside]]
    assert len(names) == len(set(names))
    assert units.FACTORS[inside][inside] == 1.0
