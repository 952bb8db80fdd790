"""The fluid programme of a plan: the fluid and why, the mix, the control sheet, loss and reserve."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.engine.rulebook import Rulebook
from methodpick.facts.gather import Gatherer
from methodpick.plan.fluid.choice import check_water, choose
from methodpick.plan.fluid.control import control_rows, test_times
from methodpick.plan.fluid.fluid_length import Place
from methodpick.plan.fluid.levels import Levels
from methodpick.plan.fluid.loss import find_loss
from methodpick.plan.fluid.mix import load_sand, make_mix
from methodpick.plan.fluid.used import used
from methodpick.plan.judging.slices import Judged
from methodpick.plan.result import FluidProgramme, Slurry, Stage


def fluid_programme(
    gatherer: Gatherer,
    judged: Sequence[Judged],
    slurry: Slurry | None,
    hole_m3: float,
    stages: Sequence[Stage],
    levels: Levels,
    book: Rulebook,
) -> FluidProgramme | None:
    """Return the programme of the support fluid, None where the plan has none. ``hole_m3`` is the volume of the hole under it."""
    if slurry is None:
        return None
    place = Place(gatherer, tuple(judged), slurry.top_m, slurry.base_m, levels, book.limits)
    factor = used(book.limits, "fluid_stock_factor")
    stock = hole_m3 * factor.value
    mix = make_mix(place, slurry, stock, book)
    return FluidProgramme(
        slurry.fluid,
        hole_m3,
        factor,
        stock,
        choose(place, slurry.fluid, book),
        check_water(place, slurry.fluid),
        mix,
        load_sand(place, slurry, mix),
        control_rows(place, slurry.fluid),
        test_times(place, slurry.fluid),
        find_loss(place, slurry, hole_m3, stock, hours_under_fluid(stages, slurry.fluid)),
    )


def hours_under_fluid(stages: Sequence[Stage], fluid: str) -> float:
    """Return the hours from a fluid going in to its being bailed, changed or pushed out by concrete, the pour included."""
    hours, inside = 0.0, False
    for stage in stages:
        if stage.action == "introduce_fluid":
            inside = stage.fluid == fluid
        elif stage.action in {"bail", "pull", "remove_starter"}:
            inside = False
        hours += (stage.hours or 0.0) if inside else 0.0
    return hours
