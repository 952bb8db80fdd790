"""The cautious plan with what it hangs on, the best plan of every other family with why it lost, and relief wells."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from math import inf

from methodpick.engine.interpret import reason_text
from methodpick.engine.rule import Rule
from methodpick.facts.aquifer import Aquifer
from methodpick.ground.fitted_boring import drawn_down
from methodpick.plan.checks.catalogue import BY_ID
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.decision import decision
from methodpick.plan.reasons.intervals import FirmAt
from methodpick.plan.reasons.notes import (
    AT_ABOUT_THE_SAME_COST,
    CASING_FAILS,
    FAMILY_WORDS,
    LEAVES,
    MOST_REASONS,
    NEEDED_STATES,
    NOT_PROVEN,
    NOT_PULLED,
    RULED_OUT_FROM,
    TIMES_THE_COST,
    TRIAL_SHAFT,
    TRIALS_ENDED,
    hangs_on,
    trigger,
)
from methodpick.plan.result import (
    OPEN_MEANS,
    Alternate,
    BothOpen,
    CautiousDifference,
    CautiousPlan,
    Drawdown,
    Interval,
    Placement,
    proven_then_cheap,
)
from methodpick.plan.sequence.families import FoundPaths
from methodpick.plan.sequence.objections import TOLERANCE_M, Objection
from methodpick.plan.sequence.path import SequencePath
from methodpick.records import record
from methodpick.unit_markup import height_words, mark, mark_plainly

# ---- The cautious plan with what it hangs on, and the best plan of every other family with why it lost


_NO_SEQUENCE = {
    "casing_then_dry": "No layer seals a casing above ground that stands dry to the tip.",
    "casing_then_fluid": "No seat is found above ground that fluid holds to the tip.",
    "full_depth_casing": "No plant brings casing to the tip through this ground, or the casing may not enter the socket.",
    "permanent_casing": "No seat for a permanent casing is found.",
}
_NO_STAND_UP = "The ground does not stand open long enough, or no sequence of this kind can be built."
AT_A_SHOE = frozenset({"way", "string", "pull_out"})
"""Kinds of objections to a casing at a depth."""
_UNLIKELY = "unlikely to be safe"
_OPEN_WORDS = ("undecided", _UNLIKELY, "unknown", "doubtful")


def cautious_plan(context: PlanContext, path: SequencePath, firm: FirmAt, differs: CautiousDifference) -> CautiousPlan:
    """Return the cautious plan, with what it hangs on."""
    return CautiousPlan(
        intervals=context.intervals(path, firm),
        slurry=context.slurry(path),
        relative_cost=_cost(path),
        differs_because=differs.because,
        trigger=differs.trigger,
        settles=differs.settles,
        **context.other_way(path).parts(),
    )


def alternates(context: PlanContext, found: FoundPaths, firm: FirmAt) -> Iterator[Alternate]:
    """Return the best plan of every other family, without a sequence where it cannot be built, and why it lost."""
    for family, path in found.others:
        why = "" if path is not None else _no_path(context, found, family)
        yield _alternate(context, (family, path), why or why_not(context.ground, family, path, found.best), found.best, firm)


def _no_path(context: PlanContext, found: FoundPaths, family: str) -> str:
    """Describe what other than the ground leaves a family without a path; empty where nothing else does."""
    if twin := found.twin_of(family):
        return NOT_PULLED.format(way="the plan" if twin == found.best.family else FAMILY_WORDS[twin])
    return _proofs_against(found.objections, context.shaft.tip_m) if family == "full_depth_casing" else ""


def next_best(context: PlanContext, found: FoundPaths, firm: FirmAt) -> Alternate | None:
    """Return the alternate that ranks first of those that can be built; None where no other family can be built.

    Families are left alone where a way ranks first that is proven and as little open as the plan, and none of them can cost less.
    """
    first: tuple[tuple[bool, bool, float], str, SequencePath] | None = None
    for family in found.other_families:
        if first is not None and not any(first[0][:2]) and found.none_below(family, first[2].cost):
            break
        path = found.other(family)
        if path is not None and (first is None or _rank(context, found, path) < first[0]):
            first = _rank(context, found, path), family, path
    if first is None:
        return None
    _, family, path = first
    return _alternate(context, (family, path), why_not(context.ground, family, path, found.best), found.best, firm)


def _rank(context: PlanContext, found: FoundPaths, path: SequencePath) -> tuple[bool, bool, float]:
    return proven_then_cheap(_cost(path), proven=context.is_proven(path), leaves_open_m=_more_open(path, found.best).length_m)


def also_open(context: PlanContext, found: FoundPaths, firm: FirmAt) -> Alternate | None:
    """Return the first of the ways that cost hardly another sum than the plan and hold the hole by other means; None where none does.

    It passes its proofs and leaves no more open, as the plan that is taken in its place would have to.
    """
    share, best = context.limits["both_open_share"], found.best
    held: list[tuple[str, SequencePath]] = []
    for family in found.other_families:
        if found.none_below(family, best.cost * (1.0 + share) + TOLERANCE_M):
            break
        path = found.other(family)
        if path is not None and both_open(context.ground, path, best) is not None and not any(_rank(context, found, path)[:2]):
            held.append((family, path))
    if not held:
        return None
    family, path = min(held, key=lambda way: _cost(way[1]))
    return _alternate(context, (family, path), why_not(context.ground, family, path, best), best, firm)


def _is_near(path: SequencePath, best: SequencePath, share: float) -> bool:
    """Return whether a way costs the plan's sum within a share, either way."""
    ratio = path.cost / best.cost if best.cost > 0 else 1.0
    return max(ratio, 1.0 / ratio if ratio > 0 else inf) <= 1.0 + share


