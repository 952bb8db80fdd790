"""Symbols against ASTM D2487 (from memory): 5, 12 and 50 % fines part the classes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.ground.descriptions.symbols import SOILS, SYMBOLS, read_symbol


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
