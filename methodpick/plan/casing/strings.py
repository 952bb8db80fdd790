"""From a path to its casings: starter and strings with sizes, seats, stick-up, and how they come into the ground.

The starter is the casing that stands first; it is sealed in the lid over water that rises above it, unless a string is.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, cast

from methodpick.facts.curves import INSET_M
from methodpick.facts.strata import run_of_class
from methodpick.ground.site import Site
from methodpick.mechanics.earth_pressure import hydrostatic
from methodpick.mechanics.emptied_hole import plug_needed_thickness
from methodpick.plan.casing.sizes import (
    CasingSize,
    CasingUse,
    casing_mass,
    sections,
    size_of_outside,
    starter_size,
    string_sizes,
    tool_below_casings,
    wall_reason,
)
from methodpick.plan.checks.emptied_seal import NOT_EMPTIED, seal_length
from methodpick.plan.judging.slices import JudgedGround
from methodpick.plan.result import Casing, Embedment, HoleLevels
from methodpick.plan.result.stage_words import ABOVE_GRADE
from methodpick.plan.sequence.path import TOLERANCE_M, Segment, SequencePath
from methodpick.records import record
from methodpick.terms import CASING_WAYS, COHESIVE, STARTER, how_installed
from methodpick.unit_markup import mark

# ---- the starter


def starter_casing(ground: JudgedGround, size: CasingSize, levels: HoleLevels, first: Segment | None) -> Casing:
    """Return the starter of a hole; ``first`` is the segment that ends with the first string below it, None without one."""
    pushed_m = _pushed_m(ground, size, levels, first)
    length = levels.starter_base_m - levels.casing_top_m
    return Casing(
        kind=STARTER,
        outside_diameter_m=size.outside_m,
        wall_m=size.wall_m,
        top_m=levels.casing_top_m,
        base_m=levels.starter_base_m,
        length_m=length,
        mass_kg=casing_mass(size, length),
        installed_by=how_installed(starter=True, way=None, pushed=pushed_m > 0),
        predrill_base_m=round(levels.starter_base_m - pushed_m, 3),
        predrill_diameter_m=size.outside_m,
        advanced_m=pushed_m,
        sealed="no",
        seat_layer=ground.layer_at(levels.starter_base_m),
        why="It holds the loose top, guides the tool, keeps people from the edge and, where fluid is used, carries its level.",
        wall_by=wall_reason(size, CasingUse(), ground.limits),
        sections_m=sections(length, ground.limits, size.piece_m),
        stick_up_m=levels.stick_up_m,
        stick_up_why=stick_up_reason(levels, ground.limits["stick_up_m"]),
        from_yard=size.piece_m is not None,
        wider_m=round(size.wider_m, 4),
    )


def _pushed_m(ground: JudgedGround, size: CasingSize, levels: HoleLevels, first: Segment | None) -> float:
    """Return the length in m by which a starter is pushed into undrilled clay: where it seals the lid over water that rises above it.

    It is that which the proof of its seat asks for, with the highest water, as far as the clay over its shoe and the push go. A string
    that is in the lid before it is pierced seals it in its place.
    """
    shoe_m, limits = levels.starter_base_m, ground.limits
    rising = [water for water in ground.aquifers if water.may_rise_over(levels.grade_m) and shoe_m < water.top_m < ground.shaft.tip_m]
    lid = next((stratum for stratum in ground.strata if shoe_m <= stratum.base_m + TOLERANCE_M), None)
    if not rising or lid is None or lid.likely not in COHESIVE:
        return 0.0
    head_m = max(levels.grade_m - aquifer.level_m.low for aquifer in rising)
    seal_m = seal_length(head_m, size.outside_m, limits)
    if first is not None and any(_is_sealed_over(first, aquifer.top_m, seal_m) for aquifer in rising):
        return 0.0
    clay_m = shoe_m - max(run_of_class(ground.strata, shoe_m)[0], levels.floor_m)
    return round(min(seal_m, clay_m, limits["push_most_m"]), 3)


def _is_sealed_over(string: Segment, water_m: float, seal_m: float) -> bool:
    """Return whether a string is sealed in the lid before it is pierced: its shoe stands in it, or goes far enough through it undrilled."""
    return string.base_m <= water_m or (string.casing == "advanced" and water_m - string.gripped_from_m >= seal_m - TOLERANCE_M)


def stick_up_reason(levels: HoleLevels, edge_m: float) -> str:
    """Describe why the casing stands as high as it does: edge protection, ``edge_m`` high, or the level of the fluid in it."""
    stands = f"The casing stands {mark(levels.stick_up_m, 'm')} {ABOVE_GRADE}"
    edge = f"{mark(edge_m, 'm')} keeps people from the edge as a rail would"
    if levels.stick_up_m <= edge_m + 1e-6:
        return f"{stands}: {edge}; no fluid in it asks for more."
    text = f"{stands}, so that fluid in it can stand as high as the ground asks for; {edge}"
    if levels.head_missing_m > 0:
        text += f". {mark(levels.head_missing_m, 'm')} of head is still missing: raise the platform"
    return text + "."


# ---- From a path to its casings: starter and strings with sizes, seats, stick-up, and how they come into the ground


@record
class _String:
    """A segment that ends with a casing, with what its casing goes through, its size, and what must pass through it."""

    segment: Segment
    use: CasingUse
    emptied: bool
    size: CasingSize
    passes: str


def make_casings(
    site: Site,
    ground: JudgedGround,
    path: SequencePath | None,
    levels: HoleLevels,
    sizes: Sequence[CasingSize] = (),
    outside_m: float | None = None,
) -> tuple[Casing, ...]:
    """Return the starter (where there is one) and the strings of a path, outermost first; the starter alone without a path.

    A string that stands from the surface before anything is drilled is the starter: there is no second one. ``sizes`` are those of
    all casings where they are chosen already; else each is the least that does. ``outside_m`` is the outside diameter of all of them where
    that alone is given, for a path on which no casing stands in another.
    """
    has_starter = levels.has_starter and (path is None or path.segments[0].top_m >= levels.starter_base_m - 1e-6)
    strings = _sized_strings(site, ground, path, sizes[1 if has_starter else 0 :], outside_m) if path is not None else ()
    casings: list[Casing] = []
    around: CasingSize | None = None
    if has_starter:
        if outside_m is not None:
            around = size_of_outside(site, outside_m, CasingUse(), ground.limits)
        else:
            around = sizes[0] if sizes else starter_size(_widest_through_starter(ground, strings), ground.trade_sizes)
        casings.append(starter_casing(ground, around, levels, strings[0].segment if strings else None))
    for string in strings:
        casings.append(_string_casing(ground, string, around, levels))
        around = string.size
    return tuple(casings)


def _widest_through_starter(ground: JudgedGround, strings: Sequence[_String]) -> float:
    """Return what the starter lets pass with room to spare: the shaft's tool, or the outermost string and the tool of its hole."""
    if not strings:
        return ground.shaft.diameter_m
    outside_m, clear_m = strings[0].size.outside_m, ground.limits["tool_clear_m"]
    return max(outside_m, ground.trade_sizes.tool_from(outside_m + clear_m) - clear_m)


