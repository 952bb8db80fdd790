"""The ways of building that a plan holds: the plan itself, the cautious one, the other families, the rungs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.result import Alternate, CautiousPlan, Drawdown, Interval, Rung, ShaftPlan, Slurry
from methodpick.plan.result.checks import Check


@dataclass(frozen=True, slots=True)
class WrittenWay:
    """A way of building as it is written; ``intervals`` is None and ``sentence`` empty where a plan gives none for it.

    ``proven`` is what the way says of itself, ``trials_ended`` that the trials of its search ended; the plan says that by not being proven.
    """

    name: str
    built: BuiltWay
    slurries: tuple[Slurry, ...]
    checks: tuple[Check, ...]
    intervals: tuple[Interval, ...] | None = None
    sentence: str = ""
    drawdown: Drawdown | None = None
    proven: bool = True
    relative_cost: float | None = None
    trials_ended: bool = False

    def is_built_as(self, other: WrittenWay) -> bool:
        """Return whether another way has the same stages, casings, fluids, concrete, checks and cost over the same ground."""
        return (self.built, self.checks, self.relative_cost, self.drawdown) == (
            other.built,
            other.checks,
            other.relative_cost,
            other.drawdown,
        )


def ways_of(shaft: ShaftPlan) -> Iterator[WrittenWay]:
    """Return all ways of building of a shaft that are worked out to the end."""
    built = BuiltWay(shaft.stages, shaft.casings, shaft.slurries, shaft.placement, shaft.concrete)
    yield WrittenWay(
        name="plan",
        built=built,
        slurries=shaft.slurries,
        checks=shaft.checks,
        intervals=shaft.intervals,
        sentence=shaft.decision,
        proven=shaft.proven,
        relative_cost=shaft.relative_cost,
    )
    if shaft.cautious is not None:
        yield _way("cautious plan", shaft.cautious, intervals=shaft.cautious.intervals)
    for other in shaft.alternates:
        if other.stages:
            yield _way(other.family, other, intervals=other.intervals, drawdown=other.drawdown)
    for rung in shaft.ladder:
        yield _way(f"rung {rung.name}", rung, sentence=rung.method)


def _way(
    name: str,
    record: CautiousPlan | Alternate | Rung,
    *,
    intervals: tuple[Interval, ...] | None = None,
    sentence: str = "",
    drawdown: Drawdown | None = None,
) -> WrittenWay:
    """Return the way of a record that stands beside the plan. Raises ValueError where it has stages and no concrete."""
    if record.placement is None or record.concrete is None:
        raise ValueError(f"the {name} has stages, but no placement and concrete")
    built = BuiltWay(record.stages, record.casings, record.slurries, record.placement, record.concrete)
    return WrittenWay(
        name=name,
        built=built,
        slurries=record.slurries,
        checks=record.checks,
        intervals=intervals,
        sentence=sentence,
        drawdown=drawdown,
        proven=record.proven,
        relative_cost=record.relative_cost,
        trials_ended=record.trials_ended,
    )
