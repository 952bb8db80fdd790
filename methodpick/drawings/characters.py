"""Pictures in plain characters that read without colour and piped to a file: the strip log, and density against fluid level."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import inf

from methodpick.drawings.window_chart import LIGHTEST_KG_M3
from methodpick.plan.result import SLAB, Casing, Interval, LevelAt, LogWater, ShaftPlan, Slurry
from methodpick.terms import FLUID_NAMES
from methodpick.unit_markup import NumberWriter, bare_number, number, unit_name

_HATCHES = {
    "clay": "---",
    "silt": "~~~",
    "silty_sand": ".:.",
    "clean_sand": "...",
    "silty_gravel": "o:o",
    "clean_gravel": "ooo",
    "cobbles": "OOO",
    "organic": "www",
    "intermediate": "=-=",
    "weathered_rock": "+-+",
    "rock": "###",
    "void": "   ",
    SLAB: "XXX",
}
_NO_HATCH = "???"
_SUPPORT_LETTERS = {"dry": "D", "slurry": "S", "temporary_casing": "T", "permanent_casing": "P", "undecided": "?"}
_LEAST_ROWS, _MOST_ROWS = 24, 48
_LEAST_COLUMNS, _MOST_COLUMNS = 12, 44
"""The width of the chart of levels."""
_FARTHEST_M = 30.0
"""Water that may rise higher than this is an open end of what is possible, and is not drawn."""
_STRIP_KEY = (
    "water: v likely level, : range; support: D dry, S slurry, T temporary casing, P permanent casing, ? undecided; "
    "casing: || wall, \\/ shoe; fluid: f full from here down while drilling"
)
_LEVELS_KEY = (
    "# open, + open but short of the recommended factors, . too light, x too heavy, o aim; > planned level, ! head rule broken, "
    "= specification; levels above the ground are negative"
)


def draw_strip_in_characters(shaft: ShaftPlan, numbers: NumberWriter) -> tuple[list[str], list[str]]:
    """Draw the strip of a shaft against depth, and return its rows and what its signs mean."""
    fluid = shaft.fluid_level_m if shaft.fluid_level_m is not None else 0.0
    waters = (water.high_m for water in shaft.ground.water if water.high_m > -_FARTHEST_M)
    top = min([0.0, fluid, *(casing.top_m for casing in shaft.casings), *waters])
    count = _rows(shaft, top)
    step = (shaft.tip_depth_m - top) / count
    rows = [f"{'depth':>8} ground  {'N':<8} water support casing  fluid"]
    rows += [_strip_row(shaft, numbers, (top + index * step, top + (index + 1) * step), first=index == 0) for index in range(count)]
    rows.append(
        numbers.text(f"{numbers.text(bare_number(shaft.tip_depth_m, 'm')):>8} tip ({unit_name('m')}; drawn at {number(step, 'm')} a row)")
    )
    met = {interval.ground: _hatch_of(interval).strip() or "blank" for interval in shaft.intervals}
    signs = ", ".join(f"{sign} {ground}" for ground, sign in met.items())
    return rows, [f"ground: {signs}", _STRIP_KEY]


def _hatch_of(interval: Interval) -> str:
    return _HATCHES.get(SLAB if interval.slab else interval.soil_class, _NO_HATCH)


def _rows(shaft: ShaftPlan, top_m: float) -> int:
    thinnest = min((interval.base_m - interval.top_m for interval in shaft.intervals), default=1.0)
    return max(_LEAST_ROWS, min(_MOST_ROWS, int((shaft.tip_depth_m - top_m) / max(thinnest, 0.3)) + 1))


def _strip_row(shaft: ShaftPlan, numbers: NumberWriter, ends: tuple[float, float], *, first: bool) -> str:
    top, base = ends
    middle = (top + base) / 2
    here = next((interval for interval in shaft.intervals if interval.top_m <= middle < interval.base_m), None)
    begun = next((interval for interval in shaft.intervals if top <= interval.top_m < base), None)
    depth = begun.top_m if begun is not None else top if first else None
    scale = "" if depth is None else numbers.text(bare_number(depth, "m"))
    ground = "" if here is None else _hatch_of(here) * 2
    blows = next((count for depth, count in shaft.ground.spt if top <= depth < base), "")
    support = "" if here is None else _SUPPORT_LETTERS[here.support] * 3
    cutoff = "cut-off" if top <= shaft.cutoff_m < base and shaft.cutoff_m > 0 else ""
    return (
        f"{scale:>8} {ground:<6}  {blows:<8} {_water(shaft.ground.water, top, base):<5} {support:<7} "
        f"{_casings(shaft.casings, top, base):<7} {_fluid(shaft, top, base)} {cutoff}"
    ).rstrip()


def _water(waters: Sequence[LogWater], top_m: float, base_m: float) -> str:
    mark = ""
    for water in waters:
        if water.likely_m is not None and top_m <= water.likely_m < base_m:
            return "v"
        if water.high_m < base_m and water.low_m > top_m:
            mark = ":"
    return mark


def _casings(casings: Sequence[Casing], top_m: float, base_m: float) -> str:
    signs = []
    for casing in casings:
        if top_m <= casing.base_m - 1e-9 < base_m:
            signs.append("\\/")
        elif casing.top_m < base_m and casing.base_m > top_m:
            signs.append("||")
        else:
            signs.append("  ")
    return " ".join(signs)


def _fluid(shaft: ShaftPlan, top_m: float, base_m: float) -> str:
    level, slurry = shaft.fluid_level_m, shaft.slurry
    if level is None or slurry is None:
        return ""
    if top_m <= level < base_m:
        return "f level"
    reached = max(held.base_m for held in shaft.slurries if held.fluid == slurry.fluid)
    return "f" if level <= top_m < reached else ""


def draw_levels_in_characters(
    slurry: Slurry, least: Sequence[str], notes: Sequence[str], numbers: NumberWriter, width: int
) -> tuple[list[str], list[str]]:
    """Draw what the ground leaves open at each level, the planned point, and what each fluid may weigh.

    ``least`` holds the least density at each level in words, ``notes`` what is said below the key.
    """
    fluids = [fluid for fluid in slurry.needed if fluid.allowed or fluid.fluid == slurry.fluid]
    if not slurry.levels or not fluids:
        return [], []
    planned = next(level for level in slurry.levels if level.planned)
    aim = slurry.density_target_kg_m3 or slurry.density_max_kg_m3 or LIGHTEST_KG_M3
    high = max(aim, planned.density_min_kg_m3 or 0.0, *(fluid.density_high_kg_m3 for fluid in fluids))
    columns = min(max(width - 41, _LEAST_COLUMNS), _MOST_COLUMNS)
    step = (high * 1.01 - LIGHTEST_KG_M3) / columns
    edges = [LIGHTEST_KG_M3 + step * index for index in range(columns + 1)]
    left, right = numbers.number(edges[0], "kg/m3"), numbers.number(edges[-1], "kg/m3")
    rows = [
        "Level and density that the ground leaves open:",
        f" {'level':>9} {'head':>8} {'at least':>10}  {left}{right:>{max(1, columns - len(left))}}",
    ]
    for level, asked in zip(slurry.levels, least, strict=True):
        cells = "".join(_openness(level, (low + high) / 2.0) for low, high in pairwise(edges))
        if level.planned:
            spot = min(int((aim - LIGHTEST_KG_M3) / step), columns - 1)
            cells = f"{cells[:spot]}o{cells[spot + 1 :]}"
        lead = ">" if level.planned else " " if level.head_kept else "!"
        depth, head = numbers.number(level.level_m, "m"), numbers.number(level.head_m, "m")
        rows.append(f"{lead}{depth:>9} {head:>8} {numbers.text(asked):>10}  {cells}")
    for fluid in fluids:
        bar = "".join("=" if fluid.density_low_kg_m3 < high and low < fluid.density_high_kg_m3 else " " for low, high in pairwise(edges))
        rows.append(f" {FLUID_NAMES[fluid.fluid]:>29}  {bar}")
    return rows, [_LEVELS_KEY, *notes]


def _openness(level: LevelAt, density_kg_m3: float) -> str:
    """Return the sign of a density at a level: too heavy, too light, open but short of the recommended factors, or open."""
    if density_kg_m3 > (level.density_max_kg_m3 or inf):
        return "x"
    if density_kg_m3 < (level.density_min_kg_m3 or (inf if level.min_by else 0.0)):
        return "."
    return "+" if density_kg_m3 < (level.density_wanted_kg_m3 or 0.0) else "#"
