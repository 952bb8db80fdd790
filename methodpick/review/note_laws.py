"""What is said beside a plan: cautions, questions, assumptions and open hazards, as rules and ground ask for them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from methodpick.facts.curves import NO_UPLIFT
from methodpick.facts.of_site import plant_at_hand
from methodpick.facts.of_slice import WAY_PLANT
from methodpick.ground.check import check
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.reasons import notes
from methodpick.plan.result import Casing, ShaftPlan, Stage
from methodpick.review.contradiction import Contradiction, differences
from methodpick.terms import FLUIDS, SETTLING_GROUND, SHAKING_WAYS
from methodpick.unit_markup import mark, spell
from methodpick.vocabulary.values import Span, Value, from_bool, known, point, sum_of

RISKS = ("low", "medium", "high")


def check_notes(ground: GroundFacts, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where cautions, questions, assumptions, hazards and doubts are not those of the ground and the stages."""
    pieces = tuple(piece.slice for piece in ground.judged)
    gathered = ground.gatherer.gathered(pieces)
    yield from differences(shaft.assumptions, notes.assumptions(gathered, ground.ground, shaft.intervals), "assumptions")
    yield from differences(shaft.open_hazards, notes.open_hazards(ground.ground, shaft.intervals), "open_hazards")
    yield from _doubts(ground, shaft, gathered.doubts)
    if shaft.checks:
        values = stage_values(ground, shaft)
        judgement = notes.StageJudgement(ground.book.scopes["stage"].judge(values), values)
        yield from differences(shaft.cautions, notes.cautions(ground.ground, judgement, shaft.intervals), "cautions")
        yield from differences(shaft.gaps, notes.gaps(ground.ground, judgement), "gaps")


def _doubts(ground: GroundFacts, shaft: ShaftPlan, gathered: tuple[str, ...]) -> Iterator[Contradiction]:
    """Return doubts that nothing in the site raises, and doubts about the facts that are left out."""
    site, boring = ground.site, ground.site.boring(shaft.boring)
    alone = site.model_copy(update={"borings": (boring,), "shafts": (ground.shaft,)})
    raised = [
        doubt
        for known_site in (site, alone)
        for doubt in check(known_site, say_m=lambda value: mark(value, "m"), say_kpa=lambda value: mark(value, "kPa"))
    ]
    known_doubts = {spell(f"{doubt.where}: {doubt.message}; {doubt.action}", "si") for doubt in raised}
    of_facts = {spell(text, "si") for text in gathered}
    for text in shaft.doubts:
        if text not in known_doubts | of_facts:
            yield Contradiction("doubts", text, "a doubt that the site raises")
    for text in sorted(of_facts - set(shaft.doubts)):
        yield Contradiction("doubts", "nothing", text)


def stage_values(ground: GroundFacts, shaft: ShaftPlan) -> dict[str, Value]:
    """Return the facts of the finished hole, on top of the site's and the shaft's, from the stages and casings as written."""
    strings = [casing for casing in shaft.casings if not casing.is_starter]
    last = _last_state(shaft.stages)
    return {
        **ground.ground.shared_values,
        "hours_open": point(sum(stage.hours or 0.0 for stage in shaft.stages)),
        "hole_rise_m_h": _rise(ground, max((casing.base_m for casing in strings if casing.sealed != "no"), default=0.0)),
        "hole_has_fluid": from_bool(last != "dry"),
        "seal_certain": from_bool(last == "dry" and all(casing.sealed == "yes" for casing in strings)),
        "pour_hours": point(shaft.concrete.pour_hours),
        "uses_temporary_casing": from_bool(any(casing.kind == "temporary" for casing in strings)),
        "uses_permanent_casing": from_bool(any(casing.kind == "permanent" for casing in strings)),
        "fluid": known("no_fluid" if shaft.slurry is None else shaft.slurry.fluid),
        "stage_soft_clay": from_bool(_has_soft_ground(ground)),
        "stage_clean_ground": from_bool(_has_settling_ground(ground, shaft.stages)),
        "strings": point(float(len(strings))),
        "vibrates": from_bool(any(casing.way in SHAKING_WAYS for casing in strings)),
        "stiff_clay_cased_m": point(_stiff_clay_cased(ground, strings)),
        "hires_plant": from_bool(any(_is_hired(ground, casing) for casing in strings)),
        "free_fall_m": point(shaft.concrete.free_fall_m or 0.0),
        **_of_pulls(shaft),
    }


