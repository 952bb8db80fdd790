"""Values for pulling casing and placing concrete: by hand, and by formulas recalled from print, as each docstring says."""

import pytest

from methodpick.mechanics.casing import clay_adhesion, hanging_weight, sand_friction
from methodpick.mechanics.concrete import annulus_level, tremie_charge
from methodpick.units import INCH_M, POUND_KG


def about(value, rel=2e-3):
    return pytest.approx(value, rel=rel)


def test_friction_of_sand_on_steel():
    """API RP 2A-WSD (2000) 6.4.3, memory: medium dense sand, K 0.8, 25 deg: 0.8 tan 25 = 0.373; 81.3 kPa (1.7 ksf) at most."""
    assert sand_friction(100.0, 0.373, 81.3) == about(37.3)
    assert sand_friction(300.0, 0.373, 81.3) == about(81.3)
    assert sand_friction(-5.0, 0.373, 81.3) == 0.0


@pytest.mark.parametrize(
    ("su", "effective", "adhesion"),
    [
        (50, 100, 35.36),  # r 0.5: 0.5 / 0.7071 = 0.707
        (100, 100, 50.0),  # r 1: 0.5
        (105, 100, 51.86),  # r 1.05: 0.5 / 1.01227 = 0.4939
        (200, 100, 84.09),  # r 2: 0.5 / 1.1892 = 0.420
        (10, 100, 10.0),  # r 0.1: 1.58, so the whole strength
    ],
)
def test_adhesion_of_clay_on_steel(su, effective, adhesion):
    """API RP 2A-WSD (2000) 6.4.2, memory."""
    assert clay_adhesion(su, effective) == about(adhesion, 5e-4)


def test_weight_of_the_golden_casing():
    """10,866 lb are 4,929 kg and 48.35 kN in air; in concrete of 2400 kg/m3 0.3057 of it is carried (own): 33.57 kN."""
    assert hanging_weight(10866 * POUND_KG, 0.0) == about(48.35)
    assert hanging_weight(10866 * POUND_KG, 2400.0) == about(33.57)


def test_first_charge_of_a_tremie():
    """By hand: 48 in hole, 10 in pipe 12 in off the base, 40 in over its mouth, 60 ft of fluid of 64 pcf, concrete of 150 pcf.

    12.5664 x (1 + 3.3333) + 0.54542 x 60 x 64 / 150 = 54.454 + 13.963 = 68.417 ft3 = 1.9374 m3.
    """
    assert tremie_charge(48 * INCH_M, 10 * INCH_M, 12 * INCH_M, 40 * INCH_M, 60 * 12 * INCH_M, 64.0, 150.0) == about(1.9374)


def test_concrete_in_an_annulus():
    """By hand: 5 m of fluid of 10 kN/m3 over the concrete inside ends 5 / 1.5 = 3.33 m deeper outside with concrete of 25 kN/m3: the
    columns 25 x 7 inside and 10 x 8.333 + 25 x 3.667 outside both press with 175 kPa at 12 m, the inside level being 5 m.
    """
    outside = annulus_level(5.0, 0.0, 10.0, 25.0)
    assert outside == about(8.3333)
    assert 10.0 * outside + 25.0 * (12.0 - outside) == about(25.0 * 7.0)
    assert annulus_level(5.0, 6.0, 10.0, 25.0) == 5.0


def test_adhesion_of_clay_just_stronger_than_the_stress_on_it():
    """API RP 2A (from memory): alpha is 0.5 psi^-0.25 above psi 1; at psi 1.05, 0.5 / 1.05^0.25 = 0.49394, x 105 kPa = 51.863 kPa."""
    assert clay_adhesion(105.0, 100.0) == pytest.approx(51.863, abs=0.002)
