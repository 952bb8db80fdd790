"""Numbers in sentences stay within what can be, and are written as the trade writes them."""

import re

from methodpick.plan.pipeline import plan
from methodpick.unit_markup import spell

MUD = """methodpick: 1
site: {units: us, setting: water, water_depth: 12, water_level: {flow_velocity: 3.6}}
borings:
  - id: B-1
    depth: 120
    layers:
      - {top: 0, base: 90, description: "very soft grey clay", symbol: CH, su: {low: 60, likely: 150, high: 300}}
      - {top: 90, base: 120, description: "stiff grey clay", symbol: CH, su: 2200}
shafts: [{id: P1, diameter: 48, tip: 100}]
"""


def said(read_text, book, rule):
    (shaft,) = plan(read_text(MUD), book).shafts
    return next(one.text for one in shaft.cautions if one.rule == rule)


def test_a_hole_closes_by_its_radius_at_most(read_text, book):
    """su of 60 psf under 90 ft of clay: an overload ratio over 100, where cavity contraction gives thousands of per cent."""
    text = spell(said(read_text, book, "squeezing-clay"), "us")
    assert max(float(one.replace(",", "")) for one in re.findall(r"([\d,.]+) %", text)) == 100.0


def test_a_flowing_river_is_written_without_an_exponent(read_text, book):
    """3.6 ft/s is 1.097 m/s."""
    text = said(read_text, book, "flowing-groundwater")
    assert "at 110 cm/s:" in spell(text, "us")
    assert "at 1.1 m/s:" in spell(text, "si")
