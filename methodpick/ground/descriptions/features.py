"""Features and origin of a layer by the words of its description, and what a remark of a log is evidence of."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Literal

# ---- What a remark of a log is evidence of, by its words: caving, water added, lost fluid, obstructions, voids, gas


Tag = Literal["collapse", "water_added", "fluid_loss", "obstruction", "blowing_sand", "seepage", "void", "gas", "artesian", "none"]

_WORDS: dict[Tag, str] = {
    "artesian": r"\bartesian\b|\bflow(?:ing|ed) (?:over|out of|from) the (?:top|casing|hole)\b",
    "blowing_sand": r"\b(?:blowing|blew|heaving|running) (?:of )?sands?\b|"
    r"\bsand (?:blew|blowing|heav\w+|rose|running)\b",
    "collapse": r"\bcollaps\w*|\bunstable\b|\binstability\b|\bcav(?:ing|ed)\b|\bslough\w*|"
    r"\bspall\w*|\bsides? fell\b",
    "water_added": r"\bwater (?:was )?added\b|\bad(?:ded|ding|dition of) water\b|\bwater to (?:assist|aid)\b",
    "fluid_loss": r"\b(?:loss|lost|losing)\b[^.]{0,20}\b(?:flush|returns?|circulation|fluid|water)\b|"
    r"\b(?:flush|circulation|returns?) (?:was |were )?lost\b|\bno (?:flush )?returns?\b",
    "obstruction": r"\bobstruct\w*|\bboulders?\b|\brefus\w*|\bchisel\w*|\bno progress\b|\bconcrete\b|"
    r"\bhard stratum\b|\bcobbles?\b|\bchatter\w*|\bgrinding\b|\bhard drilling\b",
    "void": r"\bvoid(?:s|ing|ed)?\b|\bcavit(?:y|ies)\b|\brods? dropped\b",
    "gas": r"\bgas(?:es)?\b(?! (?:main|pipe|monitor\w*|tap))|\bmethane\b",
    "seepage": r"\bseep\w*|\binflow\b|\bground ?water\b|\bwater (?:strike|struck|encountered|met)\b",
}
_TAGS: tuple[tuple[Tag, re.Pattern[str]], ...] = tuple((tag, re.compile(words, re.IGNORECASE)) for tag, words in _WORDS.items())
_DENIED = re.compile(r"\b(?:no|not|none|nil|without)\b(?![^.]*\b(?:progress|returns?)\b)", re.IGNORECASE)
_PIECES: tuple[tuple[str, re.Pattern[str]], ...] = tuple(
    (name, re.compile(words, re.IGNORECASE))
    for name, words in {
        "cobbles": r"\bcobbles?\b|\bboulders?\b|\bchatter\w*|\bgrinding\b|\bhard drilling\b",
        "boulders": r"\bboulders?\b",
        "obstructions": r"\bobstruct\w*|\bconcrete\b|\bbricks?\b|\bmasonry\b|\btimbers?\b|\brubble\b|"
        r"\bold (?:footings?|foundations?|piles?|slabs?)\b",
    }.items()
)
_LONGEST = 2000
_BREAKS = re.compile(r"[.;]\s+")


def tag_of(text: str) -> Tag | None:
    """Return what a sentence is evidence of, "none" where it denies it, None where it says nothing of the kind.

    >>> tag_of("Hole collapsing below 4.0m, water added"), tag_of("No voids met"), tag_of("Backfilled with arisings")
    ('collapse', 'none', None)
    """
    text = text[:_LONGEST]
    tag = next((tag for tag, pattern in _TAGS if pattern.search(text)), None)
    return "none" if tag and _DENIED.search(text) and tag != "fluid_loss" else tag


@lru_cache(maxsize=4096)
def tags_of(text: str) -> frozenset[Tag]:
    """Return everything that a remark of one or more sentences is evidence of; what a sentence denies is left out.

    >>> sorted(tags_of("Hole collapsing, water added. No voids met"))
    ['collapse', 'water_added']
    """
    found: set[Tag] = set()
    for sentence in _BREAKS.split(text[:_LONGEST]):
        denied = _DENIED.search(sentence) is not None
        found |= {tag for tag, pattern in _TAGS if pattern.search(sentence) and (not denied or tag == "fluid_loss")}
    return frozenset(found)


@lru_cache(maxsize=4096)
def pieces_in(text: str) -> frozenset[str]:
    """Return the large pieces that a remark points to: cobbles, boulders, man-made obstructions; not what it denies.

    >>> sorted(pieces_in("drill chatter on a boulder")), sorted(pieces_in("no cobbles; old concrete"))
    (['boulders', 'cobbles'], ['obstructions'])
    """
    sentences = [sentence for sentence in _BREAKS.split(text[:_LONGEST]) if not _DENIED.search(sentence)]
    return frozenset(name for name, pattern in _PIECES if any(pattern.search(sentence) for sentence in sentences))


# ---- Features and origin of a layer by the words of its description, with what the description says is absent


_PATTERNS: dict[str, str] = {
    "fissured": r"fissur(?:ed|es?|ing)|desiccat(?:ed|ion)",
    "slickensided": r"slickensid(?:ed?|es)",
    "sensitive": r"sensitive(?! to)|quick clay",
    "weakly_cemented": r"(?:slight(?:ly)?|weak(?:ly)?|poor(?:ly)?|partial(?:ly)?|partly|locally|lightly) cement(?:ed|ation)",
    "cemented": r"cement(?:ed|ation)|caliche|calcrete|indurated|lithified|duripan",
    "slaking": r"slak(?:es?|ing|ed)|softens (?:in|with|on contact with) water|softens (?:when|on) expos\w*",
    "vuggy": r"vug(?:s|gy|ular)?",
    "cavities": r"(?:cavit(?:y|ies)|voids?|voiding|caverns?|cavernous)(?! ratio)|rods? dropped|rod drop|tool drop|"
    r"solution (?:cavit\w+|channels?|features?)",
    "jointed": r"joint(?:s|ed|ing)?|fractur(?:ed|es?)|discontinuit(?:y|ies)",
    "massive": r"massive",
    "laminated": r"laminat(?:ed|ions?)|laminae|varved|partings?|thinly bedded",
    "cobbles": r"cobbl(?:es?|y)",
    "boulders": r"boulder(?:s|y)?(?! clay)|core ?stones?",
    "crushed": r"crushed(?! (?:stone|concrete|rock fill|brick|aggregate))|gouge|shattered|sheared|brecciated|shear zone|fault zone|"
    r"(?:completely|very highly) fractured|non[- ]?intact",
    "obstructions": r"obstructions?|concrete|brick ?work|bricks|brick(?= rubble)|masonry|rubble|timbers?|rebar|"
    r"steel|scrap metal|refuse|tyres?|tree trunks?|stumps?|old (?:foundations?|piles?)",
    "organic": r"organics?|peat|peaty|humus|humic|muck|lignite|plant remains|decayed (?:vegetation|wood)",
    "gas": r"gas(?:sy|es|eous)?(?! (?:main|pipe|line|service)s?)|methane|hydrogen sul(?:ph|f)ide|h2s|bubbling",
    "contaminated": r"contaminat(?:ed|ion)|hydrocarbons?|petroleum|diesel|creosote|solvent|oily|gasoline|petrol",
    "swelling": r"swelling|expansive|shrink[- ]swell|gumbo|bentonitic",
    "collapsible": r"collapsible|collapse potential|metastable",
    "open": r"open[- ]?(?:work|worked|graded|framework|jointed|joints?|fractures?)",
    "frozen": r"frozen|perma ?frost|ice[- ]rich|ice lens(?:es)?",
    "slide": r"land ?sl(?:ide|ip)s?|slide (?:debris|mass|material|plane)|slip (?:surface|plane)s?|slope ?wash|talus|scree|solifluct\w+",
    "karst": r"karst(?:ic)?|sink ?holes?|dolines?|pinnacled|solution (?:cavit\w+|channels?|features?)",
    "mined": r"(?:mine|old|coal|abandoned) workings?|mined(?:[- ]out)?|mine void|goaf|gob|adits?",
}
FEATURES = {name: re.compile(rf"\b(?P<un>un|non[- ])?(?:{words})\b") for name, words in _PATTERNS.items()}
_STEMS: dict[str, str] = {
    "fissured": "fissur desiccat",
    "slickensided": "slickensid",
    "sensitive": "sensitive quick",
    "slaking": "slak soften",
    "weakly_cemented": "cement",
    "cemented": "cement calic calcr indurat lithif duripan",
    "vuggy": "vug",
    "jointed": "joint fractur discontin",
    "cavities": "cavit void cavern drop solution",
    "massive": "massive",
    "laminated": "lamin varve parting bedded",
    "cobbles": "cobbl",
    "boulders": "boulder corestone core stone",
    "crushed": "crush gouge shatter shear breccia fault fractur intact",
    "organic": "organic peat humus humic muck lignite plant decayed",
    "obstructions": "obstruct concrete brick masonry rubble timber rebar steel scrap refuse tyre trunk stump old",
    "gas": "gas methane hydrogen h2s bubbl",
    "swelling": "swelling expansive shrink gumbo bentonit",
    "contaminated": "contamin hydroc petrol diesel creosot solvent oily gasoline",
    "collapsible": "collaps metastab",
    "open": "open",
    "frozen": "frozen permafrost frost ice",
    "slide": "landsl slide slip slope talus scree solifluct",
    "karst": "karst sink doline pinnacl solution",
    "mined": "mine working goaf gob adit",
}
_BY_STEM: dict[str, tuple[str, ...]] = {
    stem: tuple(name for name, stems in _STEMS.items() if stem in stems.split()) for stems in _STEMS.values() for stem in stems.split()
}
_ANY_STEM = re.compile(r"\b(?:un|non[- ]|in)?(" + "|".join(sorted(_BY_STEM, key=len, reverse=True)) + ")")
_NOT = re.compile(
    r"\b(?:no|not|nil|without|absence of|lack of|free of|free from|neither)\b"
    r"(?:(?!\bbut\b|\bwith\b|\bhowever\b|\bbecoming\b)[^.;:(),]|,(?=[^.;:()]*?\b(?:or|nor)\b))*"
)
_DENIALS = ("no", "nil", "without", "absence", "lack", "free", "neither")
_NONE_AFTER = re.compile(r"[ :-]+(?:were |was |are )?(?:none|nil|absent|not (?:observed|seen|encountered|noted|met|present))\b")
_SMALL_BITS = re.compile(r"[^.;,]*\b(?:gravel|fragments?|frags?|specks?|flecks?|chips?|dust)\b")
_GRAVEL_OF = re.compile(r"\bgravel is\b[^.;]*$")


def read_features(lower: str) -> tuple[frozenset[str], frozenset[str]]:
    """Return the features that the lower-case text names, and those that it says are absent.

    >>> found, absent = read_features("grey limestone, vuggy, no voids or cavities, unfractured")
    >>> sorted(found), sorted(absent)
    (['vuggy'], ['cavities', 'jointed'])
    """
    stems = set(_ANY_STEM.findall(lower))
    if not stems:
        return frozenset(), frozenset()
    denied = [match.span() for match in _NOT.finditer(lower)] if any(no in lower for no in _DENIALS) else []
    found, absent = set(), set()
    for name in {name for stem in stems for name in _BY_STEM[stem]}:
        for match in FEATURES[name].finditer(lower):
            if name == "obstructions" and _only_fragments(lower, match):
                continue
            if match["un"] or _denied(lower, match, denied):
                absent.add(name)
            else:
                found.add(name)
    return frozenset(found), frozenset(absent - found)


def _denied(lower: str, match: re.Match[str], denied: list[tuple[int, int]]) -> bool:
    if any(start <= match.start() < end for start, end in denied):
        return True
    return _NONE_AFTER.match(lower, match.end()) is not None


def _only_fragments(lower: str, match: re.Match[str]) -> bool:
    """Return whether brick or concrete is there as gravel or fragments, which no tool notices."""
    if match[0] in ("rubble", "obstruction", "obstructions"):
        return False
    return bool(_GRAVEL_OF.search(lower[: match.start()]) or _SMALL_BITS.match(lower, match.end()))


_ORIGINS: tuple[tuple[str, re.Pattern[str]], ...] = (
    (
        "fill",
        re.compile(
            r"(?<!joint )(?<!possible )(?<!possibly )(?:\bmade ground\b|(?<!clay-)\bfill\b|"
            r"\bbackfill(?:ed)?\b|\btopsoil\b|\btarmac\w*|\bmacadam\b|\basphalt\b|\bhardcore\b|\brubble\b|\brefuse\b|"
            r"\briprap\b|^concrete\b)"
        ),
    ),
    ("glaciofluvial", re.compile(r"\bglacio-?fluvial\b|\bfluvio-?glacial\b|\boutwash\b|\besker\b|\bglacial sands?\b")),
    ("lacustrine", re.compile(r"\b(?:glacio-?)?lacustrine\b|\bvarved\b|\blake deposits?\b")),
    ("till", re.compile(r"\bglacial till\b|\btill\b|\bboulder clay\b|\bmoraine\b")),
    ("alluvial", re.compile(r"\balluvi(?:al|um)\b|\bterrace (?:deposits?|gravels?)\b|\bflood ?plain\b|\bfluvial\b")),
    ("colluvial", re.compile(r"\bcolluvi(?:al|um)\b|\bslope ?wash\b|\btalus\b|\bscree\b|\bhead deposits?\b")),
    ("saprolite", re.compile(r"\bsaprolit(?:e|ic)\b|\bdecomposed granite\b")),
    ("residual", re.compile(r"\bresidu(?:al|um)\b")),
    ("loess", re.compile(r"\bloess(?:ial)?\b")),
    ("marine", re.compile(r"\bmarine\b|\bestuarine\b")),
)
_ORIGIN_STEMS = (
    "made g",
    "fill",
    "topsoil",
    "tarmac",
    "macadam",
    "asphalt",
    "hardcore",
    "rubble",
    "refuse",
    "riprap",
    "concrete",
    "glaci",
    "outwash",
    "esker",
    "lacustr",
    "varved",
    "lake",
    "till",
    "boulder clay",
    "moraine",
    "alluvi",
    "terrace",
    "flood",
    "fluvial",
    "colluvi",
    "slope",
    "talus",
    "scree",
    "head dep",
    "saprol",
    "decomposed",
    "residu",
    "loess",
    "marine",
    "estuarine",
)


def origin_of(lower: str) -> str:
    """Return the origin that the lower-case text names, "unknown" where it names none; made ground goes first.

    >>> origin_of("brown gravelly sand (river terrace deposits)"), origin_of("infilled joints until 3 m")
    ('alluvial', 'unknown')
    """
    if not any(stem in lower for stem in _ORIGIN_STEMS):
        return "unknown"
    return next((name for name, pattern in _ORIGINS if pattern.search(lower)), "unknown")
