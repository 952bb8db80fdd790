"""The density of a fluid in its hole: heavy enough for the wall and the groundwater, light enough for the ground and the concrete.

Every fluid of a plan has its own window, over the length that it holds at its own level. The clay wall is a proof of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from operator import attrgetter

from methodpick.mechanics.earth_pressure import (
    WATER_KN_M3,
    cylinder_pressure,
    granular_needed_pressure,
    hydrostatic,
    k0,
    least_horizontal_stress,
    unit_weight,
)
from methodpick.mechanics.slurry import clay_opening_pressure, fluid_pressure
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import HIGHEST_FLUID, ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import FLUID_HAS, Compared, Heading, Wording, governing, make_comparison, write_comparison
from methodpick.plan.result.checks import CHECK_RESULTS, Check
from methodpick.records import record
from methodpick.terms import FLUIDS, Fluid
from methodpick.unit_markup import mark
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span, point

FLUID_SPECIFIED_LEAST = Definition(
    "fluid-specified-least", "Density, specified least", FLUIDS, "The fluid is at least as dense as the specification asks."
)
FLUID_SPECIFIED_MOST = Definition(
    "fluid-specified-most", "Density, specified most", FLUIDS, "The fluid is no denser than the specification allows before concrete."
)
FLUID_DISPLACED = Definition(
    "fluid-displaced", "Fluid lighter than concrete", FLUIDS, "Fresh concrete is heavier than the fluid by enough to push it out."
)
FLUID_WALL = Definition(
    "fluid-wall",
    "Fluid on a granular wall",
    FLUIDS,
    "The pressure of the fluid exceeds the pore water and the active pressure on the round wall.",
    rule="fluid-pressure-below-need",
)
FLUID_WATER = Definition(
    "fluid-water",
    "Slurry against groundwater",
    ("mineral",),
    "The pressure of mineral slurry exceeds that of the groundwater at the wall by the margin of the wall rule; polymer has no such rule.",
)
FLUID_OPENING = Definition(
    "fluid-opening",
    "Fluid opening the ground",
    FLUIDS,
    "The pressure of the fluid stays below that which may open the ground, at the lowest groundwater.",
)

SHALLOWEST_M = 0.05
"""Depth at which the active pressure of shallower ground is taken."""
HOLDING = {
    "density_kg_m3": "the lightest fluid",
    "fluid_level_m": "the lowest fluid level",
    "total_kpa": "the heaviest ground",
    "water_level_m": "the highest groundwater",
    "phi_deg": "the least friction",
}
OPENING = {
    "density_kg_m3": "the heaviest fluid",
    "fluid_level_m": HIGHEST_FLUID,
    "total_kpa": "the lightest ground",
    "water_level_m": "the lowest groundwater",
    "phi_deg": "the greatest friction",
    "su_kpa": "the weakest clay",
}


@record
class WallAt:
    """The wall at a depth: total vertical stress, groundwater level (None in dry ground), friction and strength.

    ``wall`` asks for the support of a granular wall, ``bears_water`` for keeping groundwater out, ``opens`` for the pressure that may
    open the ground; rock is left out of that, for fluid runs into joints at any density.
    """

    depth_m: float
    total_kpa: Span
    water_level_m: Span | None
    phi_deg: Span | None
    su_kpa: Span | None
    wall: bool
    bears_water: bool
    opens: bool


@record
class FluidWindowFacts:
    """A fluid over its length: its density and level, what the specification says of its density, and the wall by depth."""

    place: ProvedPlace
    fluid: Fluid
    diameter_m: float
    density_kg_m3: Span
    fluid_level_m: Span
    specified_least_kg_m3: Limit
    specified_most_kg_m3: Limit
    walls: tuple[WallAt, ...]
    water_kn_m3: float = WATER_KN_M3


@record
class WallCompared:
    """What a fluid does at the wall at one depth: hold it, keep the groundwater out, not open the ground; None where none is asked."""

    wall: Compared | None
    water: Compared | None
    opening: Compared | None


def check_density(facts: FluidWindowFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proofs of a density that no depth enters: specification and displacement by concrete."""
    return _specified(facts, low=True), _specified(facts, low=False), _displaced(facts, limits)


def compare_wall(facts: FluidWindowFacts, wall: WallAt, limits: Mapping[str, Limit]) -> WallCompared:
    """Return what a fluid does at the wall at one depth; the stage, the length and the other walls of the facts do not enter."""
    return WallCompared(
        _wall(facts, wall, limits) if wall.wall else None,
        _water(facts, wall, limits) if wall.bears_water and facts.fluid == "mineral" else None,
        _opening(facts, wall, limits) if wall.opens else None,
    )


