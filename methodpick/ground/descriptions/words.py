"""The words of descriptions: nouns with the soil classes that they allow, and words that only qualify them; slips of the pen; headings.

A slip is a word that decides, with a letter lost, twice or wrong, or two that changed places. A heading stands before the soil of a
layer: a formation, topsoil, a detail at a depth, "layer of".
"""

from __future__ import annotations

import re
from functools import lru_cache

from methodpick.patterns import pattern_of
from methodpick.records import record


def _words(listed: str) -> frozenset[str]:
    return frozenset(listed.split())


def _by_word(listed: dict[str, str]) -> dict[str, str]:
    """Return what each word stands for, from the words listed by what they stand for."""
    return {word: kind for kind, words in listed.items() for word in words.split()}


_WORD = pattern_of(r"[a-z][a-z0-9]*")
LONGEST_TEXT = 2000
"""Letters of a description or a remark that are read: what is longer is no log, and would be read for too long."""


@lru_cache(maxsize=2)
def words_of(lower: str) -> tuple[str, ...]:
    """Return the words of a text in lower case; kept for whoever asks next of the same text.

    >>> words_of("stiff clay, h2s odour")
    ('stiff', 'clay', 'h2s', 'odour')
    """
    return tuple(_WORD.findall(lower))


STOP_WORDS = _words(
    "with containing contains trace some little few occasional frequent rare recovered sampled returned on over overlying in "
    "underlain overlain beneath underneath at below above between including having of from without no not plus within seamed slight odour "
    "odor smell where due "
    "also driller drillers rig auger augers chatter"
)
"""Words after which a description no longer names the main soil."""

INCLUSIONS = _words(
    "lens lenses seam seams band bands parting partings pocket pockets layer layers fragment fragments frags piece pieces nodule "
    "nodules matrix lamina laminae lamination laminations stringer stringers concretion concretions joint joints filled infill "
    "infilling infilled coated coating coatings lined binder size sized veins vein ledge ledges dusting dustings particles inclusions "
    "clasts chips flakes streaks mottling content bearing lithorelicts bedding"
)
"""Words that make the noun before them a part of the layer, not the layer."""

QUALIFIERS = _words(
    "silty clayey sandy gravelly peaty organic lean fat elastic fine coarse medium to very slightly weathered highly moderately "
    "completely partially poorly well graded flint weak strong"
)
"""Words that belong to the noun after them when the deciding words are quoted."""

_ROCKS = {
    kind: kind
    for kind in _words(
        "limestone chalk gypsum anhydrite marble coquina coral sandstone siltstone mudstone claystone shale clayshale slate schist gneiss "
        "basalt conglomerate breccia tuff quartzite pelite psammite phyllite gabbro andesite rhyolite diorite amphibolite coal ironstone "
        "marlstone mylonite serpentinite syenite monzonite trachyte dacite ignimbrite hornfels migmatite argillite gritstone mudrock "
        "pegmatite arkose greenstone calcarenite metasediment travertine peridotite norite tonalite "
        "felsite porphyry obsidian aplite chalcedony lignite"
    )
} | _by_word(
    {
        "dolomite": "dolomite dolostone",
        "salt": "halite",
        "limestone": "limerock tufa oolite clunch cornbrash",
        "mudstone": "lias",
        "claystone": "seatearth seatrock fireclay underclay",
        "sandstone": "ganister sarsen",
        "slate": "killas",
        "coal": "anthracite",
        "basalt": "lava scoria",
        "breccia": "agglomerate",
        "granite": "granite granodiorite",
        "greywacke": "greywacke graywacke",
        "dolerite": "dolerite diabase whinstone",
        "chert": "chert flint",
        "rock": "rock bedrock rocks",
    }
)
_SOILS = _by_word(
    {
        "clay": "clay clays gumbo bentonite gault kaolin",
        "silt": "silt silts diatomite",
        "sand": "sand sands quicksand grus",
        "greensand": "greensand",
        "mud": "mud muds ooze sludge slime",
        "gravel": "gravel gravels flints shingle ballast aggregate blaes pumice chippings scalpings",
        "cobbles": "cobbles cobble cobblestones boulders boulder riprap talus scree",
        "peat": "peat peats muck gyttja humus sapropel muskeg sawdust compost",
        "loam": "loam",
        "loess": "loess",
        "marl": "marl marls",
        "hardpan": "hardpan duripan",
        "caliche": "caliche calcrete ferricrete silcrete duricrust ironpan gypcrete kankar",
        "laterite": "laterite murram moorum bauxite",
        "saprolite": "saprolite",
        "residuum": "residuum regolith",
        "gouge": "gouge",
        "geomaterial": "geomaterial igm",
        "void": "void cavity cavern caverns workings",
        "water": "water",
        "debris": "concrete screed tarmac tarmacadam macadam asphalt bitmac blacktop brick bricks brickwork masonry stonework mortar "
        "pavers paver paviours paviors setts flagstone flagstones kerb kerbs kerbstone kerbstones slab slabs ash ashes cinders clinker "
        "slag refuse rubbish trash garbage debris hardcore timber rubble topsoil paving pavement",
    }
)
NOUNS = _SOILS | {word: f"rock:{kind}" for word, kind in _ROCKS.items()}
"""Every noun that can name a layer, with what it names."""

