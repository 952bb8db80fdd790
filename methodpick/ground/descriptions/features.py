"""Features and origin of a layer by the words of its description, with what the description says is absent."""

from __future__ import annotations

import re
from functools import lru_cache

from methodpick.ground.descriptions.words import words_of
from methodpick.patterns import pattern_of

_WORKS = (
    r"(?:old|disused|redundant|abandoned|buried|existing|former) (?:(?!with|of|and|in|on|over|to|from|for|at)\w+ ){0,2}?"
    r"(?:pipes?|pipelines?|cables?|services|drains?|ducts?|walls?|tanks?|foundations?|footings?|piles?|basements?|cellars?|beams?|rails?|"
    r"wharf|quay|structures?(?<!former structure))|"
    r"(?:clay|stone|stoneware|iron|lead|pvc|plastic|timber|wooden|wood|brick|metal) "
    r"(?:pipes?|pipelines?|drains?|ducts?|walls?|foundations?|footings?|piles?|pilings?|piers?|logs?|"
    r"blocks?(?<!clay block)(?<!clay blocks)|plates?)|"
    r""
    r"(?:service|water|drain|storm|sewer|gas) pipes?|land drains?|(?:car|vehicle) (?:parts|body|bodies)|"
    r"pavers?|paviou?rs?|(?<!time )(?<!initial )setts|flagstones?|kerb(?:stone)?s?|cast iron|"
    r"sheet pil(?:es?|ing)|sewers?|culverts?|girders?|"
    r"railway sleepers|railroad ties|sea ?walls?|gabions?|tunnel linings?|soakaways?|cesspits?|old wells?|"
    r"(?:brick|stone)[- ]lined|reinforcing bars?|wire rope|scrap (?:iron|steel)|bulkheads?|cribbing|brick and mortar|"
    r"(?:demolition|construction|building|land ?fill) (?:debris|rubble|waste)|"
    r"(?:domestic|household|municipal) waste|buried logs?|lean mix|(?:creosoted|timber) piles?|"
    r"tarmac\w*|macadam|asphalt|bitmac|blacktop|paving|pavement|slabs?(?! of (?!concrete))"
)
"""Works of man in the ground: those that an adjective or their material must call so (an old pipe), then those that always are."""
_RUBBLE = r"rubble(?! (?:fractured|chalk|limestone|rock)\b)"
"""Rubble of works of man; rock may be fractured to rubble."""
_SAND = r"(?:sand|gravel|silt|silty sand|sandy gravel|sandy silt)s?"
_BEDS = r"(?:lens(?:es)?|seams?|bands?|layers?|beds?|interbeds?)"
_WET = r"(?:wet|water[- ]bearing|saturated|waterlogged)"
"""Beds of sand, gravel or silt inside a layer; partings, laminae and pockets are no beds."""
_PATTERNS: dict[str, str] = {
    "fissured": r"fissur(?:ed|es?|ing)|desiccat(?:ed|ion)",
    "slickensided": r"slickensid(?:ed?|es)|shear(?:ed)? (?:surfaces?|planes?)|listric|"
    r"(?:polished|striated)(?: and \w+)?(?: (?:fissure|joint|clay))? (?:surfaces?|planes?|faces?|fissures?|shears?)",
    "sensitive": r"sensitive(?! to)|(?:high|extra|very high) sensitivity|quick clay|leda clay",
    "weakly_cemented": r"(?:slight(?:ly)?|weak(?:ly)?|poor(?:ly)?|partial(?:ly)?|partly|locally|lightly)"
    r"(?:(?: to |-)(?:moderate|strong|well|medium)(?:ly)?)? cement(?:ed|ation)|"
    r"cemented (?:\w+ ){0,1}?(?:bands|layers|lenses|nodules|lumps|pockets|seams|zones|concretions)|"
    r"(?:bands?|layers|pockets?|lenses|lumps|nodules|seams|zones|beds) of (?:\w+ ){0,2}?cemented",
    "cemented": r"cement(?:ed|ation)|(?:calcite|carbonate|silica|iron|iron oxide|calcareous|gypsum) cement(?:ing)?|caliche|calcrete|"
    r"ferricrete|silcrete|duricrust|indurated|lithified|duripan",
    "slaking": r"slak(?:es?|ing|ed)|softens (?:in|with|on contact with) water|softens (?:when|on) expos\w*",
    "vuggy": r"vugh?(?:s|gy|ular)?",
    "cavities": r"(?:cavit(?:y|ies)|voids?|voiding|caverns?|cavernous)(?! ratio)"
    r"(?! between(?: (?:the )?(?:stones|clasts|grains|cobbles|boulders|gravel|particles|blocks|fragments)| ?[.,;]|$))|"
    r"(?:rods?|tools?|bit|auger|drill string|core barrel) (?:suddenly |free[- ]?)?(?:dropped|fell)|rod drop|tool drop|lava tubes?|"
    r""
    r"solution (?:cavit\w+|channels?|features?)",
    "jointed": r"(?<!widely spaced )(?:joint(?:s|ed|ing)?|fractur(?:ed|es?)|discontinuit(?:y|ies))"
    r"(?!:? (?:are |is )?(?:very |extremely )?widely)",
    "massive": r"massive",
    "laminated": r"(?:inter)?laminat(?:ed|ions?)|laminae|varve[sd]?|partings?|"
    r"thinly (?:inter)?bedded(?![^.;]*(?:stone|shale|chalk|slate|schist|tuff|coal|gneiss|quartzite|marl)s?\b)",
    "cobbles": r"cobbl(?:es?|y|estones?)(?! sized? (?:pocket|lens|lump))|rocks? (?:up )?to \d",
    "few_cobbles": r"(?:occasional(?:ly)?|rare(?:ly)?|few|odd|isolated|scattered|sporadic|infrequent|low|traces? of) "
    r"(?:(?!boulders?|with|lens\w*|pockets?|bands?|seams?|layers?)[\w-]+ ){0,4}"
    r"cobbles?(?! and (?:occasional )?boulders?)",
    "many_cobbles": r"(?:many|numerous|frequent|abundant|much|high|medium)(?: (?!with|low)[\w-]+){0,4} cobbles?|cobbly",
    "boulders": r"boulders?(?! clay)|bouldery|core ?stones?|rip[ -]?rap|floaters?|erratics?",
    "crushed": r"crushed(?! (?:stone|concrete|rock fill|brick|aggregate))|gouge|shattered|sheared|brecciated|shear zone|fault zone|"
    r"fault breccia|(?:completely|very highly) fractured|non[- ]?intact",
    "obstructions": r"obstructions?|concrete(?! sand)|brick ?work|bricks|brick(?= rubble)|masonry|"
    rf"{_RUBBLE}|timbers?|rebar|"
    r"steel(?! gr[ea]y| blue|[ -](?:casing|liner|pipe|tape|pin|standpipe))(?<!mm steel)|scrap metal|refuse|t[yi]res?|tree trunks?|stumps?|"
    r"trash|garbage|"
    rf"old (?:foundations?|piles?)|{_WORKS}",
    "organic": r"organics?(?! (?:vapou?rs?|colou?r))|peat|peaty|humus|humic|muck|lignite|lignitic|"
    r"(?:plant|vegetable) (?:remains|matter|material|debris|fragments)|"
    r"(?:decayed|decaying|rotten|rotted|decomposed) (?:vegetation|wood|plants?|timber|trees?|tree trunks?|stumps?|branches)|"
    r"(?<!pyritised )(?<!pyritized )wood(?:y)?(?! (?:pil|blocks?|preserv|logs?))|driftwood|muskeg",
    "gas": r"gas(?:sy|es|eous)?(?! (?:main|pipe|line|service)s?)|methane|hydrogen sul(?:ph|f)ide|h2s|bubbling",
    "contaminated": r"contaminat(?:ed|ion)|hydrocarbons?|petroleum|diesel|creosote|solvent|"
    r"oily|oil[- ](?:stain\w*|contam\w*|sheen|smell|odou?rs?)|gasoline|petrol|coal tar|"
    r"tarry|asbestos|free product|chemical (?:waste|ash|sludge|residues?)|(?:gas ?works|galligu|spent oxide|blue billy) ?(?:waste)?|"
    r"(?:fuel|chemical|tar|kerosene|paraffin|phenolic|hc) (?:odou?rs?|smell)|leachate",
    "swelling": r"swelling|swells?|black cotton|expansive|reactive clay|high(?:ly)? reactive|heave potential|shrink[- ]swell|shrinkable|"
    r"high volume change|"
    r"gumbo|bentonitic",
    "collapsible": r"collapsible|collaps(?:e|es|ed|ing) (?:on|upon|when|after) (?:wet\w*|satur\w*|inundat\w*|flood\w*)|"
    r"hydro-?(?:compact|collaps)\w+|collapse potential|metastable",
    "open": r"open[- ]?(?:work|worked|graded|framework|textured|jointed|joints?|fractures?|void(?:s|ed)?)|"
    r"voids between|(?:joints?|fractures?)(?: are)? open to|very open(?! to)",
    "frozen": r"frozen|perma ?frost|frost(?! suscept)|ice[- ]rich|ice (?:lens(?:es)?|crystals?|seams?|wedges?)|visible ice|"
    r"(?:massive|ground|clear|solid) ice",
    "slide": r"land ?sl(?:ide|ip)(?:s|ped)?|"
    r"slide (?:debris|mass|material|plane)|slip (?:surface|plane)s?|slope ?wash|talus|scree|solifluct\w+",
    "karst": r"(?:epi)?karst(?:ic)?|pinnacles?|sink ?holes?|dolines?|pinnacled|swallow ?holes?|"
    r"(?:dis)?solution (?:cavit\w+|channels?|features?|pipes?|holes?|hollows?)|"
    r"dissolution(?= (?:along|of|at|on)\b)|dissolved (?:joints?|zones?)",
    "coal": r"coals?(?! (?:tar|black|gas|store|yard|bunker|merchant))|coaly|coal measures|lignite|lignitic|anthracite",
    "sand_beds": rf"{_SAND}(?: and {_SAND})? {_BEDS}|{_BEDS} of (?:(?!clay)[\w-]+ ){{0,4}}?{_SAND}|"
    rf"varve[sd]?|(?:inter(?:bedded|laminated|layered)|alternating) (?:[\w-]+ ){{0,4}}?{_SAND}",
    "wet_beds": rf"{_WET} (?:[\w-]+ ){{0,3}}?{_SAND}(?: and {_SAND})? {_BEDS}|"
    rf"{_BEDS} of (?:(?!clay)[\w-]+ ){{0,2}}?{_WET} (?:[\w-]+ ){{0,3}}?{_SAND}|{_WET} {_BEDS}",
    "mined": r"(?:mine|old|coal|abandoned|disused|shallow) workings?|workings|packed waste|"
    r"voids?,? \(?mine|worked[- ]out|mined(?:[- ]out)?|"
    r"(?:coal )?mine (?:voids?|pillars?)|underground mines?|goaf|gob|adits?|long ?walls?|backfilled shafts?|"
    r"(?:mine|air|disused|old) shafts?|mine ?shafts?|(?:old )?stopes?|"
    r"(?:abandoned|collapsed|disused|flooded|old) (?:(?:coal|salt|gypsum|iron|lead|tin|chalk|limestone) )?mines?|"
    r"worked(?:[- ]out)? (?:coal |ironstone )?(?:seams?|coal)|"
    r"(?:seam|coal) (?:has been )?worked|worked(?<=not worked)|(?<=un)worked|crown ?holes?|pillar and stall|room and pillar",
}
FEATURES = {name: pattern_of(rf"\b(?P<un>un|non[- ])?(?:{words})\b") for name, words in _PATTERNS.items()}
_STEMS: dict[str, str] = {
    "fissured": "fissur desiccat",
    "slickensided": "slickensid shear listric polish striat",
    "sensitive": "sensitiv quick leda",
    "slaking": "slak soften",
    "weakly_cemented": "cement band layer pocket lens lump nodule seam zone bed",
    "cemented": "cement calic calcr ferricr silcr duricr indurat lithif duripan iron",
    "vuggy": "vug",
    "jointed": "joint fractur discontin",
    "cavities": "lava cavit void cavern drop fell solution",
    "massive": "massive",
    "laminated": "lamin interlamin varve parting thinly",
    "cobbles": "cobbl rock",
    "few_cobbles": "cobbl",
    "many_cobbles": "cobbl",
    "boulders": "boulder corestone core stone rip floater erratic",
    "crushed": "crush gouge shatter shear breccia fault fractur intact",
    "organic": "organic peat humus humic muck lignit plant vegetable decayed decaying rotte decomposed wood driftwood "
    "muskeg fragment piece",
    "obstructions": "lean creosot refuse trash garbage sea gabion tunnel soakaway cesspit "
    "obstruct concrete brick masonry rubble timber rebar steel scrap refuse tyre tire car vehicle water "
    "storm land trunk tree stump pipe "
    "cable service "
    "drain duct wall tank foundation footing pile pilin basement cellar beam rail wharf quay structure paver paviour pavior sett flagstone "
    "kerb cast sheet sewer culvert girder reinforcing tarmac macadam asphalt bitmac blacktop paving pavement slab old disused redundant "
    "abandoned buried existing former stoneware iron wood metal wire bulkhead cribbing demolition construction building landfill domestic "
    "household municipal",
    "gas": "gas methane hydrogen h2s bubbl",
    "swelling": "swell black expansive reactive high heave shrink gumbo bentonit volume",
    "contaminated": "contamin hydroc petrol diesel creosot solvent oil gasoline coal "
    "tar asbestos free fuel chemical kerosene paraffin phenol gas galligu spent blue hc leachate",
    "collapsible": "collaps metastab hydro",
    "open": "open void",
    "frozen": "frozen permafrost frost ice visible",
    "slide": "landsl slide slip slope talus scree solifluct",
    "sand_beds": "varve interb interl alternating lens lense seam band layer bed interbed",
    "wet_beds": "lens lense seam band layer bed interbed",
    "karst": "epikarst karst sink doline pinnacl swallow solution dissolution dissolved",
    "coal": "coal lignit anthracit",
    "mined": "packed void stope collapsed flooded mine old coal abandoned disused shallow working goaf gob adit air shaft worked "
    "unworked seam crown pillar room underground long backfill",
}
_ORIGIN_STEMS: dict[str, str] = {
    "fill": "made= fill= rockfill= landfill= backfill topsoil= tarmac macadam= asphalt= hardcore= rubble= refuse= mix= spoil= tailings= "
    "fly= flyash= pfa= cinders= ballast= rip= riprap= waste= subbase= base= crusher= concrete=",
    "glaciofluvial": "glaci fluvio outwash esker",
    "lacustrine": "glacio lacustr varved lake=",
    "till": "till= boulder= moraine",
    "alluvial": "alluvi qal terrace= flood= floodplain fluvial",
    "colluvial": "colluvi slope= slopewash talus scree head= debris=",
    "saprolite": "saprol decomposed=",
    "residual": "residu",
    "loess": "loess",
    "marine": "marine estuarine",
}
"""What a word of everything begins with that the pattern of an origin finds; the whole word where a sign of equality follows."""
_BIT = {name: 1 << place for place, name in enumerate((*_STEMS, *_ORIGIN_STEMS))}
_DENYING = 1 << len(_BIT)
"""The bit of words that deny, beside those of features and origins."""
_BY_STEM: dict[str, int] = {}
for _name, _stems in (_STEMS | _ORIGIN_STEMS).items():
    for _stem in _stems.split():
        _BY_STEM[_stem] = _BY_STEM.get(_stem, 0) | _BIT[_name]
