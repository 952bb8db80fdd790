"""The decision on a shaft in one sentence, the name of its method, and the record of what boring and drawings said."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from methodpick.ground.profile import Profile, Spt
from methodpick.plan.concrete.hole import bell_height
from methodpick.plan.concrete.placement import FinishedHole
from methodpick.plan.judging.slices import JudgedGround
from methodpick.plan.result import Casing, Design, Interval, Log, LogLayer, LogWater, ShaftMethod, Support, decision_words
from methodpick.plan.result.decision_words import Dig, EndOfLog
from methodpick.plan.sequence.path import TOLERANCE_M, Run, Segment, SequencePath
from methodpick.terms import EITHER_TURNS, FLUIDS, words_of_way

# ---- The method of a shaft: its name, and the decision in one sentence


def method_of(lengths: Iterable[tuple[Support, float]], starter_base_m: float) -> ShaftMethod:
    """Name the method from the support and the base of every length: the one support of the shaft, or a combination.

    What the starter holds does not count.

    >>> method_of([("temporary_casing", 1.5), ("dry", 12.0)], 1.5)
    'dry'
    """
    lengths = list(lengths)
    supports = {support for support, base in lengths if not (support == "temporary_casing" and base <= starter_base_m + 1e-6)}
    decided = supports - {"undecided"}
    if not decided:
        return "temporary_casing" if lengths and not supports else "undecided"
    return next(iter(decided)) if len(decided) == 1 else "combination"


def _end_of_log(intervals: Sequence[Interval]) -> EndOfLog:
    """Return what the undecided intervals of a plan that can be built say of its log."""
    lengths: list[tuple[float, float]] = []
    for interval in intervals:
        if interval.support == "undecided":
            joins = bool(lengths) and abs(lengths[-1][1] - interval.top_m) < TOLERANCE_M
            lengths.append((lengths.pop()[0] if joins else interval.top_m, interval.base_m))
    reaches = not lengths or lengths[-1][1] < intervals[-1].base_m - TOLERANCE_M
    return EndOfLog(None, tuple(lengths)) if reaches else EndOfLog(lengths[-1][0], tuple(lengths[:-1]))


def log_says_nothing(intervals: Sequence[Interval]) -> str:
    """State that nothing is decided where the log tells of no ground below the starter."""
    return decision_words.log_says_nothing(next(interval.top_m for interval in intervals if interval.support == "undecided"))


def decision(path: SequencePath, hole: FinishedHole, intervals: Sequence[Interval] = ()) -> str:
    """State the method in one sentence, and of which lengths no log tells."""
    log = _end_of_log(intervals)
    strings = iter([casing for casing in hole.casings if not casing.is_starter])
    parts: list[str] = []
    for index, segment in enumerate(path.segments):
        casing = next(strings) if segment.casing != "none" else None
        parts += [_drilled(segment, run, log, casing) for run in segment.runs if _is_told(segment, run)]
        if casing is not None:
            if segment.casing == "set":
                parts.append(decision_words.casing_set(casing.kind, log.to(casing.top_m, casing.base_m)))
            keeps_water_out = _is_empty_below(path.segments[index + 1 :], hole) and not _is_dug_dry(segment)
            parts[-1] += decision_words.SEAL_WORDS[casing.sealed] if keeps_water_out else ""
    return decision_words.whole(parts, hole.placement.state, log)


def _is_dug_dry(segment: Segment) -> bool:
    """Return whether a casing is dug dry as it goes down: no water stands near, and nothing of its seal is proved by bailing."""
    return segment.casing == "advanced" and segment.runs[-1].state == "cased_dry"


def _is_empty_below(following: Sequence[Segment], hole: FinishedHole) -> bool:
    """Return whether the hole is dug, or at the tip poured, without fluid below a casing, so that its seal keeps the water out."""
    if not following:
        return hole.placement.state == "dry"
    return following[0].runs[0].state == "dry" or (following[0].runs[0].state == "cased_dry" and following[0].casing == "advanced")


def _is_told(segment: Segment, run: Run) -> bool:
    """Return whether a run is named: the open hole, and of an advanced casing the last run."""
    return run.state == "dry" or run.state in FLUIDS or (segment.casing == "advanced" and run is segment.runs[-1])


def _drilled(segment: Segment, run: Run, log: EndOfLog, casing: Casing | None) -> str:
    """Describe how a run is drilled: in the open hole, or inside a casing that goes down with it."""
    to = log.to(run.top_m, run.base_m)
    if run.state == "dry" or run.state in FLUIDS:
        bails = run.state == "dry" and segment.bails and run is segment.runs[0]
        return f"{decision_words.BAIL_FIRST if bails else ''}{decision_words.drilled(run.state, to)}"
    kind, turned_by = ("", EITHER_TURNS) if casing is None else (casing.kind, casing.turned_by)
    plug = any(each.state == "cased_plug" for each in segment.runs)
    dig: Dig = "dry" if run.state == "cased_dry" else "plug" if plug else "full"
    return decision_words.advanced(kind, dig, words_of_way(segment.way, turned_by), to)


# ---- What the boring and the drawings said, as the report shows it


def log_of(ground: JudgedGround) -> Log:
    """Return layers, tests and water of the boring for the strip."""
    profile = ground.profile
    return Log(
        layers=tuple(
            LogLayer(
                top_m=stratum.top_m,
                base_m=stratum.base_m,
                soil_class=stratum.likely or "unknown",
                description=stratum.layer.as_logged,
                symbol=stratum.layer.symbol or "",
                slab=stratum.words.slab,
            )
            for stratum in ground.strata
            if stratum.logged
        ),
        spt=_counts(ground, profile),
        water=tuple(
            LogWater(
                low_m=aquifer.level_m.high,
                likely_m=aquifer.level_m.likely,
                high_m=aquifer.level_m.low,
                aquifer_top_m=aquifer.top_m,
                aquifer_base_m=aquifer.base_m,
                kind=aquifer.kind,
                source=aquifer.source,
                none_met=aquifer.none_met,
            )
            for aquifer in ground.aquifers
            if aquifer.kind != "covered" and (aquifer.read or aquifer.kind != "main")
        ),
        end_m=profile.end_m,
        ground_elevation_m=profile.ground_elevation_m,
        technique=profile.technique,
        cave_in_depth_m=profile.cave_in_depth_m,
        remarks=tuple((remark.depth_m, remark.text) for remark in profile.remarks),
        date=profile.date or "",
    )


def _counts(ground: JudgedGround, profile: Profile) -> tuple[tuple[float, str], ...]:
    """Return the penetration tests by depth; those given on a layer stand at even distances in it."""
    counts = [(test.depth_m, count_text(test)) for test in profile.spt]
    for stratum in ground.strata:
        step = stratum.layer.thickness_m / (len(stratum.layer.n) + 1) if stratum.layer.n else 0.0
        counts += [(round(stratum.top_m + step * (index + 1), 3), str(n)) for index, n in enumerate(stratum.layer.n)]
    return tuple(sorted(counts))


def count_text(test: Spt) -> str:
    """Write a penetration test as the log does: a count, blows over a length at refusal, WOH."""
    if test.weight_of_hammer:
        return "WOH"
    if test.refusal and test.penetration_m is not None:
        return f"{test.n}/{test.penetration_m * 1000:.0f}mm"
    return str(test.n) if test.n is not None else "-"


def design_of(ground: JudgedGround, grade_m: float) -> Design:
    """Return what the drawings say of the shaft; a socket without a diameter of its own has that of the shaft."""
    shaft, site = ground.shaft, ground.site
    return Design(
        socket_top_m=shaft.socket_top_m,
        socket_diameter_m=None if shaft.socket_top_m is None else shaft.socket_diameter_m or shaft.diameter_m,
        bell_diameter_m=None if shaft.bell is None else shaft.bell.diameter_m,
        bell_height_m=None if shaft.bell is None else bell_height(shaft.bell, shaft.diameter_m, ground.limits["bell_height_share"]),
        cage_diameter_m=shaft.cage_diameter_m,
        grade_m=grade_m,
        water_depth_m=site.water_depth_m if site.setting == "water" else None,
    ).placed_at(shaft.position)
