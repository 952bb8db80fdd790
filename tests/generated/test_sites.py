"""The generated sites: each reads without error, alike in both unit systems, and between them they hold every kind of ground and log."""

import pytest
from compare import differences, plain
from effort import examples
from file_units import in_units
from grounds import GROUNDS
from hypothesis import given, settings
from readings import KINDS
from sites import generated_sites, numbered_site, text_of

from methodpick.imports.site_file import read_site
from methodpick.plan.pipeline import plan

SEED, COUNT = 20260, 280
SURVEYED = 12
"""The seed of the survey."""


@pytest.fixture(scope="module")
def series():
    return [numbered_site(SEED, number) for number in range(COUNT)]


def test_every_site_reads_without_error(series):
    for made in series:
        read_site(made.text, "generated.yaml")


def test_a_site_reads_alike_in_both_unit_systems(series):
    for made in series[:56]:
        us, si = (read_site(text_of(in_units(made.tree, units)), "generated.yaml")[0].model_dump() for units in ("us", "si"))
        found = [one for one in differences(plain(us), plain(si), 1e-7) if not one.startswith(".site.units")]
        assert found == []


def test_the_same_number_is_the_same_site(series):
    assert [numbered_site(SEED, number).text for number in range(14)] == [made.text for made in series[:14]]
    assert len({made.text for made in series}) == COUNT


def test_every_kind_of_ground_and_log_is_there(series):
    assert {made.ground for made in series} == set(GROUNDS)
    assert {made.water for made in series} == set(KINDS) | {"artesian", "open water"}
    assert {made.units for made in series} == {"us", "si"}
    boring = [made.tree["borings"][0] for made in series]
    shafts = [shaft for made in series for shaft in made.tree["shafts"]]
    assert all(len({shaft["diameter"] for shaft in made.tree["shafts"]}) == 3 for made in series)
    for key in ("socket_top", "bell", "cutoff", "socket_diameter", "cage_diameter", "ground_elevation"):
        assert any(key in shaft for shaft in shafts), key
    for key in ("equipment", "neighbours", "headroom", "drilling_grade", "surcharge", "allowed", "fluids_allowed"):
        named = sum(key in made.tree["site"] for made in series)
        assert 0 < named < COUNT, key
    for key in ("spt", "cores", "remarks", "cave_in_depth", "casing_depth", "technique", "hammer_efficiency"):
        assert 0 < sum(key in one for one in boring) < COUNT, key
    layers = [layer for one in boring for layer in one["layers"]]
    assert any("symbol" not in layer for layer in layers)
    assert any("description" not in layer for layer in layers)
    assert any("su" in layer for layer in layers)
    assert any(reading.get("rises_to", 0) < 0 for one in boring for reading in one.get("water", ()))
    assert any(one["depth"] < made.tree["shafts"][0]["tip"] for one, made in zip(boring, series, strict=True))


@given(generated_sites())
@settings(max_examples=examples(100))
def test_a_site_of_hypothesis_reads_without_error(made):
    read_site(made.text, "generated.yaml")


def test_no_casing_is_brought_by_plant_that_the_site_refuses(book):
    """Site 6 has no kelly that twists; a casing dug in at its top and pushed in at its foot goes through nothing between the two."""
    site, _ = read_site(numbered_site(SURVEYED, 6).text, "generated")
    (shaft,) = plan(site, book, shafts=[site.shafts[0].id]).shafts
    assert site.site.equipment.kelly_twist is False
    casings = [casing for way in (shaft, *shaft.alternates) for casing in way.casings]
    assert {casing.way for casing in casings} == {None, "oscillated"}
