"""A report as PDF: set, the same twice, and proof against foreign text."""

import re
from dataclasses import replace

import pytest

from methodpick.document.report import owner_report, plan_pages, site_report
from methodpick.formats.report import document_pdf

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


def test_an_owner_gets_a_viaduct_on_twelve_pages(takeoff):
    """Sixty shafts of 26 kinds; the aim of the report. Pages are counted as the file format marks them."""
    made = takeoff("viaduct")
    data = document_pdf(owner_report(made.site.plan, (), made), "us")
    assert len(re.findall(rb"/Type\s*/Page[^s]", data)) <= 12


def sheets_of(document):
    return len(re.findall(rb"/Type\s*/Page[^s]", document_pdf(document, "us")))


def test_a_page_that_follows_stands_below_the_one_before_it(planned):
    """The foreman's pack of one kind: two sheets for the work, one for the fluid tests and the safety page together."""
    pack = plan_pages(planned("caving-lens"), reader="foreman")
    assert sheets_of(pack) == 3
    apart = replace(pack, pages=tuple(replace(page, follows=False) for page in pack.pages))
    assert sheets_of(apart) == 4


def test_a_kind_of_shaft_takes_a_sheet_for_its_answer_and_one_for_its_strip(takeoff):
    """Two kinds: the site with its section, sums and calendar on two sheets, two for each kind, safety, record; none for one note."""
    made = takeoff("karst")
    data = document_pdf(owner_report(made.site.plan, (), made), "us")
    assert len(re.findall(rb"/Type\s*/Page[^s]", data)) == 2 + 2 * 2 + 2
    for page in owner_report(made.site.plan, (), made).pages[1:3]:
        titles = [part.title for part in page.sections]
        assert (titles[0], titles[-1]) == ("Decision", "Strip log")
