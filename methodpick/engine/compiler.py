"""Compile the conditions of a scope into one function that judges sets: on the whole range and at the likely values.

Every rule is a bit, and so is every alternative of an ``or``. A value of a fact leaves some bits *certain*, some others
*possible*, and takes the rest away; what all facts leave together is an ``and`` of whole numbers. A mask holds the certain
bits in its lower half and the possible ones above them.

The code is printed from the checked tree: numbers of bits and facts and ``repr`` of floats only, never the text of a rule. It runs
with no builtins but min, max, abs. ``points.py`` shares the printing of look-ups and terms; the first part says what the bits of a
mask mean.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from math import inf, isnan
from operator import ge, gt, itemgetter, le, lt
from types import CodeType
from typing import Any, Generic, TypeVar

from methodpick.engine.rule import (
    Arithmetic,
    Both,
    Compare,
    Condition,
    Either,
    FactRef,
    Term,
    Within,
    facts_of,
    facts_of_atom,
    level_of,
    normal,
)
from methodpick.records import record
from methodpick.vocabulary.catalogue import Catalogue, FactSpec
from methodpick.vocabulary.values import Span, Value

# ---- Rules as bits of a mask: what one fact alone says of all rules at once


Item = TypeVar("Item")
CHUNK_BITS, CHUNK_MASK = 16, 0xFFFF
_TEST: dict[str, Callable[[int, int], bool]] = {"<": lt, "<=": le, ">": gt, ">=": ge}


@record(frozen=False)
class Layout:
    """Which bit stands for what: rules first, in their order, then the alternatives that they name.

    At ``points`` nothing is open: what is possible is certain, and masks have no upper half.
    """

    points: bool = False
    memberships: dict[str, list[tuple[frozenset[str], int]]] = field(default_factory=dict)
    thresholds: dict[str, list[tuple[str, float, int]]] = field(default_factory=dict)
    comparisons: dict[Compare, list[int]] = field(default_factory=dict)
    alternatives: dict[Either, tuple[list[int], list[int]]] = field(default_factory=dict)
    bits: int = 0

    def add(self, conditions: Sequence[Condition]) -> None:
        """Assign a bit to each condition, which must be in normal form."""
        self.bits = len(conditions)
        for bit, condition in enumerate(conditions):
            self._place(condition, bit)

    def _place(self, condition: Condition, bit: int) -> None:
        """Note what a bit needs: all parts of its condition."""
        if isinstance(condition, Both):
            for part in condition.parts:
                self._place(part, bit)
        elif isinstance(condition, Within):
            self.memberships.setdefault(condition.name, []).append((condition.words, bit))
        elif isinstance(condition, Compare):
            level = level_of(condition)
            if level is None:
                self.comparisons.setdefault(condition, []).append(bit)
            else:
                self.thresholds.setdefault(level[0], []).append((condition.op, level[1], bit))
        elif isinstance(condition, Either):
            if condition not in self.alternatives:
                alternatives = list(range(self.bits, self.bits + len(condition.parts)))
                self.bits += len(alternatives)
                for part, alternative in zip(condition.parts, alternatives, strict=True):
                    self._place(part, alternative)
                self.alternatives[condition] = alternatives, []  # after those inside it, which are worked out first
            self.alternatives[condition][1].append(bit)

    def certain_mask(self, bits: Sequence[int]) -> int:
        """Return the mask of bits as certain."""
        return sum(1 << bit for bit in set(bits))

    def possible_mask(self, bits: Sequence[int]) -> int:
        """Return the mask of bits as possible."""
        return 0 if self.points else self.certain_mask(bits) << self.bits

    @property
    def full_mask(self) -> int:
        """Return the mask of all bits, certain and possible."""
        return (1 << self.bits * (1 if self.points else 2)) - 1


class WordColumn:
    """The masks of a fact with words, one for each set of words, computed when the set is first met."""

    def __init__(self, spec: FactSpec, layout: Layout) -> None:
        """Keep the fact and what the bits ask of it."""
        self.spec, self.layout = spec, layout
        self.masks: dict[frozenset[str], int] = {}

    def mask_of(self, values: frozenset[str]) -> int:
        """Return the bits that a set of words leaves. Raises ValueError for a word that the fact cannot have."""
        if strange := values - frozenset(self.spec.words):
            raise ValueError(f"'{self.spec.name}' cannot be {', '.join(sorted(strange))}")
        asked, layout = self.layout.memberships.get(self.spec.name, []), self.layout
        lost = layout.certain_mask([bit for words, bit in asked if not values <= words])
        lost |= layout.possible_mask([bit for words, bit in asked if not values & words])
        mask = self.masks[values] = layout.full_mask & ~lost
        return mask


class WordMasks(dict[str, int]):
    """The bits that each single word leaves, computed when the word is first met."""

    def __init__(self, column: WordColumn) -> None:
        self.column = column

    def __missing__(self, word: str) -> int:
        mask = self[word] = self.column.mask_of(frozenset({word}))
        return mask


@record
class NumberRange:
    """The bits that the numbers of a range leave: those up to ``limit``, which ``op`` includes or not; the last has no limit."""

    mask: int
    op: str = ""
    limit: float = 0.0


def number_ranges(name: str, layout: Layout, ends: str) -> tuple[NumberRange, ...]:
    """Return the ranges of a number fact, cut where its bits change.

    ``ends`` tells what is known of the number: "low" or "high", the end of a range, or "both", a point. A range is
    certainly below a limit by its high end, possibly by its low end, and the other way round above.
    """
    asked = layout.thresholds.get(name, [])
    limits = sorted({limit for _, limit, _ in asked})
    at = {limit: 2 * index + 1 for index, limit in enumerate(limits)}  # even places lie between the limits
    found: list[NumberRange] = []
    for place in range(2 * len(limits) + 1):
        failed = [(op, bit) for op, limit, bit in asked if not _TEST[op](place, at[limit])]
        lost = layout.certain_mask([bit for op, bit in failed if ends in {"both", "high" if op in {"<", "<="} else "low"}])
        lost |= layout.possible_mask([bit for op, bit in failed if ends in {"both", "low" if op in {"<", "<="} else "high"}])
        mask = layout.full_mask & ~lost
        if found and found[-1].mask == mask:
            found.pop()
        last = place == 2 * len(limits)
        found.append(NumberRange(mask) if last else NumberRange(mask, "<=" if place % 2 else "<", limits[place // 2]))
    return tuple(found)


class Listing(Generic[Item]):
    """Lists the members of a mask in their order, sixteen bits at a look-up; each sixteen bits are listed when they are first met."""

    def __init__(self, items: Sequence[Item]) -> None:
        """Keep the member of every bit."""
        self.items = tuple(items)
        self.chunks: list[dict[int, tuple[Item, ...]]] = [{} for _ in range(0, len(items), CHUNK_BITS)]

    def of(self, mask: int) -> tuple[Item, ...]:
        """Return the members of a mask."""
        found: tuple[Item, ...] = ()
        for chunk in self.chunks:
            try:
                found += chunk[mask & CHUNK_MASK]
            except KeyError:
                found += self._listed(chunk, mask & CHUNK_MASK)
            mask >>= CHUNK_BITS
        return found

    def _listed(self, listed: dict[int, tuple[Item, ...]], mask: int) -> tuple[Item, ...]:
        first = CHUNK_BITS * next(index for index, chunk in enumerate(self.chunks) if chunk is listed)
        listed[mask] = tuple(item for bit, item in enumerate(self.items[first : first + CHUNK_BITS]) if mask >> bit & 1)
        return listed[mask]


# ---- Compile the conditions of a scope into one function that judges sets: on the whole range and at the likely values


OPEN, TRUE, FALSE = 0, 1, 2
"""The three truth values of a rule."""


class Program:
    """The compiled conditions of one scope."""

    def __init__(self, conditions: Sequence[Condition], catalogue: Catalogue) -> None:
        """Compile conditions; bit ``n`` of a mask is condition ``n``."""
        self.names = tuple(sorted({name for condition in conditions for name in facts_of(condition)}))
        self._facts = {name: catalogue.facts[name] for name in self.names}
        layout = Layout()
        layout.add([normal(condition, catalogue) for condition in conditions])
        self.above = layout.bits
        """Bit ``n + above`` tells that condition ``n`` is possible."""
        self.rules = (1 << len(conditions)) - 1
        printed = run_printed(_print_judge(self._facts, layout), _globals_of(self._facts, layout))
        self._judge: Callable[[Mapping[str, Value]], tuple[int, int]] = printed["judge"]

    def judge(self, values: Mapping[str, Value]) -> tuple[int, int]:
        """Return the masks on the whole range and at the likely values; a missing fact is its whole domain.

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
        """Return the truth of one condition in a mask."""
        return TRUE if mask >> index & 1 else OPEN if mask >> self.above + index & 1 else FALSE

    def possible(self, mask: int) -> int:
        """Return the mask of conditions that hold or may hold."""
        return mask >> self.above & self.rules


