"""What is wrong with the plan of a changed site: where an open hole got better, where what must stay the same did not."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from compare import differences, plain

OPEN_STATES = ("dry", "water", "polymer", "mineral")
GRADE = {"allowed": 0, "discouraged": 1, "doubtful": 2, "unknown": 3, "unlikely": 3, "ruled_out": 3}
"""How far a verdict lets a state be used: firmly, against advice, in the expected plan only, for want of a better one or not at all."""
SLIVER_M = 0.05
"""Slices are cut to 2 cm; a verdict may trade places within a length that no driller can tell from its neighbour."""

Found = list[str]
"""Violations, each in words; none where the law holds."""


@dataclass(frozen=True)
class Pair:
    """The plans before and after a change. ``judged`` judges the ground before it at other fluid levels than its plan has."""

    before: object
    after: object
    judged: Callable[[object], Sequence]

    def ground_before(self) -> Sequence:
        """Give the verdicts before the change, at the level of the changed plan where that is higher.

        A verdict under fluid speaks of ground and level together. Fluid that is planned higher holds a wall better, at the price of a
        longer casing: a remedy that was open before as well, and no fault of the change. Only at one level does the change show alone. A
        lower level is not made up for: what the changed plan loses by it counts.
        """
        first, last = self.before.levels, self.after.levels
        higher = {fluid: min(level, last.fluid_m[fluid]) for fluid, level in first.fluid_m.items()}
        return self.before.intervals if higher == first.fluid_m else self.judged(replace(first, fluid_m=higher))


@dataclass(frozen=True)
class Freer:
    """A length where a state may be used more freely, its verdict before and after, and the rules behind the first."""

    top: float
    base: float
    state: str
    before: str
    after: str
    rules: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.state} from {self.top:.3f} to {self.base:.3f} m: {self.before} ({', '.join(self.rules)}), then {self.after}"


def better(pair: Pair, states: tuple[str, ...] = OPEN_STATES) -> list[Freer]:
    """Name the lengths where a state may be used more freely after the change than before it."""
    first, last = pair.ground_before(), pair.after.intervals
    tip = min(pair.before.tip_depth_m, pair.after.tip_depth_m)
    ends = sorted({one.top_m for pieces in (first, last) for one in pieces} | {tip})
    found = []
    for top, base in pairwise(ends):
        if base - top >= SLIVER_M:
            before, after = (_at(pieces, (top + base) / 2).verdicts for pieces in (first, last))
            freer = [state for state in states if GRADE[after[state].state] < GRADE[before[state].state]]
            found += [Freer(top, base, state, before[state].state, after[state].state, before[state].rules) for state in freer]
    return found


def _at(pieces: Sequence, depth_m: float):
    return next(one for one in pieces if one.top_m <= depth_m <= one.base_m)


def dry_better(pair: Pair) -> Found:
    """Name the lengths where the dry hole may be used more freely."""
    return [str(one) for one in better(pair, ("dry",))]


def fluid_better(pair: Pair) -> Found:
    """Name the lengths where a hole under fluid may be used more freely."""
    return [str(one) for one in better(pair, OPEN_STATES[1:])]


def any_better(pair: Pair) -> Found:
    """Name the lengths where an open hole may be used more freely."""
    return [str(one) for one in better(pair)]


def firmly_better(pair: Pair, about: tuple[str, ...] = ()) -> Found:
    """Name the lengths that the deletion made firm in a state that the entry spoke against, and those that nobody asks about.

    An entry that only advises against a state (discouraged) takes no firmness from it: such a length holds at the adverse end of every
    fact, the cautious plan uses it too, and it is firm with the entry and without. What the entry adds is a margin or a price, so that its
    deletion costs comfort and no safety; where it matters the question is asked for all the same. Every length that was in doubt or ruled
    out (doubtful, unknown, unlikely, ruled out) must not turn firm.
    """
    freer = better(pair)
    asked = not about or any(word in f"{gap.need} {gap.question}".lower() for gap in pair.after.gaps for word in about)
    found = []
    for one in freer:
        here = _at(pair.after.intervals, (one.top + one.base) / 2)
        if one.before != "discouraged" and here.confidence == "firm" and one.state in (here.drilled_in, here.fluid, *here.later_in):
            found.append(f"{one}; the length is firm")
    return found + ([] if asked or not freer else [f"{freer[0]}; no question about {' or '.join(about)}"])


def better_for_want_of_water(pair: Pair) -> Found:
    """Name the lengths that stand firm without a reading that spoke against it, and those where the water is not asked for."""
    return firmly_better(pair, ("water", "aquifer"))


def better_for_want_of_strength(pair: Pair) -> Found:
    """Name the lengths that stand firm without a strength that spoke against it, and those where the strength is not asked for."""
    return firmly_better(pair, ("strength",))


def otherwise(pair: Pair, *, tolerance: float = 0.0, apart: tuple[str, ...] = ()) -> Found:
    """Name the places where two plans differ, some parts of the record set apart."""
    first, last = ({name: value for name, value in plain(one).items() if name not in apart} for one in (pair.before, pair.after))
    return list(differences(first, last, tolerance))


def same(pair: Pair) -> Found:
    """Name every place where the plans differ; doubts may come in another order."""
    return otherwise(pair, apart=("doubts",)) + sorted(f"doubt: {one}" for one in {*pair.before.doubts} ^ {*pair.after.doubts})


def same_to_rounding(pair: Pair) -> Found:
    """Name the places where the plans differ by more than numbers of another unit system do."""
    return otherwise(pair, tolerance=1e-6)


def same_but_for_elevations(pair: Pair) -> Found:
    """Name the places where the plans differ, the elevation of the ground apart."""
    return [one for one in same_to_rounding(pair) if not one.startswith(".ground.ground_elevation_m")]


def same_but_for_the_log(pair: Pair) -> Found:
    """Name the places where the plans differ, what they repeat of the log and the doubts about each of its rows apart."""
    return otherwise(pair, tolerance=1e-6, apart=("ground", "doubts"))


def same_but_for_doubts(pair: Pair) -> Found:
    """Name the places where the plans differ, the doubts about the log apart."""
    return otherwise(pair, apart=("doubts",))
