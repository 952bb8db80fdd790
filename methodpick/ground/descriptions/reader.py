"""Read a soil description and its symbol into what they allow the layer to be.

The words decide nothing on their own: they give a set of classes, with the likeliest one, ranges of the shares, grades,
features. Where symbol and description disagree, both stay possible and the doubt is said.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from methodpick.ground.descriptions.features import features, origin_of
from methodpick.ground.descriptions.grades import Grades, grades, moisture, plasticity
from methodpick.ground.descriptions.lead_phrase import KINDS, SOLUBLE, Lead, PossibleSoils, lead, tidy
from methodpick.ground.descriptions.rock import Rock, rock
from methodpick.ground.descriptions.shares import Shares, coarse_fines, fine_fines, gravel_share, shares
from methodpick.ground.descriptions.symbols import Plasticity, Range, Symbol, read_symbol

_NEAR = (
    frozenset({"clay", "silt", "organic", "intermediate"}),
    frozenset({"silt", "silty_sand", "clean_sand"}),
    frozenset({"clean_sand", "clean_gravel", "silty_gravel", "silty_sand"}),
    frozenset({"clean_gravel", "silty_gravel", "cobbles"}),
    frozenset({"rock", "weathered_rock", "intermediate"}),
    frozenset({"weathered_rock", "silty_sand", "silt", "clay", "intermediate"}),
)
_NOTHING = re.compile(r"\b(?:no (?:recovery|sample|data|description)|not logged|core loss|no core)\b")
_FALLBACK = (
    ("topsoil", "topsoil"),
    ("made ground", "fill"),
    ("fill", "fill"),
    ("till", "till"),
    ("alluvium", "alluvium"),
    ("residual", "residuum"),
)
_ADJECTIVES: tuple[tuple[str, frozenset[str]], ...] = (
    ("gravelly", frozenset({"clean_gravel", "silty_gravel", "clean_sand", "silty_sand"})),
    ("sandy", frozenset({"clean_sand", "silty_sand", "silt"})),
    ("clayey", frozenset({"clay", "silty_sand"})),
    ("silty", frozenset({"silt", "silty_sand"})),
    ("peaty", frozenset({"organic"})),
    ("organic", frozenset({"organic"})),
)
_SYMBOL_IN_TEXT = re.compile(r"[(\[]\s*([A-Z]{2}(?:\s?[-/]\s?[A-Z]{2})?)\s*[)\]]")


_COHESIVE = frozenset({"clay", "silt", "organic", "intermediate"})
_LONGEST = 2000


@dataclass(frozen=True, slots=True)
class Words:
    """What description and symbol allow. Shares are (low, likely or None, high) in percent by dry mass."""

    soils: frozenset[str] = frozenset()
    likely: str | None = None
    doubt: str = ""
    evidence: str = ""
    fines: Range | None = None
    gravel: Range | None = None
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


@dataclass(frozen=True, slots=True)
class _Reading:
    """The description alone: classes, likeliest, fines, rock."""

    soils: frozenset[str]
    likely: str | None
    fines: Range | None = None
    rock: Rock | None = None
    doubt: str = ""


@lru_cache(maxsize=8192)
def read_words(description: str, symbol: str | None = None, origin: str = "unknown") -> Words:
    """Read a layer's description, its symbol and its stated origin.

    A symbol narrows the classes by definition; the description gives the grades, features and the likely class among
    those that the symbol leaves open. Without either the set of classes is empty.

    >>> words = read_words("medium dense brown fine to medium sand", "SP")
    >>> sorted(words.soils), words.density, words.fines
    (['clean_sand'], ('medium_dense', 'medium_dense'), (0.0, 3.0, 5.0))
    >>> read_words("soft clay", "SP").doubt
    "symbol SP and description 'clay' disagree"
    """
    text = tidy(description[:_LONGEST])
    small = " ".join(description[:_LONGEST].lower().split())
    found = lead(text)
    said = shares(found)
    by_text = _SYMBOL_IN_TEXT.search(description) if symbol is None else None
    name = by_text[1] if by_text and read_symbol(by_text[1]) else symbol
    sign = read_symbol(name) if name else None
    described = _described(found, said, small)
    soils, likely, doubt = _together(sign, name, described, found)
    consistency, density, guess = grades(found, small)
    has, lacks = features(small)
    if "peaty" in said.adjectives or "peat" in found.nouns:
        has |= {"organic"}
    stated, origin_doubt = _origin(small, origin)
    doubts = [doubt, origin_doubt, f"'{name}' is not a symbol" if name and sign is None else ""]
    stone = described.rock
    return Words(
        soils=soils,
        likely=likely,
        doubt="; ".join(part for part in doubts if part),
        evidence=_evidence(found, name if sign else None, guess),
        fines=_fines(sign, described, likely, soils),
        gravel=gravel_share(said, found),
        consistency=consistency if not soils or soils & _COHESIVE else None,
        density=density,
        moisture=moisture(found),
        features=has,
        absent=lacks,
        origin=stated,
        weathering=stone.weathering if stone else None,
        strength=stone.strength if stone else None,
        rock_type=stone.rock_type if stone else "",
        soluble=_soluble(described, found, sign),
        plasticity=plasticity(small) or (sign.plasticity if sign else None),
    )


def _described(found: Lead, said: Shares, small: str) -> _Reading:
    """Read the main nouns; without any fall back to words like fill or till, then to adjectives alone."""
    if not found.nouns or found.nouns == ("debris",):
        return _without_noun(found, said, small)
    kinds: list[PossibleSoils] = []
    stone: Rock | None = None
    fines: list[Range] = []
    for noun in found.nouns:
        if noun.startswith("rock:"):
            if stone is None:
                head = " ".join(found.heads)
                stone = rock(_rock_type(found), head, head)
                kinds.append(stone.kind)
            continue
        kind, share = _kind(noun, found, said)
        kinds.append(kind)
        fines += [share] if share else []
    if found.nouns[0] == "void":
        kinds += [KINDS[noun] for noun in ("clay", "silt") if any(noun in tail for tail in found.tails)]
    soils = frozenset().union(*(kind.soils for kind in kinds))
    only = stone if stone and len(kinds) == 1 else None
    span = (min(f[0] for f in fines), fines[0][1], max(f[2] for f in fines)) if len(fines) == len(kinds) else None
    return _Reading(soils, _likeliest(kinds, found, said), span, only or stone)


def _likeliest(kinds: list[PossibleSoils], found: Lead, said: Shares) -> str | None:
    if "peat" in found.nouns and "peaty" in said.adjectives:
        return "organic"
    named = kinds[1:] if len(kinds) > 1 and found.nouns[0] in ("saprolite", "residuum") else kinds
    return next((kind.likely for kind in named if kind.likely), None)


def _rock_type(found: Lead) -> str:
    types = [noun.removeprefix("rock:") for noun in found.nouns if noun.startswith("rock:")]
    named = [word for word in found.heads if word in SOLUBLE]
    return next((kind for kind in types if kind != "rock"), named[0] if named else "rock")


def _kind(noun: str, found: Lead, said: Shares) -> tuple[PossibleSoils, Range | None]:
    """Return the classes of one soil noun with its qualifying words, and its share of fines."""
    if noun in ("sand", "gravel"):
        return _coarse(noun, coarse_fines(said, found), mixed=bool({"clay", "silt"} & set(found.nouns)))
    kind = KINDS[noun]
    level = said.level("organic", "peaty")
    if noun in ("clay", "silt"):
        if level in ("", "very"):
            soils = {"organic"} if "organic" in said.adjectives else {"organic", noun}
            likely = "organic" if "organic" in said.adjectives else noun
            return PossibleSoils(frozenset(soils), likely), fine_fines(said, found)
        other = said.level("clayey" if noun == "silt" else "silty")
        if other == "very" or (noun == "silt" and other == ""):
            kind = PossibleSoils(frozenset({"clay", "silt"}), noun)
        return kind, fine_fines(said, found)
    return kind, None


def _coarse(noun: str, fines: Range, *, mixed: bool) -> tuple[PossibleSoils, Range]:
    """Class a sand or gravel by its fines: below 12 % it may be clean, from 5 % it may be dirty."""
    clean, dirty = f"clean_{noun}", f"silty_{noun}"
    low, likely, high = fines
    both = mixed or (low < 12 and high > 12 and not (low >= 5 and (likely or 0) >= 12 and high > 25)) or (low >= 5 and high <= 12)
    if both:
        return PossibleSoils(frozenset({clean, dirty}), dirty if (likely or 0) >= 12 else clean), fines
    return PossibleSoils(frozenset({dirty if (likely or 0) >= 12 else clean}), dirty if (likely or 0) >= 12 else clean), fines


def _without_noun(found: Lead, said: Shares, small: str) -> _Reading:
    if _NOTHING.search(small):
        return _Reading(frozenset(), None, doubt="no recovery: the log does not say what lies here")
    for word, kind in _FALLBACK:
        if re.search(rf"\b{word}\b", small):
            return _Reading(KINDS[kind].soils, KINDS[kind].likely)
    if found.nouns == ("debris",):
        return _Reading(KINDS["debris"].soils, KINDS["debris"].likely)
    allowed = [soils for word, soils in _ADJECTIVES if word in said.adjectives]
    if allowed:
        return _Reading(frozenset().union(*allowed), None, doubt="only adjectives name the soil")
    doubt = "no soil word is read in the description" if small.strip() else ""
    return _Reading(frozenset(), None, doubt=doubt)


def _together(sign: Symbol | None, name: str | None, described: _Reading, found: Lead) -> tuple[frozenset[str], str | None, str]:
    """Put symbol and description together: the symbol narrows, the description says what is likely within it."""
    if sign is None:
        return described.soils, described.likely, described.doubt
    if not described.soils:
        return sign.soils, sign.likely, ""
    if described.soils & sign.soils:
        likely = described.likely if described.likely in sign.soils else sign.likely
        return sign.soils, likely, ""
    doubt = f"symbol {name} and description '{found.evidence or 'fill'}' disagree"
    near = any(sign.soils & family and described.soils & family for family in _NEAR)
    return sign.soils | described.soils, sign.likely if near else None, doubt


def _fines(sign: Symbol | None, described: _Reading, likely: str | None, soils: frozenset[str]) -> Range | None:
    """Return the share of fines: by definition of the symbol, narrowed by the words where they meet it."""
    if sign is None or described.fines is None:
        return described.fines if sign is None else sign.fines if soils == sign.soils else None
    if sign.fines is None or soils != sign.soils:
        return None
    low, high = max(sign.fines[0], described.fines[0]), min(sign.fines[2], described.fines[2])
    if low > high or (low, high) == (sign.fines[0], sign.fines[2]) or likely not in ("clay", "silt"):
        return sign.fines
    return (low, min(max(described.fines[1] or low, low), high), high)


def _origin(small: str, origin: str) -> tuple[str, str]:
    said = origin_of(small)
    if origin == "unknown":
        doubt = "possibly made ground" if re.search(r"possibl[ey] (?:made ground|fill)", small) else ""
        return said, doubt
    clash = said == "fill" and origin != "fill" and "topsoil" not in small
    return origin, f"origin {origin}, but the description says fill" if clash else ""


def _soluble(described: _Reading, found: Lead, sign: Symbol | None) -> bool:
    if sign is not None and not sign.soils & {"rock", "weathered_rock", "intermediate"}:
        return False
    return (described.rock is not None and described.rock.soluble) or bool(
        sign and sign.soils <= {"rock", "weathered_rock"} and SOLUBLE & set(found.heads)
    )


def _evidence(found: Lead, name: str | None, guess: str) -> str:
    parts = [
        f"symbol {name}" if name else "",
        f"'{found.evidence}'" if found.evidence else "",
        f"'{guess}' read as a slip" if guess else "",
    ]
    return ", ".join(part for part in parts if part) or "description"
