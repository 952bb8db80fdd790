"""Units: exact factors, used only where files and options are read and where pages are written.

Inside the tool there are metres, kilopascals, kilonewtons per cubic metre, kilograms per cubic metre and hours.
"""

from __future__ import annotations

from methodpick.patterns import pattern_of

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
    "kPa": {
        "kPa": 1.0,
        "Pa": 0.001,
        "MPa": 1000.0,
        "psf": PSF_KPA,
        "psi": 144 * PSF_KPA,
        "ksf": 1000 * PSF_KPA,
        "ksi": 144000 * PSF_KPA,
        "tsf": 2000 * PSF_KPA,
        "kN/m2": 1.0,
        "MN/m2": 1000.0,
        "bar": 100.0,
    },
    "kN/m3": {"kN/m3": 1.0, "pcf": PCF_KN_M3},
    "kg/m3": {
        "kg/m3": 1.0,
        "pcf": PCF_KG_M3,
        "g/cm3": 1000.0,
        "g/ml": 1000.0,
        "lb/gal": POUND_KG / GALLON_M3,
        "lb/yd3": POUND_KG / YARD3_M3,
        "lb/100 gal": POUND_KG / GALLON_M3 / 100,
    },
    "%": {"%": 1.0, "percent": 1.0},
    "h": {"h": 1.0, "hr": 1.0, "hours": 1.0, "min": 1 / 60, "d": 24.0, "days": 24.0, "s": 1 / 3600},
    "deg": {"deg": 1.0},
    "m/s": {"m/s": 1.0, "cm/s": 0.01, "mm/s": 0.001, "ft/s": FOOT_M, "ft/day": FOOT_M / 86400, "m/day": 1 / 86400},
    "mg/L": {"mg/L": 1.0, "ppm": 1.0, "g/L": 1000.0},
    "m/h": {"m/h": 1.0, "in/h": INCH_M, "mm/h": 0.001, "ft/h": FOOT_M},
    "m3": {"m3": 1.0, "yd3": YARD3_M3, "ft3": FOOT_M**3, "gal": GALLON_M3, "L": 0.001},
    "kg": {"kg": 1.0, "lb": POUND_KG, "t": 1000.0, "ton": 2000 * POUND_KG},
    "kN": {"kN": 1.0, "MN": 1000.0, "kip": POUND_FORCE_N, "ton": 2 * POUND_FORCE_N, "tons": 2 * POUND_FORCE_N},
    "kg/m": {"kg/m": 1.0, "lb/ft": POUND_KG / FOOT_M},
    "m3/h": {"m3/h": 1.0, "yd3/h": YARD3_M3, "gal/min": 60 * GALLON_M3},
    "kNm": {"kNm": 1.0, "kip-ft": POUND_FORCE_N * FOOT_M},
    "kN/m": {"kN/m": 1.0, "kip/ft": POUND_FORCE_N / FOOT_M},
    "mm/s": {"mm/s": 1.0, "in/s": 25.4},
    "Pa": {"Pa": 1.0, "lb/100 ft2": 10 * PSF_KPA},
    "J": {"J": 1.0, "ft-lb": POUND_FORCE_N * FOOT_M},
    "h/m": {"h/m": 1.0, "h/ft": 1 / FOOT_M},
    "/m": {"/m": 1.0, "/ft": 1 / FOOT_M},
    "/m3": {"/m3": 1.0, "/yd3": 1 / YARD3_M3, "/ft3": 1 / FOOT_M**3, "/gal": 1 / GALLON_M3, "/L": 1000.0},
    "/kg": {"/kg": 1.0, "/lb": 1 / POUND_KG, "/t": 0.001, "/ton": 1 / (2000 * POUND_KG)},
    "/h": {"/h": 1.0},
    "1": {"1": 1.0},
}
"""Factor of every unit to the unit kept inside, by that inside unit."""