def _cost(path: SequencePath) -> float:
    """Return the relative cost of a path as it is written."""
    return round(path.cost, 6)


def _alternate(context: PlanContext, way: tuple[str, SequencePath | None], why: str, best: SequencePath, firm: FirmAt) -> Alternate:
    family, path = way
    if path is None:
        return Alternate(family=FAMILY_WORDS[family], intervals=(), relative_cost=None, why_not=why)
    built = _built_alternate(context, path, FAMILY_WORDS[family], context.intervals(path, firm), why)
    more_m = _more_open(path, best).length_m
    return replace(built, leaves_open_m=more_m, both_open=None if more_m > 0 else both_open(context.ground, path, best))


def _built_alternate(context: PlanContext, path: SequencePath, family: str, intervals: tuple[Interval, ...], why: str) -> Alternate:
    """Return a path as another way of building, with what speaks against it and which of its checks fail."""
    return Alternate(
        family=family,
        intervals=intervals,
        relative_cost=_cost(path),
        why_not=f"{why} {not_proven(context, path)}".strip(),
        **context.other_way(path).parts(),
    )


def not_proven(context: PlanContext, path: SequencePath) -> str:
    """Return what is said of a way that is not proven: the checks that are short, or that the trials of its search ended; else nothing."""
    short = dict.fromkeys(check.what for check in context.checks(path) if check.is_short)
    if short:
        return NOT_PROVEN + " ".join(short)
    return "" if context.is_proven(path) else NOT_PROVEN + TRIALS_ENDED


def why_not(ground: JudgedGround, family: str, path: SequencePath | None, best: SequencePath) -> str:
    """Describe why a family lost: what rules it out and where, a hazard that stays open, or its cost."""
    if path is None:
        return _ruled_out(ground, family)
    more = _more_open(path, best)
    if more.length_m > 0:
        if more.words == _UNLIKELY and more.length_m <= 1.0:
            return "It would pull a casing that had better stay, or leave one in that had better come out."
        return f"{LEAVES}{mark(more.length_m, 'm')} of the shaft {more.words}." + _first_open_reason(ground, path)
    ratio = path.cost / best.cost if best.cost > 0 else 1.0
    means = both_open(ground, path, best)
    also = f" {OPEN_MEANS[means].sentence}" if means else ""
    if abs(ratio - 1.0) > 0.005:
        return f"It can be built, at about {ratio:.2f}{TIMES_THE_COST}.{also}"
    return f"It can be built {AT_ABOUT_THE_SAME_COST}; the plan changes method less often or ranks first by preference.{also}"


@record
class _MoreOpen:
    """A length on which a way leaves a hazard open that the plan does not, and how open; of no length where it leaves no more open."""

    length_m: float
    words: str = ""


