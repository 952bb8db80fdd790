"""Numbers in sentences: every quantity of the rulebook and of the formulas has a unit of the trade in both systems."""

import pytest

from methodpick.mechanics.registry import all_formulas
from methodpick.unit_markup import mark, spell
from methodpick.units import write_number

US_ONLY = {"m", "m3", "kg", "kN", "kPa", "kNm", "kN/m", "kN/m3", "m/h", "m3/h", "mm/s", "Pa", "J", "h/m", "kg/m"}
"""Units that no American page shows."""
INSIDE_ONLY = {"m/s2", "m3/s", "1/m", "m2", "m2/s", "kg/m2", "rad"}
"""Units in which a formula gives an intermediate value that no page shows."""


def quantities(book):
    limits = {limit.unit for limit in book.limits.values()}
    facts = {fact.unit for fact in book.catalogue.facts.values() if fact.unit}
    formulas = {unit for one in all_formulas().values() for unit in (one.unit, *(argument.unit for argument in one.arguments.values()))}
    return limits | facts | formulas - INSIDE_ONLY


def test_an_american_page_shows_american_units(book):
    shown = {unit: spell(mark(7.0, unit), "us").removeprefix("7").strip() for unit in quantities(book) & US_ONLY}
    assert not [(unit, text) for unit, text in shown.items() if text == unit]


@pytest.mark.parametrize("units", ["us", "si"])
def test_no_quantity_is_written_with_an_exponent_that_nobody_reads(book, units):
    """Permeability and its like are written with one, for they are small."""
    written = [write_number(5000.0, unit, units) for unit in sorted(quantities(book))]
    assert not [text for text in written if "e+" in text]


@pytest.mark.parametrize(
    ("value", "unit", "us"),
    [
        (1.3558179483, "kNm", "1 kip-ft"),
        (14.593902937, "kN/m", "1.0 kip/ft"),
        (25.4, "mm/s", "1.00 in/s"),
        (4.7880258980, "Pa", "10 lb/100 ft2"),
        (1.3558179483, "J", "1 ft-lb"),
        (0.2271247, "pumped", "1 gal/min"),
    ],
)
def test_units_by_their_definition(value, unit, us):
    """Foot 0.3048 m, pound 0.45359237 kg, standard gravity 9.80665 m/s2, US gallon 3.785411784 L: exact by definition (NIST SP 811)."""
    assert write_number(value, unit, "us") == us
