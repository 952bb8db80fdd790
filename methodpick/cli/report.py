"""What is written of a planned site: ``methodpick report``, ``draw`` for one picture of a plan, ``takeoff``, and ``sheets``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from methodpick.cli.options import (
    File,
    ForceOverChanges,
    OneShaft,
    OutputUnits,
    PageOptions,
    RulebookOptions,
    ShaftAtBoring,
    Shafts,
    with_records,
)
from methodpick.cli.output import echo
from methodpick.cli.plan import PageReader
from methodpick.errors import InputError, Problem

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from methodpick.cli.options import PlannedFile
    from methodpick.document.model import Document, Figure
    from methodpick.site.result import Takeoff
    from methodpick.tables.cells import Worksheet
    from methodpick.terms import UnitSystem


# ---- ``methodpick report``: HTML, PDF, or Markdown


ENDINGS = (".html", ".htm", ".pdf", ".md")


@with_records
def report(
    file: File,
    output: Annotated[
        Path,
        typer.Option(
            "--output",
            "-o",
            help="The file to write: .html or .pdf; .md, without --for and --letter the installation plan; - prints the HTML.",
        ),
    ],
    at_boring: ShaftAtBoring,
    rulebook: RulebookOptions,
    shaft: Shafts = None,
    reader: Annotated[PageReader | None, typer.Option("--for", help="The pages of this reader in place of the owner's report.")] = None,
    full: Annotated[
        bool, typer.Option("--full", help="With the whole page of every kind of shaft as an appendix; of --for, all of its pages.")
    ] = False,
    letter: Annotated[bool, typer.Option("--letter", help="The letter of a bid in place of the owner's report.")] = False,
    units: OutputUnits = None,
    force: ForceOverChanges = False,
) -> None:
    """Write the report of the shafts, in place of an earlier one that nobody changed."""
    from methodpick.cli.options import plan_file
    from methodpick.cli.output import echo_written, refuse_clashes, write_files
    from methodpick.cli.plan import bid_letter_of, pages_for, refuse_two_pages

    refuse_two_pages(reader, full=full, letter=letter)
    ending = _ending_of_report(output)
    refuse_clashes((output,), (file, *(rulebook.overlay or ())))
    found = plan_file(file, rulebook, at_boring=at_boring, shafts=shaft)
    if letter:
        document = bid_letter_of(found.plan)
    elif reader is not None:
        document = pages_for(reader, found.plan, found, rulebook, full=full)
    else:
        document = _installation_plan(found) if ending == ".md" else _report(found, rulebook, full=full)
    write_files({output: _written(document, ending, units or found.imported.units)}, force=force)
    echo_written(output)


def _ending_of_report(output: Path) -> str:
    from methodpick.cli.output import ending_of

    ending = ending_of(output, ENDINGS[0])
    if ending not in ENDINGS:
        raise InputError(Problem(f"{output}: the ending '{ending}' is not known for a report", expected=".html, .pdf, or .md"))
    return ending


def _report(found: PlannedFile, rulebook: RulebookOptions, *, full: bool) -> Document:
    """Return the owner's report, or the whole one with its appendix."""
    from methodpick.cli.options import flips_of_kinds
    from methodpick.document.report import owner_report, site_report
    from methodpick.site.site_takeoff import take_off

    made = take_off(found.site, found.site_plan, found.rulebook)
    build = site_report if full else owner_report
    return build(made.site.plan, found.doubts, made, flips_of_kinds(found, rulebook))


def _installation_plan(found: PlannedFile) -> Document:
    from methodpick.document.installation_plan import installation_plan

    return installation_plan(found.plan)


def _written(document: Document, ending: str, units: UnitSystem) -> str | bytes:
    if ending == ".md":
        from methodpick.formats.report import document_markdown

        return document_markdown(document, units)
    if ending == ".pdf":
        from methodpick.formats.report import document_pdf

        return document_pdf(document, units)
    from methodpick.formats.report import document_html

    return document_html(document, units)


# ---- ``methodpick draw``: SVG or PNG


Picture = Literal["strip", "window", "volume", "section", "calendar"]
OF_SITE = ("section", "calendar")
"""Pictures of all shafts, unless one is named."""


