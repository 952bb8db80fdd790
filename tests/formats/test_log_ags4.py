"""AGS4 out: what the module says it keeps comes back, what it drops is named. The boring is invented."""

import pytest
from command_line import run

from methodpick.formats.log_ags4 import CODES, borings_ags4
from methodpick.ground.profile import Layer, Profile, WaterReading
from methodpick.imports.ags4 import read_ags4
from methodpick.imports.site_file import read_site

SITE = """
methodpick: 1
site: {units: si}
borings:
  - id: 'SL-"7"'
    ground_elevation: 4.25
    position: {east: 512345.678, north: 4250.5}
    date: 2026-03-16 to 2026-03-18
    technique: cable_percussion
    depth: 18.5
    casings: [{depth: 6, diameter: 200}]
    casing_depth: 6
    water:
      - {reading: while_drilling, depth: 4.1, hole_depth: 4.1, remark: rise not recorded}
      - {reading: settled, depth: 3.2, after: 24}
    remarks: [{depth: 5.5, text: "chiselling 5.5 to 5.8 m", tag: obstruction}]
    layers:
      - {top: 0, base: 7.25, description: "Loose brown SAND, with shells", fines: 4}
      - {top: 7.25, base: 18.5, description: "Stiff grey CLAY", su: [60, 90]}
    spt: [{depth: 2, n: 7}, {depth: 9, n: 50/75mm}, {depth: 12, n: WOH}]
    cores: [{top: 15, base: 16.5, recovery: 90, solid: 70, rqd: 0}]
"""


def both():
    boring = read_site(SITE)[0].borings[0]
    log = borings_ags4([boring])
    return boring, read_ags4(log.text, "log.ags").profiles[0], log.dropped


@pytest.mark.parametrize(
    "name", ["id", "ground_elevation_m", "position", "date", "technique", "depth_m", "casings", "casing_depth_m", "cores", "remarks"]
)
def test_what_is_kept_comes_back(name):
    before, after, _ = both()
    assert getattr(after, name) == getattr(before, name)


def test_layers_tests_and_strikes_come_back():
    before, after, _ = both()
    assert [(one.top_m, one.base_m, one.description) for one in after.layers] == [
        (one.top_m, one.base_m, one.description) for one in before.layers
    ]
    assert [(one.depth_m, one.n, one.penetration_m, one.weight_of_hammer) for one in after.spt] == [
        (one.depth_m, one.n, one.penetration_m, one.weight_of_hammer) for one in before.spt
    ]
    assert [(one.reading, one.depth_m) for one in after.water] == [("while_drilling", 4.1)]


def test_what_is_dropped_is_named():
    assert set(both()[2]) == {"layer: fines: 1", "layer: su: 1", "water reading (settled): 1", "water: after: 1"}


def test_every_technique_with_a_code_comes_back():
    for technique, code in CODES.items():
        text = SITE.replace("cable_percussion", technique)
        assert read_ags4(borings_ags4(read_site(text)[0].borings).text).profiles[0].technique == technique, code


def test_convert_writes_a_log_and_says_what_it_leaves_out(tmp_path):
    source, target = tmp_path / "site.yaml", tmp_path / "log.ags"
    source.write_text(SITE, encoding="utf-8")
    done = run("convert", source, "-o", target)
    assert done.returncode == 0, done.stderr
    assert "layer: su: 1" in done.stderr
    assert read_ags4(target).profiles[0].depth_m == 18.5
    assert run("convert", source, "-o", tmp_path / "other.yaml").returncode == 2


def test_a_hole_that_was_dry_only_to_a_depth_is_not_dry_to_its_end_when_it_is_read_back():
    water = (WaterReading(reading="none_met", hole_depth_m=4.0, casing_depth_m=2.5), WaterReading(reading="while_drilling", depth_m=6.0))
    boring = Profile(id="B-1", depth_m=12.0, layers=(Layer(top_m=0, base_m=12, description="silty sand"),), water=water)
    back = read_ags4(borings_ags4([boring]).text).profiles[0]
    again = read_ags4(borings_ags4([back]).text).profiles[0]
    told = {(one.reading, one.hole_depth_m, one.casing_depth_m) for one in back.water}
    assert told == {("none_met", 4.0, 2.5), ("while_drilling", 6.0, None)}
    assert again.water == back.water
