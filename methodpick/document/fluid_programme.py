"""How the fluid programme is told on any page: the fluid and why, water, mix, control, tests, loss and reserve."""

from __future__ import annotations

from methodpick.document.fluid_window import FLUID, Writer
from methodpick.plan.result import ControlRow, FluidProgramme, Grade, Ingredient, LimitUsed, Mix

STANDING = {
    "planned": "planned",
    "open": "open too",
    "against_advice": "against advice",
    "unsettled": "not settled",
    "ruled_out": "ruled out",
    "not_allowed": "not allowed",
}
STANDARD = {"astm-d4380": "ASTM D4380", "astm-d4381": "ASTM D4381", "astm-d6910": "ASTM D6910", "api-13b-1": "API 13B-1"}
CONTROL_HEADS = ("property", "at introduction", "before concrete", "test")


def stock(one: FluidProgramme, pen: Writer) -> str:
    """Describe how much fluid fills the hole and how much to have."""
    return (
        f"{FLUID[one.fluid]}: {pen.n(one.hole_m3, 'm3')} fill the hole, have {pen.n(one.stock_m3, 'm3')} in stock "
        f"({one.stock_factor.value:g} x{set_by(one.stock_factor)})."
    )


def choice(one: FluidProgramme) -> list[str]:
    """Describe how each fluid stands and why; what the site file bars stands together."""
    said = [f"{FLUID[fluid.fluid]}, {STANDING[fluid.standing]}. {fluid.why}" for fluid in one.choice if fluid.standing != "not_allowed"]
    barred = [FLUID[fluid.fluid].lower() for fluid in one.choice if fluid.standing == "not_allowed"]
    return [*said, f"Not allowed by the site file: {', '.join(barred)}."] if barred else said


def water(one: FluidProgramme) -> str:
    """Describe what is known of the mixing and ground water against its limits."""
    return f"Mixing and ground water: {'; '.join(f'{check.what} {check.text}' for check in one.water)}."


def mix_lead(mix: Mix, pen: Writer) -> str:
    """Describe what a mix is given in; empty for plain water."""
    if len(mix.ingredients) < 2:
        return ""
    return (
        f"Mix, in the volume of fluid and for the stock; the rest is water, {pen.n(mix.ingredients[0].stock_kg, 'kg')}; fresh fluid "
        f"weighs {pen.n(mix.fresh_density_kg_m3, 'kg/m3')}:"
    )


def mix_items(mix: Mix, pen: Writer) -> list[str]:
    """Describe what goes into the water, with its range, its amount for the stock and its source."""
    said = []
    for one in mix.ingredients[1:]:
        keys = ", ".join(dict.fromkeys(cite.key for cite in one.sources))
        said.append(
            f"{one.name.capitalize()} {pen.n(one.kg_m3, 'dose')} ({_range(one, pen)}), {pen.n(one.stock_kg, 'kg')} for "
            f"the stock: {one.formula} ({keys}, {one.confidence})."
        )
    return said


def other_grades(mix: Mix, pen: Writer) -> str:
    """Describe what other grades would take; empty where there are none."""
    others = [f"{one.grade.replace('_', ' ')} {pen.n(one.kg_m3, 'dose')} ({_range(one, pen)})" for one in mix.grades[1:]]
    return f"The same slurry by other grades: {'; '.join(others)}." if others else ""


def sand(one: FluidProgramme) -> str:
    """Describe what carried sand does to the density."""
    return f"Sand in it: {one.sand.text}"


def losses(one: FluidProgramme, pen: Writer) -> str:
    """Describe what is lost with the work and into the ground, and how long the reserve lasts."""
    return (
        f"Losses: {pen.n(one.loss.handling_least_m3, 'm3')} to {pen.n(one.loss.handling_most_m3, 'm3')} with the spoil and in "
        f"cleaning. {one.loss.text}"
    )


def _range(one: Ingredient | Grade, pen: Writer) -> str:
    least, unit = pen.n(one.least_kg_m3, "dose").split(" ", 1)
    return f"{least} to {pen.n(one.most_kg_m3, 'dose').removesuffix(f' {unit}')} {unit}"


def control_rows(one: FluidProgramme, pen: Writer) -> list[tuple[str, ...]]:
    """Return the rows of the control table, for the heads of :data:`CONTROL_HEADS`."""
    return [
        (
            row.name,
            _between(row.introduction_low, row.introduction_high, pen),
            _between(row.concreting_low, row.concreting_high, pen),
            row.test,
        )
        for row in one.controls
    ]


def control_sources(one: FluidProgramme) -> str:
    """Describe by which standards the tests are made and where the limits come from."""
    tests = (f"{row.name} {' or '.join(STANDARD.get(cite.key, cite.key) for cite in row.standards)}" for row in one.controls)
    limits = dict.fromkeys(_from(limit) for row in one.controls for limit in _limits(row))
    return f"Tests by: {'; '.join(tests)} (memory). Limits from: {'; '.join(limits)}."


def _limits(row: ControlRow) -> list[LimitUsed]:
    sides = (row.introduction_low, row.introduction_high, row.concreting_low, row.concreting_high)
    return [limit for limit in sides if limit is not None]


def _from(limit: LimitUsed) -> str:
    return f"{limit.source.key}, {limit.source.where} ({limit.confidence}{set_by(limit)})"


def _between(low: LimitUsed | None, high: LimitUsed | None, pen: Writer) -> str:
    """Write a range with its unit once; the overlay that set an end stands behind it, once where it set both."""
    if low is not None and high is not None:
        first, _, unit = pen.n(low.value, low.unit).partition(" ")
        last = pen.n(high.value, high.unit).removesuffix(f" {unit}")
        mine = "" if low.set_by == high.set_by else _mark(low)
        return f"{first}{mine} to {last}{f' {unit}' if unit else ''}{_mark(high)}"
    one = high or low
    return "-" if one is None else f"{'at most' if high else 'at least'} {pen.n(one.value, one.unit)}{_mark(one)}"


def _mark(limit: LimitUsed) -> str:
    return f" [{limit.set_by}]" if limit.set_by else ""


def set_by(limit: LimitUsed) -> str:
    """Name the overlay that set a limit, empty where the rulebook did."""
    return f", set by {limit.set_by}" if limit.set_by else ""
