"""Places in degrees: distances against geodesics, and places that cannot be held against each other."""

import pytest
from pydantic import ValidationError

from methodpick.ground.check import check
from methodpick.ground.position import Position, apart_m, on_local_plane
from methodpick.ground.profile import Layer, Profile
from methodpick.ground.site import Shaft, Site
from methodpick.plan.judging.planning_input import choose_boring

# Geodesics on WGS84 by geographiclib 2.0 (C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87, 2013), run by hand: metres.
GEODESICS = [
    ((51.477361, -0.001472), (51.4779, -0.0021), 74.160003),
    ((39.47466, -81.146), (39.475026, -81.1471), 103.002956),
    ((-33.86, 151.2), (-33.85, 151.21), 1444.545522),
    ((69.65, 18.95), (69.66, 19.0), 2238.621057),
    ((1.29, 103.85), (1.30, 103.86), 1568.838355),
    ((-16.5, 179.9995), (-16.5, -179.9995), 106.764155),
]


def at(latitude, longitude):
    return Position(latitude_deg=latitude, longitude_deg=longitude)


@pytest.mark.parametrize(("here", "there", "metres"), GEODESICS)
def test_distances_in_degrees_are_those_of_geodesics(here, there, metres):
    assert apart_m(at(*here), at(*there)) == pytest.approx(metres, abs=0.002)
    assert apart_m(at(*there), at(*here)) == pytest.approx(metres, abs=0.002)


@pytest.mark.parametrize(("latitude", "along", "across"), [(0.0, 110574.3, 111319.5), (45.0, 111131.8, 78846.8), (60.0, 111412.3, 55800.0)])
def test_a_degree_is_as_long_as_the_tables_of_the_ellipsoid_say(latitude, along, across):
    """Lengths of a degree of latitude and of longitude on WGS84 (tables of the United States mapping agency, from memory)."""
    half = 0.005
    assert apart_m(at(latitude - half, 7.0), at(latitude + half, 7.0)) * 100 == pytest.approx(along, abs=0.2)
    assert apart_m(at(latitude, 7.0), at(latitude, 7.01)) * 100 == pytest.approx(across, abs=0.2)


def test_places_on_a_plane_are_as_far_apart_as_by_themselves():
    places = [(51.4773, -0.0015), (51.4801, 0.0042), (51.4755, -0.0061)]
    plane = on_local_plane(places)
    for here in range(3):
        for there in range(3):
            east, north = (plane[there][axis] - plane[here][axis] for axis in (0, 1))
            assert (east**2 + north**2) ** 0.5 == pytest.approx(apart_m(at(*places[here]), at(*places[there])), abs=0.1)


def test_a_plane_across_the_date_line_is_no_wider_than_the_site():
    plane = on_local_plane([(-16.5, 179.9995), (-16.5, -179.9995)])
    assert plane[1][0] - plane[0][0] == pytest.approx(106.764, abs=0.01)


def test_a_grid_goes_before_degrees_and_nothing_is_known_between_the_two():
    both = Position(east_m=0, north_m=0, latitude_deg=52, longitude_deg=0)
    assert apart_m(both, Position(east_m=3, north_m=4)) == 5.0
    assert apart_m(both, at(52, 0.001)) == pytest.approx(68.678, abs=0.001)
    assert apart_m(Position(east_m=3, north_m=4), at(52, 0.001)) is None


@pytest.mark.parametrize("half", [{"east": 3.0}, {"latitude": 52.0}, {"east": 3.0, "north": 4.0, "longitude": 0.0}, {}])
def test_half_a_place_is_none(half):
    with pytest.raises(ValidationError):
        Position.model_validate(half)


def boring(name, place):
    return Profile(id=name, depth_m=20.0, position=place, layers=(Layer(top_m=0, base_m=20, description="stiff clay"),))


def shaft(place):
    return Shaft(id="P1", diameter_m=1.2, tip_m=12.0, position=place)


def test_a_shaft_far_from_its_boring_is_found_in_degrees():
    """0.01 degrees of latitude are 1.1 km."""
    far = Site(borings=(boring("B-1", at(52.1234567, 0.7654321)),), shafts=(shaft(at(52.1334567, 0.7654321)),))
    assert any("boring B-1, which decides its ground, stands 1112" in doubt.message for doubt in check(far))


def test_places_of_two_kinds_are_a_doubt():
    placed = shaft(at(52.12345, 0.76543))
    mixed = Site(borings=(boring("B-1", Position(east_m=500, north_m=200)), boring("B-2", at(52.1234567, 0.7654321))), shafts=(placed,))
    told = [doubt for doubt in check(mixed) if doubt.where == "site"]
    assert [doubt.message for doubt in told] == ["boring B-1 is placed in a grid, boring B-2 by latitude and longitude"]
    assert told[0].severity == "serious"


@pytest.mark.parametrize(
    ("place", "rough"), [((51.4750, -0.0025), True), ((51 + 28 / 60 + 38 / 3600, -5 / 3600), True), ((51.47512, -0.00253), False)]
)
def test_whole_seconds_and_four_decimals_are_too_rough_to_find_the_nearest(place, rough):
    found = check(Site(borings=(boring("B-1", at(*place)),)))
    assert any("whole seconds or four decimals" in doubt.message for doubt in found) is rough


def test_a_hole_without_layers_is_passed_over_and_told():
    """A cone or a probe beside the shaft says nothing of the ground: the boring farther away is planned with."""
    sounding = Profile(id="CPT-1", depth_m=18.0, position=Position(east_m=1, north_m=0))
    near = boring("B-1", Position(east_m=12, north_m=0))
    site = Site(borings=(sounding, near), shafts=(shaft(Position(east_m=0, north_m=0)),))
    picked = choose_boring(site, site.shafts[0])
    assert (picked.boring.id, picked.way) == ("B-1", "nearest")
    assert any("hole CPT-1 stands nearer than boring B-1" in doubt.message for doubt in check(site))
    unplaced = site.model_copy(update={"borings": (sounding, near.model_copy(update={"position": None}))})
    assert choose_boring(unplaced, site.shafts[0]).boring.id == "B-1"
    alone = site.model_copy(update={"borings": (sounding,)})
    assert choose_boring(alone, site.shafts[0]).boring.id == "CPT-1", "nothing else is there: undecided, and told"
