"""The yard: from the plans to the casing needed in sequence, and from the least strings to what is at hand, cut, spliced or got."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil

from methodpick.ground.site import Site
from methodpick.mechanics.casing import mass_per_metre
from methodpick.plan.judging.planning_input import is_casing_outside
from methodpick.plan.result import Casing, ShaftPlan
from methodpick.site.job import Job
from methodpick.site.result import CutPart, HoursRow, StringNeed, Yard, YardString
from methodpick.site.steel_lines import splices
from methodpick.site.yard_sizes import SizeChoice, SizeNeed, YardSize, choose_sizes
from methodpick.site.yard_strings import SAME_M, PieceUse, StringSet, TimedLength, fill
from methodpick.terms import STARTER
from methodpick.vocabulary.trade_sizes import TradeSizes

MOST_SHAFTS = 100
"""Equal shafts of one entry that are set in sequence; more of them run at once no more than these."""
MOST_PIECES_GIVEN = 200
"""Pieces of one entry of the stock that are looked at."""


@dataclass(frozen=True, slots=True)
class SizedNeed:
    """A string that a shaft needs, with what it asks of a size.

    ``narrow`` is what it asks where no casing is wider than planned: around another it need be no wider inside than that passes.
    """

    record: StringNeed
    size: SizeNeed
    narrow: SizeNeed


@dataclass(frozen=True, slots=True)
class TradeLengths:
    """The steps in which casing is traded, how much longer a string may be than needed, and the lengths as delivered, in m."""

    step_m: float
    longer_m: float
    delivered_m: float


def make_yard(site: Site, jobs: Sequence[Job], rows: Sequence[HoursRow]) -> Yard:
    """Return the strings that serve all temporary casing in the sequence of the file, and what of them is at hand.

    Where casing stands in casing, either the inner one may be wider than planned or the outer one narrower inside; the better counts.
    """
    trade = _trade_lengths(jobs)
    needs, interval_h = _needs(site, jobs, rows)
    times = [
        TimedLength(round(ceil(round(need.record.length_m / trade.step_m, 6)) * trade.step_m, 4), need.record.from_h, need.record.until_h)
        for need in needs
    ]
    stock = [
        (YardSize(entry.outside_diameter_m, entry.wall_m), entry.length_m)
        for entry in site.stock
        for _ in range(min(entry.count, MOST_PIECES_GIVEN))
    ]
    choice = best_choice(needs, times, _sizes(needs, jobs), stock, trade)
    strings: list[YardString] = []
    for size, places, string_set in choice.sizes:
        pieces = [length for kind, length in stock if kind == size]
        served = [needs[index].record for index in places]
        strings += _strings(size, string_set, served, pieces, trade, first=len(strings) + 1)
    return _yard(choice, strings, needs, interval_h, (*_pace_notes(site, jobs, rows), *_notes(site, choice)))


def best_choice(
    needs: Sequence[SizedNeed],
    times: Sequence[TimedLength],
    sizes: Sequence[YardSize],
    stock: Sequence[tuple[YardSize, float]],
    trade: TradeLengths,
) -> SizeChoice:
    """Return the better of the choices with wider inner and with narrower outer casings; what it says of all choices holds for both."""
    asked = [[need.size for need in needs]]
    if any(need.narrow != need.size for need in needs):
        asked.append([need.narrow for need in needs])
    choices = [choose_sizes(list(zip(kinds, times, strict=True)), sizes, stock, trade.longer_m) for kinds in asked]
    return replace(
        min(choices, key=lambda choice: choice.worth),
        least_sizes=min(choice.least_sizes for choice in choices),
        least_m=min(choice.least_m for choice in choices),
        exact=all(choice.exact for choice in choices),
    )


def _trade_lengths(jobs: Sequence[Job]) -> TradeLengths:
    if not jobs:
        return TradeLengths(1.0, 0.0, 1.0)
    return TradeLengths(
        step_m=jobs[0].limit("trade_length_m"), longer_m=jobs[0].limit("string_longer_most_m"), delivered_m=jobs[0].limit("splice_length_m")
    )


def _yard(choice: SizeChoice, strings: Sequence[YardString], needs: Sequence[SizedNeed], interval_h: float, notes: tuple[str, ...]) -> Yard:
    kg_per_m = {string.name: mass_per_metre(string.outside_diameter_m, string.wall_m) for string in strings}
    rounding_m = {string.name: string.length_m - string.needed_m for string in strings}
    return Yard(
        strings=tuple(strings),
        sizes=len(choice.sizes),
        least_sizes=choice.least_sizes,
        metres_m=sum(string.length_m for string in strings),
        least_m=choice.least_m,
        exact=choice.exact,
        to_get_m=sum(string.to_get_m for string in strings),
        to_get_kg=sum(string.to_get_m * kg_per_m[string.name] for string in strings),
        rounding_m=sum(rounding_m.values()),
        rounding_kg=sum(length * kg_per_m[name] for name, length in rounding_m.items()),
        larger_m3=choice.larger_m3,
        interval_h=interval_h,
        longest_residence_h=max((need.record.until_h - need.record.from_h for need in needs), default=0.0),
        needs=tuple(need.record for need in needs),
        said=notes,
    )


def _needs(site: Site, jobs: Sequence[Job], rows: Sequence[HoursRow]) -> tuple[list[SizedNeed], float]:
    """Set the shafts in sequence; return every temporary string with its hours, and the hours from one shaft to the next."""
    needs: list[SizedNeed] = []
    shift_h = site.site.schedule.shift_hours or (jobs[0].limit("shift_h") if jobs else 10.0)
    shafts_a_day = site.site.schedule.shafts_a_day
    now_h, count = 0.0, 0
    for job, row in zip(jobs, rows, strict=True):
        asked = [
            (casing, size_need(job, index), _narrow_need(job, index))
            for index, casing in enumerate(job.plan.casings)
            if casing.kind != "permanent"
        ]
        interval_h = shift_h / shafts_a_day if shafts_a_day else _rig_hours(row)
        for _ in range(min(job.shaft.count, MOST_SHAFTS)):
            needs += [SizedNeed(_string_need(job, row, casing, now_h), size, narrow) for casing, size, narrow in asked]
            now_h, count = now_h + interval_h, count + 1
    return needs, now_h / count if count else 0.0


def _string_need(job: Job, row: HoursRow, casing: Casing, now_h: float) -> StringNeed:
    scale = _hours_scale(job.plan, row)
    start_h, end_h = residence(job.plan, casing)
    return StringNeed(
        shaft=job.shaft.id,
        kind=casing.kind,
        outside_diameter_m=casing.outside_diameter_m,
        wall_m=casing.wall_m,
        length_m=casing.length_m,
        from_h=round(now_h + start_h * scale, 4),
        until_h=round(now_h + end_h * scale, 4),
    )


def size_need(job: Job, index: int) -> SizeNeed:
    """Return what a casing of a plan asks of a size that takes its place.

    The innermost lets the shaft's tool pass; one around another keeps its planned inside; one inside another grows no wider
    than the planned one around it lets pass, and none wider than the size rule and the plant allow. A starter, which is neither
    emptied nor driven, needs no more wall than handling asks.
    """
    casings = job.plan.casings
    casing = casings[index]
    inside_m = casing.outside_diameter_m - 2 * casing.wall_m
    innermost = index == len(casings) - 1
    tool_m = job.shaft.diameter_m if innermost and not is_casing_outside(job.shaft, job.book.values) else inside_m
    wall_ratio = casing.wall_m / casing.outside_diameter_m
    return SizeNeed(
        inside_m=min(tool_m, inside_m),
        outside_most_m=round(_widest_m(job, index), 6),
        wall_ratio=min(wall_ratio, 1 / job.limit("handling_slenderness")) if casing.kind == STARTER else wall_ratio,
        planned_m=casing.outside_diameter_m,
        in_ground_m=max(0.0, casing.base_m),
    )


def _narrow_need(job: Job, index: int) -> SizeNeed:
    """Return what a casing asks of a size where none is wider than planned, and one around another passes that and no more."""
    need, casings = size_need(job, index), job.plan.casings
    if index > 0:
        need = replace(need, outside_most_m=min(need.outside_most_m, round(casings[index].outside_diameter_m, 6)))
    if index < len(casings) - 1:
        passing_m = casings[index + 1].outside_diameter_m + job.limit("tool_clear_m")
        need = replace(need, inside_m=min(need.inside_m, round(passing_m, 6)))
    return need


def _widest_m(job: Job, index: int) -> float:
    """Return how wide outside a casing may be in place of a planned one."""
    casing = job.plan.casings[index]
    widest_m = casing.outside_diameter_m + job.limit("casing_oversize_m")
    if index > 0:
        around = job.plan.casings[index - 1]
        widest_m = min(widest_m, around.outside_diameter_m - 2 * around.wall_m - job.limit("tool_clear_m"))
    plant_m = job.site.site.equipment.max_casing_m
    return max(casing.outside_diameter_m, min(widest_m, plant_m) if plant_m is not None else widest_m)


def residence(plan: ShaftPlan, casing: Casing) -> tuple[float, float]:
    """Return the hours, from the first stage of a shaft on, at which a casing goes in and at which it is out again."""
    now, start, end = 0.0, None, None
    above = max((other.base_m for other in plan.casings if other.base_m < casing.base_m - 2e-3), default=0.0)
    for stage in plan.stages:
        goes_in = (
            stage.action == "set_starter"
            if casing.kind == STARTER
            else (stage.action in {"set_casing", "advance_casing"} and above + 1e-3 < stage.base_m < casing.base_m + 2e-3)
        )
        if goes_in and start is None:
            start = now
        now += stage.hours or 0.0
        comes_out = "remove_starter" if casing.kind == STARTER else "pull"
        if stage.action == comes_out and abs(stage.base_m - casing.base_m) < 2e-3:
            end = now
    return start or 0.0, end if end is not None else now


def _hours_scale(plan: ShaftPlan, row: HoursRow) -> float:
    """Return by how much the user's hours differ from the planning hours of the stages."""
    planned = sum(stage.hours or 0.0 for stage in plan.stages)
    at_shaft = row.total.likely - row.move.likely
    return at_shaft / planned if row.by_rates and planned > 0 and at_shaft > 0 else 1.0


