"""What supports the hole in a way: casings and the tools that pass through them, levels of the hole and fluids."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import floor, pi

from methodpick.facts.sheet import FactSheet
from methodpick.plan.fluid.levels import find_levels
from methodpick.plan.judging.planning_input import is_casing_outside
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, answer
from methodpick.plan.result import Casing, HoleLevels, ShaftPlan, Slurry, Stage
from methodpick.review.contradiction import Contradiction, differences, number, word
from methodpick.review.ground_anew import raise_asked_for
from methodpick.review.plan_file import WrittenWay
from methodpick.terms import STARTER
from methodpick.vocabulary.values import Choice, Span, Value

# ---- casings: lengths, masses, sections, how they telescope, what passes through them


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


# ---- tools: as wide as the casing that is set in the hole asks for, else as drawn; rock that no auger cuts is cored


DRILLS = frozenset({"drill", "advance_casing", "set_casing"})
"""Actions that may drill."""


def check_tools(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the tool of a stage is not as wide as its casing or the drawing asks for, or stands where nothing is drilled."""
    for stage in way.built.stages:
        drills = stage.action in DRILLS and stage.state is not None
        yield from number("tool_m", stage.tool_m, _tool_m(ground, way, stage) if drills else None, stage=stage.no)


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


# ---- fluids: one level each, the length drilled under it, a density inside its window


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
