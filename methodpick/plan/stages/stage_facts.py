"""The facts of the finished hole, which the stage rules judge."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.facts.gather import Gatherer
from methodpick.plan.concrete.placement import hole_rise
from methodpick.plan.judging.slices import Judged
from methodpick.plan.result import Casing, Concrete, Stage
from methodpick.plan.sequence.path import Path
from methodpick.vocabulary.values import Span, Value, from_bool, known, point

FLUIDS = ("water", "polymer", "mineral")


def stage_values(
    gatherer: Gatherer, judged: Sequence[Judged], path: Path, stages: Sequence[Stage], concrete: Concrete, casings: Sequence[Casing]
) -> dict[str, Value]:
    """Return the facts of the finished hole on top of the site's and the shaft's."""
    values = gatherer.base.values()
    hours = sum(stage.hours or 0.0 for stage in stages)
    strings = path.strings
    soft = any(
        one_.slice.stratum.likely == "organic"
        or (
            one_.slice.stratum.likely == "clay"
            and one_.cut.decided
            and one_.slice.sheet.choice("consistency").likely in {"very_soft", "soft"}
        )
        for one_ in judged
    )
    values.update(
        {
            "hours_open": point(hours),
            "hole_rise_m_h": hole_rise(judged, path),
            "hole_has_fluid": from_bool(path.last != "dry"),
            "seal_certain": from_bool(all(segment.sealed == "yes" for segment in strings) if path.last == "dry" else False),
            "pour_hours": point(concrete.pour_hours),
            "uses_temporary_casing": from_bool(any(not one_.keep for one_ in strings)),
            "uses_permanent_casing": from_bool(any(one_.keep for one_ in strings)),
            "fluid": known(path.fluid or "no_fluid"),
            "stage_soft_clay": from_bool(soft),
            "stage_clean_ground": from_bool(_clean_under_fluid(judged, path)),
            "strings": point(float(len(strings))),
            "vibrates": from_bool(any(one_.way in {"vibrated", "driven"} for one_ in strings)),
        }
    )
    values["free_fall_m"] = point(concrete.free_fall_m or 0.0)
    return values | _of_pulls(concrete, casings)


def _clean_under_fluid(judged: Sequence[Judged], path: Path) -> bool:
    """Return whether a length drilled under fluid is likely clean sand, gravel or cobbles."""
    runs = [run for segment in path.segments for run in segment.runs if run.state in FLUIDS]
    return any(
        one_.slice.stratum.likely in {"clean_sand", "clean_gravel", "silty_gravel", "cobbles"}
        and any(one_.slice.top_m < run.base_m and one_.slice.base_m > run.top_m for run in runs)
        for one_ in judged
    )


def _of_pulls(concrete: Concrete, casings: Sequence[Casing]) -> dict[str, Value]:
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
        "seat_uplift_factor": point(min([seat.uplift_factor for seat in seats if seat.uplift_factor is not None] + [1000.0])),
    }
