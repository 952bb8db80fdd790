"""The words of a part of a layer: those of the layer, changed by what its description says of the part's depth."""

from __future__ import annotations

import re
from functools import cached_property, lru_cache

from methodpick.ground.descriptions.features import read_features
from methodpick.ground.descriptions.lead_phrase import read_lead_phrase
from methodpick.ground.descriptions.main_soil import read_main_soil
from methodpick.ground.descriptions.named_depths import Statement, statements_in
from methodpick.ground.descriptions.reader import read_description
from methodpick.ground.descriptions.rock import filled_slots
from methodpick.ground.descriptions.words import NOUNS, without_detail
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.terms import GRANULAR

_DEGREE = r"(?:(?:very|medium|moderately|extremely|slightly|highly|completely|closely|more|and|to|becoming|-|,)\s*)*"
_MODIFIER = (
    r"(?:soft|firm|stiff|hard|loose|dense|compact|dry|damp|moist|wet|saturated|waterlogged|silty|clayey|sandy|gravelly|organic|peaty|clean|"
    r"fissured|laminated|slickensided|jointed|fractured|crushed|sheared|shattered|weathered|decomposed|unweathered|fresh|weak|strong|"
    r"cemented|uncemented|sensitive|frozen|cobbly|bouldery)\b"
)
_RUN = rf"{_DEGREE}{_MODIFIER}(?:\s*(?:,|and|to|-|becoming)?\s*{_DEGREE}{_MODIFIER})*"
_FIRST_RUN = pattern_of(rf"^\W*({_RUN})", re.IGNORECASE)
_LAST_RUN = pattern_of(rf"(?<!\w)({_RUN})\s*$", re.IGNORECASE)
_LEAD_IN = pattern_of(
    r"^(?:(?:and|but|then|also|it|is|are|becoming|becomes?|grading|grades|turning|changing|changes|to|into|at|locally|generally|"
    r"mostly|probably)\b[\s,]*)+",
    re.IGNORECASE,
)
_OF_BED = pattern_of(r"^(?:an?\s+)?(?:thin\s+|thick\s+|single\s+)?(?:layer|band|bed|seam|zone|lens|pocket)\s+of\s+", re.IGNORECASE)
_BED = pattern_of(r"\s+(?:lens|layer|band|seam|bed|pocket|zone|horizon|interbed)\s*$", re.IGNORECASE)
_ONE_LAYER = pattern_of(r"\s+(?:lens|layer|band|seam|bed|horizon)\s*$", re.IGNORECASE)
_HELD = pattern_of(
    r"^(?:with|containing|contains|including|(?:a )?(?:little|few)|occasional|frequent|some|trace|traces|rare|many|numerous|"
    r"scattered|abundant|"
    r"inclusions?|fragments?|pieces|no|without|slight|strong (?:odour|odor|smell)|odou?r|smell)\b",
    re.IGNORECASE,
)
_MANY = pattern_of(
    r"\b(?:lenses|seams|bands|partings|pockets|layers|beds|interbeds|stringers|laminae|laminations|fragments|nodules|traces|mottling|"
    r"odou?rs?|smell|inclusions|lumps|stain\w*|joints|fractures|fissures|clasts|pieces|roots|rootlets|content)\b",
    re.IGNORECASE,
)
_HOLDING = pattern_of(r"\b(?:with|containing|including|contains)\b", re.IGNORECASE)
_NOT_OF_GROUND = pattern_of(
    r"\b(?:(?:ground ?)?water(?!(?:[- ]bearing|logged))|casing|cased|sampl\w+|recover\w*|core (?:loss|run)|no core|returns?|flush\w*|"
    r"drill\w*|driven|blows?|spt|cpt|piezometer|standpipe|backfill\w*|pit|trench|excavat\w*|chisel\w*|auger\w*|refus\w*|"
    r"terminated|rods?|tools?|bit|progress|strike|struck|seepage|inflow|installed|screen|bailer|vane|tests?|hole|boring|borehole)\b",
    re.IGNORECASE,
)
"""What a depth tells of the boring and its tests, of which no words of the ground are made."""
_GRAINS = pattern_of(
    r"\W*(?:the )?(?:sand|gravel|cobbles|boulders|fissures|fractures|joints|clasts|laminae|laminations)\s+(?:is|are)\b", re.IGNORECASE
)
"""A sentence that only describes grains or faces."""
_AS_NOUN = pattern_of(r"\bslightly (sand|silt|clay|gravel)\b(?! and\b)", re.IGNORECASE)
_ADJECTIVE = {"sand": "sandy", "silt": "silty", "clay": "clayey", "gravel": "gravelly"}
"""A slip of the pen: nothing is slightly a sand."""
_ENDS_IN_ADJECTIVE = pattern_of(r"\w\s+(?:sandy|silty|clayey|gravelly)\s*$", re.IGNORECASE)
_STIFF = pattern_of(r"\b(?:soft|firm|stiff)\b", re.IGNORECASE)
_WHOLE_LAYER = frozenset({"cavities", "karst", "mined", "gas", "contaminated", "slide", "boulders", "coal", "obstructions", "vuggy"})
"""What is found at one depth may be met at any other of its layer: a void, a boulder, an old wall, gas."""
_BELOW_ONLY = frozenset({"boulders", "obstructions"})


