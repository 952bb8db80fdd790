"""What the work takes: how each casing comes in, its wall and its seat, the lifts of the pull, what pulls it, the tremie and the nights."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from methodpick.mechanics.casing import oval_collapse_pressure
from methodpick.patterns import pattern_of
from methodpick.plan.checks.emptied_seal import NOT_EMPTIED, seal_length
from methodpick.plan.demands.ground_on_casing import extractions
from methodpick.plan.hours import nights_of
from methodpick.plan.judging.slices import lasting_from_m
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, just_above
from methodpick.plan.result import Casing, Embedment, PullStep, ShaftPlan, Wall
from methodpick.review.contradiction import Contradiction, differences, number, word
from methodpick.review.plan_file import WrittenWay
from methodpick.terms import how_installed
from methodpick.unit_markup import spell

# ---- casings


TO_BASE = {"m": 1.0, "mm": 0.001, "kPa": 1.0}
_MEASURED = pattern_of(r"(?P<value>-?\d[\d,]*(?:\.\d+)?) (?P<unit>mm|m|kPa)\b")


def check_casings_made(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where it is not so that a casing comes in as it says, is as thick as it says why, or is seated as it says."""
    for casing in way.built.casings:
        name = f"{casing.kind} casing to {casing.base_m:.2f} m"
        installed = how_installed(starter=casing.is_starter, way=casing.way, pushed=casing.advanced_m > 0)
        yield from word(f"{name}, installed_by", casing.installed_by, installed)
        if casing.is_starter:
            yield from number(f"{name}, predrill_base_m", casing.predrill_base_m, casing.base_m - casing.advanced_m, slack=TOUCH_M)
        yield from _told(
            f"{name}, stick_up_why",
            casing.stick_up_why,
            (casing.stick_up_m, ground.limits["stick_up_m"].value, ground.levels.head_missing_m),
        )
        if casing.wall_by is not None:
            yield from _wall(name, ground, casing, casing.wall_by)
        if casing.embedment is not None:
            yield from _seat(name, ground, casing, casing.embedment)
        if casing.from_yard and not ground.site.stock:
            yield Contradiction(f"{name}, from_yard", "yes", "no: the site has no yard")
        if not casing.from_yard and len(ground.site.shafts) == 1:  # else a size that is bought for another kind may serve here
            yield from number(f"{name}, wider_m", casing.wider_m, 0.0)
        elif casing.wider_m < 0:
            yield Contradiction(f"{name}, wider_m", f"{casing.wider_m:g}", "0 or more")


def _wall(name: str, ground: GroundFacts, casing: Casing, wall: Wall) -> Iterator[Contradiction]:
    """Check that the wall is the thickest of what its reasons ask for, rounded up to a wall of the trade, and that one of them governs."""
    asked = {
        "usual": wall.usual_m,
        "handling": wall.handling_m,
        "driving": wall.driving_m,
        "twisting": wall.driving_m,
        "oscillating": wall.driving_m,
        "pressure": wall.pressure_m,
    }
    most = max(value for value in asked.values() if value is not None)
    yield from _told(f"{name}, wall_by.why", wall.why, (*asked.values(), wall.pressure_kpa, wall.bears_kpa))
    if not casing.from_yard and casing.wall_m < most - TOUCH_M / 10:
        yield Contradiction(f"{name}, wall_m", f"{casing.wall_m:g}", f"at least {most:g}, which its reasons ask for")
    if wall.governed_by == "yard":
        yield from word(f"{name}, wall_by.governed_by", casing.from_yard, True)
    else:
        first = next(reason for reason, value in asked.items() if value is not None and value > most - TOUCH_M / 10)
        by_way = {"driving", "twisting", "oscillating"}
        if wall.governed_by != first and not {wall.governed_by, first} <= by_way:
            yield Contradiction(f"{name}, wall_by.governed_by", wall.governed_by, first)
    limits = ground.ground.limits
    oval = oval_collapse_pressure(casing.outside_diameter_m, casing.wall_m, limits["casing_ovality"], limits["steel_yield_kpa"])
    yield from number(f"{name}, wall_by.bears_kpa", wall.bears_kpa, oval / limits["collapse_safety"])
    if wall.bears_kpa < wall.pressure_kpa - TOUCH_M:
        yield Contradiction(f"{name}, wall_by.bears_kpa", f"{wall.bears_kpa:g}", f"at least {wall.pressure_kpa:g}, which presses outside")