_MARKS = {
    "'": "ft",
    '"': "in",
    "''": "in",
    "″": "in",
    "′": "ft",
    "feet": "ft",
    "foot": "ft",
    "inch": "in",
    "inches": "in",
    "metre": "m",
    "meter": "m",
    "metres": "m",
    "meters": "m",
    "µm": "um",
    "micron": "um",
    "kn/m^3": "kN/m3",
    "kn/m³": "kN/m3",
    "kg/m^3": "kg/m3",
    "kg/m³": "kg/m3",
    "kn/m^2": "kN/m2",
    "kn/m²": "kN/m2",
    "lb/ft3": "pcf",
    "lb/ft2": "psf",
    "ppg": "lb/gal",
    "kip ft": "kip-ft",
    "ft lb": "ft-lb",
    "hour": "h",
    "hrs": "h",
    "day": "d",
    "mins": "min",
    "minutes": "min",
    "°": "deg",
    "degrees": "deg",
    "litres": "L",
    "cy": "yd3",
}
_NUMBER = r"[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?"
_FRACTION = pattern_of(r"([-+]?)(?:(\d+)[\s-]+)?(\d+)\s*/\s*(\d+)\s*(\S.*)?")
_NUMBER_UNIT = pattern_of(rf"({_NUMBER})\s*(\S.*?)?")
_FEET_INCHES = pattern_of(r"([-+]?)(\d+)\s*(?:ft|feet|foot|'|′)\.?[\s-]*(\d.*?)\s*(?:in|inch|inches|\"|''|″)\.?")


def name_of(unit: str, inside: str) -> str:
    """Return the name that :data:`FACTORS` has for a unit however it was written.

    Raises ValueError for a unit of another kind, naming those that would do.

    >>> name_of("feet", "m"), name_of("KPA", "kPa")
    ('ft', 'kPa')
    """
    factors = FACTORS[inside]
    if unit in factors:
        return unit
    plain = unit.strip().rstrip(".").casefold()
    plain = _MARKS.get(plain, plain).casefold()
    for name in factors:
        if name.casefold() == plain:
            return name
    raise ValueError(f"'{unit}' is not a unit of this quantity; expected one of {', '.join(factors)}")


def convert(value: float, unit: str, inside: str) -> float:
    """Turn a value in ``unit`` into the unit kept inside.

    Raises ValueError for a unit of another kind.

    >>> convert(48, "in", "m")
    1.2192
    >>> round(convert(120, "pcf", "kN/m3"), 3)
    18.851
    """
    return value * FACTORS[inside][name_of(unit, inside)]


def restore(value: float, unit: str, inside: str) -> float:
    """Turn a value kept inside into ``unit``.

    >>> round(restore(1.2192, "in", "m"), 9)
    48.0
    """
    return value / FACTORS[inside][unit]


def parse(text: str, bare: str, inside: str) -> float:
    """Read "48 in", "11.5 kN/m3", "2 ft 6 in", "5/8 in" or a bare number in ``bare``, into the unit kept inside.

    Raises ValueError where the text is no number with a unit of that kind.

    >>> parse("48 in", "ft", "m")
    1.2192
    >>> parse("2 ft 6 in", "ft", "m")
    0.762
    >>> parse("80 %", "%", "%")
    80.0
    """
    value, unit = split(text, bare)
    return convert(value, unit, inside)


def split(text: str, bare: str) -> tuple[float, str]:
    """Split a text into its number and its unit, ``bare`` where it names none; feet with inches become inches.

    Raises ValueError where the text does not start with a number.

    >>> split("5 1/2 in", "mm")
    (5.5, 'in')
    >>> split('2 ft 6"', "ft")
    (30.0, 'in')
    """
    plain = text.strip()
    if match := _FEET_INCHES.fullmatch(plain):
        inches, rest = split(match[3], "in")
        if rest == "in":
            feet = 12.0 * float(match[2]) + inches
            return (-feet if match[1] == "-" else feet), "in"
    if (match := _FRACTION.fullmatch(plain)) and int(match[4]):
        size = int(match[2] or 0) + int(match[3]) / int(match[4])
        return (-size if match[1] == "-" else size), match[5] or bare
    match = _NUMBER_UNIT.fullmatch(plain)
    if match is None:
        raise ValueError(f"'{text}' is not a number with a unit")
    return float(match[1]), match[2] or bare
