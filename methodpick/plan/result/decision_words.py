"""What the decision on a shaft says, part by part: written once, for who plans and for who verifies a written plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from methodpick.records import record
from methodpick.terms import FLUID_NAMES, WayWords
from methodpick.unit_markup import all_of, mark

TOLERANCE_M = 1e-6
SEAL_WORDS = {"yes": " and seal it", "probable": " and prove its seal", "no": ""}
"""What is said of a casing that keeps the water out, by how sure its seal is."""
PLACED_WORDS = {"wet": "concrete by tremie.", "dry": "concrete in the dry."}
BAIL_FIRST = "bail, then "
Dig = Literal["dry", "plug", "full"]
"""How a casing that goes down with the dig is dug: dry, with a plug of soil in it, or kept full."""
_DUG = {"dry": ", dug dry,", "plug": " ahead of the dig", "full": " with the dig, kept full,"}


@record
class EndOfLog:
    """Where the log says nothing: from ``end_m`` to the tip (None where it reaches the tip), and over the ``gaps`` above."""

    end_m: float | None
    gaps: tuple[tuple[float, float], ...]

    def to(self, top_m: float, base_m: float) -> str:
        """Return to what depth a length is built, and from where on that holds only if the last layer of the log goes on."""
        if self.end_m is None or base_m <= self.end_m + TOLERANCE_M:
            return f"to {mark(base_m, 'm')}"
        if top_m >= self.end_m - TOLERANCE_M:
            return f"to {mark(base_m, 'm')} if the last layer goes on"
        return f"to {mark(self.end_m, 'm')}, where the log ends, and on to {mark(base_m, 'm')} if its last layer goes on"

    def what_is_open(self) -> Iterator[str]:
        """Return the sentences about the lengths of which no log tells."""
        below_ground = tuple(gap for gap in self.gaps if gap[0] > 0)
        for gaps, priced in (
            (self.gaps[: len(self.gaps) - len(below_ground)], "as ground of which nothing is known"),
            (below_ground, "as the ground above"),
        ):
            if gaps:
                lengths = all_of(f"{mark(top_m, 'm')} to {mark(base_m, 'm')}" for top_m, base_m in gaps)
                yield f" From {lengths} nothing is decided: the log says nothing there; priced {priced}."
        if self.end_m is not None:
            told = "the log tells neither ground nor water there; ask for a deeper boring"
            yield f" Below {mark(self.end_m, 'm')} nothing is decided: {told}."


def log_says_nothing(top_m: float) -> str:
    """Return that nothing is decided from a depth on, since the log tells of no ground there."""
    return f"From {mark(top_m, 'm')} down nothing is decided: the log says nothing of the ground."


def drilled(state: str, to: str) -> str:
    """Return how a length of the open hole is drilled, dry or under a fluid."""
    return f"drill dry {to}" if state == "dry" else f"drill under {FLUID_NAMES.get(state, state)} {to}"


def advanced(kind: str, dig: Dig, way: WayWords, to: str) -> str:
    """Return how a casing of a kind goes down with the dig."""
    return f"advance {kind} casing{_DUG[dig]} {way.manner} {to}"


def casing_set(kind: str, to: str) -> str:
    """Return the setting of a casing of a kind in the drilled hole."""
    return f"set {kind} casing {to}"


def whole(parts: Sequence[str], placement: Literal["wet", "dry"], log: EndOfLog) -> str:
    """Return the decision from its parts, with how the concrete is placed and what stays open."""
    text = ", ".join(parts)
    told = text[0].upper() + text[1:] if text else "Nothing is decided"
    return f"{told}; {PLACED_WORDS[placement]}{''.join(log.what_is_open())}"


def needs_platform(height_m: float) -> str:
    """Return how the decision ends where the plan raises the drilling grade so far above the ground."""
    return f" This needs the platform raised by fill to {mark(height_m, 'm')} above the ground."
