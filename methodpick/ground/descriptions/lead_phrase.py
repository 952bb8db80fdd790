"""The leading phrase of a soil description: which nouns name the soil, which words only qualify it.

British logs write the main soil in CAPITALS; other logs name it last in the leading phrase ("brown silty sand, brick
fragments") or first ("CLAY, stiff, brown"). Common practice, no single source; BS 5930 asks for the capitals.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import pairwise
from typing import NamedTuple

from methodpick.ground.descriptions.words import INCLUSIONS, NOUNS, QUALIFIERS, STOP_WORDS, names_a_soil, without_detail, words_of
from methodpick.patterns import pattern_of
from methodpick.records import record

_COMPOUND = {
    "rock flour": "silt",
    "clay-like": "claylike",
    "silt-like": "siltlike",
    "sand-like": "sandlike",
    "clay gouge": "clay",
    "lava tube": "cavern",
    "lime rock": "limestone",
    "lime stone": "limestone",
    "sand stone": "sandstone",
    "silt stone": "siltstone",
    "mud stone": "mudstone",
    "basalt clinker": "gravel",
    "lava clinker": "gravel",
    "volcanic cinders": "gravel",
    "boulder clay": "clay",
    "clay shale": "clayshale",
    "clay-shale": "clayshale",
    "in parts": "partly",
    "in part": "partly",
    "in places": "partly",
    "brick earth": "silt",
    "brickearth": "silt",
    "hard pan": "hardpan",
    "coal tar": "tar",
    "coal refuse": "spoil",
    "coal waste": "spoil",
    "clay bound": "clayey",
    "clay-bound": "clayey",
    "hoggin": "clayey gravel",
    "black cotton soil": "clay",
    "coal measures": "measures",
    "volcanic ash": "silt",
    "diatomaceous earth": "silt",
    "shell hash": "gravel",
    "oyster shells": "gravel",
    "iron pan": "ironpan",
    "cobble stones": "cobbles",
    "landslide debris": "colluvium",
    "landslip debris": "colluvium",
    "slide debris": "colluvium",
    "debris flow": "colluvium",
    "coral debris": "gravel",
    "terra rossa": "clay",
    "pulverised fuel ash": "silt",
    "pulverized fuel ash": "silt",
    "fly ash": "silt",
    "flyash": "silt",
    "air gap": "void",
    "air void": "void",
    "rip rap": "riprap",
    "rip-rap": "riprap",
    "crushed stone": "gravel",
    "crusher run": "gravel",
    "base course": "gravel",
    "sub-base": "gravel",
    "subbase": "gravel",
    "road base": "gravel",
    "roadstone": "gravel",
    "roadbase": "gravel",
    "quick sand": "sand",
    "intermediate geomaterial": "geomaterial",
    "rock fill": "cobbles",
    "rockfill": "cobbles",
    "open water": "water",
    "water bearing": "wet",
    "water-bearing": "wet",
    "flood plain": "floodplain",
    "stone fragments": "gravel",
    "pit run": "gravel",
    "pit-run": "gravel",
    "shell rock": "coquina",
    "shellrock": "coquina",
    "lean mix": "concrete",
    "fire clay": "fireclay",
    "under clay": "underclay",
    "seat earth": "seatearth",
    "seat rock": "seatrock",
}
_JOIN = pattern_of(rf"\b(?:{'|'.join(sorted(map(re.escape, _COMPOUND), key=len, reverse=True))})\b", re.IGNORECASE)
_COMPOUND_STARTS: dict[str, set[str]] = {}
for _first, *_others in (re.split(r"[ -]", words) for words in _COMPOUND):
    _COMPOUND_STARTS.setdefault(_first, set()).add(_others[0] if _others else _first)
_EITHER_NOUN = pattern_of(r"\b([A-Za-z]+)\s?/\s?([A-Za-z]+)")
_BRACKETS = pattern_of(r"[(\[]([^()\[\]]*)[)\]]?")
_LETTERS_OF_BOTH_CASES = pattern_of(r"[A-Za-z]+")
_DASH = pattern_of(r"\s[-\N{EN DASH}]\s")
_CUT = pattern_of(r"([,:.;\N{EM DASH}])(?:(?<![.;])|(?=\s|$))")
_WATER_EVENT = pattern_of(
    r"\b(?:(?:lost|loses?|losing|loss of|add(?:ed|ing)?|ground|perched|standing|strong|slow|rapid) water|"
    r"(?:drilling|lost|bentonite|rotary|loss of) mud|mud (?:loss|lost|rotary|flush|level|return\w*)|"
    r"water (?:lost|loss|add\w*|str(?:ike|uck)\w*|seep\w*|entry|inflow|ingress|level|table|content|met|encountered|at|flush|return\w*))\b",
    re.IGNORECASE,
)
"""Water that a hole met or lost: it is no layer."""
_DENIED = pattern_of(
    r"\b(?:no|nil|without|absence of|lack of|free of|free from)\b"
    r"(?:[^.;:(),]|,(?=[^.;:()]*?\b(?:or|nor)\b))*",
    re.IGNORECASE,
)
_DENIALS = ("no ", "No ", "NO ", "nil", "without", "WITHOUT", "absence", "lack of", "free ", "FREE ")
_GRAIN_WORDS = frozenset({"sand", "gravel", "cobbles", "boulders", "fines", "clay", "silt", "discontinuities"})
_GRAINS = pattern_of(
    r"(?:sand|gravel|cobbles|boulders|cobbles and boulders|fines|clay|silt|discontinuities)"
    r"\s+(?:is|are)\b",
    re.IGNORECASE,
)


_THEN = pattern_of(
    r"[,;]?\s+then\b(?=[^.;]*\b(?:clay|silt|sand|gravel|peat|\w*rock|\w*stone|shale|chalk|cobbles|boulders|till)s?\b)", re.IGNORECASE
)
"""Where the text goes on to another soil."""
_GRADE_BEHIND = pattern_of(r"\)\s+(?=(?:very |medium )?(?:soft|firm|stiff|hard|loose|dense)\b)", re.IGNORECASE)


_ALONG_JOINTS = pattern_of(
    r",?\s*(?:\w+ly )?(?:altered|softened) to [^,.;]* along (?:the |its |some )?"
    r"(?:fracture|joint|bedding|fissure|discontinuit|shear)\w*",
    re.IGNORECASE,
)
"""What rock is only beside its joints."""


@record(guarded=False)
class Clause:
    """A stretch of text between commas: the words before the first stop word ("with", "trace", "over" ...) and those after it."""

    head: tuple[str, ...]
    tail: tuple[str, ...]


@record(guarded=False)
class LeadPhrase:
    """The leading phrase: its main nouns in order, its clauses, whether its capitals name the soil, the words that decided.

    ``heads`` are the words of the clauses before their stop words, ``tails`` those after them, a tuple for each clause, in lower case;
    ``sentences`` are all of the text, ``in_brackets`` what its brackets hold.
    """

    nouns: tuple[str, ...]
    clauses: tuple[Clause, ...]
    british: bool
    evidence: str
    heads: tuple[str, ...]
    tails: tuple[tuple[str, ...], ...]
    sentences: tuple[list[Clause], ...] = ()
    in_brackets: tuple[str, ...] = ()
    names_rock_alone: bool = False
    """Whether every noun of the phrase is a rock."""

    @property
    def beside(self) -> tuple[Clause, ...]:
        """Return the clauses in brackets and in sentences that name no soil: "CLAY. Stiff. Brown", "CLAY (stiff)"."""
        bracketed = [part for inside in self.in_brackets for part in _sentences(inside)]
        return tuple(clause for part in (*self.sentences, *bracketed) if not _names(part) for clause in part)


def write_out(text: str, lower: str) -> str:
    """Write names of two words as the noun that they stand for, keeping the capitals; ``lower`` is the text in lower case.

    >>> write_out("very stiff Boulder CLAY and sand", "very stiff boulder clay and sand")
    'very stiff CLAY and sand'
    """
    if "/" in text:
        text = _EITHER_NOUN.sub(lambda match: f"{match[1]} and {match[2]}" if match[1].lower() in NOUNS else match[0], text)
    words = set(words_of(lower))
    if any(not _COMPOUND_STARTS[word].isdisjoint(words) for word in _COMPOUND_STARTS.keys() & words):
        text = _JOIN.sub(_compound, text)
    return " ".join(text.split())


def _compound(match: re.Match[str]) -> str:
    words = match[0]
    short = _COMPOUND[words.lower()]
    return short.upper() if words.isupper() or words.rpartition(" ")[2].isupper() else short


def read_lead_phrase(text: str) -> LeadPhrase:
    """Read the sentence that names the soil, and its main nouns; the nouns are empty where none is named.

    >>> read_lead_phrase("Stiff brown slightly sandy CLAY. Frequent mudstone bands.").nouns
    ('clay',)
    >>> read_lead_phrase("brown silty sand, brick fragments").nouns
    ('sand',)
    """
    text = _without_asides(text)
    in_brackets = "(" in text or ")" in text or "[" in text
    plain = _BRACKETS.sub(" ", _GRADE_BEHIND.sub("), ", text) if ")" in text else text) if in_brackets else text
    if any(word in plain for word in ("ater", "ATER", "mud", "MUD")):
        plain = _WATER_EVENT.sub(" ", plain)
    if any(map(plain.__contains__, _DENIALS)):
        plain = _DENIED.sub(" ", plain)
    mixed = any(letter.islower() for letter in plain)
    chosen = first = None
    sentences = _sentences(plain)
    for sentence in sentences:
        first = first or sentence
        sentence, found = _main_nouns(sentence, mixed)  # noqa: PLW2901 - without nouns in the heads the tails count
        if found and not all(NOUNS[named.noun] == "debris" for named in found):
            chosen = (sentence, found)
            break
        chosen = chosen or ((sentence, found) if found else None)
    if chosen is None:
        return LeadPhrase((), tuple(first or ()), british=False, evidence="", heads=_heads(first or ()), tails=_tails(first or ()))
    sentence, found = chosen
    nouns = tuple(dict.fromkeys(NOUNS[named.noun] for named in found))
    return LeadPhrase(
        nouns=nouns,
        clauses=tuple(sentence),
        british=mixed and any(named.in_capitals for named in found),
        evidence=" and ".join(dict.fromkeys(named.words for named in found)),
        heads=_heads(sentence),
        tails=_tails(sentence),
        sentences=tuple(sentences),
        in_brackets=tuple(_BRACKETS.findall(text)) if in_brackets else (),
        names_rock_alone=all(noun.startswith("rock:") for noun in nouns),
    )


def _without_asides(text: str) -> str:
    """Return the text without details, and with a stop where it goes on to another soil."""
    text = without_detail(text)
    if "along" in text:
        text = _ALONG_JOINTS.sub("", text)
    if "then" not in text:
        return text
    return _THEN.sub(lambda match: "; " if names_a_soil(text[: match.start()]) else match[0], text)


def _heads(clauses: Iterable[Clause]) -> tuple[str, ...]:
    return tuple([word.lower() for clause in clauses for word in clause.head])


def _tails(clauses: Iterable[Clause]) -> tuple[tuple[str, ...], ...]:
    return tuple([tuple([word.lower() for word in clause.tail]) for clause in clauses if clause.tail])


def _names(sentence: list[Clause]) -> bool:
    """Return whether a sentence names a soil, or begins with what the layer becomes."""
    words = [word.lower() for clause in sentence for word in (*clause.head, *clause.tail)]
    return words[:1] == ["becoming"] or not NOUNS.keys().isdisjoint(words)


def _sentences(plain: str) -> list[list[Clause]]:
    """Cut the text into sentences of clauses; sentences that only describe the grains are left out."""
    sentences: list[list[Clause]] = [[]]
    if "-" in plain or "\N{EN DASH}" in plain:
        plain = _DASH.sub(" , ", plain)
    pieces = [*_CUT.split(plain), "."]
    for piece, cut in zip(pieces[::2], pieces[1::2], strict=True):
        if words := tuple(_LETTERS_OF_BOTH_CASES.findall(piece)):
            stop = len(words)
            if not STOP_WORDS.isdisjoint(map(str.lower, words)):
                stop = next(place for place, word in enumerate(words) if word.lower() in STOP_WORDS)
            sentences[-1].append(Clause(words[:stop], words[stop:]))
        if cut in {".", ";"} and sentences[-1]:
            sentences.append([])
    kept = [s for s in sentences if s and not _only_grains(s[0])]
    return kept or [s for s in sentences if s][:1]


def _only_grains(clause: Clause) -> bool:
    """Return whether a sentence that begins with the clause only describes the grains: "Gravel is fine to coarse"."""
    words = (*clause.head, *clause.tail)
    return words[0].lower() in _GRAIN_WORDS and _GRAINS.match(" ".join(words)) is not None


class NounFound(NamedTuple):
    """A noun of a clause: the noun in lower case, whether it is written in capitals, and the words that it stands in."""

    noun: str
    in_capitals: bool
    words: str


def _main_nouns(sentence: list[Clause], mixed: bool) -> tuple[list[Clause], list[NounFound]]:
    """Return the sentence as it was read, and its main nouns."""
    found = [named for clause in sentence for named in _nouns_of(clause.head)]
    if not found:
        sentence = [_with_noun(clause) for clause in sentence]
        found = [named for clause in sentence for named in _nouns_of(clause.head)]
    if not found:
        sentence = [Clause((*clause.head, *clause.tail), ()) for clause in sentence]
        found = [named for clause in sentence for named in _nouns_of(clause.head)]
    if not found:
        found = [named for clause in sentence for named in _nouns_of(clause.head, parts=True)]
    if mixed and any(named.in_capitals for named in found) and not _only_deposit(found):
        last = max(index for index, named in enumerate(found) if named.in_capitals)
        heads = [word.lower() for clause in sentence for word in clause.head]
        grains = NOUNS[found[last].noun] in _GRAINS_OF
        found = [
            named
            for index, named in enumerate(found)
            if named.in_capitals or (index < last and _coordinate(heads, named.noun) and not (grains and _is_rock(named.noun)))
        ]
    real = [named for named in found if NOUNS[named.noun] not in ("debris", "water")]
    if len(real) > 1 and any(NOUNS[named.noun] == "void" for named in real[1:]):
        real = [real[0], *(named for named in real[1:] if NOUNS[named.noun] != "void")]
    return sentence, real or found


_HOLDING = frozenset({"with", "containing", "contains", "including", "trace", "some", "little", "few", "occasional"})
_IN_PARTS = frozenset({"becoming", "becomes", "slightly", "locally", "partly", "occasionally", "more", "less"})
_NOUN_OF_ADJECTIVE = {"clayey": "clay", "silty": "silt", "sandy": "sand", "gravelly": "gravel", "peaty": "peat"}


def _with_noun(clause: Clause) -> Clause:
    """Return the clause with the soil itself where only its adjective stands before what it holds: "brown clayey with sand" is clay."""
    if not clause.head or not clause.tail or clause.tail[0].lower() not in _HOLDING:
        return clause
    head = [word.lower() for word in clause.head]
    noun = _NOUN_OF_ADJECTIVE.get(head[-1]) if _IN_PARTS.isdisjoint(head) else None
    return clause if noun is None else Clause((*clause.head[:-1], noun), clause.tail)


def _only_deposit(found: list[NounFound]) -> bool:
    """Return whether the capitals only say what the ground came from, and small letters what it is: "SAPROLITE, silty sand"."""
    return all(NOUNS[named.noun] in _DEPOSITS for named in found if named.in_capitals) and len({named.noun for named in found}) > 1


_DEPOSITS = frozenset({"saprolite", "residuum"})


def _is_rock(word: str) -> bool:
    return NOUNS[word].startswith("rock:")


def _coordinate(words: list[str], noun: str) -> bool:
    """Return whether "and" or "or" follows the noun at once, so that it stands beside the one in capitals."""
    return any(a == noun and b in ("and", "or") for a, b in pairwise(words))


def _joined(words: list[str], index: int) -> bool:
    """Return whether the noun there is tied by "and" or "or" to a noun before it; words in lower case."""
    return index > 1 and words[index - 1] in ("and", "or") and words[index - 2] in NOUNS


_PIECES = INCLUSIONS - {"band", "bands", "layer", "layers", "seam", "seams", "ledge", "ledges", "bedding", "vein", "veins", "stringers"}
"""Inclusions in which rock is broken to gravel; a band or a seam of rock is rock."""
_GRAINS_OF = frozenset({"gravel", "cobbles", "sand"})


def _about_a_void(noun: str, after: str, rest: list[str]) -> bool:
    """Return whether a noun before an inclusion names the layer: a cavity that is filled, or the soil that fills one."""
    if after == "filled":
        return NOUNS[noun] == "void"
    return after in ("infill", "infilling") and any(NOUNS.get(word) == "void" for word in rest)


def _nouns_of(words: tuple[str, ...], parts: bool = False) -> list[NounFound]:
    """Return the last noun of each run of nouns, since that is meant ("flint gravel"), unless an inclusion follows.

    Grains that are only listed ("sand gravel cobbles") all count.
    With ``parts`` the inclusions count too ("sand seam" is sand), rock in pieces as gravel.
    """
    small = [word.lower() for word in words]
    if NOUNS.keys().isdisjoint(small):
        return []
    found: list[NounFound] = []
    index = 0
    while index < len(words):
        if small[index] not in NOUNS:
            index += 1
            continue
        end = index + 1
        while end < len(words) and small[end] in NOUNS:
            end += 1
        last, after = small[end - 1], small[end] if end < len(words) else ""
        broken = parts and after in _PIECES and _is_rock(last)
        if parts or after not in INCLUSIONS or _about_a_void(last, after, small[end:]):
            start = index
            while start and small[start - 1] in QUALIFIERS:
                start -= 1
            noun = "gravel" if broken else last
            if found and NOUNS[noun] in _GRAINS_OF and _is_rock(small[index]) and _is_rock(found[-1].noun) and _joined(small, index):
                found.pop()  # "limestone and sandstone gravel" is gravel of both
            if end - index > 1 and all(NOUNS[word] in _GRAINS_OF for word in small[index:end]):
                found += [NounFound(word.lower(), word.isupper(), word.lower()) for word in words[index : end - 1]]
            found.append(NounFound(noun, words[end - 1].isupper(), " ".join(small[start:end])))
        index = end
    return found
