"""Units: exact factors, used only where files and options are read and where pages are written; and how each quantity is read.

Inside the tool there are metres, kilopascals, kilonewtons per cubic metre, kilograms per cubic metre and hours.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import inf
from typing import Literal

from methodpick.patterns import pattern_of
from methodpick.terms import UnitSystem

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
        "kg/cm2": 98.0665,
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
    "kg/cm²": "kg/cm2",
    "kgf/cm2": "kg/cm2",
    "kgf/cm²": "kg/cm2",
    "ksc": "kg/cm2",
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


_READ: Mapping[str, Mapping[UnitSystem, tuple[str, int]]] = {
    "m": {"us": ("ft", 1), "si": ("m", 2)},
    "size": {"us": ("in", 1), "si": ("mm", 0)},
    "gap": {"us": ("in", 0), "si": ("mm", 0)},
    "kPa": {"us": ("psf", 0), "si": ("kPa", 0)},
    "strength": {"us": ("psi", 0), "si": ("MPa", 1)},
    "length": {"us": ("ft", 1), "si": ("m", 2)},
    "kN/m3": {"us": ("pcf", 0), "si": ("kN/m3", 1)},
    "kg/m3": {"us": ("pcf", 1), "si": ("kg/m3", 0)},
    "m/h": {"us": ("in/h", 1), "si": ("mm/h", 0)},
    "m3": {"us": ("yd3", 1), "si": ("m3", 1)},
    "kg": {"us": ("lb", 0), "si": ("kg", 0)},
    "m/s": {"us": ("cm/s", -1), "si": ("m/s", -1)},
    "speed": {"us": ("ft/s", 1), "si": ("m/s", 1)},
    "%": {"us": ("%", 0), "si": ("%", 0)},
    "h": {"us": ("h", 1), "si": ("h", 1)},
    "deg": {"us": ("deg", 0), "si": ("deg", 0)},
    "mg/L": {"us": ("mg/L", 0), "si": ("mg/L", 0)},
    "mm": {"us": ("mm", -1), "si": ("mm", -1)},
    "1": {"us": ("", 2), "si": ("", 2)},
    "wall": {"us": ("in", 3), "si": ("mm", 1)},
    "kN": {"us": ("tons", 0), "si": ("kN", 0)},
    "/m": {"us": ("/ft", 2), "si": ("/m", 2)},
    "/m3": {"us": ("/yd3", 2), "si": ("/m3", 2)},
    "/kg": {"us": ("/lb", 3), "si": ("/kg", 3)},
    "kg/m": {"us": ("lb/ft", 1), "si": ("kg/m", 1)},
    "dose": {"us": ("lb/100 gal", 1), "si": ("kg/m3", 1)},
    "m3/h": {"us": ("yd3/h", 1), "si": ("m3/h", 1)},
    "pumped": {"us": ("gal/min", 0), "si": ("m3/h", 0)},
    "kNm": {"us": ("kip-ft", 0), "si": ("kNm", 0)},
    "kN/m": {"us": ("kip/ft", 1), "si": ("kN/m", 0)},
    "mm/s": {"us": ("in/s", 2), "si": ("mm/s", 1)},
    "Pa": {"us": ("lb/100 ft2", 0), "si": ("Pa", 1)},
    "J": {"us": ("ft-lb", 0), "si": ("J", 0)},
    "h/m": {"us": ("h/ft", 2), "si": ("h/m", 2)},
    "ppm": {"us": ("ppm", 0), "si": ("ppm", 0)},
    "s": {"us": ("s", 0), "si": ("s", 0)},
}
"""The unit and the decimals with which a quantity is read in each system; two digits of meaning where the decimals are negative."""
IN_CELLS = {"m": (2, 2), "size": (2, 0), "wall": (3, 1), "m3": (2, 2), "kg": (0, 0), "kg/m3": (2, 1), "kN": (1, 0), "kPa": (0, 1)}
"""Decimals of a number in a cell of a sheet, in US units and in SI; quantities that are not here keep the unit they have inside."""
_INSIDE = {"size": "m", "gap": "m", "length": "m", "wall": "m", "strength": "kPa", "speed": "m/s", "dose": "kg/m3", "pumped": "m3/h"}
"""What a quantity is kept as, where its name is not the unit: a size is a length that is read in inches or millimetres, a gap in whole
ones, a length one of a rule that is written without noughts, a strength that of rock, concrete or steel, which is read in psi or MPa where
stresses in the ground are read in psf or kPa, a speed that of flowing water, where permeability keeps its unit, what is pumped a volume an
hour that is read in gallons a minute."""
_STRENGTHS = ("ucs", "yield", "neighbour_strength")
"""Parts of the names of facts and limits that are strengths of rock, steel and concrete."""
_WITHOUT_NOUGHTS = frozenset({"size", "length", "1", "%", "h", "m/h"})
"""Quantities that are written without noughts behind the point."""
_FLOODS = {"m/h": 10.0, "pumped": 1000.0}
"""Above these a rise or an inflow, in the unit that it is kept in, floods any hole: how much more is not known and is not written."""
_COARSE_FROM = 100.0
"""From here on a rise or an inflow, in the reader's unit, is written with two digits: permeability is not known better."""


