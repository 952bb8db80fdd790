"""The columns of tables: their names, which are the keys of the site file, and what else they are called.

Names are compared in small letters without signs and units, so that ``Depth (ft)``, ``DEPTH_FT`` and ``depth`` are one column.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache

from pydantic import BaseModel

from methodpick.ground.position import PAIRS as PAIRS_OF_PLACE
from methodpick.ground.position import Position
from methodpick.ground.profile import ConeReading, CoreRun, Layer, Profile, Remark, Spt, WaterReading
from methodpick.ground.quantity import LENGTH
from methodpick.ground.site import Bell, Shaft, StockCasing
from methodpick.imports.site_keys import Shape, keys_of
from methodpick.records import record
from methodpick.strict_yaml import KeyPath

# ---- sheets and columns


ELEVATION = Shape("quantity", LENGTH)


@record
class TableColumn:
    """A column: its canonical name, where its values go in an entry of the site file, and what may stand there."""

    name: str
    path: KeyPath
    shape: Shape
    synonyms: tuple[str, ...] = ()
    required: bool = False
    explanation: str = ""

    @property
    def needs_unit(self) -> bool:
        """Return whether a bare number would mean one thing in metres and another in feet."""
        quantity = self.shape.quantity
        return quantity is not None and quantity.us != quantity.si


@record
class TableSheet:
    """A sheet: its name, what else it is called, the list of the site file that its rows go to, and its columns.

    ``owner`` is the column that names the boring of a row; a sheet without one fills a list of the site itself.
    """

    name: str
    synonyms: tuple[str, ...]
    columns: tuple[TableColumn, ...]
    explanation: str
    owner: str = ""


_ON_GLOBE: dict[str, tuple[str, ...]] = {
    "latitude": ("lat", "lat dd", "latitude dd", "gps lat", "gps latitude", "lat wgs84", "latitude wgs84"),
    "longitude": ("long", "lon", "lng", "long dd", "longitude dd", "gps long", "gps longitude", "long wgs84", "longitude wgs84"),
}
_SYNONYMS: dict[str, dict[str, tuple[str, ...]]] = {
    "borings": {
        "id": ("hole id", "holeid", "hole", "boring", "boring id", "boring no", "boring number", "bh", "borehole", "borehole id",
               "location", "location id", "locationid", "point id", "point", "name", "label", "test hole", "dh", "drillhole", "no"),
        "ground_elevation": ("elevation", "gl", "rl", "z", "elev", "surface elev", "surface elevation", "ground level", "ground el", "ge",
                             "elev grnd", "ground elev", "groundlevel", "el"),
        "depth": ("final depth", "finaldepth", "fdep", "td", "total depth", "depth of boring", "eoh", "drilled depth", "boring depth",
                  "end"),
        "date": ("date drilled", "drilling date", "drilled on", "date started", "start date", "date of boring"),
        "technique": ("drilling method", "method", "rig"),
        "hammer_efficiency": ("er", "etr", "hammer eff", "energy ratio", "hammer energy"),
        "diameter": ("hole diameter", "boring diameter", "dia"),
        "casing_depth": ("casing", "casing to"),
        "cave_in_depth": ("cave in", "caved at", "cave depth"),
        "east": ("easting", "x", "e", "nate"),
        "north": ("northing", "y", "n", "natn"),
        **_ON_GLOBE,
    },
    "layers": {
        "top": ("from", "depth from", "start", "top depth", "depth top", "litho depth from"),
        "base": ("to", "bottom", "depth to", "end", "base depth", "bottom depth", "depth bottom", "depth base", "litho depth to"),
        "description": ("desc", "lithology", "soil", "material", "strata", "soil description", "stratum"),
        "symbol": ("uscs", "class", "group symbol", "legend", "uscs symbol", "classification"),
        "su": ("cu", "undrained strength", "undrained shear strength", "shear strength"),
        "unit_weight": ("gamma", "total unit weight", "density"),
        "pi": ("plasticity index",),
        "fines": ("passing 200", "p200", "minus 200", "fines content"),
        "ucs": ("qu", "compressive strength"),
        "rqd": (),
        "recovery": ("rec", "tcr"),
        "weathering": ("weathering grade", "weathering class", "weathered", "grade of weathering", "wg", "weath"),
    },
    "spt": {
        "depth": ("top", "sample depth", "test depth", "from"),
        "n": ("nspt", "spt", "n value", "blow count", "bpf", "spt n", "blows per foot"),
        "blows": ("6in", "blows 6in", "blow counts", "increments"),
    },
    "water": {
        "depth": ("gwl", "gwt", "dtw", "wl", "water depth", "depth to water", "water level", "level", "groundwater", "ground water",
                  "groundwater depth", "groundwater level", "depth to groundwater", "water table", "gw depth", "gw level"),
        "reading": ("kind", "when", "type", "time", "condition"),
        "struck": ("strike", "strike depth", "struck at"),
        "rises_to": ("rose to", "rise", "rising to"),
        "after": ("hours", "after hours", "elapsed"),
        "response_top": ("screen top", "zone top"),
        "response_base": ("screen bottom", "screen base", "zone base"),
        "remark": ("comment", "remarks", "note"),
    },
    "cores": {
        "top": ("from", "depth from", "start"),
        "base": ("to", "bottom", "depth to", "end"),
        "recovery": ("rec", "tcr", "core recovery"),
        "solid": ("scr",),
        "rqd": ("rock quality",),
    },
    "cone": {
        "depth": ("at", "test depth"),
        "resistance": ("qc", "tip resistance", "cone resistance", "q c"),
        "friction": ("fs", "sleeve friction", "f s"),
        "pore_pressure": ("u2", "u", "pwp", "pwp2", "pore water pressure"),
    },
    "remarks": {"depth": ("at", "from"), "text": ("remark", "comment", "note", "remarks")},
    "shafts": {
        "id": ("pier", "shaft no", "shaft", "shaft id", "pile", "pile no", "pile id", "bent", "foundation", "mark", "no",
               "shaft number",
               "label", "name", "shaft mark"),
        "boring": ("boring id", "ref boring", "reference boring", "borehole", "bh", "nearest boring"),
        "diameter": ("dia", "diam", "size", "shaft dia", "shaft diameter", "shaft diam", "shaft size", "drilled shaft diameter"),
        "cutoff": ("cut off", "cutoff depth", "top depth", "depth to top"),
        "tip": ("tip depth", "depth to tip", "bottom depth"),
        "cutoff_elevation": ("top el", "top elevation", "top elev", "cutoff elevation", "cut off elevation", "cutoff el", "cut off el",
                             "tos", "t o s", "tos el", "tos elev", "t shaft el", "t shaft elev", "t o shaft el", "t o shaft elev",
                             "top shaft el", "top of drilled shaft", "top of drilled shaft el", "top of drilled shaft elev",
                             "top of pier", "top of pier el", "top of pier elev", "t pier el", "t o pier el",
                             "t o shaft", "to shaft", "top of shaft", "top of shaft el", "top of shaft elevation",
                             "top of shaft elev"),
        "tip_elevation": ("tip el", "tip elev", "bot el", "bottom el", "bottom elevation", "bos", "design tip", "est tip", "min tip",
                          "b shaft el", "b shaft elev", "b o shaft", "b o shaft el", "b o shaft elev", "bottom of shaft el",
                          "bottom of shaft elev", "bottom of drilled shaft el", "bottom of drilled shaft elev", "bottom of pier el",
                          "bottom of pier elev", "b pier el", "tip elevation el", "est tip el", "est tip elev", "min tip el",
                          "min tip elev", "design tip elev",
                          "bottom of shaft", "bottom of shaft elevation", "design tip elevation", "design tip el", "shaft tip el",
                          "shaft tip elevation"),
        "ground_elevation": ("exist grade el", "existing grade", "existing grade el", "ex grade el",
                             "ground el", "ground elev", "grade el", "ground level", "grade", "existing ground", "eg"),
        "socket_top": ("tor", "top of rock", "rock depth"),
        "socket_diameter": ("rock socket dia", "socket dia", "rock socket diameter"),
        "cage_diameter": ("cage dia", "cage"),
        "cover": ("concrete cover", "clear cover"),
        "count": ("qty", "quantity", "each", "number", "no of shafts", "no req", "no req d", "no reqd", "req d", "number required", "ea"),
        "east": ("easting", "x", "e"),
        "north": ("northing", "y", "n"),
        **_ON_GLOBE,
        "bell_diameter": ("bell dia", "bell"),
        "bell_height": (),
        "substructure": ("structure", "support"),
    },
    "stock": {
        "outside_diameter": ("od", "outside dia", "diameter", "casing od"),
        "wall": ("wall thickness", "thickness", "t", "wt"),
        "length": ("len",),
        "count": ("qty", "quantity", "number", "no", "pieces"),
    },
}  # fmt: skip
"""What columns are called in public tables and on drawings (handbooks and files read), by sheet and canonical name."""

_OWNER = ("id", "hole id", "holeid", "hole", "boring id", "boring no", "bh", "borehole", "borehole id", "location", "location id",
          "locationid", "point id", "point", "drillhole", "drillhole no", "boring number", "name")  # fmt: skip


@lru_cache(maxsize=4096)
def normal(header: str) -> str:
    r"""Return a header in small letters without signs, to compare it.

    >>> normal("TOP_EL."), normal("Shaft\nNo.")
    ('top el', 'shaft no')
    """
    return " ".join(re.sub(r"[^a-z0-9]+", " ", header.lower()).split())


def _columns(sheet: str, model: type[BaseModel], leave: frozenset[str] = frozenset()) -> list[TableColumn]:
    """Return a column for every key of a model whose value stands in one cell."""
    named = _SYNONYMS[sheet]
    return [
        TableColumn(word, (word,), key.shape, named.get(word, ()), key.required)
        for word, key in keys_of(model).items()
        if word not in leave and key.shape.kind not in ("model", "map", "any") and not _nested(key.shape)
    ]


def _nested(shape: Shape) -> bool:
    return shape.kind == "list" and shape.item is not None and shape.item.kind in ("model", "list")


def _inner(sheet: str, outer: str, model: type[BaseModel], words: dict[str, str]) -> list[TableColumn]:
    """Return columns for keys of a map inside an entry, under names of their own."""
    keys = keys_of(model)
    return [TableColumn(name, (outer, word), keys[word].shape, _SYNONYMS[sheet].get(name, ())) for name, word in words.items()]


def _elevations(sheet: str, names: tuple[str, ...]) -> list[TableColumn]:
    return [TableColumn(name, (name,), ELEVATION, _SYNONYMS[sheet].get(name, ())) for name in names]


@cache
def sheets() -> dict[str, TableSheet]:
    """Return all sheets with rows, by their name."""
    place = {word: word for pair in PAIRS_OF_PLACE for word in pair}
    owner = TableColumn("boring", ("boring",), Shape("text"), _OWNER, required=True)
    zone = [
        TableColumn(name, ("response_zone", index), ELEVATION, _SYNONYMS["water"][name])
        for index, name in enumerate(("response_top", "response_base"))
    ]
    borings = [*_columns("borings", Profile), *_inner("borings", "position", Position, place)]
    shafts = [
        *_columns("shafts", Shaft),
        *_inner("shafts", "position", Position, place),
        *_inner("shafts", "bell", Bell, {"bell_diameter": "diameter", "bell_height": "height"}),
        *_elevations("shafts", ("cutoff_elevation", "tip_elevation")),
    ]
    layers = [owner, *_columns("layers", Layer), *_elevations("layers", ("top_elevation", "base_elevation"))]
    water = [owner, *_columns("water", WaterReading, frozenset({"response_zone"})), *zone]
    found = (
        TableSheet("borings", ("boring", "boreholes", "holes", "locations", "collar", "location", "borehole"), tuple(borings),
                   "a row for each boring"),
        TableSheet("layers", ("layer", "strata", "lithology", "geology", "litho", "stratigraphy"), tuple(layers),
                   "a row for each layer, depths below the ground at the boring", "boring"),
        TableSheet("spt", ("tests", "blow counts", "penetration tests", "n values"), (owner, *_columns("spt", Spt)),
                   "a row for each penetration test", "boring"),
        TableSheet("water", ("water levels", "groundwater", "water readings"), tuple(water), "a row for each reading of water", "boring"),
        TableSheet("cores", ("core", "coring", "core runs", "rock core"), (owner, *_columns("cores", CoreRun)),
                   "a row for each core run", "boring"),
        TableSheet("cone", ("cpt", "cone test", "cone tests", "cpts", "cone readings"), (owner, *_columns("cone", ConeReading)),
                   "a row for each reading of a cone beside the boring", "boring"),
        TableSheet("remarks", ("remark", "notes", "comments"), (owner, *_columns("remarks", Remark)), "what the driller noted", "boring"),
        TableSheet("shafts", ("shaft", "shaft schedule", "drilled shaft schedule", "schedule", "piles", "piers", "pile schedule"),
                   tuple(shafts),
                   "a row for each shaft, depths below the ground at the shaft, or elevations"),
        TableSheet("stock", ("yard", "casings", "casing stock"), tuple(_columns("stock", StockCasing)), "casing in the yard"),
    )  # fmt: skip
    return {sheet.name: sheet for sheet in found}


PAIRS = ("site", "rates", "pay")
"""Sheets of two columns, a key of the site file (dotted where it is inside another) and its value."""


def sheet_named(name: str) -> str:
    """Return the canonical name of a sheet or of a file without its suffix, empty where it is not known."""
    plain = normal(name)
    if plain in PAIRS:
        return plain
    return next((sheet.name for sheet in sheets().values() if plain in (sheet.name, *sheet.synonyms)), "")


def column_named(sheet: TableSheet, header: str) -> TableColumn | None:
    """Return the column that a header means, None where it means none."""
    return _meanings(sheet.name).get(normal(header))


@cache
def _meanings(sheet: str) -> dict[str, TableColumn]:
    """Return the columns of a sheet by every header that means one; a name goes before a synonym, the first column before others."""
    columns = sheets()[sheet].columns
    found = {synonym: column for column in reversed(columns) for synonym in column.synonyms}
    return found | {normal(column.name): column for column in reversed(columns)}
