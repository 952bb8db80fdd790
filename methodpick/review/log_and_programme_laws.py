"""What the strip shows of the log; and the fluid programme: limits as the rulebook has them, volumes that follow from each other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from methodpick.ground.profile import Spt
from methodpick.plan.demands.fluid_length import limit_used
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.result import FluidProgramme, LimitUsed, Log, ShaftPlan
from methodpick.review.contradiction import Contradiction, differences, number, word
from methodpick.review.volumes import SLACK_M3, fluid_m3

# ---- the log as the strip shows it


def check_log(ground: GroundFacts, log: Log) -> Iterator[Contradiction]:
    """Return where the layers, tests, waters and remarks of the strip are not those of the boring."""
    profile = ground.gatherer.frame.profile
    layers = [
        (each.top_m, each.base_m, each.likely or "unknown", each.layer.as_logged, each.layer.symbol or "", each.words.slab)
        for each in ground.gatherer.strata
        if each.logged
    ]
    written = [(layer.top_m, layer.base_m, layer.soil_class, layer.description, layer.symbol, layer.slab) for layer in log.layers]
    yield from differences(tuple(written), tuple(layers), "ground.layers")
    waters = [
        (water.level_m.high, water.level_m.likely, water.level_m.low, water.top_m, water.base_m, water.kind, water.source)
        for water in ground.gatherer.aquifers
        if water.kind != "covered" and (water.read or water.kind != "main")
    ]
    shown = [
        (level.low_m, level.likely_m, level.high_m, level.aquifer_top_m, level.aquifer_base_m, level.kind, level.source)
        for level in log.water
    ]
    yield from differences(tuple(shown), tuple(waters), "ground.water")
    counts = [(test.depth_m, _count(test)) for test in profile.spt]
    for stratum in ground.gatherer.strata:
        step = stratum.layer.thickness_m / (len(stratum.layer.n) + 1) if stratum.layer.n else 0.0
        counts += [(round(stratum.top_m + step * place, 3), str(n)) for place, n in enumerate(stratum.layer.n, 1)]
    yield from differences(log.spt, tuple(sorted(counts)), "ground.spt")
    yield from number("ground.end_m", log.end_m, profile.end_m)
    yield from number("ground.ground_elevation_m", log.ground_elevation_m, profile.ground_elevation_m)
    yield from word("ground.technique", log.technique, profile.technique)
    yield from number("ground.cave_in_depth_m", log.cave_in_depth_m, profile.cave_in_depth_m)
    yield from differences(log.remarks, tuple((remark.depth_m, remark.text) for remark in profile.remarks), "ground.remarks")


def _count(test: Spt) -> str:
    """Return a penetration test as a log writes it: the count, the blows over a length at refusal, or that the weight sank."""
    if test.weight_of_hammer:
        return "WOH"
    if test.refusal and test.penetration_m is not None:
        return f"{test.n}/{test.penetration_m * 1000:.0f}mm"
    return "-" if test.n is None else str(test.n)


# ---- the fluid programme


def check_programme(ground: GroundFacts, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where the programme of the fluid names other limits than the rulebook, or its volumes do not follow from the hole."""
    programme = shaft.fluid_programme
    if programme is None or shaft.placement is None or shaft.concrete is None:
        return
    for path, used in _limits_in(programme, "fluid_programme"):
        right = limit_used(ground.limits, used.limit) if used.limit in ground.limits else None
        yield from differences(used, right, path)
    way = BuiltWay(shaft.stages, shaft.casings, shaft.slurries, shaft.placement, shaft.concrete)
    hole = fluid_m3(way, shaft.slurry)
    yield from number("fluid_programme.hole_m3", programme.hole_m3, hole, slack=SLACK_M3)
    yield from number("fluid_programme.stock_m3", programme.stock_m3, programme.hole_m3 * programme.stock_factor.value, slack=SLACK_M3)
    for part in programme.mix.ingredients:
        name = f"fluid_programme.mix, {part.name}"
        yield from number(f"{name}, stock_kg", part.stock_kg, part.kg_m3 * programme.stock_m3, slack=0.01)
        if not part.least_kg_m3 - 1e-6 <= part.kg_m3 <= part.most_kg_m3 + 1e-6:
            yield Contradiction(f"{name}, kg_m3", f"{part.kg_m3:g}", f"between {part.least_kg_m3:g} and {part.most_kg_m3:g}")
    fresh = programme.mix.fresh_density_kg_m3
    yield from number("fluid_programme.mix, fresh_density_kg_m3", fresh, sum(part.kg_m3 for part in _in_hole(programme)), slack=0.05)
    yield from number("fluid_programme.sand.fresh_density_kg_m3", programme.sand.fresh_density_kg_m3, fresh)
    yield from _losses(ground, programme)


def _in_hole(programme: FluidProgramme) -> Iterator[Any]:
    """Return what makes up the density of a fresh mix; soda ash is dissolved and counts nothing."""
    return (part for part in programme.mix.ingredients if part.name != "soda ash")


def _losses(ground: GroundFacts, programme: FluidProgramme) -> Iterator[Contradiction]:
    loss, name, hole = programme.loss, "fluid_programme.loss", programme.hole_m3
    for written, share in (("handling_least_m3", "fluid_loss_share_least"), ("handling_most_m3", "fluid_loss_share_most")):
        yield from number(f"{name}.{written}", getattr(loss, written), ground.limits[share].value * hole, slack=SLACK_M3)
    yield from number(f"{name}.reserve_m3", loss.reserve_m3, programme.stock_m3 - hole, slack=SLACK_M3)
    runs_on = 0.0 if loss.rate_m3_h is None else loss.rate_m3_h * loss.hours_open
    once = 0.0 if loss.once_least_m3 is None else loss.once_least_m3
    yield from number(f"{name}.stock_needed_m3", loss.stock_needed_m3, hole + loss.handling_most_m3 + runs_on + once, slack=2 * SLACK_M3)
    for hours, rate in ((loss.hours_covered, loss.rate_m3_h), (loss.hours_covered_least, loss.rate_most_m3_h)):
        if hours is not None and rate is not None and rate > SLACK_M3:  # a smaller one is written too short
            yield from number(f"{name}.hours_covered", hours * rate, loss.reserve_m3, slack=0.01 * loss.reserve_m3 + SLACK_M3)


def _limits_in(record: Any, path: str) -> Iterator[tuple[str, LimitUsed]]:
    """Return every limit that stands anywhere in a record, with its path."""
    if isinstance(record, LimitUsed):
        yield path, record
    elif isinstance(record, tuple):
        for index, part in enumerate(record):
            yield from _limits_in(part, f"{path}[{index}]")
    elif is_dataclass(record):
        for field in fields(record):
            yield from _limits_in(getattr(record, field.name), f"{path}.{field.name}")
