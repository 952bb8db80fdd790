"""Relative cost: one metre drilled dry is one. The table stands in ``rules/limits.yaml``; the user's rates override it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from methodpick.plan.result import STATES

_FLUIDS = ("water", "polymer", "mineral")


@dataclass(frozen=True, slots=True)
class Costs:
    """Relative costs of one shaft; plant that is paid once is shared by ``shafts``."""

    per_m: Mapping[str, float]
    plant: Mapping[str, float]
    string: float
    casing_m: float
    permanent_m: float
    advance_m: Mapping[str, float]
    seal_test: float
    exchange: float
    tremie: float
    should_m: float
    point_m: float


def read_costs(limits: Mapping[str, float], rates: Mapping[str, Any] | None, shafts: int, at_hand: Collection[str] = ()) -> Costs:
    """Return the costs from the limits, with the user's own relative rates of the same names in their place.

    The ways of advancing casing whose plant is ``at_hand``, as the user says, need no plant brought to the site.

    >>> from collections import defaultdict
    >>> read_costs(defaultdict(lambda: 2.0), {"cost_dry_m": 1.5}, 4).per_m["dry"]
    1.5
    """

    def cost(name: str) -> float:
        own = (rates or {}).get(name)
        return float(own) if isinstance(own, (int, float)) else limits[name]

    share = 1.0 / max(1, shafts)
    ways = ("twisted", "vibrated", "driven", "oscillated")
    plant = {fluid: cost(f"cost_plant_{fluid}") * share for fluid in _FLUIDS}
    plant |= {way: 0.0 if way in at_hand else cost(f"cost_plant_{way}") * share for way in ways}
    return Costs(
        {state: cost(f"cost_{state}_m") for state in STATES},
        plant,
        cost("cost_string"),
        cost("cost_casing_m"),
        cost("cost_permanent_m"),
        {way: cost(f"cost_advance_{way}_m") for way in ways},
        cost("cost_seal_test"),
        cost("cost_exchange"),
        cost("cost_tremie"),
        cost("cost_should_m"),
        cost("cost_point_m"),
    )
