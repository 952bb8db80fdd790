"""From casings to the foreman's pull table: the columns of the temporary strings, their lifts, what to say of each."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping, Sequence

from methodpick.facts.curves import HoleFluid
from methodpick.mechanics.stress import WATER_KN_M3, unit_weight
from methodpick.plan.casing.external_pressure import Outside
from methodpick.plan.concrete.column import Column, Piece
from methodpick.plan.concrete.hole import TOUCH_M, Bore, area
from methodpick.plan.concrete.pulls import Lift, String, Terms, needed_at, pull_all
from methodpick.plan.result import Casing, OverShoe, PullStep
from methodpick.unit_markup import mark


def column_of(
    index: int, casings: Sequence[Casing], hole: Sequence[Bore], between: tuple[float, float], concrete_kn_m3: float, more_m3: float
) -> Column:
    """Return the column of a casing: around it the casings outside it, else the ground; below its shoe the hole.

    ``between`` is the unit weight and the level of the fluid around it.
    """
    own = casings[index]
    wider = [one for one in casings if one is not own and one.outside_diameter_m > own.outside_diameter_m]
    cuts = sorted(
        {own.top_m, own.base_m, 0.0}
        | {bore.base_m for bore in hole}
        | {bore.top_m for bore in hole}
        | {one.base_m for one in wider}
        | {own.predrill_base_m}
    )
    pieces = []
    for top, base in itertools.pairwise(cut for cut in cuts if cut <= hole[-1].base_m + TOUCH_M):
        if base - top > TOUCH_M:
            pieces.append(Piece(top, base, _around(own, wider, hole, top, base)))
    return Column(tuple(pieces), own.inside_m, own.outside_diameter_m, between[0], between[1], concrete_kn_m3, more_m3)


def _around(own: Casing, wider: Sequence[Casing], hole: Sequence[Bore], top_m: float, base_m: float) -> float:
    held = [one.inside_m for one in wider if one.base_m >= base_m - TOUCH_M and one.top_m <= top_m + TOUCH_M]
    if held:
        return min(held)
    if base_m <= TOUCH_M:
        return own.outside_diameter_m
    bore = next(one for one in hole if base_m <= one.base_m + TOUCH_M)
    if base_m > own.base_m + TOUCH_M:
        return bore.diameter_m
    predrilled = own.predrill_diameter_m if own.predrill_base_m >= base_m - TOUCH_M else None
    return max(own.outside_diameter_m, predrilled or 0.0)


def pull_steps(
    casings: Sequence[Casing],
    hole: Sequence[Bore],
    terms: Terms,
    between: tuple[float, float],
    more_m3: float,
    overbroken: Callable[[float, float], float],
    limits: Mapping[str, float],
) -> tuple[PullStep, ...]:
    """Return the lifts of all temporary casings, innermost first; ``overbroken`` gives the high overbreak between two depths."""
    order = sorted(
        (index for index, casing in enumerate(casings) if casing.kind != "permanent"), key=lambda index: casings[index].outside_diameter_m
    )
    parted = [
        index
        for index in order
        if any(one.kind == "permanent" and one.outside_diameter_m < casings[index].outside_diameter_m for one in casings)
    ]
    strings = []
    for index in order:
        if index not in parted:
            one = casings[index]
            column = column_of(index, casings, hole, between, limits["concrete_unit_weight_kn_m3"], more_m3)
            strings.append(
                String(index + 1, one.top_m, one.base_m, one.sections_m or (one.length_m,), column, bool(_gaps(one, column, one.base_m)))
            )
    steps = [_step(lift, casings, terms, overbroken, between) for lift in pull_all(strings, terms)]
    return (*steps, *(_apart(index, casings[index], terms.outside) for index in order if index in parted))


def _step(
    lift: Lift, casings: Sequence[Casing], terms: Terms, overbroken: Callable[[float, float], float], between: tuple[float, float]
) -> PullStep:
    casing, column = casings[lift.string.number - 1], lift.string.column
    over = tuple(OverShoe(number, shoe, stands, needed) for number, shoe, stands, needed in lift.over)
    wall = next(piece.diameter_m for piece in column.pieces if piece.base_m >= lift.shoe_m - TOUCH_M)
    wall = max(wall, casing.outside_diameter_m)
    full = column.content(terms.finish_m, lift.string.shoe_m)
    drop = max(0.0, column.level(full, -1e3) - terms.finish_m)
    reached = lift.shoe_m > terms.finish_m + TOUCH_M
    more = overbroken(max(terms.finish_m, lift.shoe_after_m), lift.shoe_m) / area(wall) if reached else 0.0
    needed = needed_at(lift.string, lift.shoe_m, terms) if reached else None
    return PullStep(
        lift.string.number,
        lift.number,
        lift.shoe_m,
        lift.shoe_after_m,
        needed,
        lift.least_m if reached else None,
        lift.before_m if reached else None,
        lift.after_m if reached else None,
        drop,
        more,
        lift.added_m3,
        terms.outside.pressure(lift.shoe_m, gap=lift.string.gap),
        _annulus(casing, column, lift.shoe_m, between),
        over,
        lift.safe or not reached,
        _note(lift, casing, more) if reached else "The shoe stands above the finished concrete: it comes out at any time.",
    )


def _annulus(casing: Casing, column: Column, shoe_m: float, between: tuple[float, float]) -> str:
    gaps = _gaps(casing, column, shoe_m)
    if not gaps:
        return "none; the ground stands against it"
    weight, level = between
    filled = (
        "nothing counted"
        if weight <= 0
        else "air"
        if level >= gaps[-1].base_m
        else (f"{'water' if abs(weight - WATER_KN_M3) < 0.01 else 'drilling fluid'} to {level_words(level)}")
    )
    wide = (max(piece.diameter_m for piece in gaps) - casing.outside_diameter_m) / 2
    return f"a gap of {mark(wide, 'size')} all round, down to {mark(gaps[-1].base_m, 'm')}, with {filled}"


def _gaps(casing: Casing, column: Column, shoe_m: float) -> list[Piece]:
    return [
        piece
        for piece in column.pieces
        if piece.top_m < shoe_m
        and piece.base_m > 0
        and piece.base_m <= casing.base_m + TOUCH_M
        and piece.diameter_m > casing.outside_diameter_m + TOUCH_M
    ]


def level_words(level_m: float) -> str:
    """Write a level against the ground."""
    if abs(level_m) < 0.005:
        return "the ground"
    return f"{mark(abs(level_m), 'm')} {'below' if level_m > 0 else 'above'} the ground"


def _note(lift: Lift, casing: Casing, more_m: float) -> str:
    start = f"Bring the concrete to {level_words(lift.before_m)} before the lift"
    if lift.least_m - lift.before_m > 0.05:
        start += f" (to {level_words(lift.least_m)} at least)"
    end = "comes out" if lift.shoe_after_m <= 0 else f"comes up to {mark(lift.shoe_after_m, 'm')}"
    if not lift.safe:
        return (
            f"Not safe as planned: the concrete would have to stand at {level_words(lift.least_m)}, and the casing ends at "
            f"{level_words(casing.top_m)}. Lengthen the casing, leave it in, or lower the water outside; ask the engineer."
        )
    extra = f"; cavities in the wall can take {mark(more_m, 'm')} more" if more_m > 0.005 else ""
    return f"{start}; it falls to {level_words(lift.after_m)} as the shoe {end}{extra}."


def _apart(index: int, casing: Casing, outside: Outside) -> PullStep:
    return PullStep(
        index + 1,
        1,
        casing.base_m,
        0.0,
        None,
        None,
        None,
        None,
        0.0,
        0.0,
        0.0,
        outside.pressure(casing.base_m, gap=False),
        "the gap to the casing that stays",
        (),
        True,
        "The casing inside it stays, so that no concrete meets this one; fill the gap as the engineer says while it comes out.",
    )


def fluid_between(fluid: HoleFluid | None, water_level_m: float | None) -> tuple[float, float]:
    """Return unit weight and level of what stands around the casings: the drilling fluid, else the groundwater, else air."""
    if fluid is not None:
        return unit_weight(fluid.density_kg_m3), fluid.level_m
    return (0.0, 0.0) if water_level_m is None else (WATER_KN_M3, water_level_m)
