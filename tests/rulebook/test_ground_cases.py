"""Small sites and what a specialist would answer.

``ground_cases.yaml`` holds ground that is not what its noun says, with answers at a depth; ``plan_cases.yaml`` whole plans, with what their
decision, stages, cautions, questions and proofs must say.
"""

import json
from functools import cache
from pathlib import Path

import pytest
from shipped import shipped_rulebook
from written_plan import verify_plan

from methodpick.engine.compiler import TRUE
from methodpick.imports.site_file import read_site
from methodpick.plan.judging.planning_input import boring_at_shaft, user_assumptions
from methodpick.plan.pipeline import plan, plan_shaft
from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.strict_yaml import read
from methodpick.unit_markup import spell
from methodpick.vocabulary.values import Span

CASES = read(Path(__file__).parent / "ground_cases.yaml").value["cases"]
WORDS = {"yes": {"allowed", "discouraged", "doubtful"}, "no": {"ruled_out", "unlikely", "unknown"}}
KEYS = {"case", "why", "source", "site", "water", "hammer", "layers", "spt", "cores", "remarks", "diameter", "tip", "shaft", "places"}
PLACE_KEYS = {"at", "likely", "soils", "facts", "states", "cautions", "silent"}


def site_text(case):
    """Write the site file of a case: flow style YAML is JSON. Water is the depth of a piezometer, or the readings of the boring."""
    water = case.get("water", 2)
    base = case["layers"][-1][1]
    boring = {
        "id": "B-1",
        "depth": base,
        "water": water if isinstance(water, list) else [{"reading": "piezometer", "depth": water}],
        "layers": [{"top": top, "base": end, "description": words, **more} for top, end, words, more in case["layers"]],
        "spt": [{"depth": depth, "n": n} for depth, n in case.get("spt", [])],
        "cores": [{"top": top, "base": end, "recovery": tcr, "rqd": rqd} for top, end, tcr, rqd in case.get("cores", [])],
        "remarks": case.get("remarks", []),
    }
    if case.get("hammer", 60):
        boring["hammer_efficiency"] = case.get("hammer", 60)
    shaft = {"id": "P1", "diameter": case.get("diameter", 1200), "tip": case.get("tip", base - 2), **case.get("shaft", {})}
    fluids = ["water", "polymer", "mineral"]
    site = {
        "methodpick": 1,
        "site": {"units": "si", "fluids_allowed": fluids, **case.get("site", {})},
        "borings": [boring],
        "shafts": [shaft],
    }
    return json.dumps(site)


def context_of(case):
    """Give what a plan of the shaft of a case is made from."""
    book = shipped_rulebook()
    site = read_site(site_text(case), "case.yaml")[0]
    basis = PlanBasis(site, book, (*user_assumptions(site, book), *book.assumptions))
    return PlanContext(basis, boring_at_shaft(site, site.shafts[0], site.borings[0], book.values), site.shafts[0])


@cache
def judged(name):
    """Judge the ground of a case."""
    return context_of(next(case for case in CASES if case["case"] == name)).ground


def places():
    """Give every place of every case."""
    for case in CASES:
        assert case.keys() <= KEYS, case
        assert case["why"].endswith("."), case["case"]
        assert case["source"], case["case"]
        for place in case["places"]:
            assert place.keys() <= PLACE_KEYS, place
            yield pytest.param(case["case"], place, id=f"{case['case']}-{place['at']}")


def at(name, depth_m):
    return next(piece for piece in judged(name).slices if piece.top_m <= depth_m < piece.base_m)


def as_written(word):
    return {True: "yes", False: "no"}.get(word, word) if isinstance(word, bool) else word


def matches(value, wanted):
    """Tell whether a fact is as expected: the ends of a range, the set of words, or the likely word or number."""
    if isinstance(value, Span):
        if isinstance(wanted, list):
            return [value.low, value.high] == pytest.approx(wanted, rel=0.02)
        return value.likely == pytest.approx(wanted, rel=0.02)
    if isinstance(wanted, list):
        return value.values == {as_written(word) for word in wanted}
    return as_written(wanted) == (value.likely or (next(iter(value.values)) if len(value.values) == 1 else None))


