"""The report as one HTML file: pictures and style inside, nothing asked of a network, ready to print on A4 and letter."""

from __future__ import annotations

from methodpick.document.report import make_report
from methodpick.formats.extras import need
from methodpick.plan.result import Plan
from methodpick.site.result import Takeoff
from methodpick.unit_markup import System


def report_html(plan: Plan, units: System | None = None, reader_doubts: tuple[str, ...] = (), takeoff: Takeoff | None = None) -> str:
    """Write the report of a plan in the reader's units. Raises InputError without the extra ``html``.

    Every word of the input is escaped by the template; the pictures escape their own.
    """
    jinja = need("jinja2", "html", "an HTML report")
    world = jinja.Environment(
        loader=jinja.PackageLoader("methodpick.formats", "templates"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=jinja.StrictUndefined,
        keep_trailing_newline=True,
    )
    return str(world.get_template("report.html").render(report=make_report(plan, units, reader_doubts, takeoff)))
