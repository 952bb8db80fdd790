"""Weathering that a log grades beside the words of a layer: words, numbers and codes as degrees, and rock read with words and grade.

Degrees of ISRM (1978) and BS 5930, I fresh to VI residual soil; numbers 0 to 5 of EN ISO 14689 are one less; classes A to E of BS 5930
(weak rock by its zones) lie between. Of chalk the grades of CIRIA C574 stand in their place: A to C by joints, D structureless,
1 to 5 by the spacing of joints, Dm and Dc by what carries it. All from memory. Where words and grade of a log differ both stay possible,
and the more weathered of them is likely.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache

from methodpick.ground.descriptions.reader import Description, read_description
from methodpick.ground.descriptions.rock import DEGREES_IN_WORDS, chalk_grade
from methodpick.patterns import pattern_of
from methodpick.terms import ROCK_LIKE

DEGREES = ("fresh", "slightly", "moderately", "highly", "completely", "residual")
"""Degrees of weathering from the least to the most; residual soil is read as completely weathered rock."""
_ROMAN = {"i": 0, "ii": 1, "iii": 2, "iv": 3, "v": 4, "vi": 5}
_CLASSES = {"a": (0, 0), "b": (1, 2), "c": (2, 3), "d": (4, 4), "e": (5, 5)}
_WORDS = {
    "fresh": (0, 0),
    "unweathered": (0, 0),
    "un": (0, 0),
    "faintly": (0, 1),
    "slightly": (1, 1),
    "slight": (1, 1),
    "partially": (1, 3),
    "partly": (1, 3),
    "moderately": (2, 2),
    "moderate": (2, 2),
    "distinctly": (2, 3),
    "intensely": (3, 3),
    "highly": (3, 3),
    "high": (3, 3),
    "severely": (3, 4),
    "extremely": (4, 4),
    "completely": (4, 4),
    "complete": (4, 4),
    "totally": (4, 4),
    "decomposed": (4, 4),
    "destructured": (4, 4),
    "residual": (5, 5),
    "weathered": (1, 4),
}
_CODES = {
    "fr": (0, 0),
    "f": (0, 0),
    "uw": (0, 0),
    "fw": (0, 1),
    "sw": (1, 1),
    "mw": (2, 2),
    "dw": (2, 3),
    "hw": (3, 3),
    "xw": (4, 4),
    "ew": (4, 4),
    "cw": (4, 4),
    "rs": (5, 5),
}
_LEAD = pattern_of(r"(?:weathering )?(?:grades?|class|zone)[ :]*")
_STEP = pattern_of(r"(w)?(?:(iv|vi?|i{1,3})|([0-6])|([a-e]))[ab]?")
_BETWEEN = pattern_of(r"\s*(?:/|-|\N{EN DASH}|\bto\b|\bor\b|\band\b)\s*(?:grades? )?")
_TOKENS = pattern_of(r"[a-z]+")
_BESIDE = frozenset({"weathered", "to", "and", "or", "rock", "soil", "soils", "weathering", "grade", "class"})
_IN_WORDS = pattern_of(
    rf"\b(?:(?:{DEGREES_IN_WORDS})[ -]?(?:(?:to|and|or)\s+)?)*(?:weathered|decomposed|disintegrated)\b|\bfresh\b|"
    r"\(?\bgrades? (?:i{1,3}|iv|vi?)[ab]?\b(?:\s*(?:/|-|to)\s*(?:i{1,3}|iv|vi?)[ab]?)?\)?",
    re.IGNORECASE,
)
"""What of a description grades the weathering itself."""


def degrees_of(text: str, scheme: str = "") -> tuple[str, str] | None:
    """Return the degrees, least and most, that a grade means; None where it means none.

    A bare digit is a number of EN ISO 14689 (0 to 5) or the ISRM grade in other figures (1 to 6): both, where no scheme says which.

    >>> degrees_of("IV"), degrees_of("Grade III/IV"), degrees_of("W5"), degrees_of("moderately to highly weathered")
    (('highly', 'highly'), ('moderately', 'highly'), ('completely', 'completely'), ('moderately', 'highly'))
    >>> degrees_of("3"), degrees_of("3", "ISO 14689"), degrees_of("MW/SW"), degrees_of("see remarks")
    (('moderately', 'highly'), ('highly', 'highly'), ('slightly', 'moderately'), None)
    """
    plain = " ".join(text.lower().replace("_", " ").split()).strip(" .,;:()")
    found = _graded(plain, scheme) or _worded(plain)
    return None if found is None else (DEGREES[found[0]], DEGREES[found[1]])


def _graded(plain: str, scheme: str) -> tuple[int, int] | None:
    """Return the degrees of one step of a scale, or of two with a sign or word between them."""
    lead = _LEAD.match(plain)
    parts = _BETWEEN.split(re.sub(r"\bw[ -]?(?=[iv1-6])", "w", plain[lead.end() if lead else 0 :]))
    steps = [_STEP.fullmatch(part) for part in parts]
    found = [_step(step, scheme, isrm=any(each and each[1] for each in steps)) for step in steps if step is not None]
    if len(parts) > 2 or len(found) < len(parts):
        return None
    return min(low for low, _ in found), max(high for _, high in found)


def _step(step: re.Match[str], scheme: str, *, isrm: bool) -> tuple[int, int]:
    _, roman, digit, letter = step.groups()
    if roman:
        return _ROMAN[roman], _ROMAN[roman]
    if letter:
        return _CLASSES[letter]
    number = int(digit)
    of_iso, of_isrm = min(number, 5), max(number - 1, 0)
    if isrm or "ISRM" in scheme.upper() or number == 6:
        return of_isrm, of_isrm
    if "14689" in scheme or number == 0:
        return of_iso, of_iso
    return of_isrm, of_iso


def _worded(plain: str) -> tuple[int, int] | None:
    """Return the degrees of words or codes of which every one is known."""
    tokens = _TOKENS.findall(plain)
    known = _WORDS.keys() | _CODES.keys() | _BESIDE
    if not known.issuperset(tokens) or any(sign.isdigit() for sign in plain):
        return None
    named = [_WORDS.get(each) or _CODES[each] for each in tokens if (each in _WORDS or each in _CODES) and each != "weathered"]
    if not named:
        return _WORDS["weathered"] if "weathered" in tokens else None
    return min(low for low, _ in named), max(high for _, high in named)


# ---- grades of chalk


_GRADES_OF_CHALK = r"([abc][1-5]?|d[mc]?)(?:\s*(?:/|-|to|or)\s*(?:grade )?([abc]?[1-5]|[abc]|d[mc]?))?"
_CHALK = pattern_of(rf"(?:chalk )?(?:ciria )?(?:grades? )?{_GRADES_OF_CHALK}")
_CHALK_WORDS = pattern_of(rf"\(?\bgrades? {_GRADES_OF_CHALK}\b\)?", re.IGNORECASE)


def chalk_grade_of(text: str) -> str:
    """Return the grade of chalk, or the range, that a cell states, "" where it states none; a letter alone may be a class of other rock.

    >>> chalk_grade_of("B3"), chalk_grade_of("Grade C3/4"), chalk_grade_of("dm"), chalk_grade_of("A to C"), chalk_grade_of("IV")
    ('B3', 'C3 to C4', 'Dm', 'A to C', '')
    """
    match = _CHALK.fullmatch(" ".join(text.lower().split()).strip(" .,;:()"))
    if match is None:
        return ""
    return chalk_grade(f"grade {match[1]}" + (f" to {match[2]}" if match[2] else ""))


def _rank(grade: str) -> tuple[str, str]:
    """Return what orders grades of chalk from the least to the most weathered: the letter, then how near the joints are."""
    return grade[:1], {"c": "1", "m": "2"}.get(grade[1:], grade[1:] or "3")


def chalk_hull(grades: Iterable[str]) -> str:
    """Return the range that holds all of some grades of chalk.

    >>> chalk_hull(["B3", "C4"]), chalk_hull(["Dm", "B2 to C2"]), chalk_hull(["A2", "A2"])
    ('B3 to C4', 'B2 to Dm', 'A2')
    """
    ends = sorted({end for grade in grades for end in grade.split(" to ")}, key=_rank)
    return ends[0] if len(ends) == 1 else f"{ends[0]} to {ends[-1]}"


def _chalk_disagrees(own: str, stated: str) -> bool:
    """Return whether two grades of chalk have no letter in common."""
    letters = [sorted(end[0] for end in grade.split(" to ")) for grade in (own, stated)]
    return letters[0][0] > letters[1][-1] or letters[1][0] > letters[0][-1]


def _graded_chalk(said: Description, description: str, named: tuple[str | None, str], stated: str) -> Description:
    """Return what chalk is by its words and a grade beside them: the grade where the words give none, else both are possible."""
    own = said.chalk_grade
    if own == stated:
        return said
    symbol, origin = named
    worst = stated.rsplit(" to ", maxsplit=1)[-1]
    bare = " ".join(_CHALK_WORDS.sub(" ", description).split()) if own else description
    by_grade = read_description(f"{bare} (Grade {worst})", symbol, origin)
    if (best := stated.split(" to ", maxsplit=1)[0]) != worst:
        by_grade = replace(by_grade, soils=by_grade.soils | read_description(f"{bare} (Grade {best})", symbol, origin).soils)
    evidence = f"{said.evidence}, chalk graded {stated}"
    if not own:
        return replace(by_grade, chalk_grade=stated, evidence=evidence)
    worse, better = (by_grade, said) if _rank(worst) >= _rank(own.split(" to ")[-1]) else (said, by_grade)
    return replace(worse, soils=worse.soils | better.soils, chalk_grade=chalk_hull((own, stated)), evidence=evidence)


def written(degrees: tuple[str, str]) -> str:
    """Return degrees as words: "highly", "moderately to highly".

    >>> written(("highly", "highly")), written(("fresh", "slightly"))
    ('highly', 'fresh to slightly')
    """
    low, high = degrees
    return low if low == high else f"{low} to {high}"


def hull(first: tuple[str, str], second: tuple[str, str]) -> tuple[str, str]:
    """Return the degrees that hold both of two.

    >>> hull(("fresh", "slightly"), ("highly", "highly"))
    ('fresh', 'highly')
    """
    ends = [DEGREES.index(each) for each in (*first, *second)]
    return DEGREES[min(ends)], DEGREES[max(ends)]


def disagree(said: Description, graded: str) -> bool:
    """Return whether words of a layer and its grade have no degree in common; words that say "weathered" alone agree with any.

    >>> disagree(read_description("slightly weathered SANDSTONE"), "highly"), disagree(read_description("weathered SANDSTONE"), "highly")
    (True, False)
    """
    if said.rock_type == "chalk" and (chalk := chalk_grade_of(graded)):
        return bool(said.chalk_grade) and _chalk_disagrees(said.chalk_grade, chalk)
    own, stated = degrees_of(said.weathering or ""), degrees_of(graded)
    if own is None or stated is None:
        return False
    return not _meet(own, stated)


def _meet(first: tuple[str, str], second: tuple[str, str]) -> bool:
    ends = [[DEGREES.index(each) for each in pair] for pair in (first, second)]
    return ends[0][0] <= ends[1][1] and ends[1][0] <= ends[0][1]


@lru_cache(maxsize=4096)
def read_with_grade(description: str, symbol: str | None, origin: str, graded: str) -> Description:
    """Return what a description with its symbol and origin, and a grade of weathering beside it, allow a layer to be.

    A grade makes nothing of soil. Of rock whose words are silent it decides; else both stay possible, the more weathered is likely.

    >>> sorted(read_with_grade("Grey SANDSTONE", None, "unknown", "highly").soils)
    ['weathered_rock']
    >>> both = read_with_grade("Slightly weathered grey SANDSTONE", None, "unknown", "highly")
    >>> sorted(both.soils), both.likely, both.weathering
    (['rock', 'weathered_rock'], 'weathered_rock', 'slightly to highly')
    >>> read_with_grade("Highly weathered GRANITE", None, "unknown", "moderately to highly").likely
    'weathered_rock'
    >>> read_with_grade("White CHALK", None, "unknown", "Dm").as_soil.likely, read_with_grade("White CHALK", None, "unknown", "B3").likely
    ('silt', 'rock')
    """
    said, stated = read_description(description, symbol, origin), degrees_of(graded)
    if said.rock_type == "chalk" and (chalk := chalk_grade_of(graded)):
        return _graded_chalk(said, description, (symbol, origin), chalk)
    if stated is None or not said.soils & ROCK_LIKE:
        return said
    own = degrees_of(said.weathering or "")
    if own == stated:
        return said
    bare = " ".join(_IN_WORDS.sub(" ", description).split())
    by_grade = read_description(f"{_as_words(stated)} {bare}", symbol, origin)
    evidence = f"{said.evidence}, weathering graded {graded}"
    if own is None or not by_grade.soils:
        return replace(by_grade, evidence=evidence) if by_grade.soils else said
    worse, better = (by_grade, said) if DEGREES.index(stated[1]) >= DEGREES.index(own[1]) else (said, by_grade)
    return replace(
        worse,
        soils=said.soils | by_grade.soils,
        likely="weathered_rock" if "weathered_rock" in (said.likely, by_grade.likely) else worse.likely or better.likely,
        weathering=written(hull(own, stated)),
        decomposed=said.decomposed or by_grade.decomposed,
        evidence=evidence,
    )


def _as_words(degrees: tuple[str, str]) -> str:
    """Return degrees as they stand before a rock: "highly weathered", "fresh to slightly weathered"."""
    words = list(dict.fromkeys("completely" if each == "residual" else each for each in degrees))
    if words == ["fresh"]:
        return "fresh"
    return f"{' to '.join(words)} weathered"
