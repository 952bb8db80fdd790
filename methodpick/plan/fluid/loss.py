"""Loss of fluid and the reserve for it: with the work, into the ground each hour, and once into the pores of the wall."""

from __future__ import annotations

from methodpick.mechanics.inflow import influence_radius, radial_inflow
from methodpick.mechanics.slurry import fluid_pressure, penetrated_volume, penetration
from methodpick.mechanics.stress import WATER_KN_M3
from methodpick.plan.fluid.fluid_length import Place
from methodpick.plan.judging.slices import Judged
from methodpick.plan.result import FluidLoss, Slurry
from methodpick.terms import GRANULAR
from methodpick.unit_markup import mark


def find_loss(place: Place, slurry: Slurry, hole_m3: float, stock_m3: float, hours_open: float) -> FluidLoss:
    """Return what is lost and how long the reserve over the hole lasts; polymer and water run on, mineral slurry gels in the pores."""
    least, most = (place.limits[name].value * hole_m3 for name in ("fluid_loss_share_least", "fluid_loss_share_most"))
    reserve = stock_m3 - hole_m3
    if slurry.fluid == "mineral":
        once, unknown = _once(place, slurry)
        needed = hole_m3 + most + (once[0] if once else 0.0)
        text = _once_said(once, unknown, hole_m3) + _stock_said(stock_m3, needed)
        return FluidLoss(
            least,
            most,
            None,
            None,
            None,
            once[0] if once else None,
            once[1] if once else None,
            hours_open,
            reserve,
            None,
            None,
            needed,
            text,
        )
    low, likely, high = _rates(place, slurry)
    needed = hole_m3 + most + likely * hours_open
    covered, covered_least = (reserve / rate if rate > 1e-9 else None for rate in (likely, high))
    spread = "" if high < LEAST_TOLD_M3 else f", {_volume(low)} to {_volume(high)} by the permeability known"
    text = (
        f"Into the ground {_volume(likely)} an hour{spread}: the reserve of "
        f"{mark(reserve, 'm3')} lasts {_hours(covered)}, {_hours(covered_least)} at the worst; the hole stands under fluid for "
        f"{mark(hours_open, 'h')}." + _stock_said(stock_m3, needed)
    )
    return FluidLoss(least, most, low, likely, high, None, None, hours_open, reserve, covered, covered_least, needed, text)


LEAST_TOLD_M3 = 0.05
"""A smaller volume would print as nothing."""


def _volume(volume_m3: float) -> str:
    return mark(volume_m3, "m3") if volume_m3 >= LEAST_TOLD_M3 else "next to nothing"


def _hours(hours: float | None) -> str:
    if hours is None or hours > 100:
        return "more than 100 h"
    return mark(hours, "h") if hours >= 0.1 else "minutes only"


def _stock_said(stock_m3: float, needed_m3: float) -> str:
    if needed_m3 <= stock_m3:
        return ""
    return f" Hole and losses come to {mark(needed_m3, 'm3')}, more than the stock of {mark(stock_m3, 'm3')}: have that much at hand."


def _excess(place: Place, one: Judged, slurry: Slurry) -> tuple[float, float]:
    """Return the pressure of the fluid over the groundwater at the middle of a slice, and the length of it in the hole."""
    top, base = max(one.slice.top_m, place.top_m), min(one.slice.base_m, place.base_m)
    depth = (top + base) / 2.0
    density = slurry.density_target_kg_m3 or slurry.density_min_kg_m3 or 1000.0
    pore = place.gatherer.curves.pore(one.slice.ground, depth)[1] or 0.0
    return max(0.0, fluid_pressure(density, depth, slurry.level_m) - pore), base - top


def _rates(place: Place, slurry: Slurry) -> tuple[float, float, float]:
    """Return the loss into the ground in m3/h at the low, likely and high permeability, with the head of the fluid."""
    slower = place.limits["polymer_loss_divisor"].value if slurry.fluid == "polymer" else 1.0
    sums = [0.0, 0.0, 0.0]
    for one in place.pieces():
        if "permeability_m_s" not in one.slice.sheet.facts:
            continue
        span = one.slice.sheet.span("permeability_m_s")
        pressure, length = _excess(place, one, slurry)
        head = pressure / WATER_KN_M3
        middle = span.likely if span.likely is not None else (span.low * span.high) ** 0.5
        for index, permeability in enumerate((span.low, middle, span.high)):
            radius = influence_radius(head, permeability, place.limits["influence_least_m"].value)
            sums[index] += radial_inflow(permeability, length, head, place.gatherer.frame.shaft.diameter_m, radius) * 3600.0 / slower
    return sums[0], sums[1], sums[2]


def _once(place: Place, slurry: Slurry) -> tuple[tuple[float, float] | None, bool]:
    """Return what slurry fills of the pores before its gel holds it, at the high and the low gel; and whether a grading is missing."""
    strong, weak = place.limits["mineral_gel_most_pa"].value, place.limits["mineral_gel_least_pa"].value
    share, diameter = place.limits["penetrated_pore_share"].value, place.gatherer.frame.shaft.diameter_m
    low = high = 0.0
    found = unknown = False
    for one in place.pieces():
        if not one.slice.stratum.soils & GRANULAR or not one.cut.decided:
            continue
        d10 = one.slice.sheet.span("d10_mm").likely if "d10_mm" in one.slice.sheet.facts else None
        if d10 is None:
            unknown = True
            continue
        pressure, length = _excess(place, one, slurry)
        near, far = (min(penetration(pressure, gel, d10), place.limits["fluid_runs_away_m"].value) for gel in (strong, weak))
        low += penetrated_volume(diameter, near, length, share)
        high += penetrated_volume(diameter, far, length, share)
        found = True
    return ((low, high) if found else None), unknown


def _once_said(once: tuple[float, float] | None, unknown: bool, hole_m3: float) -> str:
    if once is None:
        return (
            "No grading is known: how far slurry runs into the ground is not estimated."
            if unknown
            else "No granular ground: next to nothing runs into the wall."
        )
    weak = f"{mark(once[1], 'm3')} with a weak one" if once[1] < hole_m3 else "more than another hole with a weak one"
    text = (
        f"Where no cake forms, {mark(once[0], 'm3')} run into the pores of the wall once with a strong gel, {weak}; with a cake far less."
    )
    return text + (" Ground without a grading is not counted." if unknown else "")
