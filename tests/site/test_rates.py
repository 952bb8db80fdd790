"""Hours and cost: from the user's rates only, as ranges, with what is lacking named; wrong names found in the file."""

import pytest

from methodpick.errors import InputError
from methodpick.ground.rates import RelativeCosts
from methodpick.site.planning import plan_site
from methodpick.site.result import STANDING
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
    """12 m at 2, 3 and 4 m/h are 6, 4 and 3 h; with 1 h to move and a rig at 100 an hour 700, 500 and 400 a shaft, three
    shafts; the pour, at 1000 m3/h, takes a hundredth of an hour.
    """
    made = takeoff_with(
        "rates: {rig: 100, move_hours: 1, clean_hours: 0, cage_hours: 0, pour: {speed: 1000}, "
        "drilling: [{material: clay, tool: auger, speed: {low: 2, likely: 3, high: 4}, wear: 5}]}"
    )
    row = made.hours[0]
    assert (row.drill.low, row.drill.likely, row.drill.high) == (3, 4, 6)
    assert (row.total.low, row.total.likely, row.total.high) == pytest.approx((4, 5, 7), abs=0.02)
    assert row.by_rates
    begun = [shaft.begun_h for shaft in made.calendar.shafts]
    assert begun == pytest.approx([0.0, 5.0, 28.0]), (
        "the rig moves in 1 h; the second hole and its pour end after 10 h, so it is drilled next day"
    )
    assert (made.calendar.days.low, made.calendar.days.likely, made.calendar.days.high) == (2, 2, 3)
    lines = {line.item: line.amount for line in made.cost.lines}
    assert (lines["rig and crew"].low, lines["rig and crew"].likely, lines["rig and crew"].high) == pytest.approx((1200, 1500, 2100), abs=6)
    assert lines["wear, auger in clay"].likely == 3 * 12 * 5
    assert set(lines) == {"rig and crew", STANDING, "wear, auger in clay"}
    assert {"pour: concrete", "mobilisation", "spoil", "cage", "tubes"} == {line.rate for line in made.cost.unpriced}
    assert not row.lacking


def test_a_rig_that_stands_costs_what_it_does_by_the_hour(takeoff_with):
    """Three shafts of 4, 5 and 7 h in 2, 2 and 3 days of 10 h: on site 20, 20 and 30 h, at work 12, 15 and 21, so 8, 5 and 9 h stand.

    They are at least 5, likely 5 and at most 9, each at 100, or at the 60 that the file has for standing.
    """
    rates = (
        "rates: {{rig: 100, {more}move_hours: 1, clean_hours: 0, cage_hours: 0, pour: {{speed: 1000}}, "
        "drilling: [{{material: clay, tool: auger, speed: {{low: 2, likely: 3, high: 4}}}}]}}"
    )
    for more, each in (("", 100), ("rig_standing: 60, ", 60)):
        made = takeoff_with(rates.format(more=more))
        (line,) = [line for line in made.cost.lines if line.item == STANDING]
        assert (line.quantity.low, line.quantity.likely, line.quantity.high) == pytest.approx((5, 5, 9), abs=0.1)
        assert line.amount.likely == pytest.approx(5 * each, abs=6)
        assert line.formula.startswith("1 rig in shifts of 10 h over 2 days, less their work: ")
        assert line.formula.endswith("an hour, as one that works") == (not more)
        assert made.cost.total.likely == pytest.approx(sum(each.amount.likely for each in made.cost.lines))
    without = takeoff_with("rates: {mobilisation: 1}")
    assert {"rig and crew", STANDING} <= {line.item for line in without.cost.unpriced}


def test_without_a_likely_value_the_middle_is_taken(takeoff_with):
    made = takeoff_with("rates: {drilling: [{material: any, tool: auger, speed: [2, 4]}]}")
    assert made.hours[0].drill.likely == 4  # 12 m at 3 m/h


def test_without_rates_nothing_is_priced(takeoff_with):
    made = takeoff_with("")
    assert made.cost is None
    assert not made.hours[0].by_rates
    assert any("No rates are given" in note for note in made.notes)
    assert takeoff_with("rates: {cost_dry_m: 1.5}").cost is None, "relative costs are no prices"


