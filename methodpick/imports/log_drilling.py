"""How a boring of a log was drilled: technique as a whole and by depth (LOCA_TYPE, HDPH, CORE), diameters (HDIA), casings (CDIA, *_CAS)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TypeVar

from methodpick.ground.profile import DAYS_APART, CasingLength, CoreRun, DrilledLength, Technique, day_of
from methodpick.imports.log_tables import DataRow, Tables
from methodpick.patterns import pattern_of

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
    "SSA": "solid_auger",
    "OR": "rotary",
    "RPS": "rotary",
}
"""Ways of drilling by the codes of HDPH_TYPE and LOCA_TYPE (from memory); a reader of another format uses the words themselves."""
NOT_DRILLED = frozenset(
    {"TP", "TT", "IP", "OP", "HP", "TPS", "DP", "DPL", "DPM", "DPH", "DPSH", "DCP", "PP", "SCP", "CPT", "CPTU"}
    | {"EXP", "TRAV", "GS", "PLT", "ICBR", "SOAK"}
)
"""Codes of pits, trenches and probes, which are known and are not drilled."""
_WORDS_ALONE: tuple[Technique, ...] = ("mud_rotary", "air_rotary")
"""Ways that have no code of their own: they are told by words, or by the flush."""
_WORDS = frozenset({*TECHNIQUES.values(), *_WORDS_ALONE})
_WAY_WORDS: tuple[tuple[str, Technique | None], ...] = (
    (r"window|dynamic sampl|direct push|geoprobe", "window_sampler"),
    (r"prob(?:e|ing)\b|penetromet|\b[sd]?cptu?\b|\bpits?\b|\bpitting|trench|\bdug\b|excavator", None),
    (r"\bHSA\b|hollow", "hollow_stem_auger"),
    (r"\bSSA\b|\bSFA\b|\bCFA\b|solid[- ]?(?:stem|flight)|continuous[- ]flight|\bflight auger", "solid_auger"),
    (r"mud|bentonite|polymer|drilling fluid", "mud_rotary"),
    (r"\bwash", "wash"),
    (r"rock core|\bcoring\b|\bcored?\b|\b[BNHP]Q\d?\b|\b[BNH]X\b", "core"),
    (r"sonic", "sonic"),
    (r"shell (?:and|&) auger|^(?!.*rotary).*(?:percussi|\bcable)", "cable_percussion"),
    (
        r"^(?=.*rotary)(?=.*\bair\b(?![ /-]*(?:mist|foam|and|water)))(?!.*auger)|\bair[- ](?:flush|hammer|rotary)|down[- ]the[- ]hole",
        "air_rotary",
    ),
    (r"odex|open[- ]?hole", "rotary"),
    (r"^(?=.*auger)(?!.*rotary)", "auger"),
    (r"^(?=.*rotary)(?!.*auger)", "rotary"),
)
"""Words of a method, and the technique that they name; the first that fits, None of what is not drilled."""
_WAYS = tuple((pattern_of(words, re.IGNORECASE), way) for words, way in _WAY_WORDS)


def way_in_words(text: str) -> Technique | None:
    """Return the technique that words of a method name, None where they name none, or a pit or a probe.

    >>> [way_in_words(text) for text in ("Light cable percussion", "Rotary cored (air mist)", "Dynamic probing", "Windowless sampler")]
    ['cable_percussion', 'core', None, 'window_sampler']
    """
    return next((way for pattern, way in _WAYS if pattern.search(text)), None)


def date_of(header: DataRow) -> str | None:
    """Return the day on which a boring was drilled, or the first and the last; None where neither is given."""
    days = (day_of(header.text(name)) for name in ("LOCA_STAR", "LOCA_ENDD"))
    return DAYS_APART.join(dict.fromkeys(day for day in days if day)) or None


def technique_of(tables: Tables, boring: str, header: DataRow | None) -> Technique:
    """Return how the upper part was drilled, which decides how far a water reading is believed."""
    stated = header.text("LOCA_TYPE") if header else ""
    ways = _ways_of(stated, tables, "LOCA_TYPE")
    if not ways:
        rows = sorted(tables.of("HDPH", boring), key=lambda row: row.number("HDPH_TOP") or 0.0)
        ways = [way for row in rows for way in _ways_of_row(row, tables)]
    if ways:
        return _by_flush(ways[0], tables, boring, 0.0, FLUSH_AT_TOP_M)
    if header is not None and stated and not set(stated.upper().split("+")) <= NOT_DRILLED:
        header.doubt("the kind of boring is not known here", "its technique stays unknown", quoted=stated, severity="note")
    return "unknown"


FLUSH_AT_TOP_M = 1.5
"""A flush that begins above this depth, below the inspection pit, is that of the boring from its top (own value)."""
AIR_ALONE = pattern_of(r"\s*air\s*$", re.IGNORECASE)
"""A flush of air without water, mist or foam in it."""


def _by_flush(way: Technique, tables: Tables, boring: str, top_m: float, base_m: float) -> Technique:
    """Return rotary drilling as drilling by air where every flush of a length was air: it lets water into the hole, and shows it."""
    flushes = [
        row.text("FLSH_TYPE")
        for row in tables.of("FLSH", boring)
        if (start := row.number("FLSH_TOP")) is not None and start < base_m and (row.number("FLSH_BASE") or base_m) > top_m
    ]
    return "air_rotary" if way == "rotary" and flushes and all(map(AIR_ALONE.match, flushes)) else way


def _ways_of(code: str, tables: Tables, heading: str) -> list[Technique]:
    """Return the techniques of a code such as CP+RC, of a word of a site file, or of what the file's own table says of the code."""
    found = [way for part in code.split("+") if (way := _technique(part.strip())) is not None]
    if not found and (explained := tables.codes(heading).get(code.strip(), "")):
        found = [way] if (way := way_in_words(explained)) is not None else []
    return found


