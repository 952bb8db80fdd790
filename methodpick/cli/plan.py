"""``methodpick plan``: the construction method of every shaft, on a page for whoever asks."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

import typer

from methodpick.cli.options import File, ForceOverChanges, PageOptions, RulebookOptions, ShaftAtBoring, Shafts, with_records
from methodpick.errors import InputError, Problem

if TYPE_CHECKING:
    from methodpick.cli.planning import PlannedFile
    from methodpick.document.model import Document
    from methodpick.document.report import FlipsOfKinds
    from methodpick.plan.result import Plan

PageReader = Literal["foreman", "engineer", "estimator"]


@with_records
def plan(
    file: File,
    at_boring: ShaftAtBoring,
    page: PageOptions,
    rulebook: RulebookOptions,
    shaft: Shafts = None,
    reader: Annotated[PageReader | None, typer.Option("--for", help="The page of this reader in place of the answer.")] = None,
    full: Annotated[bool, typer.Option("--full", help="Everything: reasons, checks, quantities, cautions, sources.")] = False,
    letter: Annotated[bool, typer.Option("--letter", help="The paragraph of a bid letter, with rates to fill in.")] = False,
    json: Annotated[str | None, typer.Option("--json", help="Write the plan as JSON to this file, or - for standard output.")] = None,
    strict: Annotated[bool, typer.Option("--strict", help="Exit with 1 where a depth is undecided or a danger stands.")] = False,
    flips: Annotated[bool, typer.Option("--flips", help="Look for the nearest change of one input that flips each interval.")] = False,
    force: ForceOverChanges = False,
) -> None:
    """Plan the shafts and print the answer: a page for each kind of shaft, after the roll-up of a site with several."""
    from methodpick.cli.output import write_targets
    from methodpick.cli.planning import plan_file
    from methodpick.cli.written_files import refuse_clashes
    from methodpick.formats.json import plan_json

    if (reader is not None) + full + letter > 1:
        raise InputError(Problem("--for, --full and --letter name different pages", hint="give one of them"))
    refuse_clashes((json,), (file, *(rulebook.overlay or ())))
    found = plan_file(file, rulebook, at_boring=at_boring, shafts=shaft)
    made = _with_flips(found, rulebook) if flips else found.plan
    if json is not None:
        write_targets({json: plan_json(made)}, force=force)
    if json != "-":
        document = _letter(made) if letter else _pages(made, found, "everything" if full else reader, rulebook)
        page.show(document, found.imported.units)
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


def _within_range(found: PlannedFile, options: RulebookOptions) -> FlipsOfKinds | None:
    """Return what changes the plan of each kind of shaft within the stated ranges; nothing for a site of many kinds."""
    from methodpick.document.grouping import group_shafts
    from methodpick.document.report import MOST_KINDS
    from methodpick.site.planning import settled_site
    from methodpick.why.within_range import flips_within_range

    kinds = [group.first for group in group_shafts(found.plan.shafts)]
    if len(kinds) > MOST_KINDS:
        return None
    site = settled_site(found.site, found.site_plan)
    return {kind.id: flips_within_range(site, found.rulebook, kind, assumptions=not options.no_assumptions) for kind in kinds}


def _letter(made: Plan) -> Document:
    from methodpick.document.letter import bid_letter

    return bid_letter(made)


def _pages(made: Plan, found: PlannedFile, reader: PageReader | Literal["everything"] | None, options: RulebookOptions) -> Document:
    """Return the answer, the page of a reader, or everything; the estimator's needs a takeoff."""
    from methodpick.document.report import estimator_pages, plan_pages

    if reader != "estimator":
        within_range = None if reader == "foreman" else _within_range(found, options)
        return plan_pages(made, found.site_plan.assignments, found.doubts, reader, within_range)
    from methodpick.site.site_takeoff import take_off

    return estimator_pages(take_off(found.site, found.site_plan, found.rulebook), found.doubts)


def _stands_open(made: Plan) -> bool:
    return any(interval.support == "undecided" for shaft in made.shafts for interval in shaft.intervals) or any(
        caution.severity == "danger" for shaft in made.shafts for caution in shaft.cautions
    )
