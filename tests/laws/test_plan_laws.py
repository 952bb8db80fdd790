"""Laws of the plan: total (intervals tile the shaft), pure (same bytes twice), the same in both unit systems, and water
that rises never makes a dry hole better."""

import itertools
import json
from dataclasses import replace

import pytest
from effort import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from shipped import shipped_rulebook

from methodpick.formats.json import plan_json
from methodpick.ground.profile import Layer, Profile, Spt, WaterReading
from methodpick.ground.site import Shaft, Site, SiteConditions
from methodpick.imports.site_file import read_site
from methodpick.plan.pipeline import plan
from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.plan.sequence.lengths import LengthScores
from methodpick.plan.sequence.search import search
from methodpick.units import convert

BOOK = shipped_rulebook()
SYMBOLS = ("CL", "CH", "ML", "SM", "SP", "GP", "GM", "PT", "rock", "weathered_rock", "SP-SM", "cobbles")
WORDS = ("soft", "stiff", "very stiff", "loose", "dense", "", "medium dense", "firm")


@st.composite
def sites(draw):
    depths = sorted(draw(st.sets(st.integers(1, 30), min_size=1, max_size=6)))
    layers, top = [], 0.0
    for base in depths:
        layers.append(Layer(top_m=top, base_m=float(base), description=draw(st.sampled_from(WORDS)), symbol=draw(st.sampled_from(SYMBOLS))))
        top = float(base)
    water = draw(
        st.one_of(
            st.just(()),
            st.tuples(st.floats(0, 25).map(lambda d: WaterReading(reading="settled", depth_m=round(d, 2)))),
            st.tuples(st.floats(1, 20).map(lambda d: WaterReading(reading="confined", struck_m=round(d, 2), rises_to_m=round(d - 3, 2)))),
            st.just((WaterReading(reading="none_met", hole_depth_m=top),)),
        )
    )
    spt = tuple(Spt(depth_m=float(d), n=draw(st.integers(0, 60))) for d in range(1, int(top), 3))
    tip = draw(st.integers(4, 32))
    boring = Profile(id="B", depth_m=top, layers=tuple(layers), water=water, spt=spt)
    shaft = Shaft(id="S", boring="B", diameter_m=draw(st.sampled_from((0.6, 1.2, 2.4))), tip_m=float(tip))
    return Site(site=SiteConditions(units="si"), borings=(boring,), shafts=(shaft,))


USABLE = {"allowed": 0, "discouraged": 1, "doubtful": 2, "unknown": 3, "unlikely": 3, "ruled_out": 3}
SLOW = settings(max_examples=examples(40))


@given(sites())
@SLOW
def test_total_intervals_tile_the_shaft(made):
    for shaft in plan(made, BOOK).shafts:
        groups = [shaft.intervals, *(one.intervals for one in shaft.alternates if one.intervals)]
        if shaft.cautious:
            groups.append(shaft.cautious.intervals)
        for intervals in groups:
            assert intervals[0].top_m == 0.0
            assert intervals[-1].base_m == pytest.approx(shaft.tip_depth_m, abs=1e-9)
            for upper, lower in itertools.pairwise(intervals):
                assert upper.base_m == lower.top_m
            assert all(one.base_m > one.top_m for one in intervals)
        assert all(one.reasons for one in shaft.intervals)
        _assert_nothing_proven_is_short(shaft)


def _assert_nothing_proven_is_short(shaft):
    """No way that is called proven has a check that fails or that is short at the likely values."""
    for way in (shaft, *filter(None, (shaft.cautious,)), *shaft.alternates, *shaft.ladder):
        assert not way.proven or not {check.result for check in way.checks} & {"fails", "open_likely"}


@given(sites())
@settings(SLOW, max_examples=examples(15, least=3))
def test_pure_same_input_same_bytes(made):
    """All ways of a plan are worked out and written twice, which takes as long as ten plans: the plain command tries three sites."""
    assert plan_json(plan(made, BOOK)) == plan_json(plan(made.model_copy(deep=True), BOOK))


@given(sites())
@settings(SLOW, max_examples=examples(25))
def test_no_stage_exposes_a_slice_that_rules_it_out(made):
    shaft = plan(made, BOOK).shafts[0]
    for one in shaft.intervals:
        if one.support in {"dry", "slurry"} and one.drilled_in:
            assert one.verdicts[one.drilled_in].state != "ruled_out"
            assert one.verdicts[one.fluid or one.drilled_in].state != "ruled_out"


