"""A boring made to fit: layers that tile it, elevations set over to a shaft."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.ground.fitted_boring import NO_DATA, at_shaft, join_equal_layers, level_difference, tile
from methodpick.ground.profile import Layer, Profile
from methodpick.ground.site import Shaft

# ---- The tiling law: whatever a log says, the layers made of it cover 0 to the end of the boring once


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


# ---- A boring set over to the ground of a shaft: elevations are kept, depths change by the difference of the grounds


BORING = Profile.model_validate(
    {
        "id": "B-1",
        "ground_elevation_m": 100.0,
        "depth_m": 20.0,
        "cave_in_depth_m": 7.0,
        "layers": [{"top_m": 0, "base_m": 4, "symbol": "CH"}, {"top_m": 4, "base_m": 20, "symbol": "SP"}],
        "water": [{"reading": "settled", "depth_m": 1.0}, {"reading": "piezometer", "depth_m": 3, "response_zone_m": [5, 9]}],
        "spt": [{"depth_m": 1, "n": 8}, {"depth_m": 10, "n": 20}],
        "remarks": [{"depth_m": 0.5, "text": "roots"}],
        "cores": [{"top_m": 18, "base_m": 20}],
    }
)


def shaft(elevation):
    return Shaft(id="P1", diameter_m=1.2, tip_m=15, ground_elevation_m=elevation)


def test_a_lower_ground_at_the_shaft_by_hand():
    """Ground at 98: what was 4 m deep is now 2 m deep, the water at 99 stands 1 m above the ground, the boring ends at 18 m."""
    moved = at_shaft(BORING, shaft(98.0), 1.0)
    assert [(layer.top_m, layer.base_m, layer.symbol) for layer in moved.layers] == [(0.0, 2.0, "CH"), (2.0, 18.0, "SP")]
    assert [reading.depth_m for reading in moved.water] == [-1.0, 1.0]
    assert moved.water[1].response_zone_m == (3.0, 7.0)
    assert (moved.end_m, moved.cave_in_depth_m, moved.ground_elevation_m) == (18.0, 5.0, 98.0)
    assert [test.depth_m for test in moved.spt] == [8.0]
    assert moved.remarks == ()
    assert (moved.cores[0].top_m, moved.cores[0].base_m) == (16.0, 18.0)


def test_a_higher_ground_is_reached_by_the_top_layer_a_little_and_has_no_log_above_that():
    near, far = at_shaft(BORING, shaft(100.8), 1.0), at_shaft(BORING, shaft(103.0), 1.0)
    assert [(round(layer.top_m, 3), round(layer.base_m, 3)) for layer in near.layers] == [(0.0, 4.8), (4.8, 20.8)]
    assert far.layers[0].top_m == 3.0
    assert far.end_m == 23.0


@pytest.mark.parametrize("at", [shaft(None), shaft(100.0)])
def test_without_a_level_or_without_a_difference_the_boring_is_as_logged(at):
    assert at_shaft(BORING, at, 1.0) is BORING


@given(st.floats(60, 140).map(lambda value: round(value, 2)))
def test_elevations_of_bases_and_water_do_not_change(elevation):
    moved = at_shaft(BORING, shaft(elevation), 1.0)
    assert level_difference(BORING, shaft(elevation)) == pytest.approx(elevation - 100.0)
    kept = {round(elevation - layer.base_m, 3) for layer in moved.layers}
    assert kept <= {96.0, 80.0}
    assert {round(elevation - reading.depth_m, 3) for reading in moved.water} == {99.0, 97.0}


def test_set_over_once_is_set_over(book):
    moved = at_shaft(BORING, shaft(98.0), book.values["top_stretch_m"])
    assert at_shaft(moved, shaft(98.0), 1.0) is moved
