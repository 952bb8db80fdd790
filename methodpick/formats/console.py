"""A document on the console: plain, wrapped to its width, in colour where the console has it."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import fill, wrap

from rich.console import Console
from rich.padding import Padding
from rich.table import Table as Grid
from rich.text import Text

from methodpick.document.model import Blanks, Block, Document, Figure, Items, Page, Paragraph, Section, Subheading, TextTable, Tone
from methodpick.errors import IN_PLAIN_LETTERS
from methodpick.records import record
from methodpick.terms import UnitSystem
from methodpick.unit_markup import NumberWriter

_INDENT, _APART = 2, 2
_STYLES: dict[Tone, str] = {"": "", "strong": "bold", "decision": "", "caution": "yellow", "danger": "bold red"}


def print_document(document: Document, console: Console, units: UnitSystem) -> None:
    """Print a document in the reader's units: its pages, parted by a line, and its closing."""
    writer = _Writer(console, NumberWriter(units))
    for index, page in enumerate(document.pages):
        if index:
            console.print()
            console.rule(characters="=")
        writer.page(page)
    console.print()
    writer.paragraph(document.closing, 0)


def _parts(least: Sequence[int], width: int) -> list[list[int]]:
    """Return which columns stand beside each other: all where their longest words have room, else as many as do, after the first.

    >>> _parts([5, 9, 9], 25), _parts([5, 9, 9], 30)
    ([[0, 1], [0, 2]], [[0, 1, 2]])
    """
    room = [_APART + words for words in least]
    if sum(room) <= width or len(least) < 3:
        return [list(range(len(least)))]
    parts, taken = [[0]], room[0]
    for index in range(1, len(least)):
        if taken + room[index] > width and len(parts[-1]) > 1:
            parts, taken = [*parts, [0]], room[0]
        parts[-1].append(index)
        taken += room[index]
    return parts


def _widths(columns: Sequence[Sequence[str]], room: int) -> list[int]:
    """Return the widths of columns: what they want where all have room, else none below its longest word, in the fewest lines.

    >>> _widths([["depth", "3 ft"], ["wet", "firm clay with seams"]], 30), _widths([["depth", "3 ft"], ["wet", "firm clay with seams"]], 18)
    ([5, 20], [5, 11])
    """
    least, wanted = _longest_words(columns), [max(map(len, column)) for column in columns]
    room -= _APART * (len(columns) - 1)
    if sum(wanted) <= room:
        return wanted
    return min(_shared_by_need(least, wanted, room), _taken_from_widest(least, wanted, room), key=lambda widths: _height(columns, widths))


def _longest_words(columns: Sequence[Sequence[str]]) -> list[int]:
    return [max(len(word) for cell in column for word in cell.split() or [""]) for column in columns]


def _shared_by_need(least: Sequence[int], wanted: Sequence[int], room: int) -> list[int]:
    """Return the longest words, and of what is left most to the columns that are farthest from what they want.

    >>> _shared_by_need([5, 9, 4], [5, 30, 8], 30)
    [5, 19, 6]
    """
    widths = list(least)
    for _ in range(room - sum(widths)):
        widths[max(range(len(widths)), key=lambda index: wanted[index] / max(1, widths[index]))] += 1
    return widths


def _taken_from_widest(least: Sequence[int], wanted: Sequence[int], room: int) -> list[int]:
    """Return what the columns want, less what the widest give up until all have room.

    >>> _taken_from_widest([5, 9, 4], [5, 30, 8], 30)
    [5, 17, 8]
    """
    widths = list(wanted)
    for _ in range(min(sum(widths) - room, sum(widths) - sum(least))):
        widths[max(range(len(widths)), key=lambda index: (widths[index] > least[index], widths[index]))] -= 1
    return widths


def _height(columns: Sequence[Sequence[str]], widths: Sequence[int]) -> int:
    """Return how many lines the rows of a table take."""
    lines = [[len(wrap(cell, max(1, width))) for cell in column] for column, width in zip(columns, widths, strict=True)]
    return sum(max(row) for row in zip(*lines, strict=True))


