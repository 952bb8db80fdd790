"""``methodpick report``: the report of a site, or the draft of its installation plan; ``methodpick draw``: one picture of a plan."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from methodpick.cli.options import File, ForceOverChanges, OneShaft, OutputUnits, RulebookOptions, ShaftAtBoring, Shafts, with_records
from methodpick.cli.output import echo
from methodpick.errors import InputError, Problem

if TYPE_CHECKING:
    from methodpick.document.model import Document, Figure
    from methodpick.plan.result import Plan, ShaftPlan
    from methodpick.terms import UnitSystem

# ---- ``methodpick report``: HTML, PDF, or Markdown


ENDINGS = (".html", ".htm", ".pdf", ".md")


@with_records
def report(
    file: File,
    output: Annotated[Path, typer.Option("--output", "-o", help="The file to write: .html, .pdf, or .md for the installation plan.")],
    at_boring: ShaftAtBoring,
    rulebook: RulebookOptions,
    shaft: Shafts = None,
    full: Annotated[bool, typer.Option("--full", help="With the whole page of every kind of shaft as an appendix.")] = False,
    units: OutputUnits = None,
    force: ForceOverChanges = False,
) -> None:
    """Write the report of the shafts, in place of an earlier one that nobody changed."""
    from methodpick.cli.options import flips_of_kinds, plan_file
    from methodpick.cli.output import refuse_clashes, write_files
    from methodpick.document.report import owner_report, site_report
    from methodpick.site.site_takeoff import take_off

    ending = output.suffix.lower()
    if ending not in ENDINGS:
        raise InputError(
            Problem(
                f"{output}: the ending '{ending}' is not known for a report",
                expected=".html, .pdf, or .md for the draft of the installation plan",
            )
        )
    refuse_clashes((output,), (file, *(rulebook.overlay or ())))
    found = plan_file(file, rulebook, at_boring=at_boring, shafts=shaft)
    made = take_off(found.site, found.site_plan, found.rulebook)
    units = units or found.imported.units
    if ending == ".md":
        content: str | bytes = _installation_plan(made.site.plan, units)
    else:
        build = site_report if full else owner_report
        content = _written(build(made.site.plan, found.doubts, made, flips_of_kinds(found, rulebook)), ending, units)
    write_files({output: content}, force=force)
    echo(f"{output}: written", err=True)


def _installation_plan(plan: Plan, units: UnitSystem) -> str:
    from methodpick.document.installation_plan import installation_plan
    from methodpick.formats.markdown import document_markdown

    return document_markdown(installation_plan(plan), units)


def _written(document: Document, ending: str, units: UnitSystem) -> str | bytes:
    if ending == ".pdf":
        from methodpick.formats.pdf import document_pdf

        return document_pdf(document, units)
    from methodpick.formats.html import document_html

    return document_html(document, units)


# ---- ``methodpick draw``: SVG or PNG


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
    from methodpick.cli.options import plan_site_of, shaft_asked_for, site_with_shaft
    from methodpick.cli.output import refuse_clashes, write_files
    from methodpick.document.record import loosened_lines
    from methodpick.formats.pictures import figure_svg
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
        from methodpick.formats.pictures import picture_png

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