def _sized_strings(
    site: Site, ground: JudgedGround, path: SequencePath, given: Sequence[CasingSize], outside_m: float | None
) -> tuple[_String, ...]:
    limits = ground.limits
    emptied = [_is_emptied(segment, path) for segment in path.strings]
    uses = [
        CasingUse(_outside_pressure(ground, segment) if bailed else 0.0, segment.way if segment.casing == "advanced" else None)
        for segment, bailed in zip(path.strings, emptied, strict=True)
    ]
    if outside_m is not None:
        sizes = tuple(size_of_outside(site, outside_m, use, limits) for use in uses)
    else:
        sizes = tuple(given) or string_sizes(site, ground.shaft, uses, ground.trade_sizes)
    passes = [f"the {mark(size.outside_m, 'size')} casing in it" for size in sizes[1:]]
    passes.append(f"the {mark(tool_below_casings(ground.shaft, limits), 'size')} tool below it")
    return tuple(_String(*of_string) for of_string in zip(path.strings, uses, emptied, sizes, passes, strict=False))


def _is_emptied(segment: Segment, path: SequencePath) -> bool:
    """Return whether a string is emptied after its seal: what follows is dug dry."""
    below = path.segments[path.segments.index(segment) + 1 :]
    return bool(below) and below[0].runs[0].state == "dry"


