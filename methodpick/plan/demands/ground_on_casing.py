"""What the ground does to a casing: pressure on its shoe from outside, friction along it, and what it takes to pull it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf, pi
from typing import Literal, NamedTuple, cast

from methodpick.facts.curves import HoleFluid
from methodpick.mechanics.casing import clay_adhesion, hanging_weight, sand_friction
from methodpick.mechanics.clay import capped_limit, clay_needed_pressure
from methodpick.mechanics.earth_pressure import hydrostatic
from methodpick.plan.checks.inputs import multiplied
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.plan.result import Casing, Extraction, Stage
from methodpick.records import record
from methodpick.terms import COHESIVE, CasingWay
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.values import Choice, Span, Value, ordered, point

# ---- What presses on a casing shoe from outside while concrete stands in it: groundwater, drilling fluid, soft clay


class SoftClay(NamedTuple):
    """A length of clay, with the pressure in kPa at its top and its base that it needs from inside so as not to squeeze."""

    top_m: float
    base_m: float
    top_kpa: float
    base_kpa: float


@record
class ExternalPressure:
    """The pressures outside a shoe: (top, level) of every aquifer, the fluid left around the casing, and soft clay."""

    waters: tuple[tuple[float, float], ...]
    fluid: HoleFluid | None = None
    clays: tuple[SoftClay, ...] = ()

    def pressure(self, depth_m: float, *, gap: bool) -> float:
        """Return the greatest pressure in kPa at a depth; an aquifer presses from its top down, the fluid in a gap around the casing."""
        worst = self.fluid.pressure(depth_m) if gap and self.fluid is not None else 0.0
        for top, level in self.waters:
            if top <= depth_m + 1e-9:
                worst = max(worst, hydrostatic(depth_m - level))
        for top, base, first, last in self.clays:
            if top <= depth_m <= base:
                worst = max(worst, first + (last - first) * (depth_m - top) / (base - top))
        return max(0.0, worst)

    def water_level(self, depth_m: float) -> float:
        """Return the highest water that acts at a depth, infinitely deep without one."""
        return min((level for top, level in self.waters if top <= depth_m + 1e-9), default=inf)

    def kinks(self) -> list[float]:
        """Return the depths at which the pressure bends or jumps."""
        ends = [end for clay in self.clays for end in (clay.top_m, clay.base_m)]
        return [*(depth for pair in self.waters for depth in pair), *ends]


def external_pressure(ground: JudgedGround) -> ExternalPressure:
    """Return what presses outside the shoes of a shaft, clay at its likely values.

    Waters that were read stand at their shallowest credible level, others at the likely one where there is one.
    """
    waters = tuple(
        (aquifer.top_m, aquifer.level_m.low if aquifer.read or aquifer.level_m.likely is None else aquifer.level_m.likely)
        for aquifer in ground.aquifers
    )
    curves = ground.curves
    clays = []
    for stratum in ground.grounds:
        if stratum.su is None or stratum.su.likely is None:
            continue
        top, base = stratum.top_m + 0.01, min(stratum.base_m, ground.shaft.tip_m)
        if base <= top:
            continue
        cap, strength = ground.limits["overload_cap"], stratum.su.likely
        first, last = (
            clay_needed_pressure(curves.total(depth)[1], strength, capped_limit(depth, curves.diameter_m, cap)) for depth in (top, base)
        )
        if max(first, last) > 0:
            clays.append(SoftClay(stratum.top_m, base, first, last))
    return ExternalPressure(waters, None, tuple(clays))


# ---- The friction of the ground along a casing: where it touches, what it is once set up, and how much of it is left after some hours


TOUCH_M = 1e-6
"""Lengths shorter than this are rounding."""
CUTTING_WAYS: frozenset[CasingWay] = frozenset({"twisted", "oscillated"})
"""Ways that turn a toothed shoe, which cuts a little wider than the casing and eases the ground off it."""


@record(guarded=False)
class TouchingLength:
    """A length of a slice that stands against a casing."""

    judged: JudgedSlice
    top_m: float
    base_m: float

    @property
    def length_m(self) -> float:
        """Return the length."""
        return self.base_m - self.top_m

    @property
    def middle_m(self) -> float:
        """Return the depth of the middle."""
        return (self.top_m + self.base_m) / 2


def touching_lengths(casing: Casing, casings: Sequence[Casing], slices: Sequence[JudgedSlice]) -> list[TouchingLength]:
    """Return the logged slices that stand against a casing: a wider casing or a wider predrilled hole keeps the ground off."""
    kept_off = max([other.base_m for other in casings if other.outside_diameter_m > casing.outside_diameter_m], default=0.0)
    if casing.predrill_diameter_m is not None and casing.predrill_diameter_m > casing.outside_diameter_m + TOUCH_M:
        kept_off = max(kept_off, casing.predrill_base_m)
    lengths = [TouchingLength(judged, max(judged.top_m, kept_off), min(judged.base_m, casing.base_m)) for judged in slices if judged.logged]
    return [touching for touching in lengths if touching.length_m > TOUCH_M]


def values_after(touching: TouchingLength, hours: float) -> dict[str, Value]:
    """Return the facts of a slice with the hours that the casing has stood in it."""
    return {**touching.judged.slice_values, "casing_residence_h": point(hours)}


def full_friction(ground: JudgedGround, touching: TouchingLength, values: Mapping[str, Value]) -> Span:
    """Return the friction in kPa on a casing that has set up, at the middle of a length; nothing where no table tells of the ground."""
    stratum, depth = touching.judged.slice.ground, touching.middle_m
    stress = ground.curves.effective(stratum, depth)
    vertical = stress[1] if stress[1] is not None else (stress[0] + stress[2]) / 2
    if stratum.su is not None and touching.judged.slice.stratum.likely in COHESIVE:
        low, likely, high = (
            clay_adhesion(max(su, 1.0), max(vertical, 1.0)) for su in (stratum.su.low, stratum.su.likely_or_middle, stratum.su.high)
        )
        return ordered(low, likely, high)  # strengths that lie a rounding apart need not give adhesions in their order
    side = {name: _spread(value) for name, value in ground.tables["side_friction"].look_up(values).items()}
    if not side:
        return point(0.0)
    ends = zip(side["friction_share"], side["friction_limit_kpa"], side["friction_own_kpa"], strict=True)
    return ordered(*(max(sand_friction(vertical, beta, limit), least) for beta, limit, least in ends))


def set_up_share(ground: JudgedGround, values: Mapping[str, Value]) -> Span:
    """Return the share of the full friction that is there after the hours that the casing has stood."""
    return ordered(*_spread(ground.tables["set_up"].look_up(values).get("set_up_share", point(1.0))))


def eased_friction(friction: Span, way: CasingWay | None, limits: Mapping[str, float]) -> Span:
    """Return what a shoe that cuts wider than its casing leaves of a friction; all of it for other ways.

    Teeth leave a share. Round a casing that is oscillated or rotated all the way the ground arches over the gap, and the friction stays
    below a bound that does not grow with depth.
    """
    if way not in CUTTING_WAYS:
        return friction
    shares = (limits["overcut_share_low"], limits["overcut_share"], limits["overcut_share_high"])
    left = [end * share for end, share in zip((friction.low, friction.likely_or_middle, friction.high), shares, strict=True)]
    if way == "oscillated":
        bounds = (limits["overcut_most_low_kpa"], limits["overcut_most_kpa"], limits["overcut_most_high_kpa"])
        left = [min(end, bound) for end, bound in zip(left, bounds, strict=True)]
    return ordered(*left)


def _spread(value: Value) -> tuple[float, float, float]:
    return (value.low, value.likely_or_middle, value.high) if isinstance(value, Span) else (0.0, 0.0, 0.0)


# ---- What it takes to pull each temporary casing: its time in the ground, weight, friction along it, risk that it sticks


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
