"""The emptied hole over water: the inflow and the rise that it makes, the base over water under pressure, seat and plug of a casing."""

from __future__ import annotations

from math import inf, log, pi, sqrt

from methodpick.mechanics.registry import Argument, formula, positive

# ---- inflow


@formula(
    title="Radial inflow",
    symbols="Q = 2 pi k b s / ln(R / r)",
    source="Thiem (1906), confined steady flow",
    key="thiem-1906",
    standing="solid",
    evidence="memory",
    arguments={
        "permeability_m_s": Argument("m/s", 1e-12, 1, "+"),
        "thickness_m": Argument("m", 0, 100, "+"),
        "drawdown_m": Argument("m", 0, 200, "+"),
        "diameter_m": Argument("m", 0.1, 6, "+"),
        "influence_m": Argument("m", 3, 10000, "-"),
    },
    unit="m3/s",
    example=({"permeability_m_s": 1e-4, "thickness_m": 5.0, "drawdown_m": 2.0, "diameter_m": 2.0, "influence_m": 20.0}, 0.0020974),
)
def radial_inflow(permeability_m_s: float, thickness_m: float, drawdown_m: float, diameter_m: float, influence_m: float) -> float:
    """Compute the steady inflow in m3/s through the wall from a layer of a thickness under a drawdown.

    >>> round(radial_inflow(1e-4, 5.0, 2.0, 2.0, 20.0), 7)
    0.0020974
    """
    radius = positive("diameter_m", diameter_m) / 2.0
    return 2.0 * pi * permeability_m_s * thickness_m * drawdown_m / log(max(influence_m, 1.5 * radius) / radius)


@formula(
    title="Rise of water in the hole",
    symbols="v = Q / (pi D^2 / 4)",
    source="volume balance",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={"inflow_m3_s": Argument("m3/s", 0, 10, "+"), "diameter_m": Argument("m", 0.1, 6, "-")},
    unit="m/h",
    example=({"inflow_m3_s": 1e-4, "diameter_m": 1.0}, 0.45837),
)
def rise_rate(inflow_m3_s: float, diameter_m: float) -> float:
    """Compute the rise in m/h that an inflow makes in the empty hole.

    >>> round(rise_rate(1e-4, 1.0), 5)
    0.45837
    """
    return inflow_m3_s * 3600.0 / (pi * positive("diameter_m", diameter_m) ** 2 / 4.0)


@formula(
    title="Radius of influence",
    symbols="R = max(R0, 3000 s sqrt(k))",
    source="Sichardt, from memory",
    key="sichardt-1928",
    standing="weak",
    evidence="memory",
    empirical=True,
    arguments={
        "drawdown_m": Argument("m", 0, 200, "+"),
        "permeability_m_s": Argument("m/s", 1e-12, 1, "+"),
        "least_m": Argument("m", 1, 10, "+"),
    },
    unit="m",
    example=({"drawdown_m": 4.0, "permeability_m_s": 1e-4, "least_m": 3.0}, 120.0),
)
def influence_radius(drawdown_m: float, permeability_m_s: float, least_m: float) -> float:
    """Compute the radius in m beyond which the hole draws nothing down.

    >>> round(influence_radius(4.0, 1e-4, 3.0), 6)
    120.0
    """
    return max(least_m, 3000.0 * max(0.0, drawdown_m) * sqrt(permeability_m_s))


@formula(
    title="Permeability by Hazen",
    symbols="k = C D10^2, C = 1 (cm/s, mm)",
    source="Hazen (1892), from memory",
    key="hazen-1892",
    standing="weak",
    evidence="memory",
    empirical=True,
    arguments={"d10_mm": Argument("mm", 0.1, 3, "+")},
    unit="m/s",
    example=({"d10_mm": 0.2}, 4e-4),
)
def hazen(d10_mm: float) -> float:
    """Compute the permeability in m/s of clean sand from its D10; C from 0.4 to 1.5 in print.

    >>> round(hazen(0.2), 9)
    0.0004
    """
    return 0.01 * d10_mm**2


