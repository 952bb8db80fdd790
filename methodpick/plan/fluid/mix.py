"""The mix of the fluid: doses for the ground and the water, the density that it gives, and what carried sand adds."""

from __future__ import annotations

from methodpick.engine.rulebook import Rulebook
from methodpick.mechanics.mixture import (
    bentonite_density,
    dose_for_density,
    dose_per_slurry,
    sand_share,
    sandy_density,
    soda_ash_for_hardness,
)
from methodpick.plan.fluid.fluid_length import Place
from methodpick.plan.fluid.specification import density_limits, is_salt
from methodpick.plan.fluid.used import used
from methodpick.plan.result import Citation, Grade, Ingredient, Mix, SandLoad, Slurry
from methodpick.unit_markup import mark
from methodpick.vocabulary.tables import ClassRow, ClassTable
from methodpick.vocabulary.values import Choice, Span

USUAL_GRADE = "natural_sodium"
"""The grade that the doses of the table are for."""


def make_mix(place: Place, slurry: Slurry, stock_m3: float, book: Rulebook) -> Mix:
    """Return what goes into a cubic metre and into the stock, for the ground that asks for the thickest fluid."""
    limits = place.limits
    water = limits["salt_water_density_kg_m3" if is_salt(place.gatherer, limits) else "water_density_kg_m3"].value
    row = _row(place, book.tables["fluid_dose"])
    solids: list[Ingredient] = []
    grades: tuple[Grade, ...] = ()
    if slurry.fluid == "mineral":
        grades = _grades(place, row, book.tables["bentonite_yield"], water)
        solids.append(_bentonite(place, grades, row, stock_m3))
    elif slurry.fluid == "polymer":
        dose = _span(row, "polymer_kg_m3")
        solids.append(
            Ingredient(
                "polymer, dry",
                dose.low,
                _likely(dose),
                dose.high,
                _likely(dose) * stock_m3,
                f"dose for the ground ({_soils(row)})",
                (Citation(row.source, row.where),),
                row.confidence,
            )
        )
    if solids:
        solids.append(_soda_ash(place, slurry.fluid, stock_m3))
    clay = next((one.kg_m3 for one in solids if one.name == "bentonite"), 0.0)
    other = sum(one.kg_m3 for one in solids if one.name.startswith("polymer"))
    grain = limits["bentonite_grain_kg_m3"].value
    share = 1.0 - clay / grain
    fresh = bentonite_density(clay / share, water, grain) + other
    base = Ingredient(
        "water",
        water * share,
        water * share,
        water * share,
        water * share * stock_m3,
        f"what is left of the cubic metre, at {mark(water, 'kg/m3')}",
        (),
        "own",
    )
    return Mix((base, *solids), grades, fresh, _checks(place, slurry, fresh, water))


def _row(place: Place, table: ClassTable) -> ClassRow:
    """Return the row of the table for the ground in the length that asks for most."""
    likely = {one.slice.stratum.likely for one in place.pieces() if one.cut.decided and one.slice.stratum.likely}
    rows = [row for row in table.rows if isinstance(soil := row.when["soil"], Choice) and soil.values & likely]
    return max(rows or table.rows[:1], key=lambda row: _likely(_span(row, "bentonite_percent")))


def _span(row: ClassRow, name: str) -> Span:
    value = row.then[name]
    return value if isinstance(value, Span) else Span(0.0, 0.0, 0.0)


def _likely(span: Span) -> float:
    return span.likely if span.likely is not None else (span.low + span.high) / 2.0


def _soils(row: ClassRow) -> str:
    soil = row.when["soil"]
    return ", ".join(sorted(word.replace("_", " ") for word in soil.values)) if isinstance(soil, Choice) else ""


def _grades(place: Place, row: ClassRow, table: ClassTable, water_kg_m3: float) -> tuple[Grade, ...]:
    """Return the dose of every grade: that of the usual one, by the yields; the one that the user names goes first."""
    percent = _span(row, "bentonite_percent")
    yields = {next(iter(grade.values)): one for one in table.rows if isinstance(grade := one.when["bentonite_grade"], Choice)}
    usual = _likely(_span(yields[USUAL_GRADE], "bentonite_yield_m3_t"))
    grain, found = place.limits["bentonite_grain_kg_m3"].value, []
    for name, one in yields.items():
        out = _span(one, "bentonite_yield_m3_t")
        scale = (usual / out.high, usual / _likely(out), usual / out.low)
        dose = [
            dose_per_slurry(share, grain, water_kg_m3) * part
            for share, part in zip((percent.low, _likely(percent), percent.high), scale, strict=True)
        ]
        found.append(Grade(name, dose[0], dose[1], dose[2], Citation(one.source, one.where), one.confidence))
    said = place.gatherer.base.choice("bentonite_grade").at_likely.values
    first = next(iter(said)) if len(said) == 1 else USUAL_GRADE
    return tuple(sorted(found, key=lambda grade: grade.grade != first))


