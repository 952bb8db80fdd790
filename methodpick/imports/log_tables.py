"""The tables of a log: rows with headings and units, whatever the format they were written in; nothing is interpreted.

Groups and headings carry the names of AGS4 (LOCA_ID, GEOL_TOP ...), for every reader of a log fills these tables and one builder makes
the borings of them. A row still knows its group, its line and its headings as the file has them.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import field
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

from methodpick import units
from methodpick.errors import Place
from methodpick.ground.doubt import DoubtSeverity
from methodpick.ground.quantity import LENGTH
from methodpick.imports.input_formats import MOST_QUOTED, DoubtBook, GroupCount, ImportDoubt
from methodpick.input_files import decoded, read_bytes, refuse_empty
from methodpick.records import record

# ---- groups that are left alone


NOT_READ = "the group is not read"
_OF_THE_FILE = "it describes the file"
_CHEMISTRY = "chemistry and gas"
_CLOSED = "how the hole was closed or fitted"
_REMOULDED = "tests on soil that is remoulded, compacted or consolidated, not of a hole just drilled"
_CONES = "what somebody made of a cone test, or how pore pressure fell after it: the readings are read"
_PROBES = "blows of a probe are no standard penetration test"
_JOINTS = "the RQD of the core runs says how the rock is jointed"
_SAMPLES = "it lists samples; their tests are read where they stand"
_WATER_CONTENT = "a water content or a density alone grades no ground"
_SOAKING = "a soakaway or a pumping test: no permeability is stated of a depth"

WHY_LEFT_ALONE: dict[str, str] = {
    group: reason
    for reason, groups in {
        _OF_THE_FILE: "PROJ TRAN TYPE UNIT DICT FILE FSET",
        _SAMPLES: "SAMP LBSG LBST TREM",
        _CLOSED: "BKFL PIPE INST MONS",
        _CHEMISTRY: "CNMT ERES GCHM IPID IFID ELRG TNPC LPDN GCHR GAST IRDX EIND",
        _REMOULDED: "SHBG SHBT CONG CONS CMPG CMPT CBRG CBRT ICBR MCVG MCVT TREG TRET ESCG ESCT RCCV SUCT RELD LRES LDYN PTST",
        _WATER_CONTENT: "LNMC LDEN IDEN IDIS LPEN LVAN IPEN RDEN RWCO LSLT LSTG LSTT",
        _CONES: "SCPP SCDG SCDT CONE CPDG CPDT",
        _PROBES: "DPRB DPRG DPRO",
        _JOINTS: "FRAC DISC FGHG FGHI",
        _SOAKING: "ISAG ISAT PUMG PUMT IPRT",
    }.items()
    for group in groups.split()
}
"""What is said of a group that is not read, by its name in AGS3 or AGS4; of any other that it is not read."""


def why_left_alone(group: str) -> str:
    """Return why a group is left alone.

    >>> why_left_alone("BKFL"), why_left_alone("XYZW")
    ('how the hole was closed or fitted', 'the group is not read')
    """
    return WHY_LEFT_ALONE.get(group, NOT_READ)


# ---- the tables


MOST_BYTES = 20_000_000
"""The largest file that is read: some thousand borings with their laboratory tests (own value)."""
LEFT_OUT = "it is left out"
VALUE_LEFT_OUT = "the value is left out"
KEPT_AS_IT_STANDS = "kept as it stands"
"""What is done about a doubt, where nothing better can be."""
LARGEST = 1e6
"""A number beyond this is a slip, whatever its unit, and so is a length that no site file takes; co-ordinates of grids may be larger."""
_Sorted = TypeVar("_Sorted")
_KNOWN_UNITS = frozenset(unit for factors in units.FACTORS.values() for unit in factors)
_WITH_COMMA = re.compile(r"[-+]?(?:\d+,\d{1,2}|\d{1,3}(?:,\d{3})+\.\d*)")
"""A comma that parts decimals, or thousands before a point; 1,234 alone may be either and is no number."""
_WITH_UNIT = re.compile(r"([-+]?\d+(?:\.\d*)?)\s*([a-zA-Z%'\"]+[a-zA-Z0-9/]*)")
"""A number that has its unit with it."""
_PLAIN_NUMBER = re.compile(r"[-+]?\d+(?:\.\d*)?")
_BLANK_STARTS = frozenset("nN-")
_BLANK = frozenset({"null", "-", "n/a", "none"})
"""What stands in a column of numbers where there is none."""
_NOTHING = re.compile(r"-?9{4,}(?:\.[09]*)?")
"""What some programs write where there is no number."""
_BELOW = re.compile(r"\s*\(?(?:below (?:ground|datum).*|b\.?g\.?l\.?|a?\.?o\.?d\.?|msl|depth)\)?$", re.IGNORECASE)
"""What tells from where a length is counted, which its heading says already."""
_UNIT_NAMES = {
    "foot": "ft",
    "kN/m2": "kPa",
    "kN/m\N{SUPERSCRIPT TWO}": "kPa",
    "kpa": "kPa",
    "MN/m2": "MPa",
    "feet": "ft",
    "metres": "m",
    "metre": "m",
    "M": "m",
    "mins": "min",
    "l": "L",
    "min.": "min",
}


class Measure(NamedTuple):
    """A unit of a column: its name, the factor to the unit kept inside, and the decimals that are kept."""

    unit: str
    factor: float
    decimals: int


@lru_cache(maxsize=1024)
def _measure(written: str, inside: str, bare: str) -> Measure | None:
    """Return the measure of a column by its unit as written; None where that is one of another kind of quantity.

    A unit that nobody knows has no factor, so that its numbers are no numbers.
    """
    unit = _BELOW.sub("", written.strip())
    unit = _UNIT_NAMES.get(unit, unit)
    if unit and unit not in _KNOWN_UNITS and inside in units.FACTORS:
        unit = _UNIT_NAMES.get(unit.lower().rstrip("."), unit.lower() if unit.lower() in units.FACTORS[inside] else unit)
    if not unit or inside == "1":
        unit = bare or inside
    elif unit not in units.FACTORS[inside] and unit in _KNOWN_UNITS:
        return None
    decimals = 9 if inside != "m" else 4 if unit in {"mm", "in"} or bare == "mm" else 3
    try:
        return Measure(unit, units.convert(1.0, unit, inside), decimals)
    except ValueError:
        return Measure(unit, math.nan, decimals)


@record(guarded=False)
class DataRow:
    """One row: its group and line in the file, values and units by heading, the file's own headings, where its doubts go.

    ``values`` are without outer spaces, as :func:`filled` makes them; a heading without a value may be left out.
    """

    group: str
    line: int
    values: dict[str, str]
    units: Mapping[str, str]
    book: DoubtBook = field(compare=False, repr=False)
    written: Mapping[str, str] = field(default_factory=dict, compare=False, repr=False)
    ordinal: int = 0
    """Tells rows on one line apart, in formats where lines mean nothing."""

    def text(self, heading: str) -> str:
        """Return the value of a heading without outer spaces, empty where there is none."""
        return self.values.get(heading, "")

    @property
    def boring(self) -> str:
        """Return the id of the boring that the row belongs to."""
        return self.text("LOCA_ID")

    @property
    def order(self) -> list[tuple[str, str]]:
        """Return what sorts rows of like depth, whatever their order in the file."""
        return sorted(self.values.items())

    def order_beside(self, *numbers: str) -> list[tuple[str, str]]:
        """Return the same without some headings, whose numbers sort by their size: as text their order would hang on the unit."""
        return [pair for pair in self.order if pair[0] not in numbers]

    def heading(self, heading: str) -> str:
        """Return a heading as the file writes it."""
        return self.written.get(heading, heading)

    def number(self, heading: str, inside: str = "m", bare: str = "", largest: float | None = None) -> float | None:
        """Read a number in the column's own unit into the unit kept inside; blank and unreadable give None.

        ``bare`` is the unit of a column that names none; without it that is the unit kept inside. Metres are
        rounded to 1 mm, or 0.1 mm where sizes are usual or written in mm or in, as those of a site file. A value that is no number,
        or has a unit of another kind, is a doubt.
        """
        text = self.values.get(heading)
        if not text or (text[0] in _BLANK_STARTS and text.lower() in _BLANK):
            return None
        if text[-1] in "90" and _NOTHING.fullmatch(text):
            self._tell_once(heading, "9", f"{self.heading(heading)} is a row of nines", "it is taken for no value", text)
            return None
        measure = _measure(self.units.get(heading, ""), inside, bare)
        if measure is None:
            measure = self._usual(heading, inside, bare)
        if text.replace(".", "", 1).isdecimal():
            pass
        elif "," in text and _WITH_COMMA.fullmatch(text):
            text = self._plain_number(heading, text)
        elif inside != "1" and (stated := _WITH_UNIT.fullmatch(text)) is not None and (own := _measure(stated[2], inside, "")) is not None:
            text, measure = (stated[1], Measure(own.unit, own.factor, measure.decimals)) if math.isfinite(own.factor) else (text, measure)
        try:
            value = round(float(text) * measure.factor, measure.decimals) + 0.0
        except ValueError:
            value = math.nan
        if largest is None:
            largest = LENGTH.most if inside == "m" else LARGEST
        if -largest <= value <= largest:
            return value
        kind = "a number" if measure.unit == "1" else f"a number in {measure.unit}"
        self.doubt(f"{self.heading(heading)} is not {kind}", VALUE_LEFT_OUT, quoted=text)
        return None

    def _plain_number(self, heading: str, text: str) -> str:
        """Return a number with a point for its comma, or without the commas that part thousands; told once a heading."""
        thousands = "." in text
        action = "the commas are taken to part thousands" if thousands else "it is taken for the decimal point"
        self._tell_once(heading, ",", f"{self.heading(heading)} has a comma in its numbers", action, text)
        return text.replace(",", "") if thousands else text.replace(",", ".")

    def _tell_once(self, heading: str, sign: str, message: str, action: str, quoted: str) -> None:
        """Add a note about the numbers of a heading, known by a sign, the first time only."""
        if (self.group, f"{heading}{sign}") not in self.book.odd_units:
            self.book.odd_units.add((self.group, f"{heading}{sign}"))
            self.doubt(message, action, quoted=quoted, severity="note")

    def _usual(self, heading: str, inside: str, bare: str) -> Measure:
        """Return the usual unit of a heading, with a doubt the first time: the format fixes what it measures, so its unit is a slip."""
        usual = _measure("", inside, bare) or Measure(bare or inside, 1.0, 9)
        if (self.group, heading) not in self.book.odd_units:
            self.book.odd_units.add((self.group, heading))
            message = f"the unit of {self.heading(heading)} cannot be {self.units.get(heading, '').strip()}"
            self.doubt(message, f"the numbers are read in {usual.unit}", severity="serious")
        return usual

    def is_number(self, heading: str) -> bool:
        """Return whether a plain number stands at a heading."""
        text = self.values.get(heading, "")
        return text.isdecimal() or (text != "" and _PLAIN_NUMBER.fullmatch(text) is not None)

    def doubt(
        self, message: str, action: str, *, depth_m: float | None = None, quoted: str = "", severity: DoubtSeverity = "doubt"
    ) -> None:
        """Add a doubt about this row, whose values are used all the same."""
        place = Place(self.book.file, self.line, 1)
        self.book.found.append(ImportDoubt(severity, place, self.boring, depth_m, message, action, quoted[:MOST_QUOTED]))

    def set_aside(
        self, message: str, action: str = LEFT_OUT, *, depth_m: float | None = None, quoted: str = "", severity: DoubtSeverity = "doubt"
    ) -> None:
        """Add a doubt about this row, of which nothing is used."""
        self.doubt(message, action, depth_m=depth_m, quoted=quoted, severity=severity)
        self.pass_over(message)

    def pass_over(self, reason: str) -> None:
        """Count this row as not used, for a reason that leaves nothing in doubt."""
        self.book.set_aside[self.group, self.line, self.ordinal] = reason


@record
class Tables:
    """All rows of a file by group, how many rows each group of the file has, what was doubtful, and its SHA-256 digest."""

    rows: dict[str, tuple[DataRow, ...]]
    book: DoubtBook
    digest: str
    in_file: Mapping[str, int] = field(default_factory=dict)
    _sorted: dict[str, Mapping[str, tuple[DataRow, ...]]] = field(default_factory=dict, compare=False, repr=False)
    _headings: dict[str, frozenset[str]] = field(default_factory=dict, compare=False, repr=False)
    _codes: dict[str, dict[str, str]] = field(default_factory=dict, compare=False, repr=False)
    _noughts: dict[str, bool] = field(default_factory=dict, compare=False, repr=False)

    def of(self, group: str, boring: str | None = None) -> tuple[DataRow, ...]:
        """Return the rows of a group, of one boring where it is named."""
        return self.rows.get(group, ()) if boring is None else self.by_boring(group).get(boring, ())

    def by_boring(self, group: str) -> Mapping[str, tuple[DataRow, ...]]:
        """Return the rows of a group by the id of their boring, under "" those that name none; sorted once, since borings are many."""
        if group not in self._sorted:
            found: dict[str, list[DataRow]] = {}
            for row in self.rows.get(group, ()):
                found.setdefault(row.boring, []).append(row)
            self._sorted[group] = {name: tuple(rows) for name, rows in found.items()}
        return self._sorted[group]

    def give(self, group: str, boring: str, other: str | None) -> None:
        """Set the rows of a group and a boring over to another one, or take them out where that is None."""
        given = self.of(group, boring)
        for row in given:
            row.values["LOCA_ID"] = other or boring
        if other is None:
            self.rows[group] = tuple(row for row in self.rows.get(group, ()) if row.boring != boring)
        self._sorted.pop(group, None)

    def holding(self, group: str, boring: str, headings: Sequence[str]) -> list[DataRow]:
        """Return the rows of a group and a boring that have a value under one of the headings."""
        if group not in self._headings:
            self._headings[group] = frozenset().union(*(row.values for row in self.rows.get(group, ())))
        if self._headings[group].isdisjoint(headings):
            return []
        return [row for row in self.of(group, boring) if any(map(row.values.get, headings))]

    def codes(self, heading: str) -> Mapping[str, str]:
        """Return the texts that the file's own table gives to the codes of a heading."""
        if heading not in self._codes:
            rows = [row for row in self.of("ABBR") if row.text("ABBR_HDNG") == heading]
            self._codes[heading] = {row.text("ABBR_CODE"): row.text("ABBR_DESC") for row in rows}
        return self._codes[heading]

    def all_nought(self, heading: str) -> bool:
        """Return whether a heading of the borings, of two at least, holds nothing but noughts: then it was not measured."""
        if heading not in self._noughts:
            values = [text for row in self.of("LOCA") if (text := row.text(heading))]
            self._noughts[heading] = len(values) > 1 and all(not value.strip("0.") for value in values)
        return self._noughts[heading]

    def counts(self, read: frozenset[str]) -> tuple[GroupCount, ...]:
        """Return for each group of the file the rows read, used and set aside with their reasons; ``read`` names the groups used."""
        reasons: dict[str, Counter[str]] = {}
        for (group, *_), reason in self.book.set_aside.items():
            reasons.setdefault(group, Counter())[reason] += 1
        found = []
        for group, rows in self.in_file.items():
            aside = reasons.get(group, Counter()) if group in read else Counter({why_left_alone(group): rows} if rows else {})
            found.append(GroupCount(group, rows, rows - aside.total(), tuple(sorted(aside.items())), group not in read))
        return tuple(found)