def _outside_pressure(ground: JudgedGround, segment: Segment) -> float:
    """Return the pressure outside a string at its shoe when it is emptied: the deepest water, or soft clay that squeezes."""
    worst, limits, curves = 0.0, ground.limits, ground.curves
    for aquifer in ground.aquifers:
        level = aquifer.level_m.low
        if aquifer.top_m < segment.base_m and level < segment.base_m:
            bottom = segment.base_m if aquifer.kind == "main" else min(aquifer.base_m, segment.base_m)
            worst = max(worst, hydrostatic(bottom - level))
    overloads = [
        curves.overload(stratum, min(stratum.base_m, segment.base_m), None)
        for stratum in ground.grounds
        if stratum.su is not None and stratum.top_m < segment.base_m
    ]
    squeezes = any(ratio is not None and (ratio[1] or 0.0) > limits["squeeze_overload"] for ratio in overloads)
    return max(worst, limits["squeeze_share"] * curves.total(segment.base_m)[1] if squeezes else 0.0)


def _string_casing(ground: JudgedGround, string: _String, around: CasingSize | None, levels: HoleLevels) -> Casing:
    segment, size, limits = string.segment, string.size, ground.limits
    length = segment.base_m - levels.casing_top_m
    advanced = round(min(max(segment.base_m - segment.ahead_m, 0.0), segment.base_m), 3)
    hole = size.outside_m + limits["predrill_oversize_m"]
    if around is not None:
        hole = max(size.outside_m, min(hole, around.inside_m))
    hole = ground.trade_sizes.tool_to(hole, size.outside_m)
    way, turned_by = segment.way if segment.casing == "advanced" else None, ground.site.equipment.turning_plant
    return Casing(
        kind="permanent" if segment.keep else "temporary",
        outside_diameter_m=size.outside_m,
        wall_m=size.wall_m,
        top_m=levels.casing_top_m,
        base_m=segment.base_m,
        length_m=length,
        mass_kg=casing_mass(size, length),
        installed_by=how_installed(starter=False, way=way, pushed=advanced > 0.0, turned_by=turned_by),
        predrill_base_m=round(segment.ahead_m if segment.ahead_m > segment.top_m + 1e-6 else segment.top_m, 3),
        predrill_diameter_m=round(hole, 4),
        advanced_m=advanced,
        sealed=cast("Literal['yes', 'probable', 'no']", segment.sealed),
        seat_layer=ground.layer_at(segment.base_m),
        why=f"{_seat_words(ground, segment, emptied=string.emptied)} Its inside, {mark(size.inside_m, 'size')}, lets {string.passes} pass.",
        wall_by=wall_reason(size, string.use, limits),
        embedment=_seat_of(ground, string, advanced),
        sections_m=sections(length, limits, size.piece_m),
        step_m=None if around is None else round(around.outside_m - size.outside_m, 4),
        stick_up_m=levels.stick_up_m,
        stick_up_why=stick_up_reason(levels, limits["stick_up_m"]),
        from_yard=size.piece_m is not None,
        wider_m=round(size.wider_m, 4),
        way=next((known for known in CASING_WAYS if known == way), None),
        dug_m=round(segment.dug_m, 3),
        turned_by=turned_by,
    )


def _seat_words(ground: JudgedGround, segment: Segment, *, emptied: bool) -> str:
    stands = f"The shoe stands {mark(segment.embedment_m, 'm')} into: {ground.layer_at(segment.base_m)}."
    if segment.sealed == "yes":
        return stands + (" That layer is tight enough to seal; a bail test proves it." if emptied else "")
    if segment.sealed == "probable":
        return stands + (" The seal is probable only: do the bail test, and refill at once if it fails." if emptied else "")
    if emptied or (segment.casing == "advanced" and segment.runs[-1].state == "cased_dry"):
        return f"{stands} No water stands near it, so that it needs no seal."
    if segment.base_m >= ground.shaft.tip_m - 1e-6:
        return "The casing goes to the tip; nothing below seals it, so the hole stays full to the concrete."
    stands = stands if segment.embedment_m > 0.0 else "The shoe stands on rock too hard to enter."
    return f"{stands} It does not seal; the hole is never emptied below it."


