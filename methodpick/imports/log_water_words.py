"""What a sentence of a log says of water: that none was met and how far down, where it was struck and rose to, where it stood at the end.

The sentences are those of public logs and of the trade, with lengths in metres or feet; common practice, no source.
"""

from __future__ import annotations

import re
from functools import lru_cache

from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.units import FOOT_M

# ---- no water


_WATER = r"\b(?:(?:free|perched|artesian) )?(?:(?:ground[- ]?)?water|gw)\b"
_SAID_NOT = r"(?:encountered|met|observed|struck|noted|found|seen)"
NONE_MET = pattern_of(
    rf"\b(?:no|nil)\b (?:(?:visible |apparent |obvious |sign of |evidence of )?{_WATER}(?! table)|"
    r"(?:ground[- ]?water |water )?(?:strikes?|seepages?|inflows?|ingress)\b)|"
    rf"\b(?:none|not) (?:was |were |been )?{_SAID_NOT}\b(?! (?:to|below))|"
    r"^\s*(?:none|dry|nil)\.?\s*$|^\s*dry (?:down )?to\b|^\s*dry (?:on|at|upon|throughout|during|after) |"
    r"\b(?:hole|borehole|boring|pit) (?:was |remained |is |found )?dry\b|"
    r"\b(?:water|strikes?)(?: (?:depth|level|strikes?))? *[=:-]+ *(?:nil|dry|none)\b|\bwater (?:depth|level) (?:nil|dry|none)\b",
    re.IGNORECASE,
)
MOIST = pattern_of(r"\b(?:damp|moist|wet|see?page|seep\w*)\b", re.IGNORECASE)
"""Words of a hole in which no level stood and that was not dry."""
_HEDGED = pattern_of(
    r"\bnot (?:be )?(?:recorded|possible|noted due)\b|\bunable\b|\bcould not\b|\bmask\w*|\bobscur\w*|"
    r"\b(?:due|owing) to\b|\bbecause of\b|"
    r"\bingress after\b|\bprior to\b|\bbefore\b|\buntil\b|\babove \d|\bflush\b|"
    r"\bwater (?:was |being )?added\b|\badd(?:ed|ition of) water\b",
    re.IGNORECASE,
)
_UNIT = r"(?:m(?:etres?|eters?)?|mb\.?g\.?l\.?|ft|feet|foot|')(?![a-z])"
_NUMBER = r"(\d{1,3}(?:\.\d{1,3})?)"
_DRY_TO = pattern_of(rf"\b(?:prior to|before|until|above|down to)\b[^.;]{{0,60}}?\b{_NUMBER}\s*({_UNIT})", re.IGNORECASE)
_NONE_TO = pattern_of(
    rf"(?:^\s*|\b(?:hole|borehole|boring|pit) (?:was |remained |is )?)dry (?:down )?to (?:a depth of )?{_NUMBER}\s*({_UNIT})?|"
    rf"{_WATER}[^.;\d]{{0,20}}\bnot {_SAID_NOT} (?:down )?to (?:a depth of )?{_NUMBER}\s*({_UNIT})",
    re.IGNORECASE,
)


_DRY_STEMS = ("no", "nil", "dry")
"""One of these stands in every text that says that no water was met."""


@record
class NoneMet:
    """A sentence that says that no water was met: plainly, or only down to a depth, or with a reason why it could not be seen."""

    hedged: bool = False
    to_m: float | None = None


@lru_cache(maxsize=4096)
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
    if not any(map(text.lower().__contains__, _DRY_STEMS)):
        return None
    text = " ".join(text.split())
    if (down_to := _NONE_TO.search(text)) is not None:
        return NoneMet(hedged=True, to_m=_metres(down_to[1] or down_to[3], down_to[2] or down_to[4]))
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
    return NoneMet(hedged=True, to_m=_metres(depth[1], depth[2]) if depth else None)


def _metres(number: str, unit: str | None) -> float:
    """Return a length in metres; without a unit it is in metres."""
    return round(float(number) * (FOOT_M if (unit or "m").lower().startswith(("f", "'")) else 1.0), 3)


