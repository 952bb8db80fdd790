"""The labelled descriptions: the reading of words stays at the level that it reached.

The labels are one engineer's reading of invented texts, written before the reader was run on them; no outside source.
"""

import re

import pytest
from ground.descriptions.score_labels import CLASSES, groups, read_set, reading_of, share
from hypothesis import given
from hypothesis import strategies as st

FLOORS = {
    "main soil": 99.0,
    "main soil, one answer only": 99.0,
    "consistency or density": 99.0,
    "consistency or density, where stated": 98.0,
    "origin": 98.0,
    "cementation, where stated or read": 100.0,
    "chalk grade, of chalk": 100.0,
}
"""Percent that was reached, less one or two texts; the aims for the reading of words are 98 for the main soil and 97 for the grade."""
NEVER_MISSED = ("obstructions", "cavities", "mined", "karst", "organic", "cemented", "boulders", "cobbles", "gas", "sensitive")
"""What is worse missed than raised in vain. No text of the open set is excepted."""


@pytest.mark.parametrize("name", FLOORS)
def test_open_set_is_read_as_well_as_it_was(name):
    key, entries = groups(read_set("open"))[name]
    right, counted = share(entries, key)
    assert 100 * right / counted >= FLOORS[name], [entry.text for entry in entries if not entry.is_right(key)]


@pytest.mark.parametrize(
    ("name", "main", "grade"),
    [
        ("former", 97.0, 98.5),
        ("aside", 98.0, 98.5),
        ("fourth", 99.0, 99.0),
        ("fifth", 99.0, 99.0),
        ("sixth", 99.3, 99.0),
        ("seventh", 97.0, 99.0),
        ("eighth", 99.0, 98.0),
        ("ninth", 100.0, 100.0),
    ],
)
def test_spent_sets_are_read_as_well_as_they_were(name, main, grade):
    lines = groups(read_set(name))
    for line, floor in (("main soil", main), ("consistency or density", grade)):
        key, entries = lines[line]
        right, counted = share(entries, key)
        assert 100 * right / counted >= floor, [entry.text for entry in entries if not entry.is_right(key)]


def test_open_set_misses_no_flag_that_matters():
    missed = {entry.text: entry.missed for entry in read_set("open") if set(entry.missed) & set(NEVER_MISSED)}
    assert missed == {}


def test_open_set_raises_few_flags_in_vain():
    """At most one text in fifty: what is flagged everywhere warns of nothing."""
    entries = read_set("open")
    assert sum(bool(entry.false_alarms) for entry in entries) <= len(entries) / 50


