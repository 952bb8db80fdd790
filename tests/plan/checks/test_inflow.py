"""Inflow: the limit of dry placement of FHWA-NHI-18-024 ch. 7 (transcription), pumps from memory, erosion by the ground."""

from dataclasses import replace
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.inflow import InflowFacts, check_inflow
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.vocabulary.values import EITHER, FALSE, TRUE, Span, likely_bool, point

HOLE = InflowFacts(ProvedPlace(2, 0.0, 8.0), diameter_m=1.2, inflow_m3_h=point(0.1), erodible=FALSE)


def results(facts, limits):
    return {check.id.removeprefix("inflow-"): check.result for check in check_inflow(facts, limits)}


@pytest.mark.parametrize(("inches", "dry"), [(6.0, "holds"), (24.8, "fails")])
def test_the_two_published_rates(limits, inches, dry):
    """6 in/h may be poured dry, 24.8 in/h may not; in a hole of 1 m they are 0.120 and 0.495 m3/h."""
    facts = replace(HOLE, diameter_m=1.0, inflow_m3_h=point(inches * 0.0254 * pi / 4.0))
    assert results(facts, limits)["placement"] == dry


@pytest.mark.parametrize(
    ("inflow", "placement", "pumps"),
    [
        (point(0.344), "holds", "holds"),  # 0.3048 m/h over 1.131 m2 are 0.3447 m3/h
        (point(0.345), "fails", "holds"),
        (point(20.0), "fails", "holds"),
        (point(20.1), "fails", "fails"),
        (Span(0.01, 1.0, 0.1), "open_range", "holds"),
        (Span(0.01, 30.0, 0.5), "open_likely", "open_range"),
        (Span(0.01, 1.0), "unknown", "holds"),
        (None, "unknown", "unknown"),
    ],
)
def test_placement_and_pumps(limits, inflow, placement, pumps):
    found = results(replace(HOLE, inflow_m3_h=inflow), limits)
    assert (found["placement"], found["pumps"]) == (placement, pumps)


@pytest.mark.parametrize(
    ("inflow", "erodible", "word"),
    [
        (point(0.1), FALSE, "holds"),
        (point(0.1), TRUE, "fails"),
        (point(0.0), TRUE, "holds"),
        (point(0.1), likely_bool(False), "open_range"),
        (point(0.1), likely_bool(True), "open_likely"),
        (point(0.1), EITHER, "unknown"),
        (Span(0.0, 0.5, 0.0), TRUE, "open_range"),
        (None, TRUE, "unknown"),
    ],
)
def test_seepage_that_carries_soil_ends_dry_drilling(limits, inflow, erodible, word):
    assert results(replace(HOLE, inflow_m3_h=inflow, erodible=erodible), limits)["erosion"] == word


@given(st.floats(0.0, 40.0), st.floats(0.0, 40.0))
def test_more_inflow_betters_nothing(limits, rank, inflow, more):
    facts = replace(HOLE, inflow_m3_h=point(inflow), erodible=likely_bool(False))
    assert rank(check_inflow(replace(facts, inflow_m3_h=point(inflow + more)), limits)) >= rank(check_inflow(facts, limits))


def test_the_rise_by_hand(limits):
    """0.345 m3/h over pi x 1.2^2 / 4 = 1.13097 m2 are 0.30505 m/h."""
    check = check_inflow(replace(HOLE, inflow_m3_h=point(0.345)), limits)[0]
    assert check.needed.likely == pytest.approx(0.30505, abs=1e-5)