@record
class _Writer:
    """Writes the parts of a document to a console."""

    console: Console
    numbers: NumberWriter

    def text(self, sentence: str) -> str:
        """Return a sentence with its numbers written, in signs that the console can show."""
        encoding = self.console.encoding
        return self.numbers.text(sentence).encode(encoding, IN_PLAIN_LETTERS).decode(encoding)

    def page(self, page: Page) -> None:
        if page.title:
            self.paragraph(page.title, 0, "bold")
        for line in page.lines:
            self.paragraph(line, 0)
        for section in page.sections:
            self.section(section)

    def section(self, section: Section) -> None:
        self._print("\n" + self._wrap(self.text(section.title).upper(), "", "  ") if section.title else "", "bold")
        for block in section.blocks:
            self.block(block, section.tone)

    def block(self, block: Block, tone: Tone) -> None:
        if isinstance(block, Paragraph):
            self.paragraph(block.text, 2, _STYLES[block.tone])
        elif isinstance(block, Subheading):
            self.paragraph(block.text, 2, "bold")
        elif isinstance(block, Items):
            self.items(block, block.tone or tone)
        elif isinstance(block, Blanks):
            for entry in block.entries:
                self._item("-", f"{entry}: ______", "")
        elif isinstance(block, TextTable):
            self.table(block)
        else:
            self.figure(block)

    def paragraph(self, text: str, indent: int, style: str = "") -> None:
        """Write a paragraph, wrapped; a line end in foreign words cannot make a line that looks like one of the page."""
        lead = " " * indent
        self._print(self._wrap(self.text(text), lead, lead), style)

    def items(self, items: Items, tone: Tone) -> None:
        """Write a list: the sign hangs out, the text is wrapped beside it."""
        levels = items.levels or (0,) * len(items.entries)
        for number, (entry, level) in enumerate(zip(items.entries, levels, strict=True), 1):
            sign = (
                f"{number:>2}." if items.numbered else "!" if tone in {"danger", "caution"} else "*" if items.levels and not level else "-"
            )
            self._item("  " * level + sign, entry, _STYLES[tone])

    def _item(self, sign: str, text: str, style: str) -> None:
        first = f"  {sign} "
        self._print(self._wrap(self.text(text), first, " " * len(first)), style)

    def table(self, table: TextTable) -> None:
        """Write a table; one that has no room for its words goes over several, its first column in each."""
        columns = [[self.text(cell) for cell in column] for column in zip(table.heads, *table.rows, strict=True)]
        room = self.console.width - _INDENT
        parts = _parts(_longest_words(columns), room)
        for place, part in enumerate(parts):
            if place:
                self.console.print()
            widths = _widths([columns[index] for index in part], room)
            grid = Grid(box=None, padding=(0, _APART, 0, 0), pad_edge=False, show_edge=False, header_style="bold", expand=False)
            for index, width in zip(part, widths, strict=True):
                grid.add_column(Text(columns[index][0]), justify="right" if index in table.right else "left", overflow="fold", width=width)
            for row in range(1, len(table.rows) + 1):
                grid.add_row(*(Text(columns[index][row]) for index in part))
            self.console.print(Padding(grid, (0, 0, 0, _INDENT), expand=False))

    def figure(self, figure: Figure) -> None:
        """Write a picture in characters, where it can be drawn in them."""
        if figure.in_characters is None:
            return
        rows, notes = figure.in_characters(self.numbers, self.console.width)
        for row in rows:
            self._print(self.text(f"  {row}")[: self.console.width], "")
        for text in (*notes, figure.caption) if rows else ():
            if text:
                self.paragraph(text, 2)

    def _wrap(self, text: str, first: str, rest: str) -> str:
        return fill(text, self.console.width, initial_indent=first, subsequent_indent=rest, break_long_words=True, break_on_hyphens=False)

    def _print(self, text: str, style: str) -> None:
        self.console.print(Text(text, style=style), soft_wrap=True)
