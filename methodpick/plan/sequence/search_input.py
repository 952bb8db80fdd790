"""What a search works on: slices, seats, relative costs, and what it may use on this site."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from methodpick.facts.gather import Gatherer
from methodpick.facts.of_site import plant_at_hand
from methodpick.facts.of_slice import WAY_PLANT
from methodpick.ground.site import Equipment, Site
from methodpick.plan.fluid.levels import FluidLevels
from methodpick.plan.sequence.activity_hours import cage_hours, clean_hours
from methodpick.plan.sequence.objections import Objections
from methodpick.plan.sequence.search_slices import SearchSlice
from methodpick.plan.sequence.seats import Seat
from methodpick.terms import CASING_WAYS, FLUIDS, STATES


@dataclass(frozen=True, slots=True)
class SearchCosts:
    """Relative costs of one shaft: one metre drilled dry is 1. Plant that is paid once is shared by all shafts of the site."""

    per_m: Mapping[str, float]
    plant: Mapping[str, float]
    string: float
    casing_m: float
    permanent_m: float
    advance_m: Mapping[str, float]
    smeared_m: float
    seal_test: float
    exchange: float
    tremie: float
    should_m: float
    point_m: float


def read_costs(limits: Mapping[str, float], rates: Mapping[str, Any] | None, shafts: int, at_hand: Collection[str] = ()) -> SearchCosts:
    """Return the costs from the limits, with the user's own relative rates of the same names in their place.

    The ways of advancing casing whose plant is ``at_hand``, as the user says, need no plant brought to the site.

    >>> from collections import defaultdict
    >>> read_costs(defaultdict(lambda: 2.0), {"cost_dry_m": 1.5}, 4).per_m["dry"]
    1.5
    """

    def cost(name: str) -> float:
        users = (rates or {}).get(name)
        return float(users) if isinstance(users, (int, float)) else limits[name]

    share = 1.0 / max(1, shafts)
    plant: dict[str, float] = {fluid: cost(f"cost_plant_{fluid}") * share for fluid in FLUIDS}
    plant.update({way: 0.0 if way in at_hand else cost(f"cost_plant_{way}") * share for way in CASING_WAYS})
    return SearchCosts(
        per_m={state: cost(f"cost_{state}_m") for state in STATES},
        plant=plant,
        string=cost("cost_string"),
        casing_m=cost("cost_casing_m"),
        permanent_m=cost("cost_permanent_m"),
        advance_m={way: cost(f"cost_advance_{way}_m") for way in CASING_WAYS},
        smeared_m=cost("cost_smeared_m"),
        seal_test=cost("cost_seal_test"),
        exchange=cost("cost_exchange"),
        tremie=cost("cost_tremie"),
        should_m=cost("cost_should_m"),
        point_m=cost("cost_point_m"),
    )


def site_costs(site: Site, limits: Mapping[str, float]) -> SearchCosts:
    """Return the costs of a shaft of a site."""
    rates = site.rates.relative if site.rates else None
    return read_costs(limits, rates, sum(shaft.count for shaft in site.shafts), ways_at_hand(site.site.equipment))


def ways_at_hand(plant: Equipment) -> tuple[str, ...]:
    """Return the ways of advancing casing whose plant the user says is on site."""
    at_hand = plant_at_hand(plant)
    return tuple(way for way in CASING_WAYS if any(at_hand[name] for name in WAY_PLANT[way]))


@dataclass(frozen=True, slots=True)
class SearchOptions:
    """What a search may use.

    ``start_m`` is the starter's shoe, ``margin_m`` how far above trouble a dry hole is given up, ``set_h`` and ``finish_h`` the
    hours until a casing holds the wall and from tip to concrete, ``least_run_m`` the length that is worth a casing or a change
    of method, ``least_step_m`` how far a string goes past the one around it at least. ``shaking`` says that a neighbour is near
    enough for vibrated or driven casing to go against a recommendation;
    ``over_water`` that no hole can be opened before a casing stands in the bottom; ``may_empty`` that the hole may be dug dry
    below a casing; ``surface_m`` from where a casing that goes ahead first stands in place of a starter (None where there is none);
    ``reach_m`` how far each way brings casing through undrilled ground (no limit where it is not named).
    ``family`` restricts the search to one way of building; it is empty where all are open. ``objections`` are what proofs of
    whole ways hold against segments.
    """

    start_m: float
    margin_m: float
    stick_up_m: float
    set_h: float
    finish_h: float
    least_run_m: float
    least_step_m: float = 0.0
    most_strings: int = 3
    fluids: tuple[str, ...] = FLUIDS
    ways: tuple[str, ...] = CASING_WAYS
    temporary: bool = True
    permanent: bool = True
    shaking: bool = False
    over_water: bool = False
    may_empty: bool = True
    surface_m: float | None = None
    reach_m: Mapping[str, float] = field(default_factory=dict)
    family: str = ""
    objections: Objections = field(default_factory=Objections)


def search_options(gatherer: Gatherer, levels: FluidLevels, most_strings: int) -> SearchOptions:
    """Return what the search may use on a site."""
    site, shaft, limits = gatherer.frame.site, gatherer.frame.shaft, gatherer.frame.limits
    near = bool(site.neighbours) and gatherer.base.span("neighbour_distance_m").high < limits["vibration_distance_m"]
    return SearchOptions(
        start_m=levels.starter_base_m,
        margin_m=limits["introduce_margin_m"],
        stick_up_m=-levels.casing_top_m,
        set_h=limits["hours_casing_in"],
        finish_h=clean_hours(shaft, limits) + cage_hours(shaft, limits) + limits["hours_pour_taken"],
        least_run_m=limits["run_least_m"],
        least_step_m=limits["string_step_least_m"],
        most_strings=most_strings,
        shaking=near,
        reach_m={way: limits[f"reach_{way}_m"] for way in CASING_WAYS},
        over_water=site.setting == "water",
        surface_m=levels.surface_m,
        temporary="temporary_casing" in site.allowed,
        permanent="permanent_casing" in site.allowed,
    )


@dataclass(frozen=True, slots=True)
class SearchInput:
    """All that a search works on."""

    slices: tuple[SearchSlice, ...]
    seats: tuple[Seat, ...]
    costs: SearchCosts
    options: SearchOptions

    def of_family(self, family: str) -> SearchInput:
        """Return the same search restricted to one family of ways to build."""
        return replace(self, options=replace(self.options, family=family))
