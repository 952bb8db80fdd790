"""Rock words: weathering, strength, type; the class of ground that they make, and the soil that a rock becomes.

Strength words of BS EN ISO 14689 (extremely weak below 1 MPa, very weak 1 to 5, weak 5 to 25) and of US logs (very
soft, soft, medium hard, hard); weathering words of ISRM. From memory. Intermediate geomaterial is about 0.5 to 5 MPa.

Rock decomposed to soil (grades V and VI of ISRM, "completely weathered", "decomposed", "recovered as") is soil to a hole. What soil a
type of rock becomes is common knowledge of geology, from memory.
"""

from __future__ import annotations

import math

from methodpick.ground.descriptions.words import MUDROCKS, SOLUBLE, STRONG_WHEN_FRESH, WEAK, PossibleSoils
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.terms import ROCK_LIKE

# ---- Rock words: weathering, strength, type; and the class of ground that they make


_PART = r"(?!\s+(?:joints?|surfaces?|zones?|seams?|along|discontinuit\w+|contacts?))"
DEGREES_IN_WORDS = "fresh|faintly|slightly|moderately|distinctly|highly|intensely|completely|partially|partly|severely|extremely|un"
"""What stands before "weathered" in a description, as alternatives of a pattern."""
_WEATHERING = pattern_of(
    rf"\b(?:({DEGREES_IN_WORDS})[ -]?)?"
    rf"(?:(?:(?:to|and|or)\s+)?(?:(slightly|moderately|distinctly|highly|intensely|completely)\s+)?)(weathered|decomposed|disintegrated){_PART}\b"
)
_WEATHERED = rf"fresh|(?:{DEGREES_IN_WORDS})[ -]?(?:weathered[ ,]+)?(?:(?:to|and|or) (?:{DEGREES_IN_WORDS}) ?)?weathered"
_STATED_ALONE = pattern_of(rf"[.;]\s+({_WEATHERED})\s*(?=[.:;,(]|$)")
"""Weathering as a sentence of its own, as BS 5930 has it after the rock; not that of joints, zones and bands."""
_SAME_DEGREE = {"un": "", "faintly": "slightly", "distinctly": "moderately", "intensely": "highly"}
"""Words of BS 5930 approach 4 and of US logs by the degree of ISRM that comes nearest (own judgement)."""
_WEATHERED_WORDS = ("weathered", "decomposed", "disintegrated")
_FRESH = pattern_of(r"\b(?:fresh|unweathered|sound)\b")
_FRESH_WORDS = ("fresh", "unweathered", "sound")
_STRENGTH = pattern_of(
    r"\b(?:(extremely|very|medium|moderately)\s+to\s+(?=(?:extremely|very|moderately)\s))?"
    r"(?:(extremely|very|medium|moderately)\s+)?(weak|strong|soft|hard)\b"
)
_RANGE = pattern_of(r"(?:\s|/|-|to|and|or|becoming|locally|occasionally|generally|in|places|partly)*")
"""What may stand between two strength words of one rock."""
_BESIDE = pattern_of(r"\((?:locally|occasionally|in places) ((?:(?:extremely|very|medium|moderately) )?(?:weak|strong))\)")
"""A strength that brackets add."""
_VERY_WEAK = ("extremely weak", "very weak", "very soft")
_CLEARLY = frozenset({"moderately", "highly", "completely", "severely", "extremely"})
_DEEP = frozenset({"highly", "completely", "severely", "extremely", "partially", "partly"})


_STRENGTH_MPA = {
    "extremely weak": (0.3, 0.6, 1.0),
    "very weak": (0.6, 2.5, 5.0),
    "weak": (1.25, 8.0, 25.0),
    "moderately weak": (5.0, 8.0, 12.5),
    "moderately strong": (12.5, 25.0, 50.0),
    "medium strong": (25.0, 35.0, 50.0),
    "strong": (50.0, 70.0, 100.0),
    "very strong": (100.0, 150.0, 250.0),
    "extremely strong": (200.0, 300.0, 500.0),
    "very soft": (0.5, 2.0, 7.0),
    "soft": (2.0, 7.0, 20.0),
    "moderately hard": (15.0, 35.0, 60.0),
    "medium hard": (15.0, 35.0, 60.0),
    "hard": (40.0, 80.0, 150.0),
    "very hard": (80.0, 150.0, 400.0),
}
"""Strength words with what they stand for: the hull of the British standards of 1999 and 2015, and of US logs; all from memory."""
STRENGTH_SOURCE = "strength words of BS 5930, EN ISO 14689 and US logs, from memory"
"""Where the strength of a word comes from, for a reader of the fact."""


