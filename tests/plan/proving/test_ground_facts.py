"""What the proofs look up in the ground of a shaft, by hand."""

from types import SimpleNamespace

import pytest

from methodpick.facts.aquifer import Aquifer
from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.vocabulary.values import Span


def water(top_m, level_m, kind="main"):
    return Aquifer(top_m, top_m, level_m, kind, "settled", read=True)


MAIN, DEEP = water(0.0, Span(3.0, 6.0, 5.0)), water(10.0, Span(1.0, 4.5, 2.0), "confined")


@pytest.mark.parametrize(
    ("waters", "depth_m", "outside"),
    [
        ([MAIN], 8.0, Span(3.0, 6.0, 5.0)),
        ([MAIN, DEEP], 8.0, Span(3.0, 6.0, 5.0)),
        ([MAIN, DEEP], 12.0, Span(1.0, 4.5, 2.0)),
        ([MAIN, water(10.0, Span(4.0, 9.0, 8.0), "confined")], 12.0, Span(3.0, 6.0, 5.0)),
        ([MAIN, water(10.0, Span(2.0, 7.0), "confined")], 12.0, Span(2.0, 6.0)),
        ([MAIN, water(0.0, Span(0.5, 1.0, 0.7), "perched")], 8.0, Span(3.0, 6.0, 5.0)),
        ([MAIN], 3.0, None),
    ],
    ids=["alone", "not reached", "the lower rises higher", "the upper rises higher", "unknown", "perched", "none"],
)
def test_the_highest_water_that_acts_at_a_depth(waters, depth_m, outside):
    """Level by level in metres below the ground: of the least depths the least, of the likely and the greatest as well.

    One level without a likely value leaves none for all; perched water runs off where it is cased.
    """
    ground = SimpleNamespace(gatherer=SimpleNamespace(aquifers=waters))
    assert GroundFacts.water_outside_m(ground, depth_m) == outside
