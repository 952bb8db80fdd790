"""Sentences of several kinds of shaft as one: where their numbers differ a letter stands, as in a schedule of piles, or their span."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from methodpick.document.model import TextTable
from methodpick.plan.result import ShaftPlan
from methodpick.unit_markup import in_column, marks_of, number, span_of, spell

_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Letters of a schedule, without those that are read as numbers."""
_MOST_TOLD = 3
"""So many sentences with the numbers of their kinds stand in place of one with letters."""
_IN_A_ROW = 8
"""So many letters stand in one table at 80 columns."""


class KindSchedule:
    """The letters of a page: each stands for a number that differs from kind to kind; one for all places with the same numbers."""

    def __init__(self, shafts: Sequence[ShaftPlan]) -> None:
        self.shafts = shafts
        self._columns: list[list[str]] = []
        self._tips = [_plainly(number(shaft.tip_depth_m, "m")) for shaft in shafts]

    def merged(self, texts: Sequence[str]) -> list[str]:
        """Return the texts of all kinds, those that differ in numbers only as one; each with its kinds where it is not that of all."""
        found = ((kinds, self._filled(template, marks)) for template, kinds, marks in _by_template(texts))
        return [self._named(kinds) + text for kinds, text in found]

    def told(self, texts: Sequence[str], named: Mapping[str, Sequence[str]] | None = None) -> list[str]:
        """Return the texts as :meth:`merged` does, but with their own numbers and names of kinds where that takes few sentences.

        ``named`` are depths besides that of the tip that have a name, a mark a kind.
        """
        found: list[tuple[str, Sequence[int]]] = []
        for template, kinds, marks in _by_template(texts):
            alike: dict[tuple[str, str], tuple[str, list[int]]] = {}
            for kind, places in self._few(marks, {"the tip": self._tips, **(named or {})}).items():
                text = _put_into(template, _with_units(places))
                alike.setdefault((spell(text, "us"), spell(text, "si")), (text, []))[1].append(kind)
            found += alike.values() if len(alike) <= _MOST_TOLD else [(self._filled(template, marks), kinds)]
        *some, (most, others) = sorted(found, key=lambda told: len(told[1])) or [("", ())]
        rest = "The others: " if some and sum(len(kinds) for _, kinds in found) == len(self.shafts) else self._named(others)
        return [*(self._named(kinds) + text for text, kinds in some), *([rest + most] if most else [])]

    def spanned(self, texts: Sequence[str]) -> list[str]:
        """Return the texts as :meth:`merged` does, with the least and the most in place of each number that differs."""
        found = []
        for template, kinds, marks in _by_template(texts):
            places = [span_of(held) for held in zip(*marks.values(), strict=True)]
            found.append(self._named(kinds) + _put_into(template, places))
        return found

    def _named(self, kinds: Sequence[int]) -> str:
        """Return the names of the kinds that a sentence is of, where it is not of all."""
        return "" if len(kinds) == len(self.shafts) else f"{', '.join(self.shafts[kind].id for kind in kinds)}: "

    def _few(self, marks: Mapping[int, Sequence[str]], named: Mapping[str, Sequence[str]]) -> dict[int, list[str]]:
        """Return what stands in each place of a sentence, for each of its kinds: a name, its number, or a letter where they are many."""
        found: dict[int, list[str]] = {kind: [] for kind in marks}
        for held in zip(*marks.values(), strict=True):
            plain = {kind: _plainly(mark) for kind, mark in zip(marks, held, strict=True)}
            told = dict(zip(marks, held, strict=True))
            if len(set(plain.values())) > 1:
                name = next((name for name, depths in named.items() if all(depths[kind] == mark for kind, mark in plain.items())), "")
                lettered = len(set(plain.values())) > _MOST_TOLD or any(_stands_for(column, plain) for column in self._columns)
                word = name or (self._place(plain) if lettered else "")
                told = dict.fromkeys(marks, word) if word else told
            for kind, word in told.items():
                found[kind].append(word)
        return found

    def _filled(self, template: str, marks: Mapping[int, Sequence[str]]) -> str:
        """Return a template with its places filled; a number without unit gets it where a letter follows."""
        places = [self._place(dict(zip(marks, held, strict=True))) for held in zip(*marks.values(), strict=True)]
        return _put_into(template, _with_units(places))

    def _place(self, marks: Mapping[int, str]) -> str:
        """Return what stands in a place of a sentence: the number of all its kinds, that of the tip by its name, or a letter."""
        plain = {kind: _plainly(mark) for kind, mark in marks.items()}
        if len({spell(mark, "si") for mark in plain.values()}) == 1:
            return next(iter(marks.values()))
        if all(self._tips[kind] == mark for kind, mark in plain.items()):
            return "the tip"
        column = next((place for place, held in enumerate(self._columns) if _fits(held, plain)), len(self._columns))
        if column == len(self._columns):
            self._columns.append([""] * len(self.shafts))
        for kind, mark in plain.items():
            self._columns[column][kind] = mark
        return _letter(column)

    def columns(self) -> Iterator[tuple[str, str, tuple[str, ...]]]:
        """Return every letter with its unit and its cells, a cell a kind."""
        for place, held in enumerate(self._columns):
            unit = in_column(next(mark for mark in held if mark))[1]
            yield _letter(place), unit, tuple(in_column(mark)[0] if mark else "-" for mark in held)

    def tables(self, first: int = 0) -> Iterator[TextTable]:
        """Return the numbers behind the letters, a row a kind; without those of the ``first`` letters, which stand elsewhere."""
        columns = list(self.columns())[first:]
        for start in range(0, len(columns), _IN_A_ROW):
            part = columns[start : start + _IN_A_ROW]
            rows = zip((shaft.id for shaft in self.shafts), *(cells for _, _, cells in part), strict=True)
            yield TextTable(("shaft", *(f"{letter}, {unit}" for letter, unit, _ in part)), tuple(rows), tuple(range(1, len(part) + 1)))


