"""The fluid programme of a plan: the fluid and why, the mix, the control sheet with its tests, loss and reserve."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from methodpick.plan.fluid.choice import check_water, choose
from methodpick.plan.fluid.fluid_length import FluidLength
from methodpick.plan.fluid.levels import FluidLevels
from methodpick.plan.fluid.loss import find_loss
from methodpick.plan.fluid.mix import load_sand, make_mix
from methodpick.plan.fluid.specification import limit_used
from methodpick.plan.judging.slices import JudgedGround
from methodpick.plan.result import Citation, ControlRow, FluidProgramme, LimitUsed, Slurry, Stage, TestTime
from methodpick.unit_markup import mark

GRAVEL = frozenset({"silty_gravel", "clean_gravel", "cobbles"})
TESTS: Mapping[str, tuple[str, tuple[Citation, ...]]] = {
    "density": ("mud balance", (Citation("astm-d4380", "whole"), Citation("api-13b-1", "density"))),
    "Marsh time": ("Marsh funnel, quart", (Citation("astm-d6910", "whole"), Citation("api-13b-1", "viscosity"))),
    "pH": ("meter or paper", (Citation("api-13b-1", "pH"),)),
    "sand": ("sand content set", (Citation("astm-d4381", "whole"), Citation("api-13b-1", "sand"))),
}
"""How each property is tested: the standards are known from memory."""
LimitPair = tuple[LimitUsed | None, LimitUsed | None]
"""The least and the most of a property, None where there is no limit."""
_NO_LIMITS: LimitPair = (None, None)


def fluid_programme(
    ground: JudgedGround, slurry: Slurry | None, hole_m3: float, stages: Sequence[Stage], levels: FluidLevels
) -> FluidProgramme | None:
    """Return the programme of the support fluid, None where the plan has none. ``hole_m3`` is the volume of the hole under it."""
    if slurry is None:
        return None
    length = FluidLength(ground, slurry.top_m, slurry.base_m, levels)
    factor = limit_used(length.limits, "fluid_stock_factor")
    stock_m3 = hole_m3 * factor.value
    mix = make_mix(length, slurry, stock_m3)
    return FluidProgramme(
        fluid=slurry.fluid,
        hole_m3=hole_m3,
        stock_factor=factor,
        stock_m3=stock_m3,
        choice=choose(length, slurry.fluid),
        water=check_water(length, slurry.fluid),
        mix=mix,
        sand=load_sand(length, slurry, mix),
        controls=control_rows(length, slurry.fluid),
        times=test_times(length, slurry.fluid),
        loss=find_loss(length, slurry, (hole_m3, stock_m3), hours_under_fluid(stages, slurry.fluid)),
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


# ---- control sheet


def control_rows(length: FluidLength, fluid: str) -> tuple[ControlRow, ...]:
    """Return the limits of every property of a fluid under the rulebook in force."""
    rows = {"mineral": _mineral, "polymer": _polymer, "water": _water}[fluid](length)
    return tuple(
        ControlRow(
            name=name,
            unit=unit,
            introduction_low=introduction[0],
            introduction_high=introduction[1],
            concreting_low=concreting[0],
            concreting_high=concreting[1],
            test=TESTS[name][0],
            standards=TESTS[name][1],
        )
        for name, unit, introduction, concreting in rows
    )


def _density(length: FluidLength, fluid: str) -> LimitPair:
    low, high = length.density_limits(fluid)
    return limit_used(length.limits, low.name) if fluid == "mineral" else None, limit_used(length.limits, high.name)


def _mineral(length: FluidLength) -> list[tuple[str, str, LimitPair, LimitPair]]:
    limits = length.limits
    density = _density(length, "mineral")
    fresh = None if length.salt else limit_used(limits, "mineral_intro_density_max_kg_m3")
    gravel = any(judged.slice.stratum.likely in GRAVEL for judged in length.slices())
    least, most = limit_used(limits, "mineral_marsh_min_s"), limit_used(limits, "mineral_marsh_max_s")
    if gravel and not most.set_by:
        most = limit_used(limits, "marsh_gravel_max_s")
    soil = limit_used(limits, "marsh_gravel_s" if gravel else "marsh_sand_s")
    thick = max((least, soil), key=lambda limit: limit.value)
    ph: LimitPair = limit_used(limits, "mineral_ph_min"), limit_used(limits, "fluid_ph_max")
    sand = limit_used(limits, "mineral_intro_sand_max_percent"), limit_used(limits, "mineral_sand_max_percent")
    return [
        ("density", "kg/m3", (density[0], fresh), density),
        ("Marsh time", "s", (thick, most), (thick if gravel else least, most)),
        ("pH", "1", ph, ph),
        ("sand", "%", (None, sand[0]), (None, sand[1])),
    ]


def _polymer(length: FluidLength) -> list[tuple[str, str, LimitPair, LimitPair]]:
    limits = length.limits
    marsh: LimitPair = limit_used(limits, "polymer_marsh_min_s"), limit_used(limits, "polymer_marsh_max_s")
    ph: LimitPair = limit_used(limits, "polymer_ph_min"), limit_used(limits, "polymer_ph_max")
    return [
        ("density", "kg/m3", _NO_LIMITS, _density(length, "polymer")),
        ("Marsh time", "s", marsh, marsh),
        ("pH", "1", ph, ph),
        ("sand", "%", _NO_LIMITS, (None, limit_used(limits, "polymer_sand_max_percent"))),
    ]


def _water(length: FluidLength) -> list[tuple[str, str, LimitPair, LimitPair]]:
    return [
        ("density", "kg/m3", _NO_LIMITS, _density(length, "water")),
        ("sand", "%", _NO_LIMITS, (None, limit_used(length.limits, "water_sand_max_percent"))),
    ]


def test_times(length: FluidLength, fluid: str) -> tuple[TestTime, ...]:
    """Return when and where the fluid is tested."""
    limits = length.limits
    above = limit_used(limits, "sample_above_base_m")
    both = f"at mid-height and within {mark(above.value, 'm')} of the base"
    last = TestTime(f"After the last cleaning and just before concrete, {both}: the two must agree and meet the last column.", (above,))
    if fluid == "water":
        return (last,)
    first, then = limit_used(limits, "fluid_tests_first_h"), limit_used(limits, "fluid_tests_then_h")
    drilling = TestTime(
        f"While drilling, every {_words(first)} {both} until two rounds agree, then every {_words(then)}.", (first, then, above)
    )
    if fluid == "polymer":
        return TestTime("In the tank before any goes into the hole, pH of the mixing water first.", ()), drilling, last
    ready, still = limit_used(limits, "hydration_h"), limit_used(limits, "exposure_unagitated_h")
    return (
        TestTime(f"In the tank after about {_words(ready)} of hydration, or as the maker says, before any goes into the hole.", (ready,)),
        drilling,
        TestTime(f"Again where it stood still for more than {_words(still)}, after stirring.", (still,)),
        last,
    )


def _words(limit: LimitUsed) -> str:
    return mark(limit.value, limit.unit) + (f" (set by {limit.set_by})" if limit.set_by else "")
