"""How a shaft is built: its decision, what holds the wall over every length, stages and quantities."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from methodpick.document.checks import not_proven, smallest_margins
from methodpick.document.model import Items, Paragraph, Section, TextTable, section
from methodpick.document.nights import nights, nights_in_short
from methodpick.document.pages import ShaftGroup
from methodpick.drawings.strip_columns import IN_STARTER, runs
from methodpick.plan.result import Interval, PullStep, ShaftPlan, Stage
from methodpick.terms import FLUID_NAMES, STATE_NAMES, SUPPORT_NAMES, words_of_way
from methodpick.unit_markup import SAME_LENGTH_M, all_of, lowered, number, number_span

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
        f"{number(shaft.diameter_m, 'size')}{_socket(shaft)} diameter, cut-off {number(shaft.cutoff_m, 'm')}, tip "
        f"{number(shaft.tip_depth_m, 'm')} below {shaft.design.datum}{elevation}; boring {group.boring}{step}, ends at "
        f"{number(shaft.ground.end_m, 'm')}"
    )
    return tuple(lines)


def _socket(shaft: ShaftPlan) -> str:
    """Return the diameter of a socket that is narrower than the shaft; the stages tell where its tool goes in."""
    top_m, diameter_m = shaft.design.socket_top_m, shaft.design.socket_diameter_m
    if top_m is None or diameter_m is None or diameter_m > shaft.diameter_m - SAME_LENGTH_M:
        return ""
    return f" (socket {number(diameter_m, 'size')})"


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
        shaft.built_intervals,
        lambda each: (shaft.in_starter(each), each.ground, each.support, each.fluid, each.drilled_in, each.confidence),
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


def timed(stage: Stage, words: str) -> str:
    """Return what is said of a stage with its hours."""
    return words + (f" [{stage.hours:.1f} h]" if stage.hours else "")


def lifts_of(shaft: ShaftPlan, stage: Stage) -> tuple[PullStep, ...]:
    """Return the lifts of the casing that a stage pulls; none where it pulls none."""
    if stage.action not in {"pull", "remove_starter"}:
        return ()
    return tuple(step for step in shaft.planned_concrete.pulls if step.casing_no == stage.casing_no)


def stages_title(shaft: ShaftPlan) -> str:
    """Return the title of the stages with their hours in all."""
    return f"Stages, about {stage_hours(shaft):.0f} h by planning rates"


def stages(shaft: ShaftPlan) -> Section:
    """Return the steps of the work with their hours, and the hours in all."""
    entries = tuple(timed(stage, stage.text) for stage in shaft.stages)
    return section(
        "Stages",
        Items(entries, numbered=True),
        *([nights(shaft)] if shaft.nights else []),
        Paragraph(f"About {stage_hours(shaft):.0f} h for the whole shaft, {BY_PLANNING_RATES}."),
    )


SHORT_STAGE_HEADS = ("stage", "h", "what is done", "tool")
_PLACED_BY = {"free_fall": "free fall", "drop_pipe": "drop pipe", "tremie": "tremie"}


def stages_in_short(shaft: ShaftPlan) -> Section:
    """Return the stages with their hours and tools under the hours in all, neighbours that make one piece of work on one row.

    The foreman's sheet has each stage with its hours.
    """
    return section(", ".join(filter(None, (stages_title(shaft), nights_in_short(shaft)))), stage_table(shaft))


def stage_table(shaft: ShaftPlan) -> TextTable:
    """Return the rows of the stages in short."""
    rows = []
    for held in _in_rows(shaft.stages):
        drills = [stage for stage in held if stage.action == "drill"]
        words = _drilled(drills) if drills else _handled(shaft, held)
        tool = next((number(stage.tool_m, "size") for stage in held if stage.tool_m is not None), "")
        rows.append((_numbers(held[0], held[-1]), _hours(sum(stage.hours or 0.0 for stage in held)), words, tool))
    return TextTable(SHORT_STAGE_HEADS, tuple(rows), (0, 1, 3))


_GOES_ON = frozenset({("introduce_fluid", "drill"), ("seal_test", "bail")})
"""Actions of which the second stands in the row of the first."""
_AFTER_A_CASING = {"seal_test": "test its seal", "bail": "bail it"}
_CASES = frozenset({"set_casing", "advance_casing"})
_FINISHES = frozenset({"clean", "cage", "refill", "pour", "pull", "remove_starter"})


def _in_rows(stages: Sequence[Stage]) -> Iterator[list[Stage]]:
    """Return the stages that share a row: filling and drilling on with one tool, a casing and its seal, all that finishes the shaft."""
    row: list[Stage] = []
    for stage in stages:
        if row and not _shares_row(row[-1], stage):
            yield row
            row = []
        row.append(stage)
    if row:
        yield row


def _shares_row(before: Stage, stage: Stage) -> bool:
    if before.action == stage.action == "drill":
        return (before.state, before.tool_m) == (stage.state, stage.tool_m)
    seal = stage.action == "seal_test" and before.action in _CASES
    of_one = before.casing_no == stage.casing_no and abs(before.base_m - stage.top_m) < SAME_LENGTH_M
    goes_on = before.action == stage.action == "advance_casing" and of_one
    return seal or goes_on or (before.action, stage.action) in _GOES_ON or {before.action, stage.action} <= _FINISHES


def _drilled(held: Sequence[Stage]) -> str:
    """Return what stages drill that follow each other in one way: by which tools, from where to where, under what."""
    tools = dict.fromkeys("core" if stage.cored else "drill" for stage in held)
    under = FLUID_NAMES.get(held[0].state or "", "").removeprefix("mineral ").removesuffix(" fluid")
    ends = f"from {number_span(held[0].top_m, held[-1].base_m, 'm')}"
    words = " and ".join(tools)
    return f"{words[:1].upper()}{words[1:]} " + (f"{ends} under {under}" if under else f"dry {ends}")


def _numbers(first: Stage, last: Stage) -> str:
    return str(first.no) if first.no == last.no else f"{first.no}-{last.no}"


def _handled(shaft: ShaftPlan, held: Sequence[Stage]) -> str:
    """Return what is done in stages that drill no open hole; those that follow the first in few words."""
    if len(held) > 1 and held[0].action in _FINISHES:
        return _finished(shaft, held)
    advances = [stage for stage in held if stage.action == "advance_casing"]
    names = [_advanced(shaft, advances)] if advances else []
    for stage in held[len(advances) :]:
        names.append((_AFTER_A_CASING.get(stage.action) if names else None) or stage_name(shaft, stage))
    return ", ".join([*names[:1], *map(lowered, names[1:])])


def _finished(shaft: ShaftPlan, held: Sequence[Stage]) -> str:
    """Return what finishes a shaft, a word for each stage, the pulls last."""
    words = {"clean": "clean", "cage": "cage", "refill": "fill", "pour": f"pour by {_PLACED_BY[shaft.planned_concrete.placement]}"}
    names = [words[stage.action] for stage in held if stage.action in words]
    pulled = [str(stage.casing_no) for stage in held if stage.action not in words]
    names += [f"pull casing{'s' if len(pulled) > 1 else ''} {all_of(pulled)}"] if pulled else []
    row = ", ".join(names)
    return f"{row[:1].upper()}{row[1:]}"


def _hours(hours: float | None) -> str:
    return f"{hours:.1f}" if hours else ""


def stage_name(shaft: ShaftPlan, stage: Stage) -> str:
    """Return what is done in a stage, in few words: its numbers stand in the decision or on the foreman's sheet."""
    casing = _casing_of(stage)
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
        "bell": "Cut the bell",
        "pull": f"Pull {casing}",
        "remove_starter": f"Pull {casing}",
    }
    if stage.action == "drill":
        return _drilled((stage,))
    return _advanced(shaft, (stage,)) if stage.action == "advance_casing" else names[stage.action]


def _advanced(shaft: ShaftPlan, held: Sequence[Stage]) -> str:
    """Return how a casing is advanced in stages that follow each other: from where, to where, by what; or how far it is lowered first."""
    first, to = held[0], f"to {number(held[-1].base_m, 'm')}"
    if first.lowered:
        return f"Take {_casing_of(first)} down {to}"
    casing = None if first.casing_no is None else shaft.casings[first.casing_no - 1]
    words = words_of_way(None) if casing is None else words_of_way(casing.way, casing.turned_by)
    return f"Advance {_casing_of(first)} from {number(first.top_m, 'm')} {to} by {words.means}"


def _casing_of(stage: Stage) -> str:
    return "casing" if stage.casing_no is None else f"casing {stage.casing_no}"


def quantities(shaft: ShaftPlan) -> Section:
    """Return the quantities with their formulas."""
    rows = tuple((line.item, number(line.value, line.unit), line.formula) for line in shaft.quantities)
    return section("Quantities of one shaft", TextTable(("item", "quantity", "from"), rows, (1,)))
