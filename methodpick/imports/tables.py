"""Tables to a site: a workbook, a folder of CSV files or one CSV file with borings, shafts, stock and rates.

The rows become the tree that a site file would be, with the place of every cell, and are read by the code that reads site
files: the same keys, checks and messages. A number without a unit is never guessed at: its heading, a row of units, the cell
itself or ``units`` of the sheet ``site`` must say it.
"""

from __future__ import annotations

from dataclasses import field
from hashlib import sha256
from pathlib import Path
from typing import Any

from methodpick.errors import InputError, Place, Problem, Problems, did_you_mean
from methodpick.imports.input_formats import DoubtBook, GroupCount, ImportDoubt, Imported
from methodpick.imports.logs_beside_tables import LogBeside, logs_beside, places_in, stand_ins, with_borings
from methodpick.imports.site_file import site_of
from methodpick.imports.site_reader import DoubtPlaces
from methodpick.imports.table_cells import ERRORS, CellBook, CellSheet, read_cells
from methodpick.imports.table_columns import PAIRS, TableColumn, TableSheet, sheet_named, sheets
from methodpick.imports.table_headings import HeadedTable, TableHeading, head, means_water_level
from methodpick.imports.table_rows import RowsBeside
from methodpick.imports.table_values import NO_WATER, cell_value, has_own_unit, is_blank, plain_number, to_depths
from methodpick.input_files import name_of
from methodpick.records import record
from methodpick.strict_yaml import KeyPath

WORK_OUT = "open the workbook in a spreadsheet program, which works it out, and save it there"
NO_BORING = "a table of borings or layers, or the logs (AGS, DIGGS) in the same folder as the tables"
NO_BORING_HINT = "put them into one folder and give that, or write shafts into the site file of 'methodpick convert'"
EXPLANATIONS = "explanations"
"""The sheet of a form that only explains the others."""
EXPECTED = "sheets or CSV files named borings, layers, spt, water, cores, cone, remarks, shafts, stock, site, rates"


Spot = tuple[str, int, int]
"""The file, row and column of a cell; most cells are never told of, and a place is made for those that are."""


@record(frozen=False)
class TableTree:
    """The tree that a site file would be, with the place of every cell that is in it."""

    file: str
    value: dict[str, Any]
    digest: str
    to_add: str = "fill in the column '{}'"
    problems: Problems = field(default_factory=Problems)
    spots: dict[KeyPath, Place | Spot] = field(default_factory=dict)

    def place(self, path: KeyPath, key: bool = False) -> Place:
        """Return the place of the cell at a path; of the row or sheet around it where there is none."""
        del key
        for end in range(len(path), 0, -1):
            if (spot := self.spots.get(path[:end])) is not None:
                return spot if isinstance(spot, Place) else Place(*spot)
        return Place(self.file, 1, 1)

    def complain(self, place: Place, message: str, expected: str = "", hint: str = "") -> None:
        """Note a problem of a cell."""
        self.problems.note(lambda: Problem(message, place, expected, hint))


def read_tables(source: Path | str, name: str | None = None) -> Imported:
    """Read a site from a workbook, a folder of CSV files or a CSV file (Path), or from the text of one (str).

    Raises InputError with every problem, each with its sheet, row and column.
    """
    file = name or (name_of(source) if isinstance(source, Path) else "the table")
    book, logs = read_cells(source, file), logs_beside(source)
    found = _Assembly(book, logs)
    site = with_borings(site_of(found.tree), logs)
    doubts = (*found.book.in_order(), *(doubt for log in logs for doubt in log.read.doubts))
    counts = (*found.counts, *(count for log in logs for count in log.read.counts))
    digest = sha256("".join((book.digest, *(log.read.digest for log in logs))).encode()).hexdigest() if logs else book.digest
    return Imported(site, doubts, digest, counts, places_in(logs, DoubtPlaces(found.tree, site)), tuple(found.told))


def _carried(place: Place, boring: str) -> ImportDoubt:
    return ImportDoubt("note", place, boring, None, "the row names no boring", "it is taken to belong to that of the row above")


