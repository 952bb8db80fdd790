"""From casings to the foreman's pull table: the columns of the temporary strings, their lifts, what to say of each."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

from methodpick.facts.curves import HoleFluid
from methodpick.mechanics.earth_pressure import WATER_KN_M3, unit_weight
from methodpick.plan.concrete.hole import TOUCH_M, Bore, area
from methodpick.plan.concrete.pulls import OUT_M, ColumnPiece, ConcreteColumn, Lift, PulledString, PullTerms, needed_at, pull_all
from methodpick.plan.demands.ground_on_casing import ExternalPressure
from methodpick.plan.result import Casing, PullStep, stage_words
from methodpick.records import record
from methodpick.unit_markup import height_words, mark


@record
class AroundFluid:
    """The fluid that stands around the casings: unit weight (0 where nothing is counted) and level."""

    kn_m3: float = 0.0
    level_m: float = 0.0


def fluid_around(fluid: HoleFluid | None, water_level_m: float | None) -> AroundFluid:
    """Return what stands around the casings: the drilling fluid, else the groundwater, else air."""
    if fluid is not None:
        return AroundFluid(unit_weight(fluid.density_kg_m3), fluid.level_m)
    return AroundFluid() if water_level_m is None else AroundFluid(WATER_KN_M3, water_level_m)


@record
class PullSite:
    """What the pulls of a shaft happen in: its casings, the hole, the fluid around them, and what lies at the base in a bell.

    ``overbroken_m3`` gives the high overbreak between two depths.
    """

    casings: Sequence[Casing]
    hole: Sequence[Bore]
    fluid: AroundFluid
    bell_m3: float
    overbroken_m3: Callable[[float, float], float]

    def column_of(self, index: int, concrete_kn_m3: float) -> ConcreteColumn:
        """Return the column of a casing: around it the casings outside it, else the ground; below its shoe the hole."""
        casing = self.casings[index]
        wider = [other for other in self.casings if other.outside_diameter_m > casing.outside_diameter_m]
        cuts = {casing.top_m, casing.base_m, casing.predrill_base_m, 0.0, *(other.base_m for other in wider)}
        cuts |= {depth for bore in self.hole for depth in (bore.top_m, bore.base_m)}
        depths = sorted(cut for cut in cuts if cut <= self.hole[-1].base_m + TOUCH_M)
        return ConcreteColumn(
            pieces=tuple(
                ColumnPiece(top, base, self._diameter_around(casing, wider, top, base))
                for top, base in itertools.pairwise(depths)
                if base - top > TOUCH_M
            ),
            inside_m=casing.inside_m,
            outside_m=casing.outside_diameter_m,
            fluid_kn_m3=self.fluid.kn_m3,
            fluid_level_m=self.fluid.level_m,
            concrete_kn_m3=concrete_kn_m3,
            more_m3=self.bell_m3,
        )

    def _diameter_around(self, casing: Casing, wider: Sequence[Casing], top_m: float, base_m: float) -> float:
        """Return the diameter that bounds the concrete outside a casing along a length."""
        held = [other.inside_m for other in wider if other.base_m >= base_m - TOUCH_M and other.top_m <= top_m + TOUCH_M]
        if held:
            return min(held)
        if base_m <= TOUCH_M:
            return casing.outside_diameter_m
        if base_m > casing.base_m + TOUCH_M:
            return next(bore for bore in self.hole if base_m <= bore.base_m + TOUCH_M).diameter_m
        predrilled = casing.predrill_diameter_m if casing.predrill_base_m >= base_m - TOUCH_M else None
        return max(casing.outside_diameter_m, predrilled or 0.0)

    def string(self, index: int, concrete_kn_m3: float) -> PulledString:
        """Return a casing as a string to be pulled."""
        casing, column = self.casings[index], self.column_of(index, concrete_kn_m3)
        return PulledString(
            number=index + 1,
            top_m=casing.top_m,
            shoe_m=casing.base_m,
            sections_m=casing.sections_m or (casing.length_m,),
            column=column,
            gap=bool(_gaps(casing, column, casing.base_m)),
        )


def pull_steps(site: PullSite, terms: PullTerms) -> tuple[PullStep, ...]:
    """Return the lifts of all temporary casings, innermost first; last those whose concrete a casing that stays keeps off."""
    casings = site.casings
    pulled = [index for index, casing in enumerate(casings) if casing.kind != "permanent"]
    pulled.sort(key=lambda index: casings[index].outside_diameter_m)
    staying = [casing.outside_diameter_m for casing in casings if casing.kind == "permanent"]
    parted = [index for index in pulled if any(diameter < casings[index].outside_diameter_m for diameter in staying)]
    strings = [site.string(index, terms.concrete_kn_m3) for index in pulled if index not in parted]
    steps = [_step(lift, site, terms) for lift in pull_all(strings, terms)]
    return (*steps, *(_apart(index, casings[index], terms.outside) for index in parted))


def _step(lift: Lift, site: PullSite, terms: PullTerms) -> PullStep:
    casing, column = site.casings[lift.string.number - 1], lift.string.column
    full = column.content(terms.finish_m, lift.string.shoe_m)
    meets_concrete = lift.shoe_m > terms.finish_m + TOUCH_M
    more = round(_more_drop(lift, site, terms.finish_m), 4) if meets_concrete else 0.0
    return PullStep(
        casing_no=lift.string.number,
        lift_no=lift.number,
        shoe_m=lift.shoe_m,
        shoe_after_m=lift.shoe_after_m,
        concrete_level_needed_m=needed_at(lift.string, lift.shoe_m, terms) if meets_concrete else None,
        level_least_m=lift.least_m if meets_concrete else None,
        level_before_m=lift.before_m if meets_concrete else None,
        level_after_m=lift.after_m if meets_concrete else None,
        level_drop_m=max(0.0, column.level(full, OUT_M) - terms.finish_m),
        more_drop_m=more,
        refill_m3=lift.added_m3,
        outside_kpa=terms.outside.pressure(lift.shoe_m, gap=lift.string.gap),
        annulus=_annulus_words(casing, column, lift.shoe_m),
        over_shoes=lift.over,
        safe=lift.safe or not meets_concrete,
        note=_note(lift, casing, more) if meets_concrete else stage_words.OUT_AT_ANY_TIME,
    )


def _more_drop(lift: Lift, site: PullSite, finish_m: float) -> float:
    """Return how much further the concrete can fall into the cavities of the wall that a lift opens."""
    casing = site.casings[lift.string.number - 1]
    wall = next(piece.diameter_m for piece in lift.string.column.pieces if piece.base_m >= lift.shoe_m - TOUCH_M)
    return site.overbroken_m3(max(finish_m, lift.shoe_after_m), lift.shoe_m) / area(max(wall, casing.outside_diameter_m))


def _annulus_words(casing: Casing, column: ConcreteColumn, shoe_m: float) -> str:
    """Describe what is around a casing: the ground, or a gap with what stands in it."""
    gaps = _gaps(casing, column, shoe_m)
    if not gaps:
        return "none; the ground stands against it"
    weight, level = column.fluid_kn_m3, column.fluid_level_m
    if weight <= 0:
        filled = "nothing counted"
    elif level >= gaps[-1].base_m:
        filled = "air"
    else:
        filled = f"{'water' if abs(weight - WATER_KN_M3) < 0.01 else 'support fluid'} to {height_words(level)}"
    width = (max(piece.diameter_m for piece in gaps) - casing.outside_diameter_m) / 2
    return f"a gap of {mark(width, 'size')} all round, down to {mark(gaps[-1].base_m, 'm')}, with {filled}"


def _gaps(casing: Casing, column: ConcreteColumn, shoe_m: float) -> list[ColumnPiece]:
    """Return the lengths below the ground along which nothing stands against a casing."""
    return [
        piece
        for piece in column.pieces
        if piece.top_m < shoe_m
        and piece.base_m > 0
        and piece.base_m <= casing.base_m + TOUCH_M
        and piece.diameter_m > casing.outside_diameter_m + TOUCH_M
    ]


def _note(lift: Lift, casing: Casing, more_m: float) -> str:
    if not lift.safe:
        return stage_words.not_safe(lift.least_m, casing.top_m)
    return stage_words.lift(lift.before_m, lift.least_m, lift.after_m, shoe_after_m=lift.shoe_after_m, more_drop_m=more_m)


def _apart(index: int, casing: Casing, outside: ExternalPressure) -> PullStep:
    """Return the pull of a casing that no concrete meets."""
    return PullStep(
        casing_no=index + 1,
        lift_no=1,
        shoe_m=casing.base_m,
        shoe_after_m=0.0,
        concrete_level_needed_m=None,
        level_least_m=None,
        level_before_m=None,
        level_after_m=None,
        level_drop_m=0.0,
        more_drop_m=0.0,
        refill_m3=0.0,
        outside_kpa=outside.pressure(casing.base_m, gap=False),
        annulus="the gap to the casing that stays",
        over_shoes=(),
        safe=True,
        note=stage_words.NO_CONCRETE_INSIDE,
    )
