"""Numbers inside sentences: kept in SI with a mark, written in the reader's units only on output.

A plan is the same plan whatever units its site file used; so its sentences hold marks such as ``⟦4.877|m⟧``, which a page
shows as ``16.0 ft`` or ``4.88 m``. The JSON format writes SI. How each quantity is read stands in ``units.py``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from methodpick.errors import printable
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.terms import UnitSystem
from methodpick.units import IN_CELLS, nearest_plate, shown, unit_factor, write_number

_IN_BRACKETS = pattern_of(r" \([^)]*\)")
_NUMBER = r"-?(?:\d+\.?\d*(?:e[-+]?\d+)?|inf|nan)"
_MARK = pattern_of(rf"⟦({_NUMBER})(?:~({_NUMBER}))?\|([^|⟧]+)(?:\|(bare|unit))?⟧")
SAME_LENGTH_M = 0.005
"""Lengths below this are not spoken of: half of the last figure that is shown."""


def mark(value: float, unit: str) -> str:
    """Return a marked number for a sentence; ``size`` is a length in metres that is read in inches or millimetres.

    >>> mark(4.877, "m")
    '⟦4.877|m⟧'
    """
    return f"⟦{value:.6g}|{unit}⟧"


def mark_plainly(value: float, unit: str) -> str:
    """Return a marked number of a rule for a sentence; a short length is read in inches or millimetres.

    >>> mark_plainly(0.0762, "m"), mark_plainly(2.0, "m"), mark_plainly(24.0, "h")
    ('⟦0.0762|size⟧', '⟦2|length⟧', '⟦24|h⟧')
    """
    return mark(value, unit if unit != "m" else "size" if 0 < abs(value) < 0.3 else "length")


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
    """Return a marked pair of numbers with their unit behind the second, written as one where both read the same.

    >>> spell(number_span(3.0, 6.0, "m"), "si"), spell(number_span(3.0, 3.001, "m"), "si")
    ('3.00 to 6.00 m', '3.00 m')
    """
    return f"⟦{float(low)!r}~{float(high)!r}|{unit}⟧"


def span_of(marks: Sequence[str]) -> str:
    """Return the least and the most of marked numbers of one unit as one marked pair; a lone number stays as it is.

    >>> spell(span_of(["⟦3.0|m⟧", "⟦1.0~2.0|m⟧"]), "si"), span_of(["⟦3.0|m|bare⟧", "⟦3.0|m|bare⟧"])
    ('1.00 to 3.00 m', '⟦3.0|m|bare⟧')
    """
    if len(set(marks)) == 1:
        return marks[0]
    found = [each for mark in marks for each in _MARK.finditer(mark)]
    ends = [float(end) for each in found for end in each.group(1, 2) if end is not None]
    form = f"|{found[0][4]}" if found[0][4] else ""
    return f"⟦{min(ends)!r}~{max(ends)!r}|{found[0][3]}{form}⟧"


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
    return _listed(words, "or")


def all_of(words: Iterable[str]) -> str:
    """Return words as a list, nothing for none.

    >>> all_of(["caving", "inflow", "uplift"])
    'caving, inflow and uplift'
    """
    return _listed(words, "and")


def _listed(words: Iterable[str], joint: str) -> str:
    *first, last = [*words] or [""]
    return f"{', '.join(first)} {joint} {last}" if first else last


def how_many(count: int, thing: str) -> str:
    """Write a number of things, one or many.

    >>> how_many(1, "shaft"), how_many(12, "shaft"), how_many(0, "boring")
    ('1 shaft', '12 shafts', '0 borings')
    """
    return f"{count} {thing}" + ("" if count == 1 else "s")


def lowered(words: str) -> str:
    """Return words as they go on within a sentence.

    >>> lowered("Drill dry to the tip.")
    'drill dry to the tip.'
    """
    return words[:1].lower() + words[1:]


def without_brackets(words: str) -> str:
    """Return words without what stands in round brackets.

    >>> without_brackets("It rises slower than 12 in/h (likely 0.3, 0 to 13 in/h).")
    'It rises slower than 12 in/h.'
    """
    return _IN_BRACKETS.sub("", words)


def first_sentence(text: str) -> str:
    """Return the first sentence of a text.

    >>> first_sentence("Keep it full. Watch it at night.")
    'Keep it full.'
    """
    head, stop, _ = text.partition(". ")
    return head + ("." if stop else "")


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
        return shown(unit, self.units)[0]

    def restored(self, value: float, unit: str) -> float:
        """Return a number kept inside as it is read.

        >>> NumberWriter("us").restored(3.048, "m"), NumberWriter("si").restored(0.9, "size")
        (10.0, 900.0)
        """
        return value / unit_factor(unit, self.unit(unit))

    def cell_unit(self, unit: str) -> str:
        """Return the unit of a number in a sheet; a price or a product of days keeps its form.

        >>> NumberWriter("us").cell_unit("size"), NumberWriter("us").cell_unit("1"), NumberWriter("us").cell_unit("m d")
        ('in', '', 'ft d')
        """
        if unit.endswith(" d"):
            return f"{self.cell_unit(unit.removesuffix(' d'))} d"
        return "" if unit == "1" else self.unit(unit) if unit in IN_CELLS else unit

    def cell_factor(self, unit: str) -> float:
        """Return what one of the unit in a sheet is inside; 1 where both are the same.

        >>> NumberWriter("us").cell_factor("m"), NumberWriter("si").cell_factor("size"), NumberWriter("si").cell_factor("h")
        (0.3048, 0.001, 1.0)
        """
        plain = unit.removesuffix(" d")
        return unit_factor(plain, self.unit(plain)) if plain in IN_CELLS else 1.0

    def cell_value(self, value: float, unit: str) -> float:
        """Return a number kept inside in the unit that it has in a sheet, a wall in inches as the plate that it is."""
        number = value / self.cell_factor(unit)
        return nearest_plate(number) if unit == "wall" and self.units == "us" else number

    def cell_digits(self, unit: str) -> int:
        """Return the decimals of a number in a sheet."""
        return IN_CELLS.get(unit, (2, 2))[0 if self.units == "us" else 1]


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
        return shown(unit, system)[0]
    if high is None:
        return write_number(float(value), unit, system, "bare" if form == "bare" else "")
    low, most = (write_number(float(end), unit, system, "bare") for end in (value, high))
    last = most if form == "bare" else write_number(float(high), unit, system)
    return last if low == most else f"{low} to {last}"
