"""Numbers inside sentences: kept in SI with a mark, written in the reader's units only on output.

A plan is the same plan whatever units its site file used; so its sentences hold marks such as ``⟦4.877|m⟧``, which a page
shows as ``16.0 ft`` or ``4.88 m``. The JSON format writes SI. This module also holds the one table of how each quantity is
shown: its unit and its decimals, in a sentence and in a cell of a sheet.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Literal

from methodpick.errors import printable
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.terms import UnitSystem
from methodpick.units import FACTORS

_NUMBER = r"-?(?:\d+\.?\d*(?:e[-+]?\d+)?|inf|nan)"
_MARK = pattern_of(rf"⟦({_NUMBER})(?:~({_NUMBER}))?\|([^|⟧]+)(?:\|(bare|unit))?⟧")
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
    "m3/h": ("yd3/h", 1),
    "pumped": ("gal/min", 0),
    "kNm": ("kip ft", 0),
    "kN/m": ("kip/ft", 1),
    "mm/s": ("in/s", 2),
    "Pa": ("lb/100 ft2", 0),
    "J": ("ft lb", 0),
    "h/m": ("h/ft", 2),
    "ppm": ("ppm", 0),
    "s": ("s", 0),
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
    "m3/h": ("m3/h", 1),
    "pumped": ("m3/h", 0),
    "kNm": ("kNm", 0),
    "kN/m": ("kN/m", 0),
    "mm/s": ("mm/s", 1),
    "Pa": ("Pa", 1),
    "J": ("J", 0),
    "h/m": ("h/m", 2),
    "ppm": ("ppm", 0),
    "s": ("s", 0),
}
_IN_CELLS = {"m": (2, 2), "size": (2, 0), "wall": (3, 1), "m3": (2, 2), "kg": (0, 0), "kg/m3": (2, 1), "kN": (1, 0), "kPa": (0, 1)}
"""Decimals of a number in a cell of a sheet, in US units and in SI; quantities that are not here keep the unit they have inside."""
_INSIDE = {"size": "m", "wall": "m", "dose": "kg/m3", "pumped": "m3/h"}
"""What a quantity is kept as, where its name is not the unit: a size is a length that is read in inches or millimetres, what is
pumped a volume an hour that is read in gallons a minute."""


SAME_LENGTH_M = 0.005
"""Lengths below this are not spoken of: half of the last figure that is shown."""
_FLOODS = {"m/h": 10.0, "pumped": 1000.0}
"""Above these a rise or an inflow, in the unit that it is kept in, floods any hole: how much more is not known and is not written."""
_COARSE_FROM = 1000.0
"""From here on a rise or an inflow, in the reader's unit, is written with two digits: permeability is not known better."""


def mark(value: float, unit: str) -> str:
    """Return a marked number for a sentence; ``size`` is a length in metres that is read in inches or millimetres.

    >>> mark(4.877, "m")
    '⟦4.877|m⟧'
    """
    return f"⟦{value:.6g}|{unit}⟧"


def mark_plainly(value: float, unit: str) -> str:
    """Return a marked number of a rule for a sentence; a short length is read in inches or millimetres.

    >>> mark_plainly(0.0762, "m"), mark_plainly(2.0, "m")
    ('⟦0.0762|size⟧', '⟦2|m⟧')
    """
    return mark(value, "size" if unit == "m" and 0 < abs(value) < 0.3 else unit)


def number(value: float | None, unit: str) -> str:
    """Return a marked number with all its digits, a dash where there is none.

    >>> number(1234567.25, "kg"), number(None, "m")
    ('⟦1234567.25|kg⟧', '-')
    """
    return "-" if value is None else f"⟦{float(value)!r}|{unit}⟧"


def marks_of(text: str) -> tuple[str, tuple[str, ...]]:
    """Return a text with an empty mark in place of each marked number, and the marks in their order.

    >>> marks_of("set casing to ⟦11.5|m⟧ in ⟦2|h⟧")
    ('set casing to ⟦⟧ in ⟦⟧', ('⟦11.5|m⟧', '⟦2|h⟧'))
    """
    return _MARK.sub("⟦⟧", text), tuple(found[0] for found in _MARK.finditer(text))


def in_column(marked: str) -> tuple[str, str]:
    """Return a marked number without its unit, and the unit, which then stands over its column.

    >>> in_column("⟦11.5|m⟧")
    ('⟦11.5|m|bare⟧', '⟦0|m|unit⟧')
    """
    value, _, unit = marked[1:-1].partition("|")
    unit = unit.partition("|")[0]
    return f"⟦{value}|{unit}|bare⟧", unit_name(unit)


def without_marks(text: str) -> str:
    """Return a text of a user in which no brackets stand that would be read as the mark of a number: square ones stand in their place.

    >>> without_marks("sand ⟦3|m⟧ thick")
    'sand [3|m] thick'
    """
    return text.replace("⟦", "[").replace("⟧", "]") if "⟦" in text or "⟧" in text else text