def read_text(source: Path | str, name: str, expected: str) -> tuple[str, bytes]:
    """Return the text of a log file (Path) or of a text (str), and its bytes.

    Raises InputError where it is no regular file, cannot be read, is too large, empty or no text.
    """
    content = read_bytes(source, name, MOST_BYTES) if isinstance(source, Path) else source.encode("utf-8", "surrogatepass")
    text = decoded(content, name, expected) if isinstance(source, Path) else _whole(source)
    refuse_empty(name, text, expected)
    return text, content


def _whole(text: str) -> str:
    r"""Return a text without the sign that some files begin with, and with a sign for each half of a sign that stands alone.

    >>> _whole("\ufeffclay \ud800")
    'clay \ufffd'
    """
    return text.removeprefix("\ufeff").encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")


def filled(headings: Iterable[str], cells: Iterable[str]) -> dict[str, str]:
    """Return the cells of a row that hold something, by heading, without outer spaces.

    >>> filled(("LOCA_ID", "LOCA_GL", "LOCA_REM"), ("BH1", " ", "dry "))
    {'LOCA_ID': 'BH1', 'LOCA_REM': 'dry'}
    """
    return {heading: value for heading, value in zip(headings, map(str.strip, cells), strict=False) if value}


def in_order(rows: Iterable[_Sorted], place: Callable[[_Sorted], Any], beside: Callable[[_Sorted], Any]) -> list[_Sorted]:
    """Return rows sorted by their place, those of one place by what else they hold, which is looked at only where it decides.

    >>> in_order(["b2", "a1", "a2"], lambda text: text[1], lambda text: text[0])
    ['a1', 'a2', 'b2']
    """
    found = sorted(rows, key=place)
    places = [place(row) for row in found]
    if all(before != after for before, after in pairwise(places)):
        return found
    return sorted(found, key=lambda row: (place(row), beside(row)))


def doubt_length(row: DataRow, values: int, headings: int, quoted: str) -> None:
    """Add the doubt about a row whose values are more or fewer than the headings of its group."""
    row.doubt(f"the row has {values} values for {headings} headings of {row.group}", AS_FAR_AS_IT_GOES, quoted=quoted.strip())


AS_FAR_AS_IT_GOES = "it is read as far as it goes"


def natural_order(text: str) -> list[tuple[int, int, str]]:
    """Return what sorts BH2 before BH10.

    >>> sorted(["BH10", "BH2"], key=natural_order)
    ['BH2', 'BH10']
    """
    return [(0, int(part), "") if part.isdecimal() else (1, 0, part) for part in re.split(r"(\d{1,9})", text) if part]
