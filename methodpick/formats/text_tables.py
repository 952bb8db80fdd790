"""Tables in characters: which columns stand beside each other, how wide they are, and their cells wrapped to that."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from methodpick.patterns import pattern_of
from methodpick.records import record

APART = 2
"""Blanks behind a column that is not the last."""
_WORD = pattern_of(r"\s*\S+\s*")


@record
class TableLine:
    """A line of a table: the cell of each column as wide as the column, None where a cell has fewer lines, and whether it heads them."""

    cells: tuple[str | None, ...]
    widths: tuple[int, ...]
    """Of the columns, the blanks behind them included."""
    is_head: bool


def table_lines(columns: Sequence[Sequence[str]], right: Sequence[int], room: int) -> Iterator[list[TableLine]]:
    """Return the lines of a table whose columns begin with their heads; ``right`` names the columns of numbers.

    One that has no room for its words goes over several, its first column in each.

    >>> [line.cells for table in table_lines([["from", "0"], ["ground", "stiff clay"]], [0], 13) for line in table]
    [('from', 'ground '), ('   0', 'stiff  '), (None, 'clay   ')]
    """
    least = [max(text_width(word) for cell in column for word in cell.split() or [""]) for column in columns]
    parts = _parts(least, room)
    for part in parts:
        wanted = [max(map(text_width, columns[index])) for index in part]
        given = _widths([least[index] for index in part], wanted, room) if len(parts) > 1 else None
        yield _laid_out([[_plain(cell) for cell in columns[index]] for index in part], [index in right for index in part], given, room)


def text_width(text: str) -> int:
    """Return how many places a text takes on a terminal, two for each sign of many scripts of Asia.

    >>> text_width("clay"), text_width("粘土")
    (4, 4)
    """
    if text.isascii() and text.isprintable():
        return len(text)
    from rich.cells import cell_len  # noqa: PLC0415 (for foreign signs alone: rich takes longer to import than a page to lay out)

    return cell_len(text)


# ---- the widths of columns


def _parts(least: Sequence[int], width: int) -> list[list[int]]:
    """Return which columns stand beside each other: all where their longest words have room, else as many as do, after the first.

    >>> _parts([5, 9, 9], 25), _parts([5, 9, 9], 30)
    ([[0, 1], [0, 2]], [[0, 1, 2]])
    """
    room = [APART + words for words in least]
    if sum(room) <= width or len(least) < 3:
        return [list(range(len(least)))]
    parts, taken = [[0]], room[0]
    for index in range(1, len(least)):
        if taken + room[index] > width and len(parts[-1]) > 1:
            parts, taken = [*parts, [0]], room[0]
        parts[-1].append(index)
        taken += room[index]
    return parts


def _widths(least: Sequence[int], wanted: Sequence[int], room: int) -> list[int]:
    """Return the widths of columns: their longest words, and of what is left most to those that are farthest from what they want.

    >>> _widths([5, 9], [5, 30], 30), _widths([5, 9], [6, 10], 30)
    ([5, 21], [6, 10])
    """
    widths = list(least)
    for _ in range(room - sum(APART + width for width in least)):
        column = max(range(len(widths)), key=lambda index: wanted[index] / max(1, widths[index]))
        if widths[column] >= wanted[column]:
            break
        widths[column] += 1
    return widths


def _in_room(wanted: Sequence[int], room: int) -> list[int]:
    """Return the widths of columns that fit a room: the widest give way, to the width of the next, as often as it takes.

    >>> _in_room([4, 20, 12], 40), _in_room([4, 20, 12], 30), _in_room([4, 20, 12], 24)
    ([4, 20, 12], [4, 14, 12], [4, 10, 10])
    """
    widths = list(wanted)
    while (excess := sum(widths) - room) > 0:
        widest = max(widths)
        step = widest - max((width for width in widths if width != widest), default=0)
        widths = _less(widths, excess, [min(excess, step) if width == widest else 0 for width in widths])
    return widths


def _less(widths: Sequence[int], excess: int, most: Sequence[int]) -> list[int]:
    """Return widths of which an excess is taken in equal parts, of each at most so much.

    >>> _less([9, 9, 4], 5, [5, 5, 0])
    [7, 6, 4]
    """
    left, givers, found = excess, sum(map(bool, most)), []
    for width, limit in zip(widths, most, strict=True):
        given = min(limit, round(left / givers)) if limit else 0
        left, givers = left - given, givers - bool(limit)
        found.append(width - given)
    return found


# ---- the lines


def _laid_out(columns: Sequence[Sequence[str]], right: Sequence[bool], given: Sequence[int] | None, room: int) -> list[TableLine]:
    """Return the lines of columns that stand beside each other, as wide as is given, else as what stands in them."""
    gaps = [APART] * (len(columns) - 1) + [0]
    text_widths = given or [max((text_width(line) for cell in column for line in cell.splitlines()), default=0) for column in columns]
    widths = [min(width + gap, room) or 1 for width, gap in zip(text_widths, gaps, strict=True)]
    if (excess := sum(widths) - room) > 0:
        widths = _less(widths, excess, widths) if given else _in_room(widths, room)
    inside = [max(0, width - gap) for width, gap in zip(widths, gaps, strict=True)]
    lines = []
    for row in range(len(columns[0])):
        cells = [_wrapped(column[row], width) for column, width in zip(columns, inside, strict=True)]
        height = max(map(len, cells))
        for number in range(height):
            place = number - height if row == 0 else number  # heads stand on the rows, cells hang from the top
            texts = (
                _filled(cell[place], width, at_right=at_right) if -len(cell) <= place < len(cell) else None
                for cell, width, at_right in zip(cells, inside, right, strict=True)
            )
            lines.append(TableLine(tuple(texts), tuple(widths), row == 0))
    return lines


def _wrapped(cell: str, width: int) -> list[str]:
    """Return the lines of a cell, broken before words that have no room, and inside those that have room on no line.

    >>> _wrapped("stiff brown clay", 11), _wrapped("overconsolidated clay", 8)
    (['stiff brown ', 'clay'], ['overcons', 'olidated', ' clay'])
    """
    lines = []
    for text in cell.split("\n"):
        lines.append("")
        for word in _WORD.findall(text):
            length = text_width(word.rstrip())
            if text_width(lines[-1]) + length <= width:
                lines[-1] += word
            elif length > width > 0:
                pieces = _pieces(word, width)
                lines[-1:] = [lines[-1], *pieces] if lines[-1] else pieces
            else:
                lines.append(word)
    return lines


def _pieces(word: str, width: int) -> list[str]:
    if word.isascii():
        return [word[start : start + width] for start in range(0, len(word), width)]
    from rich.cells import chop_cells  # noqa: PLC0415 (as above)

    return chop_cells(word, width)


def _filled(line: str, width: int, *, at_right: bool) -> str:
    """Return a line of a cell with blanks before or behind it, as wide as the cell."""
    text = line.rstrip() if at_right or text_width(line) > width else line
    blanks = " " * (width - text_width(text))
    return blanks + text if at_right else text + blanks


def _plain(text: str) -> str:
    return without_controls(text).expandtabs(8)


_CONTROLS = dict.fromkeys((7, 8, 11, 12, 13))
"""Signs that ring, go back or feed the page."""


def without_controls(text: str) -> str:
    r"""Return a text without the signs that ring, go back or feed the page.

    >>> without_controls("cl\bay\a")
    'clay'
    """
    return text.translate(_CONTROLS)
