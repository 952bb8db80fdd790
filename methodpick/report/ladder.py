"""The ladder on the page: planned, fallback with its trigger, worst credible, each with what it takes beyond the plan."""

from __future__ import annotations

from methodpick.document.ladder import rung_lines
from methodpick.plan.result import ShaftPlan
from methodpick.report.voice import Voice


def ladder(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the rungs in order."""
    if not shaft.ladder:
        return
    voice.head("Ladder: what is built if the ground disagrees")
    for number, rung in enumerate(shaft.ladder, 1):
        first, *more = rung_lines(rung, shaft.relative_cost)
        voice.item(f"{number}.", first)
        for text in more:
            voice.say(text, 5)
