"""The registers: fallbacks with their triggers, questions, assumptions, cautions, and the record of reliance.

Shafts that share a line share a row.
"""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.document.citations import cited, plain_name, set_by_overlay
from methodpick.document.record import CLOSING
from methodpick.plan.result import Plan, ShaftPlan
from methodpick.site.result import Takeoff
from methodpick.tables.cells import Cell, Column, Sheet, SheetNumbers, gathered
from methodpick.terms import STATE_NAMES

SHAFTS = Column("shafts", width=24)


def questions(plan: Plan, numbers: SheetNumbers) -> Sheet:
    """Return what to ask the owner, with room for the answer."""
    rows = gathered(
        _ids(plan),
        (
            (at, [numbers.text(one.need), numbers.text(one.question), numbers.text(one.why), ""])
            for at, shaft in enumerate(plan.shafts)
            for one in shaft.gaps
        ),
    )
    return Sheet(
        "questions",
        "Questions for the owner",
        (
            SHAFTS,
            Column("what is not known", width=34),
            Column("question", width=70),
            Column("why it matters", width=70),
            Column("answer", width=30),
        ),
        _named(rows, numbers),
    )


def assumptions(plan: Plan, numbers: SheetNumbers) -> Sheet:
    """Return what is taken as normal, where and by whose word."""
    rows = gathered(
        _ids(plan),
        (
            (at, [one.id, plain_name(one.fact), numbers.text(one.where), numbers.text(one.assumed), numbers.text(one.why), one.source])
            for at, shaft in enumerate(plan.shafts)
            for one in shaft.assumptions
        ),
    )
    return Sheet(
        "assumptions",
        "Assumption register",
        (
            SHAFTS,
            Column("assumption", width=22),
            Column("of", width=22),
            Column("where", width=34),
            Column("assumed", width=24),
            Column("why", width=70),
            Column("source", width=20),
        ),
        _named(rows, numbers),
    )


def cautions(plan: Plan, numbers: SheetNumbers, doubts: tuple[str, ...]) -> Sheet:
    """Return dangers, cautions and notes, the doubts of the logs and of the reader; who decides stands first."""
    rows: list[tuple[int, list[Cell]]] = []
    for severity in ("danger", "caution", "note"):
        rows += [
            (at, [severity, numbers.text(one.text), numbers.text(one.where), one.rule, cited(one.sources)])
            for at, shaft in enumerate(plan.shafts)
            for one in shaft.cautions
            if one.severity == severity
        ]
    rows += [(at, ["doubt of the log", numbers.text(one), "", "", ""]) for at, shaft in enumerate(plan.shafts) for one in shaft.doubts]
    found = (
        ("all", "first of all", CLOSING, "", "", ""),
        *_named(gathered(_ids(plan), rows), numbers),
        *(("", "doubt of the reader", numbers.text(one), "", "", "") for one in doubts),
    )
    return Sheet(
        "cautions",
        "Cautions",
        (
            SHAFTS,
            Column("kind", width=16),
            Column("caution", width=100),
            Column("where", width=24),
            Column("rule", width=28),
            Column("source", width=34),
        ),
        found,
    )


def fallbacks(plan: Plan, numbers: SheetNumbers) -> Sheet:
    """Return what to do when things go otherwise: the sign, the next step, the plan behind it, what would settle it now."""
    rows = [(at, list(map(numbers.text, row))) for at, shaft in enumerate(plan.shafts) for row in _fallbacks(shaft)]
    rows.sort(key=lambda row: KINDS.index(str(row[1][0])))
    return Sheet(
        "fallbacks",
        "Fallbacks and their triggers",
        (
            SHAFTS,
            Column("kind", width=20),
            Column("trigger", width=60),
            Column("then", width=70),
            Column("hangs on", width=70),
            Column("settled by", width=50),
            Column("rule", width=28),
        ),
        _named(gathered(_ids(plan), rows), numbers),
    )


KINDS = ("cautious plan", "empty density window", "open hazard", "other way of building")
"""The kinds of fallback, in the order in which they are wanted."""


def _fallbacks(shaft: ShaftPlan) -> Iterator[tuple[str, ...]]:
    one = shaft.cautious
    if one is not None:
        yield (
            "cautious plan",
            one.trigger,
            " ".join(f"{stage.no}. {stage.text}" for stage in one.stages),
            one.differs_because,
            one.settles,
            "",
        )
    for hazard in shaft.open_hazards:
        where = f"{STATE_NAMES.get(hazard.state, hazard.state)}"
        yield "open hazard", f"Any sign of it ({where}): stop and make safe.", hazard.treatment, hazard.text, "", hazard.rule
    if shaft.slurry is not None:
        yield from (("empty density window", shaft.slurry.governed_by, remedy.text, "", "", "") for remedy in shaft.slurry.remedies)
    yield from (
        ("other way of building", "If the planned method cannot be had.", other.family, other.why_not, "", "") for other in shaft.alternates
    )


def _ids(plan: Plan) -> list[str]:
    return [one.id for one in plan.shafts]


def _named(rows: tuple[tuple[Cell, ...], ...], numbers: SheetNumbers) -> tuple[tuple[Cell, ...], ...]:
    return tuple((numbers.text(str(row[0])), *row[1:]) for row in rows)


def reliance(takeoff: Takeoff, numbers: SheetNumbers) -> Sheet:
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
        ("sheets", "units", numbers.units),
    ]
    rows += [("value set by an overlay", plain_name(one.name), set_by_overlay(one)) for one in book.set_by_overlays]
    rows += [("boring of a shaft", one.shaft, f"{one.boring}: {one.said}") for one in takeoff.site.assignments]
    rows += [("note", "takeoff", note) for note in takeoff.notes]
    rows += [("source", key, text) for key, text in sorted(plan.sources.items())]
    return Sheet(
        "reliance",
        "Record of reliance",
        (Column("kind", width=24), Column("what", width=30), Column("which", width=110)),
        tuple(tuple(map(numbers.text, row)) for row in rows),
    )
