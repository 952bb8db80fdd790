"""A way of advancing casing is whole: each part that it needs is there, so that a new one cannot be forgotten in any of them."""

import pytest

from methodpick.facts.of_site import plant_at_hand
from methodpick.facts.of_slice import WAY_PLANT
from methodpick.ground.rates import RelativeCosts
from methodpick.ground.site import Equipment
from methodpick.plan.casing.sizes import WAY_WORDS, words_of
from methodpick.terms import CASING_WAYS, SHAKING_WAYS


@pytest.mark.parametrize("way", CASING_WAYS)
def test_facts_limits_costs_and_words_know_the_way(book, way):
    assert f"penetrable_{way}" in book.catalogue.facts
    assert f"penetrable_{way}" in book.tables["penetration"].outputs
    assert {f"cost_advance_{way}_m", f"cost_plant_{way}", f"cost_hire_{way}", f"reach_{way}_m"} <= set(book.limits)
    assert {f"cost_advance_{way}_m", f"cost_plant_{way}", f"cost_hire_{way}"} <= set(RelativeCosts.model_fields)
    assert set(WAY_PLANT[way]) <= set(plant_at_hand(Equipment())) & set(book.catalogue.facts)
    assert way in WAY_WORDS


def test_no_part_knows_a_way_that_is_none(book):
    assert set(WAY_PLANT) == set(WAY_WORDS) == set(CASING_WAYS) > SHAKING_WAYS
    assert {name for name in book.catalogue.facts if name.startswith("penetrable_")} == {f"penetrable_{way}" for way in CASING_WAYS}


def test_a_casing_without_a_way_is_pushed():
    assert words_of(None).means == "pushing"
