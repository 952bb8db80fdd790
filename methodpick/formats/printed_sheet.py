"""How a sheet of the workbook is laid out on paper: widths of columns, lines of words in them, where a page ends and the next begins."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from methodpick.records import record
from methodpick.tables.cells import Worksheet

PAGE_WIDTH = 165
"""Characters side by side on a landscape page of letter or A4 paper: 10 in hold some 115 at full size, so that letters of 11 points are
printed 7 to 8 points high."""
TITLE_SIZE = 1.5
"""Width of a letter of a title in characters of a column."""
HEAD_ROOM = 2
"""Characters of a column over the longest word of its heading."""
EDGES = 0.72
"""By how much a column is wider in the file than the characters that it holds."""
LINE_HEIGHT = 15.0
WORDS, LEAST_SHARE = 20, 0.4
"""Columns from this width on hold words; so small a share of their width is left at the least before another page is begun."""
FULL = 0.92
"""Share of the width of a cell that words fill before they go on below."""
TALLEST = 409.0
"""Points that a row may be high, by the file format."""
MOST_LINES = 27
"""Lines that such a row holds; longer words widen their column."""


def lines_of(text: str, width: float) -> int:
    """Return how many lines a text takes in a cell of a width in characters.

    >>> lines_of("dry", 10), lines_of("set in the drilled hole", 10), lines_of("", 10)
    (1, 3, 1)
    """
    return max(1, ceil(len(text) / (FULL * width)))


def print_widths(widths: Sequence[int]) -> list[float]:
    """Return the widths of columns so that they fill whole pages: those of words give way, down to a share of what they ask for.

    >>> print_widths([10, 20, 100, 100]), print_widths([12] * 3)
    ([10, 13.0, 69.0, 69.0], [12, 12, 12])
    """
    words = sum(width for width in widths if width >= WORDS)
    numbers = sum(widths) - words + EDGES * len(widths)
    pages = 1
    while words and pages * PAGE_WIDTH - (pages - 1) * widths[0] - numbers < LEAST_SHARE * words:
        pages += 1
    room = pages * PAGE_WIDTH - (pages - 1) * widths[0] - numbers
    share = min(1.0, room / words) if words else 1.0
    return [width if width < WORDS else float(int(share * width)) for width in widths]


def page_starts(widths: Sequence[float]) -> list[int]:
    """Return the first column of each printed page after the first; the first column stands on every page.

    There are as few pages as stay legible, as narrow as they can be, which is how a spreadsheet program parts what fits so many.

    >>> page_starts([10, 70, 70, 70, 70, 30]), page_starts([10, 90, 30, 30, 30])
    ([3, 5], [2])
    """
    fewest = _parted(widths, PAGE_WIDTH)
    pages = ((widths[0], *widths[first:last]) for first in range(1, len(widths)) for last in range(first + 1, len(widths) + 1))
    narrower = sorted({total for page in pages if (total := sum(page)) < PAGE_WIDTH}) if fewest else ()
    return next((parted for page in narrower if len(parted := _parted(widths, page)) <= len(fewest)), fewest)


def _parted(widths: Sequence[float], page: float) -> list[int]:
    """Return the first column of each page of a width after the first; a column that is wider has a page of its own."""
    starts, used = [], widths[0] if widths else 0.0
    for index, width in enumerate(widths[1:], 1):
        if used + width > page + 1e-9 and used > widths[0]:
            starts.append(index)
            used = widths[0]
        used += width
    return starts


@record
class PrintedSheet:
    """How a sheet is laid out: the width of every column, how many are printed, and the first column of each page after the first."""

    widths: tuple[float, ...]
    printed: int
    starts: tuple[int, ...]

    @property
    def titled(self) -> tuple[int, int]:
        """Return the first and the last column under the title, which stands on the first page only: the first column is on every one."""
        return (1 if self.starts else 0), (self.starts[0] if self.starts else self.printed) - 1


def laid_out(sheet: Worksheet) -> PrintedSheet:
    """Return a sheet laid out: no word of a heading broken, what only serves formulas not printed."""
    printed = sum(not column.live for column in sheet.columns)
    asked = [max(column.width, _longest_word(column.head)) for column in sheet.columns]
    wanted = print_widths(asked[:printed])
    longest = [max((len(str(row[at])) for row in sheet.rows if isinstance(row[at], str)), default=0) for at in range(printed)]
    widths = [max(width, ceil(length / (FULL * MOST_LINES))) for width, length in zip(wanted, longest, strict=True)]
    return PrintedSheet((*widths, *asked[printed:]), printed, tuple(page_starts(widths)))


def _longest_word(head: str) -> int:
    return max(map(len, head.split()), default=0) + HEAD_ROOM
