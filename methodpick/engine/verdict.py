"""From the outcomes of all rules about a support state to its verdict: an order-free union, never a vote."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from methodpick.engine.compiler import FALSE, OPEN, TRUE
from methodpick.engine.rulebook import Outcomes

ORDER = ("allowed", "discouraged", "doubtful", "unknown", "unlikely", "ruled_out")


@dataclass(frozen=True, slots=True)
class Verdict:
    """The verdict of one state, the rules that made it so, and what ranks it."""

    state: str
    rules: tuple[str, ...]
    should: tuple[str, ...]
    open_musts: tuple[str, ...]
    suits: tuple[str, ...]
    points: int


def verdict(state: str, outcomes: Iterable[Outcomes]) -> Verdict:
    """Judge one state.

    ``ruled_out``: a must exclude is certainly true. ``unlikely``: one is open, and true at the likely values.
    ``unknown``: one is open there too, or no rule says that the state suits. ``doubtful``: one is open but false at
    the likely values, or the state suits only at the likely values. ``discouraged``: a should exclude holds or is
    open. ``allowed``: none of these. Silence never allows.
    """
    certain: list[str] = []
    likely: list[str] = []
    unsettled: list[str] = []
    unsure: list[str] = []
    should: list[str] = []
    fits: list[str] = []
    fits_likely: list[str] = []
    points = 0
    for found in outcomes:
        for rule, wide, near in found.speaking(found.scope.by_state[state]):
            if rule.effect == "exclude":
                if rule.level != "must":
                    if wide == TRUE or near != FALSE:
                        should.append(rule.id)
                elif wide == TRUE:
                    certain.append(rule.id)
                else:
                    {TRUE: likely, OPEN: unsettled, FALSE: unsure}[near].append(rule.id)
            elif rule.effect == "suits":
                if wide == TRUE:
                    fits.append(rule.id)
                elif near == TRUE:
                    fits_likely.append(rule.id)
            elif rule.effect == "prefer" and near == TRUE:
                points += rule.points
    open_musts = (*likely, *unsettled, *unsure)
    name, by = _name(certain, likely, unsettled, unsure, should, fits, fits_likely)
    return Verdict(name, tuple(by), tuple(should), open_musts, tuple(fits or fits_likely), max(-20, min(20, points)))


def _name(
    certain: list[str],
    likely: list[str],
    unsettled: list[str],
    unsure: list[str],
    should: list[str],
    fits: list[str],
    fits_likely: list[str],
) -> tuple[str, list[str]]:
    if certain:
        return "ruled_out", certain
    if likely:
        return "unlikely", likely
    if unsettled or not (fits or fits_likely):
        return "unknown", unsettled
    if unsure or not fits:
        return "doubtful", unsure or fits_likely
    if should:
        return "discouraged", should
    return "allowed", fits