def _scale(words: str, degrees: str) -> re.Pattern[str]:
    grade = rf"(?:(?:{degrees})[\s-]+)?(?:{words})"
    return pattern_of(rf"\b{grade}\b(?:\s*(?:to|and|or|-|/|becoming)\s*{grade}\b)*", re.IGNORECASE)


_SCALES = (
    _scale("soft|firm|stiff|hard|loose|dense|compact", "very|medium|moderately"),
    _scale("weak|strong", "very|medium|moderately|extremely"),
    _scale("dry|damp|moist|wet|saturated|waterlogged", "very|slightly"),
    _scale("weathered|decomposed|unweathered|fresh", "slightly|moderately|highly|completely|distinctly|intensely|partially|partly"),
)
"""Grades of which a part has its own in place of the layer's."""
_SHARES = tuple(pattern_of(rf"\b(?:(?:very|slightly)\s+)?{word}\b", re.IGNORECASE) for word in ("silty", "clayey", "sandy", "gravelly"))
_CLEAN = pattern_of(r"\bclean\b", re.IGNORECASE)
_HEADING = pattern_of(r"^[^:.;,]{1,40}:\s*")
_STOPS_BEFORE_END = pattern_of(r"(?:\s*[,;:]\s*)+(?=[.;)]|$)")
_STOP_BEFORE_END = pattern_of(r"[,;:]\s*(?:[.;)]|$)")
"""What stands in every text in which the pattern above finds something, and is looked for in a tenth of the time."""
_LEFT_OVER = (
    (pattern_of(r"\(\s*\)"), " "),
    (_STOPS_BEFORE_END, ""),
    (pattern_of(r"([.;])(?:\s*[.;,])+"), r"\1"),
    (pattern_of(r",\s*,"), ","),
    (pattern_of(r"^[\s,;:.]+(?:then\b\s*)?"), ""),
    (pattern_of(r"\s{2,}"), " "),
)


@record(guarded=False, caches=True)
class Said:
    """What a statement says of its length: ``own`` soil in place of the layer's, or words that go before it or behind it.

    ``bed`` holds the words with their soil where that is the layer's: below a bed of another soil they name it again.
    """

    statement: Statement
    words: str
    own: bool
    start: int
    stop: int
    bed: str = ""

    @cached_property
    def stays(self) -> bool:
        """Return whether the rest of the layer keeps the words: a void at one depth tells of others; boulders below one do not."""
        found, _ = read_features(self.words.lower())
        return bool(found & (_WHOLE_LAYER if self.statement.bounded else _WHOLE_LAYER - _BELOW_ONLY))


