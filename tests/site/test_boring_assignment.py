"""Which boring decides, and what is flagged."""

import re
from types import SimpleNamespace

import pytest

from methodpick.errors import InputError
from methodpick.ground.position import Position
from methodpick.ground.site import Shaft
from methodpick.plan.pipeline import plan
from methodpick.site import planning
from methodpick.site.boring_assignment import PreviewCache, _within_radius
from methodpick.site.planning import plan_site, settled_site
from methodpick.vocabulary.assumptions import Assumption
from methodpick.vocabulary.values import Span, known

CLAY = '{top: 0, base: 80, description: "stiff grey fat clay", symbol: CH, su: 2000, pi: 40, absent: [fissured]}'
SAND = '{top: 0, base: 80, description: "medium dense fine sand", symbol: SP, fines: 3 %, d10: 0.2 mm}'


def text(site="", shaft="", extra=""):
    return f"""\
methodpick: 1
site: {{units: us, recharge: [none], contamination: none{site}}}
borings:
  - {{id: DRY, depth: 80, position: {{east: 0, north: 0}}, ground_elevation: 100, substructure: west, technique: solid_auger,
     water: [{{reading: settled, depth: 70, after: 24 h}}], layers: [{CLAY}]}}
  - {{id: WET, depth: 80, position: {{east: 60, north: 0}}, ground_elevation: 100, substructure: east, technique: mud_rotary,
     water: [{{reading: piezometer, depth: 5, response_zone: [10, 40]}}], layers: [{SAND}]}}
{extra}shafts:
  - {{id: P1, diameter: 48, tip: 50, position: {{east: 20, north: 0}}{shaft}}}
"""


@pytest.fixture
def assigned(read_text, book):
    return lambda *args, **more: plan_site(read_text(text(*args, **more)), book)


@pytest.mark.parametrize(
    ("site", "shaft", "way", "boring"),
    [
        ("", "", "nearest", "DRY"),
        ("", ", boring: WET", "named", "WET"),
        (", borings_by: nearest", "", "nearest", "DRY"),
        (", borings_by: substructure", ", substructure: east", "substructure", "WET"),
        (", borings_by: substructure", ", substructure: north", "nearest", "DRY"),
        (", borings_by: envelope, radius: 100", "", "envelope", "WET"),
        (", borings_by: envelope, radius: 30", "", "envelope", "DRY"),
        (", borings_by: envelope, radius: 10", "", "nearest", "DRY"),
        (", borings_by: envelope, radius: 100", ", boring: DRY", "named", "DRY"),
    ],
)
def test_the_way_decides_the_boring(assigned, site, shaft, way, boring):
    made = assigned(site, shaft)
    assert (made.assignments[0].way, made.assignments[0].boring, made.plan.shafts[0].boring) == (way, boring, boring)


def test_distance_and_level_are_always_given(assigned):
    assignment = assigned(shaft=", ground_elevation: 98").assignments[0]
    assert assignment.distance_m == pytest.approx(20 * 0.3048)
    assert assignment.level_m == pytest.approx(-2 * 0.3048, abs=1e-3)
    assert assignment.shifted
    assert [other.distance_m for other in assignment.weighed] == [pytest.approx(6.096), pytest.approx(12.192)]


def test_two_nearest_borings_with_different_methods_are_flagged(assigned):
    flags = {flag.kind: flag for flag in assigned().assignments[0].flags}
    assert "DRY gives dry" in flags["method"].text
    assert "WET asks for more" in flags["method"].text


@pytest.mark.parametrize(
    ("extra", "shaft", "kind"),
    [
        ("", ", boring: DRY, socket_diameter: 40", None),
        (
            "  - {id: SHORT, depth: 40, position: {east: 20, north: 5}, layers: [{top: 0, base: 40, symbol: CH}]}\n",
            ", boring: SHORT",
            "short",
        ),
        ("  - {id: FAR, depth: 90, position: {east: 620, north: 0}, layers: [{top: 0, base: 90, symbol: CH}]}\n", ", boring: FAR", "far"),
        ("", ", boring: DRY, ground_elevation: 120", "level"),
        ("", ", ground_elevation: 105", "level"),
    ],
)
def test_cautions(assigned, extra, shaft, kind):
    cautions = {flag.kind for flag in assigned(shaft=shaft, extra=extra).assignments[0].flags if flag.severity == "caution"} - {"method"}
    assert cautions == ({kind} if kind else set())


def test_the_limits_of_distance_have_a_source(book):
    assert book.limits["boring_far_m"].value == pytest.approx(100 * 0.3048)  # AASHTO LRFD 10.4.2, 100 ft, memory
    assert book.limits["boring_far_m"].source == "aashto-design"


