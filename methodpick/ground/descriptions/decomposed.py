"""The soil that a rock becomes as it weathers: by what its log says it was recovered as, else by the type of rock.

Rock decomposed to soil (grades V and VI of ISRM, "completely weathered", "decomposed", "recovered as") is soil to a hole. What soil a
type of rock becomes is common knowledge of geology, from memory.
"""

from __future__ import annotations

import re

from methodpick.ground.descriptions.lead_phrase import PossibleSoils

_RECOVERED_AS = re.compile(
    r"\b(?:recovered|retrieved|sampled|returned|excavated|augered|weathered|decomposed|disintegrated|altered|broken down|reduced)\s+"
    r"(?:generally |mainly |mostly |locally |partly |in parts? )?(?:as|to|into)\s+(?:an? )?([^.;]+)"
)
_SOIL_GRADE = re.compile(
    r"\b(?:completely|extremely|totally)[ -](?:to \w+ )?(?:weathered|decomposed|disintegrated)\b|"
    r"\b(?:grades?|w)[ -]?(?:vi?|5|6)\b(?! to i)|\bresidual soils?\b|"
    r"(?<!slightly )(?<!moderately )(?<!highly )(?<!partially )(?<!partly )(?<!un)\bdecomposed\b"
)
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
}
_CRYSTALLINE = _becomes(_SAND, _SILT)
"""Granite, gneiss, and what the log only calls rock: silty sand and sandy silt."""


_CHALK_SILT = re.compile(r"\bgrade d(?:m\b|\b(?!c))|\bgrade vi\b|\bstructureless\b(?=.*\b(?:silt|putty)\b)|\bputty\b|\bremoulded\b")
_CHALK_GRAVEL = re.compile(r"\bgrade (?:dc|c[45]|iv|v)\b|\bstructureless\b|\brubbly\b|\brubble chalk\b")


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


def is_decomposed(lower: str) -> bool:
    """Return whether a lower-case text calls the rock decomposed to soil.

    >>> is_decomposed("completely weathered granite"), is_decomposed("highly weathered granite")
    (True, False)
    """
    return _SOIL_GRADE.search(lower) is not None