def strength_of_words(words: str | None) -> tuple[float, float, float] | None:
    """Return the compressive strength of a strength word, or of a range, as low, high and likely in kPa; None for what is no such word.

    The likely strength of a range is the geometric mean of those of its words (own judgement).

    >>> strength_of_words("weak"), strength_of_words("weak to strong")
    ((1250.0, 25000.0, 8000.0), (1250.0, 100000.0, 23664.3))
    """
    found = [_STRENGTH_MPA[word] for word in (words or "").split(" to ") if word in _STRENGTH_MPA]
    if not found:
        return None
    likely = math.prod(each[1] for each in found) ** (1 / len(found))
    return min(each[0] for each in found) * 1000, max(each[2] for each in found) * 1000, round(likely * 1000, 1)


@record
class DescribedRock:
    """Rock as described: its classes, weathering and strength words, type, and whether water dissolves it."""

    classes: PossibleSoils
    weathering: str | None
    strength: str | None
    rock_type: str
    soluble: bool


NO_ROCK = DescribedRock(PossibleSoils(frozenset(), None), None, None, "", soluble=False)
"""What a description without rock says of it."""


def read_rock(rock_type: str, head: str, lower: str = "") -> DescribedRock:
    """Read the leading phrase of a rock description, and the grade that the whole text gives, both in lower case.

    >>> read_rock("sandstone", "highly weathered sandstone").classes.likely
    'weathered_rock'
    >>> read_rock("mudstone", "grey mudstone weak").classes.likely
    'rock'
    >>> read_rock("granite", "brown granite", "brown granite (grade v)").weathering
    'completely'
    """
    weathering = _weathering_in(head)
    if rock_type == "chalk":
        return DescribedRock(
            _class_of_chalk(lower, weathering, _strength_in(head)), weathering, _strength_in(head), rock_type, soluble=True
        )
    strength = _strength_in(head)
    beside = _BESIDE.search(lower) if strength and "(" in lower else None
    if strength and beside is not None and beside[1] not in strength.split(" to "):
        strength = f"{strength} to {beside[1]}"
    weathering = weathering or _weathering_of_grade(lower) or _weathering_of_sentence(lower) or _weathering_of_structure(lower, strength)
    return DescribedRock(_class_of(rock_type, weathering, strength), weathering, strength, rock_type, rock_type in SOLUBLE)


def _weathering_in(head: str) -> str | None:
    degrees: list[str] = []
    for first, second, word in _WEATHERING.findall(head) if any(map(head.__contains__, _WEATHERED_WORDS)) else ():
        degrees += [same for degree in (first, second) if (same := _SAME_DEGREE.get(degree, degree))]
        if not first and not second:
            degrees.append("weathered" if word == "weathered" else "completely")
    if any(map(head.__contains__, _FRESH_WORDS)) and _FRESH.search(head):
        degrees.insert(0, "fresh")
    return " to ".join(dict.fromkeys(degrees)) or None


def _strength_in(text: str) -> str | None:
    """Return the strength word of a text, or its range: "weak to strong", from whatever words part the two.

    >>> _strength_in("medium strong locally strong grey sandstone"), _strength_in("moderately to very weak shale")
    ('medium strong to strong', 'moderately weak to very weak')
    """
    found: list[str] = []
    end = None
    for match in _STRENGTH.finditer(text):
        if end is not None and not _RANGE.fullmatch(text, end, match.start()):
            break
        end = match.end()
        degrees = [degree for degree in match.groups()[:2] if degree] or [""]
        found += [f"{degree} {match[3]}".strip() for degree in degrees]
    ends = list(dict.fromkeys(found))[:3]
    return " to ".join(ends) or None


def _class_of(rock_type: str, weathering: str | None, strength: str | None) -> PossibleSoils:
    """Return the class of a rock; of a range of strengths the first is likely, and all are possible."""
    classes = [_class_of_one(rock_type, weathering, word) for word in (strength or "").split(" to ")]
    return PossibleSoils(frozenset().union(*(each.soils for each in classes)), classes[0].likely)