class _Assembly:
    """Puts the sheets of a book together to one tree, beside the borings of logs."""

    def __init__(self, book: CellBook, logs: tuple[LogBeside, ...] = ()) -> None:
        self.book = DoubtBook(book.file)
        self.tree = TableTree(book.file, {"methodpick": 1}, book.digest)
        self.counts: list[GroupCount] = []
        self.told: list[str] = []
        self.index_by_id: dict[str, int] = {}
        self.indexed = 0
        self.asked: set[tuple[str, int]] = set()
        self.of_logs = frozenset(boring.id for log in logs for boring in log.read.profiles)
        for index, (boring, place) in enumerate(stand_ins(logs)):
            self.tree.value.setdefault("borings", []).append(boring)
            self.tree.spots["borings", index] = place
        tables: list[HeadedTable] = []
        for cells in book.sheets:
            if cells.name == EXPLANATIONS:
                continue
            if sheet_named(cells.name) in PAIRS:
                self._pairs(cells, sheet_named(cells.name))
            elif (table := self._headed(cells, len(book.sheets) == 1)) is not None:
                tables.append(table)
        if not tables:
            raise InputError(
                _nearly(book) or Problem(f"{book.file}: no table with known headings is in it", expected=EXPECTED, hint=NEW_TABLES)
            )
        order = list(sheets())
        for table in sorted(tables, key=lambda table: order.index(table.sheet.name)):
            self._table(table)
        if not self.tree.value.get("borings"):
            self.tree.complain(Place(book.file, 1, 1), "no boring is in the tables", NO_BORING, NO_BORING_HINT)
            raise InputError(self.tree.problems)
        to_depths(self.tree)
        if logs:
            self.tree.value.setdefault("site", {}).setdefault("units", logs[0].read.units)

    def _headed(self, cells: CellSheet, alone: bool) -> HeadedTable | None:
        """Return the table of a sheet: as it is named, else as its headings say where only one kind of sheet has them all."""
        named = sheet_named(cells.name)
        if named:
            table = head(cells, sheets()[named])
            if table is None and cells.rows:
                self.tree.complain(
                    Place(cells.file, cells.rows[0][0], 1),
                    f"no row of headings of the sheet '{named}' is found",
                    ", ".join(column.name for column in sheets()[named].columns[:8]) + " ...",
                )
            return table
        candidates = [table for sheet in sheets().values() if (table := head(cells, sheet)) is not None and _complete(table)]
        known = {table.sheet.name: sum(heading.column is not None for heading in table.headings) for table in candidates}
        best = [table for table in candidates if known[table.sheet.name] == max(known.values())]
        if len(best) == 1:
            return best[0]
        if best and alone:
            names = " or ".join(table.sheet.name for table in best)
            raise InputError(
                Problem(
                    f"{cells.file}: this may be a table of {names}",
                    hint=f"name the file after what it holds, such as {best[0].sheet.name}.csv",
                )
            )
        if cells.rows:
            self.counts.append(GroupCount(cells.name, len(cells.rows), 0, (("the sheet is not known", len(cells.rows)),), left_alone=True))
        return None

    def _pairs(self, cells: CellSheet, word: str) -> None:
        """Read a sheet of keys and values into a map; a dotted key goes into the map inside."""
        tree: dict[str, Any] = self.tree.value.setdefault(word, {})
        used = 0
        for number, row in cells.rows:
            key = str(row[0]).strip() if row and row[0] is not None else ""
            value = row[1] if len(row) > 1 else None
            if not key or key.lower() in ("key", "what") or is_blank(value):
                continue
            used += 1
            place = Place(cells.file, number, 2)
            path = _set_dotted(tree, key, pair_value(value))
            if path:
                self.tree.spots[(word, *path)] = place
            else:
                self.tree.complain(place, f"'{key}' cannot stand beside the keys above", "a key of the site file", "write each key once")
        if not tree and word != "site":  # a sheet without a value says nothing, as a site file without the key
            del self.tree.value[word]
        self.counts.append(GroupCount(word, used, used))

    def _table(self, table: HeadedTable) -> None:
        """Read a table into its list: of the site, or of the boring that each row names."""
        self.told.append(table.understood())
        self._check_headings(table)
        before, used, beside = "", 0, RowsBeside(table, self.book)
        for number, row in table.rows:
            place = Place(table.cells.file, number, 1)
            if beside.takes(row, place):
                continue
            entry, spots = self._entry(table, number, row)
            if not entry:
                continue
            used += 1
            if not table.sheet.owner:
                beside.count(entry, place)
                entries = self.tree.value.setdefault(table.sheet.name, [])
                self._note_spots((table.sheet.name, len(entries)), spots, place)
                entries.append(entry)
                continue
            owner = entry.pop("boring", None)
            if owner is None and before:
                self.book.found.append(_carried(place, before))
            before = str(owner) if owner is not None else before
            self._give(table.sheet, before, entry, spots, place)
        self.counts.append(GroupCount(table.sheet.name, used + beside.rows, used, tuple(beside.reasons.items())))

    def _give(self, sheet: TableSheet, owner: str, entry: dict[str, Any], spots: dict[KeyPath, Spot], place: Place) -> None:
        """Add a row to the boring that it names; where no sheet of borings is there, the row makes it."""
        borings = self.tree.value.setdefault("borings", [])
        index = self._index_of(owner, borings)
        if owner in self.of_logs:
            self.tree.complain(
                place, f"boring '{owner}' is read from its log", hint="leave it out of the table, or the log out of the folder"
            )
            return
        if index is None and any(count.group == "borings" for count in self.counts):
            known = [str(boring.get("id")) for boring in borings]
            self.tree.complain(
                place,
                f"there is no boring '{owner}' in the sheet borings" if owner else "the row names no boring",
                "the id of a boring",
                did_you_mean(owner, known) if len(known) < 500 else "",
            )
            return
        if index is None:
            index = len(borings)
            borings.append({"id": owner})
            self.tree.spots["borings", index] = place
        entries = borings[index].setdefault(sheet.name, [])
        self._note_spots(("borings", index, sheet.name, len(entries)), spots, place)
        entries.append(entry)

    def _index_of(self, owner: str, borings: list[dict[str, Any]]) -> int | None:
        """Return where the first boring of that id stands, None where there is none; each boring is looked at once."""
        for index in range(self.indexed, len(borings)):
            self.index_by_id.setdefault(str(borings[index].get("id")), index)
        self.indexed = len(borings)
        return self.index_by_id.get(owner)

    def _note_spots(self, path: KeyPath, spots: dict[KeyPath, Spot], place: Place) -> None:
        self.tree.spots[path] = place
        for inner, spot in spots.items():
            self.tree.spots[*path, *inner] = spot

    def _entry(self, table: HeadedTable, number: int, row: tuple[Any, ...]) -> tuple[dict[str, Any], dict[KeyPath, Spot]]:
        """Return the entry that a row makes, and where its cells stand."""
        entry: dict[str, Any] = {}
        spots: dict[KeyPath, Spot] = {}
        file, unworked, is_water = table.cells.file, table.cells.unworked, table.sheet.name == "water"
        for heading in table.headings:
            column, index = heading.column, heading.index
            if column is None:
                continue
            cell, spot = row[index] if index < len(row) else None, (file, number, index + 1)
            if unworked and (number, index) in unworked:
                self.tree.complain(Place(*spot), f"{column.name}: the cell holds a formula without its value", hint=WORK_OUT)
                spots[column.path] = spot
            if cell is None:
                continue
            if isinstance(cell, str) and cell in ERRORS:
                hint = "mend the formula, or leave the cell blank"
                self.tree.complain(Place(*spot), f"{column.name}: the cell holds the error {cell}", hint=hint)
                spots[column.path] = spot
            elif is_water and column.name == "depth" and str(cell).strip().lower() in NO_WATER:
                entry.setdefault("reading", "none_met")
            elif not is_blank(cell, words=column.shape.kind in ("text", "choice", "list")):
                value = cell_value(cell, heading)
                if not heading.unit:
                    self._ask_unit(heading, value, spot)
                _put(entry, column.path, value)
                spots[column.path] = spot
        return entry, spots

    def _ask_unit(self, heading: TableHeading, value: Any, spot: Spot) -> None:
        """Complain of a number whose unit nothing says."""
        column = heading.column
        if column is None or not column.needs_unit:
            return
        declared = isinstance(self.tree.value.get("site"), dict) and self.tree.value["site"].get("units") in ("us", "si")
        if declared or has_own_unit(value) or (spot[0], heading.index) in self.asked:
            return
        self.asked.add((spot[0], heading.index))  # once a column
        units = f"{column.shape.measure.us} or {column.shape.measure.si}"
        self.tree.complain(
            Place(*spot),
            f"{column.name}: {value} has no unit",
            f"the unit in the heading, such as '{column.name} ({column.shape.measure.us})'",
            f"write {units} into the heading '{' '.join(heading.text.split())}', or 'units' and us or si into a sheet 'site'",
        )

    def _check_headings(self, table: HeadedTable) -> None:
        """Check for headings that mean nothing here, which are told, and for two that mean one column."""
        seen: dict[str, TableHeading] = {}
        for heading in table.headings:
            place = Place(table.cells.file, table.row, heading.index + 1)
            if heading.column is None:
                names = [column.name for column in table.sheet.columns]
                if heading.text.strip().lower() in ("length", "shaft length", "est length") and table.sheet.name == "shafts":
                    self.tree.complain(
                        place,
                        "a length does not say from which level it runs",
                        "cutoff and tip, or their elevations",
                        "leave the column out, and give the tip",
                    )
                self.book.found.append(_not_known(heading, place, table.sheet.name, names))
            elif heading.column.name in seen:
                other = " ".join(seen[heading.column.name].text.split())
                self.tree.complain(
                    place, f"the headings '{other}' and '{heading.text}' both mean {heading.column.name}", hint="rename one of them"
                )
            else:
                seen[heading.column.name] = heading


