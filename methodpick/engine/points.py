"""What fires where every fact is known exactly: the short way of judging sets, for places without doubt.

The fact that most rules name is asked first, and a function is printed for each of its words when it is first met: only
the rules that can still fire, only the facts that can still matter.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from operator import itemgetter
from typing import Any

from methodpick.engine.columns import AT_ONCE, FULL, Layout, Listing, Piece, SetColumn, pieces
from methodpick.engine.compiler import Terms, beyond, compiled, tests
from methodpick.engine.tree import Condition, Either, facts_of, given, normal
from methodpick.vocabulary.catalogue import Catalogue, FactSpec

Plain = float | str | bool
"""A fact that is known exactly: a number, a word; for yes and no also True and False."""
Place = Mapping[str, Plain]
Fired = Callable[[Place], tuple[str, ...]]


def fired_at_points(ids: Sequence[str], conditions: Sequence[Condition], catalogue: Catalogue) -> Fired:
    """Return the function from a place to the ids of the conditions that hold there, in their order.

    It raises KeyError for a missing fact that can matter, ValueError for a word that a fact cannot have and for NaN,
    TypeError for a text in place of a number.
    """
    plain = [normal(condition, catalogue) for condition in conditions]
    named = Counter(name for condition in conditions for name in facts_of(condition) if catalogue.facts[name].kind == "enum")
    if not named:
        return _Part(ids, plain, catalogue).fired
    first = named.most_common(1)[0][0]
    parts: dict[Plain, Callable[[Place], tuple[str, ...]]] = {}

    def fired(place: Place) -> tuple[str, ...]:
        try:
            part = parts[place[first]]
        except KeyError:
            word = _word(place, catalogue.facts[first])
            left = [given(condition, first, word) for condition in plain]
            part = parts[word] = _Part(ids, left, catalogue).fired
        return part(place)

    return fired


def _word(place: Place, spec: FactSpec) -> str:
    value = place[spec.name]
    if value not in spec.words:
        raise ValueError(f"'{spec.name}' cannot be {value!r}")
    return str(value)


class _Part:
    """The conditions that can still hold, compiled."""

    def __init__(self, ids: Sequence[str], conditions: Sequence[Condition], catalogue: Catalogue) -> None:
        left = [(name, condition) for name, condition in zip(ids, conditions, strict=True) if condition != Either(())]
        self.layout = Layout(points=True)
        self.layout.add([condition for _, condition in left])
        self.ids = [name for name, _ in left]
        names = sorted({name for _, condition in left for name in facts_of(condition)})
        self.facts = {name: catalogue.facts[name] for name in names}
        self.fired: Fired = compiled(self.lines(), self.names())["fired"]

    def names(self) -> dict[str, Any]:
        """Return the names that the printed function uses."""
        listing = Listing(self.ids)
        names: dict[str, Any] = {f"i{index}": part for index, part in enumerate(listing.parts)}
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
        lines += [f"  mask = {' & '.join(words) or layout.all}"]
        for name, i in number.items():
            if self.facts[name].kind == "number":
                lines += [f"  {line}" for line in _cut(pieces(name, layout, "both"), f"f{i}", layout.all)]
        listed = [
            f"i{index}[mask{f' >> {first}' if first else ''} & {min(FULL, (1 << len(self.ids) - first) - 1)}]"
            for index, first in enumerate(range(0, len(self.ids), AT_ONCE))
        ]
        return [
            "def fired(place):",
            " try:",
            *lines,
            " except KeyError:",
            "  refuse(place)",
            *tests(layout, "mask", Terms(number, "f", "f")),
            " try:",
            f"  return {' + '.join(listed) or '()'}",
            " except KeyError:",
            f"  return listed(mask & {(1 << len(self.ids)) - 1})",
        ]

    def refuse(self, place: Place) -> None:
        """Describe what is wrong with a place."""
        for spec in self.facts.values():
            if spec.kind != "number" and place[spec.name] not in _words(spec, self.layout):
                raise ValueError(f"'{spec.name}' cannot be {place[spec.name]!r}")
            place[spec.name]


def _words(spec: FactSpec, layout: Layout) -> dict[Plain, int]:
    """Return what each word leaves; a yes/no may be written True or False."""
    found: dict[Plain, int] = dict(SetColumn(spec, layout).words().items())
    return found | {True: found["yes"], False: found["no"]} if spec.kind == "boolean" else found


def _cut(line: Sequence[Piece], number: str, whole: int) -> list[str]:
    """Print the look-up of a number on its line; NaN, which lies nowhere on it, is refused."""
    if len(line) == 1:
        return [f"if {number} != {number}: nan({number})"]
    tests_of = [f"{number} {piece.op} {piece.limit!r}" for piece in line[:-1]] + [f"{number} {beyond(line[-2])}"]
    printed = [
        f"{'elif' if index else 'if'} {test}: {'pass' if piece.mask == whole else f'mask &= {piece.mask}'}"
        for index, (piece, test) in enumerate(zip(line, tests_of, strict=True))
    ]
    return [*printed, f"else: nan({number})"]
