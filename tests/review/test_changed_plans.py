"""A plan in which one thing is changed is found out: numbers, words, sentences, stages, checks, ground and design."""

import pytest
from shipped import shipped_under
from written_plan import verify_plan

from methodpick.plan.pipeline import plan
from methodpick.review.verify import verify

LENS, KARST, WATER, ARTESIAN = "caving-lens", "karst", "river-crossing", "artesian-sand"


def _shaft(tree):
    return tree["shafts"][0]


def _put(*path, value):
    """Give a change that writes a value at a path below the first shaft."""

    def change(tree):
        at = _shaft(tree)
        for part in path[:-1]:
            at = at[part]
        assert at[path[-1]] != value
        at[path[-1]] = value

    return change


def _add(*path, by):
    """Give a change that adds to a number at a path below the first shaft."""

    def change(tree):
        at = _shaft(tree)
        for part in path[:-1]:
            at = at[part]
        at[path[-1]] += by

    return change


def _say(*path, old, new):
    """Give a change of a word or a number in a text at a path below the first shaft."""

    def change(tree):
        at = _shaft(tree)
        for part in path[:-1]:
            at = at[part]
        assert old in at[path[-1]]
        at[path[-1]] = at[path[-1]].replace(old, new, 1)

    return change


def _drop(*path):
    """Give a change that takes an entry out of a list below the first shaft."""

    def change(tree):
        at = _shaft(tree)
        for part in path[:-1]:
            at = at[part]
        del at[path[-1]]

    return change


def _swap(tree):
    stages = _shaft(tree)["stages"]
    stages[1], stages[2] = stages[2] | {"no": 2}, stages[1] | {"no": 3}


def _without_test(tree):
    stages = [stage for stage in _shaft(tree)["stages"] if stage["action"] != "seal_test"]
    _shaft(tree)["stages"] = [stage | {"no": number} for number, stage in enumerate(stages, 1)]


def _pull_outer_first(tree):
    stages = _shaft(tree)["stages"]
    stages[-2], stages[-1] = stages[-1] | {"no": len(stages) - 1}, stages[-2] | {"no": len(stages)}


def _ground(*path, value):
    """Give a change of the ground or the design that the plan carries."""

    def change(tree):
        at = tree["site"]
        for part in path[:-1]:
            at = at[part]
        assert at[path[-1]] != value
        at[path[-1]] = value

    return change


def _without_layer(tree):
    del tree["site"]["borings"][0]["layers"][1]


def _fluid(tree):
    for stage in _shaft(tree)["stages"]:
        if stage["state"] == "polymer":
            stage["state"] = stage["fluid"] = "mineral"


