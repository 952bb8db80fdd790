"""Read a soil description and its symbol into what they allow the layer to be.

The words decide nothing on their own: they give a set of classes with the likeliest one, ranges of the shares, grades and
features. Where symbol and description disagree, both stay possible and a doubt says so.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache

from methodpick.ground.descriptions.features import read_features
from methodpick.ground.descriptions.grades import (
    Grades,
    Shares,
    density_of_consistency,
    gravel_share,
    read_grades,
    read_moisture,
    read_plasticity,
)
from methodpick.ground.descriptions.lead_phrase import LeadPhrase
from methodpick.ground.descriptions.main_soil import SoilByWords, main_soil, without_grains
from methodpick.ground.descriptions.rock import chalk_grade, composed_of, is_decomposed, recovered_as, soil_of_chalk, soil_of_rock
from methodpick.ground.descriptions.symbols_and_names import Plasticity, ShareRange, Symbol
from methodpick.ground.descriptions.words import LONGEST_TEXT, SOLUBLE, PossibleSoils
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.terms import ROCK, ROCK_LIKE, SLOW_DRAINING

_SAND_AND_GRAVEL = frozenset({"clean_sand", "silty_sand", "clean_gravel", "silty_gravel"})
_NO_SOIL = PossibleSoils(frozenset(), None)
_NAMED_AFTER = pattern_of(r"[(\[][^()\[\]]*\b(?:member|formation|group|series|beds)[)\]]")
"""A stratigraphic name in brackets, whose words describe nothing."""


@record
class Description:
    """What a description and a symbol allow a layer to be. Shares are (low, likely or None, high) in percent by dry mass.

    ``as_soil`` is the soil that a layer of rock becomes where it is decomposed; ``decomposed`` says that the words call it so,
    ``came_up_as_soil`` that it was recovered as soil, gravel and cobbles included, which the tools may have broken. ``slab`` says that
    it is no ground but a whole slab, wall or pavement; its class is that of the blocks in which it is broken out.
    """

    soils: frozenset[str] = frozenset()
    likely: str | None = None
    doubt: str = ""
    evidence: str = ""
    fines: ShareRange | None = None
    gravel: ShareRange | None = None
    consistency: Grades | None = None
    density: Grades | None = None
    moisture: str | None = None
    features: frozenset[str] = frozenset()
    absent: frozenset[str] = frozenset()
    origin: str = "unknown"
    weathering: str | None = None
    strength: str | None = None
    rock_type: str = ""
    soluble: bool = False
    plasticity: Plasticity | None = None
    as_soil: PossibleSoils = _NO_SOIL
    decomposed: bool = False
    came_up_as_soil: bool = False
    british: bool = False
    chalk_grade: str = ""
    slab: bool = False


_NOTHING_SAID = Description()


def read_description(description: str, symbol: str | None = None, origin: str = "unknown") -> Description:
    """Read a layer's description, its symbol and its stated origin.

    A symbol narrows the classes by definition; the description gives the grades, features and the likely class among
    those that the symbol leaves open. Without either the set of classes is empty.

    >>> read = read_description("medium dense brown fine to medium sand", "SP")
    >>> sorted(read.soils), read.density, read.fines
    (['clean_sand'], ('medium_dense', 'medium_dense'), (0.0, 3.0, 5.0))
    >>> read_description("soft clay", "SP").doubt
    "symbol SP and description 'clay' disagree"
    """
    return _read(without_grains(description[:LONGEST_TEXT]), symbol, origin)


@lru_cache(maxsize=16384)
def _read(description: str, symbol: str | None, origin: str) -> Description:
    main = main_soil(description, symbol, origin)
    words, soils, by_symbol = main.words, main.soils, main.by_symbol
    phrase, lower, described, rock = words.phrase, words.lower, words.described, words.described.rock
    consistency, density, misspelt = read_grades(phrase, lower)
    features, absent = read_features(_NAMED_AFTER.sub(" ", lower) if "(" in lower or "[" in lower else lower)
    made = Description(
        soils=soils,
        likely=main.likely,
        doubt=main.doubt,
        evidence=_evidence(phrase, main.name if by_symbol else None, (*words.slips, misspelt)),
        fines=_fines(by_symbol, described, main.likely, soils),
        gravel=gravel_share(words.shares, phrase),
        consistency=consistency if _has_consistency(phrase, soils, consistency) else None,
        density=_density(density, consistency, soils),
        moisture=read_moisture(phrase),
        features=features | _features_of_nouns(phrase, words.shares, main.name) | ({"obstructions"} if words.slab else frozenset()),
        absent=absent,
        origin=main.origin,
        weathering=rock.weathering,
        strength=rock.strength,
        rock_type=rock.rock_type,
        soluble=_soluble(described, phrase, by_symbol),
        british=phrase.british,
        slab=words.slab,
        plasticity=read_plasticity(lower) or (by_symbol.plasticity if by_symbol else None),
    )
    if soils and soils <= ROCK_LIKE and "fissured" in made.features:
        made = replace(made, features=made.features | {"jointed"})  # fissures of rock are joints
    return _with_its_soil(made, lower) if soils & ROCK_LIKE else made


def _density(density: Grades | None, consistency: Grades | None, soils: frozenset[str]) -> Grades | None:
    """Return the density; sand and gravel may be called soft or firm."""
    if density is None and consistency is not None and soils and soils <= _SAND_AND_GRAVEL:
        return density_of_consistency(consistency)
    return density


def _has_consistency(phrase: LeadPhrase, soils: frozenset[str], consistency: Grades | None) -> bool:
    """Return whether strength words are those of a fine soil: soft and hard of what is only called rock are strengths of rock."""
    if phrase.names_rock_alone and consistency is not None and not {"firm", "stiff", "very_stiff"}.intersection(consistency):
        return False
    return not soils or bool(soils & SLOW_DRAINING)


def _features_of_nouns(phrase: LeadPhrase, shares: Shares, symbol: str | None) -> frozenset[str]:
    """Return the features that nouns, adjectives and symbol mean: organic matter."""
    symbols = set(re.split(r"[^A-Z]+", (symbol or "").upper()))
    organic = "peaty" in shares.adjectives or "peat" in phrase.nouns or bool({"OL", "OH", "PT", "PEAT"} & symbols)
    return frozenset({"organic"} if organic else ())


def _with_its_soil(words: Description, lower: str) -> Description:
    """Return the reading of ground called rock with the soil that it becomes, by what it was recovered as, else by its type."""
    if words.rock_type == "chalk":
        soil, decomposed = soil_of_chalk(lower)
        if decomposed and words.consistency is None and words.density is None and (named := composed_of(lower)):
            paste = read_description(named)
            words = replace(words, consistency=paste.consistency, density=paste.density)
        return replace(words, as_soil=soil, decomposed=decomposed, chalk_grade=chalk_grade(lower))
    named = recovered_as(lower)
    came_up = read_description(named) if named else _NOTHING_SAID
    soils = came_up.soils - ROCK_LIKE - {"void"}
    likely = came_up.likely if came_up.likely in soils else None
    soil = PossibleSoils(soils, likely) if soils else soil_of_rock(words.rock_type)
    if soils and words.likely == "weathered_rock" and words.consistency is None and words.density is None:
        words = replace(words, consistency=came_up.consistency, density=came_up.density)
    return replace(words, as_soil=soil, decomposed=is_decomposed(lower), came_up_as_soil=bool(soils))


def _fines(by_symbol: Symbol | None, described: SoilByWords, likely: str | None, soils: frozenset[str]) -> ShareRange | None:
    """Return the share of fines: by definition of the symbol, narrowed by the words where they meet it."""
    if by_symbol is None or described.fines is None:
        return described.fines if by_symbol is None else by_symbol.fines if soils == by_symbol.soils else None
    if by_symbol.fines is None or soils != by_symbol.soils:
        return None
    low, high = max(by_symbol.fines[0], described.fines[0]), min(by_symbol.fines[2], described.fines[2])
    if low > high or (low, high) == (by_symbol.fines[0], by_symbol.fines[2]) or likely not in ("clay", "silt"):
        return by_symbol.fines
    return (low, min(max(described.fines[1] or low, low), high), high)


def _soluble(described: SoilByWords, phrase: LeadPhrase, by_symbol: Symbol | None) -> bool:
    if by_symbol is not None and not by_symbol.soils & ROCK_LIKE:
        return False
    return described.rock.soluble or bool(by_symbol and by_symbol.soils <= ROCK and SOLUBLE & set(phrase.heads))


def _evidence(phrase: LeadPhrase, name: str | None, slips: tuple[str, ...]) -> str:
    parts = [
        f"symbol {name}" if name else "",
        f"'{phrase.evidence}'" if phrase.evidence else "",
        *(f"'{slip}' read as a slip" for slip in slips if slip),
    ]
    return ", ".join(part for part in parts if part) or "description"
