"""Cone theory of the active pressure on a round wall: a cross-check of the axisymmetric one."""

from __future__ import annotations

from math import degrees, pi, radians, tan

from methodpick.mechanics.registry import Argument, formula, positive

_STEPS = 60


def _thrust(angle: float, slender: float, phi: float, hoop: float) -> float:
    """Return the thrust of a cone over g h^2, for a wall of depth over radius ``slender``."""
    steep = tan(angle)
    weight = 1.0 / (2.0 * steep) + slender / (6.0 * steep**2)
    return weight * tan(angle - phi) - hoop * slender / (6.0 * steep)


def cone_angle(depth_m: float, diameter_m: float, phi_deg: float, hoop: float = 1.0) -> float:
    """Angle in degrees of the sliding cone that presses most on the wall at a depth.

    >>> round(cone_angle(1.8, 1.0, 30.0), 1)
    80.1
    """
    slender, phi = depth_m / (positive("diameter_m", diameter_m) / 2.0), radians(phi_deg)
    low, high = phi + 1e-6, pi / 2 - 1e-6
    grid = [low + (high - low) * step / _STEPS for step in range(_STEPS + 1)]
    best = max(range(1, _STEPS), key=lambda step: _thrust(grid[step], slender, phi, hoop))
    low, high = grid[best - 1], grid[best + 1]
    while high - low > 1e-9:
        one, two = low + (high - low) / 3, high - (high - low) / 3
        if _thrust(one, slender, phi, hoop) < _thrust(two, slender, phi, hoop):
            low = one
        else:
            high = two
    return degrees((low + high) / 2)


@formula(
    title="Active pressure on a round wall by cone theory",
    symbols="e = g h tan(a - phi) / tan(a), a of the greatest thrust",
    source="Steinfeld, Prater (1977); worked numbers read in a study of lignite wells, statics derived anew",
    key="prater-1977",
    standing="weak",
    evidence="read",
    arguments={
        "depth_m": Argument("m", 0.1, 20),
        "diameter_m": Argument("m", 0.3, 6),
        "unit_weight_kn_m3": Argument("kN/m3", 1, 26, "+"),
        "phi_deg": Argument("deg", 20, 45),
        "hoop": Argument("1", 0.2, 1),
    },
    unit="kPa",
    example=({"depth_m": 1.8, "diameter_m": 1.0, "unit_weight_kn_m3": 17.652, "phi_deg": 30.0, "hoop": 1.0}, 6.6232),
)
def cone_pressure(depth_m: float, diameter_m: float, unit_weight_kn_m3: float, phi_deg: float, hoop: float = 1.0) -> float:
    """Pressure in kPa at the foot of the wall by a sliding cone in dry cohesionless ground.

    Derivation: the weight of the ring above a cone at an angle a is g h^2 [1/(2 tan a) + h/(6 r0 tan^2 a)] on each metre
    of the wall; it slides at a - phi, held back by the hoop stress lam g h^2 h / (6 r0 tan a). About twice the
    axisymmetric pressure; valid to a depth of about ten radii, beyond which it overrates the hoop stress: a cross-check only.

    >>> round(cone_pressure(1.8, 1.0, 1.8 * 9.80665, 30.0) / 98.0665, 4)
    0.0675
    """
    angle = radians(cone_angle(depth_m, diameter_m, phi_deg, hoop))
    return unit_weight_kn_m3 * depth_m * tan(angle - radians(phi_deg)) / tan(angle)
