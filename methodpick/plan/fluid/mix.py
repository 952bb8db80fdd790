"""The mix of the fluid and its loss: doses, density, carried sand; what goes into the ground, and the reserve for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from operator import itemgetter

from methodpick.mechanics.earth_pressure import WATER_KN_M3
from methodpick.mechanics.emptied_hole import influence_radius, radial_inflow
from methodpick.mechanics.slurry import (
    bentonite_density,
    dose_for_density,
    dose_per_slurry,
    fluid_pressure,
    penetrated_volume,
    penetration,
    sand_share,
    sandy_density,
    soda_ash_for_hardness,
)
from methodpick.plan.demands.fluid_length import FluidLength, limit_used
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.result import Citation, FluidLoss, Grade, Ingredient, Mix, SandLoad, Slurry
from methodpick.terms import GRANULAR, in_plain_words
from methodpick.unit_markup import mark
from methodpick.vocabulary.tables import ClassRow, ClassTable
from methodpick.vocabulary.values import Choice, Span

# ---- The mix of the fluid: doses for the ground and the water, the density that it gives, and what carried sand adds


USUAL_GRADE = "natural_sodium"
"""The grade that the doses of the table are for."""


def make_mix(length: FluidLength, slurry: Slurry, stock_m3: float) -> Mix:
    """Return what goes into a cubic metre and into the stock, for the ground that asks for the thickest fluid."""
    tables, limits = length.ground.tables, length.limits
    water = limits["salt_water_density_kg_m3" if length.salt else "water_density_kg_m3"].value
    dose = _dose(length, tables["fluid_dose"])
    solids: list[Ingredient] = []
    grades: tuple[Grade, ...] = ()
    if slurry.fluid == "mineral":
        grades = _grades(length, dose, tables["bentonite_yield"], water)
        solids = [_bentonite(length, grades, dose, stock_m3), _soda_ash(length, slurry.fluid, stock_m3)]
    elif slurry.fluid == "polymer":
        solids = [_polymer(dose, stock_m3), _soda_ash(length, slurry.fluid, stock_m3)]
    clay = next((solid.kg_m3 for solid in solids if solid.name == "bentonite"), 0.0)
    other = sum(solid.kg_m3 for solid in solids if solid.name.startswith("polymer"))
    grain = length.limits["bentonite_grain_kg_m3"].value
    share = 1.0 - clay / grain
    fresh = bentonite_density(clay / share, water, grain) + other
    return Mix(
        ingredients=(_water(water, share, stock_m3), *solids),
        grades=grades,
        fresh_density_kg_m3=fresh,
        checks=_checks(length, slurry, fresh, water),
    )


def _dose(length: FluidLength, table: ClassTable) -> ClassRow:
    """Return the row of the table for the ground in the length that asks for most."""
    likely = {judged.slice.stratum.likely for judged in length.slices() if judged.logged and judged.slice.stratum.likely}
    rows = [row for row in table.rows if isinstance(soil := row.when["soil"], Choice) and soil.values & likely]
    return max(rows or table.rows[:1], key=lambda row: _span(row, "bentonite_percent").likely_or_middle)


def _span(row: ClassRow, name: str) -> Span:
    value = row.then[name]
    return value if isinstance(value, Span) else Span(0.0, 0.0, 0.0)


def _soils(row: ClassRow) -> str:
    soil = row.when["soil"]
    return ", ".join(sorted(in_plain_words(word) for word in soil.values)) if isinstance(soil, Choice) else ""


def _water(density_kg_m3: float, share: float, stock_m3: float) -> Ingredient:
    """Return the water: what the solids leave of the cubic metre."""
    water = density_kg_m3 * share
    return Ingredient(
        name="water",
        least_kg_m3=water,
        kg_m3=water,
        most_kg_m3=water,
        stock_kg=water * stock_m3,
        formula=f"what is left of the cubic metre, at {mark(density_kg_m3, 'kg/m3')}",
        sources=(),
        confidence="own",
    )


def _polymer(row: ClassRow, stock_m3: float) -> Ingredient:
    """Return the dry polymer for the ground."""
    dose = _span(row, "polymer_kg_m3")
    return Ingredient(
        name="polymer, dry",
        least_kg_m3=dose.low,
        kg_m3=dose.likely_or_middle,
        most_kg_m3=dose.high,
        stock_kg=dose.likely_or_middle * stock_m3,
        formula=f"dose for the ground ({_soils(row)})",
        sources=(Citation(row.source, row.where),),
        confidence=row.confidence,
    )


def _grades(length: FluidLength, row: ClassRow, table: ClassTable, water_kg_m3: float) -> tuple[Grade, ...]:
    """Return the dose of every grade: that of the usual one, by the yields; the one that the user names goes first."""
    percent = _span(row, "bentonite_percent")
    yields = {next(iter(grade.values)): entry for entry in table.rows if isinstance(grade := entry.when["bentonite_grade"], Choice)}
    usual = _span(yields[USUAL_GRADE], "bentonite_yield_m3_t").likely_or_middle
    grain, grades = length.limits["bentonite_grain_kg_m3"].value, []
    for name, entry in yields.items():
        gives = _span(entry, "bentonite_yield_m3_t")
        least, likely, most = (
            dose_per_slurry(share, grain, water_kg_m3) * part
            for share, part in (
                (percent.low, usual / gives.high),
                (percent.likely_or_middle, usual / gives.likely_or_middle),
                (percent.high, usual / gives.low),
            )
        )
        grades.append(
            Grade(
                grade=name,
                least_kg_m3=least,
                kg_m3=likely,
                most_kg_m3=most,
                source=Citation(entry.source, entry.where),
                confidence=entry.confidence,
            )
        )
    named = length.ground.gatherer.base.choice("bentonite_grade").at_likely.values
    first = next(iter(named)) if len(named) == 1 else USUAL_GRADE
    return tuple(sorted(grades, key=lambda grade: grade.grade != first))


def _bentonite(length: FluidLength, grades: tuple[Grade, ...], row: ClassRow, stock_m3: float) -> Ingredient:
    """Return the dose of the grade in use; water that is hard asks for more where it is not treated."""
    grade, most = grades[0], grades[0].most_kg_m3
    text, sources = f"{_soils(row)}; {grade.grade.replace('_', ' ')}", [Citation(row.source, row.where)]
    hard = length.limits["bentonite_hard_water_percent"]
    if _is_hard(length):
        usual = next(grade for grade in grades if grade.grade == USUAL_GRADE)
        grain, water = length.limits["bentonite_grain_kg_m3"].value, length.limits["water_density_kg_m3"].value
        most = max(most, dose_per_slurry(hard.value, grain, water) * grade.kg_m3 / usual.kg_m3)
        text += f"; up to {mark(hard.value, '%')} by weight in hard water that is not treated{hard.beside}"
        sources.append(Citation(hard.source, hard.where))
    return Ingredient(
        name="bentonite",
        least_kg_m3=grade.least_kg_m3,
        kg_m3=grade.kg_m3,
        most_kg_m3=most,
        stock_kg=grade.kg_m3 * stock_m3,
        formula=text,
        sources=tuple(sources),
        confidence=row.confidence,
    )


def _hardness(length: FluidLength) -> float | None:
    """Return the likely hardness of the water in mg/L, None where nothing is known of it."""
    shared = length.ground.gatherer.base
    return shared.span("hardness_mg_l").likely if "hardness_mg_l" in shared.facts else None


def _is_hard(length: FluidLength) -> bool:
    return (_hardness(length) or 0.0) > length.limits["hardness_high_mg_l"].value


def _soda_ash(length: FluidLength, fluid: str, stock_m3: float) -> Ingredient:
    """Return the soda ash: what takes out the hardness, and what practice needs for the pH."""
    limits, hardness, hard = length.limits, _hardness(length), _is_hard(length)
    least, most = limits["soda_ash_least_kg_m3"], limits["soda_ash_most_kg_m3"]
    low, high, left = limits["mix_ph_min"], limits["mix_ph_max"], limits["hardness_left_mg_l"]
    ash = soda_ash_for_hardness(hardness, left.value) if hardness is not None and hard else 0.0
    likely = max(ash, least.value) if hard or fluid == "polymer" else 0.0
    text = f"by test, until the mixing water has a pH of {low.value:g} to {high.value:g}{low.beside}"
    if ash > 0 and hardness is not None:
        text += (
            f"; {mark(ash, 'dose')} takes the hardness from {mark(hardness, 'mg/L')} to {mark(left.value, 'mg/L')} (1.059 for each "
            "part of hardness)"
        )
    return Ingredient(
        name="soda ash",
        least_kg_m3=ash,
        kg_m3=likely,
        most_kg_m3=max(most.value, likely),
        stock_kg=likely * stock_m3,
        formula=text,
        sources=(Citation(least.source, least.where), Citation(low.source, low.where)),
        confidence=least.confidence,
    )


def _checks(length: FluidLength, slurry: Slurry, fresh: float, water: float) -> tuple[str, ...]:
    """Describe what the density of the fresh mix means for the specification, the ground and the density aimed at."""
    low, _ = length.density_limits(slurry.fluid)
    found = []
    if slurry.fluid == "mineral" and fresh < low.value - 0.05:
        dose = dose_for_density(low.value, water, length.limits["bentonite_grain_kg_m3"].value)
        found.append(
            f"Fresh slurry of this mix is lighter than the least of the specification, {mark(low.value, 'kg/m3')}{low.beside}: "
            f"that takes {mark(dose, 'dose')} of bentonite, or sand that it carries already."
        )
    asked = next((level.density_min_kg_m3 for level in slurry.levels if level.planned), None)
    if asked is not None and asked > fresh:
        found.append(
            f"The ground asks for {mark(asked, 'kg/m3')}; fresh fluid of this mix weighs only "
            f"{mark(fresh, 'kg/m3')} and does not hold it. Raise the level; do not count on sand in the fluid."
        )
    return tuple(found)


def load_sand(length: FluidLength, slurry: Slurry, mix: Mix) -> SandLoad:
    """Return what sand in the fluid does to its density."""
    limits, fluid, fresh = length.limits, slurry.fluid, mix.fresh_density_kg_m3
    sand = limit_used(limits, f"{fluid}_sand_max_percent")
    top = limit_used(limits, length.density_limits(fluid)[1].name)
    grain, aimed = length.limits["sand_grain_kg_m3"].value, slurry.density_target_kg_m3
    at_sand = sandy_density(fresh, sand.value / 100.0, grain)
    at_density = max(0.0, sand_share(top.value, fresh, grain) * 100.0)
    target = None if aimed is None else max(0.0, sand_share(aimed, fresh, grain) * 100.0)
    text = (
        f"Each 1 % of sand adds about {mark(sandy_density(fresh, 0.01, grain) - fresh, 'kg/m3')}. At the limit of {mark(sand.value, '%')} "
        f"the fluid weighs {mark(at_sand, 'kg/m3')}; {at_density:.1f} % brings it to {mark(top.value, 'kg/m3')}. "
    )
    text += "The sand is the tighter limit." if sand.value < at_density else "The density is the tighter limit."
    if target is not None and target > 0.5:
        text += f" The density aimed at holds {target:.1f} % of sand or as much fine soil."
    return SandLoad(
        fresh_density_kg_m3=fresh,
        sand_limit=sand,
        density_at_sand_limit_kg_m3=at_sand,
        density_limit=top,
        sand_at_density_limit_percent=at_density,
        sand_at_target_percent=target,
        text=text,
    )


# ---- Loss of fluid and the reserve for it: with the work, into the ground each hour, and once into the pores of the wall


LEAST_NAMED_M3 = 0.05
"""A smaller volume would print as nothing."""


HeldGround = Sequence[tuple[FluidLength, Slurry]]
"""The lengths that a fluid holds, each bare at its own time."""


def find_loss(held: HeldGround, hole_m3: float, stock_factor: float, hours_open: float) -> FluidLoss:
    """Return what is lost, the reserve for it and how long that lasts; polymer and water run on, mineral slurry gels in the pores.

    Of several lengths that the fluid holds, what runs on is that of the worst of them, what fills pores that of all. ``stock_factor`` is
    the stock over the hole; where hole and losses come to more, the reserve is what they take.
    """
    length, slurry = held[0]
    least, most = (length.limits[name].value * hole_m3 for name in ("fluid_loss_share_least", "fluid_loss_share_most"))
    common = FluidLoss(
        handling_least_m3=least,
        handling_most_m3=most,
        rate_least_m3_h=None,
        rate_m3_h=None,
        rate_most_m3_h=None,
        once_least_m3=None,
        once_most_m3=None,
        hours_open=hours_open,
        reserve_m3=hole_m3 * (stock_factor - 1.0),
        hours_covered=None,
        hours_covered_least=None,
        stock_needed_m3=hole_m3 + most,
        text="",
    )
    return _lost_once(held, common, hole_m3) if slurry.fluid == "mineral" else _lost_on(held, common, hole_m3)


def _lost_once(held: HeldGround, common: FluidLoss, hole_m3: float) -> FluidLoss:
    """Return the loss of a slurry that gels in the pores."""
    filled = [_into_pores(length, slurry) for length, slurry in held]
    graded, unknown = [once for once, _ in filled if once is not None], any(missing for _, missing in filled)
    once = (sum(low for low, _ in graded), sum(high for _, high in graded)) if graded else None
    needed = common.stock_needed_m3 + (once[0] if once else 0.0)
    return replace(
        common,
        once_least_m3=once[0] if once else None,
        once_most_m3=once[1] if once else None,
        reserve_m3=max(common.reserve_m3, needed - hole_m3),
        stock_needed_m3=needed,
        text=_pores_words(once, unknown, hole_m3) + _stock_words(hole_m3, common.reserve_m3, needed),
    )


def _lost_on(held: HeldGround, common: FluidLoss, hole_m3: float) -> FluidLoss:
    """Return the loss of a fluid that runs into the ground as long as the hole is open."""
    low, likely, high = max((_rates(length, slurry) for length, slurry in held), key=itemgetter(1))
    hours = common.hours_open
    needed = common.stock_needed_m3 + likely * hours
    reserve = max(common.reserve_m3, needed - hole_m3)
    covered, covered_least = (reserve / rate if rate > 1e-9 else None for rate in (likely, high))
    spread = "" if high < LEAST_NAMED_M3 else f", {_volume_words(low)} to {_volume_words(high)} by the permeability known"
    text = (
        f"Into the ground {_volume_words(likely)} an hour{spread}: the reserve of "
        f"{mark(reserve, 'm3')} lasts {_hour_words(covered)}, {_hour_words(covered_least)} at the worst; the hole stands under fluid for "
        f"{mark(hours, 'h')}." + _stock_words(hole_m3, common.reserve_m3, needed)
    )
    return replace(
        common,
        rate_least_m3_h=low,
        rate_m3_h=likely,
        rate_most_m3_h=high,
        reserve_m3=reserve,
        hours_covered=covered,
        hours_covered_least=covered_least,
        stock_needed_m3=needed,
        text=text,
    )


def _volume_words(volume_m3: float) -> str:
    return mark(volume_m3, "m3") if volume_m3 >= LEAST_NAMED_M3 else "next to nothing"


def _hour_words(hours: float | None) -> str:
    if hours is None or hours > 100:
        return "more than 100 h"
    return mark(hours, "h") if hours >= 0.1 else "minutes only"


def _stock_words(hole_m3: float, reserve_m3: float, needed_m3: float) -> str:
    """Describe that hole and losses take more than the hole with the reserve by its factor; nothing where they do not."""
    if needed_m3 <= hole_m3 + reserve_m3:
        return ""
    return f" Hole and losses come to {mark(needed_m3, 'm3')}, more than the usual {mark(hole_m3 + reserve_m3, 'm3')}: that is the stock."


def _excess_pressure(length: FluidLength, judged: JudgedSlice, slurry: Slurry) -> tuple[float, float]:
    """Return the pressure of the fluid over the groundwater at the middle of a slice, and the length of it in the hole."""
    top, base = length.clip(judged)
    depth = (top + base) / 2.0
    density = slurry.density_target_kg_m3 or slurry.density_min_kg_m3 or 1000.0
    pore = length.ground.curves.pore(judged.slice.ground, depth)[1] or 0.0
    return max(0.0, fluid_pressure(density, depth, slurry.level_m) - pore), base - top


def _rates(length: FluidLength, slurry: Slurry) -> tuple[float, float, float]:
    """Return the loss into the ground in m3/h at the low, likely and high permeability, with the head of the fluid."""
    slower = length.limits["polymer_loss_divisor"].value if slurry.fluid == "polymer" else 1.0
    diameter = length.ground.shaft.diameter_m
    sums = [0.0, 0.0, 0.0]
    for judged in length.slices():
        if "permeability_m_s" not in judged.sheet.facts:
            continue
        span = judged.sheet.span("permeability_m_s")
        pressure, thickness = _excess_pressure(length, judged, slurry)
        head = pressure / WATER_KN_M3
        middle = span.likely if span.likely is not None else (span.low * span.high) ** 0.5
        for index, permeability in enumerate((span.low, middle, span.high)):
            radius = influence_radius(head, permeability, length.limits["influence_least_m"].value)
            sums[index] += radial_inflow(permeability, thickness, head, diameter, radius) * 3600.0 / slower
    return sums[0], sums[1], sums[2]


def _into_pores(length: FluidLength, slurry: Slurry) -> tuple[tuple[float, float] | None, bool]:
    """Return what slurry fills of the pores before its gel holds it, at the high and the low gel; and whether a grading is missing."""
    strong, weak = length.limits["mineral_gel_most_pa"].value, length.limits["mineral_gel_least_pa"].value
    share, diameter = length.limits["penetrated_pore_share"].value, length.ground.shaft.diameter_m
    low = high = 0.0
    graded = unknown = False
    for judged in length.slices():
        if not judged.slice.stratum.soils & GRANULAR or not judged.logged:
            continue
        d10 = judged.sheet.span("d10_mm").likely if "d10_mm" in judged.sheet.facts else None
        if d10 is None:
            unknown = True
            continue
        pressure, thickness = _excess_pressure(length, judged, slurry)
        near, far = (min(penetration(pressure, gel, d10), length.limits["fluid_runs_away_m"].value) for gel in (strong, weak))
        low += penetrated_volume(diameter, near, thickness, share)
        high += penetrated_volume(diameter, far, thickness, share)
        graded = True
    return ((low, high) if graded else None), unknown


def _pores_words(once: tuple[float, float] | None, unknown: bool, hole_m3: float) -> str:
    if once is None:
        return (
            "No grading is known: how far slurry runs into the ground is not estimated."
            if unknown
            else "No granular ground: next to nothing runs into the wall."
        )
    weak = f"{mark(once[1], 'm3')} with a weak one" if once[1] < hole_m3 else "more than the hole holds with a weak one"
    text = (
        f"Where no cake forms, {mark(once[0], 'm3')} run into the pores of the wall once with a strong gel, {weak}; with a cake far less."
    )
    return text + (" Ground without a grading is not counted." if unknown else "")
