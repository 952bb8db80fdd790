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
        self._places: dict[str, tuple[int, _Masks | None]] = {}
        self._whole: Slots = []
        for name in self.names:
            spec = catalogue.facts[name]
            if isinstance(spec.domain, Span):
                self._places[name] = len(self._whole), None
                self._whole += (spec.domain.low, spec.domain.high)
            else:
                masks = _Masks(spec.words)
                self._places[name] = len(self._whole), masks
                self._whole.append(masks[frozenset(spec.words)])
        self.run: Callable[[Slots], tuple[int, ...]] = self._compile(conditions)

    def _compile(self, conditions: Sequence[Condition]) -> Callable[[Slots], tuple[int, ...]]:
        printer = _Printer(self._places)
        rails = [printer.rails(condition) for condition in conditions]
        lines = ["def run(v):"]
        if count := len(self._whole):
            lines.append(f"    {','.join(f'v{index}' for index in range(count))}{',' if count == 1 else ''} = v")
        lines += printer.lines
        results = [f"(1 if {true} else 2 if {false} else 0)" for true, false in rails]
        lines.append(f"    return ({','.join(results)}{',' if len(results) == 1 else ''})")
        space: dict[str, Any] = {"__builtins__": {}, "min": min, "max": max, "abs": abs, "div": _divide, "mul": _multiply}
        code: CodeType = compile("\n".join(lines), "<rules>", "exec")
        exec(code, space)  # noqa: S102 - printed from the checked tree only
        run: Callable[[Slots], tuple[int, ...]] = space["run"]
        return run

    def empty(self) -> Slots:
        """Give the slots of a place of which nothing is known: every fact is its whole domain."""
        return self._whole.copy()

    def fill(self, wide: Slots, near: Slots, values: Mapping[str, Value]) -> None:
        """Put values into the slots of the whole range and into those of the likely values."""
        places = self._places
        for name in places if len(values) > len(places) else values:
            place, value = places.get(name), values.get(name)
            if place is None or value is None:
                continue
            index, masks = place
            likely = value.likely
            if masks is None:
                if not isinstance(value, Span):
                    raise TypeError(f"the fact '{name}' needs a number")
                wide[index], wide[index + 1] = value.low, value.high
                near[index], near[index + 1] = (value.low, value.high) if likely is None else (likely, likely)
            else:
                if not isinstance(value, Choice):
                    raise TypeError(f"the fact '{name}' needs a word")
                wide[index] = masks[value.values]
                near[index] = wide[index] if value.likely is None else masks.bits[value.likely]

    def encode(self, values: Mapping[str, Value], *, likely: bool = False) -> Slots:
        """Turn values into slots; a missing fact is its whole domain. ``likely`` takes the likely values where known."""
        wide, near = self.empty(), self.empty()
        self.fill(wide, near, values)
        return near if likely else wide


class _Masks(dict[frozenset[str], int]):
    """The bit mask of each set of words of a fact, worked out once."""

    def __init__(self, words: Sequence[str]) -> None:
        super().__init__()
        self.bits = {word: 1 << index for index, word in enumerate(words)}

    def __missing__(self, words: frozenset[str]) -> int:
        mask = self[words] = sum(self.bits[word] for word in words)
        return mask


def _divide(a: float, b: float, c: float, d: float) -> tuple[float, float]:
    """Divide [a, b] by [c, d]; anything is possible where the divisor may be zero."""
    if c <= 0.0 <= d:
        return -inf, inf
    return _ends(a / c, a / d, b / c, b / d)


def _multiply(a: float, b: float, c: float, d: float) -> tuple[float, float]:
    return _ends(a * c, a * d, b * c, b * d)


def _ends(*products: float) -> tuple[float, float]:
    """Give the ends of a product; anything is possible where a number ran out of the range of floats."""
    low, high = min(products), max(products)
    if low == inf or high == -inf or any(isnan(product) for product in products):
        return -inf, inf
    return low, high


class _Printer:
    """Prints trees as Python expressions over the slots.

    Arithmetic is worked out once, in ``lines``, before the tests, so that the code grows with the text of a rule and
    never with its products.
    """

    def __init__(self, places: Mapping[str, tuple[int, _Masks | None]]) -> None:
        self.places = places
        self.lines: list[str] = []
        self.made: dict[Arithmetic, tuple[str, str]] = {}

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
            index, masks = self.places[condition.name]
            bits = masks.bits if masks is not None else {}
            wanted = sum(bits[word] for word in condition.words)
            rest = sum(bits.values()) & ~wanted
            return f"(not v{index} & {rest})", f"(not v{index} & {wanted})"
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
            index, _ = self.places[term.name]
            return f"v{index}", f"v{index + 1}"
        if term not in self.made:
            code = self.arithmetic(term.op, [self.ends(part) for part in term.terms])
            low, high = f"t{2 * len(self.made)}", f"t{2 * len(self.made) + 1}"
            self.lines.append(f"    {low}, {high} = {code}")
            self.made[term] = low, high
        return self.made[term]

    def arithmetic(self, op: str, parts: list[tuple[str, str]]) -> str:
        (low, high), (floor, top) = parts[0], parts[-1]
        if op in {"min", "max"}:
            return f"{op}({','.join(part[0] for part in parts)}), {op}({','.join(part[1] for part in parts)})"
        return {"abs": f"max(0.0, {low}, -{high}), max(abs({low}), abs({high}))",
                "+": f"{low} + {floor}, {high} + {top}", "-": f"{low} - {top}, {high} - {floor}",
                "*": f"mul({low}, {high}, {floor}, {top})", "/": f"div({low}, {high}, {floor}, {top})"}[op]
