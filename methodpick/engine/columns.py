"""Rules as bits of a mask: what one fact alone says of all rules at once.

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
CHUNK_BITS, CHUNK_MASK = 16, 0xFFFF
_TEST: dict[str, Callable[[int, int], bool]] = {"<": lt, "<=": le, ">": gt, ">=": ge}


@dataclass(slots=True)
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

    def word_masks(self) -> dict[str, int]:
        """Return the bits that each single word leaves."""
        return {word: self.mask_of(frozenset({word})) for word in self.spec.words}


@dataclass(frozen=True, slots=True)
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