@with_records
def draw(
    file: File,
    output: Annotated[Path, typer.Option("--output", "-o", help="The file to write: .svg or .png; - prints the SVG.")],
    at_boring: ShaftAtBoring,
    rulebook: RulebookOptions,
    what: Annotated[
        Picture, typer.Option("--what", help="Strip log, slurry window, depth-volume curve, site section or calendar.")
    ] = "strip",
    shaft: OneShaft = None,
    units: OutputUnits = None,
    force: ForceOverChanges = False,
) -> None:
    """Draw one picture, in place of an earlier one that nobody changed."""
    from methodpick.cli.options import plan_site_of, shaft_asked_for, site_with_shaft
    from methodpick.cli.output import echo_written, ending_of, refuse_clashes, write_files
    from methodpick.document.record import loosened_lines
    from methodpick.formats.report import figure_svg
    from methodpick.imports.input_formats import read_file

    ending = ending_of(output, ".svg")
    if ending not in {".svg", ".png"}:
        raise InputError(Problem(f"{output}: the ending '{ending}' is not known for a picture", expected=".svg or .png"))
    refuse_clashes((output,), (file, *(rulebook.overlay or ())))
    read = read_file(file)
    site = site_with_shaft(read, at_boring)
    all_shafts = what in OF_SITE and shaft is None
    found = plan_site_of(file, read, site, rulebook, None if all_shafts else [shaft_asked_for(site, shaft)])
    svg = figure_svg(_figure(found, what), units or read.units)
    content: str | bytes = svg
    if ending == ".png":
        from methodpick.formats.report import picture_png

        content = picture_png(svg)
    write_files({output: content}, force=force)
    echo_written(output)
    for line in loosened_lines(found.plan, units or read.units):
        echo(f"! {line}", err=True)


def _figure(found: PlannedFile, what: Picture) -> Figure:
    from methodpick.document.calendar import calendar_figure
    from methodpick.document.casings_and_concrete import volume_figure
    from methodpick.document.fluid import window_figure
    from methodpick.document.shaft import strip_figure
    from methodpick.document.site import section_figure
    from methodpick.site.site_takeoff import take_off

    shafts = found.plan.shafts
    if what == "volume" and not shafts[0].has_method:
        raise InputError(Problem(f"no way builds shaft {shafts[0].id}: there is no concrete to draw", hint="draw its strip"))
    if what == "section":
        return section_figure(shafts)
    if what == "calendar":
        return calendar_figure(take_off(found.site, found.site_plan, found.rulebook))
    return {"window": window_figure, "volume": volume_figure, "strip": strip_figure}[what](shafts[0])


# ---- ``methodpick takeoff``


@with_records
def takeoff(
    file: File,
    at_boring: ShaftAtBoring,
    page: PageOptions,
    rulebook: RulebookOptions,
    shaft: Shafts = None,
    csv: Annotated[str | None, typer.Option("--csv", help="Write every line as CSV to this file, or - for standard output.")] = None,
    json: Annotated[str | None, typer.Option("--json", help="Write the takeoff as JSON to this file, or - for standard output.")] = None,
    calendar: Annotated[
        bool, typer.Option("--calendar", help="Show when each shaft is built, with its rig and its casing strings.")
    ] = False,
    strict: Annotated[bool, typer.Option("--strict", help="Exit with 1 where plan --strict does, or a rate is missing.")] = False,
    force: ForceOverChanges = False,
) -> None:
    """Take off a site and print the sums, the strings, the hours, the calendar and the cost; of shafts that are named, every line."""
    from methodpick.cli.options import plan_file
    from methodpick.cli.output import refuse_clashes, refuse_two_on_output, write_targets
    from methodpick.cli.plan import stands_open
    from methodpick.document.report import takeoff_page
    from methodpick.formats.json import takeoff_json
    from methodpick.formats.sheets import takeoff_csv
    from methodpick.site.site_takeoff import take_off

    refuse_two_on_output(csv, json)
    refuse_clashes((csv, json), (file, *(rulebook.overlay or ())))
    found = plan_file(file, rulebook, at_boring=at_boring, shafts=shaft)
    made = take_off(found.site, found.site_plan, found.rulebook)
    system = page.system(found.imported.units)
    texts = {} if csv is None else {csv: takeoff_csv(made, system)}
    if json is not None:
        texts[json] = takeoff_json(made)
    write_targets(texts, force=force)
    if "-" not in (csv, json):
        page.show(takeoff_page(made, lines=bool(shaft), by_shaft=calendar), found.imported.units)
    if strict and (stands_open(found.plan) or made.cost is None or made.cost.unpriced):
        raise typer.Exit(1)


