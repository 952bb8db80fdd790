"""An input that may be otherwise: moved alone, from what it is now over its credible range, in whole steps."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import floor, log

from methodpick.ground.profile import Layer, Profile
from methodpick.ground.site import Site


@dataclass(frozen=True, slots=True)
class InputChange:
    """An input with its credible range. ``change`` gives the site with the input at a value.

    ``now`` is None where the log does not give it; then steps count from ``start``. The step of a ratio multiplies.
    ``down`` and ``up`` are the whole steps to the ends of the range.
    """

    input: str
    said: str
    design: bool
    unit: str
    now: float | None
    start: float
    down: int
    up: int
    step: float
    ratio: bool
    change: Callable[[Site, float], Site]

    def value(self, steps: int) -> float:
        """Return the value that many steps away from the start, rounded to six digits."""
        exact = self.start * self.step**steps if self.ratio else self.start + steps * self.step
        return float(f"{exact:.6g}")

    def at(self, site: Site, steps: int) -> Site:
        """Return the site with the input moved."""
        return self.change(site, self.value(steps))


def lever(
    name: str,
    said: str,
    unit: str,
    span: tuple[float, float],
    step: float,
    change: Callable[[Site, float], Site],
    *,
    now: float | None,
    design: bool = False,
    ratio: bool = False,
) -> InputChange | None:
    """Make a lever over a range; None where no whole step fits into it.

    >>> made = lever("tip", "the tip", "m", (8.0, 12.0), 0.5, lambda site, _: site, now=10.0)
    >>> (made.down, made.up, made.value(-3))
    (4, 4, 8.5)
    """
    start = span[0] if now is None else now
    if start <= 0 and ratio:
        return None

    def steps(far: float) -> int:
        return floor((log(far / start) / log(step) if ratio else (far - start) / step) + 1e-9)

    up = max(0, steps(span[1]))
    down = max(0, -steps(span[0]) if ratio else floor((start - span[0]) / step + 1e-9))
    if up == down == 0:
        return None
    return InputChange(name, said, design, unit, now, start, down, up, step, ratio, change)


def with_profile(site: Site, name: str, change: Callable[[Profile], Profile]) -> Site:
    """Return the site with one boring changed."""
    borings = tuple(change(boring) if boring.id == name else boring for boring in site.borings)
    return site.model_copy(update={"borings": borings})


def with_layer(site: Site, name: str, layer: Layer, **update: object) -> Site:
    """Return the site with one layer of one boring changed."""

    def changed(profile: Profile) -> Profile:
        layers = tuple(
            one.model_copy(update=update) if (one.top_m, one.base_m) == (layer.top_m, layer.base_m) else one for one in profile.layers
        )
        return profile.model_copy(update={"layers": layers})

    return with_profile(site, name, changed)
