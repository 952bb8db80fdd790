"""``methodpick convert``: an AGS4 log becomes a site file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from methodpick.errors import InputError, Problem


def convert(
    file: Annotated[Path, typer.Argument(help="An AGS4 log (.ags).")],
    output: Annotated[Path | None, typer.Option("--output", "-o", help="The site file to write; else standard output.")] = None,
    units: Annotated[str, typer.Option("--units", help="Units of the site file: si or us.")] = "si",
    force: Annotated[bool, typer.Option("--force", help="Overwrite an existing file.")] = False,
) -> None:
    """Turn an AGS4 log into a site file; what the reader doubts goes to standard error."""
    from methodpick.cli.reading import is_ags, write
    from methodpick.formats.site_yaml import site_yaml
    from methodpick.imports.ags4_profile import read_ags4

    if units not in {"si", "us"}:
        raise InputError(Problem(f"--units {units} is not known", expected="si or us"))
    if not is_ags(file):
        raise InputError(Problem(f"{file}: only AGS4 logs are converted", expected="a file that ends in .ags"))
    found = read_ags4(file, file.name)
    text = site_yaml(found.profiles, (), "us" if units == "us" else "si", file.stem)
    for doubt in found.doubts:
        typer.echo(f"- {doubt.render()}", err=True)
    if output is None:
        typer.echo(text, nl=False)
    else:
        write(output, text, force=force)
        typer.echo(f"{output}: {len(found.profiles)} borings written; add the shafts and read the doubts above.", err=True)
