"""How a rung of the ladder is told on any page, its numbers in marks."""

from __future__ import annotations

from methodpick.plan.result import Rung
from methodpick.unit_markup import mark

_NAMES = {"planned": "Planned", "fallback": "Fallback", "worst_credible": "Worst credible"}
LEAST = 0.05
"""Less than this of anything is not told (own value)."""


def rung_lines(rung: Rung, planned_cost: float) -> tuple[str, ...]:
    """Return the way of building, then when it is gone over to and what it takes beyond the plan, which for the plan is nothing."""
    first = f"{_NAMES[rung.name]}: {rung.method}"
    if rung.name == "planned":
        return (first,)
    cost = rung.relative_cost / planned_cost if planned_cost else 1.0
    return first, rung.trigger, f"Against the plan: {_more(rung)}; relative cost {cost:.2f} times."


def _more(rung: Rung) -> str:
    parts = [
        (rung.extra_casing_m, "m", "of casing"),
        (rung.extra_casing_kg, "kg", "of steel"),
        (rung.extra_fluid_m3, "m3", "of fluid to fill the hole"),
        (rung.extra_concrete_m3, "m3", "of concrete"),
    ]
    said = [f"{'+' if value > 0 else '-'}{mark(abs(value), unit)} {what}" for value, unit, what in parts if abs(value) >= LEAST]
    return ", ".join(said) or "the same quantities"
