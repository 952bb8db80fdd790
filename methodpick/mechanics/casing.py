"""Casing: its mass, strength against outside pressure, least walls, and what holds it when it is turned or pulled."""

from __future__ import annotations

from math import pi, sqrt

from methodpick.mechanics.earth_pressure import GRAVITY_M_S2, STEEL_KG_M3
from methodpick.mechanics.registry import Argument, formula, positive

YOUNG_KPA = 200e6
POISSON = 0.3


@formula(
    title="Mass of casing",
    symbols="m = pi (D - t) t rho",
    source="geometry with steel of 7850 kg/m3",
    key="astm-a252",
    standing="solid",
    evidence="read",
    arguments={
        "outside_diameter_m": Argument("m", 0.13, 4, "+"),
        "wall_m": Argument("m", 0.003, 0.06, "+"),
        "steel_kg_m3": Argument("kg/m3", 7700, 8000, "+"),
    },
    unit="kg/m",
    example=({"outside_diameter_m": 0.6096, "wall_m": 0.0127}, 186.94),
)
def mass_per_metre(outside_diameter_m: float, wall_m: float, steel_kg_m3: float = STEEL_KG_M3) -> float:
    """Compute the mass in kg/m of a plain pipe.

    24 in by 0.500 in is 125.62 lb/ft (186.94 kg/m) in ASTM A252 table 3.

    >>> round(mass_per_metre(0.6096, 0.0127), 1)
    186.9
    """
    return pi * (positive("outside_diameter_m", outside_diameter_m) - positive("wall_m", wall_m)) * wall_m * steel_kg_m3


@formula(
    title="Elastic collapse of a long tube",
    symbols="pcr = 2E / (1 - nu^2) (t/D)^3",
    source="Timoshenko & Gere (1961)",
    key="timoshenko-gere-1961",
    standing="solid",
    evidence="memory",
    arguments={
        "outside_diameter_m": Argument("m", 0.3, 4, "-"),
        "wall_m": Argument("m", 0.004, 0.05, "+"),
        "young_kpa": Argument("kPa", 1.9e8, 2.1e8, "+"),
        "poisson": Argument("1", 0.25, 0.33),
    },
    unit="kPa",
    example=({"outside_diameter_m": 1.2, "wall_m": 0.01}, 254.375),
)
def collapse_pressure(outside_diameter_m: float, wall_m: float, young_kpa: float = YOUNG_KPA, poisson: float = POISSON) -> float:
    """Compute the outside pressure in kPa at which a perfectly round long tube buckles.

    >>> round(collapse_pressure(1.2, 0.01), 1)
    254.4
    """
    slender = positive("wall_m", wall_m) / positive("outside_diameter_m", outside_diameter_m)
    return 2.0 * young_kpa / (1.0 - poisson**2) * slender**3


@formula(
    title="Collapse of an oval tube",
    symbols="p^2 - [sy/m + (1 + 6 m n) pcr] p + sy pcr / m = 0, m = r/t, n = u0/r",
    source="Timoshenko & Gere (1961), from memory",
    key="timoshenko-gere-1961",
    standing="solid",
    evidence="memory",
    arguments={
        "outside_diameter_m": Argument("m", 0.3, 4, "-"),
        "wall_m": Argument("m", 0.004, 0.05, "+"),
        "ovality": Argument("1", 0, 0.05, "-"),
        "yield_kpa": Argument("kPa", 1e5, 6e5, "+"),
        "young_kpa": Argument("kPa", 1.9e8, 2.1e8, "+"),
    },
    unit="kPa",
    example=({"outside_diameter_m": 1.2, "wall_m": 0.01, "ovality": 0.0, "yield_kpa": 1e9}, 254.375),
)
def oval_collapse_pressure(
    outside_diameter_m: float, wall_m: float, ovality: float, yield_kpa: float, young_kpa: float = YOUNG_KPA
) -> float:
    """Compute the outside pressure in kPa at which a tube of an initial ovality (radial deviation over radius) first yields.

    >>> round(oval_collapse_pressure(1.2, 0.01, 0.0, 1e9), 1)
    254.4
    """
    critical = collapse_pressure(outside_diameter_m, wall_m, young_kpa)
    slender = outside_diameter_m / (2.0 * wall_m)
    first = yield_kpa / slender + (1.0 + 6.0 * slender * ovality) * critical
    return (first - sqrt(first**2 - 4.0 * yield_kpa * critical / slender)) / 2.0


