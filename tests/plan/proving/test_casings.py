"""The proofs of casings and of the plant that brings them, on whole ways, by hand."""

from types import SimpleNamespace

import pytest

from methodpick.facts.curves import HoleFluid
from methodpick.plan.pipeline import plan
from methodpick.plan.proving.casings import _seat
from methodpick.plan.proving.open_hole import plug_length
from methodpick.review.ground_anew import basis_of, ground_anew
from methodpick.vocabulary.values import Choice, point

# ---- Torque and crowd of a whole way, worked by hand: statics of friction on a cylinder; frictions, teeth and machines are own values


ONLY = "equipment: {{vibratory: false, kelly_twist: {twist}, oscillator: {oscillator}, impact_hammer: false, rotator: false{more}}}"
GRAVEL = 'description: "dense sandy gravel", symbol: GW, unit_weight: 20, phi: 38, absent: [cobbles, boulders, cemented]'
SAND = 'description: "loose fine sand", symbol: SP, fines: 3 %, unit_weight: 19, phi: 30, absent: [cobbles, boulders, cemented]'
HARD = 'description: "very stiff grey clay", symbol: CH, su: 150, unit_weight: 20, absent: [fissured, slickensided, boulders, cobbles]'
STIFF = 'description: "stiff grey clay", symbol: CH, su: 90, unit_weight: 20, absent: [fissured, slickensided, boulders, cobbles]'
CASED = "allowed: [dry, temporary_casing], "
SETTLED = "[{{reading: settled, depth: {}, after: 24 h}}]"


def plant(twist="false", oscillator="false", more=""):
    return ONLY.format(twist=twist, oscillator=oscillator, more=more)


def test_the_torque_of_an_oscillated_casing(made, found):
    """Segmental casing of 1.3 m through 20 m of gravel; the gap that its teeth cut leaves 7 kPa, 3.5 of it while it moves.

    In the first 1.4 m it leaves less, half of 0.5 x 20 z: 4.9 kN/m of the 9.8 of 7 kPa; so 20 x 7 - 4.9 = 135.1 kN/m standing, 67.6
    moving. pi / 2 x 1.3^2 = 2.6546: sides 2.6546 x 67.6 = 179.5, teeth 10 kN/m x 2.6546 = 26.5, the plug of 0.65 m inside, 1.2587 m
    wide, 3.5 x 0.65 x pi / 2 x 1.5844 = 5.7; 211.7 kNm. Standing, 0.8 of it: 286.9 + 26.5 + 5.7 = 319.1 kNm. Usable are 0.7 x 9000.
    The plan takes the friction at the middle of each slice, which is a little more here.
    """
    shaft = made((0, 40, GRAVEL), tip=20, water=SETTLED.format(8), site=CASED + plant(oscillator="true"))
    ((turning,), (restart,)) = (found(shaft, name) for name in ("torque-turning", "torque-restart"))
    assert turning.needed.likely == pytest.approx(211.7, rel=0.01)
    assert restart.needed.likely == pytest.approx(319.1, rel=0.01)
    assert turning.has.likely == pytest.approx(6300.0)
    assert restart.result == "holds"


@pytest.mark.parametrize(("torque", "word"), [(600, "open_range"), (300, "open_likely")])
def test_the_torque_of_a_named_oscillator(made, found, torque, word):
    """319.1 kNm over 0.7 are 456 kNm rated: 600 start the casing unless the friction is the greatest, 300 likely do not."""
    shaft = made(
        (0, 40, GRAVEL), tip=20, water=SETTLED.format(8), site=CASED + plant(oscillator="true", more=f", oscillator_torque_knm: {torque}")
    )
    assert [check.result for check in found(shaft, "torque-restart")] == [word]


def test_torque_that_is_short_leads_to_another_way(made):
    """As before with 300 kNm, and with fluid left open: no casing is planned that likely cannot be turned."""
    site = "allowed: [slurry, temporary_casing], " + plant(oscillator="true", more=", oscillator_torque_knm: 300")
    shaft = made((0, 40, GRAVEL), tip=20, water=SETTLED.format(8), site=site)
    assert [casing.way for casing in shaft.casings if casing.way] == []


@pytest.mark.parametrize(("machine", "there"), [("1500 mm", True), ("1250 mm", False)])
def test_a_machine_takes_no_wider_casing_than_it_is_built_for(made, machine, there):
    """Segmental casing for a shaft of 1.2 m is 1.3 m wide, 1.22 m inside its double wall (from memory)."""
    site = "allowed: [slurry, temporary_casing], " + plant(
        oscillator="true", more=f", oscillator_casing: {machine}, oscillator_pull_kn: 9000"
    )
    shaft = made((0, 40, GRAVEL), tip=20, water=SETTLED.format(0.5), site=site)
    oscillated = [casing for casing in shaft.casings if casing.way == "oscillated"]
    others = [one for one in shaft.alternates if any(casing.way == "oscillated" for casing in one.casings)]
    assert bool(oscillated or others) is there


