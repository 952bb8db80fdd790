"""The main soil of a layer by its description, its symbol and its stated origin: classes, the likeliest, what does not fit together.

This is all that is needed to read a log; ``reader.py`` reads the rest of the words where somebody asks for it.
"""

from __future__ import annotations

import re
from functools import lru_cache

from methodpick.ground.descriptions.classes import HARD, in_sense, is_slab, is_timber, rock_in_fill, soil_of_pieces, soils_of
from methodpick.ground.descriptions.features import origin_of
from methodpick.ground.descriptions.grades import Shares, read_grades, read_shares
from methodpick.ground.descriptions.lead_phrase import LeadPhrase, read_lead_phrase
from methodpick.ground.descriptions.rock import NO_ROCK, DescribedRock, read_rock, recovered_as
from methodpick.ground.descriptions.shorthand import spell_out
from methodpick.ground.descriptions.symbols_and_names import ShareRange, Symbol, clause_behind_symbol, read_symbol, symbol_in, write_out
from methodpick.ground.descriptions.words import (
    LONGEST_TEXT,
    NAMED_WITHOUT_NOUN,
    NOUNS,
    SOILS_OF_NOUN,
    SOLUBLE,
    PossibleSoils,
    without_heading,
    words_of,
)
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.terms import GRAVEL, ROCK, ROCK_LIKE, SLOW_DRAINING

