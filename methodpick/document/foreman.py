"""The foreman's sheet of a kind of shaft: what to do, in order, with levels to hold, numbers to stop at and blanks for what happens."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.document.answer import casing_in_short, strip_in_words
from methodpick.document.cautions import hazards_in_short, placed
from methodpick.document.concrete import PULL_HEADS, PULL_KEY, against_ground, placing, pull_rows
from methodpick.document.decision import head_lines, stages
from methodpick.document.fluid_programme import stock
from methodpick.document.grouping import ShaftGroup
from methodpick.document.model import Blanks, Items, Page, Paragraph, Section, TextTable, page_with, section
from methodpick.plan.result import ShaftPlan
from methodpick.unit_markup import number

_ACTUALS = (
    "date, shaft, foreman, inspector",
    "water met at, rose to",
    "casing base as set, seat in",
    "fluid level kept at",
    "tip as drilled, ground at the tip",
    "concrete ordered, placed",
    "engineer to call, and telephone",
)


def foreman_page(group: ShaftGroup) -> Page:
    """Return the sheet: no probabilities, no sources, no names of rules."""
    shaft, title = group.first, f"Foreman's sheet: {group.title}"
    if shaft.method == "undecided":
        stop = section("Do not start", Paragraph(shaft.decision, "danger"), tone="danger")
        return page_with(title, head_lines(group), stop)
    return page_with(
        title,
        head_lines(group),
        section("Do", Paragraph(shaft.decision, "strong"), tone="decision"),
        section("Strip", *strip_in_words(shaft)),
        stages(shaft),
        section("Casings", Items(tuple(_casings(shaft)))),
        section("Fluid", Items(tuple(_fluid(shaft)))),
        section("Stop, make safe and call the engineer", Items(tuple(dict.fromkeys(_stops(shaft)))), tone="danger"),
        _concrete(shaft),
        section("Take care", Items(tuple(_cares(shaft))), tone="caution"),
        section("As built", Blanks(_ACTUALS)),
    )


def _casings(shaft: ShaftPlan) -> Iterator[str]:
    for index, casing in enumerate(shaft.casings, 1):
        inside, mass = number(casing.inside_m, "size"), number(casing.mass_kg, "kg")
        yield f"{casing_in_short(index, casing)} Inside {inside}; {casing.installed_by}; {mass}."


def _fluid(shaft: ShaftPlan) -> Iterator[str]:
    for slurry in shaft.slurries:
        yield (
            f"Hold the level at {against_ground(slurry.level_m)}; density {number(slurry.density_min_kg_m3, 'kg/m3')} to "
            f"{number(slurry.density_max_kg_m3, 'kg/m3')}."
        )
    if shaft.fluid_programme is not None:
        yield stock(shaft.fluid_programme)
        yield from (time.text for time in shaft.fluid_programme.times)


def _stops(shaft: ShaftPlan) -> Iterator[str]:
    """Return what ends the plan: the triggers of the ways beside it, the hazards that stay open, and what fails on site."""
    yield from hazards_in_short(shaft.open_hazards)
    yield from (rung.trigger for rung in shaft.ladder if rung.trigger and rung.name == "fallback")
    if shaft.placement.state == "dry":
        yield f"Pour dry only while this holds, measured just before: {shaft.placement.why}"
    yield from (f"Casing {pull.casing_no} takes more than {number(pull.pull_high_kn, 'kN')} to pull." for pull in shaft.concrete.extraction)
    if shaft.cautious is not None and shaft.cautious.trigger:
        yield shaft.cautious.trigger


def _concrete(shaft: ShaftPlan) -> Section:
    rows = tuple(pull_rows(shaft))
    table = TextTable(PULL_HEADS, rows, (1, 2, 3, 4, 5, 6))
    return section("Concrete and pulls", *map(Paragraph, placing(shaft.concrete)), table, Paragraph(PULL_KEY if rows else ""))


def _cares(shaft: ShaftPlan) -> Iterator[str]:
    """Return the dangers and cautions that this ground and method add, without their rules and sources."""
    for caution in shaft.cautions:
        if caution.severity != "note" and caution.reach != "every_shaft":
            yield placed(caution, caution.text)
