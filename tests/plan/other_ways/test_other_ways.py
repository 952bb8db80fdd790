"""The ways beside a plan: what they say of themselves, and when they are worked out."""

from pathlib import Path

import pytest

from methodpick.plan.concrete.placement import StandingFluids
from methodpick.plan.pipeline import plan
from methodpick.plan.reasons.notes import FAMILY_WORDS
from methodpick.plan.result import Alternate, OtherWays
from methodpick.plan.sequence import families, objections
from methodpick.plan.sequence.path import FAMILIES, NOTHING, Run, Segment, SequencePath

# ---- What the ways beside the plan say of themselves: trials that ended, a casing that a proof bars, a pour that the ground leaves open


SITE = """methodpick: 1
site: {{name: Mill Road, units: si{site}}}
borings:
  - id: B
    depth: 40
    water: [{{reading: settled, depth: 8, after: 24 h}}]
    layers:
      - {{top: 0, base: {logged}, description: "dense sandy gravel", symbol: GW, unit_weight: 20, phi: 38, absent: [boulders, cemented]}}
shafts:
  - {{id: P, boring: B, diameter: 1200, tip: 20}}
"""
OSCILLATOR = "equipment: {vibratory: false, kelly_twist: false, impact_hammer: false, rotator: false, oscillator: true%s}"


def made(read_text, book, site, logged=40):
    return plan(read_text(SITE.format(site=f", {site}" if site else "", logged=logged)), book).shafts[0]


def test_every_way_says_that_its_trials_ended(read_text, book, monkeypatch):
    """With no trial allowed, no search is known to have counted what its proofs object to."""
    assert all(way.proven for way in made(read_text, book, OSCILLATOR % "").alternates if way.stages)
    monkeypatch.setattr(objections, "MOST_TRIALS", 0)
    shaft = made(read_text, book, OSCILLATOR % "")
    built = [way for way in shaft.alternates if way.stages]
    assert built
    assert not shaft.proven
    assert not any(way.proven for way in built)
    assert all("not proven" in way.why_not for way in built)
    assert not any(rung.proven for rung in shaft.ladder)
    assert shaft.cautious is None or not shaft.cautious.proven


def test_a_casing_that_cannot_be_pulled_is_not_called_a_casing_that_no_plant_brings(read_text, book):
    shaft = made(read_text, book, "allowed: [slurry, temporary_casing], " + OSCILLATOR % ", oscillator_pull_kn: 20")
    other = next(way for way in shaft.alternates if way.family == FAMILY_WORDS["full_depth_casing"])
    assert not other.stages
    assert "pull on a casing" in other.why_not
    assert "plant" not in other.why_not


def test_the_rungs_are_poured_as_the_plan_where_the_log_ends_above_the_tip(read_text, book):
    shaft = made(read_text, book, "allowed: [dry, slurry]", logged=12)
    assert any(interval.support == "undecided" for interval in shaft.intervals)
    planned = next(rung for rung in shaft.ladder if rung.name == "planned")
    assert planned.placement == shaft.placement
    assert planned.concrete == shaft.concrete


def segment(top, base, *states, casing="none", bails=False):
    runs = tuple(Run(top, base, state) for state in states)
    return Segment(
        top_m=top, base_m=base, runs=runs, casing=casing, way=None, ahead_m=base, keep=False, sealed="yes", embedment_m=1.0, stratum=0,
        bails=bails, score=NOTHING,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("segments", "full"),
    [
        ((segment(0, 8, "mineral", "cased_balanced", casing="set"), segment(8, 12, "dry", bails=True)), ""),
        ((segment(0, 8, "mineral", "cased_balanced", casing="set"), segment(8, 12, "mineral")), "mineral"),
        ((segment(0, 8, "mineral", "cased_balanced", casing="set"), segment(8, 12, "cased_plug", casing="advanced")), "mineral"),
        ((segment(0, 12, "cased_plug", casing="advanced"),), "water"),
        ((segment(0, 8, "dry", "cased_dry", casing="set"),), ""),
    ],
)
def test_what_stands_in_the_hole_when_the_tip_is_reached(segments, full):
    """A hole that was bailed holds nothing of its slurry; an advanced casing is kept full of what stood in it, or of water."""
    assert SequencePath(segments, NOTHING).stands_at_tip == full


def test_an_emptied_hole_is_filled_with_water_for_its_pour():
    slurry, water = object(), object()
    assert StandingFluids(drilled_under=slurry, at_tip=None, water=water).over_concrete is water
    assert StandingFluids(drilled_under=slurry, at_tip=slurry, water=water).over_concrete is slurry


# ---- The ways beside a plan are worked out when somebody asks, and are then what they would have been at once


SITES_OF_TESTS = Path(__file__).parents[2] / "sites"
CASES = Path(__file__).parents[2] / "published" / "cases"
PROFILES = Path(__file__).parents[3] / "profiles"
SITES = ("caving-lens", "stiff-clay-thin", "artesian-sand")
PARTS = ("cautious", "alternates", "ladder")


@pytest.fixture
def searched(monkeypatch):
    """Return the families that are searched, each with the search that it belongs to."""
    found = []
    find = families._ProvedSearch.find

    def counted(search, near=None, given=None):
        if given is not None:
            found.append((search, given.options.family))
        return find(search, near, given)

    monkeypatch.setattr(families._ProvedSearch, "find", counted)
    return found


def test_no_other_family_is_searched_before_it_is_asked_for(site, book, searched):
    shaft = plan(site("caving-lens"), book).shafts[0]
    assert shaft.cautious is not None
    assert searched == []
    assert len(shaft.alternates) == len(searched) == len(FAMILIES) - 1
    assert shaft.ladder
    assert len(searched) == len(FAMILIES) - 1


