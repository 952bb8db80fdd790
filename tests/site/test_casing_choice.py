"""Casing for the site as a whole: what the yard may do to a bid, and that strings, plans and sums speak of the same sizes."""

from dataclasses import replace
from itertools import pairwise
from math import pi

import pytest
from effort import examples
from hypothesis import example, given, settings
from hypothesis import strategies as st

from methodpick.ground.quantity import Band
from methodpick.ground.site import StockCasing
from methodpick.site.calendar import make_schedule
from methodpick.site.casing_choice import sizes_on_offer
from methodpick.site.job import hours_row
from methodpick.site.planning import SitePlanner
from methodpick.site.site_takeoff import jobs_of, take_off
from methodpick.site.takeoff_lines import concrete_lines
from methodpick.site.yard import casing_needs, size_need

FOOT, INCH = 0.3048, 0.0254
KINDS = ("B4-1", "B12-1", "B7-1")
"""A shaft of the viaduct with 54 in casing, one with casing for a socket, and one with a starter alone."""


@pytest.fixture(scope="module")
def planner(site, book):
    """Plan three shafts of the viaduct, each for two like it; ground and ways are found once for all yards and rates."""
    whole = site("viaduct")
    shafts = tuple(shaft.model_copy(update={"count": 2}) for shaft in whole.shafts if shaft.id in KINDS)
    return SitePlanner(whole.model_copy(update={"shafts": shafts, "stock": ()}), book)


@pytest.fixture(scope="module")
def taken_off(planner):
    def make(stock=(), **rates):
        site = planner.site.model_copy(update={"stock": tuple(stock)})
        if rates:
            site = site.model_copy(update={"rates": None if rates.get("rates", 1) is None else site.rates.model_copy(update=rates)})
        again = SitePlanner(site, planner.book)
        again._assignments, again._kinds, again._plans = planner._assignments, planner._kinds, planner._plans
        planned = again.plan_by(again.as_planned, again.resized)
        return take_off(site, planned, planner.book)

    return make


def piece(outside_in, wall_in, length_ft, count=1):
    return StockCasing(outside_diameter_m=outside_in * INCH, wall_m=wall_in * INCH, length_m=length_ft * FOOT, count=count)


pieces = st.builds(
    piece,
    st.sampled_from([48, 54, 60, 66, 72]),
    st.sampled_from([0.4375, 0.5625, 0.625]),
    st.sampled_from([10, 25, 40, 60]),
    st.integers(1, 2),
)


@settings(max_examples=examples(10, least=2), deadline=None)
@example([piece(60, 0.625, 40, 2), piece(60, 0.625, 10, 2)], piece(72, 0.4375, 25, 2))
@example([piece(54, 0.5625, 10), piece(66, 0.5625, 25, 2)], piece(54, 0.625, 25, 2))
@given(st.lists(pieces, max_size=2), pieces)
def test_a_larger_yard_never_costs_more(taken_off, yard, more):
    """In the first example the new pieces serve shafts whose checks refuse them; in the second they make a larger hole than they save."""
    smaller, larger = taken_off(yard), taken_off([*yard, more])
    assert not larger.cost.unpriced
    assert larger.cost.total.likely <= smaller.cost.total.likely + 1e-6
    agree(smaller)
    agree(larger)


@settings(max_examples=examples(10, least=2), deadline=None)
@given(st.lists(pieces, max_size=2), pieces)
def test_without_rates_a_larger_yard_never_asks_for_more_sizes_or_metres(taken_off, yard, more):
    smaller, larger = taken_off(yard, rates=None).yard, taken_off([*yard, more], rates=None).yard
    assert (larger.sizes, round(larger.to_get_m, 6)) <= (smaller.sizes, round(smaller.to_get_m, 6))


