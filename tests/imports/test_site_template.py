"""The site_template site that 'methodpick new' writes."""

import re

import pytest

from methodpick.ground.check import check
from methodpick.ground.profile import Layer, Profile
from methodpick.ground.site import Shaft, SiteConditions
from methodpick.imports.site_file import read_site
from methodpick.imports.site_forms import site_template
from methodpick.imports.site_keys import keys_of


@pytest.mark.parametrize("system", ["us", "si"])
def test_the_starter_reads_and_holds_together(system):
    site, _ = read_site(site_template(system))
    assert site.site.units == system
    assert not [doubt for doubt in check(site) if doubt.severity == "serious"]


def test_both_starters_describe_the_same_ground():
    us, si = (read_site(site_template(system))[0] for system in ("us", "si"))
    for first, second in zip(us.borings[0].layers, si.borings[0].layers, strict=True):
        assert (first.symbol, first.description) == (second.symbol, second.description)
        assert first.base_m == pytest.approx(second.base_m, abs=0.2)
    assert us.shafts[0].tip_m == pytest.approx(si.shafts[0].tip_m, abs=0.3)


@pytest.mark.parametrize(("system", "wide_m", "high_m"), [("us", 2.4384, 1.219), ("si", 2.4, 1.2)])
def test_the_bell_of_the_comment_is_as_wide_and_as_high_as_it_says(system, wide_m, high_m):
    """96 in are 2.4384 m and 4 ft 1.2192 m (an inch is 25.4 mm exactly); lengths are kept to 1 mm."""
    text = site_template(system)
    assert f"diameter in {'inches' if system == 'us' else 'millimetres'}, height in {'feet' if system == 'us' else 'metres'}" in text
    bell = read_site(text.replace("    # bell:", "    bell:"))[0].shafts[0].bell
    assert (bell.diameter_m, bell.height_m) == (wide_m, high_m)


@pytest.mark.parametrize("system", ["us", "si"])
def test_lines_stay_readable(system):
    assert max(len(line) for line in site_template(system).splitlines()) <= 120


@pytest.mark.parametrize(
    ("model", "rare"),
    [
        (
            SiteConditions,
            {
                "mudline_low",
                "mudline_high",
                "water_level",
                "groundwater_velocity",
                "lid_adhesion_agreed",
                "water_chemistry",
                "recharge",
                "headroom",
                "starter_casing",
            },
        ),
        (Profile, {"position", "diameter", "casing_depth", "casings"}),
        (Layer, {"n", "phi", "cohesion", "unit_weight", "d10", "permeability", "rqd", "recovery", "ucs"}),
        (Shaft, {"side_resistance_from", "position", "ground_elevation"}),
    ],
)
def test_every_usual_key_is_shown_or_named_in_a_comment(model, rare):
    lacking = {word for word in keys_of(model) if not re.search(rf"\b{word}\b", site_template())}
    assert lacking <= rare
