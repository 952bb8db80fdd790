"""``methodpick check``: what is doubtful in a file."""

from __future__ import annotations

from methodpick.cli.options import File
from methodpick.cli.output import echo, echo_line


def check(file: File) -> None:
    """Read a file and print its doubts; exit 2 where it cannot be read."""
    from methodpick.ground.check import check as find
    from methodpick.imports.input_formats import read_file
    from methodpick.unit_markup import write_number

    read = read_file(file)
    units = read.units
    doubts = find(read.site, say_m=lambda value: write_number(value, "m", units), say_kpa=lambda value: write_number(value, "kPa", units))
    shafts = f", {len(read.site.shafts)} shafts" if read.site.shafts else ""
    echo_line(f"{file.name}: {len(read.site.borings)} borings{shafts}.")
    for of_reader in read.doubts:
        echo_line(f"- {of_reader.render()}")
    for doubt in doubts:
        echo_line(f"- {doubt.severity}: {doubt.where}: {doubt.message}" + (f"; {doubt.action}" if doubt.action else ""))
    if not doubts and not read.doubts:
        echo("Nothing is doubtful.")
