"""What is taken off each shaft, counted once for all that are built alike: equal plans that differ in name, number and place alone."""

from __future__ import annotations

from dataclasses import fields, replace
from operator import attrgetter

from methodpick.ground.site import NOT_BUILT, Shaft
from methodpick.plan.result import ShaftPlan
from methodpick.plan.result.shaft_plan import Design
from methodpick.records import record
from methodpick.site.estimate import HoursRow
from methodpick.site.job import Job, hours_row
from methodpick.site.result import ShaftTakeoff, TakeoffLine
from methodpick.site.steel_lines import cage_checks, casing_lines, tube_lines
from methodpick.site.takeoff_lines import concrete_lines, drilling_lines, fluid_lines, spoil_lines, truck_lines

_OWN_OF_PLAN = frozenset({"id", "count", "boring_distance_m", "doubts", "design", "other_ways"})
_OWN_OF_DESIGN = frozenset({"east_m", "north_m"})
_of_shaft = attrgetter(*(name for name in Shaft.model_fields if name not in NOT_BUILT))
_of_plan = attrgetter(*(field.name for field in fields(ShaftPlan) if field.name not in _OWN_OF_PLAN))
_of_design = attrgetter(*(field.name for field in fields(Design) if field.name not in _OWN_OF_DESIGN))
_Built = tuple[tuple[object, ...], ...]


@record
class CountedShaft:
    """What one shaft takes: its lines with the checks of its cage, and its hours."""

    takeoff: ShaftTakeoff
    hours: HoursRow


class ShaftCounts:
    """What shafts take, by one rulebook on one site; those that are built alike are counted once."""

    def __init__(self) -> None:
        """Start with nothing counted."""
        self._counted: dict[tuple[str, float], list[tuple[_Built, CountedShaft]]] = {}

    def of(self, job: Job) -> CountedShaft:
        """Return what a shaft takes, under its own name."""
        built: _Built = (_of_plan(job.plan), _of_design(job.plan.design), _of_shaft(job.shaft))
        alike = self._counted.setdefault((job.plan.boring, job.shaft.tip_m), [])
        found = next((counted for known, counted in alike if known == built), None)
        if found is None:
            found = _count(job)
            alike.append((built, found))
        return _under_own_name(found, job.shaft)


def _count(job: Job) -> CountedShaft:
    concrete = concrete_lines(job)
    order = concrete[-1]
    return CountedShaft(_takeoff(job, concrete, order), hours_row(job, order))


def _takeoff(job: Job, concrete: list[TakeoffLine], order: TakeoffLine) -> ShaftTakeoff:
    shaft = job.shaft
    return ShaftTakeoff(
        shaft=shaft.id,
        boring=job.plan.boring,
        substructure=shaft.substructure or "",
        diameter_m=shaft.diameter_m,
        tip_m=shaft.tip_m,
        method=job.plan.method,
        count=shaft.count,
        lines=(
            *drilling_lines(job),
            *casing_lines(job),
            *fluid_lines(job),
            *concrete,
            *truck_lines(job, order.amount),
            *spoil_lines(job),
            *tube_lines(job),
        ),
        checks=tuple(cage_checks(job)),
    )


def _under_own_name(counted: CountedShaft, shaft: Shaft) -> CountedShaft:
    """Return what shafts share that are built alike, under the name and the number of one of them."""
    if counted.takeoff.shaft == shaft.id:
        return counted
    takeoff = replace(counted.takeoff, shaft=shaft.id, substructure=shaft.substructure or "", count=shaft.count)
    return CountedShaft(takeoff, replace(counted.hours, shaft=shaft.id, count=shaft.count))
