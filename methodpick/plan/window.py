"""The slurry window: least and greatest density by depth at the fluid level, what governs, and the level that opens it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import radians, sin

from methodpick.facts.curves import GRAVITY, WATER
from methodpick.facts.gather import Gatherer
from methodpick.mechanics.slurry import lower_density, upper_density
from methodpick.plan.judge import Judged
from methodpick.plan.result import DensityAt, Slurry, WallSpread
from methodpick.spoken import mark
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Choice


@dataclass(frozen=True, slots=True)
class Bound:
    """One side of the window at one depth: a pressure and the words for what asks for it."""

    pressure_kpa: float
    why: str


def slurry_window(gatherer: Gatherer, judged: Sequence[Judged], fluid: str, top_m: float, base_m: float,
                  level_m: float, limits: Mapping[str, Limit]) -> Slurry:
    """Give the window of the length held by fluid, checked at the base of every slice in it."""
    salt = gatherer.base.span("chloride_mg_l").low > limits["chloride_salt_mg_l"].value
    least_said, most_said = _specified(fluid, limits, "salt_" if salt else "")
    low_cap, high_cap = least_said.value, most_said.value
    rows: list[DensityAt] = []
    shown: set[float] = set()
    heads: list[float] = []
    for one in judged:
        piece = one.slice
        if piece.base_m <= top_m + 1e-6 or piece.top_m >= base_m - 1e-6 or not piece.stratum.logged:
            continue
        depth = min(piece.base_m, base_m)
        if depth - level_m < 0.5:
            continue
        low, high = _low(gatherer, one, depth, level_m), _high(one, depth)
        minimum = lower_density(low.pressure_kpa, depth, level_m) if low is not None else None
        maximum = upper_density(high.pressure_kpa, depth, level_m) if high is not None else None
        rows.append(DensityAt(round(depth, 3), minimum, maximum, low.why if low else "", high.why if high else ""))
        if abs(depth - piece.stratum.base_m) < 1e-6 or depth > base_m - 1e-6:
            shown.add(rows[-1].depth_m)
        head = one.state_values.get(fluid, {}).get("fluid_head_m")
        likely = getattr(head, "likely", None)
        if likely is not None and "yes" in _words(one, "water_bearing"):
            heads.append(likely)
    floor_ = max(((row.density_min_kg_m3, row) for row in rows if row.density_min_kg_m3 is not None),
                 key=lambda pair: pair[0], default=None)
    roof = min(((row.density_max_kg_m3, row) for row in rows if row.density_max_kg_m3 is not None),
               key=lambda pair: pair[0], default=None)
    least = max(low_cap, floor_[0] if floor_ else 0.0)
    most = min(high_cap, roof[0] if roof else high_cap)
    governing = [pair[1] for pair in (floor_, roof) if pair is not None]
    words = [(f"below by {floor_[1].min_by} at {mark(floor_[1].depth_m, 'm')}" if floor_ and floor_[0] > low_cap
              else f"below by the fluid itself{least_said.beside}"),
             f"above by {roof[1].max_by} at {mark(roof[1].depth_m, 'm')}" if roof and roof[0] < high_cap
             else f"above by the specification before concreting{most_said.beside}"]
    target = None if least > most else max(least, min(most, _usual(fluid, limits)))
    opens = None if least <= most else _opening_level(gatherer, judged, (top_m, base_m), most, level_m)
    return Slurry(fluid, top_m, base_m, level_m, min(heads, default=None), least, most, target,
                  "; ".join(words), opens, _spread(gatherer, judged, (top_m, base_m), level_m),
                  tuple(row for row in rows if row.depth_m in shown or row in governing))


def _spread(gatherer: Gatherer, judged: Sequence[Judged], ends: tuple[float, float], level_m: float) -> WallSpread | None:
    """Give the density that hoop factor 1 with a factor of 1.1, and K0 with 1.3, ask of a granular wall where that is most."""
    found: list[WallSpread] = []
    for one in judged:
        piece = one.slice
        depth = min(piece.base_m, ends[1])
        if piece.base_m <= ends[0] + 1e-6 or piece.top_m >= ends[1] - 1e-6 or depth - level_m < 2.0:
            continue
        hard = gatherer.curves.support(piece.ground, depth, 1.1, hoop_k0=False)
        wanted = gatherer.curves.support(piece.ground, depth, 1.3, hoop_k0=True)
        if hard is None or wanted is None or hard[1] is None or wanted[1] is None:
            continue
        asked = [lower_density(pressure, depth, level_m) for pressure in (hard[1], wanted[1], wanted[2])]
        found.append(WallSpread(asked[0], asked[1], asked[2], round(depth, 3)))
    return max(found, key=lambda one: one.wanted_kg_m3, default=None)


def _words(one: Judged, name: str) -> frozenset[str]:
    value = one.slice.sheet.value(name)
    return value.values if isinstance(value, Choice) else frozenset()


def _specified(fluid: str, limits: Mapping[str, Limit], water: str) -> tuple[Limit, Limit]:
    """Give the limits of the specification; in water that is salt for certain (``water`` is "salt_") its own rows hold."""
    if fluid == "mineral":
        return limits[f"mineral_density_{water}min_kg_m3"], limits[f"mineral_density_{water}max_kg_m3"]
    top = limits[f"polymer_density_{water}max_kg_m3"] if fluid == "polymer" else limits["water_fluid_density_max_kg_m3"]
    return limits["water_density_kg_m3"], top


def _usual(fluid: str, limits: Mapping[str, Limit]) -> float:
    return limits[f"{fluid}_density_kg_m3"].value


def _low(gatherer: Gatherer, one: Judged, depth_m: float, level_m: float) -> Bound | None:
    """Give the greatest of the pressures that must be met, at the likely values."""
    bounds: list[Bound] = []
    piece, curves = one.slice, gatherer.curves
    support = curves.support(piece.ground, depth_m, 1.1, hoop_k0=False)
    if support is not None and support[1] is not None:
        bounds.append(Bound(support[1], "stability of the granular wall"))
    pore = curves.pore(piece.ground, depth_m)[1]
    if pore and "yes" in _words(one, "water_bearing"):
        bounds.append(Bound(1.05 * pore, "keeping groundwater out"))
    ratio = piece.ground.su
    if ratio is not None and ratio.likely is not None:
        total = curves.total(depth_m)[1]
        limit = curves.collapse(piece.ground, depth_m)[0]
        bounds.append(Bound(total - limit * ratio.likely, "overload of the clay wall"))
    bounds += _uplift(gatherer, depth_m)
    del level_m
    best = max(bounds, key=lambda bound: bound.pressure_kpa, default=None)
    return best if best is not None and best.pressure_kpa > 0 else None


def _uplift(gatherer: Gatherer, depth_m: float) -> list[Bound]:
    """Give the pressure on the base that holds down tight ground over every aquifer below, safety 1.1."""
    bounds = []
    for aquifer in gatherer.aquifers:
        likely = aquifer.level_m.likely
        if aquifer.kind == "perched" or likely is None or aquifer.top_m < depth_m or likely >= aquifer.top_m:
            continue
        if any(g.tight and g.top_m < aquifer.top_m and g.base_m > depth_m for g in gatherer.grounds):
            weight = gatherer.curves.total(aquifer.top_m)[1] - gatherer.curves.total(depth_m)[1]
            bounds.append(Bound(1.1 * WATER * (aquifer.top_m - likely) - weight, "uplift by the aquifer below"))
    return bounds


def _high(one: Judged, depth_m: float) -> Bound | None:
    """Give the least of the pressures that the ground takes: its total horizontal stress with K0."""
    values = one.slice.sheet
    effective = values.span("effective_stress_kpa").likely
    pore = values.span("pore_kpa").likely
    if effective is None or pore is None or depth_m < 1.0:
        return None
    ratio = 0.5
    if "phi_deg" in values.facts and (phi := values.span("phi_deg").likely) is not None:
        ratio = 1.0 - sin(radians(phi))
    return Bound(ratio * effective + pore + 0.3 * effective, "loss into the ground (1.3 x horizontal stress)")


def _opening_level(gatherer: Gatherer, judged: Sequence[Judged], ends: tuple[float, float], density: float,
                   level_m: float) -> float | None:
    """Give the fluid level at which the greatest density allowed meets every lower bound."""
    highest = level_m
    for one in judged:
        piece = one.slice
        if piece.base_m <= ends[0] or piece.top_m >= ends[1] or not piece.stratum.logged:
            continue
        depth = min(piece.base_m, ends[1])
        low = _low(gatherer, one, depth, level_m)
        if low is not None:
            highest = min(highest, depth - low.pressure_kpa / (GRAVITY * density))
    return round(highest, 2) if highest < level_m else None
