"""Symbols of soil classifications, and names of two words, written as the noun they stand for: what names soil and is no plain noun.

Symbols are those of the unified soil classification and of boring-log legends, with what they allow a layer to be. Sources: ASTM D2487
(group symbols; 5, 12 and 50 % fines as the borders between clean, borderline, dirty and fine-grained soils), ASTM D2488 (the same symbols
by eye), AASHTO M 145 (groups A-1 to A-8 of American roads; granular up to 35 % fines); all from memory. The likely shares of fines are
own values.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Literal

from methodpick.ground.descriptions.words import NOUNS, words_of
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.terms import SOIL_CLASSES

# ---- symbols


ShareRange = tuple[float, float | None, float]
"""Low, likely and high share in percent by dry mass."""
Plasticity = Literal["high", "medium", "low", "none"]

SOILS = frozenset(SOIL_CLASSES)
"""The classes that a layer may have; one that is logged as water is a void full of it."""

CLEAN: ShareRange = (0.0, 3.0, 5.0)
BORDERLINE: ShareRange = (5.0, 8.0, 12.0)
DIRTY: ShareRange = (12.0, 25.0, 50.0)
FINE: ShareRange = (50.0, 80.0, 100.0)


@record
class Symbol:
    """What a symbol allows: classes, the likeliest one, the share of fines in percent, the plasticity."""

    soils: frozenset[str]
    likely: str | None
    fines: ShareRange | None = None
    plasticity: Plasticity | None = None


def _single(soil: str, fines: ShareRange | None = None, plasticity: Plasticity | None = None) -> Symbol:
    return Symbol(frozenset({soil}), soil, fines, plasticity)


def _border(clean: str, dirty: str) -> Symbol:
    return Symbol(frozenset({clean, dirty}), clean, BORDERLINE)


_SANDS, _GRAVELS = ("clean_sand", "silty_sand"), ("clean_gravel", "silty_gravel")
_ROAD_FINES: ShareRange = (36.0, 65.0, 100.0)
_ROAD_GROUPS: dict[str, Symbol] = {
    "A-1-A": Symbol(frozenset({*_GRAVELS, *_SANDS}), "clean_gravel", (0.0, 8.0, 15.0)),
    "A-1-B": Symbol(frozenset({*_SANDS, *_GRAVELS}), "silty_sand", (0.0, 12.0, 25.0)),
    "A-3": Symbol(frozenset(_SANDS), "clean_sand", (0.0, 5.0, 10.0)),
    **{f"A-2-{kind}": Symbol(frozenset({"silty_sand", "silty_gravel"}), "silty_sand", (5.0, 22.0, 35.0)) for kind in (4, 5, 6, 7)},
    "A-4": Symbol(frozenset({"silt", "clay", "silty_sand"}), "silt", _ROAD_FINES, "low"),
    "A-5": Symbol(frozenset({"silt", "silty_sand"}), "silt", _ROAD_FINES),
    "A-6": Symbol(frozenset({"clay", "silty_sand"}), "clay", _ROAD_FINES),
    **{group: Symbol(frozenset({"clay", "silt"}), "clay", _ROAD_FINES, "high") for group in ("A-7", "A-7-5", "A-7-6")},
    "A-8": _single("organic"),
}
"""Groups of AASHTO M 145: A-1 to A-3 and A-2 hold up to 35 % fines, A-4 and A-5 are silty, A-6 and A-7 clayey, A-8 peat and muck."""
SYMBOLS: dict[str, Symbol] = {
    **_ROAD_GROUPS,
    "GW": _single("clean_gravel", CLEAN),
    "GP": _single("clean_gravel", CLEAN),
    "GM": _single("silty_gravel", DIRTY),
    "GC": _single("silty_gravel", DIRTY),
    "GC-GM": _single("silty_gravel", DIRTY),
    "SW": _single("clean_sand", CLEAN),
    "SP": _single("clean_sand", CLEAN),
    "SM": _single("silty_sand", DIRTY),
    "SC": _single("silty_sand", DIRTY),
    "SC-SM": _single("silty_sand", DIRTY),
    **{dual: _border("clean_gravel", "silty_gravel") for dual in ("GW-GM", "GW-GC", "GP-GM", "GP-GC")},
    **{dual: _border("clean_sand", "silty_sand") for dual in ("SW-SM", "SW-SC", "SP-SM", "SP-SC")},
    "ML": _single("silt", FINE, "low"),
    "MH": _single("silt", FINE, "high"),
    "CL": _single("clay", FINE, "low"),
    "CH": _single("clay", FINE, "high"),
    "CL-ML": Symbol(frozenset({"clay", "silt"}), "clay", FINE, "low"),
    "OL": Symbol(frozenset({"clay", "silt"}), "clay", FINE, "low"),
    "OH": Symbol(frozenset({"clay", "silt"}), "clay", FINE, "high"),
    "PT": _single("organic"),
    "ROCK": _single("rock"),
    "WEATHERED_ROCK": _single("weathered_rock"),
    "IGM": _single("intermediate"),
    "PEAT": _single("organic"),
    "COBBLES": _single("cobbles"),
    "BOULDERS": _single("cobbles"),
    "VOID": _single("void"),
    "WATER": _single("void"),
}
"""Group symbols, the dual symbols of ASTM D2487, groups of AASHTO, and the plain words that a site file may use instead."""

_BETWEEN_GROUPS = pattern_of(r"\s*(?:/|,|\bto\b|\bor\b|&|\band\b)\s*", re.IGNORECASE)
_ROAD_GROUP = pattern_of(r"\bA-\d")
_EITHER = pattern_of(r"\s*(?:-|/|,|\bto\b|\bor\b|&|\band\b)\s*", re.IGNORECASE)


def symbol_name(text: str) -> str:
    """Write a symbol as the tables have it.

    >>> symbol_name(" sp - sm "), symbol_name("weathered rock")
    ('SP-SM', 'WEATHERED_ROCK')
    """
    return re.sub(r"\s*-\s*", "-", text.strip()).replace(" ", "_").upper()


@lru_cache(maxsize=1024)
def read_symbol(text: str) -> Symbol | None:
    """Read a symbol, a dual symbol, or a pair that means either; None when it is none of these.

    A dual symbol of ASTM D2487 (SP-SM) is one soil with 5 to 12 % fines; any other pair (SM-ML, CL/CH) leaves both
    open, the first one likelier.

    >>> read_symbol("SP-SM").fines
    (5.0, 8.0, 12.0)
    >>> sorted(read_symbol("SM-ML").soils)
    ['silt', 'silty_sand']
    >>> read_symbol("XY") is None
    True
    """
    name = symbol_name(text)
    if name in SYMBOLS:
        return SYMBOLS[name]
    between = _BETWEEN_GROUPS if _ROAD_GROUP.search(name) else _EITHER
    parts = [SYMBOLS.get(symbol_name(part)) for part in between.split(text.strip())]
    if len(parts) < 2 or any(part is None for part in parts):
        return None
    return either([part for part in parts if part is not None])


def either(parts: list[Symbol]) -> Symbol:
    """Return what any of several symbols allows, the first likeliest; the share of fines spans them all."""
    fines = [part.fines for part in parts if part.fines is not None]
    span = (min(f[0] for f in fines), fines[0][1], max(f[2] for f in fines)) if len(fines) == len(parts) else None
    senses = {part.plasticity for part in parts}
    soils = frozenset().union(*(part.soils for part in parts))
    return Symbol(soils, parts[0].likely, span, senses.pop() if len(senses) == 1 else None)


_SYMBOL_IN_TEXT = pattern_of(r"[(\[]\s*([A-Z]{2}(?:\s?[-/]\s?[A-Z]{2})?)\s*[)\]]")
GROUP = r"(?:[GS][WPMC]|[MCO][LH]|PT)"
"""A group symbol of ASTM D2487, as a pattern."""
_SYMBOL_ALONE = pattern_of(rf"(?<![\w-])({GROUP}(?:-[GSMC][WPMCL])?|A-(?:1-[ab]|2-[4-7]|7-[56]|[3-8]))(?![\w-])")
_LED_BY_SYMBOL = pattern_of(rf"^\W*({GROUP}(?:-[GSMC][WPMCL])?)(?:\s*[,;:]|\s+[-\N{{EN DASH}}]\s|\s+w(?:ith\b|/))")


def symbol_in(description: str, *, alone: bool) -> str | None:
    """Return the symbol that a description gives in brackets, or as a word where it stands ``alone`` for the soil.

    >>> symbol_in("Silty sand (SM), wet", alone=False), symbol_in("gray CL", alone=True), symbol_in("gray CL", alone=False)
    ('SM', 'CL', None)
    """
    led = description[:2].isupper() or not description[:1].isalpha()
    match = _LED_BY_SYMBOL.match(description) if led else None
    if match is None and ("(" in description or "[" in description):
        match = _SYMBOL_IN_TEXT.search(description)
    if match is None and alone:
        match = _SYMBOL_ALONE.search(description)
    return match[1] if match and read_symbol(match[1]) else None


_CLAUSE_ENDS = pattern_of(r"[,;.:(]|\s[-\N{EN DASH}]\s")


def clause_behind_symbol(description: str) -> str | None:
    """Return the first clause behind a symbol that leads a description in the place of the soil, None where none leads it.

    >>> clause_behind_symbol("CH - dark gray, soft, shells"), clause_behind_symbol("gray clay (CH)")
    ('dark gray', None)
    """
    match = _LED_BY_SYMBOL.match(description) if description[:2].isupper() else None
    return None if match is None else _CLAUSE_ENDS.split(description[match.end() :], maxsplit=1)[0].strip()


# ---- names of two words


_NAMES = {
    "rock flour": "silt",
    "clay-like": "claylike",
    "silt-like": "siltlike",
    "sand-like": "sandlike",
    "clay gouge": "clay",
    "lava tube": "cavern",
    "lime rock": "limestone",
    "lime stone": "limestone",
    "sand stone": "sandstone",
    "silt stone": "siltstone",
    "mud stone": "mudstone",
    "basalt clinker": "gravel",
    "lava clinker": "gravel",
    "volcanic cinders": "gravel",
    "boulder clay": "clay",
    "clay shale": "clayshale",
    "clay-shale": "clayshale",
    "in parts": "partly",
    "in part": "partly",
    "in places": "partly",
    "brick earth": "silt",
    "brickearth": "silt",
    "hard pan": "hardpan",
    "coal tar": "tar",
    "coal refuse": "spoil",
    "coal waste": "spoil",
    "clay bound": "clayey",
    "clay-bound": "clayey",
    "hoggin": "clayey gravel",
    "black cotton soil": "clay",
    "coal measures": "measures",
    "volcanic ash": "silt",
    "diatomaceous earth": "silt",
    "shell hash": "gravel",
    "oyster shells": "gravel",
    "iron pan": "ironpan",
    "cobble stones": "cobbles",
    "landslide debris": "colluvium",
    "landslip debris": "colluvium",
    "slide debris": "colluvium",
    "debris flow": "colluvium",
    "coral debris": "gravel",
    "terra rossa": "clay",
    "pulverised fuel ash": "silt",
    "pulverized fuel ash": "silt",
    "fly ash": "silt",
    "flyash": "silt",
    "air gap": "void",
    "air void": "void",
    "rip rap": "riprap",
    "rip-rap": "riprap",
    "crushed stone": "gravel",
    "crusher run": "gravel",
    "base course": "gravel",
    "sub-base": "gravel",
    "subbase": "gravel",
    "road base": "gravel",
    "roadstone": "gravel",
    "roadbase": "gravel",
    "quick sand": "sand",
    "intermediate geomaterial": "geomaterial",
    "rock fill": "cobbles",
    "rockfill": "cobbles",
    "open water": "water",
    "water bearing": "wet",
    "water-bearing": "wet",
    "flood plain": "floodplain",
    "stone fragments": "gravel",
    "pit run": "gravel",
    "pit-run": "gravel",
    "shell rock": "coquina",
    "shellrock": "coquina",
    "lean mix": "concrete",
    "fire clay": "fireclay",
    "under clay": "underclay",
    "seat earth": "seatearth",
    "seat rock": "seatrock",
}
_JOIN = pattern_of(rf"\b(?:{'|'.join(sorted(map(re.escape, _NAMES), key=len, reverse=True))})\b", re.IGNORECASE)
_STARTS: dict[str, set[str]] = {}
"""By the first word of a name the others that it may go on with, or itself."""
for _first, *_others in (re.split(r"[ -]", words) for words in _NAMES):
    _STARTS.setdefault(_first, set()).add(_others[0] if _others else _first)
_FIRST = frozenset(_STARTS)
_EITHER_NOUN = pattern_of(r"\b([A-Za-z]+)\s?/\s?([A-Za-z]+)")


def write_out(text: str, lower: str) -> str:
    """Write names of two words as the noun that they stand for, keeping the capitals; ``lower`` is the text in lower case.

    The text has single spaces between its words.

    >>> write_out("very stiff Boulder CLAY and sand", "very stiff boulder clay and sand")
    'very stiff CLAY and sand'
    """
    if "/" in text:
        text = _EITHER_NOUN.sub(lambda match: f"{match[1]} and {match[2]}" if match[1].lower() in NOUNS else match[0], text)
    if _FIRST.isdisjoint(words_of(lower)):
        return text
    words = set(words_of(lower))
    for word in words & _FIRST:
        if not _STARTS[word].isdisjoint(words):
            return " ".join(_JOIN.sub(_in_case, text).split())
    return text


def _in_case(match: re.Match[str]) -> str:
    words = match[0]
    short = _NAMES[words.lower()]
    return short.upper() if words.isupper() or words.rpartition(" ")[2].isupper() else short