for _stem in ("no", "not", "nil", "without", "absence", "lack", "free", "neither"):
    _BY_STEM[f"{_stem}="] = _BY_STEM.get(f"{_stem}=", 0) | _DENYING


@lru_cache(maxsize=4096)
def _named_by(word: str) -> int:
    """Return the bits of the features and origins that a word in lower case may be part of, un- and in- aside, and of denials."""
    forms = [word, *(word[2:] for prefix in ("un", "in") if word.startswith(prefix))]
    bits = 0
    for form in forms:
        for stem in (*(form[:end] for end in range(2, len(form) + 1)), f"{form}="):
            bits |= _BY_STEM.get(stem, 0)
    return bits


_NAMELESS: set[str] = set()
"""Words that were found to be part of no feature and no origin, since most words of a log stand in many of its layers."""
_MOST_NAMELESS = 20_000


@lru_cache(maxsize=2)
def _named_in(lower: str) -> int:
    """Return the bits of what the words of a lower-case text may be part of; kept for whoever asks next of the same text."""
    bits = 0
    for word in set(words_of(lower)) - _NAMELESS:
        if found := _named_by(word):
            bits |= found
        elif len(_NAMELESS) < _MOST_NAMELESS:
            _NAMELESS.add(word)
    return bits


_NOT = pattern_of(
    r"\b(?:no|not|nil|without|absence of|lack of|free of|free from|neither)\b"
    r"(?:(?!\bbut\b|\bwith\b|\bhowever\b|\bbecoming\b)[^.;:(),]|,(?=[^.;:()]*?\b(?:or|nor)\b))*"
)
_NONE_AFTER = pattern_of(
    r"(?: (?:content|matter|material))?[ :-]+(?:were |was |are )?(?:none|nil|absent|not (?:observed|seen|encountered|noted|met|present))\b"
)
_MADE = pattern_of(r"\b(?:made ground|back ?fill|fill|brick|bricks|concrete|demolition)\b")
"""Where the ground is made, wood is a piece of it and not the remains of plants."""
_SMALL_BITS = pattern_of(
    r"(?:(?!\b(?:over|on|onto|then|above|under\w*|with|at|below|slabs?|walls?|to|from|in)\b)[^.;,])*\b"
    r"(?:gravel|fragments?|frags?|specks?|flecks?|chips?|dust)\b"
)
_GRAVEL_OF = pattern_of(r"\bgravel (?:is|of)\b(?:(?!\bwith\b)[^.;])*$")


