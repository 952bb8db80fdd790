"""The search against an enumeration that shares no code with it: every sequence of segments on small made-up grounds.

The walk of ``test_search.py`` proves that keeping the best path of a node loses nothing; this one is written from the
rules of a buildable sequence (DEVELOPERS.md), with plain loops over slices, and so also holds what an edge may be, what
it costs, and how long a wall stays open.
"""

from itertools import pairwise, product

import pytest
from effort import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.search import search
from methodpick.plan.sequence.search_input import SearchInput, SearchOptions, SearchSlice, read_costs
from methodpick.plan.sequence.seats import Seat
from methodpick.terms import CASING_WAYS, STATES

FLUIDS = ("water", "polymer", "mineral")
RANKS = st.sampled_from((0, 0, 0, 1, 2, 3, 4, 5))
TINY = 1e-6


@st.composite
def grounds(draw):
    cuts, top = [], 0.0
    for _ in range(draw(st.integers(2, 4))):
        base = top + draw(st.sampled_from((1.0, 2.5, 4.0)))
        cuts.append(
            SearchSlice(
                top,
                base,
                draw(st.integers(0, 9)) > 0,
                {state: draw(RANKS) for state in STATES},
                {state: draw(st.integers(0, 2)) for state in STATES},
                {state: draw(st.integers(-2, 2)) for state in STATES},
                draw(st.sampled_from((0.3, 2.0, 3.0, 12.0, 72.0))),
                0.3,
                draw(st.sampled_from((1.0, 4.0))),
                frozenset(draw(st.sets(st.sampled_from(CASING_WAYS)))),
                draw(RANKS),
                draw(RANKS),
                draw(st.booleans()),
                no_wall=draw(st.integers(0, 5)) == 0,
            )
        )
        top = base
    seats = [
        Seat(
            cut.top_m + 0.6,
            draw(st.sampled_from(("yes", "probable", "no"))),
            0.6,
            index,
            in_socket=False,
            pushed_m=0.6,
            clear_of_water=draw(st.booleans()),
        )
        for index, cut in enumerate(cuts[1:], 1)
    ]
    socket, clear = draw(st.booleans()), draw(st.booleans())
    seats.append(Seat(top, "no", 0.0, len(cuts) - 1, in_socket=socket, pushed_m=0.0, clear_of_water=clear))
    return tuple(cuts), tuple(seats)


