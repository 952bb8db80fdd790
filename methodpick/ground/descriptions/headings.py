"""What stands before the soil of a layer: a formation, topsoil as a heading, a detail at a depth, "layer of"."""

from __future__ import annotations

import re

from methodpick.ground.descriptions.nouns import NOUNS
from methodpick.patterns import pattern_of

_TOPSOIL_LABEL = pattern_of(
    r"(?is)^\W*(?:(?:grass|turf)(?: over| on| onto)? )?top ?soil\s*(?:[:(\N{EN DASH}-]|(?:composed |consisting )?of\b)\s*"
    r"(?=.*\b(?:clay|silt|sand|gravel|peat)s?\b)"
)
"""Topsoil as a heading before what it is made of."""
_FORMATION = pattern_of(
    r"(?is)^\W*[\w' ]{3,40}?\b(?:formation|group|beds|measures|series|mercia mudstone|keuper marl|etruria marl)\s*(?::|-\s|,)\s*"
    r"(?=.*\b(?:clay|silt|sand|gravel|\w*stone|shale|chalk|marl|peat|cobbles|rock)s?\b)"
)
"""The name of a formation before what was met of it."""
_FORMATION_WORDS = ("formation", "group", "beds", "measures", "series", "mudstone", "marl")
_LAYER_OF = pattern_of(
    r"^\W*(?:[\d.]+[ '\"-]*(?:ft|feet|foot|in|inch|m|mm|cm)?[ .-]*)?(?:thick |thin )*(?:layer|band|bed|seam|zone) of (?=\w+ )",
    re.IGNORECASE,
)
"""What a layer is called before what it is made of: "2-ft layer of dense sand"."""
_DETAIL_FIRST = pattern_of(r"^\W*(?:(?:at|between|from|below)\s+\d[^:;]{0,20}:.*?(?:[.;]\s+|$))+", re.IGNORECASE | re.DOTALL)
"""Details at a depth that stand before the layer itself: "At 5.60m: pocket of clay. Dense GRAVEL"."""


def without_heading(text: str, lower: str) -> str:
    """Return the text without the formation or the topsoil that heads it, where the soil itself follows; ``lower`` is all in lower case.

    >>> without_heading("Thanet Formation: dense SAND", "thanet formation: dense sand")
    'dense SAND'
    """
    if any(map(lower.__contains__, _FORMATION_WORDS)):
        text = _without(_FORMATION, text)
    return _without(_TOPSOIL_LABEL, text) if "top" in lower else text


def without_detail(text: str) -> str:
    """Return the text without the details at a depth and the "layer of" that stand before its soil.

    >>> without_detail("At 5.60m: pocket of clay. Layer of dense GRAVEL")
    'dense GRAVEL'
    """
    rest = _without(_DETAIL_FIRST, text)
    return _without(_LAYER_OF, rest if rest != text and names_a_soil(rest) else text)


def _without(pattern: re.Pattern[str], text: str) -> str:
    found = pattern.match(text)
    return text if found is None else text[found.end() :]


def names_a_soil(text: str) -> bool:
    """Return whether a noun of the ground stands in a text."""
    return any(word.lower() in NOUNS for word in re.findall(r"[A-Za-z]+", text))