def _globals_of(facts: Mapping[str, FactSpec], layout: Layout) -> dict[str, Any]:
    """Return the names that the printed function uses: of fact ``i`` the masks of sets ``s<i>`` and of single words ``n<i>``."""
    names: dict[str, Any] = {"KeyError": KeyError, "whole": {name: spec.domain for name, spec in facts.items()}}
    if facts:
        names["get"] = itemgetter(*facts)
    for index, spec in enumerate(facts.values()):
        if spec.kind != "number":
            sets = WordColumn(spec, layout)
            names |= {f"s{index}": sets.masks, f"mask_of{index}": sets.mask_of, f"n{index}": WordMasks(sets)}
    return names


def _print_judge(facts: Mapping[str, FactSpec], layout: Layout) -> list[str]:
    """Print ``judge(values)``. Of fact ``i`` a range is ``l<i>, h<i>``, what is likely of it ``a<i>, b<i>``."""
    number = {name: index for index, name in enumerate(facts)}
    values = ", ".join(f"f{index}" for index in number.values())
    compared = {name for atom in layout.comparisons for name in facts_of_atom(atom)}
    lines = ["def judge(values):", f" wide = near = {layout.full_mask}"]
    if values:
        lines += [" try:", f"  {values} = get(values)", " except KeyError:", f"  {values} = get({{**whole, **values}})"]
    for name, i in number.items():
        if facts[name].kind != "number":
            lines += [
                " try:",
                f"  m = s{i}[f{i}.values]",
                " except KeyError:",
                f"  m = mask_of{i}(f{i}.values)",
                f" wide &= m; k = f{i}.likely; near &= m if k is None else n{i}[k]",
            ]
            continue
        lines += [f" l{i} = f{i}.low; h{i} = f{i}.high; k = f{i}.likely"]
        if name in layout.thresholds:
            lines += [
                f" m = {print_range_look_up(name, layout, f'l{i}', f'h{i}')}",
                f" wide &= m; near &= m if k is None else {print_look_up(number_ranges(name, layout, 'both'), 'k')}",
            ]
        if name in compared:
            lines += [f" a{i}, b{i} = (l{i}, h{i}) if k is None else (k, k)"]
    on_range = print_tests(layout, "wide", TermPrinter(number, "l", "h"))
    at_likely = print_tests(layout, "near", TermPrinter(number, "a", "b"))
    return [*lines, *on_range, *at_likely, " return wide, near"]


