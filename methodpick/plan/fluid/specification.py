"""What the specification says of the density of a fluid, in fresh and in salt water, and what concrete can still push out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from methodpick.facts.gather import Gatherer
from methodpick.mechanics.stress import GRAVITY_M_S2
from methodpick.vocabulary.limits import Limit


@dataclass(frozen=True, slots=True)
class Specified:
    """The densities that a fluid may have whatever the ground asks, with the words for each side."""

    fluid: str
    low_kg_m3: float
    high_kg_m3: float
    usual_kg_m3: float
    low_by: str
    high_by: str


def is_salt(gatherer: Gatherer, limits: Mapping[str, Limit]) -> bool:
    """Return whether the water is salt for certain, so that the rows for salt water hold."""
    return gatherer.base.span("chloride_mg_l").low > limits["chloride_salt_mg_l"].value


def density_limits(fluid: str, limits: Mapping[str, Limit], *, salt: bool) -> tuple[Limit, Limit]:
    """Return the least and greatest density before concreting; mineral slurry and polymer have rows of their own in salt water."""
    water = "salt_" if salt else ""
    if fluid == "mineral":
        return limits[f"mineral_density_{water}min_kg_m3"], limits[f"mineral_density_{water}max_kg_m3"]
    top = limits[f"polymer_density_{water}max_kg_m3"] if fluid == "polymer" else limits["water_fluid_density_max_kg_m3"]
    return limits["water_density_kg_m3"], top


def specified(fluid: str, limits: Mapping[str, Limit], *, salt: bool) -> Specified:
    """Return the densities that the specification allows a fluid, less what concrete could no longer push out."""
    low, high = density_limits(fluid, limits, salt=salt)
    pushed = (limits["concrete_unit_weight_kn_m3"].value - limits["displacement_margin_kn_m3"].value) * 1000.0 / GRAVITY_M_S2
    words = f"the specification before concreting{high.beside}"
    if pushed < high.value:
        words = f"displacement by concrete{limits['displacement_margin_kn_m3'].beside}"
    least = f"the specification{low.beside}" if fluid == "mineral" else f"the fluid itself{low.beside}"
    return Specified(fluid, low.value, min(high.value, pushed), limits[f"{fluid}_density_kg_m3"].value, least, words)
