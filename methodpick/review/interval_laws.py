"""The intervals of a way: they tile the shaft, agree with casings and stages, with the rules, and are firm only where all holds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts
from methodpick.plan.result import Interval, ShaftPlan, Stage
from methodpick.review.contradiction import Contradiction, number, word
from methodpick.review.plan_file import WrittenWay
from methodpick.terms import FLUIDS, STATES
from methodpick.vocabulary.values import Span

CASING_VERDICTS = ("pull_out", "leave_in")
DRY_STANDS = frozenset({"allowed", "discouraged", "doubtful"})
FREE = frozenset({"allowed", "discouraged"})
UNCASED = frozenset({"dry", *FLUIDS})


def check_intervals(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the intervals of a way contradict the shaft, its stages and casings, or the rules."""
    intervals = way.intervals or ()
    yield from _tiling(ground, intervals)
    for interval in intervals:
        if pieces := ground.slices(interval.top_m, interval.base_m):
            yield from _held(ground, way, interval, pieces)
            yield from _judged(interval, pieces)


def _tiling(ground: GroundFacts, intervals: Sequence[Interval]) -> Iterator[Contradiction]:
    """Return where intervals do not follow each other from the top to the tip."""
    ends = (0.0, *(interval.base_m for interval in intervals))
    for interval, top in zip(intervals, ends, strict=False):
        yield from number(f"{_name(interval)}, top_m", interval.top_m, top)
        if not ground.slices(interval.top_m, interval.base_m):
            yield Contradiction(_name(interval), "an interval", "none: it has no length")
    yield from number("base_m of the last interval", ends[-1], ground.shaft.tip_m)


