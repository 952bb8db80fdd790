"""``methodpick draw``: one picture of a plan, as SVG or PNG."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from methodpick.cli.options import File, OneShaft, OutputUnits, RulebookOptions, ShaftAtBoring, with_records
from methodpick.errors import InputError, Problem

if TYPE_CHECKING:
    from methodpick.plan.result import ShaftPlan
    from methodpick.unit_markup import System


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
) -> None:
    """Draw one picture; an existing file is written anew."""
    from methodpick.cli.output import write_file
    from methodpick.cli.planning import plan_site_of, shaft_asked_for, site_with_shaft
    from methodpick.imports.input_formats import read_file

    ending = output.suffix.lower()
    if ending not in {".svg", ".png"}:
        raise InputError(Problem(f"{output}: the ending '{ending}' is not known for a picture", expected=".svg or .png"))
    read = read_file(file)
    site = site_with_shaft(read, at_boring)
    all_shafts = what == "section" and shaft is None
    found = plan_site_of(file, read, site, rulebook, None if all_shafts else [shaft_asked_for(site, shaft)])
    svg = _picture(found.plan.shafts, what, units or read.units)
    if ending == ".png":
        from methodpick.formats.png import picture_png

        write_file(output, picture_png(svg))
    else:
        write_file(output, svg)
    typer.echo(f"{output}: written", err=True)


def _picture(shafts: tuple[ShaftPlan, ...], what: Picture, units: System) -> str:
    if what == "section":
        from methodpick.drawings.site_section import draw_section

        return draw_section(shafts, units)
    if what == "window":
        from methodpick.drawings.window_chart import draw_window

        return draw_window(shafts[0], units)
    if what == "volume":
        from methodpick.drawings.volume_curve import draw_volume

        return draw_volume(shafts[0], units)
    from methodpick.drawings.strip_log import draw_strip

    return draw_strip(shafts[0], units)
