"""What it takes to pull each temporary casing: its time in the ground, weight, friction along it, risk that it sticks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import pi
from typing import Literal, cast

from methodpick.facts.gather import Gatherer, Slice
from methodpick.mechanics.casing import clay_adhesion, hanging_weight, sand_friction
from methodpick.plan.concrete.hole import TOUCH_M
from methodpick.plan.judging.slices import Judged
from methodpick.plan.result import Casing, Extraction, Stage
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.values import Choice, Span, Value, point

_RISKS = ("low", "medium", "high")
_SETS = {"set_starter", "set_casing", "advance_casing"}
_PULLS = {"pull", "remove_starter"}
Three = tuple[float, float, float]


def extractions(
    gatherer: Gatherer,
    judged: Sequence[Judged],
    casings: Sequence[Casing],
    stages: Sequence[Stage],
    tables: Mapping[str, ClassTable],
    shift_h: float,
) -> tuple[Extraction, ...]:
    """Return the pull on every temporary casing, in the order of the casings.

    Ground that a predrilled hole or a wider casing keeps off the casing gives no friction; ground that no log tells of gives
    none either, and the plan says elsewhere that it is not known.
    """
    found = []
    for number, casing in enumerate(casings, 1):
        if casing.kind == "permanent":
            continue
        hours = residence(casing, stages, shift_h)
        touching = [
            (one, top, base)
            for one in judged
            if one.cut.decided
            for top, base in [_touched(casing, casings, one.slice)]
            if base - top > TOUCH_M
        ]
        friction = [0.0, 0.0, 0.0]
        risk, where = 0, ""
        for one, top, base in touching:
            values = {**one.values(), "casing_residence_h": point(hours)}
            stress = _friction(gatherer, one.slice, (top, base), values, tables)
            side = pi * casing.outside_diameter_m * (base - top)
            friction = [total + side * part for total, part in zip(friction, stress, strict=True)]
            worst = _risk(values, tables["sticking"])
            if worst > risk:
                risk, where = worst, one.slice.stratum.layer.description or one.slice.stratum.likely
        light, heavy = hanging_weight(casing.mass_kg, gatherer.frame.limits["concrete_light_kg_m3"]), hanging_weight(casing.mass_kg, 0.0)
        low, likely, high = friction
        found.append(
            Extraction(
                number,
                casing.kind,
                round(hours, 2),
                light,
                heavy,
                low,
                likely,
                high,
                light + low,
                heavy + likely,
                heavy + high,
                cast("Literal['low', 'medium', 'high']", _RISKS[risk]),
                where,
            )
        )
    return tuple(found)


def residence(casing: Casing, stages: Sequence[Stage], shift_h: float) -> float:
    """Return the hours from when a casing starts into the ground until it is out, with a night for every shift that is full."""
    starts = [index for index, stage in enumerate(stages) if stage.action in _SETS and abs(stage.base_m - casing.base_m) < 2e-3]
    ends = [index for index, stage in enumerate(stages) if stage.action in _PULLS and abs(stage.base_m - casing.base_m) < 2e-3]
    if not starts:
        return 0.0
    work = sum(stage.hours or 0.0 for stage in stages[starts[0] : (ends[-1] if ends else len(stages) - 1) + 1])
    return work + int(work / shift_h) * max(0.0, 24.0 - shift_h)


def _touched(casing: Casing, casings: Sequence[Casing], one: Slice) -> tuple[float, float]:
    """Return the length of a slice along which the ground stands against the casing."""
    kept_off = max([other.base_m for other in casings if other.outside_diameter_m > casing.outside_diameter_m], default=0.0)
    if casing.predrill_diameter_m is not None and casing.predrill_diameter_m > casing.outside_diameter_m + TOUCH_M:
        kept_off = max(kept_off, casing.predrill_base_m)
    return max(one.top_m, kept_off), min(one.base_m, casing.base_m)


def _friction(
    gatherer: Gatherer, one: Slice, ends: tuple[float, float], values: Mapping[str, Value], tables: Mapping[str, ClassTable]
) -> Three:
    """Return low, likely and high friction in kPa at the middle of a length."""
    ground, depth = one.ground, (ends[0] + ends[1]) / 2
    stress = gatherer.curves.effective(ground, depth)
    vertical = stress[1] if stress[1] is not None else (stress[0] + stress[2]) / 2
    side = {name: _three(value) for name, value in tables["side_friction"].look_up(values).items()}
    share = _three(tables["set_up"].look_up(values).get("set_up_share", point(1.0)))
    full = [0.0, 0.0, 0.0]
    if ground.su is not None and one.stratum.likely in {"clay", "organic"}:
        middle = ground.su.likely if ground.su.likely is not None else (ground.su.low + ground.su.high) / 2
        full = [clay_adhesion(max(su, 1.0), max(vertical, 1.0)) for su in (ground.su.low, middle, ground.su.high)]
    elif side:
        full = [
            max(sand_friction(vertical, beta, limit), own)
            for beta, limit, own in zip(side["friction_share"], side["friction_limit_kpa"], side["friction_own_kpa"], strict=True)
        ]
    low, likely, high = (stress_ * part for stress_, part in zip(full, share, strict=True))
    return low, likely, high


def _three(value: Value) -> Three:
    if not isinstance(value, Span):
        return 0.0, 0.0, 0.0
    return value.low, value.likely if value.likely is not None else (value.low + value.high) / 2, value.high


def _risk(values: Mapping[str, Value], table: ClassTable) -> int:
    """Return the likely risk; where none is likelier, the worst that is possible."""
    found = table.look_up({name: values[name] for name in table.inputs if name in values}).get("stuck_risk")
    if not isinstance(found, Choice):
        return 1
    return _RISKS.index(found.likely) if found.likely else max(_RISKS.index(word) for word in found.values)