def test_explicit_asks_for_a_name_and_an_envelope_for_positions(read_text, book):
    with pytest.raises(InputError, match="names no boring"):
        plan_site(read_text(text(", borings_by: explicit")), book)
    lost = re.sub(r", position: \{east: 20, north: 0\}", "", text(", borings_by: envelope, radius: 50"))
    with pytest.raises(InputError, match="positions are missing"):
        plan_site(read_text(lost), book)


def test_an_envelope_needs_its_radius_and_says_where(read_text):
    with pytest.raises(InputError) as caught:
        read_text(text(", borings_by: envelope"))
    problem = caught.value.problems[0]
    assert "needs 'radius'" in problem.message
    assert problem.place.line == 2


def test_an_envelope_is_never_lighter_than_any_boring_in_it(assigned):
    """The boring that decides has the greatest ordering tuple of all that were weighed."""
    assignment = assigned(", borings_by: envelope, radius: 200").assignments[0]
    scores = {other.boring: other.score for other in assignment.weighed}
    assert scores[assignment.boring] == max(scores.values())
    assert len(scores) == 2


@pytest.fixture(scope="module")
def viaduct(planned_site):
    return planned_site("viaduct")


@pytest.mark.parametrize("columns", [(1, 4), pytest.param((2, 3), marks=pytest.mark.ci_only("plans more shafts one by one"))])
def test_shared_plans_are_the_plans_that_each_shaft_gets_alone(site, book, viaduct, columns, monkeypatch):
    """The shafts of three bents, planned one by one without sharing anything, field by field; before casing is chosen for all together."""
    monkeypatch.setattr(planning, "choose_casing", lambda _, made, *_more: made)
    bare = site("viaduct").model_copy(update={"stock": ()})
    names = [f"B{bent}-{column}" for bent in (1, 4, 12) for column in columns]
    shared = plan_site(bare, book, shafts=names)
    assert shared.plan.shafts == plan(settled_site(bare, shared), book, shafts=names).shafts
    assert shared.planned < len(shared.plan.shafts)
    assert viaduct.planned < len(viaduct.plan.shafts)


def test_the_method_previewed_is_the_method_planned(viaduct):
    methods = {shaft.id: shaft.method for shaft in viaduct.plan.shafts}
    for assignment in viaduct.assignments:
        previewed = {other.boring: other.method for other in assignment.weighed}
        assert previewed[assignment.boring] in {methods[assignment.shaft], None}
    assert sum(len(assignment.weighed) for assignment in viaduct.assignments) > 60


def test_the_viaduct_differs_from_end_to_end(viaduct):
    """The geology of the file: dry on the terrace (bent 1), fluid in the old channel (bent 7), casing to dry over shale (bent 15)."""
    methods = {shaft.id: shaft.method for shaft in viaduct.plan.shafts}
    assert (methods["B1-1"], methods["B7-1"], methods["B15-1"]) == ("dry", "slurry", "combination")
    assert all(assignment.distance_m is not None and assignment.level_m is not None for assignment in viaduct.assignments)
    assert len(viaduct.assignments) == 60


def test_a_boring_at_just_the_radius_counts():
    """0.1 + 0.2 m is as far as 0.3 m, whatever the machine makes of it."""
    at, near = Position(east_m=0.0, north_m=0.0), Position(east_m=0.1 + 0.2, north_m=0.0)
    far = SimpleNamespace(position=Position(east_m=0.31, north_m=0.0))
    boring, site = SimpleNamespace(position=near), SimpleNamespace(site=SimpleNamespace(radius_m=0.3))
    assert _within_radius(site, Shaft(id="S", diameter=1.2, tip=9.0, position=at), (boring, far)) == (boring,)


FAR = """  - {id: P2, diameter: 48, tip: 50, position: {east: -2000, north: 0}, ground_elevation: 100}
  - {id: P3, diameter: 48, tip: 50, position: {east: -2100, north: 0}, ground_elevation: 100}
"""


FAR_AWAY = Assumption(
    id="user-1", fact="soil", value=known("clay"), where={"boring_distance_m": Span(700.0, 10000.0)}, why="a guess", source="site file"
)


@pytest.mark.parametrize(("taken", "contexts"), [((), 1), ((FAR_AWAY,), 2)])
def test_shafts_far_from_a_boring_share_its_preview_unless_something_is_judged_by_the_distance(read_text, book, taken, contexts):
    """A rule about the shaft says of a far boring that it is far, on the page of the shaft; the method does not hang on it."""
    made = read_text(text() + FAR)
    far = [shaft for shaft in made.shafts if shaft.id != "P1"]
    cache = PreviewCache(made, book, taken)
    previews = [cache.preview(made.borings[0], shaft) for shaft in far]
    keys = {cache.key(made.borings[0], shaft) for shaft in far}
    assert len(keys) == 2  # each has a plan of its own all the same, for its page says how far the boring is
    assert len({id(preview) for preview in previews}) == contexts
    assert sum(cache.planned_from(key) is not None for key in keys) == contexts