def test_work_without_a_rate_takes_the_planning_hours_and_says_so(takeoff_with):
    """A rate for the move alone leaves every other hour as it is planned without any rate; none of them becomes nothing."""
    planned, moved = takeoff_with("").hours[0], takeoff_with("rates: {move_hours: 5}").hours[0]
    kinds = ("drill", "casing", "fluid", "clean", "cage", "pour", "pull")
    assert [getattr(moved, kind).likely for kind in kinds] == pytest.approx([getattr(planned, kind).likely for kind in kinds], abs=0.01)
    assert moved.total.likely == pytest.approx(planned.total.likely - planned.move.likely + 5, abs=0.01)
    assert set(moved.lacking) == {"drilling: clay, dry hole", "clean_hours", "cage_hours", "pour: speed"}


def test_of_two_materials_the_one_without_a_speed_takes_its_planning_hours(read_text, book):
    """6 m of clay at 6 m/h are 1 h; the rock below, which has no speed, takes the hours that the plan has for it, not none."""
    layers = "tip: 12}]\nrates: {drilling: [{material: clay, tool: auger, speed: 6, wear: 4}]}"
    text = SITE.format(**SI, rates="").replace("tip: 12, count: 3}]\n", layers)
    text = text.replace(
        "absent: [fissured]}", 'absent: [fissured]}, {top: 6, base: 40, description: "sound strong sandstone", symbol: rock}'
    )
    site = read_text(text.replace('{top: 0, base: 40, description: "hard', '{top: 0, base: 6, description: "hard'))
    planned = plan_site(site, book)
    made, rock = take_off(site, planned, book), planned.plan.shafts[0].intervals[-1]
    assert (rock.soil_class, rock.top_m, rock.base_m) == ("rock", 6, 12)
    assert rock.drilling_h > 6
    assert made.hours[0].drill.likely == pytest.approx(1 + rock.drilling_h)
    assert "drilling: rock, dry hole" in made.hours[0].lacking
    assert "drilling: wear in rock" in {line.rate for line in made.cost.unpriced}


def test_a_bell_is_cut_in_hours_that_count(read_text, book):
    """A bell of 2.4 m takes (2.4 / 1.83)^2.4 = 1.92 h (cost book: 1 h at 6 ft, 2 h at 8 ft); the speed of a metre says nothing of it."""
    clay = SITE.format(**SI, rates="rates: {drilling: [{material: any, tool: auger, speed: 3}]}")
    plain, belled = (
        take_off(site, plan_site(site, book), book).hours[0]
        for site in map(read_text, (clay, clay.replace("tip: 12, count", "tip: 12, bell: {diameter: 2400}, count")))
    )
    assert belled.drill.likely == pytest.approx(plain.drill.likely + 1.92)
    assert "drilling: the bell" in belled.lacking


def test_more_shafts_a_day_than_the_rig_drills_is_a_doubt(read_text, book):
    """12 m a shaft at 3 m/h, a move of 1 h and cleaning of 1 h hold a rig 6 h; two shafts a shift of 10 h need 12."""
    rates = "rates: {move_hours: 1, clean_hours: 1, drilling: [{material: any, tool: auger, speed: 3}]}"
    text = SITE.format(**SI, rates=rates)
    for shafts_a_day, asked in ((2, True), (1, False)):
        site = read_text(
            text.replace("contamination: none}", f"contamination: none, schedule: {{shift_hours: 10, shafts_a_day: {shafts_a_day}}}}}")
        )
        said = [note for note in take_off(site, plan_site(site, book), book).calendar.said if "more than 1 rig" in note]
        assert bool(said) is asked
        if asked:
            assert "holds a rig for 6.0 h, and a shift has 10 h" in said[0]
            assert "follow the hours, 3 working days" in said[0]


def test_once_and_by_the_piece(takeoff_with):
    """Mobilisation once, a cage for each of three shafts, tubes by their length in the sums."""
    made = takeoff_with("rates: {mobilisation: 5000, cage: 800, tubes: 10}")
    lines = {line.item: line.amount.likely for line in made.cost.lines}
    assert next(line.formula for line in made.cost.lines if line.item == "reinforcement cages").endswith(" x 800 each")
    length = next(line for line in made.totals if line.item == "integrity tubes, length").amount.likely
    assert lines == {"mobilisation": 5000, "reinforcement cages": 2400, "integrity tubes": pytest.approx(10 * length)}
    assert {line.rate for line in made.cost.unpriced} == {"rig", "pour: concrete", "spoil"}


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
    costs = {name for name in book.limits if name.startswith("cost_")} - {"cost_known_within"}  # how well they are known
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
