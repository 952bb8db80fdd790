"""The parts of a report: texts, lists, tables and pictures in sections, sections on pages. All words are spelled already."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from methodpick.printable import printable
from methodpick.unit_markup import System, say, spell

Kind = Literal["text", "strong", "head", "items", "steps", "table", "picture"]


@dataclass(frozen=True, slots=True)
class Part:
    """One part; what its kind does not need stays empty. ``right`` names the columns of a table that are numbers."""

    kind: Kind
    text: str = ""
    entries: tuple[str, ...] = ()
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    right: tuple[int, ...] = ()
    svg: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A section; ``mood`` sets dangers and decisions apart."""

    title: str
    parts: tuple[Part, ...]
    mood: Literal["", "decision", "danger"] = ""


@dataclass(frozen=True, slots=True)
class Page:
    """A page, which starts on a sheet of its own."""

    title: str
    lines: tuple[str, ...]
    sections: tuple[Section, ...]


@dataclass(frozen=True, slots=True)
class Report:
    """A whole report."""

    title: str
    paper: Literal["us-letter", "a4"]
    pages: tuple[Page, ...]
    closing: str


@dataclass(frozen=True, slots=True)
class Pen:
    """Writes numbers and sentences in the reader's units."""

    units: System

    def n(self, value: float | None, unit: str) -> str:
        """Write a number with its unit, a dash where there is none."""
        return "-" if value is None else say(value, unit, self.units)

    def t(self, text: str) -> str:
        """Spell the marks of a sentence and make it fit to print."""
        return printable(spell(text, self.units))

    def text(self, text: str) -> Part:
        """Make a paragraph."""
        return Part("text", self.t(text))

    def strong(self, text: str) -> Part:
        """Make a paragraph that stands out."""
        return Part("strong", self.t(text))

    def head(self, text: str) -> Part:
        """Make a heading inside a section."""
        return Part("head", self.t(text))

    def items(self, entries: Sequence[str]) -> Part:
        """Make a list."""
        return Part("items", entries=tuple(map(self.t, entries)))

    def steps(self, entries: Sequence[str]) -> Part:
        """Make a numbered list."""
        return Part("steps", entries=tuple(map(self.t, entries)))

    def table(self, heads: tuple[str, ...], rows: Sequence[tuple[str, ...]], right: tuple[int, ...] = ()) -> Part:
        """Make a table."""
        return Part("table", heads=heads, rows=tuple(tuple(map(self.t, row)) for row in rows), right=right)

    def picture(self, svg: str, text: str) -> Part:
        """Make a picture with its caption."""
        return Part("picture", self.t(text), svg=svg)
