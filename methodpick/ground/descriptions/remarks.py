"""What a remark of a log is evidence of, by its words: caving, water added, lost fluid, obstructions, voids, gas."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Literal

Tag = Literal["collapse", "water_added", "fluid_loss", "obstruction", "blowing_sand", "seepage", "void", "gas", "artesian", "none"]

_WORDS: dict[Tag, str] = {
    "artesian": r"\bartesian\b|\bflow(?:ing|ed) (?:over|out of|from) the (?:top|casing|hole)\b",
    "blowing_sand": r"\b(?:blowing|blew|heaving|running) (?:of )?sands?\b|"
    r"\bsand (?:blew|blowing|heav\w+|rose|running)\b",
    "collapse": r"\bcollaps\w*|\bunstable\b|\binstability\b|\bcav(?:ing|ed)\b|\bslough\w*|"
    r"\bspall\w*|\bsides? fell\b",
    "water_added": r"\bwater (?:was )?added\b|\bad(?:ded|ding|dition of) water\b|\bwater to (?:assist|aid)\b",
    "fluid_loss": r"\b(?:loss|lost|losing)\b[^.]{0,20}\b(?:flush|returns?|circulation|fluid|water)\b|"
    r"\b(?:flush|circulation|returns?) (?:was |were )?lost\b|\bno (?:flush )?returns?\b",
    "obstruction": r"\bobstruct\w*|\bboulders?\b|\brefus\w*|\bchisel\w*|\bno progress\b|\bconcrete\b|"
    r"\bhard stratum\b|\bcobbles?\b|\bchatter\w*|\bgrinding\b|\bhard drilling\b",
    "void": r"\bvoid(?:s|ing|ed)?\b|\bcavit(?:y|ies)\b|\brods? dropped\b",
    "gas": r"\bgas(?:es)?\b(?! (?:main|pipe|monitor\w*|tap))|\bmethane\b",
    "seepage": r"\bseep\w*|\binflow\b|\bground ?water\b|\bwater (?:strike|struck|encountered|met)\b",
}
_TAGS: tuple[tuple[Tag, re.Pattern[str]], ...] = tuple((tag, re.compile(words, re.IGNORECASE)) for tag, words in _WORDS.items())
_DENIED = re.compile(r"\b(?:no|not|none|nil|without)\b(?![^.]*\b(?:progress|returns?)\b)", re.IGNORECASE)
_PIECES: tuple[tuple[str, re.Pattern[str]], ...] = tuple(
    (name, re.compile(words, re.IGNORECASE))
    for name, words in {
        "cobbles": r"\bcobbles?\b|\bboulders?\b|\bchatter\w*|\bgrinding\b|\bhard drilling\b",
        "boulders": r"\bboulders?\b",
        "obstructions": r"\bobstruct\w*|\bconcrete\b|\bbricks?\b|\bmasonry\b|\btimbers?\b|\brubble\b|"
        r"\bold (?:footings?|foundations?|piles?|slabs?)\b",
    }.items()
)
_LONGEST = 2000
_BREAKS = re.compile(r"[.;]\s+")


def tag_of(text: str) -> Tag | None:
    """Return what a sentence is evidence of, "none" where it denies it, None where it says nothing of the kind.

    >>> tag_of("Hole collapsing below 4.0m, water added"), tag_of("No voids met"), tag_of("Backfilled with arisings")
    ('collapse', 'none', None)
    """
    text = text[:_LONGEST]
    tag = next((tag for tag, pattern in _TAGS if pattern.search(text)), None)
    return "none" if tag and _DENIED.search(text) and tag != "fluid_loss" else tag


@lru_cache(maxsize=4096)
def tags_of(text: str) -> frozenset[Tag]:
    """Return everything that a remark of one or more sentences is evidence of; what a sentence denies is left out.

    >>> sorted(tags_of("Hole collapsing, water added. No voids met"))
    ['collapse', 'water_added']
    """
    found: set[Tag] = set()
    for sentence in _BREAKS.split(text[:_LONGEST]):
        denied = _DENIED.search(sentence) is not None
        found |= {tag for tag, pattern in _TAGS if pattern.search(sentence) and (not denied or tag == "fluid_loss")}
    return frozenset(found)


@lru_cache(maxsize=4096)
def pieces_in(text: str) -> frozenset[str]:
    """Return the large pieces that a remark points to: cobbles, boulders, man-made obstructions; not what it denies.

    >>> sorted(pieces_in("drill chatter on a boulder")), sorted(pieces_in("no cobbles; old concrete"))
    (['boulders', 'cobbles'], ['obstructions'])
    """
    sentences = [sentence for sentence in _BREAKS.split(text[:_LONGEST]) if not _DENIED.search(sentence)]
    return frozenset(name for name, pattern in _PIECES if any(pattern.search(sentence) for sentence in sentences))