@given(sites(), st.floats(0.2, 6))
@settings(SLOW, max_examples=examples(25))
def test_rising_water_never_improves_the_dry_verdict(made, rise):
    """Every aquifer's head is raised together; strength, density and moisture are stated and held.

    Verdicts are compared by what the planner may do with them: a slice is not cut finer than two centimetres, so that
    "unlikely" and "ruled out" may trade places within such a sliver.
    """
    layers = tuple(
        layer.model_copy(update={"unit_weight_kn_m3": _band(19.0), "su_kpa": _band(80.0), "phi_deg": _band(32.0)})
        for layer in made.borings[0].layers
    )
    boring = made.borings[0].model_copy(update={"layers": layers, "spt": ()})
    if not boring.water or any(reading.reading == "none_met" for reading in boring.water):
        return
    readings = tuple(_raised(reading, rise) for reading in boring.water)
    low = plan(made.model_copy(update={"borings": (boring,)}), BOOK).shafts[0]
    high = plan(made.model_copy(update={"borings": (boring.model_copy(update={"water": readings}),)}), BOOK).shafts[0]
    cuts = sorted({one.top_m for one in (*low.intervals, *high.intervals)} | {low.tip_depth_m})
    for top, base in itertools.pairwise(cuts):
        if base - top < 0.02:
            continue
        before, after = (_dry(shaft, (top + base) / 2) for shaft in (low, high))
        assert USABLE[after] >= USABLE[before]


def _band(value):
    from methodpick.ground.quantity import Band

    return Band(low=value, likely=value, high=value)


def _raised(reading, rise):
    if reading.reading == "confined":
        return reading.model_copy(update={"rises_to_m": reading.rises_to_m - rise})
    return reading.model_copy(update={"depth_m": reading.depth_m - rise if reading.depth_m > rise else reading.depth_m * 0.5})


def _dry(shaft, depth):
    one = next(one for one in shaft.intervals if one.top_m <= depth <= one.base_m)
    return one.verdicts["dry"].state


US = """methodpick: 1
site: {name: twin, units: us, surcharge: 250 psf}
borings:
  - id: B
    depth: 80
    hammer_efficiency: 70 %
    water: [{reading: settled, depth: 10}]
    layers:
      - {top: 0, base: 12, description: stiff clay, symbol: CL, su: 1500, unit_weight: 120}
      - {top: 12, base: 30, description: "medium dense sand", symbol: SP, fines: 3 %, d10: 0.2}
      - {top: 30, base: 80, description: very stiff clay, symbol: CH, su: [2500, 3500]}
    spt: [{depth: 5, n: 12}, {depth: 20, n: 18}, {depth: 60, n: 50/4in}]
shafts: [{id: S, boring: B, diameter: 48, tip: 60, cutoff: 3, cage_diameter: 36}]
"""
SI = f"""methodpick: 1
site: {{name: twin, units: si, surcharge: {convert(250, "psf", "kPa")}}}
borings:
  - id: B
    depth: {80 * 0.3048}
    hammer_efficiency: 70 %
    water: [{{reading: settled, depth: {10 * 0.3048}}}]
    layers:
      - {{top: 0, base: {12 * 0.3048}, description: stiff clay, symbol: CL, su: {convert(1500, "psf", "kPa")},
         unit_weight: {convert(120, "pcf", "kN/m3")}}}
      - {{top: {12 * 0.3048}, base: {30 * 0.3048}, description: "medium dense sand", symbol: SP, fines: 3 %, d10: 0.2}}
      - {{top: {30 * 0.3048}, base: {80 * 0.3048}, description: very stiff clay, symbol: CH,
         su: [{convert(2500, "psf", "kPa")}, {convert(3500, "psf", "kPa")}]}}
    spt: [{{depth: {5 * 0.3048}, n: 12}}, {{depth: {20 * 0.3048}, n: 18}}, {{depth: {60 * 0.3048}, n: 50/4in}}]
shafts: [{{id: S, boring: B, diameter: 1219.2, tip: {60 * 0.3048}, cutoff: {3 * 0.3048}, cage_diameter: 914.4}}]
"""


def _close(first, second, path=""):
    assert type(first) is type(second) or isinstance(first, (int, float)), path
    if isinstance(first, dict):
        assert list(first) == list(second), path
        for key in first:
            _close(first[key], second[key], f"{path}.{key}")
    elif isinstance(first, (list, tuple)):
        assert len(first) == len(second), path
        for index, (one, two) in enumerate(zip(first, second, strict=True)):
            _close(one, two, f"{path}[{index}]")
    elif isinstance(first, float):
        assert first == pytest.approx(second, rel=1e-6, abs=1e-6), path
    else:
        assert first == second, path