def _rig_hours(row: HoursRow) -> float:
    """Return the hours that the rig is at a shaft: drilling, casing, fluid, cleaning and the move; a crane does the rest."""
    return sum(part.likely for part in (row.drill, row.casing, row.fluid, row.clean, row.move))


def _sizes(needs: Sequence[SizedNeed], jobs: Sequence[Job]) -> list[YardSize]:
    """Return the sizes to choose from: those planned, those of the yard, and the next trade step with the wall it wants."""
    sizes = {YardSize(need.record.outside_diameter_m, need.record.wall_m) for need in needs}
    market = TradeSizes(jobs[0].site.site.units, jobs[0].book.values, jobs[0].book.sizes)
    for asked in {need.size for need in needs}:
        wide_m = market.next_outside(asked.planned_m)
        step = jobs[0].limit("wall_step_m")
        steps = ceil(round(max(asked.wall_ratio * wide_m, jobs[0].limit("casing_wall_min_m")) / step, 6))
        sizes.add(YardSize(wide_m, round(steps * step, 6)))
    return sorted(sizes | {YardSize(entry.outside_diameter_m, entry.wall_m) for job in jobs[:1] for entry in job.site.stock})


def _strings(
    size: YardSize, string_set: StringSet, needs: Sequence[StringNeed], pieces_m: Sequence[float], trade: TradeLengths, *, first: int
) -> list[YardString]:
    """Make the strings of a size, numbered from ``first``: a piece of the yard that is long enough, else pieces spliced, and new casing."""
    use = fill(string_set.lengths_m, pieces_m)
    strings = []
    for index, length_m in enumerate(string_set.lengths_m):
        served = [need for need, string in zip(needs, string_set.serves, strict=True) if string == index]
        strings.append(_string(f"S{first + index}", size, length_m, served, _parts_of(use, index), trade))
    return strings


