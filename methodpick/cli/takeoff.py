"""``methodpick takeoff``: quantities, casing strings, hours and cost of a site."""

from __future__ import annotations

from typing import Annotated

import typer

from methodpick.cli.options import File, ForceOverChanges, PageOptions, RulebookOptions, Shafts, with_records
from methodpick.errors import InputError, Problem


@with_records
def takeoff(
    file: File,
    page: PageOptions,
    rulebook: RulebookOptions,
    shaft: Shafts = None,
    csv: Annotated[str | None, typer.Option("--csv", help="Write every line as CSV to this file, or - for standard output.")] = None,
    json: Annotated[str | None, typer.Option("--json", help="Write the takeoff as JSON to this file, or - for standard output.")] = None,
    force: ForceOverChanges = False,
) -> None:
    """Take off a site and print the sums, the strings, the hours and the cost; of shafts that are named, every line."""
    from methodpick.cli.output import write_targets
    from methodpick.cli.planning import plan_file
    from methodpick.cli.written_files import refuse_clashes
    from methodpick.document.report import takeoff_page
    from methodpick.formats.csv import takeoff_csv
    from methodpick.formats.json import takeoff_json
    from methodpick.site.site_takeoff import take_off

    if csv == "-" and json == "-":
        raise InputError(Problem("CSV and JSON cannot both go to standard output", hint="name a file for one of them"))
    refuse_clashes((csv, json), (file, *(rulebook.overlay or ())))
    found = plan_file(file, rulebook, shafts=shaft)
    made = take_off(found.site, found.site_plan, found.rulebook)
    system = page.system(found.imported.units)
    texts = {} if csv is None else {csv: takeoff_csv(made, system)}
    if json is not None:
        texts[json] = takeoff_json(made)
    write_targets(texts, force=force)
    if "-" not in (csv, json):
        page.show(takeoff_page(made, lines=bool(shaft)), found.imported.units)
