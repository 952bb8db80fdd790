"""Facts of a stratum that do not change with depth inside it: class, tests, strength, weight, permeability."""

from __future__ import annotations

import re
from collections.abc import Callable

from methodpick.facts.cone import put_cone_density, put_cone_strength
from methodpick.facts.penetration_tests import (
    Surroundings,
    put_carried_strength,
    put_counts,
    put_friction,
    put_grades,
    put_overburden_strength,
    put_strength,
    put_tested_consistency,
)
from methodpick.facts.sheet import FactSheet, Frame, by_table
from methodpick.facts.strata import ReadingRules, Stratum, filled_slots_in, inflow_span_of, is_fill, names_coal, span_of, word_of_run
from methodpick.ground.descriptions.rock import STRENGTH_SOURCE, strength_of_words
from methodpick.mechanics.emptied_hole import hazen
from methodpick.patterns import pattern_of
from methodpick.terms import COHESIVE, GRANULAR, ROCK, ROCK_LIKE
from methodpick.vocabulary.values import FALSE, TRUE, Choice, Span, from_bool, known, likely_bool, ordered

_ORIGINS = {"unknown": None}
_FEATURES = {
    "fissured": ("fissured", "slickensided", "crushed"),
    "sensitive": ("sensitive",),
    "cemented": ("cemented",),
    "slaking": ("slaking",),
    "swelling": ("swelling",),
    "collapsible": ("collapsible",),
    "jointed": ("jointed",),
    "cavities": ("cavities", "mined", "vuggy"),
    "cobbles": ("cobbles", "boulders"),
    "boulders": ("boulders",),
    "crushed": ("crushed",),
    "obstructions": ("obstructions",),
    "gas": ("gas", "organic"),
    "open_ground": ("open",),
}
SLAKES = frozenset({"shale", "clayshale", "mudstone", "claystone", "marlstone"})
"""Rock that slakes or softens in water and air more often than not (common practice, no source)."""
NEVER_SLAKES = frozenset({"granite", "gneiss", "quartzite", "diorite", "gabbro"})
"""Rock without clay while it is not decomposed: slaking is a matter of clay-bearing rock (Franklin and Chandra 1972, from memory)."""
_ALTERED = pattern_of(
    r"\b(?:clay|kaolin|altered|alteration|argilli|chlorit|sericit|serpentin|decompos|disintegrat|gouge|fault|shear)", re.IGNORECASE
)
"""Words by which such rock may hold clay all the same."""
_HOLDS_BEDS = COHESIVE | {"silt", "intermediate"}
"""Ground in which beds of sand, gravel or silt are another ground."""
COALS = frozenset({"coal", "lignite"})
"""Rock that burns: it gives off gas, and was mined."""
_SLAB = {"cobbles": TRUE, "boulders": TRUE, "cemented": TRUE, "open_ground": FALSE, "obstructions": TRUE}
"""A slab, wall or pavement stops augers and casing as a boulder does, stands while it is cored or broken out, and takes no fluid."""
_LOOSE = {"cemented": ("loose",), "jointed": ("massive",)}


def of_ground(frame: Frame, sheet: FactSheet, stratum: Stratum, around: Surroundings) -> None:
    """Write the logged and tested facts of a stratum, then what the class tables add."""
    sheet.put("logged", from_bool(stratum.logged), "logged", "boring log")
    if not stratum.logged:
        return
    words, layer = stratum.words, stratum.layer
    sheet.put("soil", Choice(words.soils, words.likely), "logged", words.evidence)
    origin = words.origin if layer.origin == "unknown" else layer.origin
    if origin and origin != "unknown":
        sheet.put("origin", known(origin), "logged", "description")
    told = frame.site.contamination.strip().lower()
    contaminated = told not in {"none", "unknown"}
    named = told != "none" and "contaminated" in words.features | set(layer.features)
    sheet.put(
        "contaminated_fill",
        # Rock has oil and tar of its own, and no casing goes ahead through it: the doubt stays open for the engineer and the permit.
        likely_bool(False) if named and stratum.likely == "rock" else from_bool(named or (contaminated and origin == "fill")),
        "derived",
        "site file and description",
        ("contamination", "origin"),
    )
    _features(sheet, stratum)
    sheet.put("british_words", from_bool(words.british), "logged", "capitals of the log")
    _rock(frame, sheet, stratum)
    put_counts(frame, sheet, stratum, around)
    put_grades(frame, sheet, stratum)
    put_cone_density(frame, sheet, stratum, around)
    put_overburden_strength(frame, sheet, stratum, around)


