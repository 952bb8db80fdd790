"""``methodpick draw``: one picture of a plan, as SVG or PNG."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from methodpick.cli.plan import Units, with_shaft
from methodpick.errors import InputError, Problem

if TYPE_CHECKING:
    from methodpick.document.model import Figure
    from methodpick.plan.result import ShaftPlan


class What(StrEnum):
    """The pictures."""

    STRIP = "strip"
    WINDOW = "window"
    VOLUME = "volume"
    SECTION = "section"


def draw(
    file: Annotated[Path, typer.Argument(help="A site file (YAML) or an AGS4 log (.ags).")],
    output: Annotated[Path, typer.Option("--output", "-o", help="The file to write: .svg or .png.")],
    what: Annotated[What, typer.Option("--what", help="Strip log, slurry window, depth-volume curve or site section.")] = What.STRIP,
    shaft: Annotated[str | None, typer.Option("--shaft", help="The shaft; it may be left out where the file has one.")] = None,
    boring: Annotated[str | None, typer.Option("--boring", help="Draw a shaft at this boring, without a shaft in the file.")] = None,
    diameter: Annotated[str | None, typer.Option("--diameter", help="Its diameter, for example 1200mm or 48in.")] = None,
    tip: Annotated[str | None, typer.Option("--tip", help="Its tip below the ground, for example 25m or 80ft.")] = None,
    units: Annotated[Units | None, typer.Option("--units", help="Units of the picture; else those of the file.")] = None,
    rules: Annotated[Path | None, typer.Option("--rules", help="A rulebook folder in place of the one that came along.")] = None,
    overlay: Annotated[list[Path] | None, typer.Option("--overlay", help="An overlay file on the rulebook.")] = None,
    agency: Annotated[str | None, typer.Option("--agency", help="The agency overlay; else the one that the file names.")] = None,
) -> None:
    """Draw one picture; an existing file is written anew."""
    from methodpick.cli.reading import read_any, rulebook, write
    from methodpick.formats.svg import figure_svg
    from methodpick.site.planning import plan_site

    ending = output.suffix.lower()
    if ending not in {".svg", ".png"}:
        raise InputError(Problem(f"{output}: the ending '{ending}' is not known for a picture", expected=".svg or .png"))
    read = read_any(file)
    site = with_shaft(read, boring, diameter, tip, "0m", None)
    names = [one.id for one in site.shafts]
    if shaft is None and len(names) > 1 and what is not What.SECTION:
        raise InputError(Problem("the file has several shafts; name one with --shaft", expected=f"one of {', '.join(names)}"))
    made = plan_site(
        site,
        rulebook(rules, agency or site.site.agency, overlay or []),
        path=file.name,
        digest=read.digest,
        shafts=None if shaft is None else [shaft],
    ).plan
    svg = figure_svg(_figure(made.shafts, what), "si" if (units.value if units else read.units) == "si" else "us")
    if ending == ".png":
        from methodpick.formats.png import picture_png

        write(output, picture_png(svg), force=True)
    else:
        write(output, svg, force=True)
    typer.echo(f"{output}: written", err=True)


def _figure(shafts: tuple[ShaftPlan, ...], what: What) -> Figure:
    from methodpick.document.concrete import volume_figure
    from methodpick.document.shaft import strip_figure
    from methodpick.document.site import section_figure
    from methodpick.document.window import window_figure

    if what is What.SECTION:
        return section_figure(shafts)
    return {What.WINDOW: window_figure, What.VOLUME: volume_figure, What.STRIP: strip_figure}[what](shafts[0])
