"""Where a casing may end: embedded in every layer, with the seal that the layer gives."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property

from methodpick.facts.aquifer import Aquifer
from methodpick.facts.gather import Gatherer
from methodpick.facts.sheet import FactSheet
from methodpick.facts.strata import Stratum
from methodpick.ground.site import SiteConditions
from methodpick.mechanics.emptied_hole import seat_length
from methodpick.plan.checks.dry_sand import clear_below_m
from methodpick.plan.checks.emptied_seal import seal_length, seal_length_below
from methodpick.plan.result import HoleLevels
from methodpick.records import record
from methodpick.terms import COHESIVE
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.values import Choice, Span

MOST_SEATS = 4
"""Seats that are tried in one layer, so that the search stays small."""
BED_STEP_M = 0.05
"""A seat in a bed is made deeper than its proof asks for by this, so that rounding leaves it long enough."""


@record(caches=True)
class Seat:
    """A depth at which a casing may end: what it seals there and how deep the shoe is embedded.

    ``pushed_m`` is the last length, through which the shoe is pushed or twisted into undrilled ground. ``clear_of_water`` says that
    no water stands near below it, so that a casing to it may be dug dry, and the hole below it, without a seal. ``hard_rock_m`` is the
    length in rock that nothing but the teeth of an oscillator or rotator cuts: otherwise the casing stands on the rock, or in a hole that
    is cored for it.
    """

    depth_m: float
    seals: str
    embedment_m: float
    stratum: int
    in_socket: bool
    pushed_m: float
    clear_of_water: bool = False
    hard_rock_m: float = 0.0

    @cached_property
    def pushed_from_m(self) -> float:
        """Return the depth below which the shoe is pushed or twisted into undrilled ground."""
        return round(self.depth_m - self.pushed_m, 3)

    @cached_property
    def entered_m(self) -> float:
        """Return the depth below which the shoe goes through ground that is pushed into, or hard rock that its teeth cut."""
        return round(self.depth_m - max(self.pushed_m, self.hard_rock_m), 3)


@record
class _SeatLayer:
    """A layer in which casings may end: what it seals, how deep a shoe goes into it, and from where down all is tight (None where not)."""

    stratum: Stratum
    sheet: FactSheet
    seals: str
    embedment: Span
    tight_top_m: float | None


def find_seats(gatherer: Gatherer, levels: HoleLevels, tables: Mapping[str, ClassTable]) -> tuple[Seat, ...]:
    """Return the seats below the starter's shoe: the embedment into each layer, deeper ones in thick tight layers, the tip.

    Over open water none lies in mud. None lies in a void, nor where hardly any core was recovered.
    """
    tip, in_bed = gatherer.frame.shaft.tip_m, _bed_seat(gatherer, levels)
    least_m = levels.starter_base_m + gatherer.frame.limits["run_least_m"] - 1e-6
    seats: dict[float, Seat] = {}
    for layer in _layers(gatherer, tables, in_bed):
        for seat in _seats_in(gatherer, layer, in_bed, tables["seals"]):
            if least_m <= seat.depth_m < tip - 0.01:
                seats[seat.depth_m] = seat
    seats[round(tip, 3)] = _seat_at_tip(gatherer, tip, in_socket=gatherer.frame.shaft.socket_top_m is not None)
    return tuple(seats[depth] for depth in sorted(seats))


def _layers(gatherer: Gatherer, tables: Mapping[str, ClassTable], in_bed_m: float | None) -> Iterator[_SeatLayer]:
    """Return the layers over the tip that carry a shoe."""
    tight_top: float | None = None
    for stratum, sheet in zip(gatherer.strata, gatherer.sheets, strict=True):
        mud = in_bed_m is not None and _is_mud(stratum, sheet)
        if not stratum.logged or stratum.top_m >= gatherer.frame.shaft.tip_m or mud or _is_hollow(stratum, sheet):
            tight_top = None
            continue
        seals = _seal(sheet, tables["seals"])
        tight_top = None if seals == "no" else stratum.top_m if tight_top is None else tight_top
        yield _SeatLayer(stratum, sheet, seals, _embedment(sheet, tables["embedment"], gatherer.frame.limits), tight_top)


def _seats_in(gatherer: Gatherer, layer: _SeatLayer, in_bed_m: float | None, seals: ClassTable) -> Iterator[Seat]:
    """Return the seats in a layer, on it where it is hard rock."""
    stratum, limits, socket = layer.stratum, gatherer.frame.limits, gatherer.frame.shaft.socket_top_m
    tight, top = layer.seals != "no", stratum.top_m
    depths = _depths(stratum, layer.embedment, limits, deep=tight)
    depths += _proved_depths(gatherer, stratum, depths, in_bed_m, seals=tight)
    hard = _is_hard_rock(stratum, layer.sheet, limits)
    if hard and not _is_under_a_void(gatherer, stratum):
        yield _seat_on_rock(gatherer, stratum)
    for depth in depths:
        if _is_in_core_loss(stratum, depth, limits):
            continue
        enough = layer.tight_top_m is not None and depth - layer.tight_top_m >= layer.embedment.low
        left = stratum.base_m - depth >= limits["seat_cover_m"] or _next_seals(gatherer, stratum.index, seals)
        seal = layer.seals if enough and left else "no"
        seal = "probable" if seal == "yes" and depth < limits["seal_cover_m"] else seal
        tight_top = top if layer.tight_top_m is None else layer.tight_top_m
        in_clay = depth - tight_top if stratum.likely in COHESIVE and seal != "no" else 0.0
        yield Seat(
            depth_m=round(depth, 3),
            seals=seal,
            embedment_m=round(depth - top, 3),
            stratum=stratum.index,
            in_socket=socket is not None and depth > socket + layer.embedment.high + 1e-6,
            pushed_m=0.0 if hard else _pushed(gatherer, depth, depth - top, in_clay),
            clear_of_water=_is_clear_of_water(gatherer, depth),
            hard_rock_m=depth - top if hard else 0.0,
        )


def _seat_on_rock(gatherer: Gatherer, stratum: Stratum) -> Seat:
    """Return the seat of a casing that stands on hard rock, which it does not enter: it is never emptied there."""
    socket = gatherer.frame.shaft.socket_top_m
    return Seat(
        depth_m=round(stratum.top_m, 3),
        seals="no",
        embedment_m=0.0,
        stratum=stratum.index,
        in_socket=socket is not None and stratum.top_m > socket + 1e-6,
        pushed_m=0.0,
        clear_of_water=_is_clear_of_water(gatherer, stratum.top_m),
    )


def _seat_at_tip(gatherer: Gatherer, tip_m: float, *, in_socket: bool) -> Seat:
    """Return the seat of a casing that goes to the tip, where it seals nothing."""
    last = next((stratum for stratum in reversed(gatherer.strata) if stratum.top_m < tip_m), gatherer.strata[-1])
    return Seat(
        depth_m=round(tip_m, 3),
        seals="no",
        embedment_m=0.0,
        stratum=last.index,
        in_socket=in_socket,
        pushed_m=0.0,
        clear_of_water=_is_clear_of_water(gatherer, tip_m),
    )


def _is_mud(stratum: Stratum, sheet: FactSheet) -> bool:
    """Return whether a layer is too soft for a casing to stand in it over open water."""
    return stratum.likely == "organic" or (
        stratum.likely in COHESIVE | {"silt"} and sheet.choice("consistency").likely in {"very_soft", "soft"}
    )


def _is_hollow(stratum: Stratum, sheet: FactSheet) -> bool:
    """Return whether a layer is a void, or surely holds open ones: nothing there carries a shoe."""
    return stratum.likely == "void" or sheet.choice("cavities").values == {"yes"}


def _is_under_a_void(gatherer: Gatherer, stratum: Stratum) -> bool:
    """Return whether the layer over a layer is hollow, or not known: nothing there holds a shoe that only stands on the layer."""
    above = gatherer.strata[stratum.index - 1], gatherer.sheets[stratum.index - 1]
    return stratum.index == 0 or not above[0].logged or _is_hollow(*above)


def _is_hard_rock(stratum: Stratum, sheet: FactSheet, limits: Mapping[str, float]) -> bool:
    """Return whether a layer is rock too strong for a shoe that is pushed, shaken, driven or twisted in by the rig."""
    if stratum.likely != "rock" or "ucs_kpa" not in sheet.facts:
        return False
    strength = sheet.span("ucs_kpa")
    return (strength.low if strength.likely is None else strength.likely) > limits["seat_ucs_most_kpa"]


def _is_in_core_loss(stratum: Stratum, depth_m: float, limits: Mapping[str, float]) -> bool:
    """Return whether a core run of which little was recovered ends at a depth or goes past it: nobody knows what is there."""
    return any(
        run.recovery_percent is not None and run.recovery_percent < limits["seat_recovery_least_percent"]
        for run in stratum.cores
        if run.top_m < depth_m <= run.base_m
    )


def _depths(stratum: Stratum, embedment: Span, limits: Mapping[str, float], *, deep: bool) -> list[float]:
    """Return the seat depths inside one layer: the likely embedment, what leaves its cover in a thin layer, deeper ones where it seals."""
    likely = embedment.likely if embedment.likely is not None else embedment.high
    thickness, cover, step = stratum.base_m - stratum.top_m, limits["seat_cover_m"], limits["seat_step_m"]
    if thickness >= likely + cover:
        depths = [stratum.top_m + likely]
    elif thickness >= embedment.low + cover:
        depths = [stratum.base_m - cover]
    else:
        return [stratum.top_m + thickness / 2] if thickness > limits["seat_layer_least_m"] else []
    deeper = stratum.top_m + likely + step
    while deep and deeper < stratum.base_m - cover and len(depths) < MOST_SEATS:
        depths.append(deeper)
        deeper += step
    return depths


def _proved_depths(gatherer: Gatherer, stratum: Stratum, depths: Sequence[float], in_bed_m: float | None, *, seals: bool) -> list[float]:
    """Return the depth in a layer at which the proof of its seat holds, where that is deeper than the least of the usual ones."""
    if seals and stratum.likely in COHESIVE:
        sealed = _sealing_depth(gatherer, stratum.top_m)
        if sealed > max(depths[:1], default=stratum.top_m) and sealed <= stratum.base_m - gatherer.frame.limits["seat_cover_m"]:
            return [sealed]
    if not seals and in_bed_m is not None and max(depths, default=stratum.top_m) < in_bed_m <= stratum.base_m:
        return [in_bed_m]
    return []


def _bed_seat(gatherer: Gatherer, levels: HoleLevels) -> float | None:
    """Return the depth at which a casing full of fluid stands deep enough in a granular bed of open water; None on land."""
    limits, main = gatherer.frame.limits, gatherer.aquifers[0].level_m
    if gatherer.frame.site.setting != "water":
        return None
    outside = main.high if main.likely is None else main.likely
    excess = max(outside - level for level in levels.fluid_m.values())
    seat = seat_length(excess, gatherer.frame.shaft.diameter_m, limits["seat_gradient_granular"], limits["bed_seat_sand_m"], 0.0)
    return round(seat + BED_STEP_M, 2)


def _sealing_depth(gatherer: Gatherer, top_m: float) -> float:
    """Return the depth at which a shoe forced into clay from its top is long enough against the highest water outside."""
    limits = gatherer.frame.limits
    outside = gatherer.frame.shaft.diameter_m + limits["casing_step_m"]
    return top_m + seal_length_below(_head_over(gatherer, top_m), outside, limits)


def _pushed(gatherer: Gatherer, depth_m: float, in_layer_m: float, in_clay_m: float) -> float:
    """Return the length of clay that a shoe is forced through: the usual last push, more where the water outside asks for it."""
    limits = gatherer.frame.limits
    outside = gatherer.frame.shaft.diameter_m + limits["casing_step_m"]
    needed = seal_length(_head_over(gatherer, depth_m), outside, limits)
    return round(max(min(in_layer_m, limits["last_push_m"]), min(needed, in_clay_m, limits["push_most_m"])), 3)


def _is_clear_of_water(gatherer: Gatherer, depth_m: float) -> bool:
    frame = gatherer.frame
    return is_clear_of_water(gatherer.aquifers, depth_m, frame.shaft.diameter_m, frame.site, frame.limits)


def is_clear_of_water(
    waters: Iterable[Aquifer], depth_m: float, diameter_m: float, site: SiteConditions, limits: Mapping[str, float]
) -> bool:
    """Return whether, on land, no likely water stands over a depth in m, nor near below it in ground that reaches up so far."""
    clear = clear_below_m(depth_m, diameter_m, limits["unsealed_water_clear_m"], limits["unsealed_clear_diameters"])
    near = [water.level_m for water in waters if water.top_m < clear]
    return site.setting != "water" and all((level.low if level.likely is None else level.likely) >= clear for level in near)


def _head_over(gatherer: Gatherer, depth_m: float) -> float:
    """Return the head of the highest water over a depth, perched waters aside."""
    levels = [water.level_m.low for water in gatherer.aquifers if water.kind != "perched" and water.top_m < depth_m]
    return max(0.0, depth_m - min(levels, default=depth_m))


def _next_seals(gatherer: Gatherer, index: int, seals: ClassTable) -> bool:
    """Return whether the stratum below a stratum seals as well."""
    if index + 1 >= len(gatherer.strata) or not gatherer.strata[index + 1].logged:
        return False
    return _seal(gatherer.sheets[index + 1], seals) != "no"


def _seal(sheet: FactSheet, table: ClassTable) -> str:
    found = table.look_up({name: sheet.value(name) for name in table.inputs}).get("seals")
    if not isinstance(found, Choice):
        return "no"
    if found.certain:
        return next(iter(found.values))
    if found.likely == "yes":
        return "probable" if "no" in found.values or "probable" in found.values else "yes"
    return found.likely or ("no" if "no" in found.values else "probable")


def _embedment(sheet: FactSheet, table: ClassTable, limits: Mapping[str, float]) -> Span:
    found = table.look_up({name: sheet.value(name) for name in table.inputs}).get("embedment_m")
    return found if isinstance(found, Span) else Span(limits["seat_cover_m"], limits["last_push_m"])
