"""The casings of a way: lengths, masses, sections, how they telescope, what passes through them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import pi

from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts
from methodpick.plan.result import Casing
from methodpick.review.contradiction import Contradiction, number, word
from methodpick.review.written_way import WrittenWay
from methodpick.terms import STARTER

STEEL_KG_M3 = 7850.0
"""Density of steel, as handbooks of steel sections give it."""


def casing_mass_kg(outside_m: float, wall_m: float, length_m: float) -> float:
    """Return the mass of a steel pipe: its ring times its length times the density of steel.

    A pipe of 1 m outside and 10 mm wall has a ring of pi (0.5^2 - 0.49^2) = 0.031102 m2, or 244.15 kg for a metre.

    >>> round(casing_mass_kg(1.0, 0.01, 10.0), 1)
    2441.5
    """
    inside = outside_m - 2 * wall_m
    return pi / 4 * (outside_m**2 - inside**2) * length_m * STEEL_KG_M3


def check_casings(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the casings of a way contradict themselves, one another or the drawing."""
    for casing in way.built.casings:
        yield from _of_one(ground, casing)
    kinds = [casing.kind for casing in way.built.casings]
    if STARTER in kinds[1:]:
        yield Contradiction("casings", ", ".join(kinds), "the starter first")
    for outer, inner in pairwise(way.built.casings):
        yield from _telescoping(outer, inner)
    if way.built.casings:
        yield from number(f"{_name(way.built.casings[0])}, step_m", way.built.casings[0].step_m, None)
        yield from _passes(ground, way.built.casings[-1])


def _name(casing: Casing) -> str:
    return f"{casing.kind} casing to {casing.base_m:.2f} m"


def _of_one(ground: GroundFacts, casing: Casing) -> Iterator[Contradiction]:
    name, levels = _name(casing), ground.levels
    yield from number(f"{name}, top_m", casing.top_m, levels.casing_top_m)
    yield from number(f"{name}, stick_up_m", casing.stick_up_m, levels.stick_up_m)
    yield from number(f"{name}, length_m", casing.length_m, casing.base_m - casing.top_m)
    mass = casing_mass_kg(casing.outside_diameter_m, casing.wall_m, casing.length_m)
    yield from number(f"{name}, mass_kg", casing.mass_kg, mass, slack=mass * 1e-4)
    yield from number(f"{name}, sum of sections_m", sum(casing.sections_m), casing.length_m)
    if casing.kind == STARTER:
        yield from number(f"{name}, base_m", casing.base_m, levels.starter_base_m)
        yield from word(f"{name}, sealed", casing.sealed, "no")
    if casing.base_m > ground.shaft.tip_m + TOUCH_M:
        yield Contradiction(f"{name}, base_m", f"{casing.base_m:g}", f"no deeper than the tip at {ground.shaft.tip_m:g}")
    if casing.advanced_m < 0 or casing.advanced_m > casing.base_m + TOUCH_M:
        yield Contradiction(f"{name}, advanced_m", f"{casing.advanced_m:g}", "between 0 and its depth")
    if casing.advanced_m > 0:
        yield from number(f"{name}, predrill_base_m", casing.predrill_base_m, casing.base_m - casing.advanced_m, slack=TOUCH_M)
    yield from word(f"{name}, seat_layer", casing.seat_layer, _layer(ground, casing.base_m))


def _layer(ground: GroundFacts, depth_m: float) -> str:
    """Return the words of the layer in which a shoe ends."""
    stratum = next((known for known in ground.gatherer.strata if known.top_m < depth_m <= known.base_m + TOUCH_M), None)
    return "" if stratum is None else stratum.layer.description or stratum.layer.symbol or "no data"


def _telescoping(outer: Casing, inner: Casing) -> Iterator[Contradiction]:
    name = _name(inner)
    if inner.outside_diameter_m > outer.inside_m + 1e-6:
        yield Contradiction(
            f"{name}, outside_diameter_m",
            f"{inner.outside_diameter_m:g}",
            f"less than {outer.inside_m:g}, the inside of the casing around it",
        )
    if outer.kind != STARTER and inner.base_m <= outer.base_m:
        yield Contradiction(f"{name}, base_m", f"{inner.base_m:g}", f"deeper than {outer.base_m:g}, the casing around it")
    yield from number(f"{name}, step_m", inner.step_m, outer.outside_diameter_m - inner.outside_diameter_m)


def _passes(ground: GroundFacts, casing: Casing) -> Iterator[Contradiction]:
    """Check what passes through the innermost casing: the shaft's tool, or the socket's where the casing's outside is drawn."""
    shaft = ground.shaft
    drawn = shaft.diameter_is == "casing_outside"
    tool = (shaft.socket_diameter_m or 0.0) if drawn else shaft.diameter_m
    needed = max(tool, shaft.cage_diameter_m or 0.0)
    if casing.inside_m < needed - 1e-6:
        yield Contradiction(f"{_name(casing)}, inside", f"{casing.inside_m:g}", f"at least {needed:g} for tool and cage")
