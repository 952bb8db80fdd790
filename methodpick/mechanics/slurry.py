"""Support by fluid: pressure, density bounds, transfer to the ground, loss into it."""

from __future__ import annotations

from math import pi, radians, tan

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
    """Pressure in kPa of a fluid whose surface stands at a depth (negative above the ground).

    >>> round(fluid_pressure(1050.0, 10.0, 0.0), 3)
    103.005
    """
    return density_kg_m3 * gravity_m_s2 / 1000.0 * max(0.0, depth_m - fluid_level_m)


@formula(
    title="Pressure that holds a granular wall",
    symbols="p = u + FS pa",
    source="statics; factors after DIN 4126 practice",
    key="din-4126",
    standing="fair",
    evidence="memory",
    arguments={"pore_kpa": Argument("kPa", 0, 2000, "+"), "active_kpa": Argument("kPa", 0, 2000, "+"), "factor": Argument("1", 1, 3, "+")},
    unit="kPa",
    example=({"pore_kpa": 80.0, "active_kpa": 10.0, "factor": 1.3}, 93.0),
)
def granular_needed_pressure(pore_kpa: float, active_kpa: float, factor: float) -> float:
    """Fluid pressure in kPa that balances pore water and the active pressure with a factor on the latter.

    >>> granular_needed_pressure(80.0, 10.0, 1.3)
    93.0
    """
    return pore_kpa + factor * active_kpa


@formula(
    title="Density for a pressure",
    symbols="rho = p / (g (z - zf))",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "needed_pressure_kpa": Argument("kPa", 0, 3000, "+"),
        "depth_m": Argument("m", 0.1, 200, "-"),
        "fluid_level_m": Argument("m", -10, 50, "+"),
        "gravity_m_s2": Argument("m/s2", 9.78, 9.84),
    },
    unit="kg/m3",
    example=({"needed_pressure_kpa": 240.0, "depth_m": 20.0, "fluid_level_m": 0.0}, 1223.24),
)
def lower_density(needed_pressure_kpa: float, depth_m: float, fluid_level_m: float, gravity_m_s2: float = GRAVITY_M_S2) -> float:
    """Least density in kg/m3 that gives a pressure at a depth below the fluid surface. ValueError above the surface.

    >>> round(lower_density(240.0, 20.0, 0.0), 2)
    1223.24
    """
    return needed_pressure_kpa * 1000.0 / (gravity_m_s2 * positive("depth below the fluid level", depth_m - fluid_level_m))


@formula(
    title="Greatest density for an allowed pressure",
    symbols="rho = p / (g (z - zf))",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "allowed_pressure_kpa": Argument("kPa", 0, 3000, "+"),
        "depth_m": Argument("m", 0.1, 200, "-"),
        "fluid_level_m": Argument("m", -10, 50, "+"),
        "gravity_m_s2": Argument("m/s2", 9.78, 9.84),
    },
    unit="kg/m3",
    example=({"allowed_pressure_kpa": 135.24, "depth_m": 10.0, "fluid_level_m": 0.0}, 1378.59),
)
def upper_density(allowed_pressure_kpa: float, depth_m: float, fluid_level_m: float, gravity_m_s2: float = GRAVITY_M_S2) -> float:
    """Greatest density in kg/m3 that stays within a pressure at a depth.

    >>> round(upper_density(135.24, 10.0, 0.0), 2)
    1378.59
    """
    return lower_density(allowed_pressure_kpa, depth_m, fluid_level_m, gravity_m_s2)


@formula(
    title="Clay trench under slurry",
    symbols="Hc = 4 cu / (g - gf)",
    source="Nash & Jones (1963), undrained form",
    key="nash-jones-1963",
    standing="solid",
    evidence="memory",
    arguments={
        "su_kpa": Argument("kPa", 1, 500, "+"),
        "unit_weight_kn_m3": Argument("kN/m3", 14, 24, "-"),
        "fluid_kn_m3": Argument("kN/m3", 0, 13, "+"),
    },
    unit="m",
    example=({"su_kpa": 15.0, "unit_weight_kn_m3": 20.0, "fluid_kn_m3": 11.0}, 6.6667),
)
def trench_height(su_kpa: float, unit_weight_kn_m3: float, fluid_kn_m3: float) -> float:
    """Critical depth in m of a long trench in clay full of slurry; 4 su / weight when empty.

    >>> round(trench_height(15.0, 20.0, 11.0), 4)
    6.6667
    """
    return 4.0 * su_kpa / positive("unit_weight_kn_m3 - fluid_kn_m3", unit_weight_kn_m3 - fluid_kn_m3)


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
def penetration_m(net_pressure_kpa: float, yield_stress_pa: float, d10_mm: float) -> float:
    """Depth in m to which a fluid with a yield stress runs into the ground before it stands.

    >>> round(penetration_m(40.0, 20.0, 0.2), 6)
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
        "penetration": Argument("m", 0, 20, "+"),
        "length_m": Argument("m", 0, 200, "+"),
        "pore_share": Argument("1", 0, 1, "+"),
    },
    unit="m3",
    example=({"diameter_m": 1.2, "penetration": 0.2, "length_m": 10.0, "pore_share": 0.35}, 3.0788),
)
def penetrated_volume(diameter_m: float, penetration: float, length_m: float, pore_share: float) -> float:
    """Volume in m3 of slurry that stands in the ground around a hole into which it ran so many metres.

    >>> round(penetrated_volume(1.2, 0.2, 10.0, 0.35), 4)
    3.0788
    """
    radius = diameter_m / 2.0
    return pi * ((radius + penetration) ** 2 - radius**2) * length_m * pore_share


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
    """Gradient in kN/m3 over which slurry gives its pressure to the grains; 200 or more counts as full transfer.

    >>> round(transfer_gradient(20.0, 0.2), 6)
    200.0
    """
    return 2.0 * yield_stress_pa / positive("d10_mm", d10_mm)


@formula(
    title="Single-grain stability",
    symbols="eta = fs0 tan(phi) / g'",
    source="DIN 4126 (1986) form, from memory",
    key="din-4126",
    standing="fair",
    evidence="memory",
    arguments={
        "gradient_kn_m3": Argument("kN/m3", 0, 1e5, "+"),
        "phi_deg": Argument("deg", 20, 45, "+"),
        "submerged_kn_m3": Argument("kN/m3", 5, 15, "-"),
    },
    unit="1",
    example=({"gradient_kn_m3": 120.0, "phi_deg": 35.0, "submerged_kn_m3": 9.0}, 9.336),
)
def grain_stability(gradient_kn_m3: float, phi_deg: float, submerged_kn_m3: float) -> float:
    """Safety of a single grain of the wall against falling.

    >>> round(grain_stability(120.0, 35.0, 9.0), 3)
    9.336
    """
    return gradient_kn_m3 * tan(radians(phi_deg)) / positive("submerged_kn_m3", submerged_kn_m3)


def forms_cake(d15_mm: float) -> bool:
    """Return whether bentonite likely forms a filter cake: D15 below 0.4 mm (Filz, Boyer & Davidson 1997, abstract).

    >>> forms_cake(0.1), forms_cake(0.6)
    (True, False)
    """
    return d15_mm < 0.4