def height_words(depth_m: float, datum: str = "the ground") -> str:
    """Describe a level against the ground or another datum.

    >>> height_words(0.001), spell(height_words(-1.0, "the mudline"), "si")
    ('the ground', '1.00 m above the mudline')
    """
    if abs(depth_m) < SAME_LENGTH_M:
        return datum
    return f"{mark(abs(depth_m), 'm')} {'below' if depth_m > 0 else 'above'} {datum}"


def bare_number(value: float | None, unit: str) -> str:
    """Return a marked number that is written without its unit, a dash where there is none.

    >>> bare_number(2.0, "m")
    '⟦2.0|m|bare⟧'
    """
    return "-" if value is None else f"⟦{float(value)!r}|{unit}|bare⟧"


def number_span(low: float, high: float, unit: str) -> str:
    """Return a marked pair of numbers, written as one where both read the same.

    >>> spell(number_span(3.0, 6.0, "m"), "si"), spell(number_span(3.0, 3.001, "m"), "si")
    ('3.00 m to 6.00 m', '3.00 m')
    """
    return f"⟦{float(low)!r}~{float(high)!r}|{unit}⟧"


def unit_name(unit: str) -> str:
    """Return a mark that is written as the name of the reader's unit.

    >>> spell(unit_name("m3"), "us")
    'yd3'
    """
    return f"⟦0|{unit}|unit⟧"


def either_of(words: Iterable[str]) -> str:
    """Return words as a choice, nothing for none.

    >>> either_of(["caving"]), either_of(["caving", "inflow", "uplift"])
    ('caving', 'caving, inflow or uplift')
    """
    *first, last = [*words] or [""]
    return f"{', '.join(first)} or {last}" if first else last


def how_many(count: int, thing: str) -> str:
    """Write a number of things, one or many.

    >>> how_many(1, "shaft"), how_many(12, "shaft"), how_many(0, "boring")
    ('1 shaft', '12 shafts', '0 borings')
    """
    return f"{count} {thing}" + ("" if count == 1 else "s")


@record
class NumberWriter:
    """Writes numbers, and the sentences that hold them, in the units of a reader."""

    units: UnitSystem

    def number(self, value: float | None, unit: str) -> str:
        """Write a number with its unit, rounded as an engineer would; a dash where there is none."""
        return "-" if value is None else write_number(value, unit, self.units)

    def text(self, text: str) -> str:
        """Write the marked numbers of a text, and make foreign signs fit to print."""
        return printable(spell(text, self.units))

    def unit(self, unit: str) -> str:
        """Return the name of the unit that a number is read in.

        >>> NumberWriter("us").unit("m3"), NumberWriter("si").unit("size"), NumberWriter("us").unit("1")
        ('yd3', 'mm', '')
        """
        return _shown(unit, self.units)[0]

    def restored(self, value: float, unit: str) -> float:
        """Return a number kept inside as it is read.

        >>> NumberWriter("us").restored(3.048, "m"), NumberWriter("si").restored(0.9, "size")
        (10.0, 900.0)
        """
        return value / _factor(unit, self.unit(unit))

    def cell_unit(self, unit: str) -> str:
        """Return the unit of a number in a sheet; a price or a product of days keeps its form.

        >>> NumberWriter("us").cell_unit("size"), NumberWriter("us").cell_unit("1"), NumberWriter("us").cell_unit("m d")
        ('in', '', 'ft d')
        """
        if unit.endswith(" d"):
            return f"{self.cell_unit(unit.removesuffix(' d'))} d"
        return "" if unit == "1" else self.unit(unit) if unit in _IN_CELLS else unit

    def cell_factor(self, unit: str) -> float:
        """Return what one of the unit in a sheet is inside; 1 where both are the same.

        >>> NumberWriter("us").cell_factor("m"), NumberWriter("si").cell_factor("size"), NumberWriter("si").cell_factor("h")
        (0.3048, 0.001, 1.0)
        """
        plain = unit.removesuffix(" d")
        return _factor(plain, self.unit(plain)) if plain in _IN_CELLS else 1.0

    def cell_value(self, value: float, unit: str) -> float:
        """Return a number kept inside in the unit that it has in a sheet."""
        return value / self.cell_factor(unit)

    def cell_digits(self, unit: str) -> int:
        """Return the decimals of a number in a sheet."""
        return _IN_CELLS.get(unit, (2, 2))[0 if self.units == "us" else 1]


def _shown(unit: str, system: UnitSystem) -> tuple[str, int]:
    """Return the unit and the decimals that a quantity is read with."""
    return (_US if system == "us" else _SI).get(unit, (unit, 2))


def _factor(unit: str, name: str) -> float:
    return FACTORS.get(_INSIDE.get(unit, unit), {}).get(name, 1.0)


