"""All sheets of a site, in the order in which they are read."""

from __future__ import annotations

from methodpick.exports.tables import holds, reliance, schedules, wet_work, words
from methodpick.exports.tables.cost import cost_table
from methodpick.exports.tables.factors import factors_table, make_factors
from methodpick.exports.tables.model import Scale, Table
from methodpick.exports.tables.takeoff import takeoff_table
from methodpick.site.result import Takeoff
from methodpick.unit_markup import System


def make_tables(takeoff: Takeoff, units: System | None = None, reader_doubts: tuple[str, ...] = ()) -> tuple[Table, ...]:
    """Return every sheet of a taken-off site in the reader's units; the same takeoff gives the same sheets."""
    site = takeoff.site
    plan, scale = site.plan, Scale(units or site.plan.units)
    factors = make_factors(takeoff, scale)
    cost = cost_table(takeoff, factors, scale)
    return (
        words.cautions(plan, scale, reader_doubts),
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
        holds.hold_points(takeoff, scale),
        words.fallbacks(plan, scale),
        words.questions(plan, scale),
        words.assumptions(plan, scale),
        factors_table(factors, scale),
        takeoff_table(takeoff, factors, scale),
        schedules.hours(takeoff, scale),
        *((cost,) if cost is not None else ()),
        reliance.reliance(takeoff, scale),
    )
