"""``methodpick new``: a commented site file to start from, or tables to fill in."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from methodpick.cli.options import FileUnits, Force
from methodpick.errors import InputError, Problem
from methodpick.terms import UnitSystem


def new(
    file: Annotated[Path | None, typer.Argument(help="The site file to write, or - for standard output.")] = None,
    tables: Annotated[
        Path | None, typer.Option("--tables", help="Write tables to fill in instead: a workbook (.xlsx), or a folder of CSV files.")
    ] = None,
    units: FileUnits = "us",
    force: Force = False,
) -> None:
    """Write a commented site file, or tables to fill in."""
    from methodpick.cli.output import write_file
    from methodpick.imports.site_template import site_template

    if (file is None) == (tables is None):
        raise InputError(Problem("name a site file to write, or tables with --tables", hint="methodpick new site.yaml"))
    if tables is not None:
        _write_tables(tables, units, force=force)
    elif file is not None:
        text = site_template(units)
        if str(file) == "-":
            typer.echo(text, nl=False)
        else:
            write_file(file, text, overwrite=force)


def _write_tables(target: Path, units: UnitSystem, *, force: bool) -> None:
    from methodpick.cli.output import make_folder, refuse_existing, write_file
    from methodpick.formats.form_tables import form_csv, form_workbook
    from methodpick.imports.table_form import table_form

    form = table_form(units)
    if target.suffix.lower() == ".xlsx":
        write_file(target, form_workbook(form), overwrite=force)
        return
    if target.suffix:
        raise InputError(Problem(f"{target}: tables are written as a workbook (.xlsx) or into a folder"))
    files = {target / f"{sheet.name}.csv": form_csv(sheet) for sheet in form}
    if not force:
        refuse_existing(files)
    make_folder(target)
    for path, text in files.items():
        write_file(path, text, overwrite=force)
