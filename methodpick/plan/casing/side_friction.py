"""The friction of the ground along a casing: where it touches, what it is once set up, and how much of it is left after some hours."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from methodpick.mechanics.casing import clay_adhesion, sand_friction
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.plan.result import Casing
from methodpick.terms import COHESIVE, CasingWay
from methodpick.vocabulary.values import Span, Value, point

TOUCH_M = 1e-6
"""Lengths shorter than this are rounding."""
CUTTING_WAYS: frozenset[CasingWay] = frozenset({"twisted", "oscillated"})
"""Ways that turn a toothed shoe, which cuts a little wider than the casing and eases the ground off it."""


@dataclass(frozen=True, slots=True)
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
    return {**touching.judged.values(), "casing_residence_h": point(hours)}


def full_friction(ground: JudgedGround, touching: TouchingLength, values: Mapping[str, Value]) -> Span:
    """Return the friction in kPa on a casing that has set up, at the middle of a length; nothing where no table tells of the ground."""
    stratum, depth = touching.judged.slice.ground, touching.middle_m
    stress = ground.curves.effective(stratum, depth)
    vertical = stress[1] if stress[1] is not None else (stress[0] + stress[2]) / 2
    if stratum.su is not None and touching.judged.slice.stratum.likely in COHESIVE:
        low, likely, high = (
            clay_adhesion(max(su, 1.0), max(vertical, 1.0)) for su in (stratum.su.low, stratum.su.likely_or_middle, stratum.su.high)
        )
        return Span(low, high, likely)
    side = {name: _spread(value) for name, value in ground.tables["side_friction"].look_up(values).items()}
    if not side:
        return point(0.0)
    ends = zip(side["friction_share"], side["friction_limit_kpa"], side["friction_own_kpa"], strict=True)
    low, likely, high = (max(sand_friction(vertical, beta, limit), least) for beta, limit, least in ends)
    return Span(low, high, likely)


def set_up_share(ground: JudgedGround, values: Mapping[str, Value]) -> Span:
    """Return the share of the full friction that is there after the hours that the casing has stood."""
    low, likely, high = _spread(ground.tables["set_up"].look_up(values).get("set_up_share", point(1.0)))
    return Span(low, high, likely)


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
    return Span(left[0], left[2], left[1])


def _spread(value: Value) -> tuple[float, float, float]:
    return (value.low, value.likely_or_middle, value.high) if isinstance(value, Span) else (0.0, 0.0, 0.0)