def _features(sheet: FactSheet, stratum: Stratum) -> None:
    has = stratum.words.features | set(stratum.layer.features)
    lacks = stratum.words.absent | set(stratum.layer.absent)
    for fact, marks in _FEATURES.items():
        if fact == "cavities" and "vuggy" in has and not has & {"cavities", "mined"}:
            sheet.put(fact, likely_bool(False), "logged", "vuggy: small holes of solution, perhaps larger ones near")
        elif has.intersection(marks):
            sheet.put(fact, TRUE, "logged", "description or features")
        elif lacks.intersection(marks) or (fact == "jointed" and "massive" in has):
            sheet.put(fact, FALSE, "logged", "description or features")
    if "crushed" not in sheet.facts:
        sheet.put("crushed", FALSE, "derived", "the log calls it neither crushed nor sheared")
    if names_coal(stratum) and "gas" not in sheet.facts:
        sheet.put("gas", TRUE if stratum.words.rock_type in COALS else likely_bool(True), "logged", "coal in the description or features")
    _made_ground(sheet, stratum)
    _pores(sheet, stratum)
    _cementation(sheet, has)
    if "cemented" not in sheet.facts and stratum.soils - ROCK:
        sheet.put("cemented", likely_bool(False), "derived", "the log does not call it cemented")
    if "slaking" not in sheet.facts and stratum.soils & ROCK and stratum.words.rock_type in SLAKES:
        sheet.put("slaking", likely_bool(True), "derived", f"{stratum.words.rock_type} slakes more often than not")
    if "slaking" not in sheet.facts and stratum.soils == {"rock"} and _without_clay(stratum):
        sheet.put("slaking", FALSE, "derived", f"{stratum.words.rock_type} has no clay that slakes")
    if stratum.soils == {"void"}:
        sheet.put("cavities", TRUE, "logged", "void logged")
    if stratum.soils & (ROCK | {"void"}):
        soluble = stratum.words.soluble or bool(has & {"karst"})
        sheet.put("soluble", from_bool(soluble), "logged", "rock type")
    elif stratum.soils:
        sheet.put("soluble", FALSE, "logged", "soil")
    sheet.put("filled_slots", filled_slots_in(stratum), "logged", "description")
    sheet.put(
        "decomposed", from_bool("weathered_rock" in stratum.soils and bool(stratum.soils - ROCK_LIKE)), "derived", stratum.words.evidence
    )
    _beds(sheet, stratum, has)
    _stones(sheet, stratum, has)
    sheet.put("organic_words", from_bool("organic" in has), "logged", "description, symbol or features")
    sheet.put("open_words", from_bool("open" in has), "logged", "description or features")
    sheet.put("frozen", from_bool("frozen" in has), "logged", "description or features")
    sheet.put("slide_signs", from_bool("slide" in has or sheet.value("origin") == known("colluvial")), "logged", "description or features")


def _without_clay(stratum: Stratum) -> bool:
    return stratum.words.rock_type in NEVER_SLAKES and not _ALTERED.search(stratum.layer.description)


def _beds(sheet: FactSheet, stratum: Stratum, has: set[str] | frozenset[str]) -> None:
    """Write whether fissures, laminae, seams or beds cut the ground, and whether the seams are wet."""
    beds = has & {"sand_beds", "wet_beds"} and stratum.soils & _HOLDS_BEDS
    fabric = has & {"fissured", "slickensided", "laminated"} or stratum.layer.seams or beds
    seamed = TRUE if fabric else likely_bool(False) if sheet.value("origin") == known("till") else FALSE
    sheet.put("open_fabric", seamed, "logged", "words and seams of the log; till holds lenses that borings miss")
    wet = [seam for seam in stratum.layer.seams if seam.wet is not False]
    if wet or beds:
        sure = any(seam.wet for seam in wet) or "wet_beds" in has
        sheet.put("wet_seams", TRUE if sure else likely_bool(True), "logged", "seams of the log" if wet else "beds in the words of the log")


