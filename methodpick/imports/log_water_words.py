"""What a sentence of a log says of water: that none was met and how far down, or where it was struck and rose to."""

from __future__ import annotations

import re

from methodpick.patterns import pattern_of
from methodpick.records import record

_WATER = r"\b(?:free )?(?:ground[- ]?)?water\b"
NONE_MET = pattern_of(
    rf"\b(?:no|nil)\b (?:{_WATER}(?! table)|(?:ground[- ]?water |water )?(?:strikes?|seepages?|inflows?)\b)|"
    r"\b(?:none|not) (?:was |were )?(?:encountered|met|observed|struck|noted)\b(?! (?:to|below))|"
    r"^\s*(?:none|dry|nil)\.?\s*$|^\s*dry (?:down )?to\b|\b(?:hole|borehole|boring|pit) (?:was |remained |is )?dry\b|"
    r"\bwater (?:depth|level) *[=:-]? *(?:nil|dry|none)\b",
    re.IGNORECASE,
)
MOIST = pattern_of(r"\b(?:damp|moist|wet|see?page|seep\w*)\b", re.IGNORECASE)
"""Words of a hole in which no level stood and that was not dry."""
_HEDGED = pattern_of(
    r"\bnot (?:be )?(?:recorded|possible|noted due)\b|\bunable\b|\bcould not\b|\bmask\w*|\bobscur\w*|"
    r"\b(?:due|owing) to\b|\bbecause of\b|"
    r"\bingress after\b|\bprior to\b|\bbefore\b|\buntil\b|\bflush\b|\bwater (?:was |being )?added\b|\badd(?:ed|ition of) water\b",
    re.IGNORECASE,
)
_DRY_TO = pattern_of(r"\b(?:prior to|before|until|above|down to)\b[^.;]{0,60}?\b(\d{1,3}(?:\.\d{1,3})?)\s*m(?:etres)?\b", re.IGNORECASE)
_NONE_TO = pattern_of(
    rf"(?:^\s*|\b(?:hole|borehole|boring|pit) (?:was |remained |is )?)dry (?:down )?to (?:a depth of )?(\d{{1,3}}(?:\.\d{{1,3}})?)|"
    rf"{_WATER}[^.;\d]{{0,20}}\bnot (?:encountered|met|observed|struck) (?:down )?to (?:a depth of )?(\d{{1,3}}(?:\.\d{{1,3}})?)\s*m",
    re.IGNORECASE,
)
_ABOUT = r"(?:\bc\.\s*)?"
_NUMBER = r"(\d{1,3}(?:\.\d{1,3})?)"
_DEPTH = rf"{_NUMBER}\s*(?:m\b|metres?\b|mbgl\b)"
_EVENT = r"\b(?:encounter\w*|struck|strikes?|met|seep\w*|inflows?|ingress|entry|entered|noted|observed|enters)\b"
_STRUCK = pattern_of(
    rf"{_WATER}[^.;]{{0,40}}?{_EVENT}[^.;\d]{{0,40}}?{_ABOUT}{_NUMBER}(?=\s*(?:m\b|mbgl|metres?|and\b|to\b|-|,))|"
    rf"{_EVENT}[^.;\d]{{0,12}}{_WATER}[^.;\d]{{0,20}}{_ABOUT}{_NUMBER}(?=\s*(?:m\b|mbgl|metres?))|"
    rf"^\W*(?:slight |slow |fast |rapid |medium |very |water |heavy )*"
    rf"(?:seepage|strike|inflow|ingress|struck|encountered)\w*\b[^.;\d]{{0,20}}{_ABOUT}{_NUMBER}"
    r"(?=\s*(?:m\b|mbgl|metres?))",
    re.IGNORECASE,
)
_ALSO = pattern_of(rf"\s*(?:m\b|mbgl\b|metres?\b)?\s*(?:bgl\b)?\s*(?:,|and|&)\s*(?:at\s*)?{_DEPTH}", re.IGNORECASE)
_RISEN = pattern_of(rf"\b(?:rose|rising|rises|risen)\b[^.;\d]{{0,20}}?\b(?:t|r)o\s*{_NUMBER}", re.IGNORECASE)
_ROSE_FROM = pattern_of(
    rf"\b(?:rose|rising|rises|risen)\b[^.;\d]{{0,20}}?\bfrom\s*{_NUMBER}\s*m?(?:etres)?\s*(?:bgl\s*)?to\s*{_NUMBER}|"
    rf"\bfrom\s*{_NUMBER}\s*m?\s*to\s*{_NUMBER}\s*m?\b",
    re.IGNORECASE,
)
_AFTER = pattern_of(r"(\d{1,4}(?:\.\d+)?)\s*(min|hour|hr)", re.IGNORECASE)
_AT_END = pattern_of(
    rf"{_WATER}[^.;\d]{{0,30}}\bcompletion\b[^.;\d]{{0,40}}{_DEPTH}|\bstanding {_WATER}[^.;\d]{{0,30}}{_DEPTH}|"
    rf"{_WATER} level (?:was |stood )?(?:at )?{_DEPTH}(?![^.;]*\b(?:ros|ris|str[iu]))",
    re.IGNORECASE,
)
_NO_STRIKE = pattern_of(rf"\badd(?:ed|ing)\b|\bflush\b|\bdrain\b|\bstandpipe\b|\bmains?\b|{_WATER} level\W*$", re.IGNORECASE)