def _seat(name: str, ground: GroundFacts, casing: Casing, seat: Embedment) -> Iterator[Contradiction]:
    """Check the length of a seat against what was pushed and the layer of the shoe, and its gradient against both."""
    top_m, _ = ground.same_layer(casing.base_m)
    yield from number(f"{name}, embedment.given_m", seat.given_m, min(casing.advanced_m, casing.base_m - top_m), slack=TOUCH_M)
    if seat.gradient is not None and seat.given_m > TOUCH_M:
        yield from number(f"{name}, embedment.gradient", seat.gradient, seat.head_m / seat.given_m, slack=TOUCH_M)
    yield from _told(f"{name}, embedment.note", seat.note, (seat.given_m, seat.head_m, seat.needed_m, seat.plug_m, seat.plug_needed_m))
    if seat.needed_m is None:
        yield from number(f"{name}, embedment.head_m", seat.head_m, 0.0)
        yield from word(f"{name}, embedment.enough", seat.enough, True)
        yield from word(f"{name}, embedment.note", seat.note, NOT_EMPTIED)
    else:
        in_clay = ground.gatherer.curves.at(just_above(casing.base_m)).su is not None
        needed = seal_length(seat.head_m, casing.outside_diameter_m, ground.ground.limits) if in_clay else 0.0
        yield from number(f"{name}, embedment.needed_m", seat.needed_m, needed, slack=TOUCH_M)
        least = ground.limits["uplift_factor_least"].value
        enough = seat.given_m >= needed - 1e-6 and (seat.uplift_factor is None or seat.uplift_factor >= least)
        yield from word(f"{name}, embedment.enough", seat.enough, enough)


def _told(name: str, text: str, known: Iterable[float | None]) -> Iterator[Contradiction]:
    """Return the first length or pressure of a text that is none of the numbers of its record."""
    numbers = [value for value in known if value is not None]
    for found in _MEASURED.finditer(text):
        written, factor = found["value"].replace(",", ""), TO_BASE[found["unit"]]
        slack = 0.5 * 10.0 ** -len(written.partition(".")[2]) * factor + TOUCH_M / 4
        if not any(abs(float(written) * factor - value) <= slack for value in numbers):
            yield Contradiction(name, found[0], "a number of the record")
            return


# ---- pulls


def check_pulls(ground: GroundFacts, way: WrittenWay, shift_h: float) -> Iterator[Contradiction]:
    """Return where the lifts do not follow each other, are not those of the stages, or take another pull than ground and weight ask for."""
    concrete, casings, stages = way.built.concrete, way.built.casings, way.built.stages
    right = extractions(ground.ground, casings, stages, shift_h)
    yield from differences(concrete.extraction, right, "concrete, extraction")
    for casing_no, group in groupby(concrete.pulls, key=lambda step: step.casing_no):
        steps = list(group)
        if not 1 <= casing_no <= len(casings):
            yield Contradiction("concrete, pulls, casing_no", str(casing_no), f"1 to {len(casings)}")
            continue
        yield from _lifts(ground, casings, steps)
        pull = way.built.stage_that_pulls(casings[casing_no - 1])
        telling = next((step for step in steps if not step.safe), steps[0])
        if pull is not None and not pull.text.endswith(spell(telling.note, "si")):
            yield Contradiction(f"concrete, pulls of casing {casing_no}, note", f'"{telling.note}"', "what its stage says", pull.no)


def _lifts(ground: GroundFacts, casings: tuple[Casing, ...], steps: list[PullStep]) -> Iterator[Contradiction]:
    casing, shoes = casings[steps[0].casing_no - 1], {place: each.base_m for place, each in enumerate(casings, 1)}
    name = f"concrete, pulls of casing {steps[0].casing_no}"
    yield from word(f"{name}, lift_no", tuple(step.lift_no for step in steps), tuple(range(1, len(steps) + 1)))
    shoe = casing.base_m
    for step in steps:
        yield from number(f"{name}, shoe_m of lift {step.lift_no}", step.shoe_m, shoe, slack=TOUCH_M)
        shoe = step.shoe_after_m
        water = ground.outside.pressure(step.shoe_m, gap=False)
        if step.outside_kpa < water - TOUCH_M:
            yield Contradiction(f"{name}, outside_kpa", f"{step.outside_kpa:g}", f"at least {water:g}, the water and the soft clay outside")
        before, least = step.level_before_m, step.level_least_m
        if step.safe and before is not None and least is not None and before > least + TOUCH_M:
            yield Contradiction(f"{name}, level_before_m", f"{before:g}", f"no deeper than {least:g}, the least for the lift")
        needed = step.concrete_level_needed_m
        if step.safe and needed is not None and before is not None and before > needed + TOUCH_M:
            yield Contradiction(
                f"{name}, level_before_m", f"{before:g}", f"no deeper than {needed:g}, which outweighs what presses outside"
            )
        for over in step.over_shoes:
            stands = step.shoe_after_m if over.casing_no == step.casing_no else shoes.get(over.casing_no)
            yield from number(f"{name}, over_shoes of casing {over.casing_no}, shoe_m", over.shoe_m, stands, slack=TOUCH_M)
            if step.safe and over.stands_m < over.needed_m - TOUCH_M:
                yield Contradiction(f"{name}, over_shoes", f"{over.stands_m:g}", f"at least {over.needed_m:g} over the shoe")


# ---- concrete and nights


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


def check_nights(ground: GroundFacts, shaft: ShaftPlan, shift_h: float) -> Iterator[Contradiction]:
    """Return where the nights are not those that the hours of the stages and the shift ask for."""
    right = nights_of(shaft.stages, shaft.tip_depth_m, shift_h, ground.ground.limits, lasting_from_m(ground.judged))
    yield from differences(shaft.nights, right, "nights")
