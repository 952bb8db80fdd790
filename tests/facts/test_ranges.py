from methodpick.plan.pipeline import plan

TEXT = """methodpick: 1
site: {units: si}
borings:
  - id: B-1
    depth: 130
    water: [{reading: settled, depth: 3}]
    layers:
      - {top: 0, base: 10, description: "medium dense sand", symbol: SP, d10: 0.02 mm}
      - {top: 10, base: 130, description: "very stiff clay", symbol: CH}
shafts: [{id: P1, diameter: 1200, tip: TIP}]
"""


def test_a_formula_outside_its_range_is_a_doubt_once(read_text, book):
    doubts = plan(read_text(TEXT.replace("TIP", "115")), book).shafts[0].doubts
    found = [doubt.text for doubt in doubts if "extrapolation" in doubt.text]
    assert [text.split(",")[0] for text in found] == ["Collapse limit of a round clay hole", "Permeability by Hazen"]
    assert "depth below the ground" in found[0]
    assert "grain size that 10 % is finer than is 0.02 mm, outside the 0.1 mm to 3 mm" in found[1]


def test_within_the_range_nothing_is_said(read_text, book):
    doubts = plan(read_text(TEXT.replace("TIP", "40").replace("d10: 0.02", "d10: 0.2")), book).shafts[0].doubts
    assert [doubt.text for doubt in doubts if "extrapolation" in doubt.text] == []


def test_of_the_examples_only_the_silty_sand_of_the_karst_site_is_finer_than_hazens(planned):
    for name in ("caving-lens", "saturated-sand", "river-crossing", "artesian-sand", "twenty-layers"):
        assert [doubt.text for shaft in planned(name).shafts for doubt in shaft.doubts if "extrapolation" in doubt.text] == []
    found = [doubt.text for doubt in planned("karst").shafts[0].doubts if "extrapolation" in doubt.text]
    assert [text.split(",")[0] for text in found] == ["Permeability by Hazen"]
