"""A whole site: the plan of 60 shafts, its takeoff and every sheet of it; the aim is 3 s on two cores."""

from io import StringIO

from rich.console import Console

from methodpick.formats.csv import table_csv
from methodpick.formats.html import report_html
from methodpick.formats.json import plan_json
from methodpick.formats.takeoff_csv import takeoff_csv
from methodpick.formats.takeoff_json import takeoff_json
from methodpick.formats.xlsx import workbook_xlsx
from methodpick.report.takeoff import render_takeoff
from methodpick.site.planning import plan_site
from methodpick.site.site_takeoff import take_off
from methodpick.tables.site_tables import make_tables


def test_plan_of_60_shafts(benchmark, site, book):
    made = site("viaduct")
    assert len(benchmark.pedantic(lambda: plan_site(made, book), rounds=3, warmup_rounds=1).plan.shafts) == 60


def test_takeoff_of_60_shafts(benchmark, site, book):
    made = site("viaduct")
    planned = plan_site(made, book)
    assert len(benchmark.pedantic(lambda: take_off(made, planned, book), rounds=3).shafts) == 60


def test_plan_takeoff_and_its_page_of_60_shafts(benchmark, site, book):
    made = site("viaduct")

    def whole():
        taken = take_off(made, plan_site(made, book), book)
        out = StringIO()
        render_takeoff(taken, Console(file=out, width=80))
        return out.getvalue() + takeoff_csv(taken) + takeoff_json(taken)

    assert benchmark.pedantic(whole, rounds=3)


def test_plan_and_all_sheets_of_60_shafts(benchmark, site, book):
    """The tables as CSV and as a workbook."""
    made = site("viaduct")

    def whole():
        tables = make_tables(take_off(made, plan_site(made, book), book))
        return [table_csv(one) for one in tables], workbook_xlsx(tables, "us", "viaduct")

    assert all(benchmark.pedantic(whole, rounds=3, warmup_rounds=1))


def test_plan_report_and_json_of_60_shafts_beside_them(benchmark, site, book):
    planned = plan_site(site("viaduct"), book).plan
    assert benchmark.pedantic(lambda: plan_json(planned) + report_html(planned), rounds=3)