def read_features(lower: str) -> tuple[frozenset[str], frozenset[str]]:
    """Return the features that the lower-case text names, and those that it says are absent.

    >>> found, absent = read_features("grey limestone, vuggy, no voids or cavities, unfractured")
    >>> sorted(found), sorted(absent)
    (['vuggy'], ['cavities', 'jointed'])
    """
    named = _named_in(lower)
    if not named & _OF_FEATURES:
        return frozenset(), frozenset()
    denied = [match.span() for match in _NOT.finditer(lower)] if named & _DENYING else []
    found, absent = set(), set()
    for name, pattern in _features_of(named & _OF_FEATURES):
        for match in pattern.finditer(lower):
            if name == "obstructions" and _only_fragments(lower, match):
                continue
            if name == "organic" and match[0].startswith("wood") and _MADE.search(lower):
                continue
            if match["un"] or _denied(lower, match, denied):
                absent.add(name)
            else:
                found.add(name)
    return frozenset(found), frozenset(absent - found)


_OF_FEATURES = sum(_BIT[name] for name in FEATURES)


@lru_cache(maxsize=1024)
def _features_of(bits: int) -> tuple[tuple[str, re.Pattern[str]], ...]:
    return tuple((name, pattern) for name, pattern in FEATURES.items() if bits & _BIT[name])


