"""A way of building as the proofs see it: stages, casings, fluids, placement and concrete, and what stands when."""

from __future__ import annotations

from typing import Protocol

from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.proving.ground_facts import TOUCH_M
from methodpick.plan.result import Casing, Concrete, DensityAt, Placement, Stage
from methodpick.records import record

OPENS = frozenset({"drill", "advance_casing", "set_casing", "bell"})
"""Actions that open ground."""
SETS = frozenset({"set_casing", "advance_casing"})
PULLS = frozenset({"pull", "remove_starter"})


class FluidHeld(Protocol):
    """What the proofs ask of a length that fluid holds: where it stands, how dense it is, and what the ground asks by depth."""

    @property
    def fluid(self) -> str:
        """Return the fluid."""

    @property
    def top_m(self) -> float:
        """Return the top of the length."""

    @property
    def base_m(self) -> float:
        """Return the base of the length."""

    @property
    def level_m(self) -> float:
        """Return the level of the fluid."""

    @property
    def density_min_kg_m3(self) -> float | None:
        """Return the least density that is asked for."""

    @property
    def density_target_kg_m3(self) -> float | None:
        """Return the density that is aimed at; None in an empty window."""

    @property
    def by_depth(self) -> tuple[DensityAt, ...]:
        """Return the window by depth."""


@record
class BuiltWay:
    """A way of building, whether a search made it or a file holds it."""

    stages: tuple[Stage, ...]
    casings: tuple[Casing, ...]
    fluids: tuple[FluidHeld, ...]
    placement: Placement
    concrete: Concrete

    @property
    def strings(self) -> tuple[Casing, ...]:
        """Return the casings other than the starter, outermost first."""
        return tuple(casing for casing in self.casings if not casing.is_starter)

    @property
    def starter(self) -> Casing | None:
        """Return the starter casing."""
        return next((casing for casing in self.casings if casing.is_starter), None)

    def string_to(self, base_m: float) -> Casing | None:
        """Return the casing other than the starter that reaches to a depth."""
        return next((casing for casing in self.strings if abs(casing.base_m - base_m) < TOUCH_M), None)

    def stage_that_sets(self, casing: Casing) -> Stage | None:
        """Return the stage that brings a casing to its depth."""
        return self._stage_at(casing, SETS | {"set_starter"})

    def setting_place(self, casing: Casing) -> ProvedPlace:
        """Return the stage that brings a casing to its depth, and the length that it holds."""
        stage = self.stage_that_sets(casing)
        return ProvedPlace(None if stage is None else stage.no, max(0.0, casing.top_m), casing.base_m)

    def first_stage_under(self, held: FluidHeld) -> Stage | None:
        """Return the stage that first drills a length under its fluid."""
        return next(
            (
                stage
                for stage in self.stages
                if stage.action == "drill" and stage.state == held.fluid and held.top_m - TOUCH_M <= stage.top_m < held.base_m
            ),
            None,
        )

    def held_in(self, stage: Stage) -> FluidHeld | None:
        """Return the length that fluid holds in a stage that drills under it."""
        return next((held for held in self.fluids if held.fluid == stage.state and held.top_m - TOUCH_M <= stage.top_m < held.base_m), None)

    def stage_that_pulls(self, casing: Casing) -> Stage | None:
        """Return the stage that pulls a casing."""
        return self._stage_at(casing, PULLS)

    def _stage_at(self, casing: Casing, actions: frozenset[str]) -> Stage | None:
        return next((stage for stage in self.stages if stage.action in actions and abs(stage.base_m - casing.base_m) < TOUCH_M), None)

    def opening_stages(self) -> list[Stage]:
        """Return the stages that open ground in a known state."""
        return [stage for stage in self.stages if stage.action in OPENS and stage.state is not None]

    def opens_from_m(self, stage: Stage) -> float:
        """Return the depth below which a stage opens ground: a casing that is set opens only what nothing drilled before it."""
        if stage.action != "set_casing":
            return stage.top_m
        before = [other.base_m for other in self.opening_stages() if other.no < stage.no]
        return max(before, default=0.0 if self.starter is None else self.starter.base_m)

    def standing(self, stage: Stage) -> Casing | None:
        """Return the deepest casing that stands when a stage begins."""
        done = [other for other in self.stages if other.no < stage.no and other.action in {"set_starter", *SETS}]
        shoes = {round(other.base_m, 3) for other in done}
        there = [casing for casing in self.casings if round(casing.base_m, 3) in shoes]
        return max(there, key=lambda casing: casing.base_m, default=None)

    def diameter_m(self, stage: Stage, shaft_m: float) -> float:
        """Return the diameter of the hole that a stage opens: that of the casing that it brings down, else of the shaft."""
        if stage.action in SETS:
            casing = self.string_to(stage.base_m)
            if casing is not None:
                return casing.outside_diameter_m
        return shaft_m

    def emptied_at(self, casing: Casing) -> Stage | None:
        """Return the stage in which a casing is emptied or ground is first dug dry below its shoe; None where it stays full."""
        shoe = casing.base_m
        for stage in self.stages:
            below = stage.action == "drill" and stage.state == "dry" and abs(stage.top_m - shoe) < TOUCH_M
            bailed = stage.action == "bail" and abs(stage.base_m - shoe) < TOUCH_M
            if below or bailed:
                return stage
        return None

    def hours_until_held(self, stage: Stage, depth_m: float) -> float:
        """Return the hours from when a depth is drilled in a stage until fluid, casing or concrete holds it there.

        Fluid that is brought into the dry hole holds it when the hole is full, and a later casing that passes the depth when it is set;
        else the concrete does at the end of the pour.
        """
        length = stage.base_m - stage.top_m
        share = 1.0 if length <= 0 else (stage.base_m - max(depth_m, stage.top_m)) / length
        hours = (stage.hours or 0.0) * share
        for later in self.stages:
            if later.no <= stage.no:
                continue
            hours += later.hours or 0.0
            if self._holds(later, depth_m):
                break
        return hours

    def reached_until_held_m(self, stage: Stage, depth_m: float) -> float:
        """Return how deep the hole goes until fluid, casing or concrete holds a depth that is drilled in a stage."""
        after = [later for later in self.stages if later.no > stage.no]
        holds = next((place for place, later in enumerate(after) if self._holds(later, depth_m)), len(after))
        deepest = max((later.base_m for later in after[:holds] if later.action == "drill"), default=stage.base_m)
        held = after[holds] if holds < len(after) else None
        return max(deepest, held.base_m) if held is not None and held.action in SETS else max(deepest, stage.base_m)

    def _holds(self, later: Stage, depth_m: float) -> bool:
        """Return whether a later stage holds the wall at a depth."""
        return later.action in {"introduce_fluid", "pour"} or (later.action in SETS and later.base_m > depth_m + TOUCH_M)
