"""Concrete: placement and why, volumes apart by their cause, tremie and trucks, the pulls of casing, workable time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import ceil

from methodpick.facts.curves import HoleFluid
from methodpick.facts.gather import Gatherer
from methodpick.mechanics.concrete import tremie_charge
from methodpick.mechanics.stress import unit_weight
from methodpick.plan.casing.external_pressure import Outside, outside_of
from methodpick.plan.concrete.hole import area, bell_volume, bores, socket_of
from methodpick.plan.concrete.pull_steps import fluid_between, pull_steps
from methodpick.plan.concrete.pulls import Terms
from methodpick.plan.concrete.volumes import Part, below, curve_of, parts_of
from methodpick.plan.judging.slices import Judged
from methodpick.plan.result import Casing, Concrete, Placement, PullStep, Tremie
from methodpick.plan.sequence.path import Path
from methodpick.terms import STARTER
from methodpick.unit_markup import mark
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.values import Span

FLUIDS = ("water", "polymer", "mineral")
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


def plan_concrete(
    gatherer: Gatherer,
    judged: Sequence[Judged],
    casings: Sequence[Casing],
    placement: Placement,
    fluids: tuple[HoleFluid | None, HoleFluid | None],
    overbreak: ClassTable,
    limits: Mapping[str, float],
) -> Concrete:
    """Return placement, volumes and pulls. Theoretical is the design diameter from cut-off to tip.

    ``fluids`` are what was drilled under, and what stands in the hole when it is concreted wet.
    """
    shaft = gatherer.frame.shaft
    wet = placement.state != "dry"
    inside = (fluids[0] or fluids[1]) if wet else None
    outside = outside_of(gatherer)
    finish = _finish(shaft.cutoff_m, outside, limits, wet=wet)
    parts = parts_of(shaft, casings, judged, overbreak, finish, limits["bell_height_share"])
    theoretical, _, fill, low, likely, high = below(parts, shaft.cutoff_m)
    over_pour = below(parts, finish)[2] - fill
    pulls = _pulls(gatherer, casings, (fluids[0], inside), outside, finish, parts, limits)
    open_kpa = outside.pressure(max(0.0, shaft.cutoff_m), gap=False)
    over_cutoff = limits["concrete_unit_weight_kn_m3"] * max(0.0, shaft.cutoff_m - finish)
    starter = next((number for number, casing in enumerate(casings, 1) if casing.kind == STARTER), None)
    kept = wet and starter is not None and over_cutoff < open_kpa - 1e-6
    if kept:
        pulls = tuple(step for step in pulls if step.casing_no != starter)
    expected = fill + likely
    pull_hours, wetted_hours = _pull_hours(pulls, limits), _pull_hours([one for one in pulls if one.level_before_m is not None], limits)
    wait = gatherer.frame.site.schedule.concrete_wait_h or 0.0
    rate, workable = _supply(expected, wait + wetted_hours, limits)
    pour_hours = expected / rate
    kind = "wet" if wet or any(casing.kind == "temporary" for casing in casings) else "dry"
    bulging = [one.slice.sheet.span("bulging_ratio").likely for one in judged if "bulging_ratio" in one.slice.sheet.facts]
    truck = limits["truck_m3"]
    return Concrete(
        "tremie" if wet else "free_fall",
        placement.why,
        theoretical,
        fill,
        fill + low,
        expected,
        fill + high,
        pour_hours,
        None if wet else shaft.tip_m - shaft.cutoff_m,
        limits["tremie_embedment_m"] if wet else None,
        pulls,
        max((value for value in bulging if value is not None), default=None),
        fill - theoretical,
        low,
        likely,
        high,
        over_pour,
        finish,
        limits[f"slump_{kind}_min_m"],
        limits[f"slump_{kind}_max_m"],
        _tremie(parts, inside, limits) if inside is not None else None,
        truck,
        ceil((expected + over_pour) / truck),
        ceil((fill + high + over_pour) / truck),
        truck / rate,
        pull_hours,
        wait + pour_hours + wetted_hours,
        workable,
        curve_of(parts),
        starter_kept=kept,
    )


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


def _finish(cutoff_m: float, outside: Outside, limits: Mapping[str, float], *, wet: bool) -> float:
    """Return the level that concrete is brought to: the cut-off, or higher, but not above the ground.

    It is higher where it is cast over under fluid, so that it balances the water outside at the cut-off, and where
    water outside above the cut-off would run onto it in a dry hole.
    """
    if cutoff_m <= 0.0:
        return cutoff_m
    balance = cutoff_m - outside.pressure(cutoff_m, gap=False) / limits["concrete_unit_weight_kn_m3"]
    return max(0.0, min(cutoff_m - limits["overcast_m"], balance) if wet else min(balance, outside.water_level(cutoff_m)))


def _pulls(
    gatherer: Gatherer,
    casings: Sequence[Casing],
    fluids: tuple[HoleFluid | None, HoleFluid | None],
    outside: Outside,
    finish_m: float,
    parts: Sequence[Part],
    limits: Mapping[str, float],
) -> tuple[PullStep, ...]:
    """Return the lifts; fluid that stands around a casing above the finished level only runs onto the concrete and is not counted."""
    shaft = gatherer.frame.shaft
    if fluids[0] is not None:
        outside = replace(outside, fluid=replace(fluids[0], level_m=max(fluids[0].level_m, finish_m)))
    terms = Terms(
        outside=outside,
        inside=fluids[1],
        concrete_kn_m3=limits["concrete_unit_weight_kn_m3"],
        margin_kpa=limits["shoe_margin_kpa"],
        least_head_m=limits["pull_head_m"],
        finish_m=max(0.0, finish_m),
        shortest_lift_m=limits["shortest_lift_m"],
    )
    main = gatherer.aquifers[0].level_m
    water = main.likely if main.likely is not None else main.high if gatherer.aquifers[0].read else None
    hole = bores(shaft.diameter_m, socket_of(shaft), shaft.tip_m, casings)

    def overbroken(top_m: float, base_m: float) -> float:
        return below(parts, top_m)[5] - below(parts, base_m)[5]

    return pull_steps(
        casings, hole, terms, fluid_between(fluids[0], water), bell_volume(shaft, limits["bell_height_share"]), overbroken, limits
    )


def _pull_hours(pulls: Sequence[PullStep], limits: Mapping[str, float]) -> float:
    """Return the hours of all pulls: half of what setting takes for each casing, and a stop to refill for each further lift."""
    return sum(limits["hours_casing_set"] / 2 if step.lift_no == 1 else limits["hours_refill"] for step in pulls)


def _tremie(parts: Sequence[Part], inside: HoleFluid, limits: Mapping[str, float]) -> Tremie:
    """Return the tremie; the hole at the base is as wide as the lowest part."""
    lowest = parts[-1]
    across = lowest.fill_m3 / (lowest.base_m - lowest.top_m)
    pipe, gap, embedded = limits["tremie_pipe_m"], limits["tremie_gap_m"], limits["tremie_start_m"]
    fluid_m = max(0.0, lowest.base_m - inside.level_m - gap - embedded)
    charge = tremie_charge(
        (across / area(1.0)) ** 0.5, pipe, gap, embedded, fluid_m, unit_weight(inside.density_kg_m3), limits["concrete_unit_weight_kn_m3"]
    )
    lift = below(parts, max(parts[0].top_m, lowest.base_m - gap - limits["tremie_embedment_m"]))[1]
    return Tremie(pipe, gap, limits["tremie_embedment_m"], charge, lift)