def _not_known(heading: TableHeading, place: Place, sheet: str, names: list[str]) -> ImportDoubt:
    """Return the note that a column is not read; a doubt where its heading speaks of a water level, which has a table of its own."""
    quoted = f"the heading '{' '.join(heading.text.split())[:60]}'"
    if sheet in ("borings", "layers") and means_water_level(heading.text):
        remedy = "write it into a table 'water': boring, reading (settled, while_drilling, none_met ...), depth, hours after drilling"
        return ImportDoubt("doubt", place, "", None, f"{quoted} tells water levels, which are not read from the table {sheet}", remedy)
    hint = did_you_mean(heading.text.lower(), names)
    return ImportDoubt("note", place, "", None, f"{quoted} is not known", f"the column is not read{hint and '; ' + hint}")


NEW_TABLES = "'methodpick new --tables' writes tables to fill in"


def _nearly(book: CellBook) -> Problem | None:
    """Return the problem of the table that lacks only some of its columns: which, and what headings were not understood."""
    found = [table for cells in book.sheets for sheet in sheets().values() if (table := head(cells, sheet)) is not None]
    if not found:
        return None
    table = max(found, key=lambda table: sum(heading.column is not None for heading in table.headings))
    known = [heading.column.name for heading in table.headings if heading.column is not None]
    lacking = [f"{column.name} or {STANDS_FOR[column.name]}" if column.name in STANDS_FOR else column.name for column in _lacking(table)]
    unknown = ", ".join(f"'{' '.join(heading.text.split())[:40]}'" for heading in table.headings if heading.column is None)
    return Problem(
        f"this may be a table of {table.sheet.name}, for it has {' and '.join(known)}, but no column is {', '.join(lacking)}",
        Place(table.cells.file, table.row, 1),
        f"headings such as {', '.join(column.name for column in table.sheet.columns[:8])}",
        (f"not understood: {unknown}; " if unknown else "") + NEW_TABLES,
    )


