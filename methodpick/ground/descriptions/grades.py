"""Grades and shares of a description: consistency, density, moisture, plasticity; percent of fines and gravel.

"Medium stiff" is US wording for firm (FHWA and Terzaghi and Peck tables, memory); "compact" is Canadian for medium
dense.

The standards disagree about the same words, so each wording gives the hull of what they mean, with a likely value of
our own. Sources, all from memory: ASTM D2487 ("silty sand" 12 to 50 % fines, "sand with silt" 5 to 12, no word below
5); ASTM D2488 (trace below 5, few 5 to 10, little 15 to 25, some 30 to 45); Burmister 1949 (trace below 10, little 10
to 20, some 20 to 35, "and" 35 to 50); BS 5930:1999 (slightly silty below 5, silty 5 to 20, very silty above 20 to 35); BS EN ISO
14688-2:2004 (slightly silty 5 to 15, silty 15 to 40).
"""

from __future__ import annotations

import re
from difflib import get_close_matches
from functools import lru_cache

from methodpick.ground.descriptions.lead_phrase import Clause, LeadPhrase
from methodpick.ground.descriptions.symbols_and_names import BORDERLINE, CLEAN, DIRTY, Plasticity, ShareRange
from methodpick.ground.descriptions.words import INCLUSIONS, NOUNS, QUALIFIERS
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.terms import CONSISTENCIES, DENSITIES

