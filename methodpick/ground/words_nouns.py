"""Nouns of soil and rock descriptions: what each allows a layer to be, and the words that set a noun aside."""

from __future__ import annotations

from dataclasses import dataclass

_FINE_AND_COARSE = frozenset({"clay", "silt", "silty_sand", "clean_sand", "silty_gravel", "clean_gravel"})

STOPS = frozenset({
    "with", "containing", "contains", "trace", "some", "little", "few", "occasional", "frequent", "rare",
    "recovered", "sampled", "returned", "on", "over", "overlying", "in", "underlain", "at", "below", "above",
    "between", "including", "having", "of", "from", "without", "no", "not", "plus", "within", "seamed", "slight",
    "odour", "odor", "smell", "where", "due", "also"})
"""Words after which a description no longer names the main soil."""

INCLUSIONS = frozenset({
    "lens", "lenses", "seam", "seams", "band", "bands", "parting", "partings", "pocket", "pockets", "layer",
    "layers", "fragment", "fragments", "frags", "piece", "pieces", "nodule", "nodules", "matrix", "lamina",
    "laminae", "lamination", "laminations", "stringer", "stringers", "concretion", "concretions", "joint", "joints",
    "filled", "infill", "infilling", "infilled", "coated", "coating", "coatings", "lined", "binder", "size",
    "sized", "veins", "vein", "ledge", "ledges", "dusting", "dustings", "particles", "inclusions", "clasts",
    "chips", "flakes", "streaks", "mottling", "content", "bearing"})
"""Words that make the noun before them a part of the layer, not the layer."""

_ROCKS = {
    "limestone": "limestone", "dolomite": "dolomite", "dolostone": "dolomite", "chalk": "chalk", "gypsum": "gypsum",
    "anhydrite": "anhydrite", "halite": "salt", "marble": "marble", "coquina": "coquina", "coral": "coral",
    "sandstone": "sandstone", "siltstone": "siltstone", "mudstone": "mudstone", "claystone": "claystone",
    "shale": "shale", "clayshale": "clayshale", "slate": "slate", "schist": "schist", "gneiss": "gneiss",
    "granite": "granite", "basalt": "basalt", "conglomerate": "conglomerate", "breccia": "breccia", "tuff": "tuff",
    "quartzite": "quartzite", "greywacke": "greywacke", "graywacke": "greywacke", "pelite": "pelite",
    "psammite": "psammite", "phyllite": "phyllite", "dolerite": "dolerite", "diabase": "dolerite", "gabbro": "gabbro",
    "andesite": "andesite", "rhyolite": "rhyolite", "diorite": "diorite", "granodiorite": "granite",
    "amphibolite": "amphibolite", "coal": "coal", "ironstone": "ironstone", "chert": "chert", "flint": "chert",
    "marlstone": "marlstone", "mylonite": "mylonite", "serpentinite": "serpentinite", "rock": "rock",
    "bedrock": "rock", "rocks": "rock",
}
SOLUBLE = frozenset({"limestone", "dolomite", "chalk", "gypsum", "anhydrite", "salt", "marble", "coquina", "coral"})
"""Rock types that water dissolves, so that cavities must be thought of."""

WEAK = frozenset({"mudstone", "claystone", "shale", "clayshale", "chalk", "marlstone", "coquina", "coal"})
"""Rock types that are as often intermediate geomaterial as rock, where no strength is logged (own judgement)."""

NOUNS: dict[str, str] = {
    **dict.fromkeys(("clay", "clays", "gumbo", "bentonite"), "clay"),
    **dict.fromkeys(("silt", "silts"), "silt"),
    **dict.fromkeys(("sand", "sands", "quicksand"), "sand"),
    **dict.fromkeys(("gravel", "gravels", "shingle", "ballast"), "gravel"),
    **dict.fromkeys(("cobbles", "cobble", "boulders", "boulder", "riprap", "talus", "scree"), "cobbles"),
    **dict.fromkeys(("peat", "peats", "muck", "gyttja", "humus", "lignite"), "peat"),
    "loam": "loam", "loess": "loess", "marl": "marl", "marls": "marl", "hardpan": "hardpan", "duripan": "hardpan",
    "caliche": "caliche", "calcrete": "caliche", "saprolite": "saprolite", "residuum": "residuum",
    **dict.fromkeys(("void", "cavity", "cavern", "workings"), "void"),
    "water": "water",
    **dict.fromkeys((
        "concrete", "tarmac", "tarmacadam", "macadam", "asphalt", "bitmac", "brick", "bricks", "masonry", "ash",
        "ashes", "cinders", "clinker", "slag", "refuse", "debris", "hardcore", "timber", "rubble", "topsoil", "paving",
        "pavement"), "debris"),
    **{word: f"rock:{kind}" for word, kind in _ROCKS.items()},
}
"""Every noun that can name a layer, with its kind."""


@dataclass(frozen=True, slots=True)
class Kind:
    """What a kind of noun allows when no other word narrows it."""

    soils: frozenset[str]
    likely: str | None


QUALIFIERS = frozenset({
    "silty", "clayey", "sandy", "gravelly", "peaty", "organic", "lean", "fat", "elastic", "fine", "coarse", "medium",
    "to", "very", "slightly", "weathered", "highly", "moderately", "completely", "partially", "poorly", "well",
    "graded", "flint", "weak", "strong"})
"""Words that belong to the noun after them when the deciding words are quoted."""

KINDS: dict[str, Kind] = {
    "clay": Kind(frozenset({"clay"}), "clay"),
    "silt": Kind(frozenset({"silt"}), "silt"),
    "cobbles": Kind(frozenset({"cobbles"}), "cobbles"),
    "peat": Kind(frozenset({"organic"}), "organic"),
    "loam": Kind(frozenset({"clay", "silt", "silty_sand"}), "silt"),
    "loess": Kind(frozenset({"silt"}), "silt"),
    "marl": Kind(frozenset({"clay", "intermediate", "weathered_rock"}), "clay"),
    "hardpan": Kind(frozenset({"intermediate", "clay", "silty_sand", "silty_gravel"}), "intermediate"),
    "caliche": Kind(frozenset({"intermediate", "rock"}), "intermediate"),
    "saprolite": Kind(frozenset({"silt", "silty_sand", "clay", "weathered_rock"}), "silt"),
    "residuum": Kind(frozenset({"silt", "silty_sand", "clay"}), "silt"),
    "void": Kind(frozenset({"void"}), "void"),
    "water": Kind(frozenset({"water"}), "water"),
    "debris": Kind(_FINE_AND_COARSE | {"cobbles"}, "clean_gravel"),
    "till": Kind(frozenset({"clay", "silt", "silty_sand", "silty_gravel"}), None),
    "fill": Kind(_FINE_AND_COARSE | {"cobbles"}, "silty_sand"),
    "topsoil": Kind(frozenset({"clay", "silt", "silty_sand", "organic"}), "silt"),
    "alluvium": Kind(_FINE_AND_COARSE | {"organic"}, None),
}
"""Sets by kind; hardpan, marl, loam and the likely class of fill and residual soil are own judgement, no source."""
