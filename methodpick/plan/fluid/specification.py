"""What the specification says of a fluid: its limits with their sources, and its density in fresh and in salt water."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from methodpick.facts.sheet import FactSheet
from methodpick.mechanics.stress import GRAVITY_M_S2
from methodpick.plan.result import Citation, LimitUsed
from methodpick.vocabulary.limits import Limit


@dataclass(frozen=True, slots=True)
class SpecifiedDensity:
    """The densities that a fluid may have whatever the ground asks, with the words for each side."""

    fluid: str
    low_kg_m3: float
    high_kg_m3: float
    usual_kg_m3: float
    low_by: str
    high_by: str


def is_salt(shared: FactSheet, limits: Mapping[str, Limit]) -> bool:
    """Return whether the water of a site is salt for certain, so that the rows for salt water hold."""
    return shared.span("chloride_mg_l").low > limits["chloride_salt_mg_l"].value


def density_limits(fluid: str, limits: Mapping[str, Limit], *, salt: bool) -> tuple[Limit, Limit]:
    """Return the least and greatest density before concreting; mineral slurry and polymer have rows of their own in salt water."""
    water = "salt_" if salt else ""
    if fluid == "mineral":
        return limits[f"mineral_density_{water}min_kg_m3"], limits[f"mineral_density_{water}max_kg_m3"]
    top = limits[f"polymer_density_{water}max_kg_m3"] if fluid == "polymer" else limits["water_fluid_density_max_kg_m3"]
    return limits["water_density_kg_m3"], top


def specified_density(fluid: str, limits: Mapping[str, Limit], *, salt: bool) -> SpecifiedDensity:
    """Return the densities that the specification allows a fluid, less what concrete could no longer push out."""
    low, high = density_limits(fluid, limits, salt=salt)
    displaced = (limits["concrete_unit_weight_kn_m3"].value - limits["displacement_margin_kn_m3"].value) * 1000.0 / GRAVITY_M_S2
    high_by = f"the specification before concreting{high.beside}"
    if displaced < high.value:
        high_by = f"displacement by concrete{limits['displacement_margin_kn_m3'].beside}"
    return SpecifiedDensity(
        fluid=fluid,
        low_kg_m3=low.value,
        high_kg_m3=min(high.value, displaced),
        usual_kg_m3=limits[f"{fluid}_density_kg_m3"].value,
        low_by=f"the specification{low.beside}" if fluid == "mineral" else f"the fluid itself{low.beside}",
        high_by=high_by,
    )


def limit_used(limits: Mapping[str, Limit], name: str) -> LimitUsed:
    """Return a limit with its source, for the programme to show. Raises KeyError where the rulebook has no such limit."""
    limit = limits[name]
    return LimitUsed(
        limit=limit.name,
        value=limit.value,
        unit=limit.unit,
        source=Citation(limit.source, limit.where),
        confidence=limit.confidence,
        set_by="" if limit.origin == "base" else limit.origin,
    )


def sources_of(record: Any) -> set[str]:
    """Return the keys of all sources that stand anywhere in a record.

    >>> sources_of((Citation("statics", "whole"), [Citation("own", "")])) == {"statics", "own"}
    True
    """
    if isinstance(record, Citation):
        return {record.key}
    if isinstance(record, (tuple, list)):
        return {key for part in record for key in sources_of(part)}
    if is_dataclass(record) and not isinstance(record, type):
        return {key for field in fields(record) for key in sources_of(getattr(record, field.name))}
    return set()