def test_families_that_were_searched_for_a_proven_way_are_not_searched_again_for_the_ways_beside_the_plan(read_text, book, searched):
    """A bell that is not cut dry leaves no way proven, so that all families are searched before the plan stands."""
    text = (SITES_OF_TESTS / "bell-in-wet-ground.yaml").read_text(encoding="utf-8")
    shaft = plan(read_text(text), book).shafts[0]
    assert not shaft.proven
    assert shaft.alternates
    assert searched
    assert len(searched) == len(set(searched))


def test_no_way_beside_a_plan_is_the_plan_again(read_text, book):
    """Families overlap: a casing that stays with fluid below it is partial casing and then fluid as well, and was listed again.

    Of the other family the way stands there whose casing is pulled, or that there is none.
    """
    bridge = plan(read_text((CASES / "R04.yaml").read_text(encoding="utf-8")), book).shafts[0]
    pulled = next(way for way in bridge.alternates if way.family == FAMILY_WORDS["casing_then_fluid"])
    assert {casing.kind for casing in bridge.casings} == {"permanent"}
    assert {casing.kind for casing in pulled.casings} == {"temporary"}
    assert not pulled.proven, "soft clay yields to fresh concrete without it"


def test_a_family_that_only_builds_the_plan_again_says_so(planned):
    (shaft,) = planned("river-crossing").shafts
    fluid, dry = (next(way for way in shaft.alternates if way.family == FAMILY_WORDS[f"casing_then_{last}"]) for last in ("fluid", "dry"))
    assert fluid.stages == ()
    assert fluid.why_not == "No casing that is pulled builds it; with one that stays in the ground it is the same as the plan."
    assert dry.stages, "the same casing, emptied, is another way"
    assert dry.stages != shaft.stages


def test_casing_that_stays_to_the_tip_stands_once_beside_a_plan(book, read_text):
    """Both families find the same casing to the tip where it cannot be pulled again; the other then shows the pull that is short."""
    text = (PROFILES / "saturated-sand.yaml").read_text(encoding="utf-8")
    only_casing = text.replace("  units: us\n", "  units: us\n  allowed: [temporary_casing, permanent_casing]\n", 1)
    shaft = next(shaft for shaft in plan(read_text(only_casing), book).shafts if shaft.id == "A2")
    built = [(way.stages, way.casings) for way in shaft.alternates if way.stages]
    assert all(first != other for number, first in enumerate(built) for other in built[:number])
    tip = next(way for way in shaft.alternates if way.family == FAMILY_WORDS["full_depth_casing"])
    assert {casing.kind for casing in tip.casings} == {"temporary"}
    assert [check.id for check in tip.checks if check.is_short] == ["pull"]


@pytest.mark.parametrize("name", SITES)
def test_what_is_asked_for_first_changes_nothing(site, book, name):
    forwards, backwards = plan(site(name), book).shafts[0], plan(site(name), book).shafts[0]
    first = [getattr(forwards, part) for part in PARTS]
    last = [getattr(backwards, part) for part in reversed(PARTS)]
    assert first == last[::-1]
    assert forwards == backwards


@pytest.mark.parametrize("name", SITES)
def test_the_next_best_way_and_the_doubt_are_found_without_the_other_parts(site, book, name):
    """The answer page asks for these two alone; no other part is worked out for them."""
    ways = plan(site(name), book).shafts[0].other_ways
    next_best, difference = ways.next_best, ways.difference
    assert not set(PARTS) & set(vars(ways))
    whole = OtherWays.known(ways.cautious, ways.alternates, ways.ladder)
    assert next_best == whole.next_best
    assert next_best in (*ways.alternates, None)
    assert difference == whole.difference


def test_a_family_that_cannot_cost_less_is_not_searched_for_the_next_best_way(site, book, monkeypatch):
    """A dry hole below casing costs 1.2 times the plan here; fluid below casing and casing to the tip are dearer."""
    searched, find_of = set(), families._ProvedSearch.find_of
    monkeypatch.setattr(families._ProvedSearch, "find_of", lambda search, family: searched.add(family) or find_of(search, family))
    ways = plan(site("stiff-clay-thin"), book).shafts[0].other_ways
    assert ways.next_best.family == FAMILY_WORDS["casing_then_dry"]
    assert searched == {"slurry", "permanent_casing", "casing_then_dry"}
    assert ways.alternates
    assert searched == set(families.FAMILIES) - {"dry"}


def test_a_proven_way_goes_before_a_cheaper_one_and_what_cannot_be_built_is_no_way():
    """The way at 6 leaves 2 m of the shaft in doubt that the plan does not: it ranks after the firm ones, and before what is not proven."""
    costs = (5.0, 9.0, 7.0, None, 6.0)
    ways = [
        Alternate(family="", intervals=(), relative_cost=cost, why_not="", proven=cost != 5.0, leaves_open_m=2.0 if cost == 6.0 else 0.0)
        for cost in costs
    ]
    assert OtherWays.known(None, tuple(ways), ()).next_best is ways[2]
    assert OtherWays.known(None, (ways[0], ways[3]), ()).next_best is ways[0]
    assert OtherWays.known(None, (ways[3],), ()).next_best is None
    assert OtherWays.known(None, (ways[0], ways[4]), ()).next_best is ways[4]


def test_alike_shafts_share_the_ways_beside_their_plan(planned_site):
    shafts = planned_site("viaduct").plan.shafts
    ways = {id(shaft.other_ways) for shaft in shafts}
    assert len(ways) < len(shafts)