CHANGES = {
    "length of a casing": _add("casings", 1, "length_m", by=0.5),
    "mass of a casing": _add("casings", 1, "mass_kg", by=-120.0),
    "mass of the starter": _put("casings", 0, "mass_kg", value=1000.0),
    "wall of a casing": _put("casings", 1, "wall_m", value=0.0079375),
    "outside diameter of a casing": _add("casings", 1, "outside_diameter_m", by=-0.0254),
    "seat of a casing": _add("casings", 1, "base_m", by=-0.4),
    "length pushed": _add("casings", 1, "advanced_m", by=0.3),
    "depth predrilled": _add("casings", 1, "predrill_base_m", by=0.3),
    "a casing that seals": _put("casings", 1, "sealed", value="no"),
    "a casing that stays": _put("casings", 1, "kind", value="permanent"),
    "stick-up": _add("casings", 1, "top_m", by=-0.3),
    "step between casings": _add("casings", 1, "step_m", by=0.05),
    "sections of a casing": _put("casings", 1, "sections_m", value=[6.0, 6.0]),
    "seat layer": _put("casings", 1, "seat_layer", value="limestone"),
    "aimed density": _add("slurries", 0, "density_target_kg_m3", by=5.0),
    "least density": _add("slurries", 0, "density_min_kg_m3", by=-30.0),
    "greatest density": _add("slurries", 0, "density_max_kg_m3", by=30.0),
    "level of a fluid": _add("slurries", 0, "level_m", by=0.4),
    "level in the record": _add("levels", "fluid_m", "polymer", by=-0.5),
    "level of a fluid that is not used": _add("levels", "fluid_m", "mineral", by=-0.5),
    "drilling grade": _add("levels", "grade_m", by=0.2),
    "base of the starter": _add("levels", "starter_base_m", by=0.2),
    "main fluid": _put("slurry", "fluid", value="mineral"),
    "order of stages": _swap,
    "number of a stage": _put("stages", 4, "no", value=9),
    "depth of a stage": _add("stages", 3, "base_m", by=0.5),
    "top of a stage": _add("stages", 1, "top_m", by=0.5),
    "state of a stage": _put("stages", 1, "state", value="cased_plug"),
    "support of a stage": _put("stages", 3, "support", value="dry"),
    "fluid of a stage": _put("stages", 3, "fluid", value="mineral"),
    "fluid of all stages": _fluid,
    "a stage taken out": _drop("stages", 2),
    "the bail taken out": _drop("stages", 6),
    "the seal test taken out": _without_test,
    "the cage taken out": _drop("stages", 9),
    "the outer casing pulled first": _pull_outer_first,
    "hours of the pour": _add("stages", 10, "hours", by=1.0),
    "hours open": _add("stages", 7, "hours", by=30.0),
    "a number in a stage": _say("stages", 3, "text", old="8.84 m", new="9.84 m"),
    "a level in a stage": _say("stages", 2, "text", old="0.30 m", new="0.60 m"),
    "a side in a stage": _say("stages", 2, "text", old="below the drilling grade", new="above the drilling grade"),
    "a fluid in a stage": _say("stages", 3, "text", old="polymer fluid", new="water"),
    "a wall in a stage": _say("stages", 4, "text", old="12.7 mm", new="9.5 mm"),
    "a kind in a stage": _say("stages", 4, "text", old="temporary", new="permanent"),
    "a lift in a stage": _say("stages", 11, "text", old="1.22 m", new="2.22 m"),
    "pour in a stage": _say("stages", 10, "text", old="drop pipe", new="by tremie"),
    "a depth in the decision": _say("decision", old="10.04 m", new="9.04 m"),
    "a method in the decision": _say("decision", old="drill under polymer fluid", new="drill dry"),
    "a seal in the decision": _say("decision", old=" and seal it", new=""),
    "placement in the decision": _say("decision", old="concrete in the dry", new="concrete by tremie"),
    "method": _put("method", value="dry"),
    "support of an interval": _put("intervals", 1, "support", value="dry"),
    "drilled in": _put("intervals", 1, "drilled_in", value="dry"),
    "states later": _put("intervals", 1, "later_in", value=["cased_dry"]),
    "hours to drill an interval": _add("intervals", 1, "drilling_h", by=0.1),
    "end of an interval": _add("intervals", 1, "base_m", by=0.3),
    "an interval taken out": _drop("intervals", 2),
    "confidence": _put("intervals", 7, "confidence", value="firm"),
    "a verdict": _put("intervals", 5, "verdicts", "dry", "state", value="allowed"),
    "rules of a verdict": _put("intervals", 5, "verdicts", "dry", "rules", value=[]),
    "class of soil": _put("intervals", 0, "soil_class", value="sand"),
    "a number of a check": _add("checks", 5, "has", "likely", by=1.0),
    "a margin of a check": _add("checks", 0, "margin", "adverse", by=0.5),
    "result of a check": _put("checks", 0, "result", value="little_margin"),
    "words of a check": _say("checks", 0, "what", old=" is ", new=" is about "),
    "a limit of a check": _put("checks", 3, "limits", value=["other"]),
    "a check taken out": _drop("checks", 2),
    "all checks taken out": _put("checks", value=[]),
    "placement": _put("placement", "state", value="wet"),
    "way of placing": _put("concrete", "placement", value="tremie"),
    "theoretical volume": _add("concrete", "theoretical_m3", by=0.5),
    "fill": _add("concrete", "fill_m3", by=-0.5),
    "expected volume": _add("concrete", "expected_m3", by=0.7),
    "trucks": _add("concrete", "trucks", by=1),
    "finished level": _add("concrete", "finished_level_m", by=-0.5),
    "a point of the curve": _add("concrete", "curve", 1, "fill_m3", by=0.5),
    "level before a pull": _add("concrete", "pulls", 0, "level_before_m", by=1.0),
    "spoil": _add("quantities", "lines", -2, "value", by=1.0),
    "fluid to fill": _add("quantities", "lines", 6, "value", by=1.0),
    "a line taken out": _drop("quantities", "lines", 3),
    "diameter": _put("diameter_m", value=1.0),
    "cut-off": _add("cutoff_m", by=0.3),
    "count": _add("count", by=1),
    "a cut": _add("cuts_m", 4, by=0.5),
    "a cut taken out": _drop("cuts_m", 11),
    "a layer of the strip": _put("ground", "layers", 0, "soil_class", value="sand"),
    "a cautious plan called not proven": _put("cautious", "proven", value=False),
    "another family called not proven": _put("alternates", 1, "proven", value=False),
    "a rung called not proven": _put("ladder", 0, "proven", value=False),
    "a stage of the cautious plan": _add("cautious", "stages", 3, "base_m", by=-1.0),
    "a check of the cautious plan": _drop("cautious", "checks", 0),
    "a casing of another family": _add("alternates", 2, "casings", 1, "mass_kg", by=50.0),
    "a check of another family": _put("alternates", 1, "checks", 0, "result", value="fails"),
    "an interval of another family": _put("alternates", 1, "intervals", 3, "support", value="dry"),
    "extra casing of a rung": _add("ladder", 1, "extra_casing_m", by=2.0),
    "extra concrete of a rung": _add("ladder", 2, "extra_concrete_m3", by=1.0),
    "sentence of a rung": _say("ladder", 1, "method", old="polymer fluid", new="water"),
    "depth of a layer": _ground("borings", 0, "layers", 0, "base_m", value=5.5),
    "words of a layer": _ground("borings", 0, "layers", 0, "description", value="soft grey clay"),
    "a layer taken out": _without_layer,
    "water": _ground("borings", 0, "water", 0, "rises_to_m", value=1.0),
    "tip of the design": _ground("shafts", 0, "tip_m", value=17.0),
    "fluids left open": _ground("site", "fluids_allowed", value=["mineral"]),
}


