"""Fluid in the hole: pressure, density and level for it, water kept out, ground that it opens, how far it runs in, its mixture."""

from __future__ import annotations

from math import pi

from methodpick.mechanics.earth_pressure import GRAVITY_M_S2
from methodpick.mechanics.registry import Argument, formula, positive

# ---- Fluid in the hole: pressure, density and level, water kept out, ground that it opens


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


# ---- Slurry as a mixture of water, bentonite and carried sand: densities by mass balance


SODA_ASH_OVER_HARDNESS = 105.99 / 100.09
"""Grams of soda ash that take out a gram of hardness as calcium carbonate."""


@formula(
    title="Density of bentonite slurry",
    symbols="rho = (rho_w + B) / (1 + B / rho_b)",
    source="mass balance",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "bentonite_kg_m3": Argument("kg/m3", 0, 120, "+"),
        "water_kg_m3": Argument("kg/m3", 995, 1030, "+"),
        "solid_kg_m3": Argument("kg/m3", 2300, 2800, "+"),
    },
    unit="kg/m3",
    example=({"bentonite_kg_m3": 60.0, "water_kg_m3": 1000.0, "solid_kg_m3": 2600.0}, 1036.09),
)
def bentonite_density(bentonite_kg_m3: float, water_kg_m3: float, solid_kg_m3: float) -> float:
    """Compute the density in kg/m3 of so many kilograms of bentonite mixed into each cubic metre of water.

    >>> round(bentonite_density(60.0, 1000.0, 2600.0), 2)
    1036.09
    """
    return (water_kg_m3 + bentonite_kg_m3) / (1.0 + bentonite_kg_m3 / solid_kg_m3)


@formula(
    title="Density with carried sand",
    symbols="rho = rho0 (1 - S) + S rho_s",
    source="mass balance",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "fluid_kg_m3": Argument("kg/m3", 995, 1200, "+"),
        "sand_share": Argument("1", 0, 0.3, "+"),
        "sand_kg_m3": Argument("kg/m3", 2600, 2750, "+"),
    },
    unit="kg/m3",
    example=({"fluid_kg_m3": 1036.09, "sand_share": 0.04, "sand_kg_m3": 2650.0}, 1100.65),
)
def sandy_density(fluid_kg_m3: float, sand_share: float, sand_kg_m3: float) -> float:
    """Compute the density in kg/m3 of slurry that carries a share of sand by volume.

    >>> round(sandy_density(1036.09, 0.04, 2650.0), 2)
    1100.65
    """
    return fluid_kg_m3 * (1.0 - sand_share) + sand_kg_m3 * sand_share


@formula(
    title="Bentonite dose by weight",
    symbols="B = p rho, rho of the slurry",
    source="mass balance",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "weight_percent": Argument("%", 0, 12, "+"),
        "solid_kg_m3": Argument("kg/m3", 2300, 2800, "+"),
        "water_kg_m3": Argument("kg/m3", 995, 1030, "+"),
    },
    unit="kg/m3",
    example=({"weight_percent": 6.0, "solid_kg_m3": 2600.0, "water_kg_m3": 1000.0}, 62.299),
)
def dose_per_slurry(weight_percent: float, solid_kg_m3: float, water_kg_m3: float) -> float:
    """Compute the bentonite in kg per cubic metre of slurry at a share by weight.

    >>> round(dose_per_slurry(6.0, 2600.0, 1000.0), 2)
    62.3
    """
    share = weight_percent / 100.0
    return share / (share / solid_kg_m3 + (1.0 - share) / water_kg_m3)


@formula(
    title="Bentonite for a density",
    symbols="B = (rho - rho_w) / (1 - rho_w / rho_b)",
    source="mass balance",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "density_kg_m3": Argument("kg/m3", 995, 1100, "+"),
        "water_kg_m3": Argument("kg/m3", 995, 1030, "-"),
        "solid_kg_m3": Argument("kg/m3", 2300, 2800, "-"),
    },
    unit="kg/m3",
    example=({"density_kg_m3": 1030.0, "water_kg_m3": 1000.0, "solid_kg_m3": 2600.0}, 48.75),
)
def dose_for_density(density_kg_m3: float, water_kg_m3: float, solid_kg_m3: float) -> float:
    """Compute the bentonite in kg per cubic metre of slurry that brings fresh slurry to a density; 0 where the water weighs it already.

    >>> round(dose_for_density(1030.0, 1000.0, 2600.0), 2)
    48.75
    """
    return max(0.0, density_kg_m3 - water_kg_m3) / (1.0 - water_kg_m3 / solid_kg_m3)


@formula(
    title="Soda ash for hardness",
    symbols="A = 1.059 (H - Hr)",
    source="stoichiometry: Na2CO3 of 105.99 g/mol for CaCO3 of 100.09 g/mol",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={"hardness_mg_l": Argument("mg/L", 0, 5000, "+"), "left_mg_l": Argument("mg/L", 0, 500, "-")},
    unit="kg/m3",
    example=({"hardness_mg_l": 400.0, "left_mg_l": 50.0}, 0.37065),
)
def soda_ash_for_hardness(hardness_mg_l: float, left_mg_l: float = 0.0) -> float:
    """Compute the soda ash in kg per cubic metre of water that takes out calcium hardness, as calcium carbonate, down to a rest.

    >>> round(soda_ash_for_hardness(400.0, 50.0), 3)
    0.371
    """
    return SODA_ASH_OVER_HARDNESS * max(0.0, hardness_mg_l - left_mg_l) / 1000.0


@formula(
    title="Sand for a density",
    symbols="S = (rho - rho0) / (rho_s - rho0)",
    source="mass balance",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "density_kg_m3": Argument("kg/m3", 995, 1400, "+"),
        "fluid_kg_m3": Argument("kg/m3", 995, 1200, "-"),
        "sand_kg_m3": Argument("kg/m3", 2600, 2750),
    },
    unit="1",
    example=({"density_kg_m3": 1153.0, "fluid_kg_m3": 1036.0, "sand_kg_m3": 2650.0}, 0.072491),
)
def sand_share(density_kg_m3: float, fluid_kg_m3: float, sand_kg_m3: float) -> float:
    """Compute the share of sand by volume that slurry of a measured density carries: fresh slurry alone never weighs so much.

    >>> round(sand_share(1153.0, 1036.0, 2650.0), 3)
    0.072
    """
    return (density_kg_m3 - fluid_kg_m3) / (sand_kg_m3 - fluid_kg_m3)
