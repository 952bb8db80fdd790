"""``methodpick new``: a commented site file to start from, or tables to fill in."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from methodpick.cli.options import FileUnits, Force
from methodpick.cli.output import echo, write_new_file, write_new_files
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
    from methodpick.imports.site_forms import site_template

    if (file is None) == (tables is None):
        raise InputError(Problem("name a site file to write, or tables with --tables", hint="methodpick new site.yaml"))
    if tables is not None:
        _write_tables(tables, units, force=force)
    elif file is not None:
        text = site_template(units)
        if str(file) == "-":
            echo(text, nl=False)
            return
        write_new_file(file, text, force=force)
        echo(f"{file} written; change it to your site, then: methodpick plan {file}")


def _write_tables(target: Path, units: UnitSystem, *, force: bool) -> None:
    from methodpick.cli.written_files import make_folder
    from methodpick.formats.form_tables import form_csv, form_workbook
    from methodpick.imports.site_forms import table_form

    form = table_form(units)
    if target.suffix.lower() == ".xlsx":
        write_new_file(target, form_workbook(form), force=force)
        echo(f"{target} written; fill it in, then: methodpick check {target}")
        return
    if target.suffix:
        raise InputError(Problem(f"{target}: tables are written as a workbook (.xlsx) or into a folder"))
    files: dict[Path, str | bytes] = {target / f"{sheet.name}.csv": form_csv(sheet) for sheet in form}
    make_folder(target)
    write_new_files(files, force=force)
    echo(f"{target} written; fill the files in, then: methodpick check {target}")
