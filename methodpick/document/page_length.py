"""How much room a page of the answer has: what is told in full where the page stays short, and in fewer words where it does not."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil
from typing import Any

from methodpick.document.model import Block, Items, Page, Paragraph, TextTable
from methodpick.records import record
from methodpick.unit_markup import spell

LINES = 60
"""Lines of a page of the answer at 80 columns, the closing included."""
COLUMNS = 78
"""Letters of a line of a paragraph; a list has two less."""
CLOSING_LINES = 5
"""Lines of the closing words with the empty one before them, and some to spare for words that are wrapped early."""


@record
class Room:
    """How many rows the strip has, and what else is told.

    ``treated`` open hazards stand with what to do; so many hazards and dangers as ``told`` with their words; of names as many as have
    ``names`` letters, then how many more there are; ``densities`` of all fluids, else of mineral slurry only, whose density is a choice.
    ``in_print`` is a report, with as much room as its words take.
    """

    strip_rows: int
    treated: int
    told: int
    names: int
    densities: bool
    in_print: bool = False

    def page_of(self, reader: str) -> str:
        """Return where the page of a reader stands: by the option that shows it, in print by its name."""
        return f"{reader}'s page" if self.in_print else f"--for {reader}"


ROOMS = (
    Room(strip_rows=8, treated=2, told=4, names=400, densities=True),
    Room(strip_rows=7, treated=2, told=3, names=240, densities=True),
    Room(strip_rows=6, treated=1, told=2, names=118, densities=True),
    Room(strip_rows=5, treated=1, told=1, names=84, densities=False),
)
"""From the most room to the least; the first in which a page stays short is taken, else the last."""


PRINTED = Room(strip_rows=30, treated=3, told=4, names=400, densities=True, in_print=True)
"""The room of a page in a report, which stands beside its strip log and the safety page."""


def how_many_fit(names: Sequence[Any], letters: int, least: int = 1, said: Callable[[Sequence[Any]], str] = "; ".join) -> int:
    """Return how many of some names have room in so many letters as they are ``said``, counted from the first; ``least`` in any case.

    >>> how_many_fit(["pull", "torque", "crowd"], 12), how_many_fit(["pull", "torque"], 3), how_many_fit([], 9, least=0)
    (2, 1, 0)
    """
    return next((count for count in range(len(names), least, -1) if len(said(names[:count])) <= letters), least)


def and_more(count: int) -> str:
    """Return the words for so many that are not named, nothing where all are.

    >>> and_more(3), and_more(0), and_more(-2)
    (' and 3 more', '', '')
    """
    return f" and {count} more" if count > 0 else ""


def is_short(page: Page) -> bool:
    """Return whether a page has room on one sheet."""
    return lines_of(page) <= LINES


def lines_of(page: Page) -> int:
    """Return about how many lines a page takes at 80 columns with the closing."""
    lines = ceil(len(page.title) / COLUMNS) + sum(_wrapped(line, COLUMNS + 2) for line in page.lines) + CLOSING_LINES
    return lines + sum(2 + sum(map(_lines, section.blocks)) for section in page.sections)


def _lines(block: Block) -> int:
    if isinstance(block, Paragraph):
        return _wrapped(block.text, COLUMNS)
    if isinstance(block, Items):
        return sum(_wrapped(entry, COLUMNS - 2) for entry in block.entries)
    return _rows(block) if isinstance(block, TextTable) else 0


def _rows(table: TextTable) -> int:
    """Return the lines of a table: where it is too wide its widest column gives way, and its longest cells are wrapped."""
    columns = [[len(spell(cell, "us")) for cell in column] for column in zip(table.heads, *table.rows, strict=True)]
    widths = [max(column) for column in columns]
    over = sum(widths) + 2 * len(widths) - COLUMNS
    if over <= 0:
        return 1 + len(table.rows)
    widest = widths.index(max(widths))
    return sum(ceil(letters / max(1, widths[widest] - over)) if letters else 1 for letters in columns[widest])


def _wrapped(text: str, columns: int) -> int:
    return ceil(len(spell(text, "us")) / (columns - 3)) if text else 0
