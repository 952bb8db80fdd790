"""``methodpick report``: the report of a site as HTML or PDF, or the draft of its installation plan as Markdown."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from methodpick.cli.plan import Units, about, with_shaft
from methodpick.errors import InputError, Problem

if TYPE_CHECKING:
    from methodpick.site.result import Takeoff
    from methodpick.terms import UnitSystem

ENDINGS = (".html", ".htm", ".pdf", ".md")


def report(
    file: Annotated[Path, typer.Argument(help="A site file (YAML) or an AGS4 log (.ags).")],
    output: Annotated[Path, typer.Option("--output", "-o", help="The file to write: .html, .pdf, or .md for the installation plan.")],
    shaft: Annotated[list[str] | None, typer.Option("--shaft", help="Report only this shaft; may be given again.")] = None,
    boring: Annotated[str | None, typer.Option("--boring", help="Report a shaft at this boring, without a shaft in the file.")] = None,
    diameter: Annotated[str | None, typer.Option("--diameter", help="Its diameter, for example 1200mm or 48in.")] = None,
    tip: Annotated[str | None, typer.Option("--tip", help="Its tip below the ground, for example 25m or 80ft.")] = None,
    units: Annotated[Units | None, typer.Option("--units", help="Units of the report; else those of the file.")] = None,
    rules: Annotated[Path | None, typer.Option("--rules", help="A rulebook folder in place of the one that came along.")] = None,
    overlay: Annotated[list[Path] | None, typer.Option("--overlay", help="An overlay file on the rulebook.")] = None,
    agency: Annotated[str | None, typer.Option("--agency", help="The agency overlay; else the one that the file names.")] = None,
    no_assumptions: Annotated[bool, typer.Option("--no-assumptions", help="Take nothing as normal; only what the log says.")] = False,
) -> None:
    """Write the report of the shafts; an existing file is written anew."""
    from methodpick.cli.progress import shown
    from methodpick.cli.reading import read_any, rulebook, write
    from methodpick.site.planning import plan_site
    from methodpick.site.takeoff import take_off

    ending = output.suffix.lower()
    if ending not in ENDINGS:
        raise InputError(
            Problem(
                f"{output}: the ending '{ending}' is not known for a report",
                expected=".html, .pdf, or .md for the draft of the installation plan",
            )
        )
    read = read_any(file)
    site = with_shaft(read, boring, diameter, tip, "0m", None)
    book = rulebook(rules, agency or site.site.agency, overlay or [])
    with shown("planning the shafts") as tell:
        made = plan_site(site, book, path=file.name, digest=read.digest, shafts=shaft, assumptions=not no_assumptions, tell=tell)
    system: UnitSystem = "si" if (units.value if units else read.units) == "si" else "us"
    written = _written(take_off(site, made, book), ending, system, about(made.plan, read))
    write(output, written, force=True)
    typer.echo(f"{output}: written", err=True)


def _written(made: Takeoff, ending: str, units: UnitSystem, doubts: tuple[str, ...]) -> str | bytes:
    plan = made.site.plan
    if ending == ".md":
        from methodpick.document.installation_plan import installation_plan
        from methodpick.formats.markdown import document_markdown

        return document_markdown(installation_plan(plan), units)
    from methodpick.document.report import site_report

    document = site_report(plan, doubts, made)
    if ending == ".pdf":
        from methodpick.formats.pdf import document_pdf

        return document_pdf(document, units)
    from methodpick.formats.html import document_html

    return document_html(document, units)
