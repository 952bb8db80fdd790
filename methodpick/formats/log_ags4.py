"""Borings as an AGS4 log, of the groups that are read back; what has no place in them is named, not lost in silence.

Kept: id, depth, ground level, position, date, technique, layers (top, base, description, weathering), penetration tests (depth, count,
penetration), core runs, cone readings, casings, remarks, and water met while drilling, under pressure or not at all.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from methodpick.ground.position import Position
from methodpick.ground.profile import DAYS_APART, Layer, Profile, Spt, Technique, WaterReading

CODES: dict[Technique, str] = {
    "cable_percussion": "CP",
    "core": "RC",
    "rotary": "RO",
    "wash": "WASH",
    "window_sampler": "WS",
    "sonic": "SNC",
    "auger": "HA",
    "solid_auger": "AUGS",
    "hollow_stem_auger": "HSA",
}
"""Ways of drilling by the codes that the reader of AGS4 knows (from memory); rotary drilling with mud or with air has none."""
_KEPT_OF_LAYER = frozenset({"top_m", "base_m", "description", "weathering"})
_KEPT_OF_TEST = frozenset({"depth_m", "n", "penetration_m", "weight_of_hammer", "text"})
_KEPT_OF_BORING = frozenset(
    {
        "id",
        "ground_elevation_m",
        "position",
        "date",
        "technique",
        "depth_m",
        "casings",
        "casing_depth_m",
        "layers",
        "spt",
        "cores",
        "cone",
        "cone_area_ratio",
        "water",
        "remarks",
    }
)
_KEPT_OF_WATER = frozenset({"reading", "depth_m", "struck_m", "rises_to_m", "hole_depth_m", "casing_depth_m", "date", "remark"})


class Ags4Log(NamedTuple):
    """An AGS4 log as text, and what of the borings it does not hold, each with how often."""

    text: str
    dropped: tuple[str, ...]


class _Group(NamedTuple):
    name: str
    headings: tuple[str, ...]
    units: tuple[str, ...]
    rows: list[tuple[str, ...]]

    def lines(self) -> Iterable[str]:
        yield _line("GROUP", self.name)
        yield _line("HEADING", *self.headings)
        yield _line("UNIT", *self.units)
        yield _line("TYPE", *("2DP" if unit else "X" for unit in self.units))
        yield from (_line("DATA", *row) for row in self.rows)
        yield ""


def borings_ags4(borings: Sequence[Profile]) -> Ags4Log:
    r"""Return the borings as an AGS4 log.

    >>> borings_ags4([Profile(id="B-1", depth_m=9.5)]).text.splitlines()[4]
    '"DATA","B-1","","","","","","","9.5","",""'
    """
    rows: dict[str, list[tuple[str, ...]]] = {name: [] for name in _GROUPS}
    dropped: Counter[str] = Counter()
    for boring in borings:
        position = boring.position
        place = ("", "", "", "") if position is None else _place(position)
        reached = (_metres(boring.ground_elevation_m), _metres(boring.depth_m))
        first, _, last = (boring.date or "").partition(DAYS_APART)
        rows["LOCA"].append((boring.id, CODES.get(boring.technique, ""), *place, *reached, first, last))
        for layer in boring.layers:
            rows["GEOL"].append((boring.id, _metres(layer.top_m), _metres(layer.base_m), layer.description))
            if layer.weathering is not None:
                rows["WETH"].append((boring.id, _metres(layer.top_m), _metres(layer.base_m), layer.weathering))
        rows["ISPT"] += [(boring.id, *_test(test)) for test in boring.spt]
        rows["CORE"] += [
            (boring.id, _metres(run.top_m), _metres(run.base_m), *map(_share, (run.recovery_percent, run.solid_percent, run.rqd_percent)))
            for run in boring.cores
        ]
        rows["SCPT"] += [
            (boring.id, "1", _metres(each.depth_m), *map(_plain, (each.resistance_kpa / 1000, each.friction_kpa, each.pore_kpa)))
            for each in boring.cone
        ]
        if boring.cone_area_ratio is not None:
            rows["SCPG"].append((boring.id, "1", _plain(boring.cone_area_ratio)))
        rows["CDIA"] += [(boring.id, _metres(casing.depth_m), _millimetres(casing.diameter_m)) for casing in boring.casings]
        rows["DREM"] += [(boring.id, _metres(remark.depth_m), remark.text) for remark in boring.remarks]
        for reading in boring.water:
            _water(boring, reading, rows, dropped)
        dropped += _left_out(boring)
    groups = [_Group(name, *_GROUPS[name], found) for name, found in rows.items() if found]
    text = "\r\n".join(line for group in groups for line in group.lines()) + "\r\n"
    return Ags4Log(text, tuple(f"{what}: {count}" for what, count in sorted(dropped.items())))


_GROUPS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "LOCA": (
        ("LOCA_ID", "LOCA_TYPE", "LOCA_NATE", "LOCA_NATN", "LOCA_LAT", "LOCA_LON", "LOCA_GL", "LOCA_FDEP", "LOCA_STAR", "LOCA_ENDD"),
        ("", "", "m", "m", "", "", "m", "m", "yyyy-mm-dd", "yyyy-mm-dd"),
    ),
    "GEOL": (("LOCA_ID", "GEOL_TOP", "GEOL_BASE", "GEOL_DESC"), ("", "m", "m", "")),
    "WETH": (("LOCA_ID", "WETH_TOP", "WETH_BASE", "WETH_WETH"), ("", "m", "m", "")),
    "ISPT": (("LOCA_ID", "ISPT_TOP", "ISPT_NVAL", "ISPT_REP"), ("", "m", "", "")),
    "CORE": (("LOCA_ID", "CORE_TOP", "CORE_BASE", "CORE_PREC", "CORE_SREC", "CORE_RQD"), ("", "m", "m", "%", "%", "%")),
    "SCPG": (("LOCA_ID", "SCPG_TESN", "SCPG_CAR"), ("", "", "")),
    "SCPT": (("LOCA_ID", "SCPG_TESN", "SCPT_DPTH", "SCPT_RES", "SCPT_FRES", "SCPT_PWP2"), ("", "", "m", "MPa", "kPa", "kPa")),
    "WSTG": (("LOCA_ID", "WSTG_DPTH", "WSTG_DTIM", "WSTG_CAS", "WSTG_REM"), ("", "m", "yyyy-mm-dd", "m", "")),
    "WSTD": (("LOCA_ID", "WSTG_DPTH", "WSTD_POST"), ("", "m", "m")),
    "CDIA": (("LOCA_ID", "CDIA_DPTH", "CDIA_DIAM"), ("", "m", "mm")),
    "DREM": (("LOCA_ID", "DREM_TOP", "DREM_REM"), ("", "m", "")),
}


def _line(*cells: str) -> str:
    return ",".join(f'"{" ".join(cell.split()).replace(chr(34), chr(34) * 2)}"' for cell in cells)


def _place(position: Position) -> tuple[str, str, str, str]:
    """Return east and north, latitude and longitude as cells."""
    degrees = ("" if angle is None else repr(angle) for angle in (position.latitude_deg, position.longitude_deg))
    latitude, longitude = degrees
    return _metres(position.east_m), _metres(position.north_m), latitude, longitude


def _metres(length_m: float | None) -> str:
    return "" if length_m is None else f"{round(length_m, 3):g}" if abs(length_m) < 1000 else f"{round(length_m, 3)}"


def _millimetres(length_m: float | None) -> str:
    return "" if length_m is None else f"{round(length_m * 1000, 1):g}"


def _plain(value: float | None) -> str:
    return "" if value is None else f"{round(value, 6):g}" if abs(value) < 1000 else f"{round(value, 3)}"


def _share(percent: float | None) -> str:
    return "" if percent is None else f"{percent:g}"


def _test(test: Spt) -> tuple[str, str, str]:
    """Return depth, count and reported text of a test; a refusal as blows and penetration, as the format has it."""
    if test.weight_of_hammer:
        return _metres(test.depth_m), "0", "Self weight penetration"
    if test.penetration_m is not None:
        return _metres(test.depth_m), "", f"{test.n}/{_millimetres(test.penetration_m)}mm"
    return _metres(test.depth_m), "" if test.n is None else str(test.n), test.text


def _none_met(boring: Profile, reading: WaterReading) -> str:
    """Return the words for a hole without water, with the depth down to which that holds where it is not the whole boring."""
    hole_m = reading.hole_depth_m
    return "None encountered" if hole_m is None or hole_m >= boring.end_m else f"Dry to {_metres(hole_m)} m"


def _water(boring: Profile, reading: WaterReading, rows: dict[str, list[tuple[str, ...]]], dropped: Counter[str]) -> None:
    """Add a reading as a strike with its rise, or as none met; any other kind has no place in these groups."""
    if reading.reading not in ("while_drilling", "confined", "none_met"):
        dropped[f"water reading ({reading.reading.replace('_', ' ')})"] += 1
        return
    struck = reading.met_m
    remark = _none_met(boring, reading) if reading.reading == "none_met" else reading.remark or ""
    rows["WSTG"].append((boring.id, _metres(struck), reading.date or "", _metres(reading.casing_depth_m), remark))
    if reading.rises_to_m is not None and struck is not None:
        rows["WSTD"].append((boring.id, _metres(struck), _metres(reading.rises_to_m)))


def _left_out(boring: Profile) -> Counter[str]:
    """Return what of a boring has no place in the log, by its key in a site file."""
    found: Counter[str] = Counter()
    for name in boring.model_fields_set - _KEPT_OF_BORING:
        found[f"boring: {_word(boring, name)}"] += bool(getattr(boring, name))
    for kind, kept, entries in (
        ("layer", _KEPT_OF_LAYER, boring.layers),
        ("test", _KEPT_OF_TEST, boring.spt),
        ("water", _KEPT_OF_WATER, boring.water),
    ):
        for entry in entries:
            found.update(f"{kind}: {_word(entry, name)}" for name in entry.model_fields_set - kept if _says(entry, name))
    return +found


def _says(entry: Layer | Spt | WaterReading, name: str) -> bool:
    value = getattr(entry, name)
    return value not in (None, (), "", "unknown")


def _word(entry: Profile | Layer | Spt | WaterReading, name: str) -> str:
    return type(entry).model_fields[name].alias or name
