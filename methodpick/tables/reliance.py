"""The record of reliance: versions, digests, inputs, overlays, borings and sources, so that the sheets can be made again and checked."""

from __future__ import annotations

from methodpick.document.facts import WEAK, cited, plain_name
from methodpick.plan.result import SetValue
from methodpick.site.result import Takeoff
from methodpick.tables.cells import Column, Scale, Table
from methodpick.unit_markup import mark_plainly


def reliance(takeoff: Takeoff, scale: Scale) -> Table:
    """Return what the sheets rest on."""
    plan = takeoff.site.plan
    book = plan.rulebook
    rows = [
        ("tool", "methodpick", plan.tool_version),
        ("format", "plan", plan.format),
        ("format", "takeoff", takeoff.format),
        ("input", plan.input.path, plan.input.digest),
        ("rulebook", "digest", book.digest),
        ("rulebook", "overlays", ", ".join(book.overlays) or "none"),
        ("sheets", "units", scale.units),
    ]
    rows += [("value set by an overlay", plain_name(one.name), _set(one)) for one in book.set_by_overlays]
    rows += [("boring of a shaft", one.shaft, f"{one.boring}: {one.said}") for one in takeoff.site.assignments]
    rows += [("note", "takeoff", note) for note in takeoff.notes]
    rows += [("source", key, text) for key, text in sorted(plan.sources.items())]
    return Table(
        "reliance",
        "Record of reliance",
        (Column("kind", width=24), Column("what", width=30), Column("which", width=110)),
        tuple(tuple(map(scale.t, row)) for row in rows),
    )


def _set(one: SetValue) -> str:
    return f"{mark_plainly(one.value, one.unit)}, by {one.overlay} ({cited((one.source,))}; {WEAK.get(one.confidence, 'read in print')})"
