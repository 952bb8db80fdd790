"""The support fluid of a shaft: the window of its density, and the programme of mixing, testing and keeping it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from methodpick.document.model import Block, Figure, Items, Paragraph, Section, Subheading, TextTable, section
from methodpick.drawings.charts import LIGHTEST_KG_M3, draw_levels_in_characters, draw_window
from methodpick.plan.result import ControlRow, FluidProgramme, Grade, Ingredient, LevelAt, LevelNeeded, LimitUsed, Mix, ShaftPlan, Slurry
from methodpick.terms import FLUID_NAMES
from methodpick.unit_markup import bare_number, height_words, number, number_span

# ---- window: over the hole, by depth, by fluid level, and the level that each fluid needs


_LEVEL_HEADS = ("fluid level, depth", "head over water", "at least", "because of", "at most", "")
_HEADS = ("depth", "at least", "better", "because of", "at most")
NO_FLUID = "The plan uses no support fluid."
_ORDER = "What to do, in this order:"


def window(shaft: ShaftPlan) -> Section | None:
    """Return the density window with its charts, of other lengths under fluid in words; nothing where the plan uses no fluid."""
    slurry = shaft.slurry
    if slurry is None:
        return None
    empty = slurry.density_target_kg_m3 is None
    return section(
        "Slurry window",
        *(_in_words(other, shaft.design.datum) for other in shaft.slurries if other != slurry),
        Paragraph(held_length(slurry, shaft.design.datum)),
        Paragraph(over_the_hole(slurry), "danger" if empty else "strong"),
        Paragraph(_ORDER) if empty else None,
        Items(tuple(remedy.text for remedy in slurry.remedies) if empty else (), numbered=True),
        *map(Paragraph, _remarks(slurry)),
        Items(tuple(_needs(slurry.needed, shaft.design.datum))),
        window_figure(shaft),
        TextTable(_HEADS, tuple(_depth_rows(slurry)), (0, 1, 2, 4)),
        _level_table(slurry.levels),
    )


def window_figure(shaft: ShaftPlan) -> Figure:
    """Return the chart of the window by depth, in characters by level. Drawing it raises InputError where the plan uses no fluid."""
    slurry = shaft.slurry
    if slurry is None:
        return Figure(lambda units, prefix: draw_window(shaft, units, prefix))
    asked = tuple(_asked(level) for level in slurry.levels)
    return Figure(
        lambda units, prefix: draw_window(shaft, units, prefix),
        in_characters=lambda numbers, width: draw_levels_in_characters(slurry, asked, _governing(slurry.levels), numbers, width),
    )


def _in_words(slurry: Slurry, datum: str) -> Paragraph:
    """Return another length that stands under fluid at another time, and its window."""
    text = f"{held_length(slurry, datum)} {over_the_hole(slurry)}"
    return Paragraph(text, "danger" if slurry.density_target_kg_m3 is None else "")


def held_length(slurry: Slurry, datum: str) -> str:
    """Describe which fluid holds which length at which level."""
    return (
        f"{FLUID_NAMES[slurry.fluid].capitalize()} from {number(slurry.top_m, 'm')} to {number(slurry.base_m, 'm')}, level at "
        f"{height_words(slurry.level_m, datum)}."
    )


def over_the_hole(slurry: Slurry) -> str:
    """Describe the density window of the hole, empty or not."""
    least, most = number(slurry.density_min_kg_m3, "kg/m3"), number(slurry.density_max_kg_m3, "kg/m3")
    if slurry.density_target_kg_m3 is None:
        return f"The window is empty: at least {least} is needed, at most {most} is allowed; bound {slurry.governed_by}."
    return f"Density {least} to {most}, aim at {number(slurry.density_target_kg_m3, 'kg/m3')}; bound {slurry.governed_by}."


def what_to_do(slurry: Slurry) -> str:
    """Return that the window is empty, as a lead to the remedies."""
    return f"{over_the_hole(slurry)} {_ORDER}"


def fluid_level_words(slurry: Slurry, datum: str) -> str:
    """Describe the level of the fluid, and its least head over the groundwater."""
    head = "" if slurry.head_m is None else f" {_least_head(slurry.head_m)}"
    return f"fluid level {height_words(slurry.level_m, datum)}.{head}"


def _remarks(slurry: Slurry) -> list[str]:
    """Describe what the recommended factors ask for, the head over the groundwater, and where theories differ."""
    head = "" if slurry.head_m is None else _least_head(slurry.head_m)
    return [_recommended(slurry), head, _theories(slurry)]


def _least_head(head_m: float) -> str:
    return f"Least head over the groundwater of the water-bearing layers: {number(head_m, 'm')} at the likely levels."


def _recommended(slurry: Slurry) -> str:
    """Describe what the recommended factors ask for where that is more than the density aimed at."""
    planned = next((level for level in slurry.levels if level.planned), None)
    target = slurry.density_target_kg_m3 or slurry.density_max_kg_m3
    if planned is None or planned.density_wanted_kg_m3 is None or target is None or planned.density_wanted_kg_m3 <= target:
        return ""
    return (
        f"At the recommended factors it would be {number(planned.density_wanted_kg_m3, 'kg/m3')}, for {planned.wanted_by}: keep the level "
        "without fail, or raise it."
    )


def _theories(slurry: Slurry) -> str:
    spread = slurry.wall_spread
    if spread is None or spread.cautious_kg_m3 < LIGHTEST_KG_M3:
        return ""
    hard, wanted, cautious = (
        "no more than water" if density < LIGHTEST_KG_M3 else number(density, "kg/m3")
        for density in (spread.hard_kg_m3, spread.wanted_kg_m3, spread.cautious_kg_m3)
    )
    return (
        f"Where theories differ: at {number(spread.depth_m, 'm')} the granular wall asks for {hard} (hoop factor 1, factor "
        f"{spread.hard_factor:g}), for {wanted} (hoop factor K0, factor {spread.wanted_factor:g}), and for {cautious} with friction and "
        "water at the bad end of what is known."
    )


def _least(density_kg_m3: float | None) -> str:
    """Return the least density; where less than water would do, any fluid does."""
    return "any" if density_kg_m3 is None or density_kg_m3 < LIGHTEST_KG_M3 else number(density_kg_m3, "kg/m3")


def _asked(level: LevelAt) -> str:
    """Return the least density at a level; none does where the level stands no higher than what it must hold."""
    return "none does" if level.density_min_kg_m3 is None and level.min_by else _least(level.density_min_kg_m3)


def _depth_rows(slurry: Slurry) -> list[tuple[str, ...]]:
    return [
        (
            number(row.depth_m, "m"),
            _least(row.density_min_kg_m3),
            _least(row.density_wanted_kg_m3),
            row.min_by or "-",
            number(row.density_max_kg_m3, "kg/m3"),
        )
        for row in slurry.by_depth
    ]


def _level_table(levels: Sequence[LevelAt]) -> TextTable:
    """Return the densities that the ground leaves open by level; what is the same at every level has no column, the chart says it."""
    rows, always = [_level_row(level) for level in levels], (0, 1, 5)
    kept = [column for column in range(len(_LEVEL_HEADS)) if column in always or len({row[column] for row in rows}) > 1]
    if len(kept) == len(always):
        return TextTable(_LEVEL_HEADS, ())
    right = tuple(place for place, column in enumerate(kept) if column not in {3, 5})
    return TextTable(tuple(_LEVEL_HEADS[column] for column in kept), tuple(tuple(row[column] for column in kept) for row in rows), right)


def _level_row(level: LevelAt) -> tuple[str, ...]:
    """Return the densities that the ground leaves open with the fluid at one level."""
    standing = "planned" if level.planned else "" if level.head_kept else "too low"
    head, most = number(level.head_m, "m"), number(level.density_max_kg_m3, "kg/m3")
    return number(level.level_m, "m"), head, _asked(level), level.min_by or "-", most, standing


def _governing(levels: Sequence[LevelAt]) -> list[str]:
    """Describe what governs each side, from which level to which."""
    lines = []
    for side, causes in (("least", [level.min_by for level in levels]), ("greatest", [level.max_by for level in levels])):
        parts, start = [], 0
        for end in range(1, len(causes) + 1):
            if end == len(causes) or causes[end] != causes[start]:
                if causes[start]:
                    parts.append(f"{causes[start]} (levels {number_span(levels[start].level_m, levels[end - 1].level_m, 'm')})")
                start = end
        if len(parts) == 1:
            parts = [f"{parts[0].rsplit(' (', 1)[0]}, at every level"]
        if parts:
            lines.append(f"What sets the {side} density: {'; '.join(parts)}.")
    return lines


def _needs(needed: Sequence[LevelNeeded], datum: str) -> list[str]:
    """Describe the level and the head that each fluid needs at its usual density."""
    texts = []
    for fluid in needed:
        if not fluid.allowed:
            continue
        lead = f"{FLUID_NAMES[fluid.fluid].capitalize()} of {number(fluid.density_kg_m3, 'kg/m3')}"
        if fluid.level_m is None:
            texts.append(f"{lead} finds no level: deep ground asks for a higher one than the ground higher up takes.")
            continue
        head = f", {number(fluid.head_m, 'm')} over the groundwater" if fluid.head_m is not None else ""
        reach = "" if fluid.reachable else ", more than the highest practical one"
        texts.append(
            f"{lead} needs a level at {height_words(fluid.level_m, datum)}{head}, and a stick-up of {number(fluid.stick_up_m, 'm')}"
            f"{reach}. What asks for it: {fluid.because}."
        )
    return texts


# ---- programme: which fluid and why, water, mix, control, tests, loss and reserve


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
    yield control_table(programme)
    yield Paragraph(_control_sources(programme))
    yield Items(tuple(time.text for time in programme.times))


def control_table(programme: FluidProgramme) -> TextTable:
    """Return what each property of the fluid has to be when it goes in and before concrete, and how it is tested."""
    return TextTable(_CONTROL_HEADS, tuple(_control_rows(programme)))


def stock(programme: FluidProgramme) -> str:
    """Describe how much fluid fills the hole and how much to have."""
    times = f"{programme.stock_factor.value:g} times that{_set_by(programme.stock_factor)}"
    why = f"the hole and what is lost come to more than {times}" if programme.stocks_losses else times
    return (
        f"{FLUID_NAMES[programme.fluid].capitalize()}: {number(programme.hole_m3, 'm3')} fill the hole, have "
        f"{number(programme.stock_m3, 'm3')} in stock ({why})."
    )


def stock_in_short(programme: FluidProgramme) -> str:
    """Describe how much fluid fills the hole and how much to have, without why."""
    return f"{number(programme.hole_m3, 'm3')} fill the hole; have {number(programme.stock_m3, 'm3')} in stock."


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
