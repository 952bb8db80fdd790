"""The site file: units at the door, shorthands, and the same site in feet and in metres."""

import hashlib
from pathlib import Path

import pytest

from methodpick.imports.site_file import read_site

ROOT = Path(__file__).parents[2]
SITES = sorted([*ROOT.glob("profiles/*.yaml"), *ROOT.glob("tests/sites/*.yaml")])


def site_of(units="us", layer="", boring="", shaft="", site=""):
    return read_site(f"""\
methodpick: 1
site: {{units: {units}{site}}}
borings:
  - id: B-1
    depth: 30{boring}
    layers:
      - {{top: 0, base: 30{layer}}}
shafts:
  - {{id: P1, boring: B-1, diameter: {48 if units == "us" else 1200}, tip: 20{shaft}}}
""")[0]


def layer_of(units="us", **keys):
    return site_of(units, layer="".join(f", {key}: {value}" for key, value in keys.items())).borings[0].layers[0]


@pytest.mark.parametrize("path", SITES, ids=lambda path: path.stem)
def test_every_example_reads(path):
    site, digest = read_site(path)
    assert site.borings[0].layers
    assert site.shafts
    assert digest == hashlib.sha256(path.read_bytes()).hexdigest()


def test_there_are_seven_examples_and_each_says_why_it_is_there():
    examples = sorted(ROOT.glob("profiles/*.yaml"))
    assert [path.stem for path in examples] == [
        "artesian-sand",
        "caving-lens",
        "karst",
        "river-crossing",
        "saturated-sand",
        "stiff-clay",
        "viaduct",
    ]
    for path in examples:
        comment = [line for line in path.read_text().splitlines() if line.startswith("#")]
        assert "Worth a look" in " ".join(comment)


def test_bare_numbers_follow_the_units_of_the_site():
    us, si = site_of("us"), site_of("si")
    assert (us.borings[0].depth_m, si.borings[0].depth_m) == (9.144, 30.0)  # 30 ft is 9.144 m exactly
    assert (us.shafts[0].diameter_m, si.shafts[0].diameter_m) == (1.2192, 1.2)


def test_a_bell_is_drawn_across_in_sizes_and_along_in_lengths():
    """96 in are 8 ft or 2.4384 m, 4 ft are 1.2192 m, lengths kept to 1 mm.

    That a height runs along the shaft as depths do, so is in feet, is the house's own reading; common practice, no source.
    """
    us = site_of("us", shaft=", bell: {diameter: 96, height: 4}").shafts[0].bell
    named = site_of("us", shaft=", bell: {diameter: 8 ft, height: 48 in}").shafts[0].bell
    si = site_of("si", shaft=", bell: {diameter: 2400, height: 1.2}").shafts[0].bell
    assert (us.diameter_m, us.height_m) == (named.diameter_m, named.height_m) == (2.4384, 1.219)
    assert (si.diameter_m, si.height_m) == (2.4, 1.2)


def test_units_default_to_us():
    assert read_site("methodpick: 1\nborings: [{id: B, depth: 10}]")[0].borings[0].depth_m == 3.048


@pytest.mark.parametrize(
    ("key", "bare_us", "bare_si", "own", "inside"),
    [
        ("su", "1000", "47.88026", "1 ksf", 47.88026),  # NIST SP 811: 1 psf is 47.88026 Pa
        ("unit_weight", "120", "18.8505", "18.8505 kN/m3", 18.8505),
        ("ucs", "4500", "31.02641", "31026.41 kPa", 31026.41),  # rock strength: psi and MPa bare
        ("d10", "0.2", "0.2", "0.2 mm", 0.2),
        ("permeability", "0.01", "0.0001", "0.1 mm/s", 1e-4),
        ("fines", "4", "4 %", '"4%"', 4.0),
    ],
)
def test_every_kind_of_quantity_has_its_bare_units(key, bare_us, bare_si, own, inside):
    for units, value in (("us", bare_us), ("si", bare_si), ("us", own), ("si", own)):
        layer = layer_of(units, **{key: value})
        band = next(getattr(layer, name) for name in type(layer).model_fields if name.startswith(f"{key}_"))
        assert band.likely == pytest.approx(inside, rel=1e-5)


