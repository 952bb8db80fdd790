"""What changes the plan within the stated ranges: true by whole plans made anew, said on the page, not looked for among many kinds."""

from dataclasses import replace

import pytest
from command_line import output_of

from methodpick.document import report
from methodpick.document.model import texts_of
from methodpick.document.pages import group_shafts
from methodpick.ground.site import StockCasing
from methodpick.imports.site_file import read_site
from methodpick.plan.pipeline import plan
from methodpick.plan.plan_context import PlanBasis, PlanContext, WayConstraint
from methodpick.plan.result import OtherWays
from methodpick.why import within_range
from methodpick.why.flips import question_of, shaft_question
from methodpick.why.within_range import _casing_scaled, flips_within_range


def _held(shaft, depth_m):
    return next(interval.support for interval in shaft.intervals if interval.top_m <= depth_m <= interval.base_m)


@pytest.fixture(scope="module")
def by_the_wall(planned, site, book):
    shaft = planned("near-a-wall").shafts[0]
    return shaft, {change.flip.input: change for change in flips_within_range(site("near-a-wall"), book, shaft)}


def test_a_water_level_inside_its_range_changes_the_whole_plan(by_the_wall, site_path, book):
    """Water read at 1.8 m is known within a metre: 10 cm higher the casing is sealed deeper, and fluid, close before, is cheaper."""
    shaft, found = by_the_wall
    level = found["water_level"]
    assert level.low < level.flip.flips_at < level.high
    text = site_path("near-a-wall").read_text(encoding="utf-8")
    moved = text.replace("reading: settled, depth: 1.8,", f"reading: settled, depth: {level.flip.flips_at},")
    assert moved != text
    middle = (level.top_m + level.base_m) / 2
    assert _held(shaft, middle) == level.was
    assert _held(plan(read_site(moved, "moved.yaml")[0], book).shafts[0], middle) == level.flip.then != level.was


def _with_casing_at(book, times):
    """Give the rulebook with every cost of casing that goes beyond a dry metre times a factor."""

    def scaled(name, value):
        dry = 1.0 if name.startswith("cost_cased") else 0.0
        return dry + (value - dry) * times

    of_casing = ("cost_cased", "cost_string", "cost_casing_m", "cost_permanent", "cost_advance")
    of_plant = ("vibrated", "twisted", "driven", "oscillated")
    limits = {
        name: replace(limit, value=scaled(name, limit.value))
        if name.startswith(of_casing) or (name.startswith(("cost_plant", "cost_hire")) and name.endswith(of_plant))
        else limit
        for name, limit in book.limits.items()
    }
    return replace(book, limits=limits)


def test_a_cost_inside_its_range_changes_the_whole_plan(by_the_wall, site, book):
    """Every cost of casing that goes beyond a dry metre, times the factor found, by an overlay of the limits."""
    shaft, found = by_the_wall
    cost = found["casing_cost"]
    assert 1.0 < cost.flip.flips_at <= 1.25
    cheaper = plan(site("near-a-wall"), _with_casing_at(book, cost.flip.flips_at)).shafts[0]
    middle = (cost.top_m + cost.base_m) / 2
    assert _held(shaft, middle) == cost.was
    assert _held(cheaper, middle) == cost.flip.then != cost.was


SAND_IN_A_RIVER = """methodpick: 1
site:
  units: si
  setting: water
  water_depth: 6
  water_level: {low: 5, high: 7}
  drilling_grade: {above_ground: 9}
  fluids_allowed: [water, polymer, mineral]
  contamination: none
  equipment: {vibratory: true, oscillator: true, rotator: false, kelly_twist: true, desander: true}
borings:
  - id: B-1
    depth: 30
    water: [{reading: settled, depth: -6, zone: river}]
    layers:
      - {top: 0, base: 3, description: very soft mud, symbol: OH, su: 5}
      - {top: 3, base: 30, description: dense sand, symbol: SP}
    spt: [{depth: 2, n: WOR}, {depth: 4, n: 40}, {depth: 10, n: 40}, {depth: 20, n: 45}]
shafts: [{id: P1, boring: B-1, diameter: 1000, cutoff: 1.0, tip: 24, cage_diameter: 800, cover: 75}]
"""


@pytest.mark.parametrize("times", [0.8, 0.82, 1.2])
def test_other_costs_are_searched_as_by_a_plan_that_begins_with_them(times, read_text, book):
    """A pull that is barred inside a casing that is pulled is barred inside one that stays as well, if the search came by the first."""
    site = read_text(SAND_IN_A_RIVER)

    def context(rules):
        return PlanContext(PlanBasis(site, rules, rules.assumptions), site.borings[0], site.shafts[0])

    usual, dearer = context(book), context(_with_casing_at(book, times))
    usual.best()
    found = usual.best_at(_casing_scaled(usual.search_input.costs, times))
    assert [(each.base_m, each.keep, each.runs) for each in found.segments] == [
        (each.base_m, each.keep, each.runs) for each in dearer.best().segments
    ]


def test_the_users_own_costs_are_no_range_of_this_tool(site_path, book):
    text = site_path("near-a-wall").read_text(encoding="utf-8")
    priced = read_site(text + "rates: {cost_casing_m: 0.3}\n", "priced.yaml")[0]
    shaft = plan(priced, book).shafts[0]
    assert {change.flip.input for change in flips_within_range(priced, book, shaft)}.isdisjoint({"casing_cost", "fluid_cost"})


