"""Compile conditions for places where every fact is known exactly: faster than judging sets.

The fact that most rules name is asked first, and a function is printed for each of its words when it is first met: only
the rules that can still fire, only the facts that can still matter.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from operator import itemgetter
from typing import Any

from methodpick.engine.compiler import (
    CHUNK_BITS,
    CHUNK_MASK,
    Layout,
    Listing,
    NumberRange,
    TermPrinter,
    WordColumn,
    number_ranges,
    print_above,
    print_tests,
    run_printed,
)
from methodpick.engine.rule import Condition, Either, facts_of, given, normal
from methodpick.vocabulary.catalogue import Catalogue, FactSpec

ExactValue = float | str | bool
"""A fact that is known exactly: a number, a word; for yes and no also True and False."""
ExactPlace = Mapping[str, ExactValue]
Fired = Callable[[ExactPlace], tuple[str, ...]]


def fired_at_points(ids: Sequence[str], conditions: Sequence[Condition], catalogue: Catalogue) -> Fired:
    """Return the function from a place to the ids of the conditions that hold there, in their order.

    It raises KeyError for a missing fact that can matter, ValueError for a word that a fact cannot have and for NaN,
    TypeError for a text in place of a number.
    """
    normal_conditions = [normal(condition, catalogue) for condition in conditions]
    named = Counter(name for condition in conditions for name in facts_of(condition) if catalogue.facts[name].kind == "enum")
    if not named:
        return _PointProgram(ids, normal_conditions, catalogue).fired
    first = named.most_common(1)[0][0]
    programs: dict[ExactValue, Fired] = {}

    def fired(place: ExactPlace) -> tuple[str, ...]:
        try:
            program = programs[place[first]]
        except KeyError:
            word = _word(place, catalogue.facts[first])
            left = [given(condition, first, word) for condition in normal_conditions]
            program = programs[word] = _PointProgram(ids, left, catalogue).fired
        return program(place)

    return fired


def _word(place: ExactPlace, spec: FactSpec) -> str:
    value = place[spec.name]
    if value not in spec.words:
        raise ValueError(f"'{spec.name}' cannot be {value!r}")
    return str(value)


class _PointProgram:
    """The conditions that can still hold, compiled."""

    def __init__(self, ids: Sequence[str], conditions: Sequence[Condition], catalogue: Catalogue) -> None:
        left = [(name, condition) for name, condition in zip(ids, conditions, strict=True) if condition != Either(())]
        self.layout = Layout(points=True)
        self.layout.add([condition for _, condition in left])
        self.ids = [name for name, _ in left]
        names = sorted({name for _, condition in left for name in facts_of(condition)})
        self.facts = {name: catalogue.facts[name] for name in names}
        self.fired: Fired = run_printed(self.lines(), self.names())["fired"]

    def names(self) -> dict[str, Any]:
        """Return the names that the printed function uses."""
        listing = Listing(self.ids)
        names: dict[str, Any] = {f"i{index}": part for index, part in enumerate(listing.chunks)}
        names |= {"KeyError": KeyError, "refuse": self.refuse, "listed": listing.of}
        if self.facts:
            names["get"] = itemgetter(*self.facts)
        return names | {f"p{index}": _words(spec, self.layout) for index, spec in enumerate(self.facts.values()) if spec.kind != "number"}

    def lines(self) -> list[str]:
        """Print ``fired(place)``; fact ``i`` is ``f<i>``."""
        layout = self.layout
        number = {name: index for index, name in enumerate(self.facts)}
        words = [f"p{i}[f{i}]" for name, i in number.items() if self.facts[name].kind != "number"]
        lines = [f"  {', '.join(f'f{i}' for i in number.values())} = get(place)"] if number else []
        lines += [f"  mask = {' & '.join(words) or layout.full_mask}"]
        for name, i in number.items():
            if self.facts[name].kind == "number":
                lines += [f"  {line}" for line in _print_number_test(number_ranges(name, layout, "both"), f"f{i}", layout.full_mask)]
        listed = [
            f"i{index}[mask{f' >> {first}' if first else ''} & {min(CHUNK_MASK, (1 << len(self.ids) - first) - 1)}]"
            for index, first in enumerate(range(0, len(self.ids), CHUNK_BITS))
        ]
        return [
            "def fired(place):",
            " try:",
            *lines,
            " except KeyError:",
            "  refuse(place)",
            *print_tests(layout, "mask", TermPrinter(number, "f", "f")),
            " try:",
            f"  return {' + '.join(listed) or '()'}",
            " except KeyError:",
            f"  return listed(mask & {(1 << len(self.ids)) - 1})",
        ]

    def refuse(self, place: ExactPlace) -> None:
        """Raise the error that says what is wrong with a place."""
        for spec in self.facts.values():
            if spec.kind != "number" and place[spec.name] not in _words(spec, self.layout):
                raise ValueError(f"'{spec.name}' cannot be {place[spec.name]!r}")
            place[spec.name]


def _words(spec: FactSpec, layout: Layout) -> dict[ExactValue, int]:
    """Return the bits that each word leaves; a yes/no may be written True or False."""
    column = WordColumn(spec, layout)
    found: dict[ExactValue, int] = {word: column.mask_of(frozenset({word})) for word in spec.words}
    return found | {True: found["yes"], False: found["no"]} if spec.kind == "boolean" else found


def _print_number_test(ranges: Sequence[NumberRange], number: str, whole: int) -> list[str]:
    """Print the look-up of a number among its ranges; NaN, which lies in none, is refused."""
    if len(ranges) == 1:
        return [f"if {number} != {number}: nan({number})"]
    tests = [f"{number} {part.op} {part.limit!r}" for part in ranges[:-1]] + [f"{number} {print_above(ranges[-2])}"]
    printed = [
        f"{'elif' if index else 'if'} {test}: {'pass' if part.mask == whole else f'mask &= {part.mask}'}"
        for index, (part, test) in enumerate(zip(ranges, tests, strict=True))
    ]
    return [*printed, f"else: nan({number})"]
