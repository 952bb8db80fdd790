"""Small counterexamples: what does not matter is left out, and the violation stays of its kind."""

from pathlib import Path

import yaml
from minimise import minimised, way, written

SITE = """
methodpick: 1
site: {name: Long story, units: si, headroom: 9.0, equipment: {vibratory: true, kelly_twist: true}}
borings:
- id: B-1
  ground_elevation: 10.0
  technique: solid_auger
  water: [{reading: settled, depth: 4.37}, {reading: while_drilling, depth: 6.0}]
  layers:
  - {top: 0.0, base: 3.0, symbol: ML, description: firm silt}
  - {top: 3.0, base: 30.0, symbol: CL, features: [fissured]}
  spt: [{depth: 2.0, n: 4}, {depth: 5.0, n: 9}]
shafts: [{id: P1, diameter: 1200.0, tip: 20.0, ground_elevation: 10.3, cage_diameter: 900.0}]
"""


class DeepWater:
    """A relation that every site violates whose second reading stands deeper than 5 m in fissured ground; it plans nothing."""

    name = "deep_water"

    def violations(self, tree, particulars):
        boring = tree["borings"][0]
        fissured = any("fissured" in layer.get("features", ()) for layer in boring["layers"])
        depth = boring["water"][particulars["reading"]]["depth"]
        return [f"depth of {depth} m"] if fissured and depth > 5 else []


def test_what_does_not_matter_is_left_out():
    small, particulars = minimised(DeepWater(), yaml.safe_load(SITE), {"reading": 1})
    assert particulars == {"reading": 0}
    assert small == {
        "methodpick": 1,
        "site": {"units": "si"},
        "borings": [
            {
                "id": "B-1",
                "water": [{"reading": "while_drilling", "depth": 6.0}],
                "layers": [{"top": 0.0, "base": 30.0, "features": ["fissured"]}],
            }
        ],
        "shafts": [{"id": "P1", "diameter": 1200.0, "tip": 20.0}],
    }
    kept = yaml.safe_load(written(DeepWater(), small, particulars))
    assert kept == {"relation": "deep_water", "change": particulars, "site": small}


def test_a_violation_of_another_kind_is_another_way():
    assert way(["dry from 0.5 to 1.0 m: unlikely (rule), then allowed"]) == way(["dry from 3 to 9 m: unlikely (rule), then allowed"])
    assert way(["dry from 0.5 to 1.0 m: unlikely (rule), then allowed"]) != way(["water from 3 to 9 m: unlikely (rule), then allowed"])
    assert way([]) == ""


def test_every_counterexample_says_what_is_wrong_with_it():
    for path in (Path(__file__).parent / "counterexamples").glob("*.yaml"):
        assert path.read_text(encoding="utf-8").startswith("# "), path.name
