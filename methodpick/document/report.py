"""Whole documents about a site: the report for print, the page of a plan and the page of a takeoff for the console."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Literal

from methodpick.collector import collector_paused
from methodpick.document import takeoff as taking_off
from methodpick.document.calendar import calendar_by_shaft, calendar_drawn
from methodpick.document.cautions import READING_DOUBTS, doubts
from methodpick.document.engineer_page import MORE_FOR_THE_ENGINEER, engineer_page
from methodpick.document.estimator_page import estimator_page
from methodpick.document.fluid_tests import fluid_tests_page
from methodpick.document.foreman_page import foreman_page
from methodpick.document.model import Document, Items, Page, Paragraph, Section, page_with, section, texts_of
from methodpick.document.pages import PRINTED, ShaftGroup, group_shafts
from methodpick.document.record import CLOSING, marked_loosened, reliance, set_values, sources, sources_in_short, stamp
from methodpick.document.safety_page import safety_page
from methodpick.document.shaft import answer_page, kinds_in_short, shaft_page, strip_figure
from methodpick.document.site import borings, casings_of_site, contested_borings, roll_up, schedule, schedule_page, section_through, shafts
from methodpick.document.ways_of_working import way_page, ways_of_working
from methodpick.plan.result import Plan, RangeFlip
from methodpick.site.assignment import Assignment
from methodpick.site.result import Takeoff
from methodpick.unit_markup import how_many

PlanReader = Literal["foreman", "engineer", "everything"]
"""Who asks for more than the answer on one page."""
FlipsOfKinds = Mapping[str, tuple[RangeFlip, ...]]
"""What changes the plan of each kind of shaft within the stated ranges, by the first shaft of the kind."""
_PAGES: dict[PlanReader | None, Callable[[ShaftGroup], Page]] = {
    None: answer_page,
    "foreman": foreman_page,
    "engineer": engineer_page,
    "everything": shaft_page,
}
_WHOLE_PAGES: dict[PlanReader | None, Callable[[ShaftGroup], Page]] = {
    **_PAGES,
    "foreman": partial(foreman_page, full=True),
    "engineer": partial(engineer_page, full=True),
}
WHOLE_SITE = "For the whole site"
MOST_KINDS = 6
"""Of so many kinds of shaft what changes their plan within the stated ranges is looked for unasked; it takes as long as planning them."""
NOT_LOOKED_FOR = (
    "What changes a plan within the ranges that its page states was not looked for, as the site has many kinds of shaft: plan one of them "
    "with --shaft."
)
_MORE_OF_A_TAKEOFF = (
    "--shaft ID shows every line of a shaft with its formula; --calendar shows when each shaft is built; --csv and --json write all of it."
)
_FEW = 3
"""So few shafts are shown with all their lines, and so few kinds with a page each, unasked."""


@collector_paused()
def site_report(
    plan: Plan, reader_doubts: tuple[str, ...] = (), takeoff: Takeoff | None = None, within_range: FlipsOfKinds | None = None
) -> Document:
    """Return the report of a plan: the site first, a page for each kind of shaft, and the record of what it rests on.

    A takeoff of the same plan goes into the summary of the site, and what changes a plan within its stated ranges onto its page.
    """
    groups = _groups(plan, within_range)
    kinds = (replace(shaft_page(group), about=group.ids) for group in groups)
    pages = (_summary(plan, groups, reader_doubts, takeoff), *kinds, safety_page(plan.shafts), reliance(plan, groups))
    return marked_loosened(Document(f"{_name(plan)}: construction method of drilled shafts", pages, CLOSING), plan)


@collector_paused()
def owner_report(
    plan: Plan, reader_doubts: tuple[str, ...] = (), takeoff: Takeoff | None = None, within_range: FlipsOfKinds | None = None
) -> Document:
    """Return the report that an owner reads: the site, each kind of shaft in short, the safety page, what it rests on.

    A few kinds have a page with their strip each; more stand on one page. The answer to one kind comes first, before its sums.
    :func:`site_report` has all of it.
    """
    groups = _groups(plan, within_range)
    kinds = tuple(map(_with_strip, groups)) if len(groups) <= _FEW else (kinds_in_short(groups),)
    summary = _summary(plan, groups, reader_doubts, takeoff, short=True)
    first = (summary, *kinds) if len(groups) > 1 else (_titled(kinds[0], plan), summary)
    pages = (*first, safety_page(plan.shafts), reliance(plan, groups if len(groups) <= _FEW else ()))
    return marked_loosened(Document(f"{_name(plan)}: construction method of drilled shafts", pages, CLOSING), plan)


def _with_strip(group: ShaftGroup) -> Page:
    """Return the answer with the strip log drawn behind it, where it fills a sheet of its own and leaves the answer on one."""
    page = answer_page(group, PRINTED)
    return replace(page, sections=(*page.sections, section("Strip log", strip_figure(group.first, alone=True))), about=group.ids)


@collector_paused()
def plan_pages(
    plan: Plan,
    assignments: Sequence[Assignment] = (),
    reader_doubts: tuple[str, ...] = (),
    reader: PlanReader | None = None,
    within_range: FlipsOfKinds | None = None,
    *,
    full: bool = False,
) -> Document:
    """Return a page for every kind of shaft, after the roll-up of a site with several: the answer, or the page of a reader.

    The pages of foreman and engineer are short; ``full`` gives them all that they leave out.

    On a site of many kinds those whose work differs in numbers only share a page of the answer.
    ``everything`` has all sections, the safety page, and the record of the plan behind them. Where several borings were weighed, they
    are said. The estimator's page is :func:`estimator_pages`, for it needs a takeoff. ``within_range`` holds, by the first shaft of each
    kind, what changes its plan within the stated ranges.
    """
    groups = _groups(plan, within_range)
    ways = ways_of_working(groups) if reader is None and len(groups) > MOST_KINDS else []
    pages = [_titled(page, plan) for page in (map(way_page, ways) if ways else map((_WHOLE_PAGES if full else _PAGES)[reader], groups))]
    if len(plan.shafts) > 1:
        pages.insert(0, roll_up(plan, groups, len(ways)) if reader in {None, "everything"} else schedule_page(plan, groups))
    pages = [replace(page, lines=(*page.lines, stamp(plan)) if index == 0 or reader else page.lines) for index, page in enumerate(pages)]
    if reader == "foreman" and not full:
        pages = _foremans_pack(plan, groups, pages)
    elif reader in {"foreman", "everything"}:
        pages.append(replace(safety_page(plan.shafts, sources=reader != "foreman"), lines=()))
    behind: list[Section | None] = [doubts(READING_DOUBTS, reader_doubts), set_values(plan)]
    behind += _rests_on(plan, pages, reader, full=full)
    if any(len(assigned.weighed) > 1 for assigned in assignments):
        behind.append(borings(plan, assignments) if reader else contested_borings(assignments))
    found = tuple(part for part in behind if part is not None and part.blocks)
    if pages and reader != "foreman" and (left_out := _not_looked_for(groups)):
        found = (left_out, *found)
    if found and len(plan.shafts) > 1:
        pages.append(page_with(WHOLE_SITE, (), *found))
    elif pages and found:
        pages[-1] = replace(pages[-1], sections=(*pages[-1].sections, *found))
    return marked_loosened(Document(_name(plan), tuple(pages), CLOSING), plan)


def _foremans_pack(plan: Plan, groups: Sequence[ShaftGroup], sheets: Sequence[Page]) -> list[Page]:
    """Return the sheets with the fluid tests behind the first page, the schedule where there is one, and the safety page at the end."""
    tests, several = fluid_tests_page(groups), len(plan.shafts) > 1
    safety = replace(safety_page(plan.shafts, sources=False, on_the_rig=True), lines=(), follows=tests is not None and not several)
    first, *others = sheets
    return [first, *([] if tests is None else [replace(tests, follows=several)]), *others, safety]


def _rests_on(plan: Plan, pages: Sequence[Page], reader: PlanReader | None, *, full: bool) -> Iterator[Section | None]:
    """Return the sources of a page that names them: all, or those that it names; in short with what the whole page has besides."""
    said = texts_of(Document(_name(plan), tuple(pages), ""), "si")
    if reader == "everything":
        yield sources(plan)
    elif reader == "engineer" and full:
        yield sources(plan, said)
    elif reader == "engineer":
        yield sources_in_short(plan, said)
        yield section("", Paragraph(MORE_FOR_THE_ENGINEER))


def _groups(plan: Plan, within_range: FlipsOfKinds | None) -> list[ShaftGroup]:
    return [replace(group, within_range=(within_range or {}).get(group.first.id)) for group in group_shafts(plan.shafts)]


def _not_looked_for(groups: Sequence[ShaftGroup]) -> Section | None:
    return section("Not looked for", Paragraph(NOT_LOOKED_FOR)) if len(groups) > MOST_KINDS else None


def _titled(page: Page, plan: Plan) -> Page:
    return replace(page, title=page.title + (f" - {plan.site_name}" if plan.site_name else ""))


def estimator_pages(takeoff: Takeoff, reader_doubts: tuple[str, ...] = (), *, full: bool = False) -> Document:
    """Return the estimator's page of a site; ``full`` with how its numbers come about."""
    plan = takeoff.site.plan
    groups = group_shafts(plan.shafts)
    page = estimator_page(takeoff, groups, full=full)
    behind = tuple(part for part in (doubts(READING_DOUBTS, reader_doubts),) if part is not None)
    document = Document(_name(plan), (replace(page, lines=(stamp(plan),), sections=(*page.sections, *behind)),), CLOSING)
    return marked_loosened(document, plan)