def _class_of_one(rock_type: str, weathering: str | None, strength: str) -> PossibleSoils:
    degrees = set((weathering or "").split(" to ")) - {""}
    if rock_type == "lignite" and not degrees:
        return PossibleSoils(frozenset({"intermediate"}), "intermediate")
    if degrees and degrees <= {"partially", "partly"} and rock_type != "rock" and strength not in ("", *_VERY_WEAK):
        return PossibleSoils(frozenset({"rock", "weathered_rock"}), "rock")  # of a named strength: EN ISO 14689, not the US "PWR"
    if degrees and degrees <= _DEEP:
        return PossibleSoils(frozenset({"weathered_rock"}), "weathered_rock")
    if degrees == {"weathered"}:
        sure = rock_type == "rock"
        return PossibleSoils(frozenset({"weathered_rock"} if sure else {"weathered_rock", "rock"}), "weathered_rock")
    if strength in _VERY_WEAK and degrees & _CLEARLY and "fresh" not in degrees:
        return PossibleSoils(ROCK_LIKE, "weathered_rock")
    if strength in _VERY_WEAK:
        likely = "weathered_rock" if rock_type in STRONG_WHEN_FRESH else "intermediate"
        return PossibleSoils(ROCK_LIKE, likely)
    if degrees & (_DEEP | {"moderately", "weathered"}):
        return PossibleSoils(frozenset({"rock", "weathered_rock"}), "rock")
    if rock_type in WEAK and strength in ("", "soft"):
        soft = strength == "soft" and rock_type not in MUDROCKS and rock_type != "coal"
        likely = "intermediate" if rock_type == "clayshale" or soft else "rock"
        return PossibleSoils(frozenset({"rock", "intermediate"}), likely)
    return PossibleSoils(frozenset({"rock"}), "rock")


_GRADES = {"i": "fresh", "ii": "slightly", "iii": "moderately", "iv": "highly", "v": "completely", "vi": "completely"}
_GRADE = pattern_of(r"\bgrades? (i{1,3}|iv|vi?)[ab]?(?:\s*(?:/|-|to|or|and)\s*(i{1,3}|iv|vi?)[ab]?)?\b")


def _weathering_of_grade(lower: str) -> str | None:
    """Return the weathering of a grade of ISRM, from memory: I fresh, II slightly, III moderately, IV highly, V completely weathered."""
    match = _GRADE.search(lower) if "grade" in lower else None
    return None if match is None else " to ".join(dict.fromkeys(_GRADES[grade] for grade in match.groups() if grade))


def _weathering_of_sentence(lower: str) -> str | None:
    """Return the weathering that a sentence behind the rock states.

    >>> _weathering_of_sentence("strong grey sandstone. fractures are rough, clean. slightly to moderately weathered.")
    'slightly to moderately'
    >>> _weathering_of_sentence("strong grey granite. joints fresh. highly weathered zones at 3.2m")
    """
    match = _STATED_ALONE.search(lower) if "weathered" in lower or "fresh" in lower else None
    return None if match is None else _weathering_in(match[1])


_LOST_STRUCTURE = pattern_of(r"\b(?:(\w+) )?loss of structure\b")


def _weathering_of_structure(lower: str, strength: str | None) -> str | None:
    """Return the weathering of rock that has lost its structure: complete loss always, other loss where the rock is very weak.

    >>> [_weathering_of_structure(f"{how} loss of structure to clay", "very weak") for how in ("complete", "localised")]
    ['completely', None]
    """
    match = _LOST_STRUCTURE.search(lower) if "structure" in lower else None
    if match is None or match[1] in ("localised", "localized", "local", "partial", "slight", "occasional"):
        return None
    return "completely" if match[1] in ("complete", "total") else "highly" if (strength or "").partition(" to ")[0] in _VERY_WEAK else None


def _class_of_chalk(lower: str, weathering: str | None, strength: str | None) -> PossibleSoils:
    """Return the class of chalk: structureless chalk and grade D are soil-like, A to C are rock however weak; else as any rock."""
    grade = chalk_grade(lower)
    if grade.startswith("D") or _STRUCTURELESS.search(lower.partition("recovered")[0]):
        return PossibleSoils(frozenset({"weathered_rock"}), "weathered_rock")
    if _SOIL_LIKE.search(lower):
        return PossibleSoils(frozenset({"weathered_rock"}), "weathered_rock")
    classes = _class_of("chalk", weathering, strength)
    return PossibleSoils(classes.soils | {"rock"}, "rock") if grade else classes


# ---- The soil that a rock becomes as it weathers: by what its log says it was recovered as, else by the type of rock


