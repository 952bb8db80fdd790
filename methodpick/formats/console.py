"""A document on the console: the lines of its text, in colour where the console has it."""

from __future__ import annotations

from rich.console import Console
from rich.segment import Segment, Segments

from methodpick.document.model import Document
from methodpick.formats.text_page import styled_lines
from methodpick.terms import UnitSystem


def print_document(document: Document, console: Console, units: UnitSystem) -> None:
    """Print a document in the reader's units, as wide as the console."""
    segments = []
    for line in styled_lines(document, console.width, units, console.encoding):
        segments += [*(Segment(text, console.get_style(style)) if style else Segment(text) for text, style in line), Segment.line()]
    console.print(Segments(segments), soft_wrap=True, end="")