def write_number(value: float, unit: str, system: UnitSystem, form: Literal["", "bare"] = "") -> str:
    """Write a number kept inside in the reader's units, rounded as an engineer would; ``bare`` leaves the unit out.

    >>> write_number(4.877, "m", "us"), write_number(1.2192, "size", "us"), write_number(0.0127, "size", "us")
    ('16.0 ft', '48 in', '0.5 in')
    >>> write_number(19.5, "%", "us"), write_number(0.3048, "m/h", "si"), write_number(4.877, "m", "us", "bare")
    ('19.5 %', '305 mm/h', '16.0')
    >>> write_number(1.1, "m/s", "us"), write_number(1.1, "m/s", "si"), write_number(0.34, "m/s", "us")
    ('110 cm/s', '1.1 m/s', '34 cm/s')
    >>> write_number(5000, "ppm", "us"), write_number(1000, "kNm", "us"), write_number(50.8, "mm/s", "us"), write_number(20, "pumped", "us")
    ('5000 ppm', '738 kip ft', '2.00 in/s', '88 gal/min')
    >>> write_number(4e-6, "m/s", "us"), write_number(2e-9, "m/s", "si")
    ('0.0004 cm/s', '2e-09 m/s')
    >>> write_number(10875, "m/h", "us"), write_number(1.234, "m/h", "si"), write_number(501.7, "pumped", "us")
    ('more than 390 in/h', '1200 mm/h', '2200 gal/min')
    """
    if unit not in _SI:
        return f"{value:.3g}" if form == "bare" else f"{value:.3g} {unit}"
    name, digits = _shown(unit, system)
    text = _flow(value, unit, name) or _rounded(value / _factor(unit, name), unit, system, digits)
    return text if form == "bare" or not name else f"{text} {name}"


def _flow(value: float, unit: str, name: str) -> str:
    """Write a large rise or inflow with the digits that its knowledge deserves; an empty text for other numbers."""
    if unit not in _FLOODS:
        return ""
    most, factor = _FLOODS[unit], _factor(unit, name)
    if abs(value) > most:
        return f"{'more than ' if value > 0 else 'less than -'}{_two_digits(most / factor)}"
    return _two_digits(value / factor) if abs(value / factor) >= _COARSE_FROM else ""


def _two_digits(number: float) -> str:
    """Write a number with two digits and noughts.

    >>> _two_digits(2209.0), _two_digits(-393.7)
    ('2200', '-390')
    """
    coarse = float(f"{number:.2g}")
    return f"{coarse:,.0f}" if abs(coarse) >= 10000 else f"{coarse:.0f}"


def _rounded(number: float, unit: str, system: UnitSystem, digits: int) -> str:
    """Write a number with decimals, with two signs of meaning where ``digits`` is negative, without noughts that say nothing.

    A large stress in pounds per square foot goes by hundreds: nobody knows the strength of rock to a pound.

    >>> _rounded(62656.3, "kPa", "us", 0), _rounded(9950.4, "kPa", "us", 0), _rounded(62656.3, "kPa", "si", 0)
    ('62,700', '9950', '62,656')
    """
    if unit == "kPa" and system == "us" and abs(number) >= 10000:
        number = round(number, -2)
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
    return text


def spell(text: str, system: UnitSystem) -> str:
    """Write every marked number of a text in the reader's units.

    >>> spell("water at ⟦4.877|m⟧, ⟦3.0|m|bare⟧ in ⟦0|m|unit⟧", "us")
    'water at 16.0 ft, 9.8 in ft'
    """
    return _MARK.sub(lambda found: _written(found, system), text) if "⟦" in text else text


def may_be_spelled(marked: str, text: str, system: UnitSystem, share: float) -> bool:
    """Return whether a text may be a marked one with each number changed by no more than a share of it, as rounding changes it.

    >>> may_be_spelled("⟦4.07500001|m⟧ deep", "4.07 m deep", "si", 1e-5), may_be_spelled("⟦4.08|m⟧ deep", "4.07 m deep", "si", 1e-5)
    (True, False)
    """
    if spell(marked, system) == text:
        return True
    pattern, at = "", 0
    for found in _MARK.finditer(marked):
        nudged = (_nudged(found[0], factor) for factor in (1.0, 1.0 - share, 1.0 + share))
        pattern += re.escape(marked[at : found.start()]) + f"(?:{'|'.join(re.escape(spell(each, system)) for each in nudged)})"
        at = found.end()
    return re.fullmatch(pattern + re.escape(marked[at:]), text) is not None


def _nudged(mark_text: str, factor: float) -> str:
    """Return a mark with its first number times a factor."""
    return re.sub(_NUMBER, lambda found: repr(float(found[0]) * factor), mark_text, count=1)


def _written(found: re.Match[str], system: UnitSystem) -> str:
    value, high, unit, form = found.groups()
    if form == "unit":
        return _shown(unit, system)[0]
    text = write_number(float(value), unit, system, "bare" if form == "bare" else "")
    if high is None:
        return text
    other = write_number(float(high), unit, system)
    return text if other == text else f"{text} to {other}"
