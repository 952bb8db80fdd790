"""Where a casing may end in a layer, by hand; embedments, steps and covers are own values."""

from types import SimpleNamespace

import pytest

from methodpick.plan.sequence.seats import MOST_SEATS, _depths
from methodpick.vocabulary.values import Span

LIMITS = {"seat_cover_m": 0.3, "seat_step_m": 3.0, "seat_layer_least_m": 0.4}
EMBEDMENT = Span(1.0, 2.0, 1.5)


@pytest.mark.parametrize(
    ("base_m", "depths_m"),
    [(5.3, []), (6.2, [5.6]), (6.4, [6.1]), (6.7, [6.4]), (6.9, [6.5]), (9.7, [6.5])],
    ids=["too thin", "its middle", "what is left over the cover", "more is left", "the likely embedment", "thick"],
)
def test_a_seat_in_a_layer_by_its_thickness(base_m, depths_m):
    """From 5 m down: 1.5 m into it where 0.3 m are left below, else what leaves them, else its middle; none under 0.4 m."""
    found = _depths(SimpleNamespace(top_m=5.0, base_m=base_m), EMBEDMENT, LIMITS, deep=False)
    assert found == pytest.approx(depths_m)


def test_a_shoe_never_seals_on_the_face_of_a_rock():
    """By hand: half a metre of rock is entered by 0.2 m, so that 0.3 m are left; a shoe on its face would stand in the void above it."""
    assert _depths(SimpleNamespace(top_m=20.8, base_m=21.3), Span(0.1, 0.6, 0.3), LIMITS, deep=True) == pytest.approx([21.0])


@pytest.mark.parametrize(("base_m", "depths_m"), [(9.7, [6.5]), (9.9, [6.5, 9.5]), (99.0, [6.5, 9.5, 12.5, 15.5])])
def test_deeper_seats_in_thick_ground_that_seals(base_m, depths_m):
    """Every 3 m below the first as long as 0.3 m are left below the shoe; four in all."""
    found = _depths(SimpleNamespace(top_m=5.0, base_m=base_m), EMBEDMENT, LIMITS, deep=True)
    assert found == pytest.approx(depths_m)
    assert len(found) <= MOST_SEATS


@pytest.mark.parametrize(("name", "clay_top_m"), [("sand-over-clay-thin", 9.144), ("vibrated-by-a-shed", 7.0)])
def test_a_vibrated_casing_is_pushed_through_the_stiff_clay_of_its_seat(planned, name, clay_top_m):
    """GEC 10 (2018) sec. 5.2, as the table of penetration cites it: vibration works best in sand, not in stiff clay."""
    shaft = planned(name).shafts[0]
    stage = [stage for stage in shaft.stages if stage.action == "advance_casing"][-1]
    assert f"by vibration (the last ⟦{round(stage.base_m - clay_top_m, 3):g}|m⟧ pushed or twisted), and dig inside" in stage.text
