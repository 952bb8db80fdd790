"""How the report writes: units, headings, paragraphs, tables."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import fill

from rich import box
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from methodpick.plan.result import STATE_SAID, SUPPORT_SAID
from methodpick.unit_markup import System, say, spell

SUPPORT, STATE = SUPPORT_SAID, STATE_SAID
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
        self._print("\n" + title.upper(), "bold")

    def say(self, text: str, indent: int = 2, style: str = "") -> None:
        """Write a paragraph, wrapped; lines of its own are kept."""
        lead = " " * indent
        self._print("\n".join(self._wrap(line, lead, lead) for line in self.t(text).split("\n")), style)

    def item(self, lead: str, text: str, style: str = "") -> None:
        """Write a list item: the lead hangs out, the text is wrapped beside it."""
        first = f"  {lead} "
        self._print(self._wrap(self.t(text), first, " " * len(first)), style)

    def row(self, text: str) -> None:
        """Write a line of a drawing as it stands."""
        self._print(f"  {text}"[: self.console.width], "")

    def _wrap(self, text: str, first: str, rest: str) -> str:
        return fill(text, self.console.width, initial_indent=first, subsequent_indent=rest, break_long_words=True, break_on_hyphens=False)

    def _print(self, text: str, style: str) -> None:
        if not str(self.console.encoding).lower().startswith("utf"):
            text = text.encode("ascii", "replace").decode()
        self.console.print(Text(text, style=style), soft_wrap=True)

    def table(self, heads: Sequence[str], rows: Sequence[Sequence[str]], right: Sequence[int] = ()) -> None:
        """Write a table; the columns named in ``right`` are numbers."""
        table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, header_style="bold", expand=False)
        for index, head in enumerate(heads):
            table.add_column(head, justify="right" if index in right else "left", overflow="fold")
        for row in rows:
            table.add_row(*(Text(self.t(cell)) for cell in row))
        self.console.print(Padding(table, (0, 0, 0, 2), expand=False))
