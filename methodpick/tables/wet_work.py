"""Sheets of fluid and concrete: the control sheet and the window, the concrete plan, the depth-volume curve, the pulls."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from methodpick.document.citations import cited
from methodpick.plan.result import ControlRow, FluidProgramme, LimitUsed, Plan, ShaftPlan
from methodpick.tables.cells import Cell, Column, Number, Sheet, SheetNumbers, gathered

_SHAFT = Column("shaft")


def slurry_control(plan: Plan, numbers: SheetNumbers) -> Sheet:
    """Return the properties of the fluid with their limits, when to test, and room for the readings; alike shafts share a row."""
    rows: list[tuple[int, list[Cell]]] = []
    for at, shaft in enumerate(plan.shafts):
        one = shaft.fluid_programme
        if one is not None:
            rows += [(at, row) for row in _controls(one, numbers)]
    found = tuple((numbers.text(str(row[0])), *row[1:]) for row in gathered([one.id for one in plan.shafts], rows))
    return Sheet(
        "slurry_control",
        "Slurry control sheet",
        (
            Column("shafts", width=40),
            Column("fluid"),
            Column("property", width=16),
            Column("unit", width=8),
            *(
                Column(name, width=14)
                for name in ("introduction, least", "introduction, most", "before concrete, least", "before concrete, most")
            ),
            Column("test, or when", width=60),
            Column("standards", width=30),
            Column("limits from", width=60),
            Column("measured", width=14),
            Column("depth, date, by", width=20),
        ),
        found,
        ("The density that the ground asks for stands in the sheet 'slurry_window'; the narrower of both holds.",)
        if found
        else ("The plan uses no support fluid.",),
    )


def _controls(one: FluidProgramme, numbers: SheetNumbers) -> Iterator[list[Cell]]:
    for row in one.controls:
        sides = (row.introduction_low, row.introduction_high, row.concreting_low, row.concreting_high)
        yield [
            one.fluid,
            row.name,
            numbers.cell_unit(row.unit),
            *(_limit(side, numbers) for side in sides),
            numbers.text(row.test),
            cited(row.standards),
            _from(row),
            "",
            "",
        ]
    for time in one.times:
        yield [one.fluid, "times", "", None, None, None, None, numbers.text(time.text), "", _cited(time.limits), "", ""]


def _limit(side: LimitUsed | None, numbers: SheetNumbers) -> Number | None:
    return numbers.cell(side.value if side else None, side.unit if side else "1")


def _from(row: ControlRow) -> str:
    sides = (row.introduction_low, row.introduction_high, row.concreting_low, row.concreting_high)
    return _cited([side for side in sides if side is not None])


def _cited(limits: Sequence[LimitUsed]) -> str:
    said = (f"{one.source.key}, {one.source.where} ({one.confidence}{f', set by {one.set_by}' if one.set_by else ''})" for one in limits)
    return "; ".join(dict.fromkeys(said))


def slurry_window(plan: Plan, numbers: SheetNumbers) -> Sheet:
    """Return the density window of every hole under fluid, the volume to fill it and the stock."""
    rows: list[tuple[Cell, ...]] = []
    for shaft in plan.shafts:
        one, programme = shaft.slurry, shaft.fluid_programme
        if one is None:
            continue
        densities = (one.density_min_kg_m3, one.density_wanted_kg_m3, one.density_max_kg_m3, one.density_target_kg_m3)
        rows.append(
            (
                numbers.text(shaft.id),
                shaft.count,
                one.fluid,
                *(numbers.cell(depth, "m") for depth in (one.top_m, one.base_m, one.level_m, one.head_m)),
                *(numbers.cell(value, "kg/m3") for value in densities),
                "open" if one.density_target_kg_m3 is not None else "EMPTY",
                numbers.text(one.governed_by),
                numbers.cell(programme.hole_m3 if programme else None, "m3"),
                numbers.cell(programme.stock_m3 if programme else None, "m3"),
            )
        )
    m = numbers.column
    return Sheet(
        "slurry_window",
        "Density window of the fluid",
        (
            _SHAFT,
            Column("alike", width=6),
            Column("fluid"),
            m("from", "m"),
            m("to", "m"),
            m("level", "m"),
            m("least head", "m"),
            m("density, least", "kg/m3", 12),
            m("density, better", "kg/m3", 12),
            m("density, most", "kg/m3", 12),
            m("aim", "kg/m3", 12),
            Column("window"),
            Column("bound by", width=50),
            m("hole", "m3"),
            m("stock", "m3"),
        ),
        tuple(rows),
    )


def concrete_plan(plan: Plan, numbers: SheetNumbers) -> Sheet:
    """Return placing, volumes by their cause, trucks, tremie and times of every shaft."""
    m = numbers.column
    volumes = (
        "by the drawing",
        "casing oversize",
        "hole as drilled",
        "overbreak, low",
        "overbreak, likely",
        "overbreak, high",
        "in all, low",
        "in all, likely",
        "in all, high",
        "over-pour",
    )
    return Sheet(
        "concrete_plan",
        "Concrete plan",
        (
            _SHAFT,
            Column("alike", width=6),
            Column("placed by", width=12),
            *(m(name, "m3") for name in volumes),
            m("finished at", "m"),
            m("slump, least", "size"),
            m("slump, most", "size"),
            m("tremie", "size"),
            m("above the base", "size"),
            m("embedment", "m"),
            m("first charge", "m3"),
            m("in before a lift", "m3"),
            m("truck", "m3"),
            Column("trucks", width=8),
            Column("trucks, high", width=8),
            Column("truck every", "h"),
            Column("pour", "h"),
            Column("pulls", "h"),
            Column("must flow for", "h"),
            Column("counted on", "h"),
            Column("why", width=70),
        ),
        tuple(_concrete(shaft, numbers) for shaft in plan.shafts),
        ("Casing oversize is geometry and certain; overbreak is the ground's, by experience, and a range.",),
    )


def _concrete(shaft: ShaftPlan, numbers: SheetNumbers) -> tuple[Cell, ...]:
    one, pipe = shaft.concrete, shaft.concrete.tremie
    volumes = (
        one.theoretical_m3,
        one.casing_oversize_m3,
        one.fill_m3,
        one.overbreak_low_m3,
        one.overbreak_m3,
        one.overbreak_high_m3,
        one.expected_low_m3,
        one.expected_m3,
        one.expected_high_m3,
        one.over_pour_m3,
    )
    times = (one.truck_every_h, one.pour_hours, one.pull_hours, one.workable_needed_h, one.workable_h)
    return (
        numbers.text(shaft.id),
        shaft.count,
        one.placement.replace("_", " "),
        *(numbers.cell(value, "m3") for value in volumes),
        numbers.cell(one.finished_level_m, "m"),
        numbers.cell(one.slump_min_m, "size"),
        numbers.cell(one.slump_max_m, "size"),
        numbers.cell(pipe.pipe_m if pipe else None, "size"),
        numbers.cell(pipe.gap_m if pipe else None, "size"),
        numbers.cell(pipe.embedment_m if pipe else None, "m"),
        numbers.cell(pipe.charge_m3 if pipe else None, "m3"),
        numbers.cell(pipe.before_lift_m3 if pipe else None, "m3"),
        numbers.cell(one.truck_m3, "m3"),
        one.trucks,
        one.trucks_high,
        *(numbers.cell(hour, "h") for hour in times),
        numbers.text(one.why),
    )


def depth_volume(plan: Plan, numbers: SheetNumbers) -> Sheet:
    """Return the points of the depth-volume curve from the tip up, with room for what is measured."""
    rows = tuple(
        (
            numbers.text(shaft.id),
            numbers.cell(one.depth_m, "m"),
            *(
                numbers.cell(volume, "m3")
                for volume in (
                    one.theoretical_m3,
                    one.casings_in_m3,
                    one.fill_m3,
                    one.expected_low_m3,
                    one.expected_m3,
                    one.expected_high_m3,
                )
            ),
            "",
        )
        for shaft in plan.shafts
        for one in shaft.concrete.curve
    )
    volumes = ("by the drawing", "casings in", "as drilled", "expected, low", "expected, likely", "expected, high")
    return Sheet(
        "depth_volume",
        "Depth-volume curve",
        (
            _SHAFT,
            numbers.column("top of concrete at", "m", 16),
            *(numbers.column(name, "m3", 13) for name in volumes),
            Column("measured", width=12),
        ),
        rows,
    )


def pulls(plan: Plan, numbers: SheetNumbers) -> Sheet:
    """Return every lift of every casing."""
    rows = tuple(
        (
            numbers.text(shaft.id),
            one.casing_no,
            one.lift_no,
            *(
                numbers.cell(depth, "m")
                for depth in (one.shoe_m, one.shoe_after_m, one.level_least_m, one.level_before_m, one.level_after_m)
            ),
            numbers.cell(one.refill_m3, "m3"),
            "yes" if one.safe else "NO",
            numbers.text(one.note),
        )
        for shaft in plan.shafts
        for one in shaft.concrete.pulls
    )
    depths = ("shoe", "shoe after", "concrete at least", "fill to", "falls to")
    return Sheet(
        "pulls",
        "Pulls of casing",
        (
            _SHAFT,
            Column("casing", width=7),
            Column("lift", width=6),
            *(numbers.column(name, "m", 12) for name in depths),
            numbers.column("add", "m3"),
            Column("safe", width=6),
            Column("note", width=90),
        ),
        rows,
        ("Levels are depths of the concrete in the innermost casing, negative above the ground.",),
    )
