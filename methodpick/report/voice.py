"""How the report writes: units, headings, paragraphs, tables."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich import box
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from methodpick.spoken import System, say, spell

SUPPORT = {"dry": "dry", "slurry": "slurry", "temporary_casing": "temporary casing", "permanent_casing": "permanent casing",
           "undecided": "undecided", "combination": "combination"}
STATE = {"dry": "dry", "water": "under water", "polymer": "under polymer", "mineral": "under mineral slurry",
         "cased_dry": "cased, emptied", "cased_balanced": "cased, kept full", "cased_plug": "casing ahead of the dig"}
STYLE = {"danger": "bold red", "caution": "yellow", "note": ""}


@dataclass(frozen=True, slots=True)
class Voice:
    """A console and the reader's units."""

    console: Console
    units: System

    def n(self, value: float | None, unit: str) -> str:
        """Write a number with its unit, a dash where there is none."""
        return "-" if value is None else say(value, unit, self.units)

    def t(self, text: str) -> str:
        """Spell the marked numbers of a text."""
        return spell(text, self.units)

    def head(self, title: str) -> None:
        """Write a section heading."""
        self.console.print()
        self.console.print(Text(title.upper(), style="bold"))

    def say(self, text: str, indent: int = 2, style: str = "") -> None:
        """Write a paragraph, wrapped."""
        self.console.print(Padding(Text(self.t(text), style=style), (0, 0, 0, indent), expand=False))

    def item(self, lead: str, text: str, style: str = "") -> None:
        """Write a list item: the lead hangs out, the text is wrapped beside it."""
        grid = Table.grid(padding=(0, 1, 0, 0))
        grid.add_column(width=len(lead), no_wrap=True)
        grid.add_column(overflow="fold")
        grid.add_row(Text(lead, style=style), Text(self.t(text)))
        self.console.print(Padding(grid, (0, 0, 0, 2), expand=False))

    def table(self, heads: Sequence[str], rows: Sequence[Sequence[str]], right: Sequence[int] = ()) -> None:
        """Write a table; the columns named in ``right`` are numbers."""
        table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, header_style="bold", expand=False)
        for index, head in enumerate(heads):
            table.add_column(head, justify="right" if index in right else "left", overflow="fold")
        for row in rows:
            table.add_row(*(Text(self.t(cell)) for cell in row))
        self.console.print(Padding(table, (0, 0, 0, 2), expand=False))
