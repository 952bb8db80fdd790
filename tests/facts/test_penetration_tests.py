"""The strength of clay by a cone beside it, by hand; Nkt 10 to 20, likely 14 (Lunne, Robertson and Powell 1997, from memory)."""

import pytest

from methodpick.facts.gather import Gatherer
from methodpick.facts.sheet import Frame

LOG = """methodpick: 1
site: {units: si, surcharge: 0}
borings:
  - id: B-1
    depth: 30
    cone_area_ratio: 0.8
    water: [{reading: piezometer, depth: 0}]
    layers: [{top: 0, base: 30, description: DESCRIPTION, unit_weight: 17MORE}]
    cone: [READINGS]
shafts: [{id: P1, diameter: 1200, tip: 18}]
"""
ONE = "{depth: 10, resistance: 0.8 MPa, friction: 30 kPa, pore_pressure: 100 kPa}"


def strength(book, read_text, description, readings=ONE, more=""):
    site = read_text(LOG.replace("DESCRIPTION", description).replace("READINGS", readings).replace("MORE", more))
    frame = Frame(site.site, site.borings[0], site.shafts[0], book.catalogue, book.tables, (), book.values)
    sheet = Gatherer(frame).slices((), {"dry": None})[-1].sheet
    return sheet.span("su_kpa") if "su_kpa" in sheet.facts else None


def ends(span):
    return span.low, span.likely, span.high


def test_a_cone_alone_gives_a_range(book, read_text):
    """qt = 800 + 0.2 x 100 = 820 kPa, 17 kN/m3 x 10 m = 170 kPa: 650 kPa over 20, 14 and 10."""
    assert ends(strength(book, read_text, "grey clay")) == pytest.approx((32.5, 46.43, 65.0), abs=0.01)


def test_without_pore_pressure_the_resistance_counts_as_read(book, read_text):
    """(800 - 170) / 20, 14, 10."""
    dry = ONE.replace(", pore_pressure: 100 kPa", "")
    assert ends(strength(book, read_text, "grey clay", dry)) == pytest.approx((31.5, 45.0, 63.0))


def test_fissured_clay_has_less_for_each_reading(book, read_text):
    """650 kPa over 30 at the low end: cone_factor_fissured."""
    assert strength(book, read_text, "fissured grey clay").low == pytest.approx(650 / 30)


def test_no_strength_is_less_than_nothing(book, read_text):
    """Resistance below the overburden of 170 kPa: cone_strength_least_kpa, 2 kPa."""
    assert ends(strength(book, read_text, "grey clay", "{depth: 10, resistance: 0.1 MPa, friction: 5 kPa}")) == pytest.approx((2, 2, 2))


def test_the_tenth_that_is_least_and_most_are_the_ends(book, read_text):
    """Eleven readings at 10 m of 170 + 100, 200 ... 1100 kPa: the second is 200 kPa net, the middle 600, the tenth 1000."""
    readings = ", ".join(f"{{depth: 10, resistance: {170 + net} kPa}}" for net in range(100, 1200, 100))
    assert ends(strength(book, read_text, "grey clay", readings)) == pytest.approx((10.0, 42.86, 100.0), abs=0.01)


def test_words_are_narrowed_where_they_agree_and_widened_where_not(book, read_text):
    words = strength(book, read_text, "stiff grey clay", "{depth: 29.9, resistance: 20 MPa, friction: 20 kPa}")
    met = strength(book, read_text, "stiff grey clay", "{depth: 10, resistance: 1.2 MPa, friction: 40 kPa}")
    assert words.low <= met.low <= met.high <= words.high, "a cone never gives more than the words allow"
    apart = strength(book, read_text, "very stiff grey clay")
    stiff = strength(book, read_text, "very stiff grey clay", "{depth: 29.9, resistance: 20 MPa, friction: 20 kPa}")
    assert (apart.low, apart.high) == (pytest.approx(32.5), stiff.high)
    assert apart.likely == pytest.approx(46.43, abs=0.01)


def test_readings_of_sand_in_clay_say_nothing_of_its_strength(book, read_text):
    """20 MPa with 0.1 % of friction is drained (index of Robertson 2010 below 2.60)."""
    assert strength(book, read_text, "grey clay", "{depth: 10, resistance: 20 MPa, friction: 20 kPa}") is None


@pytest.mark.parametrize("description", ["sand", "sandstone", "sandy silt"])
def test_a_cone_makes_no_clay(book, read_text, description):
    without = strength(book, read_text, description, "{depth: 29.9, resistance: 20 MPa, friction: 20 kPa}")
    assert strength(book, read_text, description) == without


def test_a_tested_strength_stays(book, read_text):
    assert ends(strength(book, read_text, "grey clay", more=", su: [20, 30]"))[::2] == (20, 30)
