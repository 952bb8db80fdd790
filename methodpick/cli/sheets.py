"""``methodpick sheets``: every sheet of a site at once, as console tables or into a folder as CSV, XLSX, HTML and JSON."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from methodpick.cli.plan import Units, about, page_console
from methodpick.errors import InputError, Problem

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from methodpick.site.result import Takeoff
    from methodpick.tables.cells import Sheet
    from methodpick.terms import UnitSystem


def sheets(
    file: Annotated[Path, typer.Argument(help="A site file (YAML).")],
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="The folder to write into; without it the sheets are printed.")
    ] = None,
    sheet: Annotated[list[str] | None, typer.Option("--sheet", help="Print only this sheet; may be given again.")] = None,
    shaft: Annotated[list[str] | None, typer.Option("--shaft", help="Only this shaft; may be given again.")] = None,
    units: Annotated[Units | None, typer.Option("--units", help="Units of the sheets; else those of the file.")] = None,
    width: Annotated[int | None, typer.Option("--width", min=60, max=400, help="Width of the page in characters.")] = None,
    rules: Annotated[Path | None, typer.Option("--rules", help="A rulebook folder in place of the one that came along.")] = None,
    overlay: Annotated[list[Path] | None, typer.Option("--overlay", help="An overlay file on the rulebook.")] = None,
    agency: Annotated[str | None, typer.Option("--agency", help="The agency overlay; else the one that the file names.")] = None,
    no_assumptions: Annotated[bool, typer.Option("--no-assumptions", help="Take nothing as normal; only what the log says.")] = False,
) -> None:
    """Make every sheet; files of the same names are written anew, others in the folder are left alone."""
    from methodpick.cli.progress import shown
    from methodpick.cli.reading import read_any, rulebook
    from methodpick.site.planning import plan_site
    from methodpick.site.takeoff import take_off
    from methodpick.tables.site_tables import make_tables

    if output is not None and output.exists() and not output.is_dir():
        raise InputError(Problem(f"{output}: this is a file", expected="a folder, there already or to be made"))
    read = read_any(file)
    book = rulebook(rules, agency or read.site.site.agency, overlay or [])
    with shown("planning the shafts") as tell:
        planned = plan_site(read.site, book, path=file.name, digest=read.digest, shafts=shaft, assumptions=not no_assumptions, tell=tell)
    system: UnitSystem = "us" if (units.value if units else read.units) == "us" else "si"
    doubts = about(planned.plan, read)
    taken = take_off(read.site, planned, book)
    made = make_tables(taken, system, doubts)
    wanted = _wanted(made, sheet or [])
    if output is None:
        from methodpick.formats.console import print_document
        from methodpick.tables.site_tables import sheets_document

        print_document(sheets_document(wanted), page_console(width, None), system)
    else:
        _folder(output, made, taken, system, doubts)


def _wanted(made: Sequence[Sheet], names: Sequence[str]) -> list[Sheet]:
    from methodpick.spelling import did_you_mean

    known = [one.name for one in made]
    for name in names:
        if name not in known:
            raise InputError(Problem(f"there is no sheet '{name}'", expected=f"one of {', '.join(known)}", hint=did_you_mean(name, known)))
    return [one for one in made if not names or one.name in names]


def _folder(folder: Path, made: Sequence[Sheet], taken: Takeoff, units: UnitSystem, doubts: tuple[str, ...]) -> None:
    """Write all files and say which; what needs a library that is not there is left out with a word on how to get it."""
    from methodpick.cli.reading import write
    from methodpick.document.record import CLOSING
    from methodpick.document.report import site_report
    from methodpick.formats.csv import sheet_csv
    from methodpick.formats.html import document_html
    from methodpick.formats.json import plan_json
    from methodpick.formats.xlsx import workbook_xlsx

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(Problem(f"{folder}: the folder cannot be made: {error.strerror}")) from None
    plan = taken.site.plan
    for table in made:
        write(folder / f"{table.name}.csv", sheet_csv(table), force=True)
    write(folder / "plan.json", plan_json(plan), force=True)
    written = [*(f"{table.name}.csv" for table in made), "plan.json"]
    extras: tuple[tuple[str, Callable[[], str | bytes]], ...] = (
        ("workbook.xlsx", lambda: workbook_xlsx(made, units, plan.site_name or plan.input.path)),
        ("report.html", lambda: document_html(site_report(plan, doubts, taken), units)),
    )
    for name, make in extras:
        try:
            content = make()
        except InputError as error:
            older = " The one that is there is of an earlier run." if (folder / name).exists() else ""
            typer.echo(f"{name} is left out.{older} {error.render()}", err=True)
            continue
        write(folder / name, content, force=True)
        written.append(name)
    typer.echo(f"{folder}: {', '.join(written)}")
    typer.echo(CLOSING)
