"""Made ground: slabs and walls, what fill behaves as by what it is made of, and fill of broken rock (own judgement)."""

from __future__ import annotations

import re

from methodpick.ground.descriptions.lead_phrase import LeadPhrase
from methodpick.ground.descriptions.nouns import PossibleSoils
from methodpick.patterns import pattern_of

_PIECES: tuple[tuple[re.Pattern[str], PossibleSoils], ...] = tuple(
    (pattern_of(rf"\b(?:{words})\b"), PossibleSoils(frozenset({likely, *others}), likely))
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
_SLAB = pattern_of(
    r"\b(?:concrete|lean mix|screed|mortar|brick ?work|brick|masonry|stonework|tarmac\w*|macadam|asphalt|bitmac|"
    r"bituminous|blacktop|paving|pavement|"
    r"pavers?|paviou?rs?|setts|flagstones?|kerb(?:stone)?s?|slabs?|walls?)\b"
)
_BROKEN = pattern_of(
    r"\b(?:rubble|crushed|broken|fragments?|pieces?|lumps?|demolition|debris|hardcore|bricks(?! and mortar)|"
    r"ash|ashes|ashy|cinders?|clinker|slag|waste|refuse|"
    r"back-?fill(?:ed)?|gravel|cobbles?|boulders?|planings|milled|millings|crumbly?|timber|wood|loose|sandy|clayey|silty|gravelly|"
    r"brick and(?! mortar)|and brick|brick,|and concrete|concrete,? (?:and )?(?:brick|timber|steel|metal|glass))\b|, brick\b"
)
HARD = PossibleSoils(frozenset({"cobbles"}), "cobbles")
"""A slab, wall or pavement: it is cored or broken out in blocks like boulders."""
_WALL = pattern_of(
    r"^\W*(?:(?:old|former|existing|buried|possible|probable|disused|sea|cellar|basement|retaining|dressed|coursed|uncoursed|random|squared|"
    r"rubble|dry|mortared|brick|stone|sandstone|limestone|granite|flint|concrete|ragstone) )*"
    r"(?:wall|masonry|stonework|brickwork|blockwork|footing|foundation)s?\b(?! (?:material|level|rubble|debris|trench|fill))"
)
_AFTER = pattern_of(r"\b(?:over|overlying|on|above|onto|with|underlain)\b|[.;]\s")
_MADE_OF = pattern_of(
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
        return HARD
    found = [(match.start(), kind) for pattern, kind in _PIECES if (match := pattern.search(lower))]
    return min(found, key=lambda place: place[0])[1] if found else None


_TIMBER = pattern_of(
    r"\W*(?:\w+ ){0,2}?(?:timbers?|wood(?:en)?) ?"
    r"(?:(?:piles?|pilings?|crib\w*|walls?|lagging|sheeting|posts?|mattress|beams?|logs?|props?|planks?)\b|\W*(?:encountered|met)?\W*$)"
)


def is_timber(lower: str) -> bool:
    """Return whether a lower-case text that names no soil is of a work of timber: an obstruction, and no ground.

    >>> is_timber("old timber pile encountered"), is_timber("fill of timber and brick")
    (True, False)
    """
    return _TIMBER.match(lower) is not None


def is_slab(phrase: LeadPhrase, lower: str) -> bool:
    """Return whether a description is of a whole slab, wall or pavement, and of no ground; ``lower`` is all of it in lower case.

    >>> from methodpick.ground.descriptions.lead_phrase import read_lead_phrase
    >>> [is_slab(read_lead_phrase(text), text) for text in ("tarmacadam over sub-base", "fill of brick and concrete rubble")]
    [True, False]
    >>> text = "wall footing: random rubble masonry, sandstone"
    >>> is_slab(read_lead_phrase(text), text), is_slab(read_lead_phrase("sandstone, massive"), "sandstone, massive")
    (True, False)
    """
    made = set(phrase.nouns) <= {"debris"}
    if made and phrase.nouns and soil_of_pieces(lower) is HARD:
        return True
    return _SAMPLED_SLAB.match(lower) is not None or ((made or phrase.names_rock_alone) and _WALL.match(lower) is not None)


_SAMPLED_SLAB = pattern_of(
    r"^\W*(?:made ground\W+)?(?:(?:black|grey|dark|light|brown|bituminous|reinforced|asphaltic|mass|lean) )*"
    r"(?:concrete|macadam|tarmac\w*|asphalt|bitmac|lean mix)\W+(?:recovered as|comprising|comprised of|composed of|consisting of)\b|"
    r"^\W*(?:refusal|refused|stopped|terminated) (?:on|at|by) (?:\w+ ){0,2}(?:concrete|slab|wall|masonry)\b"
)
"""A slab with what it was broken to or is made of, and what stopped the hole."""


def rock_in_fill(lower: str) -> PossibleSoils | None:
    """Return the soil of made ground that names rock alone: broken stone; None where the lower-case text is not of made ground.

    >>> rock_in_fill("fill: limestone, angular").likely, rock_in_fill("limestone, joints with clay fill")
    ('clean_gravel', None)
    """
    return _BROKEN_ROCK if _MADE_OF.search(lower) else None
