"""Every factor of the workbook, changed one by one: the formulas come to what a new run with that factor comes to.

The formulas are worked out here, by a small interpreter of the functions that the sheets use; LibreOffice works out all of them in
``test_tables.py``.
"""

from dataclasses import replace
from math import ceil

import pytest

from methodpick.ground.quantity import Band
from methodpick.site.result import STANDING
from methodpick.site.site_takeoff import take_off
from methodpick.tables.cells import CellRange, CellRef, FormulaCell, MissingCell, NumberCell, WordsCell
from methodpick.tables.factors import make_factors
from methodpick.tables.site_tables import make_tables
from methodpick.tables.takeoff import LOW

SHAFTS = ("B1-1", "B4-1", "B7-1", "B12-1")
"""One shaft that stands dry, one with a casing in a bent of the channel, one under fluid, one with a socket."""
FACTOR = 1.25
RATES = {
    "mobilisation": ("mobilisation",),
    "rig and crew": ("rig_per_h",),
    STANDING: ("rig_standing_per_h",),
    "wear, auger in clay, dry hole": ("drilling", 0, "wear_per_m"),
    "wear, bucket in clay, full hole": ("drilling", 1, "wear_per_m"),
    "wear, bucket in clean sand": ("drilling", 2, "wear_per_m"),
    "wear, rock auger in rock": ("drilling", 4, "wear_per_m"),
    "temporary casing, from the yard": ("casing", "own_per_m_day"),
    "temporary casing, rented": ("casing", "rent_per_m_day"),
    "fluid plant": ("fluid", "plant"),
    "bentonite, dry": ("fluid", "mineral_per_kg"),
    "polymer, dry": ("fluid", "polymer_per_kg"),
    "soda ash": ("fluid", "soda_ash_per_kg"),
    "mixing water": ("fluid", "water_per_m3"),
    "disposal of fluid": ("fluid", "disposal_per_m3"),
    "concrete": ("pour", "concrete_per_m3"),
    "spoil": ("spoil_per_m3",),
    "reinforcement cages": ("cage_each",),
    "integrity tubes": ("tubes_per_m",),
}
"""Where each rate of the cost stands among the rates of the site."""
SHARES = {"lost": "fluid_loss_share", "free": "spoil_fluid_share"}


class Column(list):
    """The cells of a range, which a formula compares and multiplies one by one."""

    def __eq__(self, other):
        return Column(float(value == other) for value in self)

    __hash__ = None

    def __mul__(self, other):
        return Column(mine * value for mine, value in zip(self, other, strict=True))


FUNCTIONS = {
    "IF": lambda holds, yes, no: yes if holds else no,
    "SUM": sum,
    "MAX": max,
    "MIN": min,
    "SUMPRODUCT": sum,
    "CHOOSE": lambda which, *values: values[round(which) - 1],
    "ROUND": lambda value, digits: round(value, int(digits)),
    "ROUNDUP": lambda value, _: float(ceil(value)),
}


class Spreadsheet:
    """Works out the formulas of sheets, with some given cells changed."""

    def __init__(self, sheets, changed):
        self.rows = {sheet.name: sheet.rows for sheet in sheets}
        self.known = dict(changed)

    def value(self, table, row, column):
        if (table, row, column) not in self.known:
            cell = self.rows[table][row][column]
            self.known[table, row, column] = self.worked_out(cell) if isinstance(cell, FormulaCell | WordsCell) else plain(cell)
        return self.known[table, row, column]

    def worked_out(self, cell):
        names, text = {}, ""
        for piece in cell.formula:
            if isinstance(piece, str):
                text += piece.replace("=", "==")
                continue
            name = f"cell{len(names)}"
            text += name
            if isinstance(piece, CellRef):
                names[name] = self.value(piece.table, piece.row, piece.column)
            elif isinstance(piece, CellRange):
                names[name] = Column(self.value(piece.table, row, piece.column) for row in range(piece.first, piece.last + 1))
        return eval(text, {"__builtins__": {}}, {**FUNCTIONS, **names})  # noqa: S307


def plain(cell):
    return cell.value if isinstance(cell, NumberCell) else cell if isinstance(cell, int | float) else 0.0


