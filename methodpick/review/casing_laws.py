"""The casings of a way: how they come in, telescope, are thick and seated, the tools that pass through them, and how they are pulled."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby, pairwise
from math import floor, inf, pi

from methodpick.facts.sheet import FactSheet
from methodpick.mechanics.casing import oval_collapse_pressure
from methodpick.patterns import pattern_of
from methodpick.plan.checks.emptied_seal import NOT_EMPTIED, seal_length
from methodpick.plan.demands.ground_on_casing import extractions
from methodpick.plan.judging.planning_input import is_casing_outside
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, answer, just_above
from methodpick.plan.result import Casing, Embedment, HoleLevels, PullStep, Stage, Wall
from methodpick.review.contradiction import Contradiction, differences, number, word
from methodpick.review.plan_file import WrittenWay
from methodpick.terms import STARTER, how_installed
from methodpick.unit_markup import spell
from methodpick.vocabulary.values import Choice, Span, Value

# ---- lengths, masses, sections, how they telescope, what passes through them


STEEL_KG_M3 = 7850.0
"""Density of steel, as handbooks of steel sections give it."""


def casing_mass_kg(outside_m: float, wall_m: float, length_m: float) -> float:
    """Return the mass of a steel pipe: its ring times its length times the density of steel.

    A pipe of 1 m outside and 10 mm wall has a ring of pi (0.5^2 - 0.49^2) = 0.031102 m2, or 244.15 kg for a metre.

    >>> round(casing_mass_kg(1.0, 0.01, 10.0), 1)
    2441.5
    """
    inside = outside_m - 2 * wall_m
    return pi / 4 * (outside_m**2 - inside**2) * length_m * STEEL_KG_M3


def check_casings(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the casings of a way contradict themselves, one another or the drawing."""
    dry = not way.built.fluids and all(casing.kind == STARTER for casing in way.built.casings)
    for casing in way.built.casings:
        yield from _of_one(ground, casing, ground.levels.dry_below(casing.base_m) if dry else ground.levels)
    kinds = [casing.kind for casing in way.built.casings]
    if STARTER in kinds[1:]:
        yield Contradiction("casings", ", ".join(kinds), "the starter first")
    for outer, inner in pairwise(way.built.casings):
        yield from _telescoping(outer, inner)
    if way.built.casings:
        yield from number(f"{_name(way.built.casings[0])}, step_m", way.built.casings[0].step_m, None)
        yield from _passes(ground, way.built.casings[-1])


def _name(casing: Casing) -> str:
    return f"{casing.kind} casing to {casing.base_m:.2f} m"


def _of_one(ground: GroundFacts, casing: Casing, levels: HoleLevels) -> Iterator[Contradiction]:
    name = _name(casing)
    yield from number(f"{name}, top_m", casing.top_m, levels.casing_top_m)
    yield from number(f"{name}, stick_up_m", casing.stick_up_m, levels.stick_up_m)
    yield from number(f"{name}, length_m", casing.length_m, casing.base_m - casing.top_m)
    mass = casing_mass_kg(casing.outside_diameter_m, casing.wall_m, casing.length_m)
    yield from number(f"{name}, mass_kg", casing.mass_kg, mass, slack=mass * 1e-4)
    yield from number(f"{name}, sum of sections_m", sum(casing.sections_m), casing.length_m)
    if casing.kind == STARTER:
        yield from number(f"{name}, base_m", casing.base_m, levels.starter_base_m)
        yield from word(f"{name}, sealed", casing.sealed, "no")
    if casing.base_m > ground.shaft.tip_m + TOUCH_M:
        yield Contradiction(f"{name}, base_m", f"{casing.base_m:g}", f"no deeper than the tip at {ground.shaft.tip_m:g}")
    if casing.advanced_m < 0 or casing.advanced_m > casing.base_m + TOUCH_M:
        yield Contradiction(f"{name}, advanced_m", f"{casing.advanced_m:g}", "between 0 and its depth")
    if casing.advanced_m > 0:
        yield from number(f"{name}, predrill_base_m", casing.predrill_base_m, casing.base_m - casing.advanced_m, slack=TOUCH_M)
    yield from number(f"{name}, dug_m", casing.dug_m, _dug_out(ground, casing))
    seats = _seat_layers(ground, casing.base_m)
    if casing.seat_layer not in seats:
        yield Contradiction(f"{name}, seat_layer", casing.seat_layer, " or ".join(seats))
    if casing.sealed != "no":
        yield from _sealed(ground, casing)


