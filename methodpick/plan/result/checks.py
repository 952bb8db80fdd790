"""The checks of a plan as they are handed out: one record for every proof of every stage."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from methodpick.plan.result.reasons import Citation

CheckResult = Literal["holds", "little_margin", "open_range", "unknown", "open_likely", "fails"]
CHECK_RESULTS: tuple[CheckResult, ...] = ("holds", "little_margin", "open_range", "unknown", "open_likely", "fails")
"""How a check ends, best first, as the verdicts go: it holds over the whole range; below what is recommended; short only at the
adverse end of an input; an input has no likely value; short at the likely values; short even at the best end, or, where life hangs
on it, at the likely values."""


@dataclass(frozen=True, slots=True)
class Ends:
    """A quantity at the adverse end, at the likely values and at the best end of the inputs; None where it has no finite value."""

    adverse: float | None
    likely: float | None
    best: float | None


@dataclass(frozen=True, slots=True)
class CheckInput:
    """An input of a check: the low, likely and high of a number (None where there is no bound), or the words that are possible."""

    low: float | None
    likely: float | str | None
    high: float | None
    values: tuple[str, ...] | None


@dataclass(frozen=True, slots=True)
class Check:
    """One proof of one stage.

    ``id`` names the proof; ``stage`` is the number of the stage (None for the finished hole); ``margin`` is what there is less
    what is needed, in ``unit``; ``formula`` names the registered formula that gave the deciding number, ``rule`` the rule that
    decided where the facts of a slice can say it; ``top_m`` to ``base_m`` is the length that the check protects. ``what`` says
    in one sentence what is compared, ``remedy`` what to do where it is not held with certainty; both hold marked numbers.
    """

    id: str
    stage: int | None
    what: str
    needed: Ends
    has: Ends
    margin: Ends
    unit: str
    formula: str | None
    inputs: Mapping[str, CheckInput]
    limits: tuple[str, ...]
    rule: str | None
    sources: tuple[Citation, ...]
    result: CheckResult
    top_m: float
    base_m: float
    remedy: str = ""

    @property
    def bars(self) -> bool:
        """Return whether nothing may be built on this check."""
        return self.result == "fails"


def none_fails(checks: Iterable[Check]) -> bool:
    """Return whether no check of a way fails; a way with a check that fails is not proven, and its page says so."""
    return not any(check.bars for check in checks)