def _more_open(path: SequencePath, best: SequencePath) -> _MoreOpen:
    """Return the gravest of what a way leaves more open than the plan."""
    lengths = zip(_OPEN_WORDS, path.score.open_lengths_m, best.score.open_lengths_m, strict=True)
    more = (_MoreOpen(round(length - planned, 6), words) for words, length, planned in lengths)
    return next((found for found in more if found.length_m > 1e-6), _MoreOpen(0.0))


def both_open(ground: JudgedGround, path: SequencePath, best: SequencePath) -> BothOpen | None:
    """Return by which means two ways at hardly another cost hold the hole; None where the means are the same, or the cost is another."""
    held = {path.held_by, best.held_by}
    if not _is_near(path, best, ground.limits["both_open_share"]):
        return None
    if held == {"fluid", "casing"}:
        return "fluid_or_casing"
    if held == {"fluid"} and len(best.strings) == 1 and not best.strings[0].keep and not path.strings:
        return "fluid_or_cased_above"
    stays = {any(segment.keep for segment in way.strings) for way in (path, best)}
    return "pulled_or_stays" if held == {"casing"} and len(stays) > 1 else None


def _exposed(ground: JudgedGround, path: SequencePath) -> Iterator[tuple[JudgedSlice, str]]:
    """Return every slice that a path drills through, with the state, run by run."""
    for run in path.runs:
        yield from ((judged, run.state) for judged in ground.slices if judged.overlaps(run.top_m, run.base_m))


def _first_open_reason(ground: JudgedGround, path: SequencePath) -> str:
    """Describe what speaks against the first length on which a hazard stays open."""
    for judged, state in _exposed(ground, path):
        verdict = judged.verdicts[state]
        if verdict.state in {"unlikely", "unknown"} and verdict.rules:
            return f" From {mark(judged.top_m, 'm')}: {_rule_words(ground, judged, state, verdict.rules[0])}"
    return ""


def _rule_words(ground: JudgedGround, judged: JudgedSlice, state: str, rule_id: str) -> str:
    return reason_text(ground.book.by_id[rule_id], judged.values(state), ground.book, mark_plainly)


def _ruled_out(ground: JudgedGround, family: str) -> str:
    """Describe which ground rules all states out that a family needs, the lowest first where only the tip counts."""
    states = NEEDED_STATES[family]
    for judged in reversed(ground.slices) if family.startswith("casing_then") else ground.slices:
        if judged.logged and all(judged.verdicts[state].state == "ruled_out" for state in states):
            because = _rule_words(ground, judged, states[0], judged.verdicts[states[0]].rules[0])
            return f"{RULED_OUT_FROM}{mark(judged.top_m, 'm')} to {mark(judged.base_m, 'm')}: {because}"
    return _NO_SEQUENCE.get(family, _NO_STAND_UP)


def _proofs_against(objections: Iterable[Objection], tip_m: float) -> str:
    """Describe which proofs bar a casing to the tip that plant would bring there; nothing where none was tried."""
    titles = dict.fromkeys(
        BY_ID[objection.check].title.lower()
        for objection in objections
        if objection.weight == "barred" and objection.kind in AT_A_SHOE and abs(objection.base_m - tip_m) < TOLERANCE_M
    )
    return f"{CASING_FAILS} {', '.join(titles)}." if titles else ""


def what_differs(context: PlanContext, best: SequencePath, placement: Placement | None = None) -> CautiousDifference:
    """Describe what the cautious plan hangs on: the must rules that are open on the way of the plan, else its proofs.

    ``placement`` is given where the ground does not decide it, as the plan is proved by it.
    """
    ground, checks = context.ground, context.checks(best, placement)
    reasons: dict[str, str] = {}
    hazards: list[str] = []
    asks: list[str] = []
    for judged, state in _exposed(ground, best):
        for rule_id in judged.verdicts[state].open_musts if judged.logged else ():
            rule = ground.book.by_id[rule_id]
            if rule_id not in reasons and len(reasons) < MOST_REASONS:
                reasons[rule_id] = _rule_words(ground, judged, state, rule_id)
            hazards.append(rule.hazard)
            asks += _questions(ground, judged, state, rule)
    return CautiousDifference(
        because=hangs_on([*reasons.values()], checks), trigger=trigger(hazards, checks), settles=next(iter(asks), TRIAL_SHAFT)
    )


