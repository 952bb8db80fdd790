"""What stands beside a plan: the cautious way, the best of every other family, the rungs of the ladder, and why the plan is as it is."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields
from functools import cached_property
from operator import itemgetter
from typing import Any, ClassVar, Literal

from methodpick.plan.result.checks import Check, Flip
from methodpick.plan.result.fluid import Drawdown, Slurry
from methodpick.plan.result.steps import Casing, Concrete, Interval, Placement, Stage, Support
from methodpick.records import record


@record(kw_only=True)
class OtherWay:
    """What every way beside the plan has: how it is built, its checks, and whether it is proven.

    Nothing is built, without placement and concrete, where no sequence is found. ``trials_ended`` says that the trials of its search ended.
    """

    stages: tuple[Stage, ...] = ()
    casings: tuple[Casing, ...] = ()
    slurries: tuple[Slurry, ...] = ()
    placement: Placement | None = None
    concrete: Concrete | None = None
    checks: tuple[Check, ...] = ()
    proven: bool = True
    trials_ended: bool = False

    def parts(self) -> dict[str, Any]:
        """Return the fields by name, from which the record of a certain way is made."""
        return {part.name: getattr(self, part.name) for part in fields(OtherWay)}


@record
class Rung(OtherWay):
    """A way of building on the ladder, when to climb to it, and what it takes beyond the plan (negative where it takes less).

    The concrete of the last rung is counted with the high end of the ground's overbreak, the others with the likely one.
    """

    name: Literal["planned", "fallback", "worst_credible"]
    method: str
    trigger: str
    relative_cost: float
    extra_casing_m: float
    extra_casing_kg: float
    extra_fluid_m3: float
    extra_concrete_m3: float


@record
class CautiousPlan(OtherWay):
    """The plan on firmer states only, and what the difference hangs on."""

    intervals: tuple[Interval, ...]
    slurry: Slurry | None
    relative_cost: float
    differs_because: str
    trigger: str = ""
    settles: str = ""


BothOpen = Literal["fluid_or_casing", "fluid_or_cased_above", "pulled_or_stays"]
"""Means that cost about the same: fluid and casing; fluid alone or below a casing through squeezing clay; casing that stays or not."""


@record
class OpenMeans:
    """The words for two means that are both open: what costs about the same, and what decides between them."""

    means: str
    decided_by: str

    @property
    def sentence(self) -> str:
        """Return both as a sentence."""
        return f"{self.means} cost about the same here: both are open, and {self.decided_by}."


OPEN_MEANS: Mapping[BothOpen, OpenMeans] = {
    "fluid_or_casing": OpenMeans("Fluid and casing", "obstructions, lost fluid, open water, reserve and a dry base decide"),
    "fluid_or_cased_above": OpenMeans(
        "Fluid alone, and casing through the clay that squeezes,", "how far that clay creeps, the plant at hand and the pull decide"
    ),
    "pulled_or_stays": OpenMeans(
        "Casing that stays and casing that is pulled", "side resistance along the casing, who pays for steel and the pull in time decide"
    ),
}


@record
class Opening:
    """What opens a way that the site does not leave: the decision on it then, how the work is prepared, and the lines to plan it with.

    ``write`` are lines of the site file, or words for what they cannot say, such as a bell left out.
    """

    decision: str
    steps: str
    write: tuple[str, ...]

    @property
    def words(self) -> str:
        """Return the way in sentences."""
        how = f" {self.steps}" if self.steps else ""
        return f"It can be built then: {self.decision}{how} For its stages, proofs and quantities plan the file again with {self.lines}."

    @property
    def lines(self) -> str:
        """Return the lines to write."""
        return "; ".join(self.write)


@record
class Alternate(OtherWay):
    """The best plan of another family and why it lost; ``drawdown`` where wells draw water down for it.

    ``leaves_open_m`` is the length on which it leaves a hazard open that the plan does not. ``excluded_by`` are the lines of the site
    file that exclude it. ``opening`` is what opens it where something has to be granted first; its family then says what.
    ``both_open`` names the means where it holds the hole by others than the plan at about the same cost.
    """

    family: str
    intervals: tuple[Interval, ...]
    relative_cost: float | None
    why_not: str
    drawdown: Drawdown | None = None
    leaves_open_m: float = 0.0
    excluded_by: tuple[str, ...] = ()
    opening: Opening | None = None
    both_open: BothOpen | None = None


@record
class CautiousDifference:
    """What the cautious plan hangs on, what triggers it on site, and which reading would settle it."""

    because: str
    trigger: str
    settles: str


def proven_then_cheap(cost: float, *, proven: bool, leaves_open_m: float) -> tuple[bool, bool, float]:
    """Return by what the ways beside a plan are ranked: proven ones first, of these the ones that leave no more open, then by cost.

    >>> proven_then_cheap(9.0, proven=True, leaves_open_m=0.0) < proven_then_cheap(5.0, proven=True, leaves_open_m=2.0)
    True
    """
    return not proven, leaves_open_m > 0.0, cost


class OtherWays:
    """The ways beside a plan. Each part is worked out when it is first asked for, and kept as long as the plan: most pages show none.

    What works a part out reads nothing that changes, so that it does not matter when, or whether, a part is asked for. Two are equal
    where their parts are.
    """

    PARTS: ClassVar[Mapping[str, Any]] = {"cautious": CautiousPlan | None, "alternates": tuple[Alternate, ...], "ladder": tuple[Rung, ...]}
    """The names of the parts as a plan is written, with their types."""

    def __init__(
        self,
        find_cautious: Callable[[], CautiousPlan | None],
        find_alternates: Callable[[], tuple[Alternate, ...]],
        find_ladder: Callable[[], tuple[Rung, ...]],
        find_alone: Mapping[str, Callable[[], Alternate | None]] | None = None,
        find_difference: Callable[[], CautiousDifference | None] | None = None,
        made_from: object = None,
    ) -> None:
        """Take what works out each part; what is not given is read off the alternates and the cautious plan.

        ``find_alone`` works out the next best alternate and the one that is also open without all others. ``made_from`` is what the plan
        was made from in this process, with which questions about it begin; None where it was read.
        """
        self.made_from = made_from
        self._find_cautious, self._find_alternates, self._find_ladder = find_cautious, find_alternates, find_ladder
        self._find_alone, self._find_difference = find_alone or {}, find_difference

    @classmethod
    def known(cls, cautious: CautiousPlan | None, alternates: tuple[Alternate, ...], ladder: tuple[Rung, ...]) -> OtherWays:
        """Return ways that are worked out already, such as those of a written plan."""
        return cls(lambda: cautious, lambda: alternates, lambda: ladder)

    @cached_property
    def cautious(self) -> CautiousPlan | None:
        """Return the plan on firmer states only; None where it is the plan itself."""
        return self._find_cautious()

    @cached_property
    def alternates(self) -> tuple[Alternate, ...]:
        """Return the best plan of every other family, and relief wells where they are an option."""
        return self._find_alternates()

    @cached_property
    def ladder(self) -> tuple[Rung, ...]:
        """Return the rungs: planned, fallback, worst credible."""
        return self._find_ladder()

    @cached_property
    def next_best(self) -> Alternate | None:
        """Return the alternate that ranks first of those that can be built; None where none can. The others are left alone."""
        if "next_best" in self._find_alone:
            return self._find_alone["next_best"]()
        built = (
            (proven_then_cheap(way.relative_cost, proven=way.proven, leaves_open_m=way.leaves_open_m), way)
            for way in self.alternates
            if way.relative_cost is not None
        )
        return min(built, key=itemgetter(0), default=(None, None))[1]

    @cached_property
    def also_open(self) -> Alternate | None:
        """Return the cheapest alternate at about the cost of the plan that holds the hole by other means; None where there is none."""
        if "also_open" in self._find_alone:
            return self._find_alone["also_open"]()
        near = (way for way in self.alternates if way.both_open and way.proven and way.relative_cost is not None)
        return min(near, key=lambda way: way.relative_cost or 0.0, default=None)

    @cached_property
    def difference(self) -> CautiousDifference | None:
        """Return what the cautious plan hangs on; None where it is the plan itself. The cautious plan is not worked out for it."""
        if self._find_difference is not None:
            return self._find_difference()
        plan = self.cautious
        return None if plan is None else CautiousDifference(plan.differs_because, plan.trigger, plan.settles)

    def __eq__(self, other: object) -> bool:
        """Compare part by part."""
        if not isinstance(other, OtherWays):
            return NotImplemented
        return all(getattr(self, name) == getattr(other, name) for name in self.PARTS)

    def __hash__(self) -> int:
        return hash((self.cautious, self.alternates, self.ladder))


# ---- Why a plan is as it is: a derivation as a tree of sentences with marked numbers, and what within its range changes the plan


@record
class DerivationStep:
    """A sentence and what it rests on."""

    text: str
    parts: tuple[DerivationStep, ...] = ()


@record
class Explanation:
    """Why a depth of a shaft is held as it is.

    ``derivation`` holds the log, the states asked of and the casings; ``other_states`` the verdicts of the states not derived,
    ``other_ways`` why other ways of building lost. ``flips`` and ``pairs`` are None where they were not asked for; ``tried`` names
    the inputs that were moved.
    """

    shaft: str
    boring: str
    depth_m: float
    held: Interval
    derivation: tuple[DerivationStep, ...]
    other_states: tuple[str, ...]
    other_ways: tuple[str, ...]
    flips: tuple[Flip, ...] | None
    pairs: tuple[Flip, ...] | None
    tried: tuple[str, ...]


@record
class RangeFlip:
    """A change of one input that changes the plan although it lies within the range that is stated of it, from ``low`` to ``high``.

    From ``top_m`` to ``base_m``, and it may be further down, the support then is ``flip.then`` in place of ``was``.
    """

    flip: Flip
    low: float
    high: float
    top_m: float
    base_m: float
    was: Support
