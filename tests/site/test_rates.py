"""Hours and cost: from the user's rates only, as ranges, with what is lacking named; wrong names found in the file."""

import pytest

from methodpick.errors import InputError
from methodpick.ground.rates import RelativeCosts
from methodpick.site.planning import plan_site
from methodpick.site.site_takeoff import take_off

SITE = """\
methodpick: 1
site: {{units: {units}, starter_casing: false, recharge: [none], contamination: none}}
borings:
  - {{id: B, depth: {deep}, technique: solid_auger, water: [{{reading: settled, depth: {water}, after: 24 h}}],
     layers: [{{top: 0, base: {deep}, description: "hard grey lean clay", symbol: CL, su: {su}, pi: 20, absent: [fissured]}}]}}
shafts: [{{id: P1, boring: B, diameter: {wide}, tip: {tip}, count: 3}}]
{rates}"""
SI = {"units": "si", "deep": 40, "water": 38, "su": 190, "wide": 1200, "tip": 12}
US = {"units": "us", "deep": 130, "water": 124, "su": 4000, "wide": 48, "tip": 40}


@pytest.fixture
def takeoff_with(read_text, book):
    def make(rates, base=SI):
        site = read_text(SITE.format(**base, rates=rates))
        return take_off(site, plan_site(site, book), book)

    return make


def test_hours_and_cost_by_hand(takeoff_with):
    """12 m at 2, 3 and 4 m/h are 6, 4 and 3 h; with 1 h to move and a rig at 100 an hour 700, 500 and 400 a shaft, three shafts."""
    made = takeoff_with(
        "rates: {rig: 100, move_hours: 1, drilling: [{material: clay, tool: auger, speed: {low: 2, likely: 3, high: 4}, wear: 5}]}"
    )
    row = made.hours[0]
    assert (row.drill.low, row.drill.likely, row.drill.high) == (3, 4, 6)
    assert (row.total.low, row.total.likely, row.total.high) == (4, 5, 7)
    assert row.by_rates
    lines = {line.item: line.amount for line in made.cost.lines}
    assert (lines["rig and crew"].low, lines["rig and crew"].likely, lines["rig and crew"].high) == (1200, 1500, 2100)
    assert lines["wear, auger in clay"].likely == 3 * 12 * 5
    assert set(lines) == {"rig and crew", "wear, auger in clay"}
    assert "pour: concrete" in made.cost.lacking
    assert {"clean_hours", "cage_hours", "pour: speed"} <= set(row.lacking)


def test_without_a_likely_value_the_middle_is_taken(takeoff_with):
    made = takeoff_with("rates: {drilling: [{material: any, tool: auger, speed: [2, 4]}]}")
    assert made.hours[0].drill.likely == 4  # 12 m at 3 m/h


def test_without_rates_nothing_is_priced(takeoff_with):
    made = takeoff_with("")
    assert made.cost is None
    assert not made.hours[0].by_rates
    assert any("No rates are given" in note for note in made.notes)
    assert takeoff_with("rates: {cost_dry_m: 1.5}").cost is None, "relative costs are no prices"


def test_a_material_that_has_no_rate_is_named(takeoff_with):
    assert "drilling: clay, dry hole" in takeoff_with("rates: {drilling: [{material: rock, tool: core barrel, speed: 1}]}").cost.lacking


def test_bare_prices_follow_the_units_and_own_units_go_first(takeoff_with):
    """Concrete at 180 a cubic yard: 180 x the yards; the same as 180 /yd3 in an SI file (1 yd3 is 0.764555 m3)."""
    us = takeoff_with("rates: {pour: {concrete: 180}}", US)
    si = takeoff_with("rates: {pour: {concrete: 180 /yd3}}")
    for made in (us, si):
        order = next(line for line in made.totals if line.item == "concrete, to order").amount.likely
        assert made.cost.total.likely == pytest.approx(order / 0.764554858 * 180, rel=1e-6)


@pytest.mark.parametrize(
    ("rates", "message", "column"),
    [
        ("rates: {rigs: 100}", "unknown key 'rigs'", 9),
        ("rates: {cost_wet_m: 2}", "unknown key 'cost_wet_m'", 9),
        ("rates: {drilling: [{material: mud, tool: auger, speed: 3}]}", "'mud' is not a known value of 'material'", 31),
        ("rates: {drilling: [{material: clay, speed: 3}]}", "has no 'tool'", 20),
        ("rates: {rig: -5}", "rig -5 /h cannot be", 14),
        ("rates: {casing: {buy: cheap}}", "'cheap' is not a price of a mass", 23),
        ("rates: {casing: {buying: 1}}", "unknown key 'buying'", 18),
        ("pay: {drilling: maybe}", "'maybe' is not a known value of 'drilling'", 17),
        ("pay: {drilled: paid}", "unknown key 'drilled'", 7),
    ],
)
def test_wrong_names_and_values_are_pointed_at(read_text, rates, message, column):
    with pytest.raises(InputError) as caught:
        read_text(SITE.format(**SI, rates=rates))
    problem = caught.value.problems[0]
    assert message in problem.message
    assert (problem.place.line, problem.place.column) == (7, column)
    assert problem.expected


def test_every_relative_cost_of_the_rulebook_can_be_given(book):
    costs = {name for name in book.limits if name.startswith("cost_")}
    assert costs <= set(RelativeCosts.model_fields)


def test_materials_of_rates_are_the_soils_of_the_catalogue(book):
    from typing import get_args

    from methodpick.ground.rates import Material

    assert set(get_args(Material)) == set(book.catalogue.facts["soil"].words) | {"any"}


def test_the_search_still_follows_the_relative_costs(read_text, book):
    """Dearer than anything else, a dry hole is no longer the cheapest way."""
    dear = read_text(SITE.format(**SI, rates="rates: {cost_dry_m: 1000}"))
    assert (
        plan_site(dear, book).plan.shafts[0].relative_cost
        > plan_site(read_text(SITE.format(**SI, rates="")), book).plan.shafts[0].relative_cost
    )