_SANDS = frozenset({"clean_sand", "silty_sand"})
_FINE = pattern_of(r"\bfine(?:[ -](?:to|and)[ -](?:fine|medium))?(?:[ -]grained)? (?:[\w-]+ ){0,2}?sands?\b")
_MATRIX = pattern_of(r"\b(?:matrix|sandy|silty|clayey|with (?:\w+ ){0,3}?(?:sand|silt|clay))\b(?! (?:is )?(?:washed|missing|absent))")
_COARSE = pattern_of(r"\b(?:coarse|gravel\w*|cobbl\w*|shell\w*)\b")


def _is_fine(lower: str) -> bool:
    """Return whether a description calls a sand fine, or fine to medium, and names no coarser grains.

    >>> _is_fine("dense grey fine to medium sand, wet"), _is_fine("fine to coarse sand"), _is_fine("fine sand, trace gravel")
    (True, False, False)
    """
    return _FINE.search(lower) is not None and _COARSE.search(lower) is None


def _stones(sheet: FactSheet, stratum: Stratum, has: set[str] | frozenset[str]) -> None:
    """Write whether the log names cobbles or boulders, and whether it calls the cobbles few.

    Where it does not count them they likely are, unless penetration tests were refused among them.
    """
    sheet.put("stones_named", from_bool(bool(has & {"cobbles", "boulders"})), "logged", "description or features")
    uncounted = "cobbles" in has and not has & {"few_cobbles", "many_cobbles", "boulders"} and stratum.likely != "cobbles"
    few = from_bool("few_cobbles" in has and not has & {"many_cobbles", "boulders"})
    refused = any(test.refusal for test in stratum.spt)
    sheet.put("stones_few", likely_bool(not refused) if uncounted else few, "logged", "description")


def _pores(sheet: FactSheet, stratum: Stratum) -> None:
    """Write whether stones or sand hold a fluid, where their words say what lies between the grains."""
    if "open_ground" in sheet.facts:
        return
    lower = stratum.layer.description.lower()
    if stratum.soils == {"cobbles"} and _MATRIX.search(lower):
        sheet.put("open_ground", likely_bool(False), "logged", "its words name a matrix between the stones")
    if stratum.soils <= _SANDS and _is_fine(lower):
        sheet.put("open_ground", FALSE, "logged", "fine to medium by its words: its pores are too small to drink a fluid")


def _cementation(sheet: FactSheet, has: set[str] | frozenset[str]) -> None:
    """Write the degree of cementation; what is only weakly cemented is not counted on below the water."""
    if "weakly_cemented" in has:
        sheet.put("cementation", known("slight"), "logged", "weakly cemented")
        sheet.put("cemented", likely_bool(False), "logged", "weakly cemented")
    elif "cemented" in sheet.facts:
        answer = sheet.choice("cemented").values
        sheet.put("cementation", known("moderate" if answer == {"yes"} else "uncemented"), "logged", "description or features")
    else:
        sheet.put("cementation", known("uncemented"), "derived", "the log names no cement")


def of_numbers(frame: Frame, sheet: FactSheet, stratum: Stratum, around: Surroundings) -> None:
    """Write the measured numbers of a stratum, then what class tables say where no test does."""
    layer = stratum.layer
    for fact, band in (
        ("su_kpa", layer.su_kpa),
        ("phi_deg", layer.phi_deg),
        ("unit_weight_kn_m3", layer.unit_weight_kn_m3),
        ("fines_percent", layer.fines_percent),
        ("pi_percent", layer.pi_percent),
        ("d10_mm", layer.d10_mm),
        ("permeability_m_s", layer.permeability_m_s),
        ("cohesion_available_kpa", layer.cohesion_kpa),
    ):
        if band is not None:
            span = inflow_span_of(band) if fact in {"permeability_m_s", "d10_mm"} else span_of(band)
            sheet.put(fact, span, "tested", "boring log")
    put_tested_consistency(frame, sheet, stratum)
    _plastic_fines(frame, sheet, stratum)
    if "fines_percent" not in sheet.facts and stratum.words.fines is not None:
        low, likely, high = stratum.words.fines
        sheet.put("fines_percent", Span(low, high, likely), "derived", "by definition of the class", ("soil",))
    _rock_mass(frame, sheet, stratum)
    if _wants_strength(sheet, stratum):
        put_strength(frame, sheet, stratum)
        put_carried_strength(frame, sheet, stratum, around.over, around.aquifer)
        put_cone_strength(sheet, stratum, around.over)
    _fill_in(frame, sheet, stratum)


