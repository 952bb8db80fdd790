"""The slurry window on the page: densities by depth and by fluid level, a chart of the open region, what to do when it is empty."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import inf

from methodpick.plan.result import LevelAt, LevelNeeded, ShaftPlan, Slurry
from methodpick.report.voice import Voice

LIGHTEST_KG_M3 = 1000.0
"""No drilling fluid is lighter than water."""
LEAST_COLUMNS, MOST_COLUMNS = 12, 44
"""The width of the chart."""
FLUID = {"water": "Water", "polymer": "Polymer fluid", "mineral": "Mineral slurry"}


def window(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the density window: over the hole, by depth, by level."""
    one = shaft.slurry
    if one is None:
        return
    voice.head("Slurry window")
    least, most = voice.n(one.density_min_kg_m3, "kg/m3"), voice.n(one.density_max_kg_m3, "kg/m3")
    voice.say(f"{FLUID[one.fluid]} from {voice.n(one.top_m, 'm')} to {voice.n(one.base_m, 'm')}, level at {height(one.level_m, voice)}.")
    if one.density_target_kg_m3 is None:
        voice.say(f"The window is empty: at least {least} is needed, at most {most} is allowed; bound {one.governed_by}.", style="bold red")
        for number, remedy in enumerate(one.remedies, 1):
            voice.item(f"{number}.", remedy.text)
    else:
        voice.say(f"Density {least} to {most}, aim at {voice.n(one.density_target_kg_m3, 'kg/m3')}; bound {one.governed_by}.")
    _recommended(one, voice)
    if one.head_m is not None:
        voice.say(f"Least head over the groundwater of the water-bearing layers: {voice.n(one.head_m, 'm')} at the likely levels.")
    _theories(one, voice)
    rows = [(voice.n(row.depth_m, "m"), dense(row.density_min_kg_m3, voice), dense(row.density_wanted_kg_m3, voice), row.min_by or "-",
             voice.n(row.density_max_kg_m3, "kg/m3")) for row in one.by_depth]
    voice.table(("depth", "at least", "better", "because of", "at most"), rows, right=(0, 1, 2, 4))
    _chart(one, voice)
    _needed(one.needed, voice)


def _recommended(one: Slurry, voice: Voice) -> None:
    """Say what the recommended factors ask for where that is more than the density aimed at."""
    planned = next((level for level in one.levels if level.planned), None)
    target = one.density_target_kg_m3 or one.density_max_kg_m3
    if planned is None or planned.density_wanted_kg_m3 is None or target is None or planned.density_wanted_kg_m3 <= target:
        return
    voice.say(f"At the recommended factors it would be {voice.n(planned.density_wanted_kg_m3, 'kg/m3')}, for {planned.wanted_by}: keep the "
              "level without fail, or raise it.")


def _theories(one: Slurry, voice: Voice) -> None:
    if one.wall_spread is None or one.wall_spread.cautious_kg_m3 < LIGHTEST_KG_M3:
        return
    spread = one.wall_spread
    voice.say(f"Where theories differ: at {voice.n(spread.depth_m, 'm')} the granular wall asks for {_fluid(spread.hard_kg_m3, voice)} "
              f"(hoop factor 1, factor {spread.hard_factor:g}), for {_fluid(spread.wanted_kg_m3, voice)} (hoop factor K0, factor "
              f"{spread.wanted_factor:g}), and for {_fluid(spread.cautious_kg_m3, voice)} with friction and water at the bad end of what "
              "is known.")


def dense(density_kg_m3: float | None, voice: Voice) -> str:
    """Write the least density; where less than water would do, any fluid does."""
    return "any" if density_kg_m3 is None or density_kg_m3 < LIGHTEST_KG_M3 else voice.n(density_kg_m3, "kg/m3")


def _fluid(density_kg_m3: float, voice: Voice) -> str:
    return "no more than water" if density_kg_m3 < LIGHTEST_KG_M3 else voice.n(density_kg_m3, "kg/m3")


def height(level_m: float, voice: Voice) -> str:
    """Write a level as a height above or a depth below the ground."""
    return f"{voice.n(-level_m, 'm')} above the ground" if level_m < 0 else f"{voice.n(level_m, 'm')} below the ground"