def worst_of_walls(compared: Sequence[tuple[WallCompared, tuple[float, float]]], stage: int | None) -> Iterator[Check]:
    """Return the proofs at the worst depths, for a stage; each comparison comes with the length of ground that its depth stands for.

    A proof protects all of the ground where it is not certain; where it is certain everywhere, the depth at which it is worst.
    """
    for part in (attrgetter("wall"), attrgetter("water"), attrgetter("opening")):
        asked = [(comparison, ends) for at, ends in compared if (comparison := part(at)) is not None]
        if asked:
            worst = governing([comparison for comparison, _ in asked])
            yield worst.write(_protected(worst, asked, stage))


def _protected(worst: Compared, asked: Sequence[tuple[Compared, tuple[float, float]]], stage: int | None) -> ProvedPlace:
    """Return the length from the highest to the lowest ground where a proof does not hold for certain, or not with what is recommended."""
    if worst.result == "holds":
        return replace(worst.heading.place, stage=stage)
    alike = {"little_margin"} if worst.result == "little_margin" else set(CHECK_RESULTS) - {"holds", "little_margin"}
    ends = [ends for comparison, ends in asked if comparison.result in alike]
    return ProvedPlace(stage, min(top for top, _ in ends), max(base for _, base in ends))


def _specified(facts: FluidWindowFacts, *, low: bool) -> Check:
    limit = facts.specified_least_kg_m3 if low else facts.specified_most_kg_m3
    has, needed = "The density of the fluid", "specified is at least"
    if not low:
        has, needed = "The density that the specification allows", FLUID_HAS
    return write_comparison(
        Heading(
            FLUID_SPECIFIED_LEAST if low else FLUID_SPECIFIED_MOST,
            facts.place,
            limits=(limit,),
            remedy="Mix or clean the fluid until its density is as specified.",
        ),
        Wording(has, needed, "kg/m3", {"density_kg_m3": "the lightest fluid" if low else "the heaviest fluid"}),
        Comparison(
            has=lambda value: value["density_kg_m3"] if low else limit.value,
            needed=lambda value: limit.value if low else value["density_kg_m3"],
            adverse={"density_kg_m3": "low" if low else "high"},
        ),
        {"density_kg_m3": facts.density_kg_m3},
    )


def _displaced(facts: FluidWindowFacts, limits: Mapping[str, Limit]) -> Check:
    concrete, margin = limits["concrete_unit_weight_kn_m3"], limits["displacement_margin_kn_m3"]
    return write_comparison(
        Heading(
            FLUID_DISPLACED,
            facts.place,
            limits=(concrete, margin),
            remedy="Clean the fluid, or exchange it for a lighter one before the concrete.",
        ),
        Wording(
            "The weight of the concrete over that of the fluid", "pushing it out takes", "kN/m3", {"density_kg_m3": "the heaviest fluid"}
        ),
        Comparison(
            has=lambda value: concrete.value - unit_weight(value["density_kg_m3"]),
            needed=lambda _: margin.value,
            adverse={"density_kg_m3": "high"},
        ),
        {"density_kg_m3": facts.density_kg_m3},
    )


def _given(facts: FluidWindowFacts, wall: WallAt, *names: str) -> dict[str, Span | None]:
    """Return the fluid and what a proof needs of the wall; the groundwater of dry ground stands at the depth itself."""
    every = {
        "density_kg_m3": facts.density_kg_m3,
        "fluid_level_m": facts.fluid_level_m,
        "total_kpa": wall.total_kpa,
        "water_level_m": wall.water_level_m or point(wall.depth_m),
        "phi_deg": wall.phi_deg,
        "su_kpa": wall.su_kpa,
    }
    return {name: every[name] for name in ("density_kg_m3", "fluid_level_m", *names)}


def _place(facts: FluidWindowFacts, wall: WallAt) -> ProvedPlace:
    return ProvedPlace(facts.place.stage, wall.depth_m, wall.depth_m)


