"""The register of formulas: what each computes, from where, how well it stands, and in which range.

The decorator only notes a record; the function itself is called without any wrapping.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import inf, isfinite
from typing import Literal, TypeVar

Standing = Literal["solid", "fair", "weak"]
Evidence = Literal["read", "digest", "secondary", "memory", "own"]
F = TypeVar("F", bound=Callable[..., object])


@dataclass(frozen=True, slots=True)
class Argument:
    """An argument of a formula: its unit, the range in which the formula holds, the sign of its monotony."""

    unit: str
    low: float = -inf
    high: float = inf
    sign: Literal["+", "-", ""] = ""


@dataclass(frozen=True, slots=True)
class Formula:
    """A registered formula."""

    name: str
    title: str
    symbols: str
    source: str
    key: str
    standing: Standing
    evidence: Evidence
    arguments: Mapping[str, Argument]
    unit: str
    example: tuple[Mapping[str, float], float]
    empirical: bool
    call: Callable[..., object]


REGISTRY: dict[str, Formula] = {}


def formula(
    *,
    title: str,
    symbols: str,
    source: str,
    key: str,
    standing: Standing,
    evidence: Evidence,
    arguments: Mapping[str, Argument],
    unit: str,
    example: tuple[Mapping[str, float], float],
    empirical: bool = False,
) -> Callable[[F], F]:
    """Note a formula in the register under the name of its function."""

    def note(function: F) -> F:
        name = function.__name__
        REGISTRY[name] = Formula(name, title, symbols, source, key, standing, evidence, dict(arguments), unit, example, empirical, function)
        return function

    return note


def in_range(name: str, **arguments: float) -> list[str]:
    """Return a sentence for every argument outside the range in which a formula holds.

    >>> in_range("hydrostatic", head_m=2.0)
    []
    """
    record = REGISTRY[name]
    return [
        f"{argument} = {value:g} {record.arguments[argument].unit} lies outside {record.arguments[argument].low:g} to "
        f"{record.arguments[argument].high:g}"
        for argument, value in arguments.items()
        if not record.arguments[argument].low <= value <= record.arguments[argument].high
    ]


def positive(name: str, value: float) -> float:
    """Return the value. Raises ValueError where it is not a number above zero.

    >>> positive("diameter_m", 1.2)
    1.2
    """
    if not (isfinite(value) and value > 0):
        raise ValueError(f"{name} is {value}; a number above 0 is expected")
    return value
