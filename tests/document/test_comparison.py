"""What a comparison says of ways that cost less than the plan: by how much, in what, and why they are not the plan."""

from dataclasses import replace

import pytest

from methodpick.compare.result import CostTotal, GivenCost
from methodpick.compare.ways import compare_ways, given_costs
from methodpick.document.comparison import ways_page
from methodpick.document.model import TextTable, texts_of
from methodpick.site.estimate import Estimate
from methodpick.tables.cells import SheetNumbers, plain
from methodpick.tables.comparison import ways_table

TITLE = "Cheaper by your rates, and why it is not the plan"


@pytest.fixture(scope="module")
def compared(site, book):
    return compare_ways(site("caving-lens"), book)


def priced(compared, totals, behind=""):
    """Return a comparison whose ways have these totals of money; what is cheaper is so by its rig."""
    ways = [
        replace(
            way,
            behind=behind,
            amounts=replace(
                way.amounts,
                money=CostTotal("crowns", Estimate.exactly(total), (), (("rig and crew", total - 100.0), ("spoil, loose", 100.0))),
            ),
        )
        for way, total in zip(compared.ways, totals, strict=True)
    ]
    return replace(compared, ways=tuple(ways))


def said(compared):
    return texts_of(ways_page(compared), "us")


def test_a_way_that_costs_less_says_in_what_and_by_what_it_stands_behind_the_plan(compared):
    """5,000 less the plan's 8,000 are 3,000 less, all of it the rig's."""
    page = said(priced(compared, (8000.0, 9000.0, 8000.0, 5000.0, 9000.0)))
    assert TITLE in page
    assert "One casing diameter: 3,000 crowns less (rig and crew -3,000). By relative cost it is " in page
    assert page.count(" crowns less (") == 1
    assert "All relative costs are this tool's own" in page
    doubtful = said(priced(compared, (8000.0, 9000.0, 8000.0, 5000.0, 9000.0), "More of it is in doubt."))
    assert "(rig and crew -3,000). More of it is in doubt." in doubtful


def test_what_has_no_rate_is_named_once_for_all_ways(compared):
    """Two items without a rate in all five ways are one sentence; what is compared is then only what has a rate."""
    lacking = ("concrete (rate 'pour: concrete')", "reinforcement cages (rate 'cage')")
    made = priced(compared, (8000.0, 9000.0, 8000.0, 5000.0, 9000.0))
    ways = [replace(way, amounts=replace(way.amounts, money=replace(way.amounts.money, lacking=lacking))) for way in made.ways]
    page = said(replace(made, ways=tuple(ways)))
    assert page.count("incomplete, without concrete (rate 'pour: concrete'); reinforcement cages (rate 'cage').") == 1
    assert "All totals are incomplete" in page
    assert "3,000 crowns less of what has a rate (" in page
    first = replace(made.ways[1], amounts=replace(made.ways[1].amounts, money=replace(made.ways[1].amounts.money, lacking=lacking)))
    assert "Of cautious the total is incomplete" in said(replace(made, ways=(made.ways[0], first, *made.ways[2:])))


def test_where_nothing_costs_less_nothing_is_said(compared):
    assert TITLE not in said(compared), "no rates"
    assert TITLE not in said(priced(compared, (8000.0,) * 5))


def test_relative_costs_of_the_site_file_are_named(compared):
    given = (GivenCost("cost_tremie", 6.0, 4.0),)
    page = said(replace(priced(compared, (8000.0, 9000.0, 8000.0, 5000.0, 9000.0)), given=given))
    assert "The site file sets cost_tremie 6 (this tool's 4)" in page


def test_relative_costs_that_the_file_gives_otherwise_are_found(site, book):
    """The crew of the viaduct is at home with casing: its file gives fluid and tremie a higher cost than the rulebook."""
    found = {cost.name: cost.given for cost in given_costs(site("viaduct"), book)}
    assert found == {"cost_polymer_m": 1.7, "cost_mineral_m": 1.8, "cost_tremie": 6.0}
    assert given_costs(site("caving-lens"), book) == ()


def test_a_relative_cost_is_a_multiple_of_the_plan_on_every_page_and_sheet(compared):
    """The search counts in metres drilled dry, a number that no page explains: the site, each kind and the sheet tell the multiple."""
    costs = [way.amounts.relative_cost for way in compared.ways if way.amounts is not None]
    wanted = [f"{cost / costs[0]:.2f}" for cost in costs]
    sheet = ways_table(compared, SheetNumbers("us"))
    column = [column.name for column in sheet.columns].index("relative cost (own)")
    assert [plain(row[column]) for row in sheet.rows if row[column] is not None] == wanted
    kind = next(section for section in ways_page(compared, kinds=True).pages[0].sections if section.title.startswith("Shaft"))
    row = next(row for block in kind.blocks if isinstance(block, TextTable) for row in block.rows if row[0] == "relative cost")
    assert row[1] == "1.00"
    assert set(row[1:]) <= set(wanted)