def _denied(lower: str, match: re.Match[str], denied: list[tuple[int, int]]) -> bool:
    if any(start <= match.start() < end for start, end in denied):
        return True
    return _NONE_AFTER.match(lower, match.end()) is not None


_SIZE = pattern_of(r"(?: \w+){0,2} (?:up )?to (\d{1,4}) ?(mm|in|inch|inches|\"|ft)\b")
_MM = {"mm": 1.0, "in": 25.4, "inch": 25.4, "inches": 25.4, '"': 25.4, "ft": 304.8}
SMALLEST_OBSTRUCTION_MM = 150.0
"""Pieces of concrete and brick of this size and more stop a tool (own judgement)."""


def _only_fragments(lower: str, match: re.Match[str]) -> bool:
    """Return whether brick or concrete is there as gravel or fragments, which no tool notices."""
    size = _SIZE.match(lower, match.end())
    if match[0] in ("rubble", "obstruction", "obstructions") or (size and float(size[1]) * _MM[size[2]] >= SMALLEST_OBSTRUCTION_MM):
        return False
    return bool(_GRAVEL_OF.search(lower[: match.start()]) or _SMALL_BITS.match(lower, match.end()))


_ORIGIN_PATTERNS: tuple[tuple[str, re.Pattern[str]], ...] = (
    (
        "fill",
        pattern_of(
            r"\b(?<!joint )(?<!possible )(?<!possibly )(?<!from )(?:made ground\b|(?<!clay-)fill\b|rock ?fill\b|land ?fill\b(?! gas)|"
            r"backfill(?:ed)?\b|topsoil\b|tarmac\w*|macadam\b|asphalt\b|hardcore\b|"
            + _RUBBLE
            + r"\b|refuse\b|lean mix\b|(?:colliery|mine|dredge|quarry) spoil\b|tailings\b|fly ?ash\b|pfa\b|cinders\b|ballast\b|"
            r"rip[ -]?rap\b|(?:municipal|domestic|household) waste\b|^waste\b|crushed concrete\b|"
            r"sub-?base\b|base course\b|crusher run\b|^concrete\b)"
        ),
    ),
    ("glaciofluvial", pattern_of(r"\bglacio-?fluvial\b|\bfluvio-?glacial\b|\boutwash\b|\besker\b|\bglacial sands?\b")),
    ("lacustrine", pattern_of(r"\b(?:glacio-?)?lacustrine\b|\bvarved\b|\blake deposits?\b")),
    ("till", pattern_of(r"\bglacial till\b|\btill\b|\bboulder clay\b|\bmoraine\b")),
    ("alluvial", pattern_of(r"\balluvi(?:al|um)\b|\bqal\b|\bterrace (?:deposits?|gravels?)\b|\bflood ?plain\b|\bfluvial\b")),
    ("colluvial", pattern_of(r"\bcolluvi(?:al|um)\b|\bslope ?wash\b|\btalus\b|\bscree\b|\bhead deposits?\b|\bdebris flow\b")),
    ("saprolite", pattern_of(r"\bsaprolit(?:e|ic)\b|\bdecomposed granite\b")),
    ("residual", pattern_of(r"\bresidu(?:al|um)\b")),
    ("loess", pattern_of(r"\bloess(?:ial)?\b")),
    ("marine", pattern_of(r"\bmarine\b|\bestuarine\b")),
)


_ORIGINS = tuple((name, _BIT[name], pattern) for name, pattern in _ORIGIN_PATTERNS)
_OF_ORIGINS = sum(_BIT[name] for name in _ORIGIN_STEMS)


def origin_of(lower: str) -> str:
    """Return the origin that the lower-case text names, "unknown" where it names none; made ground goes first.

    >>> origin_of("brown gravelly sand (river terrace deposits)"), origin_of("infilled joints until 3 m")
    ('alluvial', 'unknown')
    """
    named = _named_in(lower)
    if not named & _OF_ORIGINS:
        return "unknown"
    if named & _DENYING:
        lower = _NOT.sub(" ", lower)
    return next((name for name, bit, pattern in _ORIGINS if named & bit and pattern.search(lower)), "unknown")
