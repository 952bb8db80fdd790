"""What is wrong with the plan of a changed site: where an open hole got better, where what must stay the same did not."""

from dataclasses import dataclass
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


def better(before, after, states: tuple[str, ...] = OPEN_STATES) -> list[Freer]:
    """Name the lengths where a state may be used more freely after the change than before it."""
    tip = min(before.tip_depth_m, after.tip_depth_m)
    ends = sorted({one.top_m for plan_ in (before, after) for one in plan_.intervals} | {tip})
    found = []
    for top, base in pairwise(ends):
        if base - top >= SLIVER_M:
            first, last = (_at(one, (top + base) / 2).verdicts for one in (before, after))
            freer = [state for state in states if GRADE[last[state].state] < GRADE[first[state].state]]
            found += [Freer(top, base, state, first[state].state, last[state].state, first[state].rules) for state in freer]
    return found


def _at(shaft, depth_m: float):
    return next(one for one in shaft.intervals if one.top_m <= depth_m <= one.base_m)


def dry_better(before, after) -> Found:
    """Name the lengths where the dry hole may be used more freely."""
    return [str(one) for one in better(before, after, ("dry",))]


def fluid_better(before, after) -> Found:
    """Name the lengths where a hole under fluid may be used more freely."""
    return [str(one) for one in better(before, after, OPEN_STATES[1:])]


def any_better(before, after) -> Found:
    """Name the lengths where an open hole may be used more freely."""
    return [str(one) for one in better(before, after)]


def firmly_better(before, after, about: tuple[str, ...] = ()) -> Found:
    """Name the lengths that stand firm in a state that the deleted entry spoke against, and those that nobody asks about."""
    freer = better(before, after)
    asked = not about or any(word in f"{gap.need} {gap.question}".lower() for gap in after.gaps for word in about)
    found = []
    for one in freer:
        here = _at(after, (one.top + one.base) / 2)
        if one.state in (here.drilled_in, here.fluid, *here.later_in) and here.confidence == "firm":
            found.append(f"{one}; the length is firm")
    return found + ([] if asked or not freer else [f"{freer[0]}; no question about {' or '.join(about)}"])


def better_for_want_of_water(before, after) -> Found:
    """Name the lengths that stand firm without a reading that spoke against it, and those where the water is not asked for."""
    return firmly_better(before, after, ("water", "aquifer"))


def better_for_want_of_strength(before, after) -> Found:
    """Name the lengths that stand firm without a strength that spoke against it, and those where the strength is not asked for."""
    return firmly_better(before, after, ("strength",))


def otherwise(before, after, *, tolerance: float = 0.0, apart: tuple[str, ...] = ()) -> Found:
    """Name the places where two plans differ, some parts of the record set apart."""
    first, last = ({name: value for name, value in plain(one).items() if name not in apart} for one in (before, after))
    return list(differences(first, last, tolerance))


def same(before, after) -> Found:
    """Name every place where the plans differ; doubts may come in another order."""
    return otherwise(before, after, apart=("doubts",)) + sorted(f"doubt: {one}" for one in {*before.doubts} ^ {*after.doubts})


def same_to_rounding(before, after) -> Found:
    """Name the places where the plans differ by more than numbers of another unit system do."""
    return otherwise(before, after, tolerance=1e-6)


def same_but_for_elevations(before, after) -> Found:
    """Name the places where the plans differ, the elevation of the ground apart."""
    return [one for one in same_to_rounding(before, after) if not one.startswith(".ground.ground_elevation_m")]


def same_but_for_the_log(before, after) -> Found:
    """Name the places where the plans differ, what they repeat of the log apart."""
    return otherwise(before, after, tolerance=1e-6, apart=("ground",))


def same_but_for_doubts(before, after) -> Found:
    """Name the places where the plans differ, the doubts about the log apart."""
    return otherwise(before, after, apart=("doubts",))