# ---- Consistency, density, moisture and plasticity words of a description, US and British


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
    "moderately stiff": "firm",
}
_GRADE = pattern_of(
    r"\b(?:(very|medium|moderately)[\s-]+)?(soft|firm|stiff|hard|loose|dense|compact)\b"
    r"(?!\s+(?:drilling|layers?|seams?|bands?|lens\w*|pan|strat\w+|digging|to (?:drill|dig)|going|driving|augering|when dry))"
)
_STRENGTH = pattern_of(r"\b(?:(extremely|very)\s+)?(low|medium|high) strength\b")
_STRENGTHS = pattern_of(r"\b(low|medium|high) (?:to|-) (?=(?:extremely |very )?(?:low|medium|high) strength\b)")
_MEDIUM_CONSISTENCY = pattern_of(r"\bmedium consistency\b")
_OF_DENSITY = pattern_of(r"\bmedium (?:relative )?density\b")
_OF_CONSISTENCY = pattern_of(r"\b(?:consistency|compactness|relative density|condition)\b")
_OF_STRENGTH = {"low": "soft", "medium": "medium stiff", "high": "stiff", "very low": "very soft", "very high": "very stiff"}
"""Consistency by the strength words of EN ISO 14688-2 (low 20 to 40 kPa, high 75 to 150): the same limits as BS 5930, from memory."""
_MEDIUM_TO = pattern_of(r"\bmedium\s*(?:to|-)\s*(?=(?:very )?(?:(stiff|hard)|dense))")
_TO_MEDIUM = pattern_of(r"\b(soft|loose)\s*(?:to|-)\s*medium\b(?!\s+(?:stiff|dense|sand|gravel|grained|coarse|to\b))")
_MEDIUM_ALONE = pattern_of(r"^medium(?=\s+(?:clay|silty clay|sandy clay|lean clay|fat clay|clayey silt)\b|$)")
_CHANGES = pattern_of(
    r"\b(?:becoming|locally)\s+(?:by\s+\S+\s+)?"
    r"((?:very |medium )?(?:soft|firm|stiff|hard|loose|dense))\b"
)
_SPELT = ("soft", "firm", "stiff", "hard", "loose", "dense", "compact")
_NEAR_WORDS = (
    "compacted compaction denser densely softer softened firmly stiffer loosened hardened lens lense sense brown grey gray dark light "
    "yellow reddish"
)
_NOT_SLIPS = frozenset(_NEAR_WORDS.split())
_MOISTURES = ("dry", "moist", "wet", "saturated")
_MOISTURE_WORDS = frozenset({*_MOISTURES, "damp", "waterlogged"})
_MOISTURE = pattern_of(
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
    named = [grade for head in heads for grade in _grades_in(head, of_rock=phrase.names_rock_alone)]
    guess = ""
    if not named and not phrase.names_rock_alone:
        tails = (" ".join(tail) for tail in phrase.tails)
        states = [_OF_CONSISTENCY.split(tail)[0] for tail in tails if _OF_CONSISTENCY.search(tail) or "medium density" in tail]
        named = next((grades for head in (*states, *heads_of(phrase.beside)) if (grades := _grades_in(head))), [])
    if not named:
        guess, named = _misspelt_grade(phrase)
    if named:
        named += [_WORDS[match.lower()] for match in _CHANGES.findall(text)] if "becoming" in text or "locally" in text else []
    return _span(named, CONSISTENCIES), _span(named, DENSITIES), guess


def _grades_in(head: str, *, of_rock: bool = False) -> list[str]:
    if "medium" in head:
        head = _MEDIUM_TO.sub(lambda m: f"{'firm' if m[1] else 'medium dense'} to ", head)
        head = _TO_MEDIUM.sub(lambda m: f"{m[1]} to {'firm' if m[1] == 'soft' else 'medium dense'}", head)
        head = _MEDIUM_ALONE.sub("firm", head)
        head = _MEDIUM_CONSISTENCY.sub("firm", head)
    if "density" in head and not of_rock:
        head = _OF_DENSITY.sub("medium dense", head)
    if "strength" in head and not of_rock:
        head = _STRENGTHS.sub(r"\1 strength to ", head)
        head = _STRENGTH.sub(_consistency_of_strength, head)
    found: list[str] = []
    if not any(map(head.__contains__, _SPELT)):
        return found
    for degree, word in _GRADE.findall(head):
        full = f"{degree} {word}" if degree else word
        found.append(_WORDS.get(full, _WORDS[word]))
    return found


_AS_DENSITY = {"very_soft": "very_loose", "soft": "loose", "firm": "medium_dense", "stiff": "medium_dense"}
"""Density of sand and gravel that a log calls soft, firm or very firm; firm is Sowers' word for sand of 11 to 20 blows, from memory."""


def density_of_consistency(grades: Grades) -> Grades | None:
    """Return the density that the words for clay stand for where a log uses them of sand or gravel; None where they do not.

    >>> density_of_consistency(("soft", "firm")), density_of_consistency(("hard", "hard"))
    (('loose', 'medium_dense'), None)
    """
    low, high = (_AS_DENSITY.get(grade) for grade in grades)
    return (low, high) if low and high else None


def _consistency_of_strength(match: re.Match[str]) -> str:
    degree = {"low": "very soft", "high": "hard"}.get(match[2], "firm") if match[1] == "extremely" else None
    return degree or _OF_STRENGTH.get(" ".join(part for part in match.groups() if part), "medium stiff")


def _misspelt_grade(phrase: LeadPhrase) -> tuple[str, list[str]]:
    """Return a misspelt word and the grade that it most likely stands for ("Losose" for loose)."""
    for clause in phrase.clauses[:2]:
        for index, word in enumerate(clause.head[:3]):
            lower = word.lower()
            if len(lower) < 4 or lower in _NOT_SLIPS or lower in _SPELT or lower in NOUNS or lower in QUALIFIERS:
                continue
            if (close := _nearest_grade(lower)) is not None:
                degree = clause.head[index - 1].lower() if index else ""
                return word, [_WORDS.get(f"{degree} {close}", _WORDS[close])]
    return "", []


@lru_cache(maxsize=4096)
def _nearest_grade(word: str) -> str | None:
    return next(iter(get_close_matches(word, _SPELT, 1, 0.85)), None)


def _span(named: list[str], scale: tuple[str, ...]) -> Grades | None:
    places = [scale.index(grade) for grade in named if grade in scale]
    return (scale[min(places)], scale[max(places)]) if places else None


def read_moisture(phrase: LeadPhrase) -> str | None:
    """Return the wettest moisture word of the heads: dry, moist, wet or saturated.

    >>> from methodpick.ground.descriptions.lead_phrase import read_lead_phrase
    >>> read_moisture(read_lead_phrase("brown fine sand with dry strength, moist to wet"))
    'wet'
    """
    if _MOISTURE_WORDS.isdisjoint(phrase.heads):
        return None
    named = [word for head in heads_of(phrase.clauses) for word in _MOISTURE.findall(head)]
    named = [{"damp": "moist", "waterlogged": "saturated"}.get(word, word) for word in named]
    return max(named, key=_MOISTURES.index) if named else None


_PLASTICITIES: tuple[tuple[re.Pattern[str], Plasticity], ...] = (
    (pattern_of(r"\bnon[- ]?plastic\b"), "none"),
    (pattern_of(r"\b(?:fat|elastic|gumbo)\b|\bhigh(?:ly)?[- ]plastic(?:ity)?\b|\bvery plastic\b"), "high"),
    (pattern_of(r"\b(?:medium|intermediate|moderate(?:ly)?)[- ]plastic(?:ity)?\b"), "medium"),
    (pattern_of(r"\blean\b|\blow[- ]plastic(?:ity)?\b|\bslightly plastic\b"), "low"),
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


# ---- Shares of fines and gravel that the wording of a description stands for, in percent by dry mass


TRACE: ShareRange = (0.0, 4.0, 10.0)
FEW: ShareRange = (5.0, 8.0, 10.0)
LITTLE: ShareRange = (10.0, 17.0, 25.0)
SOME: ShareRange = (20.0, 30.0, 45.0)
AND: ShareRange = (30.0, 40.0, 50.0)
SLIGHTLY: ShareRange = (0.0, 5.0, 15.0)
PARTLY: ShareRange = (0.0, 8.0, 35.0)
BRITISH_DIRTY: ShareRange = (5.0, 20.0, 50.0)
VERY: ShareRange = (15.0, 30.0, 50.0)
NOT_STATED: ShareRange = (0.0, 4.0, 15.0)
GRADED: ShareRange = (0.0, 3.0, 8.0)

_AMOUNTS = {
    "trace": "trace",
    "traces": "trace",
    "few": "few",
    "little": "little",
    "some": "some",
    "with": "with",
    "occasional": "few",
    "contains": "with",
    "containing": "with",
    "including": "with",
    "slight": "trace",
    "rare": "trace",
    "frequent": "some",
    "much": "some",
    "many": "some",
}
_QUANTITIES = {"trace": TRACE, "few": FEW, "little": LITTLE, "some": SOME, "and": AND}
_FINES_PERCENT = pattern_of(
    r"(\d{1,2})\s?%\s*(?:fines|passing (?:the )?(?:no\.?\s?|#\s?)200|(?:-|minus )\s?(?:no\.?\s?|#\s?)?200)|"
    r"\bfines(?: content)?\s*[=:]?\s*(\d{1,2})\s?%"
)
_PERCENT_SPREAD = 3.0
"""How far a share of fines in percent may be off (own value)."""
_LEVELS = {"very": 3, "": 2, "partly": 1, "slightly": 0}
_DEGREES = {
    "very": "very",
    "slightly": "slightly",
    "partly": "partly",
    "locally": "partly",
    "occasionally": "partly",
    "sometimes": "partly",
    "somewhat": "slightly",
}
_PARTS = {
    "silt": "fines",
    "silty": "fines",
    "clay": "fines",
    "clayey": "fines",
    "fines": "fines",
    "clays": "fines",
    "silts": "fines",
    "gravel": "gravel",
    "gravels": "gravel",
    "gravelly": "gravel",
    "sand": "sand",
    "sandy": "sand",
    "cobbles": "cobbles",
}
_GRADING = frozenset({"fine", "coarse", "medium", "graded", "sorted", "uniform", "gravelly", "sandy", "grained"})
_ADJECTIVES = frozenset({"silty", "clayey", "sandy", "gravelly", "peaty", "organic", "cobbly", "bouldery"})
_AS_ADJECTIVE = {"clay": "clayey", "silt": "silty", "gravel": "gravelly", "sand": "sandy"}


@record(guarded=False)
class Shares:
    """How much of the fines, sand and gravel the words name: adjective levels and quantities of "with" and "trace"."""

    adjectives: dict[str, str]
    amounts: dict[str, str]
    fines_percent: float | None = None

    def level(self, *words: str) -> str | None:
        """Return the strongest degree at which any of the adjectives stands, None where none does."""
        levels = [self.adjectives[word] for word in words if word in self.adjectives]
        return max(levels, key=_LEVELS.__getitem__) if levels else None


def read_shares(phrase: LeadPhrase, lower: str = "") -> Shares:
    """Read the adjectives of the heads, the quantities of the tails, and the percent of fines that the lower-case text states.

    >>> from methodpick.ground.descriptions.lead_phrase import read_lead_phrase
    >>> read_shares(read_lead_phrase("silty very clayey sand, trace gravel"))
    Shares(adjectives={'silty': '', 'clayey': 'very'}, amounts={'gravel': 'trace'}, fines_percent=None)
    """
    adjectives: dict[str, str] = {}
    words = phrase.heads
    for index, word in enumerate(words):
        follows = words[index + 1] if index + 1 < len(words) else ""
        if word in _AS_ADJECTIVE and follows in _AS_ADJECTIVE:
            word = _AS_ADJECTIVE[word]  # noqa: PLW2901 - "clay sand" stands for clayey sand
        if word in _ADJECTIVES:
            degree = _degree(words, index)
            if word not in adjectives or _LEVELS[degree] > _LEVELS[adjectives[word]]:
                adjectives[word] = degree
    amounts: dict[str, str] = {}
    for tail in phrase.tails:
        _amounts(tail, amounts)
    for joint, word, follows in zip(words, words[1:], (*words[2:], ""), strict=False) if "and" in words else ():
        named = joint == "and" and _PARTS.get(word) == "fines" and NOUNS.get(word, "") not in ("", *phrase.nouns)
        if named and follows not in INCLUSIONS:
            amounts.setdefault("fines", "and")
    stated = _FINES_PERCENT.search(lower) if "%" in lower else None
    return Shares(adjectives, amounts, float(stated[1] or stated[2]) if stated else None)


def _degree(words: tuple[str, ...], index: int) -> str:
    before = words[index - 1] if index else ""
    if before in _DEGREES:
        return "partly" if before == "very" and index > 1 and _DEGREES.get(words[index - 2]) == "partly" else _DEGREES[before]
    return ""


def _amounts(tail: tuple[str, ...], amounts: dict[str, str]) -> None:
    """Add the amounts that a tail names: "with a little silt and gravel" gives both as little; seams and lenses are no share."""
    amount = ""
    for index, word in enumerate(tail):
        amount = _AMOUNTS.get(word, amount if word not in ("no", "without", "on", "over", "of", "below") else "")
        part = _PARTS.get(word)
        follows = tail[index + 1] if index + 1 < len(tail) else ""
        if part == "fines" and follows in ("matrix", "binder") and amount in ("", "with"):
            amounts["fines"] = "some"
        if part and amount and word not in _ADJECTIVES and follows not in INCLUSIONS - {"matrix", "binder"}:
            amounts.setdefault(part, amount)


def coarse_fines(shares: Shares, phrase: LeadPhrase) -> ShareRange:
    """Return the share of fines of a sand or gravel by its wording."""
    if (percent := shares.fines_percent) is not None:
        return (max(percent - _PERCENT_SPREAD, 0.0), percent, percent + _PERCENT_SPREAD)
    level = shares.level("silty", "clayey")
    if level == "slightly":
        return SLIGHTLY
    if level == "partly":
        return PARTLY
    if level is not None:
        british = BRITISH_DIRTY if phrase.british else DIRTY
        return VERY if level == "very" else british
    amount = shares.amounts.get("fines")
    if amount == "with":
        return BORDERLINE
    if amount:
        return _QUANTITIES[amount]
    if "clean" in phrase.heads:
        return CLEAN
    return GRADED if _GRADING.intersection(phrase.heads) or len(phrase.nouns) > 1 else NOT_STATED


def fine_fines(shares: Shares, phrase: LeadPhrase) -> ShareRange:
    """Return the share of fines of a clay or silt: ASTM D2487 "sandy" 50 to 70, "with sand" 70 to 85, else above.

    BS EN ISO 14688-1 names a clay by its behaviour, from about 35 % fines upward.
    """
    low = 35.0 if phrase.british else 50.0
    level = shares.level("sandy", "gravelly")
    if level in ("", "very"):
        return (low, 60.0, 85.0 if phrase.british else 70.0)
    if level is None and {"sand", "gravel"}.intersection(shares.amounts):
        return (low, 78.0, 90.0)
    return (low, 85.0, 100.0)


def gravel_share(shares: Shares, phrase: LeadPhrase) -> ShareRange | None:
    """Return the share of gravel where the words name it."""
    if "gravel" in phrase.nouns:
        return (25.0, 60.0, 100.0)
    level = shares.level("gravelly")
    if level is not None:
        return {"very": (20.0, 35.0, 50.0), "": (15.0, 25.0, 50.0)}.get(level, (0.0, 8.0, 20.0))
    amount = shares.amounts.get("gravel")
    return None if amount is None else (15.0, 20.0, 30.0) if amount == "with" else _QUANTITIES[amount]
