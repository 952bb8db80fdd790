"""``methodpick draw``: one picture of a plan, as SVG or PNG."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from methodpick.cli.options import File, ForceOverChanges, OneShaft, OutputUnits, RulebookOptions, ShaftAtBoring, with_records
from methodpick.cli.output import echo
from methodpick.errors import InputError, Problem

if TYPE_CHECKING:
    from methodpick.document.model import Figure
    from methodpick.plan.result import ShaftPlan


Picture = Literal["strip", "window", "volume", "section"]


@with_records
def draw(
    file: File,
    output: Annotated[Path, typer.Option("--output", "-o", help="The file to write: .svg or .png.")],
    at_boring: ShaftAtBoring,
    rulebook: RulebookOptions,
    what: Annotated[Picture, typer.Option("--what", help="Strip log, slurry window, depth-volume curve or site section.")] = "strip",
    shaft: OneShaft = None,
    units: OutputUnits = None,
    force: ForceOverChanges = False,
) -> None:
    """Draw one picture, in place of an earlier one that nobody changed."""
    from methodpick.cli.planning import plan_site_of, shaft_asked_for, site_with_shaft
    from methodpick.cli.written_files import refuse_clashes, write_files
    from methodpick.document.record import loosened_lines
    from methodpick.formats.svg import figure_svg
    from methodpick.imports.input_formats import read_file

    ending = output.suffix.lower()
    if ending not in {".svg", ".png"}:
        raise InputError(Problem(f"{output}: the ending '{ending}' is not known for a picture", expected=".svg or .png"))
    refuse_clashes((output,), (file, *(rulebook.overlay or ())))
    read = read_file(file)
    site = site_with_shaft(read, at_boring)
    all_shafts = what == "section" and shaft is None
    found = plan_site_of(file, read, site, rulebook, None if all_shafts else [shaft_asked_for(site, shaft)])
    svg = figure_svg(_figure(found.plan.shafts, what), units or read.units)
    content: str | bytes = svg
    if ending == ".png":
        from methodpick.formats.png import picture_png

        content = picture_png(svg)
    write_files({output: content}, force=force)
    echo(f"{output}: written", err=True)
    for line in loosened_lines(found.plan, units or read.units):
        echo(f"! {line}", err=True)


def _figure(shafts: tuple[ShaftPlan, ...], what: Picture) -> Figure:
    from methodpick.document.casings_and_concrete import volume_figure
    from methodpick.document.fluid import window_figure
    from methodpick.document.shaft import strip_figure
    from methodpick.document.site import section_figure

    if what == "section":
        return section_figure(shafts)
    return {"window": window_figure, "volume": volume_figure, "strip": strip_figure}[what](shafts[0])
