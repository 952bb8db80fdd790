"""What a search works on: slices, seats, relative costs, and what it may use on this site."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from itertools import groupby
from math import inf
from typing import Any

from methodpick.engine.rulebook import Rulebook
from methodpick.facts.gather import Gatherer
from methodpick.facts.of_site import plant_at_hand
from methodpick.facts.of_slice import WAY_PLANT, shaken_too_near
from methodpick.facts.sheet import FactSheet
from methodpick.ground.site import Equipment, Shaft, Site
from methodpick.mechanics import plant as plant_formulas
from methodpick.plan.hours import cage_hours, clean_hours, headroom_share, pour_wait_hours
from methodpick.plan.judging.slices import JudgedSlice, has_no_wall, is_massive, is_pulled_against_specification, lasting_rock, strength_kpa
from methodpick.plan.result import HoleLevels
from methodpick.plan.sequence.objections import Objections
from methodpick.plan.sequence.seats import Seat
from methodpick.records import record
from methodpick.terms import CASING_WAYS, FLUIDS, GRANULAR, OPEN_STATES, ROCK, SHAKING_WAYS, STAND_UP_CLASSES, STATES, VERDICTS
from methodpick.vocabulary.values import YES, Span

# ---- What the search sees of the ground: verdict ranks per state, penalties, stand-up time, plant. No soil mechanics here


RANK: Mapping[str, int] = {verdict: index for index, verdict in enumerate(VERDICTS)}
MADE_FLUIDS = ("polymer", "mineral")
"""Fluids that are mixed, tested, cleaned and pumped back at each shaft; water runs in by itself."""
STIFF = frozenset({"stiff", "very_stiff", "hard"})
"""Consistencies of clay whose side a casing spoils."""
ALLOWED, DISCOURAGED, DOUBTFUL, UNKNOWN, UNLIKELY, RULED_OUT = range(6)
AT_ANY_LENGTH = frozenset({"uplift", "base-instability", "inflow", "caving"})
"""Hazards that count over the shortest length: the check of a point, a running or a pressurised seam."""
SQUEEZING = frozenset({"squeezing"})
"""The hazard of clay that creeps into a hole."""


@record(guarded=False)
class SearchSlice:
    """A slice for the search.

    ``logged`` is off where the log tells nothing, so that nothing is decided. ``rank`` is the verdict of each state, ``should`` the
    number of open or true should-excludes against it, ``points`` the preferences; ``stand_h`` and ``stand_worst_h`` the likely and
    the worst stand-up time of a dry wall; ``ways`` the ways of advancing casing that are at hand and get through; ``pull`` and
    ``leave`` the verdict ranks of pulling a temporary casing and of leaving one in; ``smears`` says that it is stiff clay which must
    carry by its side, so that casing brought ahead through it does harm. ``short_counts`` are the states in which a
    hazard speaks that counts over the shortest length: water or running ground that breaks in anywhere fills the hole. ``flows`` says of
    a length of which no log tells that it runs into a dry hole if the ground above goes on, since water likely stands in it. ``no_wall``
    says that it is a void, which is crossed only to set a casing across it; ``hired`` are the ways that get through with plant that can be
    brought, whether it is likely at hand or not. ``squeezes`` says that the rules advise against every fluid that is mixed since the clay
    squeezes.
    """

    top_m: float
    base_m: float
    logged: bool
    rank: Mapping[str, int]
    should: Mapping[str, int]
    points: Mapping[str, int]
    stand_h: float
    stand_worst_h: float
    rate_m_h: float
    ways: frozenset[str]
    pull: int
    leave: int
    smears: bool = False
    short_counts: frozenset[str] = frozenset()
    flows: bool = False
    no_wall: bool = False
    hired: frozenset[str] = frozenset()
    squeezes: bool = False

    def leans_to(self, held_by: str) -> bool:
        """Return whether the rules prefer ``fluid`` to casing here, or ``casing`` to fluid."""
        fluid, casing = min(self.points["polymer"], self.points["mineral"]), self.points["cased_balanced"]
        return casing > fluid if held_by == "casing" else fluid > casing

    def without_doubtful_holes(self) -> SearchSlice:
        """Return the slice with every open hole ruled out that is in doubt."""
        rank = {state: RULED_OUT if state in OPEN_STATES and place >= DOUBTFUL else place for state, place in self.rank.items()}
        return replace(self, rank=rank)

    @property
    def length_m(self) -> float:
        """Return the length of the slice."""
        return self.base_m - self.top_m


def search_slice(judged: JudgedSlice, book: Rulebook, socket: tuple[float, float] | None = None) -> SearchSlice:
    """Return what the search sees of a judged slice of a shaft, with the top and the diameter of its socket where it has one."""
    sheet, verdicts, limits = judged.sheet, judged.verdicts, book.values
    stand, lasting = sheet.choice("stand_up"), lasting_rock(judged)
    worst = min(stand.values, key=STAND_UP_CLASSES.index)
    ranks: dict[str, int] = {state: RANK[verdicts[state].state] for state in STATES}
    near, counting = shaken_too_near(sheet, limits), book.with_hazards(AT_ANY_LENGTH)
    squeezing = book.with_hazards(SQUEEZING)
    solid = judged.slice.stratum.likely == "rock" and sheet.choice("cavities").values != {YES}
    through = [way for way in CASING_WAYS if _gets_through(sheet, way) and not solid and not (near and way in SHAKING_WAYS)]
    return SearchSlice(
        top_m=judged.top_m,
        base_m=judged.base_m,
        logged=judged.logged,
        rank=ranks,
        should={state: len(verdicts[state].should) for state in STATES},
        points={state: verdicts[state].points for state in STATES},
        stand_h=inf if lasting.likely_yes else limits[f"stand_up_{stand.likely or worst}_h"],
        stand_worst_h=inf if lasting.values == {YES} else limits[f"stand_up_{worst}_h"],
        rate_m_h=drilling_rate(judged, book, socket),
        ways=frozenset(way for way in through if any(sheet.choice(plant).likely_yes for plant in WAY_PLANT[way])),
        pull=ALLOWED if is_pulled_against_specification(judged, book) else RANK[verdicts["pull_out"].state],
        leave=RANK[verdicts["leave_in"].state],
        smears=carries_by_stiff_clay(sheet),
        short_counts=frozenset(state for state in STATES if not counting.isdisjoint((*verdicts[state].rules, *verdicts[state].open_musts))),
        squeezes=all(not squeezing.isdisjoint(verdicts[fluid].should) for fluid in MADE_FLUIDS),
        flows=not judged.logged and flows_if_it_goes_on(judged),
        no_wall=has_no_wall(judged),
        hired=frozenset(way for way in through if any(YES in sheet.choice(plant).values for plant in WAY_PLANT[way])),
    )


def flows_if_it_goes_on(judged: JudgedSlice) -> bool:
    """Return whether a slice runs into a dry hole if the ground above goes on: grains without binder, not likely above water."""
    ground, position = judged.counted_as.sheet, judged.sheet.choice("water_position")
    held = ground.choice("cemented").likely_yes or ground.choice("plastic_fines").likely_yes
    return ground.choice("soil").likely in GRANULAR and not held and position.likely != "above" and "below" in position.values


def carries_by_stiff_clay(sheet: FactSheet) -> bool:
    """Return whether a slice is likely stiff clay on whose side the design likely counts."""
    if sheet.choice("soil").likely != "clay":
        return False
    return sheet.choice("consistency").likely in STIFF and sheet.choice("counts_side_resistance").likely_yes


def without_short_hazards(slices: Sequence[SearchSlice], least_m: float) -> tuple[SearchSlice, ...]:
    """Return slices in which a state that is in doubt over less than a length in a row is no worse than discouraged there.

    No driller can tell such a length from its neighbour. What is ruled out for certain stays so, and so does what counts at any length.
    """
    ranks = [dict(piece.rank) for piece in slices]
    for state in STATES:
        for first, last in _runs_in_doubt(slices, state):
            run = slices[first:last]
            counts = any(piece.rank[state] == RULED_OUT or state in piece.short_counts for piece in run)
            if not counts and sum(piece.length_m for piece in run) < least_m:
                for index in range(first, last):
                    ranks[index][state] = DISCOURAGED
    return tuple(piece if rank == piece.rank else replace(piece, rank=rank) for piece, rank in zip(slices, ranks, strict=True))


def _runs_in_doubt(slices: Sequence[SearchSlice], state: str) -> Iterator[tuple[int, int]]:
    """Return the ends of every run of slices in which a state is worse than discouraged."""
    for doubt, run in groupby(range(len(slices)), key=lambda index: slices[index].logged and slices[index].rank[state] > DISCOURAGED):
        places = list(run)
        if doubt:
            yield places[0], places[-1] + 1


def drilling_hours(slices: Iterable[SearchSlice], top_m: float, base_m: float) -> float:
    """Return the hours to drill from one depth to another."""
    return sum(
        (min(piece.base_m, base_m) - max(piece.top_m, top_m)) / piece.rate_m_h
        for piece in slices
        if piece.base_m > top_m and piece.top_m < base_m
    )


def drilling_rate(judged: JudgedSlice, book: Rulebook, socket: tuple[float, float] | None) -> float:
    """Return the metres drilled in an hour: by the ground, rock by its strength and quality, at the diameter and the depth of the slice.

    A socket, given by its top and its diameter, is drilled at its own. Ground that no log tells of is drilled as if that above went on.
    Under low headroom a short kelly and short tools take longer.
    """
    ground, limits, drilled_m = judged.counted_as, book.values, judged.sheet.span("diameter_m").high
    if socket is not None and judged.middle_m > socket[0]:
        drilled_m = min(drilled_m, socket[1])
    rock = ground.slice.stratum.likely == "rock" and strength_kpa(ground) is not None
    found = ground.look_up(book.tables["rock_rate" if rock else "drilling_rate"]).get("rock_rate_m_h" if rock else "drilling_rate_m_h")
    likely = found.likely if isinstance(found, Span) and found.likely is not None else limits["drilling_rate_unknown_m_h"]
    in_rock = ground.slice.stratum.likely in ROCK
    share = limits["massive_rate_share"] if in_rock and is_massive(ground, limits) else 1.0
    exponent = limits["rate_exponent_rock" if in_rock else "rate_exponent_soil"]
    bite, hoist = limits["rate_bite_m"], limits["rate_hoist_m_h"]
    rate = max(likely * share, limits["drilling_rate_least_m_h"])
    free = plant_formulas.drilling_rate(rate, drilled_m, judged.middle_m, exponent, bite, hoist)
    return free * headroom_share(judged.sheet.span("headroom_m").likely, limits)


def _gets_through(sheet: FactSheet, way: str) -> bool:
    """Return whether a way of advancing is likely to get through here."""
    return sheet.choice(f"penetrable_{way}").likely_yes


# ---- What a search works on: slices, seats, relative costs, and what it may use on this site


@record
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

    def of_string(self, length_m: float) -> float:
        """Return the cost of a string of casing of a length in m, before it is drilled for."""
        return self.string + self.casing_m * length_m


@record
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
    brought once for all shafts, and hired for each. The plant of a fluid is brought once, and each hole is filled with what is mixed.

    >>> from collections import defaultdict
    >>> read_costs(defaultdict(lambda: 2.0), {"cost_dry_m": 1.5}, 4).per_m["dry"]
    1.5
    """

    def cost(name: str, factor: float = 1.0, over: float = 0.0) -> float:
        users = (rates or {}).get(name)
        return float(users) if isinstance(users, (int, float)) else over + (limits[name] - over) * factor

    share, dry = 1.0 / max(1, shafts), cost("cost_dry_m")
    plant: dict[str, float] = {fluid: cost(f"cost_plant_{fluid}") * share for fluid in FLUIDS}
    plant.update({fluid: plant[fluid] + cost("cost_fill") for fluid in MADE_FLUIDS})
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


