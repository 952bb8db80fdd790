"""The yard: from the casing that the shafts need to the least strings, and to what of them is at hand, cut, spliced or got.

What they need are temporary strings, with their hours in the calendar and what each asks of a size.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import ceil

from methodpick.ground.site import Site
from methodpick.mechanics.casing import mass_per_metre
from methodpick.plan.hours import joints
from methodpick.plan.judging.planning_input import is_casing_outside
from methodpick.plan.result import Casing, ShaftPlan
from methodpick.records import record
from methodpick.site.calendar import ENDS, End, SiteSchedule
from methodpick.site.estimate import NOTHING, SAME_H, Estimate, HoursRow
from methodpick.site.job import Job, estimate_of
from methodpick.site.result import CasingChoice, CutPart, StockPieces, StringNeed, Yard, YardString
from methodpick.site.yard_sizes import SizeNeed, YardSize
from methodpick.site.yard_strings import MOST_PIECES, SAME_M, PieceUse, StringSet, TimedLength, bound, fill, least_strings
from methodpick.terms import STARTER
from methodpick.unit_markup import how_many, mark


@record
class SizedNeed:
    """A string that a shaft needs, with what it asks of a size.

    ``narrow`` is what it asks where no casing is wider than planned: around another it need be no wider inside than that passes.
    ``place`` are the places of its shaft among the plans and of its casing in the plan; ``days`` its first and last working day.
    """

    record: StringNeed
    size: SizeNeed
    narrow: SizeNeed
    place: tuple[int, int] = (0, 0)
    days: Mapping[End, tuple[int, int]] | None = None

    @property
    def planned(self) -> YardSize:
        """Return the size that the plan has."""
        return YardSize(self.record.outside_diameter_m, self.record.wall_m)


@record
class TradeLengths:
    """The steps in which casing is traded, how much longer a string may be than needed, and the lengths as delivered, in m."""

    step_m: float
    longer_m: float
    delivered_m: float


def trade_lengths(jobs: Sequence[Job]) -> TradeLengths:
    """Return how casing is traded and cut, as the limits say."""
    if not jobs:
        return TradeLengths(1.0, 0.0, 1.0)
    return TradeLengths(
        step_m=jobs[0].limit("trade_length_m"), longer_m=jobs[0].limit("string_longer_most_m"), delivered_m=jobs[0].limit("splice_length_m")
    )


def timed_lengths(needs: Sequence[SizedNeed], trade: TradeLengths) -> list[TimedLength]:
    """Return the lengths that needs ask for in the steps of the trade, with their hours."""
    return [
        TimedLength(round(ceil(round(need.record.length_m / trade.step_m, 6)) * trade.step_m, 4), need.record.from_h, need.record.until_h)
        for need in needs
    ]


def casing_needs(jobs: Sequence[Job], rows: Sequence[HoursRow], schedule: SiteSchedule) -> list[SizedNeed]:
    """Return every temporary string of the plans with its hours in the calendar, shafts in the order in which they are begun."""
    needs: list[SizedNeed] = []
    for place, each in enumerate(schedule.placed["likely"]):
        index = schedule.works["likely"][each.work].job
        job = jobs[index]
        for no, casing in enumerate(job.plan.casings):
            if casing.kind != "permanent":
                spans = {end: _span(job, rows[index], casing, (schedule, place), end) for end in ENDS}
                needs.append(
                    SizedNeed(
                        record=_string_need(job, casing, spans["likely"], schedule),
                        size=size_need(job, no),
                        narrow=_narrow_need(job, no),
                        place=(index, no),
                        days={end: _days(schedule, span) for end, span in spans.items()},
                    )
                )
    return needs


def _span(job: Job, row: HoursRow, casing: Casing, at: tuple[SiteSchedule, int], end: End) -> tuple[float, float]:
    """Return the hours on the clock at which a casing of a shaft goes in and is out again."""
    schedule, place = at
    scale = _hours_scale(job.plan, row, end)
    start_h, end_h = residence(job.plan, casing)
    return schedule.hour_of(end, place, start_h * scale), schedule.hour_of(end, place, end_h * scale)


def _days(schedule: SiteSchedule, span: tuple[float, float]) -> tuple[int, int]:
    """Return the first and the last working day of a time, from 1."""
    return schedule.clock.day_of(span[0]) + 1, schedule.clock.day_of(span[1] - 2 * SAME_H) + 1


def _string_need(job: Job, casing: Casing, span: tuple[float, float], schedule: SiteSchedule) -> StringNeed:
    first_day, last_day = _days(schedule, span)
    return StringNeed(
        shaft=job.shaft.id,
        kind=casing.kind,
        outside_diameter_m=casing.outside_diameter_m,
        wall_m=casing.wall_m,
        length_m=casing.length_m,
        from_h=round(span[0], 4),
        until_h=round(span[1], 4),
        first_day=first_day,
        last_day=last_day,
    )


def size_need(job: Job, index: int) -> SizeNeed:
    """Return what a casing of a plan asks of a size that takes its place.

    The innermost lets the shaft's tool pass; one around another keeps its planned inside; one inside another grows no wider
    than the planned one around it lets pass, and none wider than the size rule and the plant allow. The wall is what its way down and
    the pressure on it ask for; a starter is neither driven nor emptied.
    """
    casings = job.plan.casings
    casing = casings[index]
    inside_m = casing.outside_diameter_m - 2 * casing.wall_m
    innermost = index == len(casings) - 1
    tool_m = job.shaft.diameter_m if innermost and not is_casing_outside(job.shaft, job.book.values) else inside_m
    wall = casing.wall_by
    needed_m = casing.wall_m if wall is None else max(wall.driving_m or 0.0, wall.pressure_m or 0.0)
    return SizeNeed(
        inside_m=min(tool_m, inside_m),
        outside_most_m=round(_widest_m(job, index), 6),
        wall_ratio=needed_m / casing.outside_diameter_m,
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


def _hours_scale(plan: ShaftPlan, row: HoursRow, end: End) -> float:
    """Return by how much the user's hours, at one end of their range, differ from the planning hours of the stages."""
    planned = sum(stage.hours or 0.0 for stage in plan.stages)
    at_shaft = float(getattr(row.total, end) - getattr(row.move, end))
    return at_shaft / planned if row.by_rates and planned > 0 and at_shaft > 0 else 1.0


