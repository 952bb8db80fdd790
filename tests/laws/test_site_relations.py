"""Laws of changed sites: what must stay the same does, and no change for the worse betters an open hole.

``tests/generated/relations.py`` says what is changed and how the two plans are judged; sites come from ``tests/generated/sites.py``.
Violations that were found stand in ``tests/generated/counterexamples/``, made small, so that they do not come back; one in
``OPEN`` with its cause is still violated. ``count_violations.py`` there looks for more, ``minimise.py`` makes one small.
"""

from pathlib import Path

import pytest
import yaml
from effort import examples
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st
from minimise import written
from relations import RELATIONS
from sites import generated_sites

FOLDER = Path(__file__).parents[1] / "generated" / "counterexamples"
COUNTEREXAMPLES = {path.stem: yaml.load(path.read_text(encoding="utf-8"), yaml.CSafeLoader) for path in sorted(FOLDER.glob("*.yaml"))}

OPEN: dict[str, str] = {}
"""Counterexamples that are still violated, and why."""


def marked(name):
    """Expect a counterexample to fail where it is open."""
    return pytest.param(name, marks=pytest.mark.xfail(strict=True, reason=OPEN[name])) if name in OPEN else name


@pytest.mark.parametrize("name", [marked(name) for name in COUNTEREXAMPLES])
def test_a_counterexample_is_none_any_more(name):
    case = COUNTEREXAMPLES[name]
    assert RELATIONS[case["relation"]].violations(case["site"], case["change"]) == []


def test_counterexamples_name_relations():
    assert set(OPEN) <= set(COUNTEREXAMPLES)
    assert {case["relation"] for case in COUNTEREXAMPLES.values()} <= set(RELATIONS)


@st.composite
def cases(draw, relation):
    """Draw a site and the particulars of a change that applies to it."""
    tree = draw(generated_sites(detail=relation.detail)).tree
    particulars = relation.draw(draw(st.randoms(use_true_random=False)), tree)
    assume(particulars is not None)
    return tree, particulars


LAWS: set[str] = set()
"""The relations that have a test."""


def law(name):
    """Make the test of a relation; it may fail while one of its counterexamples, which have a test of their own, is open."""
    relation = RELATIONS[name]
    LAWS.add(name)

    # minimise.py makes sites smaller by their meaning, and faster than hypothesis can; the quick profile leans on the counterexamples
    @given(case=cases(relation))
    @settings(max_examples=examples(10, least=1, share=10), suppress_health_check=list(HealthCheck), phases=(Phase.generate,))
    def test(case):
        assert relation.violations(*case) == [], written(relation, *case)

    reasons = [OPEN[name] for name, case in COUNTEREXAMPLES.items() if case["relation"] == relation.name and name in OPEN]
    return pytest.mark.xfail(strict=False, reason="; ".join(reasons))(test) if reasons else test


test_higher_water_never_betters_a_dry_hole = law("raise_water")
test_higher_water_never_betters_a_hole_under_fluid = law("raise_water_under_fluid")
test_one_more_reading_of_higher_water_never_betters_a_dry_hole = law("add_reading")
test_one_more_reading_of_higher_water_never_betters_a_hole_under_fluid = law("add_reading_under_fluid")
test_weaker_clay_never_betters_an_open_hole = law("weaken_clay")
test_a_wider_range_of_a_fact_never_betters_an_open_hole = law("widen")
test_leaving_out_what_is_absent_never_betters_an_open_hole = law("leave_out")
test_taking_nothing_as_normal_never_betters_an_open_hole = law("no_assumptions")
test_a_deleted_reading_never_makes_firm_what_it_spoke_against = law("delete_reading")
test_a_deleted_strength_never_makes_firm_what_it_spoke_against = law("delete_strength")
test_a_deleted_blow_count_never_makes_firm_what_it_spoke_against = law("delete_test")
test_a_deleted_sign_never_makes_firm_what_it_spoke_against = law("delete_sign")
test_a_layer_split_in_two_changes_nothing = law("split_layer")
test_the_order_of_keys_and_entries_changes_nothing = law("permute_keys")
test_the_order_of_layers_changes_nothing = law("shuffle_layers")
test_feet_and_metres_of_one_site_give_one_plan = law("us_units")
test_shifting_all_elevations_changes_nothing = law("shift_elevations")
test_a_deleted_only_reading_of_free_water_never_betters_an_open_hole = law("delete_only_reading")


def test_every_relation_is_a_law():
    assert set(RELATIONS) == LAWS
