"""An input of the site that may be otherwise than it is: moved alone over its credible range, in whole steps."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import floor, log

from methodpick.ground.profile import Layer, Profile
from methodpick.ground.site import Site


@dataclass(frozen=True, slots=True)
class CredibleRange:
    """The values of an input that are tried: from ``low`` to ``high``, in steps from its present value ``now``.

    ``now`` is None where the log does not give the input; then steps count from ``low``. Where ``ratio`` is set a step multiplies
    by ``step`` instead of adding it, and the start must lie above zero.

    >>> tip = CredibleRange(8.0, 12.0, step=0.5, unit="m", now=10.0)
    >>> tip.steps_down, tip.steps_up, tip.value(-3)
    (4, 4, 8.5)
    """

    low: float
    high: float
    step: float
    unit: str
    now: float | None
    ratio: bool = False

    @property
    def start(self) -> float:
        """Return the value that steps are counted from."""
        return self.low if self.now is None else self.now

    @property
    def steps_up(self) -> int:
        """Return the whole steps from the start to the high end."""
        return max(0, self._steps_to(self.high))

    @property
    def steps_down(self) -> int:
        """Return the whole steps from the start to the low end."""
        if self.ratio:
            return max(0, -self._steps_to(self.low))
        return max(0, floor((self.start - self.low) / self.step + 1e-9))

    @property
    def has_steps(self) -> bool:
        """Return whether anything but the start can be tried."""
        return not (self.ratio and self.start <= 0) and (self.steps_up > 0 or self.steps_down > 0)

    def value(self, steps: int) -> float:
        """Return the value that many steps away from the start, rounded to six digits."""
        exact = self.start * self.step**steps if self.ratio else self.start + steps * self.step
        return float(f"{exact:.6g}")

    def _steps_to(self, value: float) -> int:
        return floor((log(value / self.start) / log(self.step) if self.ratio else (value - self.start) / self.step) + 1e-9)


@dataclass(frozen=True, slots=True)
class InputChange:
    """An input with its credible range; ``change`` returns the site with the input at a value.

    ``name`` is the input's key in the plan's JSON, ``words`` its name in a sentence; ``by_design`` tells what designer and
    contractor choose from what the ground is.
    """

    name: str
    words: str
    credible: CredibleRange
    change: Callable[[Site, float], Site]
    by_design: bool = False

    def site_after(self, site: Site, steps: int) -> Site:
        """Return the site with the input moved by whole steps."""
        return self.change(site, self.credible.value(steps))


def change_boring(site: Site, name: str, change: Callable[[Profile], Profile]) -> Site:
    """Return the site with one boring changed."""
    borings = tuple(change(boring) if boring.id == name else boring for boring in site.borings)
    return site.model_copy(update={"borings": borings})


def change_layer(site: Site, boring: str, layer: Layer, **update: object) -> Site:
    """Return the site with one layer of one boring changed."""

    def with_layer(profile: Profile) -> Profile:
        ends = layer.top_m, layer.base_m
        layers = tuple(other.model_copy(update=update) if (other.top_m, other.base_m) == ends else other for other in profile.layers)
        return profile.model_copy(update={"layers": layers})

    return change_boring(site, boring, with_layer)
