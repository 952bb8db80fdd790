"""The register of formulas: what each computes, from where, how well it stands, in which range; and the recording of calls.

The decorator only notes a record; the function itself is called without any wrapping.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from importlib import import_module
from math import inf
from pkgutil import iter_modules
from types import CodeType, FrameType
from typing import Any, Literal, TypeVar

import methodpick.mechanics as package
from methodpick.records import record
from methodpick.terms import Confidence

FormulaStanding = Literal["solid", "fair", "weak"]
"""How far a formula is to be trusted: statics or closed form, a fair model, a rule of thumb."""
CHECKS = "the checks that decide a plan"
"""What most waiting formulas wait for: the proofs of ``plan/checks`` call them, and the planner does not call those yet."""
F = TypeVar("F", bound=Callable[..., float])


@record
class Argument:
    """An argument of a formula: its unit, the range in which the formula holds, the sign of its monotony."""

    unit: str
    low: float = -inf
    high: float = inf
    sign: Literal["+", "-", ""] = ""


@record
class Formula:
    """A registered formula. ``waits_for`` names the work that will call it, where nothing does yet."""

    name: str
    title: str
    symbols: str
    source: str
    key: str
    standing: FormulaStanding
    evidence: Confidence
    arguments: Mapping[str, Argument]
    unit: str
    example: tuple[Mapping[str, float], float]
    empirical: bool
    waits_for: str
    call: Callable[..., float]
    code: CodeType


@record
class Call:
    """A call of a registered formula that was made: its arguments, defaults included, and its result."""

    formula: Formula
    arguments: Mapping[str, float]
    result: float


REGISTRY: dict[str, Formula] = {}


def formula(
    *,
    title: str,
    symbols: str,
    source: str,
    key: str,
    standing: FormulaStanding,
    evidence: Confidence,
    arguments: Mapping[str, Argument],
    unit: str,
    example: tuple[Mapping[str, float], float],
    empirical: bool = False,
    waits_for: str = "",
) -> Callable[[F], F]:
    """Register a formula under the name of its function."""

    def note(function: F) -> F:
        """Register one function."""
        name = function.__name__
        REGISTRY[name] = Formula(
            name=name,
            title=title,
            symbols=symbols,
            source=source,
            key=key,
            standing=standing,
            evidence=evidence,
            arguments=dict(arguments),
            unit=unit,
            example=example,
            empirical=empirical,
            waits_for=waits_for,
            call=function,
            code=function.__code__,
        )
        return function

    return note


def all_formulas() -> dict[str, Formula]:
    """Return every registered formula by name, module by module in the order of the files, whatever was imported before.

    >>> all_formulas()["ka"].unit
    '1'
    """
    for found in iter_modules(package.__path__):
        import_module(f"methodpick.mechanics.{found.name}")
    return dict(sorted(REGISTRY.items(), key=lambda item: item[1].call.__module__))


class CallRecorder:
    """Recorder of the calls of registered formulas, told by the interpreter's profile hook of every call and return."""

    def __init__(self) -> None:
        """Start with no call heard."""
        self.calls: list[Call] = []
        self._formulas = {record.code: record for record in all_formulas().values()}
        self._entered: list[dict[str, float]] = []

    def hear(self, frame: FrameType, event: str, result: Any) -> None:
        """Note the arguments when a formula is called, and the call when it returns; one that raises gives no result and no call."""
        record = self._formulas.get(frame.f_code)
        if record is None:
            return
        if event == "call":
            self._entered.append(dict(frame.f_locals))
        elif event == "return":
            arguments = self._entered.pop()
            if result is not None:
                self.calls.append(Call(record, arguments, result))


@contextmanager
def recording() -> Iterator[list[Call]]:
    """Record every call of a registered formula that the block makes, in the order in which the calls return.

    The interpreter's profile hook tells of the calls, so that a formula that is not recorded costs nothing more.

    >>> from methodpick.mechanics.earth_pressure import hydrostatic
    >>> with recording() as calls:
    ...     head = hydrostatic(2.0)
    >>> [(call.formula.name, dict(call.arguments), call.result) for call in calls]
    [('hydrostatic', {'head_m': 2.0, 'water_kn_m3': 9.81}, 19.62)]
    """
    recorder = CallRecorder()
    before = sys.getprofile()
    sys.setprofile(recorder.hear)
    try:
        yield recorder.calls
    finally:
        sys.setprofile(before)


def call_behind(calls: Sequence[Call], value: float, names: Sequence[str]) -> Call | None:
    """Return the call of one of the named formulas that gave a value, the latest where several did; None where none did.

    >>> from methodpick.mechanics.earth_pressure import hydrostatic
    >>> with recording() as calls:
    ...     heads = [hydrostatic(2.0), hydrostatic(3.0)]
    >>> call_behind(calls, 19.62, ["hydrostatic"]).arguments["head_m"]
    2.0
    """
    return next((call for call in reversed(calls) if call.formula.name in names and call.result == value), None)


def positive(name: str, value: float) -> float:
    """Return the value. Raises ValueError where it is not a number above zero.

    >>> positive("diameter_m", 1.2)
    1.2
    """
    if 0.0 < value < inf:
        return value
    raise ValueError(f"{name} is {value}; a number above 0 is expected")
