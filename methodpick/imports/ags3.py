"""AGS3 (edition 3, and the like-minded one of 07/94) to the tables of a log, under the names of AGS4.

Grammar, seen in public files: ``"**GEOL"`` opens a group, ``"*HOLE_ID"`` names its columns over one or more lines,
``"<UNITS>"`` gives their units, ``"<CONT>"`` goes on with the cells of the row above, letter by letter; everything else is a row.
A group may stand twice, with columns of the user's own (marked ?) the second time: such rows complete the first ones.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field
from pathlib import Path

from methodpick.errors import InputError, Problem
from methodpick.imports.ags4 import QuotedRecord, headings_of, plain_quotes, records
from methodpick.imports.input_formats import DoubtBook, Imported
from methodpick.imports.log_borings import borings_of
from methodpick.imports.log_tables import LEFT_OUT, DataRow, Tables, doubt_length, filled, read_text
from methodpick.imports.log_tests import fines_of
from methodpick.patterns import pattern_of
from methodpick.records import record

# ---- names and notations that AGS4 writes otherwise


_DEPTHS = {"SAMP_TOP": "SAMP_TOP", "SPEC_DPTH": "SPEC_DPTH"}
_NAMES: dict[str, tuple[str, dict[str, str]]] = {
    "HOLE": (
        "LOCA",
        {
            "HOLE_TYPE": "LOCA_TYPE",
            "HOLE_NATE": "LOCA_NATE",
            "HOLE_NATN": "LOCA_NATN",
            "HOLE_LAT": "LOCA_LAT",
            "HOLE_LON": "LOCA_LON",
            "HOLE_LONG": "LOCA_LON",
            "HOLE_LLZ": "LOCA_LLZ",
            "HOLE_LOCX": "LOCA_LOCX",
            "HOLE_LOCY": "LOCA_LOCY",
            "HOLE_GL": "LOCA_GL",
            "HOLE_LOCZ": "LOCA_LOCZ",
            "HOLE_FDEP": "LOCA_FDEP",
            "HOLE_REM": "LOCA_REM",
            "HOLE_STAB": "LOCA_STAB",
            "HOLE_STAT": "LOCA_STAT",
            "HOLE_STAR": "LOCA_STAR",
            "HOLE_ENDD": "LOCA_ENDD",
        },
    ),
    "GEOL": ("GEOL", {}),
    "DETL": ("DETL", {}),
    "DREM": ("DREM", {"DREM_DPTH": "DREM_TOP", "DREM_BDEP": "DREM_BASE"}),
    "ISPT": ("ISPT", {}),
    "IVAN": ("IVAN", {}),
    "CORE": ("CORE", {"CORE_BOT": "CORE_BASE"}),
    "CHIS": ("CHIS", {}),
    "WETH": ("WETH", {}),
    "STCN": (
        "SCPT",
        {"STCN_DPTH": "SCPT_DPTH", "STCN_RES": "SCPT_RES", "STCN_FRES": "SCPT_FRES", "STCN_PWP2": "SCPT_PWP2", "STCN_QT": "SCPT_QT"},
    ),
    "FLSH": ("FLSH", {"FLSH_FROM": "FLSH_TOP", "FLSH_TO": "FLSH_BASE"}),
    "HDPH": ("HDPH", {"HOLE_TYPE": "HDPH_TYPE"}),
    "WADD": ("WADD", {"WADD_FROM": "WADD_TOP", "WADD_TO": "WADD_BASE"}),
    "CDIA": ("CDIA", {"CDIA_CDEP": "CDIA_DPTH", "CDIA_HOLE": "CDIA_DIAM"}),
    "HDIA": ("HDIA", {"HDIA_HDEP": "HDIA_DPTH", "HDIA_HOLE": "HDIA_DIAM"}),
    "PTIM": ("PTIM", {"PTIM_DEP": "PTIM_DPTH"}),
    "WSTK": ("WSTG", {"WSTK_DEP": "WSTG_DPTH", "WSTK_CAS": "WSTG_CAS", "WSTK_SEAL": "WSTG_SEAL", "WSTK_FLOW": "WSTG_REM"}),
    "CLSS": ("LLPL", {"CLSS_LL": "LLPL_LL", "CLSS_PL": "LLPL_PL", **_DEPTHS}),
    "GRAD": ("GRAG", _DEPTHS),
    "ROCK": ("RUCS", {"ROCK_UCS": "RUCS_UCS", "ROCK_PLSI": "RPLT_PLSI", **_DEPTHS}),
    "TRIX": ("TRIT", {"TRIX_CU": "TRIT_CU", "TRIX_DEVF": "TRIT_DEVF", **_DEPTHS}),
    "TRIG": ("TRIG", _DEPTHS),
    "IPRM": ("IPRG", {"IPRM_TOP": "IPRG_TOP", "IPRM_BASE": "IPRG_BASE", "IPRM_IPRM": "IPRG_IPRM"}),
    "MONP": ("MONG", {"MONP_DIS": "MONG_DIS", "MONP_TRZ": "MONG_TRZ", "MONP_BRZ": "MONG_BRZ"}),
    "MONR": ("MOND", {"MONP_DIS": "MONG_DIS", "MONR_WDEP": "MOND_RDNG", "MONR_LEV": "MOND_LEV", "MONR_REM": "MOND_REM"}),
    "PREF": ("MONG", {"PREF_TDEP": "MONG_DIS", "PREF_TRPS": "MONG_TRZ", "PREF_BRPS": "MONG_BRZ"}),
    "POBS": ("MOND", {"PREF_TDEP": "MONG_DIS", "POBS_DEP": "MOND_RDNG", "POBS_REM": "MOND_REM"}),
    "ABBR": ("ABBR", {}),
    "CODE": ("ABBR", {"CODE_CODE": "ABBR_CODE", "CODE_DESC": "ABBR_DESC"}),
}
"""By group of AGS3: the group of AGS4 and the headings that are called otherwise there; the rest keep their names."""

GROUPS_READ = frozenset(_NAMES)
_WITHOUT_UNITS = frozenset({"ABBR", "CODE"})
_TIMED = {
    "WSTK": ("WSTK_DATE", "WSTK_TIME", "WSTG_DTIM"),
    "PTIM": ("PTIM_DATE", "PTIM_TIME", "PTIM_DTIM"),
    "MONR": ("MONR_DATE", "MONR_TIME", "MOND_DTIM"),
    "POBS": ("POBS_DATE", "POBS_TIME", "MOND_DTIM"),
}
"""Groups whose date and time are one heading in AGS4."""
_DATE = pattern_of(r"(\d{1,2})/(\d{1,2})/(\d{4})")


def renamed(group: str, rows: Iterable[DataRow], book: DoubtBook) -> Iterator[tuple[str, DataRow]]:
    """Return the rows of a group under the names of AGS4, each with its group there; a strike with a rise gives two."""
    if group not in _NAMES:
        return
    canonical, names = _NAMES[group]
    if group == "GRAD":
        rows = fines_of(list(rows), "GRAD_SIZE", "GRAD_PERP")
        names = {**names, "GRAD_PERP": "GRAG_FINE"}
    under = _Renamed(names, book)
    for row in rows:
        made = under.row(row)
        _complete(group, made)
        by_point = group == "ROCK" and not row.text("ROCK_UCS") and bool(row.text("ROCK_PLSI"))
        yield "RPLT" if by_point else canonical, made
        if group == "WSTK" and row.text("WSTK_POST"):
            yield "WSTD", _rise(row, book)
        if group == "HOLE" and row.text("HOLE_INCL"):
            yield "HORN", _Renamed({"HOLE_INCL": "HORN_INCL"}, book).row(row)
        if group == "HDIA" and row.text("HDIA_CDEP"):
            yield "CDIA", _Renamed({"HDIA_CDEP": "CDIA_DPTH", "HDIA_CASG": "CDIA_DIAM"}, book).row(row)


class _Renamed:
    """Makes the rows of a group under other names; the units, which the rows of a group share, are renamed once."""

    def __init__(self, names: Mapping[str, str], book: DoubtBook) -> None:
        self.names = {"HOLE_ID": "LOCA_ID", **names}
        self.written = {new: old for old, new in self.names.items()}
        self.book = book
        self._given: Mapping[str, str] | None = None
        self._units: Mapping[str, str] = {}

    def row(self, row: DataRow) -> DataRow:
        """Return a row under the other names."""
        if row.units is not self._given:
            self._given, self._units = row.units, _under(row.units, self.names)
        return DataRow(row.group, row.line, _under(row.values, self.names), self._units, self.book, self.written)


def _under(cells: Mapping[str, str], names: Mapping[str, str]) -> dict[str, str]:
    """Return cells by heading under other names; most headings keep theirs."""
    found = dict(cells)
    found |= {new: found.pop(old) for old, new in names.items() if old in found}
    return found


def _complete(group: str, row: DataRow) -> None:
    """Fill what AGS4 writes otherwise: a date with its time, the type and the unit of a reading, the plasticity index."""
    values = row.values
    if group in _TIMED:
        date, time, heading = _TIMED[group]
        values[heading] = when(row.text(date), row.text(time))
    if group == "HOLE":
        values |= {heading: when(row.text(heading), "") for heading in ("LOCA_STAR", "LOCA_ENDD") if row.text(heading)}
    if group in ("MONR", "POBS"):
        by_level = not row.text("MOND_RDNG") and bool(row.text("MOND_LEV"))
        values["MOND_TYPE"] = "WLEV" if by_level else "WDEP"
        values["MOND_UNIT"] = row.units.get("MOND_LEV" if by_level else "MOND_RDNG", "")
        if by_level:
            values["MOND_RDNG"] = row.text("MOND_LEV")
    if group == "PTIM" and not row.text("PTIM_WAT"):
        values["PTIM_WAT"] = row.text("PTIM_WTXT")
    if group == "CHIS":
        values["CHIS_TIME"] = _hours(row.text("CHIS_TIME"), row.units.get("CHIS_TIME", ""))
    if group == "ISPT" and not row.text("ISPT_WAT"):
        values["ISPT_WAT"] = row.text("ISPT_WTXT")
    if group == "CODE":
        values["ABBR_HDNG"] = "GEOL_GEOL"


def _rise(row: DataRow, book: DoubtBook) -> DataRow:
    names = {"WSTK_DEP": "WSTG_DPTH", "WSTK_NMIN": "WSTD_NMIN", "WSTK_POST": "WSTD_POST", "WSTK_FLOW": "WSTD_REM"}
    return _Renamed(names, book).row(row)


def when(date: str, time: str) -> str:
    """Return a date (day first) and a time of AGS3 as AGS4 writes them; an unusual one as it stands.

    >>> when("26/07/2004", "1700"), when("26/07/2004", ""), when("3 May", "08:15:00")
    ('2004-07-26T17:00:00', '2004-07-26', '3 May 08:15:00')
    """
    found = _DATE.fullmatch(date.strip())
    digits = re.sub(r"\D", "", time)
    if found is None:
        return " ".join(part for part in (date.strip(), time.strip()) if part)
    day = f"{found[3]}-{int(found[2]):02d}-{int(found[1]):02d}"
    if len(digits) not in (4, 6):
        return day
    digits = digits.ljust(6, "0")
    return f"{day}T{digits[:2]}:{digits[2:4]}:{digits[4:]}"


def _hours(text: str, unit: str) -> str:
    """Return a time of chiselling as hh:mm: written hhmm, or as hours with a fraction where the unit says so."""
    plain = text.strip()
    if unit.lower().startswith("hhmm") and re.fullmatch(r"\d{4,6}", plain):
        return f"{plain[:2]}:{plain[2:4]}"
    if re.fullmatch(r"\d{1,3}(?:\.\d+)?", plain) and unit.lower() in ("hr", "hrs", "h", "hours"):
        minutes = round(float(plain) * 60)
        return f"{minutes // 60:02d}:{minutes % 60:02d}"
    return plain


# ---- the file


_BEGINS = pattern_of(r'"(?!\s*,|\s*$)')
_IS_AGS3 = pattern_of(r'^\s*"?\*\*\??[A-Z]', re.MULTILINE | re.IGNORECASE)


def read_ags3(source: Path | str, name: str | None = None) -> Imported:
    r"""Read the borings of an AGS3 file (Path) or text (str), with a doubt for everything that is not clear.

    Raises InputError where it is no AGS3 file or names no boring.

    >>> text = '"**HOLE"\n"*HOLE_ID","*HOLE_FDEP"\n"<UNITS>","m"\n"BH1","9.5"\n'
    >>> read_ags3(text).profiles[0].depth_m
    9.5
    """
    name = name or (source.name if isinstance(source, Path) else "")
    return borings_of(read_ags3_tables(source, name), "AGS3 file", "groups HOLE and GEOL with rows", read=GROUPS_READ)


def read_ags3_tables(source: Path | str, name: str | None = None) -> Tables:
    """Read an AGS3 file (Path) or text (str) into the tables of a log, under the names of AGS4.

    Raises InputError where it is no regular file, cannot be read, is too large, empty or no AGS3.
    """
    file = name or (str(source) if isinstance(source, Path) else "the text")
    text, content = read_text(source, file, "an AGS3 file")
    text = plain_quotes(text)
    if not _IS_AGS3.search(text):
        raise InputError(Problem(f"{file}: no group line is in it, so it is not AGS3", expected='lines such as "**HOLE"'))
    book = DoubtBook(file)
    groups = _Ags3Reader(book).read(records(text, _BEGINS))
    in_file = {name: len(group.rows) + group.merged + group.left_alone for name, group in groups.items()}
    tables: dict[str, list[DataRow]] = {}
    for group in groups.values():
        for canonical, row in renamed(group.name, group.rows, book):
            tables.setdefault(canonical, []).append(row)
    return Tables({group: tuple(rows) for group, rows in tables.items()}, book, hashlib.sha256(content).hexdigest(), in_file)


@record(frozen=False)
class _OpenRow:
    """A row while it is put together: its line, its cells, and whether an odd count of cells was told already."""

    line: int
    cells: list[str]
    headings: list[str]
    units: dict[str, str]
    text: str


@record(frozen=False)
class _Ags3Group:
    name: str
    rows: list[DataRow] = field(default_factory=list)
    by_id: dict[str, DataRow] = field(default_factory=dict)
    merged: int = 0
    """Rows that complete an earlier one."""
    left_alone: int = 0
    """Rows of a group that is not read, of which only the number matters."""


class _Ags3Reader:
    """Puts the records of a file together to rows."""

    def __init__(self, book: DoubtBook) -> None:
        self.book = book
        self.groups: dict[str, _Ags3Group] = {}
        self.group: _Ags3Group | None = None
        self.headings: list[str] = []
        self.units: dict[str, str] = {}
        self.unit_cells: list[str] = []
        self.open: _OpenRow | None = None
        self.without_units: set[str] = set()
        self.state = "rows"

    def read(self, found: Iterator[QuotedRecord]) -> dict[str, _Ags3Group]:
        """Return the groups of the file with their rows."""
        for quoted in found:
            first = quoted.fields[0].strip()
            lead = first[:1]
            if lead == "*" and first.startswith("**"):
                self._begin(first)
            elif self.group is None:
                self.book.add(quoted.line, "the line stands in no group", LEFT_OUT, quoted=quoted.text.strip())
            elif lead == "*":
                self._name_columns(quoted.fields)
            elif lead == "<" and first.upper() == "<UNITS>":
                self._give_units(quoted.fields)
            elif lead == "<" and first.upper() == "<CONT>":
                self._continue(quoted)
            elif self.state == "units" and self._goes_on_with_units(quoted.fields):
                self._give_units(["", *quoted.fields], more=True)
            else:
                self._row(quoted)
        self._close()
        return self.groups

    def _begin(self, first: str) -> None:
        self._close()
        name = first.lstrip("*").lstrip("?").strip().upper()
        self.group = self.groups.setdefault(name, _Ags3Group(name))
        self.headings, self.units, self.unit_cells, self.state = [], {}, [], "headings"

    def _name_columns(self, fields: list[str]) -> None:
        """Add columns; a line that ends with a comma leaves an empty last cell, which names none."""
        self._close()
        names, units = headings_of([cell.strip().lstrip("*").lstrip("?") for cell in fields])
        while names and not names[-1]:
            names.pop()
        self.headings += names
        self.units |= units
        self.state = "headings"

    def _give_units(self, fields: list[str], *, more: bool = False) -> None:
        """Read the units; the first cell, <UNITS>, stands for the first column. They too run over several lines."""
        cells = fields[1:] if more else ["", *fields[1:]]
        if cells and not cells[-1].strip() and len(self.unit_cells) + len(cells) != len(self.headings):
            cells = cells[:-1]
        self.unit_cells += cells
        given = zip(self.headings, (cell.strip() for cell in self.unit_cells), strict=False)
        self.units = {**self.units, **{heading: unit for heading, unit in given if unit}}
        self.state = "units"

    def _goes_on_with_units(self, fields: list[str]) -> bool:
        """Return whether a line is the rest of the units: those before it are too few, and it brings just the cells that lack."""
        lacking = len(self.headings) - len(self.unit_cells)
        return lacking > 0 and len(fields) in (lacking, lacking + 1) and all(len(cell) <= 12 for cell in fields)

    def _row(self, record: QuotedRecord) -> None:
        if self.open is not None:
            self._close()
        self.state = "rows"
        if self.group is not None and self.group.name not in GROUPS_READ and len(record.fields) == len(self.headings):
            self.group.left_alone += 1
            self.state = "left alone"
            return
        if not self.headings:
            self.book.add(record.line, "a row stands before the headings of its group", LEFT_OUT, quoted=record.text.strip())
            return
        self._tell_units(record.line)
        self.open = _OpenRow(record.line, list(record.fields), self.headings, self.units, record.text)

    def _tell_units(self, line: int) -> None:
        """Add a note where a group that is read has no units, the first time."""
        name = self.group.name if self.group is not None else ""
        if not self.units and not self.unit_cells and name in GROUPS_READ - _WITHOUT_UNITS - self.without_units:
            self.without_units.add(name)
            self.book.add(line, f"no units stand in group {name}", "they are taken to be the usual ones", severity="note")

    def _continue(self, record: QuotedRecord) -> None:
        """Join the cells of a <CONT> line to those of the row above, as they stand: texts break in the middle of a word."""
        row = self.open
        if row is None:
            if self.state == "left alone":
                return
            self.book.add(record.line, "a line goes on with no row", LEFT_OUT, quoted=record.text.strip())
            return
        cells = ["", *record.fields[1:]]
        row.cells += [""] * (len(cells) - len(row.cells))
        for index, cell in enumerate(cells):
            if cell:
                row.cells[index] += cell

    def _close(self) -> None:
        """Take the row that is open into its group, or into the earlier row of the same hole where the group stands twice."""
        row, group, self.open = self.open, self.group, None
        if row is None or group is None:
            return
        cells = row.cells
        if group.name not in GROUPS_READ and len(cells) == len(row.headings):
            group.left_alone += 1
            return
        made = DataRow(group.name, row.line, filled(row.headings, cells), row.units, self.book)
        if len(cells) != len(row.headings) and (len(cells) < len(row.headings) or any(cell.strip() for cell in cells[len(row.headings) :])):
            doubt_length(made, len(cells), len(row.headings), row.text)
        earlier = group.by_id.get(made.text("HOLE_ID")) if group.name == "HOLE" else None
        if earlier is not None and not any(made.text(heading) and earlier.text(heading) for heading in made.values if heading != "HOLE_ID"):
            earlier.values.update(made.values)
            group.merged += 1
            return
        group.by_id.setdefault(made.text("HOLE_ID"), made)
        group.rows.append(made)