def _stiff_clay_cased(ground: GroundFacts, strings: list[Casing]) -> float:
    """Return the stiff clay that counts by its side between where casing starts ahead of the dig and its last push."""
    ahead = [casing for casing in strings if casing.way is not None]
    if not ahead:
        return 0.0
    first = min(casing.predrill_base_m for casing in ahead)
    last = max(casing.base_m for casing in ahead) - ground.limits["last_push_m"].value
    return sum(max(0.0, min(piece.base_m, last) - max(piece.top_m, first)) for piece in ground.judged if _is_stiff(piece))


def _is_stiff(piece: JudgedSlice) -> bool:
    """Return whether a slice is likely stiff clay or harder on whose side the design likely counts."""
    counts = piece.sheet.choice("counts_side_resistance")
    stiff = piece.sheet.choice("consistency").likely in {"stiff", "very_stiff", "hard"}
    return piece.logged and piece.slice.stratum.likely == "clay" and stiff and (counts.likely == "yes" or counts.values == {"yes"})


def _is_hired(ground: GroundFacts, casing: Casing) -> bool:
    """Return whether the site does not name the plant that brings a casing in."""
    named = plant_at_hand(ground.site.site.equipment)
    return casing.way is not None and not any(named[plant] for plant in WAY_PLANT[casing.way])


def _last_state(stages: tuple[Stage, ...]) -> str:
    opened = [stage.state for stage in stages if stage.action in {"drill", "advance_casing", "set_casing"} and stage.state is not None]
    return opened[-1] if opened else ""


def _rise(ground: GroundFacts, sealed_m: float) -> Span:
    """Return the rise of water in the emptied hole in m/h, from all ground below the deepest seal."""
    rises = [
        piece.sheet.span("seepage_rise_m_h")
        for piece in ground.judged
        if piece.top_m >= sealed_m - 1e-6 and piece.logged and "seepage_rise_m_h" in piece.sheet.facts
    ]
    return sum_of(rises)


def _has_soft_ground(ground: GroundFacts) -> bool:
    return any(
        piece.slice.stratum.likely == "organic"
        or (piece.slice.stratum.likely == "clay" and piece.logged and piece.sheet.choice("consistency").likely in {"very_soft", "soft"})
        for piece in ground.judged
    )


def _has_settling_ground(ground: GroundFacts, stages: tuple[Stage, ...]) -> bool:
    """Return whether a length drilled under fluid is likely clean sand, gravel or cobbles."""
    return any(
        piece.slice.stratum.likely in SETTLING_GROUND
        for stage in stages
        if stage.action == "drill" and stage.state in FLUIDS
        for piece in ground.slices(stage.top_m, stage.base_m)
    )


def _of_pulls(shaft: ShaftPlan) -> Mapping[str, Value]:
    """Return the facts of pulls and seats, of the worst casing each."""
    pulled = [pull for pull in shaft.concrete.extraction if pull.kind == "temporary"]
    forces = [Span(pull.pull_low_kn, pull.pull_high_kn, pull.pull_kn) for pull in shaft.concrete.extraction]
    seats = [casing.embedment for casing in shaft.casings if casing.embedment is not None]
    factors = [seat.uplift_factor for seat in seats if seat.uplift_factor is not None]
    return {
        "casing_residence_h": point(max((pull.residence_h for pull in pulled), default=0.0)),
        "stuck_risk": known(max((pull.stuck_risk for pull in pulled), key=RISKS.index, default="low")),
        "extraction_kn": max(forces, key=lambda force: force.high, default=point(0.0)),
        "pull_unsafe": from_bool(any(not step.safe for step in shaft.concrete.pulls)),
        "concrete_hours": point(shaft.concrete.workable_needed_h),
        "seat_short": from_bool(any(seat.needed_m is not None and seat.given_m < seat.needed_m - 1e-6 for seat in seats)),
        "seat_uplift_factor": point(min([*factors, NO_UPLIFT])),
    }
