"""Consistency, density, moisture and plasticity words of a description, US and British.

"Medium stiff" is US wording for firm (FHWA and Terzaghi and Peck tables, memory); "compact" is Canadian for medium
dense.
"""

from __future__ import annotations

import re
from difflib import get_close_matches

from methodpick.ground.descriptions.lead_phrase import NOUNS, QUALIFIERS, Clause, LeadPhrase
from methodpick.ground.descriptions.symbols import Plasticity
from methodpick.terms import CONSISTENCIES, DENSITIES

Grades = tuple[str, str]

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


def heads_of(clauses: tuple[Clause, ...]) -> tuple[str, ...]:
    """Return the head of every clause in lower case."""
    return tuple(" ".join(clause.head).lower() for clause in clauses if clause.head)


def read_grades(phrase: LeadPhrase, text: str) -> tuple[Grades | None, Grades | None, str]:
    """Return the range of consistency, the range of density, and the misspelt word that was taken for one of them (or nothing).

    >>> from methodpick.ground.descriptions.lead_phrase import read_lead_phrase
    >>> read_grades(read_lead_phrase("Stiff and very stiff brown CLAY"), "")[0]
    ('stiff', 'very_stiff')
    >>> read_grades(read_lead_phrase("Losose orangish brown silty SAND"), "")[1:]
    (('loose', 'loose'), 'Losose')
    """
    heads = heads_of(phrase.clauses)
    named = [grade for head in heads for grade in _grades_in(head)]
    guess = ""
    if not named:
        guess, named = _misspelt_grade(phrase)
    if named:
        named += [_WORDS[match.lower()] for match in _CHANGES.findall(text)]
    return _span(named, CONSISTENCIES), _span(named, DENSITIES), guess


def _grades_in(head: str) -> list[str]:
    if "medium" in head:
        head = _MEDIUM_TO.sub(lambda m: f"{'firm' if m[1] else 'medium dense'} to ", head)
        head = _TO_MEDIUM.sub(lambda m: f"{m[1]} to {'firm' if m[1] == 'soft' else 'medium dense'}", head)
        head = _MEDIUM_ALONE.sub("firm", head)
    found = []
    for degree, word in _GRADE.findall(head):
        full = f"{degree} {word}" if degree else word
        found.append(_WORDS.get(full, _WORDS[word]))
    return found


def _misspelt_grade(phrase: LeadPhrase) -> tuple[str, list[str]]:
    """Return a misspelt word and the grade that it most likely stands for ("Losose" for loose)."""
    for clause in phrase.clauses[:2]:
        for word in clause.head[:3]:
            lower = word.lower()
            if len(lower) < 4 or lower in _NOT_SLIPS or lower in NOUNS or lower in QUALIFIERS:
                continue
            close = get_close_matches(lower, _SPELT, 1, 0.85)
            if close:
                return word, [_WORDS[close[0]]]
    return "", []


def _span(named: list[str], scale: tuple[str, ...]) -> Grades | None:
    places = [scale.index(grade) for grade in named if grade in scale]
    return (scale[min(places)], scale[max(places)]) if places else None


def read_moisture(phrase: LeadPhrase) -> str | None:
    """Return the wettest moisture word of the heads: dry, moist, wet or saturated.

    >>> from methodpick.ground.descriptions.lead_phrase import read_lead_phrase
    >>> read_moisture(read_lead_phrase("brown fine sand with dry strength, moist to wet"))
    'wet'
    """
    named = [word for head in heads_of(phrase.clauses) for word in _MOISTURE.findall(head)]
    named = [{"damp": "moist", "waterlogged": "saturated"}.get(word, word) for word in named]
    return max(named, key=_MOISTURES.index) if named else None


_PLASTICITIES: tuple[tuple[re.Pattern[str], Plasticity], ...] = (
    (re.compile(r"\bnon[- ]?plastic\b"), "none"),
    (re.compile(r"\b(?:fat|elastic|gumbo)\b|\bhigh(?:ly)?[- ]plastic(?:ity)?\b|\bvery plastic\b"), "high"),
    (re.compile(r"\b(?:medium|intermediate|moderate(?:ly)?)[- ]plastic(?:ity)?\b"), "medium"),
    (re.compile(r"\blean\b|\blow[- ]plastic(?:ity)?\b|\bslightly plastic\b"), "low"),
)

_PLASTIC_WORDS = ("plastic", "fat", "lean", "elastic", "gumbo")


def read_plasticity(lower: str) -> Plasticity | None:
    """Return the plasticity that a text in lower case names.

    >>> read_plasticity("stiff grey fat clay"), read_plasticity("sandy lean clay")
    ('high', 'low')
    """
    if not any(word in lower for word in _PLASTIC_WORDS):
        return None
    return next((sense for pattern, sense in _PLASTICITIES if pattern.search(lower)), None)