def test_the_page_says_the_nearest_unasked_and_that_of_the_engineer_all(site_path):
    """The water moves by a twentieth of its metre; the cost of casing by more of its range."""
    page = " ".join(output_of("plan", site_path("near-a-wall")).split())
    nearest = "Within its range, the water level at 1.70 m below the ground (now 1.80;"
    cost = "The cost decides: with the cost of casing and its plant at"
    assert nearest in page
    assert cost not in page
    whole = " ".join(output_of("plan", site_path("near-a-wall"), "--for", "engineer").split())
    assert nearest in whole
    assert cost in whole


def test_the_reports_say_it_unasked(site_path, tmp_path):
    out = tmp_path / "report.html"
    output_of("report", site_path("near-a-wall"), "-o", out)
    assert "Within its range, the water level at 1.70 m below the ground" in " ".join(out.read_text(encoding="utf-8").split())


@pytest.mark.parametrize("make", [report.owner_report, report.site_report])
def test_every_report_says_it_of_its_kind_of_shaft(planned, by_the_wall, make):
    shaft, changes = by_the_wall
    with_it = texts_of(make(planned("near-a-wall"), within_range={shaft.id: tuple(changes.values())}), "si")
    assert "Within its range, the water level at 1.70 m" in with_it
    assert "Within its range" not in texts_of(make(planned("near-a-wall")), "si")


def test_many_kinds_are_not_looked_at_and_the_page_says_so(planned, site_path, monkeypatch):
    monkeypatch.setattr(report, "MOST_KINDS", 2)
    assert len(group_shafts(planned("stiff-clay").shafts)) == 3
    assert report.NOT_LOOKED_FOR in texts_of(report.plan_pages(planned("stiff-clay")), "us")
    monkeypatch.setattr(within_range, "flips_within_range", None)
    assert "NOT LOOKED FOR" in output_of("plan", site_path("stiff-clay"))


NAMES = ("caving-lens", "near-a-wall", "stiff-clay-thin", "twenty-layers")


@pytest.mark.parametrize("name", NAMES)
def test_a_question_begins_with_what_the_plan_was_made_from_and_finds_the_same(name, site, book):
    made = site(name)
    shaft = plan(made, book).shafts[0]
    question = shaft_question(made, book, shaft.id)
    begun, context = question_of(shaft, question)
    assert context is shaft.other_ways.made_from
    assert begun.proved is context.basis.proved
    read = replace(shaft, other_ways=OtherWays.known(None, (), ()))
    assert question_of(read, question)[1] is not context
    assert flips_within_range(made, book, shaft) == flips_within_range(made, book, read)


def test_a_question_about_anything_else_begins_anew(site, book):
    """Another ground, site, rulebook, yard, or less assumed, is another plan; and so is one that was held to some ways of building."""
    made = site("caving-lens")
    shaft = plan(made, book).shafts[0]
    context = shaft.other_ways.made_from

    def begins_with_the_plan(site, book=book, shaft=shaft, *, assumptions=True):
        return question_of(shaft, shaft_question(site, book, shaft.id, assumptions=assumptions))[1] is context

    boring = made.boring(shaft.boring)
    assert begins_with_the_plan(made)
    deeper = [layer.model_copy(update={"su_kpa": None, "symbol": None, "description": "soft clay"}) for layer in boring.layers]
    others = tuple(each for each in made.borings if each.id != boring.id)
    assert not begins_with_the_plan(made.model_copy(update={"borings": (boring.model_copy(update={"layers": tuple(deeper)}), *others)}))
    assert not begins_with_the_plan(made.model_copy(update={"site": made.site.model_copy(update={"surcharge_kpa": 40.0})}))
    assert not begins_with_the_plan(made.model_copy(update={"stock": (StockCasing(outside_diameter=1.3, wall=0.01, length=6),)}))
    wider = tuple(each.model_copy(update={"diameter_m": 1.5}) for each in made.shafts)
    assert not begins_with_the_plan(made.model_copy(update={"shafts": wider}))
    assert not begins_with_the_plan(made, replace(book))
    assert not begins_with_the_plan(made, assumptions=False)
    held = context.constrained(WayConstraint(one_diameter=True))
    of_held = replace(shaft, other_ways=OtherWays(lambda: None, tuple, tuple, made_from=held))
    assert question_of(of_held, shaft_question(made, book, shaft.id))[1] is not held


def _in_a_row(one, count):
    """Return the site with one of its shafts alone, so many times."""
    return one.model_copy(update={"shafts": [one.shafts[-1].model_copy(update={"count": count})]})


def test_a_shaft_that_is_planned_alone_pays_its_plant_alone_and_the_page_says_from_how_many_on_that_changes_it(site, book):
    """R2 of karst alone hires an oscillator rather than bring a slurry plant; in a row of five, and in no shorter one, it is drilled
    under slurry. Each row is planned whole."""
    karst = site("karst")
    made = plan(_in_a_row(karst, 1), book)
    found = flips_within_range(_in_a_row(karst, 1), book, made.shafts[0])
    (row,) = [change for change in found if change.flip.input == "shafts"]
    supports = {count: _held(plan(_in_a_row(karst, count), book).shafts[0], 6.0) for count in (1, 2, 4, 5, 6)}
    assert row.flip.flips_at == next(count for count, held in supports.items() if held != supports[1])
    assert (row.was, row.flip.then) == (supports[1], supports[5])
    page = texts_of(report.plan_pages(made, within_range={made.shafts[0].id: found}), "us")
    assert "Planned alone it pays its plant alone: with 5 such shafts on the site 0.0 to 36.0 ft is slurry (mineral)." in page


def test_shafts_that_share_their_plant_are_not_asked_for_more(site, book):
    pair = _in_a_row(site("karst"), 2)
    assert not [change for change in flips_within_range(pair, book, plan(pair, book).shafts[0]) if change.flip.input == "shafts"]
