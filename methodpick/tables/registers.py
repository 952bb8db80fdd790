"""The registers: fallbacks with their triggers, questions, assumptions, cautions, and the record of reliance.

Shafts that share a line share a row.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from methodpick.document.record import CLOSING, caution_sources, plain_name, set_by_overlay
from methodpick.plan.result import Plan, ShaftPlan
from methodpick.site.result import Takeoff
from methodpick.tables.cells import SheetColumn, SheetNumbers, SheetRow, Worksheet, gathered
from methodpick.terms import SEVERITIES, STATE_NAMES

_Line = tuple[int, tuple[str, ...]]
"""A row of a register for a shaft, by the shaft's place in the plan."""
_FALLBACKS = ("cautious plan", "empty density window", "open hazard", "other way of building")
"""The kinds of fallback, in the order in which they are wanted."""


def questions(plan: Plan, numbers: SheetNumbers) -> Worksheet:
    """Return what to ask the owner, with room for the answer."""
    lines = ((index, (gap.need, gap.question, gap.why, "")) for index, shaft in enumerate(plan.shafts) for gap in shaft.gaps)
    columns = _columns(("shafts", 24), ("what is not known", 34), ("question", 70), ("why it matters", 70), ("answer", 30))
    return Worksheet("questions", "Questions for the owner", columns, _shared(plan, lines, numbers))


def assumptions(plan: Plan, numbers: SheetNumbers) -> Worksheet:
    """Return what is assumption as normal, where and by whose word."""
    lines = (
        (index, (assumption.id, plain_name(assumption.fact), assumption.where, assumption.assumed, assumption.why, assumption.source))
        for index, shaft in enumerate(plan.shafts)
        for assumption in shaft.assumptions
    )
    columns = _columns(("shafts", 24), ("assumption", 22), ("of", 22), ("where", 34), ("assumed", 24), ("why", 70), ("source", 20))
    return Worksheet("assumptions", "Assumption register", columns, _shared(plan, lines, numbers))


def cautions(plan: Plan, numbers: SheetNumbers, reader_doubts: tuple[str, ...]) -> Worksheet:
    """Return dangers, cautions and notes, the doubts of the logs and of the reader; who decides stands first."""
    lines: list[_Line] = [
        (index, (severity, caution.text, caution.where, caution.rule, caution_sources(caution)))
        for severity in SEVERITIES
        for index, shaft in enumerate(plan.shafts)
        for caution in shaft.cautions
        if caution.severity == severity
    ]
    lines += [(index, ("doubt of the log", text, "", "", "")) for index, shaft in enumerate(plan.shafts) for text in shaft.doubts]
    rows = (
        ("all", "first of all", CLOSING, "", "", ""),
        *_shared(plan, lines, numbers),
        *(("", "doubt of the reader", numbers.text(text), "", "", "") for text in reader_doubts),
    )
    columns = _columns(("shafts", 24), ("kind", 16), ("caution", 100), ("where", 24), ("rule", 28), ("source", 34))
    return Worksheet("cautions", "Cautions", columns, rows)


def fallbacks(plan: Plan, numbers: SheetNumbers) -> Worksheet:
    """Return what to do when things go otherwise: the sign, the next step, the plan behind it, what would settle it now."""
    lines = [(index, line) for index, shaft in enumerate(plan.shafts) for line in _fallbacks(shaft)]
    lines.sort(key=lambda line: _FALLBACKS.index(line[1][0]))
    columns = _columns(("shafts", 24), ("kind", 20), ("trigger", 60), ("then", 70), ("hangs on", 70), ("settled by", 50), ("rule", 28))
    return Worksheet("fallbacks", "Fallbacks and their triggers", columns, _shared(plan, lines, numbers))


def _fallbacks(shaft: ShaftPlan) -> Iterator[tuple[str, ...]]:
    cautious = shaft.cautious
    if cautious is not None:
        stages = " ".join(f"{stage.no}. {stage.text}" for stage in cautious.stages)
        yield "cautious plan", cautious.trigger, stages, cautious.differs_because, cautious.settles, ""
    for hazard in shaft.open_hazards:
        sign = f"Any sign of it ({STATE_NAMES.get(hazard.state, hazard.state)}): stop and make safe."
        yield "open hazard", sign, hazard.treatment, hazard.text, "", hazard.rule
    slurry = shaft.slurry
    if slurry is not None:
        yield from (("empty density window", slurry.governed_by, remedy.text, "", "", "") for remedy in slurry.remedies)
    for other in shaft.alternates:
        yield "other way of building", "If the planned method cannot be had.", other.family, other.why_not, "", ""


def reliance(takeoff: Takeoff, numbers: SheetNumbers) -> Worksheet:
    """Return what the sheets rest on."""
    plan, book = takeoff.site.plan, takeoff.site.plan.rulebook
    rows = [
        ("tool", "methodpick", plan.tool_version),
        ("format", "plan", plan.format),
        ("format", "takeoff", takeoff.format),
        ("input", plan.input.path, plan.input.digest),
        ("rulebook", "digest", book.digest),
        ("rulebook", "overlays", ", ".join(book.overlays) or "none"),
        ("sheets", "units", numbers.units),
        *(("value set by an overlay", plain_name(limit.name), set_by_overlay(limit)) for limit in book.set_by_overlays),
        *(("boring of a shaft", assigned.shaft, f"{assigned.boring}: {assigned.said}") for assigned in takeoff.site.assignments),
        *(("note", "takeoff", note) for note in takeoff.notes),
        *(("source", key, text) for key, text in sorted(plan.sources.items())),
    ]
    columns = _columns(("kind", 24), ("what", 30), ("which", 110))
    return Worksheet("reliance", "Record of reliance", columns, tuple(tuple(map(numbers.text, row)) for row in rows))


def _columns(*columns: tuple[str, int]) -> tuple[SheetColumn, ...]:
    return tuple(SheetColumn(name, width=width) for name, width in columns)


def _shared(plan: Plan, lines: Iterable[_Line], numbers: SheetNumbers) -> tuple[SheetRow, ...]:
    """Return the rows of a register, each once with the shafts that it is of."""
    shafts = [numbers.text(shaft.id) for shaft in plan.shafts]
    return gathered(shafts, ((index, list(map(numbers.text, line))) for index, line in lines))
