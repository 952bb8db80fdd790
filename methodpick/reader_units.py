"""How each quantity is read in US units and in SI: its unit, its decimals, and a number written as an engineer would write it."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf
from typing import Literal

from methodpick.terms import UnitSystem
from methodpick.units import FACTORS

_READ: Mapping[str, Mapping[UnitSystem, tuple[str, int]]] = {
    "m": {"us": ("ft", 1), "si": ("m", 2)},
    "size": {"us": ("in", 1), "si": ("mm", 0)},
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
_INSIDE = {"size": "m", "length": "m", "wall": "m", "strength": "kPa", "speed": "m/s", "dose": "kg/m3", "pumped": "m3/h"}
"""What a quantity is kept as, where its name is not the unit: a size is a length that is read in inches or millimetres, a length one
of a rule that is written without noughts, a strength that of rock, concrete or steel, which is read in psi or MPa where stresses in the
ground are read in psf or kPa, a speed that of flowing water, where permeability keeps its unit, what is pumped a volume an hour that is
read in gallons a minute."""
_STRENGTHS = ("ucs", "yield", "neighbour_strength")
"""Parts of the names of facts and limits that are strengths of rock, steel and concrete."""
_WITHOUT_NOUGHTS = frozenset({"size", "length", "1", "%", "h", "m/h"})
"""Quantities that are written without noughts behind the point."""
_FLOODS = {"m/h": 10.0, "pumped": 1000.0}
"""Above these a rise or an inflow, in the unit that it is kept in, floods any hole: how much more is not known and is not written."""
_COARSE_FROM = 1000.0
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
    ('19.5 %', '305 mm/h', '16.0')
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


def _rounded(number: float, unit: str, system: UnitSystem, digits: int) -> str:
    """Write a number with decimals, with two signs of meaning where ``digits`` is negative, without noughts that say nothing.

    A stress of 10,000 psf, a strength of 1000 psi and more go by hundreds: nobody knows them better. From ten hours on whole ones count.

    >>> _rounded(62656.3, "kPa", "us", 0), _rounded(9950.4, "kPa", "us", 0), _rounded(1523.0, "strength", "us", 0)
    ('62,700', '9950', '1500')
    >>> _rounded(24.0, "h", "us", 1), _rounded(14.9, "h", "si", 1), _rounded(3.8, "h", "si", 1), _rounded(0.626, "wall", "us", 3)
    ('24', '15', '3.8', '0.625')
    """
    if system == "us" and abs(number) >= {"kPa": 10000, "strength": 1000}.get(unit, inf):
        number = round(number, -2)
    if unit == "wall" and system == "us":
        sixteenths = round(number * 16) / 16  # plate goes by them; a site file keeps sizes to 0.1 mm
        number = sixteenths if abs(number - sixteenths) < 0.002 else number
    if (unit == "size" and system == "us" and abs(number) < 2) or (unit == "dose" and abs(number) < 2):
        digits = 2
    elif unit == "h" and abs(number) >= 10:
        digits = 0
    elif unit == "%":
        digits = next((few for few in (0, 1, 2) if abs(number - round(number, few)) < 1e-9), 0)  # as written, else whole
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
