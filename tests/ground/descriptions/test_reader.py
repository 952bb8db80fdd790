"""Descriptions against the wording of ASTM D2487, D2488 and BS 5930, all quoted from memory.

Drillers' words and the traps of word parts are common practice, no source.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.ground.descriptions.reader import read_description
from methodpick.ground.descriptions.symbols_and_names import SOILS, SYMBOLS, read_symbol

GROUP_NAMES = [  # ASTM D2487, flow charts of group names (memory)
    ("Well-graded gravel", "GW"),
    ("Poorly graded gravel with sand", "GP"),
    ("Well-graded gravel with silt", "GW-GM"),
    ("Poorly graded gravel with clay", "GP-GC"),
    ("Silty gravel", "GM"),
    ("Clayey gravel with sand", "GC"),
    ("Well-graded sand", "SW"),
    ("Poorly graded sand with gravel", "SP"),
    ("Well-graded sand with clay", "SW-SC"),
    ("Poorly graded sand with silt", "SP-SM"),
    ("Silty sand", "SM"),
    ("Clayey sand with gravel", "SC"),
    ("Silty, clayey sand", "SC-SM"),
    ("Lean clay", "CL"),
    ("Sandy lean clay with gravel", "CL"),
    ("Fat clay", "CH"),
    ("Gravelly fat clay", "CH"),
    ("Silt", "ML"),
    ("Sandy silt", "ML"),
    ("Elastic silt with sand", "MH"),
    ("Organic clay", "OL"),
    ("Peat", "PT"),
]


@pytest.mark.parametrize(("name", "symbol"), GROUP_NAMES)
def test_group_name_alone_reads_as_its_symbol(name, symbol):
    assert read_description(name).likely == read_symbol(symbol).likely
    assert read_description(name).soils & read_symbol(symbol).soils


@pytest.mark.parametrize(("name", "symbol"), GROUP_NAMES)
def test_group_name_never_contradicts_its_symbol(name, symbol):
    both = read_description(name, symbol)
    assert both.doubt == ""
    assert both.soils == read_symbol(symbol).soils


@pytest.mark.parametrize(
    ("text", "symbol", "likely"),
    [  # ASTM D2488, appendix of example descriptions (memory)
        (
            (
                "WELL-GRADED GRAVEL WITH SAND (GW)\N{EM DASH}About 75 % fine to coarse, hard, subangular gravel; about 25 % "
                "fine to coarse, hard, subangular sand; trace of fines; maximum size 75 mm, brown, dry"
            ),
            "GW",
            "clean_gravel",
        ),
        (
            ("SILTY SAND WITH GRAVEL (SM)\N{EM DASH}About 60 % predominantly fine sand; about 25 % silty fines with low plasticity"),
            "SM",
            "silty_sand",
        ),
        ("ORGANIC SOIL (OL/OH)\N{EM DASH}About 100 % fines with low plasticity, slow dilatancy", "OL/OH", "clay"),
        ("SILTY SAND WITH ORGANIC FINES (SM)\N{EM DASH}About 75 % fine to coarse sand", "SM", "silty_sand"),
    ],
)
def test_symbol_in_brackets_is_read_from_the_description(text, symbol, likely):
    words = read_description(text)
    assert words.likely == likely
    assert f"symbol {symbol}" in words.evidence
    assert words.consistency is None or "OL" in symbol


@pytest.mark.parametrize(
    ("text", "soils", "likely"),
    [  # examples after BS 5930 (memory)
        ("Firm closely fissured yellowish brown CLAY (LONDON CLAY FORMATION)", {"clay"}, "clay"),
        (
            ("Loose brown very sandy subangular fine to coarse flint GRAVEL with small pockets (up to 30mm) of clay (TERRACE GRAVELS)"),
            {"clean_gravel"},
            "clean_gravel",
        ),
        ("Medium dense light brown gravelly clayey fine SAND. Gravel is fine (GLACIAL DEPOSITS)", {"silty_sand"}, "silty_sand"),
        ("Stiff very closely sheared orange mottled brown slightly gravelly CLAY (REWORKED WEATHERED LONDON CLAY)", {"clay"}, "clay"),
        ("Firm thinly laminated grey CLAY with closely spaced thick laminae of sand (ALLUVIUM)", {"clay"}, "clay"),
        ("Plastic brown clayey amorphous PEAT (RECENT DEPOSITS)", {"organic"}, "organic"),
        ("Up to coarse rounded flint GRAVEL and orange brown medium to coarse SAND", {"clean_gravel", "clean_sand"}, "clean_gravel"),
        ("Dense fine to medium clayey sand and subangular flint GRAVEL", {"silty_sand", "silty_gravel"}, "silty_sand"),
        ("Dark brown very peaty silty CLAY grading to clayey silty PEAT", {"clay", "organic"}, "organic"),
        ("Brown weathered rock recovered as sandy GRAVEL", {"weathered_rock"}, "weathered_rock"),
        (
            "Weathered ROCK - grey, fine grained, schistose PELITE. Recovered as angular gravel.",
            {"weathered_rock", "rock"},
            "weathered_rock",
        ),
    ],
)
def test_british_capitals_name_the_soil(text, soils, likely):
    words = read_description(text)
    assert words.soils == soils
    assert words.likely == likely


@pytest.mark.parametrize(
    ("text", "british"),
    [
        ("Stiff brown CLAY", True),
        ("Stiff grey CLAY (Head)", True),
        ("Stiff brown lean CLAY", False),
        ("Fat CLAY, trace sand, stiff, moist", False),
        ("Medium stiff brown silty CLAY", False),
        ("Stiff gray silty CLAY", False),
        ("Stiff brown silty CLAY (CL)", False),
        ("Loose SAND [SP-SM]", False),
        ("stiff brown clay", False),
    ],
)
def test_capitals_are_british_unless_the_log_has_words_or_symbols_of_astm(text, british):
    """ASTM D2487 names lean and fat clay, its symbols stand in brackets; medium stiff is no grade of BS 5930 (all from memory).

    Stiff is 75 to 150 kPa in British words, 50 to 100 in American ones: an American log taken for a British one had stronger clay.
    """
    assert read_description(text).british is british


@pytest.mark.parametrize(
    ("text", "soils", "likely"),
    [
        ("brown silty SAND", {"silty_sand"}, "silty_sand"),
        ("gray fat clay with sand", {"clay"}, "clay"),
        ("CLAY, stiff, brown", {"clay"}, "clay"),
        ("clay, silty, sandy", {"clay"}, "clay"),
        ("DENSE BROWN SILTY SAND", {"silty_sand"}, "silty_sand"),
        ("brown sandy clay, brick fragments", {"clay"}, "clay"),
        ("sand, gravel and cobbles", {"clean_sand", "clean_gravel", "cobbles"}, "clean_sand"),
        ("interbedded sand and clay", {"clean_sand", "silty_sand", "clay"}, "clean_sand"),
        ("boulders and cobbles in sand matrix", {"cobbles"}, "cobbles"),
        ("siltstone gravel", {"clean_gravel", "silty_gravel"}, "clean_gravel"),
        ("sandstone gravel, silty", {"silty_gravel"}, "silty_gravel"),
        ("clay with mudstone bands", {"clay"}, "clay"),
        ("mudstone bands in clay", {"clay"}, "clay"),
        ("sand with clay seams", {"clean_sand", "silty_sand"}, "clean_sand"),
        ("clay sand", {"silty_sand"}, "silty_sand"),
        ("clayey silt", {"silt", "clay"}, "silt"),
        ("boulder clay", {"clay"}, "clay"),
        ("rock flour", {"silt"}, "silt"),
        ("decomposed granite", {"weathered_rock"}, "weathered_rock"),
        ("saprolite, micaceous silty sand", {"silt", "silty_sand", "clay", "weathered_rock"}, "silty_sand"),
        ("hardpan", {"intermediate", "clay", "silty_sand", "silty_gravel"}, "intermediate"),
        ("gumbo", {"clay"}, "clay"),
        ("muck", {"organic"}, "organic"),
        ("gravelly stuff", {"clean_gravel", "silty_gravel", "clean_sand", "silty_sand"}, None),
        ("void, rods dropped", {"void"}, "void"),
        ("cavity filled with soft clay", {"void", "clay"}, "void"),
        ("limestone with voids", {"rock"}, "rock"),
        ("open water", {"void"}, "void"),
        ("water-bearing sand", {"clean_sand", "silty_sand"}, "clean_sand"),
        ("clay shale", {"rock", "intermediate"}, "intermediate"),
        ("highly weathered shale", {"weathered_rock"}, "weathered_rock"),
        ("slightly weathered granite", {"rock"}, "rock"),
        ("faintly weathered sandstone", {"rock"}, "rock"),  # BS 5930:1981, grade IB: joints stained only; from memory
        ("moderately weathered granite", {"rock", "weathered_rock"}, "rock"),
        ("limestone, weathered joints with clay", {"rock"}, "rock"),
        ("very weak mudstone", {"intermediate", "weathered_rock", "rock"}, "intermediate"),
        ("grey mudstone, weak", {"rock"}, "rock"),
    ],
)
def test_drillers_words(text, soils, likely):
    words = read_description(text)
    assert words.soils == soils
    assert words.likely == likely


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("sand with silt", 5, 12),  # ASTM D2487
        ("silty sand", 12, 50),  # ASTM D2487
        ("Grey silty SAND", 5, 50),  # hull of BS 5930:1999 (5 to 20) and ASTM D2487
        ("Grey slightly silty SAND", 0, 15),  # hull of BS 5930:1999 (below 5) and ISO 14688-2:2004 (5 to 15)
        ("Grey very silty SAND", 15, 50),  # BS 5930:1999 above 20, 1981 edition 15 to 35
        ("fine sand, trace silt", 0, 10),  # Burmister 0 to 10, ASTM D2488 below 5
        ("fine sand, few fines", 5, 10),  # ASTM D2488
        ("fine sand, little silt", 10, 25),  # Burmister 10 to 20, ASTM D2488 15 to 25
        ("fine sand, some silt", 20, 45),  # Burmister 20 to 35, ASTM D2488 30 to 45
        ("GRAVEL with a little clay matrix", 10, 25),
        ("sandy lean clay", 50, 70),  # ASTM D2487: 30 % or more coarse
    ],
)
def test_wording_of_fines(text, low, high):
    fines = read_description(text).fines
    assert (fines[0], fines[2]) == (low, high)
    assert low <= fines[1] <= high


def test_stated_origin_goes_before_the_words_and_the_clash_is_said():
    words = read_description("brown clay fill", None, "alluvial")
    assert words.origin == "alluvial"
    assert "fill" in words.doubt


def test_possible_made_ground_is_a_doubt():
    words = read_description("Soft CLAY (ALLUVIUM/POSSIBLE MADE GROUND?)")
    assert words.origin == "alluvial"
    assert words.doubt == "possibly made ground"


@pytest.mark.parametrize("text", ["Organic silt with sand", "Organic clay"])
@pytest.mark.parametrize("symbol", ["OL", "OH"])
def test_organic_soil_is_clay_or_silt_by_definition(text, symbol):
    """ASTM D2487, memory: OL and OH are organic clays and silts; peat is PT."""
    words = read_description(text, symbol)
    assert words.soils == {"clay", "silt"}
    assert words.likely == text.split()[1]
    assert "organic" in words.features


@pytest.mark.parametrize(
    ("text", "likely"),
    [
        ("TARMAC", "cobbles"),  # a slab comes out in pieces like boulders, and is no gravel
        ("CONCRETE", "cobbles"),
        ("MADE GROUND: brick wall", "cobbles"),
        ("MADE GROUND (brick and concrete rubble)", "clean_gravel"),
        ("brick rubble", "clean_gravel"),
        ("FILL - Brick, ashes and timber", "clean_gravel"),
        ("MADE GROUND: ashes and slag", "silty_sand"),
        ("Landfill, household refuse", "organic"),
    ],
)
def test_made_pieces_are_fill_of_what_it_is_made(text, likely):
    words = read_description(text)
    assert words.origin == "fill"
    assert words.likely == likely
    assert words.slab is (likely == "cobbles")
    assert words.slab or len(words.soils) > 1


def test_topsoil_may_be_many_soils():
    words = read_description("TOPSOIL")
    assert words.origin == "fill"
    assert len(words.soils) >= 4


def test_gross_disagreement_leaves_both_open_and_nothing_likely():
    words = read_description("stiff clay", "SP")
    assert words.soils == {"clay", "clean_sand"}
    assert words.likely is None
    assert words.doubt == "symbol SP and description 'clay' disagree"


def test_near_disagreement_follows_the_symbol():
    words = read_description("brown silt", "CL")
    assert words.soils == {"clay", "silt"}
    assert words.likely == "clay"
    assert "disagree" in words.doubt


def test_wrong_symbol_is_said_and_the_words_decide():
    words = read_description("stiff clay", "QQ")
    assert words.soils == {"clay"}
    assert words.doubt == "'QQ' is not a symbol"


@pytest.mark.parametrize("text", ["", "stuff", "no recovery", "not logged"])
def test_no_soil_word_gives_no_class(text):
    assert read_description(text).soils == frozenset()
    assert read_description(text).likely is None


@pytest.mark.parametrize(
    ("text", "soluble"),
    [
        ("limestone", True),
        ("grey chalk", True),
        ("gypsum", True),
        ("dolomite, vuggy", True),
        ("sandstone", False),
        ("limestone gravel", False),
        ("clay with limestone fragments", False),
    ],
)
def test_soluble_rock(text, soluble):
    assert read_description(text).soluble is soluble


def test_rock_words():
    words = read_description("Grey LIMESTONE, strong, slightly weathered")
    assert (words.rock_type, words.strength, words.weathering) == ("limestone", "strong", "slightly")


@pytest.mark.parametrize(
    ("text", "sense"),
    [("fat clay", "high"), ("lean clay", "low"), ("silt, non-plastic", "none"), ("clay of medium plasticity", "medium"), ("clay", None)],
)
def test_plasticity(text, sense):
    assert read_description(text).plasticity == sense


@given(st.text(max_size=300), st.one_of(st.none(), st.sampled_from(sorted(SYMBOLS)), st.text(max_size=8)))
def test_law_any_text_is_read_and_stays_inside_the_classes(text, symbol):
    words = read_description(text, symbol)
    assert words.soils <= SOILS
    assert words.likely is None or words.likely in words.soils
    assert not words.features & words.absent
    if words.fines is not None:
        low, likely, high = words.fines
        assert 0 <= low <= high <= 100
        assert likely is None or low <= likely <= high


_PARTS = [
    "stiff",
    "soft",
    "brown",
    "silty",
    "very clayey",
    "slightly sandy",
    "clay",
    "sand",
    "GRAVEL",
    "silt",
    "peat",
    "with",
    "trace",
    "limestone",
    "weathered",
    "fragments",
    "no voids",
    "fissured",
    ",",
    ".",
    "and",
    "(FILL)",
]


@given(st.lists(st.sampled_from(_PARTS), max_size=12), st.one_of(st.none(), st.sampled_from(sorted(SYMBOLS))))
def test_law_a_symbol_that_fits_narrows_and_never_widens_beyond_itself(parts, symbol):
    text = " ".join(parts)
    words = read_description(text, symbol)
    if symbol is not None:
        assert SYMBOLS[symbol].soils <= words.soils
        if "disagree" not in words.doubt:
            assert words.soils == SYMBOLS[symbol].soils


@given(st.lists(st.sampled_from(_PARTS[:16]), min_size=1, max_size=8))
def test_law_spaces_do_not_matter(parts):
    assert read_description(" ".join(parts)) == read_description("  ".join(parts) + " ")
