"""The yard: from the plans to the needs in sequence, and from the least strings to what is at hand, cut, spliced or got."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from methodpick.ground.site import Site
from methodpick.mechanics.casing import mass_per_metre
from methodpick.plan.casing.sizes import TOOL_CLEAR_M, WALL_STEP_M
from methodpick.plan.result import Casing, ShaftPlan
from methodpick.site.lines.casing import splices
from methodpick.site.lines.job import Job
from methodpick.site.pieces import fill
from methodpick.site.result import HoursRow, StringNeed, Yard, YardString
from methodpick.site.sizes import Choice, Kind, Size, choose
from methodpick.site.strings import Span, Strings

MOST_ALIKE = 100
"""Alike shafts of one entry that are set in sequence; more of them run at once no more than these."""
STARTER_RATIO = 1 / 150
"""Least wall over diameter of a starter, which is neither emptied nor driven (handling, as the plan has it)."""


@dataclass(frozen=True, slots=True)
class Need:
    """A string that a shaft needs, with what it asks of a size."""

    record: StringNeed
    kind: Kind


def make_yard(site: Site, jobs: Sequence[Job], rows: Sequence[HoursRow]) -> Yard:
    """Return the strings that serve all temporary casing in the sequence of the file, and what of them is at hand."""
    needs, every = _needs(site, jobs, rows)
    step = jobs[0].limit("trade_length_m") if jobs else 1.0
    longer = jobs[0].limit("string_longer_most_m") if jobs else 0.0
    delivered = jobs[0].limit("splice_length_m") if jobs else 1.0
    spans = [Span(round(ceil(round(one.record.length_m / step, 6)) * step, 4), one.record.from_h, one.record.until_h) for one in needs]
    stock = [(Size(one.outside_diameter_m, one.wall_m), one.length_m) for one in site.stock for _ in range(min(one.count, 200))]
    choice = choose([one.kind for one in needs], spans, _sizes(needs, jobs), stock, longer)
    strings: list[YardString] = []
    for size, places, found in choice.sizes:
        pieces = [length for own, length in stock if own == size]
        served = [needs[index].record for index in places]
        strings += _strings(size, served, found, pieces, len(strings), (delivered, longer))
    got = sum(one.to_get_m for one in strings)
    weight = {one.name: mass_per_metre(one.outside_diameter_m, one.wall_m) for one in strings}
    more = {one.name: one.length_m - one.needed_m for one in strings}
    return Yard(
        tuple(strings),
        len(choice.sizes),
        choice.least_sizes,
        sum(one.length_m for one in strings),
        choice.least_m,
        choice.exact,
        got,
        sum(one.to_get_m * weight[one.name] for one in strings),
        sum(more.values()),
        sum(length * weight[name] for name, length in more.items()),
        choice.larger_m3,
        every,
        max((one.record.until_h - one.record.from_h for one in needs), default=0.0),
        tuple(one.record for one in needs),
        _said(site, choice, spans),
    )


def _needs(site: Site, jobs: Sequence[Job], rows: Sequence[HoursRow]) -> tuple[list[Need], float]:
    """Set the shafts in sequence and give every temporary string with its hours; and the hours from one shaft to the next."""
    needs: list[Need] = []
    shift = site.site.schedule.shift_hours or (jobs[0].limit("shift_h") if jobs else 10.0)
    a_day = site.site.schedule.shafts_a_day
    now, count = 0.0, 0
    for job, row in zip(jobs, rows, strict=True):
        kinds = [(casing, kind_of(job, index)) for index, casing in enumerate(job.plan.casings) if casing.kind != "permanent"]
        scale = _scale(job.plan, row)
        between = shift / a_day if a_day else _rig_hours(row)
        for _ in range(min(job.shaft.count, MOST_ALIKE)):
            for casing, kind in kinds:
                start, end = residence(job.plan, casing)
                record = StringNeed(
                    job.shaft.id,
                    casing.kind,
                    casing.outside_diameter_m,
                    casing.wall_m,
                    casing.length_m,
                    round(now + start * scale, 4),
                    round(now + end * scale, 4),
                )
                needs.append(Need(record, kind))
            now, count = now + between, count + 1
    return needs, now / count if count else 0.0


def kind_of(job: Job, index: int) -> Kind:
    """Return what a casing of a plan asks of a size that takes its place.

    The innermost lets the shaft's tool pass; one around another keeps its planned inside; one inside another grows no wider
    than the planned one around it lets pass, and none wider than the size rule and the plant allow.
    """
    casings = job.plan.casings
    casing = casings[index]
    inside = casing.outside_diameter_m - 2 * casing.wall_m
    last = index == len(casings) - 1
    tool = job.shaft.diameter_m if last and job.shaft.diameter_is != "casing_outside" else inside
    around = casings[index - 1] if index > 0 else None
    most = casing.outside_diameter_m + job.limit("casing_oversize_m")
    if around is not None:
        most = min(most, around.outside_diameter_m - 2 * around.wall_m - TOOL_CLEAR_M)
    plant = job.site.site.equipment.max_casing_m
    most = max(casing.outside_diameter_m, min(most, plant) if plant is not None else most)
    ratio = casing.wall_m / casing.outside_diameter_m
    return Kind(
        min(tool, inside),
        round(most, 6),
        min(ratio, STARTER_RATIO) if casing.kind == "starter" else ratio,
        casing.outside_diameter_m,
        max(0.0, casing.base_m),
    )


def residence(plan: ShaftPlan, casing: Casing) -> tuple[float, float]:
    """Return the hours, from the first stage of a shaft on, at which a casing goes in and at which it is out again."""
    now, start, end = 0.0, None, None
    above = max((one.base_m for one in plan.casings if one.base_m < casing.base_m - 2e-3), default=0.0)
    for stage in plan.stages:
        goes_in = (
            stage.action == "set_starter"
            if casing.kind == "starter"
            else (stage.action in {"set_casing", "advance_casing"} and above + 1e-3 < stage.base_m < casing.base_m + 2e-3)
        )
        if goes_in and start is None:
            start = now
        now += stage.hours or 0.0
        out = "remove_starter" if casing.kind == "starter" else "pull"
        if stage.action == out and abs(stage.base_m - casing.base_m) < 2e-3:
            end = now
    return start or 0.0, end if end is not None else now


def _scale(plan: ShaftPlan, row: HoursRow) -> float:
    """Return by how much the user's hours differ from the planning hours of the stages."""
    planned = sum(stage.hours or 0.0 for stage in plan.stages)
    own = row.total.likely - (row.move.likely if row.move else 0.0)
    return own / planned if row.by_rates and planned > 0 and own > 0 and not row.lacking else 1.0


