"""The cells of tables: a workbook (XLSX), a folder of CSV files, or one CSV file, as rows of plain values with their numbers.

A workbook is unpacked by openpyxl only when its parts are few and not large, and declare no document types; formulas are not
worked out, their stored values are read.
"""

from __future__ import annotations

import csv
import hashlib
import re
import zipfile
import zlib
from collections.abc import Iterator
from datetime import date, datetime, time
from io import BytesIO
from pathlib import Path
from typing import Any

from methodpick.errors import InputError, Problem
from methodpick.input_files import decoded, read_bytes, refuse_empty
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.resources import need

TABLE = "a CSV file or a workbook (.xlsx)"
MOST_BYTES = 20_000_000
MOST_ROWS = 20_000
MOST_COLUMNS = 200
MOST_SHEETS = 60
MOST_PARTS = 2000
MOST_UNPACKED = 200_000_000
"""Sizes beyond which a table is refused (own values): a schedule of some thousand rows is far below."""
ERRORS = frozenset({"#REF!", "#DIV/0!", "#VALUE!", "#NAME?", "#N/A", "#NUM!", "#NULL!"})


@record
class CellSheet:
    """The cells of one sheet: its name, what messages call it, and its rows with their numbers, blank ones left out.

    ``unworked`` are the cells, by row from 1 and column from 0, that hold a formula without its value.
    """

    name: str
    file: str
    rows: tuple[tuple[int, tuple[Any, ...]], ...]
    unworked: frozenset[tuple[int, int]] = frozenset()


@record
class CellBook:
    """The sheets of a workbook, a folder or a file, and the SHA-256 digest of what was read."""

    file: str
    sheets: tuple[CellSheet, ...]
    digest: str


def read_cells(source: Path | str, name: str) -> CellBook:
    """Return the cells of a workbook, of a folder of CSV files, of a CSV file (Path) or of its text (str).

    Raises InputError where nothing can be read, the file is too large, is no table or is hostile.
    """
    if isinstance(source, str):
        return CellBook(name, (_csv_sheet("", name, source),), hashlib.sha256(source.encode("utf-8", "surrogatepass")).hexdigest())
    if source.is_dir():
        return _folder(source, name)
    content = read_bytes(source, name, MOST_BYTES)
    digest = hashlib.sha256(content).hexdigest()
    if content.startswith(b"PK\x03\x04"):
        return CellBook(name, tuple(_workbook(content, name)), digest)
    return CellBook(name, (_csv_sheet(source.stem, name, decoded(content, name, TABLE)),), digest)


def _folder(folder: Path, name: str) -> CellBook:
    files = sorted(path for path in folder.iterdir() if path.suffix.lower() in (".csv", ".tsv", ".txt"))
    if not files or len(files) > MOST_SHEETS:
        found = f"{len(files)} CSV files" if files else "no CSV file"
        raise InputError(
            Problem(f"{name}: this is a folder with {found}", expected="a folder with borings.csv, layers.csv, shafts.csv ...")
        )
    digest = hashlib.sha256()
    sheets = []
    for path in files:
        content = read_bytes(path, str(path), MOST_BYTES)
        digest.update(path.name.encode() + b"\0" + content)
        sheets.append(_csv_sheet(path.stem, str(path), decoded(content, str(path), TABLE)))
    return CellBook(name, tuple(sheets), digest.hexdigest())


def _csv_sheet(stem: str, name: str, text: str) -> CellSheet:
    refuse_empty(name, text, "a table with a row of headings")
    between = separator(text)
    if between == " ":
        text, between = "\n".join(map(_tabbed, text.splitlines())), "\t"
        _refuse_ragged(text, name)
    reader = csv.reader(text.replace("\x00", "").splitlines(keepends=True), delimiter=between)
    rows: list[tuple[int, tuple[Any, ...]]] = []
    begins = 1
    try:
        for cells in reader:
            number, begins = begins, reader.line_num + 1
            if between == ";":
                cells = [_with_point(cell) for cell in cells]  # noqa: PLW2901 - where semicolons part cells, a comma parts decimals
            _add(rows, number, tuple(_bared(cell.strip()) or None for cell in cells), name)
    except csv.Error as error:
        raise InputError(Problem(f"{name}:{reader.line_num}: this is no CSV: {error}", hint="save the sheet as CSV again")) from None
    return CellSheet(stem, name, tuple(rows))


