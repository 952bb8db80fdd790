"""What a search works on: slices, seats, relative costs, and what it may use on this site."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from methodpick.facts.gather import Gatherer
from methodpick.facts.of_site import plant_at_hand
from methodpick.facts.of_slice import WAY_PLANT
from methodpick.ground.site import Equipment, Shaft, Site
from methodpick.plan.fluid.levels import FluidLevels
from methodpick.plan.sequence.objections import Objections
from methodpick.plan.sequence.search_slices import SearchSlice, cage_hours, clean_hours
from methodpick.plan.sequence.seats import Seat
from methodpick.terms import CASING_WAYS, FLUIDS, STATES


@dataclass(frozen=True, slots=True)
class SearchCosts:
    """Relative costs of one shaft: one metre of it drilled dry is 1. Plant that is paid once is shared by all shafts of the site."""

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
    least_m: float


@dataclass(frozen=True, slots=True)
class SizeFactors:
    """By what fluid and casing add more or less to a dry metre than in a shaft of the usual size."""

    fluid: float = 1.0
    casing: float = 1.0


USUAL_SIZE = SizeFactors()
"""The costs as the rulebook has them."""


def size_factors(diameter_m: float, limits: Mapping[str, float]) -> SizeFactors:
    """Return the factors of a diameter.

    In narrower shafts fluid and casing weigh more beside the dry metre, as published lists have it; in wider ones fluid costs by its
    volume and casing by its steel. Plant is paid by the day, as long as the work takes, and keeps its share.

    >>> limits = {"size_usual_m": 1.2, "size_fluid_exponent_wide": 0.3, "size_casing_exponent_wide": 0.5}
    >>> size_factors(4.8, limits).casing
    2.0
    """
    times = diameter_m / limits["size_usual_m"]
    side = "narrow" if times < 1.0 else "wide"
    return SizeFactors(times ** limits[f"size_fluid_exponent_{side}"], times ** limits[f"size_casing_exponent_{side}"])


def read_costs(
    limits: Mapping[str, float], rates: Mapping[str, Any] | None, shafts: int, at_hand: Collection[str] = (), size: SizeFactors = USUAL_SIZE
) -> SearchCosts:
    """Return the costs from the limits at a size, with the user's own relative rates of the same names in their place as they are.

    The ways of advancing casing whose plant is ``at_hand``, as the user says, need no plant brought to the site; for the others it is
    brought once for all shafts, and hired for each.

    >>> from collections import defaultdict
    >>> read_costs(defaultdict(lambda: 2.0), {"cost_dry_m": 1.5}, 4).per_m["dry"]
    1.5
    """

    def cost(name: str, factor: float = 1.0, over: float = 0.0) -> float:
        users = (rates or {}).get(name)
        return float(users) if isinstance(users, (int, float)) else over + (limits[name] - over) * factor

    share, dry = 1.0 / max(1, shafts), cost("cost_dry_m")
    plant: dict[str, float] = {fluid: cost(f"cost_plant_{fluid}") * share for fluid in FLUIDS}
    plant.update({way: cost(f"cost_plant_{way}") * share + cost(f"cost_hire_{way}") for way in CASING_WAYS if way not in at_hand})
    plant.update(dict.fromkeys(at_hand, 0.0))
    return SearchCosts(
        per_m={
            state: dry if state == "dry" else cost(f"cost_{state}_m", size.fluid if state in FLUIDS else size.casing, limits["cost_dry_m"])
            for state in STATES
        },
        plant=plant,
        string=cost("cost_string", size.casing),
        casing_m=cost("cost_casing_m", size.casing),
        permanent_m=cost("cost_permanent_m", size.casing),
        advance_m={way: cost(f"cost_advance_{way}_m", size.casing) for way in CASING_WAYS},
        smeared_m=cost("cost_smeared_m"),
        seal_test=cost("cost_seal_test"),
        exchange=cost("cost_exchange"),
        tremie=cost("cost_tremie"),
        should_m=cost("cost_should_m"),
        point_m=cost("cost_point_m"),
        least_m=limits["relative_cost_least"],
    )


def site_costs(site: Site, shaft: Shaft, limits: Mapping[str, float]) -> SearchCosts:
    """Return the costs of a shaft of a site."""
    rates, shafts = site.rates.relative if site.rates else None, sum(each.count for each in site.shafts)
    return read_costs(limits, rates, shafts, ways_at_hand(site.site.equipment), size_factors(shaft.diameter_m, limits))


def ways_at_hand(plant: Equipment) -> tuple[str, ...]:
    """Return the ways of advancing casing whose plant the user says is on site."""
    at_hand = plant_at_hand(plant)
    return tuple(way for way in CASING_WAYS if any(at_hand[name] for name in WAY_PLANT[way]))


@dataclass(frozen=True, slots=True)
class SearchOptions:
    """What a search may use.

    ``start_m`` is the starter's shoe, ``margin_m`` how far above trouble a dry hole is given up, ``set_h`` and ``finish_h`` the hours
    until a casing holds the wall and from tip to concrete, ``fill_h`` those until a dry hole is full, ``least_run_m`` the length that is
    worth a casing or a change of method, ``least_step_m`` how far a string goes past the one around it at least. ``shaking`` says that a
    neighbour is near enough for vibrated or driven casing to go against a recommendation; ``over_water`` that no hole can be opened
    before a casing stands in the bottom; ``may_empty`` that the hole may be dug dry below a casing; ``surface_m`` from where a casing
    that goes ahead first stands in place of a starter (None where there is none); ``reach_m`` how far each way brings casing through
    undrilled ground (no limit where it is not named). ``family`` restricts the search to one way of building; it is empty where all are
    open. ``objections`` are what proofs of whole ways hold against segments.
    """

    start_m: float
    margin_m: float
    stick_up_m: float
    set_h: float
    finish_h: float
    least_run_m: float
    fill_h: float
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
        fill_h=limits["hours_fill"],
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
