"""The plug of soil in a casing that goes ahead of the dig: half a diameter, and in weak clay as much as its base asks for (by hand)."""

import pytest

from methodpick.plan.pipeline import plan
from methodpick.plan.proving.open_hole import plug_length
from methodpick.review.ground_anew import basis_of, ground_anew

SITE = """methodpick: 1
site: {{units: si, surcharge: 0}}
borings:
  - id: B
    water: [{{reading: settled, depth: 8}}]
    layers: [{{top: 0, base: 30, description: "grey clay", symbol: CL, su: {su}, unit_weight: 18, absent: [sensitive, fissured]}}]
shafts: [{{id: P, boring: B, diameter: 1200, tip: 20}}]
"""


@pytest.mark.parametrize(("su", "wanted"), [(40, 0.6), (13, 0.6), (12, 0.85), (5, 2.85)])
def test_weak_clay_asks_for_a_longer_plug(read_text, book, su, wanted):
    """At 12 m 216 kPa stand beside the hole, 11.7 m of water 114.8 kPa in it, Nc is 9 and 1.5 the safety: 101.2 - 6 su is left to the plug.

    A metre of it gives 18 + 4 x 0.5 su / 1.2 kPa. At 12 kPa: 29.2 of 38 a metre, more than 0.6 m; at 13 kPa 23.2 of 39.7; at 5 kPa 71.2 of
    26.3, which is 2.7 m. It grows from half a diameter by steps of 0.25 m.
    """
    site = read_text(SITE.format(su=su))
    made = plan(site, book)
    (shaft,) = made.shafts
    ground = ground_anew(basis_of(made, site, book), shaft, shaft.levels, shaft.cuts_m)
    assert plug_length(ground, (11.0, 12.0), "water", 1.2) == pytest.approx(wanted)


def test_the_stage_says_how_long_the_plug_is(planned):
    """Half of the casing's diameter: 0.508 m for 1016 mm (tests/sites/vibrated-by-a-shed.yaml)."""
    (shaft,) = planned("vibrated-by-a-shed").shafts
    (stage,) = (stage for stage in shaft.stages if stage.state == "cased_plug")
    assert "a plug of soil of ⟦0.508|m⟧ in it" in stage.text
