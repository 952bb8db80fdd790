"""Consistency, density, moisture and plasticity words of a description, US and British.

"Medium stiff" is US wording for firm (FHWA and Terzaghi and Peck tables, memory); "compact" is Canadian for medium
dense.
"""

from __future__ import annotations

import re
from difflib import get_close_matches

from methodpick.ground.descriptions.lead_phrase import NOUNS, QUALIFIERS, Lead, Piece
from methodpick.ground.descriptions.symbols import Plasticity

Grades = tuple[str, str]
CONSISTENCIES = ("very_soft", "soft", "firm", "stiff", "very_stiff", "hard")
DENSITIES = ("very_loose", "loose", "medium_dense", "dense", "very_dense")

_WORDS = {
    "very soft": "very_soft",
    "soft": "soft",
    "medium stiff": "firm",
    "firm": "firm",
    "stiff": "stiff",
    "very stiff": "very_stiff",
    "very hard": "hard",
    "hard": "hard",
    "very loose": "very_loose",
    "loose": "loose",
    "medium dense": "medium_dense",
    "dense": "dense",
    "very dense": "very_dense",
    "moderately dense": "medium_dense",
    "compact": "medium_dense",
    "very compact": "dense",
    "very firm": "stiff",
}
_GRADE = re.compile(r"\b(?:(very|medium|moderately)\s+)?(soft|firm|stiff|hard|loose|dense|compact)\b")
_MEDIUM_TO = re.compile(r"\bmedium\s*(?:to|-)\s*(?=(?:very )?(?:(stiff|hard)|dense))")
_TO_MEDIUM = re.compile(r"\b(soft|loose)\s*(?:to|-)\s*medium\b(?!\s+(?:stiff|dense|sand|gravel|grained|coarse|to\b))")
_MEDIUM_ALONE = re.compile(r"^medium(?=\s+(?:clay|silty clay|sandy clay|lean clay|fat clay|clayey silt)\b|$)")
_CHANGES = re.compile(
    r"\b(?:becoming|locally)\s+(?:by\s+\S+\s+)?"
    r"((?:very |medium )?(?:soft|firm|stiff|hard|loose|dense))\b"
)
_SPELT = ("soft", "firm", "stiff", "hard", "loose", "dense", "compact")
_NOT_SLIPS = frozenset({"lens", "lense", "sense", "brown", "grey", "gray", "dark", "light", "yellow", "reddish"})
_MOISTURES = ("dry", "moist", "wet", "saturated")
_MOISTURE = re.compile(
    r"\b(?<!not )(dry|damp|moist|wet|saturated|waterlogged)\b"
    r"(?!\s+(?:density|unit|strength|side|of\b))"
)


def pieces_text(pieces: tuple[Piece, ...]) -> tuple[str, ...]:
    """Return the head of every piece as one small-letter string."""
    return tuple(" ".join(piece.head).lower() for piece in pieces if piece.head)


def grades(found: Lead, text: str) -> tuple[Grades | None, Grades | None, str]:
    """Return the range of consistency, the range of density, and the word that had to be guessed at (or nothing).

    >>> from methodpick.ground.descriptions.lead_phrase import lead
    >>> grades(lead("Stiff and very stiff brown CLAY"), "")[0]
    ('stiff', 'very_stiff')
    >>> grades(lead("Losose orangish brown silty SAND"), "")[1:]
    (('loose', 'loose'), 'Losose')
    """
    heads = pieces_text(found.pieces)
    said = [grade for head in heads for grade in _said(head)]
    guess = ""
    if not said:
        guess, said = _slip(found)
    if said:
        said += [_WORDS[match.lower()] for match in _CHANGES.findall(text)]
    return _span(said, CONSISTENCIES), _span(said, DENSITIES), guess


def _said(head: str) -> list[str]:
    if "medium" in head:
        head = _MEDIUM_TO.sub(lambda m: f"{'firm' if m[1] else 'medium dense'} to ", head)
        head = _TO_MEDIUM.sub(lambda m: f"{m[1]} to {'firm' if m[1] == 'soft' else 'medium dense'}", head)
        head = _MEDIUM_ALONE.sub("firm", head)
    found = []
    for degree, word in _GRADE.findall(head):
        full = f"{degree} {word}" if degree else word
        found.append(_WORDS.get(full, _WORDS[word]))
    return found


def _slip(found: Lead) -> tuple[str, list[str]]:
    """Take a misspelt consistency word for what it most likely was ("Losose" for loose)."""
    for piece in found.pieces[:2]:
        for word in piece.head[:3]:
            small = word.lower()
            if len(small) < 4 or small in _NOT_SLIPS or small in NOUNS or small in QUALIFIERS:
                continue
            close = get_close_matches(small, _SPELT, 1, 0.85)
            if close:
                return word, [_WORDS[close[0]]]
    return "", []


def _span(said: list[str], scale: tuple[str, ...]) -> Grades | None:
    places = [scale.index(grade) for grade in said if grade in scale]
    return (scale[min(places)], scale[max(places)]) if places else None


def moisture(found: Lead) -> str | None:
    """Return the wettest moisture word of the heads: dry, moist, wet or saturated.

    >>> from methodpick.ground.descriptions.lead_phrase import lead
    >>> moisture(lead("brown fine sand with dry strength, moist to wet"))
    'wet'
    """
    said = [word for head in pieces_text(found.pieces) for word in _MOISTURE.findall(head)]
    said = [{"damp": "moist", "waterlogged": "saturated"}.get(word, word) for word in said]
    return max(said, key=_MOISTURES.index) if said else None


_PLASTICITIES: tuple[tuple[re.Pattern[str], Plasticity], ...] = (
    (re.compile(r"\bnon[- ]?plastic\b"), "none"),
    (re.compile(r"\b(?:fat|elastic|gumbo)\b|\bhigh(?:ly)?[- ]plastic(?:ity)?\b|\bvery plastic\b"), "high"),
    (re.compile(r"\b(?:medium|intermediate|moderate(?:ly)?)[- ]plastic(?:ity)?\b"), "medium"),
    (re.compile(r"\blean\b|\blow[- ]plastic(?:ity)?\b|\bslightly plastic\b"), "low"),
)

_PLASTIC_WORDS = ("plastic", "fat", "lean", "elastic", "gumbo")


def plasticity(small: str) -> Plasticity | None:
    """Return the plasticity that the small-letter text names.

    >>> plasticity("stiff grey fat clay"), plasticity("sandy lean clay")
    ('high', 'low')
    """
    if not any(word in small for word in _PLASTIC_WORDS):
        return None
    return next((sense for pattern, sense in _PLASTICITIES if pattern.search(small)), None)