def _technique(code: str) -> Technique | None:
    """Read a code such as CP, or one of the words of a site file."""
    if code.upper() in TECHNIQUES:
        return TECHNIQUES[code.upper()]
    return next((word for word in (*TECHNIQUES.values(), *_WORDS_ALONE) if word == code), None) if code in _WORDS else None


def _ways_of_row(row: DataRow, tables: Tables) -> list[Technique]:
    """Return the techniques of a length: by its code, else by the words for its method or its plant."""
    code = row.text("HDPH_TYPE")
    if code:
        return _ways_of(code, tables, "HDPH_TYPE")
    words = (way_in_words(row.text(heading)) for heading in ("HDPH_METH", "HDPH_EXC"))
    return [way for way in words if way is not None][:1]


def drilling_of(tables: Tables, boring: str, cores: Sequence[CoreRun], end_m: float | None) -> tuple[DrilledLength, ...]:
    """Return the lengths of a boring by way of drilling and by diameter, from the top down."""
    return _kept(tables, boring, "HDIA", (*_lengths(tables, boring, cores, end_m), *_diameters(tables, boring)))


def _lengths(tables: Tables, boring: str, cores: Sequence[CoreRun], end_m: float | None) -> list[DrilledLength]:
    """Return the lengths by way of drilling: as HDPH says, else cored from the first core run on where the kind says so."""
    found: set[DrilledLength] = set()
    for row in tables.of("HDPH", boring):
        top, base, ways = row.number("HDPH_TOP"), row.number("HDPH_BASE"), _ways_of_row(row, tables)
        if ways and top is not None and base is not None and 0 <= top < base:
            found |= set(_split([_by_flush(way, tables, boring, top, base) for way in ways], top, base, cores))
        elif (code := row.text("HDPH_TYPE")) and not ways and not set(code.upper().split("+")) <= NOT_DRILLED:
            row.doubt("the way of drilling is not known here", "its technique stays unknown", depth_m=top, quoted=code, severity="note")
    if found:
        return sorted(found, key=lambda length: (length.top_m, length.base_m, str(length.technique)))
    kinds = [way for row in tables.of("LOCA", boring) for way in _ways_of(row.text("LOCA_TYPE"), tables, "LOCA_TYPE")]
    if len(kinds) < 2 or end_m is None or end_m <= 0:
        return []
    lengths = _split(kinds, 0.0, end_m, cores)
    return lengths if len(lengths) > 1 else []


def _split(ways: list[Technique], top_m: float, base_m: float, cores: Sequence[CoreRun]) -> list[DrilledLength]:
    """Return a length of several ways as two, cored from its first core run on, where its last way is coring."""
    start = min((run.top_m for run in cores if top_m <= run.top_m < base_m), default=None)
    if len(ways) < 2 or ways[-1] != "core" or start is None:
        return [DrilledLength(top_m=top_m, base_m=base_m, technique=ways[0])]
    if start <= top_m:
        return [DrilledLength(top_m=top_m, base_m=base_m, technique="core")]
    return [DrilledLength(top_m=top_m, base_m=start, technique=ways[0]), DrilledLength(top_m=start, base_m=base_m, technique="core")]


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


def cased_to(tables: Tables, boring: str, casings: Sequence[CasingLength]) -> float | None:
    """Return how deep the boring was cased at its deepest: by its casings, or by the casing noted with tests, shifts and strikes."""
    noted = [
        depth
        for group, heading in (("ISPT", "ISPT_CAS"), ("PTIM", "PTIM_CAS"), ("WSTG", "WSTG_CAS"))
        for row in tables.holding(group, boring, (heading,))
        if (depth := casing_in(row, heading)) is not None and depth > 0
    ]
    return max([*(casing.depth_m for casing in casings), *noted], default=None)


def casing_in(row: DataRow, heading: str) -> float | None:
    """Return the depth of the casing in a cell, None where it says in words that there was none."""
    return None if _NO_CASING.match(row.text(heading)) else row.number(heading)


_NO_CASING = pattern_of(r"\s*(?:no|nil|none|uncased|open|open hole|no casing|n/?a)\.?\s*$", re.IGNORECASE)
MOST_LENGTHS = 200
_Length = TypeVar("_Length")


def _kept(tables: Tables, boring: str, group: str, lengths: tuple[_Length, ...]) -> tuple[_Length, ...]:
    """Return the first lengths, as many as a boring may have, with a doubt where there are more."""
    rows = tables.of(group, boring)
    if len(lengths) > MOST_LENGTHS and rows:
        rows[0].doubt(f"the boring has {len(lengths)} diameters or casings", f"the first {MOST_LENGTHS} are kept", severity="serious")
    return lengths[:MOST_LENGTHS]
