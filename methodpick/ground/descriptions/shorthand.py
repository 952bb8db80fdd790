"""Spell a description out before it is read: abbreviations, codes of the standards, slips of the pen, missing stops.

Capitals are kept, since they name the soil in British logs. Abbreviations of drillers and of field logs are common practice, no source;
the codes of EN ISO 14688 (saCl), of AS 1726 (St, MD, XW) and of Hong Kong practice (CDG) are from memory.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from methodpick.ground.descriptions.words import INCLUSIONS, NOUNS, corrected
from methodpick.patterns import pattern_of


class SpelledOut(NamedTuple):
    """A description written in full, and the words in it that were read as slips of the pen."""

    text: str
    slips: tuple[str, ...]


def _listed(words: str) -> frozenset[str]:
    return frozenset(words.split())


def _by_short(listed: dict[str, str]) -> dict[str, str]:
    """Return what each abbreviation stands for, from the abbreviations listed by what they stand for."""
    return {short: word for word, shorts in listed.items() for short in shorts.split()}


_SHORT = _by_short(
    {
        "very": "vry vey veyr",
        "very stiff": "vst vstf vstff",
        "extremely": "ext extr",
        "medium": "med mdm",
        "moderately": "mod",
        "slightly": "sl sli slt'ly sltly",
        "occasional": "occ occas",
        "trace": "tr",
        "approximately": "approx",
        "soft": "sft",
        "firm": "frm",
        "stiff": "stf stff stif",
        "hard": "hd hrd",
        "loose": "lse",
        "dense": "dns dnse dens dse dence",
        "weak": "wk",
        "clay": "cly clys clayy cley",
        "clayey": "clyey claey",
        "silt": "slt",
        "silty": "slty",
        "sand": "snd sd sds",
        "sandy": "sdy sndy",
        "gravel": "gvl grvl gvls grav grvls",
        "gravelly": "gvly grvly gvlly gravly grvlly",
        "cobbles": "cob cobs cobb cobbs cobbl cobbls cbls",
        "boulders": "bldr bldrs bldrs bould boulds blders",
        "organic": "org orgs orgc",
        "limestone": "lmst lst limest limestn limstn lmstn",
        "sandstone": "sst sdst sandst sandstn sndstn sstn",
        "siltstone": "slst sltst siltst siltstn sltstn",
        "mudstone": "mdst mudst mudstn mdstn",
        "claystone": "clyst clayst claystn clystn",
        "shale": "shle",
        "interbedded": "intbd intbdd intrbd intrbdd interbd interbdd",
        "interbeds": "intrbds intbds interbds",
        "granite": "grnt",
        "basalt": "bslt",
        "schist": "scht",
        "dolomite": "dolo dolom",
        "conglomerate": "cgl congl conglom",
        "concrete": "concr",
        "asphalt": "asph",
        "fragments": "frag frgs",
        "pieces": "pcs",
        "fractures": "fracs fracts",
        "joints": "jt jts jnts",
        "fractured": "frac frac'd fract",
        "fissured": "fiss",
        "laminated": "lam lamd",
        "weathered": "wthd wthrd wthr wthd weath wthrd wxd wx weathd",
        "decomposed": "decomp",
        "cemented": "cem cmtd cem'd",
        "saturated": "sat",
        "brown": "br brn bwn",
        "grey": "gr gry",
    }
)
"""Abbreviations that stand for one word wherever they are met."""
_SHORT_ALONE = _by_short(
    {
        "clay": "cl cay",
        "silt": "si sit slit",
        "sand": "sa sad",
        "peat": "pt pet pat",
        "stiff": "st",
        "gravel": "grv grave gavel",
        "shale": "sh",
        "sandstone": "ss",
        "limestone": "ls",
    }
)
"""Abbreviations and slips that are read only where nothing else of the text names a soil, since they are symbols or words too."""
_FIRST_WORDS = {"ls": "limestone", "ss": "sandstone", "sh": "shale"}
_FIRST_WORD = pattern_of(r"^(ls|ss|sh)(?:\.|(?=[,;]|\s+w/))", re.IGNORECASE)
_DOTTED = (
    _SHORT
    | {"v": "very", "m": "medium", "w": "with", "sa": "sandy", "si": "silty", "cl": "clay", "freq": "frequent", "incl": "including"}
    | {"lt": "light", "dk": "dark", "yel": "yellow", "yell": "yellow", "blk": "black", "grn": "green", "wht": "white", "mott": "mottled"}
    | {"ang": "angular", "subang": "subangular", "rnd": "rounded", "poss": "possible", "prob": "probable"}
)
"""Abbreviations that are read where a full stop follows, so that it ends no sentence."""
_DOT = pattern_of(r"(?<![A-Za-z'])(?<!\d )(?<!\d)([A-Za-z]+(?:'[a-z]+)?)\.(?=\s*[A-Za-z,;]|\s*$)")
_NEXT_SENTENCE = pattern_of(r"\s+[A-Z][a-z]")
_FIRST_DOT = pattern_of(r"^(v(?:ery|\.)?\s*)?(m\.d|st)\.\s*(?=[A-Za-z])", re.IGNORECASE)
_FIRST_DOTTED = ("m", "st", "vst", "vm", "veryst", "verym")
_ROAD_BASE = pattern_of(r"^base(?=\s*(?:\(?\d|$))", re.IGNORECASE)
_SIZES = pattern_of(r"\b(?:[fmc][.,/-]\s?){1,2}[fmc]\b(?:\.(?=\s*[A-Za-z&]))?\s*")
"""Sizes of grains: c.m.f., f-m."""
_UNIT_STOP = pattern_of(r"(\d ?(?:in|ft))\.(?=\s*[a-z,;/&(])")
"""A stop that belongs to a unit and ends no sentence: "6 in. base course"."""
_HEAD = pattern_of(r"[^,]*?(?=,|\bwith\b|$)")
"""What stands before the first comma or "with", where the main soil is named."""
_CONCRETE = pattern_of(r"(?<!calc )(?<!iron )(?<!lime )(?<!calc\. )\bconc\b\.?", re.IGNORECASE)
_VERY = pattern_of(
    r"(?<!grade )(?<!/)\bv"
    r"(?=[ -](?:soft|sft|firm|stiff|stf|hard|hd|loose|lse|dense|dns|weak|wk|silty|clayey|sandy|gravelly|fine|strong)\b)",
    re.IGNORECASE,
)
_WITH = pattern_of(r"\b(?:[wW]/|w\b(?=\s+[a-z]))\s*")
_SOME = pattern_of(r"\bsm(?= (?:silt|clay|sand|gravel|slt|gvl|fines|organics)\b)")
_MEDIUM = pattern_of(r"(?<!\d )(?<!\d)\bmd?(?=[ -](?:dense|dns|stiff|stf)\b)", re.IGNORECASE)
_MADE_GROUND = pattern_of(r"\b(?:man[- ])?(?:made|mdae|maed|mad|amde|maade)[\s-]*(?:up )?(?:ground|gro?nd|grd|gnd|gd)\b\.?", re.IGNORECASE)
_MADE_LETTERS = ("ade", "ADE", "mad", "Mad", "MAD", "dae", "DAE", "aed", "AED", "mde", "MDE")
_MADE_GROUND_INITIALS = pattern_of(r"^\W*M\.?G\b\.?(?=\s*[:(.,-]|\s+[a-z])")
_LEAD_DENSITY = pattern_of(r"^(vst|md|vd|vl)(?= +(?!h(?:ar)?d\b|soft|str|weath|wd\b|dec)[a-z]{2})", re.IGNORECASE)
_LEAD_DENSITIES = {"vst": "very stiff", "md": "medium dense", "vd": "very dense", "vl": "very loose"}
"""Codes of consistency and density that stand first, before a colour or the soil."""
_FIRM_TO = pattern_of(r"\bfm(?=\s?(?:-|/|to)\s?(?:v\.? ?)?st(?:f+|iff)?\b)|(?:(?<=soft-)|(?<=sft-)|(?<=soft to ))fm\b", re.IGNORECASE)
_MEDIUM_STIFF_TO = pattern_of(r"\bm\.?st(?=\s?-\s?(?:v\.? ?)?st(?:f+|iff)\b)", re.IGNORECASE)
_SILTY = pattern_of(r"\b(si|cl|sa|grav|gvl|grvl)(?=\s+(?:sds?|snd|sand|cly?|clay|slt|silt|gvl|grvl|gravel)\b)")
_ADJECTIVES = {"si": "silty", "cl": "clayey", "sa": "sandy", **dict.fromkeys(("grav", "gvl", "grvl"), "gravelly")}
_OF_NOUN = {"sand": "sandy", "silt": "silty", "clay": "clayey", "gravel": "gravelly"}
_SHORT_SOILS = _listed("si cl sa gr Gr GR md grav gvl grvl")
_SAND_AND_GRAVEL = pattern_of(r"\b(sds?|sand|snd)(\s*(?:&|and|/)\s*)gr\b", re.IGNORECASE)
_GRANITE = pattern_of(r"^\W*D\.?G\b\.?(?=\s*(?:[-,;:(]|$))")
_DENSITY_ITEM = pattern_of(r"(?<=[,;])(\s*)md(?=\s*(?:[,;.]|$))")
_TOPSOIL = pattern_of(r"\btop[ -]soil\b", re.IGNORECASE)
_RUN_TOGETHER = pattern_of(r"(?<=[a-z]{3})(?=[A-Z]{4,})")
_STOP_LOST = pattern_of(r"([.;,:])(?<=[A-Za-z)]{3}.)(?=[A-Z][a-z])")
_GRAINS_LOST = pattern_of(
    r"\s(?<=[A-Za-z)]\s)\s*(?=(?:Sand|Gravel|Cobbles|Boulders|Fines)(?: (?:and|or) (?:gravel|cobbles|boulders))? (?:is|are) )|"
    r"\s(?<=\w\s)\s*(?=(?:sand|gravel|cobbles|boulders) (?:is|are) (?:\w+ )?(?:fine|medium|coarse|sub\w+|angular|rounded)\b)"
)

_SLIGHTLY = pattern_of(r"\bslightly (sand|silt|clay|gravel)\b(?=,? \w)")
"""An adjective without its last letters: "slightly sand silty clay"."""

_ISO_PARTS = {"sa": "sandy", "si": "silty", "cl": "clayey", "gr": "gravelly", "co": "cobbly", "bo": "bouldery", "or": "organic"}
_ISO_SOILS = {"Cl": "CLAY", "Si": "SILT", "Sa": "SAND", "Gr": "GRAVEL", "Co": "COBBLES", "Bo": "BOULDERS", "Pt": "PEAT", "Or": "PEAT"}
_ISO_SIZES = {"f": "fine ", "m": "medium ", "c": "coarse "}
_ISO_PART = pattern_of(r"(?:[fmc])?(sa|si|cl|gr|co|bo|or)('|\*)?")
_ISO = pattern_of(
    r"(?<![A-Za-z])((?:\(?[fmc]?(?:sa|si|cl|gr|co|bo|or)['*]?\)?)*)([FMC]?)(Cl|Si|Sa|Gr|Co|Bo|Pt|Or)(?![A-Za-z])(?!\s*[:=]?\s*\d|\()"
)
_ISO_END = pattern_of(r"(?:Cl|Si|Sa|Gr|Co|Bo|Pt|Or)(?![A-Za-z])")
_ISO_ALONE = pattern_of(r"\s*(?:[,;]|$)")
_AUSTRALIAN = {
    "VS": "very soft",
    "S": "soft",
    "F": "firm",
    "St": "stiff",
    "VSt": "very stiff",
    "H": "hard",
    "VL": "very loose",
    "L": "loose",
    "MD": "medium dense",
    "VD": "very dense",
}
_ITEM = pattern_of(r"(?<=[,;])(\s*)(VSt|VS|St|S|F|H|VL|L|MD|VD)(?:\s*-\s*(VSt|VS|St|S|F|H|VL|L|MD|VD))?(?=\s*(?:[,;.]|$))")
_DENSE_AFTER_MOISTURE = pattern_of(r"(?<=[,;])(\s*[DMW]\s*[,;]\s*)D(?=\s*(?:[,;.]|$))")
_DECOMPOSED = {"C": "completely", "H": "highly", "M": "moderately", "S": "slightly"}
_HONG_KONG_ROCKS = {"G": "granite", "T": "tuff", "V": "rock", "R": "rock"}
_HONG_KONG = pattern_of(r"\b([CHMS])\.?D\.?([GTVR])\b\.?(?!\w)")
_WEATHERED = {
    "XW": "extremely",
    "EW": "extremely",
    "CW": "completely",
    "HW": "highly",
    "DW": "highly",
    "MW": "moderately",
    "SW": "slightly",
}
_ROCK_NAME = r"\w*stone|shale|chalk|granite|basalt|schist|gneiss|tuff|slate|phyllite|dolerite|conglomerate|breccia|rock|andesite|rhyolite"
_WEATHERED_CODE = pattern_of(
    rf"\b(XW|EW|CW|HW|DW|MW|SW)\b(?:\s*(?:-|/|to)\s*(XW|EW|CW|HW|DW|MW|SW)\b)?(?=[\w ,/-]{{0,40}}\b(?i:{_ROCK_NAME})\b)"
)
_WEATHERED_AFTER = pattern_of(r"([,;(]\s*)(XW|EW|CW|HW|DW|MW|SW)(?=\s*(?:[,;.)]|$))")
_ROCK_WORD = pattern_of(rf"\b(?:{_ROCK_NAME})\b", re.IGNORECASE)
_PARTIALLY = pattern_of(r"\bP\.?W\.?R\b\.?")
_PORTLAND = pattern_of(r"\b(?:PCC|RCC)\b")
_WORD = pattern_of(r"[A-Za-z]+(?:'[a-z]+)?")


@lru_cache(maxsize=4096)
def _meant(word: str) -> str:
    """Return the word that an abbreviation or a slip stands for, in its case; any other word as it is.

    >>> _meant("cly"), _meant("GRAVLE"), _meant("caly"), _meant("grave"), _meant("travel")
    ('clay', 'GRAVEL', 'clay', 'grave', 'travel')
    """
    lower = word.lower()
    full = _SHORT.get(lower) or corrected(lower)
    return word if full is None else _in_case(word, full)


def spell_out(text: str) -> SpelledOut:
    """Write a description in full.

    >>> spell_out("v. stf bwn sdy CLY w/ occ cobs").text
    'very stiff brown sandy CLAY with occasional cobbles'
    >>> spell_out("saCl, firm").text, spell_out("dense sandy GRAVLE").slips
    ('sandy CLAY, firm', ('GRAVLE',))
    """
    if text[:4].lower() == "base":
        text = _ROAD_BASE.sub("base course", text)
    if "in." in text or "ft." in text:
        text = _UNIT_STOP.sub(r"\1", text)
    words = set(_WORD.findall(text))
    unlike = (words - _METRE if "m" in words and not _NO_METRE.search(text) else words) - _PLAIN
    if not unlike or all(_is_plain(word) for word in unlike):
        text = _lost_stops(_made_ground(text) if unlike and not _learned(unlike) else text)
        return SpelledOut(" ".join((text.replace("&", " and ") if "&" in text else text).split()), ())
    text, words = _changed(text, _stops(text, words), words)
    text, words = _changed(text, _dots(_codes(text, words), words), words)
    if words & {"w", "W"}:
        text = _WITH.sub("with ", text)
    if "sm" in words:
        text = _SOME.sub("some", text)
    if words & {"conc", "Conc", "CONC"}:
        text = _CONCRETE.sub(lambda match: _in_case(match[0].rstrip("."), "concrete"), text)
    meant = {word: full for word in words if (full := _meant(word)) != word}
    if meant:
        text = _WORD.sub(lambda match: meant.get(match[0], match[0]), text)
    if words & {"v", "V"}:
        text = _VERY.sub("very", text)
    if words & {"m", "M", "md", "MD"}:
        text = _MEDIUM.sub("medium", text)
    text = " ".join(text.replace("&", " and ").split())
    text = _with_nouns_in_short(text)
    return SpelledOut(text, tuple(sorted(word for word in meant if word.lower() not in _SHORT)))


def _with_nouns_in_short(text: str) -> str:
    """Write out what means a soil only where nothing else names one: at the head, and behind it where the whole text names none."""
    head = _HEAD.match(text)
    first, rest = (text[: head.end()], text[head.end() :]) if head else (text, "")
    if _names_a_soil(first.lower()):
        return text
    first = _WORD.sub(_noun_in_short, first)
    return first + (rest if _names_a_soil(text.lower()) else _WORD.sub(_noun_in_short, rest))


def _noun_in_short(match: re.Match[str]) -> str:
    return _in_case(match[0], _SHORT_ALONE.get(match[0].lower(), match[0]))


def _changed(before: str, after: str, words: set[str]) -> tuple[str, set[str]]:
    """Return a text that may have changed, with its words."""
    return after, words if after == before else set(_WORD.findall(after))


def _names_a_soil(lower: str) -> bool:
    """Return whether a noun of the ground stands in a lower-case text; the cut at spaces finds most, and is quick."""
    return not (NOUNS.keys().isdisjoint(lower.split()) and NOUNS.keys().isdisjoint(_WORD.findall(lower)))


def _dots(text: str, words: set[str]) -> str:
    """Write out abbreviations that end with a full stop, and those that only the first word may be."""
    if "." in text:
        lower = {word.lower() for word in words}
        if not lower.isdisjoint(_FIRST_DOTTED):
            text = _FIRST_DOT.sub(
                lambda match: ("very " if match[1] else "") + ("stiff " if match[2].lower() == "st" else "medium dense "), text
            )
        if not _DOTTED.keys().isdisjoint(lower):
            text = _DOT.sub(_undotted, text)
    if text[:2].lower() in _FIRST_WORDS:
        text = _FIRST_WORD.sub(lambda match: _in_case(match[1], _FIRST_WORDS[match[1].lower()]), text)
    return text


def _stops(text: str, words: set[str]) -> str:
    """Set the spaces and stops that were lost before a sentence of grains or between words run together."""
    if any(not (word.islower() or word.isupper() or word.istitle()) for word in words):
        text = _RUN_TOGETHER.sub(" ", text)
    if "MG" in text or "M.G" in text:
        text = _MADE_GROUND_INITIALS.sub("MADE GROUND", text)
    text = _made_ground(text)
    if "op" in text or "OP" in text:
        text = _TOPSOIL.sub(lambda match: _in_case(match[0][:3], "topsoil"), text)
    return _lost_stops(text)


def _made_ground(text: str) -> str:
    if not any(map(text.__contains__, _MADE_LETTERS)):
        return text
    return _MADE_GROUND.sub(lambda match: "MADE GROUND" if match[0][:4].isupper() else "made ground", text)


def _lost_stops(text: str) -> str:
    if _STOP_LOST.search(text):
        text = _STOP_LOST.sub(r"\1 ", text)
    if "slightly" in text:
        text = _SLIGHTLY.sub(lambda match: f"slightly {_OF_NOUN[match[1]]}", text)
    return _GRAINS_LOST.sub(". ", text) if " is " in text or " are " in text else text


_STEPS = _listed("D DG MG M G PWR P PCC RCC f m c fm mst md vd vl vst w v sm conc man top") | _SHORT_SOILS
_STEPS |= frozenset({*_AUSTRALIAN, *_WEATHERED, *_ISO_SOILS, *_DOTTED, *_SHORT_ALONE, *_FIRST_WORDS})
"""Words for which a step of the spelling out is there."""


_METRE = frozenset({"m"})
_NO_METRE = pattern_of(r"(?<![A-Za-z])(?<!\d)(?<!\d )m(?![A-Za-z])|m[.,/-]\s?[fmc]\b")
"""Where an m is no unit behind a number, so that it may be medium or a size of grains."""
_PLAIN: set[str] = set()
"""Words that were found plain and no part of made ground, since most words of a log stand in many of its layers."""
_MOST_PLAIN = 20_000


def _learned(words: set[str]) -> bool:
    """Return whether no plain word may be part of made ground; those that may not are known from then on."""
    other = {word for word in words if not any(map(word.__contains__, _MADE_LETTERS))}
    if len(_PLAIN) < _MOST_PLAIN:
        _PLAIN.update(other)
    return len(other) == len(words)


def _is_plain(word: str) -> bool:
    """Return whether no step of the spelling out can change a text for the word: it is no code, abbreviation, slip or run of words."""
    lower = word.lower()
    if word in _STEPS or lower in _STEPS or (len(word) == 3 and word[1] == "D"):
        return False
    return (word.isupper() or word[1:].islower() or len(word) < 3) and _meant(word) == word


def _codes(text: str, words: set[str]) -> str:
    """Write out the codes of standards and of regional practice; ``words`` are those of the text, so that few patterns are tried."""
    if not words.isdisjoint(_SHORT_SOILS):
        text = _SILTY.sub(lambda match: _ADJECTIVES[match[1]], _SAND_AND_GRAVEL.sub(r"\1\2gravel", text))
        text = _DENSITY_ITEM.sub(r"\1medium dense", text)
    if not words.isdisjoint(("MD", "Md", "md", "VD", "vd", "VL", "vl", "VST", "VSt", "Vst", "vst")):
        text = _LEAD_DENSITY.sub(lambda match: _LEAD_DENSITIES[match[0].lower()], text)
    if not words.isdisjoint(("fm", "Fm", "FM")):
        text = _FIRM_TO.sub("firm", text)
    if not words.isdisjoint(("mst", "Mst", "MST", "st")):
        text = _MEDIUM_STIFF_TO.sub("medium stiff", text)
    if not words.isdisjoint(("D", "DG")):
        text = _GRANITE.sub("decomposed granite", text)
    if _ISO_END.search(text):
        text = _ISO.sub(_iso_name, text)
    if not words.isdisjoint(_AUSTRALIAN) or "D" in words:
        text = _DENSE_AFTER_MOISTURE.sub(r"\1dense", text)
        text = _ITEM.sub(lambda match: match[1] + " to ".join(_AUSTRALIAN[code] for code in match.groups()[1:] if code), text)
    if "D" in words or any(len(word) == 3 and word[1] == "D" for word in words):
        text = _HONG_KONG.sub(lambda match: f"{_DECOMPOSED[match[1]]} decomposed {_HONG_KONG_ROCKS[match[2]]}", text)
    if not words.isdisjoint(_WEATHERED) and _ROCK_WORD.search(text):
        text = _WEATHERED_CODE.sub(lambda match: " to ".join(_WEATHERED[code] for code in match.groups() if code) + " weathered", text)
        text = _WEATHERED_AFTER.sub(lambda match: f"{match[1]}{_WEATHERED[match[2]]} weathered", text)
    if not words.isdisjoint(("PWR", "P", "PCC", "RCC")):
        text = _PORTLAND.sub("concrete", _PARTIALLY.sub("partially weathered rock", text))
    return _SIZES.sub("fine to coarse ", text) if not words.isdisjoint(("f", "m", "c")) else text


def _iso_name(match: re.Match[str]) -> str:
    """Return the words of a code of EN ISO 14688, the text itself where a main soil stands alone inside other words."""
    parts, size, soil = match.groups()
    if not parts and (match.start() > 0 or not _ISO_ALONE.match(match.string, match.end())):
        return match[0]
    degrees = {"'": "slightly ", "*": "very "}
    words = [degrees.get(part[2] or "", "") + _ISO_PARTS[part[1]] for part in _ISO_PART.finditer(parts)]
    return " ".join([*words, _ISO_SIZES.get(size.lower(), "") + _ISO_SOILS[soil]])


def _undotted(match: re.Match[str]) -> str:
    """Return the word of a dotted abbreviation; its stop ends the sentence too where a noun stands before a new one."""
    word = _DOTTED.get(match[1].lower())
    if word is None:
        return match[0]
    ends = (word in NOUNS or word in INCLUSIONS) and _NEXT_SENTENCE.match(match.string, match.end()) is not None
    return _in_case(match[1], word) + (". " if ends else " ")


def _in_case(short: str, word: str) -> str:
    return word.upper() if short.isupper() and len(short) > 1 else word