@formula(
    title="Least wall of driven pipe",
    symbols="t = 6.35 mm + D / 100",
    source="API RP 2A, driven pipe, from memory",
    key="api-rp-2a",
    standing="fair",
    evidence="memory",
    arguments={"outside_diameter_m": Argument("m", 0.3, 4, "+")},
    unit="m",
    empirical=True,
    example=({"outside_diameter_m": 0.9144}, 0.015494),
)
def driving_wall(outside_diameter_m: float) -> float:
    """Compute the least wall in m of a pipe that is driven or vibrated hard.

    >>> round(driving_wall(0.9144), 6)
    0.015494
    """
    return 0.00635 + positive("outside_diameter_m", outside_diameter_m) / 100.0


@formula(
    title="Friction of sand on steel",
    symbols="f = min(b s'v, flim)",
    source="API RP 2A-WSD (2000), 6.4.3, from memory",
    key="api-rp-2a",
    standing="fair",
    evidence="memory",
    arguments={
        "effective_kpa": Argument("kPa", 0, 3000, "+"),
        "beta": Argument("1", 0, 1, "+"),
        "limit_kpa": Argument("kPa", 10, 200, "+"),
    },
    unit="kPa",
    example=({"effective_kpa": 100.0, "beta": 0.37, "limit_kpa": 81.3}, 37.0),
)
def sand_friction(effective_kpa: float, beta: float, limit_kpa: float) -> float:
    """Compute the friction in kPa of granular ground along a steel wall that it has set up on.

    >>> sand_friction(100.0, 0.37, 81.3), sand_friction(400.0, 0.37, 81.3)
    (37.0, 81.3)
    """
    return min(beta * max(0.0, effective_kpa), limit_kpa)


@formula(
    title="Adhesion of clay on steel",
    symbols="f = a su; r = su / s'v; a = 0.5 / sqrt(r) to r = 1, 0.5 / r^(1/4) above, at most 1",
    source="API RP 2A-WSD (2000), 6.4.2, from memory",
    key="api-rp-2a",
    standing="fair",
    evidence="memory",
    arguments={"su_kpa": Argument("kPa", 1, 2000, "+"), "effective_kpa": Argument("kPa", 1, 3000, "+")},
    unit="kPa",
    example=({"su_kpa": 50.0, "effective_kpa": 100.0}, 35.355),
)
def clay_adhesion(su_kpa: float, effective_kpa: float) -> float:
    """Compute the adhesion in kPa of clay on a steel wall that it has set up on.

    >>> round(clay_adhesion(50.0, 100.0), 2), round(clay_adhesion(160.0, 10.0), 2)
    (35.36, 40.0)
    """
    ratio = positive("su_kpa", su_kpa) / positive("effective_kpa", effective_kpa)
    share = 0.5 / sqrt(ratio) if ratio <= 1.0 else 0.5 / sqrt(sqrt(ratio))
    return su_kpa * min(1.0, share)


@formula(
    title="Weight of a casing in a fluid",
    symbols="W = m g (1 - rf / rs)",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "mass_kg": Argument("kg", 1, 1e6, "+"),
        "fluid_kg_m3": Argument("kg/m3", 0, 2600, "-"),
        "steel_kg_m3": Argument("kg/m3", 7700, 8000, "+"),
        "gravity_m_s2": Argument("m/s2", 9.78, 9.84, "+"),
    },
    unit="kN",
    example=({"mass_kg": 1000.0, "fluid_kg_m3": 0.0}, 9.81),
)
def hanging_weight(mass_kg: float, fluid_kg_m3: float, steel_kg_m3: float = STEEL_KG_M3, gravity_m_s2: float = GRAVITY_M_S2) -> float:
    """Compute the weight in kN of steel that hangs in a fluid: none lightens it in air, fresh concrete by three tenths.

    >>> round(hanging_weight(1000.0, 0.0), 2), round(hanging_weight(1000.0, 2355.0), 2)
    (9.81, 6.87)
    """
    return mass_kg * gravity_m_s2 * (1.0 - fluid_kg_m3 / positive("steel_kg_m3", steel_kg_m3)) / 1000.0


