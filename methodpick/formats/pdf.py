"""A document as PDF, set from the same tree as the HTML; the words go in as data, never as markup."""

from __future__ import annotations

import json
from importlib.resources import files

from methodpick.document.model import Document, as_tree
from methodpick.resources import need
from methodpick.terms import UnitSystem


def document_pdf(document: Document, units: UnitSystem) -> bytes:
    """Return a document as PDF: letter paper for US units, A4 for SI. Raises InputError without the extra ``pdf``."""
    typst = need("typst", "pdf", "a PDF report")
    template = files("methodpick.formats").joinpath("templates", "report.typ").read_bytes()
    tree = {**as_tree(document, units), "paper": "us-letter" if units == "us" else "a4"}
    return bytes(typst.compile(template, format="pdf", sys_inputs={"report": json.dumps(tree, ensure_ascii=False)}, timestamp=0))
