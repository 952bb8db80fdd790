"""The slurry window on the page: densities by depth and by fluid level, a chart of the open region, what to do when it is empty."""

from __future__ import annotations

from itertools import pairwise
from math import inf

from methodpick.document import fluid_window as told
from methodpick.document.fluid_window import FLUID, LIGHTEST_KG_M3
from methodpick.plan.result import LevelAt, ShaftPlan, Slurry
from methodpick.report.voice import Voice

LEAST_COLUMNS, MOST_COLUMNS = 12, 44
"""The width of the chart."""


def window(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the density window: over the hole, by depth, by level."""
    one = shaft.slurry
    if one is None:
        return
    voice.head("Slurry window")
    voice.say(told.held(one, voice))
    empty = one.density_target_kg_m3 is None
    voice.say(told.of_the_hole(one, voice), style="bold red" if empty else "")
    for number, remedy in enumerate(one.remedies if empty else (), 1):
        voice.item(f"{number}.", remedy.text)
    for text in told.beside(one, voice):
        voice.say(text)
    voice.table(told.DEPTH_HEADS, told.depth_rows(one, voice), right=(0, 1, 2, 4))
    _chart(one, voice)
    for text in told.needs(one.needed, voice):
        voice.item("-", text)


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
            cells = f"{cells[:spot]}o{cells[spot + 1 :]}"
        lead = ">" if level.planned else " " if level.head_kept else "!"
        voice.row(f"{lead}{voice.n(level.level_m, 'm'):>9} {voice.n(level.head_m, 'm'):>8} {told.asked(level, voice):>10}  {cells}")
    for fluid in fluids:
        bar = "".join(
            "=" if fluid.density_low_kg_m3 < right and left < fluid.density_high_kg_m3 else " " for left, right in pairwise(edges)
        )
        voice.row(f" {FLUID[fluid.fluid].lower():>29}  {bar}")
    voice.say(
        "# open, + open but short of the recommended factors, . too light, x too heavy, o aim; > planned level, ! head rule broken, "
        "= specification; levels above the ground are negative"
    )
    for line in told.turns(one.levels, voice):
        voice.item("-", line)


def _cell(level: LevelAt, left_kg_m3: float, right_kg_m3: float) -> str:
    density = (left_kg_m3 + right_kg_m3) / 2.0
    if density > (level.density_max_kg_m3 or inf):
        return "x"
    if density < (level.density_min_kg_m3 or (inf if level.min_by else 0.0)):
        return "."
    return "+" if density < (level.density_wanted_kg_m3 or 0.0) else "#"