# ---- the seat against the water outside


def _seat_of(ground: JudgedGround, string: _String, advanced_m: float) -> Embedment:
    shoe = string.segment.base_m
    given = min(advanced_m, shoe - run_of_class(ground.strata, shoe)[0])
    return seat_of(ground, SeatedShoe(shoe, given, string.size.outside_m), emptied=string.emptied)


@record
class SeatedShoe:
    """A shoe: its depth, the length by which it stands in its seat, the outside diameter of its casing."""

    depth_m: float
    given_m: float
    outside_m: float


def seat_of(ground: JudgedGround, shoe: SeatedShoe, *, emptied: bool) -> Embedment:
    """Return how deep a shoe stands in its seat, and what water beside and below it asks for when it is emptied.

    The head is that of the likely water over the shoe; the length that a seal in clay wants is that of its proof.
    """
    given_m, shoe_m, limits = shoe.given_m, shoe.depth_m, ground.limits
    if not emptied:
        return Embedment(
            given_m=given_m,
            head_m=0.0,
            gradient=None,
            needed_m=None,
            plug_m=None,
            plug_needed_m=None,
            uplift_factor=None,
            enough=True,
            note=NOT_EMPTIED,
        )
    waters = [water.level_m for water in ground.aquifers if water.kind != "perched" and water.top_m < shoe_m]
    head = max(0.0, shoe_m - min((level.low if level.likely is None else level.likely for level in waters), default=shoe_m))
    in_clay = ground.curves.at(shoe_m - INSET_M).su is not None
    needed = seal_length(head, shoe.outside_m, limits) if in_clay else 0.0
    plug, plug_needed, factor = _uplift(ground, shoe_m, limits["uplift_factor_recommended"])
    enough = given_m >= needed - 1e-6 and (factor is None or factor >= limits["uplift_factor_least"])
    note = _seat_note(given_m, head, needed, (plug, plug_needed, factor), enough=enough)
    return Embedment(
        given_m=given_m,
        head_m=head,
        gradient=head / given_m if given_m > 0 else None,
        needed_m=needed,
        plug_m=plug,
        plug_needed_m=plug_needed,
        uplift_factor=factor,
        enough=enough,
        note=note,
    )


def _seat_note(
    given_m: float, head_m: float, needed_m: float, uplift: tuple[float | None, float | None, float | None], *, enough: bool
) -> str:
    """Describe a seat: its length and the water over the shoe, what a seal wants, and the ground left over water below."""
    plug, plug_needed, factor = uplift
    note = f"Seat {mark(given_m, 'm')}; "
    note += f"water outside stands {mark(head_m, 'm')} over the shoe" if head_m > 0 else "no water stands outside over the shoe"
    if needed_m > 0:
        note += f", and a seal in clay wants {mark(needed_m, 'm')}"
    elif head_m > 0:
        note += "; the bail test tells whether rock seals"
    if factor is not None and plug is not None and plug_needed is not None:
        note += (
            f"; {mark(plug, 'm')} of tight ground is left over the water below, {mark(plug_needed, 'm')} is wanted against uplift "
            f"(safety {factor:.2f})"
        )
    note += "." if enough else ". That is short: refill at the first sign of a leak, or set the casing deeper."
    return note


def _uplift(ground: JudgedGround, shoe_m: float, wanted: float) -> tuple[float | None, float | None, float | None]:
    """Return the tight ground below the shoe, what is wanted of it, and the safety of the emptied casing; None without water below."""
    worst: tuple[float | None, float | None, float | None] = None, None, None
    for weight, top, level in ground.curves.lids(shoe_m):
        pressure = hydrostatic(top - (level.likely if level.likely is not None else level.low))
        if pressure <= 0 or top <= shoe_m:
            continue
        factor = ground.curves.safety(weight[1], 0.0, ground.curves.side(shoe_m, top)[1], pressure)
        if worst[2] is None or factor < worst[2]:
            worst = top - shoe_m, plug_needed_thickness(pressure, weight[1] / (top - shoe_m), wanted), factor
    return worst