# ---- water struck, risen, at the end


_ABOUT = r"(?:\bc\.\s*|\babout |\bapprox\w*\.? )?"
_DEPTH = rf"{_NUMBER}\s*({_UNIT})"
_SOFT_END = rf"(?=\s*(?:{_UNIT}|and\b|to\b|-|,))"
_EVENT = r"\b(?:encounter\w*|struck|strikes?|met|seep\w*|inflows?|ingress|entr(?:y|ies)|entered|noted|observed|enters|entering)\b"
_HOW = r"(?:slight|slow|fast|rapid|medium|moderate|very|water|heavy|strong|minor|first|second|third|main)"
_STRUCK = pattern_of(
    rf"{_WATER}[^.;]{{0,40}}?{_EVENT}[^.;\d]{{0,40}}?{_ABOUT}{_NUMBER}{_SOFT_END}|"
    rf"{_EVENT}[^.;\d]{{0,12}}{_WATER}[^.;\d]{{0,20}}{_ABOUT}{_NUMBER}(?=\s*{_UNIT})|"
    rf"^\W*(?:{_HOW} )*(?:seepage|strike|inflow|ingress|struck|encountered)\w*\b[^.;\d]{{0,20}}{_ABOUT}{_NUMBER}{_SOFT_END}|"
    rf"^\W*(?:{_HOW} )*{_WATER}\s*(?:at|@)\s*{_ABOUT}{_NUMBER}(?=\s*{_UNIT})",
    re.IGNORECASE,
)
_UNIT_BEHIND = pattern_of(rf"\s*({_UNIT})", re.IGNORECASE)
_BELOW_GROUND = r"(?:\s*b\.?g\.?l\b\.?)?"
_NOT_LATER = rf"(?!{_BELOW_GROUND}\s*(?:after|in|within)\b)"
_ALSO = pattern_of(rf"\s*(?:{_UNIT})?\s*(?:b\.?g\.?l\.?\b)?\s*(?:,|and|&|,\s*and)\s*(?:at\s*)?{_DEPTH}{_NOT_LATER}", re.IGNORECASE)
_ROSE = r"\b(?:rose|rising|rises|risen|raised)\b"
_STOOD = r"\b(?:head|standing|stood|settled|stabili[sz]\w*|rest(?:ing|ed)?|level)\b"
_ABOVE = r"(above (?:ground|existing)|a\.?g\.?l)?"
_RISEN = pattern_of(
    rf"{_ROSE}[^.;\d]{{0,20}}?\b(?:t|r)o\s*(?:\+\s*)?(?:{_NUMBER}\s*({_UNIT})?\s*{_ABOVE}|(ground level|surface|gl\b))|"
    rf"{_STOOD}[^.;\d]{{0,20}}?{_NUMBER}\s*({_UNIT})\s*{_ABOVE}",
    re.IGNORECASE,
)
_ROSE_FROM = pattern_of(
    rf"{_ROSE}[^.;\d]{{0,20}}?\bfrom\s*{_NUMBER}\s*({_UNIT})?\s*(?:bgl\s*)?to\s*{_NUMBER}|"
    rf"\bfrom\s*{_NUMBER}\s*({_UNIT})?\s*to\s*{_NUMBER}\s*(?:{_UNIT})?",
    re.IGNORECASE,
)
_RISEN_BY = pattern_of(
    rf"{_ROSE}\s*(?:by\s*{_ABOUT}{_NUMBER}\s*({_UNIT})|{_ABOUT}{_NUMBER}\s*({_UNIT})(?=\s*(?:in|within|after|above (?:the )?strike)\b))",
    re.IGNORECASE,
)
"""How far water rose, not to where: rose by 1.5m, rose 1.5m in 20 minutes. A bare "rising 1.5m" may mean either."""
_LATER = pattern_of(
    rf"[,;]\s*(?:and\s*)?(?:at\s*)?{_NUMBER}\s*({_UNIT}){_BELOW_GROUND}\s*(?:after|in|within)\b|"
    rf"\blevel\b[^.;\d]{{0,12}}\bafter\s*\d{{1,4}}(?:\.\d+)?\s*(?:min|h)\w*[^.;\d]{{0,10}}{_NUMBER}\s*({_UNIT})|"
    rf"\b\d{{1,4}}\s*min\w*\s*[:=]\s*{_NUMBER}\s*({_UNIT})",
    re.IGNORECASE,
)
"""A level some time after the strike: 12 feet after 24 hours, level after 20mins 5.40m, 20 min: 5.40m."""
_AFTER = pattern_of(r"(\d{1,4}(?:\.\d+)?)\s*(min|hour|hr)", re.IGNORECASE)
_RESTS = (
    r"(?:s\.?w\.?l|g\.?w\.?l|(?:rest(?:ing)?|standing|static|morning) (?:water )?level|"
    r"(?:ground ?)?water table|standing (?:ground ?)?water)"
)
_AT_END = pattern_of(
    rf"{_WATER}[^.;\d]{{0,30}}\bcompletion\b[^.;\d]{{0,40}}{_DEPTH}|\b{_RESTS}\b[^.;\d]{{0,30}}{_DEPTH}|"
    rf"{_WATER}(?: level)?[^.;\d]{{0,30}}{_DEPTH}[^.;]{{0,12}}\b(?:at|on|upon|after) (?:the )?(?:end|completion|finish|\d+ ?h)|"
    rf"{_WATER} level[^.;\d]{{0,20}}\b(?:end of|finish of|after \d+ ?h\w*)\b[^.;\d]{{0,25}}{_DEPTH}|"
    rf"{_WATER} level (?:was |stood )?(?:at )?{_DEPTH}(?![^.;]*\b(?:ros|ris|str[iu]))",
    re.IGNORECASE,
)
_NO_STRIKE = pattern_of(rf"\badd(?:ed|ing)\b|\bflush\b|\bdrain\b|\bstandpipe\b|\bmains?\b|{_WATER} level\W*$", re.IGNORECASE)
_ORDINAL = pattern_of(r"\b(?:\d(?:st|nd|rd|th)|(?<=strike )(?:no\.? ?)?\d(?![.\d]|\s*m)|(?<=strike )\(\d\))\s*", re.IGNORECASE)
_ARTESIAN = pattern_of(
    rf"\bartesian\b|{_ROSE}[^.;\d]{{0,10}}\babove (?:the |existing )?(?:ground|surface|(?:top of )?casing)\b|"
    r"\bflow(?:ing|ed|s)?\b[^.;]{0,30}\b(?:over|out of|from)\b[^.;]{0,12}\b(?:top|casing|hole|ground)\b",
    re.IGNORECASE,
)