def takeoff_page(takeoff: Takeoff, *, lines: bool = False, by_shaft: bool = False) -> Document:
    """Return the takeoff on one page; ``lines`` shows every line of every shaft, which few shafts show in any case.

    ``by_shaft`` adds the calendar shaft by shaft.
    """
    plan = takeoff.site.plan
    detailed = lines or len(takeoff.shafts) <= _FEW
    count = sum(shaft.count for shaft in takeoff.shafts)
    sections = [
        borings(plan, takeoff.site.assignments),
        *(taking_off.lines_of_shaft(shaft) for shaft in takeoff.shafts if detailed),
        *taking_off.taken_off(takeoff),
        *([calendar_by_shaft(takeoff)] if by_shaft else []),
    ]
    if not detailed:
        sections.append(section("", Items((_MORE_OF_A_TAKEOFF,))))
    title = f"Takeoff of {how_many(count, 'shaft')}" + (f" - {plan.site_name}" if plan.site_name else "")
    return marked_loosened(Document(_name(plan), (page_with(title, (stamp(plan),), *sections),), CLOSING), plan)


def _name(plan: Plan) -> str:
    return plan.site_name or plan.input.path


def _summary(
    plan: Plan, groups: Sequence[ShaftGroup], reader_doubts: tuple[str, ...], takeoff: Takeoff | None, *, short: bool = False
) -> Page:
    """Return the first page: all shafts at a glance, and the takeoff where there is one.

    In short it has of the borings only what speaks against them, and of the takeoff the sums without prices, which are nobody's but the
    contractor's; the kinds of shaft tell the decisions.
    """
    shared = len(groups) < len(plan.shafts)
    kinds = f"{len(groups)} kinds of shaft" if len(groups) != 1 else "One kind of shaft"
    lines = [f"{kinds}, {how_many(sum(shaft.count for shaft in plan.shafts), 'shaft')} in all, read from {plan.input.path}"]
    if shared:
        lines.append("Shafts whose plan is the same word for word share a sheet, and a row of the tables here.")
    return page_with(
        _name(plan),
        (*lines, CLOSING),
        schedule(groups) if short else shafts(groups),
        section_through(groups, "The first shaft of each sheet is drawn." if shared else ""),
        None if short else casings_of_site(groups),
        *_taken_off(plan, takeoff, short=short),
        _not_looked_for(groups),
        doubts(READING_DOUBTS, reader_doubts),
    )


def _taken_off(plan: Plan, takeoff: Takeoff | None, *, short: bool) -> list[Section]:
    if takeoff is None:
        return []
    if short:
        totals, drawn = taking_off.sums(takeoff.totals, takeoff.site_lines), calendar_drawn(takeoff)
        parts = [totals, drawn] if len(takeoff.calendar.shafts) > 1 else [drawn, totals]  # a table fills a sheet, a few words do not
        return [contested_borings(takeoff.site.assignments), *parts]
    return [borings(plan, takeoff.site.assignments), *taking_off.taken_off(takeoff, drawn=True)]
