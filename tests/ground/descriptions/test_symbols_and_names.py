"""Symbols against ASTM D2487 (from memory): 5, 12 and 50 % fines part the classes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.ground.descriptions.reader import read_description
from methodpick.ground.descriptions.symbols_and_names import SOILS, SYMBOLS, read_symbol


@pytest.mark.parametrize(
    ("symbol", "soils", "low", "high"),
    [
        ("GW", {"clean_gravel"}, 0, 5),
        ("GP", {"clean_gravel"}, 0, 5),
        ("SW", {"clean_sand"}, 0, 5),
        ("SP", {"clean_sand"}, 0, 5),
        ("GM", {"silty_gravel"}, 12, 50),
        ("GC", {"silty_gravel"}, 12, 50),
        ("SM", {"silty_sand"}, 12, 50),
        ("SC", {"silty_sand"}, 12, 50),
        ("SC-SM", {"silty_sand"}, 12, 50),
        ("GW-GC", {"clean_gravel", "silty_gravel"}, 5, 12),
        ("SP-SM", {"clean_sand", "silty_sand"}, 5, 12),
        ("ML", {"silt"}, 50, 100),
        ("MH", {"silt"}, 50, 100),
        ("CL", {"clay"}, 50, 100),
        ("CH", {"clay"}, 50, 100),
        ("CL-ML", {"clay", "silt"}, 50, 100),
        ("OH", {"clay", "silt"}, 50, 100),
    ],
)
def test_group_symbol_has_the_fines_of_astm_d2487(symbol, soils, low, high):
    read = read_symbol(symbol)
    assert read.soils == soils
    assert (read.fines[0], read.fines[2]) == (low, high)


@pytest.mark.parametrize("text", ["SM-ML", "SM/ML", "sm or ml", "SM, ML", "SM & ML"])
def test_pair_that_is_no_dual_symbol_means_either(text):
    read = read_symbol(text)
    assert read.soils == {"silty_sand", "silt"}
    assert read.likely == "silty_sand"
    assert (read.fines[0], read.fines[2]) == (12, 100)


@pytest.mark.parametrize(
    ("text", "soil"),
    [
        ("rock", "rock"),
        ("weathered rock", "weathered_rock"),
        ("weathered_rock", "weathered_rock"),
        ("igm", "intermediate"),
        ("peat", "organic"),
        ("cobbles", "cobbles"),
        ("void", "void"),
        ("water", "void"),
    ],
)
def test_plain_words_stand_for_symbols(text, soil):
    assert read_symbol(text).soils == {soil}
    assert read_symbol(text).fines is None


@pytest.mark.parametrize(("symbol", "sense"), [("CH", "high"), ("MH", "high"), ("CL", "low"), ("SP", None), ("CL-CH", None)])
def test_plasticity_follows_the_liquid_limit_letter(symbol, sense):
    assert read_symbol(symbol).plasticity == sense


@pytest.mark.parametrize("text", ["", "XY", "SP-", "SP-XY", "sandy", "-", "S P"])
def test_other_text_is_no_symbol(text):
    assert read_symbol(text) is None


def test_every_symbol_stays_inside_the_classes():
    assert all(symbol.soils <= SOILS and symbol.likely in symbol.soils for symbol in SYMBOLS.values())


@given(st.sampled_from(sorted(SYMBOLS)), st.sampled_from(sorted(SYMBOLS)))
def test_law_a_pair_is_never_narrower_than_either_of_its_symbols(first, second):
    pair = read_symbol(f"{first}/{second}")
    for name in (first, second):
        part = SYMBOLS[name]
        assert part.soils <= pair.soils
        assert pair.fines is None or part.fines is None or (pair.fines[0] <= part.fines[0] and part.fines[2] <= pair.fines[2])


@pytest.mark.parametrize(
    ("group", "likely", "most_fines"),
    [
        ("A-1-a", "clean_gravel", 15.0),
        ("A-3", "clean_sand", 10.0),
        ("A-2-4", "silty_sand", 35.0),
        ("A-2-7", "silty_sand", 35.0),
        ("A-4", "silt", 100.0),
        ("A-6", "clay", 100.0),
        ("A-7-6", "clay", 100.0),
        ("A-8", "organic", None),
    ],
)
def test_groups_of_roads(group, likely, most_fines):
    """AASHTO M 145, from memory: A-1-a up to 15 % fines, A-3 up to 10 %, A-2 up to 35 %, A-4 and beyond at least 36 %."""
    symbol = read_symbol(group)
    assert symbol is not None
    assert symbol.likely == likely
    assert (symbol.fines[2] if symbol.fines else None) == most_fines
    assert read_description(group).likely == likely