_NEIGHBOURING = (
    SLOW_DRAINING,
    frozenset({"silt", "silty_sand", "clean_sand"}),
    frozenset({"clean_sand", "clean_gravel", "silty_gravel", "silty_sand"}),
    GRAVEL,
    ROCK_LIKE,
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
_FIRST_OF_NO_GROUND = frozenset({"same", "ditto", "do", "as", "down", "to", "assumed", "zone", "azcl", "no", "core", "lost", "not"})
"""The first word of every text that names no ground of its own by what it begins with."""
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
_BRACKET = pattern_of(r"[()\[\]]")


@record(guarded=False)
class SoilByWords:
    """What the description alone says: classes, the likeliest, share of fines, rock."""

    soils: frozenset[str]
    likely: str | None
    fines: ShareRange | None = None
    rock: DescribedRock = NO_ROCK
    doubt: str = ""


@record(guarded=False)
class SoilWords:
    """The words of a description spelled out, with what they alone say of the main soil; ``lower`` is all of them in lower case.

    ``slips`` are words that were read as slips of the pen, ``symbol`` is the symbol that the words give.
    """

    lower: str
    slips: tuple[str, ...]
    phrase: LeadPhrase
    shares: Shares
    slab: bool
    described: SoilByWords
    symbol: str | None


@record(guarded=False)
class MainSoil:
    """What a description, a symbol and a stated origin say of the main soil: its classes, the likeliest, where it came from.

    ``doubt`` is what does not fit together; ``words`` hold the rest that was read on the way, ``name`` the symbol that was followed.
    """

    soils: frozenset[str]
    likely: str | None
    doubt: str
    origin: str
    words: SoilWords
    name: str | None
    by_symbol: Symbol | None

    @property
    def slab(self) -> bool:
        """Return whether the description is of a whole slab, wall or pavement, and of no ground."""
        return self.words.slab


def read_main_soil(description: str, symbol: str | None = None, origin: str = "unknown") -> MainSoil:
    """Read what a layer mainly is, for those who need no more of it: half the work of reading all of a description.

    >>> read = read_main_soil("stiff brown slightly sandy CLAY (glacial till)")
    >>> sorted(read.soils), read.likely, read.origin, read.doubt
    (['clay'], 'clay', 'till', '')
    """
    return main_soil(without_grains(description[:LONGEST_TEXT]), symbol, origin)


@lru_cache(maxsize=16384)
def main_soil(description: str, symbol: str | None, origin: str) -> MainSoil:
    """Return what a description without sentences of grains says of the main soil: :func:`read_main_soil` of any description."""
    words = _words(description)
    name = symbol if symbol is not None else words.symbol
    by_symbol = read_symbol(name) if name else None
    described = words.described
    if symbol is None and by_symbol is not None and not described.soils & by_symbol.soils and _only_listed(description, words.phrase):
        described = SoilByWords(frozenset(), None)
    soils, likely, doubt = _combined(by_symbol, name, described, words.phrase)
    stated, origin_doubt = _origin(words.lower, origin, made=words.phrase.nouns == ("debris",))
    doubts = (doubt, origin_doubt, f"'{name}' is not a symbol" if name and by_symbol is None else "")
    return MainSoil(soils, likely, "; ".join(filter(None, doubts)), stated, words, name, by_symbol)


def _only_listed(description: str, phrase: LeadPhrase) -> bool:
    """Return whether a symbol leads a description and stands for the soil, so that soils in the list behind it are what it holds."""
    clause = clause_behind_symbol(description)
    rock = any(noun.startswith("rock:") for noun in phrase.nouns)
    return clause is not None and not rock and NOUNS.keys().isdisjoint(words_of(clause.lower()))


@lru_cache(maxsize=16384)
def _words(description: str) -> SoilWords:
    text, slips = spell_out(description)
    lower = text.lower()
    phrase = in_sense(_lead_phrase(without_heading(write_out(text, lower), lower), lower))
    shares = read_shares(phrase, lower)
    slab = is_slab(phrase, lower)
    described = SoilByWords(HARD.soils, HARD.likely) if slab else _described(phrase, shares, lower)
    return SoilWords(lower, slips, phrase, shares, slab, described, symbol_in(description, alone=not phrase.nouns))


_GRAIN_WORDS = (
    "fine|medium|coarse|to|and|or|of|sub|angular|rounded|subangular|subrounded|mixed|various|predominantly|mainly|generally|lithology|lithologies|"
    "sandstone|mudstone|siltstone|limestone|quartz|quartzite|flint|chert|granite|grained|schist|slate|shale|basalt|greywacke"
)
_GRAINS = pattern_of(rf"(?<=[.)] )(?:Sand|Gravel) is(?:[ ,-]+(?:{_GRAIN_WORDS}))*(?:\.(?: |$)|$)")
"""A sentence that only describes the grains, in words of which none changes the reading of the layer."""


@lru_cache(maxsize=4096)
def without_grains(description: str) -> str:
    """Return a description without the sentences that only describe its grains: real logs repeat them below most layers.

    >>> without_grains("Firm CLAY. Sand is fine to coarse. Gravel is of brick.")
    'Firm CLAY. Gravel is of brick.'
    """
    return _GRAINS.sub("", description) if " is " in description else description


def _lead_phrase(text: str, lower: str) -> LeadPhrase:
    """Read the leading phrase; where it names no more than made ground or a kind of deposit, what its brackets hold counts."""
    made_of = _MADE_OF_BRACKETS.match(text) if "(" in text else None
    if made_of is not None and (inside := read_lead_phrase(made_of[1])).nouns and set(inside.nouns) != {"debris"}:
        return inside
    phrase = read_lead_phrase(text)
    if phrase.nouns and set(phrase.nouns) != {"debris"}:
        return phrase
    if "(" not in text or not any(word in lower for word, _ in NAMED_WITHOUT_NOUN) or _NOTHING.search(lower):
        return phrase
    opened = read_lead_phrase(_BRACKET.sub(", ", text))
    return opened if opened.nouns else phrase


def _described(phrase: LeadPhrase, shares: Shares, lower: str) -> SoilByWords:
    """Read the main nouns; without any fall back to words like fill or till, then to adjectives alone."""
    if not _FIRST_OF_NO_GROUND.isdisjoint(words_of(lower)[:1]) and (doubt := _no_ground(phrase, lower)):
        return SoilByWords(frozenset(), None, doubt=doubt)
    nouns = phrase.nouns
    if not nouns or nouns == ("debris",):
        return _of_debris(phrase, shares, lower)
    if len(nouns) == 1 and nouns[0] in _SOIL_NOUNS:
        kind, share = soils_of(nouns[0], phrase, shares)
        return SoilByWords(kind.soils, _likeliest([kind], phrase, shares), share)
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
    return SoilByWords(soils, _likeliest(possible, phrase, shares), span, rock)


_SOIL_NOUNS = frozenset({*SOILS_OF_NOUN, "sand", "gravel"}) - {"void"}
"""Nouns that name a soil by themselves, without what fills it."""


def _of_debris(phrase: LeadPhrase, shares: Shares, lower: str) -> SoilByWords:
    """Return what words say that name no soil but topsoil, works or pieces of them, or nothing."""
    if phrase.nouns:
        if phrase.evidence.endswith("topsoil"):
            return SoilByWords(SOILS_OF_NOUN["topsoil"].soils, SOILS_OF_NOUN["topsoil"].likely)
        if is_timber(lower):
            return SoilByWords(frozenset(), None, doubt="timber: the log names no soil")
        if (pieces := soil_of_pieces(lower)) is not None:
            return SoilByWords(pieces.soils, pieces.likely)
    return _without_noun(phrase, shares, lower)


def _no_ground(phrase: LeadPhrase, lower: str) -> str:
    """Return what words that name no ground of their own say, "" where they name some."""
    if _NOTHING_FIRST.match(lower) and "void" not in phrase.nouns and not _DESCRIBED_ANYWAY.search(lower):
        return "no recovery: the log does not say what lies here"
    if _LAYER_ABOVE.match(lower):
        return "the words only point to the layer above"
    return "the words only say what lies below" if _DOWN_TO.match(lower) else ""


def _rock_in_fill(phrase: LeadPhrase, lower: str) -> PossibleSoils | None:
    """Return the soil of made ground that names rock: what it was recovered as or is named before, else broken stone; None of no fill."""
    broken = rock_in_fill(lower)
    if broken is not None and (pieces := soil_of_pieces(lower.partition(phrase.evidence.partition(" and ")[0])[0])) is not None:
        return pieces
    named = recovered_as(lower) if broken is not None else ""
    came_up = read_main_soil(named) if named else None
    return broken if came_up is None or not came_up.soils or came_up.soils & ROCK else PossibleSoils(came_up.soils, came_up.likely)


def _likeliest(possible: list[PossibleSoils], phrase: LeadPhrase, shares: Shares) -> str | None:
    if "peat" in phrase.nouns and "peaty" in shares.adjectives:
        return "organic"
    named = possible[1:] if len(possible) > 1 and phrase.nouns[0] in ("saprolite", "residuum") else possible
    return next((kind.likely for kind in named if kind.likely), None)


def _rock_type(phrase: LeadPhrase) -> str:
    types = [noun.removeprefix("rock:") for noun in phrase.nouns if noun.startswith("rock:")]
    named = [word for word in phrase.heads if word in SOLUBLE]
    return next((kind for kind in types if kind != "rock"), named[0] if named else "rock")


def _without_noun(phrase: LeadPhrase, shares: Shares, lower: str) -> SoilByWords:
    if _NOTHING.search(lower):
        return SoilByWords(frozenset(), None, doubt="no recovery: the log does not say what lies here")
    if not phrase.nouns and "fill" in lower and (pieces := soil_of_pieces(lower)) is not None:
        return SoilByWords(pieces.soils, pieces.likely)
    for word, kind in NAMED_WITHOUT_NOUN:
        if re.search(rf"\b{word}\b", lower):
            return SoilByWords(SOILS_OF_NOUN[kind].soils, _by_grade(kind, phrase) or SOILS_OF_NOUN[kind].likely)
    if phrase.nouns == ("debris",):
        return SoilByWords(SOILS_OF_NOUN["debris"].soils, SOILS_OF_NOUN["debris"].likely)
    allowed = [soils for word, soils in _ADJECTIVES if word in shares.adjectives]
    if allowed:
        likely = next(
            (_OF_ADJECTIVE[word] for word in phrase.heads[:-1][::-1] if phrase.heads[-1:] == ("soil",) and word in _OF_ADJECTIVE), None
        )
        return SoilByWords(frozenset().union(*allowed), likely, doubt="only adjectives name the soil")
    if "soil" in phrase.heads:
        return SoilByWords(SOILS_OF_NOUN["topsoil"].soils, SOILS_OF_NOUN["topsoil"].likely, doubt="the log only says soil")
    doubt = "no soil word is read in the description" if lower.strip() else ""
    return SoilByWords(frozenset(), None, doubt=doubt)


def _by_grade(kind: str, phrase: LeadPhrase) -> str | None:
    """Return the likely class of a deposit without a soil noun by its grade: stiff till is clay, dense till is not."""
    if kind not in ("till", "fill", "alluvium"):
        return None
    consistency, density, _ = read_grades(phrase, "")
    return None if (consistency is None) == (density is None) else "clay" if consistency else "silty_sand"


def _combined(
    by_symbol: Symbol | None, name: str | None, described: SoilByWords, phrase: LeadPhrase
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


def _origin(lower: str, origin: str, *, made: bool) -> tuple[str, str]:
    """Return the origin and what is doubtful about it; ground ``made`` of brick, slag and the like is fill without the word."""
    described = origin_of(lower)
    described = "fill" if made and described == "unknown" else described
    if origin == "unknown":
        doubt = "possibly made ground" if "possibl" in lower and re.search(r"possibl[ey] (?:made ground|fill)", lower) else ""
        return described, doubt
    clash = described == "fill" and origin != "fill" and "topsoil" not in lower
    return origin, f"origin {origin}, but the description says fill" if clash else ""
