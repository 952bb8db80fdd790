"""What changes the plan although it lies within the range that the page states: the water, what the log gives as a range, the costs.

A shaft that is planned alone pays for its plant alone; where a few more like it on the site, which share it, would change the plan, so
would its being one of a row.

Each is moved alone to the two ends of its range; where the plan differs there, the nearest value that changes it is found by bisection
on whole plans, as in :mod:`methodpick.why.flips`. A change counts from the length that is worth a change of method.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache

from methodpick.engine.rulebook import Rulebook
from methodpick.ground.site import Site
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.intervals import DepthSupport
from methodpick.plan.result import Flip, RangeFlip, ShaftPlan
from methodpick.plan.sequence.search_input import SearchCosts, site_costs
from methodpick.records import record
from methodpick.terms import FLUIDS, SHAFTS_SHARING
from methodpick.vocabulary.values import Span
from methodpick.why.flips import ShaftQuestion, least_that_changes, question_of, shaft_question, supports_at, supports_of
from methodpick.why.ground_changes import layer_changes, water_changes
from methodpick.why.input_change import InputChange

_STATED = {"su": "su_kpa", "permeability": "permeability_m_s", "fines": "fines_percent"}
"""Inputs of a layer that a log may give as a range, with their facts."""
MOST_SHAFTS = 6
"""Up to how many shafts one that is planned alone may be the first of."""
_COST_GRID = 8
"""Equal parts of the range of a cost, to one of which its flip is found."""
Held = tuple[DepthSupport, ...]


@record
class _Moved:
    """An input that is moved over its stated range in whole steps from its present value, and the supports with it moved."""

    flip: Flip
    low: float
    high: float
    steps: tuple[int, int]
    value: Callable[[int], float]
    held: Callable[[int], Held]


def flips_within_range(site: Site, book: Rulebook, shaft: ShaftPlan, *, assumptions: bool = True) -> tuple[RangeFlip, ...]:
    """Return what changes the plan of a shaft within its stated range, each input alone, inputs of the ground first.

    ``assumptions`` off takes only what is logged, as the plan does.
    """
    question, context = question_of(shaft, shaft_question(site, book, shaft.id, assumptions=assumptions))
    lengths = [(interval.top_m, interval.base_m) for interval in shaft.intervals]
    now = supports_at(context, [(top + base) / 2 for top, base in lengths])
    search = _RangeSearch(lengths, now, context.limits["run_least_m"], context.levels.starter_base_m)
    moved = (*_ground(question, context, search), *_costs(context, search), *_shared_plant(context, search))
    found = [search.nearest(each) for each in moved]
    return tuple(flip for flip in found if flip is not None)


@record
class _RangeSearch:
    """The lengths of a shaft with their supports now; ``least_m`` is the length from which another support counts.

    Above ``below_m`` the starter holds the ground in any case.
    """

    lengths: Sequence[tuple[float, float]]
    now: Held
    least_m: float
    below_m: float = 0.0

    @property
    def depths_m(self) -> list[float]:
        """Return the middle of each length."""
        return [(top + base) / 2 for top, base in self.lengths]

    def nearest(self, moved: _Moved) -> RangeFlip | None:
        """Return the nearest value within the range with which the shaft is held otherwise; None where there is none."""
        hits = [steps for end in moved.steps if end and (steps := self._towards(moved, end)) is not None]
        if not hits:
            return None
        steps = min(hits, key=abs)
        held = moved.held(steps)
        first = self._differing(held)[0]
        last = first
        while last + 1 < len(held) and held[last + 1].support == held[first].support != self.now[last + 1].support:
            last += 1
        return RangeFlip(
            flip=replace(moved.flip, flips_at=moved.value(steps), then=held[first].support, fluid=held[first].fluid),
            low=moved.low,
            high=moved.high,
            top_m=self.lengths[first][0],
            base_m=self.lengths[last][1],
            was=self.now[first].support,
        )

    def _towards(self, moved: _Moved, end: int) -> int | None:
        """Return the least steps toward an end that are known to change the plan, by bisection; None where the end changes nothing."""

        def changes(steps: int) -> bool:
            return bool(self._differing(moved.held(steps)))

        return least_that_changes(0, end, changes) if changes(end) else None

    def _differing(self, held: Held) -> list[int]:
        """Return the lengths that are held otherwise, nothing where they are too short together to count."""
        pairs = zip(self.lengths, self.now, held, strict=True)
        differing = [index for index, ((_, base), was, then) in enumerate(pairs) if was.support != then.support and base > self.below_m]
        changed_m = sum(self.lengths[index][1] - self.lengths[index][0] for index in differing)
        return differing if changed_m >= self.least_m else []


# ---- the ground


def _ground(question: ShaftQuestion, context: PlanContext, search: _RangeSearch) -> Iterator[_Moved]:
    """Return the inputs of water and ground whose range is stated: the water level, and what the log gives as a range."""
    gatherer = context.gatherer
    main = gatherer.aquifers[0]
    for change in water_changes(gatherer, context.shaft.tip_m):
        if change.name == "water_level" and main.read and change.credible.now is not None:
            yield from _input(question, change, main.level_m, search)
    for stratum in gatherer.strata:
        if not stratum.logged or stratum.top_m >= context.shaft.tip_m:
            continue
        for change in layer_changes(gatherer, stratum):
            fact = gatherer.sheets[stratum.index].facts.get(_STATED.get(change.name, ""))
            if fact is not None and fact.basis == "logged" and isinstance(fact.value, Span):
                yield from _input(question, change, fact.value, search)


def _input(question: ShaftQuestion, change: InputChange, stated: Span, search: _RangeSearch) -> Iterator[_Moved]:
    """Return an input with the steps that lie within its stated range, nothing where it has no step there."""
    credible = change.credible
    down = next((steps for steps in range(credible.steps_down, 0, -1) if credible.value(-steps) >= stated.low), 0)
    up = next((steps for steps in range(credible.steps_up, 0, -1) if credible.value(steps) <= stated.high), 0)
    if not down and not up:
        return

    @cache
    def held(steps: int) -> Held:
        return supports_at(question.context(change.site_after(question.site, steps)), search.depths_m)

    yield _Moved(_flip(change.name, change.words, credible.now, credible.unit), stated.low, stated.high, (-down, up), credible.value, held)


def _flip(name: str, words: str, now: float | None, unit: str) -> Flip:
    return Flip(input=name, said=words, design=False, now=now, flips_at=None, step=0.0, unit=unit, then="undecided")


# ---- the costs


def _costs(context: PlanContext, search: _RangeSearch) -> Iterator[_Moved]:
    """Return the relative costs of casing and of fluid over the share to which they are known, without the user's own.

    What a way does not use may become dearer without changing it. Where no way passes its proofs, costs decide nothing.
    """
    share, best = context.limits["relative_costs_within"], context.best_proven()
    own_rates = context.basis.site.rates
    if best is None or share <= 0.0 or (own_rates is not None and own_rates.relative):
        return
    for name, words, scaled, used in (
        ("casing_cost", "the cost of casing and its plant", _casing_scaled, bool(best.strings)),
        ("fluid_cost", "the cost of fluid and its plant", _fluid_scaled, bool(best.fluids)),
    ):
        low, high = 1.0 / (1.0 + share), 1.0 + share

        def factor(steps: int, low: float = low, high: float = high) -> float:
            end = high if steps > 0 else low
            return round(1.0 + (end - 1.0) * abs(steps) / _COST_GRID, 6)

        @cache
        def held(steps: int, scaled: Callable[[SearchCosts, float], SearchCosts] = scaled) -> Held:
            return supports_of(context, context.best_at(scaled(context.search_input.costs, factor(steps))), search.depths_m)

        yield _Moved(_flip(name, words, 1.0, "1"), low, high, (-_COST_GRID, _COST_GRID if used else 0), factor, held)


def _shared_plant(context: PlanContext, search: _RangeSearch) -> Iterator[_Moved]:
    """Return the number of shafts that share the plant of a site that has one; nothing where there are more, or none is proven."""
    site = context.basis.site
    if sum(shaft.count for shaft in site.shafts) != 1 or context.best_proven() is None:
        return

    @cache
    def held(steps: int) -> Held:
        costs = site_costs(site, context.shaft, context.limits, 1 + steps)
        return supports_of(context, context.best_at(costs), search.depths_m)

    yield _Moved(
        _flip(SHAFTS_SHARING, "the shafts on the site", 1.0, "1"), 1.0, MOST_SHAFTS, (0, MOST_SHAFTS - 1), lambda steps: 1.0 + steps, held
    )


def _casing_scaled(costs: SearchCosts, factor: float) -> SearchCosts:
    """Return the costs with all of casing that goes beyond a dry metre multiplied."""
    return replace(
        costs,
        per_m=_over_dry(costs, factor, [state for state in costs.per_m if state.startswith("cased")]),
        plant={name: cost * (1.0 if name in FLUIDS else factor) for name, cost in costs.plant.items()},
        string=costs.string * factor,
        casing_m=costs.casing_m * factor,
        permanent_m=costs.permanent_m * factor,
        advance_m={way: cost * factor for way, cost in costs.advance_m.items()},
    )


def _fluid_scaled(costs: SearchCosts, factor: float) -> SearchCosts:
    """Return the costs with all of fluid that goes beyond a dry metre multiplied."""
    return replace(
        costs,
        per_m=_over_dry(costs, factor, FLUIDS),
        plant={name: cost * (factor if name in FLUIDS else 1.0) for name, cost in costs.plant.items()},
        exchange=costs.exchange * factor,
    )


def _over_dry(costs: SearchCosts, factor: float, states: Sequence[str]) -> Mapping[str, float]:
    dry = costs.per_m["dry"]
    return {state: dry + (cost - dry) * factor if state in states else cost for state, cost in costs.per_m.items()}
