"""All sheets of a site, in the order in which they are read."""

from __future__ import annotations

from methodpick.site.result import Takeoff
from methodpick.tables import hold_points, registers, reliance, schedules, wet_work
from methodpick.tables.cells import Scale, Table
from methodpick.tables.cost import cost_table
from methodpick.tables.factors import factors_table, make_factors
from methodpick.tables.takeoff import takeoff_table
from methodpick.unit_markup import System


def make_tables(takeoff: Takeoff, units: System | None = None, reader_doubts: tuple[str, ...] = ()) -> tuple[Table, ...]:
    """Return every sheet of a taken-off site in the reader's units; the same takeoff gives the same sheets."""
    site = takeoff.site
    plan, scale = site.plan, Scale(units or site.plan.units)
    factors = make_factors(takeoff, scale)
    cost = cost_table(takeoff, factors, scale)
    return (
        registers.cautions(plan, scale, reader_doubts),
        schedules.method_schedule(takeoff, scale),
        schedules.supports(site, scale),
        schedules.stages(site, scale),
        schedules.casing_schedule(site, scale),
        schedules.strings(takeoff, scale),
        wet_work.slurry_control(plan, scale),
        wet_work.slurry_window(plan, scale),
        wet_work.concrete_plan(plan, scale),
        wet_work.depth_volume(plan, scale),
        wet_work.pulls(plan, scale),
        hold_points.hold_points(takeoff, scale),
        registers.fallbacks(plan, scale),
        registers.questions(plan, scale),
        registers.assumptions(plan, scale),
        factors_table(factors, scale),
        takeoff_table(takeoff, factors, scale),
        schedules.hours(takeoff, scale),
        *((cost,) if cost is not None else ()),
        reliance.reliance(takeoff, scale),
    )
