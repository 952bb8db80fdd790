"""The words on the page of a shaft: assumptions, reasons, hazards, warnings, questions, the other plans."""

from __future__ import annotations

from typing import Literal

from methodpick.document.facts import cited, plain_name, reason_tail, verdict_words
from methodpick.document.ladder import rung_lines
from methodpick.document.model import Part, Pen, Section
from methodpick.plan.result import STATE_SAID, SUPPORT_SAID, ShaftPlan

TITLES = {"danger": "Dangers", "caution": "Cautions", "note": "Notes"}


def assumptions(shaft: ShaftPlan, pen: Pen) -> Section:
    """Return what the plan holds under."""
    if not shaft.assumptions:
        return Section("Holds only if", (pen.text("Nothing is assumed; the log says it all."),))
    return Section(
        "Holds only if",
        (pen.items([f"{plain_name(one.fact)}: {one.assumed}. {one.why} ({one.where}; {one.source})" for one in shaft.assumptions]),),
    )


def reasons(shaft: ShaftPlan, pen: Pen) -> Section:
    """Return the reasons of every interval, each reason whole only once, and the verdict of every state."""
    parts: list[Part] = []
    told: set[tuple[str, str]] = set()
    for one in shaft.intervals:
        fluid = f" ({one.fluid})" if one.fluid else ""
        parts.append(pen.head(f"{pen.n(one.top_m, 'm')} to {pen.n(one.base_m, 'm')}, {one.layer}: {SUPPORT_SAID[one.support]}{fluid}"))
        entries = [f"{reason.text} {reason_tail(reason, pen.units)}" for reason in one.reasons if (reason.rule, reason.text) not in told]
        again = [reason.rule for reason in one.reasons if (reason.rule, reason.text) in told]
        told.update((reason.rule, reason.text) for reason in one.reasons)
        if again:
            entries.append(f"As above: {', '.join(again)}.")
        parts.append(pen.items([*entries, f"Verdicts: {verdict_words(one)}."]))
    return Section("Reasons", tuple(parts))


def hazards(shaft: ShaftPlan, pen: Pen) -> list[Section]:
    """Return the hazards that stay open on the planned support."""
    entries = []
    for one in shaft.open_hazards:
        ends = f"{pen.n(one.top_m, 'm')} to {pen.n(one.base_m, 'm')}, " if one.top_m is not None else ""
        entries.append(f"{ends}{STATE_SAID.get(one.state, one.state)}: {one.text} What to do: {one.treatment} [{one.rule}]")
    return [Section("Open hazards on the planned support", (pen.items(entries),), "danger")] if entries else []


def warnings(shaft: ShaftPlan, pen: Pen, severity: Literal["danger", "caution", "note"]) -> list[Section]:
    """Return the warnings of one severity."""
    entries = [
        f"{one.text}{f' ({one.where})' if one.where else ''} [{one.rule}; {cited(one.sources)}]"
        for one in shaft.cautions
        if one.severity == severity
    ]
    return [Section(TITLES[severity], (pen.items(entries),), "danger" if severity == "danger" else "")] if entries else []


def questions(shaft: ShaftPlan, pen: Pen) -> list[Section]:
    """Return what to ask."""
    entries = [f"{one.question} {one.why}" for one in shaft.gaps]
    return [Section("Questions to ask", (pen.steps(entries),))] if entries else []


def ladder(shaft: ShaftPlan, pen: Pen) -> list[Section]:
    """Return the plan, its fallback with the trigger, and the worst that is credible."""
    entries = [" ".join(rung_lines(rung, shaft.relative_cost)) for rung in shaft.ladder]
    return [Section("Ladder: what is built if the ground disagrees", (pen.steps(entries),))] if entries else []


def cautious(shaft: ShaftPlan, pen: Pen) -> Section:
    """Return the cautious plan, where it differs."""
    one = shaft.cautious
    if one is None:
        return Section("Cautious plan", (pen.text("It is the same: the plan rests on no doubtful length."),))
    ratio = one.relative_cost / shaft.relative_cost if shaft.relative_cost else 1.0
    return Section(
        "Cautious plan",
        (
            pen.text(f"Relative cost {ratio:.2f} times the plan. It hangs on this: {one.differs_because}"),
            pen.text(f"Trigger: {one.trigger}"),
            pen.text(f"Settled by: {one.settles}"),
            pen.steps([stage.text for stage in one.stages]),
        ),
    )


def alternates(shaft: ShaftPlan, pen: Pen) -> Section:
    """Return the other ways of building and why they lost."""
    return Section("Other ways, and why they lost", (pen.items([f"{one.family}: {one.why_not}" for one in shaft.alternates]),))


def doubts(shaft: ShaftPlan, pen: Pen) -> list[Section]:
    """Return the doubts of the log."""
    return [Section("Doubts of the log", (pen.items(list(shaft.doubts)),))] if shaft.doubts else []
