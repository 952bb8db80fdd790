"""The proofs of the opening stages of a way: base in clay, hours open, inflow, open water, and the bell."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from math import pi

from methodpick.plan.checks.base_failure import BaseFailureFacts, SoilPlug, compare_base_failure
from methodpick.plan.checks.bell import BellFacts, check_bell
from methodpick.plan.checks.drained_wall import OPEN_VOID, OTHER_CAVITIES, DrainedWallFacts, check_drained_wall
from methodpick.plan.checks.inflow import INFLOW_PLACEMENT, INFLOW_PUMPS, InflowFacts, check_inflow
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.open_time import OpenTimeFacts, compare_open_time
from methodpick.plan.checks.open_water import OpenWaterFacts, check_open_water
from methodpick.plan.checks.record import Compared, Unwritten, governing
from methodpick.plan.judging.slices import JudgedSlice, has_no_wall, lasting_rock
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, answer, just_above, number, su_of
from methodpick.plan.result import Stage
from methodpick.plan.result.checks import Check
from methodpick.terms import COHESIVE, FLUIDS, GRANULAR, STATES
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import NO, YES, Choice, Span, from_bool, point, sum_of

PLUG_STEP_M = 0.25
"""Step in which a plug is made longer."""


def prove_open_hole(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs of every stage that opens ground."""
    for stage in way.opening_stages():
        diameter, top = way.diameter_m(stage, ground.shaft.diameter_m), way.opens_from_m(stage)
        part = ("base", stage.no, stage.state, stage.fluid, top, stage.base_m, diameter)
        yield from ground.prove_part(part, partial(_base, ground, stage, top, diameter))
        if stage.action == "drill" and stage.state == "dry":
            yield from _time(ground, way, stage)
            yield from _pumps(ground, way, stage)
        if ground.site.site.setting == "water":
            yield from _open_water(ground, way, stage)
        if stage.action == "bell":
            yield from _bell(ground, way, stage)
    if way.placement.state == "dry":
        yield from _dry_placement(ground, way)


def _base(ground: GroundFacts, stage: Stage, top_m: float, diameter_m: float) -> Iterator[Check]:
    """Return the proof of the worst clay base of a stage that opens ground from a depth on, in a hole of a diameter."""
    pieces = [piece for piece in ground.slices(top_m, stage.base_m) if piece.slice.stratum.likely in COHESIVE]
    compared = [_base_compared(ground, piece, stage, diameter_m) for piece in pieces]
    if compared:
        worst = governing(compared)
        place = worst.heading.place
        yield worst.write(ProvedPlace(stage.no, max(top_m, place.top_m), place.base_m))


def _base_compared(ground: GroundFacts, piece: JudgedSlice, stage: Stage, diameter_m: float) -> Compared:
    """Return the comparison at the lowest clay base of a slice that a stage opens; made once for all ways with such a hole there."""
    depth, plugged = min(piece.slice.base_m, stage.base_m), stage.state == "cased_plug"
    pressed = ground.inside_kpa(stage.state, stage.fluid, depth)
    kept, key = ground.kept.bases, (piece.slice.top_m, depth, diameter_m, pressed.low, plugged)
    if key not in kept:
        facts = _base_facts(ground, piece, depth, diameter_m, pressed)
        plug = _plug(ground, facts, piece) if plugged else None
        kept[key] = compare_base_failure(replace(facts, plug=plug), ground.limits)
    return kept[key]


def _base_facts(ground: GroundFacts, piece: JudgedSlice, depth_m: float, diameter_m: float, inside_kpa: Span) -> BaseFailureFacts:
    """Return what the base of a hole in the clay of a slice hangs on."""
    return BaseFailureFacts(
        place=ProvedPlace(None, piece.slice.top_m, depth_m),
        depth_m=depth_m,
        diameter_m=diameter_m,
        su_base_kpa=su_of(piece),
        su_below_kpa=ground.mean_su_kpa(depth_m, depth_m + diameter_m) or su_of(piece),
        sensitive=answer(piece, "sensitive"),
        total_kpa=ground.total_kpa(depth_m),
        surcharge_kpa=ground.surcharge_kpa(depth_m),
        inside_kpa=inside_kpa,
    )


def plug_length(ground: GroundFacts, ends: tuple[float, float], fluid: str | None, diameter_m: float) -> float:
    """Return the length of the plug of soil that is kept in a casing while a length is dug inside it.

    At least the share of the diameter by which the shoe leads; in clay as long as its base asks for, as far as plugs go.
    """
    kept, key = ground.kept.plugs, (*ends, fluid, diameter_m)
    if key not in kept:
        kept[key] = _longest_plug(ground, ends, fluid, diameter_m)
    return kept[key]


def _longest_plug(ground: GroundFacts, ends: tuple[float, float], fluid: str | None, diameter_m: float) -> float:
    lengths = [ground.limits["shoe_lead_diameters"].value * diameter_m]
    for piece in ground.slices(*ends):
        if piece.slice.stratum.likely in COHESIVE:
            depth = min(piece.slice.base_m, ends[1])
            facts = _base_facts(ground, piece, depth, diameter_m, ground.inside_kpa("cased_plug", fluid, depth))
            plug = _plug(ground, facts, piece)
            lengths += [] if plug is None else [plug.height_m]
    return max(lengths)


