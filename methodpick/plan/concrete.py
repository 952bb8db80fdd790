"""Concrete: placement and why, theoretical, fill and expected volumes, the shoe balance of every pull."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import pi

from methodpick.facts.curves import GRAVITY, Inside
from methodpick.facts.gather import Gatherer
from methodpick.ground.shaft import Bell, Shaft
from methodpick.mechanics.concrete import concrete_head_needed, level_drop
from methodpick.plan.judge import Judged
from methodpick.plan.result import Casing, Concrete, Placement, PullStep
from methodpick.spoken import mark
from methodpick.vocabulary.tables import Table
from methodpick.vocabulary.values import Span


@dataclass(frozen=True, slots=True)
class Bore:
    """A length of hole as drilled: its diameter, and whether a permanent casing bounds the concrete."""

    top_m: float
    base_m: float
    diameter_m: float
    lined: bool


def bores(shaft_diameter_m: float, socket: tuple[float, float] | None, tip_m: float, casings: Sequence[Casing],
          ) -> tuple[Bore, ...]:
    """Give the hole as drilled: the casing's outside where one stood, else the shaft's own diameter."""
    cuts = {0.0, tip_m} | ({socket[0]} if socket else set())
    cuts |= {casing.base_m for casing in casings if 0.0 < casing.base_m < tip_m}
    depths = sorted(cuts)
    found = []
    for top, base in itertools.pairwise(depths):
        around = [casing for casing in casings if casing.base_m >= base - 1e-6]
        own = socket[1] if socket and top >= socket[0] - 1e-6 else shaft_diameter_m
        lined = [casing for casing in around if casing.kind == "permanent"]
        if lined:
            inner = min(lined, key=lambda casing: casing.outside_diameter_m)
            found.append(Bore(top, base, inner.outside_diameter_m - 2 * inner.wall_m, lined=True))
        elif around:
            found.append(Bore(top, base, max(casing.outside_diameter_m for casing in around), lined=False))
        else:
            found.append(Bore(top, base, own, lined=False))
    return tuple(found)


def volume(diameter_m: float, length_m: float) -> float:
    """Give the volume of a cylinder.

    >>> round(volume(1.0, 4.0), 4)
    3.1416
    """
    return pi * diameter_m**2 / 4.0 * max(0.0, length_m)


def bell_height(bell: Bell, diameter_m: float) -> float:
    """Give the height of a bell; without one on the drawing, a side of about 63 degrees is taken (own value)."""
    return bell.height_m or (bell.diameter_m - diameter_m)


def bell_volume(shaft: Shaft) -> float:
    """Give what a bell adds to the volume of the shaft, as the frustum of a cone; 0 without a bell."""
    if shaft.bell is None:
        return 0.0
    wide, narrow, height = shaft.bell.diameter_m, shaft.diameter_m, bell_height(shaft.bell, shaft.diameter_m)
    return pi * height / 12 * (wide**2 + wide * narrow + narrow**2) - volume(narrow, height)


def plan_concrete(gatherer: Gatherer, judged: Sequence[Judged], casings: Sequence[Casing], placement: Placement,
                  fluid: Inside | None, overbreak: Table, limits: Mapping[str, float]) -> Concrete:
    """Give placement, volumes and pulls. Theoretical is the design diameter from cut-off to tip."""
    shaft = gatherer.frame.shaft
    socket = (shaft.socket_top_m, shaft.socket_diameter_m) if shaft.socket_top_m and shaft.socket_diameter_m else None
    hole = bores(shaft.diameter_m, socket, shaft.tip_m, casings)
    theoretical = 0.0
    for bore in hole:
        own = socket[1] if socket and bore.top_m >= socket[0] - 1e-6 else shaft.diameter_m
        theoretical += volume(own, bore.base_m - max(bore.top_m, shaft.cutoff_m))
    fill = low = likely = high = 0.0
    for bore in hole:
        part = volume(bore.diameter_m, bore.base_m - max(bore.top_m, min(shaft.cutoff_m, bore.base_m)))
        fill += part
        spread = Span(0.0, 0.0, 0.0) if bore.lined else _overbreak(judged, bore, overbreak)
        low += part * (1 + spread.low / 100)
        likely += part * (1 + (spread.likely if spread.likely is not None else (spread.low + spread.high) / 2) / 100)
        high += part * (1 + spread.high / 100)
    more = bell_volume(shaft)
    theoretical, fill, low, likely, high = (value + more for value in (theoretical, fill, low, likely, high))
    wet = placement.state != "dry"
    bulging = [one.slice.sheet.span("bulging_ratio").likely for one in judged if "bulging_ratio" in one.slice.sheet.facts]
    worst = max((value for value in bulging if value is not None), default=None)
    return Concrete(
        "tremie" if wet else "free_fall", placement.why, theoretical, fill, low, likely, high,
        likely / limits["pour_rate_m3_h"], None if wet else shaft.tip_m - max(shaft.cutoff_m, 0.0),
        limits["tremie_embedment_m"] if wet else None, _pulls(gatherer, casings, fluid, hole, limits), worst)


def _overbreak(judged: Sequence[Judged], bore: Bore, table: Table) -> Span:
    """Give the ground overbreak of a length, the mean of its slices by their lengths; none for ground that no log tells of."""
    low = likely = high = total = 0.0
    for one in judged:
        length = min(one.slice.base_m, bore.base_m) - max(one.slice.top_m, bore.top_m)
        if length <= 0:
            continue
        found = table.look_up({name: one.slice.sheet.value(name) for name in table.inputs}).get("overbreak_percent")
        span = found if isinstance(found, Span) and one.cut.decided else Span(0.0, 0.0, 0.0)
        middle = span.likely if span.likely is not None else (span.low + span.high) / 2
        low, likely, high = low + length * span.low, likely + length * middle, high + length * span.high
        total += length
    return Span(low / total, high / total, likely / total) if total else Span(0.0, 0.0, 0.0)


def _pulls(gatherer: Gatherer, casings: Sequence[Casing], fluid: Inside | None, hole: Sequence[Bore],
           limits: Mapping[str, float]) -> tuple[PullStep, ...]:
    """Give the concrete over the shoe that every temporary casing needs before its pull, innermost first."""
    steps = []
    order = sorted((index for index, casing in enumerate(casings) if casing.kind != "permanent"),
                   key=lambda index: -casings[index].base_m)
    for index in order:
        casing = casings[index]
        shoe = casing.base_m
        outside = max((GRAVITY * 1000 * max(0.0, shoe - level) for aquifer in gatherer.aquifers
                       if aquifer.top_m <= shoe and (level := aquifer.level_m.low) < shoe), default=0.0)
        if fluid is not None:
            outside = max(outside, fluid.pressure(shoe))
        head = max(concrete_head_needed(outside, limits["concrete_unit_weight_kn_m3"], limits["shoe_margin_kpa"]),
                   min(limits["pull_head_m"], shoe))
        bore = next((one.diameter_m for one in hole if one.base_m >= shoe - 1e-6 and one.top_m < shoe), casing.outside_diameter_m)
        inside = casing.outside_diameter_m - 2 * casing.wall_m
        drop = level_drop(max(0.0, shoe), inside, max(bore, casing.outside_diameter_m))
        level = shoe - head
        note = (f"Before the pull the concrete must stand at least {mark(head, 'm')} above the shoe, that is at "
                f"{mark(max(level, casing.top_m), 'm')} depth or higher; it falls by about {mark(drop, 'm')} as the casing comes out.")
        if level < casing.top_m:
            note += " The casing is too short to hold that head: pull in steps and refill between them."
        steps.append(PullStep(index + 1, shoe, max(level, casing.top_m), drop, note))
    return tuple(steps)