def check_without_method(ground: GroundFacts, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where a shaft without a method holds work or a decided length, or one with a method has no concrete."""
    has_concrete = shaft.placement is not None and shaft.concrete is not None
    yield from word("placement and concrete", has_concrete, shaft.has_method)
    if shaft.has_method:
        return
    for name in ("stages", "casings", "slurries", "quantities", "checks", "nights"):
        yield from word(f"number of {name}", len(getattr(shaft, name)), 0)
    yield from _tiling(ground, shaft.intervals)
    for interval in shaft.intervals:
        if pieces := ground.slices(interval.top_m, interval.base_m):
            yield from _judged(interval, pieces)


def check_confidence(ground: GroundFacts, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return firm lengths of the plan that the cautious plan holds otherwise, that are in a doubtful state, or that a check leaves open."""
    doubtful = [check for check in shaft.checks if check.result not in {"holds", "little_margin"}]
    for interval in shaft.intervals:
        if interval.confidence != "firm":
            continue
        for piece in ground.slices(interval.top_m, interval.base_m):
            middle = (max(piece.slice.top_m, interval.top_m) + min(piece.slice.base_m, interval.base_m)) / 2
            against = [check.id for check in doubtful if check.top_m < middle < check.base_m]
            other = None if shaft.cautious is None else _at(shaft.cautious.intervals, middle)
            if other is not None and other.support != interval.support:
                against.append("the cautious plan")
            states = {state for state in (interval.drilled_in, *interval.later_in, interval.fluid) if state is not None}
            against += [f"{state}, its strength not tested" for state in sorted(states & UNCASED) if _leans_on_words(ground, piece, state)]
            against += [f"{state}, {verdict}" for state in sorted(states) if (verdict := piece.verdicts[state].state) not in FREE]
            if against:
                yield Contradiction(
                    f"{_name(interval)}, confidence", "firm", f"conditional: {', '.join(dict.fromkeys(against))} speaks against it"
                )
                break


def _leans_on_words(ground: GroundFacts, piece: JudgedSlice, state: str) -> bool:
    """Return whether clay of untested strength is loaded by more than the rulebook lets it be without a doubt."""
    share = piece.values(state).get("overload_share")
    tested = piece.sheet.choice("strength_tested").values == {"yes"}
    return isinstance(share, Span) and share.high > ground.limits["overload_share_untested"].value and not tested


def check_method(ground: GroundFacts, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where the method of the shaft is not that of its intervals; what only the starter holds does not count."""
    starter = ground.levels.starter_base_m
    supports = {
        interval.support
        for interval in shaft.intervals
        if not (interval.support == "temporary_casing" and interval.base_m <= starter + TOUCH_M)
    }
    known = supports - {"undecided"}
    right = next(iter(known)) if len(known) == 1 else "combination" if known else "undecided" if supports else "temporary_casing"
    yield from word("method", shaft.method, right)


def _name(interval: Interval) -> str:
    return f"interval {interval.top_m:.2f} m to {interval.base_m:.2f} m"


def _at(intervals: tuple[Interval, ...], depth_m: float) -> Interval | None:
    return next((interval for interval in intervals if interval.top_m <= depth_m <= interval.base_m), None)


def _judged(interval: Interval, pieces: Sequence[JudgedSlice]) -> Iterator[Contradiction]:
    """Check layer, class and verdicts against the ground."""
    stratum, name = pieces[0].slice.stratum, _name(interval)
    yield from word(f"{name}, layer", interval.layer, stratum.layer.description or stratum.layer.symbol or "no data")
    yield from word(f"{name}, soil_class", interval.soil_class, stratum.likely or "unknown")
    yield from word(f"{name}, slab", str(interval.slab), str(stratum.words.slab))
    for state in (*STATES, *CASING_VERDICTS):
        written = (interval.verdicts if state in STATES else interval.casing_verdicts).get(state)
        if written is None:
            yield Contradiction(f"{name}, verdict of {state}", "nothing", pieces[0].verdicts[state].state)
            continue
        for piece in pieces if state in STATES else pieces[:1]:
            yield from word(f"{name}, verdict of {state}", written.state, piece.verdicts[state].state)
        yield from word(f"{name}, rules of {state}", written.rules, pieces[0].verdicts[state].rules)


def _held(ground: GroundFacts, way: WrittenWay, interval: Interval, pieces: Sequence[JudgedSlice]) -> Iterator[Contradiction]:
    """Check support, fluid and states of an interval against the stages and casings."""
    name, logged = _name(interval), pieces[0].slice.stratum.logged
    if (interval.confidence == "undecided") != (interval.support == "undecided"):
        yield Contradiction(f"{name}, confidence", interval.confidence, "undecided where the support is, and nowhere else")
    if not logged:
        yield from word(f"{name}, support", interval.support, "undecided")
        return
    middle = (interval.top_m + interval.base_m) / 2
    states = _states_at(ground, way, middle, pieces)
    cover = [casing for casing in way.built.strings if casing.base_m >= middle]
    if cover:
        kind = "permanent_casing" if any(casing.kind == "permanent" for casing in cover) else "temporary_casing"
        right: tuple[str, str | None] = (kind, None)
    elif middle <= ground.levels.starter_base_m:
        right, states = _in_starter(way, pieces[0])
    else:
        right = ("slurry", states[-1]) if states and states[-1] in FLUIDS else ("dry", None)
    yield from word(f"{name}, support and fluid", (interval.support, interval.fluid), right)
    written = (interval.drilled_in, *interval.later_in)
    yield from word(f"{name}, drilled_in and later_in", written, tuple(states))


def _in_starter(way: WrittenWay, piece: JudgedSlice) -> tuple[tuple[str, str | None], list[str]]:
    """Return support, fluid and states of the length in the starter: it counts as support only where no open state is allowed."""
    last = _last(way)
    dry = piece.verdicts["dry"].state in DRY_STANDS
    pushed = "dry" if dry else "cased_plug"
    if last in FLUIDS and piece.verdicts[last].state in DRY_STANDS:
        return ("slurry", last), [pushed, last]
    if dry and last not in FLUIDS:
        return ("dry", None), ["dry"]
    return ("temporary_casing", None), ["cased_plug"]


def _last(way: WrittenWay) -> str:
    drilled = [stage.state for stage in way.built.opening_stages() if stage.action != "bell"]
    return drilled[-1] or "" if drilled else ""


def _states_at(ground: GroundFacts, way: WrittenWay, depth_m: float, pieces: Sequence[JudgedSlice]) -> list[str]:
    """Return the states in which the ground at a depth stands, from its drilling until the tip is reached, each once.

    That of the starter's length and of a pit over the drilling grade is dug before the stages drill.
    """
    found: list[str] = []
    dug_m = ground.levels.starter_base_m if way.built.starter is not None else ground.levels.floor_m
    dug_m = max([dug_m, *(casing.dug_m for casing in way.built.strings)])
    if depth_m < dug_m:
        found.append("dry" if pieces[0].verdicts["dry"].state in DRY_STANDS else "cased_plug")
    covered = False
    for stage, following in pairwise((*_opening(way), None)):
        if stage is None:
            break
        if not found and _opens(way, stage, depth_m):
            found.append(stage.state or "")
        elif found and stage.state is not None and not covered and stage.base_m > depth_m and not _opens(way, stage, depth_m):
            found.append(stage.state)
        casing = next((known for known in way.built.strings if abs(known.base_m - stage.base_m) < TOUCH_M), None)
        if found and casing is not None and casing.base_m >= depth_m and stage.action in {"set_casing", "advance_casing"}:
            covered = True
            emptied = stage.state == "cased_dry" or (following is not None and following.state == "dry")
            found.append("cased_dry" if emptied else "cased_balanced")
    return [found[0], *(state for state in dict.fromkeys(found) if state != found[0])] if found else []


def _opening(way: WrittenWay) -> list[Stage]:
    """Return the stages that drill or bring casing."""
    return [stage for stage in way.built.stages if stage.action in {"drill", "advance_casing", "set_casing"}]


def _opens(way: WrittenWay, stage: Stage, depth_m: float) -> bool:
    """Return whether a stage opens the ground at a depth; a casing that is pushed opens what nothing drilled before."""
    if stage.action != "set_casing":
        return stage.top_m <= depth_m <= stage.base_m
    drilled = max((other.base_m for other in _opening(way) if other.no < stage.no), default=0.0)
    return stage.state is not None and drilled <= depth_m <= stage.base_m
