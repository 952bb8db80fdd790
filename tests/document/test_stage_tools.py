"""The column of tools of the stages in short: every stage that drills a hole names what drills it."""

from dataclasses import replace

import pytest

from methodpick.document.decision import SHORT_STAGE_HEADS, stage_table
from methodpick.formats.json import plan_json
from methodpick.plan.pipeline import plan
from methodpick.review.plan_file import read_plan_text
from methodpick.review.verify import verify_plan
from methodpick.unit_markup import spell

UNDER_FLUID = """methodpick: 1
site: {units: si, allowed: [slurry]}
borings:
  - id: B-1
    depth: 35
    water: [{reading: settled, depth: 1.8, after: 24 h}]
    layers:
      - {top: 0, base: 12, description: "medium dense silty sand", symbol: SM}
      - {top: 12, base: 35, description: "hard clay", symbol: CL, su: 250}
shafts: [{id: P1, boring: B-1, diameter: 1200, tip: 20}]
"""


@pytest.fixture(scope="module")
def shaft(book, read_text):
    return plan(read_text(UNDER_FLUID), book).shafts[0]


def test_the_starter_names_the_hole_that_is_drilled_for_it(shaft):
    """It is set in a predrilled hole as wide as it is outside: 1321 mm, 52 in, the first size 4 in over 1200 mm (EN 10220, from memory)."""
    assert shaft.casings[0].installed_by.startswith("set in a predrilled hole")
    first = stage_table(shaft).rows[0]
    assert "starter" in first[SHORT_STAGE_HEADS.index("what is done")]
    assert spell(first[SHORT_STAGE_HEADS.index("tool")], "si") == "1321 mm"


CASED = """methodpick: 1
site: {{units: si, allowed: [temporary_casing], equipment: {{vibratory: false, kelly_twist: false, impact_hammer: false, {plant}}}}}
borings:
  - id: B-1
    depth: 35
    water: [{{reading: settled, depth: 1.8, after: 24 h}}]
    layers:
      - {{top: 0, base: 12, description: "medium dense silty sand", symbol: SM, n: 20}}
      - {{top: 12, base: 35, description: "hard clay", symbol: CL, su: 250}}
shafts: [{{id: P1, boring: B-1, diameter: 1200, tip: 14}}]
"""


def written(made):
    """Return a plan as it is read back from its file."""
    return read_plan_text(plan_json(made), "plan.json")


@pytest.mark.parametrize(
    ("plant", "named"),
    [
        ("oscillator: true, rotator: false", "oscillator"),
        ("rotator: true, oscillator: false", "rotator"),
        ("oscillator: true", "oscillator"),
        ("rotator: false, oscillator: true", "oscillator"),
        ("oscillator: true, rotator: true", "oscillator or rotator"),
    ],
)
def test_casing_is_turned_by_the_plant_that_is_at_hand(book, read_text, plant, named):
    """In the decision, the stage and its row in short; a plan that names the other plant is contradicted."""
    site = read_text(CASED.format(plant=plant))
    made = plan(site, book)
    shaft = made.shafts[0]
    assert f" by {named} to " in shaft.decision
    (text,) = [stage.text for stage in shaft.stages if stage.action == "advance_casing"]
    assert f" by the {named}, and dig" in text
    assert any(f"by the {named}" in row[2] for row in stage_table(shaft).rows)
    assert not verify_plan(written(made), book, site).contradictions
    (string,) = [casing for casing in shaft.casings if casing.way == "oscillated"]
    other = "rotator" if named != "rotator" else "oscillator"
    casings = tuple(replace(casing, turned_by=other) if casing is string else casing for casing in shaft.casings)
    changed = replace(made, shafts=(replace(shaft, casings=casings),))
    assert any("turned_by" in str(each) for each in verify_plan(written(changed), book, site).contradictions)


def test_each_casing_that_is_advanced_has_its_own_row(book, read_text):
    """Where one ends and the next goes on at the same depth, the row of the first does not reach to the shoe of the second."""
    shaft = plan(read_text(CASED.format(plant="oscillator: true, rotator: false")), book).shafts[0]
    place, first = next((at, stage) for at, stage in enumerate(shaft.stages) if stage.action == "advance_casing")
    second = replace(first, no=first.no + 1, casing_no=(first.casing_no or 1) + 1, top_m=first.base_m, base_m=first.base_m + 2.0)
    casings = (*shaft.casings, replace(shaft.casings[-1], base_m=second.base_m, way="vibrated"))
    both = replace(shaft, casings=casings, stages=(*shaft.stages[: place + 1], second, *shaft.stages[place + 1 :]))
    told = [spell(row[2], "si") for row in stage_table(both).rows if row[2].startswith("Advance")]
    assert len(told) == 2
    assert f"to {first.base_m:.2f} m by the oscillator" in told[0]
    assert f"from {first.base_m:.2f} m to {second.base_m:.2f} m by vibration" in told[1]


def test_the_way_out_of_a_low_head_begins_with_the_casing_that_stands(book):
    """A longer casing is needed only beyond what the one that stands carries (common practice, no source)."""
    treatment = book.by_id["fluid-head-too-low"].treatment
    assert set(treatment) == {"polymer", "mineral"}
    assert all(words.startswith("Raise the level inside the casing") and "beyond that lengthen" in words for words in treatment.values())
