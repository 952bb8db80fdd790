"""The written site file reads back as the same borings and shafts."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.formats.site_yaml import quoted, site_yaml
from methodpick.ground.position import Position
from methodpick.ground.profile import CoreRun, Layer, Profile, Remark, Seam, Spt, WaterReading
from methodpick.ground.site import Bell, Shaft
from methodpick.imports.ags4 import read_ags4
from methodpick.imports.site_file import read_site
from methodpick.strict_yaml import read

CORPUS = Path(__file__).parent.parent / "corpus"

FULL = Profile(
    id="007",
    ground_elevation_m=12.4,
    position=Position(east_m=100.25, north_m=-20),
    technique="mud_rotary",
    hammer_efficiency_percent=62.5,
    diameter_m=0.15,
    depth_m=20,
    cave_in_depth_m=9.5,
    water=(
        WaterReading(reading="none_met", hole_depth_m=20),
        WaterReading(reading="confined", struck_m=14, rises_to_m=-1),
        WaterReading(reading="piezometer", depth_m=3, response_zone_m=(10, 12.5), date="2026-01-31"),
    ),
    remarks=(Remark(depth_m=4, text='said: "hard", {no} #1', tag="obstruction"), Remark(text="yes")),
    layers=(
        Layer(
            top_m=0,
            base_m=5,
            description="CLAY, no roots: stiff",
            symbol="CL",
            n=(4, 9),
            origin="fill",
            su_kpa={"low": 40, "likely": 55, "high": 80},
            pi_percent=18,
            features=("fissured",),
            absent=("cobbles",),
            seams=(Seam(material="sand", thickness_m=0.05, spacing_m=1, wet=False),),
        ),
        Layer(
            top_m=5,
            base_m=20,
            description="rock",
            symbol="rock",
            ucs_kpa=[12345.6, 45678.9],
            permeability_m_s=[1e-9, 2.5e-7],
            d10_mm=0.0123,
        ),
    ),
    spt=(
        Spt(depth_m=1, n=11, blows=(3, 5, 6)),
        Spt(depth_m=2, n=0, weight_of_hammer=True, text="WOH"),
        Spt(depth_m=6, n=50, penetration_m=0.075, text="50/75mm"),
        Spt(depth_m=7, n=50, penetration_m=0.0762),
        Spt(depth_m=8, n=60, penetration_m=0.2, text="60 (refused)"),
    ),
    cores=(CoreRun(top_m=5, base_m=6.5, recovery_percent=90, rqd_percent=0),),
)
SHAFT = Shaft(
    id="P1", boring="007", diameter_m=1.2192, cutoff_m=1, tip_m=18, count=3, bearing="base", bell=Bell(diameter_m=2.4, height_m=1)
)


@pytest.mark.parametrize("units", ["si", "us"])
def test_everything_reads_back(units):
    site, _ = read_site(site_yaml([FULL], [SHAFT], units, 'A "site": no. 1'))
    assert site.borings == (FULL,)
    assert site.shafts == (SHAFT,)
    assert site.site.name == 'A "site": no. 1'
    assert site.site.units == units


@pytest.mark.parametrize("units", ["si", "us"])
def test_imported_log_reads_back(units):
    profiles = read_ags4(CORPUS / "harrow-quay.ags").profiles
    assert read_site(site_yaml(profiles, units=units))[0].borings == profiles


def test_us_units_are_written_as_an_engineer_would():
    text = site_yaml([Profile(id="B-1", depth_m=15.24, layers=(Layer(top_m=0, base_m=1.524, su_kpa=[47.88, 95.76]),))], units="us")
    assert "depth: 50\n" in text
    assert "{top: 0, base: 5, " in text


def test_without_shafts_an_example_stands_in_a_comment():
    assert "#   - {id: P1, boring: B-1, diameter: 1200, tip: 20}" in site_yaml([Profile(id="B-1")])


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=40))
def test_law_any_text_is_quoted_so_that_it_reads_back(text):
    assert read(f"methodpick: {quoted(text)}\n").value == {"methodpick": text}


_LENGTH = st.integers(0, 90000).map(lambda size: size / 1000)
_TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
_TESTS = st.fixed_dictionaries(
    {
        "depth_m": _LENGTH,
        "n": st.integers(0, 120),
        "text": _TEXT,
        "penetration_m": st.none() | st.integers(1, 6000).map(lambda size: size / 10000),
    }
).map(Spt.model_validate)
_LAYERS = st.fixed_dictionaries(
    {
        "top_m": _LENGTH,
        "base_m": st.integers(1, 90000).map(lambda size: size / 1000),
        "description": _TEXT.map(str.strip),
        "n": st.lists(st.integers(0, 90), max_size=3).map(tuple),
    }
).map(Layer.model_validate)


@given(st.lists(_LAYERS, max_size=3), st.lists(_TESTS, max_size=4), st.sampled_from(["si", "us"]))
def test_law_layers_and_tests_read_back(layers, tests, units):
    layers = [layer for layer in layers if layer.base_m > layer.top_m]
    profile = Profile(id="B-1", layers=tuple(layers), spt=tuple(sorted(tests, key=lambda test: test.depth_m)))
    assert read_site(site_yaml([profile], units=units))[0].borings == (profile,)


def test_a_long_name_is_quoted_in_no_time():
    """Not a measurement: a pattern that tries every way to cut the name never ends here."""
    assert quoted("B" * 3000 + " 1") == '"' + "B" * 3000 + ' 1"'
