"""Units: exact factors, used only at the doors (site file, command line, report).

Inside the tool there are metres, kilopascals, kilonewtons per cubic metre, kilograms per cubic metre and hours.
"""

from __future__ import annotations

import re

FOOT_M = 0.3048
INCH_M = 0.0254
POUND_KG = 0.45359237
POUND_FORCE_N = 4.4482216152605
PSF_KPA = POUND_FORCE_N / FOOT_M**2 / 1000
PCF_KN_M3 = POUND_FORCE_N / FOOT_M**3 / 1000
PCF_KG_M3 = POUND_KG / FOOT_M**3
GALLON_M3 = 231 * INCH_M**3
YARD3_M3 = (3 * FOOT_M) ** 3

FACTORS: dict[str, dict[str, float]] = {
    "m": {"m": 1.0, "mm": 0.001, "cm": 0.01, "ft": FOOT_M, "in": INCH_M, "yd": 3 * FOOT_M, "km": 1000.0},
    "mm": {"mm": 1.0, "cm": 10.0, "in": 25.4, "m": 1000.0, "um": 0.001},
    "kPa": {"kPa": 1.0, "Pa": 0.001, "MPa": 1000.0, "psf": PSF_KPA, "psi": 144 * PSF_KPA, "ksf": 1000 * PSF_KPA,
            "ksi": 144000 * PSF_KPA, "tsf": 2000 * PSF_KPA, "kN/m2": 1.0, "MN/m2": 1000.0, "bar": 100.0},
    "kN/m3": {"kN/m3": 1.0, "pcf": PCF_KN_M3},
    "kg/m3": {"kg/m3": 1.0, "pcf": PCF_KG_M3, "g/cm3": 1000.0, "g/ml": 1000.0, "lb/gal": POUND_KG / GALLON_M3},
    "%": {"%": 1.0, "percent": 1.0},
    "h": {"h": 1.0, "hr": 1.0, "hours": 1.0, "min": 1 / 60, "d": 24.0, "days": 24.0, "s": 1 / 3600},
    "deg": {"deg": 1.0},
    "m/s": {"m/s": 1.0, "cm/s": 0.01, "mm/s": 0.001, "ft/s": FOOT_M, "ft/day": FOOT_M / 86400, "m/day": 1 / 86400},
    "mg/L": {"mg/L": 1.0, "ppm": 1.0, "g/L": 1000.0},
    "m/h": {"m/h": 1.0, "in/h": INCH_M, "mm/h": 0.001, "ft/h": FOOT_M},
    "m3": {"m3": 1.0, "yd3": YARD3_M3, "ft3": FOOT_M**3, "gal": GALLON_M3, "L": 0.001},
    "kg": {"kg": 1.0, "lb": POUND_KG, "t": 1000.0, "ton": 2000 * POUND_KG},
    "1": {"1": 1.0},
}
"""Factor of every unit to the unit kept inside, by that inside unit."""

_MARKS = {"'": "ft", '"': "in", "feet": "ft", "foot": "ft", "inch": "in", "inches": "in", "metre": "m", "meter": "m",
          "metres": "m", "meters": "m", "kn/m3": "kN/m3", "kpa": "kPa", "mpa": "MPa", "kN/m^3": "kN/m3",
          "lb/ft3": "pcf", "lb/ft2": "psf", "hour": "h", "°": "deg", "degrees": "deg", "mg/l": "mg/L"}
_NUMBER_UNIT = re.compile(r"\s*([-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?)\s*(\S.*?)?\s*")


def convert(value: float, unit: str, inside: str) -> float:
    """Turn a value in ``unit`` into the unit kept inside.

    Raises ValueError for a unit of another kind.

    >>> convert(48, "in", "m")
    1.2192
    >>> round(convert(120, "pcf", "kN/m3"), 3)
    18.851
    """
    factors = FACTORS[inside]
    name = _MARKS.get(unit, unit)
    if name not in factors:
        raise ValueError(f"'{unit}' is not a unit of this quantity; expected one of {', '.join(factors)}")
    return value * factors[name]


def restore(value: float, unit: str, inside: str) -> float:
    """Turn a value kept inside into ``unit``.

    >>> round(restore(1.2192, "in", "m"), 9)
    48.0
    """
    return value / FACTORS[inside][unit]


def parse(text: str, bare: str, inside: str) -> float:
    """Read "48 in", "11.5 kN/m3" or a bare number in the unit ``bare``, into the unit kept inside.

    Raises ValueError where the text is no number with a unit of that kind.

    >>> parse("48 in", "ft", "m")
    1.2192
    >>> parse("80 %", "%", "%")
    80.0
    """
    match = _NUMBER_UNIT.fullmatch(text)
    if match is None:
        raise ValueError(f"'{text}' is not a number with a unit")
    return convert(float(match[1]), match[2] or bare, inside)