def test_ranges_and_spreads_take_units_too():
    assert layer_of(su="[1 ksf, 2000]").su_kpa.high == pytest.approx(95.76052)
    spread = layer_of(su="{low: 1500, likely: 1.8 ksf, high: 100 kPa}").su_kpa
    assert (spread.low, spread.likely, spread.high) == pytest.approx((71.82039, 86.18447, 100.0))
    assert layer_of(su="[1500, 2200]").su_kpa.likely is None


@pytest.mark.parametrize(
    ("written", "depth_m"), [("48 in", 1.219), ("4 ft", 1.219), ("1.2192 m", 1.219), ("1219.2 mm", 1.219), ("2 ft 6 in", 0.762)]
)
def test_depths_are_snapped_to_a_millimetre_whatever_their_unit(written, depth_m):
    assert site_of(boring=f"\n    cave_in_depth: {written}").borings[0].cave_in_depth_m == depth_m


def test_sizes_are_snapped_to_a_tenth_of_a_millimetre():
    assert site_of(shaft=", cover: 3 1/16 in").shafts[0].cover_m == 0.0778  # 77.7875 mm


def test_copies_of_a_site_in_feet_and_in_metres_are_the_same():
    feet = site_of("us", layer=", su: 1800, unit_weight: 120", shaft=", cutoff: 2.5, cage_diameter: 40")
    metres = read_site("""\
methodpick: 1
site: {units: si}
borings:
  - id: B-1
    depth: 9.144
    layers: [{top: 0, base: 9.144, su: 86.184466164, unit_weight: 18.850495661}]
shafts: [{id: P1, boring: B-1, diameter: 1219.2, tip: 6.096, cutoff: 0.762, cage_diameter: 1016}]
""")[0]
    assert feet.shafts == metres.shafts
    assert (feet.borings[0].depth_m, feet.borings[0].layers[0].base_m) == (9.144, 9.144)
    assert feet.borings[0].layers[0].su_kpa.likely == pytest.approx(metres.borings[0].layers[0].su_kpa.likely, rel=1e-9)


@pytest.mark.parametrize(
    ("written", "kept"),
    [
        ("SP", "SP"),
        ("sp-sm", "SP-SM"),
        ("CL/CH", "CL-CH"),
        ("weathered rock", "weathered_rock"),
        ("Rock", "rock"),
        ("void", "void"),
        ("pt", "PT"),
        ("igm", "igm"),
    ],
)
def test_symbols_are_written_in_one_way(written, kept):
    assert layer_of(symbol=f'"{written}"').symbol == kept


def test_words_of_a_closed_list_may_be_written_with_spaces():
    assert site_of(boring="\n    technique: hollow stem auger").borings[0].technique == "hollow_stem_auger"


def test_an_id_stays_as_it_is_written():
    site, _ = read_site("methodpick: 1\nborings: [{id: 007}]\nshafts: [{id: 1.10, boring: 007, diameter: 36, tip: 30}]")
    assert (site.borings[0].id, site.shafts[0].id, site.shafts[0].boring) == ("007", "1.10", "007")


def test_yes_and_no_mean_what_an_engineer_meant():
    plant = site_of(site=", equipment: {vibratory: yes, oscillator: no, rotator: true}").site.equipment
    assert (plant.vibratory, plant.oscillator, plant.rotator, plant.desander) == (True, False, True, None)


def test_none_is_a_word_for_recharge_and_contamination():
    conditions = site_of(site=", recharge: [none], contamination: none").site
    assert (conditions.recharge, conditions.contamination) == (("none",), "none")


def test_a_key_without_a_value_is_as_if_it_were_not_there():
    assert layer_of(su="", symbol="~") == layer_of()


def test_over_water_levels_are_negative_above_the_mudline():
    site = site_of(
        site=", setting: water, water_depth: 18, water_level: {low: 15, high: 24}",
        shaft=", cutoff: -20",
        boring="\n    water: [{reading: settled, depth: -18}]",
    )
    assert site.shafts[0].cutoff_m == -6.096
    assert site.borings[0].water[0].depth_m == -5.486


def test_assumptions_keep_what_the_user_wrote():
    site, _ = read_site("methodpick: 1\nborings: [{id: B}]\nassume: [{fact: recharge, set: none, where: {soil: [clay]}, why: dry season}]")
    assert (site.assume[0].narrowed_to, site.assume[0].where) == ("none", {"soil": ["clay"]})
