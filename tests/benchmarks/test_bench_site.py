"""A whole site: the plan of 60 shafts, its takeoff and every sheet of it; the aim is 3 s on two cores."""

from io import StringIO

from rich.console import Console

from methodpick.document.report import site_report, takeoff_page
from methodpick.formats.console import print_document
from methodpick.formats.json import plan_json, takeoff_json
from methodpick.formats.report import document_html
from methodpick.formats.sheets import sheet_csv, takeoff_csv, workbook_xlsx
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
        print_document(takeoff_page(taken), Console(file=out, width=80), "us")
        return out.getvalue() + takeoff_csv(taken) + takeoff_json(taken)

    assert benchmark.pedantic(whole, rounds=3)


def test_plan_and_all_sheets_of_60_shafts(benchmark, site, book):
    """The tables as CSV and as a workbook."""
    made = site("viaduct")

    def whole():
        tables = make_tables(take_off(made, plan_site(made, book), book))
        return [sheet_csv(one) for one in tables], workbook_xlsx(tables, "us", "viaduct")

    assert all(benchmark.pedantic(whole, rounds=3, warmup_rounds=1))


def test_plan_report_and_json_of_60_shafts_beside_them(benchmark, site, book):
    planned = plan_site(site("viaduct"), book).plan
    assert benchmark.pedantic(lambda: plan_json(planned) + document_html(site_report(planned), "us"), rounds=3)
