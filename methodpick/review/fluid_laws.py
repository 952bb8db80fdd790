"""The levels of the hole and the fluids of a way: one level each, the length drilled under it, a density inside its window."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.plan.fluid.specification import is_salt, specified_density
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts
from methodpick.plan.result import ShaftPlan, Slurry
from methodpick.review.contradiction import Contradiction, as_text, differences, number, word
from methodpick.review.ground_anew import levels_asked_for
from methodpick.review.written_way import WrittenWay


def check_levels(ground: GroundFacts, written: object) -> Iterator[Contradiction]:
    """Return where the levels of the hole are not those that the drilling grade and the heads in the ground ask for."""
    yield from differences(written, levels_asked_for(ground), "levels")


def check_fluids(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the fluids of a way are not those of its stages, or a window contradicts itself."""
    used = list(dict.fromkeys(stage.state for stage in way.built.stages if stage.action == "drill" and stage.state != "dry"))
    yield from word("fluids", tuple(slurry.fluid for slurry in way.slurries), tuple(used))
    for slurry in way.slurries:
        yield from _length(ground, way, slurry)
        yield from _window(ground, slurry)


def check_main_fluid(shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where the fluid that the plan names is not the one of its longest length."""
    lengths: dict[str, float] = {}
    for stage in shaft.stages:
        if stage.action == "drill" and stage.state is not None and stage.state != "dry":
            lengths[stage.state] = lengths.get(stage.state, 0.0) + stage.base_m - stage.top_m
    longest = max(lengths, key=lambda fluid: lengths[fluid], default=None)
    right = next((slurry for slurry in shaft.slurries if slurry.fluid == longest), None)
    yield from differences(shaft.slurry, right, "slurry")
    yield from number("fluid_level_m", shaft.fluid_level_m, None if right is None else right.level_m)
    programme = shaft.fluid_programme
    yield from word("fluid_programme, fluid", None if programme is None else programme.fluid, longest)


def _length(ground: GroundFacts, way: WrittenWay, slurry: Slurry) -> Iterator[Contradiction]:
    name = f"fluid {slurry.fluid}"
    stages = [stage for stage in way.built.stages if stage.action == "drill" and stage.state == slurry.fluid]
    if stages:
        yield from number(f"{name}, top_m", slurry.top_m, min(stage.top_m for stage in stages), slack=TOUCH_M)
        yield from number(f"{name}, base_m", slurry.base_m, max(stage.base_m for stage in stages), slack=TOUCH_M)
    yield from number(f"{name}, level_m", slurry.level_m, ground.levels.fluid_m.get(slurry.fluid))
    planned = [row for row in slurry.levels if row.planned]
    for row in planned:
        yield from number(f"{name}, planned level", row.level_m, slurry.level_m, slack=TOUCH_M)


def _window(ground: GroundFacts, slurry: Slurry) -> Iterator[Contradiction]:
    """Check the window against the specification and the rows by depth, and the density that is aimed at against the window."""
    name, limits = f"fluid {slurry.fluid}", ground.limits
    said = specified_density(slurry.fluid, limits, salt=is_salt(ground.gatherer.base, limits))
    lows = [said.low_kg_m3, *(row.density_min_kg_m3 for row in slurry.by_depth if row.density_min_kg_m3 is not None)]
    highs = [said.high_kg_m3, *(row.density_max_kg_m3 for row in slurry.by_depth if row.density_max_kg_m3 is not None)]
    low, high, target = max(lows), min(highs), slurry.density_target_kg_m3
    yield from number(f"{name}, density_min_kg_m3", slurry.density_min_kg_m3, low)
    yield from number(f"{name}, density_max_kg_m3", slurry.density_max_kg_m3, high)
    if (target is None) != (low > high):
        right = "one where the window is open, none where it is empty"
        yield Contradiction(f"{name}, density_target_kg_m3", as_text(target), right)
    elif target is not None and not low - TOUCH_M <= target <= high + TOUCH_M:
        yield Contradiction(f"{name}, density_target_kg_m3", f"{target:g}", f"between {low:g} and {high:g}")
