"""What a document is made of: pages with sections, sections with paragraphs, lists, tables and figures; no format, no units.

Numbers stand in the texts as marks (``unit_markup``); a format writes them in the reader's units.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import fields, is_dataclass
from html import unescape
from itertools import count
from typing import Any, Literal

from methodpick.records import record
from methodpick.terms import UnitSystem
from methodpick.unit_markup import NumberWriter

Tone = Literal["", "strong", "decision", "caution", "danger"]
"""How a text stands out: plain, bold, framed as the answer, or as what to watch and what endangers."""
Drawing = Callable[[UnitSystem, str], str]
"""Draws a picture as SVG in the reader's units; the text is a prefix for its names, different for every picture of a page."""
Lettering = Callable[[NumberWriter, int], tuple[list[str], list[str]]]
"""Draws a picture in plain characters for a width: its rows, and the sentences below it."""


@record
class Paragraph:
    """A paragraph."""

    text: str
    tone: Tone = ""


@record
class Subheading:
    """A heading inside a section."""

    text: str


@record
class Items:
    """A list, numbered or not. ``levels`` says how deep each entry is set in, where they are not all alike."""

    entries: tuple[str, ...]
    numbered: bool = False
    tone: Tone = ""
    levels: tuple[int, ...] = ()


@record
class Blanks:
    """What the reader fills in: each entry names what belongs there."""

    entries: tuple[str, ...]


@record
class TextTable:
    """A table; ``right`` names the columns that hold numbers."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: tuple[int, ...] = ()


@record
class Figure:
    """A picture, drawn when a format asks for it; ``in_characters`` draws it for a page without pictures."""

    draw: Drawing
    caption: str = ""
    in_characters: Lettering | None = None


Block = Paragraph | Subheading | Items | Blanks | TextTable | Figure


@record
class Section:
    """A section; its tone sets decisions and dangers apart, and ``about`` names the shafts that it tells of alone."""

    title: str
    blocks: tuple[Block, ...]
    tone: Tone = ""
    about: tuple[str, ...] = ()


@record
class Page:
    """A page: its title, the lines below it, its sections, and the shafts that it tells of alone.

    It starts on a new sheet, or, where it ``follows``, below the page before it as long as all of it has room there.
    """

    title: str
    lines: tuple[str, ...]
    sections: tuple[Section, ...]
    about: tuple[str, ...] = ()
    follows: bool = False


@record
class Document:
    """A whole document; the closing stands at the end of the last page."""

    title: str
    pages: tuple[Page, ...]
    closing: str


def section(title: str, *blocks: Block | None, tone: Tone = "") -> Section:
    """Return a section of those blocks that hold anything.

    >>> section("Notes", Items(()), Paragraph("dry"), None).blocks
    (Paragraph(text='dry', tone=''),)
    """
    return Section(title, tuple(block for block in blocks if block is not None and not _is_empty(block)), tone)


def page_with(title: str, lines: Sequence[str], *sections: Section | None) -> Page:
    """Return a page of those sections that hold anything.

    >>> page_with("P1", ("48 in",), section("Notes"), None, section("Stages", Paragraph("drill"))).sections[0].title
    'Stages'
    """
    return Page(title, tuple(lines), tuple(part for part in sections if part is not None and part.blocks))


def _is_empty(block: Block) -> bool:
    if isinstance(block, (Paragraph, Subheading)):
        return not block.text
    if isinstance(block, (Items, Blanks)):
        return not block.entries
    return isinstance(block, TextTable) and not block.rows


def texts_of(document: Document, units: UnitSystem) -> str:
    """Return all texts of a document in their order, numbers written, parted by blanks: what a page says, whatever its form.

    >>> texts_of(Document("Plan", (Page("P1", ("48 in",), (section("Notes", Items(("dry",))),)),), "End"), "us")
    'Plan P1 48 in Notes dry End'
    """
    return " ".join(" ".join(_texts(_tree(document, NumberWriter(units), None))).split())


def _texts(tree: Any) -> Iterator[str]:
    if isinstance(tree, str):
        yield tree
    elif isinstance(tree, dict):
        yield from (text for key, part in tree.items() if key not in {"kind", "tone", "svg", "alt", "about"} for text in _texts(part))
    elif isinstance(tree, list):
        yield from (text for part in tree for text in _texts(part))


def as_tree(document: Document, units: UnitSystem) -> dict[str, Any]:
    """Return a document as plain maps, lists and texts for a template, with numbers written and pictures drawn.

    Every block has a ``kind``, the name of its class in small letters.
    """
    tree: dict[str, Any] = _tree(document, NumberWriter(units), (f"p{number}" for number in count(1)))
    return tree


def _shown_by(svg: str) -> str:
    """Return what a picture says that it shows: its title and its description.

    >>> _shown_by("<svg><title id='t'>Strip of P4</title><desc id='d'>sand &amp; clay</desc></svg>")
    'Strip of P4. sand & clay'
    """
    found = (svg.partition(f"<{tag}")[2].partition("</")[0].partition(">")[2] for tag in ("title", "desc"))
    return ". ".join(unescape(part) for part in found if part)


def _tree(value: Any, numbers: NumberWriter, prefixes: Iterator[str] | None) -> Any:
    """Return a part of a document as plain data; without prefixes for their names no picture is drawn."""
    if isinstance(value, str):
        return numbers.text(value)
    if isinstance(value, tuple):
        return [_tree(part, numbers, prefixes) for part in value]
    if isinstance(value, Figure):
        svg = value.draw(numbers.units, next(prefixes)) if prefixes is not None else ""
        return {"kind": "figure", "svg": svg, "alt": _shown_by(svg), "caption": numbers.text(value.caption)}
    if is_dataclass(value):
        parts = {field.name: _tree(getattr(value, field.name), numbers, prefixes) for field in fields(value)}
        return {"kind": type(value).__name__.lower(), **parts}
    return value
