"""A document as one HTML file: pictures and style inside, nothing asked of a network, ready to print on A4 and letter."""

from __future__ import annotations

from functools import cache
from types import ModuleType
from typing import Any

from methodpick.collector import collector_paused
from methodpick.document.model import Document, as_tree
from methodpick.resources import need
from methodpick.terms import UnitSystem


@collector_paused()
def document_html(document: Document, units: UnitSystem) -> str:
    """Return a document as HTML in the reader's units. Raises InputError without the extra ``html``.

    Every word of the input is escaped by the template; the pictures escape their own.
    """
    return str(_template(need("jinja2", "html", "an HTML report")).render(report=as_tree(document, units)))


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
    return world.get_template("report.html")
