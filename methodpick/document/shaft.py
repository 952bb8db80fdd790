"""The page of a shaft: decision, strip, stages, sizes, and then the words."""

from __future__ import annotations

from methodpick.document import concrete, fluid, reasons
from methodpick.document.grouping import Group
from methodpick.document.model import Page, Pen, Section
from methodpick.drawings.shaft_columns import runs
from methodpick.drawings.strip_log import draw_strip
from methodpick.plan.result import STATE_SAID, SUPPORT_SAID, Casing, Interval, ShaftPlan


def shaft_page(group: Group, pen: Pen, prefix: str) -> Page:
    """Return the page of a shaft, or of shafts that are alike; ``prefix`` keeps its pictures apart from those of other pages."""
    shaft = group.first
    away = f", {distance} away" if (distance := group.away(pen)) else ""
    lines = [f"For shafts {group.names}; {group.count} shafts in all."] if len(group.shafts) > 1 else []
    over = "mudline" if shaft.design.water_depth_m else "ground"
    lines.append(
        f"{pen.n(shaft.diameter_m, 'size')} diameter, cut-off {pen.n(shaft.cutoff_m, 'm')}, tip {pen.n(shaft.tip_depth_m, 'm')} "
        f"below the {over}{_elevation(shaft, shaft.tip_depth_m, pen)}; boring {shaft.boring}{away}, "
        f"ends at {pen.n(shaft.ground.end_m, 'm')}"
    )
    decision = Section(
        "Decision",
        (
            pen.strong(shaft.decision),
            pen.text(f"Method: {SUPPORT_SAID[shaft.method]}. Concrete: {shaft.placement.state}. {shaft.placement.why}"),
        ),
        "decision",
    )
    sections = [
        decision,
        Section("Strip log", (pen.picture(draw_strip(shaft, pen.units, f"{prefix}a"), ""),)),
        reasons.assumptions(shaft, pen),
        *reasons.warnings(shaft, pen, "danger"),
        _stages(shaft, pen),
        _intervals(shaft, pen),
        _casings(shaft, pen),
        *fluid.fluid(shaft, pen, prefix),
        concrete.concrete(shaft, pen, prefix),
        *concrete.pulls(shaft, pen),
        _quantities(shaft, pen),
        reasons.reasons(shaft, pen),
        *reasons.hazards(shaft, pen),
        *reasons.warnings(shaft, pen, "caution"),
        *reasons.questions(shaft, pen),
        *reasons.ladder(shaft, pen),
        reasons.cautious(shaft, pen),
        reasons.alternates(shaft, pen),
        *reasons.doubts(shaft, pen),
        *reasons.warnings(shaft, pen, "note"),
    ]
    return Page(pen.t(group.title), tuple(map(pen.t, lines)), tuple(sections))


def _elevation(shaft: ShaftPlan, depth_m: float, pen: Pen) -> str:
    ground = shaft.ground.ground_elevation_m
    return "" if ground is None else f" (el. {pen.n(ground - depth_m, 'm')})"


def _stages(shaft: ShaftPlan, pen: Pen) -> Section:
    entries = [f"{one.text}{f' [{one.hours:.1f} h]' if one.hours else ''}" for one in shaft.stages]
    total = sum(one.hours or 0.0 for one in shaft.stages)
    return Section(
        "Stages",
        (
            pen.steps(entries),
            pen.text(f"About {total:.0f} h from the starter to the last pull, by planning rates that are this tool's own."),
        ),
    )


def _intervals(shaft: ShaftPlan, pen: Pen) -> Section:
    def alike(one: Interval) -> tuple[str | None, ...]:
        return one.soil_class, one.support, one.fluid, one.drilled_in, one.confidence

    rows = [
        (
            pen.n(one.top_m, "m"),
            pen.n(base, "m"),
            one.soil_class.replace("_", " "),
            SUPPORT_SAID[one.support] + (f" ({one.fluid})" if one.fluid else ""),
            STATE_SAID.get(one.drilled_in or "", "-"),
            one.confidence,
        )
        for one, base in runs(shaft.intervals, alike)
    ]
    return Section(
        "What holds the wall when the tip is reached",
        (pen.table(("top", "base", "ground", "held by", "drilled", "confidence"), rows, (0, 1)),),
    )


def _casings(shaft: ShaftPlan, pen: Pen) -> Section:
    if not shaft.casings:
        return Section("Casing schedule", (pen.text("No casing."),))
    rows = [_casing(number, one, shaft, pen) for number, one in enumerate(shaft.casings, 1)]
    why = [f"{number} {one.kind}, {one.installed_by}. {_about(one, pen)}" for number, one in enumerate(shaft.casings, 1)]
    why += list(dict.fromkeys(one.stick_up_why for one in shaft.casings if one.stick_up_why))
    heads = ("no.", "kind", "outside x wall", "top", "base", "base, elevation", "length", "mass", "sealed")
    return Section("Casing schedule", (pen.table(heads, rows, (3, 4, 5, 6, 7)), pen.items(why)))


def _about(one: Casing, pen: Pen) -> str:
    """Describe why a casing is as it is: its seat, its wall, its pieces."""
    said = [one.why, one.wall_by.why if one.wall_by is not None else "", one.embedment.note if one.embedment is not None else ""]
    if len(one.sections_m) > 1:
        said.append(f"In {len(one.sections_m)} pieces from the shoe up: {' + '.join(pen.n(length, 'm') for length in one.sections_m)}.")
    return " ".join(part for part in said if part)


def _casing(number: int, one: Casing, shaft: ShaftPlan, pen: Pen) -> tuple[str, ...]:
    ground = shaft.ground.ground_elevation_m
    return (
        str(number),
        one.kind,
        f"{pen.n(one.outside_diameter_m, 'size')} x {pen.n(one.wall_m, 'wall')}",
        pen.n(one.top_m, "m"),
        pen.n(one.base_m, "m"),
        pen.n(None if ground is None else ground - one.base_m, "m"),
        pen.n(one.length_m, "m"),
        pen.n(one.mass_kg, "kg"),
        "-" if one.kind == "starter" else one.sealed,
    )


def _quantities(shaft: ShaftPlan, pen: Pen) -> Section:
    rows = [(one.item, pen.n(one.value, one.unit), one.formula) for one in shaft.quantities]
    return Section("Quantities of one shaft", (pen.table(("item", "quantity", "from"), rows, (1,)),))
