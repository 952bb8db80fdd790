"""The fluids of a way: the levels of the hole, the window of each length that stands bare at one time, and the fluid programme."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import fields, is_dataclass
from typing import Any

from methodpick.plan.demands.fluid_length import BareRun, bare_runs, limit_used
from methodpick.plan.demands.window_rows import GroundWindow
from methodpick.plan.fluid.levels import find_levels
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts
from methodpick.plan.result import FluidProgramme, LimitUsed, ShaftPlan, Slurry, Stage
from methodpick.review.contradiction import Contradiction, as_text, differences, number, word
from methodpick.review.ground_anew import raise_asked_for
from methodpick.review.plan_file import WrittenWay
from methodpick.review.volumes import SLACK_M3, under_fluid_m3

# ---- levels, and the main fluid


def check_levels(ground: GroundFacts, written: object) -> Iterator[Contradiction]:
    """Return where the levels of the hole are not those that the drilling grade and the heads in the ground ask for.

    A platform that the plan raises is as high as the head asks for that is missing from the ground, within what may be raised.
    """
    yield from differences(written, find_levels(ground.gatherer), "levels")
    if ground.levels.raised_m > 0:
        yield from number("levels, raised_m", ground.levels.raised_m, raise_asked_for(ground))


def check_main_fluid(shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where the fluid that the plan, or the cautious one, names is not the one of its longest length."""
    longest, right = _main_fluid(shaft.stages, shaft.slurries)
    yield from differences(shaft.slurry, right, "slurry")
    if shaft.cautious is not None:
        _, main = _main_fluid(shaft.cautious.stages, shaft.cautious.slurries)
        yield from differences(shaft.cautious.slurry, main, "slurry of the cautious plan")
    yield from number("fluid_level_m", shaft.fluid_level_m, None if right is None else right.level_m)
    programme = shaft.fluid_programme
    yield from word("fluid_programme, fluid", None if programme is None else programme.fluid, longest)


def _main_fluid(stages: Sequence[Stage], slurries: Sequence[Slurry]) -> tuple[str | None, Slurry | None]:
    """Return the fluid under which most is drilled, and the longest length that it holds."""
    lengths: dict[str, float] = {}
    for stage in stages:
        if stage.action == "drill" and stage.state is not None and stage.state != "dry":
            lengths[stage.state] = lengths.get(stage.state, 0.0) + stage.base_m - stage.top_m
    longest = max(lengths, key=lambda fluid: lengths[fluid], default=None)
    held = [slurry for slurry in slurries if slurry.fluid == longest]
    return longest, max(held, key=lambda slurry: slurry.base_m - slurry.top_m, default=None)


# ---- each length: bare at one time, at one level, with the window that ground and specification leave