@record
class WordedWater:
    """Water as a sentence tells it: the depths at which it was struck, the level that the last one rose to, the level at the end."""

    struck_m: tuple[float, ...] = ()
    rises_to_m: float | None = None
    after_h: float | None = None
    at_end_m: float | None = None


@record
class NoneMet:
    """A sentence that says that no water was met: plainly, or only down to a depth, or with a reason why it could not be seen."""

    hedged: bool = False
    to_m: float | None = None


def none_met(text: str) -> NoneMet | None:
    """Return how far a sentence says that no water was met, None where it does not say so.

    >>> none_met("No groundwater encountered")
    NoneMet(hedged=False, to_m=None)
    >>> none_met("Groundwater not encountered prior to use of water flush at 6.50m").to_m
    6.5
    >>> none_met("DRY to 6.0")
    NoneMet(hedged=True, to_m=6.0)
    >>> none_met("Groundwater strikes not recorded, water added while drilling").hedged
    True
    """
    text = " ".join(text.split())
    if (down_to := _NONE_TO.search(text)) is not None:
        return NoneMet(hedged=True, to_m=float(down_to[1] or down_to[2]))
    found = NONE_MET.search(text)
    hedge = _HEDGED.search(text)
    if found is None:
        return (
            NoneMet(hedged=True)
            if hedge and re.search(rf"(?:{_WATER}|strikes?)[^.;]*\bnot (?:be )?recorded\b", text, re.IGNORECASE)
            else None
        )
    if hedge is None:
        return NoneMet()
    depth = _DRY_TO.search(text)
    return NoneMet(hedged=True, to_m=float(depth[1]) if depth else None)


def water_in(text: str) -> WordedWater | None:
    """Return the water that a sentence tells of, None where it tells of none or denies it.

    >>> water_in("Groundwater encountered at 6.50m, rising to 5.40m after 20 mins.")
    WordedWater(struck_m=(6.5,), rises_to_m=5.4, after_h=0.3333, at_end_m=None)
    >>> water_in("Groundwater met at 5.5 and 14.0m during drilling").struck_m
    (5.5, 14.0)
    """
    text = " ".join(text.split())
    if (ended := _AT_END.search(text)) is not None:
        return WordedWater(at_end_m=float(next(number for number in ended.groups() if number)))
    if none_met(text) is not None or _NO_STRIKE.search(text):
        return None
    after = _hours(text)
    rose = _ROSE_FROM.search(text) if re.search(r"\bros|\bris", text, re.IGNORECASE) else None
    if rose is not None and re.search(_WATER, text, re.IGNORECASE):
        start, risen_to = (float(number) for number in rose.groups() if number is not None)
        return WordedWater((start,), risen_to, after)
    struck = _STRUCK.search(text)
    if struck is None:
        return None
    depths = [float(next(number for number in struck.groups() if number is not None))]
    end = struck.end()
    while (also := _ALSO.match(text, end)) is not None:
        depths.append(float(also[1]))
        end = also.end()
    if len(depths) > 1 and re.search(r"\bbetween\b", struck[0], re.IGNORECASE):
        depths = depths[:1]
    risen = _RISEN.search(text, end)
    level = float(risen[1]) if risen else None
    return WordedWater(tuple(depths), level, after if level is not None else None)


def _hours(text: str) -> float | None:
    found = _AFTER.search(text)
    if found is None:
        return None
    return round(float(found[1]) / (60 if found[2].lower() == "min" else 1), 4)
