"""Soil classes: of a noun with the words that qualify it (how silty a sand, how organic a clay), and of made ground (own judgement).

Made ground is slabs and walls, fill that behaves as what it is made of, and fill of broken rock.
"""

from __future__ import annotations

import re
from dataclasses import replace

from methodpick.ground.descriptions.grades import Shares, coarse_fines, fine_fines
from methodpick.ground.descriptions.lead_phrase import LeadPhrase
from methodpick.ground.descriptions.symbols_and_names import DIRTY, ShareRange
from methodpick.ground.descriptions.words import SOILS_OF_NOUN, PossibleSoils
from methodpick.patterns import pattern_of
from methodpick.terms import GRAVEL

_IN_BEDS = frozenset({"interbedded", "laminated", "interlaminated", "interlayered", "layered", "alternating"})
"""Words by which two soils lie beside each other and are not mixed."""


_ROCK_STRENGTHS = frozenset({"weak", "strong"})
_UNDER_COAL = frozenset({"underclay", "fireclay", "seatearth", "seatrock"})
_OF_CLAY = frozenset({"firm", "stiff", "plastic"})


def in_sense(phrase: LeadPhrase) -> LeadPhrase:
    """Return a phrase with its nouns as its other words mean them: marl of a rock's strength is marlstone, flints in chalk are no gravel.

    >>> from methodpick.ground.descriptions.lead_phrase import read_lead_phrase
    >>> in_sense(read_lead_phrase("moderately weak red marl")).nouns, in_sense(read_lead_phrase("stiff grey underclay")).nouns
    (('rock:marlstone',), ('clay',))
    """
    if "rock:chalk" in phrase.nouns and "gravel" in phrase.nouns and "gravel" not in phrase.heads:
        phrase = replace(phrase, nouns=tuple(noun for noun in phrase.nouns if noun != "gravel"))  # flints in chalk are no gravel
    changed = {}
    if "marl" in phrase.nouns and not _ROCK_STRENGTHS.isdisjoint(phrase.heads):
        changed["marl"] = "rock:marlstone"
    if "greensand" in phrase.nouns and not _ROCK_STRENGTHS.isdisjoint(phrase.heads):
        changed["greensand"] = "rock:sandstone"
    if "rock:claystone" in phrase.nouns and not (_UNDER_COAL.isdisjoint(phrase.heads) or _OF_CLAY.isdisjoint(phrase.heads)):
        changed["rock:claystone"] = "clay"
    if "caliche" in phrase.nouns and _is_strong(phrase):
        changed["caliche"] = "strong caliche"
    return replace(phrase, nouns=tuple([changed.get(noun, noun) for noun in phrase.nouns])) if changed else phrase


def soils_of(noun: str, phrase: LeadPhrase, shares: Shares) -> tuple[PossibleSoils, ShareRange | None]:
    """Return the classes of one soil noun with its qualifying words, and its share of fines in percent, None where it has none.

    >>> from methodpick.ground.descriptions.grades import read_shares
    >>> from methodpick.ground.descriptions.lead_phrase import read_lead_phrase
    >>> phrase = read_lead_phrase("very clayey SAND")
    >>> soils_of("sand", phrase, read_shares(phrase))[0].likely
    'silty_sand'
    """
    if noun in ("sand", "gravel"):
        mixed, beds = bool({"clay", "silt"} & set(phrase.nouns)), bool(_IN_BEDS & set(phrase.heads))
        return _coarse(noun, coarse_fines(shares, phrase), mixed=mixed, beds=beds)
    kind = SOILS_OF_NOUN[noun]
    if noun == "loam":
        return PossibleSoils(kind.soils, _of_loam(phrase, shares)), None
    level = shares.level("organic", "peaty")
    if noun in ("clay", "silt"):
        if level in ("", "very"):
            if "organic" in shares.adjectives and level == "" and "peaty" not in shares.adjectives:
                return kind, fine_fines(shares, phrase)
            likely = "organic" if "organic" in shares.adjectives else noun
            return PossibleSoils(frozenset({"organic", noun}), likely), fine_fines(shares, phrase)
        other = shares.level("clayey" if noun == "silt" else "silty")
        if other == "very" or (noun == "silt" and other == ""):
            kind = PossibleSoils(frozenset({"clay", "silt"}), noun)
        return kind, fine_fines(shares, phrase)
    return kind, None


def _is_strong(phrase: LeadPhrase) -> bool:
    """Return whether caliche is well cemented, or was hard to drill."""
    words = {word for part in (phrase.heads, *phrase.tails) for word in part}
    cemented = {"cemented", "indurated"} & words and {"strongly", "strong", "well", "highly"} & words
    return bool(cemented) or {"very", "hard", "drilling"} <= words


def _of_loam(phrase: LeadPhrase, shares: Shares) -> str:
    """Return the likely class of loam: sandy loam is silty sand, clay loam clay."""
    return "silty_sand" if shares.level("sandy") == "" else "clay" if "clay" in phrase.heads or "clayey" in shares.adjectives else "silt"


def _coarse(noun: str, fines: ShareRange, *, mixed: bool, beds: bool) -> tuple[PossibleSoils, ShareRange]:
    """Class a sand or gravel by its fines: below 12 % it may be clean, from 5 % it may be dirty.

    ``mixed`` with clay or silt it is likely dirty, unless both lie beside each other in ``beds``.
    """
    clean, dirty = f"clean_{noun}", f"silty_{noun}"
    low, likely, high = fines
    both = mixed or (low < 12 and high > 12 and not (low >= 5 and (likely or 0) >= 12 and high > 25)) or (low >= 5 and high <= 12)
    if mixed and not beds and likely is not None and likely < DIRTY[0]:
        return PossibleSoils(frozenset({clean, dirty}), dirty), fines
    if both:
        return PossibleSoils(frozenset({clean, dirty}), dirty if (likely or 0) >= 12 else clean), fines
    return PossibleSoils(frozenset({dirty if (likely or 0) >= 12 else clean}), dirty if (likely or 0) >= 12 else clean), fines


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
_BROKEN_ROCK = PossibleSoils(GRAVEL, "clean_gravel")


_STEEL_IN_IT = pattern_of(r"\b(?:rebars?|reinforc\w+|steel|slabs?|blocks?|could not (?:be )?(?:advance|penetrate)\w*|refus\w+)\b")
_COARSE_RUBBLE = PossibleSoils(frozenset({"cobbles", "clean_gravel"}), "cobbles")
"""Rubble that holds blocks or steel lies in pieces that no tool lifts as gravel (own judgement)."""


def soil_of_pieces(lower: str) -> PossibleSoils | None:
    """Return what ground without a soil noun behaves as by what it is made of; None where no word of the lower-case text says so.

    A whole slab, wall or pavement is hard; of pieces the first word that names them decides.

    >>> soil_of_pieces("reinforced concrete slab").likely, soil_of_pieces("brick and concrete rubble").likely
    ('cobbles', 'clean_gravel')
    """
    first = _AFTER.split(lower, maxsplit=1)[0]
    if _SLAB.search(first) and not _BROKEN.search(first):
        return HARD
    if "rubble" in lower and _STEEL_IN_IT.search(lower):
        return _COARSE_RUBBLE
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
    return _BROKEN_ROCK if ("fill" in lower or "made ground" in lower) and _MADE_OF.search(lower) else None
