"""Cross-checks against groundhog, a general geotechnical library from the package registry, where it has the same formula.

An environment of its own (.ci/run makes it: the library without its dependencies, and numpy); skipped where it is absent.
"""

import pytest

spt_of = pytest.importorskip(
    "groundhog.siteinvestigation.insitutests.spt_correlations",
    reason="the reference library groundhog is not installed here; .ci/run makes an environment for it",
)
cohesionless = pytest.importorskip("groundhog.siteinvestigation.correlations.cohesionless")
pressures = pytest.importorskip("groundhog.excavations.basic")
pumping = pytest.importorskip("groundhog.consolidation.groundwaterflow.pumpingtests")

from mechanics.references import free_surface_inflow, phi_kulhawy_mayne  # noqa: E402 - after the skip, so that an absent library costs nothing

from methodpick.mechanics.earth_pressure import ka  # noqa: E402
from methodpick.mechanics.emptied_hole import hazen  # noqa: E402
from methodpick.mechanics.penetration_tests import overburden_factor, phi_wolff  # noqa: E402

pytestmark = pytest.mark.reference


@pytest.mark.parametrize("stress", [40.0, 64.0, 100.0, 250.0, 480.0])
def test_overburden_correction(stress):
    theirs = spt_of.overburdencorrection_spt_liaowhitman(N=20.0, sigma_vo_eff=stress)["CN [-]"]
    assert overburden_factor(stress) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize(("count", "stress"), [(5.0, 30.0), (20.0, 100.0), (50.0, 300.0)])
def test_friction_after_kulhawy_and_mayne(count, stress):
    theirs = spt_of.frictionangle_spt_kulhawymayne(N=count, sigma_vo_eff=stress)["Phi [deg]"]
    assert phi_kulhawy_mayne(count, stress) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize("count", [4.0, 20.0, 55.0])
def test_friction_after_peck_hanson_and_thornburn(count):
    theirs = next(iter(spt_of.frictionangle_spt_PHT(N1_60=count).values()))
    assert phi_wolff(count) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize("size", [0.1, 0.2, 1.0])
def test_permeability_after_hazen(size):
    assert hazen(size) == pytest.approx(cohesionless.permeability_d10_hazen(grain_size=size)["k [m/s]"], rel=1e-9)


@pytest.mark.parametrize("phi", [22.0, 33.0, 44.0])
def test_active_coefficient(phi):
    theirs = pressures.earthpressurecoefficients_rankine(phi_eff=phi, wall_angle=0.0, top_angle=0.0)["KaR [-]"]
    assert ka(phi) == pytest.approx(theirs, rel=1e-6)


@pytest.mark.parametrize(("near", "far", "low", "high", "flow"), [(10.0, 27.7, 4.53, 9.24, 0.028), (2.0, 40.0, 3.0, 5.0, 0.01)])
def test_free_surface_flow_of_the_references(near, far, low, high, flow):
    theirs = next(
        iter(
            pumping.hydraulicconductivity_unconfinedaquifer(
                radius_1=near, radius_2=far, piezometric_height_1=low, piezometric_height_2=high, flowrate=flow
            ).values()
        )
    )
    assert free_surface_inflow(theirs, high, low, 2 * near, far) == pytest.approx(flow, rel=1e-9)
