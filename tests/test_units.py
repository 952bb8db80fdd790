"""Factors against NIST Special Publication 811 (2008), appendix B.8 (values from memory of the printed table)."""

import pytest

from methodpick import units

NIST_SP_811 = [
    (1, "ft", "m", 0.3048),
    (1, "in", "m", 0.0254),
    (1, "yd", "m", 0.9144),
    (1, "psf", "kPa", 0.04788026),
    (1, "psi", "kPa", 6.894757),
    (1, "ksi", "kPa", 6894.757),
    (1, "tsf", "kPa", 95.76052),
    (1, "bar", "kPa", 100),
    (1, "kg/cm2", "kPa", 98.0665),
    (1, "pcf", "kN/m3", 0.1570875),
    (1, "pcf", "kg/m3", 16.01846),
    (1, "lb/gal", "kg/m3", 119.8264),
    (1, "gal", "m3", 3.785412e-3),
    (1, "yd3", "m3", 0.7645549),
    (1, "ft3", "m3", 0.02831685),
    (1, "lb", "kg", 0.45359237),
    (1, "ton", "kg", 907.1847),
    (1, "ft/day", "m/s", 3.527778e-6),
]


@pytest.mark.parametrize(("value", "unit", "inside", "expected"), NIST_SP_811)
def test_factors_agree_with_nist(value, unit, inside, expected):
    assert units.convert(value, unit, inside) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "bare", "expected_m"),
    [
        ("48", "in", 1.2192),
        ("48 in", "ft", 1.2192),
        ('48"', "ft", 1.2192),
        ("4 ft", "in", 1.2192),
        ("4'", "in", 1.2192),
        ("2 ft 6 in", "m", 0.762),
        ("2'-6\"", "m", 0.762),
        ("-2 ft 6 in", "m", -0.762),
        ("5 1/2 in", "m", 0.1397),
        ("5-1/2 in", "m", 0.1397),
        ("3/8 in", "m", 0.009525),
        ("1200 mm", "in", 1.2),
        ("1200MM", "in", 1.2),
        ("1.2 Metres", "in", 1.2),
        (" 12 FT. ", "in", 3.6576),
        ("1.5e1 m", "ft", 15.0),
    ],
)
def test_lengths_are_read_as_an_engineer_writes_them(text, bare, expected_m):
    assert units.parse(text, bare, "m") == pytest.approx(expected_m, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "bare", "inside", "expected"),
    [
        ("11.5 kN/m3", "pcf", "kN/m3", 11.5),
        ("11.5 kN/m^3", "pcf", "kN/m3", 11.5),
        ("20 kN/m³", "pcf", "kN/m3", 20),
        ("80 %", "%", "%", 80),
        ("80%", "%", "%", 80),
        ("24 h", "h", "h", 24),
        ("2 days", "h", "h", 48),
        ("90 min", "h", "h", 1.5),
        ("1.2 mpa", "psf", "kPa", 1200),
    ],
)
def test_other_quantities_carry_their_own_unit(text, bare, inside, expected):
    assert units.parse(text, bare, inside) == pytest.approx(expected)


@pytest.mark.parametrize("text", ["", "ft", "about 5", "1,200 mm", "5 5 ft", "nan", "inf", "<5", "1/0 in", "--5 ft"])
def test_what_is_no_number_is_refused(text):
    with pytest.raises(ValueError, match=r"not a (number|unit)"):
        units.parse(text, "ft", "m")


@pytest.mark.parametrize(("text", "inside"), [("5 kPa", "m"), ("5 ft", "kPa"), ("5 furlong", "m"), ("20 pcf", "kPa")])
def test_a_unit_of_another_kind_is_refused_and_those_that_would_do_are_named(text, inside):
    with pytest.raises(ValueError, match="is not a unit of this quantity; expected one of"):
        units.parse(text, "1", inside)


@pytest.mark.parametrize("written", ["0.75 kg/cm2", "0.75 kgf/cm²", "0.75 ksc"])
def test_a_pocket_penetrometer_reads_kilograms_on_a_square_centimetre(written):
    assert units.parse(written, "psf", "kPa") == pytest.approx(0.75 * 98.0665)
