"""What it takes to pull each temporary casing: its time in the ground, weight, friction along it, risk that it sticks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import pi
from typing import Literal, NamedTuple, cast

from methodpick.mechanics.casing import clay_adhesion, hanging_weight, sand_friction
from methodpick.plan.concrete.hole import TOUCH_M
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.plan.result import Casing, Extraction, Stage
from methodpick.terms import COHESIVE
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.values import Choice, Span, Value, point

_RISKS: tuple[Literal["low", "medium", "high"], ...] = ("low", "medium", "high")
_SETS = {"set_starter", "set_casing", "advance_casing"}
_PULLS = {"pull", "remove_starter"}


class _Spread(NamedTuple):
    """A number at its low, likely and high value."""

    low: float
    likely: float
    high: float


def extractions(ground: JudgedGround, casings: Sequence[Casing], stages: Sequence[Stage], shift_h: float) -> tuple[Extraction, ...]:
    """Return the pull on every temporary casing, in the order of the casings.

    Ground that a predrilled hole or a wider casing keeps off the casing gives no friction; ground that no log tells of gives
    none either, and the plan says elsewhere that it is not known.
    """
    return tuple(
        _extraction(ground, (number, casing), _touching(casing, casings, ground.slices), residence(casing, stages, shift_h))
        for number, casing in enumerate(casings, 1)
        if casing.kind != "permanent"
    )


def _extraction(
    ground: JudgedGround, numbered: tuple[int, Casing], touching: Sequence[tuple[JudgedSlice, float, float]], hours: float
) -> Extraction:
    """Return the pull on a casing, by its number, from the lengths of slices that stand against it."""
    number, casing = numbered
    low = likely = high = 0.0
    risk, where = 0, ""
    for judged, top, base in touching:
        values = {**judged.values(), "casing_residence_h": point(hours)}
        side = pi * casing.outside_diameter_m * (base - top)
        stress = _friction(ground, judged, (top + base) / 2, values)
        low, likely, high = low + side * stress.low, likely + side * stress.likely, high + side * stress.high
        if (worse := _sticking_risk(values, ground.tables["sticking"])) > risk:
            risk, where = worse, judged.slice.stratum.layer.description or judged.slice.stratum.likely
    light, heavy = hanging_weight(casing.mass_kg, ground.limits["concrete_light_kg_m3"]), hanging_weight(casing.mass_kg, 0.0)
    return Extraction(
        casing_no=number,
        kind=cast("Literal['starter', 'temporary']", casing.kind),
        residence_h=round(hours, 2),
        weight_low_kn=light,
        weight_kn=heavy,
        friction_low_kn=low,
        friction_kn=likely,
        friction_high_kn=high,
        pull_low_kn=light + low,
        pull_kn=heavy + likely,
        pull_high_kn=heavy + high,
        stuck_risk=_RISKS[risk],
        stuck_in=where,
    )


def residence(casing: Casing, stages: Sequence[Stage], shift_h: float) -> float:
    """Return the hours from when a casing starts into the ground until it is out, with a night for every shift that is full."""
    starts = [index for index, stage in enumerate(stages) if stage.action in _SETS and abs(stage.base_m - casing.base_m) < 2e-3]
    ends = [index for index, stage in enumerate(stages) if stage.action in _PULLS and abs(stage.base_m - casing.base_m) < 2e-3]
    if not starts:
        return 0.0
    work = sum(stage.hours or 0.0 for stage in stages[starts[0] : (ends[-1] if ends else len(stages) - 1) + 1])
    return work + int(work / shift_h) * max(0.0, 24.0 - shift_h)


def _touching(casing: Casing, casings: Sequence[Casing], slices: Sequence[JudgedSlice]) -> list[tuple[JudgedSlice, float, float]]:
    """Return the logged slices that stand against a casing, each with the top and base of the length along which it does."""
    kept_off = max([other.base_m for other in casings if other.outside_diameter_m > casing.outside_diameter_m], default=0.0)
    if casing.predrill_diameter_m is not None and casing.predrill_diameter_m > casing.outside_diameter_m + TOUCH_M:
        kept_off = max(kept_off, casing.predrill_base_m)
    lengths = [(judged, max(judged.top_m, kept_off), min(judged.base_m, casing.base_m)) for judged in slices if judged.logged]
    return [(judged, top, base) for judged, top, base in lengths if base - top > TOUCH_M]


def _friction(ground: JudgedGround, judged: JudgedSlice, depth_m: float, values: Mapping[str, Value]) -> _Spread:
    """Return the friction in kPa at a depth in a slice."""
    stratum = judged.slice.ground
    stress = ground.curves.effective(stratum, depth_m)
    vertical = stress[1] if stress[1] is not None else (stress[0] + stress[2]) / 2
    side = {name: _spread(value) for name, value in ground.tables["side_friction"].look_up(values).items()}
    share = _spread(ground.tables["set_up"].look_up(values).get("set_up_share", point(1.0)))
    full = [0.0, 0.0, 0.0]
    if stratum.su is not None and judged.slice.stratum.likely in COHESIVE:
        strengths = (stratum.su.low, stratum.su.likely_or_middle, stratum.su.high)
        full = [clay_adhesion(max(su, 1.0), max(vertical, 1.0)) for su in strengths]
    elif side:
        full = [
            max(sand_friction(vertical, beta, limit), least)
            for beta, limit, least in zip(side["friction_share"], side["friction_limit_kpa"], side["friction_own_kpa"], strict=True)
        ]
    return _Spread(*(friction * part for friction, part in zip(full, share, strict=True)))


def _spread(value: Value) -> _Spread:
    return _Spread(value.low, value.likely_or_middle, value.high) if isinstance(value, Span) else _Spread(0.0, 0.0, 0.0)


def _sticking_risk(values: Mapping[str, Value], table: ClassTable) -> int:
    """Return the rank of the likely risk; where none is likelier, of the worst that is possible."""
    found = table.look_up({name: values[name] for name in table.inputs if name in values}).get("stuck_risk")
    if not isinstance(found, Choice):
        return 1
    names: Sequence[str] = _RISKS
    return names.index(found.likely) if found.likely else max(names.index(word) for word in found.values)
