"""Ticks, labels and volumes by hand calculation."""

from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.drawings.canvas import Depths, shorten, spread, ticks, width_of, wrap
from methodpick.drawings.charts import draw_volume


@given(st.floats(-1e4, 1e4), st.floats(1e-3, 1e4), st.integers(2, 20))
def test_ticks_are_round_inside_and_few(low, span, most):
    found = ticks(low, low + span, most)
    assert len(found) <= most + 1
    assert all(low - 1e-6 * span <= one <= low + span * (1 + 1e-6) + 1e-6 for one in found)


def test_feet_and_metres_have_ticks_of_their_own():
    """60 ft on a long scale is cut at tens of feet; 0.3048 m a foot (exact)."""
    depths = Depths(0.0, 60 * 0.3048, 0.0, 380.0, "us", 100 * 0.3048)
    assert [words for _, words in depths.marks()] == ["0", "10", "20", "30", "40", "50", "60"]
    assert depths.marks()[1][0] == pytest.approx(3.048)
    assert [words for _, words in depths.elevations()] == ["40", "50", "60", "70", "80", "90", "100"]
    assert depths.elevations()[0][0] == pytest.approx(60 * 0.3048), "elevation 40 ft under ground at 100 ft lies 60 ft deep"


@given(st.lists(st.tuples(st.floats(0, 500), st.floats(5, 30)), min_size=1, max_size=12))
def test_labels_never_touch_and_stay_inside(asked):
    asked.sort()
    wanted, heights = [one for one, _ in asked], [high for _, high in asked]
    places = spread(wanted, heights, 0.0, 600.0)
    for index, place in enumerate(places):
        assert place >= -1e-6
        assert place + heights[index] <= (places[index + 1] if index + 1 < len(places) else 600.0) + 1e-6


@given(st.text(max_size=200), st.integers(1, 4))
def test_wrapped_words_fit(text, most):
    rows = wrap(text, 80.0, 9.0, most)
    assert len(rows) <= most
    assert all(width_of(row, 9.0) <= 80.0 + 1e-6 for row in rows)
    assert width_of(shorten(text, 60.0, 9.0), 9.0) <= 60.0 + 1e-6


@pytest.mark.parametrize("name", ["caving-lens", "karst", "river-crossing", "stiff-clay", "saturated-sand", "twenty-layers"])
def test_the_drawn_curve_runs_from_the_tip_to_the_cut_off(planned, name):
    """Read back from the drawing: nothing is placed at the tip, which stands lowest; the expected curve never goes back."""
    for shaft in planned(name).shafts:
        paths = [
            one
            for one in ET.fromstring(draw_volume(shaft, "si")).iter("{http://www.w3.org/2000/svg}path")
            if one.get("stroke-width") == "2"
        ]
        assert len(paths) == 1
        points = [tuple(map(float, pair.split())) for pair in paths[0].get("d").removeprefix("M").split("L")]
        assert points[0][0] == 70.0, "the scale starts at no volume"
        for deep, high in pairwise(points):
            assert high[1] < deep[1]
            assert high[0] > deep[0]
