"""Compile conditions: for every rule one test for "certainly true" and one for "certainly false", as one code object.

A fact is a set: a number two slots (low, high), a word fact a bit mask. The code is printed from the checked tree, from
slot numbers and ``repr`` of floats only, never from the text of a rule, and runs with no builtins but min, max, abs.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import inf, isnan
from types import CodeType
from typing import Any

from methodpick.engine.tree import (
    Always,
    Arithmetic,
    Both,
    Compare,
    Condition,
    Either,
    FactRef,
    LimitRef,
    Not,
    Number,
    Term,
    Within,
    facts_of,
)
from methodpick.vocabulary.catalogue import Catalogue
from methodpick.vocabulary.values import Choice, Span, Value

OPEN, TRUE, FALSE = 0, 1, 2
"""The three truth values, as the compiled code gives them."""
Slots = list[Any]


class Program:
    """The compiled conditions of one scope."""

    def __init__(self, conditions: Sequence[Condition], catalogue: Catalogue) -> None:
        """Compile conditions; the result of running is one truth value for each, in this order."""
        self.names = tuple(sorted({name for condition in conditions for name in facts_of(condition)}))
        self._masks: dict[str, dict[str, int]] = {}
        self._domain: list[tuple[str, Value, dict[str, int] | None]] = []
        slots: dict[str, int] = {}
        position = 0
        for name in self.names:
            spec = catalogue.facts[name]
            slots[name] = position
            if spec.kind == "number":
                self._domain.append((name, spec.domain, None))
                position += 2
            else:
                bits = {word: 1 << index for index, word in enumerate(spec.words)}
                self._masks[name] = bits
                self._domain.append((name, spec.domain, bits))
                position += 1
        self._printer = _Printer(slots, self._masks)
        self.run: Callable[[Slots], tuple[int, ...]] = self._compile(conditions, position)

    def _compile(self, conditions: Sequence[Condition], count: int) -> Callable[[Slots], tuple[int, ...]]:
        lines = ["def run(v):"]
        if count:
            lines.append(f"    {','.join(f'v{index}' for index in range(count))}{',' if count == 1 else ''} = v")
        results = []
        for condition in conditions:
            true, false = self._printer.rails(condition)
            results.append(f"(1 if {true} else 2 if {false} else 0)")
        lines.append(f"    return ({','.join(results)}{',' if len(results) == 1 else ''})")
        space: dict[str, Any] = {"__builtins__": {}, "min": min, "max": max, "abs": abs, "div": _divide, "mul": _multiply}
        code: CodeType = compile("\n".join(lines), "<rules>", "exec")
        exec(code, space)  # noqa: S102 - printed from the checked tree only
        run: Callable[[Slots], tuple[int, ...]] = space["run"]
        return run

    def encode(self, values: Mapping[str, Value], *, likely: bool = False) -> Slots:
        """Turn values into slots; a missing fact is its whole domain. ``likely`` takes the likely values where known."""
        slots: Slots = []
        for name, domain, bits in self._domain:
            value = values.get(name, domain)
            if bits is None:
                if not isinstance(value, Span):
                    raise TypeError(f"the fact '{name}' needs a number")
                if likely and value.likely is not None:
                    slots += (value.likely, value.likely)
                else:
                    slots += (value.low, value.high)
            else:
                if not isinstance(value, Choice):
                    raise TypeError(f"the fact '{name}' needs a word")
                if likely and value.likely is not None:
                    slots.append(bits[value.likely])
                else:
                    slots.append(sum(bits[word] for word in value.values))
        return slots


def _divide(a: float, b: float, c: float, d: float) -> tuple[float, float]:
    """Divide [a, b] by [c, d]; anything is possible where the divisor may be zero."""
    if c <= 0.0 <= d:
        return -inf, inf
    return _ends(a / c, a / d, b / c, b / d)


def _multiply(a: float, b: float, c: float, d: float) -> tuple[float, float]:
    return _ends(a * c, a * d, b * c, b * d)


def _ends(*products: float) -> tuple[float, float]:
    if any(isnan(product) for product in products):
        return -inf, inf
    return min(products), max(products)


class _Printer:
    """Prints trees as Python expressions over the slots."""

    def __init__(self, slots: Mapping[str, int], masks: Mapping[str, Mapping[str, int]]) -> None:
        self.slots, self.masks = slots, masks

    def rails(self, condition: Condition) -> tuple[str, str]:
        if isinstance(condition, Always):
            return "1", "0"
        if isinstance(condition, Not):
            true, false = self.rails(condition.part)
            return false, true
        if isinstance(condition, (Both, Either)):
            pairs = [self.rails(part) for part in condition.parts]
            every = "(" + " and ".join(pair[0 if isinstance(condition, Both) else 1] for pair in pairs) + ")"
            some = "(" + " or ".join(pair[1 if isinstance(condition, Both) else 0] for pair in pairs) + ")"
            return (every, some) if isinstance(condition, Both) else (some, every)
        if isinstance(condition, Within):
            slot, bits = f"v{self.slots[condition.name]}", self.masks[condition.name]
            wanted = sum(bits[word] for word in condition.words)
            rest = sum(bits.values()) & ~wanted
            return f"(not {slot} & {rest})", f"(not {slot} & {wanted})"
        return self.compare(condition)

    def compare(self, atom: Compare) -> tuple[str, str]:
        (low, high), (floor, top) = self.ends(atom.left), self.ends(atom.right)
        return {"<": (f"{high} < {floor}", f"{low} >= {top}"), "<=": (f"{high} <= {floor}", f"{low} > {top}"),
                ">": (f"{low} > {top}", f"{high} <= {floor}"), ">=": (f"{low} >= {top}", f"{high} < {floor}")}[atom.op]

    def ends(self, term: Term) -> tuple[str, str]:
        if isinstance(term, (Number, LimitRef)):
            text = f"({float(term.value)!r})"
            return text, text
        if isinstance(term, FactRef):
            slot = self.slots[term.name]
            return f"v{slot}", f"v{slot + 1}"
        return self.arithmetic(term)

    def arithmetic(self, term: Arithmetic) -> tuple[str, str]:
        parts = [self.ends(part) for part in term.terms]
        if term.op in {"min", "max"}:
            return (f"{term.op}({','.join(part[0] for part in parts)})",
                    f"{term.op}({','.join(part[1] for part in parts)})")
        if term.op == "abs":
            low, high = parts[0]
            return f"max(0.0, {low}, -({high}))", f"max(abs({low}), abs({high}))"
        (low, high), (floor, top) = parts
        if term.op == "+":
            return f"({low} + {floor})", f"({high} + {top})"
        if term.op == "-":
            return f"({low} - {top})", f"({high} - {floor})"
        call = f"{'mul' if term.op == '*' else 'div'}({low},{high},{floor},{top})"
        return f"{call}[0]", f"{call}[1]"
