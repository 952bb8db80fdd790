"""Groups and headings of AGS3 under their names of AGS4, with what AGS4 writes otherwise: strikes with their rise, dates, times."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from methodpick.imports.input_formats import DoubtBook
from methodpick.imports.log_tables import DataRow

_DEPTHS = {"SAMP_TOP": "SAMP_TOP", "SPEC_DPTH": "SPEC_DPTH"}
_NAMES: dict[str, tuple[str, dict[str, str]]] = {
    "HOLE": (
        "LOCA",
        {
            "HOLE_TYPE": "LOCA_TYPE",
            "HOLE_NATE": "LOCA_NATE",
            "HOLE_NATN": "LOCA_NATN",
            "HOLE_LOCX": "LOCA_LOCX",
            "HOLE_LOCY": "LOCA_LOCY",
            "HOLE_GL": "LOCA_GL",
            "HOLE_FDEP": "LOCA_FDEP",
            "HOLE_REM": "LOCA_REM",
            "HOLE_STAB": "LOCA_STAB",
            "HOLE_STAT": "LOCA_STAT",
        },
    ),
    "GEOL": ("GEOL", {}),
    "DETL": ("DETL", {}),
    "DREM": ("DREM", {"DREM_DPTH": "DREM_TOP", "DREM_BDEP": "DREM_BASE"}),
    "ISPT": ("ISPT", {}),
    "IVAN": ("IVAN", {}),
    "CORE": ("CORE", {"CORE_BOT": "CORE_BASE"}),
    "CHIS": ("CHIS", {}),
    "FLSH": ("FLSH", {"FLSH_FROM": "FLSH_TOP", "FLSH_TO": "FLSH_BASE"}),
    "HDPH": ("HDPH", {"HOLE_TYPE": "HDPH_TYPE"}),
    "WADD": ("WADD", {"WADD_FROM": "WADD_TOP", "WADD_TO": "WADD_BASE"}),
    "CDIA": ("CDIA", {"CDIA_CDEP": "CDIA_DPTH", "CDIA_HOLE": "CDIA_DIAM"}),
    "HDIA": ("HDIA", {"HDIA_HDEP": "HDIA_DPTH", "HDIA_HOLE": "HDIA_DIAM"}),
    "PTIM": ("PTIM", {"PTIM_DEP": "PTIM_DPTH"}),
    "WSTK": ("WSTG", {"WSTK_DEP": "WSTG_DPTH", "WSTK_CAS": "WSTG_CAS", "WSTK_SEAL": "WSTG_SEAL", "WSTK_FLOW": "WSTG_REM"}),
    "CLSS": ("LLPL", {"CLSS_LL": "LLPL_LL", "CLSS_PL": "LLPL_PL", **_DEPTHS}),
    "GRAD": ("GRAG", _DEPTHS),
    "ROCK": ("RUCS", {"ROCK_UCS": "RUCS_UCS", **_DEPTHS}),
    "TRIX": ("TRIT", {"TRIX_CU": "TRIT_CU", **_DEPTHS}),
    "MONP": ("MONG", {"MONP_DIS": "MONG_DIS", "MONP_TRZ": "MONG_TRZ", "MONP_BRZ": "MONG_BRZ"}),
    "MONR": ("MOND", {"MONP_DIS": "MONG_DIS", "MONR_WDEP": "MOND_RDNG", "MONR_REM": "MOND_REM"}),
    "PREF": ("MONG", {"PREF_TDEP": "MONG_DIS", "PREF_TRPS": "MONG_TRZ", "PREF_BRPS": "MONG_BRZ"}),
    "POBS": ("MOND", {"PREF_TDEP": "MONG_DIS", "POBS_DEP": "MOND_RDNG", "POBS_REM": "MOND_REM"}),
    "ABBR": ("ABBR", {}),
    "CODE": ("ABBR", {"CODE_CODE": "ABBR_CODE", "CODE_DESC": "ABBR_DESC"}),
}
"""By group of AGS3: the group of AGS4 and the headings that are called otherwise there; the rest keep their names."""

GROUPS_READ = frozenset(_NAMES)
_TIMED = {
    "WSTK": ("WSTK_DATE", "WSTK_TIME", "WSTG_DTIM"),
    "PTIM": ("PTIM_DATE", "PTIM_TIME", "PTIM_DTIM"),
    "MONR": ("MONR_DATE", "MONR_TIME", "MOND_DTIM"),
    "POBS": ("POBS_DATE", "POBS_TIME", "MOND_DTIM"),
}
"""Groups whose date and time are one heading in AGS4."""
_DATE = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})")
FINES_MM = (0.075, 0.063, 0.06)
"""Sieves below which the share is that of fines (ASTM D2487; ISO 14688-1, BS 5930), the coarsest first."""


def renamed(group: str, rows: Iterable[DataRow], book: DoubtBook) -> Iterator[tuple[str, DataRow]]:
    """Return the rows of a group under the names of AGS4, each with its group there; a strike with a rise gives two."""
    if group not in _NAMES:
        return
    canonical, names = _NAMES[group]
    rows = list(rows)
    if group == "GRAD":
        yield from _fines(rows, names, book)
        return
    for row in rows:
        made = _row(row, names, book)
        _complete(group, made)
        yield canonical, made
        if group == "WSTK" and row.text("WSTK_POST"):
            yield "WSTD", _rise(row, book)
        if group == "HOLE" and row.text("HOLE_INCL"):
            yield "HORN", _row(row, {"HOLE_INCL": "HORN_INCL"}, book)
        if group == "HDIA" and row.text("HDIA_CDEP"):
            yield "CDIA", _row(row, {"HDIA_CDEP": "CDIA_DPTH", "HDIA_CASG": "CDIA_DIAM"}, book)


def _row(row: DataRow, names: Mapping[str, str], book: DoubtBook) -> DataRow:
    names = {"HOLE_ID": "LOCA_ID", **names}
    written = {new: old for old, new in names.items()}
    values = {names.get(heading, heading): value for heading, value in row.values.items()}
    units = {names.get(heading, heading): unit for heading, unit in row.units.items()}
    return DataRow(row.group, row.line, values, units, book, written)


def _complete(group: str, row: DataRow) -> None:
    """Fill what AGS4 writes otherwise: a date with its time, the type and the unit of a reading, the plasticity index."""
    values = row.values
    if group in _TIMED:
        date, time, heading = _TIMED[group]
        values[heading] = when(row.text(date), row.text(time))
    if group in ("MONR", "POBS"):
        values["MOND_TYPE"] = "WDEP"
        values["MOND_UNIT"] = row.units.get("MOND_RDNG", "")
    if group == "PTIM" and not row.text("PTIM_WAT"):
        values["PTIM_WAT"] = row.text("PTIM_WTXT")
    if group == "CHIS":
        values["CHIS_TIME"] = _hours(row.text("CHIS_TIME"), row.units.get("CHIS_TIME", ""))
    if group == "ISPT" and not row.text("ISPT_WAT"):
        values["ISPT_WAT"] = row.text("ISPT_WTXT")
    if group == "CODE":
        values["ABBR_HDNG"] = "GEOL_GEOL"
    if group == "CLSS":
        _plasticity(row)


def _plasticity(row: DataRow) -> None:
    """Fill the plasticity index, which AGS3 leaves to the reader: liquid less plastic limit, zero where the soil is not plastic."""
    if row.text("LLPL_PL").upper() in ("NP", "NON-PLASTIC", "NON PLASTIC"):
        row.values["LLPL_PI"] = "0"
        return
    liquid, plastic = row.number("LLPL_LL", "%"), row.number("LLPL_PL", "%")
    if liquid is not None and plastic is not None and liquid >= plastic:
        row.values["LLPL_PI"] = f"{liquid - plastic:g}"


def _rise(row: DataRow, book: DoubtBook) -> DataRow:
    return _row(row, {"WSTK_DEP": "WSTG_DPTH", "WSTK_NMIN": "WSTD_NMIN", "WSTK_POST": "WSTD_POST", "WSTK_FLOW": "WSTD_REM"}, book)


def _fines(rows: list[DataRow], names: Mapping[str, str], book: DoubtBook) -> Iterator[tuple[str, DataRow]]:
    """Return the rows of a grading that give the share of fines; the other sieves are counted as not used."""
    found: dict[tuple[str, ...], tuple[int, DataRow]] = {}
    for row in rows:
        size = row.number("GRAD_SIZE", "mm")
        sieve = next((index for index, mesh in enumerate(FINES_MM) if size is not None and abs(size - mesh) < 0.0005), None)
        sample = tuple(row.text(heading) for heading in ("HOLE_ID", "SAMP_TOP", "SAMP_REF", "SAMP_TYPE", "SPEC_REF", "SPEC_DPTH"))
        if sieve is None or not row.text("GRAD_PERP"):
            row.pass_over("a sieve that is not that of fines" if row.text("GRAD_PERP") else "no share is given")
        elif sample not in found or sieve < found[sample][0]:
            if sample in found:
                found[sample][1].pass_over("another sieve gives the fines of the sample")
            found[sample] = (sieve, row)
        else:
            row.pass_over("another sieve gives the fines of the sample")
    for _, row in found.values():
        yield "GRAG", _row(row, {**names, "GRAD_PERP": "GRAG_FINE"}, book)


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