def _chart(one: Slurry, voice: Voice) -> None:
    """Draw level against density: what the ground leaves open at each level, the planned point, what each fluid may weigh."""
    fluids = [fluid for fluid in one.needed if fluid.allowed or fluid.fluid == one.fluid]
    if not one.levels or not fluids:
        return
    planned = next(level for level in one.levels if level.planned)
    aim = one.density_target_kg_m3 or one.density_max_kg_m3 or LIGHTEST_KG_M3
    high = max(aim, planned.density_min_kg_m3 or 0.0, *(fluid.density_high_kg_m3 for fluid in fluids))
    columns = min(max(voice.console.width - 41, LEAST_COLUMNS), MOST_COLUMNS)
    step = (high * 1.01 - LIGHTEST_KG_M3) / columns
    edges = [LIGHTEST_KG_M3 + step * number for number in range(columns + 1)]
    ends = voice.n(edges[0], "kg/m3"), voice.n(edges[-1], "kg/m3")
    voice.say("Level and density that the ground leaves open:")
    voice.row(f" {'level':>9} {'head':>8} {'at least':>10}  {ends[0]}{ends[1]:>{max(1, columns - len(ends[0]))}}")
    for level in one.levels:
        cells = "".join(_cell(level, left, right) for left, right in pairwise(edges))
        if level.planned:
            spot = min(int((aim - LIGHTEST_KG_M3) / step), columns - 1)
            cells = f"{cells[:spot]}o{cells[spot + 1:]}"
        lead = ">" if level.planned else " " if level.head_kept else "!"
        voice.row(f"{lead}{voice.n(level.level_m, 'm'):>9} {voice.n(level.head_m, 'm'):>8} {_asked(level, voice):>10}  {cells}")
    for fluid in fluids:
        bar = "".join("=" if fluid.density_low_kg_m3 < right and left < fluid.density_high_kg_m3 else " "
                      for left, right in pairwise(edges))
        voice.row(f" {FLUID[fluid.fluid].lower():>29}  {bar}")
    voice.say("# open, + open but short of the recommended factors, . too light, x too heavy, o aim; > planned level, ! head rule broken, "
              "= specification; levels above the ground are negative")
    for line in _turns(one.levels, voice):
        voice.item("-", line)


def _cell(level: LevelAt, left_kg_m3: float, right_kg_m3: float) -> str:
    density = (left_kg_m3 + right_kg_m3) / 2.0
    if density > (level.density_max_kg_m3 or inf):
        return "x"
    if density < (level.density_min_kg_m3 or (inf if level.min_by else 0.0)):
        return "."
    return "+" if density < (level.density_wanted_kg_m3 or 0.0) else "#"


def _asked(level: LevelAt, voice: Voice) -> str:
    """Write the least density at a level; none does where the level stands no higher than what it must hold."""
    return "none does" if level.density_min_kg_m3 is None and level.min_by else dense(level.density_min_kg_m3, voice)


def _turns(levels: Sequence[LevelAt], voice: Voice) -> list[str]:
    """Give what governs each side, from which level to which."""
    lines = []
    for side, words in (("At least", [level.min_by for level in levels]), ("At most", [level.max_by for level in levels])):
        parts, start = [], 0
        for end in range(1, len(words) + 1):
            if end == len(words) or words[end] != words[start]:
                if words[start]:
                    ends = dict.fromkeys(voice.n(levels[index].level_m, "m") for index in (start, end - 1))
                    parts.append(f"{words[start]} ({' to '.join(ends)})")
                start = end
        if parts:
            lines.append(f"{side} by {'; '.join(parts)}." if len(parts) > 1 else f"{side} by {parts[0].rsplit(' (', 1)[0]} at every level.")
    return lines


def _needed(needed: Sequence[LevelNeeded], voice: Voice) -> None:
    """Write the level that each fluid needs at its usual density."""
    for one in needed:
        if not one.allowed:
            continue
        lead = f"{FLUID[one.fluid]} of {voice.n(one.density_kg_m3, 'kg/m3')}"
        if one.level_m is None:
            voice.item("-", f"{lead} finds no level: deep ground asks for a higher one than the ground higher up takes.")
            continue
        head = f", {voice.n(one.head_m, 'm')} over the groundwater" if one.head_m is not None else ""
        reach = "" if one.reachable else ", more than the highest practical one"
        voice.item("-", f"{lead} needs a level at {height(one.level_m, voice)}{head}, a stick-up of {voice.n(one.stick_up_m, 'm')}{reach}; "
                   f"for {one.because}.")