@pytest.fixture(scope="module")
def few(takeoff, site, book):
    """Take off a few planned shafts, with other rates, rules or plans where they are given."""
    whole = takeoff("viaduct").site
    planned = replace(whole, plan=replace(whole.plan, shafts=tuple(shaft for shaft in whole.plan.shafts if shaft.id in SHAFTS)))

    def make(rates=None, limits=None, overbreak=1.0, stock=1.0):
        changed = site("viaduct") if rates is None else site("viaduct").model_copy(update={"rates": rates})
        rules = book if limits is None else replace(book, limits={**book.limits, **limits})
        return take_off(changed, stocked(broken(planned, overbreak), stock), rules)

    return make


def stocked(planned, times):
    """Return a planned site with more fluid in stock."""
    shafts = (
        shaft
        if (programme := shaft.fluid_programme) is None
        else replace(shaft, fluid_programme=replace(programme, stock_m3=programme.stock_m3 * times))
        for shaft in planned.plan.shafts
    )
    return replace(planned, plan=replace(planned.plan, shafts=tuple(shafts)))


def broken(planned, times):
    """Return a planned site with more overbreak."""

    def more(concrete):
        names = ("overbreak_low_m3", "overbreak_m3", "overbreak_high_m3")
        return replace(concrete, **{name: getattr(concrete, name) * times for name in names})

    shafts = tuple(replace(shaft, concrete=more(shaft.concrete)) for shaft in planned.plan.shafts)
    return replace(planned, plan=replace(planned.plan, shafts=shafts))


def scaled(band):
    ends = {name: None if value is None else value * FACTOR for name, value in band.model_dump().items()}
    return Band(**ends)


def with_rate(rates, path):
    """Return rates with one of them higher."""
    first, *rest = path
    if not rest:
        old = getattr(rates, first)
        return rates.model_copy(update={first: scaled(old) if isinstance(old, Band) else old * FACTOR})
    inner = getattr(rates, first)
    if isinstance(inner, tuple):
        place, name = rest
        return rates.model_copy(update={first: (*inner[:place], with_rate(inner[place], (name,)), *inner[place + 1 :])})
    return rates.model_copy(update={first: with_rate(inner, rest)})


def new_run(few, factor, takeoff, rates, book):
    """Take off anew with a factor; the swell, which a table of the rulebook gives, is left to the hand."""
    if factor.key == "overbreak":
        return few(overbreak=FACTOR)
    if factor.key == "truck":
        return few(rates=with_rate(rates, ("pour", "truck_m3")))
    if factor.key in SHARES:
        names = [f"{SHARES[factor.key]}_{end}" for end in ("least", "most")]
        return few(limits={name: replace(book.limits[name], value=book.limits[name].value * FACTOR) for name in names})
    if factor.key.startswith("stock "):
        return few(stock=FACTOR)
    line = takeoff.cost.all_lines[int(factor.key.split()[1])]
    return few(rates=with_rate(rates, RATES[line.item]))


def test_every_factor_changed_in_the_workbook_gives_the_totals_of_a_new_run(few, site, book):
    takeoff, rates = few(), site("viaduct").rates
    sheets = make_tables(takeoff, "si")
    factors = make_factors(takeoff, numbers_of("si"))
    assert {factor.name.removeprefix("rate: ") for factor in factors.listed if factor.key.startswith("rate ")} == set(RATES)
    assert not [factor for factor in factors.listed if factor.values is None]
    followed(sheets, {}, takeoff)
    for factor in factors.listed:
        stocks = [each.key for each in factors.listed if each.key.startswith("stock ")]
        keys = stocks if factor.key in stocks else [factor.key]
        cells = [(factors.cell(key, end), factors.value(key, end) * FACTOR) for key in keys for end in range(3)]
        changed = {(cell.table, cell.row, cell.column): value for cell, value in cells}
        if factor.key == "swell":
            swelling(sheets, changed, takeoff)
        else:
            followed(sheets, changed, new_run(few, factor, takeoff, rates, book))