def _sealed(ground: GroundFacts, casing: Casing) -> Iterator[Contradiction]:
    """Check that a shoe that seals stands in ground that likely seals, by the least length of a seat there."""
    into_m, sheet = 0.0, None
    for stratum, known in zip(reversed(ground.gatherer.strata), reversed(ground.gatherer.sheets), strict=True):
        if stratum.top_m >= casing.base_m - TOUCH_M:
            continue
        seals = _looked_up(ground, "seals", known)
        if not stratum.logged or not isinstance(seals, Choice) or (seals.likely == "no" if seals.likely else "no" in seals.values):
            break
        into_m, sheet = casing.base_m - stratum.top_m, sheet or known
    least = None if sheet is None else _looked_up(ground, "embedment", sheet)
    if not isinstance(least, Span) or into_m < least.low - TOUCH_M:
        needed = f"{least.low:g} m or more in ground that seals" if isinstance(least, Span) else "no: the ground there seals nothing"
        yield Contradiction(f"{_name(casing)}, sealed", f"{casing.sealed}, {into_m:.2f} m in ground that seals", needed)


def _looked_up(ground: GroundFacts, name: str, sheet: FactSheet) -> Value | None:
    table = ground.book.tables[name]
    return next(iter(table.look_up({fact: sheet.value(fact) for fact in table.inputs}).values()), None)


def _dug_out(ground: GroundFacts, casing: Casing) -> float:
    """Return the depth to which the top is dug out for a casing: what its way likely does not pass, down to a starter of usual length."""
    floor_m = max(0.0, ground.levels.grade_m)
    least_m = min(ground.levels.starter_base_m, floor_m + ground.limits["starter_max_m"].value)
    if casing.way is None or casing.predrill_base_m > floor_m + TOUCH_M:
        return 0.0
    stopped = [
        min(piece.slice.base_m, least_m)
        for piece in ground.slices(floor_m, max(floor_m, least_m))
        if piece.logged and not answer(piece, f"penetrable_{casing.way}").likely_yes
    ]
    return max(stopped, default=0.0)


def _seat_layers(ground: GroundFacts, depth_m: float) -> list[str]:
    """Return the words of the layer in which a shoe ends; those of two where it touches the boundary between them."""
    touched = [known for known in ground.gatherer.strata if known.top_m - TOUCH_M <= depth_m <= known.base_m + TOUCH_M]
    return [stratum.layer.description or stratum.layer.symbol or "no data" for stratum in touched] or [""]


def _telescoping(outer: Casing, inner: Casing) -> Iterator[Contradiction]:
    name = _name(inner)
    if inner.outside_diameter_m > outer.inside_m + 1e-6:
        yield Contradiction(
            f"{name}, outside_diameter_m",
            f"{inner.outside_diameter_m:g}",
            f"less than {outer.inside_m:g}, the inside of the casing around it",
        )
    if outer.kind != STARTER and inner.base_m <= outer.base_m:
        yield Contradiction(f"{name}, base_m", f"{inner.base_m:g}", f"deeper than {outer.base_m:g}, the casing around it")
    yield from number(f"{name}, step_m", inner.step_m, outer.outside_diameter_m - inner.outside_diameter_m)


