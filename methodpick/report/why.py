"""The page that says why: the tree of the derivation, the other states, and what would change the answer."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console

from methodpick.report.flips import pairs, singles
from methodpick.report.page import CLOSING
from methodpick.report.voice import STATE, SUPPORT, Voice
from methodpick.unit_markup import System
from methodpick.why.result import DerivationStep, Explanation


def render_why(why: Explanation, console: Console, units: System) -> None:
    """Print why a depth is held as it is."""
    voice = Voice(console, units)
    held = why.held
    fluid = f" ({held.fluid})" if held.fluid else ""
    states = " -> ".join(STATE.get(state, state) for state in dict.fromkeys((held.drilled_in or held.support, *held.later_in)))
    voice.head(f"Shaft {why.shaft}")
    voice.say(
        f"At {voice.n(why.depth_m, 'm')}: {SUPPORT[held.support]}{fluid}, {held.confidence}; so from "
        f"{voice.n(held.top_m, 'm')} to {voice.n(held.base_m, 'm')}. On the way: {states}."
    )
    voice.head("Derivation")
    for tree in why.derivation:
        for lead, text in _lines(tree):
            voice.item(lead, text)
    if why.other_states:
        voice.head("Other states here")
        for text in why.other_states:
            voice.item("-", text)
    if why.other_ways:
        voice.head("Other ways to build the shaft")
        for text in why.other_ways:
            voice.item("-", text)
    if why.flips is not None:
        voice.head("What alone would change the answer")
        singles(why.flips, voice)
        voice.say(f"Tried, each alone: {'; '.join(why.tried)}.")
    if why.pairs is not None:
        pairs(why.pairs, voice)
    console.print()
    voice.say(CLOSING, 0)


def _lines(node: DerivationStep, depth: int = 0) -> Iterator[tuple[str, str]]:
    yield "  " * depth + ("-" if depth else "*"), node.text
    for part in node.parts:
        yield from _lines(part, depth + 1)
