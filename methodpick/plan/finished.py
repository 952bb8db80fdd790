"""The finished hole: placement of the concrete, its facts for the stage rules, the method's name and the decision."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.facts.gather import Gatherer
from methodpick.plan.judge import Judged
from methodpick.plan.levels import Levels
from methodpick.plan.path import Path
from methodpick.plan.result import Casing, Concrete, Interval, Method, Placement, Stage
from methodpick.unit_markup import mark
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span, Value, from_bool, known, point

FLUIDS = ("water", "polymer", "mineral")
_BY = {
    "twisted": "by twisting",
    "vibrated": "by vibration",
    "driven": "by driving",
    "oscillated": "by oscillator or rotator",
    None: "by pushing",
}
_WORDS = {"water": "water", "polymer": "polymer fluid", "mineral": "mineral slurry"}


def hole_rise(judged: Sequence[Judged], path: Path) -> Span:
    """Return the rise of water in the emptied hole from all lengths that no sealed casing shuts off."""
    sealed = max((segment.base_m for segment in path.strings if segment.sealed in {"yes", "probable"}), default=0.0)
    low = likely = high = 0.0
    for one_ in judged:
        if one_.slice.top_m < sealed - 1e-6 or not one_.cut.decided:
            continue
        span = one_.slice.sheet.value("seepage_rise_m_h")
        if "seepage_rise_m_h" not in one_.slice.sheet.facts or not isinstance(span, Span):
            continue
        low, high = low + span.low, high + span.high
        likely += span.likely if span.likely is not None else (span.low + span.high) / 2
    return Span(low, max(high, likely, low), min(max(likely, low), max(high, low)))


def decide_placement(judged: Sequence[Judged], path: Path, dry_rise: Limit, *, decided: bool) -> Placement:
    """Decide dry or wet concrete: by what stands in the hole, then by the likely rise against the dry limit."""
    if not decided:
        return Placement("wet", "The ground is not known to the tip: plan on a tremie until it is.")
    if path.last in FLUIDS:
        return Placement("wet", f"The hole stands full of {_WORDS[path.last]} when the tip is reached: tremie.")
    if path.last in {"cased_plug", "cased_balanced"}:
        return Placement("wet", "The casing is not sealed at the tip and stays full: tremie.")
    rise, limit = hole_rise(judged, path), dry_rise.value
    said = mark(limit, "m/h") + dry_rise.beside
    near = rise.likely if rise.likely is not None else rise.high
    spread = f"likely {mark(near, 'm/h')}, {mark(rise.low, 'm/h')} to {mark(rise.high, 'm/h')}"
    if near > limit:
        return Placement("wet", f"Water would rise in the emptied hole by more than {said} ({spread}): let it fill and place by tremie.")
    if rise.high > limit:
        return Placement(
            "dry",
            f"Water likely rises slower than {said} ({spread}); measure the rise before the pour, and fill and tremie if it is faster.",
        )
    return Placement("dry", f"Water rises slower than {said} ({spread}).")


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


def method_of(intervals: Sequence[Interval], starter_base_m: float) -> Method:
    """Name the method: the one support of the shaft, or a combination; the starter does not count."""
    supports = {
        interval.support
        for interval in intervals
        if not (interval.support == "temporary_casing" and interval.base_m <= starter_base_m + 1e-6)
    }
    known = supports - {"undecided"}
    if not known:
        return "temporary_casing" if not supports and intervals else "undecided"
    return next(iter(known)) if len(known) == 1 else "combination"


def fluid_of(path: Path, levels: Levels) -> float | None:
    """Return the level of the support fluid, None where the plan has none."""
    return None if path.fluid is None else levels.fluid_m[path.fluid]


def decision(path: Path, casings: Sequence[Casing], placement: Placement, intervals: Sequence[Interval], levels: Levels) -> str:
    """State the method in one sentence."""
    if not path.built:
        return (
            "No way of building this shaft is left by the rules and by what the site leaves open: see the reasons and the other ways, "
            "and ask the engineer."
        )
    parts: list[str] = []
    strings = [casing for casing in casings if casing.kind != "starter"]
    number = 0
    for segment in path.segments:
        for run in segment.runs:
            if run.state == "dry":
                parts.append(f"{'bail, then ' if segment.bails and run is segment.runs[0] else ''}drill dry to {mark(run.base_m, 'm')}")
            elif run.state in FLUIDS:
                parts.append(f"drill under {_WORDS[run.state]} to {mark(run.base_m, 'm')}")
            elif segment.casing == "advanced" and run is segment.runs[-1]:
                plug = any(one.state == "cased_plug" for one in segment.runs)
                how = "ahead of the dig" if plug else "with the dig, kept full,"
                parts.append(f"advance casing {how} {_BY[segment.way]} to {mark(run.base_m, 'm')}")
        if segment.casing != "none":
            casing = strings[number]
            number += 1
            seal = {"yes": " and seal it", "probable": " and prove its seal", "no": ""}[casing.sealed]
            if segment.casing == "set":
                parts.append(f"set {casing.kind} casing to {mark(casing.base_m, 'm')}{seal}")
            else:
                parts[-1] += f", {casing.kind} casing{seal}"
    gap = next((interval for interval in intervals if interval.support == "undecided"), None)
    text = ", ".join(parts)
    text = (text[0].upper() + text[1:] if text else "Nothing is decided") + "; "
    text += {"wet": "concrete by tremie.", "dry": "concrete in the dry."}[placement.state]
    if gap is not None:
        text += f" From {mark(gap.top_m, 'm')} down nothing is decided: the log says nothing there."
    del levels
    return text
