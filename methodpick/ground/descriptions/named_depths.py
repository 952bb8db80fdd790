"""Depths that a description names inside its layer: "becoming very stiff below 6.2 m", "crushed zone 5.0 to 5.6 m", "bottom 2 ft silty".

Each gives a statement: the length that it is about, and its words. A depth alone ("boulder at 8.3 m") is no length, and a size
("boulders 0.3 to 0.6 m") or an elevation is no depth.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from functools import lru_cache

from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.units import FOOT_M

_NUMBER = r"\d{1,3}(?:\.\d{1,3})?"
_UNIT = r"(?:m(?:et(?:er|re)s?)?(?:bgl|bgs)?\b|ft\b\.?|feet\b|foot\b|['\N{PRIME}\N{RIGHT SINGLE QUOTATION MARK}](?!\w))"
_BELOW_GROUND = r"(?:\s?(?:bgl|bgs|b\.g\.l\.?|below (?:the )?ground(?: level)?|depth|deep)\b\.?)?"
_NO_DEPTH = (
    r"(?!\s*(?:thick\w*|wide|long|apart|spac\w*|diam\w*|dia\b|across|high|tall|cubed?|in (?:size|diameter|length|thickness)|"
    r"a?od\b|ahd\b|msl\b|asl\b|navd\w*|ngvd\w*|elev\w*|[x\N{MULTIPLICATION SIGN}/*]))"
)
_ABOUT = r"(?:(?:about|approx\.?|approximately|around|c\.|ca\.?|~)\s*)?(?:(?:the\s+)?depths?\s+(?:of\s+)?)?"
_PREPOSITION = r"(?:(?:from\s+)?(?:below|beneath)|from|between|at|by|@|above|(?:down\s+)?to|until)"
_TO = r"(?P<joint>-|\N{EN DASH}|\N{EM DASH}|to|and|down to)"
_ENDS = r"(?P<end>upper|uppermost|top|first|lower|lowermost|lowest|bottom|basal|last)"
_PLACE = pattern_of(
    rf"(?=[@\dabdfilotuw])(?:(?<![\w+])(?<!\d\.)(?:(?P<word>{_PREPOSITION})\s*{_ABOUT})?"
    rf"(?:(?P<first>{_NUMBER})\s?(?P<first_unit>{_UNIT})?{_BELOW_GROUND}\s?{_TO}\s?)?"
    rf"(?P<last>{_NUMBER})\s?(?P<unit>{_UNIT}){_BELOW_GROUND}{_NO_DEPTH}|"
    rf"\b(?:(?:in|at|over|within)\s+)?(?:the\s+)?{_ENDS}\s+(?P<length>{_NUMBER})\s?(?P<length_unit>{_UNIT}|cm\b|mm\b|in\b\.?|inch\w*|\"))",
    re.IGNORECASE,
)
"""Where words name a place; what any of its ways begins with stands first, since most letters of a text begin none."""
_LENGTH_M = {"cm": 0.01, "mm": 0.001, "in": 0.0254, '"': 0.0254}
_SENTENCE_END = pattern_of(r"[.;](?=\s|$|[A-Z(])|[()\n]")
_CLAUSE_START = pattern_of(r"(?:^|[,.;:()\n])\s*$|\b(?:and|but|then|becoming|becomes|becomes? at|grading)\s+$", re.IGNORECASE)
_TRAILING_START = pattern_of(
    r"[,;:()\n]\s*|\.(?=\s|[A-Z])\s*|\b(?:then|but)\s+|"
    r"(?=\b(?:with|becoming|becomes|grading|turning|changing to|containing)\b)",
    re.IGNORECASE,
)
_WHOLE_SENTENCE = pattern_of(r"[\W_]*(?=(?:becoming|becomes|with|grading)\b(?![^,]*,[^,]*\b(?:clay|sand|silt|gravel)s?\b))", re.IGNORECASE)
_BECOMING = pattern_of(r"\b(?:becoming|becomes|grading|turning|changing|changes)\b", re.IGNORECASE)
_ONE_BED = pattern_of(r"\b(?:zone|lens|layer|band|seam|bed|void|cavity|pocket|gouge|fault|horizon)\s*[:,(]?\s*$", re.IGNORECASE)
_LEADING_GAP = pattern_of(r"\s*[,:\N{EN DASH}-]?\s*")
_WORD = pattern_of(r"[A-Za-z]{3,}")
_LETTER = pattern_of(r"\w")


@record
class Statement:
    """Words of a description about a length inside its layer, and where they stand in the text.

    ``top_m`` and ``base_m`` are depths below the ground, None where the length reaches to that end of the layer. ``from_end_m`` is a
    length at the "top" or the "bottom" of the layer, as ``end`` says; then both depths are None.
    """

    words: str
    start: int
    stop: int
    top_m: float | None = None
    base_m: float | None = None
    end: str = ""
    from_end_m: float = 0.0
    leading: bool = False
    bounded: bool = False

    def length_in(self, top_m: float, base_m: float) -> tuple[float, float]:
        """Return the ends in m of what the statement is about in a layer between two depths; not clipped to it."""
        if self.end == "top":
            return top_m, top_m + self.from_end_m
        if self.end == "bottom":
            return base_m - self.from_end_m, base_m
        return (top_m if self.top_m is None else self.top_m), (base_m if self.base_m is None else self.base_m)


@lru_cache(maxsize=4096)
def statements_in(text: str) -> tuple[Statement, ...]:
    """Return the statements of a description about lengths inside its layer, in the order of the text; lengths in m.

    >>> [(found.words, found.top_m, found.base_m) for found in statements_in("Stiff CLAY becoming very stiff below 6.2 m")]
    [('becoming very stiff', 6.2, None)]
    >>> [(found.words, found.top_m, found.base_m) for found in statements_in("LIMESTONE; crushed zone 5.0 to 5.6 m; boulder at 8 m")]
    [('crushed zone', 5.0, 5.6)]
    >>> [(found.words, found.end, found.from_end_m) for found in statements_in("fine sand, bottom 2 ft silty")]
    [('silty', 'bottom', 0.6096)]
    """
    if not any(letter.isdigit() for letter in text):
        return ()
    return tuple(_statements(text.replace("(?)", "   ")))


def _statements(text: str) -> Iterator[Statement]:
    places = list(_PLACE.finditer(text))
    ends = [end.end() for end in _SENTENCE_END.finditer(text)] if places else []
    until = 0
    for index, place in enumerate(places):
        begins = places[index + 1].start() if index + 1 < len(places) else len(text)
        before = text[max(until, _sentence_start(text, place.start(), ends)) : place.start()]
        leading = _leading_words(text, place, begins) if _CLAUSE_START.search(before) or not _LETTER.search(before) else None
        if leading is not None:
            words, start, stop = leading[0], place.start(), leading[1]
            becoming = _BECOMING.search(before[-12:])
            start -= len(becoming[0]) + 1 if becoming else 0
        else:
            cut = _trailing_start(before)
            words, start, stop = before[cut:].strip(), place.start() - len(before) + cut, place.end()
            becoming = _BECOMING.search(words)
        length = _ends(place, becoming=becoming is not None, bare_is_bed=leading is not None or bool(_ONE_BED.search(before)))
        until = stop
        if length is not None and _WORD.search(words):
            yield Statement(" ".join(words.split()), start, stop, *length, leading=leading is not None, bounded=_is_bounded(place))


def _sentence_start(text: str, at: int, ends: list[int]) -> int:
    """Return where the sentence of a place begins; ``ends`` are those of all sentences. A stop right before the place ends one too."""
    if at and text[at - 1] in ".;":
        return at
    before = bisect_right(ends, at)
    return ends[before - 1] if before else 0


def _trailing_start(before: str) -> int:
    """Return where the words before a place begin: their sentence where it tells of a change or of what is held, else their clause."""
    whole = _WHOLE_SENTENCE.match(before)
    return whole.end() if whole else max((m.end() for m in _TRAILING_START.finditer(before)), default=0)


def _is_bounded(place: re.Match[str]) -> bool:
    return place["first"] is not None or place["end"] is not None


def _leading_words(text: str, place: re.Match[str], next_place: int) -> tuple[str, int] | None:
    """Return the words that follow a place to the end of their sentence, and where they end; None where none follow."""
    gap = _LEADING_GAP.match(text, place.end())
    start = gap.end() if gap else place.end()
    end = _SENTENCE_END.search(text, start)
    stop = end.start() if end else len(text)
    if next_place < stop:
        between = text[start:next_place]
        cuts = [m.start() for m in _TRAILING_START.finditer(between)]
        stop = start + cuts[-1] if cuts else next_place if _CLAUSE_START.search(between) else stop
    words = text[start:stop].strip(" ,:")
    return (words, stop) if _WORD.search(words) else None


def _ends(place: re.Match[str], *, becoming: bool, bare_is_bed: bool) -> tuple[float | None, float | None, str, float] | None:
    """Return the ends of a place in m, as a statement holds them; None where it is a depth alone or no depth at all."""
    if place["end"]:
        side = "top" if place["end"].lower() in ("upper", "uppermost", "top", "first") else "bottom"
        return None, None, side, round(float(place["length"]) * _metres_of(place["length_unit"]), 4)
    word = " ".join((place["word"] or "").lower().split())
    metres = _metres_of(place["unit"])
    last = round(float(place["last"]) * metres, 4)
    if place["first"] is not None:
        first = round(float(place["first"]) * (_metres_of(place["first_unit"]) if place["first_unit"] else metres), 4)
        two_depths = place["joint"].lower() == "and" and word not in ("between", "from")
        if first >= last or two_depths or (not word and not bare_is_bed) or word in ("to", "down to", "above", "until"):
            return None
        return (first, None, "", 0.0) if word.endswith(("below", "beneath")) else (first, last, "", 0.0)
    if word in ("above", "until", "to", "down to"):
        return None, last, "", 0.0
    if word.endswith(("below", "beneath")) or word == "from" or (word in ("at", "by", "@") and becoming):
        return last, None, "", 0.0
    return None


def _metres_of(unit: str) -> float:
    plain = unit.lower().rstrip(".")
    if plain.startswith(("m", "c")) and plain not in _LENGTH_M:
        return 1.0
    return _LENGTH_M.get("in" if plain.startswith("in") else plain, FOOT_M)
