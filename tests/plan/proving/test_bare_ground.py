"""Ground that meets concrete bare, on a whole way: excess of the concrete over the ground by hand, a ring yields near 6 (own)."""

import pytest

SOFT = 'description: "soft grey clay", symbol: CH, su: {}, unit_weight: 16, absent: [fissured, boulders, cobbles, organic]'
HARD = 'description: "very stiff grey clay", symbol: CH, su: 150, unit_weight: 20, absent: [fissured, slickensided, boulders, cobbles]'


@pytest.mark.parametrize(("su", "word"), [(20, "open_likely"), (24, "open_range"), (40, "holds")])
def test_soft_clay_bulges_under_the_concrete(made, found, su, word):
    """At 10 m 23.5 x 10 = 235 kPa against at rest 0.7 x 160 = 112 kPa: 123 kPa over the strength, 6.15 at 20 kPa, 5.1 at 24 (6.5 with
    the least pressure at rest, 0.5 x 160), 3.1 at 40."""
    shaft = made((0, 10, SOFT.format(su)), (10, 30, HARD), tip=15, site="allowed: [slurry]")
    (check,) = found(shaft, "bare-soft-clay")
    assert check.needed.likely == pytest.approx(123.0 / su, rel=0.01)
    assert check.result == word


def test_a_casing_that_stays_keeps_the_concrete_off(made, found):
    shaft = made((0, 10, SOFT.format(20)), (10, 30, HARD), tip=15, site="allowed: [permanent_casing, dry]")
    assert shaft.casings[-1].kind == "permanent"
    assert shaft.casings[-1].base_m > 10.0
    assert [check.top_m > 10.0 for check in found(shaft, "bare-soft-clay")] == [True], "only the hard clay below meets the concrete"