@pytest.mark.parametrize(("name", "place"), [*places()])
def test_ground_is_what_its_tests_say(name, place):
    piece = at(name, place["at"])
    wrong = []
    if "likely" in place and piece.slice.stratum.likely != place["likely"]:
        wrong.append(f"likely {piece.slice.stratum.likely}")
    if "soils" in place and piece.slice.stratum.soils != set(place["soils"]):
        wrong.append(f"soils {sorted(piece.slice.stratum.soils)}")
    for fact, wanted in place.get("facts", {}).items():
        if not matches(piece.sheet.value(fact), wanted):
            wrong.append(f"{fact} {piece.sheet.value(fact)}")
    for state, wanted in place.get("states", {}).items():
        found = piece.verdicts[state]
        if found.state not in WORDS.get(as_written(wanted), {wanted}):
            wrong.append(f"{state} {found.state} by {found.rules}, {found.should}")
    for key, wanted in (("cautions", True), ("silent", False)):
        wrong += [f"{rule}: {wanted} expected" for rule in place.get(key, ()) if (TRUE in piece.outcomes.of(rule)) != wanted]
    assert wrong == []


# ---- Whole plans


PLANS = read(Path(__file__).parent / "plan_cases.yaml").value["cases"]
PLAN_KEYS = (KEYS - {"places"}) | {"expect"}
IN_WORDS = ("decision", "not_decision", "stages", "not_stages", "asks")
AT_DEPTHS = ("advice", "no_advice", "barred", "allowed", "prefers")
EXPECTED = {*IN_WORDS, *AT_DEPTHS, "cautions", "silent", "texts", "proofs", "head"}


def planned(case):
    """Plan the shaft of a case; return the plan and the ground as it was judged."""
    context = context_of(case)
    return plan_shaft(context.basis, context.basis.site.borings[0], context.shaft, context), context.ground


def otherwise_in_words(plan, expect):
    """Give what decision, stages, questions, cautions and proofs of a plan say otherwise than expected."""
    texts = {
        "decision": spell(plan.decision, "si"),
        "stages": " ".join(spell(stage.text, "si") for stage in plan.stages),
        "asks": " ".join(spell(gap.question, "si") for gap in plan.gaps),
    }
    for key in IN_WORDS:
        text, wanted = texts[key.removeprefix("not_")], not key.startswith("not_")
        yield from (f"{word!r}: {wanted} in {text!r}" for word in expect.get(key, ()) if (word in text) != wanted)
    given = {caution.rule: spell(caution.text, "si") for caution in plan.cautions}
    yield from (f"no caution {rule}" for rule in expect.get("cautions", ()) if rule not in given)
    yield from (f"caution {rule}" for rule in expect.get("silent", ()) if rule in given)
    for rule, words in expect.get("texts", {}).items():
        yield from (f"{rule} does not say {word!r}: {given.get(rule)}" for word in words if word not in given.get(rule, ""))
    results = {check.id: check.result for check in plan.checks}
    yield from (f"{name} {results.get(name)}" for name, result in expect.get("proofs", {}).items() if results.get(name) != result)
    if "head" in expect and (plan.slurry is None or plan.slurry.head_m < expect["head"]):
        yield f"head {plan.slurry and plan.slurry.head_m}"


def otherwise_at_depths(ground, expect):
    """Give what the rules answer otherwise than expected at a depth."""
    for key in AT_DEPTHS:
        if key not in expect:
            continue
        depth_m, *rest = expect[key]
        verdicts = next(piece.verdicts for piece in ground.slices if piece.top_m <= depth_m < piece.base_m)
        if key == "prefers":
            if verdicts[rest[0]].points <= verdicts[rest[1]].points:
                yield f"{rest[0]} is not preferred to {rest[1]}"
        elif key in {"advice", "no_advice"}:
            if (rest[1] in verdicts[rest[0]].should) != (key == "advice"):
                yield f"{key} {rest}: {verdicts[rest[0]].should}"
        else:
            wanted = "ruled_out" if key == "barred" else "allowed"
            yield from (f"{state} is {verdicts[state].state}" for state in rest[0] if verdicts[state].state != wanted)


@pytest.mark.parametrize("case", PLANS, ids=[case["case"] for case in PLANS])
def test_plan_does_what_the_rule_says(case):
    assert case.keys() <= PLAN_KEYS
    assert case["expect"].keys() <= EXPECTED
    assert case["why"].endswith(".")
    plan, ground = planned(case)
    assert [*otherwise_in_words(plan, case["expect"]), *otherwise_at_depths(ground, case["expect"])] == []


@pytest.mark.parametrize("name", ["silt-that-goes-on-a-metre", "clay-that-goes-on-below-a-dry-boring"])
def test_what_is_said_below_the_end_of_a_log_is_verified(name):
    case = next(case for case in PLANS if case["case"] == name)
    site = read_site(site_text(case), "case.yaml")[0]
    made = plan(site, shipped_rulebook())
    assert any("and no water comes" in stage.text for stage in made.shafts[0].stages)
    assert verify_plan(made, site, shipped_rulebook()) == ()