@record(guarded=False, caches=True)
class WordsByDepth:
    """A description taken apart: the words of the layer without its statements, and the statements that part it."""

    text: str
    said: tuple[Said, ...]

    @cached_property
    def rest(self) -> str:
        """Return the words of the layer where no statement speaks."""
        return _without(self.text, [said for said in self.said if not said.stays])

    def at(self, holds: tuple[bool, ...]) -> str:
        """Return the words of a part in which the statements hold that are marked so, in their order."""
        words = self.rest
        told = [said for said, here in zip(self.said, holds, strict=True) if here]
        other = False
        for said in sorted(told, key=lambda said: (said.statement.bounded, said.statement.top_m or 0.0)):
            named = said.words if said.own else said.bed if other else ""
            words, other = named or _changed(words, said.words), other or said.own
        return words


@lru_cache(maxsize=4096)
def words_by_depth(text: str) -> WordsByDepth:
    """Return the words of a description and of the parts that it names.

    >>> taken = words_by_depth("Stiff grey CLAY, becoming very stiff below 6.2 m, loose sand lens at 7.0 to 7.4 m")
    >>> taken.rest, taken.at((True, False)), taken.at((True, True))
    ('Stiff grey CLAY', 'very stiff grey CLAY', 'loose sand')
    """
    found = [said for statement in statements_in(text) if (said := _said(statement, text)) is not None]
    if found and not read_main_soil(_without(text, found)).soils and read_main_soil(text).soils:
        near = (_shrunk(each, text) if _takes_the_soil(each) else each for each in found)
        found = [said for said in near if said is not None]
    return WordsByDepth(text, tuple(found))


def _takes_the_soil(said: Said) -> bool:
    """Return whether the words of a statement may be those that name the soil of the layer."""
    return not said.statement.leading or _names_soil(_HOLDING.split(said.statement.words)[0])


def reading_of(words: str, symbol: str | None, origin: str) -> tuple[object, ...]:
    """Return what words say of the ground, to compare parts by; what is only said otherwise is the same."""
    read = read_description(words, symbol, origin)
    lower = words.lower()
    plain = (getattr(read, name) for name in type(read).__dataclass_fields__ if name not in ("evidence", "doubt"))
    return (*plain, filled_slots(lower), "clayey" in lower)


def is_bed_of_soil(words: str) -> bool:
    """Return whether words name a soil that makes a seam where it is thin: no void and no rock."""
    return bool(read_main_soil(words).soils & {"clay", "silt", "silty_sand", "clean_sand", "silty_gravel", "clean_gravel", "organic"})


def _said(statement: Statement, text: str) -> Said | None:
    """Return what a statement says of the ground, None where it tells of something else."""
    if _NOT_OF_GROUND.search(statement.words) or _GRAINS.match(statement.words):
        return None
    if _only_to(statement):
        return _shrunk(Said(statement, statement.words, own=False, start=statement.start, stop=statement.stop), text)
    words = _AS_NOUN.sub(lambda found: f"slightly {_ADJECTIVE[found[1].lower()]}", _LEAD_IN.sub("", statement.words).strip(" ,:."))
    if not words:
        return None
    bed = _BED.sub("", _OF_BED.sub("", words))
    own = _names_bed(bed, becoming=words != statement.words)
    if own and (graded := _of_the_same(bed, text)) is not None:
        return Said(statement, graded, own=False, start=statement.start, stop=statement.stop, bed=bed)
    return Said(statement, bed if own else _ONE_LAYER.sub("", words), own, statement.start, statement.stop)


def _of_the_same(bed: str, text: str) -> str | None:
    """Return the words of a bed without its soil where that is the layer's own: "becoming slightly clayey GRAVEL" of a gravel."""
    of_bed, of_layer = read_lead_phrase(bed).nouns, read_lead_phrase(text).nouns
    if len(of_bed) != 1 or of_bed != of_layer[:1]:
        return None
    noun = next((found for found in re.finditer(r"[A-Za-z]+", bed) if NOUNS.get(found[0].lower()) == of_bed[0]), None)
    return None if noun is None else " ".join(f"{bed[: noun.start()]} {bed[noun.end() :]}".split()).strip(" ,;.") or None


