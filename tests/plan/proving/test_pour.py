"""What the proofs of fluid, pour and pull are given of a way, by hand."""

from types import SimpleNamespace

import pytest

from methodpick.plan.proving.prove import _balances, _pulls, _starter
from methodpick.vocabulary.values import Span, point


def asked(_, facts):
    """Give what a proof is given, in place of its records."""
    return (facts,)


@pytest.mark.parametrize(("level", "acts"), [(Span(1.9, 3.0, 2.5), True), (Span(2.0, 3.0, 2.5), False), (Span(4.0, 6.0, 5.0), False)])
def test_groundwater_acts_at_the_starter_s_shoe_where_it_may_stand_over_it(level, acts):
    """A shoe at 2 m: water that stands at 2 m at its highest has no pressure there."""
    ground = SimpleNamespace(aquifer=SimpleNamespace(level_m=level), phi=None, su=None)
    piece = SimpleNamespace(slice=SimpleNamespace(ground=ground, sheet=SimpleNamespace(facts={})))
    site = SimpleNamespace(slice_above=lambda _: piece, total_kpa=lambda _: point(40.0), prove=asked)
    held = SimpleNamespace(fluid="polymer", top_m=2.0, base_m=9.0, level_m=0.0, density_min_kg_m3=1005.0, density_target_kg_m3=1010.0)
    way = SimpleNamespace(starter=SimpleNamespace(base_m=2.0), strings=(), first_stage_under=lambda _: None)
    (facts,) = _starter(site, way, held)
    assert facts.water_level_m == (level if acts else None)
    assert facts.density_kg_m3 == point(1010.0)


def balance_of(finished_m, cutoff_m, steps):
    """Give what the proof of a pulled casing is given; 10 kPa a metre press outside."""
    casing = SimpleNamespace(kind="temporary", base_m=9.0)
    concrete = SimpleNamespace(pulls=steps, finished_level_m=finished_m, starter_kept=False)
    way = SimpleNamespace(
        concrete=concrete, stages=(), casings=(casing,), placement=SimpleNamespace(state="dry"), stage_that_pulls=lambda _: None
    )
    outside = SimpleNamespace(pressure=lambda depth_m, **_: 10.0 * depth_m)
    (facts,) = _balances(SimpleNamespace(outside=outside, inside={}, shaft=SimpleNamespace(cutoff_m=cutoff_m), prove=asked), way)
    return facts


@pytest.mark.parametrize(("cutoff_m", "outside_kpa"), [(2.0, 20.0), (0.0, 0.0), (-3.0, 0.0)])
def test_what_presses_on_the_concrete_at_the_cutoff(cutoff_m, outside_kpa):
    """No ground presses on a column above the ground."""
    step = SimpleNamespace(casing_no=1, shoe_m=9.0, level_before_m=1.0, shoe_after_m=4.0, level_after_m=2.0)
    assert balance_of(1.5, cutoff_m, [step]).cutoff_outside_kpa == point(outside_kpa)


@pytest.mark.parametrize(
    ("finished_m", "shoe_m", "there"), [(1.5, 4.0, True), (4.0, 4.0, False), (-2.0, 0.003, True), (-2.0, 0.002, False)]
)
def test_a_shoe_is_balanced_until_it_leaves_the_concrete_or_the_ground(finished_m, shoe_m, there):
    """Depths within 2 mm are one depth."""
    last = SimpleNamespace(casing_no=1, shoe_m=9.0, level_before_m=1.0, shoe_after_m=shoe_m, level_after_m=2.0)
    assert [shoe.shoe_m for shoe in balance_of(finished_m, 2.0, [last]).shoes] == [9.0, shoe_m][: 1 + there]


@pytest.mark.parametrize(("way", "share"), [("twisted", 0.4), ("driven", 1.0)])
def test_the_friction_of_a_string_is_counted_once(book, way, share):
    """500 kN along 1.2 m of casing that weighs 4 t, 39.2 kN: a plant that turns it meets 0.4 of the friction (own value)."""
    assert book.values["turning_share"] == 0.4
    casing = SimpleNamespace(way=way, outside_diameter_m=1.2, base_m=9.0, mass_kg=4000.0)
    pull = SimpleNamespace(casing_no=1, friction_low_kn=300.0, friction_kn=500.0, friction_high_kn=800.0)
    plant = SimpleNamespace(rig_pull_kn=400.0, oscillator_pull_kn=None, vibrator_pull_kn=600.0)
    ground = SimpleNamespace(
        site=SimpleNamespace(site=SimpleNamespace(equipment=plant)),
        limits=book.limits,
        prove=lambda check, facts: check(facts, book.limits),
    )
    built = SimpleNamespace(
        concrete=SimpleNamespace(extraction=(pull,)), casings=(casing,), stage_that_pulls=lambda _: SimpleNamespace(no=7)
    )
    (check,) = _pulls(ground, built)
    assert check.id == "pull"
    assert check.needed.likely == pytest.approx(share * 500.0 + 4000.0 * 9.81e-3, abs=0.1)
    assert check.has.likely == {"twisted": 400.0, "driven": 600.0}[way]
