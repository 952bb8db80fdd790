"""How a boring was drilled: its technique as a whole and by depth (LOCA_TYPE, HDPH, CORE), its diameters (HDIA) and casings (CDIA)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from methodpick.ground.profile import CasingLength, CoreRun, DrilledLength, Technique
from methodpick.imports.log_tables import DataRow, Tables

TECHNIQUES: dict[str, Technique] = {
    "CP": "cable_percussion",
    "RC": "core",
    "DC": "core",
    "RO": "rotary",
    "RP": "rotary",
    "W": "wash",
    "WASH": "wash",
    "WS": "window_sampler",
    "WLS": "window_sampler",
    "DS": "window_sampler",
    "SNC": "sonic",
    "SON": "sonic",
    "HA": "auger",
    "AUGH": "auger",
    "AUGS": "solid_auger",
    "SA": "solid_auger",
    "CFA": "solid_auger",
    "HSA": "hollow_stem_auger",
    "AUGM": "auger",
    "FA": "solid_auger",
}
"""Ways of drilling by the codes of HDPH_TYPE and LOCA_TYPE (from memory); a reader of another format uses the words themselves."""
NOT_DRILLED = frozenset({"TP", "TT", "IP", "OP", "HP", "TPS", "DP", "DPL", "DPH", "DCP", "PP", "SCP", "CPT"})
"""Codes of pits, trenches and probes, which are known and are not drilled."""
_WORDS = frozenset(TECHNIQUES.values()) | {"mud_rotary"}


def technique_of(tables: Tables, boring: str, header: DataRow | None) -> Technique:
    """Return how the upper part was drilled, which decides how far a water reading is believed."""
    stated = header.text("LOCA_TYPE") if header else ""
    rows = sorted(tables.of("HDPH", boring), key=lambda row: row.number("HDPH_TOP") or 0.0)
    for kind in [*stated.split("+"), *(row.text("HDPH_TYPE") for row in rows)]:
        if found := _technique(kind):
            return found
    if header is not None and stated and not set(stated.upper().split("+")) <= NOT_DRILLED:
        header.doubt("the kind of boring is not known here", "its technique stays unknown", quoted=stated, severity="note")
    return "unknown"


def _technique(code: str) -> Technique | None:
    """Read a code such as CP, or one of the words of a site file; of several with + between them the first that is known."""
    for part in code.split("+"):
        plain = part.strip()
        if plain.upper() in TECHNIQUES:
            return TECHNIQUES[plain.upper()]
        if plain in _WORDS:
            return next(word for word in (*TECHNIQUES.values(), "mud_rotary") if word == plain)
    return None


def drilling_of(tables: Tables, boring: str, cores: Sequence[CoreRun], end_m: float | None) -> tuple[DrilledLength, ...]:
    """Return the lengths of a boring by way of drilling and by diameter, from the top down."""
    return _kept(tables, boring, "HDIA", (*_ways(tables, boring, cores, end_m), *_diameters(tables, boring)))


def _ways(tables: Tables, boring: str, cores: Sequence[CoreRun], end_m: float | None) -> list[DrilledLength]:
    """Return the lengths by way of drilling: as HDPH says, else cored from the first core run on where the kind says so."""
    found = []
    for row in tables.of("HDPH", boring):
        top, base, way = row.number("HDPH_TOP"), row.number("HDPH_BASE"), _technique(row.text("HDPH_TYPE"))
        if way is not None and top is not None and base is not None and 0 <= top < base:
            found.append(DrilledLength(top_m=top, base_m=base, technique=way))
    found = sorted(set(found), key=lambda length: (length.top_m, length.base_m, str(length.technique)))
    kinds = [
        way for part in (row.text("LOCA_TYPE") for row in tables.of("LOCA", boring)) for way in map(_technique, part.split("+")) if way
    ]
    if found or not cores or len(kinds) < 2 or kinds[-1] != "core" or end_m is None:
        return found
    start = min(run.top_m for run in cores)
    if not 0 < start < end_m:
        return []
    return [DrilledLength(top_m=0.0, base_m=start, technique=kinds[0]), DrilledLength(top_m=start, base_m=end_m, technique="core")]


def _diameters(tables: Tables, boring: str) -> list[DrilledLength]:
    """Return the lengths by diameter; HDIA gives the depth to which each diameter reached."""
    reached = []
    for row in tables.of("HDIA", boring):
        base, diameter = row.number("HDIA_DPTH"), row.number("HDIA_DIAM", "m", "mm")
        if base is None or base <= 0 or diameter is None or not 0 < diameter < MOST_DIAMETER_M:
            row.set_aside("the diameter of the hole has no depth or no size", severity="note")
        else:
            reached.append((base, diameter))
    found, top = [], 0.0
    for base, diameter in sorted(set(reached), key=lambda pair: (pair[0], -pair[1])):
        if base > top:
            found.append(DrilledLength(top_m=top, base_m=base, diameter_m=diameter))
            top = base
    return found


MOST_DIAMETER_M = 5.0
"""A bored hole wider than this is a slip of units (own value)."""


def casings_of(tables: Tables, boring: str) -> tuple[CasingLength, ...]:
    """Return the casings of a boring with their depths, the shallowest first."""
    found = set()
    for row in tables.of("CDIA", boring):
        depth, diameter = row.number("CDIA_DPTH"), row.number("CDIA_DIAM", "m", "mm")
        if depth is None or depth <= 0:
            row.set_aside("the casing has no depth", severity="note")
            continue
        if diameter is not None and not 0 < diameter < MOST_DIAMETER_M:
            row.doubt(f"a casing of {diameter:g} m diameter cannot be", "the diameter is left out", depth_m=depth)
            diameter = None
        found.add(CasingLength(depth_m=depth, diameter_m=diameter))
    return _kept(tables, boring, "CDIA", tuple(sorted(found, key=lambda casing: (casing.depth_m, casing.diameter_m or 0.0))))


MOST_LENGTHS = 200
_Length = TypeVar("_Length")


def _kept(tables: Tables, boring: str, group: str, lengths: tuple[_Length, ...]) -> tuple[_Length, ...]:
    """Return the first lengths, as many as a boring may have, with a doubt where there are more."""
    rows = tables.of(group, boring)
    if len(lengths) > MOST_LENGTHS and rows:
        rows[0].doubt(f"the boring has {len(lengths)} diameters or casings", f"the first {MOST_LENGTHS} are kept", severity="serious")
    return lengths[:MOST_LENGTHS]