# ---- ``methodpick sheets``: as console tables, or into a folder as CSV, XLSX, HTML and JSON


@with_records
def sheets(
    file: File,
    at_boring: ShaftAtBoring,
    page: PageOptions,
    rulebook: RulebookOptions,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="The folder to write into; without it the sheets are printed.")
    ] = None,
    sheet: Annotated[list[str] | None, typer.Option("--sheet", metavar="<name>", help="Print only this sheet; may be given again.")] = None,
    shaft: Shafts = None,
    force: ForceOverChanges = False,
) -> None:
    """Make every sheet, in place of earlier ones that nobody changed; other files in the folder are left alone."""
    from methodpick.cli.options import plan_file
    from methodpick.cli.output import STANDARD_OUTPUT, is_file
    from methodpick.document.record import marked_loosened
    from methodpick.site.site_takeoff import take_off
    from methodpick.tables.site_tables import make_tables, sheets_document

    if output == STANDARD_OUTPUT:
        raise InputError(
            Problem("the sheets are several files and cannot go to standard output", hint="name a folder, or leave -o out to print them")
        )
    if output is not None and is_file(output):
        raise InputError(Problem(f"{output}: this is a file", expected="a folder, there already or to be made"))
    found = plan_file(file, rulebook, at_boring=at_boring, shafts=shaft)
    system = page.system(found.imported.units)
    made = take_off(found.site, found.site_plan, found.rulebook)
    tables = make_tables(made, system, found.doubts)
    wanted = _wanted(tables, sheet or [])
    if output is None:
        page.show(marked_loosened(sheets_document(wanted), found.plan), found.imported.units)
    else:
        contents = _contents(tables, made, system, found.doubts, output)
        _write_folder(output, contents, file, force=force)


def _wanted(tables: Sequence[Worksheet], names: Sequence[str]) -> list[Worksheet]:
    from methodpick.errors import did_you_mean, no_such, one_of

    known = [table.name for table in tables]
    for name in names:
        if name not in known:
            raise InputError(Problem(no_such("sheet", name), expected=one_of(known), hint=did_you_mean(name, known)))
    return [table for table in tables if not names or table.name in names]


def _contents(
    tables: Sequence[Worksheet], made: Takeoff, units: UnitSystem, doubts: tuple[str, ...], folder: Path
) -> dict[str, str | bytes]:
    """Return the files of a folder by name; what needs a library that is not there is left out with a word on how to get it."""
    from methodpick.cli.output import is_file
    from methodpick.document.report import site_report
    from methodpick.formats.json import plan_json
    from methodpick.formats.report import document_html
    from methodpick.formats.sheets import sheet_csv, workbook_xlsx

    plan = made.site.plan
    contents: dict[str, str | bytes] = {f"{table.name}.csv": sheet_csv(table) for table in tables}
    contents["plan.json"] = plan_json(plan)
    extras: tuple[tuple[str, Callable[[], str | bytes]], ...] = (
        ("workbook.xlsx", lambda: workbook_xlsx(tables, units, plan.site_name or plan.input.path)),
        ("report.html", lambda: document_html(site_report(plan, doubts, made), units)),
    )
    for name, make in extras:
        try:
            contents[name] = make()
        except InputError as error:
            older = " The one that is there is of an earlier run." if is_file(folder / name) else ""
            echo(f"{name} is left out.{older} {error.render()}", err=True)
    return contents


def _write_folder(folder: Path, contents: Mapping[str, str | bytes], file: Path, *, force: bool) -> None:
    """Write all files of a folder and say which."""
    from methodpick.cli.output import make_folder, refuse_clashes, write_files
    from methodpick.document.record import CLOSING

    refuse_clashes((folder / name for name in contents), (file,))
    make_folder(folder)
    write_files({folder / name: content for name, content in contents.items()}, force=force)
    echo(f"{folder}: {', '.join(contents)}")
    echo(CLOSING)
