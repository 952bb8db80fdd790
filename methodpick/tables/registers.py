"""The sheets of words: fallbacks with their triggers, questions, assumptions, cautions. Shafts that share a line share a row."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.document.facts import cited, plain_name
from methodpick.document.report import CLOSING
from methodpick.plan.result import STATE_SAID, Plan, ShaftPlan
from methodpick.tables.cells import Cell, Column, Scale, Table, gathered

SHAFTS = Column("shafts", width=24)


def questions(plan: Plan, scale: Scale) -> Table:
    """Return what to ask the owner, with room for the answer."""
    rows = gathered(
        _ids(plan),
        (
            (at, [scale.t(one.need), scale.t(one.question), scale.t(one.why), ""])
            for at, shaft in enumerate(plan.shafts)
            for one in shaft.gaps
        ),
    )
    return Table(
        "questions",
        "Questions for the owner",
        (
            SHAFTS,
            Column("what is not known", width=34),
            Column("question", width=70),
            Column("why it matters", width=70),
            Column("answer", width=30),
        ),
        _named(rows, scale),
    )


def assumptions(plan: Plan, scale: Scale) -> Table:
    """Return what is taken as normal, where and by whose word."""
    rows = gathered(
        _ids(plan),
        (
            (at, [one.id, plain_name(one.fact), scale.t(one.where), scale.t(one.assumed), scale.t(one.why), one.source])
            for at, shaft in enumerate(plan.shafts)
            for one in shaft.assumptions
        ),
    )
    return Table(
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
        _named(rows, scale),
    )


def cautions(plan: Plan, scale: Scale, doubts: tuple[str, ...]) -> Table:
    """Return dangers, cautions and notes, the doubts of the logs and of the reader; who decides stands first."""
    rows: list[tuple[int, list[Cell]]] = []
    for severity in ("danger", "caution", "note"):
        rows += [
            (at, [severity, scale.t(one.text), scale.t(one.where), one.rule, cited(one.sources)])
            for at, shaft in enumerate(plan.shafts)
            for one in shaft.cautions
            if one.severity == severity
        ]
    rows += [(at, ["doubt of the log", scale.t(one), "", "", ""]) for at, shaft in enumerate(plan.shafts) for one in shaft.doubts]
    found = (
        ("all", "first of all", CLOSING, "", "", ""),
        *_named(gathered(_ids(plan), rows), scale),
        *(("", "doubt of the reader", scale.t(one), "", "", "") for one in doubts),
    )
    return Table(
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


def fallbacks(plan: Plan, scale: Scale) -> Table:
    """Return what to do when things go otherwise: the sign, the next step, the plan behind it, what would settle it now."""
    rows = [(at, list(map(scale.t, row))) for at, shaft in enumerate(plan.shafts) for row in _fallbacks(shaft)]
    rows.sort(key=lambda row: KINDS.index(str(row[1][0])))
    return Table(
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
        _named(gathered(_ids(plan), rows), scale),
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
        where = f"{STATE_SAID.get(hazard.state, hazard.state)}"
        yield "open hazard", f"Any sign of it ({where}): stop and make safe.", hazard.treatment, hazard.text, "", hazard.rule
    if shaft.slurry is not None:
        yield from (("empty density window", shaft.slurry.governed_by, remedy.text, "", "", "") for remedy in shaft.slurry.remedies)
    yield from (
        ("other way of building", "If the planned method cannot be had.", other.family, other.why_not, "", "") for other in shaft.alternates
    )


def _ids(plan: Plan) -> list[str]:
    return [one.id for one in plan.shafts]


def _named(rows: tuple[tuple[Cell, ...], ...], scale: Scale) -> tuple[tuple[Cell, ...], ...]:
    return tuple((scale.t(str(row[0])), *row[1:]) for row in rows)
