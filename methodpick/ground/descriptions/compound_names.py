"""Names of two words, written as the one noun that they stand for: boulder clay, crushed stone, fly ash."""

from __future__ import annotations

import re

from methodpick.ground.descriptions.words import NOUNS, words_of
from methodpick.patterns import pattern_of

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
    words = set(words_of(lower))
    for word in words & _FIRST:
        if not _STARTS[word].isdisjoint(words):
            return " ".join(_JOIN.sub(_in_case, text).split())
    return text


def _in_case(match: re.Match[str]) -> str:
    words = match[0]
    short = _NAMES[words.lower()]
    return short.upper() if words.isupper() or words.rpartition(" ")[2].isupper() else short
