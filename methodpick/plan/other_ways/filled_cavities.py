"""Cavities that are filled through the shaft when the tool meets them, and drilled again: the ground as it is then, and the steps.

The filling is lean concrete or grout that has set: it stands, holds fluid and is dug as very weak rock. What stands open above a cavity
when it is first met must stand without fluid, for the cavity may take it; what a cavity holds is known to nobody before it is full.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import pi

from methodpick.facts.sheet import FactSheet
from methodpick.facts.strata import Stratum
from methodpick.ground.descriptions.features import FEATURES
from methodpick.ground.profile import Feature, Layer, Profile
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.proving.ground_facts import TOUCH_M
from methodpick.plan.proving.open_hole import soil_that_may_fall_in, takes_fluid
from methodpick.plan.reasons.notes import joined_lengths
from methodpick.plan.sequence.path import SequencePath
from methodpick.unit_markup import mark

HOLLOW_WORDS: tuple[Feature, ...] = ("cavities", "vuggy", "karst", "mined", "open")
"""Features of a layer that its filling takes away."""
FILLING = "intermediate geomaterial, massive"
"""How set filling is described, so that it is read as what it behaves like."""
MOST_NAMED = 4
"""So many cavities are named by their depths."""


def hollow_lengths(context: PlanContext) -> tuple[tuple[float, float], ...]:
    """Return the lengths above the tip that are hollow or likely so; none where the tip stands in a void, which no filling carries."""
    tip_m = context.shaft.tip_m
    found = (
        (stratum.top_m, min(stratum.base_m, tip_m))
        for stratum, sheet in zip(context.gatherer.strata, context.gatherer.sheets, strict=True)
        if stratum.top_m < tip_m and _is_hollow(stratum, sheet)
    )
    last = next((stratum for stratum in reversed(context.gatherer.strata) if stratum.top_m < tip_m), None)
    return () if last is None or last.likely == "void" else joined_lengths(found, TOUCH_M)


def _is_hollow(stratum: Stratum, sheet: FactSheet) -> bool:
    cavities = sheet.choice("cavities")
    return stratum.logged and (stratum.likely == "void" or cavities.likely_yes)


def taking_fluid(context: PlanContext, hollow: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Return those of some hollow lengths that likely take the fluid when they are met: open voids, and where the boring lost its own."""
    pieces = [piece for piece in context.ground.slices if takes_fluid(piece).likely_yes]
    return tuple(length for length in hollow if any(length[0] <= piece.middle_m < length[1] for piece in pieces))


def filled(profile: Profile, hollow: Sequence[tuple[float, float]]) -> Profile:
    """Return a boring as it reads once its hollow lengths are filled: voids are filling, and rock has no cavities left."""
    layers: list[Layer] = []
    voids: list[tuple[float, float]] = []
    for layer in profile.layers:
        if not any(layer.top_m < base_m and layer.base_m > top_m for top_m, base_m in hollow):
            layers.append(layer)
            continue
        is_void = layer.described.likely == "void" or layer.described.soils == {"void"}
        layers.append(_filling(layer) if is_void else _without_cavities(layer))
        voids += [(layer.top_m, layer.base_m)] if is_void else []
    update = {
        "layers": tuple(layers),
        "remarks": tuple(remark for remark in profile.remarks if remark.depth_m is None or not _lies_in(hollow, remark.depth_m)),
        "cores": tuple(run for run in profile.cores if not _lies_in(voids, (run.top_m + run.base_m) / 2)),
        "spt": tuple(test for test in profile.spt if not _lies_in(voids, test.depth_m)),
    }
    return profile.model_copy(update=update)


def _lies_in(lengths: Sequence[tuple[float, float]], depth_m: float) -> bool:
    return any(top_m <= depth_m < base_m for top_m, base_m in lengths)


def _filling(void: Layer) -> Layer:
    return Layer(top_m=void.top_m, base_m=void.base_m, description=FILLING, absent=("cavities", "jointed"))


def _without_cavities(layer: Layer) -> Layer:
    words = layer.description
    for name in HOLLOW_WORDS:
        words = FEATURES[name].sub("", words.lower()) if FEATURES[name].search(words.lower()) else words
    left = tuple(name for name in layer.features if name not in HOLLOW_WORDS)
    absent = tuple(dict.fromkeys((*layer.absent, "cavities")))
    return layer.model_copy(update={"description": words, "features": left, "absent": absent})


def soil_stands_without_fluid(context: PlanContext, path: SequencePath, taking: Sequence[tuple[float, float]]) -> bool:
    """Return whether no soil falls in where a length that takes the fluid is first met; ``context`` is of the filled ground."""
    way = context.built(path)
    meeting = (stage for stage in way.opening_stages() if any(stage.top_m <= top_m < stage.base_m for top_m, _ in taking))
    return not any(soil_that_may_fall_in(context.ground_facts, way, stage)[0] for stage in meeting)


def steps(hollow: Sequence[tuple[float, float]], diameter_m: float, limits: Mapping[str, float]) -> str:
    """Return how cavities are filled and drilled again, with the least volume of the filling and the hours that it sets."""
    cover_m, set_h, area = limits["refill_cover_m"], limits["refill_set_h"], pi * diameter_m**2 / 4
    least_m3 = sum(base_m - top_m + cover_m for top_m, base_m in hollow) * area
    named = ", ".join(f"{mark(top_m, 'm')} to {mark(base_m, 'm')}" for top_m, base_m in hollow[:MOST_NAMED])
    more = f" and {len(hollow) - MOST_NAMED} more" if len(hollow) > MOST_NAMED else ""
    return (
        f"Drill until the tool drops or the fluid is lost ({named}{more} in the boring), sound the hole, and clear nothing out of the "
        f"cavity. Fill it through a tremie with lean concrete or grout to {mark(cover_m, 'm')} above its roof, keep the hole full and let "
        f"the filling set for {mark(set_h, 'h')} at least; then drill through it, and do the same at the next. The hole "
        f"alone takes {mark(least_m3, 'm3')}, a cavity as much as it holds: agree a price by volume and a volume at which work stops. The "
        "engineer says what side resistance counts beside the filling; the base never stands on it."
    )