def _plug(ground: GroundFacts, facts: BaseFailureFacts, piece: JudgedSlice) -> SoilPlug | None:
    """Return the shortest plug in the casing that holds a base with the recommended safety, as far as plugs go; None in unknown clay."""
    strength = su_of(piece)
    if strength is None:
        return None
    weight, adhesion = piece.slice.ground.weight, remoulded_adhesion(strength, ground.limits)

    shortest = ground.limits["shoe_lead_diameters"].value * facts.diameter_m
    longest = ground.limits["plug_most_diameters"].value * facts.diameter_m
    steps = max(1, round((longest - shortest) / PLUG_STEP_M))
    for step in range(steps + 1):
        plug = SoilPlug(min(longest, shortest + step * PLUG_STEP_M), weight, adhesion, facts.diameter_m)
        if compare_base_failure(replace(facts, plug=plug), ground.limits).result == "holds":
            break
    return plug


def remoulded_adhesion(strength: Span, limits: Mapping[str, Limit]) -> Span:
    """Return the adhesion of remoulded clay inside a casing: a share of the strength."""
    share = limits["remoulded_share"].value
    return Span(strength.low * share, strength.high * share, None if strength.likely is None else strength.likely * share)


def _time(ground: GroundFacts, way: BuiltWay, stage: Stage) -> Iterator[Check]:
    """Return the proof of the slice that stands least as long as it is open; a void that is then cased has no wall."""
    found: list[Unwritten] = []
    for piece in ground.slices(stage.top_m, stage.base_m):
        if has_no_wall(piece) and any(casing.base_m >= piece.slice.base_m for casing in way.strings):
            continue
        hours = way.hours_until_held(stage, piece.slice.top_m)
        lasting = lasting_rock(piece)
        facts = OpenTimeFacts(ProvedPlace(stage.no, stage.top_m, stage.base_m), point(hours), answer(piece, "stand_up"), lasting)
        found += compare_open_time(facts, ground.limits)
    if found:
        yield governing(found).write()


def _open_water(ground: GroundFacts, way: BuiltWay, stage: Stage) -> Iterator[Check]:
    casing = way.standing(stage)
    if stage.action == "advance_casing" and casing is None:
        return
    level = ground.gatherer.aquifers[0].level_m
    facts = OpenWaterFacts(
        place=ProvedPlace(stage.no, stage.top_m, stage.base_m),
        casing_top_m=None if casing is None else casing.top_m,
        casing_base_m=None if casing is None else casing.base_m,
        bed_m=point(0.0),
        water_level_m=level,
    )
    yield from ground.prove(check_open_water, facts)


def _bell(ground: GroundFacts, way: BuiltWay, stage: Stage) -> Iterator[Check]:
    casing = way.standing(stage)
    pieces = ground.slices(stage.top_m, stage.base_m)
    soils = frozenset[str]().union(*(answer(piece, "soil").values for piece in pieces))
    likely = {answer(piece, "soil").likely for piece in pieces}
    worst = next(iter(likely)) if len(likely) == 1 else None
    rises = [number(piece, "seepage_rise_m_h") for piece in pieces]
    most = ground.limits["dry_rise_m_h"].value
    seeps = _over(most, [rise for rise in rises if rise is not None])
    strengths = [strength for piece in pieces if (strength := su_of(piece)) is not None]
    facts = BellFacts(
        place=ProvedPlace(stage.no, stage.top_m, stage.base_m),
        bell_top_m=stage.top_m,
        deepest_shoe_m=0.0 if casing is None else casing.base_m,
        state=next(state for state in STATES if state == stage.state),
        soil=Choice(soils, worst) if soils else Choice(frozenset({"void"})),
        seeps=seeps,
        su_kpa=min(strengths, key=lambda strength: strength.low, default=None),
    )
    yield from ground.prove(check_bell, facts)


def _over(most: float, rises: Sequence[Span]) -> Choice:
    """Return whether the water rises faster than a limit over any of several lengths."""
    if any(rise.low > most for rise in rises):
        return from_bool(True)
    if all(rise.high <= most for rise in rises):
        return from_bool(False)
    known = all(rise.likely is not None for rise in rises)
    likely = YES if any(rise.likely is not None and rise.likely > most for rise in rises) else NO
    return Choice(frozenset({YES, NO}), likely if known or likely == YES else None)


def _pumps(ground: GroundFacts, way: BuiltWay, stage: Stage) -> Iterator[Check]:
    """Return the proof of the pumps in a stage that is drilled dry, down to where the inflow likely exceeds them.

    All that feeds the hole below the last sealed casing counts.
    """
    held = max((casing.base_m for casing in way.strings if casing.sealed != "no" and casing.base_m < stage.base_m - TOUCH_M), default=0.0)
    most, facts = ground.limits["pumps_most_m3_h"].value, None
    for base in (*(piece.base_m for piece in ground.slices(stage.top_m, stage.base_m)[:-1]), stage.base_m):
        facts = _inflow_facts(ground, ProvedPlace(stage.no, stage.top_m, base), held, base)
        inflow = facts.inflow_m3_h
        if inflow is not None and (inflow.low if inflow.likely is None else inflow.likely) > most:
            break
    if facts is not None:
        yield from (check for check in ground.prove(check_inflow, facts) if check.id == INFLOW_PUMPS.id)


