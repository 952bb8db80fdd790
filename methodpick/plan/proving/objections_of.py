"""From the checks of a way to what they object to in the search."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from methodpick.plan.checks.catalogue import BY_ID
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.result import Slurry
from methodpick.plan.result.checks import Check, CheckResult
from methodpick.plan.sequence.objections import Kind, Objection, Weight
from methodpick.terms import CASING_WAYS, FLUIDS, STATES

WEIGHTS: Mapping[CheckResult, Weight] = {
    "fails": "barred",
    "open_likely": "unlikely",
    "open_range": "doubtful",
    "little_margin": "discouraged",
}
PULLS = frozenset({"pull", "remove_starter"})
NOT_OF_THE_METHOD = frozenset({"shaft", "rig", "pour", "dry_placement"})
"""What no other sequence would change: the page and its dangers say it."""


def objections_of(checks: Iterable[Check], way: BuiltWay) -> Iterator[Objection]:
    """Return what the checks of a way object to; a check that is unknown is asked about and objects to nothing."""
    for check in checks:
        weight = WEIGHTS.get(check.result)
        if weight is None:
            continue
        if check.rule is not None and check.id == check.rule:
            if weight == "barred":
                yield from _of_rule(check, way)
            continue
        bars = set[str](BY_ID[check.id].bars)
        if bars <= NOT_OF_THE_METHOD:
            continue
        yield from _of_proof(check, bars, weight, way)


def _of_rule(check: Check, way: BuiltWay) -> Iterator[Objection]:
    """Return the objection of a rule that bars at the likely values already; whatever else it says stands in the verdicts."""
    stage = next(stage for stage in way.stages if stage.no == check.stage)
    if stage.state is not None:
        yield Objection(check.id, "base", "barred", check.top_m, check.base_m, stage.state)


def _of_proof(check: Check, bars: set[str], weight: Weight, way: BuiltWay) -> Iterator[Objection]:
    stage = next((stage for stage in way.stages if stage.no == check.stage), None)
    state = stage.state if stage is not None else None
    if check.id.startswith("emptied-seal"):
        yield Objection(check.id, "seal", weight, check.base_m - 1.0, check.base_m)
    elif check.id == "starter-shoe" and state is not None:
        yield Objection(check.id, "first_fluid", weight, check.top_m, check.base_m, state)
    elif check.id.startswith("fluid-") and state in FLUIDS:
        slurry = next(one for one in way.slurries if one.fluid == state)
        top, base = _bound(slurry)
        yield Objection(check.id, "run", weight, top, base, slurry.fluid)
    elif check.id == "base-failure" and state is not None:
        yield Objection(check.id, "base", weight, check.top_m, check.base_m, state)
    elif check.id == "bell-below-casing":
        standing = max((casing.base_m for casing in way.strings), default=0.0)
        yield Objection(check.id, "string", weight, standing - 1.0, standing)
    elif check.id.startswith("bell-"):
        yield Objection(check.id, "bell", "unlikely" if weight == "barred" else weight, check.top_m, check.base_m)
    elif bars <= set(CASING_WAYS):
        casing = next((one for one in way.strings if abs(one.base_m - check.base_m) < 2e-3), None)
        if casing is not None and casing.way is not None:
            yield Objection(check.id, "way", weight, casing.base_m - 1.0, casing.base_m, casing.way)
    elif bars & {"string", "pull_out", "cased_balanced", "cased_dry", "predrilled_casing"}:
        kind: Kind = "pull_out" if "pull_out" in bars else "string"
        base = stage.base_m if stage is not None and stage.action in PULLS else check.base_m  # a shoe is checked all the way up
        casing = next((one for one in way.strings if abs(one.base_m - base) < 2e-3), None)
        word = (casing.way or "set") if check.id == "pull" and casing is not None else ""
        yield Objection(check.id, kind, weight, base - 1.0, base, word)
    elif state in STATES:
        yield Objection(check.id, "run", weight, check.top_m, check.base_m, state or "")


def _bound(slurry: Slurry) -> tuple[float, float]:
    """Return the shortest length over which the window is as it is: from what takes least to what asks for most."""
    lows = [row for row in slurry.by_depth if row.density_min_kg_m3 is not None]
    highs = [row for row in slurry.by_depth if row.density_max_kg_m3 is not None]
    depths = [max(lows, key=lambda row: row.density_min_kg_m3 or 0.0).depth_m] if lows else []
    depths += [min(highs, key=lambda row: row.density_max_kg_m3 or 0.0).depth_m] if highs else []
    return (min(depths), max(depths)) if depths else (slurry.top_m, slurry.base_m)
