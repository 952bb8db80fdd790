"""What it takes to pull each temporary casing: its time in the ground, weight, friction along it, risk that it sticks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import pi
from typing import Literal, cast

from methodpick.mechanics.casing import hanging_weight
from methodpick.plan.casing.side_friction import TouchingLength, eased_friction, full_friction, set_up_share, touching_lengths, values_after
from methodpick.plan.checks.inputs import multiplied
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.plan.result import Casing, Extraction, Stage
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.values import Choice, Value

_RISKS: tuple[Literal["low", "medium", "high"], ...] = ("low", "medium", "high")
_SETS = {"set_starter", "set_casing", "advance_casing"}
_PULLS = {"pull", "remove_starter"}


def extractions(ground: JudgedGround, casings: Sequence[Casing], stages: Sequence[Stage], shift_h: float) -> tuple[Extraction, ...]:
    """Return the pull on every temporary casing, in the order of the casings.

    Ground that a predrilled hole or a wider casing keeps off the casing gives no friction; ground that no log tells of gives
    none either, and the plan says elsewhere that it is not known.
    """
    return tuple(
        _extraction(ground, (number, casing), touching_lengths(casing, casings, ground.slices), residence(casing, stages, shift_h))
        for number, casing in enumerate(casings, 1)
        if casing.kind != "permanent"
    )


def _extraction(ground: JudgedGround, numbered: tuple[int, Casing], touching: Sequence[TouchingLength], hours: float) -> Extraction:
    """Return the pull on a casing, by its number, from the lengths of slices that stand against it."""
    number, casing = numbered
    low = likely = high = 0.0
    risk, where = 0, ""
    for length in touching:
        values = values_after(length, hours)
        friction = multiplied(
            eased_friction(full_friction(ground, length, values), casing.way, ground.limits), set_up_share(ground, values)
        )
        side = pi * casing.outside_diameter_m * length.length_m
        low, likely, high = low + side * friction.low, likely + side * friction.likely_or_middle, high + side * friction.high
        if (worse := _sticking_risk(values, ground.tables["sticking"])) > risk:
            risk, where = worse, _name_of(length.judged)
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
    return hours_with_nights(sum(stage.hours or 0.0 for stage in stages[starts[0] : (ends[-1] if ends else len(stages) - 1) + 1]), shift_h)


def hours_with_nights(work_h: float, shift_h: float) -> float:
    """Return the hours that some work takes by the clock, with a night for every shift that is full.

    >>> hours_with_nights(13.0, 10.0)
    27.0
    """
    return work_h + int(work_h / shift_h) * max(0.0, 24.0 - shift_h)


def _name_of(judged: JudgedSlice) -> str:
    return judged.slice.stratum.layer.description or judged.slice.stratum.likely


def _sticking_risk(values: Mapping[str, Value], table: ClassTable) -> int:
    """Return the rank of the likely risk; where none is likelier, of the worst that is possible."""
    found = table.look_up({name: values[name] for name in table.inputs if name in values}).get("stuck_risk")
    if not isinstance(found, Choice):
        return 1
    names: Sequence[str] = _RISKS
    return names.index(found.likely) if found.likely else max(names.index(word) for word in found.values)