def _dry_placement(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proof of dry placement; whether seepage carries soil is decided by rules."""
    sealed = max((casing.base_m for casing in way.strings if casing.sealed != "no"), default=0.0)
    facts = _inflow_facts(ground, ProvedPlace(None, sealed, ground.shaft.tip_m), sealed, ground.shaft.tip_m)
    yield from (check for check in ground.prove(check_inflow, facts) if check.id == INFLOW_PLACEMENT.id)


def _inflow_facts(ground: GroundFacts, place: ProvedPlace, top_m: float, base_m: float) -> InflowFacts:
    """Return what flows into the empty hole between two depths; nothing is likely where some of it is not known."""
    pieces = [piece for piece in ground.judged if top_m < piece.middle_m < base_m]
    rise = sum_of(found for piece in pieces if (found := number(piece, "seepage_rise_m_h")) is not None)
    area = pi * ground.shaft.diameter_m**2 / 4
    inflow = Span(rise.low * area, rise.high * area, None if rise.likely is None else rise.likely * area)
    return InflowFacts(place, ground.shaft.diameter_m, inflow, from_bool(False))


__all__ = ["just_above", "prove_open_hole"]


# ---- The proof of the soil that fluid holds when a cavity below it is opened


STANDS_EMPTY = frozenset({"shift", "days"})
"""Stand-up classes of ground that does not fall in with the level of the fluid."""
SOIL = COHESIVE | GRANULAR


def prove_drained_walls(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proof of the soil in the open hole above the cavity that is worst for it of those opened while only fluid holds it."""
    found: list[Check] = []
    for stage in way.opening_stages():
        held, shoe = soil_that_may_fall_in(ground, way, stage)
        if not held:
            continue
        place = ProvedPlace(stage.no, held[0][0], held[-1][1])
        for piece in filter(_is_hollow, ground.slices(stage.top_m, stage.base_m)):
            cavity_top = max(stage.top_m, piece.slice.top_m)
            found += check_drained_wall(DrainedWallFacts(place, cavity_top, answer(piece, "cavities"), takes_fluid(piece), shoe))
    if found:
        yield governing(found)


def soil_that_may_fall_in(ground: GroundFacts, way: BuiltWay, stage: Stage) -> tuple[list[tuple[float, float]], float | None]:
    """Return the lengths of soil that fall in where a stage loses its fluid; with the shoe under which they do, if it is under one."""
    held = _held_by_fluid(ground, way, stage)
    return (held, None) if held else _beside_open_shoe(ground, way, stage)


def _held_by_fluid(ground: GroundFacts, way: BuiltWay, stage: Stage) -> list[tuple[float, float]]:
    """Return the lengths of soil below the casing that stands, drilled under fluid by the end of a stage, that do not stand without it."""
    casing = way.standing(stage)
    shoe = 0.0 if casing is None else casing.base_m
    drilled = [other for other in way.opening_stages() if other.no <= stage.no and other.action == "drill" and other.state in FLUIDS]
    return [
        (max(shoe, other.top_m, piece.slice.top_m), min(other.base_m, piece.slice.base_m))
        for other in drilled
        for piece in ground.slices(max(shoe, other.top_m), max(shoe, other.base_m))
        if _falls_in(piece)
    ]


def _beside_open_shoe(ground: GroundFacts, way: BuiltWay, stage: Stage) -> tuple[list[tuple[float, float]], float | None]:
    """Return the soil over the shoe that stands when a stage begins, which comes in under it where it does not seal, and that shoe."""
    casing = way.standing(stage)
    if casing is None or casing.is_starter or casing.sealed != "no" or stage.fluid is None:
        return [], None
    piece = ground.slice_above(casing.base_m)
    return ([(piece.slice.top_m, casing.base_m)], casing.base_m) if _falls_in(piece) else ([], None)


def _falls_in(piece: JudgedSlice) -> bool:
    """Return whether a slice is soil that likely does not stand once the level of the fluid has fallen."""
    return piece.logged and piece.slice.stratum.likely in SOIL and answer(piece, "stand_up").likely not in STANDS_EMPTY


def _is_hollow(piece: JudgedSlice) -> bool:
    """Return whether a slice likely holds cavities."""
    cavities = answer(piece, "cavities")
    return piece.logged and cavities.likely_yes


def takes_fluid(piece: JudgedSlice) -> Choice:
    """Return whether cavities take the fluid: for certain where the boring lost its fluid, likely where they are an open void."""
    if answer(piece, "loss_seen").values == {YES}:
        return from_bool(True)
    return OPEN_VOID if has_no_wall(piece) else OTHER_CAVITIES
