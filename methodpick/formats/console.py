"""A document on the console: plain, wrapped to its width, in colour where the console has it."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import fill

from rich.console import Console
from rich.padding import Padding
from rich.table import Table as Grid
from rich.text import Text

from methodpick.document.model import Blanks, Block, Document, Figure, Items, Page, Paragraph, Section, Subheading, TextTable, Tone
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


def _widths(least: Sequence[int], wanted: Sequence[int], room: int) -> list[int]:
    """Return the widths of columns: their longest words, and of what is left most to those that are farthest from what they want.

    >>> _widths([5, 9], [5, 30], 30), _widths([5, 9], [6, 10], 30)
    ([5, 21], [6, 10])
    """
    widths = list(least)
    for _ in range(room - sum(_APART + width for width in least)):
        column = max(range(len(widths)), key=lambda index: wanted[index] / max(1, widths[index]))
        if widths[column] >= wanted[column]:
            break
        widths[column] += 1
    return widths


@record
class _Writer:
    """Writes the parts of a document to a console."""

    console: Console
    numbers: NumberWriter

    def page(self, page: Page) -> None:
        if page.title:
            self.paragraph(page.title, 0, "bold")
        for line in page.lines:
            self.paragraph(line, 0)
        for section in page.sections:
            self.section(section)

    def section(self, section: Section) -> None:
        self._print("\n" + self._wrap(self.numbers.text(section.title).upper(), "", "  ") if section.title else "", "bold")
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
        self._print(self._wrap(self.numbers.text(text), lead, lead), style)

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
        self._print(self._wrap(self.numbers.text(text), first, " " * len(first)), style)

    def table(self, table: TextTable) -> None:
        """Write a table; one that has no room for its words goes over several, its first column in each."""
        columns = [[self.numbers.text(cell) for cell in column] for column in zip(table.heads, *table.rows, strict=True)]
        least = [max(len(word) for cell in column for word in cell.split() or [""]) for column in columns]
        room = self.console.width - _INDENT
        parts = _parts(least, room)
        for place, part in enumerate(parts):
            if place:
                self.console.print()
            wanted = [max(map(len, columns[index])) for index in part]
            widths = _widths([least[index] for index in part], wanted, room) if len(parts) > 1 else [None] * len(part)
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
            self._print(f"  {row}"[: self.console.width], "")
        for text in (*notes, figure.caption) if rows else ():
            if text:
                self.paragraph(text, 2)

    def _wrap(self, text: str, first: str, rest: str) -> str:
        return fill(text, self.console.width, initial_indent=first, subsequent_indent=rest, break_long_words=True, break_on_hyphens=False)

    def _print(self, text: str, style: str) -> None:
        if not str(self.console.encoding).lower().startswith("utf"):
            text = text.encode("ascii", "replace").decode()
        self.console.print(Text(text, style=style), soft_wrap=True)
