"""Costs over a dry metre by the diameter of the shaft.

A Spanish cost base (2024, transcription): at 0.45 m slurry costs 2.04 to 2.19 times dry, recoverable casing 2.60 to 2.79 times. Above 1.2 m
steel goes by its mass (own).
"""

import pytest

from methodpick.plan.sequence.search_input import USUAL_SIZE, read_costs, size_factors


def costs(book, diameter_m, rates=None):
    return read_costs(book.values, rates, 1, size=size_factors(diameter_m, book.values))


def test_slurry_and_casing_in_a_narrow_shaft(book):
    narrow = costs(book, 0.45)
    assert 2.04 <= narrow.per_m["mineral"] <= 2.19
    set_in_a_hole = narrow.per_m["cased_balanced"] + narrow.casing_m + narrow.advance_m["vibrated"] / 2
    assert set_in_a_hole == pytest.approx(2.7, abs=0.2)


def test_the_usual_size_has_the_costs_of_the_rulebook(book):
    usual = costs(book, 1.2)
    assert size_factors(1.2, book.values) == USUAL_SIZE
    assert usual.per_m["mineral"] == book.values["cost_mineral_m"]


def test_casing_grows_faster_than_fluid_in_wide_shafts_and_is_never_cheaper(book):
    wide = [costs(book, diameter) for diameter in (1.2, 1.5, 2.0, 3.0)]
    permanent = [each.permanent_m for each in wide]
    assert permanent == sorted(permanent)
    assert permanent[-1] > 1.5 * permanent[0]
    share = [each.casing_m / (each.per_m["mineral"] - 1.0) for each in wide]
    assert share == sorted(share)
    assert [each.per_m["dry"] for each in wide] == [1.0] * 4


def test_the_users_own_costs_are_taken_as_they_are(book):
    mine = costs(book, 3.0, {"cost_casing_m": 0.7, "cost_polymer_m": 1.4})
    assert (mine.casing_m, mine.per_m["polymer"]) == (0.7, 1.4)


@pytest.mark.parametrize("name", ["river-crossing", "karst"])
def test_a_wide_shaft_is_verified_with_the_same_costs(name, planned):
    """The review works costs out by itself; plans of the example sites are verified where they are made."""
    assert all(shaft.relative_cost > 0 for shaft in planned(name).shafts)
