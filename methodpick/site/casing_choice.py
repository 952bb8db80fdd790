"""Casing sizes, strings and stock for the site as a whole, decided before concrete, fluid, hours and cost are counted.

Every shaft is planned with casing to buy. Then the fewest sizes that serve all shafts are found, with what the yard has, without it, and
with parts of it; each choice is planned again with its sizes and taken off. Where every line of cost has a rate the cheapest is taken, else
the one with the fewest sizes and then the fewest metres to get.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import field, replace
from itertools import product
from math import ceil, prod

from methodpick.engine.rulebook import Rulebook
from methodpick.ground.site import Site
from methodpick.plan.casing.sizes import CasingSize
from methodpick.plan.result import ShaftPlan
from methodpick.records import record
from methodpick.site.calendar import make_schedule
from methodpick.site.estimate import CostSheet
from methodpick.site.job import Job
from methodpick.site.result import CasingCandidate, CasingChoice, SitePlan, StockPieces
from methodpick.site.site_takeoff import ShaftCounts, jobs_of, price
from methodpick.site.yard import SizedNeed, TradeLengths, casing_needs, stock_lengths, stock_of, timed_lengths, trade_lengths
from methodpick.site.yard_sizes import SizeChoice, YardSize, choose_sizes
from methodpick.site.yard_strings import TimedLength, fill
from methodpick.terms import CasingWay
from methodpick.unit_markup import mark
from methodpick.vocabulary.trade_sizes import TradeSizes

MOST_YARDS = 16
"""Parts of the yard that are tried, one by one; of a larger yard, it without each kind of piece, and where the whole is no
better than none each kind alone, and the best without single pieces."""
Resize = Callable[[str, tuple[CasingSize, ...]], ShaftPlan | None]
"""Plans a shaft again with the sizes of all its casings, outermost first; None where a check does not hold as well with them."""


def choose_casing(site: Site, planned: SitePlan, book: Rulebook, resize: Resize) -> SitePlan:
    """Return a planned site with the casing that is best for the site as a whole; ``planned`` has casing to buy only."""
    jobs = jobs_of(site, planned, book)
    counts = ShaftCounts()
    rows = [counts.of(job).hours for job in jobs]
    needs = casing_needs(jobs, rows, make_schedule(site, jobs, rows))
    if not needs:
        return planned
    trade = trade_lengths(jobs)
    choosing = _Choosing(planned, tuple(jobs), tuple(needs), tuple(timed_lengths(needs, trade)), trade, resize)
    stock = _useful(stock_of(site), needs)
    made = [choosing.with_stock(*some) for some in _parts_of_yard(stock)]
    made += [choosing.with_stock(*some) for some in _without_each(stock, made[0])] if len(stock) > 1 else []
    weighing = _Weighing(site, book, planned, counts, _distinct(made))
    if not _is_parted_wholly(stock) and not weighing.is_whole_yard_worth_it():
        weighing.add(choosing.with_stock(*some) for some in _each_alone(stock))
        weighing.leave_out_pieces(choosing)
    return weighing.best()


# ---- The parts of the yard that are tried


_PartOfYard = tuple[str, tuple[StockPieces, ...]]
"""What is taken from the yard, in words, and the pieces."""


def _useful(stock: Sequence[StockPieces], needs: Sequence[SizedNeed]) -> tuple[StockPieces, ...]:
    """Return the pieces that serve any need."""
    asked = {need.size for need in needs} | {need.narrow for need in needs}
    return tuple(pieces for pieces in stock if any(size.served_by(_size_of(pieces)) for size in asked))


def _size_of(pieces: StockPieces) -> YardSize:
    return YardSize(pieces.outside_diameter_m, pieces.wall_m)


def _parts_of_yard(stock: Sequence[StockPieces]) -> Iterator[_PartOfYard]:
    """Yield the whole yard and no yard, and every part between them where these are few."""
    if not stock:
        yield "all new", ()
        return
    yield "with the whole yard", tuple(stock)
    yield "without the yard", ()
    if _is_parted_wholly(stock):
        for counts in product(*(range(pieces.count, -1, -1) for pieces in stock)):
            part = tuple(replace(pieces, count=count) for pieces, count in zip(stock, counts, strict=True) if count)
            if part and part != tuple(stock):
                yield f"with {_words(part)} of the yard", part


def _is_parted_wholly(stock: Sequence[StockPieces]) -> bool:
    """Return whether every part of a yard is tried."""
    return prod(pieces.count + 1 for pieces in stock) <= MOST_YARDS


def _without_each(stock: Sequence[StockPieces], whole: _SizedSite) -> Iterator[_PartOfYard]:
    """Yield the yard without each kind of piece that steers the choice with the whole of it."""
    for left_out in stock:
        if whole.is_steered_by(left_out):
            yield f"without {_words((left_out,))}", tuple(pieces for pieces in stock if pieces != left_out)


def _each_alone(stock: Sequence[StockPieces]) -> Iterator[_PartOfYard]:
    """Yield each kind of piece of the yard alone."""
    for pieces in stock:
        yield f"with {_words((pieces,))} of the yard", (pieces,)


def _one_piece_less(chosen: _SizedSite) -> Iterator[_PartOfYard]:
    """Yield what a choice takes from the yard without one piece of each kind that steers it."""
    for fewer in chosen.stock:
        if chosen.is_steered_by(fewer):
            counts = (replace(pieces, count=pieces.count - (pieces == fewer)) for pieces in chosen.stock)
            part = tuple(pieces for pieces in counts if pieces.count)
            if part:
                yield f"with {_words(part)} of the yard", part


def _words(stock: Sequence[StockPieces]) -> str:
    def words(pieces: StockPieces) -> str:
        size = f"{mark(pieces.outside_diameter_m, 'size')} x {mark(pieces.wall_m, 'wall')}"
        return f"{pieces.count} x {mark(pieces.length_m, 'm')} of {size}"

    return ", ".join(map(words, stock))


# ---- The sizes and plans of one choice


@record
class _SizedSite:
    """A choice: what it takes from the yard, the sizes of all needs, the plans with them, and the lengths of pieces that are used.

    ``refused`` is whether the sizes that were sought first were refused at a shaft, so that pieces that are not used have steered it too.
    """

    yard: str
    stock: tuple[StockPieces, ...]
    sizes: SizeChoice
    plans: tuple[ShaftPlan, ...]
    used_m: dict[YardSize, tuple[float, ...]]
    refused: bool = False

    def is_steered_by(self, pieces: StockPieces) -> bool:
        """Return whether the choice may be another without some pieces."""
        return self.refused or pieces.length_m in self.used_m.get(_size_of(pieces), ())

    @property
    def planned_as(self) -> object:
        """Return what two choices share that come to the same."""
        return self.sizes.sizes, sorted(self.used_m.items())


@record(frozen=False)
class _Choosing:
    """What is chosen from: the plans with casing to buy, and what they need in time."""

    planned: SitePlan
    jobs: tuple[Job, ...]
    needs: tuple[SizedNeed, ...]
    times: tuple[TimedLength, ...]
    trade: TradeLengths
    resize: Resize
    as_planned: set[int] = field(default_factory=set)

    def with_stock(self, yard: str, stock: tuple[StockPieces, ...]) -> _SizedSite:
        """Return the choice with some of the yard; shafts whose checks do not hold with a shared size keep those that are planned."""
        self.as_planned = set()
        while True:
            pieces = stock_lengths(stock)
            needs = [self._asked(need) for need in self.needs]
            found = best_choice(needs, self.times, sizes_on_offer(self.needs, self.jobs, stock), pieces, self.trade)
            used_m, of_casing = self._used(found, pieces)
            plans = [self._plan(index, of_casing) for index in range(len(self.jobs))]
            refused = {index for index, plan in enumerate(plans) if plan is None}
            if not refused - self.as_planned:
                kept = tuple(job.plan if plan is None else plan for job, plan in zip(self.jobs, plans, strict=True))
                return _SizedSite(yard, stock, found, kept, used_m, bool(self.as_planned))
            self.as_planned |= refused

    def _asked(self, need: SizedNeed) -> SizedNeed:
        """Return a need, of a shaft that keeps its sizes none but these."""
        if need.place[0] not in self.as_planned:
            return need
        size = need.planned
        exactly = replace(need.size, inside_m=size.inside_m, outside_most_m=size.outside_m, wall_ratio=size.wall_m / size.outside_m)
        return replace(need, size=exactly, narrow=exactly)

    def _used(
        self, found: SizeChoice, pieces: Sequence[tuple[YardSize, float]]
    ) -> tuple[dict[YardSize, tuple[float, ...]], dict[tuple[int, int], CasingSize]]:
        """Return the lengths of pieces that are used of each size, and the size of every casing by its place."""
        used_m: dict[YardSize, tuple[float, ...]] = {}
        of_casing: dict[tuple[int, int], CasingSize] = {}
        for size, places, strings in found.sizes:
            lengths_m = sorted((length for kind, length in pieces if kind == size), reverse=True)
            parts = fill(strings.lengths_m, lengths_m).parts
            numbers = sorted({part.piece for own in parts for part in own})
            if numbers:
                used_m[size] = tuple(lengths_m[number] for number in numbers)
            for index, string in zip(places, strings.serves, strict=True):
                need = self.needs[index]
                piece_m = max((lengths_m[part.piece] for part in parts[string]), default=None)
                wider_m = max(0.0, size.outside_m - need.planned.outside_m)
                of_casing.setdefault(need.place, CasingSize(size.outside_m, size.wall_m, piece_m, wider_m))
        return used_m, of_casing

    def _plan(self, index: int, of_casing: dict[tuple[int, int], CasingSize]) -> ShaftPlan | None:
        """Return the plan of a shaft with its sizes: that with casing to buy where they are the same; None where a check speaks against."""
        job = self.jobs[index]
        sizes = tuple(
            of_casing.get((index, no), CasingSize(casing.outside_diameter_m, casing.wall_m)) for no, casing in enumerate(job.plan.casings)
        )
        if all(
            size.piece_m is None and (size.outside_m, size.wall_m) == (casing.outside_diameter_m, casing.wall_m)
            for size, casing in zip(sizes, job.plan.casings, strict=True)
        ):
            return job.plan
        return self.resize(job.shaft.id, sizes)


def _distinct(made: Sequence[_SizedSite]) -> list[_SizedSite]:
    """Return the choices that differ; of those that come to the same the first."""
    found: list[_SizedSite] = []
    for chosen in made:
        if not any(chosen.planned_as == other.planned_as for other in found):
            found.append(chosen)
    return found


# ---- Which choice is best


@record(frozen=False)
class _Weighing:
    """The choices that differ, each with its likely cost; None where a line of it has no rate."""

    site: Site
    book: Rulebook
    planned: SitePlan
    counts: ShaftCounts
    made: list[_SizedSite]
    costs: list[float | None] = field(default_factory=list)

    def leave_out_pieces(self, choosing: _Choosing) -> None:
        """Add choices without single pieces, as long as leaving one more out of the best betters it; no more than so many yards."""
        tried = 0
        while tried < MOST_YARDS:
            best = self.order()[0]
            new = self.add(choosing.with_stock(*some) for some in _one_piece_less(self.made[best]))
            tried += new
            if not new or self.order()[0] == best:
                return

    def add(self, chosen: Iterable[_SizedSite]) -> int:
        """Add the choices that differ from all before; return how many they are."""
        before = len(self.made)
        self.made = _distinct([*self.made, *chosen])
        return len(self.made) - before

    def is_whole_yard_worth_it(self) -> bool:
        """Return whether the whole yard is better than none, so that none of its pieces is known to spoil the choice."""
        order = self.order()
        without = next((index for index in order if not self.made[index].stock), None)
        return without is not None and order.index(0) < order.index(without)

    def order(self) -> list[int]:
        """Return the choices from the best on: the one that costs least, else the one with the fewest sizes and metres to get."""
        by_cost = self.is_by_cost()
        costs = [(cost or 0.0) if by_cost else 0.0 for cost in self.costs or [None] * len(self.made)]
        return sorted(range(len(self.made)), key=lambda index: (costs[index], self.made[index].sizes.worth, index))

    def is_by_cost(self) -> bool:
        """Return whether every choice has a cost, which is worked out of those that are new."""
        if self.site.rates is None or len(self.made) < 2:
            return False
        for chosen in self.made[len(self.costs) :]:
            plan = _site_plan(self.planned, chosen, (), by_cost=False)
            self.costs.append(_likely_cost(price(self.site, plan, self.book, self.counts)))
        return all(cost is not None for cost in self.costs)

    def best(self) -> SitePlan:
        """Return the site by the best choice."""
        order, by_cost = self.order(), self.is_by_cost()
        costs = self.costs or [None] * len(self.made)
        candidates = tuple(
            CasingCandidate(self.made[index].yard, len(self.made[index].sizes.sizes), self.made[index].sizes.worth[1], costs[index])
            for index in order
        )
        return _site_plan(self.planned, self.made[order[0]], candidates, by_cost=by_cost)


def _likely_cost(cost: CostSheet | None) -> float | None:
    """Return the likely cost of a site, None where a line of it has no rate."""
    return None if cost is None or cost.unpriced else cost.total.likely


def _site_plan(planned: SitePlan, chosen: _SizedSite, candidates: tuple[CasingCandidate, ...], *, by_cost: bool) -> SitePlan:
    choice = CasingChoice(
        candidates=candidates,
        stock=chosen.stock,
        least_sizes=chosen.sizes.least_sizes,
        least_m=chosen.sizes.least_m,
        larger_m3=chosen.sizes.larger_m3,
        exact=chosen.sizes.exact,
        by_cost=by_cost,
    )
    resized = {plan.id: plan for plan in chosen.plans}
    shafts = tuple(resized.get(plan.id, plan) for plan in planned.plan.shafts)
    return replace(planned, plan=replace(planned.plan, shafts=shafts), casing=choice)


# ---- The fewest sizes that serve all needs


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


def sizes_on_offer(needs: Sequence[SizedNeed], jobs: Sequence[Job], stock: Sequence[StockPieces]) -> list[YardSize]:
    """Return the sizes to choose from: those planned, those of the yard, and the next trade step with the wall it wants.

    The step is that of the casing that is planned: of segmental casing where it is oscillated or rotated, else of pipe.
    """
    sizes = {need.planned for need in needs}
    market = TradeSizes(jobs[0].site.site.units, jobs[0].book.values, jobs[0].book.sizes)
    for asked, way in {(need.size, _way_of(need, jobs)) for need in needs}:
        wide_m = market.next_outside(asked.planned_m, way)
        step, usual_m, handled = (jobs[0].limit(name) for name in ("wall_step_m", "casing_wall_min_m", "handling_slenderness"))
        steps = ceil(round(max(asked.wall_ratio * wide_m, usual_m, wide_m / handled) / step, 6))
        sizes.add(YardSize(wide_m, round(steps * step, 6)))
    return sorted(sizes | set(map(_size_of, stock)))


def _way_of(need: SizedNeed, jobs: Sequence[Job]) -> CasingWay | None:
    """Return how the casing of a need is brought down; None where it is set in a drilled hole."""
    job, casing = need.place
    return jobs[job].plan.casings[casing].way
