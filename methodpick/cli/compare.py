"""``methodpick compare``: the ways to build a site side by side, or two revisions of it and what changed because of which input."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from methodpick.cli.options import File, ForceOverChanges, PageOptions, RulebookOptions, ShaftAtBoring, Shafts, with_records
from methodpick.collector import collector_running
from methodpick.errors import InputError, Problem
from methodpick.input_files import STANDARD_INPUT
from methodpick.records import record

if TYPE_CHECKING:
    from methodpick.compare.result import ComparedRevisions, ComparedWays
    from methodpick.compare.revisions import Revision
    from methodpick.document.model import Document
    from methodpick.tables.cells import Worksheet
    from methodpick.terms import UnitSystem

OtherFile = Annotated[Path | None, typer.Argument(help="A later revision of the same site; without it the ways to build are compared.")]


AgainstRules = Annotated[Path | None, typer.Option("--against-rules", help="A rulebook folder for the second side of a comparison.")]
AgainstOverlays = Annotated[
    list[Path] | None, typer.Option("--against-overlay", metavar="<file>", help="An overlay file for the second side; may be given again.")
]
AgainstAgency = Annotated[str | None, typer.Option("--against-agency", help="The agency overlay for the second side.")]


@record
class SecondRulebook:
    """Which rulebook decides on the second side of a comparison, where it is another than on the first."""

    against_rules: AgainstRules = None
    against_overlay: AgainstOverlays = None
    against_agency: AgainstAgency = None

    @property
    def given(self) -> bool:
        """Return whether any of it is given."""
        return any(value is not None for value in (self.against_rules, self.against_overlay, self.against_agency))

    def after(self, first: RulebookOptions) -> RulebookOptions:
        """Return the options of the second side: what is not given for it is as on the first."""
        return replace(
            first,
            rules=self.against_rules or first.rules,
            overlay=self.against_overlay or first.overlay,
            agency=self.against_agency or first.agency,
        )


@with_records
def compare(
    file: File,
    at_boring: ShaftAtBoring,
    page: PageOptions,
    rulebook: RulebookOptions,
    second: SecondRulebook,
    other: OtherFile = None,
    shaft: Shafts = None,
    kinds: Annotated[bool, typer.Option("--kinds", help="Show each kind of shaft in every way to build it.")] = False,
    csv: Annotated[str | None, typer.Option("--csv", help="Write the ways or the changes as CSV to this file, or -.")] = None,
    json: Annotated[str | None, typer.Option("--json", help="Write the comparison as JSON to this file, or - for standard output.")] = None,
    output: Annotated[
        Path | None,
        typer.Option("--output", "-o", help="Write all sheets into this workbook (.xlsx), or to standard output where that is -."),
    ] = None,
    strict: Annotated[bool, typer.Option("--strict", help="Exit with 1 where a shaft is built otherwise in the second revision.")] = False,
    force: ForceOverChanges = False,
) -> None:
    """Print the ways to build a site side by side, or what changed between two revisions and because of which input."""
    from methodpick.cli.output import ending_of, refuse_clashes, refuse_two_on_output
    from methodpick.compare.result import ComparedRevisions

    refuse_two_on_output(csv, json, output)
    refuse_clashes((csv, json, output), (file, other, *(rulebook.overlay or ()), *(second.against_overlay or ())))
    if output is not None and ending_of(output, ".xlsx") != ".xlsx":
        raise InputError(Problem(f"{output}: a comparison is written as a workbook (.xlsx)", hint="--csv and --json write other files"))
    compared: ComparedWays | ComparedRevisions
    if other is None and not second.given:
        if strict:
            raise InputError(Problem("--strict asks whether a revision differs", hint="name a second file, or a second rulebook"))
        compared, units = _ways(file, at_boring, rulebook, shaft)
    else:
        if kinds:
            raise InputError(Problem("--kinds shows the ways to build one site", hint="leave it out: all that changed is shown"))
        compared, units = _revisions((file, rulebook), (other or file, second.after(rulebook)), at_boring, shaft)
    _write(compared, (csv, json, output), page.system(units), force=force)
    if "-" not in (csv, json, str(output)):
        page.show(_page(compared, kinds=kinds), units)
    if strict and isinstance(compared, ComparedRevisions) and compared.changes:
        raise typer.Exit(1)


def _write(
    compared: ComparedWays | ComparedRevisions, targets: tuple[str | None, str | None, Path | None], units: UnitSystem, *, force: bool
) -> None:
    """Write a comparison as CSV, JSON and a workbook, as far as they are asked for."""
    from methodpick.cli.output import write_files, write_targets
    from methodpick.formats.json import comparison_json

    csv, json, output = targets
    texts = {} if json is None else {json: comparison_json(compared)}
    if csv is not None:
        texts[csv] = _table(compared, units)
    if output is not None:
        write_files({output: _workbook(compared, units)}, force=force)
    write_targets(texts, force=force)


def _ways(file: Path, at_boring: ShaftAtBoring, options: RulebookOptions, shafts: list[str] | None) -> tuple[ComparedWays, UnitSystem]:
    """Read a site and plan it in every way; return it with the units of the file."""
    from methodpick.cli.options import input_stamp, rulebook_for, site_with_shaft
    from methodpick.cli.output import progress_bar
    from methodpick.compare.ways import compare_ways
    from methodpick.imports.input_formats import read_file

    read = read_file(file)
    site = site_with_shaft(read, at_boring)
    book = rulebook_for(file, site, options)
    with collector_running(), progress_bar("planning the other ways") as tell:
        assumed = not options.no_assumptions
        return compare_ways(site, book, stamp=input_stamp(file, read), shafts=shafts, assumptions=assumed, tell=tell), read.units


def _revisions(
    first: tuple[Path, RulebookOptions], second: tuple[Path, RulebookOptions], at_boring: ShaftAtBoring, shafts: list[str] | None
) -> tuple[ComparedRevisions, UnitSystem]:
    """Read two revisions, or one site twice by two rulebooks, and compare them; return it with the units of the first."""
    from methodpick.cli.output import progress_bar
    from methodpick.compare.revisions import compare_revisions

    both = first[0] == STANDARD_INPUT == second[0]
    if both and first[1] == second[1]:
        raise InputError(Problem("both revisions cannot come by standard input", hint="give the other as a file"))
    before, units = _revision("before", *first, at_boring)
    after = _same_site(before, *second) if first[0] == second[0] else _revision("after", *second, at_boring)[0]
    with collector_running(), progress_bar("putting inputs back one by one") as tell:
        assumed = not first[1].no_assumptions
        return compare_revisions(before, after, shafts=shafts, assumptions=assumed, tell=tell), units


def _revision(name: str, file: Path, options: RulebookOptions, at_boring: ShaftAtBoring) -> tuple[Revision, UnitSystem]:
    from methodpick.cli.options import input_stamp, rulebook_for, site_with_shaft
    from methodpick.compare.inputs import PlanningInputs
    from methodpick.compare.revisions import Revision
    from methodpick.imports.input_formats import read_file

    read = read_file(file)
    site = site_with_shaft(read, at_boring)
    return Revision(name, PlanningInputs(site, rulebook_for(file, site, options)), input_stamp(file, read)), read.units


def _same_site(before: Revision, file: Path, options: RulebookOptions) -> Revision:
    """Return the same site by other rules; what came by standard input is not read again."""
    from methodpick.cli.options import rulebook_for
    from methodpick.compare.inputs import PlanningInputs
    from methodpick.compare.revisions import Revision

    site = before.inputs.site
    return Revision("after", PlanningInputs(site, rulebook_for(file, site, options)), before.stamp)


def _page(compared: ComparedWays | ComparedRevisions, *, kinds: bool) -> Document:
    from methodpick.compare.result import ComparedWays
    from methodpick.document.comparison import revisions_page, ways_page

    return ways_page(compared, kinds=kinds) if isinstance(compared, ComparedWays) else revisions_page(compared)


def _table(compared: ComparedWays | ComparedRevisions, units: UnitSystem) -> str:
    from methodpick.formats.sheets import sheet_csv

    return sheet_csv(_sheets(compared, units)[0])


def _workbook(compared: ComparedWays | ComparedRevisions, units: UnitSystem) -> bytes:
    from methodpick.formats.sheets import workbook_xlsx

    return workbook_xlsx(_sheets(compared, units), units, compared.plan.site_name or compared.plan.input.path)


def _sheets(compared: ComparedWays | ComparedRevisions, units: UnitSystem) -> list[Worksheet]:
    """Return the sheets of a comparison, with what makes the rulebook less careful over each."""
    from methodpick.document.record import loosened_lines
    from methodpick.tables.cells import SheetNumbers
    from methodpick.tables.comparison import comparison_sheets

    warnings = tuple(loosened_lines(compared.plan, units))
    return [replace(sheet, warnings=warnings) for sheet in comparison_sheets(compared, SheetNumbers(units))]
