"""How a shaft is built: its head line, the decision, what holds the wall over every length, the stages and the quantities."""

from __future__ import annotations

from methodpick.document.checks import not_proven, smallest_margins
from methodpick.document.grouping import ShaftGroup
from methodpick.document.model import Items, Paragraph, Section, TextTable, section
from methodpick.drawings.shaft_columns import runs
from methodpick.plan.result import Interval, ShaftPlan
from methodpick.terms import STATE_NAMES, SUPPORT_NAMES
from methodpick.unit_markup import number

BY_PLANNING_RATES = "by planning rates that are this tool's own"
SUPPORT_HEADS = ("top", "base", "ground", "held by", "drilled", "confidence")


def head_lines(group: ShaftGroup) -> tuple[str, ...]:
    """Return the lines under the title of a shaft's page: for which shafts, their size, and the boring that they are planned with."""
    shaft = group.first
    lines = [f"For shafts {group.names}; {group.count} shafts in all."] if len(group.shafts) > 1 else []
    surface, ground = "mudline" if shaft.design.water_depth_m else "ground", shaft.ground.ground_elevation_m
    elevation = "" if ground is None else f" (el. {number(ground - shaft.tip_depth_m, 'm')})"
    level = shaft.boring_level_m or 0.0
    step = f", its ground {number(abs(level), 'm')} {'lower' if level > 0 else 'higher'}" if level else ""
    lines.append(
        f"{number(shaft.diameter_m, 'size')} diameter, cut-off {number(shaft.cutoff_m, 'm')}, tip "
        f"{number(shaft.tip_depth_m, 'm')} below the {surface}{elevation}; boring {group.boring}{step}, ends at "
        f"{number(shaft.ground.end_m, 'm')}"
    )
    return tuple(lines)


def decision(shaft: ShaftPlan) -> Section:
    """Return the decision, the method, how the concrete is placed, and the checks on which the plan hangs by the least."""
    method = f"Method: {SUPPORT_NAMES[shaft.method]}. Concrete: {shaft.placement.state}. {shaft.placement.why}"
    least = smallest_margins(shaft)
    margins = (Paragraph("The smallest margins:"), Items(least)) if least else ()
    unproven = Paragraph(not_proven(shaft), "danger")
    return section("Decision", Paragraph(shaft.decision, "strong"), unproven, Paragraph(method), *margins, tone="decision")


def held_by(interval: Interval) -> str:
    """Name what holds the wall of an interval, with its fluid."""
    return SUPPORT_NAMES[interval.support] + (f" ({interval.fluid})" if interval.fluid else "")


def least_confidence(shaft: ShaftPlan) -> str:
    """Return the least confidence of a shaft's intervals."""
    known = {interval.confidence for interval in shaft.intervals}
    return next((word for word in ("undecided", "conditional") if word in known), "firm")


def support_runs(shaft: ShaftPlan) -> list[tuple[Interval, float]]:
    """Return the first of neighbouring intervals that are held in the same way in one soil, and the depth where they end."""
    return runs(shaft.intervals, lambda each: (each.soil_class, each.support, each.fluid, each.drilled_in, each.confidence))


def support_rows(shaft: ShaftPlan) -> list[tuple[str, ...]]:
    """Return what holds the wall over every length, for :data:`SUPPORT_HEADS`."""
    return [
        (
            number(interval.top_m, "m"),
            number(base_m, "m"),
            interval.soil_class.replace("_", " "),
            held_by(interval),
            STATE_NAMES.get(interval.drilled_in or "", "-"),
            interval.confidence,
        )
        for interval, base_m in support_runs(shaft)
    ]


def supports(shaft: ShaftPlan) -> Section:
    """Return the table of supports."""
    return section("What holds the wall when the tip is reached", TextTable(SUPPORT_HEADS, tuple(support_rows(shaft)), (0, 1)))


def stage_hours(shaft: ShaftPlan) -> float:
    """Return the hours of all stages; one without hours counts as none."""
    return sum(stage.hours or 0.0 for stage in shaft.stages)


def stages(shaft: ShaftPlan) -> Section:
    """Return the steps of the work with their hours, and the hours in all."""
    entries = tuple(stage.text + (f" [{stage.hours:.1f} h]" if stage.hours else "") for stage in shaft.stages)
    return section(
        "Stages",
        Items(entries, numbered=True),
        Paragraph(f"About {stage_hours(shaft):.0f} h from the starter to the last pull, {BY_PLANNING_RATES}."),
    )


def quantities(shaft: ShaftPlan) -> Section:
    """Return the quantities with their formulas."""
    rows = tuple((line.item, number(line.value, line.unit), line.formula) for line in shaft.quantities)
    return section("Quantities of one shaft", TextTable(("item", "quantity", "from"), rows, (1,)))