_DECIMAL_COMMA = pattern_of(r"\s*[-+]?\d+,\d+\s*")


def _with_point(cell: str) -> str:
    """Return a number with a point for its comma; any other cell as it is.

    >>> _with_point("-2,5"), _with_point("5,7,9"), _with_point("clay, 2,5 m")
    ('-2.5', '5,7,9', 'clay, 2,5 m')
    """
    return cell.replace(",", ".") if "," in cell and _DECIMAL_COMMA.fullmatch(cell) else cell


_FORMULA = pattern_of(r"'\s*[=+\-@]")


def _bared(cell: str) -> str:
    """Return a cell without the apostrophe that keeps a spreadsheet from taking it for a formula.

    >>> _bared("'-0.5 to 2"), _bared("'old' fill")
    ('-0.5 to 2', "'old' fill")
    """
    return cell[1:] if cell.startswith("'") and _FORMULA.match(cell) else cell


_GAP = pattern_of(r"(?<=\S) {2,}(?=\S)")


def _tabbed(line: str) -> str:
    """Return a line with a tab for each gap of two or more blanks."""
    return _GAP.sub("\t", line.strip())


def _refuse_ragged(text: str, name: str) -> None:
    """Raise InputError where columns are parted by blanks alone and a row with numbers lacks a cell: which one, nothing tells."""
    rows = [(number, line.split("\t")) for number, line in enumerate(text.splitlines(), 1)]
    most = max(len(cells) for _, cells in rows)
    for number, cells in rows:
        if 2 < len(cells) < most and any(cell[:1].isdecimal() for cell in cells[1:]):
            message = (
                f"{name}:{number}: blanks part the columns, and this row has {len(cells)} cells of {most}: which one lacks, nothing tells"
            )
            raise InputError(Problem(message, hint="part the cells by tabs or commas, or paste the table through a spreadsheet program"))


LOOKED_AT = 20_000
"""Characters of a text that are looked at to tell what parts its cells."""


def separator(text: str) -> str:
    r"""Return what separates the cells of a text: tabs, as when copied from a sheet, semicolons, else commas; a blank for gaps of blanks.

    >>> separator("id;depth\nB-1;3,5"), separator("id\tdepth")
    (';', '\t')
    """
    beginning = text[:LOOKED_AT].splitlines()
    lines = [line for line in beginning if sum(map(line.count, "\t;,")) > 0]
    first = lines[0] if lines else ""
    gapped = sum(len(_GAP.findall(line.strip())) > 1 for line in beginning)
    if gapped > 1 and not any(mark in line for line in lines for mark in "\t;") and gapped > 2 * len(lines):
        return " "
    parting = {mark: sum(mark in line for line in lines) for mark in ("\t", ";", ",")}
    if parting["\t"] * 2 > len(lines):
        return "\t"
    return max((";", ","), key=lambda mark: (first.count(mark), parting[mark]))


def _add(rows: list[tuple[int, tuple[Any, ...]]], number: int, cells: tuple[Any, ...], name: str) -> None:
    if not any(cell is not None for cell in cells):
        return
    if len(rows) >= MOST_ROWS:
        raise InputError(Problem(f"{name}: the table has more than {MOST_ROWS:,} rows", hint="is it the right table? Split it"))
    rows.append((number, cells[:MOST_COLUMNS]))


def _workbook(content: bytes, name: str) -> Iterator[CellSheet]:
    """Return the visible sheets of a workbook with the stored values of their cells."""
    _refuse_bomb(content, name)
    openpyxl = need("openpyxl", "xlsx", "reading an XLSX workbook")
    try:
        book = openpyxl.load_workbook(BytesIO(content), read_only=True, data_only=True, keep_links=False)
        for tab in book.worksheets[:MOST_SHEETS]:
            if tab.sheet_state == "visible":
                yield CellSheet(tab.title, f"{name} [{tab.title}]", tuple(_rows(tab, name)), _unworked(content, tab))
    except InputError:
        raise
    except Exception as error:  # noqa: BLE001 - whatever a damaged workbook makes the library raise
        raise InputError(
            Problem(
                f"{name}: this workbook cannot be read: {type(error).__name__}", hint="open it in a spreadsheet program and save it again"
            )
        ) from None


