"""What the proofs of one shaft look up in its ground, and what was proved of it already."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import field
from functools import cached_property
from typing import NamedTuple, TypeVar

from methodpick.engine.compiler import FALSE, OPEN, TRUE
from methodpick.engine.rule import Rule
from methodpick.engine.rulebook import Rulebook, Threshold
from methodpick.facts.curves import INSET_M, HoleFluid
from methodpick.facts.gather import Gatherer
from methodpick.facts.strata import run_of_class
from methodpick.ground.site import Shaft, Site
from methodpick.plan.checks.fluid_window import WallCompared
from methodpick.plan.checks.record import Compared, Unwritten, gravity
from methodpick.plan.demands.ground_on_casing import ExternalPressure, external_pressure
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.plan.result import HoleLevels
from methodpick.plan.result.checks import Check, CheckResult, Ends
from methodpick.records import record
from methodpick.terms import FLUIDS, STATES
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Choice, Span, point

# ---- What a must rule that compares one fact with a limit says of a slice in a state, whatever stage opens it


LIFE = frozenset({"uplift", "base-instability"})
"""Hazards of the base: short at the likely values is short."""


class SliceComparison(NamedTuple):
    """A fact of a slice against the limit of a rule; it is written only for the worst slice of a stage, that of the greatest gravity."""

    piece: JudgedSlice
    threshold: Threshold
    value: Span
    limit: float
    has: Ends
    margin: Ends
    result: CheckResult
    gravity: tuple[int, float]


def compare_slice(piece: JudgedSlice, state: str, limits: Mapping[str, Limit]) -> Iterator[SliceComparison]:
    """Return the comparisons of all must rules that speak of a support state by one number; none where no log tells of the slice."""
    if state not in STATES or not piece.logged:
        return
    values, of_state = piece.slice_values, piece.state_values.get(state, {})
    for outcomes in (piece.outcomes, piece.state_outcomes[state]):
        for threshold in outcomes.scope.thresholds[state]:
            value = of_state.get(threshold.fact, values.get(threshold.fact))
            if isinstance(value, Span):
                limit = threshold.number if threshold.limit is None else limits[threshold.limit].value
                result = _result(threshold.rule, *outcomes.of(threshold.rule.id))
                has, margin = _ends_of(value, limit, below=threshold.below)
                yield SliceComparison(piece, threshold, value, limit, has, margin, result, gravity(result, margin))


def _ends_of(value: Span, limit: float, *, below: bool) -> tuple[Ends, Ends]:
    """Return a value at its adverse end, likely and at its best end, and what is left over the limit or up to it."""
    adverse, best, sign = (value.low, value.high, 1.0) if below else (value.high, value.low, -1.0)
    likely = None if value.likely is None else sign * (value.likely - limit)
    return Ends(adverse, value.likely, best), Ends(sign * (adverse - limit), likely, sign * (best - limit))


def _result(rule: Rule, on_range: int, at_likely: int) -> CheckResult:
    """Return what a must exclude says as a check: it speaks where the state is short."""
    if on_range == TRUE or (at_likely == TRUE and rule.hazard in LIFE):
        return "fails"
    if at_likely == TRUE:
        return "open_likely"
    if at_likely == OPEN:
        return "unknown"
    return "holds" if on_range == FALSE else "open_range"


# ---- What was proved of the ground of one shaft already, whatever stage asks: the ways through it share slices, walls and bases


SliceInState = tuple[float, str]
"""The top of a slice, and a support state."""
WallUnderFluid = tuple[str, float, float, float, float]
"""A fluid, its density and level, the top of a slice, and the depth in it."""
PlugAt = tuple[float, float, str | None, float]
"""The ends of a length that is dug in a casing, the fluid in it, and its diameter."""
BaseAt = tuple[float, float, float, float, bool]
"""The top of a slice, the depth and diameter of the hole, the pressure in it, and whether a plug of soil may be left."""

BareLength = tuple[float, float, float]
"""The top of a slice, and the ends of its length that the concrete meets bare."""


ProvedFacts = dict[tuple[object, Hashable], tuple[Check, ...]]
"""The records of whole proofs, by the proof and its facts. They hold for any ground under the same rulebook."""


@record
class KeptProofs:
    """The comparisons that were made in the ground of one shaft; they live as long as its plan is worked out.

    ``records`` are those of parts of a way, such as a stage or a fluid, by what tells such parts apart in this ground.
    ``checks`` may be shared by plans of several shafts, or of one shaft on changed sites, that are made under the same rulebook.
    """

    slices: dict[SliceInState, tuple[SliceComparison, ...]] = field(default_factory=dict)
    walls: dict[WallUnderFluid, WallCompared] = field(default_factory=dict)
    bases: dict[BaseAt, Compared] = field(default_factory=dict)
    bare: dict[BareLength, tuple[tuple[str, Unwritten], ...]] = field(default_factory=dict)
    records: dict[tuple[Hashable, ...], tuple[Check, ...]] = field(default_factory=dict)
    plugs: dict[PlugAt, float] = field(default_factory=dict)
    checks: ProvedFacts = field(default_factory=dict)


# ---- What the proofs of one shaft look up in its ground: facts by depth, stresses, strengths, the water that acts at a depth


Facts = TypeVar("Facts", bound=Hashable)
TOUCH_M = 0.002
"""Depths nearer than this are one depth: a plan is written to the millimetre."""


@record(caches=True)
class GroundFacts:
    """The judged ground of a shaft, its fluid levels and the rulebook, and what was proved of it already."""

    site: Site
    ground: JudgedGround
    levels: HoleLevels
    inside: Mapping[str, HoleFluid | None]
    kept: KeptProofs = field(default_factory=KeptProofs)

    @property
    def gatherer(self) -> Gatherer:
        """Return the gathered facts."""
        return self.ground.gatherer

    @property
    def judged(self) -> Sequence[JudgedSlice]:
        """Return the judged slices."""
        return self.ground.slices

    @property
    def book(self) -> Rulebook:
        """Return the rulebook."""
        return self.ground.book

    @property
    def shaft(self) -> Shaft:
        """Return the shaft."""
        return self.gatherer.frame.shaft

    @property
    def limits(self) -> Mapping[str, Limit]:
        """Return the limits of the rulebook."""
        return self.book.limits

    def prove(self, check: Callable[[Facts, Mapping[str, Limit]], tuple[Check, ...]], facts: Facts) -> tuple[Check, ...]:
        """Return the records of a proof; the ways through one ground share many of their facts, and each is proved once."""
        kept, key = self.kept.checks, (check, facts)
        if key not in kept:
            kept[key] = check(facts, self.limits)
        return kept[key]

    def prove_part(self, part: tuple[Hashable, ...], proofs: Callable[[], Iterator[Check]]) -> tuple[Check, ...]:
        """Return the records of a part of a way; many ways share a part, and it is proved once.

        ``part`` begins with the name of its proofs, and holds all that they read of the way.
        """
        kept = self.kept.records
        if part not in kept:
            kept[part] = tuple(proofs())
        return kept[part]

    def slice_above(self, depth_m: float) -> JudgedSlice:
        """Return the slice that ends at or holds a depth."""
        return next((piece for piece in self.judged if depth_m <= piece.slice.base_m + TOUCH_M), self.judged[-1])

    def slices(self, top_m: float, base_m: float) -> tuple[JudgedSlice, ...]:
        """Return the slices that share a length with an interval."""
        return self.ground.between(top_m, base_m, TOUCH_M)

    @cached_property
    def outside(self) -> ExternalPressure:
        """Return what presses on a casing shoe from outside while concrete stands in it."""
        return external_pressure(self.ground)

    def total_kpa(self, depth_m: float) -> Span:
        """Return the total vertical stress beside the hole."""
        low, likely, high = self.gatherer.curves.total(depth_m)
        return Span(low, high, likely)

    def surcharge_kpa(self, depth_m: float) -> Span:
        """Return what the load at the edge of the hole adds at a depth."""
        return self.gatherer.curves.surcharge(depth_m)

    def inside_of(self, state: str | None, fluid: str | None) -> HoleFluid | None:
        """Return what stands in the hole in a stage; None in a dry one."""
        if state in {None, "dry", "cased_dry"}:
            return None
        return self.inside[fluid] if fluid in FLUIDS else self.inside["water"]

    def inside_kpa(self, state: str | None, fluid: str | None, depth_m: float) -> Span:
        """Return the pressure of what stands in the hole at a depth."""
        filled = self.inside_of(state, fluid)
        return point(0.0 if filled is None else filled.pressure(depth_m))

    def water_outside_m(self, depth_m: float) -> Span | None:
        """Return the highest level of the waters that act at a depth, perched ones aside; None where none stands over it."""
        levels = [
            aquifer.level_m
            for aquifer in self.gatherer.aquifers
            if aquifer.kind != "perched" and aquifer.top_m < depth_m - TOUCH_M and aquifer.level_m.low < depth_m
        ]
        if not levels:
            return None
        likely = [level.likely for level in levels]
        low, high = min(level.low for level in levels), min(level.high for level in levels)
        known = [level for level in likely if level is not None]
        near = None if len(known) < len(likely) else min(max(min(known), low), high)
        return Span(low, max(low, high), near)

    def water_near_m(self, depth_m: float) -> Span:
        """Return the highest level of all waters of ground that reaches above a depth; the depth itself where there is none."""
        levels = [aquifer.level_m for aquifer in self.gatherer.aquifers if aquifer.top_m < depth_m - TOUCH_M]
        if not levels:
            return Span(depth_m, depth_m, depth_m)
        low, high = min(level.low for level in levels), min(level.high for level in levels)
        known = [level.likely for level in levels if level.likely is not None]
        return Span(low, max(low, high), min(max(min(known), low), high) if len(known) == len(levels) else None)

    def same_layer(self, depth_m: float) -> tuple[float, float]:
        """Return the ends of the run of neighbouring strata whose likely class is that of the stratum at a depth."""
        return run_of_class(self.gatherer.strata, depth_m)

    def mean_su_kpa(self, top_m: float, base_m: float) -> Span | None:
        """Return the mean undrained strength over a length; None where a part of it has none."""
        parts: list[tuple[float, Span]] = []
        for piece in self.slices(top_m, base_m):
            strength = su_of(piece)
            if strength is None:
                return None
            parts.append((min(piece.slice.base_m, base_m) - max(piece.slice.top_m, top_m), strength))
        length = sum(part for part, _ in parts)
        if length <= 0:
            return None
        likely = [part * su.likely for part, su in parts if su.likely is not None]
        low, high = (sum(part * end for part, end in ends) / length for ends in (_ends(parts, "low"), _ends(parts, "high")))
        return Span(low, high, sum(likely) / length if len(likely) == len(parts) else None)


def su_of(piece: JudgedSlice) -> Span | None:
    """Return the undrained strength of a slice; None where the log gives none.

    A strength that rests on an assumption has a range and no likely value: nobody's life hangs on what was assumed.
    """
    strength, fact = piece.slice.ground.su, piece.slice.sheet.facts.get("su_kpa")
    if strength is None or fact is None or not fact.assumed:
        return strength
    return Span(strength.low, strength.high)


def answer(piece: JudgedSlice, fact: str) -> Choice:
    """Return a yes/no or a word of a slice; what is not known may be any."""
    return piece.slice.sheet.choice(fact)


def number(piece: JudgedSlice, fact: str) -> Span | None:
    """Return a number of a slice; None where nothing is known of it."""
    return piece.slice.sheet.span(fact) if fact in piece.slice.sheet.facts else None


def just_above(depth_m: float) -> float:
    """Return the depth at which curves are read for a base that ends at a boundary."""
    return depth_m - INSET_M


def _ends(parts: Sequence[tuple[float, Span]], end: str) -> list[tuple[float, float]]:
    return [(part, su.low if end == "low" else su.high) for part, su in parts]