def read_as(name: str, unit: str) -> str:
    """Return as what a fact or a limit of the rulebook is read: a strength of rock, concrete or steel, a speed of water, else its unit.

    >>> read_as("ucs_kpa", "kPa"), read_as("su_kpa", "kPa"), read_as("flow_velocity_m_s", "m/s"), read_as("permeability_m_s", "m/s")
    ('strength', 'kPa', 'speed', 'm/s')
    """
    if unit == "m/s" and "velocity" in name:
        return "speed"
    return "strength" if unit == "kPa" and any(part in name for part in _STRENGTHS) else unit


def kept_unit(quantity: str) -> str:
    """Return the unit that a quantity is kept in.

    >>> kept_unit("strength"), kept_unit("kPa")
    ('kPa', 'kPa')
    """
    return _INSIDE.get(quantity, quantity)


def shown(unit: str, system: UnitSystem) -> tuple[str, int]:
    """Return the unit and the decimals that a quantity is read with.

    >>> shown("strength", "us"), shown("m", "si")
    (('psi', 0), ('m', 2))
    """
    return _READ[unit][system] if unit in _READ else (unit, 2)


def unit_factor(unit: str, name: str) -> float:
    """Return what one of a reader's unit is in the unit that a quantity is kept in, 1 where both are the same.

    >>> unit_factor("size", "in")
    0.0254
    """
    return FACTORS.get(kept_unit(unit), {}).get(name, 1.0)


def write_number(value: float, unit: str, system: UnitSystem, form: Literal["", "bare"] = "") -> str:
    """Write a number kept inside in the reader's units, rounded as an engineer would; ``bare`` leaves the unit out.

    >>> write_number(4.877, "m", "us"), write_number(1.2192, "size", "us"), write_number(0.0127, "size", "us")
    ('16.0 ft', '48 in', '0.5 in')
    >>> write_number(19.5, "%", "us"), write_number(0.3048, "m/h", "si"), write_number(4.877, "m", "us", "bare")
    ('19.5 %', '300 mm/h', '16.0')
    >>> write_number(1.1, "m/s", "us"), write_number(1.1, "m/s", "si"), write_number(0.34, "m/s", "us")
    ('110 cm/s', '1.1 m/s', '34 cm/s')
    >>> write_number(5000, "ppm", "us"), write_number(1000, "kNm", "us"), write_number(50.8, "mm/s", "us"), write_number(20, "pumped", "us")
    ('5000 ppm', '738 kip-ft', '2.00 in/s', '88 gal/min')
    >>> write_number(4e-6, "m/s", "us"), write_number(2e-9, "m/s", "si")
    ('0.0004 cm/s', '2e-09 m/s')
    >>> write_number(10875, "m/h", "us"), write_number(1.234, "m/h", "si"), write_number(501.7, "pumped", "us")
    ('more than 390 in/h', '1200 mm/h', '2200 gal/min')
    """
    if unit not in _READ:
        return f"{value:.3g}" if form == "bare" else f"{value:.3g} {unit}"
    name, digits = shown(unit, system)
    text = _flow(value, unit, name) or _rounded(value / unit_factor(unit, name), unit, system, digits)
    if text == "1" and name == "tons":
        name = "ton"
    return text if form == "bare" or not name else f"{text} {name}"


