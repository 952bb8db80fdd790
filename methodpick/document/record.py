"""What a document rests on: tool, rulebook, input, values set by overlays and sources, so that it can be made again and checked."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.citations import plain_name, set_by_overlay
from methodpick.document.grouping import ShaftGroup
from methodpick.document.model import Items, Page, Section, TextTable, section
from methodpick.plan.result import Plan
from methodpick.unit_markup import number, unit_name

CLOSING = (
    "This plan supports judgement and does not replace it: the licensed engineer in charge and the governing specification "
    "decide. Local safety codes govern all work at and around the open hole. Nobody enters the hole."
)
"""The last words of every document."""


def stamp(plan: Plan) -> str:
    """Return the tool, the rulebook and the input of a plan, with short digests."""
    overlays = f" with {', '.join(plan.rulebook.overlays)}" if plan.rulebook.overlays else ""
    return (
        f"methodpick {plan.tool_version}, rulebook {plan.rulebook.digest[:12]}{overlays}, input {plan.input.path} {plan.input.digest[:12]}"
    )


def reliance(plan: Plan, groups: Sequence[ShaftGroup]) -> Page:
    """Return the record of reliance as the last page of a report."""
    book = plan.rulebook
    rows = (
        ("tool", f"methodpick {plan.tool_version}"),
        ("plan format", plan.format),
        ("input", plan.input.path),
        ("digest of the input", plan.input.digest),
        ("digest of the rulebook", book.digest),
        ("overlays", ", ".join(book.overlays) or "none"),
        ("units of this report", ", ".join(map(unit_name, ("m", "size", "kPa", "kg/m3", "m3", "kg")))),
        *((f"boring of {group.names}", f"{group.first.boring}, ends at {number(group.first.ground.end_m, 'm')}") for group in groups),
    )
    sections = (section("What this report rests on", TextTable(("what", "which"), rows)), set_values(plan), sources(plan))
    return Page("Record of reliance", (CLOSING,), tuple(found for found in sections if found is not None))


def set_values(plan: Plan) -> Section | None:
    """Return the limits that overlays set; what was not read in print is to be looked up in the book of the contract."""
    entries = []
    for limit in plan.rulebook.set_by_overlays:
        advice = "" if limit.confidence in {"read", "own"} else "; look it up in the book of the contract"
        entries.append(f"{plain_name(limit.name)}: {set_by_overlay(limit, advice)}")
    return section("Values set by overlays", Items(tuple(entries))) if entries else None


def sources(plan: Plan) -> Section | None:
    """Return the sources that the plan cites."""
    entries = tuple(f"{key}: {text}" for key, text in plan.sources.items())
    return section("Sources", Items(entries)) if entries else None
