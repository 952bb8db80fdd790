"""Fluid in the hole: pressure, density and level for it, water kept out, ground that it opens, how far it runs in."""

from __future__ import annotations

from math import pi

from methodpick.mechanics.registry import Argument, formula, positive
from methodpick.mechanics.stress import GRAVITY_M_S2


@formula(
    title="Fluid pressure",
    symbols="p = rho g (z - zf)",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "density_kg_m3": Argument("kg/m3", 900, 2500, "+"),
        "depth_m": Argument("m", 0, 200, "+"),
        "fluid_level_m": Argument("m", -10, 50, "-"),
        "gravity_m_s2": Argument("m/s2", 9.78, 9.84),
    },
    unit="kPa",
    example=({"density_kg_m3": 1050.0, "depth_m": 10.0, "fluid_level_m": 0.0}, 103.005),
)
def fluid_pressure(density_kg_m3: float, depth_m: float, fluid_level_m: float, gravity_m_s2: float = GRAVITY_M_S2) -> float:
    """Compute the pressure in kPa of a fluid whose surface stands at a depth (negative above the ground).

    >>> round(fluid_pressure(1050.0, 10.0, 0.0), 3)
    103.005
    """
    return density_kg_m3 * gravity_m_s2 / 1000.0 * max(0.0, depth_m - fluid_level_m)


@formula(
    title="Density for a pressure",
    symbols="rho = p / (g (z - zf))",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "pressure_kpa": Argument("kPa", 0, 3000, "+"),
        "depth_m": Argument("m", 0.1, 200, "-"),
        "fluid_level_m": Argument("m", -10, 50, "+"),
        "gravity_m_s2": Argument("m/s2", 9.78, 9.84),
    },
    unit="kg/m3",
    example=({"pressure_kpa": 240.0, "depth_m": 20.0, "fluid_level_m": 0.0}, 1223.24),
)
def density_for_pressure(pressure_kpa: float, depth_m: float, fluid_level_m: float, gravity_m_s2: float = GRAVITY_M_S2) -> float:
    """Compute the density in kg/m3 that gives a pressure at a depth. Raises ValueError at or above the fluid surface.

    >>> round(density_for_pressure(240.0, 20.0, 0.0), 2)
    1223.24
    """
    return pressure_kpa * 1000.0 / (gravity_m_s2 * positive("depth below the fluid level", depth_m - fluid_level_m))


@formula(
    title="Fluid level for a pressure",
    symbols="zf = z - p / (rho g)",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "pressure_kpa": Argument("kPa", 0, 3000, "-"),
        "depth_m": Argument("m", 0, 200, "+"),
        "density_kg_m3": Argument("kg/m3", 900, 2500, "+"),
        "gravity_m_s2": Argument("m/s2", 9.78, 9.84),
    },
    unit="m",
    example=({"pressure_kpa": 98.1, "depth_m": 12.0, "density_kg_m3": 1000.0}, 2.0),
)
def level_for_pressure(pressure_kpa: float, depth_m: float, density_kg_m3: float, gravity_m_s2: float = GRAVITY_M_S2) -> float:
    """Compute the depth in m of the fluid surface (negative above the ground) at which a density gives a pressure at a depth.

    >>> round(level_for_pressure(98.1, 12.0, 1000.0), 6)
    2.0
    """
    return depth_m - pressure_kpa * 1000.0 / (gravity_m_s2 * positive("density_kg_m3", density_kg_m3))


@formula(
    title="Exclusion of groundwater",
    symbols="p = FS u",
    source="DIN 4126, 9.1.1, from memory",
    key="din-4126",
    standing="fair",
    evidence="memory",
    arguments={"pore_kpa": Argument("kPa", 0, 3000, "+"), "factor": Argument("1", 1, 1.5, "+")},
    unit="kPa",
    example=({"pore_kpa": 100.0, "factor": 1.05}, 105.0),
)
def excluding_pressure(pore_kpa: float, factor: float) -> float:
    """Compute the fluid pressure in kPa that keeps groundwater out of the hole at a depth.

    >>> excluding_pressure(100.0, 1.05)
    105.0
    """
    return factor * pore_kpa


