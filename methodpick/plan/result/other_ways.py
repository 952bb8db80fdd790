"""The ways beside a plan: the cautious one, the best of every other family, the rungs of the ladder."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, ClassVar, Literal

from methodpick.plan.result.built import Drawdown
from methodpick.plan.result.checks import Check
from methodpick.plan.result.concrete import Concrete, Placement
from methodpick.plan.result.fluid import Slurry
from methodpick.plan.result.steps import Casing, Interval, Stage


@dataclass(frozen=True, slots=True)
class Rung:
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
    stages: tuple[Stage, ...] = ()
    casings: tuple[Casing, ...] = ()
    slurries: tuple[Slurry, ...] = ()
    placement: Placement | None = None
    concrete: Concrete | None = None
    checks: tuple[Check, ...] = ()
    proven: bool = True
    trials_ended: bool = False


@dataclass(frozen=True, slots=True)
class CautiousPlan:
    """The plan on firmer states only, and what the difference hangs on."""

    intervals: tuple[Interval, ...]
    stages: tuple[Stage, ...]
    casings: tuple[Casing, ...]
    slurry: Slurry | None
    relative_cost: float
    differs_because: str
    trigger: str = ""
    settles: str = ""
    slurries: tuple[Slurry, ...] = ()
    placement: Placement | None = None
    concrete: Concrete | None = None
    checks: tuple[Check, ...] = ()
    proven: bool = True
    trials_ended: bool = False


@dataclass(frozen=True, slots=True)
class Alternate:
    """The best plan of another family and why it lost; ``drawdown`` where wells draw water down for it."""

    family: str
    intervals: tuple[Interval, ...]
    stages: tuple[Stage, ...]
    casings: tuple[Casing, ...]
    relative_cost: float | None
    why_not: str
    slurries: tuple[Slurry, ...] = ()
    placement: Placement | None = None
    concrete: Concrete | None = None
    checks: tuple[Check, ...] = ()
    drawdown: Drawdown | None = None
    proven: bool = True
    trials_ended: bool = False


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
    ) -> None:
        self._find_cautious, self._find_alternates, self._find_ladder = find_cautious, find_alternates, find_ladder

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

    def __eq__(self, other: object) -> bool:
        """Compare part by part."""
        if not isinstance(other, OtherWays):
            return NotImplemented
        return all(getattr(self, name) == getattr(other, name) for name in self.PARTS)

    def __hash__(self) -> int:
        return hash((self.cautious, self.alternates, self.ladder))
