"""Soil classes of a noun with the words that qualify it: how silty a sand is, how organic a clay, what a loam is likely to be."""

from __future__ import annotations

from dataclasses import replace

from methodpick.ground.descriptions.grades import Shares, coarse_fines, fine_fines
from methodpick.ground.descriptions.lead_phrase import LeadPhrase
from methodpick.ground.descriptions.nouns import SOILS_OF_NOUN, PossibleSoils
from methodpick.ground.descriptions.symbols import DIRTY, ShareRange

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
