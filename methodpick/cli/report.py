"""``methodpick report``: the report of a site as HTML or PDF, or the draft of its installation plan as Markdown."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from methodpick.cli.options import File, ForceOverChanges, OutputUnits, RulebookOptions, ShaftAtBoring, Shafts, with_records
from methodpick.cli.output import echo
from methodpick.errors import InputError, Problem

if TYPE_CHECKING:
    from methodpick.site.result import Takeoff
    from methodpick.terms import UnitSystem

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
    from methodpick.cli.planning import plan_file
    from methodpick.cli.written_files import refuse_clashes, write_files
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
    write_files({output: _written(made, ending, units or found.imported.units, found.doubts, full=full)}, force=force)
    echo(f"{output}: written", err=True)


def _written(made: Takeoff, ending: str, units: UnitSystem, doubts: tuple[str, ...], *, full: bool) -> str | bytes:
    plan = made.site.plan
    if ending == ".md":
        from methodpick.document.installation_plan import installation_plan
        from methodpick.formats.markdown import document_markdown

        return document_markdown(installation_plan(plan), units)
    from methodpick.document.report import owner_report, site_report

    document = (site_report if full else owner_report)(plan, doubts, made)
    if ending == ".pdf":
        from methodpick.formats.pdf import document_pdf

        return document_pdf(document, units)
    from methodpick.formats.html import document_html

    return document_html(document, units)
