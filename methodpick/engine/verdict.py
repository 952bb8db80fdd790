"""From the outcomes of all rules about a support state to its verdict: an order-free union, never a vote."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from methodpick.engine.compiler import FALSE, OPEN, TRUE
from methodpick.engine.rulebook import Outcomes

MOST_POINTS = 20
"""Preference points of a state, at most, for or against it."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """The verdict of one state, the rules that made it so, and what ranks it."""

    state: str
    rules: tuple[str, ...]
    should: tuple[str, ...]
    open_musts: tuple[str, ...]
    suits: tuple[str, ...]
    points: int


@dataclass(slots=True)
class _Spoken:
    """The ids of the rules that speak about a state, by what they say.

    Must excludes are ``certain``, or open and at the likely values true (``likely``), open (``unsettled``) or false
    (``unlikely``); ``should`` excludes hold or are open; ``suits`` are certain or hold only at the likely values.
    """

    certain: list[str] = field(default_factory=list)
    likely: list[str] = field(default_factory=list)
    unsettled: list[str] = field(default_factory=list)
    unlikely: list[str] = field(default_factory=list)
    should: list[str] = field(default_factory=list)
    suits: list[str] = field(default_factory=list)
    suits_likely: list[str] = field(default_factory=list)

    def verdict(self) -> tuple[str, list[str]]:
        """Return the verdict and the rules that make it so."""
        if self.certain:
            return "ruled_out", self.certain
        if self.likely:
            return "unlikely", self.likely
        if self.unsettled or not (self.suits or self.suits_likely):
            return "unknown", self.unsettled
        if self.unlikely or not self.suits:
            return "doubtful", self.unlikely or self.suits_likely
        if self.should:
            return "discouraged", self.should
        return "allowed", self.suits


def verdict(state: str, outcomes: Iterable[Outcomes]) -> Verdict:
    """Judge one state.

    ``ruled_out``: a must exclude is certainly true. ``unlikely``: one is open, and true at the likely values.
    ``unknown``: one is open there too, or no rule says that the state suits. ``doubtful``: one is open but false at
    the likely values, or the state suits only at the likely values. ``discouraged``: a should exclude holds or is
    open. ``allowed``: none of these. Silence never allows.
    """
    spoken = _Spoken()
    certain, should, suits, suits_likely = spoken.certain, spoken.should, spoken.suits, spoken.suits_likely
    open_musts = {TRUE: spoken.likely, OPEN: spoken.unsettled, FALSE: spoken.unlikely}
    points = 0
    for found in outcomes:
        for rule, on_range, at_likely in found.speaking(found.scope.by_state[state]):
            if rule.effect == "exclude":
                if rule.level != "must":
                    if on_range == TRUE or at_likely != FALSE:
                        should.append(rule.id)
                elif on_range == TRUE:
                    certain.append(rule.id)
                else:
                    open_musts[at_likely].append(rule.id)
            elif rule.effect == "suits":
                if on_range == TRUE:
                    suits.append(rule.id)
                elif at_likely == TRUE:
                    suits_likely.append(rule.id)
            elif rule.effect == "prefer" and at_likely == TRUE:
                points += rule.points
    name, by = spoken.verdict()
    return Verdict(
        name,
        tuple(by),
        tuple(should),
        (*spoken.likely, *spoken.unsettled, *spoken.unlikely),
        tuple(suits or suits_likely),
        max(-MOST_POINTS, min(MOST_POINTS, points)),
    )