def _wall(facts: FluidWindowFacts, wall: WallAt, limits: Mapping[str, Limit]) -> Compared:
    """Return the proof that the fluid holds the granular wall: the pore water and the active pressure on the round hole."""
    least, recommended = limits["wall_factor_least"], limits["wall_factor_recommended"]

    depth = max(wall.depth_m, SHALLOWEST_M)

    def needed(value: Mapping[str, float], factor: float, *, at_rest: bool) -> float:
        pore = hydrostatic(wall.depth_m - value["water_level_m"], facts.water_kn_m3)
        weight = max(0.01, (value["total_kpa"] - pore) / depth)
        hoop = k0(value["phi_deg"]) if at_rest else 1.0
        active = cylinder_pressure(depth, facts.diameter_m, weight, value["phi_deg"], hoop=hoop)
        return granular_needed_pressure(pore, active, factor)

    return make_comparison(
        Heading(
            FLUID_WALL,
            _place(facts, wall),
            limits=(least, recommended),
            formula="granular_needed_pressure",
            remedy="Raise the fluid level or the density within the specification, or case this length.",
            question="What is the friction angle of this ground, and where does its water stand?",
        ),
        Wording(f"At {mark(wall.depth_m, 'm')} the pressure of the fluid on the wall", "the wall asks for", "kPa", HOLDING),
        Comparison(
            has=lambda value: fluid_pressure(value["density_kg_m3"], wall.depth_m, value["fluid_level_m"]),
            needed=lambda value: needed(value, least.value, at_rest=False),
            recommended=lambda value: needed(value, recommended.value, at_rest=True),
            adverse={"density_kg_m3": "low", "fluid_level_m": "high", "total_kpa": "high", "water_level_m": "low", "phi_deg": "low"},
        ),
        _given(facts, wall, "total_kpa", "water_level_m", "phi_deg"),
    )


def _water(facts: FluidWindowFacts, wall: WallAt, limits: Mapping[str, Limit]) -> Compared:
    factor = limits["water_exclusion_factor"]
    return make_comparison(
        Heading(
            FLUID_WATER,
            _place(facts, wall),
            limits=(factor,),
            formula="fluid_pressure",
            remedy="Raise the fluid level.",
            question="Where does the groundwater of this layer stand?",
        ),
        Wording(f"At {mark(wall.depth_m, 'm')} the pressure of the slurry", "keeping the groundwater out takes", "kPa", HOLDING),
        Comparison(
            has=lambda value: fluid_pressure(value["density_kg_m3"], wall.depth_m, value["fluid_level_m"]),
            needed=lambda value: factor.value * hydrostatic(wall.depth_m - value["water_level_m"], facts.water_kn_m3),
            adverse={"density_kg_m3": "low", "fluid_level_m": "high", "water_level_m": "low"},
        ),
        _given(facts, wall, "water_level_m"),
    )


def _opening(facts: FluidWindowFacts, wall: WallAt, limits: Mapping[str, Limit]) -> Compared:
    """Return the proof that the fluid does not open the ground; here the lowest groundwater is the adverse one."""
    names = ("opening_stress_share", "opening_su_share", "at_rest_unknown")
    extra, extra_su, rest = (limits[name].value for name in names)
    friction, strength = wall.phi_deg is not None, wall.su_kpa is not None

    def bears(value: Mapping[str, float]) -> float:
        pore = hydrostatic(wall.depth_m - value["water_level_m"], facts.water_kn_m3)
        share = (k0(value["phi_deg"]) if friction else rest) + (0.0 if strength else extra)
        stress = least_horizontal_stress(max(0.0, value["total_kpa"] - pore), pore, share)
        return clay_opening_pressure(stress, value["su_kpa"], extra_su) if strength else stress

    used = ("total_kpa", "water_level_m", *(("phi_deg",) if friction else ()), *(("su_kpa",) if strength else ()))
    adverse = {
        "density_kg_m3": "high",
        "fluid_level_m": "low",
        "total_kpa": "low",
        "water_level_m": "high",
        "phi_deg": "high",
        "su_kpa": "low",
    }
    return make_comparison(
        Heading(
            FLUID_OPENING,
            _place(facts, wall),
            limits=tuple(limits[name] for name in names),
            formula="clay_opening_pressure" if strength else "least_horizontal_stress",
            remedy="Lower the fluid level or the density, or case this length.",
        ),
        Wording(f"At {mark(wall.depth_m, 'm')} the pressure at which the ground may open", FLUID_HAS, "kPa", OPENING),
        Comparison(
            has=bears,
            needed=lambda value: fluid_pressure(value["density_kg_m3"], wall.depth_m, value["fluid_level_m"]),
            adverse={name: adverse[name] for name in ("density_kg_m3", "fluid_level_m", *used)},
        ),
        _given(facts, wall, *used),
    )