# ---- base, seat and plug


# ---- Uplift of the ground between the base and water under pressure


@formula(
    title="Uplift of a tight plug",
    symbols="FS = (g t + gf hf + 4 a cu t / D) / (gw hp)",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "plug_weight_kpa": Argument("kPa", 0, 3000, "+"),
        "fluid_kpa": Argument("kPa", 0, 3000, "+"),
        "adhesion_kpa": Argument("kPa", 0, 3000, "+"),
        "uplift_kpa": Argument("kPa", 0.1, 3000, "-"),
    },
    unit="1",
    example=({"plug_weight_kpa": 60.0, "fluid_kpa": 40.0, "adhesion_kpa": 0.0, "uplift_kpa": 80.0}, 1.25),
)
def plug_factor(plug_weight_kpa: float, fluid_kpa: float, adhesion_kpa: float, uplift_kpa: float) -> float:
    """Compute the safety of the ground between the base and an aquifer below; infinite without pressure.

    >>> plug_factor(60.0, 40.0, 0.0, 80.0)
    1.25
    """
    return inf if uplift_kpa <= 0 else (plug_weight_kpa + fluid_kpa + adhesion_kpa) / uplift_kpa


@formula(
    title="Fluid pressure against uplift",
    symbols="p = FS gw hp - g t",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "uplift_kpa": Argument("kPa", 0, 3000, "+"),
        "plug_weight_kpa": Argument("kPa", 0, 3000, "-"),
        "factor": Argument("1", 1, 2, "+"),
    },
    unit="kPa",
    example=({"uplift_kpa": 98.1, "plug_weight_kpa": 40.0, "factor": 1.25}, 82.625),
)
def plug_needed_pressure(uplift_kpa: float, plug_weight_kpa: float, factor: float) -> float:
    """Compute the pressure in kPa on the base that gives a plug a safety factor; zero or less where it holds alone.

    >>> round(plug_needed_pressure(98.1, 40.0, 1.25), 3)
    82.625
    """
    return factor * uplift_kpa - plug_weight_kpa


@formula(
    title="Plug against uplift",
    symbols="t = FS gw hp / g",
    source="statics",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "uplift_kpa": Argument("kPa", 0, 3000, "+"),
        "unit_weight_kn_m3": Argument("kN/m3", 12, 26, "-"),
        "factor": Argument("1", 1, 2, "+"),
    },
    unit="m",
    example=({"uplift_kpa": 60.0, "unit_weight_kn_m3": 20.0, "factor": 1.25}, 3.75),
)
def plug_needed_thickness(uplift_kpa: float, unit_weight_kn_m3: float, factor: float) -> float:
    """Compute the thickness in m of tight ground that an emptied hole needs over water under pressure, adhesion not counted.

    >>> plug_needed_thickness(60.0, 20.0, 1.25)
    3.75
    """
    return factor * uplift_kpa / positive("unit_weight_kn_m3", unit_weight_kn_m3)


# ---- The seat of a casing shoe, and the plug of soil in a casing over it


@formula(
    title="Seat of a casing shoe",
    symbols="t = max(t0, a D, h / i)",
    source="least length, share of the diameter and seepage gradient along the steel; own values, no published length per metre of head",
    key="own",
    standing="weak",
    evidence="own",
    arguments={
        "head_m": Argument("m", 0, 100, "+"),
        "diameter_m": Argument("m", 0.3, 6, "+"),
        "gradient": Argument("1", 0.1, 100, "-"),
        "least_m": Argument("m", 0, 5, "+"),
        "diameters": Argument("1", 0, 3, "+"),
    },
    unit="m",
    example=({"head_m": 12.0, "diameter_m": 1.2, "gradient": 6.0, "least_m": 1.0, "diameters": 0.5}, 2.0),
)
def seat_length(head_m: float, diameter_m: float, gradient: float, least_m: float, diameters: float) -> float:
    """Compute the length in m by which a shoe must stand in undrilled ground against a head of water between inside and outside.

    ``gradient`` is the head that a metre of seat bears, ``diameters`` the share of the diameter that is the least.

    >>> seat_length(12.0, 1.2, 6.0, 1.0, 0.5), seat_length(3.0, 2.4, 6.0, 1.0, 0.5)
    (2.0, 1.2)
    """
    return max(least_m, diameters * positive("diameter_m", diameter_m), max(0.0, head_m) / positive("gradient", gradient))


