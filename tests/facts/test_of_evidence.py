"""What the boring showed is a fact; what it could not have shown stays open (common practice, no source)."""

import pytest
from shipped import strata_of

from methodpick.facts.of_site import of_evidence
from methodpick.facts.sheet import FactSheet, Frame
from methodpick.ground.profile import CoreRun, Layer, Profile, Remark, Spt
from methodpick.ground.site import Shaft, SiteConditions

YES, NO = frozenset({"yes"}), frozenset({"no"})


@pytest.fixture
def shown(book):
    def facts(layer, **boring):
        profile = Profile(id="B", depth_m=20, layers=(Layer(top_m=0, base_m=20, **layer),), **boring)
        frame = Frame(SiteConditions(), profile, Shaft(id="S", diameter_m=1.2, tip_m=15), book.catalogue, book.tables, (), book.values)
        sheet = FactSheet(book.catalogue)
        of_evidence(frame, sheet, strata_of(profile, 15)[0])
        return {name: fact.value.values for name, fact in sheet.facts.items()}

    return facts


SAND, CLAY = {"symbol": "SP"}, {"symbol": "CL"}


@pytest.mark.parametrize(
    ("technique", "fact", "silence"),
    [
        ("solid_auger", "caving_seen", NO),
        ("hollow_stem_auger", "caving_seen", None),
        ("mud_rotary", "caving_seen", None),
        ("unknown", "caving_seen", None),
        ("mud_rotary", "loss_seen", NO),
        ("solid_auger", "loss_seen", None),
        ("hollow_stem_auger", "blowing_seen", NO),
        ("wash", "blowing_seen", None),
        ("unknown", "blowing_seen", None),
        ("cable_percussion", "water_added_seen", NO),
        ("mud_rotary", "water_added_seen", None),
    ],
)
def test_silence_is_an_answer_only_where_the_drilling_would_have_shown_it(shown, technique, fact, silence):
    assert shown(SAND, technique=technique).get(fact) == silence


def test_what_was_seen_is_a_fact_however_the_hole_was_held(shown):
    seen = shown(SAND, technique="mud_rotary", remarks=(Remark(depth_m=5, text="hole collapsing"),))
    assert seen["caving_seen"] == YES
    assert shown(SAND, technique="mud_rotary", cave_in_depth_m=12)["caving_seen"] == YES
    assert "caving_seen" not in shown(SAND, technique="mud_rotary", cave_in_depth_m=20), "the tape reached the bottom"


def test_a_remark_without_a_depth_leaves_open_where_it_was(shown):
    """Somewhere the hole caved: silence at a depth is no answer any more, and no stratum is known to have caved."""
    remark = Remark(text="sides of the hole unstable")
    assert "caving_seen" not in shown(SAND, technique="solid_auger", remarks=(remark,))
    assert shown(SAND, technique="solid_auger", remarks=(Remark(text="sides stable, no caving"),))["caving_seen"] == NO


def test_clay_does_not_blow_whatever_held_the_hole(shown):
    assert shown(CLAY, technique="mud_rotary")["blowing_seen"] == NO


def test_casing_hides_caving(shown):
    cased = shown(SAND, technique="solid_auger", casing_depth_m=10)
    assert cased["boring_cased"] == YES
    assert "caving_seen" not in cased
    assert shown(SAND, technique="solid_auger", casing_depth_m=0.2)["boring_cased"] == NO
    assert "boring_cased" not in shown(SAND, technique="solid_auger")


@pytest.mark.parametrize(
    ("layer", "more", "expected"),
    [
        ({"symbol": "SP"}, {}, NO),
        ({"description": "sand, trace gravel"}, {}, YES),
        ({"symbol": "SP"}, {"spt": (Spt(depth_m=9, n=50, penetration_m=0.076),)}, YES),
        ({"symbol": "SP"}, {"remarks": (Remark(depth_m=9, text="rig chatter"),)}, YES),
    ],
)
def test_signs_of_pieces_larger_than_the_sampler(shown, layer, more, expected):
    assert shown(layer, **more)["coarse_signs"] == expected


def test_core_is_core_or_its_recovery(shown):
    rock = {"symbol": "rock"}
    assert shown(rock)["cored"] == NO
    assert shown(rock, cores=(CoreRun(top_m=2, base_m=5, rqd_percent=60),))["cored"] == YES
    assert shown({**rock, "rqd_percent": {"low": 50, "likely": 55, "high": 60}})["cored"] == YES


def test_chatter_makes_cobbles_likely_in_soil_and_nothing_in_rock(shown):
    chatter = {"remarks": (Remark(depth_m=9, text="rig chatter, possible boulders"),)}
    soil, rock = shown(SAND, **chatter), shown({"symbol": "rock"}, **chatter)
    assert soil["cobbles"] == soil["boulders"] == YES | NO
    assert "obstructions" not in soil, "nothing man-made is named"
    assert not {"cobbles", "boulders"} & set(rock)