_KINDS = {
    **dict.fromkeys(("sandstone", "quartzite", "greywacke", "psammite", "conglomerate", "breccia"), "sandstone"),
    **dict.fromkeys(("mudstone", "claystone", "shale", "clayshale", "siltstone", "marlstone", "slate", "pelite", "phyllite"), "mudrock"),
    **dict.fromkeys(("limestone", "dolomite", "marble", "coquina", "coral"), "carbonate"),
    **dict.fromkeys(("basalt", "andesite", "tuff", "rhyolite"), "volcanic"),
    **dict.fromkeys(
        ("granite", "gneiss", "schist", "diorite", "gabbro", "dolerite", "amphibolite", "mylonite", "serpentinite"), "crystalline"
    ),
    **dict.fromkeys(("gypsum", "anhydrite", "salt"), "soluble_salt"),
    "chalk": "chalk",
    **dict.fromkeys(COALS, "coal"),
}


def _rock(frame: Frame, sheet: FactSheet, stratum: Stratum) -> None:
    """Write what words and cores say of ground that is or may be rock: kind, recovery, RQD and strength."""
    if not stratum.soils & ROCK_LIKE:
        sheet.put("rock_kind", known("no_rock"), "logged", stratum.words.evidence)
        return
    sheet.put("rock_kind", known(_KINDS.get(stratum.words.rock_type, "other")), "logged", stratum.words.evidence)
    layer, runs = stratum.layer, stratum.cores
    for fact, band in (("rqd_percent", layer.rqd_percent), ("recovery_percent", layer.recovery_percent), ("ucs_kpa", layer.ucs_kpa)):
        if band is not None:
            sheet.put(fact, span_of(band), "tested", "boring log")
    for fact, values in (
        ("rqd_percent", [run.rqd_percent for run in runs if run.rqd_percent is not None]),
        ("recovery_percent", [run.recovery_percent for run in runs if run.recovery_percent is not None]),
    ):
        if values and fact not in sheet.facts:
            sheet.put(fact, Span(min(values), max(values), sum(values) / len(values)), "tested", f"{len(values)} core runs")
    measured = "rqd_percent" in sheet.facts or "recovery_percent" in sheet.facts
    sheet.put("mass_logged", from_bool(measured), "logged", "RQD and recovery in the log")
    if "recovery_percent" not in sheet.facts and "rqd_percent" in sheet.facts:
        rqd = sheet.span("rqd_percent")
        likely = max(rqd.likely_or_middle, frame.limits["recovery_with_rqd_percent"])
        sheet.put("recovery_percent", Span(rqd.low, 100.0, likely), "derived", "not less than RQD", ("rqd_percent",))
    if "ucs_kpa" not in sheet.facts and (strength := strength_of_words(stratum.words.strength)) is not None:
        sheet.put("ucs_kpa", Span(*strength), "derived", f"'{stratum.words.strength}' rock, {STRENGTH_SOURCE}")


def _rock_mass(frame: Frame, sheet: FactSheet, stratum: Stratum) -> None:
    """Write how rock holds together: by its core runs where there are any, else by what is known of the layer."""
    by_table(sheet, frame.tables["rock_mass"])
    reading = ReadingRules(frame.limits, frame.tables)
    more = {"crushed": sheet.value("crushed"), "ucs_kpa": sheet.value("ucs_kpa")}
    lengths: dict[str, float] = {}
    for run in stratum.cores:
        if (word := word_of_run(run, reading, more)) is not None:
            inside = min(run.base_m, stratum.base_m) - max(run.top_m, stratum.top_m)
            lengths[word] = lengths.get(word, 0.0) + inside
    if not lengths or not stratum.soils & ROCK:
        return
    most = max(lengths, key=lambda word: (lengths[word], _MASSES.index(word)))
    soil = {"no_rock"} if stratum.soils - ROCK else set()
    likely = most if stratum.likely in ROCK or not soil else "no_rock"
    sheet.put(
        "rock_mass",
        Choice(frozenset(lengths) | soil, likely),
        "tested",
        f"{len(stratum.cores)} core runs",
        ("rqd_percent", "recovery_percent"),
    )


_MASSES = ("sound", "blocky", "broken", "rubble", "no_rock")


