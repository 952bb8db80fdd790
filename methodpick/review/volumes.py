"""The volumes of a way by simple solids: what is drilled, what concrete and fluid fill, what is counted from them; and the concrete."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import ceil, pi

from methodpick.ground.site import Shaft
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.result import (
    CONCRETE_OVER_CUTOFF,
    CONCRETE_TO_FILL,
    FLUID_IN_STOCK,
    FLUID_TO_FILL,
    Casing,
    Concrete,
    Rung,
    ShaftPlan,
    Slurry,
)
from methodpick.records import record
from methodpick.review.contradiction import Contradiction, is_near, number, word
from methodpick.review.plan_file import WrittenWay
from methodpick.terms import FLUID_NAMES, STARTER
from methodpick.vocabulary.values import Span

# ---- solids and counts


SLACK_M3 = 2e-4
TOUCH_M = 1e-6


@record
class Solid:
    """A length of the hole: the diameter of the drawing, the one drilled, and the one that concrete fills."""

    top_m: float
    base_m: float
    drawn_m: float
    drilled_m: float
    filled_m: float


def cylinder_m3(diameter_m: float, length_m: float) -> float:
    """Return the volume of a cylinder; none where the length is none.

    >>> round(cylinder_m3(1.2, 10.0), 4)
    11.3097
    """
    return pi / 4 * diameter_m**2 * max(0.0, length_m)


def bell_m3(shaft: Shaft) -> float:
    """Return what a bell adds to the shaft: the frustum of a cone less the shaft in it.

    A bell from 1 m to 2 m over 1 m is pi/12 (4 + 2 + 1) = 1.8326 m3, less pi/4 = 0.7854 m3.
    """
    if shaft.bell is None:
        return 0.0
    wide, narrow = shaft.bell.diameter_m, shaft.diameter_m
    height = shaft.bell.height_m or wide - narrow
    return pi / 12 * height * (wide**2 + wide * narrow + narrow**2) - cylinder_m3(narrow, height)


def solids(shaft: Shaft, casings: Sequence[Casing]) -> list[Solid]:
    """Return the hole from the ground to the tip, cut where a diameter changes."""
    socket = shaft.socket_top_m if shaft.socket_top_m and shaft.socket_diameter_m else None
    depths = {0.0, shaft.tip_m, *(depth for casing in casings for depth in (casing.base_m, casing.predrill_base_m))}
    if socket is not None:
        depths.add(socket)
    found = []
    for top, base in pairwise(sorted(depth for depth in depths if 0.0 <= depth <= shaft.tip_m)):
        drawn = shaft.socket_diameter_m or 0.0 if socket is not None and top >= socket - TOUCH_M else shaft.diameter_m
        around = [casing for casing in casings if casing.base_m >= base - TOUCH_M]
        stays = [casing.inside_m for casing in around if casing.kind == "permanent"]
        drilled = max((_hole_m(casing, base) for casing in around), default=drawn)
        found.append(Solid(top, base, drawn, drilled, min(stays, default=drilled)))
    return found


def _hole_m(casing: Casing, base_m: float) -> float:
    """Return the hole that a casing stands in: as wide as itself, or wider where it was drilled ahead."""
    ahead = casing.predrill_base_m >= base_m - TOUCH_M
    return max(casing.outside_diameter_m, casing.predrill_diameter_m or 0.0) if ahead else casing.outside_diameter_m


def concrete_m3(shaft: Shaft, casings: Sequence[Casing], top_m: float, *, drawn: bool = False) -> float:
    """Return the concrete from a depth down to the tip, bell and all: in the hole as drilled, or by the drawing."""
    total = bell_m3(shaft)
    if top_m < 0.0:
        form = min((casing.inside_m for casing in casings if casing.kind == "permanent"), default=shaft.diameter_m)
        total += cylinder_m3(shaft.diameter_m if drawn else form, -top_m)
    for solid in solids(shaft, casings):
        total += cylinder_m3(solid.drawn_m if drawn else solid.filled_m, solid.base_m - max(solid.top_m, top_m))
    return total


def drilled_m3(shaft: Shaft, casings: Sequence[Casing]) -> float:
    """Return the ground that is drilled out, in the bank."""
    return bell_m3(shaft) + sum(cylinder_m3(solid.drilled_m, solid.base_m - solid.top_m) for solid in solids(shaft, casings))


def under_fluid_m3(shaft: Shaft, way: BuiltWay, slurry: Slurry | None) -> float:
    """Return the fluid that fills the hole, and the bell where it is cut under that fluid."""
    belled = slurry is not None and any(stage.action == "bell" and stage.state == slurry.fluid for stage in way.stages)
    return fluid_m3(way, slurry) + (bell_m3(shaft) if belled else 0.0)


def fluid_m3(way: BuiltWay, slurry: Slurry | None) -> float:
    """Return the fluid that fills the hole from its level to the depth drilled under it.

    Inside the casing that stands when it reaches deepest, and below that as wide as the tools of the stages have drilled; without a
    casing from the level down, in a raised pad as wide as the first tool.
    """
    if slurry is None:
        return 0.0
    last = next((stage for stage in reversed(way.stages) if stage.action == "drill" and stage.state == slurry.fluid), None)
    if last is None:
        return 0.0
    casing = way.standing(last)
    shoe = slurry.level_m if casing is None else casing.base_m
    total = 0.0 if casing is None else cylinder_m3(casing.inside_m, shoe - slurry.level_m)
    drilled_to_m = shoe
    for stage in way.stages:
        if stage.action == "drill" and stage.tool_m is not None and stage.no <= last.no and stage.base_m > shoe:
            total += cylinder_m3(stage.tool_m, stage.base_m - drilled_to_m)
            drilled_to_m = stage.base_m
    return total


def check_concrete(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the volumes of the concrete are not those of the hole, or not the sums of their parts."""
    concrete, shaft, casings = way.built.concrete, ground.shaft, way.built.casings
    fill = concrete_m3(shaft, casings, shaft.cutoff_m)
    theory = concrete_m3(shaft, casings, shaft.cutoff_m, drawn=True)
    over = concrete_m3(shaft, casings, concrete.finished_level_m) - fill
    sums = (
        ("theoretical_m3", concrete.theoretical_m3, theory),
        ("fill_m3", concrete.fill_m3, fill),
        ("casing_oversize_m3", concrete.casing_oversize_m3, fill - theory),
        ("over_pour_m3", concrete.over_pour_m3, over),
        ("expected_low_m3", concrete.expected_low_m3, fill + concrete.overbreak_low_m3),
        ("expected_m3", concrete.expected_m3, fill + concrete.overbreak_m3),
        ("expected_high_m3", concrete.expected_high_m3, fill + concrete.overbreak_high_m3),
    )
    for name, written, right in sums:
        yield from number(f"concrete, {name}", written, right, slack=SLACK_M3)
    yield from _trucks(concrete)
    yield from _words(ground, way)
    yield from _curve(ground, way)