def check_fluids(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the fluids of a way are not those of its stages, or a window is not that of its ground."""
    runs = bare_runs(way.built.stages, way.built.casings, ground.levels.floor_m)
    yield from word("fluids", tuple(slurry.fluid for slurry in way.slurries), tuple(run.fluid for run in runs))
    for slurry, run in zip(way.slurries, runs, strict=False):
        yield from _fluid_length(ground, run, slurry)
        if slurry.fluid == run.fluid:
            window = GroundWindow(ground.ground, run.fluid, (run.top_m, run.base_m), ground.levels)
            yield from _window(window, slurry)
            yield from _aim(window, slurry)


def _fluid_length(ground: GroundFacts, run: BareRun, slurry: Slurry) -> Iterator[Contradiction]:
    """Check the length, which is what stands bare at one time, and the level."""
    name = f"fluid {slurry.fluid}"
    yield from number(f"{name}, top_m", slurry.top_m, run.top_m, slack=TOUCH_M)
    yield from number(f"{name}, base_m", slurry.base_m, run.base_m, slack=TOUCH_M)
    yield from number(f"{name}, level_m", slurry.level_m, ground.levels.fluid_m.get(slurry.fluid))


def _window(window: GroundWindow, slurry: Slurry) -> Iterator[Contradiction]:
    """Check both sides of the window and what binds them: over the length, by depth, and with the fluid at other levels."""
    right = {
        "density_min_kg_m3": window.at_level.least,
        "density_max_kg_m3": window.at_level.most,
        "density_wanted_kg_m3": window.density_wanted_kg_m3,
        "head_m": window.head_m,
        "governed_by": window.governed_by,
        "by_depth": window.by_depth,
        "levels": window.levels,
        "needed": window.needed,
        "wall_spread": window.wall_spread,
    }
    for name, value in right.items():
        yield from differences(getattr(slurry, name), value, f"fluid {slurry.fluid}, {name}")


def _aim(window: GroundWindow, slurry: Slurry) -> Iterator[Contradiction]:
    """Check the density that is aimed at: one inside the window, and none where it is empty."""
    name, target = f"fluid {slurry.fluid}, density_target_kg_m3", slurry.density_target_kg_m3
    low, high = window.at_level.least, window.at_level.most
    if (target is None) != window.is_empty:
        yield Contradiction(name, as_text(target), "one where the window is open, none where it is empty")
    elif target is not None and not low - TOUCH_M <= target <= high + TOUCH_M:
        yield Contradiction(name, f"{target:g}", f"between {low:g} and {high:g}")
    if not window.is_empty and (slurry.remedies or slurry.level_that_opens_m is not None):
        yield Contradiction(f"fluid {slurry.fluid}, remedies", f"{len(slurry.remedies)} remedies", "none: the window is open")


# ---- the programme: limits as the rulebook has them, volumes that follow from each other


def check_programme(ground: GroundFacts, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where the programme of the fluid names other limits than the rulebook, or its volumes do not follow from the hole."""
    programme = shaft.fluid_programme
    if programme is None or shaft.placement is None or shaft.concrete is None:
        return
    for path, used in _limits_in(programme, "fluid_programme"):
        right = limit_used(ground.limits, used.limit) if used.limit in ground.limits else None
        yield from differences(used, right, path)
    way = BuiltWay(shaft.stages, shaft.casings, shaft.slurries, shaft.placement, shaft.concrete)
    hole = under_fluid_m3(ground.shaft, way, shaft.slurry)
    yield from number("fluid_programme.hole_m3", programme.hole_m3, hole, slack=SLACK_M3)
    yield from number("fluid_programme.stock_factor", programme.stock_factor.value, _stock_factor(ground, shaft, programme.fluid))
    stock = max(programme.hole_m3 * programme.stock_factor.value, programme.loss.stock_needed_m3)
    yield from number("fluid_programme.stock_m3", programme.stock_m3, stock, slack=SLACK_M3)
    for part in programme.mix.ingredients:
        name = f"fluid_programme.mix, {part.name}"
        yield from number(f"{name}, stock_kg", part.stock_kg, part.kg_m3 * programme.stock_m3, slack=0.01)
        if not part.least_kg_m3 - 1e-6 <= part.kg_m3 <= part.most_kg_m3 + 1e-6:
            yield Contradiction(f"{name}, kg_m3", f"{part.kg_m3:g}", f"between {part.least_kg_m3:g} and {part.most_kg_m3:g}")
    fresh = programme.mix.fresh_density_kg_m3
    yield from number("fluid_programme.mix, fresh_density_kg_m3", fresh, sum(part.kg_m3 for part in _in_hole(programme)), slack=0.05)
    yield from number("fluid_programme.sand.fresh_density_kg_m3", programme.sand.fresh_density_kg_m3, fresh)
    yield from _losses(ground, programme)


def _stock_factor(ground: GroundFacts, shaft: ShaftPlan, fluid: str) -> float:
    """Return the stock over the hole: the usual, or what a rule asks that advises against the fluid where the ground may take it."""
    under = [slurry for slurry in shaft.slurries if slurry.fluid == fluid]
    slices = [judged for slurry in under for judged in ground.ground.between(slurry.top_m, slurry.base_m)]
    against = (ground.ground.book.by_id[name].hazard for judged in slices for name in judged.verdicts[fluid].should)
    usual, lost = (ground.limits[name].value for name in ("fluid_stock_factor", "fluid_stock_factor_where_lost"))
    return max(usual, lost) if {"fluid-loss", "voids"} & {*against} else usual


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
