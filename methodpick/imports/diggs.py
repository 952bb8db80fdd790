"""DIGGS 2.5.a, 2.6 and 3.x (Geo-Institute of ASCE) to the tables of a log, by the local names of its elements.

The names were read in public example files of the three editions; what stands in none of them (casing, flush, stability of
the hole, water not encountered) follows the published schema and is tried on files of our own only.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from pathlib import Path

from methodpick.errors import InputError, Problem
from methodpick.imports.diggs_boreholes import Boreholes
from methodpick.imports.diggs_headers import header_rows
from methodpick.imports.diggs_layers import layer_rows
from methodpick.imports.diggs_rows import RowMaker
from methodpick.imports.diggs_tests import core_rows, in_situ_rows
from methodpick.imports.diggs_water import monitor_rows, strike_rows
from methodpick.imports.input_formats import DoubtBook, Imported
from methodpick.imports.log_borings import borings_of
from methodpick.imports.log_tables import MOST_BYTES, DataRow, Tables
from methodpick.imports.xml_tree import Element, read_xml
from methodpick.regular_file import read_bytes, refuse_empty

COUNTED = (
    "Borehole",
    "BoreholeConstructionMethod",
    "LithologyObservation",
    "PlacedObservation",
    "Test",
    "SamplingActivity",
    "WaterStrike",
    "Monitor",
    "Casing",
    "Flush",
)
"""Elements that are rows of the log; they are counted as groups."""


def read_diggs(source: Path | str, name: str | None = None) -> Imported:
    """Read the borings of a DIGGS file (Path) or text (str), with a doubt for everything that is not clear.

    Raises InputError where it is no DIGGS file, holds no borehole, or declares a document type or entities.
    """
    name = name or (source.name if isinstance(source, Path) else "")
    tables, us = _tables(source, name)
    return borings_of(tables, "DIGGS file", "elements Borehole and LithologyObservation", "us" if us else "si", frozenset(COUNTED))


def _tables(source: Path | str, file: str) -> tuple[Tables, bool]:
    file = file or "the text"
    content = read_bytes(source, file, MOST_BYTES) if isinstance(source, Path) else source.encode("utf-8", "replace")
    refuse_empty(file, content[:1000].decode("utf-8", "replace"), "a DIGGS file")
    root = read_xml(content, file, "Diggs")
    book = DoubtBook(file)
    elements = list(root.inside())
    boreholes = Boreholes(elements, book)
    if not boreholes.names:
        raise InputError(Problem(f"{file}: no Borehole is in this DIGGS file", expected="elements Borehole and LithologyObservation"))
    by_id = {element.attributes["id"]: element for element in elements if "id" in element.attributes}
    make = RowMaker(book, boreholes, by_id)
    rows: dict[str, list[DataRow]] = {}
    for found in (header_rows(make), layer_rows(elements, make), in_situ_rows(elements, make), core_rows(elements, make)):
        _add(rows, found)
    _add(rows, strike_rows(elements, make))
    _add(rows, monitor_rows(elements, make))
    counts = Counter(_counted(elements))
    in_file = {element: counts[element] for element in COUNTED if counts[element]}
    tables = {group: tuple(found) for group, found in rows.items()}
    return Tables(tables, book, hashlib.sha256(content).hexdigest(), in_file), boreholes.in_feet


def _add(rows: dict[str, list[DataRow]], found: list[tuple[str, DataRow]]) -> None:
    for group, row in found:
        rows.setdefault(group, []).append(row)


def _counted(elements: list[Element]) -> list[str]:
    """Return the names of the elements that are counted; the lining of a standpipe is no casing of the boring."""
    linings = {id(child) for element in elements if element.name == "wellCasing" for child in element.children}
    return [element.name for element in elements if element.name in COUNTED and id(element) not in linings]
