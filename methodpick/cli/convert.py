"""``methodpick convert``: a boring log of another format becomes a site file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from methodpick.cli.options import FileUnits, Force
from methodpick.cli.output import echo, echo_line, write_new_file
from methodpick.errors import InputError, Problem
from methodpick.imports.input_formats import FORMATS, SITE_FILE, format_of, listed

OTHERS = listed([known for known in FORMATS if known is not SITE_FILE])


def convert(
    file: Annotated[Path, typer.Argument(help=f"The file to convert: {OTHERS}.")],
    output: Annotated[Path | None, typer.Option("--output", "-o", help="The site file to write; else, or with -, standard output.")] = None,
    units: FileUnits = "si",
    force: Force = False,
) -> None:
    """Turn a log into a site file; what the reader doubts goes to standard error."""
    from methodpick.cli.written_files import refuse_clashes
    from methodpick.formats.site_yaml import site_yaml

    refuse_clashes((output,), (file,))
    found = format_of(file)
    if found is SITE_FILE:
        raise InputError(Problem(f"{file}: this is {found.name} already", expected=OTHERS))
    read = found.read(file)
    text = site_yaml(read.site.borings, (), units, file.stem)
    for doubt in read.doubts:
        echo_line(f"- {doubt.render()}", err=True)
    if output is None or str(output) == "-":
        echo(text, nl=False)
    else:
        write_new_file(output, text, force=force)
        echo(f"{output}: {len(read.site.borings)} borings written; add the shafts and read the doubts above.", err=True)
