"""``methodpick takeoff``: quantities, casing strings, hours and cost of a site."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from methodpick.cli.plan import Units, page_console
from methodpick.errors import InputError, Problem

if TYPE_CHECKING:
    from methodpick.terms import UnitSystem


def takeoff(
    file: Annotated[Path, typer.Argument(help="A site file (YAML).")],
    shaft: Annotated[list[str] | None, typer.Option("--shaft", help="Only this shaft, with all its lines; may be given again.")] = None,
    csv: Annotated[str | None, typer.Option("--csv", help="Write every line as CSV to this file, or - for standard output.")] = None,
    json: Annotated[str | None, typer.Option("--json", help="Write the takeoff as JSON to this file, or - for standard output.")] = None,
    units: Annotated[Units | None, typer.Option("--units", help="Units of page and CSV; else those of the file.")] = None,
    width: Annotated[int | None, typer.Option("--width", min=60, max=240, help="Width of the page in characters.")] = None,
    color: Annotated[bool | None, typer.Option("--color/--no-color", help="Colour, or none; else as the terminal can.")] = None,
    rules: Annotated[Path | None, typer.Option("--rules", help="A rulebook folder in place of the one that came along.")] = None,
    overlay: Annotated[list[Path] | None, typer.Option("--overlay", help="An overlay file on the rulebook.")] = None,
    agency: Annotated[str | None, typer.Option("--agency", help="The agency overlay; else the one that the file names.")] = None,
    no_assumptions: Annotated[bool, typer.Option("--no-assumptions", help="Take nothing as normal; only what the log says.")] = False,
) -> None:
    """Take off a site and print the sums, the strings, the hours and the cost."""
    from methodpick.cli.progress import shown
    from methodpick.cli.reading import read_any, rulebook, write
    from methodpick.document.report import takeoff_page
    from methodpick.formats.console import print_document
    from methodpick.formats.csv import takeoff_csv
    from methodpick.formats.json import takeoff_json
    from methodpick.site.planning import plan_site
    from methodpick.site.takeoff import take_off

    if csv == "-" and json == "-":
        raise InputError(Problem("CSV and JSON cannot both go to standard output", hint="name a file for one of them"))
    read = read_any(file)
    book = rulebook(rules, agency or read.site.site.agency, overlay or [])
    with shown("planning the shafts") as tell:
        planned = plan_site(read.site, book, path=file.name, digest=read.digest, shafts=shaft, assumptions=not no_assumptions, tell=tell)
    made = take_off(read.site, planned, book)
    system: UnitSystem = "us" if (units.value if units else read.units) == "us" else "si"
    for target, text in ((csv, takeoff_csv(made, system) if csv else ""), (json, takeoff_json(made) if json else "")):
        if target == "-":
            sys.stdout.write(text)
        elif target is not None:
            write(Path(target), text, force=True)
    if "-" not in (csv, json):
        print_document(takeoff_page(made, lines=bool(shaft)), page_console(width, color), system)
