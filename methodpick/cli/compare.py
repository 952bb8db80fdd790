"""``methodpick compare``: the ways to build a site side by side, or two revisions of it and what changed because of which input."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from methodpick.cli.options import File, ForceOverChanges, PageOptions, RulebookOptions, ShaftAtBoring, Shafts, with_records

if TYPE_CHECKING:
    from methodpick.compare.result import ComparedWays
    from methodpick.terms import UnitSystem


@with_records
def compare(
    file: File,
    at_boring: ShaftAtBoring,
    page: PageOptions,
    rulebook: RulebookOptions,
    shaft: Shafts = None,
    kinds: Annotated[bool, typer.Option("--kinds", help="Show each kind of shaft as well.")] = False,
    csv: Annotated[str | None, typer.Option("--csv", help="Write the ways as CSV to this file, or - for standard output.")] = None,
    json: Annotated[str | None, typer.Option("--json", help="Write the comparison as JSON to this file, or - for standard output.")] = None,
    force: ForceOverChanges = False,
) -> None:
    """Print the ways to build a site side by side: the plan, a cautious one, with less plant, of other families."""
    from methodpick.cli.output import refuse_clashes, refuse_two_on_output, write_targets
    from methodpick.document.comparison import ways_page
    from methodpick.formats.json import comparison_json

    refuse_two_on_output(csv, json)
    refuse_clashes((csv, json), (file, *(rulebook.overlay or ())))
    compared, units = _ways(file, at_boring, rulebook, shaft)
    texts = {} if json is None else {json: comparison_json(compared)}
    if csv is not None:
        texts[csv] = _ways_csv(compared, page.system(units))
    write_targets(texts, force=force)
    if "-" not in (csv, json):
        page.show(ways_page(compared, kinds=kinds), units)


def _ways(file: Path, at_boring: ShaftAtBoring, options: RulebookOptions, shafts: list[str] | None) -> tuple[ComparedWays, UnitSystem]:
    """Read a site and plan it in every way; return it with the units of the file."""
    from methodpick.cli.options import input_stamp, rulebook_for, site_with_shaft
    from methodpick.cli.output import progress_bar
    from methodpick.compare.ways import compare_ways
    from methodpick.imports.input_formats import read_file

    read = read_file(file)
    site = site_with_shaft(read, at_boring)
    book = rulebook_for(file, site, options)
    with progress_bar("planning the other ways") as tell:
        assumed = not options.no_assumptions
        return compare_ways(site, book, stamp=input_stamp(file, read), shafts=shafts, assumptions=assumed, tell=tell), read.units


def _ways_csv(compared: ComparedWays, units: UnitSystem) -> str:
    from dataclasses import replace

    from methodpick.document.record import loosened_lines
    from methodpick.formats.csv import sheet_csv
    from methodpick.tables.cells import SheetNumbers
    from methodpick.tables.comparison import ways_table

    sheet = ways_table(compared, SheetNumbers(units))
    return sheet_csv(replace(sheet, warnings=tuple(loosened_lines(compared.plan, units))))