def _rig_hours(row: HoursRow) -> float:
    """Return the hours that the rig is at a shaft: drilling, casing, fluid, cleaning and the move; a crane does the rest."""
    parts = (row.drill, row.casing, row.fluid, row.clean, row.move)
    return sum(part.likely for part in parts if part is not None)


def _sizes(needs: Sequence[Need], jobs: Sequence[Job]) -> list[Size]:
    """Return the sizes to choose from: those planned, those of the yard, and the next trade step with the wall it wants."""
    found = {Size(one.record.outside_diameter_m, one.record.wall_m) for one in needs}
    for one in {need.kind for need in needs}:
        wide = round(one.planned_m + jobs[0].limit("casing_step_m"), 4)
        steps = ceil(round(max(one.wall_ratio * wide, jobs[0].limit("casing_wall_min_m")) / WALL_STEP_M, 6))
        found.add(Size(wide, round(steps * WALL_STEP_M, 6)))
    return sorted(found | {Size(one.outside_diameter_m, one.wall_m) for job in jobs[:1] for one in job.site.stock})


def _strings(
    size: Size, needs: Sequence[StringNeed], strings: Strings, pieces: Sequence[float], named: int, ends_m: tuple[float, float]
) -> list[YardString]:
    """Make the strings of a size: a piece of the yard that is long enough, else pieces spliced and made up with new casing."""
    delivered_m, longer_m = ends_m
    lengths, filled = strings.lengths_m, fill(strings.lengths_m, pieces)
    found = []
    for index, length in enumerate(lengths):
        served = [need for need, string in zip(needs, strings.serves, strict=True) if string == index]
        used = filled.used_m[index]
        at_hand = sum(used)
        new = max(0.0, length - at_hand)
        long = at_hand if length < at_hand <= length + longer_m + 1e-9 else length
        found.append(
            YardString(
                f"S{named + index + 1}",
                size.outside_m,
                size.wall_m,
                long,
                max((one.length_m for one in served), default=0.0),
                mass_per_metre(size.outside_m, size.wall_m) * long,
                "new" if not used else "yard" if new <= 1e-9 else "yard and new",
                (*used, *((new,) if new > 1e-9 else ())),
                splices(new, delivered_m) + max(0, len(used) - (0 if new > 1e-9 else 1)),
                min(at_hand, long),
                new,
                len(served),
                tuple(dict.fromkeys(one.shaft for one in served)),
            )
        )
    return found


def _said(site: Site, choice: Choice, spans: Sequence[Span]) -> tuple[str, ...]:
    found = []
    if site.site.schedule.shafts_a_day is None and spans:
        found.append("'schedule: shafts_a_day' is not given: the next shaft starts when the rig has left the one before.")
    if choice.exact and spans:
        found.append("No choice serves with fewer sizes, and with as few sizes none needs fewer metres to get.")
    elif spans and len(choice.sizes) == choice.least_sizes:
        found.append(
            "No choice serves with fewer sizes. There are too many ways of sharing the needs out over them to try all: what is "
            "shown is the best where alike needs share a size, and may lie above the least."
        )
    elif spans:
        found.append(
            f"Too many sizes to try them all: at least {choice.least_sizes} are needed, whatever the choice; what is shown "
            "serves, and may be above that."
        )
    return tuple(found)
