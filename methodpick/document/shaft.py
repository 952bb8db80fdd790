"""The page of a shaft, or of shafts whose plan is the same: the decision first, then how it is built, then why and what else."""

from __future__ import annotations

from methodpick.document import cautions, other_ways
from methodpick.document.casings import casings
from methodpick.document.checks import checks
from methodpick.document.concrete import concrete, pulls
from methodpick.document.decision import decision, head_lines, quantities, stages, supports
from methodpick.document.fluid_programme import fluid_programme
from methodpick.document.grouping import ShaftGroup
from methodpick.document.model import Figure, Page, page_with, section
from methodpick.document.reasons import changes_of_support, reasons, within_range
from methodpick.document.window import window
from methodpick.drawings.characters import draw_strip_in_characters
from methodpick.drawings.strip_log import draw_strip
from methodpick.plan.result import ShaftPlan


def shaft_page(group: ShaftGroup) -> Page:
    """Return the page; what holds at every shaft stands on the safety page."""
    shaft = group.first
    return page_with(
        group.title,
        head_lines(group),
        decision(shaft),
        within_range(group),
        section("Strip log", strip_figure(shaft)),
        cautions.assumptions(shaft),
        cautions.warnings(shaft, "danger"),
        stages(shaft),
        supports(shaft),
        casings(shaft),
        window(shaft),
        fluid_programme(shaft),
        concrete(shaft),
        pulls(shaft),
        checks(shaft),
        quantities(shaft),
        reasons(shaft),
        changes_of_support(shaft),
        cautions.hazards(shaft),
        cautions.warnings(shaft, "caution"),
        cautions.questions(shaft),
        other_ways.ladder(shaft),
        other_ways.cautious(shaft),
        other_ways.alternates(shaft),
        cautions.log_doubts(shaft),
        cautions.warnings(shaft, "note"),
    )


def strip_figure(shaft: ShaftPlan) -> Figure:
    """Return the strip log."""
    return Figure(
        lambda units, prefix: draw_strip(shaft, units, prefix), in_characters=lambda numbers, _: draw_strip_in_characters(shaft, numbers)
    )
