"""A boring set over to the ground of a shaft: elevations are kept, depths change by the difference of the grounds."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.ground.boring_at_shaft import at_shaft, level_difference
from methodpick.ground.profile import Profile
from methodpick.ground.site import Shaft

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
