"""Numbers inside sentences: kept in SI with a mark, spelled in the reader's units only at the door.

A plan is the same plan whatever units its site file used; so its sentences hold marks such as ``⟦4.877|m⟧``, which the
report spells as ``16.0 ft`` or ``4.88 m``. The JSON export spells SI.
"""

from __future__ import annotations

import re
from typing import Literal

from methodpick.units import FACTORS

System = Literal["us", "si"]
_MARK = re.compile(r"⟦([^|⟧]+)\|([^⟧]+)⟧")
_US = {
    "m": ("ft", 1),
    "size": ("in", 1),
    "kPa": ("psf", 0),
    "kN/m3": ("pcf", 0),
    "kg/m3": ("pcf", 1),
    "m/h": ("in/h", 1),
    "m3": ("yd3", 1),
    "kg": ("lb", 0),
    "m/s": ("cm/s", -1),
    "%": ("%", 0),
    "h": ("h", 1),
    "deg": ("deg", 0),
    "mg/L": ("mg/L", 0),
    "mm": ("mm", -1),
    "1": ("", 2),
    "wall": ("in", 3),
    "kN": ("ton", 0),
    "/m": ("/ft", 2),
    "/m3": ("/yd3", 2),
    "/kg": ("/lb", 3),
    "kg/m": ("lb/ft", 1),
    "dose": ("lb/100 gal", 1),
}
_SI = {
    "m": ("m", 2),
    "size": ("mm", 0),
    "kPa": ("kPa", 0),
    "kN/m3": ("kN/m3", 1),
    "kg/m3": ("kg/m3", 0),
    "m/h": ("mm/h", 0),
    "m3": ("m3", 1),
    "kg": ("kg", 0),
    "m/s": ("m/s", -1),
    "%": ("%", 0),
    "h": ("h", 1),
    "deg": ("deg", 0),
    "mg/L": ("mg/L", 0),
    "mm": ("mm", -1),
    "1": ("", 2),
    "wall": ("mm", 1),
    "kN": ("kN", 0),
    "/m": ("/m", 2),
    "/m3": ("/m3", 2),
    "/kg": ("/kg", 3),
    "kg/m": ("kg/m", 1),
    "dose": ("kg/m3", 1),
}
_INSIDE = {"size": "m", "wall": "m", "dose": "kg/m3"}


def mark(value: float, unit: str) -> str:
    """Write a number into a sentence; ``size`` is a length in metres that is read in inches or millimetres.

    >>> mark(4.877, "m")
    '⟦4.877|m⟧'
    """
    return f"⟦{value:.6g}|{unit}⟧"


def mark_plainly(value: float, unit: str) -> str:
    """Write a number of a rule into a sentence; a short length is read in inches or millimetres.

    >>> mark_plainly(0.0762, "m"), mark_plainly(2.0, "m")
    ('⟦0.0762|size⟧', '⟦2|m⟧')
    """
    return mark(value, "size" if unit == "m" and 0 < abs(value) < 0.3 else unit)


def say(value: float, unit: str, system: System) -> str:
    """Write a number kept inside in the reader's units, rounded as an engineer would.

    >>> say(4.877, "m", "us"), say(1.2192, "size", "us"), say(0.0127, "size", "us"), say(19.5, "%", "us"), say(0.3048, "m/h", "si")
    ('16.0 ft', '48 in', '0.5 in', '19.5 %', '305 mm/h')
    >>> say(1.1, "m/s", "us"), say(1.1, "m/s", "si"), say(0.34, "m/s", "us"), say(4e-6, "m/s", "us"), say(2e-9, "m/s", "si")
    ('110 cm/s', '1.1 m/s', '34 cm/s', '0.0004 cm/s', '2e-09 m/s')
    """
    if unit not in _SI:
        return f"{value:.3g} {unit}"
    name, digits = (_US if system == "us" else _SI)[unit]
    factors = FACTORS.get(_INSIDE.get(unit, unit), {})
    number = value / factors[name] if name in factors else value
    if (unit == "size" and system == "us" and abs(number) < 2) or (unit == "dose" and abs(number) < 2):
        digits = 2
    elif unit == "%":
        digits = next((few for few in (0, 1, 2) if abs(number - round(number, few)) < 1e-9), 0)  # as written, else whole
    if digits < 0 and abs(number) >= 10:
        text = f"{number:.0f}"  # a velocity or a coarse grain; only what is small is read with an exponent
    elif digits < 0 or (abs(number) >= 1e5 and unit == "1"):
        text = f"{number:.2g}"
    else:
        text = f"{number:,.{digits}f}" if abs(number) >= 10000 else f"{number:.{digits}f}"
    if unit in {"size", "1", "%"} and "." in text:
        text = text.rstrip("0").rstrip(".")
    if text.startswith("-") and not text.strip("-0."):
        text = text[1:]
    return f"{text} {name}" if name else text


def spell(text: str, system: System) -> str:
    """Spell every marked number of a text in the reader's units.

    >>> spell("water at ⟦4.877|m⟧", "us")
    'water at 16.0 ft'
    """
    return _MARK.sub(lambda match: say(float(match[1]), match[2], system), text) if "⟦" in text else text