_FORMULA_ALONE = re.compile(rb'<c r="([A-Z]{1,3})([0-9]{1,7})"[^>]*><f[^>]*?(?:/>|>[^<]*</f>)(?:<v\s*/>|<v></v>)?</c>')


def _unworked(content: bytes, tab: Any) -> frozenset[tuple[int, int]]:
    """Return the cells of a sheet whose formula no program has worked out, as in workbooks that a script wrote."""
    with zipfile.ZipFile(BytesIO(content)) as archive:
        text = archive.read(str(tab._worksheet_path).lstrip("/"))  # noqa: SLF001 - the library tells it nowhere else
    if b"<f" not in text:
        return frozenset()
    return frozenset((int(row), _index(letters)) for letters, row in _FORMULA_ALONE.findall(text))


def _index(letters: bytes) -> int:
    """Return the index of a column from its letters.

    >>> _index(b"A"), _index(b"AB")
    (0, 27)
    """
    index = 0
    for letter in letters:
        index = index * 26 + letter - 64
    return index - 1


def _rows(tab: Any, name: str) -> list[tuple[int, tuple[Any, ...]]]:
    """Return the rows of a sheet; the size that it states is not believed, since some programs state one cell and rows would vanish."""
    rows: list[tuple[int, tuple[Any, ...]]] = []
    tab.reset_dimensions()
    for number, cells in enumerate(tab.iter_rows(), 1):
        if number > MOST_ROWS * 5:
            raise InputError(
                Problem(f"{name}: the sheet '{tab.title}' has rows beyond {MOST_ROWS * 5:,}", hint="delete what stands far below")
            )
        _add(rows, number, _values(cells), name)
    return rows


def _values(cells: tuple[Any, ...]) -> tuple[Any, ...]:
    """Return the values of a row as far as it is filled."""
    values = [_plain(cell) for cell in cells[:MOST_COLUMNS]]
    while values and values[-1] is None:
        values.pop()
    return tuple(values)


def _plain(cell: Any) -> Any:
    """Return the value of a cell: a text, a number, yes or no, a date as it is written; None where it is blank."""
    value = cell.value
    if isinstance(value, str):
        text = re.sub(r"_x000[dD]_", "", value) if "_x000" in value else value
        return text.strip() or None
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, (datetime, date)):
        midnight = isinstance(value, datetime) and value.time() == time()
        return (value.date() if midnight and isinstance(value, datetime) else value).isoformat()
    if isinstance(value, time):
        return value.isoformat()
    if isinstance(value, (int, float)):
        number = round(value * 100, 9) if "%" in str(cell.number_format) else value
        return int(number) if float(number).is_integer() and abs(number) < 1e15 else float(number)
    return str(value).strip() or None


def _refuse_bomb(content: bytes, name: str) -> None:
    """Raise InputError where the archive would unpack to very much, or a part of it declares a document type."""
    try:
        with zipfile.ZipFile(BytesIO(content)) as archive:
            parts = archive.infolist()
            if not any(part.filename.startswith("xl/") for part in parts):
                raise InputError(Problem(f"{name}: this is a zip archive, not a workbook", expected="an .xlsx file", hint="unpack it"))
            if len(parts) > MOST_PARTS or sum(part.file_size for part in parts) > MOST_UNPACKED:
                raise InputError(
                    Problem(
                        f"{name}: the workbook would unpack to too much, so it is not read", hint="save only the sheets of the schedule"
                    )
                )
            for part in parts:
                if part.filename.endswith((".xml", ".rels")):
                    with archive.open(part) as file:
                        beginning = file.read(4000).lower()
                    if b"<!doctype" in beginning or b"<!entity" in beginning:
                        raise InputError(Problem(f"{name}: a part of the workbook declares a document type, which is not read"))
    except (
        zipfile.BadZipFile,
        RuntimeError,
        OSError,
        ValueError,
        EOFError,
        zlib.error,
    ) as error:  # RuntimeError: an encrypted or unknown packing
        raise InputError(
            Problem(f"{name}: this workbook cannot be unpacked: {type(error).__name__}", hint="save it again as .xlsx")
        ) from None
