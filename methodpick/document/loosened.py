"""What makes a rulebook less careful than the shipped one: at the top of every page, before anything that rests on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from methodpick.document.model import Document, Items, Paragraph, Section, section
from methodpick.plan.result import Departure, Plan
from methodpick.terms import UnitSystem
from methodpick.unit_markup import NumberWriter

TITLE = "Rules made less careful"
LEAD = "This plan rests on rules or limits that are less careful than those that came along. Whoever signs it answers for each."
MOST_SHOWN = 25
"""So many changes stand on a page; the others are counted, and all stand in the JSON of the plan."""


def departure_words(found: Departure) -> str:
    """Return a change with whose it is and the reason given."""
    return f"{found.what} ({found.origin}): {found.reason}"


def _entries(plan: Plan) -> tuple[str, ...]:
    found = plan.rulebook.loosened
    left = len(found) - MOST_SHOWN
    more = (f"and {left} more changes; the JSON of the plan names all",) if left > 0 else ()
    return (*map(departure_words, found[:MOST_SHOWN]), *more)


def loosened_section(plan: Plan) -> Section | None:
    """Return the changes as a section that stands out, None where there is none."""
    entries = _entries(plan)
    return section(TITLE, Paragraph(LEAD, "danger"), Items(entries), tone="danger") if entries else None


def loosened_lines(plan: Plan, units: UnitSystem) -> Iterator[str]:
    """Return the changes as lines with their numbers written, for a sheet or a terminal."""
    writer = NumberWriter(units)
    yield from (f"{TITLE}: {writer.text(entry)}" for entry in _entries(plan))


def marked_loosened(document: Document, plan: Plan) -> Document:
    """Return a document with the changes first on every page; the document itself where the rulebook is as careful as shipped."""
    found = loosened_section(plan)
    if found is None:
        return document
    return replace(document, pages=tuple(replace(page, sections=(found, *page.sections)) for page in document.pages))
