"""``methodpick why``: why a depth is held as it is, why not otherwise, and the nearest change that would flip it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

import typer

from methodpick.cli.options import File, OneShaft, PageOptions, RulebookOptions, ShaftAtBoring, with_records
from methodpick.errors import InputError, Problem
from methodpick.terms import STATES, State


@with_records
def why(
    file: File,
    depth: Annotated[str, typer.Option("--depth", help="The depth below the ground, for example 22ft or 6.5m.")],
    at_boring: ShaftAtBoring,
    page: PageOptions,
    rulebook: RulebookOptions,
    shaft: OneShaft = None,
    not_: Annotated[list[str] | None, typer.Option("--not", help=f"Why not this state ({', '.join(STATES)}); may be given again.")] = None,
    flips: Annotated[bool, typer.Option("--flips/--no-flips", help="Look for the nearest change of one input that flips it.")] = True,
    pairs: Annotated[bool, typer.Option("--pairs", help="Look for changes of two inputs together as well (slower).")] = False,
) -> None:
    """Derive the answer at one depth, down to logged lines and sources."""
    from methodpick.cli.planning import length_m, plan_site_of, shaft_asked_for, site_with_shaft
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
    from methodpick.spelling import did_you_mean, one_of

    for name in names:
        if name not in STATES:
            raise InputError(Problem(f"--not {name}: this is no support state", expected=one_of(STATES), hint=did_you_mean(name, STATES)))
    return [state for name in names for state in STATES if state == name]