def _parts_of(use: PieceUse, string: int) -> tuple[CutPart, ...]:
    """Return the parts of a string with the pieces that they are cut from."""
    whole_m: dict[int, float] = {}
    for part in (part for parts in use.parts for part in parts):
        whole_m[part.piece] = whole_m.get(part.piece, 0.0) + part.length_m
    return tuple(CutPart(part.length_m, whole_m[part.piece]) for part in use.parts[string])


def _string(
    name: str, size: YardSize, length_m: float, served: Sequence[StringNeed], parts: tuple[CutPart, ...], trade: TradeLengths
) -> YardString:
    """Make one string from parts of pieces at hand, left whole where it then sticks up little more, and from new casing."""
    at_hand_m = sum(part.length_m for part in parts)
    new_m = max(0.0, length_m - at_hand_m)
    is_new = new_m > SAME_M
    over_m = max(0.0, at_hand_m - length_m)
    if over_m > trade.longer_m + SAME_M:
        parts = (*parts[:-1], replace(parts[-1], length_m=parts[-1].length_m - over_m))
        over_m = 0.0
    whole_m = length_m + (over_m if over_m > SAME_M else 0.0)
    return YardString(
        name=name,
        outside_diameter_m=size.outside_m,
        wall_m=size.wall_m,
        length_m=whole_m,
        needed_m=max((need.length_m for need in served), default=0.0),
        mass_kg=mass_per_metre(size.outside_m, size.wall_m) * whole_m,
        origin="new" if not parts else "yard and new" if is_new else "yard",
        pieces_m=(*(part.length_m for part in parts), *((new_m,) if is_new else ())),
        cuts=tuple(part for part in parts if part.of_m > part.length_m + SAME_M),
        splices=splices(new_m, trade.delivered_m) + max(0, len(parts) - (0 if is_new else 1)),
        from_yard_m=min(at_hand_m, whole_m),
        to_get_m=new_m if is_new else 0.0,
        uses=len(served),
        shafts=tuple(dict.fromkeys(need.shaft for need in served)),
    )