def site_costs(site: Site, shaft: Shaft, limits: Mapping[str, float], shafts: int | None = None) -> SearchCosts:
    """Return the costs of a shaft of a site, whose shafts share the plant that is brought; or as many ``shafts`` as are given."""
    rates = site.rates.relative if site.rates else None
    shafts = sum(each.count for each in site.shafts) if shafts is None else shafts
    return read_costs(limits, rates, shafts, ways_at_hand(site.site.equipment), size_factors(shaft.diameter_m, limits))


def ways_at_hand(plant: Equipment) -> tuple[str, ...]:
    """Return the ways of advancing casing whose plant the user says is on site."""
    at_hand = plant_at_hand(plant)
    return tuple(way for way in CASING_WAYS if any(at_hand[name] for name in WAY_PLANT[way]))


@record
class SearchOptions:
    """What a search may use.

    ``start_m`` is the starter's shoe, ``dry_start_m`` that of a hole that stays dry, where it may end above the other;
    ``margin_m`` how far above trouble a dry hole is given up, ``set_h`` and ``finish_h`` the hours until a casing holds the wall and from
    tip to concrete, ``fill_h`` those until a dry hole is full, ``least_run_m`` the length that is worth a casing or a change of method,
    ``least_step_m`` how far a string goes past the one around it at least. ``shaking`` says that a neighbour is near enough for vibrated
    or driven casing to go against a recommendation; ``over_water`` that no hole can be opened
    before a casing stands in the bed; ``may_empty`` that the hole may be dug dry below a casing; ``surface_m`` from where a casing
    that goes ahead first stands in place of a starter (None where there is none), ``predug_m`` to where the ground is dug out for it as for
    a starter of the usual length; ``reach_m`` how far each way brings casing through
    undrilled ground (no limit where it is not named); ``one_diameter`` that no casing stands in another, nor in a starter. ``family``
    restricts the search to one way of building; it is empty where all are
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
    one_diameter: bool = False
    surface_m: float | None = None
    dry_start_m: float | None = None
    predug_m: float = 0.0
    reach_m: Mapping[str, float] = field(default_factory=dict)
    family: str = ""
    objections: Objections = field(default_factory=Objections)


def search_options(gatherer: Gatherer, levels: HoleLevels, most_strings: int) -> SearchOptions:
    """Return what the search may use on a site."""
    site, shaft, limits = gatherer.frame.site, gatherer.frame.shaft, gatherer.frame.limits
    near = bool(site.neighbours) and gatherer.base.span("neighbour_distance_m").high < limits["vibration_distance_m"]
    return SearchOptions(
        start_m=levels.starter_base_m,
        margin_m=limits["introduce_margin_m"],
        stick_up_m=-levels.casing_top_m,
        set_h=limits["hours_casing_in"],
        finish_h=clean_hours(shaft, limits) + cage_hours(shaft, limits) + pour_wait_hours(shaft, limits),
        least_run_m=limits["run_least_m"],
        fill_h=limits["hours_fill"],
        least_step_m=limits["string_step_least_m"],
        most_strings=most_strings,
        ways=tuple(way for way in CASING_WAYS if any(YES in gatherer.base.choice(plant).values for plant in WAY_PLANT[way])),
        shaking=near,
        reach_m={way: limits[f"reach_{way}_m"] for way in CASING_WAYS},
        over_water=site.setting == "water",
        surface_m=levels.surface_m,
        dry_start_m=levels.dry_starter_base_m,
        predug_m=levels.predug_m(limits["starter_max_m"]),
        temporary="temporary_casing" in site.allowed,
        permanent="permanent_casing" in site.allowed,
    )


@record
class SearchInput:
    """All that a search works on."""

    slices: tuple[SearchSlice, ...]
    seats: tuple[Seat, ...]
    costs: SearchCosts
    options: SearchOptions

    def with_hired_plant(self) -> SearchInput:
        """Return the same search with all plant for casing that the site does not rule out, whether it is likely at hand or not.

        Over open water no casing is emptied then: that is left to plant that the site names.
        """
        slices = tuple(replace(piece, ways=piece.ways | piece.hired) for piece in self.slices)
        options = replace(self.options, may_empty=self.options.may_empty and not self.options.over_water)
        return replace(self, slices=slices, options=options)

    def of_family(self, family: str) -> SearchInput:
        """Return the same search restricted to one family of ways to build."""
        return replace(self, options=replace(self.options, family=family))