def agree(takeoff):
    """Hold the sizes of strings, plans, casing lines, holes and concrete against each other."""
    plans = takeoff.site.plan.shafts
    temporary = {(c.outside_diameter_m, c.wall_m) for plan in plans for c in plan.casings if c.kind != "permanent"}
    assert {(string.outside_diameter_m, string.wall_m) for string in takeoff.yard.strings} == temporary
    assert {(need.outside_diameter_m, need.wall_m) for need in takeoff.yard.needs} == temporary
    for plan, shaft in zip(plans, takeoff.shafts, strict=True):
        masses = sum(row.amount.likely for row in shaft.lines if row.item.endswith(", mass"))
        assert masses == pytest.approx(sum(pi * (c.outside_diameter_m - c.wall_m) * c.wall_m * 7850 * c.length_m for c in plan.casings))
        starter = plan.casings[0]
        hole_m3 = pi / 4 * (starter.outside_diameter_m**2 - plan.diameter_m**2) * (starter.base_m - plan.cutoff_m)
        assert plan.concrete.casing_oversize_m3 >= hole_m3 - 1e-6, "concrete fills the hole of the casing that is set, not of another"
        for outer, inner in pairwise(plan.casings):
            assert inner.outside_diameter_m + 0.0254 <= outer.inside_m + 1e-3


def test_the_viaduct_has_casing_of_the_sizes_of_its_strings(takeoff):
    made = takeoff("viaduct")
    agree(made)
    choice = made.site.casing
    assert choice.by_cost
    costs = {candidate.yard: candidate.cost for candidate in choice.candidates}
    assert min(costs.values()) == choice.candidates[0].cost == pytest.approx(made.cost.total.likely)
    assert costs["with the whole yard"] <= costs["without the yard"], "owning casing makes the bid no dearer"
    assert len(costs) > 2, "the yard without one of its pieces was tried as well"


def test_strings_take_no_piece_that_was_left_in_the_yard(takeoff):
    """Cut or whole, every part from the yard is of a piece that the choice may take; which others there are, the file says."""
    made = takeoff("viaduct")
    left_out = len(made.site.casing.stock) < 4
    assert left_out, "the file has four kinds of piece"
    for string in made.yard.strings:
        there = {
            p.length_m for p in made.site.casing.stock if (p.outside_diameter_m, p.wall_m) == (string.outside_diameter_m, string.wall_m)
        }
        new = 1 if string.to_get_m > 0 else 0
        whole = [part for part in string.pieces_m[: len(string.pieces_m) - new] if part not in {cut.length_m for cut in string.cuts}]
        assert {*whole, *(cut.of_m for cut in string.cuts)} <= there


def test_strings_serve_one_shaft_at_a_time_and_their_rent_is_their_days(takeoff):
    """Metres to get times the working days from first in to last out, string by string, are the metre-days that are rented."""
    made = takeoff("viaduct")
    rent = 0.0
    for string in made.yard.strings:
        here = [need for need in made.yard.needs if need.string == string.name]
        assert len(here) == string.uses
        for before, after in pairwise(here):
            assert before.until_h <= after.from_h + 1e-6
        assert max(need.length_m for need in here) <= string.length_m + 1e-9
        days = max(need.last_day for need in here) - min(need.first_day for need in here) + 1
        assert string.days.likely == days
        rent += string.to_get_m * days
    line = next(line for line in made.cost.lines if line.item == "temporary casing, rented")
    assert line.quantity.likely == pytest.approx(rent)
    assert line.amount.likely == pytest.approx(rent / FOOT * 1.0), "the file: one crown a foot and day"


def test_every_casing_has_its_need_in_the_yard(takeoff):
    made = takeoff("viaduct")
    wanted = sorted((plan.id, c.kind, c.length_m) for plan in made.site.plan.shafts for c in plan.casings if c.kind != "permanent")
    assert sorted((need.shaft, need.kind, need.length_m) for need in made.yard.needs) == wanted


def dearer(band, factor):
    return Band(low=band.low * factor, likely=None if band.likely is None else band.likely * factor, high=band.high * factor)


