"""The leading phrase of a soil description: which nouns name the soil, which words only qualify it.

British logs write the main soil in CAPITALS; other logs name it last in the leading phrase ("brown silty sand, brick
fragments") or first ("CLAY, stiff, brown"). Common practice, no single source; BS 5930 asks for the capitals. Many American logs have
capitals too: words of ASTM D2487 and D2488 (from memory), a group symbol in brackets or the American spelling tell them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from methodpick.ground.descriptions.symbols_and_names import GROUP
from methodpick.ground.descriptions.words import INCLUSIONS, NOUNS, QUALIFIERS, STOP_WORDS, names_a_soil, without_detail
from methodpick.patterns import pattern_of
from methodpick.records import record

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
_WATER_OR_MUD = ("ater", "ATER", "mud", "MUD")
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
    """A stretch of text between commas: the words before the first stop word ("with", "trace", "over" ...) and those after it.

    ``small`` are all of them in lower case, the head first.
    """

    head: tuple[str, ...]
    tail: tuple[str, ...]
    small: tuple[str, ...]

    @property
    def small_head(self) -> tuple[str, ...]:
        """Return the words of the head in lower case."""
        return self.small[: len(self.head)]


@record(guarded=False)
class LeadPhrase:
    """The leading phrase: its main nouns in order, its clauses, whether its capitals name the soil, the words that decided.

    ``heads`` are the words of the clauses before their stop words, ``tails`` those after them, a tuple for each clause, in lower case;
    ``text`` is what the phrase was read from, ``plain`` the same without its brackets and denials.
    """

    nouns: tuple[str, ...]
    clauses: tuple[Clause, ...]
    british: bool
    evidence: str
    heads: tuple[str, ...]
    tails: tuple[tuple[str, ...], ...]
    text: str = ""
    plain: str = ""
    names_rock_alone: bool = False
    """Whether every noun of the phrase is a rock."""

    @property
    def beside(self) -> tuple[Clause, ...]:
        """Return the clauses in brackets and in sentences that name no soil: "CLAY. Stiff. Brown", "CLAY (stiff)"."""
        parts = [self.plain, *(_BRACKETS.findall(self.text) if _has_brackets(self.text) else ())]
        return tuple(clause for part in parts for sentence in _sentences(part) if not _names(sentence) for clause in sentence)


_AMERICAN = pattern_of(
    r"\b(?i:gray(?:ish)?|(?:lean|fat) (?:[a-z]+ )?clays?|medium[ -]stiff)\b|"
    rf"[(\[]\s*{GROUP}(?:\s?[-/]\s?{GROUP})?\s*[)\]]"
)
_AMERICAN_STEMS = ("gray", "lean", "fat", "stiff", "(", "[")


def _is_american(text: str) -> bool:
    """Return whether a description has what no British log has: lean or fat clay, medium stiff clay, gray, a group symbol in brackets."""
    lower = text.lower()
    return any(map(lower.__contains__, _AMERICAN_STEMS)) and _AMERICAN.search(text) is not None


def read_lead_phrase(text: str) -> LeadPhrase:
    """Read the sentence that names the soil, and its main nouns; the nouns are empty where none is named.

    >>> read_lead_phrase("Stiff brown slightly sandy CLAY. Frequent mudstone bands.").nouns
    ('clay',)
    >>> read_lead_phrase("brown silty sand, brick fragments").nouns
    ('sand',)
    """
    text = _without_asides(text)
    plain = text
    if _has_brackets(text):
        plain = _BRACKETS.sub(" ", _GRADE_BEHIND.sub("), ", text) if ")" in text else text)
    if any(map(plain.__contains__, _WATER_OR_MUD)) and _names_water_or_mud(plain.lower()):
        plain = _WATER_EVENT.sub(" ", plain)
    if any(map(plain.__contains__, _DENIALS)):
        plain = _DENIED.sub(" ", plain)
    mixed = any(map(str.islower, plain))
    chosen = first = None
    for sentence in _sentences(plain):
        first = first or sentence
        sentence, found = _main_nouns(sentence, mixed)  # noqa: PLW2901 - without nouns in the heads the tails count
        if found and (NOUNS[found[0].noun] != "debris" or any(NOUNS[named.noun] != "debris" for named in found)):
            chosen = (sentence, found)
            break
        chosen = chosen or ((sentence, found) if found else None)
    if chosen is None:
        return LeadPhrase((), tuple(first or ()), british=False, evidence="", heads=_heads(first or ()), tails=_tails(first or ()))
    sentence, found = chosen
    nouns = tuple(dict.fromkeys([NOUNS[named.noun] for named in found])) if len(found) > 1 else (NOUNS[found[0].noun],)
    return LeadPhrase(
        nouns=nouns,
        clauses=tuple(sentence),
        british=mixed and any(named.in_capitals for named in found) and not _is_american(text),
        evidence=" and ".join(dict.fromkeys([named.words for named in found])),
        heads=_heads(sentence),
        tails=_tails(sentence),
        text=text,
        plain=plain,
        names_rock_alone=nouns[0].startswith("rock:") and all(noun.startswith("rock:") for noun in nouns),
    )


def _names_water_or_mud(lower: str) -> bool:
    """Return whether a lower-case text may speak of water or mud, and not only of mudstone or material."""
    return "water" in lower or lower.count("mud") > lower.count("mudst")


def _has_brackets(text: str) -> bool:
    return "(" in text or ")" in text or "[" in text


def _without_asides(text: str) -> str:
    """Return the text without details, and with a stop where it goes on to another soil."""
    text = without_detail(text)
    if "along" in text:
        text = _ALONG_JOINTS.sub("", text)
    if "then" not in text:
        return text
    return _THEN.sub(lambda match: "; " if names_a_soil(text[: match.start()]) else match[0], text)


def _heads(clauses: Sequence[Clause]) -> tuple[str, ...]:
    return clauses[0].small_head if len(clauses) == 1 else tuple([word for clause in clauses for word in clause.small_head])


def _tails(clauses: Iterable[Clause]) -> tuple[tuple[str, ...], ...]:
    return tuple([clause.small[len(clause.head) :] for clause in clauses if clause.tail])


def _names(sentence: list[Clause]) -> bool:
    """Return whether a sentence names a soil, or begins with what the layer becomes."""
    words = [word for clause in sentence for word in clause.small]
    return words[:1] == ["becoming"] or not NOUNS.keys().isdisjoint(words)


def _sentences(plain: str) -> Iterator[list[Clause]]:
    """Cut the text into sentences of clauses, one when it is asked for; sentences that only describe the grains are left out."""
    if "-" in plain or "\N{EN DASH}" in plain:
        plain = _DASH.sub(" , ", plain)
    left_out: list[Clause] | None = None
    kept = False
    sentence: list[Clause] = []
    start = 0
    while start <= len(plain):
        cut = _CUT.search(plain, start)
        piece, stop, start = (plain[start:], ".", len(plain) + 1) if cut is None else (plain[start : cut.start()], cut[1], cut.end())
        if words := _LETTERS_OF_BOTH_CASES.findall(piece):
            sentence.append(_clause(words))
        if sentence and stop in ".;":
            if not _only_grains(sentence[0]):
                kept = True
                yield sentence
            left_out = left_out or sentence
            sentence = []
    if left_out is not None and not kept:
        yield left_out


def _clause(words: list[str]) -> Clause:
    small = tuple([word.lower() for word in words])
    if STOP_WORDS.isdisjoint(small):
        return Clause(tuple(words), (), small)
    stop = 0
    while small[stop] not in STOP_WORDS:
        stop += 1
    return Clause(tuple(words[:stop]), tuple(words[stop:]), small)


def _only_grains(clause: Clause) -> bool:
    """Return whether a sentence that begins with the clause only describes the grains: "Gravel is fine to coarse"."""
    return clause.small[0] in _GRAIN_WORDS and _GRAINS.match(" ".join(clause.small)) is not None


class NounFound(NamedTuple):
    """A noun of a clause: the noun in lower case, whether it is written in capitals, and the words that it stands in."""

    noun: str
    in_capitals: bool
    words: str


def _main_nouns(sentence: list[Clause], mixed: bool) -> tuple[list[Clause], list[NounFound]]:
    """Return the sentence as it was read, and its main nouns."""
    found = [named for clause in sentence for named in _nouns_of(clause)]
    if not found:
        sentence = [_with_noun(clause) for clause in sentence]
        found = [named for clause in sentence for named in _nouns_of(clause)]
    if not found:
        sentence = [Clause((*clause.head, *clause.tail), (), clause.small) for clause in sentence]
        found = [named for clause in sentence for named in _nouns_of(clause)]
    if not found:
        found = [named for clause in sentence for named in _nouns_of(clause, parts=True)]
    if len(found) == 1:
        return sentence, found
    if mixed and any(named.in_capitals for named in found) and not _only_deposit(found):
        last = max(index for index, named in enumerate(found) if named.in_capitals)
        heads = _heads(sentence)
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
    head = clause.small_head
    if not head or not clause.tail or clause.small[len(head)] not in _HOLDING:
        return clause
    noun = _NOUN_OF_ADJECTIVE.get(head[-1]) if _IN_PARTS.isdisjoint(head) else None
    return clause if noun is None else Clause((*clause.head[:-1], noun), clause.tail, (*head[:-1], noun, *clause.small[len(head) :]))


def _only_deposit(found: list[NounFound]) -> bool:
    """Return whether the capitals only say what the ground came from, and small letters what it is: "SAPROLITE, silty sand"."""
    return all(NOUNS[named.noun] in _DEPOSITS for named in found if named.in_capitals) and len({named.noun for named in found}) > 1


_DEPOSITS = frozenset({"saprolite", "residuum"})


def _is_rock(word: str) -> bool:
    return NOUNS[word].startswith("rock:")


def _coordinate(words: Sequence[str], noun: str) -> bool:
    """Return whether "and" or "or" follows the noun at once, so that it stands beside the one in capitals."""
    return any(a == noun and b in ("and", "or") for a, b in pairwise(words))


def _joined(words: Sequence[str], index: int) -> bool:
    """Return whether the noun there is tied by "and" or "or" to a noun before it; words in lower case."""
    return index > 1 and words[index - 1] in ("and", "or") and words[index - 2] in NOUNS


_PIECES = INCLUSIONS - {"band", "bands", "layer", "layers", "seam", "seams", "ledge", "ledges", "bedding", "vein", "veins", "stringers"}
"""Inclusions in which rock is broken to gravel; a band or a seam of rock is rock."""
_GRAINS_OF = frozenset({"gravel", "cobbles", "sand"})


def _about_a_void(noun: str, after: str, rest: Sequence[str]) -> bool:
    """Return whether a noun before an inclusion names the layer: a cavity that is filled, or the soil that fills one."""
    if after == "filled":
        return NOUNS[noun] == "void"
    return after in ("infill", "infilling") and any(NOUNS.get(word) == "void" for word in rest)


def _nouns_of(clause: Clause, parts: bool = False) -> list[NounFound]:
    """Return the last noun of each run of nouns, since that is meant ("flint gravel"), unless an inclusion follows.

    Grains that are only listed ("sand gravel cobbles") all count.
    With ``parts`` the inclusions count too ("sand seam" is sand), rock in pieces as gravel.
    """
    words, small = clause.head, clause.small_head
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