OF_OTHER_FAMILIES = [change for name, change in CHANGES.items() if "another family" in name]
FEW = 5
"""The plain test command tries every fifth change, so that each part of a plan is among them."""
LATER = pytest.mark.ci_only("verifies the plan with one more change of the same kind")


@pytest.mark.parametrize(
    "change", [pytest.param(change, id=name, marks=() if n % FEW == 0 else LATER) for n, (name, change) in enumerate(CHANGES.items())]
)
def test_a_change_is_found(change, tree, book):
    """The other families are read and proved only where the change is theirs: without them the plan verifies as well, in half the time."""
    changed = tree(LENS)
    if change not in OF_OTHER_FAMILIES:
        _shaft(changed)["alternates"] = []
    change(changed)
    assert verify(changed, book)


def test_a_plan_without_its_other_families_verifies(tree, book):
    alone = tree(LENS)
    _shaft(alone)["alternates"] = []
    assert list(verify(alone, book)) == []


def test_what_is_found_names_the_place(tree, book):
    changed = tree(LENS)
    _add("casings", 1, "mass_kg", by=-120.0)(changed)
    found = next(one for one in verify(changed, book) if one.what.endswith("mass_kg"))
    assert (found.shaft, found.way, found.what) == ("P4", "plan", "temporary casing to 10.04 m, mass_kg")
    assert float(found.written) == pytest.approx(4608.09, abs=0.01)
    assert float(found.right) == pytest.approx(4728.09, abs=0.01)


def test_a_fallback_by_the_same_means_is_found(tree, book):
    changed = tree(LENS)
    rungs = _shaft(changed)["ladder"]
    planned, fallback = rungs[0], next(rung for rung in rungs if rung["name"] == "fallback")
    fallback |= {"stages": planned["stages"], "casings": planned["casings"]}
    assert any(found.right == "other means than those of the plan" for found in verify(changed, book))


def test_a_way_beside_the_plan_that_is_the_plan_again_is_found(tree, book):
    changed = tree(LENS)
    shaft = _shaft(changed)
    other = next(way for way in shaft["alternates"] if way["stages"])
    other |= {"stages": shaft["stages"], "casings": shaft["casings"]}
    assert any((found.written, found.right) == ("those of the plan", "another way") for found in verify(changed, book))


def test_a_fallback_that_takes_the_fluid_earlier_is_another_way(site):
    """Under the TxDOT overlay it is drilled dry to 3.97 m, then under slurry; the fallback brings slurry at 1.93 m."""
    viaduct, book = site("viaduct"), shipped_under("txdot")
    one = viaduct.model_copy(update={"shafts": tuple(shaft for shaft in viaduct.shafts if shaft.id == "B5-1")})
    made = plan(one, book)
    methods = {rung.name: rung.method for rung in made.shafts[0].ladder}
    assert methods["planned"].startswith("Drill dry to ⟦3.97")
    assert methods["fallback"].startswith("Drill dry to ⟦1.929|m⟧, drill under mineral slurry")
    assert not verify_plan(made, one, book)
