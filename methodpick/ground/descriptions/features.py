"""Features and origin of a layer by the words of its description, and what a remark of a log is evidence of."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Literal

from methodpick.ground.descriptions.words import words_of
from methodpick.patterns import pattern_of

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
_UNLESS_CLOSED = pattern_of(_WORDS["obstruction"].replace(r"\bconcrete\b|", ""), re.IGNORECASE)
"""An obstruction by other words than concrete."""
_TAGS: tuple[tuple[Tag, re.Pattern[str]], ...] = tuple((tag, pattern_of(words, re.IGNORECASE)) for tag, words in _WORDS.items())
_NO = pattern_of(r"\b(?:(?<!\b\d )no(?!\.)|nil|without|absence of|free of|free from|neither|nor|lack of)\b", re.IGNORECASE)
_NO_SPAN = pattern_of(
    r"(?:(?!\b(?:but|however|due|because|owing|since|possible|able|recover\w*|progress|samples?|tests?|spt|further|becoming|then)\b|"
    r",(?![^.;]*\b(?:n?or)\b)|[.;:]| - ).)*",
    re.IGNORECASE,
)
"""What a "no" denies: to the end of its clause, a list that ends with "or" included; not the reason why something was not done."""
_NOT_BEFORE = pattern_of(r"\b(?:not|never|didn't|wasn't)(?: \w+)?[ -]$", re.IGNORECASE)
_NOT_AFTER = pattern_of(
    r"(?:(?![.;,]| - ).){0,40}?(?:\b(?:not|never)(?: be| been)? "
    r"(?:encounter|met|observ|not|seen|present|found|record|struck|evident|detect|apparent|visible|required|occur)|"
    r"\b(?:none|nil|absent|negligible)\b)",
    re.IGNORECASE,
)
_NOT_STABLE = pattern_of(r"\bnot (?:\w+ )?stable\b", re.IGNORECASE)
_REINSTATED = pattern_of(
    r"\b(?:back ?fill\w*|reinstat\w*|(?:raised|flush) cover|stop ?cock|cover (?:set|installed)|install\w*|cement(?:ed)? (?:in|into))\b",
    re.IGNORECASE,
)
"""Words of a hole that was closed again: its concrete is none of the ground."""
_PIECES: tuple[tuple[str, re.Pattern[str]], ...] = tuple(
    (name, pattern_of(words, re.IGNORECASE))
    for name, words in {
        "cobbles": r"\bcobbles?\b|\bboulders?\b|\bchatter\w*|\bgrinding\b|\bhard drilling\b",
        "boulders": r"\bboulders?\b",
        "obstructions": r"\bobstruct\w*|\bconcrete\b|\bbricks?\b|\bmasonry\b|\btimbers?\b|\brubble\b|"
        r"\bold (?:footings?|foundations?|piles?|slabs?)\b",
    }.items()
)
_LONGEST = 2000
_BREAKS = pattern_of(r"[.;]\s+")


def tag_of(text: str) -> Tag | None:
    """Return what a sentence is evidence of, "none" where it denies it, None where it says nothing of the kind.

    >>> tag_of("Hole collapsing below 4.0m, water added"), tag_of("No voids met"), tag_of("Backfilled with arisings")
    ('collapse', 'none', None)
    """
    said = _said(text[:_LONGEST])
    return next((tag for tag, stated in said.items() if stated), "none" if said else None)


@lru_cache(maxsize=4096)
def tags_of(text: str) -> frozenset[Tag]:
    """Return everything that a remark of one or more sentences is evidence of; what a sentence denies is left out.

    >>> sorted(tags_of("Hole collapsing, water added. No voids met"))
    ['collapse', 'water_added']
    """
    sentences = _BREAKS.split(text[:_LONGEST])
    return frozenset(tag for sentence in sentences for tag, stated in _said(sentence).items() if stated)


def _said(sentence: str) -> dict[Tag, bool]:
    """Return whether a sentence states or denies each thing that it names, the weightiest first."""
    found = {tag: _states(sentence, pattern) for tag, pattern in _TAGS if pattern.search(sentence)}
    if _NOT_STABLE.search(sentence):
        found = {**found, "collapse": True}
    if found.get("obstruction") and not _states(sentence, _UNLESS_CLOSED) and _REINSTATED.search(sentence):
        del found["obstruction"]
    return found


def _states(sentence: str, pattern: re.Pattern[str]) -> bool:
    """Return whether one of the places where a pattern is found is not denied."""
    denied = [_NO_SPAN.match(sentence, match.end()) for match in _NO.finditer(sentence)]
    spans = [span.span() for span in denied if span is not None]
    return any(
        not any(start <= match.start() < end for start, end in spans)
        and not _NOT_BEFORE.search(sentence, 0, match.start())
        and not _NOT_AFTER.match(sentence, match.end())
        for match in pattern.finditer(sentence)
    )


@lru_cache(maxsize=4096)
def pieces_in(text: str) -> frozenset[str]:
    """Return the large pieces that a remark points to: cobbles, boulders, man-made obstructions; not what it denies.

    >>> sorted(pieces_in("drill chatter on a boulder")), sorted(pieces_in("no cobbles; old concrete"))
    (['boulders', 'cobbles'], ['obstructions'])
    """
    sentences = _BREAKS.split(text[:_LONGEST])
    return frozenset(name for name, pattern in _PIECES if any(_states(sentence, pattern) for sentence in sentences))


# ---- Features and origin of a layer by the words of its description, with what the description says is absent


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
    "sand_beds": rf"{_SAND}(?: and {_SAND})? {_BEDS}|{_BEDS} of (?:(?!clay)[\w-]+ ){{0,4}}?{_SAND}",
    "wet_beds": rf"{_WET} (?:[\w-]+ ){{0,3}}?{_SAND}(?: and {_SAND})? {_BEDS}|"
    rf"{_BEDS} of (?:(?!clay)[\w-]+ ){{0,2}}?{_WET} (?:[\w-]+ ){{0,3}}?{_SAND}|{_WET} {_BEDS}",
    "mined": r"(?:mine|old|coal|abandoned|disused|shallow) workings?|workings|worked[- ]out|mined(?:[- ]out)?|"
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
    "sand_beds": "sand silt gravel lens lense seam band layer bed interbed",
    "wet_beds": "wet water saturated lens lense seam band layer bed interbed",
    "karst": "epikarst karst sink doline pinnacl swallow solution dissolution dissolved",
    "coal": "coal lignit anthracit",
    "mined": "stope collapsed flooded mine old coal abandoned disused shallow working goaf gob adit air shaft worked unworked seam crown "
    "pillar room underground long backfill",
}
_ORIGIN_STEMS: dict[str, str] = {
    "fill": "made fill rock landfill land backfill topsoil tarmac macadam asphalt hardcore rubble refuse lean colliery mine dredge quarry "
    "tailings fly flyash pfa cinder ballast rip waste municipal domestic household crushed sub subbase base crusher concrete",
    "glaciofluvial": "glaci fluvio outwash esker",
    "lacustrine": "glacio lacustr varved lake",
    "till": "glacial till boulder moraine",
    "alluvial": "alluvi qal terrace flood fluvial",
    "colluvial": "colluvi slope talus scree head debris",
    "saprolite": "saprol decomposed",
    "residual": "residu",
    "loess": "loess",
    "marine": "marine estuarine",
}
"""What the first word of everything begins with that the pattern of an origin finds."""
_NAMES = {name: frozenset(stems.split()) for name, stems in (_STEMS | _ORIGIN_STEMS).items()}
_BY_STEM: dict[str, tuple[str, ...]] = {
    stem: tuple(name for name, stems in _NAMES.items() if stem in stems) for stem in {stem for stems in _NAMES.values() for stem in stems}
}


@lru_cache(maxsize=4096)
def _named_by(word: str) -> tuple[str, ...]:
    """Return the features and origins that a word in lower case may be part of, by the stem that it begins with, un- and in- aside."""
    forms = [word, *(word[2:] for prefix in ("un", "in") if word.startswith(prefix))]
    return tuple({name for form in forms for end in range(2, len(form) + 1) for name in _BY_STEM.get(form[:end], ())})


@lru_cache(maxsize=2)
def _named_in(lower: str) -> frozenset[str]:
    """Return the features and origins that the words of a lower-case text may be part of; kept for whoever asks next of the same text."""
    return frozenset().union(*map(_named_by, words_of(lower)))


_NOT = pattern_of(
    r"\b(?:no|not|nil|without|absence of|lack of|free of|free from|neither)\b"
    r"(?:(?!\bbut\b|\bwith\b|\bhowever\b|\bbecoming\b)[^.;:(),]|,(?=[^.;:()]*?\b(?:or|nor)\b))*"
)
_DENIALS = ("no", "nil", "without", "absence", "lack", "free", "neither")
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
    named = FEATURES.keys() & _named_in(lower)
    if not named:
        return frozenset(), frozenset()
    denied = [match.span() for match in _NOT.finditer(lower)] if any(map(lower.__contains__, _DENIALS)) else []
    found, absent = set(), set()
    for name in named:
        for match in FEATURES[name].finditer(lower):
            if name == "obstructions" and _only_fragments(lower, match):
                continue
            if name == "organic" and match[0].startswith("wood") and _MADE.search(lower):
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


_ORIGINS: tuple[tuple[str, re.Pattern[str]], ...] = (
    (
        "fill",
        pattern_of(
            r"\b(?<!joint )(?<!possible )(?<!possibly )(?:made ground\b|(?<!clay-)fill\b|rock ?fill\b|land ?fill\b(?! gas)|"
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


def origin_of(lower: str) -> str:
    """Return the origin that the lower-case text names, "unknown" where it names none; made ground goes first.

    >>> origin_of("brown gravelly sand (river terrace deposits)"), origin_of("infilled joints until 3 m")
    ('alluvial', 'unknown')
    """
    possible = _ORIGIN_STEMS.keys() & _named_in(lower)
    if not possible:
        return "unknown"
    if any(map(lower.__contains__, _DENIALS)):
        lower = _NOT.sub(" ", lower)
    return next((name for name, pattern in _ORIGINS if name in possible and pattern.search(lower)), "unknown")
