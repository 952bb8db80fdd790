"""A report as PDF: set, the same twice, and proof against foreign text."""

from dataclasses import replace

import pytest

from methodpick.document.report import site_report
from methodpick.formats.pdf import document_pdf

pytest.importorskip("typst", reason="the extra 'pdf' is not installed")


def test_pdf_is_set_and_the_same_twice(planned):
    document = site_report(planned("caving-lens"))
    data = document_pdf(document, "us")
    assert data.startswith(b"%PDF-")
    assert data == document_pdf(document, "us")
    assert len(data) > 50_000


def test_every_kind_of_block_is_set(sample):
    assert document_pdf(sample, "si").startswith(b"%PDF-")


@pytest.mark.parametrize("words", ["#set page(width: 1pt)", "<script>", "\\ $x$ @a", "\x00\ud800"])
def test_foreign_text_is_never_markup(planned, words):
    assert document_pdf(site_report(replace(planned("caving-lens"), site_name=words)), "si").startswith(b"%PDF-")
