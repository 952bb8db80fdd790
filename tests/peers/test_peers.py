"""General rule engines must answer as ours does: the oracle of the compiled rules from outside. `pip install -e '.[peers]'`"""

import pytest
from engines import PEERS, Bare, Ours, Twofold
from forty import COUNT, as_points, facts_used, forty_rules, plain_places, wide_places

from methodpick.engine.compiler import TRUE
from methodpick.engine.interpret import truth

PLACES = 300


@pytest.fixture(scope="module")
def rules(book):
    return forty_rules(book)


@pytest.fixture(scope="module")
def places(book, rules):
    return plain_places(book, facts_used(rules), PLACES)


def test_there_are_forty_rules_and_every_one_fires_and_is_silent_somewhere(book, rules, places):
    assert len(rules) == COUNT
    ours = Ours(rules, book.catalogue)
    fired = [set(ours.fired(place)) for place in places]
    for rule in rules:
        assert 0 < sum(rule.id in ids for ids in fired) < PLACES, rule.id


@pytest.mark.parametrize("kind", [*PEERS, Bare], ids=lambda kind: kind.name)
def test_another_engine_fires_the_same_rules(kind, book, rules, places):
    ours = Ours(rules, book.catalogue)
    try:
        engine = kind(rules, book.catalogue)
    except ImportError:
        pytest.skip(f"{kind.package} is not installed: pip install -e '.[peers]'")
    for place in places:
        assert sorted(engine.fired(place)) == sorted(ours.fired(place)), place


def test_points_and_sets_of_one_value_fire_the_same_rules(book, rules, places):
    ours, twofold = Ours(rules, book.catalogue), Twofold(rules, book.catalogue)
    for place in places:
        fired = ours.fired(place)
        assert twofold.fired(as_points(place)) == (fired, fired)


def test_the_twofold_judgement_is_the_interpreters(book, rules):
    twofold = Twofold(rules, book.catalogue)
    for values in wide_places(book, facts_used(rules), PLACES):
        near = {name: value.at_likely for name, value in values.items()}
        for fired, known in zip(twofold.fired(values), (values, near), strict=True):
            assert list(fired) == [rule.id for rule in rules if truth(rule.condition, known, book.catalogue) == TRUE]
