"""How a shaft is built: its decision, what holds the wall over every length, stages and quantities."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from methodpick.document.checks import not_proven, smallest_margins
from methodpick.document.grouping import ShaftGroup
from methodpick.document.model import Items, Paragraph, Section, TextTable, section
from methodpick.drawings.strip_columns import IN_STARTER, runs
from methodpick.plan.result import Interval, ShaftPlan, Stage
from methodpick.terms import FLUID_NAMES, STATE_NAMES, SUPPORT_NAMES
from methodpick.unit_markup import SAME_LENGTH_M, all_of, how_many, number

BY_PLANNING_RATES = "by this tool's own planning rates"
NOT_PROVEN = "not proven"
SUPPORT_HEADS = ("top", "base", "ground", "held by", "drilled", "confidence")


def head_lines(group: ShaftGroup) -> tuple[str, ...]:
    """Return the lines under the title of a shaft's page: for which shafts, their size, and the boring that they are planned with."""
    shaft = group.first
    lines = [f"For shafts {group.names}; {group.count} shafts in all."] if len(group.shafts) > 1 else []
    ground = shaft.ground.ground_elevation_m
    elevation = "" if ground is None else f" (el. {number(ground - shaft.tip_depth_m, 'm')})"
    level = shaft.boring_level_m or 0.0
    step = f", its ground {number(abs(level), 'm')} {'lower' if level > 0 else 'higher'}" if level else ""
    lines.append(
        f"{number(shaft.diameter_m, 'size')} diameter, cut-off {number(shaft.cutoff_m, 'm')}, tip "
        f"{number(shaft.tip_depth_m, 'm')} below {shaft.design.datum}{elevation}; boring {group.boring}{step}, ends at "
        f"{number(shaft.ground.end_m, 'm')}"
    )
    return tuple(lines)


def decision(shaft: ShaftPlan) -> Section:
    """Return the decision, the method, how the concrete is placed, and the checks on which the plan hangs by the least."""
    if not shaft.has_method:
        return section("Decision", Paragraph(shaft.decision, "strong"), tone="decision")
    method = f"Method: {SUPPORT_NAMES[shaft.method]}. Concrete: {shaft.planned_placement.state}. {shaft.planned_placement.why}"
    least = smallest_margins(shaft)
    margins = (Paragraph("The smallest margins:"), Items(least)) if least else ()
    unproven = Paragraph(not_proven(shaft), "danger")
    return section("Decision", Paragraph(shaft.decision, "strong"), unproven, Paragraph(method), *margins, tone="decision")


def held_by(interval: Interval) -> str:
    """Name what holds the wall of an interval, with its fluid."""
    return SUPPORT_NAMES[interval.support] + (f" ({interval.fluid})" if interval.fluid else "")


def least_confidence(shaft: ShaftPlan) -> str:
    """Return the least confidence of a shaft's intervals; a way that is built and not proven is less than all of them."""
    if shaft.has_method and not shaft.proven:
        return NOT_PROVEN
    known = {interval.confidence for interval in shaft.intervals}
    return next((word for word in ("undecided", "conditional") if word in known), "firm")


def support_runs(shaft: ShaftPlan) -> list[tuple[Interval, float]]:
    """Return the first of neighbouring intervals that are held in the same way in one soil, and the depth where they end."""
    return runs(shaft.intervals, lambda each: (each.ground, each.support, each.fluid, each.drilled_in, each.confidence))


def support_rows(shaft: ShaftPlan) -> list[tuple[str, ...]]:
    """Return what holds the wall over every length, for :data:`SUPPORT_HEADS`; the starter where no other casing stands in it."""
    lengths = runs(
        shaft.intervals, lambda each: (shaft.in_starter(each), each.ground, each.support, each.fluid, each.drilled_in, each.confidence)
    )
    return [
        (number(interval.top_m, "m"), number(base_m, "m"), interval.ground, *_held_and_drilled(shaft, interval), interval.confidence)
        for interval, base_m in lengths
    ]


def _held_and_drilled(shaft: ShaftPlan, interval: Interval) -> tuple[str, str]:
    if shaft.in_starter(interval):
        drilled, held = IN_STARTER
        return held, drilled
    return held_by(interval), STATE_NAMES.get(interval.drilled_in or "", "-")


def supports(shaft: ShaftPlan) -> Section:
    """Return the table of supports."""
    return section("What holds the wall when the tip is reached", TextTable(SUPPORT_HEADS, tuple(support_rows(shaft)), (0, 1)))


def stage_hours(shaft: ShaftPlan) -> float:
    """Return the hours of all stages; one without hours counts as none."""
    return sum(stage.hours or 0.0 for stage in shaft.stages)


MOST_NIGHTS = 4
"""So many nights are told one by one."""


def nights(shaft: ShaftPlan) -> Items:
    """Return the nights of the work, each with the stage in or after which it falls and how the hole is left.

    Of many nights the first ones and the last are told, which says what is left after it, and how many lie between them.
    """
    told = [night.text for night in shaft.nights]
    between = len(told) - MOST_NIGHTS
    if between > 0:
        told = [*told[: MOST_NIGHTS - 1], f"{how_many(between, 'more night')} like the one before.", told[-1]]
    return Items(tuple(told))


def nights_in_short(shaft: ShaftPlan) -> str:
    """Return in which stages the shifts end; nothing where the work fits into one."""
    if not shaft.nights:
        return ""
    numbers = list(dict.fromkeys(str(night.stage) for night in shaft.nights))
    ends = f"stage {numbers[0]}" if len(numbers) == 1 else f"stages {', '.join(numbers[:-1])} and {numbers[-1]}"
    return f"{how_many(len(shaft.nights), 'night')}, in {ends}."


