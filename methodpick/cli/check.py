"""``methodpick check``: what is doubtful in a file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def check(file: Annotated[Path, typer.Argument(help="A site file (YAML) or an AGS4 log (.ags).")]) -> None:
    """Read a file and print its doubts; exit 2 where it cannot be read."""
    from methodpick.cli.reading import read_any
    from methodpick.ground.check import check as find
    from methodpick.unit_markup import write_number

    read = read_any(file)
    units = read.units
    doubts = find(read.site, say_m=lambda value: write_number(value, "m", units), say_kpa=lambda value: write_number(value, "kPa", units))
    shafts = f", {len(read.site.shafts)} shafts" if read.site.shafts else ""
    typer.echo(f"{file.name}: {len(read.site.borings)} borings{shafts}.")
    for _, text in read.doubts:
        typer.echo(f"- {text}")
    for doubt in doubts:
        typer.echo(f"- {doubt.severity}: {doubt.where}: {doubt.message}" + (f" {doubt.action}" if doubt.action else ""))
    if not doubts and not read.doubts:
        typer.echo("Nothing is doubtful.")
