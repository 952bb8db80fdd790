"""The numbers of a site file as a tree: one tree in metres and kilopascals, and the same site in feet and pounds.

The kinds of quantity and the factors are written down here once more, so that a wrong factor or kind in the package is found.
Factors: 1 ft = 0.3048 m and 1 in = 25.4 mm (international yard and pound agreement, 1959); 1 lbf = 4.4482216152605 N (NIST SP 811,
appendix B.8).
"""

from math import floor, log10

FOOT_M, INCH_MM = 0.3048, 25.4
PSF_KPA = 4.4482216152605e-3 / FOOT_M**2
PCF_KN_M3 = 4.4482216152605e-3 / FOOT_M**3
PSI_MPA = 4.4482216152605 / INCH_MM**2

US = {"length": FOOT_M, "size": INCH_MM, "stress": PSF_KPA, "strength": PSI_MPA, "weight": PCF_KN_M3, "permeability": 0.01, "speed": FOOT_M}
"""How many units of an SI file one unit of a US file is."""

LENGTHS = (
    "top base depth hole_depth struck rises_to response_zone casing_depth cave_in_depth ground_elevation east north tip cutoff socket_top "
    "water_depth mudline_low mudline_high above_ground elevation water_level tide headroom distance height spacing length "
    "side_resistance_from"
)
SIZES = "diameter socket_diameter cage_diameter cover max_casing thickness outside_diameter wall"
STRESSES = "su cohesion surcharge"
KINDS = {
    **dict.fromkeys(LENGTHS.split(), "length"),
    **dict.fromkeys(SIZES.split(), "size"),
    **dict.fromkeys(STRESSES.split(), "stress"),
    "ucs": "strength",
    "unit_weight": "weight",
    "permeability": "permeability",
    "flow_velocity": "speed",
}
"""The kind of quantity that stands at a key of a site file; a range or a pair below a key is of the same kind."""
BARE = ("low", "likely", "high")

STEPS = {
    "us": {"length": 0.5, "size": 6.0, "stress": 50.0, "strength": 100.0, "weight": 1.0, "speed": 0.5},
    "si": {"length": 0.1, "size": 50.0, "stress": 1.0, "strength": 0.5, "weight": 0.1, "speed": 0.1},
}
"""What engineers round to in each system (common practice)."""


def rounded(units: str, kind: str, value: float, step: float | None = None) -> float:
    """Give an SI value as it is where the file of that unit system holds a round number."""
    factor = US[kind] if units == "us" else 1.0
    step = STEPS[units][kind] if step is None else step
    return snapped(kind, round(value / factor / step) * step * factor)


def snapped(kind: str | None, value: float) -> float:
    """Give an SI value with the digits that a reader keeps: lengths to 1 mm, sizes to 0.1 mm, else nine figures."""
    if kind == "length":
        return round(value, 3)
    if kind == "size":
        return round(value, 1)
    return round(value, 8 - floor(log10(abs(value)))) if value else 0.0


def in_units(tree: object, units: str) -> object:
    """Give a site tree (SI) as the tree of a file in that unit system."""
    if units == "si":
        return tree
    return {**_us(tree, None), "site": {**_us(tree["site"], None), "units": "us"}}


def _us(value: object, kind: str | None) -> object:
    if isinstance(value, dict):
        return {key: _us(inner, KINDS.get(key, kind if key in BARE else None)) for key, inner in value.items()}
    if isinstance(value, list):
        return [_us(inner, kind) for inner in value]
    if kind is None or isinstance(value, (str, bool)) or value is None:
        return value
    return _short(kind, value)


def _short(kind: str, value: float) -> float:
    """Give an SI value in US units with no more decimals than bring the same value back."""
    size = value / US[kind]
    return next((round(size, digits) for digits in range(9) if snapped(kind, round(size, digits) * US[kind]) == value), size)
