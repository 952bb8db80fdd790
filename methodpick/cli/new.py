"""``methodpick new``: a commented site file to start from."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from methodpick.cli.options import FileUnits, Force
from methodpick.cli.output import echo, write_new_file


def new(
    file: Annotated[Path, typer.Argument(help="The site file to write, or - for standard output.")],
    units: FileUnits = "us",
    force: Force = False,
) -> None:
    """Write a commented site file."""
    from methodpick.imports.site_template import site_template

    text = site_template(units)
    if str(file) == "-":
        echo(text, nl=False)
        return
    write_new_file(file, text, force=force)
    echo(f"{file} written; change it to your site, then: methodpick plan {file}")