def run_printed(lines: Sequence[str], names: Mapping[str, Any]) -> dict[str, Any]:
    """Run the printed definitions; they can use ``names``, arithmetic on ranges and nothing else."""
    space: dict[str, Any] = {
        "__builtins__": {},
        "min": min,
        "max": max,
        "abs": abs,
        "div": _divide,
        "mul": _multiply,
        "nan": _refuse,
        **names,
    }
    code: CodeType = compile("\n".join(lines), "<rules>", "exec")
    exec(code, space)  # noqa: S102 - printed from the checked tree only
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
    """Return the ends of a product; anything is possible where a number ran out of the range of floats."""
    low, high = min(products), max(products)
    if low == inf or high == -inf or isnan(sum(products)):
        return -inf, inf
    return low, high


def print_look_up(ranges: Sequence[NumberRange], number: str) -> str:
    """Print the look-up of a number among its ranges."""
    text = "".join(f"{part.mask} if {number} {part.op} {part.limit!r} else " for part in ranges[:-1])
    return f"({text}{ranges[-1].mask})"


def print_range_look_up(name: str, layout: Layout, low: str, high: str) -> str:
    """Print the look-up of a range: of each end, or below, above and across where there is one limit."""
    points = number_ranges(name, layout, "both")
    if len(points) != 2:
        return f"{print_look_up(number_ranges(name, layout, 'low'), low)} & {print_look_up(number_ranges(name, layout, 'high'), high)}"
    below, above = points
    certain = (1 << layout.bits) - 1
    across = below.mask & above.mask & certain | (below.mask | above.mask) & ~certain
    return f"({below.mask} if {high} {below.op} {below.limit!r} else {above.mask} if {low} {print_above(below)} else {across})"