SOLUBLE = _words("limestone dolomite chalk gypsum anhydrite salt marble coquina coral")
"""Rock types that water dissolves, so that cavities must be thought of."""

WEAK = _words("mudstone claystone shale clayshale chalk marlstone coquina coal")
"""Rock types that are as often intermediate geomaterial as rock, where no strength is logged (own judgement)."""

MUDROCKS = _words("mudstone claystone shale marlstone siltstone")
"""Rock that US logs call soft at 2 to 20 MPa, likely 7 (``rock.py``): more than intermediate geomaterial has."""

STRONG_WHEN_FRESH = _words(
    "basalt granite gabbro dolerite andesite rhyolite diorite gneiss schist slate quartzite amphibolite hornfels greywacke marble syenite "
    "monzonite trachyte dacite granodiorite diabase porphyry felsite phyllite migmatite"
)
"""Crystalline and volcanic rock, which is very weak only where it is weathered."""


@record
class PossibleSoils:
    """The soil classes that words leave possible, and the likeliest of them."""

    soils: frozenset[str]
    likely: str | None


_FINE_AND_COARSE = frozenset({"clay", "silt", "silty_sand", "clean_sand", "silty_gravel", "clean_gravel"})
SOILS_OF_NOUN: dict[str, PossibleSoils] = {
    "clay": PossibleSoils(frozenset({"clay"}), "clay"),
    "silt": PossibleSoils(frozenset({"silt"}), "silt"),
    "cobbles": PossibleSoils(frozenset({"cobbles"}), "cobbles"),
    "peat": PossibleSoils(frozenset({"organic"}), "organic"),
    "loam": PossibleSoils(frozenset({"clay", "silt", "silty_sand"}), "silt"),
    "loess": PossibleSoils(frozenset({"silt"}), "silt"),
    "mud": PossibleSoils(frozenset({"clay", "silt", "organic"}), "clay"),
    "marl": PossibleSoils(frozenset({"clay", "intermediate", "weathered_rock"}), "clay"),
    "hardpan": PossibleSoils(frozenset({"intermediate", "clay", "silty_sand", "silty_gravel"}), "intermediate"),
    "caliche": PossibleSoils(frozenset({"intermediate", "rock"}), "intermediate"),
    "strong caliche": PossibleSoils(frozenset({"intermediate", "rock"}), "rock"),
    "laterite": PossibleSoils(frozenset({"silty_gravel", "intermediate", "clay"}), "silty_gravel"),
    "saprolite": PossibleSoils(frozenset({"silt", "silty_sand", "clay", "weathered_rock"}), "silt"),
    "residuum": PossibleSoils(frozenset({"silt", "silty_sand", "clay"}), "silt"),
    "gouge": PossibleSoils(frozenset({"weathered_rock", "clay", "silty_gravel"}), "weathered_rock"),
    "geomaterial": PossibleSoils(frozenset({"intermediate"}), "intermediate"),
    "void": PossibleSoils(frozenset({"void"}), "void"),
    "water": PossibleSoils(frozenset({"void"}), "void"),
    "debris": PossibleSoils(_FINE_AND_COARSE | {"cobbles"}, "clean_gravel"),
    "till": PossibleSoils(frozenset({"clay", "silt", "silty_sand", "silty_gravel"}), None),
    "fill": PossibleSoils(_FINE_AND_COARSE | {"cobbles"}, "silty_sand"),
    "greensand": PossibleSoils(frozenset({"silty_sand", "clean_sand", "weathered_rock"}), "silty_sand"),
    "shells": PossibleSoils(frozenset({"clean_gravel", "silty_gravel", "clean_sand"}), "clean_gravel"),
    "tailings": PossibleSoils(frozenset({"silt", "silty_sand", "clay"}), "silt"),
    "topsoil": PossibleSoils(frozenset({"clay", "silt", "silty_sand", "organic"}), "silt"),
    "alluvium": PossibleSoils(_FINE_AND_COARSE | {"organic"}, None),
}
"""Soil classes by noun; hardpan, marl, loam and the likely class of fill and residual soil are own judgement, no source."""
NAMED_WITHOUT_NOUN = (
    ("topsoil", "topsoil"),
    ("turf", "topsoil"),
    ("made ground", "fill"),
    ("fill", "fill"),
    ("spoil", "fill"),
    ("till", "till"),
    ("glacial drift", "till"),
    ("moraine", "till"),
    ("alluvium", "alluvium"),
    ("residual", "residuum"),
    ("colluvium", "alluvium"),
    ("tailings", "tailings"),
    ("dredged", "fill"),
    ("lahar", "alluvium"),
    ("pyroclastic", "alluvium"),
    ("shells?", "shells"),
    ("debris flow", "alluvium"),
    ("slide debris", "alluvium"),
)
"""Words that name a layer where no noun does, with the noun whose classes they have."""


