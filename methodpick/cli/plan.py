"""``methodpick plan``: the construction method of every shaft, on a page for whoever asks; ``methodpick why``: the answer for one depth."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from methodpick.cli.options import File, ForceOverChanges, OneShaft, PageOptions, RulebookOptions, ShaftAtBoring, Shafts, with_records
from methodpick.errors import InputError, Problem
from methodpick.terms import STATES, State

if TYPE_CHECKING:
    from methodpick.cli.options import PlannedFile
    from methodpick.document.model import Document
    from methodpick.plan.result import Plan, ShaftPlan

# ---- ``methodpick plan``


PageReader = Literal["foreman", "engineer", "estimator"]


@with_records
def plan(
    file: File,
    at_boring: ShaftAtBoring,
    page: PageOptions,
    rulebook: RulebookOptions,
    shaft: Shafts = None,
    reader: Annotated[PageReader | None, typer.Option("--for", help="The page of this reader in place of the answer.")] = None,
    full: Annotated[bool, typer.Option("--full", help="Everything, with reasons and sources; of --for, all of its page.")] = False,
    letter: Annotated[bool, typer.Option("--letter", help="The paragraph of a bid letter, with rates to fill in.")] = False,
    json: Annotated[str | None, typer.Option("--json", help="Write the plan as JSON to this file, or - for standard output.")] = None,
    strict: Annotated[
        bool, typer.Option("--strict", help="Exit with 1 where a depth is undecided, a plan not proven, or a danger of this ground stands.")
    ] = False,
    flips: Annotated[bool, typer.Option("--flips", help="Look for the nearest change of one input that flips each interval.")] = False,
    force: ForceOverChanges = False,
) -> None:
    """Plan the shafts and print the answer: a page for each kind of shaft, after the roll-up of a site with several."""
    from methodpick.cli.options import plan_file
    from methodpick.cli.output import refuse_clashes, write_targets

    refuse_two_pages(reader, full=full, letter=letter)
    refuse_clashes((json,), (file, *(rulebook.overlay or ())))
    found = plan_file(file, rulebook, at_boring=at_boring, shafts=shaft)
    made = _with_flips(found, rulebook) if flips else found.plan
    if json is not None:
        from methodpick.formats.json import plan_json

        write_targets({json: plan_json(made)}, force=force)
    if json != "-":
        wanted = reader or ("everything" if full else None)
        document = bid_letter_of(made) if letter else pages_for(wanted, made, found, rulebook, full=full)
        page.show(document, found.imported.units)
    if strict and stands_open(made):
        raise typer.Exit(1)


def _with_flips(found: PlannedFile, options: RulebookOptions) -> Plan:
    """Return the plan with what would change each of its intervals."""
    from methodpick.cli.output import progress_bar
    from methodpick.collector import collector_running
    from methodpick.site.planning import settled_site
    from methodpick.why.explanation import with_flips

    site = settled_site(found.site, found.site_plan)
    with collector_running(), progress_bar("looking for what would change the plan, interval by interval") as tell:
        return with_flips(found.plan, site, found.rulebook, assumptions=not options.no_assumptions, tell=tell)


def refuse_two_pages(reader: PageReader | None, *, full: bool, letter: bool) -> None:
    """Raise InputError where the letter of a bid is asked for with other pages."""
    if letter and (reader is not None or full):
        raise InputError(Problem("--letter and --for or --full name different pages", hint="give one of them"))


def bid_letter_of(made: Plan) -> Document:
    """Return the letter of the bid."""
    from methodpick.document.bid_letter import bid_letter

    return bid_letter(made)


def pages_for(
    reader: PageReader | Literal["everything"] | None, made: Plan, found: PlannedFile, options: RulebookOptions, *, full: bool
) -> Document:
    """Return the answer, the page of a reader, or everything; the estimator's needs a takeoff."""
    from methodpick.cli.options import flips_of_kinds
    from methodpick.document.report import estimator_pages, plan_pages

    if reader != "estimator":
        within_range = None if reader == "foreman" else flips_of_kinds(found, options)
        return plan_pages(made, found.site_plan.assignments, found.doubts, reader, within_range, full=full)
    from methodpick.site.site_takeoff import take_off

    return estimator_pages(take_off(found.site, found.site_plan, found.rulebook), found.doubts, full=full)


def stands_open(made: Plan) -> bool:
    """Return whether of any shaft a depth is undecided, the plan is not proven, a hazard is open or a danger of this ground stands.

    What is dangerous at every shaft, and with the method, is no reason: it stands on every plan.
    """
    return any(_stands_open(shaft) for shaft in made.shafts)


def _stands_open(shaft: ShaftPlan) -> bool:
    undecided = any(interval.support == "undecided" for interval in shaft.intervals)
    here = any(caution.is_danger_here for caution in shaft.cautions)
    return undecided or not shaft.proven or bool(shaft.open_hazards) or here


# ---- ``methodpick why``: why a depth is held as it is, why not otherwise, and the nearest change that would flip it


@with_records
def why(
    file: File,
    depth: Annotated[str, typer.Option("--depth", help="The depth below the ground, for example 22ft or 6.5m.")],
    at_boring: ShaftAtBoring,
    page: PageOptions,
    rulebook: RulebookOptions,
    shaft: OneShaft = None,
    not_: Annotated[
        list[str] | None, typer.Option("--not", metavar="<state>", help=f"Why not this state ({', '.join(STATES)}); may be given again.")
    ] = None,
    flips: Annotated[bool, typer.Option("--flips/--no-flips", help="Look for the nearest change of one input that flips it.")] = True,
    pairs: Annotated[bool, typer.Option("--pairs", help="Look for changes of two inputs together as well (slower).")] = False,
) -> None:
    """Derive the answer at one depth, down to logged lines and sources."""
    from methodpick.cli.options import length_m, plan_site_of, shaft_asked_for, site_with_shaft
    from methodpick.document.reasons import why_document
    from methodpick.document.record import marked_loosened
    from methodpick.imports.input_formats import read_file
    from methodpick.site.planning import settled_site
    from methodpick.why.explanation import explain_depth
    from methodpick.why.flips import shaft_question

    read = read_file(file)
    site = site_with_shaft(read, at_boring)
    found = plan_site_of(file, read, site, rulebook, [shaft_asked_for(site, shaft)])
    planned = found.plan.shafts[0]
    answer = explain_depth(
        shaft_question(settled_site(site, found.site_plan), found.rulebook, planned.id, assumptions=not rulebook.no_assumptions),
        planned,
        length_m(depth, "--depth", "ft" if read.units == "us" else "m"),
        not_states=_states(not_ or []),
        flips=flips,
        pairs=pairs,
    )
    page.show(marked_loosened(why_document(answer), found.plan), read.units)


def _states(names: Sequence[str]) -> list[State]:
    """Return the states that are named. Raises InputError where one is not known."""
    from methodpick.errors import did_you_mean, one_of

    for name in names:
        if name not in STATES:
            raise InputError(Problem(f"--not {name}: this is no support state", expected=one_of(STATES), hint=did_you_mean(name, STATES)))
    return [state for name in names for state in STATES if state == name]