_RECOVERED_AS = pattern_of(
    r"\b(?:recovered|retrieved|sampled|returned|excavated|augered|weathered|decomposed|disintegrated|altered|broken down|"
    r"breaks? down|crumbles|reduced)\s+"
    r"(?:generally |mainly |mostly |locally |partly |in parts? )?(?:as|to|into)\s+(?:an? )?"
    r"(?![^.;]*\b(?:along|on) (?:the )?(?:fissure|joint|bedding|fracture|discontinuit))([^.;]+)"
)
_SOIL_GRADE = pattern_of(
    r"\b(?:completely|extremely|totally)[ -](?:to \w+ )?(?:weathered|decomposed|disintegrated)\b|"
    r"\b(?:grades?|w)[ -]?(?:vi?|5|6)\b(?! to i)|\bresidual soils?\b|"
    r"(?<!slightly )(?<!moderately )(?<!highly )(?<!partially )(?<!partly )(?<!un)\bdecomposed\b"
)
_SOIL_GRADE_WORDS = ("grade", "weathered", "decomp", "disint", "residual", "w5", "w6", "wv", "w 5", "w 6", "w v", "w-5", "w-6", "w-v")
"""What one of is in every text that the pattern finds."""
_SAND, _SILT, _CLAY, _GRAVEL = "silty_sand", "silt", "clay", "silty_gravel"


def _becomes(*soils: str) -> PossibleSoils:
    return PossibleSoils(frozenset(soils), soils[0])


_BY_TYPE: dict[str, PossibleSoils] = {
    **dict.fromkeys(("mudstone", "claystone", "shale", "clayshale", "marlstone", "slate"), _becomes(_CLAY)),
    **dict.fromkeys(("limestone", "dolomite", "marble"), _becomes(_CLAY, _GRAVEL)),
    **dict.fromkeys(("basalt", "tuff", "andesite", "gabbro", "dolerite", "amphibolite", "serpentinite"), _becomes(_CLAY, _SILT)),
    **dict.fromkeys(("siltstone", "schist", "phyllite", "pelite", "mylonite"), _becomes(_SILT, _SAND)),
    **dict.fromkeys(("conglomerate", "breccia"), _becomes(_GRAVEL, _SAND)),
    **dict.fromkeys(("sandstone", "quartzite", "psammite", "greywacke", "coquina"), _becomes(_SAND)),
    "chalk": _becomes(_GRAVEL, _SILT),
    "coal": _becomes(_GRAVEL, _SAND),
    "lignite": _becomes(_CLAY, "organic"),
}
_CRYSTALLINE = _becomes(_SAND, _SILT)
"""Granite, gneiss, and what the log only calls rock: silty sand and sandy silt."""


_CHALK_GRADE = pattern_of(
    r"(?<!probably )(?<!possibly )(?<!probable )(?<!possible )\b(?:grades? ([abc][1-5]?|d[mc]?)|(?<!no )([abc][1-5]|d[mc]))"
    r"(?:\s*(?:/|-|to|or)\s*(?:grade )?([abc]?[1-5]|[abc]|d[mc]?))?\b"
)


def chalk_grade(lower: str) -> str:
    """Return the grade of chalk of CIRIA C574 that a lower-case text states, "" where it states none.

    >>> chalk_grade("weak white chalk, grade b3"), chalk_grade("chalk (grade c3/4)"), chalk_grade("chalk, probably grade b")
    ('B3', 'C3 to C4', '')
    """
    match = _CHALK_GRADE.search(lower)
    if match is None:
        return ""
    first, second = match[1] or match[2], match[3] or ""
    second = first[0] + second if second.isdigit() else second
    return " to ".join(grade[0].upper() + grade[1:] for grade in dict.fromkeys((first, second)) if grade)


_SOIL_LIKE = pattern_of(r"^(?:\w+ ){0,3}?(?:firm|stiff)\b(?:(?!\bwith\b)[^.,;])*\bchalk\b")
"""Chalk with a consistency of clay behaves as soil; "soft" and "hard" are used of rock too."""
_STRUCTURELESS = pattern_of(r"\bstructureless\b|\bputty\b|\bremoulded\b|\bgrade vi\b")
_CHALK_SILT = pattern_of(r"\bgrade d(?:m\b|\b(?!c))|\bgrade vi\b|\bstructureless\b(?=.*\b(?:silt|putty)\b)|\bputty\b|\bremoulded\b")
_CHALK_GRAVEL = pattern_of(r"\bgrade (?:dc|c[45]|iv|v)\b|\bstructureless\b|\brubbly\b|\brubble chalk\b")


