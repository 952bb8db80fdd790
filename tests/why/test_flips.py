"""FlipSearch: planning again on either side of every value reported gives the two answers, by the whole plan."""

from functools import cache

import pytest
from effort import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from shipped import shipped_rulebook

from methodpick.imports.site_file import read_site
from methodpick.plan.pipeline import assumptions_for, plan
from methodpick.resources import folder
from methodpick.why.flips import FlipSearch, ShaftQuestion

MORE = pytest.mark.ci_only("searches the flips of one more example")
EXAMPLES = [
    "stiff-clay",
    *(pytest.param(name, marks=MORE) for name in ("artesian-sand", "caving-lens", "karst", "river-crossing", "saturated-sand")),
]
"""All but the viaduct, whose 60 shafts take long."""


_book = shipped_rulebook


@cache
def _example(name):
    book = _book()
    site = read_site(folder("profiles") / f"{name}.yaml")[0]
    made = plan(site, book)
    return book, site, made, {}


def _flips(name, shaft):
    book, site, made, kept = _example(name)
    if shaft not in kept:
        planned = made.shafts[shaft]
        asked = ShaftQuestion(site, planned.id, book, assumptions_for(site, book, assumptions=True))
        kept[shaft] = FlipSearch(asked, [(interval.top_m + interval.base_m) / 2 for interval in planned.intervals])
    return kept[shaft]


@cache
def _changed(site, shaft):
    """Plan one shaft of a changed site, once however often a test asks for it."""
    return plan(site, _book(), shafts=[shaft]).shafts[0]


def _support(name, shaft, site, depth_m):
    """Return the support at a depth by the whole plan of a changed site."""
    changed = _changed(site, _example(name)[2].shafts[shaft].id)
    return next((interval.support for interval in changed.intervals if interval.top_m <= depth_m <= interval.base_m), "undecided")


@pytest.mark.parametrize("name", EXAMPLES)
@settings(max_examples=examples(5, least=1))
@given(data=st.data())
def test_just_before_the_flip_the_plan_stands_and_at_it_the_plan_is_the_other(name, data):
    _, site, made, _ = _example(name)
    shaft = data.draw(st.integers(0, len(made.shafts) - 1))
    search = _flips(name, shaft)
    index = data.draw(st.integers(0, len(search.depths_m) - 1))
    depth, was = search.depths_m[index], made.shafts[shaft].intervals[index].support
    changes = {change.words: change for change in search.changes(index)}
    for flip in search.singles(index):
        change = changes[flip.said]
        if flip.flips_at is None:
            assert _support(name, shaft, change.site_after(site, change.credible.steps_up), depth) != was
            continue
        steps = next(
            k for k in range(-change.credible.steps_down, change.credible.steps_up + 1) if change.credible.value(k) == flip.flips_at
        )
        assert _support(name, shaft, change.site_after(site, steps), depth) == flip.then != was
        nearer = (steps - 1, steps + 1) if change.credible.now is None else (steps - (1 if steps > 0 else -1),)
        assert was in [_support(name, shaft, change.site_after(site, k), depth) for k in nearer]


def test_an_input_at_its_present_value_changes_nothing():
    for name in ("caving-lens", "stiff-clay"):
        _, site, made, _ = _example(name)
        search = _flips(name, 0)
        for index, depth in enumerate(search.depths_m):
            for change in search.changes(index):
                if change.credible.now is not None:
                    assert _support(name, 0, change.site_after(site, 0), depth) == made.shafts[0].intervals[index].support, change.words


@pytest.mark.ci_only("searches changes on whole plans")
def test_a_shallower_tip_in_the_caving_lens_is_not_worth_a_casing():
    # common practice, no source: a casing sealed into the lower clay pays only where enough shaft follows below it
    search = _flips("caving-lens", 0)
    flip = next(flip for flip in search.singles(0) if flip.input == "tip")
    assert flip.design
    assert flip.flips_at < flip.now
    assert flip.then == "slurry"


def test_a_weak_crust_flips_from_dry_to_casing(site, book, planned):
    # Clay without strength does not stand: below an undrained strength of a few kPa the crust of stiff clay is cased.
    made = site("stiff-clay-thin")
    asked = ShaftQuestion(made, made.shafts[0].id, book, assumptions_for(made, book, assumptions=True))
    first = planned("stiff-clay-thin").shafts[0].intervals[0]
    flip = next(flip for flip in FlipSearch(asked, [(first.top_m + first.base_m) / 2]).singles(0) if flip.input == "su")
    assert flip.flips_at < 12 < flip.now
    assert not flip.design
    assert flip.then == "temporary_casing"


def test_water_of_which_nothing_is_known_is_read_over_its_whole_range(book, read_text):
    made = read_text("""methodpick: 1
site: {units: si, name: Harrow Reach}
borings:
  - {id: B-1, technique: auger, depth: 20, layers: [{top: 0, base: 20, description: "dense fine sand", symbol: SM, n: [35, 40]}]}
shafts: [{id: P1, boring: B-1, diameter: 900 mm, tip: 14}]
""")
    search = FlipSearch(ShaftQuestion(made, "P1", book, assumptions_for(made, book, assumptions=True)), [10.0])
    water = next(change for change in search.changes(0) if change.name == "water_level")
    assert water.credible.now is None
    readings = water.site_after(made, water.credible.steps_up).borings[0].water
    assert [(reading.reading, reading.depth_m) for reading in readings] == [("settled", pytest.approx(14.0, abs=0.06))]


@pytest.mark.ci_only("searches all pairs of inputs; tests/cli/test_why.py has the same search printed")
def test_pairs_flip_together_and_neither_alone(site, book, planned):
    """Weaker clay and a deeper tip: each alone leaves the hole dry, both together ask for fluid."""
    made, shaft = site("stiff-clay-thin"), planned("stiff-clay-thin").shafts[0]
    depth_m = (shaft.intervals[-1].top_m + shaft.intervals[-1].base_m) / 2
    search = FlipSearch(ShaftQuestion(made, shaft.id, book, assumptions_for(made, book, assumptions=True)), [depth_m])
    changes = {change.words: change for change in search.changes(0)}
    found = list(search.pairs(0))
    assert found
    for flip in found:
        parts = [(changes[part.said], part.flips_at) for part in (flip, flip.together)]
        alone = [change.change(made, value) for change, value in parts]
        both = parts[1][0].change(alone[0], parts[1][1])
        supports = [
            next(interval.support for interval in _changed(each, shaft.id).intervals if interval.top_m <= depth_m <= interval.base_m)
            for each in (*alone, both)
        ]
        assert supports == [shaft.intervals[-1].support] * 2 + [flip.then]
        assert flip.then != shaft.intervals[-1].support
