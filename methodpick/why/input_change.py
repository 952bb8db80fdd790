"""An input of the site that may be otherwise than it is, moved alone over its credible range; and the inputs of the design."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import floor, log

from methodpick.ground.profile import Layer, Profile
from methodpick.ground.site import DrillingGrade, Shaft, Site
from methodpick.plan.plan_context import PlanContext
from methodpick.records import record

# ---- An input of the site that may be otherwise than it is: moved alone over its credible range, in whole steps


@record
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


@record
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


# ---- What designer and contractor may choose otherwise: diameter, tip, drilling grade


DIAMETER_STEP_M = 0.0254
DEPTH_STEP_M = 0.05


def design_changes(context: PlanContext, depth_m: float) -> Iterator[InputChange]:
    """Return the changes of the design to try; the tip stays below ``depth_m``."""
    for change in (_diameter(context), _tip(context, depth_m), _drilling_grade(context)):
        if change.credible.has_steps:
            yield change


def _change_shaft(site: Site, name: str, **update: object) -> Site:
    shafts = tuple(shaft.model_copy(update=update) if shaft.id == name else shaft for shaft in site.shafts)
    return site.model_copy(update={"shafts": shafts})


def _diameter(context: PlanContext) -> InputChange:
    """Return the diameter: down to what cage and socket need, up to what a bell leaves."""
    shaft, limits = context.shaft, context.limits
    factor, most_m = limits["flip_diameter_factor"], limits["flip_diameter_most_m"]
    needed_m = max(_cage_needs_m(shaft, limits["flip_cage_room_m"]), shaft.socket_diameter_m or 0.0)
    low = max(limits["flip_diameter_least_m"], shaft.diameter_m / factor, needed_m)
    high = min(most_m, factor * shaft.diameter_m, (shaft.bell.diameter_m - limits["flip_bell_wider_m"]) if shaft.bell else most_m)
    return InputChange(
        "diameter",
        "the diameter",
        CredibleRange(min(low, shaft.diameter_m), max(high, shaft.diameter_m), step=DIAMETER_STEP_M, unit="m", now=shaft.diameter_m),
        lambda site, value: _change_shaft(site, shaft.id, diameter_m=value),
        by_design=True,
    )


def _cage_needs_m(shaft: Shaft, room_m: float) -> float:
    return (shaft.cage_diameter_m or 0.0) + room_m


def _tip(context: PlanContext, depth_m: float) -> InputChange:
    """Return the tip: higher or deeper by a share of its depth, no deeper than the boring speaks for."""
    shaft, limits = context.shaft, context.limits
    share, below_m = limits["flip_tip_share"], limits["flip_tip_below_m"]
    end = max(context.ground.profile.end_m, shaft.tip_m)
    low = max(depth_m + below_m, shaft.cutoff_m + below_m, (shaft.socket_top_m or 0.0) + below_m, (1 - share) * shaft.tip_m)
    return InputChange(
        "tip",
        "the tip",
        CredibleRange(min(low, shaft.tip_m), min(end, (1 + share) * shaft.tip_m), step=DEPTH_STEP_M, unit="m", now=shaft.tip_m),
        lambda site, value: _change_shaft(site, shaft.id, tip_m=value),
        by_design=True,
    )


def _drilling_grade(context: PlanContext) -> InputChange:
    """Return the drilling grade: higher, so that the fluid can stand higher, or lower on a built platform."""
    now = -context.levels.grade_m
    over_water = context.ground.site.setting == "water"

    def change(site: Site, value: float) -> Site:
        grade = DrillingGrade(above_ground_m=value)
        return site.model_copy(update={"site": site.site.model_copy(update={"drilling_grade": grade})})

    low = now if over_water else min(now, 0.0)
    return InputChange(
        "drilling_grade",
        "the drilling grade above the " + ("mudline" if over_water else "ground"),
        CredibleRange(low, now + context.limits["flip_grade_higher_m"], step=DEPTH_STEP_M, unit="m", now=now),
        change,
        by_design=True,
    )