def _only_to(statement: Statement) -> bool:
    """Return whether the statement reaches down to a depth: "rocks to 2 ft" is a size, "moist to 8 ft" is none."""
    return statement.top_m is None and statement.base_m is not None


def _names_bed(words: str, *, becoming: bool) -> bool:
    """Return whether words name ground of their own, not what a layer holds in pieces or pockets."""
    head = _HOLDING.split(words)[0]
    if _HELD.match(words) or _MANY.search(re.split(r"[,;.]", head)[0]) or not _names_soil(head) or _ENDS_IN_ADJECTIVE.search(head):
        return False
    read = read_main_soil(words)
    if read.likely in GRANULAR - {"silt"} and _STIFF.search(head):
        return False
    if read.slab or read.soils == {"cobbles"}:
        return read.slab or becoming
    return bool(read.soils) and not all(NOUNS[word] == "debris" for word in _nouns(words))


def _nouns(words: str) -> list[str]:
    return [word for word in re.findall(r"[a-z]+", words.lower()) if word in NOUNS]


def _names_soil(words: str) -> bool:
    return bool(_nouns(words))


def _shrunk(said: Said, text: str) -> Said | None:
    """Return a statement with the words next to its depth alone that grade the ground, so that the layer keeps its soil."""
    whole = text[said.start : said.stop]
    place = said.statement
    if place.leading:
        at = whole.find(place.words.split()[0]) if place.words else -1
        run = _FIRST_RUN.match(whole[at:]) if at >= 0 else None
        return (
            None
            if run is None
            else Said(place, _LEAD_IN.sub("", run[1]).strip(" ,"), own=False, start=said.start, stop=said.start + at + run.end())
        )
    run = _LAST_RUN.search(place.words)
    if run is None:
        return None
    at = whole.lower().rfind(run[1].split()[0].lower())
    return Said(place, _LEAD_IN.sub("", run[1]).strip(" ,"), own=False, start=said.start + max(at, 0), stop=said.stop)


def _without(text: str, said: list[Said]) -> str:
    for each in sorted(said, key=lambda place: -place.start):
        text = f"{text[: each.start]} {text[each.stop :]}"
    for pattern, put in _LEFT_OVER:
        if pattern is not _STOPS_BEFORE_END or _STOP_BEFORE_END.search(text):
            text = pattern.sub(put, text)
    return text.strip()


def _changed(words: str, more: str) -> str:
    """Return the words of the ground with more of it: grades in place of the same grade, what is held behind the rest.

    >>> _changed("Firm to stiff silty CLAY", "very stiff"), _changed("silty SAND", "with cobbles"), _changed("SAND", "wet with shells")
    ('very stiff silty CLAY', 'silty SAND; with cobbles', 'wet, SAND; with shells')
    """
    held = _HELD.match(more) or _MANY.search(re.split(r"\bwith\b", more)[0]) or _names_soil(re.split(r"\bwith\b", more)[0])
    front, behind = ("", more) if held else _parted(more)
    if front:
        words = _put(words, front)
    return f"{words.rstrip(' .;')}; {behind}" if behind else words


def _parted(more: str) -> tuple[str, str]:
    parts = re.split(r"\s*,?\s*\b(?=with\b)", more, maxsplit=1)
    return parts[0].strip(" ,"), parts[1] if len(parts) > 1 else ""


def _put(words: str, front: str) -> str:
    lead = re.split(r"(?<=[.;])\s", without_detail(words), maxsplit=1)
    first, place = lead[0], None
    for scale in (*_SCALES, *_SHARES):
        if scale.search(front):
            while (old := scale.search(first)) is not None:
                place = old.start() if place is None else min(place, old.start())
                first = first[: old.start()] + first[old.end() :].lstrip()
    if _CLEAN.search(front):
        for share in _SHARES[:2]:
            first = share.sub("", first)
    heading = _HEADING.match(first)
    at = place if place is not None else heading.end() if heading else 0
    joint = " " if place is not None else ", "
    changed = f"{first[:at]}{front}{joint}{first[at:].lstrip(' ,')}"
    return " ".join([" ".join(changed.split()), *lead[1:]])