_ON_DATUM = pattern_of(
    r"\bel(?:ev(?:ation)?)?\b\.?\s*(?:of\s*)?[:=+-]*\s*\d|\d\s*m?\s*(?:a?od|asl|a?msl|pd|cd|navd|ngvd)\b|\bm\s+above (?:datum|sea)",
    re.IGNORECASE,
)
"""A level above a datum, which is no depth."""
_WATER_STEMS = ["water", "gw", "seep", "strike", "struck", "inflow", "ingress", "encountered", "artesian", "flow", "swl", "s.w.l", "level"]
"""One of these stands in every text that tells of water."""


@record
class WordedWater:
    """Water as a sentence tells it: the depths at which it was struck, the level that the last one rose to, the level at the end.

    ``artesian`` says that it flowed out or stood above the ground; the depth at which it was struck may be missing then.
    """

    struck_m: tuple[float, ...] = ()
    rises_to_m: float | None = None
    after_h: float | None = None
    at_end_m: float | None = None
    artesian: bool = False


@lru_cache(maxsize=4096)
def water_in(text: str) -> WordedWater | None:
    """Return the water that a sentence tells of, None where it tells of none or denies it.

    >>> water_in("Groundwater encountered at 6.50m, rising to 5.40m after 20 mins.").rises_to_m
    5.4
    >>> water_in("Groundwater met at 5.5 and 14.0m during drilling").struck_m
    (5.5, 14.0)
    >>> water_in("Water struck at 20 ft, rose to 2 ft above ground level").rises_to_m
    -0.61
    """
    if not any(map(text.lower().__contains__, _WATER_STEMS)):
        return None
    text = _ORDINAL.sub("", " ".join(text.split()))
    artesian = _ARTESIAN.search(text) is not None and not re.search(r"\b(?:no|not|non)[ -](?:\w+ )?artesian", text, re.IGNORECASE)
    struck = _STRUCK.search(text)
    ended = _AT_END.search(text)
    if (
        ended is not None
        and not _ON_DATUM.search(text)
        and (struck is None or struck.start() >= ended.start() or struck.end() >= ended.start())
    ):
        return WordedWater(at_end_m=_measured(ended), artesian=artesian)
    if none_met(text) is not None or _NO_STRIKE.search(text) or _ON_DATUM.search(text):
        return WordedWater(artesian=True) if artesian and none_met(text) is None else None
    after = _hours(text)
    rose = _ROSE_FROM.search(text) if re.search(r"\bros|\bris", text, re.IGNORECASE) else None
    if rose is not None and re.search(_WATER, text, re.IGNORECASE):
        start, unit, risen_to = next(rose.groups()[at : at + 3] for at in (0, 3) if rose.groups()[at] is not None)
        return WordedWater((_metres(start, unit),), _metres(risen_to, unit), after, artesian=artesian)
    risen = _RISEN.search(text, struck.end() if struck else 0)
    level = None if risen is None else _risen_to(risen)
    if struck is None:
        above = level is not None and level <= 0 and (artesian or re.search(_WATER, text, re.IGNORECASE) is not None)
        return WordedWater(rises_to_m=level if above else None, artesian=True) if artesian or above else None
    depths = _struck_at(text, struck)
    if level is None:
        level = _level_since(text, struck.end(), depths[-1])
    return WordedWater(depths, level, after if level is not None else None, artesian=artesian or (level is not None and level < 0))


