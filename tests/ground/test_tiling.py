"""The tiling law: whatever a log says, the layers made of it cover 0 to the end of the boring once."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.ground.profile import Layer, Profile
from methodpick.ground.tiling import NO_DATA, join_equal_layers, tile


def boring(*layers, depth_m=None):
    return Profile.model_validate(
        {"id": "B-1", "depth_m": depth_m, "layers": [{"top_m": top, "base_m": base, "description": words} for top, base, words in layers]}
    )


def tiles(profile):
    return [(layer.top_m, layer.base_m, layer.description) for layer in tile(profile)]


DEPTHS = st.integers(0, 60).map(lambda half: half / 2)
LAYERS = st.lists(st.tuples(DEPTHS, DEPTHS.map(lambda depth: depth + 0.5), st.sampled_from(["clay", "sand", "silt"])), max_size=12)


@given(LAYERS, st.none() | st.integers(1, 70).map(lambda half: half / 2))
def test_layers_tile_the_boring_exactly(layers, depth_m):
    profile = boring(*layers, depth_m=depth_m)
    made = tile(profile)
    at_m = 0.0
    for layer in made:
        assert layer.top_m == at_m
        assert layer.base_m > layer.top_m
        at_m = layer.base_m
    assert at_m == profile.end_m or (not made and profile.end_m == 0)


@given(LAYERS, st.none() | st.integers(1, 70).map(lambda half: half / 2))
def test_tiling_invents_nothing(layers, depth_m):
    logged = [layer for layer in layers if layer[1] > layer[0]]
    for top, base, words in tiles(boring(*layers, depth_m=depth_m)):
        covers = [layer for layer in logged if layer[0] <= top and base <= layer[1] and layer[2] == words]
        assert covers or words == NO_DATA
        if words == NO_DATA:
            assert not [layer for layer in logged if layer[0] < base and layer[1] > top]


@given(LAYERS)
def test_tiling_twice_is_tiling_once(layers):
    once = tile(boring(*layers))
    again = tile(Profile(id="B-1", depth_m=once[-1].base_m if once else None, layers=once))
    assert again == once


def test_the_upper_of_two_overlapping_layers_is_kept():
    assert tiles(boring((0, 6, "clay"), (5, 9, "sand"))) == [(0, 6, "clay"), (6, 9, "sand")]


def test_a_lens_is_cut_out_of_the_layer_around_it():
    assert tiles(boring((0, 9, "clay"), (4, 5, "sand"))) == [(0, 4, "clay"), (4, 5, "sand"), (5, 9, "clay")]


def test_gaps_are_named_and_stay_without_a_symbol():
    made = tile(boring((1, 3, "clay"), depth_m=5))
    assert [(layer.top_m, layer.base_m, layer.description, layer.symbol) for layer in made] == [
        (0, 1, NO_DATA, None),
        (1, 3, "clay", None),
        (3, 5, NO_DATA, None),
    ]


def test_nothing_is_claimed_below_the_end_of_the_boring():
    assert tiles(boring((0, 3, "clay"), (3, 9, "rock"), (9, 12, "rock"), depth_m=5)) == [(0, 3, "clay"), (3, 5, "rock")]


@pytest.mark.parametrize("layers", [[(0, 3, "clay"), (3, 9, "sand")], []])
def test_a_sound_log_is_left_as_it_is(layers):
    profile = boring(*layers)
    assert tile(profile) is profile.layers


def test_the_order_of_features_parts_no_layer():
    """Two lines of one ground, its features named in another order: still one layer."""
    upper = Layer(top_m=0, base_m=2, symbol="rock", features=("jointed", "vuggy"), absent=("cavities", "mined"))
    lower = Layer(top_m=2, base_m=4, symbol="rock", features=("vuggy", "jointed"), absent=("mined", "cavities"))
    assert [layer.base_m for layer in join_equal_layers(Profile(id="B", layers=(upper, lower))).layers] == [4]
    other = lower.model_copy(update={"features": ("vuggy",)})
    assert len(join_equal_layers(Profile(id="B", layers=(upper, other))).layers) == 2
