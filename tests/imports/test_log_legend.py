"""Legend codes of AGS4: the first digit names the soil (keying of engineering geological symbols, from memory)."""

import pytest

from methodpick.ground.descriptions.symbols import SOILS
from methodpick.imports.log_layers import LEGEND, legend_soils, symbol_of


@pytest.mark.parametrize(
    ("code", "soils", "symbol"),
    [
        ("201", {"clay"}, "CL-CH"),
        ("301", {"silt"}, "ML"),
        ("403", {"silty_sand", "clean_sand"}, "SM-SP"),
        ("509", {"silty_gravel", "clean_gravel"}, "GM-GP"),
        ("601", {"organic"}, "peat"),
        ("701", {"cobbles"}, "cobbles"),
        ("812", {"rock", "weathered_rock", "intermediate"}, "rock"),
        ("999", set(), None),
        ("", set(), None),
        ("CLAY", set(), None),
    ],
)
def test_legend_code_names_a_class_by_its_first_digit(code, soils, symbol):
    assert legend_soils(code) == soils
    assert symbol_of(legend_soils(code)) == symbol


def test_made_ground_legend_allows_every_soil_and_no_symbol():
    assert {"clay", "clean_gravel", "organic"} <= legend_soils("102")
    assert symbol_of(legend_soils("102")) is None


def test_every_legend_code_names_soils_of_the_closed_list():
    assert all(soils <= SOILS for soils in LEGEND.values())
