"""A document in lines of text, wrapped to a width: for a file or a pipe, and for the console, which puts its colours to them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import field
from textwrap import fill

from methodpick.document.model import Blanks, Block, Document, Figure, Items, Page, Paragraph, Section, Subheading, TextTable, Tone
from methodpick.formats.text_tables import TableLine, table_lines, text_width, without_controls
from methodpick.records import record
from methodpick.terms import UnitSystem
from methodpick.unit_markup import NumberWriter

_INDENT = 2
_STYLES: dict[Tone, str] = {"": "", "strong": "bold", "decision": "", "caution": "yellow", "danger": "bold red"}
_HEAD, _RULE = "bold", "rule.line"
StyledText = tuple[str, str]
"""A text and its style, by a name of rich; without one it is plain."""


def plain_text(document: Document, width: int, units: UnitSystem, encoding: str = "utf-8") -> str:
    r"""Return a document in the reader's units as plain text; where the reader's encoding is not a UTF, its sentences are in ASCII.

    >>> plain_text(Document("", (Page("P1", (), (Section("Stages", (Paragraph("Drill dry."),)),)),), "End."), 60, "si")
    'P1\n\nSTAGES\n  Drill dry.\n\nEnd.\n'
    """
    return "".join(f"{''.join(text for text, _ in line)}\n" for line in styled_lines(document, width, units, encoding))


def styled_lines(document: Document, width: int, units: UnitSystem, encoding: str) -> list[list[StyledText]]:
    """Return the lines of a document: its pages, parted by a line, and its closing; each the parts of which it is made."""
    writer = _Writer(width, NumberWriter(units), utf=encoding.lower().startswith("utf"))
    for index, page in enumerate(document.pages):
        if index:
            writer.lines.extend(([], [("=" * width, _RULE)]))
        writer.page(page)
    writer.lines.append([])
    writer.paragraph(document.closing, 0)
    return writer.lines


@record
class _Writer:
    """Writes the parts of a document as lines of a width; where the reader knows no UTF, sentences are in ASCII."""

    width: int
    numbers: NumberWriter
    utf: bool
    lines: list[list[StyledText]] = field(default_factory=list)

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
        for place, lines in enumerate(table_lines(columns, table.right, self.width - _INDENT)):
            if place:
                self.lines.append([])
            self.lines.extend([(" " * _INDENT, ""), *_styled(line)] for line in lines)

    def figure(self, figure: Figure) -> None:
        """Write a picture in characters, where it can be drawn in them."""
        if figure.in_characters is None:
            return
        rows, notes = figure.in_characters(self.numbers, self.width)
        for row in rows:
            self._print(f"  {row}"[: self.width], "")
        for text in (*notes, figure.caption) if rows else ():
            if text:
                self.paragraph(text, 2)

    def _wrap(self, text: str, first: str, rest: str) -> str:
        return fill(text, self.width, initial_indent=first, subsequent_indent=rest, break_long_words=True, break_on_hyphens=False)

    def _print(self, text: str, style: str) -> None:
        shown = without_controls(text if self.utf else text.encode("ascii", "replace").decode())
        self.lines.extend([(line, style)] for line in shown.split("\n"))


def _styled(line: TableLine) -> Iterator[StyledText]:
    """Return the parts of a line of a table: each cell, and the blanks behind it."""
    style = _HEAD if line.is_head else ""
    for cell, width in zip(line.cells, line.widths, strict=True):
        if cell is None:
            yield " " * width, style
        else:
            yield cell, style
            yield " " * (width - text_width(cell)), style
