"""With what tool each stage drills, which casing it sets by its number, and where rock is cored.

Tools below casing are no wider than what passes it, and a socket is drilled at its own diameter (FHWA-NHI-18-024 sec. 5.2, digest). That
rock augers end somewhere between 1 and 20 MPa and core barrels go on to 80 MPa is practice told by rig makers (secondary).
"""

import pytest

from methodpick.plan.pipeline import plan

SITE = """methodpick: 1
site: {{units: si, allowed: [{allowed}], equipment: {{vibratory: true, oscillator: false, kelly_twist: true}}}}
borings:
  - id: B-1
    depth: 40
    water: [{{reading: settled, depth: 2}}]
    layers:
      - {{top: 0, base: 10, description: "medium dense clean sand", symbol: SP, unit_weight: 19, phi: 34, absent: [cobbles, boulders]}}
      - {{top: 10, base: 40, description: "grey sandstone", symbol: rock, unit_weight: 25, rqd: 70, {ucs} absent: [cavities, slaking]}}
shafts: [{{id: P1, diameter: 1200, tip: 16, cutoff: 0, socket_top: 12, socket_diameter: 1050}}]
"""


@pytest.fixture
def planned_in(book, read_text):
    return lambda ucs="ucs: 40,", allowed="slurry": plan(read_text(SITE.format(ucs=ucs, allowed=allowed)), book).shafts[0]


def drills(shaft):
    return [stage for stage in shaft.stages if stage.action == "drill"]


def test_the_socket_is_drilled_at_its_own_diameter_and_the_rest_at_the_shafts(planned_in):
    found = [(stage.top_m, stage.base_m, stage.tool_m) for stage in drills(planned_in())]
    assert found[-2:] == [(10.0, 12.0, 1.2), (12.0, 16.0, 1.05)]
    assert {tool for *_, tool in found[:-1]} == {1.2}


@pytest.mark.parametrize(
    ("ucs", "cored"), [("ucs: 40,", True), ("ucs: 4,", False), ("", True)], ids=["40 MPa", "4 MPa", "strength not known"]
)
def test_rock_is_cored_where_no_auger_cuts_it(ucs, cored, planned_in):
    texts = [stage.text for stage in drills(planned_in(ucs)) if stage.base_m > 10]
    assert all(text.startswith("Core") == cored and ("core barrel" in text) == cored for text in texts)
    assert all("Core" not in stage.text for stage in drills(planned_in(ucs)) if stage.base_m <= 10)


def test_the_decision_tells_of_one_length_where_only_the_tool_changes(planned_in):
    assert planned_in().decision.lower().count("drill under") == 1


def test_every_casing_is_named_by_its_number_and_tools_pass_it(planned):
    shaft = planned("caving-lens").shafts[0]
    starter, string = shaft.casings
    texts = {stage.action: stage.text for stage in shaft.stages}
    assert texts["set_starter"].startswith("Set casing 1, the starter,")
    assert texts["set_casing"].startswith("Set casing 2, temporary casing,")
    assert "seal of casing 2" in texts["seal_test"]
    assert texts["bail"].startswith("Bail casing 2 ")
    assert texts["pull"].startswith("Pull casing 2, ")
    assert texts["remove_starter"].startswith("Pull casing 1, the starter,")
    before = [stage for stage in drills(shaft) if stage.top_m < string.predrill_base_m]
    assert {stage.tool_m for stage in before} == {string.predrill_diameter_m}
    assert string.predrill_diameter_m <= starter.inside_m
    assert [stage.tool_m for stage in drills(shaft) if stage not in before] == [shaft.diameter_m]
    assert {stage.tool_m for stage in shaft.stages if stage.action in {"clean", "cage", "pour", "bail", "pull"}} == {None}


def test_inside_an_advanced_casing_works_the_tool_of_what_comes_below(planned_in):
    shaft = planned_in(allowed="temporary_casing, slurry")
    for way in (shaft, *shaft.alternates):
        for stage in way.stages:
            if stage.action == "advance_casing":
                casing = next(casing for casing in way.casings if not casing.is_starter and casing.base_m >= stage.base_m - 0.002)
                assert 0 < stage.tool_m <= casing.inside_m
                assert f"Advance casing {way.casings.index(casing) + 1} " in stage.text