def as_one(texts: Sequence[str]) -> Iterator[str]:
    """Return sentences that differ in numbers only as one, with the least and the most in place of each number that differs.

    >>> [spell(text, "si") for text in as_one(["Keep ⟦2.0|m⟧.", "Keep ⟦3.0|m⟧.", "Ask."])]
    ['Keep 2.00 to 3.00 m.', 'Ask.']
    """
    for template, _, marks in _by_template(texts):
        yield _put_into(template, [span_of(held) for held in zip(*marks.values(), strict=True)])


def _by_template(texts: Sequence[str]) -> Iterator[tuple[str, list[int], dict[int, tuple[str, ...]]]]:
    """Return each sentence without its numbers, the kinds that it is of, and the marks of each."""
    found: dict[str, dict[int, tuple[str, ...]]] = {}
    for kind, text in enumerate(texts):
        if text:
            template, marks = marks_of(text)
            found.setdefault(template, {})[kind] = marks
    for template, by_kind in found.items():
        yield template, list(by_kind), by_kind


def _put_into(template: str, places: Sequence[str]) -> str:
    pieces = template.split("⟦⟧")
    return pieces[0] + "".join(place + piece for place, piece in zip(places, pieces[1:], strict=True))


def _with_units(places: Sequence[str]) -> list[str]:
    """Return the places of a sentence; a number without unit gets it where a letter follows."""
    ends = [*places, "⟦"][1:]
    return [_plainly(place) if not following.startswith("⟦") else place for place, following in zip(places, ends, strict=True)]


def _fits(held: Sequence[str], plain: Mapping[int, str]) -> bool:
    """Return whether a column has the same numbers for some kinds, or none yet where it has one for another of them."""
    return all(not held[kind] or _reads_as(held[kind], mark) for kind, mark in plain.items()) and any(held[kind] for kind in plain)


def _stands_for(held: Sequence[str], plain: Mapping[int, str]) -> bool:
    """Return whether a column has the same numbers for all these kinds."""
    return all(held[kind] and _reads_as(held[kind], mark) for kind, mark in plain.items())


def _reads_as(mark: str, other: str) -> bool:
    """Return whether two numbers read the same in either unit."""
    return all(spell(mark, units) == spell(other, units) for units in ("us", "si"))


def _letter(column: int) -> str:
    """Return the letter of a column; after the last one they are doubled.

    >>> _letter(0), _letter(23), _letter(24)
    ('A', 'Z', 'AA')
    """
    return _LETTERS[column % len(_LETTERS)] * (1 + column // len(_LETTERS))


def _plainly(mark: str) -> str:
    return mark.replace("|bare⟧", "⟧")
