"""Bid items: what is measured, what carries the rest, and sums that neither lose nor double anything."""

from dataclasses import replace

import pytest
from shipped import shipped_under

from methodpick.errors import RuleError
from methodpick.ground.pay import Pay
from methodpick.ground.rates import Rates
from methodpick.site.bid_items import paid_items
from methodpick.site.result import BY_DRAWING, TUBE_LENGTH
from methodpick.site.site_takeoff import take_off
from methodpick.strict_yaml import read
from methodpick.tables.cells import SheetNumbers, plain
from methodpick.tables.hours_and_cost import bid_table
from methodpick.vocabulary.limits import sources_of
from methodpick.vocabulary.pay_items import pay_items_of

FOOT, INCH = 0.3048, 0.0254
NAME = "caving-lens"
RATES = {
    "currency": "crowns",
    "rig": 400,
    "mobilisation": 20_000,
    "cage": 1_000,
    "tubes": 10,
    "spoil": 12,
    "casing": {"rent_a_day": 1, "own_a_day": 1, "buy": 2},
    "fluid": {"plant": 5_000, "polymer": 5, "soda_ash": 1, "water": 1, "disposal": 30, "bentonite": 1},
    "pour": {"concrete": 200},
}
"""Invented, per metre, cubic metre, kilogram and hour."""


@pytest.fixture(scope="module")
def bid_of(site, takeoff, book):
    """Return the bid of the example with rates, pay words and a grouping; its plan is that without them."""

    def make(rates=None, pay=None, agency=None):
        made = site(NAME).model_copy(update={"rates": Rates(**(rates or RATES)), "pay": Pay(**(pay or {}))})
        grouping = shipped_under(agency).pay_items if agency else book.pay_items
        return take_off(made, takeoff(NAME).site, replace(book, pay_items=grouping))

    return make


def amounts(bid):
    return {item.name: item for item in bid.items}


def test_the_items_carry_the_whole_cost_and_nothing_twice(bid_of):
    for made in (bid_of(), bid_of(agency="ohio"), bid_of(agency="fdot"), bid_of(pay={"temporary_casing": "paid"})):
        for end in ("low", "likely", "high"):
            carried = sum(getattr(item.cost, end) for item in made.bid.items if item.cost is not None)
            assert carried == pytest.approx(getattr(made.cost.total, end), rel=1e-9)
        assert made.bid.amount.likely == pytest.approx(sum(item.amount.likely for item in made.bid.items if item.amount is not None))


def test_each_material_is_paid_by_one_line_at_most(site, takeoff, book):
    every = Pay(**dict.fromkeys(("drilling", "empty_bore", "temporary_casing", "permanent_casing", "concrete", "spoil", "tubes"), "paid"))
    for measured_from in (None, "cutoff", "ground"):
        pay = every.model_copy(update={"measured_from": measured_from})
        made = take_off(site(NAME).model_copy(update={"pay": pay}), takeoff(NAME).site, book)
        for key in ("drilling", "concrete", "spoil", "tubes"):
            paid = [line.item for line in made.totals if line.pay_key == key and line.pay == "paid"]
            assert len(paid) == 1, (measured_from, key, paid)
        items = {line.item: line.amount.likely for line in made.totals if line.pay == "paid"}
        of_bid = {item.measure: item for item in made.bid.items}
        assert of_bid["concrete"].quantity == pytest.approx(items[BY_DRAWING])
        assert of_bid["tubes"].quantity == pytest.approx(items[TUBE_LENGTH])


def test_overhead_and_margin_by_hand(bid_of):
    """Mobilisation 20,000, overhead 12 %, margin 8 % of both: 20,000 x 1.12 x 1.08 = 24,192."""
    bid = bid_of({**RATES, "overhead": 12, "margin": 8}).bid
    assert amounts(bid)["mobilisation"].amount.likely == pytest.approx(24_192)
    assert bid.amount.likely == pytest.approx(bid.cost.likely * 1.12 * 1.08)
    assert not any("at cost" in note for note in bid.notes)
    assert any("at cost" in note for note in bid_of().bid.notes)


def test_a_unit_price_times_its_quantity_is_the_amount(bid_of):
    for item in bid_of().bid.items:
        if item.price is not None and item.quantity is not None:
            assert item.price.likely * item.quantity == pytest.approx(item.amount.likely)