@formula(
    title="Seat that keeps up with its own head",
    symbols="t = max(t0, a D, h0 / (i - 1))",
    source="the head over the shoe grows with the seat: t = (h0 + t) / i solved for t, with the seat of a casing shoe; own derivation",
    key="own",
    standing="weak",
    evidence="own",
    arguments={
        "head_at_top_m": Argument("m", 0, 100, "+"),
        "diameter_m": Argument("m", 0.3, 6, "+"),
        "gradient": Argument("1", 1.1, 100, "-"),
        "least_m": Argument("m", 0, 5, "+"),
        "diameters": Argument("1", 0, 3, "+"),
    },
    unit="m",
    example=({"head_at_top_m": 10.0, "diameter_m": 1.2, "gradient": 6.0, "least_m": 1.0, "diameters": 0.5}, 2.0),
)
def seat_from(head_at_top_m: float, diameter_m: float, gradient: float, least_m: float, diameters: float) -> float:
    """Compute the length in m of a seat that begins where the head of water outside is known; every metre of seat adds a metre of head.

    Raises ValueError for a gradient of 1 or less, at which no length is enough.

    >>> seat_from(10.0, 1.2, 6.0, 1.0, 0.5)
    2.0
    """
    return seat_length(head_at_top_m, diameter_m, positive("gradient - 1", gradient - 1.0), least_m, diameters)


@formula(
    title="Pressure of a soil plug on the base",
    symbols="p = t (g + 4 a / D)",
    source="statics of a plug of soil in a pipe: its weight and the adhesion of its remoulded side",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "plug_m": Argument("m", 0, 20, "+"),
        "unit_weight_kn_m3": Argument("kN/m3", 9, 26, "+"),
        "adhesion_kpa": Argument("kPa", 0, 200, "+"),
        "inside_diameter_m": Argument("m", 0.3, 6, "-"),
    },
    unit="kPa",
    example=({"plug_m": 2.0, "unit_weight_kn_m3": 18.0, "adhesion_kpa": 6.0, "inside_diameter_m": 1.2}, 76.0),
)
def soil_plug_pressure(plug_m: float, unit_weight_kn_m3: float, adhesion_kpa: float, inside_diameter_m: float) -> float:
    """Compute the pressure in kPa with which a plug of soil in a casing holds down the ground under the shoe.

    >>> soil_plug_pressure(2.0, 18.0, 6.0, 1.2)
    76.0
    """
    return plug_m * (unit_weight_kn_m3 + 4.0 * adhesion_kpa / positive("inside_diameter_m", inside_diameter_m))


@formula(
    title="Adhesion around a lid",
    symbols="p = 4 b su t / D",
    source="statics of the lid of a hole: a share of the strength along its side, over its area",
    key="statics",
    standing="solid",
    evidence="own",
    arguments={
        "lid_m": Argument("m", 0, 50, "+"),
        "su_kpa": Argument("kPa", 0, 2000, "+"),
        "share": Argument("1", 0, 1, "+"),
        "diameter_m": Argument("m", 0.3, 6, "-"),
    },
    unit="kPa",
    example=({"lid_m": 3.0, "su_kpa": 50.0, "share": 0.5, "diameter_m": 1.5}, 200.0),
)
def lid_adhesion(lid_m: float, su_kpa: float, share: float, diameter_m: float) -> float:
    """Compute the pressure in kPa that the side of a lid of clay holds against water below it.

    >>> lid_adhesion(3.0, 50.0, 0.5, 1.5)
    200.0
    """
    return 4.0 * share * su_kpa * lid_m / positive("diameter_m", diameter_m)
