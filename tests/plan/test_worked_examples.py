"""Bells, sockets, open water, artesian ground, karst, boulders, contaminated ground, neighbours: one worked example each.

What must come out is what GEC 10 (2018) says of them, in the sections named, digest; of contaminated ground the guidance of
the Environment Agency (2001). Artesian ground, karst and open water are looked at in ``test_decisions.py`` as well.
"""

import pytest


def cautions(shaft):
    return {caution.rule for caution in shaft.cautions}


def test_a_bell_is_cut_dry_in_clay_that_stands(planned):
    """GEC 10 sec. 4.4: bells only in ground that stands undercut, and dry; nobody enters."""
    shaft = next(one for one in planned("stiff-clay").shafts if any(stage.action == "bell" for stage in one.stages))
    bell = next(stage for stage in shaft.stages if stage.action == "bell")
    assert (bell.state, bell.fluid) == ("dry", None)
    assert shaft.placement.state == "dry"
    assert "bell-no-entry" in cautions(shaft)


def test_no_casing_stands_in_the_design_socket(planned):
    """GEC 10 fig. 5-15: a casing in the socket spoils the resistance; its seat lies above, but for teeth into the rock's head."""
    for name in ("river-crossing", "boulders"):
        for shaft in planned(name).shafts:
            socket = shaft.design.socket_top_m
            assert socket is not None
            assert all(casing.base_m <= socket + 0.31 for casing in shaft.casings)


def test_over_open_water_a_casing_stands_before_anything_is_drilled(planned):
    """UFC 3-220-20 sec. 6-4.2.1: through water the casing is set into the bottom first; the socket is kept full."""
    shaft = planned("river-crossing").shafts[0]
    assert next(stage.action for stage in shaft.stages) == "advance_casing"
    assert all(casing.top_m < -shaft.design.water_depth_m for casing in shaft.casings)
    assert shaft.placement.state == "wet"


def test_artesian_ground_is_held_by_the_level_or_given_to_the_engineer(planned):
    """GEC 10 sec. 2.3: the fluid stands above the artesian level, before the lid is thin; else wells, by the engineer."""
    shaft = planned("artesian-sand").shafts[0]
    assert shaft.fluid_level_m < -0.9
    assert shaft.slurry.density_min_kg_m3 <= shaft.slurry.density_max_kg_m3
    assert "artesian-head" in cautions(shaft)


def test_karst_is_probed_and_the_cavity_cased(planned):
    """GEC 10 sec. 2.4: probe every shaft, expect loss of fluid and concrete; casing across the cavity stays."""
    shaft = planned("karst").shafts[0]
    assert any(casing.kind == "permanent" for casing in shaft.casings)
    assert "karst-boring-at-every-shaft" in cautions(shaft)


def test_boulders_want_a_casing_that_cuts_its_way(planned):
    """GEC 10 sec. 4.2: in boulders an oscillator or rotator with a grab; vibrated and driven casing stops on them."""
    shaft = planned("boulders").shafts[0]
    ways = [casing.installed_by for casing in shaft.casings if casing.kind != "starter"]
    assert any(way.startswith("rotated in") for way in ways), "the rotator is at hand, an oscillator is not named"
    assert not any("vibrated" in way or "driven" in way for way in ways)
    assert any(caution.hazard == "obstruction" for caution in shaft.cautions)


def test_contaminated_fill_is_shut_off_before_the_hole_goes_deeper(planned):
    shaft = planned("contaminated-fill").shafts[0]
    casing = next(one for one in shaft.casings if one.kind != "starter")
    assert casing.base_m > 4.5
    assert casing.sealed == "yes"
    top = [one for one in shaft.intervals if one.base_m <= 4.5 + 1e-6]
    assert {one.support for one in top} <= {"temporary_casing", "permanent_casing"}
    assert any(caution.rule == "contaminated-ground" and caution.severity == "danger" for caution in shaft.cautions)


def test_beside_a_wall_nothing_shakes_and_the_loss_of_ground_is_watched(planned):
    """GEC 10 sec. 3.7, 5.2: no vibration beside old masonry on loose sand; caving moves the neighbour."""
    shaft = planned("beside-a-wall").shafts[0]
    assert not any("vibrated" in one.installed_by or "driven" in one.installed_by for one in shaft.casings)
    assert "loss-of-ground-near-neighbours" in cautions(shaft)


EXAMPLES = ("stiff-clay", "river-crossing", "artesian-sand", "karst", "boulders", "contaminated-fill", "beside-a-wall")


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_example_has_its_usual_cautions(planned, name):
    for shaft in planned(name).shafts:
        hazards = {caution.hazard for caution in shaft.cautions}
        assert {"fall", "utilities", "lifting"} <= hazards