def print_above(below: NumberRange) -> str:
    """Print the test for a number above a range."""
    return f"{'>=' if below.op == '<' else '>'} {below.limit!r}"


def print_tests(layout: Layout, mask: str, terms: TermPrinter) -> list[str]:
    """Print the tests that look-ups cannot make: comparisons of several facts, then alternatives, inner ones first."""
    lines: list[str] = []
    for atom, bits in layout.comparisons.items():
        true, false = terms.certain_tests(atom)
        lines += [f" if not {true}: {mask} &= {layout.full_mask & ~layout.certain_mask(bits)}"]
        if not layout.points:
            lines += [f" if {false}: {mask} &= {layout.full_mask & ~layout.possible_mask(bits)}"]
    for alternatives, bits in layout.alternatives.values():
        for half in (layout.certain_mask,) if layout.points else (layout.certain_mask, layout.possible_mask):
            lines += [f" if not {mask} & {half(alternatives)}: {mask} &= {layout.full_mask & ~half(bits)}"]
    return terms.lines + lines


class TermPrinter:
    """Prints terms as their low and high ends.

    Each operation is computed once, in ``lines``, before the tests, so that the code grows with the text of a rule and never with
    its products.
    """

    def __init__(self, fact_index: Mapping[str, int], low: str, high: str) -> None:
        self.fact_index, self.low, self.high = fact_index, low, high
        self.lines: list[str] = []
        self.named: dict[Arithmetic, tuple[str, str]] = {}

    def certain_tests(self, atom: Compare) -> tuple[str, str]:
        """Print the tests for certainly true and certainly false."""
        (low, high), (floor, top) = self.ends(atom.left), self.ends(atom.right)
        return {
            "<": (f"{high} < {floor}", f"{low} >= {top}"),
            "<=": (f"{high} <= {floor}", f"{low} > {top}"),
            ">": (f"{low} > {top}", f"{high} <= {floor}"),
            ">=": (f"{low} >= {top}", f"{high} < {floor}"),
        }[atom.op]

    def ends(self, term: Term) -> tuple[str, str]:
        """Print the ends of a term."""
        if isinstance(term, FactRef):
            index = self.fact_index[term.name]
            return f"{self.low}{index}", f"{self.high}{index}"
        if not isinstance(term, Arithmetic):
            text = f"({float(term.value)!r})"
            return text, text
        if term not in self.named:
            code = self.arithmetic(term.op, [self.ends(part) for part in term.terms])
            low, high = f"t{2 * len(self.named)}", f"t{2 * len(self.named) + 1}"
            self.lines.append(f" {low}, {high} = {code}")
            self.named[term] = low, high
        return self.named[term]

    def arithmetic(self, op: str, parts: list[tuple[str, str]]) -> str:
        """Print the ends of an operation from those of its parts."""
        (low, high), (floor, top) = parts[0], parts[-1]
        if op in {"min", "max"}:
            return f"{op}({','.join(part[0] for part in parts)}), {op}({','.join(part[1] for part in parts)})"
        return {
            "abs": f"max(0.0, {low}, -{high}), max(abs({low}), abs({high}))",
            "+": f"{low} + {floor}, {high} + {top}",
            "-": f"{low} - {top}, {high} - {floor}",
            "*": f"mul({low}, {high}, {floor}, {top})",
            "/": f"div({low}, {high}, {floor}, {top})",
        }[op]
