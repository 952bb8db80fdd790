"""Read a soil description and its symbol into what they allow the layer to be.

The words decide nothing on their own: they give a set of classes with the likeliest one, ranges of the shares, grades and
features. Where symbol and description disagree, both stay possible and a doubt says so.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache

from methodpick.ground.descriptions.classes import HARD, in_sense, is_slab, is_timber, rock_in_fill, soil_of_pieces, soils_of
from methodpick.ground.descriptions.features import origin_of, read_features
from methodpick.ground.descriptions.grades import (
    Grades,
    Shares,
    density_of_consistency,
    gravel_share,
    read_grades,
    read_moisture,
    read_plasticity,
    read_shares,
)
from methodpick.ground.descriptions.lead_phrase import LeadPhrase, read_lead_phrase, write_out
from methodpick.ground.descriptions.rock import (
    NO_ROCK,
    DescribedRock,
    chalk_grade,
    is_decomposed,
    read_rock,
    recovered_as,
    soil_of_chalk,
    soil_of_rock,
)
from methodpick.ground.descriptions.shorthand import spell_out
from methodpick.ground.descriptions.symbols import Plasticity, ShareRange, Symbol, read_symbol, symbol_in
from methodpick.ground.descriptions.words import LONGEST_TEXT, NAMED_WITHOUT_NOUN, SOILS_OF_NOUN, SOLUBLE, PossibleSoils, without_heading
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.terms import GRAVEL, ROCK, SLOW_DRAINING

_NEIGHBOURING = (
    SLOW_DRAINING,
    frozenset({"silt", "silty_sand", "clean_sand"}),
    frozenset({"clean_sand", "clean_gravel", "silty_gravel", "silty_sand"}),
    GRAVEL,
    ROCK | {"intermediate"},
    frozenset({"weathered_rock", "silty_sand", "silt", "clay", "intermediate"}),
)
_LAYER_ABOVE = pattern_of(r"^\W*(?:same|ditto|do\.|(?:same )?as (?:above|before|previous)|as last)\b(?!.*\b(?:clay|silt|sand|peat)\b)")
_DOWN_TO = pattern_of(
    r"^\W*(?:down )?to (?:the )?(?:top of (?:the )?)?(?!(?:very |medium )?(?:soft|firm|stiff|dense|loose|hard)\b)\w+(?: \w+)?\W*$"
)
_NOTHING = pattern_of(r"\b(?:no (?:recovery|sample|data|description)|not logged|core loss|no core)\b")
_NOTHING_FIRST = pattern_of(
    r"\W*(?:(?:assumed )?zone of (?:core loss|no recovery)|azcl|no (?:core |sample )?recovery|no sample|"
    r"core loss|lost core|not (?:logged|sampled))\b"
)
_DESCRIBED_ANYWAY = pattern_of(r"\b(?:describe[sd]|recorded|logged|noted) as\b")
_ADJECTIVES: tuple[tuple[str, frozenset[str]], ...] = (
    ("gravelly", frozenset({"clean_gravel", "silty_gravel", "clean_sand", "silty_sand"})),
    ("sandy", frozenset({"clean_sand", "silty_sand", "silt"})),
    ("clayey", frozenset({"clay", "silty_sand"})),
    ("silty", frozenset({"silt", "silty_sand"})),
    ("peaty", frozenset({"organic"})),
    ("organic", frozenset({"organic"})),
)
_OF_ADJECTIVE = {"gravelly": "silty_gravel", "sandy": "silty_sand", "clayey": "clay", "silty": "silt", "peaty": "organic"}
"""What "clayey soil" most likely is."""
_MADE_OF_BRACKETS = pattern_of(r"^\W*(?:possible |probable )?made ground\s*[.:]?\s*\(([^()]{12,})\)", re.IGNORECASE)
"""Made ground whose brackets say what it is made of; what stands behind them is a detail."""
_NAMED_AFTER = pattern_of(r"[(\[][^()\[\]]*\b(?:member|formation|group|series|beds)[)\]]")
"""A stratigraphic name in brackets, whose words describe nothing."""
_BRACKET = pattern_of(r"[()\[\]]")
_SAND_AND_GRAVEL = frozenset({"clean_sand", "silty_sand", "clean_gravel", "silty_gravel"})
_NO_SOIL = PossibleSoils(frozenset(), None)


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


@record
class _Described:
    """What the description alone says: classes, the likeliest, share of fines, rock."""

    soils: frozenset[str]
    likely: str | None
    fines: ShareRange | None = None
    rock: DescribedRock = NO_ROCK
    doubt: str = ""


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
    return _read(_without_grains(description[:LONGEST_TEXT]), symbol, origin)


_GRAIN_WORDS = (
    "fine|medium|coarse|to|and|or|of|sub|angular|rounded|subangular|subrounded|mixed|various|predominantly|mainly|generally|lithology|lithologies|"
    "sandstone|mudstone|siltstone|limestone|quartz|quartzite|flint|chert|granite|grained|schist|slate|shale|basalt|greywacke"
)
_GRAINS = pattern_of(rf"(?<=[.)] )(?:Sand|Gravel) is(?:[ ,-]+(?:{_GRAIN_WORDS}))*(?:\.(?: |$)|$)")
"""A sentence that only describes the grains, in words of which none changes the reading of the layer."""


def _without_grains(description: str) -> str:
    """Return a description without the sentences that only describe its grains: real logs repeat them below most layers.

    >>> _without_grains("Firm CLAY. Sand is fine to coarse. Gravel is of brick.")
    'Firm CLAY. Gravel is of brick.'
    """
    return _GRAINS.sub("", description) if " is " in description else description


@lru_cache(maxsize=16384)
def _read(description: str, symbol: str | None, origin: str) -> Description:
    text, slips = spell_out(description)
    lower = text.lower()
    phrase = in_sense(_lead_phrase(without_heading(write_out(text, lower), lower), lower))
    shares = read_shares(phrase, lower)
    name = symbol if symbol is not None else symbol_in(description, alone=not phrase.nouns)
    by_symbol = read_symbol(name) if name else None
    slab = is_slab(phrase, lower)
    described = _Described(HARD.soils, HARD.likely) if slab else _described(phrase, shares, lower)
    soils, likely, doubt = _combined(by_symbol, name, described, phrase)
    consistency, density, misspelt = read_grades(phrase, lower)
    features, absent = read_features(_NAMED_AFTER.sub(" ", lower) if "(" in lower or "[" in lower else lower)
    stated, origin_doubt = _origin(lower, origin, made=set(phrase.nouns) == {"debris"})
    doubts = (doubt, origin_doubt, f"'{name}' is not a symbol" if name and by_symbol is None else "")
    made = Description(
        soils=soils,
        likely=likely,
        doubt="; ".join(filter(None, doubts)),
        evidence=_evidence(phrase, name if by_symbol else None, (*slips, misspelt)),
        fines=_fines(by_symbol, described, likely, soils),
        gravel=gravel_share(shares, phrase),
        consistency=consistency if _has_consistency(phrase, soils, consistency) else None,
        density=_density(density, consistency, soils),
        moisture=read_moisture(phrase),
        features=features | _features_of_nouns(phrase, shares, name) | ({"obstructions"} if slab else frozenset()),
        absent=absent,
        origin=stated,
        weathering=described.rock.weathering,
        strength=described.rock.strength,
        rock_type=described.rock.rock_type,
        soluble=_soluble(described, phrase, by_symbol),
        british=phrase.british,
        slab=slab,
        plasticity=read_plasticity(lower) or (by_symbol.plasticity if by_symbol else None),
    )
    return _with_its_soil(made, lower) if soils & (ROCK | {"intermediate"}) else made


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


def _lead_phrase(text: str, lower: str) -> LeadPhrase:
    """Read the leading phrase; where it names no more than made ground or a kind of deposit, what its brackets hold counts."""
    made_of = _MADE_OF_BRACKETS.match(text)
    if made_of is not None and (inside := read_lead_phrase(made_of[1])).nouns and set(inside.nouns) != {"debris"}:
        return inside
    phrase = read_lead_phrase(text)
    if phrase.nouns and set(phrase.nouns) != {"debris"}:
        return phrase
    if "(" not in text or not any(word in lower for word, _ in NAMED_WITHOUT_NOUN) or _NOTHING.search(lower):
        return phrase
    opened = read_lead_phrase(_BRACKET.sub(", ", text))
    return opened if opened.nouns else phrase


def _features_of_nouns(phrase: LeadPhrase, shares: Shares, symbol: str | None) -> frozenset[str]:
    """Return the features that nouns, adjectives and symbol mean: organic matter."""
    symbols = set(re.split(r"[^A-Z]+", (symbol or "").upper()))
    organic = "peaty" in shares.adjectives or "peat" in phrase.nouns or bool({"OL", "OH", "PT", "PEAT"} & symbols)
    return frozenset({"organic"} if organic else ())


def _with_its_soil(words: Description, lower: str) -> Description:
    """Return the reading of ground called rock with the soil that it becomes, by what it was recovered as, else by its type."""
    if words.rock_type == "chalk":
        soil, decomposed = soil_of_chalk(lower)
        return replace(words, as_soil=soil, decomposed=decomposed, chalk_grade=chalk_grade(lower))
    named = recovered_as(lower)
    came_up = read_description(named) if named else _NOTHING_SAID
    soils = came_up.soils - ROCK - {"intermediate", "void"}
    likely = came_up.likely if came_up.likely in soils else None
    soil = PossibleSoils(soils, likely) if soils else soil_of_rock(words.rock_type)
    if soils and words.likely == "weathered_rock" and words.consistency is None and words.density is None:
        words = replace(words, consistency=came_up.consistency, density=came_up.density)
    return replace(words, as_soil=soil, decomposed=is_decomposed(lower), came_up_as_soil=bool(soils))


def _described(phrase: LeadPhrase, shares: Shares, lower: str) -> _Described:
    """Read the main nouns; without any fall back to words like fill or till, then to adjectives alone."""
    if _NOTHING_FIRST.match(lower) and "void" not in phrase.nouns and not _DESCRIBED_ANYWAY.search(lower):
        return _Described(frozenset(), None, doubt="no recovery: the log does not say what lies here")
    if _LAYER_ABOVE.match(lower):
        return _Described(frozenset(), None, doubt="the words only point to the layer above")
    if _DOWN_TO.match(lower):
        return _Described(frozenset(), None, doubt="the words only say what lies below")
    if set(phrase.nouns) == {"debris"} and phrase.evidence.endswith("topsoil"):
        return _Described(SOILS_OF_NOUN["topsoil"].soils, SOILS_OF_NOUN["topsoil"].likely)
    if phrase.nouns == ("debris",) and is_timber(lower):
        return _Described(frozenset(), None, doubt="timber: the log names no soil")
    if set(phrase.nouns) == {"debris"} and (pieces := soil_of_pieces(lower)) is not None:
        return _Described(pieces.soils, pieces.likely)
    if not phrase.nouns or phrase.nouns == ("debris",):
        return _without_noun(phrase, shares, lower)
    broken = _rock_in_fill(phrase, lower) if any(noun.startswith("rock:") for noun in phrase.nouns) else None
    possible: list[PossibleSoils] = []
    rock = NO_ROCK
    fines: list[ShareRange] = []
    for noun in phrase.nouns:
        if noun.startswith("rock:"):
            if broken is not None:
                possible.append(broken)
            elif rock is NO_ROCK:
                rock = read_rock(_rock_type(phrase), " ".join(phrase.heads), lower)
                possible.append(rock.classes)
            continue
        kind, share = soils_of(noun, phrase, shares)
        possible.append(kind)
        fines += [share] if share else []
    if phrase.nouns[0] == "void":
        filling = [noun for noun in ("clay", "silt") if any(noun in tail for tail in phrase.tails) or f"{noun}-filled" in lower]
        possible += [SOILS_OF_NOUN[noun] for noun in filling]
    soils = frozenset().union(*(kind.soils for kind in possible))
    span = (min(f[0] for f in fines), fines[0][1], max(f[2] for f in fines)) if len(fines) == len(possible) else None
    return _Described(soils, _likeliest(possible, phrase, shares), span, rock)


def _rock_in_fill(phrase: LeadPhrase, lower: str) -> PossibleSoils | None:
    """Return the soil of made ground that names rock: what it was recovered as or is named before, else broken stone; None of no fill."""
    broken = rock_in_fill(lower)
    if broken is not None and (pieces := soil_of_pieces(lower.partition(phrase.evidence.partition(" and ")[0])[0])) is not None:
        return pieces
    named = recovered_as(lower) if broken is not None else ""
    came_up = read_description(named) if named else _NOTHING_SAID
    return PossibleSoils(came_up.soils, came_up.likely) if came_up.soils and not came_up.soils & ROCK else broken


def _likeliest(possible: list[PossibleSoils], phrase: LeadPhrase, shares: Shares) -> str | None:
    if "peat" in phrase.nouns and "peaty" in shares.adjectives:
        return "organic"
    named = possible[1:] if len(possible) > 1 and phrase.nouns[0] in ("saprolite", "residuum") else possible
    return next((kind.likely for kind in named if kind.likely), None)


def _rock_type(phrase: LeadPhrase) -> str:
    types = [noun.removeprefix("rock:") for noun in phrase.nouns if noun.startswith("rock:")]
    named = [word for word in phrase.heads if word in SOLUBLE]
    return next((kind for kind in types if kind != "rock"), named[0] if named else "rock")


def _without_noun(phrase: LeadPhrase, shares: Shares, lower: str) -> _Described:
    if _NOTHING.search(lower):
        return _Described(frozenset(), None, doubt="no recovery: the log does not say what lies here")
    if not phrase.nouns and "fill" in lower and (pieces := soil_of_pieces(lower)) is not None:
        return _Described(pieces.soils, pieces.likely)
    for word, kind in NAMED_WITHOUT_NOUN:
        if re.search(rf"\b{word}\b", lower):
            return _Described(SOILS_OF_NOUN[kind].soils, _by_grade(kind, phrase) or SOILS_OF_NOUN[kind].likely)
    if phrase.nouns == ("debris",):
        return _Described(SOILS_OF_NOUN["debris"].soils, SOILS_OF_NOUN["debris"].likely)
    allowed = [soils for word, soils in _ADJECTIVES if word in shares.adjectives]
    if allowed:
        likely = next(
            (_OF_ADJECTIVE[word] for word in phrase.heads[:-1][::-1] if phrase.heads[-1:] == ("soil",) and word in _OF_ADJECTIVE), None
        )
        return _Described(frozenset().union(*allowed), likely, doubt="only adjectives name the soil")
    if "soil" in phrase.heads:
        return _Described(SOILS_OF_NOUN["topsoil"].soils, SOILS_OF_NOUN["topsoil"].likely, doubt="the log only says soil")
    doubt = "no soil word is read in the description" if lower.strip() else ""
    return _Described(frozenset(), None, doubt=doubt)


def _by_grade(kind: str, phrase: LeadPhrase) -> str | None:
    """Return the likely class of a deposit without a soil noun by its grade: stiff till is clay, dense till is not."""
    if kind not in ("till", "fill", "alluvium"):
        return None
    consistency, density, _ = read_grades(phrase, "")
    return None if (consistency is None) == (density is None) else "clay" if consistency else "silty_sand"


def _combined(
    by_symbol: Symbol | None, name: str | None, described: _Described, phrase: LeadPhrase
) -> tuple[frozenset[str], str | None, str]:
    """Return classes, likeliest class and doubt of symbol and description together.

    The symbol narrows the classes, the description says which of them is likely. A symbol for rock says nothing of its weathering:
    there the words decide.
    """
    if by_symbol is None:
        return described.soils, described.likely, described.doubt
    if not described.soils:
        return by_symbol.soils, by_symbol.likely, ""
    if by_symbol.soils == {"rock"} and "weathered_rock" in described.soils and described.rock.weathering:
        return described.soils, described.likely, ""
    if described.soils & by_symbol.soils:
        likely = described.likely if described.likely in by_symbol.soils else by_symbol.likely
        return by_symbol.soils, likely, ""
    doubt = f"symbol {name} and description '{phrase.evidence or 'fill'}' disagree"
    near = any(by_symbol.soils & family and described.soils & family for family in _NEIGHBOURING)
    return by_symbol.soils | described.soils, by_symbol.likely if near else None, doubt


def _fines(by_symbol: Symbol | None, described: _Described, likely: str | None, soils: frozenset[str]) -> ShareRange | None:
    """Return the share of fines: by definition of the symbol, narrowed by the words where they meet it."""
    if by_symbol is None or described.fines is None:
        return described.fines if by_symbol is None else by_symbol.fines if soils == by_symbol.soils else None
    if by_symbol.fines is None or soils != by_symbol.soils:
        return None
    low, high = max(by_symbol.fines[0], described.fines[0]), min(by_symbol.fines[2], described.fines[2])
    if low > high or (low, high) == (by_symbol.fines[0], by_symbol.fines[2]) or likely not in ("clay", "silt"):
        return by_symbol.fines
    return (low, min(max(described.fines[1] or low, low), high), high)


def _origin(lower: str, origin: str, *, made: bool) -> tuple[str, str]:
    """Return the origin and what is doubtful about it; ground ``made`` of brick, slag and the like is fill without the word."""
    described = origin_of(lower)
    described = "fill" if made and described == "unknown" else described
    if origin == "unknown":
        doubt = "possibly made ground" if re.search(r"possibl[ey] (?:made ground|fill)", lower) else ""
        return described, doubt
    clash = described == "fill" and origin != "fill" and "topsoil" not in lower
    return origin, f"origin {origin}, but the description says fill" if clash else ""


def _soluble(described: _Described, phrase: LeadPhrase, by_symbol: Symbol | None) -> bool:
    if by_symbol is not None and not by_symbol.soils & (ROCK | {"intermediate"}):
        return False
    return described.rock.soluble or bool(by_symbol and by_symbol.soils <= ROCK and SOLUBLE & set(phrase.heads))


def _evidence(phrase: LeadPhrase, name: str | None, slips: tuple[str, ...]) -> str:
    parts = [
        f"symbol {name}" if name else "",
        f"'{phrase.evidence}'" if phrase.evidence else "",
        *(f"'{slip}' read as a slip" for slip in slips if slip),
    ]
    return ", ".join(part for part in parts if part) or "description"
