"""A document as one HTML file, as PDF and as Markdown; and a picture as SVG and as PNG.

HTML has its pictures and style inside, asks nothing of a network and prints on A4 and letter. PDF is set from the same tree; words go in
as data, never as markup. Markdown has the captions of the pictures alone, and blanks to fill stand out under the word BLANK.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from pathlib import Path
from types import ModuleType
from typing import Any

from methodpick.collector import collector_paused
from methodpick.document.model import Blanks, Block, Document, Figure, Items, Paragraph, Section, Subheading, as_tree
from methodpick.errors import InputError, Problem
from methodpick.resources import need
from methodpick.terms import UnitSystem
from methodpick.unit_markup import NumberWriter

# ---- as HTML


@collector_paused()
def document_html(document: Document, units: UnitSystem) -> str:
    """Return a document as HTML in the reader's units. Raises InputError without the extra ``html``.

    Every word of the input is escaped by the template; the pictures escape their own.
    """
    return str(_template(need("jinja2", "html", "an HTML report")).render(report=as_tree(document, units)))


LONGEST_NAME, LONGEST_WORD = 16, 24
"""Up to that a name with a hyphen, as a shaft's, is not broken in the cell of a table, as half of it may be another's name; beyond this a
word is broken anywhere, as a digest is."""


def _by_word(cell: str) -> Any:
    """Return the text of a cell with marks around the words that may not be broken, and around those that may be broken anywhere."""
    if "-" not in cell and len(cell) <= LONGEST_WORD:
        return cell
    escaped = need("markupsafe", "html", "an HTML report").Markup
    words = (
        escaped('<span class="{}">{}</span>').format("long" if len(word) > LONGEST_WORD else "word", word)
        if len(word) > LONGEST_WORD or ("-" in word and len(word) <= LONGEST_NAME)
        else word
        for word in cell.split(" ")
    )
    return escaped(" ").join(words)


@cache
def _template(jinja: ModuleType) -> Any:
    """Return the template of the report, compiled once."""
    world = jinja.Environment(
        loader=jinja.PackageLoader("methodpick.formats", "templates"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=jinja.StrictUndefined,
        keep_trailing_newline=True,
    )
    world.filters["by_word"] = _by_word
    return world.get_template("report.html")


# ---- as PDF


def document_pdf(document: Document, units: UnitSystem) -> bytes:
    """Return a document as PDF: letter paper for US units, A4 for SI. Raises InputError without the extra ``pdf``."""
    typst = need("typst", "pdf", "a PDF report")
    template = files("methodpick.formats").joinpath("templates", "report.typ").read_bytes()
    tree = {**as_tree(document, units), "paper": "us-letter" if units == "us" else "a4"}
    return bytes(typst.compile(template, format="pdf", sys_inputs={"report": json.dumps(tree, ensure_ascii=False)}, timestamp=0))


# ---- as Markdown


_SIGNS = "\\`*_[]<>|#~$&"
_LEADS = "+-=:"


def document_markdown(document: Document, units: UnitSystem) -> str:
    """Return a document as Markdown in the reader's units."""
    numbers = NumberWriter(units)
    lines: list[str] = []
    for page in document.pages:
        lines += [f"# {_safe(page.title, numbers)}", ""]
        for line in page.lines:
            lines += [_safe(line, numbers), ""]
        for section in page.sections:
            lines += _section(section, numbers)
    return "\n".join([*lines, _safe(document.closing, numbers), ""])


def _section(section: Section, numbers: NumberWriter) -> Iterator[str]:
    yield from (f"## {_inline(section.title, numbers)}", "")
    for block in section.blocks:
        found = list(_block(block, numbers))
        yield from (*found, "") if found else ()


