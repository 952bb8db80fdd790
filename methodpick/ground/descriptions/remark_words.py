"""What a remark of a log is evidence of, by its words: caving, water added, lost fluid, obstructions, voids, gas; and what it denies."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Literal

from methodpick.ground.descriptions.words import LONGEST_TEXT
from methodpick.patterns import pattern_of

Tag = Literal["collapse", "water_added", "fluid_loss", "obstruction", "blowing_sand", "seepage", "void", "gas", "artesian", "none"]

_WORDS: dict[Tag, str] = {
    "artesian": r"\bartesian\b|\bflow(?:ing|ed) (?:over|out of|from) (?:the )?(?:top|casing|hole|bore ?hole)\b",
    "blowing_sand": r"\b(?:blowing|blew|heaving|running) (?:of )?sands?\b|"
    r"\bsand (?:blew|blowing|heav\w+|rose|running)\b|"
    r"\b(?:bore ?hole|hole|boring|ground|base) (?:\w+ )?(?:blew|blowing|heav(?:ed|ing))\b|\bblow(?:ing|n) (?:up|in|into|back)\b",
    "collapse": r"\bcollaps\w*|\bunstable\b|\binstability\b|\bcav(?:ing|ed)\b|\bslough\w*|"
    r"\bspall\w*|\bsides? fell\b|\bsqueez(?:ed|es|ing)\b|\b(?:hole|bore ?hole) closed (?:in|to \d)",
    "water_added": r"\bwater (?:was )?added\b|\bad(?:ded|ding|dition of) water\b|\bwater to (?:assist|aid)\b",
    "fluid_loss": r"\b(?:loss|lost|losing)\b[^.]{0,20}\b(?:flush|returns?|circulation|fluid|water)\b|"
    r"\b(?:flush|water|fluid|mud|circulation|returns?|slurry) loss(?:es)?\b|"
    r"\b(?:flush|circulation|returns?) (?:was |were )?lost\b|\bno (?:flush )?returns?\b",
    "obstruction": r"\bobstruct\w*|\bboulders?\b|\brefus\w*|\bchisel\w*|\bno progress\b|\bconcrete\b|"
    r"\bhard stratum\b|\bcobbles?\b|\bchatter\w*|\bgrinding\b|\bhard drilling\b",
    "void": r"\bvoid(?:s|ing|ed)?\b|\bcavit(?:y|ies)\b|\b(?:rods?|bit|drill string|core barrel) (?:suddenly |freely )?(?:dropped|fell)\b",
    "gas": r"\bgas(?:es)?\b(?! (?:main|pipe|monitor\w*|tap))|\bmethane\b|\bh2s\b|\bhydrogen sul(?:ph|f)ide\b",
    "seepage": r"\bseep\w*|\binflow\b|\bground ?water\b|\bwater (?:strike|struck|encountered|met)\b",
}
_STEMS: dict[Tag, tuple[str, ...]] = {
    "artesian": ("artesian", "flow"),
    "blowing_sand": ("sand", "blow", "blew", "heav"),
    "collapse": ("collaps", "stab", "cav", "slough", "spall", "fell", "squeez", "closed"),
    "water_added": ("water",),
    "fluid_loss": ("loss", "lost", "losing", "return"),
    "obstruction": ("obstruct", "boulder", "refus", "chisel", "progress", "concrete", "hard", "cobble", "chatter", "grinding"),
    "void": ("void", "cavit", "drop", "fell"),
    "gas": ("gas", "methane", "h2s", "sulphide", "sulfide"),
    "seepage": ("seep", "inflow", "water"),
}
"""By what a sentence is evidence of: one of these stands in every sentence that its pattern finds anything in."""
_ANY_STEM = tuple(dict.fromkeys(stem for stems in _STEMS.values() for stem in stems))
_UNLESS_CLOSED = pattern_of(_WORDS["obstruction"].replace(r"\bconcrete\b|", ""), re.IGNORECASE)
"""An obstruction by other words than concrete."""
_TAGS: tuple[tuple[Tag, tuple[str, ...], re.Pattern[str]], ...] = tuple(
    (tag, _STEMS[tag], pattern_of(words, re.IGNORECASE)) for tag, words in _WORDS.items()
)
_NO = pattern_of(r"\b(?:(?<!\b\d )no(?!\.)|nil|without|absence of|free of|free from|neither|nor|lack of)\b", re.IGNORECASE)
_NO_SPAN = pattern_of(
    r"(?:(?!\b(?:but|however|due|because|owing|since|possible|able|recover\w*|progress|samples?|tests?|spt|further|becoming|then)\b|"
    r",(?![^.;]*\b(?:n?or)\b)|[.;:]| - ).)*",
    re.IGNORECASE,
)
"""What a "no" denies: to the end of its clause, a list that ends with "or" included; not the reason why something was not done."""
_NOT_BEFORE = pattern_of(r"\b(?:not|never|didn't|wasn't)(?: \w+)?[ -]$", re.IGNORECASE)
_NOT_AFTER = pattern_of(
    r"(?:(?![.;,]| - ).){0,40}?(?:\b(?:not|never)(?: be| been)? "
    r"(?:encounter|met|observ|not|seen|present|found|record|struck|evident|detect|apparent|visible|required|occur)|"
    r"\b(?:none|nil|absent|negligible)\b)",
    re.IGNORECASE,
)
_NOT_STABLE = pattern_of(r"\bnot (?:\w+ )?stable\b", re.IGNORECASE)
_REINSTATED = pattern_of(
    r"\b(?:back ?fill\w*|reinstat\w*|(?:raised|flush) cover|stop ?cock|cover (?:set|installed)|install\w*|cement(?:ed)? (?:in|into))\b",
    re.IGNORECASE,
)
"""Words of a hole that was closed again: its concrete is none of the ground."""
_PIECES: tuple[tuple[str, re.Pattern[str]], ...] = tuple(
    (name, pattern_of(words, re.IGNORECASE))
    for name, words in {
        "cobbles": r"\bcobbles?\b|\bboulders?\b|\bchatter\w*|\bgrinding\b|\bhard drilling\b",
        "boulders": r"\bboulders?\b",
        "obstructions": r"\bobstruct\w*|\bconcrete\b|\bbricks?\b|\bmasonry\b|\btimbers?\b|\brubble\b|"
        r"\bold (?:footings?|foundations?|piles?|slabs?)\b",
    }.items()
)
_BREAKS = pattern_of(r"[.;]\s+")


@lru_cache(maxsize=4096)
def tag_of(text: str) -> Tag | None:
    """Return what a sentence is evidence of, "none" where it denies it, None where it says nothing of the kind.

    >>> tag_of("Hole collapsing below 4.0m, water added"), tag_of("No voids met"), tag_of("Backfilled with arisings")
    ('collapse', 'none', None)
    >>> tag_of("Borehole blowing between 33.6m and 31.1m"), tag_of("50 blows for 75mm"), tag_of("No blowing of sand")
    ('blowing_sand', None, 'none')
    """
    said = _said(text[:LONGEST_TEXT])
    return next((tag for tag, stated in said.items() if stated), "none" if said else None)


@lru_cache(maxsize=4096)
def tags_of(text: str) -> frozenset[Tag]:
    """Return everything that a remark of one or more sentences is evidence of; what a sentence denies is left out.

    >>> sorted(tags_of("Hole collapsing, water added. No voids met"))
    ['collapse', 'water_added']
    """
    sentences = _BREAKS.split(text[:LONGEST_TEXT])
    return frozenset(tag for sentence in sentences for tag, stated in _said(sentence).items() if stated)


def _said(sentence: str) -> dict[Tag, bool]:
    """Return whether a sentence states or denies each thing that it names, the weightiest first."""
    lower = sentence.lower()
    if not any(map(lower.__contains__, _ANY_STEM)):
        return {}
    found: dict[Tag, bool] = {}
    for tag, stems, pattern in _TAGS:
        if any(map(lower.__contains__, stems)) and pattern.search(sentence):
            found[tag] = _states(sentence, pattern)
    if "stable" in lower and _NOT_STABLE.search(sentence):
        found = {**found, "collapse": True}
    if found.get("obstruction") and not _states(sentence, _UNLESS_CLOSED) and _REINSTATED.search(sentence):
        del found["obstruction"]
    return found


def _states(sentence: str, pattern: re.Pattern[str]) -> bool:
    """Return whether one of the places where a pattern is found is not denied."""
    found = list(pattern.finditer(sentence))
    if not found:
        return False
    denied = [_NO_SPAN.match(sentence, match.end()) for match in _NO.finditer(sentence)]
    spans = [span.span() for span in denied if span is not None]
    return any(
        not any(start <= match.start() < end for start, end in spans)
        and not _NOT_BEFORE.search(sentence, 0, match.start())
        and not _NOT_AFTER.match(sentence, match.end())
        for match in found
    )


@lru_cache(maxsize=4096)
def pieces_in(text: str) -> frozenset[str]:
    """Return the large pieces that a remark points to: cobbles, boulders, man-made obstructions; not what it denies.

    >>> sorted(pieces_in("drill chatter on a boulder")), sorted(pieces_in("no cobbles; old concrete"))
    (['boulders', 'cobbles'], ['obstructions'])
    """
    sentences = _BREAKS.split(text[:LONGEST_TEXT])
    return frozenset(name for name, pattern in _PIECES if any(_states(sentence, pattern) for sentence in sentences))