MOST_PIECES_GIVEN = 200
"""Pieces of one entry of the stock that are looked at."""


def make_yard(site: Site, jobs: Sequence[Job], rows: Sequence[HoursRow], schedule: SiteSchedule, choice: CasingChoice | None) -> Yard:
    """Return the strings that serve all temporary casing of the plans through the calendar, and what of them is at hand."""
    trade = trade_lengths(jobs)
    needs = casing_needs(jobs, rows, schedule)
    stock = stock_lengths(stock_of(site) if choice is None else choice.stock)
    by_size: dict[YardSize, list[SizedNeed]] = {}
    for need in needs:
        by_size.setdefault(need.planned, []).append(need)
    strings, served, bounds_m, exact = list[YardString](), list[StringNeed](), 0.0, True
    for size, here in sorted(by_size.items()):
        times, pieces = timed_lengths(here, trade), [length for kind, length in stock if kind == size]
        found = least_strings(times, pieces, trade.longer_m)
        made = _strings(size, found, here, pieces, trade, first=len(strings) + 1)
        served += [replace(need.record, string=made[string].name) for need, string in zip(here, found.serves, strict=True)]
        strings += made
        bounds_m, exact = bounds_m + sum(bound(times)), exact and found.exact and len(pieces) <= MOST_PIECES
    if choice is None:
        choice = CasingChoice((), (), least_sizes=len(by_size), least_m=bounds_m, larger_m3=0.0, exact=exact, by_cost=False)
    return _yard(choice, strings, served, (*yard_notes(choice, len(by_size)), *_rent_notes(jobs, strings)))


def _yard(choice: CasingChoice, strings: Sequence[YardString], needs: Sequence[StringNeed], notes: tuple[str, ...]) -> Yard:
    kg_per_m = {string.name: mass_per_metre(string.outside_diameter_m, string.wall_m) for string in strings}
    rounding_m = {string.name: string.length_m - string.needed_m for string in strings}
    return Yard(
        strings=tuple(strings),
        sizes=len({(string.outside_diameter_m, string.wall_m) for string in strings}),
        least_sizes=choice.least_sizes,
        metres_m=sum(string.length_m for string in strings),
        least_m=choice.least_m,
        exact=choice.exact,
        to_get_m=sum(string.to_get_m for string in strings),
        to_get_kg=sum(string.to_get_m * kg_per_m[string.name] for string in strings),
        rounding_m=sum(rounding_m.values()),
        rounding_kg=sum(length * kg_per_m[name] for name, length in rounding_m.items()),
        larger_m3=choice.larger_m3,
        longest_residence_h=max((need.until_h - need.from_h for need in needs), default=0.0),
        needs=tuple(sorted(needs, key=lambda need: (need.from_h, need.shaft, -need.length_m))),
        said=notes,
    )


def stock_of(site: Site) -> tuple[StockPieces, ...]:
    """Return the casing of the yard, equal pieces together."""
    counts: dict[tuple[float, float, float], int] = {}
    for entry in site.stock:
        size = entry.outside_diameter_m, entry.wall_m, entry.length_m
        counts[size] = min(counts.get(size, 0) + entry.count, MOST_PIECES_GIVEN)
    return tuple(StockPieces(*size, count) for size, count in counts.items())