def stages(shaft: ShaftPlan) -> Section:
    """Return the steps of the work with their hours, and the hours in all."""
    entries = tuple(stage.text + (f" [{stage.hours:.1f} h]" if stage.hours else "") for stage in shaft.stages)
    return section(
        "Stages",
        Items(entries, numbered=True),
        *([nights(shaft)] if shaft.nights else []),
        Paragraph(f"About {stage_hours(shaft):.0f} h for the whole shaft, {BY_PLANNING_RATES}."),
    )


SHORT_STAGE_HEADS = ("stage", "h", "what is done", "tool")
_PLACED_BY = {"free_fall": "free fall", "drop_pipe": "drop pipe", "tremie": "tremie"}
_CLAUSE_ENDS = (
    "; ",
    ". ",
    ": ",
    " while ",
    " before drilling ",
    ", the pipe ",
    ", clear of ",
    " and inspect ",
    " with the ",
    " with a belling tool ",
    ", and dig inside",
)
"""Where the words of a stage may be cut: what follows says how, not what."""


def stages_in_short(shaft: ShaftPlan) -> Iterator[TextTable | Paragraph]:
    """Return the stages with their hours and tools, neighbours that drill nothing on one row, and the hours in all.

    The foreman's page has the hours of each stage.
    """
    rows = []
    for drills, group in groupby(shaft.stages, key=_row_of):
        held = list(group)
        rows.append(_drilling_row(shaft, held[0]) if drills[0] else _handling_row(shaft, held))
    yield TextTable(SHORT_STAGE_HEADS, tuple(rows), (0, 1, 3))
    yield Paragraph(f"About {stage_hours(shaft):.0f} h in all by planning rates. {nights_in_short(shaft)}".strip())


_BEGINS, _EMPTIES, _FINISHES = 0, 1, 2


def _row_of(stage: Stage) -> tuple[int, int]:
    """Return what stages on one row share: the number of one that drills or sets a string, else the part of the work."""
    if stage.tool_m is not None or stage.action in {"set_casing", "bell"}:
        return stage.no, _BEGINS
    if stage.action in {"set_starter", "introduce_fluid"}:
        return 0, _BEGINS
    return 0, _EMPTIES if stage.action in {"seal_test", "bail"} else _FINISHES


def _drilling_row(shaft: ShaftPlan, stage: Stage) -> tuple[str, ...]:
    return str(stage.no), _hours(stage.hours), stage_name(shaft, stage), "" if stage.tool_m is None else number(stage.tool_m, "size")


def _handling_row(shaft: ShaftPlan, held: Sequence[Stage]) -> tuple[str, ...]:
    numbers = str(held[0].no) if len(held) == 1 else f"{held[0].no}-{held[-1].no}"
    names = ["Bail it once the seal holds" if stage.action == "bail" else stage_name(shaft, stage) for stage in held]
    if len(held) > 2:
        names = [_in_a_row(name) for name in names]
        pulled = [name.removeprefix("Pull casing ") for name in names if name.startswith("Pull casing ")]
        names = [name for name in names if not name.startswith("Pull casing ")]
        names += [f"Pull casing{'s' if len(pulled) > 1 else ''} {all_of(pulled)}"] if pulled else []
    names[1:] = [name[:1].lower() + name[1:] for name in names[1:]]
    return numbers, _hours(sum(stage.hours or 0.0 for stage in held)), ", ".join(names), ""


def _in_a_row(name: str) -> str:
    """Return the name of a stage as it stands in a row with others: what it is about is enough."""
    short = name.removeprefix("Lower the ").replace("Clean the base", "Clean")
    return short.replace("Place concrete by", "Pour by")


def _hours(hours: float | None) -> str:
    return f"{hours:.1f}" if hours else ""


def stage_name(shaft: ShaftPlan, stage: Stage) -> str:
    """Return what is done in a stage, in few words: its numbers stand in the decision or on the foreman's page."""
    casing = next(
        (f"casing {no}" for no, casing in enumerate(shaft.casings, 1) if abs(casing.base_m - stage.base_m) < SAME_LENGTH_M), "casing"
    )
    names = {
        "set_starter": f"Set {casing} (starter) to {number(stage.base_m, 'm')}",
        "set_casing": f"Set {casing} to {number(stage.base_m, 'm')}",
        "introduce_fluid": f"Put in {FLUID_NAMES.get(stage.fluid or '', 'fluid')}",
        "seal_test": f"Test the seal of {casing}",
        "bail": f"Bail {casing}",
        "clean": "Clean the base" + (" under fluid" if stage.fluid else ""),
        "refill": "Let the hole fill",
        "cage": "Lower the cage",
        "pour": f"Place concrete by {_PLACED_BY[shaft.planned_concrete.placement]}",
        "pull": f"Pull {casing}",
        "remove_starter": f"Pull {casing}",
    }
    return names.get(stage.action) or clause(stage)


def clause(stage: Stage) -> str:
    """Return the first clause of a stage's words."""
    words = stage.text
    for end in _CLAUSE_ENDS:
        words = words.partition(end)[0]
    return words.rstrip(".")


def quantities(shaft: ShaftPlan) -> Section:
    """Return the quantities with their formulas."""
    rows = tuple((line.item, number(line.value, line.unit), line.formula) for line in shaft.quantities)
    return section("Quantities of one shaft", TextTable(("item", "quantity", "from"), rows, (1,)))