@pytest.mark.parametrize(
    ("text", "main", "grade"),
    [  # abbreviations of field logs, common practice
        ("v. stf bwn sdy CLY w/ occ cobs", "clay", "very_stiff"),
        ("med dns f sand, sat", "clean_sand", "medium_dense"),
        ("hd red si cl", "clay", "hard"),
        ("wthd lmst, vuggy", "weathered_rock", "none"),
        # codes of EN ISO 14688-1 and of AS 1726 (from memory)
        ("grclSa, dense", "silty_sand", "dense"),
        ("sa'Cl, firm", "clay", "firm"),
        ("fsasi*Cl", "clay", "none"),
        ("saGr, VD, wet", "clean_gravel", "very_dense"),
        ("Sandy CLAY, M, VSt - H", "clay", "very_stiff to hard"),
        ("SAND: fine grained, pale grey, D, D", "clean_sand", "dense"),
        ("High strength to very high strength CLAY", "clay", "stiff to very_stiff"),
        ("High strength SANDSTONE", "rock", "none"),
        ("HW to MW GRANITE", "rock", "none"),
        ("HDT, grade IV", "weathered_rock", "none"),
        # slips of the pen, lost stops
        ("dense sandy GRAVLE", "clean_gravel", "dense"),
        ("Firm brown CALY", "clay", "firm"),
        ("Firm brown sandy CLAY Gravel is fine to coarse", "clay", "firm"),
        ("Stiff brown CLAY.Sand is fine", "clay", "stiff"),
        # made ground and what it is made of
        ("MADE GROUND (soft sandy clay with ash)", "clay", "soft"),
        ("MADE GROUND: chert and chalk GRAVEL", "clean_gravel", "none"),
        ("FILL - crushed limestone", "clean_gravel", "none"),
        ("Lean mix concrete", "none", "none"),  # no ground: planned as the blocks that come out
        ("Black MACADAM. Recovered as angular GRAVEL of macadam", "none", "none"),
        ("# OLD FOUNDATION", "none", "none"),
        ("Retaining wall, coursed limestone masonry", "none", "none"),
        ("Refusal on concrete, hole moved 2 m", "none", "none"),
        ("Air gap below floor slab", "void", "none"),
        ("Timber crib wall filled with stone", "none", "none"),
        ("MADE GROUND: clayey ash, pieces of brick, slag and slate", "silty_sand", "none"),
        ("Fly ash, soft, lagooned", "silt", "soft"),
        ("As above but wetter", "none", "none"),
        ("To chalk", "none", "none"),  # a driller's well log: what lies above is not described
        ("In chalk", "rock", "none"),
        ("Very dry brown soil", "silt", "none"),
        ("Clayey soil", "clay", "none"),
        ('BASE (6")', "clean_gravel", "none"),
        # ground between rock and soil, by its strength words
        ("Weak red MARL", "rock", "none"),
        ("Soft to firm MARL", "clay", "soft to firm"),
        ("SHALE, soft, grey", "rock", "none"),
        ("Caliche, well cemented", "rock", "none"),
        ("Caliche, weakly cemented", "intermediate", "none"),
        ("Very weak GRANITE", "weathered_rock", "none"),
        ("Very weak MUDSTONE", "intermediate", "none"),
        ("Extremely weak MUDSTONE. Weathering is complete loss of structure to clay", "weathered_rock", "none"),
        ("Extremely weak MUDSTONE. Weathering is localised loss of structure", "intermediate", "none"),
        ("Firm grey FIRECLAY with listric surfaces", "clay", "firm"),
        ("Weak grey SEATEARTH", "rock", "none"),
        ("m. dense SAND sm silt", "silty_sand", "medium_dense"),
        ("MADE GROUND: topsoil with brick", "silt", "none"),
        ("Sandstone and clay mixed fill", "clean_gravel", "none"),
        # grades that stand beside the sentence of the soil
        ("CLAY. Stiff. Brown", "clay", "stiff"),
        ("Clay (stiff)", "clay", "stiff"),
        ("Clay of firm consistency", "clay", "firm"),
        ("Medium density brown SAND", "clean_sand", "medium_dense"),
        ("Compact brown silty c.m.f. SAND", "silty_sand", "medium_dense"),
        ("M DENSE SAND", "clean_sand", "medium_dense"),
        ("Stiff till", "clay", "stiff"),
        ("dense gravelly SP", "clean_sand", "dense"),
        ("Coal Measures: weak shale", "rock", "none"),
        ("Medium strong SANDSTONE, partially weathered", "rock", "none"),
        ("Partially weathered rock, very dense", "weathered_rock", "very_dense"),
        # shares of fines: ASTM D2487 (12 percent), Burmister 1949 ("and" is 35 to 50 percent), from memory
        ("Gray fine SAND and silt, loose", "silty_sand", "loose"),
        ("Sand, 20% passing #200, dense", "silty_sand", "dense"),
        ("Sand with 3% fines", "clean_sand", "none"),
        ("Sandy GRAVEL with clay matrix", "silty_gravel", "none"),
        ("SAND and clay pockets", "clean_sand", "none"),
        # words beside the soil
        ("med clay, brown, driller reports hard layer at 17 ft", "clay", "firm"),
        ("NO RECOVERY, lost water 52 to 55 ft", "none", "none"),
        ("No recovery, probably sand", "none", "none"),
        # words of clay used of sand (firm: Sowers, from memory), of chalk that behaves as soil, soil named by its adjective
        ("Soft to firm silty SAND", "silty_sand", "loose to medium_dense"),
        ("Stiff CHALK", "weathered_rock", "none"),
        ("Soft brown clayey soil", "clay", "soft"),
        ("Gray clay, medium consistency", "clay", "firm"),
        ("SAND, silty; loose becoming dense", "silty_sand", "loose to dense"),
        # what made ground in brackets is made of, whatever stands behind; topsoil as a heading; rock that came up as soil
        ("MADE GROUND (brown clayey sand with ash). At 2.10m: boulder", "silty_sand", "none"),
        ("TOPSOIL: Brown gravelly clay with rootlets", "clay", "none"),
        ("MADE GROUND: mudstone recovered as sandy clay", "clay", "none"),
        # a detail at a depth before the layer, grains that are only listed, a symbol before the words, what soil came from
        ("Between 3.20m and 3.40m: layer of peat. Dense GRAVEL", "clean_gravel", "dense"),
        ("sand gravel cobbles", "clean_sand", "none"),
        ("CH, stiff, brown, with caliche nodules", "clay", "stiff"),
        ("RESIDUUM, stiff sandy clay", "clay", "stiff"),
        # words of BS 5930 and of the trade (from memory)
        ("Medium strong SILTSTONE, partially to distinctly weathered", "rock", "none"),
        ("Very weak MUDSTONE, distinctly weathered", "weathered_rock", "none"),
        ("Intensely weathered SCHIST", "weathered_rock", "none"),
        ("Dense brown STONE FRAGMENTS with sand", "clean_gravel", "dense"),
        ("Sandstone fragments in stiff CLAY", "clay", "stiff"),
        ("Brown sandstone chippings", "clean_gravel", "none"),
        ("MADE GROUND: Grey sandy limestone scalpings", "clean_gravel", "none"),
        ("SANDSTONE. Recovered as chippings", "rock", "none"),
        ("Grey GANISTER", "rock", "none"),
        ("MADE GROUND: blaes", "clean_gravel", "none"),
        ("dns sd & gr", "clean_sand", "dense"),
        ("River water", "void", "none"),
        # slips of short words, lost letters, words apart, codes that stand first
        ("Lime stone, hard, gray", "rock", "none"),
        ("Silt stone, weak", "rock", "none"),
        ("SANDSTN w/ SHLE INTRBDS, GRY, MOD HRD", "rock", "none"),
        ("Grvel, sndy, dense", "clean_gravel", "dense"),
        ("vd gry sd & gvl", "clean_sand", "very_dense"),
        ("MD brn sdy GRAVEL", "clean_gravel", "medium_dense"),
        ("Fm-stf sdy CLAY", "clay", "firm to stiff"),
        ("Medium dene SAND", "clean_sand", "medium_dense"),
        ("Soft brown sad", "clean_sand", "loose"),
        ("Hard drilling, cobbles sit on rock", "cobbles", "none"),
        # the soil named by its adjective before what it holds; topsoil of a soil; what fills a cavity; a work of timber
        ("Stiff brown clayey with sand", "clay", "stiff"),
        ("Loose brown sandy with gravel", "clean_sand", "loose"),
        ("Grass over topsoil of brown sandy clay", "clay", "none"),
        ("Very soft red clay infilling solution cavity", "clay", "very_soft"),
        ("Cavity filled with water", "void", "none"),
        ("Old timber piles", "none", "none"),
        ("FILL of timber and brick", "clean_gravel", "none"),
        # what a layer is called before its soil, a symbol before "with", where the text goes on, a grade behind brackets, dotted words
        ("2-ft layer of dense silty sand, then stiff clay", "silty_sand", "dense"),
        ("Band of stiff clay", "clay", "stiff"),
        ("Stiff, then hard clay", "clay", "stiff to hard"),
        ("GP-GM w/ cobs, v dense", "clean_gravel", "very_dense"),
        ("Fine sand, trace roots (moist) medium dense", "clean_sand", "medium_dense"),
        ("LOESS, lt. brn clayey silt, soft", "silt", "soft"),
        ("Loose grav sand", "clean_sand", "loose"),
        ("FLINTS in sandy clay", "clean_gravel", "none"),
        ("Soft clay gouge", "clay", "soft"),
        ("EW Siltstone, extremely low strength, clay-like", "weathered_rock", "none"),
        # rock that was sampled as soil has the grade of the soil
        ("Partially weathered rock, sampled as very dense silty SAND", "weathered_rock", "very_dense"),
        ("Weak SILTSTONE weathered to stiff clay along fissures", "weathered_rock", "none"),
        # the stop of a unit, what lies below, a soil abbreviated before "with", refuse of a mine, rubble with steel, paste of chalk
        ("CONCRETE, 9 in., plain, on 4 in. base course", "none", "none"),
        ("Old brick wall, 2 ft thick; loose sand underneath", "none", "none"),
        ("m stf br cl w/ tr f sd", "clay", "firm"),
        ("Coal refuse, loose, shale pcs and sandy silt", "silt", "loose"),
        ("Rubble of brick and concrete blocks, rebar", "cobbles", "none"),
        ("SM, gray, md dense, wet", "silty_sand", "medium_dense"),
        ("Rubble of brick and mortar", "clean_gravel", "none"),
        ("Structureless CHALK composed of soft white gravelly SILT (Grade Dm)", "weathered_rock", "soft"),
        ("Diorite, altered to soft white clay along joints, hard elsewhere", "rock", "none"),
        ("Decomposed granite, breaks down to silty sand, dense", "weathered_rock", "dense"),
    ],
)
def test_kin_of_what_was_misread(text, main, grade):
    reading = reading_of(text)
    assert (reading.main, reading.grade) == (main, grade)