_TARGETS = _words(
    "gravel gravelly cobbles boulders limestone sandstone mudstone siltstone claystone concrete topsoil alluvium colluvium ground medium "
    "weathered organic fissured masonry cemented granite basalt residual laminated saturated decomposed dolomite hardcore tarmac asphalt"
)
_SHORT_TARGETS = _words(
    "clay silt sand peat chalk sandy silty stiff dense loose clayey shale rubble timber brick cavity soft firm hard very weak strong"
)
"""Words in which a letter lost or written twice, or two that changed places, are a slip: a wrong letter makes another word."""
_GRADES = _words("dense loose stiff firm")
"""Words with no other ending of their own, so that one with a letter at its end is a slip."""
_OTHER_WORDS = _words(
    "gravels grounds grounded organics fissures weathers laminate laminates cobbled cobbly bouldery granites limestones sandstones "
    "mudstones siltstones claystones concretes concreted topsoils organism asphaltic slit basalts fissure saturate decompose "
    "lay cay sit sad pat pet calk tiff dene lose fir had sale sting veer stong wek car cavit rick tier time rubbe"
)
_NO_SLIPS = _words("grave gavel basal")
"""Words of five letters that are other words with a letter more."""
_KNOWN = frozenset(NOUNS) | INCLUSIONS | QUALIFIERS | STOP_WORDS | _TARGETS | _SHORT_TARGETS | _OTHER_WORDS


def _without_a_letter(word: str) -> set[str]:
    return {word[:place] + word[place + 1 :] for place in range(len(word))}


_BY_LOST_LETTER: dict[str, list[str]] = {}
for _target in _TARGETS:
    for _part in {_target, *_without_a_letter(_target)}:
        _BY_LOST_LETTER.setdefault(_part, []).append(_target)


def _slips_of(target: str) -> set[str]:
    """Return the short word with a letter written twice, two letters changed, or one letter but the first lost."""
    places = range(len(target))
    doubled = {target[:place] + target[place] + target[place:] for place in places}
    swapped = {target[:place] + target[place + 1] + target[place] + target[place + 2 :] for place in places[:-1]}
    lost = {target[:place] + target[place + 1 :] for place in places[1:]}
    ended = {target + "s", target + "d"} if target in _GRADES else set()
    return (doubled | swapped | lost | ended) - {target}


_SHORT_SLIPS = {slip: target for target in sorted(_SHORT_TARGETS) for slip in _slips_of(target)}


def corrected(word: str) -> str | None:
    """Return the word that a lower-case word with one slip stands for, None where it is a word itself or nothing is near.

    >>> corrected("caly"), corrected("gravle"), corrected("grave"), corrected("travel")
    ('clay', 'gravel', None, None)
    """
    if word in _KNOWN:
        return None
    if (target := _SHORT_SLIPS.get(word)) is not None:
        return target
    if len(word) < 5 or word in _NO_SLIPS:
        return None
    near = {target for part in {word, *_without_a_letter(word)} for target in _BY_LOST_LETTER.get(part, ())}
    return next(
        (
            target
            for target in sorted(near, key=lambda near: (near[-1] != word[-1], near))
            if word[0] == target[0] and _is_one_slip(word, target) and (len(word) > 5 or len(target) > 5)
        ),
        None,
    )


