"""``methodpick sheets``: every sheet of a site at once, as console tables or into a folder as CSV, XLSX, HTML and JSON."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from methodpick.cli.options import File, PageOptions, RulebookOptions, Shafts, with_records
from methodpick.errors import InputError, Problem

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from methodpick.report.sheets import PrintedSheet
    from methodpick.site.result import Takeoff
    from methodpick.tables.cells import Table
    from methodpick.unit_markup import System


@with_records
def sheets(
    file: File,
    page: PageOptions,
    rulebook: RulebookOptions,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="The folder to write into; without it the sheets are printed.")
    ] = None,
    sheet: Annotated[list[str] | None, typer.Option("--sheet", help="Print only this sheet; may be given again.")] = None,
    shaft: Shafts = None,
) -> None:
    """Make every sheet; files of the same names are written anew, others in the folder are left alone."""
    from methodpick.cli.planning import plan_file
    from methodpick.report.sheets import render_sheets
    from methodpick.site.site_takeoff import take_off
    from methodpick.tables.site_tables import make_tables

    if output is not None and output.exists() and not output.is_dir():
        raise InputError(Problem(f"{output}: this is a file", expected="a folder, there already or to be made"))
    found = plan_file(file, rulebook, shafts=shaft)
    system = page.system(found.imported.units)
    made = take_off(found.site, found.site_plan, found.rulebook)
    tables = make_tables(made, system, found.doubts)
    wanted = _wanted(tables, sheet or [])
    if output is None:
        render_sheets([_printed(table) for table in wanted], page.console(), system)
    else:
        _write_folder(output, tables, made, system, found.doubts)


def _wanted(tables: Sequence[Table], names: Sequence[str]) -> list[Table]:
    from methodpick.spelling import did_you_mean, no_such, one_of

    known = [table.name for table in tables]
    for name in names:
        if name not in known:
            raise InputError(Problem(no_such("sheet", name), expected=one_of(known), hint=did_you_mean(name, known)))
    return [table for table in tables if not names or table.name in names]


def _printed(table: Table) -> PrintedSheet:
    """Turn a sheet into words, without columns that only serve formulas or have no entry."""
    from methodpick.report.sheets import PrintedSheet
    from methodpick.tables.cells import Live, Number, plain

    kept = [index for index, column in enumerate(table.columns) if not column.live and any(plain(row[index]) for row in table.rows)]
    right = (place for place, index in enumerate(kept) if any(isinstance(row[index], (int, Number, Live)) for row in table.rows))
    return PrintedSheet(
        table.title,
        tuple(table.columns[index].head for index in kept),
        tuple(tuple(plain(row[index]) for index in kept) for row in table.rows),
        tuple(right),
        table.notes,
    )


def _write_folder(folder: Path, tables: Sequence[Table], made: Takeoff, units: System, doubts: tuple[str, ...]) -> None:
    """Write all files and say which; what needs a library that is not there is left out with a word on how to get it."""
    from methodpick.cli.output import write_file
    from methodpick.document.report import CLOSING
    from methodpick.formats.csv import table_csv
    from methodpick.formats.html import report_html
    from methodpick.formats.json import plan_json
    from methodpick.formats.xlsx import workbook_xlsx

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(Problem(f"{folder}: the folder cannot be made: {error.strerror}")) from None
    plan = made.site.plan
    for table in tables:
        write_file(folder / f"{table.name}.csv", table_csv(table))
    write_file(folder / "plan.json", plan_json(plan))
    written = [*(f"{table.name}.csv" for table in tables), "plan.json"]
    extras: tuple[tuple[str, Callable[[], str | bytes]], ...] = (
        ("workbook.xlsx", lambda: workbook_xlsx(tables, units, plan.site_name or plan.input.path)),
        ("report.html", lambda: report_html(plan, units, doubts, made)),
    )
    for name, make in extras:
        try:
            content = make()
        except InputError as error:
            older = " The one that is there is of an earlier run." if (folder / name).exists() else ""
            typer.echo(f"{name} is left out.{older} {error.render()}", err=True)
            continue
        write_file(folder / name, content)
        written.append(name)
    typer.echo(f"{folder}: {', '.join(written)}")
    typer.echo(CLOSING)