_SHORTHAND = (
    "sa' si* fsa (gr) Cl Sa Gr CL VSt F - / , ; . ( ) : % 12 fines v. m.d. st. w/ & MADE GROUND CDG C.D.G. XW HW to PWR PCC grade C3/4 IV "
    "chalk CLAY sand and not voids between concrete slab fill wood strength low very high medium density dense matrix becoming f.m.c. conc."
)


@given(st.lists(st.sampled_from(_SHORTHAND.split()), max_size=14), st.sampled_from(["", " "]))
def test_law_any_mix_of_shorthand_is_read(pieces, between):
    reading = reading_of(between.join(pieces))
    assert reading.main in CLASSES


@pytest.mark.parametrize(
    ("text", "grade"),
    [
        ("Weak CHALK. (Grade C3/4)", "C3 to C4"),
        ("CHALK, grade A1", "A1"),
        ("Structureless CHALK, grade Dc", "Dc"),
        ("CHALK, probably grade B", "none"),
        ("Highly weathered GRANITE, grade IV", "none"),
    ],
)
def test_chalk_grade(text, grade):
    assert reading_of(text).chalk_grade == grade


@pytest.mark.parametrize(
    ("text", "flag"),
    [
        ("Tarmac 100mm over sandy gravel", "obstructions"),
        ("Stiff clay, old clay pipe", "obstructions"),
        ("Disused brick sewer", "obstructions"),
        ("Screed", "obstructions"),
        ("Loose sand, rods fell 0.5 m", "cavities"),
        ("Soft clay with wood fragments", "organic"),
        ("Sand, calcite cement", "cemented"),
        ("Worked coal seam, flush lost", "mined"),
        ("Chalk with dissolution features", "karst"),
        ("Stiff clay with occ. cobs", "cobbles"),
        ("Gravel, rocks up to 8 in.", "cobbles"),
        ("Limestone, dissolution along bedding", "karst"),
        ("Soft debris, old flooded coal mine", "mined"),
        ("Lean mix under paving", "obstructions"),
        ("Landfill debris, plastic and paper", "obstructions"),
        ("Stiff CLAY with polished surfaces", "slickensided"),
        ("Firm CLAY, sheared planes at 20 degrees", "slickensided"),
        ("Talus, open voids", "open"),
        ("Mudstone, JTs at 60 deg", "jointed"),
        ("Massive ice, clear", "frozen"),
        ("Mine pillar", "mined"),
        ("Packed waste, loose", "mined"),
        ("Void (mine)", "mined"),
        ("Abandoned underground mine", "mined"),
        ("Lava tube, 5 ft", "cavities"),
        ("Landslipped clay", "slide"),
    ],
)
def test_flag_is_raised(text, flag):
    assert flag in reading_of(text).flags


