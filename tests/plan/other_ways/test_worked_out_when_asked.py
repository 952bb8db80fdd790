"""The ways beside a plan are worked out when somebody asks, and are then what they would have been at once."""

import pytest

from methodpick.plan.pipeline import plan
from methodpick.plan.sequence import families

SITES = ("caving-lens", "stiff-clay-thin", "artesian-sand")
PARTS = ("cautious", "alternates", "ladder")


@pytest.fixture
def searched(monkeypatch):
    """Count the families that are searched."""
    found = []
    find_of = families._ProvedSearch.find_of

    def counted(search, family):
        found.append(family)
        return find_of(search, family)

    monkeypatch.setattr(families._ProvedSearch, "find_of", counted)
    return found


def test_no_other_family_is_searched_before_it_is_asked_for(site, book, searched):
    shaft = plan(site("caving-lens"), book).shafts[0]
    assert shaft.cautious is not None
    assert searched == []
    assert len(shaft.alternates) == len(searched) == len(families.FAMILIES) - 1
    assert shaft.ladder
    assert len(searched) == len(families.FAMILIES) - 1


@pytest.mark.parametrize("name", SITES)
def test_what_is_asked_for_first_changes_nothing(site, book, name):
    forwards, backwards = plan(site(name), book).shafts[0], plan(site(name), book).shafts[0]
    first = [getattr(forwards, part) for part in PARTS]
    last = [getattr(backwards, part) for part in reversed(PARTS)]
    assert first == last[::-1]
    assert forwards == backwards


def test_alike_shafts_share_the_ways_beside_their_plan(planned_site):
    shafts = planned_site("viaduct").plan.shafts
    ways = {id(shaft.other_ways) for shaft in shafts}
    assert len(ways) < len(shafts)
