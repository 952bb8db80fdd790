"""The density of sand by a cone beside it: only where words allow it, never against them, unknown where it says nothing.

Correlations of Baldi (1986) and of Kulhawy & Mayne (1990), from memory; their values stand in tests/published.
"""

from itertools import pairwise

import pytest

from methodpick.facts.gather import Gatherer
from methodpick.facts.sheet import Frame

LOG = """methodpick: 1
site: {units: si, surcharge: 0}
borings:
  - id: B-1
    depth: 30
    water: [{reading: piezometer, depth: 0}]
    layers: [{top: 0, base: 30, description: "WORDS", unit_weight: 19.81MORE}]
    cone: [READINGS]
shafts: [{id: P1, diameter: 1200, tip: 18}]
"""
USUAL = ("very_loose", "loose", "medium_dense", "dense", "very_dense")


def sand(book, read_text, words, megapascals=10.0, friction=0.5, count=5, more=""):
    """The facts of sand at 10 m, some 100 kPa, with readings of one resistance and a friction in percent of it."""
    one = f"{{depth: 10, resistance: {megapascals} MPa, friction: {10 * friction * megapascals} kPa}}"
    text = LOG.replace("WORDS", words).replace("MORE", more).replace("READINGS", ", ".join([one] * count))
    site = read_text(text)
    frame = Frame(site.site, site.borings[0], site.shafts[0], book.catalogue, book.tables, (), book.values)
    return Gatherer(frame).slices((), {"dry": None})[-1].sheet


def test_sand_of_no_word_has_the_density_of_its_cone(book, read_text):
    """10 MPa at 100 kPa: 42 to 77 %, likely 60."""
    found = sand(book, read_text, "grey fine sand").choice("density")
    assert (found.values, found.likely) == ({"medium_dense", "dense"}, "medium_dense")


def test_words_that_agree_are_kept_and_words_that_do_not_are_widened(book, read_text):
    assert sand(book, read_text, "medium dense grey fine sand").choice("density").values == {"medium_dense"}
    apart = sand(book, read_text, "very loose grey fine sand").choice("density")
    assert (apart.values, apart.likely) == ({"very_loose", "medium_dense", "dense"}, "very_loose")
    range_ = sand(book, read_text, "loose to medium dense grey fine sand").choice("density")
    assert range_.values == {"medium_dense"}


def test_counts_and_cone_are_held_against_each_other(book, read_text):
    more = ", n: [4]"
    assert "medium_dense" in sand(book, read_text, "grey fine sand", more=more).choice("density").values


@pytest.mark.parametrize(
    "words",
    [
        "grey clay",
        "sandy gravel",
        "fill: fine sand",
        "cemented fine sand",
        "shelly fine sand",
        "micaceous fine sand",
        "calcareous sand",
        "peaty sand",
        "grey silt",
    ],
)
def test_other_ground_has_none(book, read_text, words):
    assert "relative_density_percent" not in sand(book, read_text, words).facts


@pytest.mark.parametrize(("megapascals", "friction", "count"), [(10.0, 0.5, 4), (1.0, 3.0, 5)])
def test_few_readings_and_readings_of_ground_that_does_not_drain_say_nothing(book, read_text, megapascals, friction, count):
    """Fewer than five readings; 1 MPa with 3 % of friction behaves as clayey silt (index of Robertson 2010 above 2.60)."""
    found = sand(book, read_text, "grey fine sand", megapascals, friction, count)
    assert "relative_density_percent" not in found.facts
    assert found.choice("density").values == set(USUAL)


def test_the_friction_angle_follows_the_density(book, read_text):
    """Medium dense to dense sand: 29 to 41 degrees (Peck, Hanson and Thornburn, memory); all densities together 25 to 45."""
    known, unknown = (sand(book, read_text, "grey fine sand", count=count).span("phi_deg") for count in (5, 4))
    assert (known.low, known.high) == (29, 41)
    assert (unknown.low, unknown.high) == (25, 45)


def test_more_resistance_never_makes_sand_looser(book, read_text):
    found = [sand(book, read_text, "grey fine sand", q, 0.3).span("relative_density_percent") for q in (4, 8, 12, 16, 24, 32)]
    for less, more in pairwise(found):
        assert (less.low, less.likely, less.high) <= (more.low, more.likely, more.high)
        assert less.high <= more.high
