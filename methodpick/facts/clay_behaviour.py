"""How clay gives way to the empty hole and to fresh concrete, as far as the rulebook says it for all clay of a site."""

from __future__ import annotations

from methodpick.mechanics.concrete import concrete_pressure, concrete_pressure_stiffened
from methodpick.records import record
from methodpick.vocabulary.values import Span


@record
class ClayBehaviour:
    """How clay gives way: to the empty hole by its rigidity, and to fresh concrete that outweighs its horizontal stress.

    ``rigidity`` is the shear modulus over the undrained strength; ``at_rest_low`` and ``at_rest_likely`` are coefficients of earth
    pressure at rest; the concrete stands from the tip up to ``concrete_top_m``. It presses with its whole weight at most, and at least as
    concrete that stiffens in a deep pour; ``whole_weight_share`` is where between the two its pressure likely lies.
    """

    rigidity: Span
    at_rest_low: float
    at_rest_likely: float
    concrete_kn_m3: float
    concrete_top_m: float
    tip_m: float
    whole_weight_share: float

    def concrete_pressure(self, depth_m: float) -> Span:
        """Return the pressure of fresh concrete at a depth."""
        height = depth_m - self.concrete_top_m
        most = concrete_pressure(self.concrete_kn_m3, height)
        least = concrete_pressure_stiffened(self.concrete_kn_m3, height, self.tip_m - self.concrete_top_m)
        return Span(least, most, least + (most - least) * self.whole_weight_share)
