"""Concrete: placement and why, volumes apart by their cause, tremie and trucks, the pulls of casing, workable time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from math import ceil
from typing import Literal

from methodpick.facts.curves import HoleFluid
from methodpick.mechanics.concrete import tremie_charge
from methodpick.mechanics.earth_pressure import unit_weight
from methodpick.plan.concrete.hole import HolePart, Volumes, area, bell_volume, below, bores_of, curve_of, parts_of
from methodpick.plan.concrete.pull_steps import PullSite, fluid_around, pull_steps
from methodpick.plan.concrete.pulls import PullTerms
from methodpick.plan.demands.ground_on_casing import ExternalPressure, external_pressure
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.plan.result import Casing, Concrete, Placement, PullStep, Tremie
from methodpick.plan.sequence.path import SequencePath
from methodpick.records import record
from methodpick.terms import FLUID_NAMES, FLUIDS
from methodpick.unit_markup import bare_number, mark, number_span
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span, sum_of

GROUND_NOT_KNOWN = Placement("wet", "The ground is not known to the tip: plan on a tremie until it is.")


@record
class FinishedHole:
    """What a path leaves to be concreted: its casings, dry or wet placement, the concrete."""

    casings: tuple[Casing, ...]
    placement: Placement
    concrete: Concrete


@record
class StandingFluids:
    """What the hole is drilled under, what stands at the tip in the end, and the water that an empty hole is filled with for a wet pour.

    What it was drilled under still stands round a casing where the hole itself was emptied.
    """

    drilled_under: HoleFluid | None
    at_tip: HoleFluid | None
    water: HoleFluid | None

    @property
    def over_concrete(self) -> HoleFluid | None:
        """Return what stands over the concrete where it is placed wet."""
        return self.at_tip or self.water


# ---- dry or wet


def hole_rise(slices: Sequence[JudgedSlice], path: SequencePath) -> Span:
    """Return the rise of water in the emptied hole in m/h from all lengths that no sealed casing shuts off."""
    return rise_below(slices, max((segment.base_m for segment in path.strings if segment.sealed in {"yes", "probable"}), default=0.0))


def rise_below(slices: Sequence[JudgedSlice], sealed_m: float) -> Span:
    """Return the rise of water in the emptied hole in m/h from all lengths below a depth in m.

    Where the water or the permeability of one of them has no likely value, neither has the rise.
    """
    rises = [
        rise
        for judged in slices
        if judged.top_m >= sealed_m - 1e-6 and judged.logged and "seepage_rise_m_h" in judged.sheet.facts
        if isinstance(rise := judged.sheet.value("seepage_rise_m_h"), Span)
    ]
    return sum_of(rises)


def decide_placement(slices: Sequence[JudgedSlice], path: SequencePath, dry_rise: Limit) -> Placement:
    """Decide dry or wet concrete: by what stands in the hole, then by the likely rise against the dry limit."""
    if path.last in FLUIDS:
        return Placement("wet", f"The hole stands full of {FLUID_NAMES[path.last]} when the tip is reached: tremie.")
    if path.last in {"cased_plug", "cased_balanced"}:
        return Placement("wet", "The casing is not sealed at the tip and stays full: tremie.")
    rise, limit = hole_rise(slices, path), mark(dry_rise.value, "m/h") + dry_rise.beside
    ends = number_span(rise.low, rise.high, "m/h")
    spread = ends if rise.likely is None else f"likely {bare_number(rise.likely, 'm/h')}, {ends}"
    if rise.high <= dry_rise.value:
        return Placement("dry", f"Water rises slower than {limit} ({spread}).")
    if rise.likely is None and rise.low <= dry_rise.value:
        return Placement(
            "wet",
            f"Nobody knows yet how fast water rises; dry below {limit} ({ends}). Plan on letting the emptied hole fill above the water "
            "outside and placing by tremie, and pour dry only where a measured rise allows it.",
        )
    if rise.likely is None or rise.likely > dry_rise.value:
        return Placement(
            "wet", f"Water rises in the emptied hole by more than {limit} ({spread}). Let it fill above the water outside, then tremie."
        )
    measured = "Measure the rise before the pour, and fill and tremie if it is faster."
    return Placement("dry", f"Water likely rises slower than {limit} ({bare_number(rise.likely, 'm/h')}, {ends}). {measured}")


# ---- volumes, tremie, trucks


def plan_concrete(ground: JudgedGround, casings: Sequence[Casing], placement: Placement, fluids: StandingFluids) -> Concrete:
    """Return placement, volumes and pulls. Theoretical is the design diameter from cut-off to tip."""
    shaft, limits, wet = ground.shaft, ground.limits, placement.state != "dry"
    inside, outside = fluids.over_concrete if wet else None, external_pressure(ground)
    finish = _finished_level(shaft.cutoff_m, outside, limits, wet=wet)
    parts = parts_of(ground, casings, finish)
    volumes = below(parts, shaft.cutoff_m)
    over_pour = below(parts, finish).fill_m3 - volumes.fill_m3
    kept = wet and _starter_stays(casings, shaft.cutoff_m, outside, finish, limits)
    pulls = _pulls(ground, casings, (fluids.drilled_under, inside), (outside, finish), parts)
    pulls = tuple(step for step in pulls if not (kept and casings[step.casing_no - 1].is_starter))
    rate, workable = _supply(volumes.expected_m3, _workable_hours(ground, 0.0, pulls), limits)
    pour_hours, truck, manner = volumes.expected_m3 / rate, limits["truck_m3"], _manner(casings, wet=wet)
    slump = "dry" if manner == "free_fall" else "wet"
    return Concrete(
        placement=manner,
        why=placement.why,
        pour_hours=pour_hours,
        free_fall_m=shaft.tip_m - shaft.cutoff_m if manner == "free_fall" else None,
        tremie_embedment_m=limits["tremie_embedment_m"] if wet else None,
        pulls=pulls,
        bulging_ratio=_bulging_ratio(ground.slices),
        over_pour_m3=over_pour,
        finished_level_m=finish,
        slump_min_m=limits[f"slump_{slump}_min_m"],
        slump_max_m=limits[f"slump_{slump}_max_m"],
        tremie=_tremie(parts, inside, limits) if inside is not None else None,
        truck_m3=truck,
        trucks=ceil((volumes.expected_m3 + over_pour) / truck),
        trucks_high=ceil((volumes.expected_high_m3 + over_pour) / truck),
        truck_every_h=truck / rate,
        pull_hours=_pull_hours(pulls, limits),
        workable_needed_h=_workable_hours(ground, pour_hours, pulls),
        workable_h=workable,
        curve=curve_of(parts),
        extraction=(),
        starter_kept=kept,
        **_volume_parts(volumes),
    )


def _volume_parts(volumes: Volumes) -> dict[str, float]:
    """Return the volumes of a hole by the names that they have in the record of its concrete."""
    return {
        "theoretical_m3": volumes.theoretical_m3,
        "fill_m3": volumes.fill_m3,
        "expected_low_m3": volumes.expected_low_m3,
        "expected_m3": volumes.expected_m3,
        "expected_high_m3": volumes.expected_high_m3,
        "casing_oversize_m3": volumes.fill_m3 - volumes.theoretical_m3,
        "overbreak_low_m3": volumes.low_m3,
        "overbreak_m3": volumes.likely_m3,
        "overbreak_high_m3": volumes.high_m3,
    }


def _manner(casings: Sequence[Casing], *, wet: bool) -> Literal["free_fall", "drop_pipe", "tremie"]:
    """Return how concrete is placed: what is soft enough for a casing to be pulled is let down in a dry hole, not dropped."""
    if wet:
        return "tremie"
    return "drop_pipe" if any(casing.kind == "temporary" for casing in casings) else "free_fall"


def _finished_level(cutoff_m: float, outside: ExternalPressure, limits: Mapping[str, float], *, wet: bool) -> float:
    """Return the level that concrete is brought to: the cut-off, or higher, but not above the ground.

    It is higher where it is cast over under fluid, so that it balances the water outside at the cut-off, and where water outside above
    the cut-off would run onto it in a dry hole.
    """
    if cutoff_m <= 0.0:
        return cutoff_m
    balance = cutoff_m - outside.pressure(cutoff_m, gap=False) / limits["concrete_unit_weight_kn_m3"]
    return max(0.0, min(cutoff_m - limits["overcast_m"], balance) if wet else min(balance, outside.water_level(cutoff_m)))


def _starter_stays(
    casings: Sequence[Casing], cutoff_m: float, outside: ExternalPressure, finish_m: float, limits: Mapping[str, float]
) -> bool:
    """Return whether a starter must stay until the concrete has set: water outside stands higher over the cut-off than it balances."""
    over_cutoff = limits["concrete_unit_weight_kn_m3"] * max(0.0, cutoff_m - finish_m)
    pressed = outside.pressure(max(0.0, cutoff_m), gap=False)
    return any(casing.is_starter for casing in casings) and over_cutoff < pressed - 1e-6


def _supply(volume_m3: float, other_h: float, limits: Mapping[str, float]) -> tuple[float, float]:
    """Return the supply of concrete in m3/h and the hours that the mix must stay workable, with a fifth of them in hand.

    A pour that the usual mix would not outlast asks for a retarded one, as long as those last; beyond that for more supply.
    """
    share = limits["workable_near_h"] / limits["workable_h"]
    usual, rate = limits["workable_h"], limits["pour_rate_m3_h"]
    hours = volume_m3 / rate + other_h
    if hours <= usual * share:
        return rate, usual
    asked = ceil(hours / share * 2) / 2
    if asked <= limits["workable_most_h"]:
        return rate, max(usual, asked)
    left = limits["workable_most_h"] * share - other_h
    return (max(rate, volume_m3 / left) if left > 0 else rate), limits["workable_most_h"]


def _bulging_ratio(slices: Sequence[JudgedSlice]) -> float | None:
    """Return the greatest likely bulging ratio, None where none is known."""
    ratios = [judged.sheet.span("bulging_ratio").likely for judged in slices if "bulging_ratio" in judged.sheet.facts]
    return max((ratio for ratio in ratios if ratio is not None), default=None)


def _tremie(parts: Sequence[HolePart], inside: HoleFluid, limits: Mapping[str, float]) -> Tremie:
    """Return the tremie; the hole at the base is as wide as the lowest part."""
    lowest = parts[-1]
    across = lowest.volumes.fill_m3 / (lowest.base_m - lowest.top_m)
    pipe, gap, embedded = limits["tremie_pipe_m"], limits["tremie_gap_m"], limits["tremie_start_m"]
    fluid_m = max(0.0, lowest.base_m - inside.level_m - gap - embedded)
    charge = tremie_charge(
        (across / area(1.0)) ** 0.5, pipe, gap, embedded, fluid_m, unit_weight(inside.density_kg_m3), limits["concrete_unit_weight_kn_m3"]
    )
    lifted_from = max(parts[0].top_m, lowest.base_m - gap - limits["tremie_embedment_m"])
    return Tremie(
        pipe_m=pipe,
        gap_m=gap,
        embedment_m=limits["tremie_embedment_m"],
        charge_m3=charge,
        before_lift_m3=below(parts, lifted_from).casings_in_m3,
    )


# ---- pulls


def _pulls(
    ground: JudgedGround,
    casings: Sequence[Casing],
    fluids: tuple[HoleFluid | None, HoleFluid | None],
    finish: tuple[ExternalPressure, float],
    parts: Sequence[HolePart],
) -> tuple[PullStep, ...]:
    """Return the lifts; fluid that stands around a casing above the finished level only runs onto the concrete and is not counted.

    ``fluids`` are what was drilled under and what stands over the concrete, ``finish`` what presses outside and the finished level.
    """
    (drilled_under, inside), (outside, finish_m), limits = fluids, finish, ground.limits
    if drilled_under is not None:
        outside = replace(outside, fluid=drilled_under._replace(level_m=max(drilled_under.level_m, finish_m)))
    terms = PullTerms(
        outside=outside,
        inside=inside,
        concrete_kn_m3=limits["concrete_unit_weight_kn_m3"],
        margin_kpa=limits["shoe_margin_kpa"],
        least_head_m=limits["pull_head_m"],
        finish_m=max(0.0, finish_m),
        shortest_lift_m=limits["shortest_lift_m"],
    )
    main = ground.aquifers[0]
    water = main.level_m.likely if main.level_m.likely is not None else main.level_m.high if main.read else None

    site = PullSite(
        casings=casings,
        hole=bores_of(ground.shaft, casings),
        fluid=fluid_around(drilled_under, water),
        bell_m3=bell_volume(ground.shaft, limits["bell_height_share"]),
        overbroken_m3=partial(_overbreak_between, parts),
    )
    return pull_steps(site, terms)


def _overbreak_between(parts: Sequence[HolePart], top_m: float, base_m: float) -> float:
    """Return the high overbreak between two depths."""
    return _high_below(parts, top_m) - _high_below(parts, base_m)


def _high_below(parts: Sequence[HolePart], depth_m: float) -> float:
    total = 0.0
    for part in parts:
        if part.base_m > depth_m:
            share = 1.0 if part.top_m >= depth_m else (part.base_m - depth_m) / (part.base_m - part.top_m)
            total += share * part.volumes.high_m3
    return total


def _pull_hours(pulls: Sequence[PullStep], limits: Mapping[str, float]) -> float:
    """Return the hours of all pulls: half of what setting takes for each casing, and a stop to refill for each further lift."""
    return sum(limits["hours_casing_set"] / 2 if step.lift_no == 1 else limits["hours_refill"] for step in pulls)


def _workable_hours(ground: JudgedGround, pour_hours: float, pulls: Sequence[PullStep]) -> float:
    """Return how long concrete must flow: waiting, the pour, and the pulls of casings that it stands in."""
    wait = ground.site.schedule.concrete_wait_h or 0.0
    return wait + pour_hours + _pull_hours([step for step in pulls if step.level_before_m is not None], ground.limits)
