"""Compile the conditions of a scope into two functions: one judges sets twice, one tells what fires at a point.

The code is printed from the checked tree, from numbers of bits and facts and ``repr`` of floats only, never from the text
of a rule, and runs with no builtins but min, max, abs. See ``columns.py`` for the bits. Comparisons of two facts follow the
look-ups as tests of their own: one for "certainly true", one for "certainly false".
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import inf, isnan
from operator import itemgetter
from types import CodeType
from typing import Any

from methodpick.engine.columns import Layout, Piece, SetColumn, WordColumn, pieces
from methodpick.engine.tree import Arithmetic, Compare, Condition, FactRef, Term, facts_of, facts_of_atom
from methodpick.vocabulary.catalogue import Catalogue
from methodpick.vocabulary.values import Span, Value

OPEN, TRUE, FALSE = 0, 1, 2
"""The three truth values of a rule."""
Plain = float | str | bool
"""A fact that is known exactly: a number, a word, and yes, no, True or False."""


class Program:
    """The compiled conditions of one scope."""

    def __init__(self, conditions: Sequence[Condition], catalogue: Catalogue) -> None:
        """Compile conditions; bit ``n`` of a mask is condition ``n``."""
        self.names = tuple(sorted({name for condition in conditions for name in facts_of(condition)}))
        self._facts = {name: catalogue.facts[name] for name in self.names}
        layout = Layout(catalogue)
        layout.add(conditions)
        self.above = layout.bits
        """Bit ``n + above`` tells that condition ``n`` is possible."""
        self.rules = (1 << len(conditions)) - 1
        space = _space(self._facts, layout)
        printer = _Printer(self.names, self._facts, layout)
        code: CodeType = compile("\n".join((*printer.judge(), *printer.fired(self.rules))), "<rules>", "exec")
        exec(code, space)  # noqa: S102 - printed from the checked tree only
        self._judge: Callable[[Mapping[str, Value]], tuple[int, int]] = space["judge"]
        self.fired: Callable[[Mapping[str, Plain]], int] = space["fired"]
        """Give the mask of conditions that hold where every fact is a point. Raises KeyError for a fact that is missing,
        ValueError for a word that a fact cannot have or NaN, TypeError for a text in place of a number."""

    def judge(self, values: Mapping[str, Value]) -> tuple[int, int]:
        """Give the masks on the whole range and at the likely values; a missing fact is its whole domain.

        Raises TypeError for a value of the wrong kind, ValueError for a word that the fact cannot have.
        """
        try:
            return self._judge(values)
        except AttributeError:
            for name, spec in self._facts.items():
                if name in values and isinstance(values[name], Span) is not isinstance(spec.domain, Span):
                    raise TypeError(f"the fact '{name}' needs a {'number' if spec.kind == 'number' else 'word'}") from None
            raise

    def truth(self, mask: int, index: int) -> int:
        """Give the truth of one condition in a mask."""
        return TRUE if mask >> index & 1 else OPEN if mask >> self.above + index & 1 else FALSE

    def possible(self, mask: int) -> int:
        """Give the mask of conditions that hold or may hold."""
        return mask >> self.above & self.rules


def _space(facts: Mapping[str, Any], layout: Layout) -> dict[str, Any]:
    """Give the names that the printed code may use, and no others."""
    space: dict[str, Any] = {"__builtins__": {}, "min": min, "max": max, "abs": abs, "div": _divide, "mul": _multiply,
                             "nan": _refuse, "KeyError": KeyError, "whole": {name: spec.domain for name, spec in facts.items()}}
    if facts:
        space["get"] = itemgetter(*facts)
    for index, spec in enumerate(facts.values()):
        if spec.kind != "number":
            sets = SetColumn(spec, layout)
            words = WordColumn(spec, sets)
            space |= {f"s{index}": sets, f"p{index}": words, f"n{index}": {word: sets[frozenset({word})] for word in spec.words}}
    return space


def _refuse(number: object) -> int:
    raise ValueError(f"{number} is no number that can be compared")


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
    """Prints the two functions. Of fact ``i`` a range is ``l<i>, h<i>``, its likely part ``a<i>, b<i>``, a point ``f<i>``."""

    def __init__(self, names: Sequence[str], facts: Mapping[str, Any], layout: Layout) -> None:
        self.layout = layout
        self.number = {name: index for index, name in enumerate(names)}
        self.numeric = [name for name in names if facts[name].kind == "number"]
        self.loose = sorted({name for atom in layout.loose for name in facts_of_atom(atom)})
        self.values = ", ".join(f"f{index}" for index in range(len(names)))

    def judge(self) -> list[str]:
        """Print ``judge(values)``: the masks on the whole range and at the likely values."""
        lines = ["def judge(values):", f" wide = near = {self.layout.all}"]
        if self.values:
            lines += [" try:", f"  {self.values} = get(values)", " except KeyError:", f"  {self.values} = get({{**whole, **values}})"]
        for name, i in self.number.items():
            if name not in self.numeric:
                lines += [f" wide &= (m := s{i}[f{i}.values])", f" k = f{i}.likely", f" near &= m if k is None else n{i}[k]"]
                continue
            lines += [f" l{i} = f{i}.low; h{i} = f{i}.high; k = f{i}.likely"]
            if name in self.layout.levels:
                low, high, both = (pieces(name, self.layout, ends) for ends in ("low", "high", "both"))
                lines += [f" wide &= (m := {_chain(low, f'l{i}')} & {_chain(high, f'h{i}')})",
                          f" near &= m if k is None else {_chain(both, 'k')}"]
            if name in self.loose:
                lines += [f" a{i}, b{i} = (l{i}, h{i}) if k is None else (k, k)"]
        return [*lines, *self.tests("wide", "l", "h"), *self.tests("near", "a", "b"), " return wide, near"]

    def fired(self, rules: int) -> list[str]:
        """Print ``fired(place)``: the mask of conditions that hold where every fact is a point."""
        certain = (1 << self.layout.bits) - 1
        lines = ["def fired(place):", f" mask = {certain}"]
        if self.values:
            lines = ["def fired(place):", f" {self.values} = get(place)"]
            terms = [_chain(pieces(name, self.layout, "both"), f"f{i}", certain, checked=True) if name in self.numeric
                     else f"p{i}[f{i}]" for name, i in self.number.items()]
            lines += [f" mask = {' & '.join(terms)}"]
        return [*lines, *self.tests("mask", "f", "f", certain), f" return mask & {rules}"]

    def tests(self, mask: str, low: str, high: str, among: int | None = None) -> list[str]:
        """Print what the look-ups cannot tell: comparisons of several facts, then alternatives, inner ones first."""
        layout, terms = self.layout, _Terms(self.number, low, high)
        kept = layout.all if among is None else among
        made: list[str] = []
        for atom, bits in layout.loose.items():
            true, false = terms.rails(atom)
            made += [f" if not {true}: {mask} &= {kept & ~layout.certain(bits)}"]
            if among is None:
                made += [f" if {false}: {mask} &= {kept & ~layout.possible(bits)}"]
        for alternatives, bits in layout.either.values():
            for half in (layout.certain, layout.possible) if among is None else (layout.certain,):
                made += [f" if not {mask} & {half(alternatives)}: {mask} &= {kept & ~half(bits)}"]
        return terms.lines + made


def _chain(line: Sequence[Piece], number: str, among: int = -1, *, checked: bool = False) -> str:
    """Print the look-up of a number on its line; ``checked`` refuses what is not on the line (NaN)."""
    text = ""
    joined: list[Piece] = []
    for piece in line:  # what is cut between possible and certain only is one piece of the certain bits
        if joined and joined[-1].mask & among == piece.mask & among:
            joined.pop()
        joined.append(piece)
    for piece in joined[:-1]:
        text += f"{piece.mask & among} if {number} {piece.op} {piece.limit!r} else "
    last, before = joined[-1], joined[-2] if len(joined) > 1 else None
    if checked and before is not None:
        text += f"{last.mask & among} if {number} {'>=' if before.op == '<' else '>'} {before.limit!r} else nan({number})"
    elif checked:
        text += f"{last.mask & among} if {number} == {number} else nan({number})"
    else:
        text += f"{last.mask & among}"
    return f"({text})"


class _Terms:
    """Prints terms as their low and high ends.

    Arithmetic is worked out once, in ``lines``, before the tests, so that the code grows with the text of a rule and
    never with its products.
    """

    def __init__(self, number: Mapping[str, int], low: str, high: str) -> None:
        self.number, self.low, self.high = number, low, high
        self.lines: list[str] = []
        self.made: dict[Arithmetic, tuple[str, str]] = {}

    def rails(self, atom: Compare) -> tuple[str, str]:
        """Print the tests for certainly true and certainly false."""
        (low, high), (floor, top) = self.ends(atom.left), self.ends(atom.right)
        return {"<": (f"{high} < {floor}", f"{low} >= {top}"), "<=": (f"{high} <= {floor}", f"{low} > {top}"),
                ">": (f"{low} > {top}", f"{high} <= {floor}"), ">=": (f"{low} >= {top}", f"{high} < {floor}")}[atom.op]

    def ends(self, term: Term) -> tuple[str, str]:
        """Print the ends of a term."""
        if isinstance(term, FactRef):
            index = self.number[term.name]
            return f"{self.low}{index}", f"{self.high}{index}"
        if not isinstance(term, Arithmetic):
            text = f"({float(term.value)!r})"
            return text, text
        if term not in self.made:
            code = self.arithmetic(term.op, [self.ends(part) for part in term.terms])
            low, high = f"t{2 * len(self.made)}", f"t{2 * len(self.made) + 1}"
            self.lines.append(f" {low}, {high} = {code}")
            self.made[term] = low, high
        return self.made[term]

    def arithmetic(self, op: str, parts: list[tuple[str, str]]) -> str:
        """Print the ends of an operation from those of its parts."""
        (low, high), (floor, top) = parts[0], parts[-1]
        if op in {"min", "max"}:
            return f"{op}({','.join(part[0] for part in parts)}), {op}({','.join(part[1] for part in parts)})"
        return {"abs": f"max(0.0, {low}, -{high}), max(abs({low}), abs({high}))",
                "+": f"{low} + {floor}, {high} + {top}", "-": f"{low} - {top}, {high} - {floor}",
                "*": f"mul({low}, {high}, {floor}, {top})", "/": f"div({low}, {high}, {floor}, {top})"}[op]
