"""The report as PDF, set from the same parts as the HTML; the words go in as data, never as markup."""

from __future__ import annotations

import json
from dataclasses import asdict
from importlib.resources import files

from methodpick.document.report import make_report
from methodpick.formats.extras import need
from methodpick.plan.result import Plan
from methodpick.site.result import Takeoff
from methodpick.unit_markup import System


def report_pdf(plan: Plan, units: System | None = None, reader_doubts: tuple[str, ...] = (), takeoff: Takeoff | None = None) -> bytes:
    """Set the report of a plan: letter paper for US units, A4 for SI. Raises InputError without the extra ``pdf``."""
    typst = need("typst", "pdf", "a PDF report")
    template = files("methodpick.formats").joinpath("templates", "report.typ").read_bytes()
    report = json.dumps(asdict(make_report(plan, units, reader_doubts, takeoff)), ensure_ascii=False)
    return bytes(typst.compile(template, format="pdf", sys_inputs={"report": report}, timestamp=0))