def test_us_and_si_copies_of_one_site_give_the_same_plan():
    """With the same lists of casing and tools, which follow the units of a site, everything is the same."""
    sites = [read_site(text, "twin.yaml")[0] for text in (US, SI)]
    metric = [site.model_copy(update={"site": site.site.model_copy(update={"units": "si"})}) for site in sites]
    first, second = (json.loads(plan_json(plan(site, BOOK, path="twin.yaml", digest="x"))) for site in metric)
    _close(first, second)
    by_inches = plan(sites[0], BOOK, path="twin.yaml", digest="x").shafts[0]
    held = [(interval["top_m"], interval["base_m"], interval["support"]) for interval in second["shafts"][0]["intervals"]]
    _close(held, [(interval.top_m, interval.base_m, interval.support) for interval in by_inches.intervals])


def test_a_layer_split_into_identical_halves_is_held_alike():
    whole = read_site(US, "twin.yaml")[0]
    split = read_site(
        US.replace(
            "      - {top: 30, base: 80,",
            "      - {top: 30, base: 52, description: very stiff clay, symbol: CH, su: [2500, 3500]}\n      - {top: 52, base: 80,",
        ),
        "twin.yaml",
    )[0]
    one, two = (plan(site, BOOK).shafts[0] for site in (whole, split))
    assert [(s.action, s.base_m) for s in one.stages] == [(s.action, s.base_m) for s in two.stages]


def _stated(made):
    """Give the site with the strength and weight of every layer stated, without tests."""
    layers = tuple(
        layer.model_copy(update={"unit_weight_kn_m3": _band(19.0), "su_kpa": _band(80.0), "phi_deg": _band(32.0)})
        for layer in made.borings[0].layers
    )
    return made.model_copy(update={"borings": (made.borings[0].model_copy(update={"layers": layers, "spt": ()}),)})


@given(sites(), st.integers(0, 5), st.floats(0.1, 0.9))
@settings(SLOW, max_examples=examples(25))
def test_the_plan_is_the_same_where_a_layer_is_split_into_alike_parts(made, which, share):
    whole = _stated(made)
    layers = list(whole.borings[0].layers)
    at = which % len(layers)
    cut = round(layers[at].top_m + share * layers[at].thickness_m, 3)
    layers[at : at + 1] = [layers[at].model_copy(update={"base_m": cut}), layers[at].model_copy(update={"top_m": cut})]
    split = whole.model_copy(update={"borings": (whole.borings[0].model_copy(update={"layers": tuple(layers)}),)})
    one, two = (plan(site, BOOK).shafts[0] for site in (whole, split))
    assert one.stages == two.stages
    assert one.casings == two.casings
    assert one.intervals == two.intervals
    assert one.slurry == two.slurry


@given(sites(), st.floats(0.2, 6))
@settings(SLOW, max_examples=examples(30))
def test_seats_and_stick_up_never_fall_when_every_head_rises(made, rise):
    """Of one family, for seats in one layer: what the seat asks for and the height of the casings over the grade."""
    boring = _stated(made).borings[0]
    if not boring.water or any(reading.reading == "none_met" for reading in boring.water):
        return
    higher = boring.model_copy(update={"water": tuple(_raised(reading, rise) for reading in boring.water)})
    low, high = (PlanContext(PlanBasis(made, BOOK, BOOK.assumptions), one, made.shafts[0]) for one in (boring, higher))
    assert high.levels.stick_up_m >= low.levels.stick_up_m - 1e-9
    for family in ("casing_then_dry", "full_depth_casing"):
        before, after = (_strings(context, family) for context in (low, high))
        for layer in before.keys() & after.keys():
            assert after[layer] >= before[layer] - 1e-6, (family, layer)


def _strings(context, family):
    """Give what the seat of the casings of a family asks for, by the layer that it stands in, where one casing stands there."""
    given = context.search_input.of_family(family)
    path = search(LengthScores(given, cautious=False), given)
    if path is None:
        return {}
    return {
        segment.stratum: casing.embedment.needed_m
        for segment, casing in zip(path.strings, [one for one in context.worked(path).hole.casings if not one.is_starter], strict=True)
        if casing.embedment is not None and casing.embedment.needed_m is not None
    }


def test_a_plan_is_frozen(planned):
    shaft = planned("caving-lens").shafts[0]
    with pytest.raises(AttributeError):
        shaft.method = "dry"
    assert replace(shaft, method="dry").method == "dry"