def _block(block: Block, numbers: NumberWriter) -> Iterator[str]:
    if isinstance(block, Paragraph):
        text = _safe(block.text, numbers)
        yield f"**{text}**" if block.tone else text
    elif isinstance(block, Subheading):
        yield f"### {_safe(block.text, numbers)}"
    elif isinstance(block, Items):
        levels = block.levels or (0,) * len(block.entries)
        sign = "1." if block.numbered else "*"
        yield from ("  " * level + f"{sign} {_safe(entry, numbers)}" for entry, level in zip(block.entries, levels, strict=True))
    elif isinstance(block, Blanks):
        yield from (f"* **BLANK** {_safe(entry, numbers)}: ______" for entry in block.entries)
    elif isinstance(block, Figure):
        yield from filter(None, (_safe(block.caption, numbers),))
    else:
        yield _row(block.heads, numbers)
        yield "|" + "---|" * len(block.heads)
        yield from (_row(row, numbers) for row in block.rows)


def _row(cells: tuple[str, ...], numbers: NumberWriter) -> str:
    return "| " + " | ".join(_safe(cell, numbers) for cell in cells) + " |"


def _safe(text: str, numbers: NumberWriter) -> str:
    r"""Write a text so that nothing of it is read as Markdown or HTML, on one line.

    >>> _safe("a *b*\n<i>c</i> | 1", NumberWriter("si"))
    'a \\*b\\* \\<i\\>c\\</i\\> \\| 1'
    >>> _safe("- not an item", NumberWriter("si"))
    '\\- not an item'
    """
    plain = _inline(text, numbers)
    if plain[:1] in tuple(_LEADS):
        return "\\" + plain
    head, dot, rest = plain.partition(".")
    return f"{head}\\.{rest}" if dot and head.isdigit() and rest.startswith(" ") else plain.replace("://", ":\u200b//")


def _inline(text: str, numbers: NumberWriter) -> str:
    """Write a text that stands behind a sign of Markdown, so that its own signs are read as they are."""
    text = numbers.text(text)
    for sign in _SIGNS:
        text = text.replace(sign, "\\" + sign)
    return " ".join(text.split())


# ---- a picture as SVG


def figure_svg(figure: Figure, units: UnitSystem) -> str:
    """Return a picture in the reader's units: one text that refers to nothing outside itself."""
    return figure.draw(units, "a")


# ---- a picture as PNG


FAMILIES = (
    "Helvetica",
    "Arial",
    "DejaVu Sans",
    "Liberation Sans",
    "Noto Sans",
    "Helvetica Neue",
    "Segoe UI",
    "Verdana",
    "Roboto",
    "Open Sans",
    "Ubuntu",
    "Cantarell",
    "FreeSans",
    "Nimbus Sans",
    "Droid Sans",
    "Carlito",
    "Lato",
    "DejaVu Serif",
)
"""Fonts that systems come with, the one that the pictures are set for first. The drawing library knows no generic family by itself."""
ZOOM = 2.0
"""Twice the 96 dots per inch of the screen, so that small print stays sharp on paper."""


def picture_png(svg: str, fonts: Path | None = None) -> bytes:
    """Return a picture as PNG, written with the fonts of the machine or only with those of a folder.

    Raises InputError without the extra ``png``, or where none of the known fonts is found.
    """
    resvg = need("resvg_py", "png", "a PNG picture")
    places: dict[str, Any] = {} if fonts is None else {"skip_system_fonts": True, "font_dirs": [str(fonts)]}
    family = next((name for name in FAMILIES if _is_there(resvg, name, places)), None)
    if family is None:
        raise InputError(
            Problem(
                "no usable font was found on this machine, and a picture without words would mislead",
                hint="install a common one (on Debian and Ubuntu: fonts-dejavu-core), or write the picture as .svg",
            )
        )
    return bytes(resvg.svg_to_bytes(svg_string=svg, zoom=ZOOM, sans_serif_family=family, **places))


def _is_there(resvg: Any, family: str, places: dict[str, Any]) -> bool:
    """Return whether a letter in a font leaves a trace."""
    written, blank = (
        resvg.svg_to_bytes(
            svg_string='<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20">'
            f'<text x="2" y="16" font-size="16" font-family="{family}">{letter}</text></svg>',
            **places,
        )
        for letter in ("W", "")
    )
    return bool(written != blank)
