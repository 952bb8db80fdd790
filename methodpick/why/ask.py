"""Ask why a depth is held as it is, why not otherwise, and what would change it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from methodpick.engine.rulebook import Rulebook
from methodpick.errors import InputError, Problem
from methodpick.ground.site import Site
from methodpick.plan.judging.boring_choice import settled
from methodpick.plan.pipeline import taken_assumptions
from methodpick.plan.result import Interval, Plan, ShaftPlan, StateVerdict
from methodpick.why.answers import Asked
from methodpick.why.derivation import Derivation
from methodpick.why.flips import Flips
from methodpick.why.tree import Node, Why


def why(
    site: Site,
    book: Rulebook,
    shaft: ShaftPlan,
    depth_m: float,
    *,
    not_states: Sequence[str] = (),
    flips: bool = True,
    pairs: bool = False,
    assumptions: bool = True,
) -> Why:
    """Return why a depth of a planned shaft is held as it is.

    ``not_states`` asks of these states why they were not taken. Raises InputError where the depth lies outside the shaft.
    """
    held = _interval(shaft, depth_m)
    asked = Asked(settled(site, shaft.id, book.values), shaft.id, book, taken_assumptions(site, book, assumptions=assumptions))
    search = Flips(asked, [depth_m])
    one = next(judged for judged in search.shop.judged if judged.slice.top_m <= depth_m <= judged.slice.base_m)
    derivation = Derivation(one, book, shaft.boring)
    states = list(dict.fromkeys(not_states)) or list(_states(held))
    trees = [derivation.ground(), *(derivation.verdict(state) for state in states), *_casings(shaft, depth_m)]
    others = tuple(_other(state, verdict) for state, verdict in held.verdicts.items() if state not in states)
    ways = tuple(f"{one.family}: {one.why_not}" for one in shaft.alternates)
    return Why(
        shaft.id,
        shaft.boring,
        depth_m,
        held,
        tuple(trees),
        others,
        ways,
        search.singles(0) if flips else None,
        search.pairs(0) if pairs else None,
        tuple(lever.said for lever in search.levers(0)) if flips or pairs else (),
    )


def with_flips(plan: Plan, site: Site, book: Rulebook, *, assumptions: bool = True, tell: Callable[[int, int], None] | None = None) -> Plan:
    """Return the plan with the nearest changes that flip each interval; ``tell`` hears of every interval done, of how many."""
    total, done = sum(len(shaft.intervals) for shaft in plan.shafts), 0
    shafts = []
    for shaft in plan.shafts:
        asked = Asked(settled(site, shaft.id, book.values), shaft.id, book, taken_assumptions(site, book, assumptions=assumptions))
        search = Flips(asked, [(one.top_m + one.base_m) / 2 for one in shaft.intervals])
        found = []
        for index, one in enumerate(shaft.intervals):
            found.append(replace(one, would_change=search.singles(index)))
            done += 1
            if tell is not None:
                tell(done, total)
        shafts.append(replace(shaft, intervals=tuple(found)))
    return replace(plan, shafts=tuple(shafts))


def _interval(shaft: ShaftPlan, depth_m: float) -> Interval:
    for one in shaft.intervals:
        if one.top_m <= depth_m <= one.base_m:
            return one
    raise InputError(
        Problem(
            f"the depth {depth_m:.2f} m lies outside the shaft '{shaft.id}'", expected=f"0 to {shaft.tip_depth_m:.2f} m below the ground"
        )
    )


def _other(state: str, verdict: StateVerdict) -> str:
    rules = f" ({', '.join(verdict.rules)})" if verdict.rules else ""
    return f"{state.replace('_', ' ')}: {verdict.state.replace('_', ' ')}{rules}"


def _states(held: Interval) -> Iterator[str]:
    """Return the states in which a depth is held, from the drill to the concrete."""
    if held.drilled_in is not None:
        yield held.drilled_in
    yield from held.later_in
    if held.support == "slurry" and held.fluid is not None and held.fluid not in {held.drilled_in, *held.later_in}:
        yield held.fluid


def _casings(shaft: ShaftPlan, depth_m: float) -> Iterator[Node]:
    """Return the reason of every casing that stands at a depth."""
    for casing in shaft.casings:
        if casing.top_m <= depth_m <= casing.base_m:
            yield Node(f"{casing.kind} casing: {casing.why}")
