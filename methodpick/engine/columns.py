"""Rules as bits: what one fact alone says of all rules at once.

Every rule is a bit, and so is every alternative of an ``or``. A value of a fact leaves some bits *certain*, some others
*possible*, and takes the rest away; what all facts leave together is an ``and`` of whole numbers. A mask holds the certain
bits in its lower half and the possible ones above them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from operator import ge, gt, le, lt
from typing import Generic, TypeVar

from methodpick.engine.tree import Both, Compare, Condition, Either, Within, level_of
from methodpick.vocabulary.catalogue import FactSpec

Item = TypeVar("Item")
AT_ONCE, FULL = 16, 0xFFFF
_TEST: dict[str, Callable[[int, int], bool]] = {"<": lt, "<=": le, ">": gt, ">=": ge}


@dataclass(slots=True)
class Layout:
    """Which bit stands for what: rules first, in their order, then the alternatives that they name.

    At ``points`` nothing is open: what is possible is certain, and masks have no upper half.
    """

    points: bool = False
    words: dict[str, list[tuple[frozenset[str], int]]] = field(default_factory=dict)
    levels: dict[str, list[tuple[str, float, int]]] = field(default_factory=dict)
    loose: dict[Compare, list[int]] = field(default_factory=dict)
    either: dict[Either, tuple[list[int], list[int]]] = field(default_factory=dict)
    bits: int = 0

    def add(self, conditions: Sequence[Condition]) -> None:
        """Return each condition, in normal form, its bit."""
        self.bits = len(conditions)
        for bit, condition in enumerate(conditions):
            self._place(condition, bit)

    def _place(self, condition: Condition, bit: int) -> None:
        """Note what a bit needs: all parts of its condition."""
        if isinstance(condition, Both):
            for part in condition.parts:
                self._place(part, bit)
        elif isinstance(condition, Within):
            self.words.setdefault(condition.name, []).append((condition.words, bit))
        elif isinstance(condition, Compare):
            level = level_of(condition)
            if level is None:
                self.loose.setdefault(condition, []).append(bit)
            else:
                self.levels.setdefault(level[0], []).append((condition.op, level[1], bit))
        elif isinstance(condition, Either):
            if condition not in self.either:
                alternatives = list(range(self.bits, self.bits + len(condition.parts)))
                self.bits += len(alternatives)
                for part, alternative in zip(condition.parts, alternatives, strict=True):
                    self._place(part, alternative)
                self.either[condition] = alternatives, []  # after those inside it, which are worked out first
            self.either[condition][1].append(bit)

    def certain(self, bits: Sequence[int]) -> int:
        """Return the mask of bits as certain."""
        return sum(1 << bit for bit in set(bits))

    def possible(self, bits: Sequence[int]) -> int:
        """Return the mask of bits as possible."""
        return 0 if self.points else self.certain(bits) << self.bits

    @property
    def all(self) -> int:
        """Return the mask of all bits, certain and possible."""
        return (1 << self.bits * (1 if self.points else 2)) - 1


class SetColumn:
    """What each set of words leaves, worked out when it is first met."""

    def __init__(self, spec: FactSpec, layout: Layout) -> None:
        """Take what the bits ask of the fact."""
        self.spec, self.layout = spec, layout
        self.met: dict[frozenset[str], int] = {}

    def leaves(self, values: frozenset[str]) -> int:
        """Return what a set leaves. Raises ValueError for a word that the fact cannot have."""
        if strange := values - frozenset(self.spec.words):
            raise ValueError(f"'{self.spec.name}' cannot be {', '.join(sorted(strange))}")
        asked, layout = self.layout.words.get(self.spec.name, []), self.layout
        lost = layout.certain([bit for words, bit in asked if not values <= words])
        lost |= layout.possible([bit for words, bit in asked if not values & words])
        mask = self.met[values] = layout.all & ~lost
        return mask

    def words(self) -> dict[str, int]:
        """Return what each single word leaves."""
        return {word: self.leaves(frozenset({word})) for word in self.spec.words}


@dataclass(frozen=True, slots=True)
class Piece:
    """What the numbers up to ``limit`` leave; ``op`` tells whether the limit itself is among them. The last has no limit."""

    mask: int
    op: str = ""
    limit: float = 0.0


def pieces(name: str, layout: Layout, ends: str) -> tuple[Piece, ...]:
    """Cut the line of a number fact where its bits change.

    ``ends`` tells what is known of the number: "low" or "high", the end of a range, or "both", a point. A range is
    certainly below a limit by its high end, possibly by its low end, and the other way round above.
    """
    asked = layout.levels.get(name, [])
    limits = sorted({limit for _, limit, _ in asked})
    at = {limit: 2 * index + 1 for index, limit in enumerate(limits)}  # even places lie between the limits
    found: list[Piece] = []
    for place in range(2 * len(limits) + 1):
        failed = [(op, bit) for op, limit, bit in asked if not _TEST[op](place, at[limit])]
        lost = layout.certain([bit for op, bit in failed if ends in {"both", "high" if op in {"<", "<="} else "low"}])
        lost |= layout.possible([bit for op, bit in failed if ends in {"both", "low" if op in {"<", "<="} else "high"}])
        mask = layout.all & ~lost
        if found and found[-1].mask == mask:
            found.pop()
        last = place == 2 * len(limits)
        found.append(Piece(mask) if last else Piece(mask, "<=" if place % 2 else "<", limits[place // 2]))
    return tuple(found)


class Listing(Generic[Item]):
    """The members of a mask in their order, sixteen bits at a look-up; a piece is listed when it is first met."""

    def __init__(self, items: Sequence[Item]) -> None:
        """Take the member of every bit."""
        self.items = tuple(items)
        self.parts: list[dict[int, tuple[Item, ...]]] = [{} for _ in range(0, len(items), AT_ONCE)]

    def of(self, mask: int) -> tuple[Item, ...]:
        """Return the members of a mask."""
        found: tuple[Item, ...] = ()
        for part in self.parts:
            try:
                found += part[mask & FULL]
            except KeyError:
                found += self._listed(part, mask & FULL)
            mask >>= AT_ONCE
        return found

    def _listed(self, part: dict[int, tuple[Item, ...]], mask: int) -> tuple[Item, ...]:
        first = AT_ONCE * next(index for index, one in enumerate(self.parts) if one is part)
        part[mask] = tuple(item for bit, item in enumerate(self.items[first : first + AT_ONCE]) if mask >> bit & 1)
        return part[mask]
