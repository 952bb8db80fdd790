"""The words of descriptions: nouns with the soil classes that they allow, and words that only qualify them."""

from __future__ import annotations

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
        "gravel": "gravel gravels flints shingle ballast aggregate blaes pumice",
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