def test_rates_filled_in_by_hand_price_the_site_and_end_the_word_incomplete(few, site):
    """By hand: the total is the old one and 11 a cubic metre of concrete and of spoil; until both are filled in it is called incomplete."""
    rates = site("viaduct").rates
    pour = rates.pour.model_copy(update={"concrete_per_m3": None})
    takeoff = few(rates=rates.model_copy(update={"spoil_per_m3": None, "pour": pour}))
    sheets = {sheet.name: sheet for sheet in make_tables(takeoff, "si")}
    missing = [row for row, cells in enumerate(sheets["factors"].rows) if cells[2] == MissingCell()]
    assert [sheets["factors"].rows[row][1] for row in missing] == ["rate: concrete", "rate: spoil"]
    last, summed = len(takeoff.cost.all_lines), len(takeoff.bid.items)
    names = ("cost", last, 0), ("bid_items", summed, 0)
    for filled, words in ((missing[:1], ["total, incomplete", "sum, incomplete"]), (missing, ["total", "sum"])):
        made = Spreadsheet(sheets.values(), {("factors", row, 2 + end): 11.0 for row in filled for end in range(3)})
        assert [made.value(*cell) for cell in names] == words
    totals = {total.item: total.amount for total in takeoff.totals}
    added = 11.0 * (totals["concrete, to order"].likely + totals["spoil, loose"].likely)
    assert made.value("cost", last, 2) == pytest.approx(takeoff.cost.total.likely + added)
    items = [row for row, item in enumerate(takeoff.bid.items) if item.lacking]
    assert items
    assert not any("incomplete" in str(made.value("bid_items", row, 0)) for row in items)


def numbers_of(units):
    from methodpick.tables.cells import SheetNumbers

    return SheetNumbers(units)


def followed(sheets, changed, takeoff):
    """Hold the sums and the cost of changed sheets against a takeoff."""
    made = Spreadsheet(sheets, changed)
    for row, total in enumerate(takeoff.totals):
        amounts = total.amount.low, total.amount.likely, total.amount.high
        assert [made.value("takeoff", row, LOW + end) for end in range(3)] == pytest.approx(amounts, rel=1e-6, abs=1e-6), total.item
    for row, line in enumerate(takeoff.cost.lines):
        amounts = line.amount.low, line.amount.likely, line.amount.high
        assert [made.value("cost", row, 1 + end) for end in range(3)] == pytest.approx(amounts, rel=1e-6), line.item
    total = takeoff.cost.total
    last = len(takeoff.cost.all_lines)
    assert [made.value("cost", last, 1 + end) for end in range(3)] == pytest.approx((total.low, total.likely, total.high), rel=1e-6)
    bid = takeoff.bid.amount
    row = len(takeoff.bid.items)
    assert [made.value("bid_items", row, 4 + end) for end in range(3)] == pytest.approx((bid.low, bid.likely, bid.high), rel=1e-6)


def swelling(sheets, changed, takeoff):
    """By hand: what the spoil gains over its bank volume grows by the factor, and the price of spoil with it."""
    made = Spreadsheet(sheets, changed)
    totals = {total.item: (row, total.amount) for row, total in enumerate(takeoff.totals)}
    (_, bank), (row, loose) = totals["spoil, bank"], totals["spoil, loose"]
    wanted = bank.likely + FACTOR * (loose.likely - bank.likely)
    assert made.value("takeoff", row, LOW + 1) == pytest.approx(wanted, rel=1e-6)
    place, line = next((place, line) for place, line in enumerate(takeoff.cost.lines) if line.item == "spoil")
    assert made.value("cost", place, 2) == pytest.approx(wanted * line.price.likely, rel=1e-6)


def test_what_nobody_can_take_off_follows_its_quantity_overhead_and_price(few):
    """By hand: 40 h at the rig's 420 an hour; with 10 % overhead and 5 % margin 40 x 420 x 1.10 x 1.05; two trial shafts at 30,000."""
    takeoff = few()
    sheets = make_tables(takeoff, "si")
    rows = {item.measure: row for row, item in enumerate(takeoff.bid.items)}
    hours, trial, top = rows["obstruction_hours"], rows["trial_shaft"], len(takeoff.bid.items) + 1
    filled = {("bid_items", hours, 2): 40.0, ("bid_items", trial, 2): 2.0, ("bid_items", trial, 3): 30_000.0}
    made = Spreadsheet(sheets, {**filled, ("bid_items", top, 2): 10.0, ("bid_items", top + 1, 2): 5.0})
    assert made.value("bid_items", hours, 5) == pytest.approx(40 * 420 * 1.10 * 1.05)
    assert made.value("bid_items", hours, 8) == pytest.approx(40 * 420)
    assert made.value("bid_items", trial, 5) == pytest.approx(60_000)
    cost = takeoff.cost.total.likely
    assert made.value("bid_items", top - 1, 5) == pytest.approx((cost + 40 * 420) * 1.10 * 1.05 + 60_000)
