"""The proofs of what stands round a shaft: vibration at its neighbours, a railway, and the platform under the plant."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import inf

from methodpick.ground.site import Neighbour
from methodpick.plan.checks.inputs import ProvedPlace, multiplied
from methodpick.plan.checks.neighbours import RailwayFacts, VibrationFacts, check_railway, check_vibration
from methodpick.plan.checks.platform import Load, PlatformFacts, check_platform
from methodpick.plan.checks.record import governing
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, answer, su_of
from methodpick.plan.result import Casing
from methodpick.plan.result.checks import Check
from methodpick.terms import COHESIVE, ROCK, SHAKING_WAYS
from methodpick.vocabulary.values import Span, point

GROUND_FACTORS = {
    "very_loose": 1.0,
    "loose": 1.0,
    "medium_dense": 1.5,
    "dense": 3.0,
    "very_dense": 3.0,
    "very_soft": 1.0,
    "soft": 1.0,
    "firm": 1.5,
    "stiff": 1.5,
    "very_stiff": 3.0,
    "hard": 3.0,
}
"""Factor of the vibration of an impact hammer by density or consistency (TRL Report 429, digest)."""
PLATFORM_QUESTION = "How thick is the working platform, how heavy is the plant, and how strong is the ground under it?"
REFUSAL_FACTOR = 5.0
"""The same in rock and at refusal."""


def prove_surroundings(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs of vibration for every casing that is shaken down, of a railway near by, and of the platform on land."""
    for casing in way.strings:
        if casing.way in SHAKING_WAYS:
            yield from _vibration(ground, way, casing)
    yield from _railways(ground)
    if ground.site.site.setting == "land":
        yield from _platform(ground, way)


# ---- neighbours


def _vibration(ground: GroundFacts, way: BuiltWay, casing: Casing) -> Iterator[Check]:
    """Return the proof for the neighbour that is worst off; where the site does not tell of any, the distance is not known."""
    if casing.way is None:
        return
    stage = way.stage_that_sets(casing)
    place = ProvedPlace(None if stage is None else stage.no, casing.base_m, casing.base_m)
    energy = ground.limits["hammer_energy_j"].value
    found: list[Check] = []
    for neighbour in _neighbours(ground):
        facts = VibrationFacts(
            place=place,
            way=casing.way,
            distance_m=None if neighbour.distance_m is None else point(neighbour.distance_m),
            most_mm_s=neighbour.vibration_mm_s,
            energy_j=Span(energy / 2.0, energy * 2.0, energy),
            ground_factor=_ground_factor(ground, casing),
        )
        found += ground.prove(check_vibration, facts)
    if found:
        yield governing(found)


def _neighbours(ground: GroundFacts) -> tuple[Neighbour, ...]:
    said = ground.site.site.neighbours
    return (Neighbour(what="not said"),) if said is None else said


def _ground_factor(ground: GroundFacts, casing: Casing) -> Span:
    """Return the factor of the hardest ground that a casing is driven through."""
    low, likely, high = 1.0, 1.0, 1.0
    for piece in ground.slices(casing.predrill_base_m, casing.base_m):
        if piece.slice.stratum.likely in ROCK | {"intermediate", "cobbles"}:
            low, likely, high = max(low, 3.0), max(likely, REFUSAL_FACTOR), REFUSAL_FACTOR
            continue
        words = answer(piece, "consistency" if piece.slice.stratum.likely in COHESIVE else "density")
        factors = [GROUND_FACTORS.get(word, 1.5) for word in words.values]
        likeliest = GROUND_FACTORS.get(words.likely, 1.5) if words.likely is not None else max(factors)
        low, likely, high = max(low, min(factors)), max(likely, likeliest), max(high, *factors)
    return Span(low, high, likely)


def _railways(ground: GroundFacts) -> Iterator[Check]:
    """Return the proof for the nearest railway; distances of a site are from the hole."""
    rails = [neighbour for neighbour in ground.site.site.neighbours or () if neighbour.is_railway]
    if not rails:
        return
    nearest = min(rails, key=lambda rail: -inf if rail.distance_m is None else rail.distance_m)
    distance = None if nearest.distance_m is None else point(nearest.distance_m)
    yield from ground.prove(check_railway, RailwayFacts(ProvedPlace(None, 0.0, 0.0), distance, nearest.approved))


# ---- the platform


def _platform(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return the proofs of the heaviest track and of the plate of an oscillator, on the ground as it lies or on its fill."""
    top = ground.judged[0]
    thickness = max(0.0, -ground.levels.grade_m)
    strength = su_of(top) if top.slice.stratum.likely in COHESIVE else None
    rock = Span(1000.0, inf) if answer(top, "soil").values <= ROCK else None
    for load in _loads(ground, way):
        facts = PlatformFacts(
            place=ProvedPlace(None, 0.0, 0.0),
            load=load,
            thickness_m=thickness,
            su_kpa=strength,
            bearing_kpa=rock,
            cased=any(casing.top_m <= ground.levels.grade_m + TOUCH_M for casing in way.casings),
        )
        for check in ground.prove(check_platform, facts):
            yield check if ground.site.site.drilling_grade is not None else _asked(check)


def _asked(check: Check) -> Check:
    """Return the proof of a platform of which the site tells nothing: on the bare ground it is short, and its fill is asked about."""
    return check if check.result in {"holds", "little_margin"} else replace(check, result="unknown", remedy=PLATFORM_QUESTION)


def _loads(ground: GroundFacts, way: BuiltWay) -> Iterator[Load]:
    limits = ground.limits
    named, on_track = ground.site.site.equipment.rig_weight_kn, point(limits["track_share"].value)
    rig = Span(limits["rig_weight_low_kn"].value, limits["rig_weight_high_kn"].value) if named is None else point(named)
    yield Load("heaviest track", multiplied(rig, on_track), limits["track_width_m"].value, limits["track_length_m"].value, None)
    oscillated = [casing for casing in way.strings if casing.way == "oscillated"]
    pulls = [pull for pull in way.concrete.extraction if way.casings[pull.casing_no - 1] in oscillated]
    if not pulls:
        return
    worst = max(pulls, key=lambda pull: pull.pull_kn)
    share, side = limits["turning_share"].value, way.casings[worst.casing_no - 1].outside_diameter_m + limits["plate_wider_m"].value
    low, likely, high = (
        share * friction + worst.weight_kn + limits["oscillator_weight_kn"].value
        for friction in (worst.friction_low_kn, worst.friction_kn, worst.friction_high_kn)
    )
    yield Load("plate of the oscillator", Span(low, high, likely), side, side, None)
