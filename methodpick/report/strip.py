"""The strip: the shaft drawn against depth in plain characters that read without colour and piped to a file."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.plan.result import Casing, LogWater, ShaftPlan
from methodpick.report.voice import Voice

HATCH = {
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
    "unknown": "???",
}
SUPPORT_LETTER = {"dry": "D", "slurry": "S", "temporary_casing": "T", "permanent_casing": "P", "undecided": "?"}
LEAST_ROWS, MOST_ROWS = 24, 48


def draw(shaft: ShaftPlan, voice: Voice) -> None:
    """Draw the strip of a shaft."""
    voice.head("Strip")
    top = min(
        [
            0.0,
            *(casing.top_m for casing in shaft.casings),
            shaft.fluid_level_m if shaft.fluid_level_m is not None else 0.0,
            *(water.high_m for water in shaft.ground.water if water.high_m > -30),
        ]
    )
    rows = _rows(shaft, top)
    step = (shaft.tip_depth_m - top) / rows
    unit = "ft" if voice.units == "us" else "m"
    heading = f"{'depth':>8} ground  {'N':<8} water support casing  fluid"
    voice.row(heading)
    for row in range(rows):
        first, last = top + row * step, top + (row + 1) * step
        voice.row(_line(shaft, voice, first, last, row, rows))
    voice.say(f"{_number(voice, shaft.tip_depth_m):>8} tip ({unit}; drawn at {voice.n(step, 'm')} a row)", 2)
    used = dict.fromkeys(interval.soil_class for interval in shaft.intervals)
    voice.say("ground: " + ", ".join(f"{HATCH.get(soil, '???').strip() or 'blank'} {soil.replace('_', ' ')}" for soil in used), 2)
    voice.say(
        "water: v likely level, : range; support: D dry, S slurry, T temporary casing, P permanent casing, ? undecided; "
        "casing: || wall, \\/ shoe; fluid: f full from here down while drilling",
        2,
    )


def _rows(shaft: ShaftPlan, top_m: float) -> int:
    thin = min((interval.base_m - interval.top_m for interval in shaft.intervals), default=1.0)
    return max(LEAST_ROWS, min(MOST_ROWS, int((shaft.tip_depth_m - top_m) / max(thin, 0.3)) + 1))


def _number(voice: Voice, value: float) -> str:
    return voice.n(value, "m").split()[0]


def _line(shaft: ShaftPlan, voice: Voice, first: float, last: float, row: int, rows: int) -> str:
    middle = (first + last) / 2
    interval = next((one for one in shaft.intervals if one.top_m <= middle < one.base_m), None)
    starts = next((one for one in shaft.intervals if first <= one.top_m < last), None)
    scale = _number(voice, starts.top_m) if starts is not None else _number(voice, first) if row == 0 else ""
    ground = "      " if interval is None else HATCH.get(interval.soil_class, "???") * 2
    blows = next((count for depth, count in shaft.ground.spt if first <= depth < last), "")
    support = "" if interval is None else SUPPORT_LETTER[interval.support] * 3
    cut = "cut-off" if first <= shaft.cutoff_m < last and shaft.cutoff_m > 0 else ""
    del rows
    return (
        f"{scale:>8} {ground:<6}  {blows:<8} {_water(shaft.ground.water, first, last):<5} {support:<7} "
        f"{_casing(shaft.casings, first, last):<7} {_fluid(shaft, first, last)} {cut}"
    ).rstrip()


def _water(water: Sequence[LogWater], first: float, last: float) -> str:
    mark = ""
    for one in water:
        if one.likely_m is not None and first <= one.likely_m < last:
            return "v"
        if one.high_m < last and one.low_m > first:
            mark = ":"
    return mark


def _casing(casings: Sequence[Casing], first: float, last: float) -> str:
    signs = []
    for casing in casings:
        if first <= casing.base_m - 1e-9 < last:
            signs.append("\\/")
        elif casing.top_m < last and casing.base_m > first:
            signs.append("||")
        else:
            signs.append("  ")
    return " ".join(signs)


def _fluid(shaft: ShaftPlan, first: float, last: float) -> str:
    level, slurry = shaft.fluid_level_m, shaft.slurry
    if level is None or slurry is None:
        return ""
    if first <= level < last:
        return "f level"
    return "f" if level <= first < slurry.base_m else ""
