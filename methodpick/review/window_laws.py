"""The fluids of a way: each length stands bare at one time, at one level, and has the window that ground and specification leave."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.plan.demands.bare_runs import BareRun, bare_runs
from methodpick.plan.demands.window_rows import GroundWindow
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts
from methodpick.plan.result import Slurry
from methodpick.review.contradiction import Contradiction, as_text, differences, number, word
from methodpick.review.plan_file import WrittenWay


def check_fluids(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the fluids of a way are not those of its stages, or a window is not that of its ground."""
    runs = bare_runs(way.built.stages, way.built.casings, ground.levels.floor_m)
    yield from word("fluids", tuple(slurry.fluid for slurry in way.slurries), tuple(run.fluid for run in runs))
    for slurry, run in zip(way.slurries, runs, strict=False):
        yield from _length(ground, run, slurry)
        if slurry.fluid == run.fluid:
            window = GroundWindow(ground.ground, run.fluid, (run.top_m, run.base_m), ground.levels)
            yield from _window(window, slurry)
            yield from _aim(window, slurry)


def _length(ground: GroundFacts, run: BareRun, slurry: Slurry) -> Iterator[Contradiction]:
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
