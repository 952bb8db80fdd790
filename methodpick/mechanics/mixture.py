"""Slurry as a mixture of water, bentonite and carried sand: densities by mass balance."""

from __future__ import annotations

from methodpick.mechanics.registry import Argument, formula

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