class ByHand:
    """Enumerates every sequence and keeps the least score."""

    def __init__(self, cuts, seats, costs, options):
        self.cuts, self.seats, self.costs, self.options, self.tip = cuts, seats, costs, options, cuts[-1].base_m
        self.best = None

    def pieces(self, top, base):
        return [
            (cut, max(top, cut.top_m), min(base, cut.base_m)) for cut in self.cuts if cut.base_m > top + TINY and cut.top_m < base - TINY
        ]

    def drilled(self, state, top, base, later=None):
        """The score of drilling a length in a state, None where a slice rules it out; the graver where it stands in another later."""
        total = [0.0] * 5
        for cut, first, last in self.pieces(top, base):
            length = last - first
            if not cut.logged:
                total[0] += length
                total[4] += length * self.costs.per_m[state]
                continue
            rank = max(cut.rank[state], cut.rank[later or state])
            if rank == 5:
                return None
            total[1] += length if rank == 4 else 0
            total[2] += length if rank == 3 else 0
            rate = self.costs.per_m[state] + self.costs.should_m * cut.should[state] - self.costs.point_m * cut.points[state]
            total[4] += length * max(rate, 0.05)
        return total

    def stands(self, top, base, after, cased):
        """Whether no dry slice is open longer than it stands, from the hour its top is drilled; a void that is then cased has no wall."""
        hours, opened = 0.0, []
        for cut, first, last in self.pieces(top, base):
            opened.append((cut, hours))
            hours += (last - first) / cut.rate_m_h
        stays = (cut for cut in opened if cut[0].logged and not (cased and cut[0].no_wall))
        return all(hours + after - at <= cut.stand_h + 1e-9 for cut, at in stays)

    def dry(self, top, base, after, cased):
        return self.drilled("dry", top, base) is not None and self.stands(top, base, after, cased)

    def stops(self, top):
        """Where a dry hole may be given up: the margin above a worse slice, and no must within the margin below it."""
        worse, rank = [], 0
        for cut, first, _ in self.pieces(top, self.tip):
            now = cut.rank["dry"] if cut.logged else 0
            if now > rank:
                worse.append((first, now))
                rank = now
            if now == 5:
                break
        margin = self.options.margin_m
        return [
            depth - margin
            for depth, _ in worse
            if depth - margin > top + 0.3 and not any(other >= 2 and depth - margin - TINY < at < depth - TINY for at, other in worse)
        ]

    def lost(self, top):
        """Where no fluid holds the wall any more below a depth: each is ruled out, unlikely or not known to."""
        return next(
            (cut.top_m for cut, *_ in self.pieces(top, self.tip) if cut.logged and all(cut.rank[name] >= 3 for name in FLUIDS)),
            self.tip + 1,
        )

    def holes(self, top, base, after, wet, fluid, sealed, opens):
        """The ways to drill the open hole; ``opens`` where nothing stands in it yet, or where no water is near the shoe above."""
        dry_start, cased = (opens or sealed) and (not wet or sealed), base < self.tip - TINY
        if dry_start and self.dry(top, base, after, cased):
            yield [("dry", top, base)]
        for name in FLUIDS:
            if fluid and fluid != name and not sealed:
                continue
            yield [(name, top, base)]
            if dry_start:
                for stop in self.stops(top):
                    if stop < base - TINY and self.dry(top, stop, 1.0, cased) and self.drilled(name, top, stop) is not None:
                        yield [("dry", top, stop), (name, stop, base)]

    def walk(self, depth=0.5, strings=0, wet=False, fluid="", sealed=False, paid=frozenset(), score=(0.0,) * 5, opens=True):
        if depth >= self.tip - TINY:
            score = (*(round(length, 9) for length in score[:4]), score[4])
            self.best = score if self.best is None else min(self.best, score)
            return
        for runs in self.holes(depth, self.tip, self.options.finish_h, wet, fluid, sealed, opens):
            self.close(runs, score, wet, fluid, paid)
        if strings >= self.options.most_strings:
            return
        for seat in self.seats:
            if seat.depth_m < depth + 0.3 - TINY:
                continue
            pushed = round(seat.depth_m - min(seat.embedment_m, 1.5), 3)
            at_tip = seat.depth_m >= self.tip - TINY
            if not at_tip and not seat.in_socket and pushed > depth + 0.3:
                for runs in self.holes(depth, pushed, self.options.set_h, wet, fluid, sealed, opens):
                    inside = "cased_dry" if runs[-1][0] == "dry" else "cased_balanced"
                    last = [(inside, pushed, seat.depth_m)] if seat.depth_m > pushed else []
                    self.case(runs + last, seat, None, strings, wet, fluid, paid, score)
            if not seat.in_socket or at_tip:
                self.go_ahead(seat, pushed, depth, strings, wet, fluid, sealed, paid, score)

    def go_ahead(self, seat, pushed, depth, strings, wet, fluid, sealed, paid, score):
        heads = [(depth, [])]
        if not wet or sealed:
            hollow = [first for cut, first, _ in self.pieces(depth, self.tip)[1:] if cut.logged and cut.pull == 5 and first > depth + 0.3]
            heads += [
                (stop, [("dry", depth, stop)])
                for stop in (*self.stops(depth), *hollow[:1])
                if stop < seat.depth_m - 0.3 and self.dry(depth, stop, self.options.set_h, cased=True)
            ]
        lost = self.lost(depth)
        heads += [
            (lost, [(name, depth, lost)])
            for name in FLUIDS
            if depth + 0.3 < lost < seat.depth_m - TINY and (not fluid or fluid == name or sealed)
        ]
        for start, head in heads:
            through = [
                cut
                for cut, first, _ in self.pieces(start, seat.depth_m)
                if cut.logged and not (seat.seals != "no" and cut.top_m >= seat.depth_m - min(1.5, seat.embedment_m) - TINY)
            ]
            length = seat.depth_m - start
            ways = [way for way in CASING_WAYS if all(way in cut.ways for cut in through) and length <= self.options.reach_m.get(way, 99.0)]
            insides = [[("cased_plug", start, seat.depth_m)], [("cased_balanced", start, seat.depth_m)]]
            if start + 0.3 < pushed < seat.depth_m - TINY and self.no_plug_is_cut(pushed, seat.depth_m):
                insides.append([("cased_plug", start, pushed), ("cased_balanced", pushed, seat.depth_m)])
            if seat.clear_of_water and not wet and all(state == "dry" for state, *_ in head):
                insides.append([("cased_dry", start, seat.depth_m)])
            for way, run in product(ways, insides):
                self.case(head + run, seat, (way, start, pushed), strings, wet, fluid, paid, score)

    def no_plug_is_cut(self, pushed, base):
        plug, level = self.drilled("cased_plug", pushed, base), self.drilled("cased_balanced", pushed, base)
        return level is not None and (plug is None or plug[:4] > level[:4])

    def tally(self, runs, score, wet, fluid, paid):
        """The score of some runs on top of a path, what is paid then; None where a slice rules a run out."""
        for (state, top, base), (after, *_) in pairwise([*runs, ("", 0.0, 0.0)]):
            part = self.drilled(state, top, base, later=after if state == "dry" and after in FLUIDS else None)
            if part is None:
                return None
            score = tuple(one + more for one, more in zip(score, part, strict=True))
            if state in FLUIDS and state not in paid:
                score, paid = self.plus(score, self.costs.plant[state]), paid | {state}
        if wet and runs[0][0] == "dry":
            score = self.plus(score, self.costs.seal_test)
        elif wet and runs[0][0] in FLUIDS and runs[0][0] != (fluid or "water"):
            score = self.plus(score, self.costs.exchange)
        return score, paid

    @staticmethod
    def plus(score, cost):
        return (*score[:4], score[4] + cost)

    def close(self, runs, score, wet, fluid, paid):
        found = self.tally(runs, score, wet, fluid, paid)
        if found is None:
            return
        score = found[0]
        bare = sum(last - first for cut, first, last in self.pieces(runs[0][1], self.tip) if cut.logged and cut.pull == 5)
        # the cut that the segment starts in counts whole, as it does where a pull is judged over a string
        bare += sum(
            runs[0][1] - cut.top_m
            for cut in self.cuts
            if cut.logged and cut.pull == 5 and cut.top_m < runs[0][1] - TINY < cut.base_m - TINY
        )
        score = (score[0], score[1] + bare, *score[2:])
        if runs[-1][0] != "dry":
            score = self.plus(score, self.costs.tremie)
        self.walk(self.tip, score=score)

    def case(self, runs, seat, ahead, strings, wet, fluid, paid, score):
        found = self.tally(runs, score, wet, fluid, paid)
        if found is None:
            return
        score, paid = found
        at_tip = seat.depth_m >= self.tip - TINY
        full = runs[-1][0] not in {"dry", "cased_dry"}
        score = self.plus(score, self.costs.string + self.costs.casing_m * (seat.depth_m + self.options.stick_up_m))
        if ahead is not None:
            way, start, pushed = ahead
            score = self.plus(score, self.costs.advance_m[way] * (seat.depth_m - start))
            clay = sum(last - first for cut, first, last in self.pieces(start, pushed) if cut.smears) if pushed > start else 0.0
            score = self.plus(score, self.costs.smeared_m * clay)
            if way not in paid:
                score, paid = self.plus(score, self.costs.plant[way]), paid | {way}
        if at_tip and runs[-1][0] not in {"dry", "cased_dry"}:
            score = self.plus(score, self.costs.tremie)
        open_fluid = [state for state, *_ in runs if state in FLUIDS]
        left = open_fluid[-1] if open_fluid else "" if runs[0][0] in {"dry", "cased_dry"} else fluid
        above = [cut for cut in self.cuts if cut.top_m < seat.depth_m - TINY]
        for rank, cost_m in ((max(cut.pull for cut in above), None), (max(cut.leave for cut in above), self.costs.permanent_m)):
            if rank == 5:
                continue
            grades = [cut.pull if cost_m is None else cut.leave for cut in above]
            extra = self.costs.should_m * sum(cut.length_m for cut, grade in zip(above, grades, strict=True) if grade == 1)
            extra += 0.0 if cost_m is None else cost_m * seat.depth_m
            then = (score[0], score[1] + (1.0 if rank == 4 else 0.0), *score[2:4], score[4] + extra)
            sealed = seat.seals in {"yes", "probable"}
            self.walk(seat.depth_m, strings + 1, full, left if full else "", sealed, paid, then, opens=seat.clear_of_water)


@given(grounds(), st.sampled_from((1, 2)))
@settings(max_examples=examples(200))
def test_the_search_equals_an_enumeration_by_hand(book, made, strings):
    cuts, seats = made
    costs = read_costs(book.values, None, 3)
    options = SearchOptions(0.5, 1.0, 1.0, 1.5, 5.0, 0.3, 1.0, most_strings=strings, reach_m={"twisted": 4.0})
    given = SearchInput(cuts, seats, costs, options)
    found = search(LengthScores(given, cautious=False), given)
    hand = ByHand(cuts, seats, costs, options)
    hand.walk()
    assert (found is None) == (hand.best is None)
    if found is not None:
        assert found.score[:5] == pytest.approx(hand.best, abs=1e-6)
        assert all(first.base_m == second.top_m for first, second in pairwise(found.segments))
