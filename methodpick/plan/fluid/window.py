"""A length that fluid holds: the window that ground and specification leave it, the density that is aimed at, and the ways out of none."""

from __future__ import annotations

from collections.abc import Iterable
from copy import copy
from functools import cached_property

from methodpick.plan.demands.bounds import KeptBounds
from methodpick.plan.demands.window_rows import GroundWindow
from methodpick.plan.fluid.remedies import find_remedies
from methodpick.plan.judging.slices import JudgedGround
from methodpick.plan.result import DensityAt, HoleLevels, Slurry
from methodpick.terms import Fluid


class HeldLength:
    """A length held by fluid: its window at the planned level at once, for the proofs; the rest of its record when that is asked for.

    ``kept`` are the bounds that other lengths of the same ground have found. ``shared_kg_m3`` are the densities that other lengths under
    the same fluid leave open too, where they leave any.
    """

    def __init__(
        self, ground: JudgedGround, fluid: Fluid, ends: tuple[float, float], levels: HoleLevels, kept: KeptBounds | None = None
    ) -> None:
        self.fluid, self.level_m = fluid, levels.fluid_m[fluid]
        self.shared_kg_m3: tuple[float, float] | None = None
        self.top_m, self.base_m = ends
        self.window = GroundWindow(ground, fluid, ends, levels, kept)

    @property
    def density_min_kg_m3(self) -> float:
        """Return the least density that the ground and the specification ask for."""
        return self.window.at_level.least

    @property
    def density_target_kg_m3(self) -> float | None:
        """Return the density that is aimed at, the same in every length under the fluid where one will do; None in an empty window."""
        if self.window.is_empty:
            return None
        least, most = self.shared_kg_m3 or self._ends
        return max(least, min(most, self.window.specified.usual_kg_m3))

    @property
    def _ends(self) -> tuple[float, float]:
        return self.window.at_level.least, self.window.at_level.most

    def sharing(self, lengths: Iterable[HeldLength]) -> HeldLength:
        """Return the length with a density that every one of several lengths under the fluid takes, itself where none does."""
        windows = [each.window.at_level for each in lengths]
        least, most = max(window.least for window in windows), min(window.most for window in windows)
        if least > most or (least, most) == self._ends:
            return self
        shared = copy(self)
        shared.shared_kg_m3 = least, most
        shared.__dict__.pop("slurry", None)
        return shared

    @property
    def by_depth(self) -> tuple[DensityAt, ...]:
        """Return the window by depth."""
        return self.window.by_depth

    @cached_property
    def slurry(self) -> Slurry:
        """Return the window as a function of the fluid level, with the way out where it is empty."""
        window, level = self.window, self.level_m
        low, high = window.specified.low_kg_m3, window.specified.high_kg_m3
        opens = window.least.open_levels(low, high, window.length.top_m) if window.is_empty else None
        return Slurry(
            fluid=self.fluid,
            top_m=self.top_m,
            base_m=self.base_m,
            level_m=level,
            head_m=window.head_m,
            density_min_kg_m3=self.density_min_kg_m3,
            density_max_kg_m3=window.at_level.most,
            density_target_kg_m3=self.density_target_kg_m3,
            governed_by=window.governed_by,
            level_that_opens_m=opens[1] if opens is not None and opens[1] < level else None,
            wall_spread=window.wall_spread,
            by_depth=self.by_depth,
            density_wanted_kg_m3=window.density_wanted_kg_m3,
            levels=window.levels,
            needed=window.needed,
            remedies=find_remedies(window.length, window.least, window.specified) if window.is_empty else (),
        )