@formula(
    title="Torque to turn a casing",
    symbols="T = pi D^2 / 2 * sum(f dL) + T_shoe + T_inside",
    source="statics of friction on a cylinder",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "outside_diameter_m": Argument("m", 0.3, 4, "+"),
        "friction_kn_m": Argument("kN/m", 0, 10000, "+"),
        "shoe_kn_m": Argument("kNm", 0, 10000, "+"),
        "inside_kn_m": Argument("kNm", 0, 10000, "+"),
    },
    unit="kNm",
    example=({"outside_diameter_m": 1.5, "friction_kn_m": 700.0, "shoe_kn_m": 0.0, "inside_kn_m": 0.0}, 2474.0),
)
def turning_torque(outside_diameter_m: float, friction_kn_m: float, shoe_kn_m: float = 0.0, inside_kn_m: float = 0.0) -> float:
    """Compute the torque in kNm that turns a casing; ``friction_kn_m`` is the sum of friction times length along it.

    At the shoe the teeth, inside the casing the soil that turns against it, take torque as well.

    >>> round(turning_torque(1.5, 20.0 * 35.0))
    2474
    """
    return pi * positive("outside_diameter_m", outside_diameter_m) ** 2 / 2.0 * friction_kn_m + shoe_kn_m + inside_kn_m


@formula(
    title="Pull to break a casing out",
    symbols="P = k pi D sum(f dL) + W",
    source="statics of friction on a cylinder; a casing that is turned feels a share of it along its axis",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "outside_diameter_m": Argument("m", 0.3, 4, "+"),
        "friction_kn_m": Argument("kN/m", 0, 10000, "+"),
        "weight_kn": Argument("kN", 0, 5000, "+"),
        "axial_share": Argument("1", 0, 1, "+"),
    },
    unit="kN",
    example=({"outside_diameter_m": 2.1, "friction_kn_m": 360.0, "weight_kn": 130.0, "axial_share": 1.0}, 2505.0),
)
def breakout_pull(outside_diameter_m: float, friction_kn_m: float, weight_kn: float, axial_share: float = 1.0) -> float:
    """Compute the pull in kN that starts a casing; ``axial_share`` is the share of the friction along the axis while the plant turns it.

    >>> round(breakout_pull(2.1, 20.0 * 18.0, 130.0))
    2505
    """
    return axial_share * pi * positive("outside_diameter_m", outside_diameter_m) * friction_kn_m + weight_kn


@formula(
    title="Least wall by slenderness",
    symbols="t = max(t0, D / s)",
    source="common practice of handling casing and of oscillators, from memory",
    key="practice",
    standing="weak",
    evidence="memory",
    arguments={
        "outside_diameter_m": Argument("m", 0.3, 4, "+"),
        "least_m": Argument("m", 0.003, 0.06, "+"),
        "slenderness": Argument("1", 20, 400, "-"),
    },
    unit="m",
    empirical=True,
    example=({"outside_diameter_m": 2.0, "least_m": 0.02, "slenderness": 80.0}, 0.025),
)
def slender_wall(outside_diameter_m: float, least_m: float, slenderness: float) -> float:
    """Compute the least wall in m of a pipe by a least thickness and the greatest ratio of diameter to wall.

    >>> slender_wall(2.0, 0.02, 80.0), slender_wall(1.2, 0.02, 80.0)
    (0.025, 0.02)
    """
    return max(least_m, positive("outside_diameter_m", outside_diameter_m) / positive("slenderness", slenderness))


@formula(
    title="Crowd to push a casing",
    symbols="F = k pi D sum(f dL) + F_shoe",
    source="statics of friction on a cylinder and of the soil under its edge",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "outside_diameter_m": Argument("m", 0.3, 4, "+"),
        "friction_kn_m": Argument("kN/m", 0, 10000, "+"),
        "shoe_kn": Argument("kN", 0, 10000, "+"),
        "axial_share": Argument("1", 0, 1, "+"),
    },
    unit="kN",
    example=({"outside_diameter_m": 1.3, "friction_kn_m": 60.0, "shoe_kn": 45.0, "axial_share": 0.4}, 143.02),
)
def push_force(outside_diameter_m: float, friction_kn_m: float, shoe_kn: float, axial_share: float = 1.0) -> float:
    """Compute the force in kN that pushes a casing on; ``axial_share`` is the share of the friction along the axis while it is turned.

    >>> round(push_force(1.3, 60.0, 45.0, 0.4), 2)
    143.02
    """
    return axial_share * pi * positive("outside_diameter_m", outside_diameter_m) * friction_kn_m + shoe_kn
