"""Turning and breaking out a casing: torque, pull, and the wall that turning asks for."""

from __future__ import annotations

from math import pi

from methodpick.mechanics.registry import Argument, formula, positive


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
    """Torque in kNm that turns a casing; ``friction_kn_m`` is the sum of friction times length along it.

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
    """Pull in kN that starts a casing; ``axial_share`` is the share of the friction along the axis while the plant turns it.

    >>> round(breakout_pull(2.1, 20.0 * 18.0, 130.0))
    2505
    """
    return axial_share * pi * positive("outside_diameter_m", outside_diameter_m) * friction_kn_m + weight_kn


@formula(
    title="Least wall of a turned casing",
    symbols="t = max(t0, D / s)",
    source="common practice of casing oscillators, from memory",
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
    """Least wall in m of a pipe by a least thickness and the greatest ratio of diameter to wall.

    >>> slender_wall(2.0, 0.02, 80.0), slender_wall(1.2, 0.02, 80.0)
    (0.025, 0.02)
    """
    return max(least_m, positive("outside_diameter_m", outside_diameter_m) / positive("slenderness", slenderness))