def _is_one_slip(word: str, target: str) -> bool:
    """Return whether one letter lost, added or wrong, or two that changed places, part a word from its target."""
    start = 0
    while start < min(len(word), len(target)) and word[start] == target[start]:
        start += 1
    rest, wanted = word[start:], target[start:]
    swapped = len(rest) > 1 and len(wanted) > 1 and rest[1] + rest[0] + rest[2:] == wanted
    return swapped or rest[1:] == wanted[1:] or rest == wanted[1:] or rest[1:] == wanted


_TOPSOIL_LABEL = pattern_of(
    r"(?is)^\W*(?:(?:grass|turf)(?: over| on| onto)? )?top ?soil\s*(?:[:(\N{EN DASH}-]|(?:composed |consisting )?of\b)\s*"
    r"(?=.*\b(?:clay|silt|sand|gravel|peat)s?\b)"
)
"""Topsoil as a heading before what it is made of."""
_FORMATION = pattern_of(
    r"(?is)^\W*[\w' ]{3,40}?\b(?:formation|group|beds|measures|series|mercia mudstone|keuper marl|etruria marl)\s*(?::|-\s|,)\s*"
    r"(?=.*\b(?:clay|silt|sand|gravel|\w*stone|shale|chalk|marl|peat|cobbles|rock)s?\b)"
)
"""The name of a formation before what was met of it."""
_FORMATION_WORDS = frozenset({"formation", "group", "beds", "measures", "series", "mudstone", "marl"})
_LAYER_OF = pattern_of(
    r"^\W*(?:[\d.]+[ '\"-]*(?:ft|feet|foot|in|inch|m|mm|cm)?[ .-]*)?(?:thick |thin )*(?:layer|band|bed|seam|zone) of (?=\w+ )",
    re.IGNORECASE,
)
"""What a layer is called before what it is made of: "2-ft layer of dense sand"."""
_DETAIL_FIRST = pattern_of(r"^\W*(?:(?:at|between|from|below)\s+\d[^:;]{0,20}:.*?(?:[.;]\s+|$))+", re.IGNORECASE | re.DOTALL)
"""Details at a depth that stand before the layer itself: "At 5.60m: pocket of clay. Dense GRAVEL"."""
_FIRST_OF_DETAIL = ("at", "between", "from", "below", "thick", "thin", "layer", "band", "bed", "seam", "zone")
"""What a text begins with that begins with a letter and in which either pattern finds something."""


_WHAT_LIES_BELOW = pattern_of(r"[,;.]\s+[^,;.]*\b(?:under|underneath|beneath)\W*$", re.IGNORECASE)
"""Last words of a layer that tell of the next: "old foundation; soft clay under"."""


def without_heading(text: str, lower: str) -> str:
    """Return the text without the formation or the topsoil that heads it, where the soil itself follows; ``lower`` is all in lower case.

    >>> without_heading("Thanet Formation: dense SAND", "thanet formation: dense sand")
    'dense SAND'
    """
    if not _FORMATION_WORDS.isdisjoint(words_of(lower)):
        text = _without(_FORMATION, text)
    return _without(_TOPSOIL_LABEL, text) if "top" in lower else text


def without_detail(text: str) -> str:
    """Return the text without the details at a depth and the "layer of" that stand before its soil, and without what lies below it.

    >>> without_detail("At 5.60m: pocket of clay. Layer of dense GRAVEL"), without_detail("Brick wall; soft clay under")
    ('dense GRAVEL', 'Brick wall')
    """
    lower = text.lower()
    if "under" in lower or "beneath" in lower:
        below = _WHAT_LIES_BELOW.search(text)
        if below is not None and names_a_soil(text[: below.start()]):
            text = text[: below.start()]
    if text[:1].isalpha() and not lower.startswith(_FIRST_OF_DETAIL):
        return text
    rest = _without(_DETAIL_FIRST, text)
    return _without(_LAYER_OF, rest if rest != text and names_a_soil(rest) else text)


def _without(pattern: re.Pattern[str], text: str) -> str:
    found = pattern.match(text)
    return text if found is None else text[found.end() :]


def names_a_soil(text: str) -> bool:
    """Return whether a noun of the ground stands in a text."""
    return any(word.lower() in NOUNS for word in re.findall(r"[A-Za-z]+", text))
