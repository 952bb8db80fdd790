"""``methodpick takeoff``: quantities, casing strings, hours and cost of a site; ``methodpick sheets``: every sheet of it at once."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from methodpick.cli.options import File, ForceOverChanges, PageOptions, RulebookOptions, Shafts, with_records
from methodpick.cli.output import echo
from methodpick.errors import InputError, Problem

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from methodpick.site.result import Takeoff
    from methodpick.tables.cells import Worksheet
    from methodpick.terms import UnitSystem

# ---- ``methodpick takeoff``


@with_records
def takeoff(
    file: File,
    page: PageOptions,
    rulebook: RulebookOptions,
    shaft: Shafts = None,
    csv: Annotated[str | None, typer.Option("--csv", help="Write every line as CSV to this file, or - for standard output.")] = None,
    json: Annotated[str | None, typer.Option("--json", help="Write the takeoff as JSON to this file, or - for standard output.")] = None,
    force: ForceOverChanges = False,
) -> None:
    """Take off a site and print the sums, the strings, the hours and the cost; of shafts that are named, every line."""
    from methodpick.cli.options import plan_file
    from methodpick.cli.output import refuse_clashes, write_targets
    from methodpick.document.report import takeoff_page
    from methodpick.formats.csv import takeoff_csv
    from methodpick.formats.json import takeoff_json
    from methodpick.site.site_takeoff import take_off

    if csv == "-" and json == "-":
        raise InputError(Problem("CSV and JSON cannot both go to standard output", hint="name a file for one of them"))
    refuse_clashes((csv, json), (file, *(rulebook.overlay or ())))
    found = plan_file(file, rulebook, shafts=shaft)
    made = take_off(found.site, found.site_plan, found.rulebook)
    system = page.system(found.imported.units)
    texts = {} if csv is None else {csv: takeoff_csv(made, system)}
    if json is not None:
        texts[json] = takeoff_json(made)
    write_targets(texts, force=force)
    if "-" not in (csv, json):
        page.show(takeoff_page(made, lines=bool(shaft)), found.imported.units)


# ---- ``methodpick sheets``: as console tables, or into a folder as CSV, XLSX, HTML and JSON


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
    force: ForceOverChanges = False,
) -> None:
    """Make every sheet, in place of earlier ones that nobody changed; other files in the folder are left alone."""
    from methodpick.cli.options import plan_file
    from methodpick.cli.output import is_file
    from methodpick.document.record import marked_loosened
    from methodpick.site.site_takeoff import take_off
    from methodpick.tables.site_tables import make_tables, sheets_document

    if output is not None and is_file(output):
        raise InputError(Problem(f"{output}: this is a file", expected="a folder, there already or to be made"))
    found = plan_file(file, rulebook, shafts=shaft)
    system = page.system(found.imported.units)
    made = take_off(found.site, found.site_plan, found.rulebook)
    tables = make_tables(made, system, found.doubts)
    wanted = _wanted(tables, sheet or [])
    if output is None:
        page.show(marked_loosened(sheets_document(wanted), found.plan), found.imported.units)
    else:
        contents = _contents(tables, made, system, found.doubts, output)
        _write_folder(output, contents, file, force=force)


def _wanted(tables: Sequence[Worksheet], names: Sequence[str]) -> list[Worksheet]:
    from methodpick.errors import did_you_mean, no_such, one_of

    known = [table.name for table in tables]
    for name in names:
        if name not in known:
            raise InputError(Problem(no_such("sheet", name), expected=one_of(known), hint=did_you_mean(name, known)))
    return [table for table in tables if not names or table.name in names]


def _contents(
    tables: Sequence[Worksheet], made: Takeoff, units: UnitSystem, doubts: tuple[str, ...], folder: Path
) -> dict[str, str | bytes]:
    """Return the files of a folder by name; what needs a library that is not there is left out with a word on how to get it."""
    from methodpick.cli.output import is_file
    from methodpick.document.report import site_report
    from methodpick.formats.csv import sheet_csv
    from methodpick.formats.html import document_html
    from methodpick.formats.json import plan_json
    from methodpick.formats.xlsx import workbook_xlsx

    plan = made.site.plan
    contents: dict[str, str | bytes] = {f"{table.name}.csv": sheet_csv(table) for table in tables}
    contents["plan.json"] = plan_json(plan)
    extras: tuple[tuple[str, Callable[[], str | bytes]], ...] = (
        ("workbook.xlsx", lambda: workbook_xlsx(tables, units, plan.site_name or plan.input.path)),
        ("report.html", lambda: document_html(site_report(plan, doubts, made), units)),
    )
    for name, make in extras:
        try:
            contents[name] = make()
        except InputError as error:
            older = " The one that is there is of an earlier run." if is_file(folder / name) else ""
            echo(f"{name} is left out.{older} {error.render()}", err=True)
    return contents


def _write_folder(folder: Path, contents: Mapping[str, str | bytes], file: Path, *, force: bool) -> None:
    """Write all files of a folder and say which."""
    from methodpick.cli.output import make_folder, refuse_clashes, write_files
    from methodpick.document.record import CLOSING

    refuse_clashes((folder / name for name in contents), (file,))
    make_folder(folder)
    write_files({folder / name: content for name, content in contents.items()}, force=force)
    echo(f"{folder}: {', '.join(contents)}")
    echo(CLOSING)