def _trucks(concrete: Concrete) -> Iterator[Contradiction]:
    for name, written, volume in (
        ("trucks", concrete.trucks, concrete.expected_m3 + concrete.over_pour_m3),
        ("trucks_high", concrete.trucks_high, concrete.expected_high_m3 + concrete.over_pour_m3),
    ):
        loads = {ceil((volume + slack) / concrete.truck_m3) for slack in (-SLACK_M3, 0.0, SLACK_M3)}
        if written not in loads:
            yield Contradiction(f"concrete, {name}", str(written), str(ceil(volume / concrete.truck_m3)))
    rate = concrete.expected_m3 / concrete.pour_hours if concrete.pour_hours > 0 else 0.0
    if rate > 0:
        yield from number("concrete, truck_every_h", concrete.truck_every_h, concrete.truck_m3 / rate)


def _words(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    concrete, wet = way.built.concrete, way.built.placement.state == "wet"
    shaft = ground.shaft
    soft = any(casing.kind == "temporary" for casing in way.built.casings)
    right = "tremie" if wet else "drop_pipe" if soft else "free_fall"
    if concrete.placement != right:
        yield Contradiction("concrete, placement", concrete.placement, right)
    yield from number("concrete, free_fall_m", concrete.free_fall_m, None if wet or soft else shaft.tip_m - shaft.cutoff_m)
    if (concrete.tremie is None) is wet:
        yield Contradiction("concrete, tremie", "none" if wet else "a tremie", "a tremie in a full hole, none in a dry one")
    if concrete.why != way.built.placement.why:
        yield Contradiction("concrete, why", concrete.why, way.built.placement.why)


def _curve(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Check the depth-volume curve: what concrete fills from the tip up to each depth."""
    shaft, casings, bell = ground.shaft, way.built.casings, ground.shaft.bell
    for point in way.built.concrete.curve:
        inside_bell = bell is not None and point.depth_m > shaft.tip_m - (bell.height_m or bell.diameter_m - shaft.diameter_m) + TOUCH_M
        if inside_bell:
            continue
        filled = concrete_m3(shaft, casings, point.depth_m)
        yield from number(f"concrete, curve at {point.depth_m:.2f} m, fill_m3", point.fill_m3, filled, slack=SLACK_M3)
        theory = concrete_m3(shaft, casings, max(point.depth_m, shaft.cutoff_m), drawn=True)
        yield from number(f"concrete, curve at {point.depth_m:.2f} m, theoretical_m3", point.theoretical_m3, theory, slack=SLACK_M3)
        if not 0.0 <= point.casings_in_m3 <= filled + SLACK_M3 or point.depth_m > shaft.tip_m + TOUCH_M:
            right = f"a depth to {shaft.tip_m:g} m with no more than {filled:g} m3 in the casings"
            yield Contradiction(f"concrete, curve at {point.depth_m:.2f} m", f"{point.casings_in_m3:g} m3 in the casings", right)
        if not point.fill_m3 <= point.expected_low_m3 <= point.expected_m3 <= point.expected_high_m3:
            yield Contradiction(
                f"concrete, curve at {point.depth_m:.2f} m", "volumes out of order", "fill, low, expected and high in order"
            )


def check_quantities(ground: GroundFacts, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where the lines of the takeoff are not the lengths, masses and volumes of the plan."""
    drawn, levels = ground.shaft, ground.levels
    if shaft.concrete is None or shaft.placement is None:
        yield from word("items of the takeoff", tuple(line.item for line in shaft.quantities), ())
        return
    concrete = shaft.concrete
    way = BuiltWay(shaft.stages, shaft.casings, shaft.slurries, shaft.placement, concrete)
    filled = under_fluid_m3(drawn, way, shaft.slurry)
    top_m = levels.grade_m if ground.site.site.setting == "land" else 0.0
    right: list[tuple[str, float | None]] = [("drilled length", drawn.tip_m - top_m), ("empty bore", max(0.0, drawn.cutoff_m - top_m))]
    for casing in shaft.casings:
        right += [(f"{casing.kind} casing, length", casing.length_m), (f"{casing.kind} casing, mass", casing.mass_kg)]
    if shaft.slurry is not None:
        fluid = shaft.slurry.fluid
        stock = filled if shaft.fluid_programme is None else shaft.fluid_programme.stock_m3
        right += [(FLUID_NAMES[fluid] + FLUID_TO_FILL, filled), (FLUID_NAMES[fluid] + FLUID_IN_STOCK, stock)]
    right += [
        ("concrete, theoretical", concrete.theoretical_m3),
        ("concrete, casing oversize", concrete.casing_oversize_m3),
        (CONCRETE_TO_FILL, concrete.fill_m3),
        ("concrete, ground overbreak", concrete.overbreak_m3),
        ("concrete, expected", concrete.expected_m3),
    ]
    if not is_near(concrete.over_pour_m3, 0.0):
        right.append((CONCRETE_OVER_CUTOFF, concrete.over_pour_m3))
    right += [("spoil, bank", drilled_m3(drawn, shaft.casings)), ("spoil, loose", None)]
    items = [line.item for line in shaft.quantities]
    if items != [item for item, _ in right]:
        yield Contradiction("items of the takeoff", ", ".join(items), ", ".join(item for item, _ in right))
        return
    for line, (item, value) in zip(shaft.quantities, right, strict=True):
        unit = "kg" if item.endswith("mass") else "m" if item.endswith(("length", "empty bore")) else "m3"
        yield from word(f"takeoff, {item}, unit", line.unit, unit)
        if value is not None:
            yield from number(f"takeoff, {item}", line.value, value, slack=2 * SLACK_M3)
        elif line.value < shaft.quantities[-2].value:
            yield Contradiction(f"takeoff, {item}", f"{line.value:g}", "no less than in the bank")


def check_rungs(shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where a rung does not take what its casings, fluid and concrete take beyond the plan."""
    for rung in shaft.ladder:
        if rung.concrete is None or shaft.concrete is None:
            continue
        volume = rung.concrete.expected_high_m3 if rung.name == "worst_credible" else rung.concrete.expected_m3
        for name, written, right in (
            ("extra_casing_m", rung.extra_casing_m, _casing(rung, "length_m") - _casing(shaft, "length_m")),
            ("extra_casing_kg", rung.extra_casing_kg, _casing(rung, "mass_kg") - _casing(shaft, "mass_kg")),
            ("extra_concrete_m3", rung.extra_concrete_m3, volume - shaft.concrete.expected_m3),
        ):
            yield from number(f"rung {rung.name}, {name}", written, right, slack=SLACK_M3)


def _casing(record: Rung | ShaftPlan, name: str) -> float:
    return sum(float(getattr(casing, name)) for casing in record.casings if casing.kind != STARTER)


# ---- what the ground adds: the overbreak that concrete fills, the swell of the spoil


SWELL_NOT_KNOWN = 30.0
"""Swell in percent of ground of which no log tells: the usual value of earth."""
PER_CENT = 0.01


def overbreak_m3(ground: GroundFacts, casings: Sequence[Casing], top_m: float) -> tuple[float, float, float]:
    """Return the overbreak below a depth, low, likely and high: of every length that no casing lines, by the class of its ground."""
    low = likely = high = 0.0
    for solid in solids(ground.shaft, casings):
        if any(casing.kind == "permanent" and casing.base_m >= solid.base_m - TOUCH_M for casing in casings):
            continue
        for piece, length in _pieces(ground, max(solid.top_m, top_m), solid.base_m):
            counted = piece.counted_as
            said = counted.look_up(ground.book.tables["overbreak"]).get("overbreak_percent")
            if counted.logged and isinstance(said, Span):
                volume = cylinder_m3(solid.filled_m, length) * PER_CENT
                low, likely, high = low + volume * said.low, likely + volume * said.likely_or_middle, high + volume * said.high
    return low, likely, high


def loose_m3(ground: GroundFacts, casings: Sequence[Casing]) -> float:
    """Return the spoil as it lies loose: every length as drilled with the likely swell of its ground, a bell with that at the tip."""
    loose = swell = 0.0
    for solid in solids(ground.shaft, casings):
        for piece, length in _pieces(ground, solid.top_m, solid.base_m):
            said = piece.look_up(ground.book.tables["swell"]).get("swell_percent")
            swell = said.likely_or_middle if isinstance(said, Span) and piece.logged else SWELL_NOT_KNOWN
            loose += cylinder_m3(solid.drilled_m, length) * (1 + swell * PER_CENT)
    return loose + bell_m3(ground.shaft) * (1 + swell * PER_CENT)


def check_overbreak(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the overbreak of the concrete, and of its curve, is not that of the ground against it."""
    concrete, casings = way.built.concrete, way.built.casings
    right = overbreak_m3(ground, casings, ground.shaft.cutoff_m)
    written = concrete.overbreak_low_m3, concrete.overbreak_m3, concrete.overbreak_high_m3
    for name, said, value in zip(("low_m3", "m3", "high_m3"), written, right, strict=True):
        yield from number(f"concrete, overbreak_{name}", said, value, slack=SLACK_M3)
    for point in concrete.curve:
        adds = overbreak_m3(ground, casings, point.depth_m)
        expected = point.expected_low_m3, point.expected_m3, point.expected_high_m3
        for name, said, added in zip(("expected_low_m3", "expected_m3", "expected_high_m3"), expected, adds, strict=True):
            yield from number(f"concrete, curve at {point.depth_m:.2f} m, {name}", said, point.fill_m3 + added, slack=2 * SLACK_M3)


def check_swell(ground: GroundFacts, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where the loose spoil of the takeoff is not the ground as drilled with the swell of its classes."""
    for line in shaft.quantities:
        if line.item == "spoil, loose":
            yield from number(f"takeoff, {line.item}", line.value, loose_m3(ground, shaft.casings), slack=2 * SLACK_M3)


def _pieces(ground: GroundFacts, top_m: float, base_m: float) -> Iterator[tuple[JudgedSlice, float]]:
    """Return the slices between two depths, each with the length of it that lies there."""
    for piece in ground.judged:
        length = min(piece.base_m, base_m) - max(piece.top_m, top_m)
        if length > 0:
            yield piece, length


# ---- slump and tremie


def check_supply(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where slump and tremie are not those of the limits in force."""
    concrete, limits = way.built.concrete, ground.limits
    slump = "dry" if concrete.placement == "free_fall" else "wet"
    yield from number("concrete, slump_min_m", concrete.slump_min_m, limits[f"slump_{slump}_min_m"].value)
    yield from number("concrete, slump_max_m", concrete.slump_max_m, limits[f"slump_{slump}_max_m"].value)
    ratios = [piece.sheet.span("bulging_ratio").likely for piece in ground.judged if "bulging_ratio" in piece.sheet.facts]
    worst = max((ratio for ratio in ratios if ratio is not None), default=None)
    yield from number("concrete, bulging_ratio", concrete.bulging_ratio, worst)
    if (tremie := concrete.tremie) is not None:
        yield from number("concrete, tremie.pipe_m", tremie.pipe_m, limits["tremie_pipe_m"].value)
        yield from number("concrete, tremie.gap_m", tremie.gap_m, limits["tremie_gap_m"].value)
        yield from number("concrete, tremie.embedment_m", tremie.embedment_m, limits["tremie_embedment_m"].value)
        yield from number("concrete, tremie_embedment_m", concrete.tremie_embedment_m, tremie.embedment_m)
    hours = sum(limits["hours_casing_set"].value / 2 if step.lift_no == 1 else limits["hours_refill"].value for step in concrete.pulls)
    yield from number("concrete, pull_hours", concrete.pull_hours, hours)