@pytest.mark.parametrize(
    ("text", "flag"),
    [
        ("Firm steel grey silty CLAY", "obstructions"),
        ("Stiff CLAY of blocky structure", "obstructions"),
        ("Black GRAVEL of ash and macadam", "obstructions"),
        ("Angular COBBLES, voids between stones", "cavities"),
        ("Firm CLAY, organic vapour reading 0 ppm", "organic"),
        ("Brown silt, free of organics", "organic"),
        ("Strong GRANITE, joints widely spaced", "jointed"),
        ("Weak LIMESTONE, rubble fractured", "obstructions"),
        ("FILL: concrete sand", "obstructions"),
        ("Firm CLAY, organic content nil", "organic"),
        ("Stiff CLAY (BOULDER BANK MEMBER)", "boulders"),
        ("Thinly bedded COAL", "laminated"),
        ("GRAVEL of polished flint", "slickensided"),
        ("Stiff CLAY with softer clay blocks", "obstructions"),
    ],
)
def test_flag_is_not_raised(text, flag):
    assert flag not in reading_of(text).flags


@pytest.mark.parametrize(
    ("text", "origin"),
    [
        ("MDAE GROUND: clay", "fill"),
        ("M.G. brown sandy clay", "fill"),
        ("Qal - silty SAND", "alluvial"),
        ("Basalt clinker, loose", "none"),
        ("MGR 12: sandy clay", "none"),
        ("Firm CLAY. Between 3.4 and 3.8 m: collapsed material from Made Ground", "none"),
    ],
)
def test_origin_is_read_from_slips_and_codes(text, origin):
    assert reading_of(text).origin == origin


def test_a_slip_in_a_deciding_word_changes_no_reading():
    """A letter written twice, two letters changed, or one lost in each soil noun and grade of the open set; 3 in 100 may go wrong."""
    deciding = re.compile(r"\b(?:clay|silt|sand|gravel|soft|firm|stiff|hard|loose|dense|very)\b", re.IGNORECASE)
    tried = changed = 0
    for entry in read_set("open"):
        for match in deciding.finditer(entry.text):
            word, place = match[0], 1 + tried % (len(match[0]) - 1)
            slip = (word[:place] + word[place - 1 :], word[: place - 1] + word[place] + word[place - 1] + word[place + 1 :])[tried % 2]
            slip = word[:place] + word[place + 1 :] if tried % 3 == 0 else slip
            reading = reading_of(entry.text[: match.start()] + slip + entry.text[match.end() :], entry.symbol)
            tried += 1
            changed += (reading.main, reading.grade) != (entry.reading.main, entry.reading.grade)
    assert tried > 300
    assert changed <= 0.05 * tried


def test_made_ground_that_is_denied_is_none():
    assert reading_of("Firm CLAY. No evidence of made ground").origin == "none"
