"""Facts of a slice that do not change with the way the shaft is cut (statics, and radial flow by hand)."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from shipped import strata_of

from methodpick.engine.load import load_rulebook
from methodpick.facts.curves import HoleFluid
from methodpick.facts.cuts import WATCHED, cut_depths
from methodpick.facts.gather import Gatherer
from methodpick.facts.of_slice import shaken_too_near
from methodpick.facts.sheet import Frame
from methodpick.ground.profile import Layer, Profile
from methodpick.ground.site import Shaft
from methodpick.imports.site_file import read_site
from methodpick.plan.checks.catalogue import cutting_limits
from methodpick.resources import folder
from methodpick.vocabulary.values import point

SITE = """\
methodpick: 1
site: {units: si}
borings:
- id: B-1
  water: [{reading: confined, struck: 6.0, rises_to: 3.0}]
  layers:
  - {top: 0, base: 6, symbol: CL, su: 100}
  - {top: 6, base: 16, symbol: SP, permeability: 1e-6 m/s}
  - {top: 16, base: 22, symbol: CL, su: 100}
shafts: [{id: S-1, diameter: 900, tip: 18.6, bell: {diameter: 1800, height: 0.9}, socket_top: 16.005}]
"""


@pytest.fixture(scope="module")
def gatherer():
    book = load_rulebook(folder("rules"))
    site, _ = read_site(SITE, "site.yaml")
    return Gatherer(
        Frame(
            profile=site.borings[0],
            shaft=site.shafts[0],
            site=site.site,
            catalogue=book.catalogue,
            tables=book.tables,
            limits=book.values,
            assumptions=(),
        )
    )


def sheets(gatherer, *cuts):
    return [cut.sheet for cut in gatherer.slices((), {"dry": None}, cuts)]


def test_what_a_layer_gives_is_the_same_however_it_is_cut(gatherer):
    """2 pi k 10 m x 8 m / ln(R / 0.45) over the area of the shaft; R by Sichardt is 3000 x 8 x 0.001 = 24 m.

    2 pi x 1e-6 x 80 / ln(53.3) = 1.264e-4 m3/s over 0.636 m2 is 0.715 m/h. A metre of it alone gives less.
    """
    sand = [sheet for sheet in (*sheets(gatherer), *sheets(gatherer, 7.0, 11.0)) if sheet.choice("soil").likely == "clean_sand"]
    assert [sheet.span("layer_rise_m_h").likely for sheet in sand] == pytest.approx([0.715] * 4, rel=5e-3)
    assert sand[1].span("seepage_rise_m_h").likely < 0.2


def test_a_bell_and_a_socket_begin_at_the_nearest_cut(gatherer):
    """18.6 - 0.9 m is a rounding more than 17.7 m; a socket 5 mm below a layer has one cut with it."""
    places = [(sheet.span("depth_m").low, sheet.choice("in_bell").likely, sheet.choice("in_socket").likely) for sheet in sheets(gatherer)]
    assert [(bell, socket) for top, bell, socket in places if top >= 15.9] == [("no", "yes"), ("yes", "yes")]
    assert all(bell == socket == "no" for top, bell, socket in places if top < 15.9)


def test_every_fact_that_runs_with_depth_and_is_compared_with_a_limit_cuts_slices(gatherer):
    """Whatever else rules and proofs compare is one value over a layer in its water, so that no depth is the one where it crosses."""
    compared = {fact for fact, _ in cutting_limits(load_rulebook(folder("rules")))}
    assert compared > WATCHED - {"overload_ratio"}, "what nothing compares need not be followed"
    inside = {"dry": None, "water": HoleFluid(1000.0, 0.0)}
    seen = {}
    for cut in gatherer.slices((), inside, [depth / 2 for depth in range(1, 37)]):
        states = gatherer.state_values(cut, inside)
        for state, values in states.items():
            for fact, value in {**cut.sheet.values(), **values}.items():
                key = state, cut.stratum.index, cut.ground.aquifer, fact
                if fact in compared - WATCHED:
                    assert seen.setdefault(key, value) == value, key
    assert {fact for *_, fact in seen} >= {"layer_rise_m_h", "fluid_head_m"}


def test_silt_is_cut_where_water_rises_in_it_and_nowhere_above_it(gatherer):
    """capillary_silt_m: half a metre over the water at 8 m is in the silt, half a metre over that at 5.3 m is in the sand above it."""
    limits, water = gatherer.frame.limits, gatherer.aquifers[0]
    profile = Profile(id="B", depth_m=12, layers=(Layer(top_m=0, base_m=5, symbol="SP"), Layer(top_m=5, base_m=12, symbol="ML")))
    strata = strata_of(profile, 12)

    def cuts(level):
        return cut_depths(Shaft(id="S", diameter_m=1.0, tip_m=12.0), strata, [replace(water, level_m=point(level))], (), limits)

    assert cuts(8.0) == [0.0, 5.0, 7.5, 8.0, 12.0]
    assert cuts(5.3) == [0.0, 5.0, 5.3, 12.0]


@pytest.mark.parametrize(("distance", "near"), [(9.9, True), (10.0, False), (10.1, False)])
def test_a_neighbour_at_the_distance_of_the_limit_is_not_too_near(distance, near):
    sheet = SimpleNamespace(span=lambda _: point(distance))
    assert shaken_too_near(sheet, {"neighbour_near_m": 10.0}) is near


def facts_of(text):
    book, (site, _) = load_rulebook(folder("rules")), read_site(text, "site.yaml")
    frame = Frame(site.site, site.borings[0], site.shafts[0], book.catalogue, book.tables, (), book.values)
    return [cut.sheet for cut in Gatherer(frame).slices((), {"dry": None})]


def test_many_like_counts_narrow_the_mean_below_and_above():
    """Sixteen counts of 10 by a hammer of 60 %: n_spread 0.3 of 10 over the root of 16 is 0.75 either way."""
    layers = "[{top: 0, base: 16, symbol: SP, n: [" + ", ".join(["10"] * 16) + "]}]"
    (sheet, *_) = facts_of(f"""methodpick: 1
site: {{units: si}}
borings: [{{id: B-1, hammer_efficiency: 60, layers: {layers}}}]
shafts: [{{id: S-1, diameter: 900, tip: 12}}]
""")
    counts = sheet.span("n60")
    assert (counts.low, counts.likely, counts.high) == pytest.approx((9.25, 10.0, 10.75))


def test_water_low_in_a_layer_flows_in_all_the_same():
    """Its middle at 11 m is dry, but 2 m are wet: with half of them for the drawdown R is 3000 x 1 x 0.001 = 3 m (Sichardt).

    2 pi x 1e-6 x 2 x 1 / ln(3 / 0.45) = 6.624e-6 m3/s over 0.6362 m2 is 0.03748 m/h.
    """
    sheets = facts_of("""methodpick: 1
site: {units: si}
borings:
- {id: B-1, water: [{reading: settled, depth: 14, after: 48 h}],
   layers: [{top: 0, base: 6, symbol: CL}, {top: 6, base: 16, symbol: SP, permeability: 1e-6 m/s}, {top: 16, base: 22, symbol: CL}]}
shafts: [{id: S-1, diameter: 900, tip: 18}]
""")
    sand = [sheet for sheet in sheets if sheet.choice("soil").likely == "clean_sand"]
    assert sand[0].span("layer_rise_m_h").likely == pytest.approx(0.03748, rel=1e-3)