def _questions(ground: JudgedGround, judged: JudgedSlice, state: str, rule: Rule) -> list[str]:
    """Return the questions about the facts of a rule that are not certain here."""
    values, facts = judged.values(state), ground.book.catalogue.facts
    return [facts[fact].ask for fact in rule.facts if facts[fact].ask and not (fact in values and values[fact].certain)]


# ---- Relief wells: an engineer's option where water below presses up and no way of building is left that holds it


FAMILY = "relief wells, by the engineer"
STEP_M = 0.1
"""The search for the level to draw down to ends when it is known to this; wells are not steered more closely."""


@record
class _DrawnDown:
    """The plan with an aquifer drawn down to a level."""

    level_m: float
    context: PlanContext
    path: SequencePath


def relief(context: PlanContext, best: SequencePath | None) -> tuple[Alternate, ...]:
    """Return the least drawdown that builds, where the best plan leaves a length against uplift, or nothing can be built; else nothing."""
    if best is not None and (best.score.unlikely_m + best.score.unknown_m <= 0.0 or not _is_lifted(context, best)):
        return ()
    for aquifer in context.ground.aquifers:
        likely = aquifer.level_m.likely
        if aquifer.kind != "main" and likely is not None and likely < aquifer.top_m:
            drawn_down = _least_drawdown(context, aquifer, likely, best)
            if drawn_down is not None:
                return (_alternate_with_wells(drawn_down, aquifer, likely),)
    return ()


def _is_lifted(context: PlanContext, best: SequencePath) -> bool:
    """Return whether the water below is what stays open on the planned states."""
    by_id = context.book.by_id
    return any(
        by_id[rule].hazard == "uplift"
        for run in best.runs
        for judged in context.ground.slices
        if judged.top_m < run.base_m and judged.base_m > run.top_m
        for rule in (*judged.verdicts[run.state].rules, *judged.verdicts[run.state].open_musts)
    )


def _least_drawdown(context: PlanContext, aquifer: Aquifer, now_m: float, best: SequencePath | None) -> _DrawnDown | None:
    """Bisect for the highest level of the aquifer at which a plan is left without open hazards."""
    high, low = now_m, max(aquifer.top_m, context.shaft.tip_m) + 1.0
    lowest = _at(context, aquifer, low)
    if lowest is None or (best is not None and lowest.path.score.unsettled_lengths_m >= best.score.unsettled_lengths_m):
        return None
    found = lowest
    while found.level_m - high > STEP_M:
        middle = (found.level_m + high) / 2
        tried = _at(context, aquifer, middle)
        if tried is not None and tried.path.score.unsettled_lengths_m <= lowest.path.score.unsettled_lengths_m:
            found = tried
        else:
            high = middle
    return found


def _alternate_with_wells(drawn_down: _DrawnDown, aquifer: Aquifer, now_m: float) -> Alternate:
    context, path, level = drawn_down.context, drawn_down.path, drawn_down.level_m
    worked, intervals = context.worked(path), context.intervals(path, lambda *_: False)
    why = (
        f"Only by the engineer, where nothing else holds: wells that keep the water of the ground below {mark(aquifer.top_m, 'm')} at "
        f"{height_words(level, 'the ground')} or deeper, {mark(level - now_m, 'm')} lower than it likely stands, from before the drilling "
        f"until the concrete has set. Then: {decision(path, worked.hole, intervals)} The wells, what the drawdown does to neighbours, "
        "and the permit are the engineer's."
    )
    return replace(
        _built_alternate(context, path, FAMILY, intervals, why),
        relative_cost=None,
        drawdown=Drawdown(
            aquifer_top_m=aquifer.top_m,
            aquifer_base_m=aquifer.base_m,
            level_m=round(level, 3),
            levels=context.levels,
            cuts_m=context.cuts_m(),
        ),
    )


def _at(context: PlanContext, aquifer: Aquifer, level_m: float) -> _DrawnDown | None:
    """Return the plan with the aquifer at a level, None where nothing can be built."""
    profile = context.ground.profile
    lowered = drawn_down(profile, (aquifer.top_m, aquifer.base_m), level_m)
    other = PlanContext(context.basis, lowered, context.shaft)
    path = other.best_proven()
    return None if path is None else _DrawnDown(level_m, other, path)