def test_what_an_agency_measures_and_what_it_leaves_in_the_shaft(bid_of, book):
    """Ohio pays shafts and sockets by the foot (524.16): mobilisation and tubes are in them. Florida pays the excavation apart."""
    made = bid_of(agency="ohio")
    (shaft,) = made.bid.items
    assert shaft.measure == "shaft"
    assert shaft.cost.likely == pytest.approx(made.cost.total.likely)
    assert ("mobilisation", "drilled shaft") in made.bid.incidental
    hole, filled = bid_of(agency="fdot").bid.items
    assert (hole.measure, filled.measure) == ("excavation", "shaft")
    assert set(filled.covers) == {"concrete", "reinforcement cages", "integrity tubes"} - set(hole.covers)
    assert "rig and crew" in hole.covers
    assert hole.quantity == pytest.approx(4 * 60 * FOOT, abs=0.01)
    assert filled.quantity == pytest.approx(4 * 56 * FOOT, abs=0.01)
    assert book.pay_items.origin == "base"


def test_a_missing_rate_makes_its_item_incomplete_and_no_other(bid_of):
    made = bid_of({**RATES, "pour": {}})
    bid = made.bid
    items = amounts(bid)
    assert [item.name for item in bid.items if item.lacking] == [name for name in items if name.startswith("drilled shaft")]
    assert bid.lacking == ("concrete (rate 'pour: concrete')",)
    sheet = bid_table(bid, SheetNumbers("us"))
    assert [row[0] for row in sheet.rows if "incomplete" in row[0]] == ["drilled shaft, 48 in, incomplete", "sum, incomplete"]


def test_an_item_that_no_rate_prices_has_no_price_of_nothing(bid_of):
    """The tubes are all that their item holds: without their rate its price, amounts and costs are blank in a CSV, a ? in a workbook."""
    bid = bid_of({key: value for key, value in RATES.items() if key != "tubes"}).bid
    row = next(row for row in bid_table(bid, SheetNumbers("us")).rows if row[0] == "integrity tubes, incomplete")
    assert [plain(cell) for cell in row[3:10]] == [""] * 7
    assert plain(row[2]) != ""


def test_provisional_quantities_are_those_of_the_bid_schedule(bid_of):
    """40 h of obstructions at the rig's 400 an hour are 16,000; a trial shaft without a price is named."""
    items = {item.measure: item for item in bid_of(pay={"obstruction_hours": 40, "trial_shafts": 1}).bid.items}
    assert items["obstruction_hours"].amount.likely == pytest.approx(16_000)
    assert items["trial_shaft"].lacking == ("trial shaft (rate 'trial_shaft')",)
    nothing = {item.measure: item for item in bid_of().bid.items}
    assert nothing["obstruction_hours"].quantity is None
    assert nothing["obstruction_hours"].price.likely == pytest.approx(400)
    assert nothing["obstruction_hours"].amount is None


def test_words_of_the_site_file_go_before_the_grouping(book):
    grouping = book.pay_items
    assert "temporary_casing" in paid_items(Pay(temporary_casing="paid"), grouping)
    assert "tubes" not in paid_items(Pay(tubes="incidental"), grouping)
    assert paid_items(Pay(), grouping) == grouping.items


def test_without_rates_there_are_quantities_only(takeoff):
    bid = takeoff(NAME).bid
    assert (bid.cost, bid.amount, bid.lacking) == (None, None, ())
    assert [item.quantity for item in bid.items if item.measure == "shaft"] == [pytest.approx(4 * 56 * FOOT, abs=0.01)]


SOURCES = sources_of(read("sources:\n  book: {title: Items, author: A. Writer, year: 2018}\n"))
GOOD = "{measured_from: cutoff, items: [shaft, tubes], source: book, where: p. 3, confidence: read}"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("cutoff", "moon", "measured_from"),
        ("tubes", "tube", "did you mean 'tubes'?"),
        ("[shaft, tubes]", "[shaft, shaft]", "'shaft' stands twice, and would be paid twice"),
        ("[shaft, tubes]", "[tubes]", "nothing pays for the shaft itself"),
        ("source: book", "source: bock", "bock"),
        ("where: p. 3", "were: p. 3", "were"),
    ],
)
def test_a_broken_grouping_is_told_at_its_place(old, new, said):
    with pytest.raises(RuleError) as found:
        pay_items_of(read(f"pay_items: {GOOD.replace(old, new)}\n"), SOURCES)
    assert said in found.value.render()
    assert found.value.problems[0].place is not None
    assert pay_items_of(read(f"pay_items: {GOOD}\n"), SOURCES).items == ("shaft", "tubes")
