"""Slurry as a mixture of water, bentonite and carried sand: densities by mass balance."""

from __future__ import annotations

from methodpick.mechanics.registry import Argument, formula

BENTONITE_GRAVITY = 2.6
SAND_GRAVITY = 2.65


@formula(title="Density of bentonite slurry", symbols="rho = (rho_w + B) / (1 + B / (1000 Gb))", source="mass balance",
         key="statics", standing="solid", evidence="own",
         arguments={"bentonite_kg_m3": Argument("kg/m3", 0, 120, "+"), "water_kg_m3": Argument("kg/m3", 995, 1030, "+")},
         unit="kg/m3", example=({"bentonite_kg_m3": 60.0, "water_kg_m3": 1000.0}, 1036.09))
def bentonite_density(bentonite_kg_m3: float, water_kg_m3: float = 1000.0) -> float:
    """Density in kg/m3 of so many kilograms of bentonite mixed into each cubic metre of water.

    >>> round(bentonite_density(60.0), 2)
    1036.09
    """
    return (water_kg_m3 + bentonite_kg_m3) / (1.0 + bentonite_kg_m3 / (1000.0 * BENTONITE_GRAVITY))


@formula(title="Density with carried sand", symbols="rho = rho0 (1 - S) + 1000 S Gs", source="mass balance", key="statics",
         standing="solid", evidence="own",
         arguments={"fluid_kg_m3": Argument("kg/m3", 995, 1200, "+"), "sand_share": Argument("1", 0, 0.3, "+")}, unit="kg/m3",
         example=({"fluid_kg_m3": 1036.09, "sand_share": 0.04}, 1100.65))
def sandy_density(fluid_kg_m3: float, sand_share: float) -> float:
    """Density in kg/m3 of slurry that carries a share of sand by volume.

    >>> round(sandy_density(1036.09, 0.04), 2)
    1100.65
    """
    return fluid_kg_m3 * (1.0 - sand_share) + 1000.0 * SAND_GRAVITY * sand_share


@formula(title="Bentonite dose by weight", symbols="B = p rho, rho of the slurry", source="mass balance", key="statics",
         standing="solid", evidence="own", arguments={"weight_percent": Argument("%", 0, 12, "+")}, unit="kg/m3",
         example=({"weight_percent": 6.0}, 62.299))
def dose_per_slurry(weight_percent: float) -> float:
    """Bentonite in kg per cubic metre of slurry at a share by weight.

    >>> round(dose_per_slurry(6.0), 2)
    62.3
    """
    share = weight_percent / 100.0
    return share / (share / (1000.0 * BENTONITE_GRAVITY) + (1.0 - share) / 1000.0)