@formula(
    title="Opening of clay",
    symbols="pf = sh + n su",
    source="Mori & Tamura (1987), tests with n = 2 (sh plus the unconfined compressive strength), from memory",
    key="mori-tamura-1987",
    standing="fair",
    evidence="memory",
    arguments={"horizontal_kpa": Argument("kPa", 0, 5000, "+"), "su_kpa": Argument("kPa", 0, 2000, "+"), "share": Argument("1", 0, 2, "+")},
    unit="kPa",
    example=({"horizontal_kpa": 100.0, "su_kpa": 50.0, "share": 1.0}, 150.0),
)
def clay_opening_pressure(horizontal_kpa: float, su_kpa: float, share: float) -> float:
    """Compute the fluid pressure in kPa at which unfissured clay opens: the least total stress and a share of the undrained strength.

    >>> clay_opening_pressure(100.0, 50.0, 1.0)
    150.0
    """
    return horizontal_kpa + share * su_kpa


@formula(
    title="Pressure gradient of stagnating slurry",
    symbols="fs0 = 2 tauF / d10",
    source="DIN 4126 form, from memory",
    key="din-4126",
    standing="fair",
    evidence="memory",
    arguments={"yield_stress_pa": Argument("Pa", 1, 200, "+"), "d10_mm": Argument("mm", 0.001, 50, "-")},
    unit="kN/m3",
    example=({"yield_stress_pa": 20.0, "d10_mm": 0.2}, 200.0),
)
def transfer_gradient(yield_stress_pa: float, d10_mm: float) -> float:
    """Compute the gradient in kN/m3 over which slurry gives its pressure to the grains; 200 or more counts as full transfer.

    >>> round(transfer_gradient(20.0, 0.2), 6)
    200.0
    """
    return 2.0 * yield_stress_pa / positive("d10_mm", d10_mm)


@formula(
    title="Penetration of slurry",
    symbols="s = dp d10 / (2 tauF)",
    source="DIN 4126 form, from memory",
    key="din-4126",
    standing="fair",
    evidence="memory",
    arguments={
        "net_pressure_kpa": Argument("kPa", 0, 500, "+"),
        "yield_stress_pa": Argument("Pa", 1, 200, "-"),
        "d10_mm": Argument("mm", 0.001, 50, "+"),
    },
    unit="m",
    example=({"net_pressure_kpa": 40.0, "yield_stress_pa": 20.0, "d10_mm": 0.2}, 0.2),
)
def penetration(net_pressure_kpa: float, yield_stress_pa: float, d10_mm: float) -> float:
    """Compute the depth in m to which a fluid with a yield stress runs into the ground before it stands.

    >>> round(penetration(40.0, 20.0, 0.2), 6)
    0.2
    """
    return net_pressure_kpa / transfer_gradient(yield_stress_pa, d10_mm)


@formula(
    title="Slurry in the pores of the wall",
    symbols="V = pi ((D/2 + s)^2 - (D/2)^2) L n",
    source="volume of a ring",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "diameter_m": Argument("m", 0.1, 6, "+"),
        "penetration_m": Argument("m", 0, 20, "+"),
        "length_m": Argument("m", 0, 200, "+"),
        "pore_share": Argument("1", 0, 1, "+"),
    },
    unit="m3",
    example=({"diameter_m": 1.2, "penetration_m": 0.2, "length_m": 10.0, "pore_share": 0.35}, 3.0788),
)
def penetrated_volume(diameter_m: float, penetration_m: float, length_m: float, pore_share: float) -> float:
    """Compute the volume in m3 of slurry that stands in the ground around a hole into which it ran so many metres.

    >>> round(penetrated_volume(1.2, 0.2, 10.0, 0.35), 4)
    3.0788
    """
    radius = diameter_m / 2.0
    return pi * ((radius + penetration_m) ** 2 - radius**2) * length_m * pore_share
