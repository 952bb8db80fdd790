"""The sheets of a site as tables on the page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.console import Console

from methodpick.report.page import CLOSING
from methodpick.report.voice import Voice
from methodpick.unit_markup import System


@dataclass(frozen=True, slots=True)
class PrintedSheet:
    """A sheet in words; the columns named in ``right`` are numbers."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: tuple[int, ...]
    notes: tuple[str, ...]


def render_sheets(sheets: Sequence[PrintedSheet], console: Console, units: System) -> None:
    """Print the sheets one after the other."""
    voice = Voice(console, units)
    for sheet in sheets:
        voice.head(sheet.title)
        if sheet.rows:
            voice.table(sheet.heads, sheet.rows, right=sheet.right)
        else:
            voice.say("Nothing.")
        for note in sheet.notes:
            voice.say(note)
    console.print()
    voice.say(CLOSING, 0)