def _wants_strength(sheet: FactSheet, stratum: Stratum) -> bool:
    """Return whether a stratum may be clay or silt whose strength no test gave."""
    return bool(stratum.soils & (COHESIVE | {"silt"})) and "su_kpa" not in sheet.facts


def _fill_in(frame: Frame, sheet: FactSheet, stratum: Stratum) -> None:
    """Narrow by class tables what no test gave."""
    soils = stratum.soils
    tables: tuple[tuple[str, bool, Callable[[], None] | None], ...] = (
        ("fines_percent", True, lambda: by_table(sheet, frame.tables["fines"])),
        ("unit_weight_kn_m3", True, lambda: by_table(sheet, frame.tables["unit_weight"])),
        ("phi_deg", bool(soils & GRANULAR), lambda: put_friction(frame, sheet, stratum)),
    )
    for fact, wanted, write in tables:
        if wanted and fact not in sheet.facts and write is not None:
            write()
    if "permeability_m_s" not in sheet.facts and "d10_mm" in sheet.facts and soils <= GRANULAR - {"silt"}:
        grain = sheet.span("d10_mm")
        spread = frame.limits["hazen_spread"]
        low, high = hazen(grain.low) / spread, hazen(grain.high) * spread
        likely = hazen(grain.likely) if grain.likely is not None else None
        source = f"Hazen, a factor of {spread:g} either way"
        sheet.put("permeability_m_s", ordered(low, likely, high), "derived", source, ("d10_mm",), ("hazen",))


def _made_ground(sheet: FactSheet, stratum: Stratum) -> None:
    """Write how fill with voids and a slab behave."""
    if _is_open_fill(stratum):
        sheet.put("cavities", FALSE, "logged", "voids between the pieces of fill")
        sheet.put("open_ground", likely_bool(True), "logged", "voids between the pieces of fill")
    if stratum.words.slab:
        for fact, answer in _SLAB.items():
            sheet.put(fact, answer, "logged", "a whole slab, wall or pavement")


def _is_open_fill(stratum: Stratum) -> bool:
    """Return whether voids are told of fill: they lie between its pieces and are no cavities of rock or old workings."""
    has = stratum.words.features | set(stratum.layer.features)
    return is_fill(stratum) and "cavities" in has and not has & {"karst", "mined"}


_HIGH_LIMIT = pattern_of(r"\b(?:micaceous|mica|diatom\w*)\b", re.IGNORECASE)
_CLAYEY_SYMBOLS = frozenset({"SC", "GC"})


def _plastic_fines(frame: Frame, sheet: FactSheet, stratum: Stratum) -> None:
    """Write whether the fines of a silt, sand or gravel are plastic, by the plasticity index, else by symbol and words."""
    least = frame.limits["silt_plastic_pi_percent"]
    if "pi_percent" in sheet.facts:
        index = sheet.span("pi_percent")
        sure = index.low > least or index.high <= least
        value = from_bool(index.low > least) if sure else likely_bool(index.likely is not None and index.likely > least)
        sheet.put("plastic_fines", value, "derived", "plasticity index", ("pi_percent",))
        return
    symbol = (stratum.layer.symbol or "").strip().upper()
    words = stratum.words
    elastic = symbol == "MH" or (not symbol and "silt" in stratum.soils and words.plasticity == "high")
    if elastic and _HIGH_LIMIT.search(stratum.layer.description):
        sheet.put(
            "plastic_fines", likely_bool(False), "derived", "mica and diatoms raise the liquid limit of silt that is not plastic", ("soil",)
        )
        return
    if symbol in _CLAYEY_SYMBOLS or symbol in {"MH", "OH"} or ("silt" in stratum.soils and words.plasticity == "high"):
        sheet.put("plastic_fines", TRUE, "derived", "plastic by definition of the class", ("soil",))
    elif stratum.soils <= {"silt"} and words.plasticity == "medium":
        sheet.put("plastic_fines", likely_bool(True), "derived", "medium plasticity", ("soil",))
    elif symbol == "OL":
        sheet.put("plastic_fines", likely_bool(True), "derived", "organic fines are plastic more often than not", ("soil",))
    elif "clayey" in stratum.layer.description.lower() and not symbol:
        sheet.put("plastic_fines", likely_bool(False), "derived", "clayey by its words, with no test of its fines", ("soil",))
    else:
        sheet.put("plastic_fines", FALSE, "derived", "neither symbol nor words name plastic fines", ("soil",))
