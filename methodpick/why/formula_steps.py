"""The formulas behind the facts of a slice, with the numbers that the deciding call took and gave."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from methodpick.facts.curves import HoleFluid
from methodpick.facts.gather import Gatherer, Slice
from methodpick.mechanics.registry import REGISTRY, Call, call_behind
from methodpick.unit_markup import mark_plainly
from methodpick.vocabulary.values import Fact, Span, Value
from methodpick.why.result import DerivationStep

FORMULAS_OF_STATE: Mapping[str, tuple[str, ...]] = {
    "overload_ratio": ("overload_ratio",),
    "overload_share": ("overload_share",),
    "uplift_factor": ("plug_factor",),
    "inside_pressure_kpa": ("fluid_pressure",),
}
"""The formulas of facts that hang on what stands in the hole; the others are a difference of two facts."""


@dataclass(frozen=True)
class FormulaSteps:
    """Shows the formulas behind the facts of one slice.

    Nothing is worked out a second way: the facts are gathered anew by the code that planned with them, and its calls recorded.
    """

    gatherer: Gatherer
    cut: Slice
    insides: Mapping[str, HoleFluid | None]

    def of_fact(self, fact: Fact) -> tuple[DerivationStep, ...]:
        """Return the formulas behind a fact of the slice."""
        return _steps(fact.formulas, self._calls.get(fact.name, ()), fact.value)

    def of_state_fact(self, name: str, state: str, value: Value | None) -> tuple[DerivationStep, ...]:
        """Return the formulas behind a fact of the slice in one support state."""
        calls = self.gatherer.state_calls_behind(self.cut, name, self.insides[state]) if state in self.insides else ()
        return _steps(FORMULAS_OF_STATE.get(name, ()), calls, value)

    @cached_property
    def _calls(self) -> Mapping[str, tuple[Call, ...]]:
        return self.gatherer.calls_behind(self.cut)


def _steps(formulas: Sequence[str], calls: Sequence[Call], value: Value | None) -> tuple[DerivationStep, ...]:
    """Return the call that gave the likely value; the formula alone where there is none, or the value was kept within its domain."""
    if not formulas:
        return ()
    likely = value.likely if isinstance(value, Span) else None
    call = None if likely is None else call_behind(calls, likely, formulas[:1])
    if call is None:
        record = REGISTRY[formulas[0]]
        return (DerivationStep(f"formula {record.name}: {record.symbols} ({record.source}; {record.standing})"),)
    return (_step(call, calls),)


def _step(call: Call, calls: Sequence[Call]) -> DerivationStep:
    record = call.formula
    return DerivationStep(
        f"formula {record.name}: {record.symbols}{worked(call)} ({record.source}; {record.standing})", _within(call, calls)
    )


def _within(call: Call, calls: Sequence[Call]) -> tuple[DerivationStep, ...]:
    """Return the calls that gave the arguments of a call."""
    earlier = calls[: next(index for index, other in enumerate(calls) if other is call)]
    found = []
    for name, value in call.arguments.items():
        unit = call.formula.arguments[name].unit if name in call.formula.arguments else ""
        names = [other.formula.name for other in earlier if other.formula.unit == unit]
        inner = call_behind(earlier, value, names) if value else None
        if inner is not None:
            found.append(_step(inner, earlier))
    return tuple(found)


def worked(call: Call) -> str:
    """Write a call out: its arguments and its result, with marks."""
    record = call.formula
    given = ", ".join(f"{name} {mark_plainly(value, record.arguments[name].unit)}" for name, value in call.arguments.items())
    return f"; with {given}: {mark_plainly(call.result, record.unit)}"