def _bentonite(place: Place, grades: tuple[Grade, ...], row: ClassRow, stock_m3: float) -> Ingredient:
    """Return the dose of the grade in use; water that is hard asks for more where it is not treated."""
    grade, most = grades[0], grades[0].most_kg_m3
    text, sources = f"{_soils(row)}; {grade.grade.replace('_', ' ')}", [Citation(row.source, row.where)]
    hardness = place.gatherer.base.span("hardness_mg_l")
    hard = place.limits["bentonite_hard_water_percent"]
    if "hardness_mg_l" in place.gatherer.base.facts and (hardness.likely or 0.0) > place.limits["hardness_high_mg_l"].value:
        grain, water = place.limits["bentonite_grain_kg_m3"].value, place.limits["water_density_kg_m3"].value
        most = max(most, dose_per_slurry(hard.value, grain, water) * grade.kg_m3 / _usual(grades).kg_m3)
        text += f"; up to {mark(hard.value, '%')} by weight in hard water that is not treated{hard.beside}"
        sources.append(Citation(hard.source, hard.where))
    return Ingredient("bentonite", grade.least_kg_m3, grade.kg_m3, most, grade.kg_m3 * stock_m3, text, tuple(sources), row.confidence)


def _usual(grades: tuple[Grade, ...]) -> Grade:
    """Return the usual grade among the grades."""
    return next(one for one in grades if one.grade == USUAL_GRADE)


def _soda_ash(place: Place, fluid: str, stock_m3: float) -> Ingredient:
    """Return the soda ash: what takes out the hardness, and what practice needs for the pH."""
    limits, base = place.limits, place.gatherer.base
    least, most = limits["soda_ash_least_kg_m3"], limits["soda_ash_most_kg_m3"]
    hardness = base.span("hardness_mg_l").likely if "hardness_mg_l" in base.facts else None
    hard = hardness is not None and hardness > limits["hardness_high_mg_l"].value
    ash = soda_ash_for_hardness(hardness, limits["hardness_left_mg_l"].value) if hardness is not None and hard else 0.0
    likely = max(ash, least.value) if hard or fluid == "polymer" else 0.0
    low, high, left = limits["mix_ph_min"], limits["mix_ph_max"], limits["hardness_left_mg_l"]
    text = f"by test, until the mixing water has a pH of {low.value:g} to {high.value:g}{low.beside}"
    if ash > 0 and hardness is not None:
        text += (
            f"; {mark(ash, 'dose')} takes the hardness from {mark(hardness, 'mg/L')} to {mark(left.value, 'mg/L')} (1.059 for each "
            "part of hardness)"
        )
    return Ingredient(
        "soda ash",
        ash,
        likely,
        max(most.value, ash),
        likely * stock_m3,
        text,
        (Citation(least.source, least.where), Citation(low.source, low.where)),
        least.confidence,
    )


def _checks(place: Place, slurry: Slurry, fresh: float, water: float) -> tuple[str, ...]:
    """Describe what the density of the fresh mix means for the specification, the ground and the density aimed at."""
    low, _ = density_limits(slurry.fluid, place.limits, salt=is_salt(place.gatherer, place.limits))
    found = []
    if slurry.fluid == "mineral" and fresh < low.value - 0.05:
        dose = dose_for_density(low.value, water, place.limits["bentonite_grain_kg_m3"].value)
        found.append(
            f"Fresh slurry of this mix is lighter than the least of the specification, {mark(low.value, 'kg/m3')}{low.beside}: "
            f"that takes {mark(dose, 'dose')} of bentonite, or sand that it carries already."
        )
    asked = next((one for one in slurry.levels if one.planned), None)
    if asked is not None and asked.density_min_kg_m3 is not None and asked.density_min_kg_m3 > fresh:
        found.append(
            f"The ground asks for {mark(asked.density_min_kg_m3, 'kg/m3')}; fresh fluid of this mix weighs only "
            f"{mark(fresh, 'kg/m3')} and does not hold it. Raise the level; do not count on sand in the fluid."
        )
    return tuple(found)


def load_sand(place: Place, slurry: Slurry, mix: Mix) -> SandLoad:
    """Return what sand in the fluid does to its density."""
    limits, fluid, fresh = place.limits, slurry.fluid, mix.fresh_density_kg_m3
    sand = used(limits, f"{fluid}_sand_max_percent")
    _, most = density_limits(fluid, limits, salt=is_salt(place.gatherer, limits))
    top = used(limits, most.name)
    grain, aimed = limits["sand_grain_kg_m3"].value, slurry.density_target_kg_m3
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
    return SandLoad(fresh, sand, at_sand, top, at_density, target, text)