def _flow(value: float, unit: str, name: str) -> str:
    """Write a large rise or inflow with the digits that its knowledge deserves; an empty text for other numbers."""
    if unit not in _FLOODS:
        return ""
    most, per_unit = _FLOODS[unit], unit_factor(unit, name)
    if abs(value) > most:
        return f"{'more than ' if value > 0 else 'less than -'}{_two_digits(most / per_unit)}"
    return _two_digits(value / per_unit) if abs(value / per_unit) >= _COARSE_FROM else ""


def _two_digits(number: float) -> str:
    """Write a number with two digits and noughts.

    >>> _two_digits(2209.0), _two_digits(-393.7)
    ('2200', '-390')
    """
    coarse = float(f"{number:.2g}")
    return f"{coarse:,.0f}" if abs(coarse) >= 10000 else f"{coarse:.0f}"


def _decimals(number: float, unit: str, system: UnitSystem, usual: int) -> int:
    """Return the decimals of a number, below zero for two signs of meaning; the usual ones of its unit where nothing speaks for others."""
    if (unit == "size" and system == "us" and abs(number) < 2) or (unit == "dose" and abs(number) < 2):
        return 2
    if unit == "speed" and 0 < abs(number) < 0.5:
        return -1  # groundwater runs a hundred times slower than a river
    if unit == "pumped" and 0.05 <= abs(number) < 0.95:
        return 1
    if unit == "h" and abs(number) >= 10:
        return 0
    if unit == "length" and system == "si" and abs(number) >= 10:
        return 1  # a number of a rule, most often of whole feet: 200 ft are 61 m
    if unit == "%":
        return next((few for few in (0, 1, 2) if abs(number - round(number, few)) < 1e-9), 0)  # as written, else whole
    return usual


def nearest_plate(inches: float) -> float:
    """Return a wall in the sixteenths of an inch that plate goes by, where it is near one: a site file keeps sizes to 0.1 mm."""
    sixteenths = round(inches * 16) / 16
    return sixteenths if abs(inches - sixteenths) < 0.002 else inches


def _rounded(number: float, unit: str, system: UnitSystem, digits: int) -> str:
    """Write a number with decimals, with two signs of meaning where ``digits`` is negative, without noughts that say nothing.

    A stress of 10,000 psf, a strength of 1000 psi and more go by hundreds: nobody knows them better. From ten hours on whole ones count.

    >>> _rounded(62656.3, "kPa", "us", 0), _rounded(9950.4, "kPa", "us", 0), _rounded(1523.0, "strength", "us", 0)
    ('62,700', '9950', '1500')
    >>> _rounded(60.96, "length", "si", 2), _rounded(3.048, "length", "si", 2)
    ('61', '3.05')
    >>> _rounded(0.01, "speed", "si", 1), _rounded(1.097, "speed", "si", 1), _rounded(0.24, "pumped", "si", 0)
    ('0.01', '1.1', '0.2')
    >>> _rounded(24.0, "h", "us", 1), _rounded(14.9, "h", "si", 1), _rounded(3.8, "h", "si", 1), _rounded(0.626, "wall", "us", 3)
    ('24', '15', '3.8', '0.625')
    """
    if system == "us" and abs(number) >= {"kPa": 10000, "strength": 1000}.get(unit, inf):
        number = round(number, -2)
    if unit == "wall" and system == "us":
        number = nearest_plate(number)
    digits = _decimals(number, unit, system, digits)
    if digits < 0 and abs(number) >= 10:
        text = f"{number:.0f}"  # a velocity or a coarse grain; only what is small is read with an exponent
    elif digits < 0 or (abs(number) >= 1e5 and unit == "1"):
        text = f"{number:.2g}"
    else:
        text = f"{number:,.{digits}f}" if abs(number) >= 10000 else f"{number:.{digits}f}"
    if unit in _WITHOUT_NOUGHTS and "." in text:
        text = text.rstrip("0").rstrip(".")
    if text.startswith("-") and not text.strip("-0."):
        text = text[1:]
    return text
