"""The facts of the finished hole, which the stage rules judge: of a path that is worked out, and of a shaft on which nothing is decided."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from methodpick.facts.aquifer import highest_rising
from methodpick.facts.curves import NO_UPLIFT
from methodpick.plan.concrete.placement import FinishedHole, hole_rise, rise_below
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.plan.result import Casing, Concrete, Stage
from methodpick.plan.sequence.path import SequencePath
from methodpick.plan.sequence.search_input import carries_by_stiff_clay, ways_at_hand
from methodpick.plan.sequence.seats import is_clear_of_water
from methodpick.terms import FLUIDS, SETTLING_GROUND, SHAKING_WAYS
from methodpick.vocabulary.values import Span, Value, from_bool, known, point


def stage_values(ground: JudgedGround, path: SequencePath, hole: FinishedHole, stages: Sequence[Stage]) -> dict[str, Value]:
    """Return the facts of the finished hole on top of the site's and the shaft's."""
    strings, at_hand = path.strings, ways_at_hand(ground.site.equipment)

    def is_clear(shoe_m: float) -> bool:
        return is_clear_of_water(ground.aquifers, shoe_m, ground.shaft.diameter_m, ground.site, ground.limits)

    sealed = path.last == "dry" and all(segment.sealed != "probable" or is_clear(segment.base_m) for segment in strings)
    return {
        **ground.shared_values,
        "hours_open": point(sum(stage.hours or 0.0 for stage in stages)),
        "slaking_open_h": point(_slaking_open(ground.slices, hole.casings, stages)),
        "hole_rise_m_h": hole_rise(ground.slices, path),
        "hole_has_fluid": from_bool(path.last != "dry"),
        "seal_certain": from_bool(sealed),
        "pour_hours": point(hole.concrete.pour_hours),
        "uses_temporary_casing": from_bool(any(not string.keep for string in strings)),
        "uses_permanent_casing": from_bool(any(string.keep for string in strings)),
        "fluid": known(path.fluid or "no_fluid"),
        "stage_soft_clay": from_bool(any(_is_soft(judged) for judged in ground.slices)),
        "stage_clean_ground": from_bool(_clean_under_fluid(ground.slices, path)),
        "strings": point(float(len(strings))),
        "vibrates": from_bool(any(string.way in SHAKING_WAYS for string in strings)),
        "stiff_clay_cased_m": point(_stiff_clay_cased(ground, hole.casings)),
        "hires_plant": from_bool(any(string.way is not None and string.way not in at_hand for string in strings)),
        "metric_casing": from_bool(any(ground.trade_sizes.is_metric_on_us_site(string.way) for string in strings)),
        "kept_in_kept": from_bool(sum(string.keep for string in strings) > 1),
        "free_fall_m": point(hole.concrete.free_fall_m or 0.0),
        "emptied_beside_rise_m": point(_rise_beside(ground, hole.casings)),
        **_values_of_pulls(hole.concrete, hole.casings),
    }


_NO, _NONE = from_bool(False), point(0.0)
_NOTHING_BUILT: Mapping[str, Value] = {
    "hours_open": _NONE,
    "slaking_open_h": _NONE,
    "hole_has_fluid": _NO,
    "seal_certain": _NO,
    "pour_hours": _NONE,
    "uses_temporary_casing": _NO,
    "uses_permanent_casing": _NO,
    "fluid": known("no_fluid"),
    "stage_clean_ground": _NO,
    "strings": _NONE,
    "vibrates": _NO,
    "stiff_clay_cased_m": _NONE,
    "hires_plant": _NO,
    "metric_casing": _NO,
    "kept_in_kept": _NO,
    "free_fall_m": _NONE,
    "casing_residence_h": _NONE,
    "stuck_risk": known("low"),
    "extraction_kn": _NONE,
    "pull_unsafe": _NO,
    "concrete_hours": _NONE,
    "seat_short": _NO,
    "seat_uplift_factor": point(NO_UPLIFT),
    "emptied_beside_rise_m": _NONE,
}
"""The facts of the finished hole where nothing is built: those of the ground come to them."""


def nothing_built(ground: JudgedGround) -> dict[str, Value]:
    """Return the facts of a shaft on which nothing is decided: no hours, casings, fluid and pulls, but the ground as it is."""
    of_ground: dict[str, Value] = {
        "hole_rise_m_h": rise_below(ground.slices, 0.0),
        "stage_soft_clay": from_bool(any(_is_soft(judged) for judged in ground.slices)),
    }
    return {**ground.shared_values, **_NOTHING_BUILT, **of_ground}


def _stiff_clay_cased(ground: JudgedGround, casings: Sequence[Casing]) -> float:
    """Return the length of stiff clay that must carry by its side and through which casing is brought ahead, the last push aside."""
    reach = max((casing.base_m for casing in casings if casing.way is not None), default=0.0)
    tops = [casing.predrill_base_m for casing in casings if casing.way is not None]
    seat = ground.limits["last_push_m"]
    return sum(
        max(0.0, min(judged.base_m, reach - seat) - max(judged.top_m, min(tops)))
        for judged in ground.slices
        if tops and judged.logged and carries_by_stiff_clay(judged.sheet)
    )


def _slaking_open(slices: Sequence[JudgedSlice], casings: Sequence[Casing], stages: Sequence[Stage]) -> float:
    """Return the hours from the stage that opens rock that likely slakes, below all casing, until the concrete is placed."""
    cased_m = max((casing.base_m for casing in casings), default=0.0)
    lengths = [(max(judged.top_m, cased_m), judged.base_m) for judged in slices if judged.sheet.choice("slaking").likely_yes]
    bare = [(top_m, base_m) for top_m, base_m in lengths if base_m > top_m]
    opens = (
        place
        for place, stage in enumerate(stages)
        if stage.action == "drill" and any(stage.top_m < base_m and stage.base_m > top_m for top_m, base_m in bare)
    )
    poured = next((place for place, stage in enumerate(stages) if stage.action == "pour"), len(stages) - 1)
    return sum(stage.hours or 0.0 for stage in stages[next(opens, len(stages)) : poured + 1])


def _rise_beside(ground: JudgedGround, casings: Sequence[Casing]) -> float:
    """Return how far water under pressure beside a casing that is emptied may stand above the ground; 0 where none may."""
    over_water = ground.site.setting == "water"
    emptied = (casing for casing in casings if casing.embedment is not None and casing.embedment.needed_m is not None)
    rising = (highest_rising(ground.aquifers, casing.base_m, over_water=over_water) for casing in emptied)
    return max((-level.low for level in rising if level is not None), default=0.0)


def _is_soft(judged: JudgedSlice) -> bool:
    """Return whether a slice is likely organic, or soft clay."""
    likely = judged.slice.stratum.likely
    if likely != "clay" or not judged.logged:
        return likely == "organic"
    return judged.sheet.choice("consistency").likely in {"very_soft", "soft"}


def _clean_under_fluid(slices: Sequence[JudgedSlice], path: SequencePath) -> bool:
    """Return whether a length drilled under fluid is likely clean sand, gravel or cobbles."""
    runs = [run for run in path.runs if run.state in FLUIDS]
    return any(
        judged.slice.stratum.likely in SETTLING_GROUND and any(judged.top_m < run.base_m and judged.base_m > run.top_m for run in runs)
        for judged in slices
    )


def _values_of_pulls(concrete: Concrete, casings: Sequence[Casing]) -> dict[str, Value]:
    """Return the facts of seats and pulls, of the worst casing each; a starter is short and not counted among those that stick."""
    pulled = [pull for pull in concrete.extraction if pull.kind == "temporary"]
    risk = max((pull.stuck_risk for pull in pulled), key=("low", "medium", "high").index, default="low")
    forces = [Span(pull.pull_low_kn, pull.pull_high_kn, pull.pull_kn) for pull in concrete.extraction]
    seats = [casing.embedment for casing in casings if casing.embedment is not None]
    return {
        "casing_residence_h": point(max((pull.residence_h for pull in pulled), default=0.0)),
        "stuck_risk": known(risk),
        "extraction_kn": max(forces, key=lambda span: span.high, default=point(0.0)),
        "pull_unsafe": from_bool(any(not step.safe for step in concrete.pulls)),
        "concrete_hours": point(concrete.workable_needed_h),
        "seat_short": from_bool(any(seat.needed_m is not None and seat.given_m < seat.needed_m - 1e-6 for seat in seats)),
        "seat_uplift_factor": point(min([seat.uplift_factor for seat in seats if seat.uplift_factor is not None] + [NO_UPLIFT])),
    }
