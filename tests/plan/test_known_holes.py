"""Holes that were built must pass the hard tier: no support that held may be ruled out. Sites are stand-ins of our own."""

from methodpick.plan.pipeline import plan

RULED_OUT = {"ruled_out"}


def states(shaft, state, below_m=0.0):
    return {one.verdicts[state].state for one in shaft.intervals if one.base_m > below_m and one.support != "undecided"}


def test_thirty_metres_of_stiff_fissured_clay_stand_dry(read_text, book):
    """Common practice, no source: deep dry shafts in stiff fissured clay of 100 to 250 kPa."""
    shaft = plan(
        read_text("""methodpick: 1
site: {units: si}
borings:
  - id: B-1
    depth: 40
    water: [{reading: none_met}]
    layers:
      - {top: 0, base: 12, description: "stiff fissured brown clay", symbol: CH, su: 110}
      - {top: 12, base: 40, description: "very stiff fissured grey clay", symbol: CH, su: 190}
shafts: [{id: P1, diameter: 1200, tip: 30}]
"""),
        book,
    ).shafts[0]
    assert shaft.method == "dry"
    assert not states(shaft, "dry") & (RULED_OUT | {"unlikely"})


def test_a_shaft_of_12_ft_by_152_ft_stands_under_polymer(read_text, book):
    """Case history seen in print: 12 ft by 152 ft held by polymer with a conductor of 10 ft, in sand and silt with water near grade."""
    shaft = plan(
        read_text("""methodpick: 1
site: {units: us}
borings:
  - id: B-1
    depth: 200
    water: [{reading: settled, depth: 10}]
    layers:
      - {top: 0, base: 60, description: "medium dense silty fine sand", symbol: SM}
      - {top: 60, base: 110, description: "stiff silt", symbol: ML}
      - {top: 110, base: 200, description: "dense fine sand", symbol: SP}
    spt: [{depth: 20, n: 18}, {depth: 40, n: 22}, {depth: 70, n: 16}, {depth: 90, n: 20}, {depth: 120, n: 45}, {depth: 150, n: 50}]
shafts: [{id: P1, diameter: 144, tip: 152}]
"""),
        book,
    ).shafts[0]
    assert not states(shaft, "polymer", 3.1) & (RULED_OUT | {"unlikely", "unknown"})
    assert shaft.slurry is not None


def test_normally_consolidated_clay_stands_under_balanced_fluid(read_text, book):
    """By definition its overload ratio under water is about (g - gw) z / (0.25 (g - gw) z) = 4, below the cap of 6."""
    layers = "\n".join(
        f'      - {{top: {top}, base: {top + 4}, description: "grey clay", symbol: CL, su: {0.25 * 7 * (top + 2):.1f}, unit_weight: 16.8}}'
        for top in range(4, 28, 4)
    )
    shaft = plan(
        read_text(f"""methodpick: 1
site: {{units: si, surcharge: 0}}
borings:
  - id: B-1
    depth: 28
    water: [{{reading: settled, depth: 0.5}}]
    layers:
      - {{top: 0, base: 4, description: "stiff crust of clay", symbol: CL, su: 60}}
{layers}
shafts: [{{id: P1, diameter: 1200, tip: 24}}]
"""),
        book,
    ).shafts[0]
    assert not states(shaft, "mineral", 4.0) & (RULED_OUT | {"unlikely"})
    assert all(one.verdicts["dry"].state in {"ruled_out", "unlikely", "unknown"} for one in shaft.intervals if one.top_m >= 16.0)
