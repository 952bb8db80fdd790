"""Loss of fluid and the reserve for it: with the work, into the ground each hour, and once into the pores of the wall."""

from __future__ import annotations

from dataclasses import replace

from methodpick.mechanics.inflow import influence_radius, radial_inflow
from methodpick.mechanics.slurry import fluid_pressure, penetrated_volume, penetration
from methodpick.mechanics.stress import WATER_KN_M3
from methodpick.plan.fluid.fluid_length import FluidLength
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.result import FluidLoss, Slurry
from methodpick.terms import GRANULAR
from methodpick.unit_markup import mark

LEAST_NAMED_M3 = 0.05
"""A smaller volume would print as nothing."""


def find_loss(length: FluidLength, slurry: Slurry, volumes_m3: tuple[float, float], hours_open: float) -> FluidLoss:
    """Return what is lost and how long the reserve lasts; polymer and water run on, mineral slurry gels in the pores.

    ``volumes_m3`` are those of the hole and of the stock.
    """
    hole_m3, stock_m3 = volumes_m3
    least, most = (length.limits[name].value * hole_m3 for name in ("fluid_loss_share_least", "fluid_loss_share_most"))
    common = FluidLoss(
        handling_least_m3=least,
        handling_most_m3=most,
        rate_least_m3_h=None,
        rate_m3_h=None,
        rate_most_m3_h=None,
        once_least_m3=None,
        once_most_m3=None,
        hours_open=hours_open,
        reserve_m3=stock_m3 - hole_m3,
        hours_covered=None,
        hours_covered_least=None,
        stock_needed_m3=hole_m3 + most,
        text="",
    )
    return _lost_once(length, slurry, common, volumes_m3) if slurry.fluid == "mineral" else _lost_on(length, slurry, common, stock_m3)


def _lost_once(length: FluidLength, slurry: Slurry, common: FluidLoss, volumes_m3: tuple[float, float]) -> FluidLoss:
    """Return the loss of a slurry that gels in the pores."""
    once, unknown = _into_pores(length, slurry)
    needed = common.stock_needed_m3 + (once[0] if once else 0.0)
    return replace(
        common,
        once_least_m3=once[0] if once else None,
        once_most_m3=once[1] if once else None,
        stock_needed_m3=needed,
        text=_pores_words(once, unknown, volumes_m3[0]) + _stock_words(volumes_m3[1], needed),
    )


def _lost_on(length: FluidLength, slurry: Slurry, common: FluidLoss, stock_m3: float) -> FluidLoss:
    """Return the loss of a fluid that runs into the ground as long as the hole is open."""
    low, likely, high = _rates(length, slurry)
    hours, reserve = common.hours_open, common.reserve_m3
    needed = common.stock_needed_m3 + likely * hours
    covered, covered_least = (reserve / rate if rate > 1e-9 else None for rate in (likely, high))
    spread = "" if high < LEAST_NAMED_M3 else f", {_volume_words(low)} to {_volume_words(high)} by the permeability known"
    text = (
        f"Into the ground {_volume_words(likely)} an hour{spread}: the reserve of "
        f"{mark(reserve, 'm3')} lasts {_hour_words(covered)}, {_hour_words(covered_least)} at the worst; the hole stands under fluid for "
        f"{mark(hours, 'h')}." + _stock_words(stock_m3, needed)
    )
    return replace(
        common,
        rate_least_m3_h=low,
        rate_m3_h=likely,
        rate_most_m3_h=high,
        hours_covered=covered,
        hours_covered_least=covered_least,
        stock_needed_m3=needed,
        text=text,
    )


def _volume_words(volume_m3: float) -> str:
    return mark(volume_m3, "m3") if volume_m3 >= LEAST_NAMED_M3 else "next to nothing"


def _hour_words(hours: float | None) -> str:
    if hours is None or hours > 100:
        return "more than 100 h"
    return mark(hours, "h") if hours >= 0.1 else "minutes only"


def _stock_words(stock_m3: float, needed_m3: float) -> str:
    if needed_m3 <= stock_m3:
        return ""
    return f" Hole and losses come to {mark(needed_m3, 'm3')}, more than the stock of {mark(stock_m3, 'm3')}: have that much at hand."


def _excess_pressure(length: FluidLength, judged: JudgedSlice, slurry: Slurry) -> tuple[float, float]:
    """Return the pressure of the fluid over the groundwater at the middle of a slice, and the length of it in the hole."""
    top, base = length.clip(judged)
    depth = (top + base) / 2.0
    density = slurry.density_target_kg_m3 or slurry.density_min_kg_m3 or 1000.0
    pore = length.ground.curves.pore(judged.slice.ground, depth)[1] or 0.0
    return max(0.0, fluid_pressure(density, depth, slurry.level_m) - pore), base - top


def _rates(length: FluidLength, slurry: Slurry) -> tuple[float, float, float]:
    """Return the loss into the ground in m3/h at the low, likely and high permeability, with the head of the fluid."""
    slower = length.limits["polymer_loss_divisor"].value if slurry.fluid == "polymer" else 1.0
    diameter = length.ground.shaft.diameter_m
    sums = [0.0, 0.0, 0.0]
    for judged in length.slices():
        if "permeability_m_s" not in judged.sheet.facts:
            continue
        span = judged.sheet.span("permeability_m_s")
        pressure, thickness = _excess_pressure(length, judged, slurry)
        head = pressure / WATER_KN_M3
        middle = span.likely if span.likely is not None else (span.low * span.high) ** 0.5
        for index, permeability in enumerate((span.low, middle, span.high)):
            radius = influence_radius(head, permeability, length.limits["influence_least_m"].value)
            sums[index] += radial_inflow(permeability, thickness, head, diameter, radius) * 3600.0 / slower
    return sums[0], sums[1], sums[2]


def _into_pores(length: FluidLength, slurry: Slurry) -> tuple[tuple[float, float] | None, bool]:
    """Return what slurry fills of the pores before its gel holds it, at the high and the low gel; and whether a grading is missing."""
    strong, weak = length.limits["mineral_gel_most_pa"].value, length.limits["mineral_gel_least_pa"].value
    share, diameter = length.limits["penetrated_pore_share"].value, length.ground.shaft.diameter_m
    low = high = 0.0
    graded = unknown = False
    for judged in length.slices():
        if not judged.slice.stratum.soils & GRANULAR or not judged.logged:
            continue
        d10 = judged.sheet.span("d10_mm").likely if "d10_mm" in judged.sheet.facts else None
        if d10 is None:
            unknown = True
            continue
        pressure, thickness = _excess_pressure(length, judged, slurry)
        near, far = (min(penetration(pressure, gel, d10), length.limits["fluid_runs_away_m"].value) for gel in (strong, weak))
        low += penetrated_volume(diameter, near, thickness, share)
        high += penetrated_volume(diameter, far, thickness, share)
        graded = True
    return ((low, high) if graded else None), unknown


def _pores_words(once: tuple[float, float] | None, unknown: bool, hole_m3: float) -> str:
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