STANDS_FOR = {"tip": "tip_elevation", "cutoff": "cutoff_elevation", "top": "top_elevation", "base": "base_elevation"}
"""Depths in whose place a level may stand."""


def _lacking(table: HeadedTable) -> list[TableColumn]:
    """Return the columns that the rows of a table cannot do without and that it has not."""
    known = {heading.column.name for heading in table.headings if heading.column is not None}
    return [column for column in table.sheet.columns if column.required and not {column.name, STANDS_FOR.get(column.name)} & known]


def _complete(table: HeadedTable) -> bool:
    """Return whether a table has every column that its rows cannot do without; a level may stand for a depth."""
    return not _lacking(table)


def _put(entry: dict[str, Any], path: KeyPath, value: Any) -> None:
    """Set a value at a path of an entry; numbered steps fill a list."""
    if len(path) == 1:
        entry[str(path[0])] = value
    elif isinstance(path[1], int):
        pair = entry.setdefault(str(path[0]), [None, None])
        pair[path[1]] = value
    else:
        entry.setdefault(str(path[0]), {})[path[1]] = value


def pair_value(value: Any) -> Any:
    """Return a value of a sheet of keys and values: several with semicolons between them are a list."""
    if isinstance(value, str) and ";" in value:
        return [plain_number(part.strip()) for part in value.split(";") if part.strip()]
    if isinstance(value, str) and value.lower() in ("yes", "no", "true", "false"):
        return value.lower() in ("yes", "true")
    return plain_number(value)


def _set_dotted(tree: dict[str, Any], key: str, value: Any) -> KeyPath:
    """Set a value at a key with points in it, through maps and, where a step is a number, entries of a list; return the path.

    Empty where the path leads through something that holds no keys.
    """
    path: list[str | int] = [int(step) - 1 if step.isdecimal() and 0 < int(step[:6]) < 1000 else step for step in key.split(".")]
    inner: Any = tree
    for step, following in zip(path, [*path[1:], None], strict=True):
        fresh: Any = value if following is None else [] if isinstance(following, int) else {}
        if isinstance(step, int) and isinstance(inner, list) and step <= len(inner):
            inner += [fresh] if step == len(inner) else []
        elif isinstance(step, str) and isinstance(inner, dict):
            inner.setdefault(step, fresh)
        else:
            return ()
        inner = inner[step]
    return tuple(path)
