"""Libraries that only some formats need: where they are missing, an error says what to install."""

import sys

import pytest

from methodpick import resources
from methodpick.document.report import site_report
from methodpick.document.shaft import strip_figure
from methodpick.errors import InputError
from methodpick.formats.report import document_html, document_pdf, figure_svg, picture_png
from methodpick.formats.sheets import workbook_xlsx


@pytest.mark.parametrize(
    ("module", "extra", "call"),
    [
        ("jinja2", "html", lambda plan: document_html(site_report(plan), "us")),
        ("typst", "pdf", lambda plan: document_pdf(site_report(plan), "us")),
        ("resvg_py", "png", lambda plan: picture_png(figure_svg(strip_figure(plan.shafts[0]), "us"))),
        ("xlsxwriter", "xlsx", lambda _: workbook_xlsx((), "us", "")),
    ],
)
def test_a_missing_extra_says_what_to_install(planned, monkeypatch, module, extra, call):
    monkeypatch.setitem(sys.modules, module, None)
    with pytest.raises(InputError, match=rf"methodpick\[{extra}\]"):
        call(planned("stiff-clay"))
    with pytest.raises(InputError, match="not installed"):
        resources.need(module, extra, "it")