PRICES = ("rig_per_h", "rig_standing_per_h", "mobilisation", "cage_each", "tubes_per_m", "spoil_per_m3")
CASING_PRICES = ("buy_per_kg", "rent_per_m_day", "own_per_m_day")


@settings(max_examples=examples(10, least=2), deadline=None)
@given(st.sampled_from([*PRICES, *CASING_PRICES]), st.sampled_from([1.0, 1.05, 1.5, 8.0]))
def test_a_higher_rate_is_never_cheaper(taken_off, planner, name, factor):
    stock, rates = (piece(66, 0.625, 20, 2), piece(60, 0.625, 40)), planner.site.rates
    if name in PRICES:
        changed = {name: dearer(getattr(rates, name), factor)}
    else:
        changed = {"casing": rates.casing.model_copy(update={name: dearer(getattr(rates.casing, name), factor)})}
    assert taken_off(stock, **changed).cost.total.likely >= taken_off(stock).cost.total.likely - 1e-6


def test_a_size_that_a_check_refuses_is_not_taken(planner):
    """Every check is made again with the chosen sizes; a shaft for which one fails keeps those that it was planned with."""
    again = SitePlanner(planner.site, planner.book)
    again._assignments, again._kinds, again._plans = planner._assignments, planner._kinds, planner._plans

    def sizes(planned):
        return {plan.id: [(c.outside_diameter_m, c.wall_m) for c in plan.casings] for plan in planned.plan.shafts}

    def refused(kind, chosen):
        made = again.resized(kind, chosen)
        return replace(made, checks=(*made.checks, replace(made.checks[0], result="fails")))

    trade, free = sizes(again.plan_by(again.as_planned)), sizes(again.plan_by(again.as_planned, again.resized))
    assert free != trade
    assert sizes(again.plan_by(again.as_planned, refused)) == trade


def planned_to_buy(site, book):
    planner = SitePlanner(site, book)
    return planner.plan_by(planner.as_planned)


OSCILLATED = """methodpick: 1
site:
  units: si
  allowed: [dry, temporary_casing]
  equipment: {oscillator: true, kelly_twist: false, vibratory: false, impact_hammer: false}
borings:
  - id: B
    depth: 30
    water: [{reading: settled, depth: 2, after: 24}]
    layers:
      - {top: 0, base: 8, description: "medium dense fine sand", symbol: SP, fines: 3, absent: [cobbles, boulders]}
      - {top: 8, base: 30, description: "very stiff clay", symbol: CH, su: 180, absent: [fissured]}
shafts: [{id: S, boring: B, diameter: 1100, tip: 20}]
"""


def test_the_next_wider_size_is_of_the_kind_of_casing_that_is_planned(book, read_text):
    """A shaft of 1100 mm passes segmental casing of 1180 mm; the next wider such is 1200 mm, where pipe has 1219 mm (list, from memory)."""
    site = read_text(OSCILLATED)
    jobs = jobs_of(site, planned_to_buy(site, book), book)
    rows = [hours_row(job, concrete_lines(job)[-1]) for job in jobs]
    needs = [need for need in casing_needs(jobs, rows, make_schedule(site, jobs, rows)) if need.record.kind == "temporary"]
    assert {need.planned.outside_m for need in needs} == {1.18}
    assert {size.outside_m for size in sizes_on_offer(needs, jobs, ())} == {1.18, 1.2}


def test_a_casing_inside_another_grows_no_wider_than_passes_between_its_walls(site, book):
    """The starter of 60 in has walls of 7/16 in; an inch is left free: 60 - 2 x 0.4375 - 1 = 58.125 in, by hand."""
    (job,) = jobs_of(site("caving-lens"), planned_to_buy(site("caving-lens"), book), book)
    starter = job.plan.casings[0]
    assert (starter.outside_diameter_m, starter.wall_m) == (pytest.approx(60 * INCH), pytest.approx(0.4375 * INCH, abs=1e-6))
    assert size_need(job, 1).outside_most_m == pytest.approx(58.125 * INCH, abs=1e-5)
