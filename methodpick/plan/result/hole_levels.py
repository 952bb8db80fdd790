"""What a way of building stands on: the levels of the hole, and water that wells draw down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from methodpick.records import record


@record
class HoleLevels:
    """Depths below the ground: the drilling grade (negative above it), the level of every fluid, the base of the starter.

    ``stick_up_m`` is the height of the casings over the drilling grade, ``dry_stick_up_m`` that of a starter in which no fluid ever stands,
    ``head_missing_m`` what the highest stick-up leaves of the head that the ground asks for. ``raised_m`` is the fill by which the plan
    raises the drilling grade, where the site file states none. ``dry_starter_base_m`` is the base of the starter of a hole that is dry
    from there to the tip, where that may end above what the fluids ask for; None where it may not.
    """

    grade_m: float
    fluid_m: Mapping[str, float]
    stick_up_m: float
    starter_base_m: float
    head_missing_m: float
    dry_stick_up_m: float
    raised_m: float = 0.0
    dry_starter_base_m: float | None = None

    @property
    def casing_top_m(self) -> float:
        """Return the depth of the casing tops (negative above the ground)."""
        return self.grade_m - self.stick_up_m

    @property
    def without_fluid(self) -> HoleLevels:
        """Return the same levels for a hole that is dry from the starter to the tip: the starter stands no higher than it has to."""
        return replace(self, stick_up_m=self.dry_stick_up_m)

    def dry_below(self, depth_m: float) -> HoleLevels:
        """Return the levels for a hole that is dry from the shoe of its starter to the tip: the shoe as shallow as such a hole may have it.

        It is that for the fluids where the depth is not that of the shallower one.
        """
        shallow_m = self.dry_starter_base_m
        if shallow_m is None or abs(depth_m - shallow_m) > 1e-6:
            return self.without_fluid
        return replace(self.without_fluid, starter_base_m=shallow_m)

    @property
    def floor_m(self) -> float:
        """Return the depth that is drilled from: the ground, or the floor of a pit."""
        return max(0.0, self.grade_m)

    @property
    def has_starter(self) -> bool:
        """Return whether a starter is planned; where none is, its base is the depth that is drilled from."""
        return self.starter_base_m > self.floor_m

    @property
    def surface_m(self) -> float | None:
        """Return the depth from which a casing that is brought down first stands in place of a starter; None where there is none."""
        return self.floor_m if self.has_starter else None

    def predug_m(self, usual_m: float) -> float:
        """Return to where the top is dug out for a casing in place of a starter; ``usual_m`` is the greatest usual length of a starter."""
        return min(self.starter_base_m, self.floor_m + usual_m)

    def level_of(self, fluid: str | None) -> float | None:
        """Return the level of a fluid, None without a fluid."""
        return None if fluid is None else self.fluid_m[fluid]


@record
class Drawdown:
    """Ground in which wells keep the water of one aquifer at a level, with the levels and the slices of the hole in it."""

    aquifer_top_m: float
    aquifer_base_m: float
    level_m: float
    levels: HoleLevels
    cuts_m: tuple[float, ...]
