"""The words of descriptions: nouns with the soil classes that they allow, words that only qualify them, and the words of made ground."""

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
        "claystone": "seatearth",
        "sandstone": "ganister greensand sarsen",
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
        "sand": "sand sands quicksand",
        "mud": "mud muds ooze sludge slime",
        "gravel": "gravel gravels flints shingle ballast aggregate blaes",
        "cobbles": "cobbles cobble cobblestones boulders boulder riprap talus scree",
        "peat": "peat peats muck gyttja humus sapropel muskeg sawdust",
        "loam": "loam",
        "loess": "loess",
        "marl": "marl marls",
        "hardpan": "hardpan duripan",
        "caliche": "caliche calcrete ferricrete silcrete duricrust ironpan",
        "laterite": "laterite",
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
    "topsoil": PossibleSoils(frozenset({"clay", "silt", "silty_sand", "organic"}), "silt"),
    "alluvium": PossibleSoils(_FINE_AND_COARSE | {"organic"}, None),
}
"""Soil classes by noun; hardpan, marl, loam and the likely class of fill and residual soil are own judgement, no source."""


# ---- Made ground: slabs and walls, what fill behaves as by what it is made of, and fill of broken rock (own judgement)


_PIECES: tuple[tuple[re.Pattern[str], PossibleSoils], ...] = tuple(
    (pattern_of(rf"\b(?:{words})\b"), PossibleSoils(frozenset({likely, *others}), likely))
    for words, likely, others in (
        ("stones?|bricks?|brickwork|masonry|concrete|rubble|hardcore|demolition", "clean_gravel", ("cobbles", "silty_gravel")),
        ("slag|clinker", "clean_gravel", ("clean_sand", "cobbles")),
        ("ash|ashes|cinders", "silty_sand", ("silt", "clean_sand", "clean_gravel")),
        (
            "refuse|garbage|rubbish|trash|household|landfill|(?:domestic|municipal) waste",
            "organic",
            ("clay", "silt", "silty_sand", "clean_gravel", "cobbles"),
        ),
        ("tarmac\\w*|macadam|asphalt|bitmac|paving|pavement", "clean_gravel", ("cobbles",)),
    )
)
_SLAB = pattern_of(
    r"\b(?:concrete|lean mix|screed|mortar|brick ?work|brick|masonry|stonework|tarmac\w*|macadam|asphalt|bitmac|"
    r"bituminous|blacktop|paving|pavement|"
    r"pavers?|paviou?rs?|setts|flagstones?|kerb(?:stone)?s?|slabs?|walls?)\b"
)
_BROKEN = pattern_of(
    r"\b(?:rubble|crushed|broken|fragments?|pieces?|lumps?|demolition|debris|hardcore|bricks(?! and mortar)|"
    r"ash|ashes|ashy|cinders?|clinker|slag|waste|refuse|"
    r"back-?fill(?:ed)?|gravel|cobbles?|boulders?|planings|milled|millings|crumbly?|timber|wood|loose|sandy|clayey|silty|gravelly|"
    r"brick and(?! mortar)|and brick|brick,|and concrete|concrete,? (?:and )?(?:brick|timber|steel|metal|glass))\b|, brick\b"
)
_HARD = PossibleSoils(frozenset({"cobbles", "clean_gravel"}), "cobbles")
"""A slab, wall or pavement: it is cored or broken out in pieces like boulders, and what is left of it does not hold a wall."""
_AFTER = pattern_of(r"\b(?:over|overlying|on|above|onto|with|underlain)\b|[.;]\s")
_MADE_OF = pattern_of(
    r"^\W*(?:(?!joint|with|vein|crack|fissure|fracture|cavit|void|over|on)\w+ ){0,5}(?:made ground|back-?fill(?:ed)?|fill)\b|"
    r"[(\[](?:[\w ]*\b)?(?:made ground|fill)[)\]]|\bmade ground\s*\.?$"
)
_BROKEN_ROCK = PossibleSoils(frozenset({"clean_gravel", "silty_gravel", "cobbles"}), "clean_gravel")


def soil_of_pieces(lower: str) -> PossibleSoils | None:
    """Return what ground without a soil noun behaves as by what it is made of; None where no word of the lower-case text says so.

    A whole slab, wall or pavement is hard; of pieces the first word that names them decides.

    >>> soil_of_pieces("reinforced concrete slab").likely, soil_of_pieces("brick and concrete rubble").likely
    ('cobbles', 'clean_gravel')
    """
    first = _AFTER.split(lower, maxsplit=1)[0]
    if _SLAB.search(first) and not _BROKEN.search(first):
        return _HARD
    found = [(match.start(), kind) for pattern, kind in _PIECES if (match := pattern.search(lower))]
    return min(found, key=lambda place: place[0])[1] if found else None


_TIMBER = pattern_of(
    r"\W*(?:\w+ ){0,2}?(?:timbers?|wood(?:en)?) ?"
    r"(?:(?:piles?|pilings?|crib\w*|walls?|lagging|sheeting|posts?|mattress|beams?|logs?|props?|planks?)\b|\W*(?:encountered|met)?\W*$)"
)


def is_timber(lower: str) -> bool:
    """Return whether a lower-case text that names no soil is of a work of timber: an obstruction, and no ground.

    >>> is_timber("old timber pile encountered"), is_timber("fill of timber and brick")
    (True, False)
    """
    return _TIMBER.match(lower) is not None


def is_slab(lower: str) -> bool:
    """Return whether a lower-case text that names no soil first names a whole slab, wall or pavement.

    >>> is_slab("tarmacadam over sub-base"), is_slab("fill of brick and concrete rubble")
    (True, False)
    """
    return soil_of_pieces(lower) is _HARD


def rock_in_fill(lower: str) -> PossibleSoils | None:
    """Return the soil of made ground that names rock alone: broken stone; None where the lower-case text is not of made ground.

    >>> rock_in_fill("fill: limestone, angular").likely, rock_in_fill("limestone, joints with clay fill")
    ('clean_gravel', None)
    """
    return _BROKEN_ROCK if _MADE_OF.search(lower) else None
