"""The nearest change that flips an interval: each input alone, then pairs, by region search and bisection on the real plan.

From what is now each input goes outward through representatives of its credible range; where the support differs the
change is bisected to one step. The plan is made anew for every value tried, nothing is guessed from single rules.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations, pairwise

from methodpick.ground.site import Site
from methodpick.plan.reasons.intervals import Held
from methodpick.plan.result import Flip
from methodpick.why.answers import Asked, held
from methodpick.why.lever import Lever
from methodpick.why.of_design import design_levers
from methodpick.why.of_layer import layer_levers
from methodpick.why.of_water import water_levers

REACH = (1 / 4, 1.0)
"""The representatives on each side, as shares of the way to the end of the credible range."""


STANDS = {"allowed", "discouraged", "doubtful"}
"""Verdicts under which the expected plan uses a state."""


@dataclass
class Flips:
    """Looks for flips of the depths of one shaft; every changed site is planned once for all depths."""

    asked: Asked
    depths_m: Sequence[float]
    plans: int = 0
    _seen: dict[tuple[tuple[str, int], ...], tuple[Held, ...]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.shop = self.asked.workshop(self.asked.site)
        self.now = held(self.shop, self.depths_m)

    def singles(self, index: int) -> tuple[Flip, ...]:
        """Return the nearest flip of each input alone, the nearest first; the support of ``depths_m[index]`` is asked."""
        found = [(far, flip) for lever in self.levers(index) for far, flip in self._alone(lever, index)]
        return tuple(flip for _, flip in sorted(found, key=lambda pair: pair[0]))

    def pairs(self, index: int) -> tuple[Flip, ...]:
        """Return the flips of two inputs together where neither flips alone, the nearest first."""
        idle = [lever for lever in self.levers(index) if lever.now is not None and not list(self._alone(lever, index))]
        found = [pair for one, other in combinations(idle, 2) for pair in self._together(one, other, index)]
        return tuple(flip for _, flip in sorted(found, key=lambda pair: pair[0]))

    def levers(self, index: int) -> tuple[Lever, ...]:
        """Return the inputs that are tried for a depth: the water, its own layer, the layer that decides for it, the design."""
        gatherer, depth = self.shop.gatherer, self.depths_m[index]
        strata = dict.fromkeys((self._own(index), *self._deciding(index)))
        ground = [
            lever for stratum in strata if gatherer.strata[stratum].logged for lever in layer_levers(gatherer, gatherer.strata[stratum])
        ]
        return (*water_levers(gatherer, depth), *ground, *design_levers(self.shop, depth))

    def _own(self, index: int) -> int:
        depth = self.depths_m[index]
        return next(one.index for one in self.shop.gatherer.strata if one.top_m <= depth <= one.base_m)

    def _deciding(self, index: int) -> Iterator[int]:
        """Return the shallowest layer that does not stand dry, where a depth that would stand dry is held otherwise for it."""

        def stands(depth_m: float) -> bool:
            return any(one.slice.top_m <= depth_m <= one.slice.base_m and one.verdicts["dry"].state in STANDS for one in self.shop.judged)

        if self.now[index].support not in {"dry", "undecided"} and stands(self.depths_m[index]):
            falls = (one.slice.stratum.index for one in self.shop.judged if one.cut.decided and one.verdicts["dry"].state not in STANDS)
            yield from (first for first in [next(falls, None)] if first is not None)

    def _held(self, key: tuple[tuple[str, int], ...], site: Site) -> tuple[Held, ...]:
        if key not in self._seen:
            self.plans += 1
            self._seen[key] = held(self.asked.workshop(site), self.depths_m)
        return self._seen[key]

    def _at(self, lever: Lever, steps: int, index: int) -> Held:
        return self._held(((lever.said, steps),), lever.at(self.asked.site, steps))[index]

    def _alone(self, lever: Lever, index: int) -> Iterator[tuple[float, Flip]]:
        """Return the nearer flip of an input, with how far it lies as a share of the credible range."""
        was = self.now[index].support
        if lever.now is None:
            yield from self._unread(lever, index)
            return
        if self._at(lever, 0, index).support != was:
            return  # to write the input out at its likely value must change nothing
        both = [self._outward(lever, index, ends) for ends in (_ends(-lever.down), _ends(lever.up))]
        hits = [steps for steps in both if steps is not None]
        if hits:
            steps = min(hits, key=abs)
            yield abs(steps) / max(lever.down, lever.up), _flip(lever, steps, self._at(lever, steps, index))

    def _outward(self, lever: Lever, index: int, ends: Sequence[int]) -> int | None:
        """Go outward; where the support differs, give the least steps known to change it."""
        was, last = self.now[index].support, 0
        for steps in ends:
            if self._at(lever, steps, index).support != was:
                return self._bisected(lever, index, last, steps)
            last = steps
        return None

    def _bisected(self, lever: Lever, index: int, same: int, other: int) -> int:
        was = self.now[index].support
        while abs(other - same) > 1:
            middle = (same + other) // 2
            if self._at(lever, middle, index).support == was:
                same = middle
            else:
                other = middle
        return other

    def _unread(self, lever: Lever, index: int) -> Iterator[tuple[float, Flip]]:
        """Look over the range of an input that the log does not give, from the far end, for where reading it would matter."""
        was = self.now[index].support
        grid = sorted({round(lever.up * share / 5) for share in range(6)}, reverse=True)
        supports = [self._at(lever, steps, index).support for steps in grid]
        if all(support != was for support in supports):
            yield 0.0, replace(_flip(lever, grid[0], self._at(lever, grid[0], index)), flips_at=None)
            return
        for (first, one), (second, other) in pairwise(zip(grid, supports, strict=True)):
            if (one == was) != (other == was):
                same, differs = (first, second) if one == was else (second, first)
                steps = self._bisected(lever, index, same, differs)
                yield 0.5, _flip(lever, steps, self._at(lever, steps, index))
                return

    def _together(self, one: Lever, other: Lever, index: int) -> Iterator[tuple[float, Flip]]:
        """Move two inputs together, each by the same share of its way, toward the four corners of their ranges."""
        best: tuple[float, Flip] | None = None
        for far_one in {-one.down, one.up} - {0}:
            for far_other in {-other.down, other.up} - {0}:
                share = self._share(one, other, (far_one, far_other), index)
                if share is not None and (best is None or share < best[0]):
                    steps = _part(far_one, share), _part(far_other, share)
                    then = self._both(one, other, steps)[index]
                    best = share, replace(_flip(one, steps[0], then), together=_flip(other, steps[1], then))
        if best is not None:
            yield best

    def _share(self, one: Lever, other: Lever, far: tuple[int, int], index: int) -> float | None:
        """Return the least share of the way to a corner that changes the support, to a hundredth."""
        was = self.now[index].support

        def same(share: float) -> bool:
            return self._both(one, other, (_part(far[0], share), _part(far[1], share)))[index].support == was

        if same(1.0):
            return None
        low, high = 0, 100
        while high - low > 1:
            middle = (low + high) // 2
            if same(middle / 100):
                low = middle
            else:
                high = middle
        return high / 100

    def _both(self, one: Lever, other: Lever, steps: tuple[int, int]) -> tuple[Held, ...]:
        key = ((one.said, steps[0]), (other.said, steps[1]))
        return self._held(key, other.at(one.at(self.asked.site, steps[0]), steps[1]))


def _flip(lever: Lever, steps: int, then: Held) -> Flip:
    step = lever.value(steps) - lever.value(steps - (1 if steps > 0 else -1))
    return Flip(lever.input, lever.said, lever.design, lever.now, lever.value(steps), step, lever.unit, then.support, then.fluid)


def _ends(far: int) -> list[int]:
    """Return the steps to try on one side.

    >>> _ends(24), _ends(-2), _ends(0)
    ([6, 24], [-1, -2], [])
    """
    return list(dict.fromkeys(steps for share in REACH if (steps := _part(far, share))))


def _part(far: int, share: float) -> int:
    """Return a share of the steps, at least one."""
    part = max(1, round(abs(far) * share)) if far else 0
    return part if far > 0 else -part