def soil_of_chalk(lower: str) -> tuple[PossibleSoils, bool]:
    """Return the soil that chalk of a lower-case description behaves as, and whether its grade or words call it so.

    Grades of CIRIA C574 and of Mundford, from memory: Dm and VI are silt-sized paste with lumps, Dc, C4 to C5, V and IV are rubble,
    which is gravel to a hole; A, B and C1 to C3 are rock.

    >>> soil_of_chalk("structureless chalk, grade dm"), soil_of_chalk("weak white chalk, grade b3")[1]
    ((PossibleSoils(soils=frozenset({'silt'}), likely='silt'), True), False)
    """
    if _CHALK_SILT.search(lower):
        return _becomes(_SILT), True
    return _BY_TYPE["chalk"], _CHALK_GRAVEL.search(lower) is not None


def soil_of_rock(rock_type: str) -> PossibleSoils:
    """Return the soil that a type of rock becomes.

    >>> soil_of_rock("granite").likely, soil_of_rock("shale").likely
    ('silty_sand', 'clay')
    """
    return _BY_TYPE.get(rock_type, _CRYSTALLINE)


def recovered_as(lower: str) -> str:
    """Return the words after "recovered as" or "weathered to", nothing where the lower-case text has none.

    >>> recovered_as("completely weathered granite, recovered as silty sand. wet")
    'silty sand'
    """
    match = _RECOVERED_AS.search(lower)
    return "" if match is None else match[1].strip()


def composed_of(lower: str) -> str:
    """Return the words after "composed of" or "recovered as" of chalk, nothing where the lower-case text has none.

    >>> composed_of("structureless chalk composed of firm white slightly gravelly silt. (grade dm)")
    'firm white slightly gravelly silt'
    """
    match = _COMPOSED_OF.search(lower)
    return "" if match is None else match[1].strip()


_COMPOSED_OF = pattern_of(r"\b(?:composed of|comprising|consisting of|recovered as) (?:an? )?([^.;(]+)")


def is_decomposed(lower: str) -> bool:
    """Return whether a lower-case text calls the rock decomposed to soil.

    >>> is_decomposed("completely weathered granite"), is_decomposed("highly weathered granite")
    (True, False)
    """
    return any(map(lower.__contains__, _SOIL_GRADE_WORDS)) and _SOIL_GRADE.search(lower) is not None


# ---- Slots and cavities of rock that soil fills


_FILLING = r"(?:clay|silt|sand|gravel|soil|mud|muck|earth|loam)"
_SLOTS = r"(?:cavit(?:y|ies)|voids?|caverns?|slots?|cutters?|grikes?|gaps?|sink ?holes?|swallow ?holes?|(?:dis)?solution \w+)"
_FILLED_SLOTS = pattern_of(
    rf"\b{_FILLING}[- ](?:in)?filled (?:\w+ ){{0,2}}?{_SLOTS}\b|"
    rf"\b{_SLOTS}\b[^.;]{{0,40}}?\b(?:in)?filled (?:with|by) (?:\w+ ){{0,5}}?{_FILLING}\b|"
    rf"\b{_SLOTS}\b[^.;]{{0,30}}?\b{_FILLING}[- ](?:in)?fill(?:ed|ing)?\b|"
    rf"\binfill(?:ed|ing)? (?:of |a |an |the |in )*{_SLOTS}\b|"
    rf"\b{_SLOTS} infill(?:ing)?\b|"
    rf"\b{_FILLING} (?:between|among) (?:\w+ )?pinnacles?\b"
)
_DENIED = pattern_of(r"\b(?:no|without|free of) (?:\w+[- ]){0,3}$")
_PINNACLES = pattern_of(r"\bpinnacle[ds]?\b")


def filled_slots(lower: str) -> bool | None:
    """Return whether the lower-case text tells of slots or cavities that soil fills; None where it tells of pinnacles alone.

    Between pinnacles of rock lie slots, and most of them hold soft soil.

    >>> filled_slots("grey limestone with clay-filled solution cavities"), filled_slots("void, filled with water")
    (True, False)
    >>> filled_slots("very soft red clay infilling solution cavity"), filled_slots("pinnacled limestone")
    (True, None)
    """
    if "fill" not in lower and "pinnacle" not in lower:
        return False
    if any(not _DENIED.search(lower[: match.start()]) for match in _FILLED_SLOTS.finditer(lower)):
        return True
    return None if _PINNACLES.search(lower) else False
