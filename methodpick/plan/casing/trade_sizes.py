"""The sizes in which the trade has pipe, segmental casing and tools, in inches and in millimetres.

US sites take pipe in steps (``casing_step_m``) and tools in steps (``tool_step_m``). SI sites take pipe of the outside diameters of
EN 10219 and EN 10220 (from memory, with the planner's 508 to 2540 mm), casing that is oscillated or rotated from the usual sizes of
double-walled segmental casing (from memory; makers' lists differ by a few millimetres), and tools in steps of their own
(``tool_step_metric_m``). Beyond the lists both go on in steps (``casing_step_metric_m``).
"""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil, floor

from methodpick.ground.site import Shaft
from methodpick.terms import UnitSystem

PIPE_M = tuple(
    size / 1000.0
    for size in (508, 559, 610, 660, 711, 762, 813, 864, 914, 1016, 1067, 1168, 1219, 1321, 1422, 1524, 1626, 1727, 1829, 2032, 2235, 2540)
)
"""Outside diameters of steel pipe in metric lists."""
SEGMENTAL_M = tuple(
    (outside / 1000.0, inside / 1000.0)
    for outside, inside in (
        (620, 540),
        (750, 670),
        (880, 800),
        (1000, 920),
        (1180, 1100),
        (1200, 1120),
        (1300, 1220),
        (1500, 1400),
        (1800, 1700),
        (2000, 1880),
        (2500, 2380),
    )
)
"""Outside and inside diameters of double-walled segmental casing."""
SEGMENTAL_WAY = "oscillated"
"""The way of advancing casing that takes segmental casing, by an oscillator or a rotator."""


def is_casing_outside(shaft: Shaft, limits: Mapping[str, float]) -> bool:
    """Return whether the diameter of a shaft is the outside of its casing: so drawn, or nominal where the specification sizes casing so."""
    return shaft.diameter_is == "casing_outside" or (shaft.diameter_is == "nominal" and limits["nominal_is_outside"] > 0.5)


def outside_from(least_m: float, units: UnitSystem, way: str | None, limits: Mapping[str, float], inside_m: float = 0.0) -> float:
    """Return the least outside diameter of the trade that is no less than ``least_m``.

    Segmental casing also lets ``inside_m`` pass between its double walls; that of pipe goes by its wall, which is chosen afterwards.

    >>> limits = {"casing_step_m": 0.1524, "casing_step_metric_m": 0.1}
    >>> outside_from(1.25, "us", None, limits), outside_from(1.25, "si", None, limits), outside_from(2.6, "si", None, limits)
    (1.3716, 1.321, 2.6)
    >>> outside_from(1.2, "si", "oscillated", limits, 1.2)
    1.3
    """
    if units == "us":
        return _step_up(least_m, limits["casing_step_m"])
    if way == SEGMENTAL_WAY:
        sizes = (outside for outside, inside in SEGMENTAL_M if outside >= least_m - 1e-6 and inside >= inside_m - 1e-6)
    else:
        sizes = (outside for outside in PIPE_M if outside >= least_m - 5e-4)
    return next(sizes, _step_up(max(least_m, inside_m), limits["casing_step_metric_m"]))


def next_outside(outside_m: float, units: UnitSystem, way: str | None, limits: Mapping[str, float]) -> float:
    """Return the next wider outside diameter of the trade.

    >>> next_outside(1.219, "si", None, {"casing_step_metric_m": 0.1}), next_outside(1.2192, "us", None, {"casing_step_m": 0.1524})
    (1.321, 1.3716)
    """
    if units == "us":
        return round(outside_m + limits["casing_step_m"], 4)
    return outside_from(outside_m + 0.002, units, way, limits)


def tool_to(most_m: float, least_m: float, units: UnitSystem, limits: Mapping[str, float]) -> float:
    """Return the widest tool of the trade up to a diameter; where none is as wide as ``least_m``, that diameter itself.

    >>> tool_to(1.4716, 1.3716, "us", {"tool_step_m": 0.0508}), tool_to(1.319, 1.219, "si", {"tool_step_metric_m": 0.05})
    (1.4224, 1.3)
    """
    step = limits["tool_step_m" if units == "us" else "tool_step_metric_m"]
    tool = round(floor(round(most_m / step, 6)) * step, 4)
    return tool if tool >= least_m - 1e-6 else most_m


def tool_from(least_m: float, units: UnitSystem, limits: Mapping[str, float]) -> float:
    """Return the narrowest tool of the trade that is no less than a diameter.

    >>> tool_from(1.397, "us", {"tool_step_m": 0.0508}), tool_from(1.0414, "si", {"tool_step_metric_m": 0.05})
    (1.4224, 1.05)
    """
    return _step_up(least_m, limits["tool_step_m" if units == "us" else "tool_step_metric_m"])


def _step_up(value_m: float, step_m: float) -> float:
    return round(ceil(round(value_m / step_m, 6)) * step_m, 4)