def _pace_notes(site: Site, jobs: Sequence[Job], rows: Sequence[HoursRow]) -> tuple[str, ...]:
    """Return that the shafts a day of the file are more than one rig drills in its hours, where they are."""
    shafts_a_day, shafts = site.site.schedule.shafts_a_day, sum(row.count for row in rows)
    if not shafts_a_day or not shafts:
        return ()
    shift_h = site.site.schedule.shift_hours or jobs[0].limit("shift_h")
    rig_h = sum(_rig_hours(row) * row.count for row in rows) / shafts
    if rig_h * shafts_a_day <= shift_h * (1 + 1e-9):
        return ()
    more_rigs = (
        f"'schedule: shafts_a_day' {shafts_a_day:g} asks for more than one rig: the hours of the shafts hold it {rig_h:.1f} h at one, a "
        f"shift has {shift_h:g} h. The days of rent follow the file; one rig takes {rig_h * shafts / shift_h:.0f} shifts."
    )
    return (more_rigs,)


def _notes(site: Site, choice: SizeChoice) -> tuple[str, ...]:
    notes = []
    if not choice.sizes:
        return ()
    if site.site.schedule.shafts_a_day is None:
        notes.append("'schedule: shafts_a_day' is not given: the next shaft starts when the rig has left the one before.")
    if choice.exact:
        notes.append("No choice serves with fewer sizes, and with as few sizes none needs fewer metres to get.")
    elif len(choice.sizes) == choice.least_sizes:
        notes.append(
            "No choice serves with fewer sizes. There are too many ways of sharing the needs out over them to try all: what is "
            "shown is the best where alike needs share a size, and may lie above the least."
        )
    else:
        notes.append(
            f"Too many sizes to try them all: at least {choice.least_sizes} are needed, whatever the choice; what is shown "
            "serves, and may be above that."
        )
    return tuple(notes)
