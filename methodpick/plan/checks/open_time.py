"""How long a wall stays open against how long it stands."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Compared, Heading, Unwritten, Wording, make_comparison, make_for_words, make_over_words
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import NO, Choice, Span

OPEN_TIME = Definition(
    "open-time",
    "Time open, time standing",
    ("dry",),
    "A wall is not left open longer than its stand-up class says; good rock that does not slake has no cap.",
)


@record
class OpenTimeFacts:
    """A wall and the hours that it stays open, from when its top is drilled until fluid, casing or concrete holds it.

    ``stand_up`` are the stand-up classes that the wall may be in. ``lasting_rock`` is whether it is good rock that stands as long as
    the work takes: not shale, mudstone, chalk, salts or rock that slakes.
    """

    place: ProvedPlace
    open_h: Span | None
    stand_up: Choice
    lasting_rock: Choice


def check_open_time(facts: OpenTimeFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof that the wall stands as long as it stays open; none is made for good rock, which has no cap."""
    return tuple(made.write() for made in compare_open_time(facts, limits))


def compare_open_time(facts: OpenTimeFacts, limits: Mapping[str, Limit]) -> tuple[Unwritten, ...]:
    """Compare the hours that a wall stands with those that it stays open, without writing it yet."""
    if NO not in facts.lasting_rock.values:
        return ()
    made = make_over_words(OPEN_TIME, facts.stand_up, lambda word: _stands(facts, limits[f"stand_up_{word}_h"]), _where)
    return (make_for_words(OPEN_TIME, facts.lasting_rock, {NO}, made),)


def _where(stand_up: str) -> str:
    return f"in the stand-up class '{stand_up}'"


def _stands(facts: OpenTimeFacts, limit: Limit) -> Compared:
    return make_comparison(
        Heading(
            OPEN_TIME,
            facts.place,
            limits=(limit,),
            remedy="Case or fill the hole sooner, drill it in shorter lengths, or keep fluid in it.",
            question="How long does the wall stand, and how long does the work take?",
        ),
        Wording("The time that the wall stands", "it stays open for", "h", {"open_h": "the slowest work"}),
        Comparison(has=lambda _: limit.value, needed=lambda value: value["open_h"], adverse={"open_h": "high"}),
        {"open_h": facts.open_h},
    )
