"""How the slurry window is told on any page: by the hole, by the fluid level, and the level that each fluid needs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from methodpick.plan.result import LevelAt, LevelNeeded, Slurry

LIGHTEST_KG_M3 = 1000.0
"""No drilling fluid is lighter than water."""
FLUID = {"water": "Water", "polymer": "Polymer fluid", "mineral": "Mineral slurry"}
DEPTH_HEADS = ("depth", "at least", "better", "because of", "at most")


class Writer(Protocol):
    """Writes numbers in the reader's units."""

    def n(self, value: float | None, unit: str) -> str:
        """Write a number with its unit, a dash where there is none."""


def held(one: Slurry, pen: Writer) -> str:
    """Describe which fluid holds which length at which level."""
    return f"{FLUID[one.fluid]} from {pen.n(one.top_m, 'm')} to {pen.n(one.base_m, 'm')}, level at {height(one.level_m, pen)}."


def of_the_hole(one: Slurry, pen: Writer) -> str:
    """State the density window of the hole, or that it is empty."""
    least, most = pen.n(one.density_min_kg_m3, "kg/m3"), pen.n(one.density_max_kg_m3, "kg/m3")
    if one.density_target_kg_m3 is None:
        return f"The window is empty: at least {least} is needed, at most {most} is allowed; bound {one.governed_by}."
    return f"Density {least} to {most}, aim at {pen.n(one.density_target_kg_m3, 'kg/m3')}; bound {one.governed_by}."


def beside(one: Slurry, pen: Writer) -> list[str]:
    """Describe what the recommended factors ask for, the head over the groundwater, and where theories differ."""
    said = [_recommended(one, pen)]
    if one.head_m is not None:
        said.append(f"Least head over the groundwater of the water-bearing layers: {pen.n(one.head_m, 'm')} at the likely levels.")
    return [text for text in (*said, _theories(one, pen)) if text]


def _recommended(one: Slurry, pen: Writer) -> str:
    """Describe what the recommended factors ask for where that is more than the density aimed at."""
    planned = next((level for level in one.levels if level.planned), None)
    target = one.density_target_kg_m3 or one.density_max_kg_m3
    if planned is None or planned.density_wanted_kg_m3 is None or target is None or planned.density_wanted_kg_m3 <= target:
        return ""
    return (
        f"At the recommended factors it would be {pen.n(planned.density_wanted_kg_m3, 'kg/m3')}, for {planned.wanted_by}: keep the "
        "level without fail, or raise it."
    )


def _theories(one: Slurry, pen: Writer) -> str:
    spread = one.wall_spread
    if spread is None or spread.cautious_kg_m3 < LIGHTEST_KG_M3:
        return ""
    return (
        f"Where theories differ: at {pen.n(spread.depth_m, 'm')} the granular wall asks for {_fluid(spread.hard_kg_m3, pen)} "
        f"(hoop factor 1, factor {spread.hard_factor:g}), for {_fluid(spread.wanted_kg_m3, pen)} (hoop factor K0, factor "
        f"{spread.wanted_factor:g}), and for {_fluid(spread.cautious_kg_m3, pen)} with friction and water at the bad end of what "
        "is known."
    )


def dense(density_kg_m3: float | None, pen: Writer) -> str:
    """Write the least density; where less than water would do, any fluid does."""
    return "any" if density_kg_m3 is None or density_kg_m3 < LIGHTEST_KG_M3 else pen.n(density_kg_m3, "kg/m3")


def asked(level: LevelAt, pen: Writer) -> str:
    """Write the least density at a level; none does where the level stands no higher than what it must hold."""
    return "none does" if level.density_min_kg_m3 is None and level.min_by else dense(level.density_min_kg_m3, pen)


def _fluid(density_kg_m3: float, pen: Writer) -> str:
    return "no more than water" if density_kg_m3 < LIGHTEST_KG_M3 else pen.n(density_kg_m3, "kg/m3")


def height(level_m: float, pen: Writer) -> str:
    """Write a level as a height above or a depth below the ground."""
    return f"{pen.n(-level_m, 'm')} above the ground" if level_m < 0 else f"{pen.n(level_m, 'm')} below the ground"


def depth_rows(one: Slurry, pen: Writer) -> list[tuple[str, ...]]:
    """Return the rows of the window by depth, for the heads of :data:`DEPTH_HEADS`."""
    return [
        (
            pen.n(row.depth_m, "m"),
            dense(row.density_min_kg_m3, pen),
            dense(row.density_wanted_kg_m3, pen),
            row.min_by or "-",
            pen.n(row.density_max_kg_m3, "kg/m3"),
        )
        for row in one.by_depth
    ]


def turns(levels: Sequence[LevelAt], pen: Writer) -> list[str]:
    """Return what governs each side, from which level to which."""
    lines = []
    for side, words in (("At least", [level.min_by for level in levels]), ("At most", [level.max_by for level in levels])):
        parts, start = [], 0
        for end in range(1, len(words) + 1):
            if end == len(words) or words[end] != words[start]:
                if words[start]:
                    ends = dict.fromkeys(pen.n(levels[index].level_m, "m") for index in (start, end - 1))
                    parts.append(f"{words[start]} ({' to '.join(ends)})")
                start = end
        if parts:
            lines.append(f"{side} by {'; '.join(parts)}." if len(parts) > 1 else f"{side} by {parts[0].rsplit(' (', 1)[0]} at every level.")
    return lines


def needs(needed: Sequence[LevelNeeded], pen: Writer) -> list[str]:
    """State the level and the head that each fluid needs at its usual density."""
    said = []
    for one in needed:
        if not one.allowed:
            continue
        lead = f"{FLUID[one.fluid]} of {pen.n(one.density_kg_m3, 'kg/m3')}"
        if one.level_m is None:
            said.append(f"{lead} finds no level: deep ground asks for a higher one than the ground higher up takes.")
            continue
        head = f", {pen.n(one.head_m, 'm')} over the groundwater" if one.head_m is not None else ""
        reach = "" if one.reachable else ", more than the highest practical one"
        said.append(
            f"{lead} needs a level at {height(one.level_m, pen)}{head}, a stick-up of {pen.n(one.stick_up_m, 'm')}{reach}; "
            f"for {one.because}."
        )
    return said
