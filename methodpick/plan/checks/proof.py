"""How the ranges of the inputs count in a proof.

A proof compares what is needed with what there is, or asks whether a condition is broken. Life-and-loss proofs (an emptied seal,
the base, the head of fluid, the balance of a pull) must hold in full at the likely values; every proof is tried with one input
after the other at its adverse end, the rest likely, so that factors do not count twice. An input without a likely value is taken
at its adverse end.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import product
from math import inf, isfinite, isnan
from typing import NamedTuple

from methodpick.plan.result.checks import CheckResult, Ends
from methodpick.records import record
from methodpick.vocabulary.values import Choice, Span, Value

Numbers = Mapping[str, float]
Quantity = Callable[[Numbers], float]
InputWords = Mapping[str, "str | float"]
BrokenWhen = Callable[[InputWords], bool]

TOLERANCE = 1e-6
"""Differences below this are rounding."""


@record(guarded=False)
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


class Sides(NamedTuple):
    """What there is and what is needed at one set of values; each is worked out once, however often it is asked about."""

    has: float
    needed: float

    def margin(self, undefined: float) -> float:
        """Return what is left; where two infinite quantities have no difference, what the caller takes for it."""
        left = self.has - self.needed if self.has != self.needed else 0.0
        return undefined if isnan(left) else left


class Outcome(NamedTuple):
    """What came out: the three quantities at three ends, the result, and the input that decides at the adverse end.

    ``known`` says that every input has a likely value; ``recommended`` is what is recommended at the likely values.
    """

    needed: Ends
    has: Ends
    margin: Ends
    result: CheckResult
    worst_input: str | None
    known: bool
    recommended: float | None


def compare(comparison: Comparison, inputs: Mapping[str, Span], *, life: bool = False) -> Outcome:
    """Return how a comparison ends over the ranges of its inputs; ``life`` marks it as one of life and loss, as its own mark does.

    >>> thing = Comparison(has=lambda v: v["length"], needed=lambda v: 2 * v["head"], adverse={"length": "low", "head": "high"})
    >>> compare(thing, {"length": Span(5, 5, 5), "head": Span(1, 3, 2)}).result
    'open_range'
    >>> compare(thing, {"length": Span(7, 7, 7), "head": Span(1, 3, 2)}).result
    'holds'
    >>> compare(thing, {"length": Span(5, 5, 5), "head": Span(1, 3)}).result
    'unknown'
    """
    worst, best, usual = _values_at_ends(comparison, inputs)
    known = None not in [span.likely for span in inputs.values()]
    has, needed, from_adverse = comparison.has, comparison.needed, comparison.needed_adverse or comparison.needed
    at_usual = Sides(has(usual), needed(usual))
    at_best = at_usual if best == usual else Sides(has(best), needed(best))
    hopeful = at_usual if known else _hopeful(inputs, best, has, needed)
    full = at_usual if from_adverse is needed else at_usual._replace(needed=from_adverse(usual))
    tried = [(name, _sides({**usual, name: end}, has, from_adverse)) for name, end in worst.items() if end != usual[name]]
    adverse_at, adverse = min(tried, key=_left) if tried else (None, full)
    margin, most = at_usual.margin(-inf), at_best.margin(inf)
    least = min(adverse.margin(-inf), full.margin(-inf)) if tried else full.margin(-inf)
    advised = None if comparison.recommended is None else at_usual._replace(needed=comparison.recommended(usual))
    return Outcome(
        Ends(_finite(adverse.needed), _finite(at_usual.needed) if known else None, _finite(at_best.needed)),
        Ends(_finite(adverse.has), _finite(at_usual.has) if known else None, _finite(at_best.has)),
        Ends(_finite(least), _finite(margin) if known else None, _finite(most)),
        _result(
            best=most < -TOLERANCE,
            likely=hopeful.margin(inf) < -TOLERANCE,
            unknown=margin < -TOLERANCE,
            adverse=least < -TOLERANCE,
            slim=advised is not None and advised.margin(-inf) < -TOLERANCE,
            life=life or comparison.life,
        ),
        adverse_at,
        known,
        None if advised is None else _finite(advised.needed),
    )


def _values_at_ends(comparison: Comparison, inputs: Mapping[str, Span]) -> tuple[dict[str, float], dict[str, float], dict[str, float]]:
    """Return all inputs at their adverse ends, at their best ends, and likely or else adverse."""
    worst, best, usual = dict[str, float](), dict[str, float](), dict[str, float]()
    for name, span in inputs.items():
        worst[name], best[name] = (span.low, span.high) if comparison.adverse[name] == "low" else (span.high, span.low)
        usual[name] = worst[name] if span.likely is None else span.likely
    return worst, best, usual


def _left(tried: tuple[str | None, Sides]) -> float:
    return tried[1].margin(-inf)


def _hopeful(inputs: Mapping[str, Span], best: Numbers, has: Quantity, needed: Quantity) -> Sides:
    """Return both sides at the likely values, and at the best end of what has none."""
    return _sides({name: best[name] if span.likely is None else span.likely for name, span in inputs.items()}, has, needed)


def _sides(numbers: Numbers, has: Quantity, needed: Quantity) -> Sides:
    return Sides(has(numbers), needed(numbers))


def decide(broken: BrokenWhen, inputs: Mapping[str, Value], *, life: bool = False) -> CheckResult:
    """Return how a condition ends that is kept or broken, over the words and ranges that its inputs may have.

    Ranges are looked at on both ends and at the likely value.

    >>> decide(lambda v: v["soil"] == "void", {"soil": Choice(frozenset({"rock", "void"}), "rock")})
    'open_range'
    >>> decide(lambda v: v["soil"] == "void", {"soil": Choice(frozenset({"rock", "void"}))})
    'unknown'
    """
    every = {name: _values(value) for name, value in inputs.items()}
    usual: dict[str, tuple[str | float, ...]] = {
        name: every[name] if value.likely is None else (value.likely,) for name, value in inputs.items()
    }
    at_usual = [broken(words) for words in _combined(usual)]
    return _result(
        best=all(broken(words) for words in _combined(every)),
        likely=all(at_usual),
        unknown=any(at_usual),
        adverse=any(broken(words) for name in every for words in _combined({**usual, name: every[name]})),
        slim=False,
        life=life,
    )


def _result(*, best: bool, likely: bool, unknown: bool, adverse: bool, slim: bool, life: bool) -> CheckResult:
    if best or (life and likely):
        return "fails"
    if likely:
        return "open_likely"
    if unknown:
        return "unknown"
    if adverse:
        return "open_range"
    return "little_margin" if slim else "holds"


def _values(value: Value) -> tuple[str | float, ...]:
    if isinstance(value, Choice):
        return tuple(sorted(value.values))
    return tuple(sorted({value.low, value.high, *(() if value.likely is None else (value.likely,))}))


def _combined(values: Mapping[str, tuple[str | float, ...]]) -> Iterator[InputWords]:
    names = tuple(values)
    for words in product(*values.values()):
        yield dict(zip(names, words, strict=True))


def _finite(value: float | None) -> float | None:
    return value if value is not None and isfinite(value) else None
