"""``methodpick plan``: the construction method of every shaft."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from methodpick.cli.options import File, ForceOverChanges, PageOptions, RulebookOptions, ShaftAtBoring, Shafts, with_records

if TYPE_CHECKING:
    from methodpick.cli.planning import PlannedFile
    from methodpick.plan.result import Plan


@with_records
def plan(
    file: File,
    at_boring: ShaftAtBoring,
    page: PageOptions,
    rulebook: RulebookOptions,
    shaft: Shafts = None,
    json: Annotated[str | None, typer.Option("--json", help="Write the plan as JSON to this file, or - for standard output.")] = None,
    strict: Annotated[bool, typer.Option("--strict", help="Exit with 1 where a depth is undecided or a danger stands.")] = False,
    flips: Annotated[bool, typer.Option("--flips", help="Look for the nearest change of one input that flips each interval.")] = False,
    brief: Annotated[bool, typer.Option("--brief", help="Only the decision, the stages and the dangers.")] = False,
    force: ForceOverChanges = False,
) -> None:
    """Plan the shafts and print the report."""
    from methodpick.cli.output import write_targets
    from methodpick.cli.planning import plan_file
    from methodpick.cli.written_files import refuse_clashes
    from methodpick.formats.json import plan_json

    refuse_clashes((json,), (file, *(rulebook.overlay or ())))
    found = plan_file(file, rulebook, at_boring=at_boring, shafts=shaft)
    made = _with_flips(found, rulebook) if flips else found.plan
    if json is not None:
        write_targets({json: plan_json(made)}, force=force)
    if json != "-":
        _print(made, found, page, brief=brief)
    if strict and _stands_open(made):
        raise typer.Exit(1)


def _with_flips(found: PlannedFile, options: RulebookOptions) -> Plan:
    """Return the plan with what would change each of its intervals."""
    from methodpick.cli.output import progress_bar
    from methodpick.site.planning import settled_site
    from methodpick.why.explanation import with_flips

    site = settled_site(found.site, found.site_plan)
    with progress_bar("looking for what would change the plan, interval by interval") as tell:
        return with_flips(found.plan, site, found.rulebook, assumptions=not options.no_assumptions, tell=tell)


def _print(made: Plan, found: PlannedFile, page: PageOptions, *, brief: bool) -> None:
    from methodpick.document.report import plan_pages
    from methodpick.formats.console import print_document

    document = plan_pages(made, found.site_plan.assignments, found.doubts, brief=brief)
    print_document(document, page.console(), page.system(found.imported.units))


def _stands_open(made: Plan) -> bool:
    return any(interval.support == "undecided" for shaft in made.shafts for interval in shaft.intervals) or any(
        caution.severity == "danger" for shaft in made.shafts for caution in shaft.cautions
    )