def test_the_crowd_that_pushes_a_set_casing(made, found):
    """1.2 m of clay of 150 kPa at 11.6 m, effective stress 9 x 20 + 2 x 19 + 0.6 x 20 - 9.81 x 2.1 = 209 kPa: adhesion (API RP 2A)
    0.5 x 150 / sqrt(150 / 209) = 88.6 kPa, half of it while it moves; turned, 0.4 x pi x 1.321 x 1.2 x 44.3 = 88.2 kN. Under the edge
    9 x 150 x pi x 1.321 x 0.009525 = 53.4 kN. The rig gives 350 kN, the casing weighs 4088 kg: 390 kN.
    """
    layers = ((0, 9, STIFF), (9, 11, SAND), (11, 30, HARD))
    shaft = made(*layers, tip=25, water=SETTLED.format(9.5), site=plant())
    (crowd,) = found(shaft, "crowd")
    assert crowd.needed.likely == pytest.approx(141.6, abs=0.3)
    assert crowd.has.likely == pytest.approx(390.1, abs=0.5)
    weak = made(*layers, tip=25, water=SETTLED.format(9.5), site=plant(more=", rig_crowd_kn: 60"))
    assert all(check.result not in {"fails", "open_likely"} for check in found(weak, "crowd")), "60 + 37 kN do not push it"
    assert not [casing for casing in weak.casings if casing.base_m == pytest.approx(12.2)]


# ---- The plug of soil in a casing that goes ahead of the dig: half a diameter, and in weak clay as much as its base asks for (by hand)


SITE = """methodpick: 1
site: {{units: si, surcharge: 0}}
borings:
  - id: B
    water: [{{reading: settled, depth: 8}}]
    layers: [{{top: 0, base: 30, description: "grey clay", symbol: CL, su: {su}, unit_weight: 18, absent: [sensitive, fissured]}}]
shafts: [{{id: P, boring: B, diameter: 1200, tip: 20}}]
"""


@pytest.mark.parametrize(("su", "wanted"), [(40, 0.6), (13, 0.6), (12, 0.85), (5, 2.85)])
def test_weak_clay_asks_for_a_longer_plug(read_text, book, su, wanted):
    """At 12 m 216 kPa stand beside the hole, 11.7 m of water 114.8 kPa in it, Nc is 9 and 1.5 the safety: 101.2 - 6 su is left to the plug.

    A metre of it gives 18 + 4 x 0.5 su / 1.2 kPa. At 12 kPa: 29.2 of 38 a metre, more than 0.6 m; at 13 kPa 23.2 of 39.7; at 5 kPa 71.2 of
    26.3, which is 2.7 m. It grows from half a diameter by steps of 0.25 m.
    """
    site = read_text(SITE.format(su=su))
    made = plan(site, book)
    (shaft,) = made.shafts
    ground = ground_anew(basis_of(made, site, book), shaft, shaft.levels, shaft.cuts_m)
    assert plug_length(ground, (11.0, 12.0), "water", 1.2) == pytest.approx(wanted)


def test_the_stage_says_how_long_the_plug_is(planned):
    """Half of the casing's diameter: 0.508 m for 1016 mm (tests/sites/vibrated-by-a-shed.yaml)."""
    (shaft,) = planned("vibrated-by-a-shed").shafts
    (stage,) = (stage for stage in shaft.stages if stage.state == "cased_plug")
    assert "a plug of soil of ⟦0.508|m⟧ in it" in stage.text


@pytest.mark.parametrize(
    ("setting", "soil", "state", "pushed_m", "asked"),
    [
        ("land", "clean_sand", "dry", 3.0, 1),
        ("land", "clay", "dry", 3.0, 0),
        ("water", "clean_sand", "dry", 3.0, 1),
        ("water", "clay", "dry", 3.0, 1),
        ("land", "clean_sand", "mineral", 3.0, 0),
        ("land", "clean_sand", "mineral", 0.0, 1),
        ("land", "clean_gravel", "mineral", 3.0, 1),
        ("water", "clean_sand", "mineral", 3.0, 1),
    ],
)
def test_the_seat_of_a_casing_that_stays_full_is_proved_in_sand_and_over_open_water(setting, soil, state, pushed_m, asked):
    """On land no water is washed out below a shoe in clay, nor below one that is pushed into sand where the hole
    around the casing is full; under a river it runs out along the casing (own definition)."""
    sheet = SimpleNamespace(choice=lambda _: Choice(frozenset({soil}), soil))
    ground = SimpleNamespace(
        site=SimpleNamespace(site=SimpleNamespace(setting=setting)),
        slice_above=lambda _: SimpleNamespace(slice=SimpleNamespace(sheet=sheet)),
        inside_of=lambda *_: HoleFluid(1000.0, -1.0),
        water_outside_m=lambda _: point(0.0),
        prove=lambda _, facts: (facts,),
    )
    drilled = [SimpleNamespace(top_m=3.0, base_m=9.0 - pushed_m, state=state)]
    way = SimpleNamespace(
        emptied_at=lambda _: None, stage_that_sets=lambda _: None, stages=(), setting_place=lambda _: None, opening_stages=lambda: drilled
    )
    found = list(
        _seat(
            ground, way, SimpleNamespace(base_m=9.0, advanced_m=pushed_m, predrill_base_m=9.0 - pushed_m, way=None, outside_diameter_m=1.3)
        )
    )
    assert [(facts.ground_m, facts.over_water) for facts in found] == [(point(9.0 - pushed_m), setting == "water")] * asked
