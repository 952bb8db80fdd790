"""The fluid programme: which fluid and why, water, mix, control, tests, loss and reserve."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.document.model import Block, Items, Paragraph, Section, Subheading, TextTable, section
from methodpick.plan.result import ControlRow, FluidProgramme, Grade, Ingredient, LimitUsed, Mix, ShaftPlan
from methodpick.terms import FLUID_NAMES
from methodpick.unit_markup import bare_number, number

_STANDING = {
    "planned": "planned",
    "open": "open too",
    "against_advice": "against advice",
    "unsettled": "not settled",
    "ruled_out": "ruled out",
    "not_allowed": "not allowed",
}
_STANDARD = {"astm-d4380": "ASTM D4380", "astm-d4381": "ASTM D4381", "astm-d6910": "ASTM D6910", "api-13b-1": "API 13B-1"}
_CONTROL_HEADS = ("property", "at introduction", "before concrete", "test")


def fluid_programme(shaft: ShaftPlan) -> Section | None:
    """Return the fluid programme; nothing where the plan has none."""
    programme = shaft.fluid_programme
    if programme is None:
        return None
    return section(
        "Fluid programme",
        Paragraph(stock(programme), "strong"),
        *practice(programme),
        Subheading("Loss and reserve"),
        Paragraph(loss(programme)),
    )


def practice(programme: FluidProgramme) -> Iterator[Block]:
    """Return all of a programme that does not hang on the volume of the hole: choice, water, mix, control, tests."""
    yield Subheading("Why this fluid")
    yield Items(tuple(_choice(programme)))
    yield Subheading("Water and mix")
    yield Paragraph(f"Mixing and ground water: {'; '.join(f'{check.what} {check.text}' for check in programme.water)}.")
    yield Paragraph(_mix_lead(programme.mix))
    yield Items(tuple(_ingredient(ingredient) for ingredient in programme.mix.ingredients[1:]))
    yield Paragraph(_other_grades(programme.mix))
    yield Items(programme.mix.checks)
    yield Paragraph(f"Sand in it: {programme.sand.text}")
    yield Subheading("Control of the fluid")
    yield TextTable(_CONTROL_HEADS, tuple(_control_rows(programme)))
    yield Paragraph(_control_sources(programme))
    yield Items(tuple(time.text for time in programme.times))


def stock(programme: FluidProgramme) -> str:
    """Describe how much fluid fills the hole and how much to have."""
    factor = programme.stock_factor
    return (
        f"{FLUID_NAMES[programme.fluid].capitalize()}: {number(programme.hole_m3, 'm3')} fill the hole, have "
        f"{number(programme.stock_m3, 'm3')} in stock ({factor.value:g} x{_set_by(factor)})."
    )


def loss(programme: FluidProgramme) -> str:
    """Describe what is lost with the work and into the ground, and how long the reserve lasts."""
    return (
        f"Losses: {number(programme.loss.handling_least_m3, 'm3')} to {number(programme.loss.handling_most_m3, 'm3')} with the spoil "
        f"and in cleaning. {programme.loss.text}"
    )


def _choice(programme: FluidProgramme) -> Iterator[str]:
    """Describe how each fluid stands and why; what the site file bars stands together."""
    barred = []
    for fluid in programme.choice:
        if fluid.standing == "not_allowed":
            barred.append(FLUID_NAMES[fluid.fluid])
        else:
            yield f"{FLUID_NAMES[fluid.fluid].capitalize()}, {_STANDING[fluid.standing]}. {fluid.why}"
    if barred:
        yield f"Not allowed by the site file: {', '.join(barred)}."


def _mix_lead(mix: Mix) -> str:
    """Describe what a mix is given in; empty for plain water."""
    if len(mix.ingredients) < 2:
        return ""
    return (
        f"Mix, in the volume of fluid and for the stock; the rest is water, {number(mix.ingredients[0].stock_kg, 'kg')}; fresh fluid "
        f"weighs {number(mix.fresh_density_kg_m3, 'kg/m3')}:"
    )


def _ingredient(ingredient: Ingredient) -> str:
    """Describe what goes into the water, with its range, its amount for the stock and its source."""
    keys = ", ".join(dict.fromkeys(source.key for source in ingredient.sources))
    return (
        f"{ingredient.name.capitalize()} {number(ingredient.kg_m3, 'dose')} ({_doses(ingredient)}), {number(ingredient.stock_kg, 'kg')} "
        f"for the stock: {ingredient.formula} ({keys}, {ingredient.confidence})."
    )


def _other_grades(mix: Mix) -> str:
    """Describe what other grades would take; empty where there are none."""
    others = [f"{grade.grade.replace('_', ' ')} {number(grade.kg_m3, 'dose')} ({_doses(grade)})" for grade in mix.grades[1:]]
    return f"The same slurry by other grades: {'; '.join(others)}." if others else ""


def _doses(dosed: Ingredient | Grade) -> str:
    return f"{bare_number(dosed.least_kg_m3, 'dose')} to {number(dosed.most_kg_m3, 'dose')}"


def _control_rows(programme: FluidProgramme) -> Iterator[tuple[str, ...]]:
    for row in programme.controls:
        introduced, concreted = (row.introduction_low, row.introduction_high), (row.concreting_low, row.concreting_high)
        yield row.name, _between(*introduced), _between(*concreted), row.test


def _control_sources(programme: FluidProgramme) -> str:
    """Describe by which standards the tests are made and where the limits come from."""
    tests = (f"{row.name} {' or '.join(_STANDARD.get(source.key, source.key) for source in row.standards)}" for row in programme.controls)
    limits = dict.fromkeys(_origin(limit) for row in programme.controls for limit in limits_of(row))
    return f"Tests by: {'; '.join(tests)} (memory). Limits from: {'; '.join(limits)}."


def limits_of(row: ControlRow) -> list[LimitUsed]:
    """Return the limits of a property that are set."""
    sides = (row.introduction_low, row.introduction_high, row.concreting_low, row.concreting_high)
    return [limit for limit in sides if limit is not None]


def _origin(limit: LimitUsed) -> str:
    return f"{limit.source.key}, {limit.source.where} ({limit.confidence}{_set_by(limit)})"


def _between(low: LimitUsed | None, high: LimitUsed | None) -> str:
    """Return a range with its unit once; the overlay that set an end stands behind it, once where it set both."""
    if low is not None and high is not None:
        own = "" if low.set_by == high.set_by else _overlay(low)
        return f"{bare_number(low.value, low.unit)}{own} to {number(high.value, high.unit)}{_overlay(high)}"
    limit = high or low
    return "-" if limit is None else f"{'at most' if high else 'at least'} {number(limit.value, limit.unit)}{_overlay(limit)}"


def _overlay(limit: LimitUsed) -> str:
    return f" [{limit.set_by}]" if limit.set_by else ""


def _set_by(limit: LimitUsed) -> str:
    return f", set by {limit.set_by}" if limit.set_by else ""
