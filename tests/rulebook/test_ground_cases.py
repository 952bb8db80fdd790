"""Ground that is not what its noun says: logs of ``ground_cases.yaml`` and what a specialist would answer at a depth in them."""

import json
from functools import cache
from pathlib import Path

import pytest
from shipped import shipped_rulebook

from methodpick.engine.compiler import TRUE
from methodpick.imports.site_file import read_site
from methodpick.plan.judging.planning_input import user_assumptions
from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.strict_yaml import read
from methodpick.vocabulary.values import Span

CASES = read(Path(__file__).parent / "ground_cases.yaml").value["cases"]
WORDS = {"yes": {"allowed", "discouraged", "doubtful"}, "no": {"ruled_out", "unlikely", "unknown"}}
KEYS = {"case", "why", "source", "site", "water", "hammer", "layers", "spt", "cores", "remarks", "diameter", "tip", "shaft", "places"}
PLACE_KEYS = {"at", "likely", "soils", "facts", "states", "cautions", "silent"}


def site_text(case):
    """Write the site file of a case: flow style YAML is JSON."""
    base = case["layers"][-1][1]
    boring = {
        "id": "B-1",
        "depth": base,
        "water": [{"reading": "piezometer", "depth": case.get("water", 2)}],
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


@cache
def judged(name):
    """Judge the ground of a case."""
    case = next(one for one in CASES if one["case"] == name)
    book = shipped_rulebook()
    site = read_site(site_text(case), "case.yaml")[0]
    basis = PlanBasis(site, book, (*user_assumptions(site, book), *book.assumptions))
    return PlanContext(basis, site.borings[0], site.shafts[0]).ground


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
