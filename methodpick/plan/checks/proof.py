"""How the ranges of the inputs count in a proof.

A proof compares what is needed with what there is. Life-and-loss proofs (an emptied seal, the base, the head of fluid, the balance
of a pull) must hold in full at the likely values; every proof is tried with one input after the other at its adverse end, the
rest likely, so that factors do not count twice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import isfinite

from methodpick.plan.result.checks import CheckResult, Ends
from methodpick.vocabulary.values import Span

Numbers = Mapping[str, float]
Quantity = Callable[[Numbers], float]

TOLERANCE = 1e-6
"""Differences below this are rounding."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """What a proof compares.

    ``has`` and ``needed`` give a quantity of one unit from single values of the inputs; ``needed_adverse`` is what must be left at the
    adverse end where that is less; ``recommended`` is asked for at the likely values before a margin counts as enough. ``adverse``
    says for every input which end is the unfavourable one: ``"low"`` or ``"high"``. ``life`` marks a life-and-loss proof.
    """

    has: Quantity
    needed: Quantity
    adverse: Mapping[str, str]
    needed_adverse: Quantity | None = None
    recommended: Quantity | None = None
    life: bool = False


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came out: the three quantities at three ends, the result, and the input that decides at the adverse end."""

    needed: Ends
    has: Ends
    margin: Ends
    result: CheckResult
    worst_input: str | None


def compare(comparison: Comparison, inputs: Mapping[str, Span]) -> Outcome:
    """Return how a comparison ends over the ranges of its inputs.

    >>> thing = Comparison(has=lambda v: v["length"], needed=lambda v: 2 * v["head"], adverse={"length": "low", "head": "high"})
    >>> compare(thing, {"length": Span(5, 5, 5), "head": Span(1, 3, 2)}).result
    'open_range'
    >>> compare(thing, {"length": Span(7, 7, 7), "head": Span(1, 3, 2)}).result
    'holds'
    """
    ends = {name: (span.low, span.high) if comparison.adverse[name] == "low" else (span.high, span.low) for name, span in inputs.items()}
    best = {name: end[1] for name, end in ends.items()}
    worst = {name: end[0] for name, end in ends.items()}
    likely = {name: span.likely for name, span in inputs.items() if span.likely is not None}
    known = len(likely) == len(inputs)
    from_adverse = comparison.needed_adverse or comparison.needed
    if known:
        tried = {name: {**likely, name: worst[name]} for name in inputs}
        adverse_at = min(tried, key=lambda name: _margin(comparison.has, from_adverse, tried[name]), default=None)
        adverse = tried[adverse_at] if adverse_at is not None else likely
    else:
        adverse_at, adverse = None, worst
    needed = Ends(_at(from_adverse, adverse), _at(comparison.needed, likely) if known else None, _at(comparison.needed, best))
    has = Ends(_at(comparison.has, adverse), _at(comparison.has, likely) if known else None, _at(comparison.has, best))
    margins = (
        _margin(comparison.has, from_adverse, adverse),
        _margin(comparison.has, comparison.needed, likely) if known else None,
        _margin(comparison.has, comparison.needed, best),
    )
    advised = comparison.recommended
    slim = known and advised is not None and _margin(comparison.has, advised, likely) < -TOLERANCE
    result = _result(*margins, slim=slim, life=comparison.life)
    return Outcome(needed, has, Ends(*(_finite(margin) for margin in margins)), result, adverse_at)


def _result(adverse: float, likely: float | None, best: float, *, slim: bool, life: bool) -> CheckResult:
    if best < -TOLERANCE or (life and likely is not None and likely < -TOLERANCE):
        return "fails"
    if likely is not None and likely < -TOLERANCE:
        return "open_likely"
    if adverse < -TOLERANCE:
        return "open_range" if likely is not None else "unknown"
    return "little_margin" if slim else "holds"


def _margin(has: Quantity, needed: Quantity, numbers: Numbers) -> float:
    there, asked = has(numbers), needed(numbers)
    return there - asked if there != asked else 0.0


def _at(quantity: Quantity, numbers: Numbers) -> float | None:
    return _finite(quantity(numbers))


def _finite(value: float | None) -> float | None:
    return value if value is not None and isfinite(value) else None
