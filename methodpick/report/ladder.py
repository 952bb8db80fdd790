"""The ladder on the page: planned, fallback with its trigger, worst credible, each with what it takes beyond the plan."""

from __future__ import annotations

from methodpick.plan.result import Rung, ShaftPlan
from methodpick.report.voice import Voice

_NAMES = {"planned": "Planned", "fallback": "Fallback", "worst_credible": "Worst credible"}


def ladder(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the rungs in order."""
    if not shaft.ladder:
        return
    voice.head("Ladder: what is built if the ground disagrees")
    for number, rung in enumerate(shaft.ladder, 1):
        cost = rung.relative_cost / shaft.relative_cost if shaft.relative_cost else 1.0
        voice.item(f"{number}.", f"{_NAMES[rung.name]}: {rung.method}")
        if rung.name == "planned":
            continue
        voice.say(rung.trigger, 5)
        voice.say(f"Against the plan: {_more(rung, voice)}; relative cost {cost:.2f} times.", 5)


def _more(rung: Rung, voice: Voice) -> str:
    parts = [(rung.extra_casing_m, "m", "of casing"), (rung.extra_casing_kg, "kg", "of steel"),
             (rung.extra_fluid_m3, "m3", "of fluid to fill the hole"), (rung.extra_concrete_m3, "m3", "of concrete")]
    said = [f"{'+' if value > 0 else '-'}{voice.n(abs(value), unit)} {what}" for value, unit, what in parts if abs(value) >= 0.05]
    return ", ".join(said) or "the same quantities"
