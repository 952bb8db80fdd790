"""Made ground: slabs and walls, what fill behaves as by what it is made of, and fill of broken rock (own judgement)."""

from __future__ import annotations

import re

from methodpick.ground.descriptions.nouns import PossibleSoils

_PIECES: tuple[tuple[re.Pattern[str], PossibleSoils], ...] = tuple(
    (re.compile(rf"\b(?:{words})\b"), PossibleSoils(frozenset({likely, *others}), likely))
    for words, likely, others in (
        ("stones?|bricks?|brickwork|masonry|concrete|rubble|hardcore|demolition", "clean_gravel", ("cobbles", "silty_gravel")),
        ("slag|clinker", "clean_gravel", ("clean_sand", "cobbles")),
        ("ash|ashes|cinders", "silty_sand", ("silt", "clean_sand", "clean_gravel")),
        (
            "refuse|garbage|rubbish|trash|household|landfill|(?:domestic|municipal) waste",
            "organic",
            ("clay", "silt", "silty_sand", "clean_gravel", "cobbles"),
        ),
        ("tarmac\\w*|macadam|asphalt|bitmac|paving|pavement", "clean_gravel", ("cobbles",)),
    )
)
_SLAB = re.compile(
    r"\b(?:concrete|lean mix|screed|mortar|brick ?work|brick|masonry|stonework|tarmac\w*|macadam|asphalt|bitmac|"
    r"bituminous|blacktop|paving|pavement|"
    r"pavers?|paviou?rs?|setts|flagstones?|kerb(?:stone)?s?|slabs?|walls?)\b"
)
_BROKEN = re.compile(
    r"\b(?:rubble|crushed|broken|fragments?|pieces?|lumps?|demolition|debris|hardcore|bricks(?! and mortar)|"
    r"ash|ashes|ashy|cinders?|clinker|slag|waste|refuse|"
    r"back-?fill(?:ed)?|gravel|cobbles?|boulders?|planings|milled|millings|crumbly?|timber|wood|loose|sandy|clayey|silty|gravelly|"
    r"brick and(?! mortar)|and brick|brick,|and concrete|concrete,? (?:and )?(?:brick|timber|steel|metal|glass))\b|, brick\b"
)
_HARD = PossibleSoils(frozenset({"cobbles", "clean_gravel"}), "cobbles")
"""A slab, wall or pavement: it is cored or broken out in pieces like boulders, and what is left of it does not hold a wall."""
_AFTER = re.compile(r"\b(?:over|overlying|on|above|onto|with|underlain)\b|[.;]\s")
_MADE_OF = re.compile(
    r"^\W*(?:(?!joint|with|vein|crack|fissure|fracture|cavit|void|over|on)\w+ ){0,5}(?:made ground|back-?fill(?:ed)?|fill)\b|"
    r"[(\[](?:[\w ]*\b)?(?:made ground|fill)[)\]]|\bmade ground\s*\.?$"
)
_BROKEN_ROCK = PossibleSoils(frozenset({"clean_gravel", "silty_gravel", "cobbles"}), "clean_gravel")


def soil_of_pieces(lower: str) -> PossibleSoils | None:
    """Return what ground without a soil noun behaves as by what it is made of; None where no word of the lower-case text says so.

    A whole slab, wall or pavement is hard; of pieces the first word that names them decides.

    >>> soil_of_pieces("reinforced concrete slab").likely, soil_of_pieces("brick and concrete rubble").likely
    ('cobbles', 'clean_gravel')
    """
    first = _AFTER.split(lower, maxsplit=1)[0]
    if _SLAB.search(first) and not _BROKEN.search(first):
        return _HARD
    found = [(match.start(), kind) for pattern, kind in _PIECES if (match := pattern.search(lower))]
    return min(found, key=lambda place: place[0])[1] if found else None


def is_slab(lower: str) -> bool:
    """Return whether a lower-case text that names no soil first names a whole slab, wall or pavement.

    >>> is_slab("tarmacadam over sub-base"), is_slab("fill of brick and concrete rubble")
    (True, False)
    """
    return soil_of_pieces(lower) is _HARD


def rock_in_fill(lower: str) -> PossibleSoils | None:
    """Return the soil of made ground that names rock alone: broken stone; None where the lower-case text is not of made ground.

    >>> rock_in_fill("fill: limestone, angular").likely, rock_in_fill("limestone, joints with clay fill")
    ('clean_gravel', None)
    """
    return _BROKEN_ROCK if _MADE_OF.search(lower) else None