def _passes(ground: GroundFacts, casing: Casing) -> Iterator[Contradiction]:
    """Check what passes through the innermost casing: the shaft's tool, or the socket's where the casing's outside is drawn."""
    shaft = ground.shaft
    drawn = is_casing_outside(shaft, ground.ground.limits)
    tool = (shaft.socket_diameter_m or 0.0) if drawn else shaft.diameter_m
    needed = max(tool, shaft.cage_diameter_m or 0.0)
    if casing.inside_m < needed - 1e-6:
        yield Contradiction(f"{_name(casing)}, inside", f"{casing.inside_m:g}", f"at least {needed:g} for tool and cage")


# ---- how they come in, their walls and seats


TO_BASE = {"m": 1.0, "mm": 0.001, "kPa": 1.0}
_MEASURED = pattern_of(r"(?P<value>-?\d[\d,]*(?:\.\d+)?) (?P<unit>mm|m|kPa)\b")


def check_casings_made(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where it is not so that a casing comes in as it says, is as thick as it says why, or is seated as it says."""
    for casing in way.built.casings:
        name = f"{casing.kind} casing to {casing.base_m:.2f} m"
        turned_by = ground.site.site.equipment.turning_plant
        installed = how_installed(starter=casing.is_starter, way=casing.way, pushed=casing.advanced_m > 0, turned_by=turned_by)
        if casing.way == "oscillated":
            yield from word(f"{name}, turned_by", casing.turned_by, turned_by)
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


def rise_beside(ground: GroundFacts, casing: Casing) -> float:
    """Return how far water under pressure beside a shoe may stand above the ground, or above open water as far as the ground; else 0."""
    open_m = max(0.0, -ground.gatherer.aquifers[0].level_m.low) if ground.site.site.setting == "water" else 0.0
    beside = [water for water in ground.gatherer.aquifers if water.kind != "perched" and 0.0 < water.top_m < casing.base_m]
    return max((-water.level_m.low for water in beside if -water.level_m.low > open_m), default=0.0)


def lacks_reserve(ground: GroundFacts, casing: Casing) -> bool:
    """Return whether a casing stands less deep in undrilled clay than is advised where it is emptied beside water that may rise."""
    rise_m = rise_beside(ground, casing)
    if rise_m <= 0.0:
        return False
    (top_m, _), limits = ground.same_layer(casing.base_m), ground.ground.limits
    if answer(ground.slice_above(casing.base_m), "soil").likely not in {"clay", "silt"}:
        return True
    by_head = (casing.base_m + rise_m) / limits["seat_gradient_clay"]
    asked = max(by_head, limits["seal_seat_least_m"], limits["seal_seat_diameters"] * casing.outside_diameter_m)
    return min(casing.advanced_m, casing.base_m - top_m) < limits["rising_seal_factor"] * asked - TOUCH_M


def _told(name: str, text: str, known: Iterable[float | None]) -> Iterator[Contradiction]:
    """Return the first length or pressure of a text that is none of the numbers of its record."""
    numbers = [value for value in known if value is not None]
    for found in _MEASURED.finditer(text):
        written, factor = found["value"].replace(",", ""), TO_BASE[found["unit"]]
        slack = 0.5 * 10.0 ** -len(written.partition(".")[2]) * factor + TOUCH_M / 4
        if not any(abs(float(written) * factor - value) <= slack for value in numbers):
            yield Contradiction(name, found[0], "a number of the record")
            return


# ---- the tools


DRILLS = frozenset({"drill", "advance_casing", "set_casing"})
"""Actions that may drill."""


def check_tools(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the tool of a stage is not as wide as its casing or the drawing asks for, or stands where nothing is drilled."""
    for stage in way.built.stages:
        if stage.action == "set_starter":
            yield from number("tool_m", stage.tool_m, _for_starter_m(ground, way), stage=stage.no)
            continue
        drills = stage.action in DRILLS and stage.state is not None
        yield from number("tool_m", stage.tool_m, _tool_m(ground, way, stage) if drills else None, stage=stage.no)


def _for_starter_m(ground: GroundFacts, way: WrittenWay) -> float | None:
    """Return the diameter of the hole that is drilled for the starter, as wide as it is outside; None where all of it is pushed in."""
    starter = next((casing for casing in way.built.casings if casing.is_starter), None)
    drilled_m = -inf if starter is None else starter.base_m - starter.advanced_m
    return None if starter is None or drilled_m <= ground.levels.floor_m + TOUCH_M else starter.outside_diameter_m


def _tool_m(ground: GroundFacts, way: WrittenWay, stage: Stage) -> float:
    deeper = [casing for casing in way.built.strings if casing.base_m > stage.base_m - TOUCH_M]
    if stage.action == "drill":
        if not deeper:
            return _below_strings_m(ground, way, stage)
        return min(_hole_m(deeper[0]), _in_socket_m(ground, stage) or _hole_m(deeper[0]))
    below = _hole_m(deeper[1]) if len(deeper) > 1 else _below_casings_m(ground)
    return min(below, _passing_m(ground, deeper[0])) if deeper else below


def _below_strings_m(ground: GroundFacts, way: WrittenWay, stage: Stage) -> float:
    """Return the tool below all casings: as drawn, where that passes through the innermost."""
    drawn = _drawn_m(ground, stage)
    return min(drawn, _passing_m(ground, way.built.strings[-1])) if way.built.strings else drawn


def _passing_m(ground: GroundFacts, casing: Casing) -> float:
    """Return the widest tool that passes through a casing: where the shaft's own does not, one of the steps of the trade."""
    if casing.inside_m >= ground.shaft.diameter_m:
        return casing.inside_m
    step = ground.ground.limits["tool_step_m" if ground.ground.site.units == "us" else "tool_step_metric_m"]
    return round(floor(casing.inside_m / step + 1e-6) * step, 4)


def _hole_m(casing: Casing) -> float:
    """Return the diameter of the hole that a casing stands in."""
    return max(casing.outside_diameter_m, casing.predrill_diameter_m or 0.0)


def _in_socket_m(ground: GroundFacts, stage: Stage) -> float | None:
    """Return the diameter of the socket where a stage drills it."""
    shaft, middle = ground.shaft, (stage.top_m + stage.base_m) / 2
    return shaft.socket_diameter_m if shaft.socket_top_m is not None and middle > shaft.socket_top_m else None


def _drawn_m(ground: GroundFacts, stage: Stage) -> float:
    return min(ground.shaft.diameter_m, _in_socket_m(ground, stage) or ground.shaft.diameter_m)


def _below_casings_m(ground: GroundFacts) -> float:
    shaft = ground.shaft
    return shaft.socket_diameter_m if is_casing_outside(shaft, ground.ground.limits) and shaft.socket_diameter_m else shaft.diameter_m


def is_cored_at(ground: GroundFacts, depth_m: float) -> bool:
    """Return whether rock at a depth is cored: its likely strength is not known, or more than a rock auger cuts."""
    piece = next((judged for judged in ground.judged if judged.top_m <= depth_m <= judged.base_m), None)
    piece = piece and piece.counted_as
    if piece is None or piece.slice.stratum.likely != "rock":
        return False
    strength = piece.sheet.facts["ucs_kpa"].value if "ucs_kpa" in piece.sheet.facts else None
    return not isinstance(strength, Span) or strength.likely_or_middle >= ground.limits["core_ucs_least_kpa"].value


def cored_for_starter(ground: GroundFacts, shoe_m: float) -> list[tuple[float, float]]:
    """Return the lengths of rock that are cored for a starter, from the drilling grade or the ground to its shoe."""
    floor_m = max(0.0, ground.levels.grade_m)
    lengths = [(max(piece.top_m, floor_m), min(piece.base_m, shoe_m)) for piece in ground.judged]
    return [(top, base) for top, base in lengths if base - top > TOUCH_M and is_cored_at(ground, (top + base) / 2)]


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
