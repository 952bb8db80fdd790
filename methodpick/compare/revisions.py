"""Two revisions of a site, or one site by two rulebooks: which shafts are built otherwise, and because of which input.

What an input does to a shaft is found on plans: the revision after is planned again with that input alone put back.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field, fields
from math import isclose
from typing import Any, NamedTuple

from methodpick.compare.inputs import CannotBePutBackError, Difference, PlanningInputs, differences, together
from methodpick.compare.result import Cause, ComparedRevisions, KindChange, ShaftState, Side, amounts_of, states_of
from methodpick.errors import InputError
from methodpick.ground.site import Shaft
from methodpick.plan.pipeline import plan, wanted_shafts
from methodpick.plan.result import InputStamp
from methodpick.records import record
from methodpick.site.estimate import Estimate
from methodpick.site.planning import Progress, SitePlanner, plan_site
from methodpick.site.result import SitePlan
from methodpick.site.site_takeoff import take_off
from methodpick.unit_markup import how_many

MOST_TRIALS = 240
"""Plans of a kind of shaft that are made to find causes; where more would be, inputs of one place are put back together."""
CASING_ONLY = "By itself each is built as before: what differs is the casing that is chosen for all shafts together."
_ASPECTS = {
    "method": "method",
    "decision": "decision",
    "placement": "placement",
    "casings": "casing",
    "fluids": "fluid",
    "drilled_m": "drilled length",
    "concrete_m3": "concrete",
    "fluid_m3": "volume under fluid",
    "hours": "hours",
    "relative_cost": "relative cost",
    "not_firm_m": "length not firm",
    "open_proofs": "checks open",
    "proven": "proven",
}
"""What two states may differ in, in the order in which it is said."""


class Revision(NamedTuple):
    """One of two revisions: its name on the page, what it is planned from, and the file that was read."""

    name: str
    inputs: PlanningInputs
    stamp: InputStamp


@record(frozen=False)
class _Kind:
    """Shafts of both revisions that are built alike in each, with the borings that decide for them."""

    shafts: list[str] = field(default_factory=list)
    count: int = 0
    count_before: int = 0
    borings: tuple[str, ...] = ()


class RevisionComparison:
    """Compares two revisions; a kind of shaft is planned once for every set of inputs that is tried."""

    def __init__(self, before: Revision, after: Revision, *, assumptions: bool) -> None:
        self.before, self.after, self.assumptions = before, after, assumptions
        self.found = differences(before.inputs, after.inputs)
        self.back = {each.change.path: each for each in differences(after.inputs, before.inputs)}

    def state(self, inputs: PlanningInputs, shaft: str) -> ShaftState | None:
        """Return how one shaft is built by itself from some inputs, with casing to buy; None where they cannot be planned."""
        site, book = inputs.site.model_copy(update={"stock": ()}), inputs.book
        named = {boring.id for boring in site.borings} | {None}
        if not any(each.id == shaft and each.boring in named for each in site.shafts):
            return None
        try:
            if site.site.borings_by == "envelope":
                made = plan_site(site, book, shafts=[shaft], assumptions=self.assumptions)
            else:
                made = SitePlan(plan(site, book, shafts=[shaft], assumptions=self.assumptions), (), 1)
        except InputError:
            return None
        takeoff = take_off(site, made, book)
        return states_of(takeoff)[shaft]

    def causes(self, kind: _Kind, before: ShaftState, after: ShaftState) -> tuple[tuple[Cause, ...], str]:
        """Return what each input has to do with the change of a kind, and the sentence that says so."""
        relevant = [each for each in self.found if each.concerns(kind.shafts, kind.borings)]
        if len(relevant) == 1:
            return _explained([Cause(relevant[0].change, "decides", differing(before, after))])
        put_back = (self._put_back(each, kind.shafts[0], before, after) for each in relevant)
        found = [cause for cause in put_back if cause is not None]
        return _explained(found or self._alone(relevant, kind.shafts[0], before, after))

    def _put_back(self, difference: Difference, shaft: str, before: ShaftState, after: ShaftState) -> Cause | None:
        """Return what putting one input back does; None where it does nothing, or cannot be done alone."""
        try:
            state = self.state(difference.undo(self.after.inputs), shaft)
        except CannotBePutBackError:
            return None
        if state is None or not (moves := differing(state, after)):
            return None
        return Cause(difference.change, "shares" if differing(state, before) else "decides", moves)

    def _alone(self, relevant: Sequence[Difference], shaft: str, before: ShaftState, after: ShaftState) -> list[Cause]:
        """Return the inputs that alone would have made the change, each put into the revision before."""
        found = []
        for each in relevant:
            there = self.back.get(each.change.path)
            try:
                state = None if there is None else self.state(there.undo(self.before.inputs), shaft)
            except CannotBePutBackError:
                continue
            if state is not None and not differing(state, after):
                found.append(Cause(each.change, "either", differing(before, after)))
        return found

    def coalesce(self, kinds: int) -> str:
        """Join inputs of one place where each by itself would take too many plans; return what is then said."""
        if len(self.found) * kinds <= MOST_TRIALS:
            return ""
        parts: dict[str, list[Difference]] = {}
        for each in self.found:
            parts.setdefault(each.part or each.change.path, []).append(each)
        self.found = [members[0] if len(members) == 1 else together(members, part) for part, members in parts.items()]
        backs: dict[str, list[Difference]] = {}
        for each in self.back.values():
            backs.setdefault(each.part or each.change.path, []).append(each)
        self.back = {part: together(members, part) for part, members in backs.items()}
        return "There are too many inputs to try each alone: those of one boring, one shaft, or the rulebook are put back together."


def compare_revisions(
    before: Revision, after: Revision, *, shafts: Sequence[str] | None = None, assumptions: bool = True, tell: Progress | None = None
) -> ComparedRevisions:
    """Return what changed from one revision to another, for all shafts or those named, and because of which input.

    The sums are over the whole site in any case. Raises InputError where a revision cannot be planned, or has no shaft that is named.
    """
    for side in (before, after) if shafts else ():
        wanted_shafts(side.inputs.site, shafts)
    planners = [SitePlanner(side.inputs.site, side.inputs.book, assumptions=assumptions) for side in (before, after)]
    sides, taken_off = [], []
    for side, planner in zip((before, after), planners, strict=True):
        made = planner.plan_by(planner.as_planned, planner.resized, stamp=side.stamp)
        takeoff = take_off(side.inputs.site, made, side.inputs.book)
        taken_off.append(takeoff)
        sides.append(Side(side.name, made.plan.input, made.plan.rulebook, amounts_of(takeoff)))
    comparison = RevisionComparison(before, after, assumptions=assumptions)
    inputs = tuple(each.change for each in comparison.found)
    kinds = [kind for kind in _kinds(*planners) if not shafts or not set(shafts).isdisjoint(kind.shafts)]
    on_site = (states_of(taken_off[0]), states_of(taken_off[1]))
    changes, unchanged, notes = _changes(comparison, kinds, on_site, tell)
    if shafts:
        notes.append("Only the shafts that were asked for are compared, with those built alike; the sums are of the whole site.")
    else:
        changes += _in_one_only(comparison, before, after)
    return ComparedRevisions(taken_off[1].site.plan, sides[0], sides[1], inputs, tuple(changes), unchanged, tuple(notes))


_OnSite = tuple[Mapping[str, ShaftState], Mapping[str, ShaftState]]
"""How every shaft is built on the site, before and after, with the casing that is chosen for all of them."""


def _changes(
    comparison: RevisionComparison, kinds: Sequence[_Kind], on_site: _OnSite, tell: Progress | None
) -> tuple[list[KindChange], int, list[str]]:
    """Return the kinds that changed, how many shafts did not, and what is to be said of how causes were found."""
    changed = [
        kind for kind in kinds if kind.count != kind.count_before or differing(on_site[0][kind.shafts[0]], on_site[1][kind.shafts[0]])
    ]
    unchanged = sum(kind.count for kind in kinds) - sum(kind.count for kind in changed)
    note = comparison.coalesce(len(changed))
    changes = []
    for done, kind in enumerate(changed, 1):
        old, new = (comparison.state(side.inputs, kind.shafts[0]) for side in (comparison.before, comparison.after))
        alone = old is not None and new is not None and bool(differing(old, new))
        differs = differing(on_site[0][kind.shafts[0]], on_site[1][kind.shafts[0]])
        causes, said = comparison.causes(kind, old, new) if old and new and alone else ((), CASING_ONLY if differs else "")
        if kind.count != kind.count_before:
            said = f"{how_many(kind.count_before, 'shaft')} before, {kind.count} after. {said}".strip()
        changes.append(
            KindChange(
                shafts=tuple(kind.shafts),
                count=kind.count,
                before=on_site[0][kind.shafts[0]],
                after=on_site[1][kind.shafts[0]],
                differs=(*differs, "count") if kind.count != kind.count_before else differs,
                causes=causes,
                interact=alone and sum(cause.share == "decides" for cause in causes) != 1,
                said=said,
            )
        )
        if tell is not None:
            tell(done, len(changed))
    return changes, unchanged, [note] if note else []


def _kinds(before: SitePlanner, after: SitePlanner) -> list[_Kind]:
    """Return the shafts of both revisions that are built alike in each."""
    here = {shaft.id: shaft for shaft in after.site.shafts}
    found: dict[object, _Kind] = {}
    for shaft in before.site.shafts:
        if shaft.id in here:
            old, new = before.kind_of(shaft), after.kind_of(here[shaft.id])
            kind = found.setdefault((old.key, new.key), _Kind(borings=(old.boring.id, new.boring.id)))
            kind.shafts.append(shaft.id)
            kind.count += here[shaft.id].count
            kind.count_before += shaft.count
    return list(found.values())


def _in_one_only(comparison: RevisionComparison, before: Revision, after: Revision) -> list[KindChange]:
    """Return the shafts that stand in one revision only."""
    changes = []
    for side, other, said in ((before, after, "Only before: no longer there."), (after, before, "New.")):
        names = {shaft.id for shaft in other.inputs.site.shafts}
        alone = [shaft for shaft in side.inputs.site.shafts if shaft.id not in names]
        changes += [_one_only(comparison, side, shaft, said, gone=side is before) for shaft in alone]
    return changes


def _one_only(comparison: RevisionComparison, side: Revision, shaft: Shaft, said: str, *, gone: bool) -> KindChange:
    state = comparison.state(side.inputs, shaft.id)
    old, new = (state, None) if gone else (None, state)
    return KindChange((shaft.id,), shaft.count, old, new, ("count",), (), interact=False, said=said)


def differing(before: ShaftState, after: ShaftState) -> tuple[str, ...]:
    """Return in what two states differ, beyond rounding."""
    names = [item.name for item in fields(ShaftState)]
    return tuple(_ASPECTS[name] for name in names if not _same(getattr(before, name), getattr(after, name)))


def _same(before: Any, after: Any) -> bool:
    if isinstance(before, float) and isinstance(after, float):
        return isclose(before, after, rel_tol=1e-6, abs_tol=1e-6)
    if isinstance(before, Estimate) and isinstance(after, Estimate):
        ends = ((before.low, after.low), (before.likely, after.likely), (before.high, after.high))
        return all(_same(old, new) for old, new in ends)
    return bool(before == after)


def _explained(causes: Iterable[Cause]) -> tuple[tuple[Cause, ...], str]:
    """Return causes with the sentence that says what they have to do with a change."""
    found = tuple(causes)
    deciding = [cause.input.path for cause in found if cause.share == "decides"]
    if len(deciding) == 1:
        return tuple(cause for cause in found if cause.share == "decides"), f"Because of {deciding[0]}: put back alone, all is as before."
    if deciding:
        return found, f"Because of {_and(deciding)} together: either put back undoes it."
    paths = [cause.input.path for cause in found]
    if not paths:
        return found, "No single input put back changes anything, and none alone makes the change: several act together."
    if found[0].share == "either":
        return found, f"Because of {' or '.join(paths)}: each alone makes the change, so that putting one back undoes nothing."
    if len(paths) == 1:
        return found, f"In part because of {paths[0]}; the rest comes of inputs that act only together."
    return found, f"Because of {_and(paths)}: each has its share, none put back alone undoes all of it."


def _and(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
