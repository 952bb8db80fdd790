"""The other plans of a shaft: the ladder of what is built if the ground disagrees, the cautious plan, and the ways that lost."""

from __future__ import annotations

from methodpick.document.checks import not_proven
from methodpick.document.model import Items, Paragraph, Section, section
from methodpick.plan.result import CautiousPlan, Rung, ShaftPlan
from methodpick.unit_markup import mark

_RUNGS = {"planned": "Planned", "fallback": "Fallback", "worst_credible": "Worst credible"}
_LEAST = 0.05
"""What differs by less than this, in its unit, is not spoken of: it would be written as nothing."""


def ladder(shaft: ShaftPlan) -> Section | None:
    """Return the plan, its fallback with the trigger, and the worst that is credible."""
    entries = tuple(rung_words(rung, shaft.relative_cost) for rung in shaft.ladder)
    return section("Ladder: what is built if the ground disagrees", Items(entries, numbered=True)) if entries else None


def rung_words(rung: Rung, planned_cost: float) -> str:
    """Describe a way of building, when it is gone over to, and what it takes beyond the plan, which for the plan is nothing."""
    first = f"{_RUNGS[rung.name]}: {rung.method}"
    if rung.name == "planned":
        return first
    first = f"{first} {not_proven(rung)}".strip()
    cost = rung.relative_cost / planned_cost if planned_cost else 1.0
    return f"{first} {rung.trigger} Against the plan: {_more(rung)}; relative cost {cost:.2f} times."


def _more(rung: Rung) -> str:
    parts = [
        (rung.extra_casing_m, "m", "of casing"),
        (rung.extra_casing_kg, "kg", "of steel"),
        (rung.extra_fluid_m3, "m3", "of fluid to fill the hole"),
        (rung.extra_concrete_m3, "m3", "of concrete"),
    ]
    texts = [f"{'+' if value > 0 else '-'}{mark(abs(value), unit)} {what}" for value, unit, what in parts if abs(value) >= _LEAST]
    return ", ".join(texts) or "the same quantities"


def cautious(shaft: ShaftPlan) -> Section:
    """Return the cautious plan, where it differs."""
    plan = shaft.cautious
    if plan is None:
        same = "It is the same: the plan rests on no doubtful length." if shaft.proven else "No other way is found that all proofs hold."
        return section("Cautious plan", Paragraph(same))
    ratio = plan.relative_cost / shaft.relative_cost if shaft.relative_cost else 1.0
    first, *others = cautious_words(plan)
    return section(
        "Cautious plan",
        Paragraph(not_proven(plan), "danger"),
        Paragraph(f"Relative cost {ratio:.2f} times the plan. {first}"),
        *map(Paragraph, others),
        Items(tuple(stage.text for stage in plan.stages), numbered=True),
    )


def cautious_words(plan: CautiousPlan) -> tuple[str, str, str]:
    """Describe what the cautious plan hangs on, what on site triggers it, and what would settle it now."""
    return f"It hangs on this: {plan.differs_because}", f"Trigger: {plan.trigger}", f"Settled by: {plan.settles}"


def alternates(shaft: ShaftPlan) -> Section:
    """Return the other ways of building and why they lost."""
    return section("Other ways, and why they lost", Items(tuple(f"{other.family}: {other.why_not}" for other in shaft.alternates)))
