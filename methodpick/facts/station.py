"""The watched facts at one depth of a stratum, in every support state."""

from __future__ import annotations

from methodpick.facts.curves import Curve, Curves, Ground, HoleFluid, PressedLid
from methodpick.vocabulary.values import Span

SUPPORT = ("support_margin_kpa", "support_wanted_margin_kpa")
"""The two tiers of support of a granular wall: the least, with the hoop stress as the major one, and the wanted, with it at rest."""


class Station:
    """The watched facts at one depth of a stratum. What all support states share is worked out once, when it is asked for."""

    __slots__ = ("_curves", "_load", "_needed", "_pressed", "_ratios", "depth_m", "ground")

    def __init__(self, curves: Curves, ground: Ground, depth_m: float) -> None:
        """Take the depth, its ground and the curves of the shaft."""
        self._curves, self.ground, self.depth_m = curves, ground, depth_m
        self._needed: dict[str, Curve | None] = {}
        self._pressed: tuple[PressedLid, ...] | None = None
        self._load: Span | None = None
        self._ratios: dict[HoleFluid | None, Curve | None] = {}

    def needed(self, fact: str) -> Curve | None:
        """Return the support that a granular wall needs in one of the two tiers, None in other ground."""
        if fact not in self._needed:
            wanted, factors = fact == "support_wanted_margin_kpa", self._curves.loading
            factor = factors.wall_factor_recommended if wanted else factors.wall_factor_least
            self._needed[fact] = self._curves.support(self.ground, self.depth_m, factor, hoop_k0=wanted)
        return self._needed[fact]

    def _overload(self, inside: HoleFluid | None) -> Curve | None:
        """Return the overload ratio of a clay wall in a state; the surcharge is the same in all."""
        if self.ground.su is None:
            return None
        if inside not in self._ratios:
            if self._load is None:
                self._load = self._curves.surcharge(self.depth_m)
            self._ratios[inside] = self._curves.overload(self.ground, self.depth_m, inside, self._load)
        return self._ratios[inside]

    def curve(self, fact: str, inside: HoleFluid | None) -> Curve | None:
        """Return a watched fact in a state, None where it does not apply."""
        curves, ground = self._curves, self.ground
        if fact in SUPPORT:
            needed = self.needed(fact) if inside is not None else None
            if needed is None or inside is None:
                return None
            pressure = inside.pressure(self.depth_m)
            return pressure - needed[2], None if needed[1] is None else pressure - needed[1], pressure - needed[0]
        if fact == "overload_ratio":
            return self._overload(inside)
        if fact == "overload_share":
            return curves.share(self.depth_m, self._overload(inside))
        if fact == "uplift_factor":
            if self._pressed is None:
                self._pressed = curves.pressed_lids(self.depth_m, curves.lids(self.depth_m))
            return curves.uplift(self._pressed, inside.pressure(self.depth_m) if inside is not None else 0.0)
        if fact == "cohesion_margin_kpa":
            return curves.cohesion_margin(ground, self.depth_m)
        if fact == "closure_percent":
            return curves.closure(self._overload(None))
        if fact == "bulging_ratio":
            return curves.bulging(ground, self.depth_m)
        return curves.fluid_head(ground, inside)
