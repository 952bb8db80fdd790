"""Site files: ``methodpick new`` to start one, ``convert`` to make one of a log, ``schema`` to complete one in an editor."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from methodpick.cli.options import FileUnits, Force
from methodpick.cli.output import echo, echo_line, write_new_file, write_new_files
from methodpick.errors import InputError, Problem
from methodpick.imports.input_formats import AGS4, FORMATS, SITE_FILE, format_of, listed
from methodpick.terms import UnitSystem
from methodpick.unit_markup import how_many

if TYPE_CHECKING:
    from methodpick.blank_form import FormSheet
    from methodpick.ground.site import Site
    from methodpick.imports.input_formats import Imported

# ---- ``methodpick new``: a commented site file, or tables to fill in


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
    from methodpick.imports.site_forms import table_form

    if _write_form(target, table_form(units), force=force):
        echo(f"{target} written; fill it in, then: methodpick check {target}")
    else:
        echo(f"{target} written; fill the files in, then: methodpick check {target}")


def _write_form(target: Path, form: Sequence[FormSheet], *, force: bool) -> bool:
    """Write sheets as a workbook, or as CSV files into a folder; return whether it was a workbook."""
    from methodpick.cli.output import make_folder
    from methodpick.formats.csv import form_csv
    from methodpick.formats.xlsx import form_workbook

    if target.suffix.lower() == ".xlsx":
        write_new_file(target, form_workbook(form), force=force)
        return True
    if target.suffix:
        raise InputError(Problem(f"{target}: tables are written as a workbook (.xlsx) or into a folder"))
    files: dict[Path, str | bytes] = {target / f"{sheet.name}.csv": form_csv(sheet) for sheet in form}
    make_folder(target)
    write_new_files(files, force=force)
    return False


# ---- ``methodpick convert``: a boring log or tables become a site file, the borings of any file an AGS4 log


OTHERS = listed([known for known in FORMATS if known is not SITE_FILE])


Converted = Annotated[
    Path | None,
    typer.Option(
        "--output",
        "-o",
        help="The site file to write, an AGS4 log (.ags), a workbook (.xlsx), or a folder that is there for tables as CSV files; "
        "without it, or with -, a site file on standard output.",
    ),
]


def convert(
    file: Annotated[Path, typer.Argument(help=f"The file to convert, or - for standard input: {OTHERS}.")],
    output: Converted = None,
    units: Annotated[
        UnitSystem | None,
        typer.Option("--units", help="Units of the site file or of the tables; else those of tables or a site file, or si."),
    ] = None,
    force: Force = False,
) -> None:
    """Turn a log or tables into a site file, a site into tables or a log; what was understood and is doubtful goes to standard error."""
    from methodpick.cli.output import refuse_clashes
    from methodpick.imports.input_formats import TABLES

    refuse_clashes((output,), (file,))
    found = format_of(file)
    as_log = output is not None and output.suffix.lower() in AGS4.suffixes
    as_tables = output is not None and (output.suffix.lower() == ".xlsx" or output.is_dir())
    if found is SITE_FILE and not (as_log or as_tables):
        raise InputError(Problem(f"{file}: this is {found.name} already", expected=OTHERS))
    read = found.read(file)
    _print_what_was_read(read)
    if output is not None and as_log:
        _write_log(output, read.site, force=force)
        return
    system = units or (read.units if found in (TABLES, SITE_FILE) else "si")
    if output is not None and as_tables:
        _write_site_tables(output, read.site, system, force=force)
    else:
        _write_site_file(output, read.site, system, force=force)


def _print_what_was_read(read: Imported) -> None:
    """Print how headings were understood, how many rows were used, and what is doubtful."""
    from methodpick.cli.check import count_lines

    for line in (*read.understood, *count_lines(read), *(f"- {doubt.render()}" for doubt in read.doubts)):
        echo_line(line, err=True)


def _write_site_file(output: Path | None, site: Site, units: UnitSystem, *, force: bool) -> None:
    """Write a site file, or print it where no file is named."""
    from methodpick.formats.site_yaml import whole_site_yaml

    text = whole_site_yaml(site, units)
    if output is None or str(output) == "-":
        echo(text, nl=False)
        return
    write_new_file(output, text, force=force)
    shafts = f" and {how_many(len(site.shafts), 'shaft')}" if site.shafts else ""
    action = "read the doubts above" if shafts else "add the shafts and read the doubts above"
    echo(f"{output}: {how_many(len(site.borings), 'boring')}{shafts} written; {action}.", err=True)


def _write_log(output: Path, site: Site, *, force: bool) -> None:
    """Write the borings of a site as an AGS4 log, and say what of them has no place in it."""
    from methodpick.formats.log_ags4 import borings_ags4

    log = borings_ags4(site.borings)
    write_new_file(output, log.text, force=force)
    for dropped in log.dropped:
        echo_line(f"- left out, {dropped}", err=True)
    echo(f"{output}: {how_many(len(site.borings), 'boring')} written.", err=True)


def _write_site_tables(output: Path, site: Site, units: UnitSystem, *, force: bool) -> None:
    """Write a site as tables, and say what of it has no place in them."""
    from methodpick.formats.site_yaml import whole_site_yaml
    from methodpick.imports.filled_tables import filled_tables
    from methodpick.strict_yaml import read

    tables = filled_tables(read(whole_site_yaml(site, units)).value, units)
    _write_form(output, tables.sheets, force=force)
    for dropped in tables.dropped:
        echo_line(f"- left out, {dropped}", err=True)
    echo(f"{output}: {how_many(len(site.borings), 'boring')} and {how_many(len(site.shafts), 'shaft')} written.", err=True)


# ---- ``methodpick schema``: the JSON Schemas of the site file, of rule files and of overlays


Described = Literal["site", "rules", "overlay"]


def schema(kind: Annotated[Described, typer.Argument(help="Of the site file, of a rule file, or of an overlay.")] = "site") -> None:
    """Print a JSON Schema."""
    import json

    if kind == "site":
        from methodpick.imports.site_keys import site_schema

        found = site_schema()
    else:
        from methodpick.cli.options import load_rulebook
        from methodpick.engine.schema import overlay_schema, rules_schema

        found = (rules_schema if kind == "rules" else overlay_schema)(load_rulebook(None, "fhwa"))
    typer.echo(json.dumps(found, indent=1, ensure_ascii=False))
