"""``methodpick new``: a commented site file to start from."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from methodpick.errors import InputError, Problem


def new(
    file: Annotated[Path, typer.Argument(help="The site file to write, or - for standard output.")],
    units: Annotated[str, typer.Option("--units", help="Units of the file: us or si.")] = "us",
    force: Annotated[bool, typer.Option("--force", help="Overwrite an existing file.")] = False,
) -> None:
    """Write a commented site file."""
    from methodpick.cli.reading import write
    from methodpick.imports.site_template import starter

    if units not in {"si", "us"}:
        raise InputError(Problem(f"--units {units} is not known", expected="us or si"))
    text = starter("us" if units == "us" else "si")
    if str(file) == "-":
        typer.echo(text, nl=False)
        return
    write(file, text, force=force)
    typer.echo(f"{file} written; change it to your site, then: methodpick plan {file}")