def stock_lengths(stock: Sequence[StockPieces]) -> list[tuple[YardSize, float]]:
    """Return the size and the length of every piece of the yard."""
    return [(YardSize(pieces.outside_diameter_m, pieces.wall_m), pieces.length_m) for pieces in stock for _ in range(pieces.count)]


def _strings(
    size: YardSize, string_set: StringSet, needs: Sequence[SizedNeed], pieces_m: Sequence[float], trade: TradeLengths, *, first: int
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
    name: str, size: YardSize, length_m: float, served: Sequence[SizedNeed], parts: tuple[CutPart, ...], trade: TradeLengths
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
        needed_m=max((need.record.length_m for need in served), default=0.0),
        mass_kg=mass_per_metre(size.outside_m, size.wall_m) * whole_m,
        origin="new" if not parts else "yard and new" if is_new else "yard",
        pieces_m=(*(part.length_m for part in parts), *((new_m,) if is_new else ())),
        cuts=tuple(part for part in parts if part.of_m > part.length_m + SAME_M),
        splices=joints(new_m, trade.delivered_m) + max(0, len(parts) - (0 if is_new else 1)),
        from_yard_m=min(at_hand_m, whole_m),
        to_get_m=new_m if is_new else 0.0,
        uses=len(served),
        shafts=tuple(dict.fromkeys(need.record.shaft for need in served)),
        days=_days_in_use(served),
    )


def _days_in_use(served: Sequence[SizedNeed]) -> Estimate:
    """Return the working days from where a string first goes in until it is last out, at low, likely and high hours."""
    spans = [need.days for need in served if need.days is not None]
    if not spans:
        return NOTHING
    low, likely, high = (float(max(span[end][1] for span in spans) - min(span[end][0] for span in spans) + 1) for end in ENDS)
    return Estimate(min(low, likely), likely, max(likely, high))


def yard_notes(choice: CasingChoice, sizes: int) -> tuple[str, ...]:
    """Return what the choice of casing was made by, and how good it is known to be."""
    if not choice.candidates:
        return ()
    notes = [_chosen_words(choice)] if len(choice.candidates) > 1 else []
    if choice.exact:
        notes.append("No choice of sizes with the same casing of the yard has fewer sizes, nor as few and less casing to get.")
    elif sizes == choice.least_sizes:
        notes.append(
            "No choice serves with fewer sizes. There are too many ways of sharing the needs out over them to try all: what is "
            "shown is the best that was found, and may lie above the least."
        )
    else:
        notes.append(
            f"Too many sizes to try them all: at least {choice.least_sizes} are needed, whatever the choice; what is shown "
            "serves, and may be above that."
        )
    return tuple(notes)


def _rent_notes(jobs: Sequence[Job], strings: Sequence[YardString]) -> list[str]:
    """Return that the rent of so few or so many days buys the casing that a unit of the two rates is wrong, where it is."""
    rates = jobs[0].site.rates if jobs else None
    if rates is None or rates.casing.buy_per_kg is None or rates.casing.rent_per_m_day is None:
        return []
    bought, rented = estimate_of(rates.casing.buy_per_kg), estimate_of(rates.casing.rent_per_m_day)
    rent = sum(rented.likely * string.length_m for string in strings)
    if rent <= 0:
        return []
    days = sum(bought.likely * string.mass_kg for string in strings) / rent
    if jobs[0].limit("rent_days_least") <= days <= jobs[0].limit("rent_days_most"):
        return []
    note = (
        f"At these rates the rent of {days:.0f} working days buys the casing: look at the units. 'casing: buy' is a price of a mass of "
        "steel, 'casing: rent_a_day' one of a length and working day."
    )
    return [note]


def _chosen_words(choice: CasingChoice) -> str:
    """Describe what was chosen from the yard, and how the other choices compare."""
    chosen, *others = choice.candidates
    if choice.by_cost:
        dearest = "; ".join(f"{other.yard} {other.cost:,.0f}" for other in others)
        return f"Chosen for the site as a whole, {chosen.yard}: the likely cost is {chosen.cost:,.0f}; {dearest}."
    got = "; ".join(f"{other.yard} {how_many(other.sizes, 'size')} and {mark(other.to_get_m, 'm')}" for other in others)
    return (
        f"Chosen for the site as a whole, {chosen.yard}, by the fewest sizes and then the fewest metres to get, since not every line of "
        f"cost has a rate: {how_many(chosen.sizes, 'size')} and {mark(chosen.to_get_m, 'm')}; {got}."
    )