def _struck_at(text: str, struck: re.Match[str]) -> tuple[float, ...]:
    """Return the depths of strikes: the first one and those that follow it; between two depths it is the upper one."""
    number, end = next(number for number in struck.groups() if number is not None), struck.end()
    more: list[tuple[str, str]] = []
    while (also := _ALSO.match(text, end)) is not None:
        more.append((also[1], also[2]))
        end = also.end()
    behind = _UNIT_BEHIND.match(text, struck.end())
    unit = behind[1] if behind else more[-1][1] if more else None
    if more and re.search(r"\bbetween\b", struck[0], re.IGNORECASE):
        more = []
    return (_metres(number, unit), *(_metres(depth, depth_unit) for depth, depth_unit in more))


def _level_since(text: str, start: int, struck_m: float) -> float | None:
    """Return the level that the words behind a strike tell by how far it rose, or by its depth some time later; None of a fall.

    >>> _level_since("water struck at 7.0m, rose 1.5m in 20 minutes", 20, 7.0)
    5.5
    """
    by, later = _RISEN_BY.search(text, start), _LATER.search(text, start)
    if by is not None:
        return round(struck_m - _measured(by), 3)
    level = None if later is None else _measured(later)
    return level if level is not None and level <= struck_m else None


def _risen_to(risen: re.Match[str]) -> float:
    """Return the level of a rise, below zero where it stood above the ground."""
    if risen[4]:
        return 0.0
    number, unit, above = (risen[1], risen[2], risen[3]) if risen[1] else (risen[5], risen[6], risen[7])
    return -_metres(number, unit) if above or "+" in risen[0] else _metres(number, unit)


def _measured(found: re.Match[str]) -> float:
    """Return the first number of a match, with the unit behind it."""
    groups = found.groups()
    at = next(index for index, group in enumerate(groups) if group is not None)
    return _metres(groups[at], groups[at + 1])


def _hours(text: str) -> float | None:
    found = _AFTER.search(text)
    if found is None:
        return None
    return round(float(found[1]) / (60 if found[2].lower() == "min" else 1), 4)
