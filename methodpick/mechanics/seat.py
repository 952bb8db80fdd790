"""The seat of a casing shoe, and the plug of soil that stands in a casing over it."""

from __future__ import annotations

from methodpick.mechanics.registry import Argument, formula, positive


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
