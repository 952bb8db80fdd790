"""From the checks of a way to what they object to in the search."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from methodpick.plan.checks.bare_ground import BARE_OPENWORK
from methodpick.plan.checks.catalogue import BY_ID
from methodpick.plan.checks.drained_wall import CAVITY_TOP, DRAINED_WALL, OPEN_SHOE
from methodpick.plan.checks.dry_sand import DRY_SAND_COHESION, DRY_SAND_THICKNESS, UNSEALED_DRY
from methodpick.plan.checks.emptied_seal import EMPTIED_SEAL_RISING
from methodpick.plan.checks.fluid_window import FLUID_WALL
from methodpick.plan.checks.inflow import INFLOW_PUMPS
from methodpick.plan.checks.open_time import OPEN_TIME
from methodpick.plan.checks.pull import PULL
from methodpick.plan.checks.wall_cohesion import WALL_COHESION
from methodpick.plan.checks.wall_overload import WALL_CLOSURE, WALL_OVERLOAD
from methodpick.plan.checks.water_seat import WATER_SEAT
from methodpick.plan.proving.built_way import PULLS, BuiltWay, FluidHeld
from methodpick.plan.proving.ground_facts import TOUCH_M
from methodpick.plan.result import Casing
from methodpick.plan.result.checks import Check, CheckResult
from methodpick.plan.sequence.objections import Objection, ObjectionKind, ObjectionWeight
from methodpick.terms import CASING_WAYS, FLUIDS, STATES

WEIGHTS: Mapping[CheckResult, ObjectionWeight] = {
    "fails": "barred",
    "open_likely": "unlikely",
    "open_range": "doubtful",
    "little_margin": "discouraged",
}
NOT_OF_THE_METHOD = frozenset({"shaft", "rig", "pour", "dry_placement"})
"""What no other sequence would change: the page and its dangers say it."""


OF_ITS_SIZE = ("clearance-", "casing-wall-")
"""How the names of proofs begin that go by the wall of a casing, which is another one for each way of bringing it down."""

PREDRILLED = frozenset({WALL_OVERLOAD.id, WALL_CLOSURE.id, WALL_COHESION.id, DRY_SAND_THICKNESS.id, DRY_SAND_COHESION.id})
"""Proofs of a wall that is drilled open for a casing."""


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
        yield _about(check, "base", "barred", stage.state)


def _of_proof(check: Check, bars: set[str], weight: ObjectionWeight, way: BuiltWay) -> Iterator[Objection]:
    stage = next((stage for stage in way.stages if stage.no == check.stage), None)
    state = stage.state if stage is not None else None
    if "bare_concrete" in bars:
        yield from _of_bare_ground(check, weight)
    elif check.id == DRAINED_WALL.id:
        yield _of_drained_wall(check, weight)
    elif check.id in PREDRILLED and state is not None:
        yield _about(check, "predrill", weight, state)
    elif check.id.startswith("emptied-seal"):
        once = check.id == EMPTIED_SEAL_RISING.id  # for a casing, by the length that is emptied against advice
        yield _about(check, "seal", weight) if once else _at_shoe(check, "seal", weight, check.base_m)
    elif check.id == "starter-shoe" and state is not None:
        yield _about(check, "first_fluid", weight, state)
    elif check.id.startswith("fluid-") and state in FLUIDS:
        yield from _of_fluid(check, weight, state or "", None if stage is None else way.held_in(stage))
    elif check.id == INFLOW_PUMPS.id:
        if weight in {"barred", "unlikely"} and state is not None:  # less likely is settled by the hole itself: it is filled as it comes
            yield _about(check, "run", weight, state)
    elif check.id == UNSEALED_DRY.id:
        yield _at_shoe(check, "seal", weight, check.base_m)
        if state == "cased_dry":
            yield _about(check, "run", weight, "cased_dry")
    elif check.id == "base-failure" and state is not None:
        yield _about(check, "base", weight, state)
    elif check.id == "bell-below-casing":
        standing = max((casing.base_m for casing in way.strings), default=0.0)
        yield _at_shoe(check, "string", weight, standing)
    elif check.id.startswith("bell-"):
        yield _about(check, "bell", "unlikely" if weight == "barred" else weight)
    elif bars <= set(CASING_WAYS):
        casing = way.string_to(check.base_m)
        if casing is not None and casing.way is not None:
            yield _of_grip(check, _at_shoe(check, "way", weight, casing.base_m, casing.way), casing)
    elif bars & {"string", "pull_out", "cased_balanced", "cased_dry", "predrilled_casing"}:
        yield _of_string(check, "pull_out" if "pull_out" in bars else "string", weight, way)
    elif check.id == OPEN_TIME.id and weight == "barred" and stage is not None and state is not None:
        yield replace(_about(check, "open", weight, state), reaches_m=way.reached_until_held_m(stage, check.base_m))
    elif state in STATES:
        yield _about(check, "run", weight, state or "")


def _of_fluid(check: Check, weight: ObjectionWeight, fluid: str, held: FluidHeld | None) -> Iterator[Objection]:
    """Return the objection to ground that stands bare under a fluid: to all of it at once where no density suits both ends of it.

    What is less than likely counts by the length of it that a segment opens; of a granular wall the rules of its slices count that.
    """
    if weight in {"barred", "unlikely"} and held is not None:
        top, base = _bound(held)
        yield replace(_about(check, "bare_under", weight, fluid), top_m=top, base_m=base)
    elif check.id != FLUID_WALL.id:
        yield _about(check, "under_fluid", weight, fluid)


def _of_string(check: Check, kind: ObjectionKind, weight: ObjectionWeight, way: BuiltWay) -> Objection:
    """Return the objection to a casing or to pulling it; a shoe is checked all the way up."""
    stage = next((stage for stage in way.stages if stage.no == check.stage), None)
    base = stage.base_m if stage is not None and stage.action in PULLS else check.base_m
    casing = way.string_to(base)
    if check.id == PULL.id and casing is not None:
        return _of_grip(check, _at_shoe(check, kind, weight, base, casing.way or "set"), casing)
    if check.id.startswith(OF_ITS_SIZE) and casing is not None:
        return _at_shoe(check, kind, weight, base, casing.way or "set")
    about = _at_shoe(check, kind, weight, base)
    if check.id == WATER_SEAT.id and casing is not None:
        return replace(about, seated_from_m=round(casing.base_m - casing.advanced_m, 3))
    if kind == "pull_out":
        return replace(about, below_m=max((other.base_m for other in way.casings if other.base_m < base - TOUCH_M), default=0.0))
    return about


def _of_drained_wall(check: Check, weight: ObjectionWeight) -> Objection:
    """Return the objection to a cavity below soil that fluid holds: to the shoe that lets the soil in, else to the hole that drains."""
    shoe = check.inputs.get(OPEN_SHOE)
    if shoe is not None and shoe.low is not None:
        return _at_shoe(check, "string", weight, shoe.low)
    return replace(_about(check, "drains", weight), reaches_m=check.inputs[CAVITY_TOP].low or 0.0)


def _of_bare_ground(check: Check, weight: ObjectionWeight) -> Iterator[Objection]:
    """Return the objection to ground that meets the concrete bare.

    What is short at the likely values weighs as a likely hazard; nothing is barred, for the length can be filled or sleeved. What is
    less than likely of voids and soft clay stands in the verdicts of their rules.
    """
    if weight in {"barred", "unlikely"}:
        yield _about(check, "bare", "unlikely")
    elif check.id == BARE_OPENWORK.id:
        yield _about(check, "bare", weight)


def _about(check: Check, kind: ObjectionKind, weight: ObjectionWeight, word: str = "") -> Objection:
    """Return an objection over the length that a check protects."""
    return Objection(check=check.id, kind=kind, weight=weight, top_m=check.top_m, base_m=check.base_m, word=word)


def _at_shoe(check: Check, kind: ObjectionKind, weight: ObjectionWeight, shoe_m: float, word: str = "") -> Objection:
    """Return an objection to a shoe at a depth; it weighs as a metre."""
    return Objection(check=check.id, kind=kind, weight=weight, top_m=shoe_m - 1.0, base_m=shoe_m, word=word)


def _of_grip(check: Check, about: Objection, casing: Casing) -> Objection:
    """Return an objection to a casing with the depth from which the ground may grip one that it does not hold for.

    What is asked of the plant grows with the length that the ground grips: casing so much shorter of grip as the plant is short of what
    it needs may pass, where the top is drilled open for it first, and is proved by itself.
    """
    doubtful = about.weight in {"doubtful", "discouraged"}
    has, needed = (check.has.adverse, check.needed.adverse) if doubtful else (check.has.likely, check.needed.likely)
    if casing.way is None or has is None or not needed or has <= 0.0:
        return about
    gripped_m = casing.base_m - casing.predrill_base_m
    return replace(about, gripped_from_m=round(casing.base_m - gripped_m * min(1.0, has / needed), 3))


def _bound(held: FluidHeld) -> tuple[float, float]:
    """Return the shortest length over which the window is as it is: from what takes least to what asks for most."""
    lows = [row for row in held.by_depth if row.density_min_kg_m3 is not None]
    highs = [row for row in held.by_depth if row.density_max_kg_m3 is not None]
    depths = [max(lows, key=lambda row: row.density_min_kg_m3 or 0.0).depth_m] if lows else []
    depths += [min(highs, key=lambda row: row.density_max_kg_m3 or 0.0).depth_m] if highs else []
    return (min(depths), max(depths)) if depths else (held.top_m, held.base_m)
