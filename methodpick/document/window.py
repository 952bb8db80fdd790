"""The density window of the support fluid: over the hole, by depth, by fluid level, and the level that each fluid needs."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.model import Figure, Items, Paragraph, Section, TextTable, section
from methodpick.drawings.characters import draw_levels_in_characters
from methodpick.drawings.levels_chart import LIGHTEST_KG_M3
from methodpick.drawings.window_chart import draw_window, window_ends
from methodpick.plan.result import LevelAt, LevelNeeded, ShaftPlan, Slurry
from methodpick.terms import FLUID_NAMES
from methodpick.unit_markup import number, number_span

_HEADS = ("depth", "at least", "better", "because of", "at most")
NO_FLUID = "The plan uses no support fluid."
_ORDER = "What to do, in this order:"


def window(shaft: ShaftPlan) -> Section | None:
    """Return the density window with its charts; nothing where the plan uses no fluid."""
    slurry = shaft.slurry
    if slurry is None:
        return None
    empty = slurry.density_target_kg_m3 is None
    return section(
        "Slurry window",
        Paragraph(held_length(slurry)),
        Paragraph(over_the_hole(slurry), "danger" if empty else "strong"),
        Paragraph(_ORDER) if empty else None,
        Items(tuple(remedy.text for remedy in slurry.remedies) if empty else (), numbered=True),
        *map(Paragraph, _remarks(slurry)),
        Items(tuple(_needs(slurry.needed))),
        window_figure(shaft),
        TextTable(_HEADS, tuple(_depth_rows(slurry)), (0, 1, 2, 4)),
    )


def window_figure(shaft: ShaftPlan) -> Figure:
    """Return the charts of the window by depth and by level. Drawing them raises InputError where the plan uses no fluid."""
    slurry = shaft.slurry
    if slurry is None:
        return Figure(lambda units, prefix: draw_window(shaft, units, (), prefix))
    captions = (_chart_caption(slurry), *_governing(slurry.levels))
    asked = tuple(_asked(level) for level in slurry.levels)
    return Figure(
        lambda units, prefix: draw_window(shaft, units, captions, prefix),
        in_characters=lambda numbers, width: draw_levels_in_characters(slurry, asked, captions[1:], numbers, width),
    )


def held_length(slurry: Slurry) -> str:
    """Describe which fluid holds which length at which level."""
    return (
        f"{FLUID_NAMES[slurry.fluid].capitalize()} from {number(slurry.top_m, 'm')} to {number(slurry.base_m, 'm')}, level at "
        f"{_height(slurry.level_m)}."
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


def fluid_level(slurry: Slurry) -> str:
    """Describe the level of the fluid, and its least head over the groundwater."""
    head = "" if slurry.head_m is None else f" {_least_head(slurry.head_m)}"
    return f"fluid level {_height(slurry.level_m)}.{head}"


def _chart_caption(slurry: Slurry) -> str:
    """Describe what the chart by depth shows."""
    if slurry.density_target_kg_m3 is None:
        return over_the_hole(slurry)
    least, most = (number(end, "kg/m3") for end in window_ends(slurry))
    return (
        f"{slurry.fluid.capitalize()}: {least} to {most} (hatched), aim {number(slurry.density_target_kg_m3, 'kg/m3')} (dashed), bound "
        f"{slurry.governed_by}; held by fluid from {number(slurry.top_m, 'm')} to {number(slurry.base_m, 'm')}."
    )


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


def _height(level_m: float) -> str:
    """Return a level as a height above or a depth below the ground."""
    return f"{number(abs(level_m), 'm')} {'above' if level_m < 0 else 'below'} the ground"


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


def _governing(levels: Sequence[LevelAt]) -> list[str]:
    """Describe what governs each side, from which level to which."""
    lines = []
    for side, causes in (("At least", [level.min_by for level in levels]), ("At most", [level.max_by for level in levels])):
        parts, start = [], 0
        for end in range(1, len(causes) + 1):
            if end == len(causes) or causes[end] != causes[start]:
                if causes[start]:
                    parts.append(f"{causes[start]} ({number_span(levels[start].level_m, levels[end - 1].level_m, 'm')})")
                start = end
        if len(parts) == 1:
            parts = [f"{parts[0].rsplit(' (', 1)[0]} at every level"]
        if parts:
            lines.append(f"{side} by {'; '.join(parts)}.")
    return lines


def _needs(needed: Sequence[LevelNeeded]) -> list[str]:
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
            f"{lead} needs a level at {_height(fluid.level_m)}{head}, a stick-up of {number(fluid.stick_up_m, 'm')}{reach}; for "
            f"{fluid.because}."
        )
    return texts
