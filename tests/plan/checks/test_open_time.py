"""Hours open against hours standing; the hours of the stand-up classes are own values of the project."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.open_time import OpenTimeFacts, check_open_time
from methodpick.vocabulary.values import EITHER, FALSE, TRUE, Span, any_of, known, likely_bool, point

WALL = OpenTimeFacts(ProvedPlace(2, 0.0, 8.0), open_h=point(12.0), stand_up=known("shift"), lasting_rock=FALSE)


def word(facts, limits):
    (check,) = check_open_time(facts, limits)
    return check.result


@pytest.mark.parametrize(
    ("hours", "stand_up", "expected"),
    [
        (point(12.0), known("shift"), "holds"),  # a shift stands 12 h
        (point(12.1), known("shift"), "fails"),
        (point(1.6), known("hour"), "fails"),  # 1.5 h
        (point(1.5), known("hour"), "holds"),
        (point(0.1), known("none"), "fails"),
        (point(72.0), known("days"), "holds"),
        (Span(8, 14, 10), known("shift"), "open_range"),
        (Span(8, 14, 13), known("shift"), "open_likely"),
        (Span(8, 14), known("shift"), "unknown"),
        (None, known("shift"), "unknown"),
        (point(10.0), any_of("hour", "shift", likely="shift"), "open_range"),
        (point(10.0), any_of("hour", "shift", likely="hour"), "open_likely"),
        (point(10.0), any_of("hour", "shift"), "unknown"),
        (point(1.0), any_of("hour", "shift"), "holds"),
    ],
)
def test_hours_by_class(limits, hours, stand_up, expected):
    assert word(replace(WALL, open_h=hours, stand_up=stand_up), limits) == expected


def test_good_rock_has_no_cap(limits):
    assert check_open_time(replace(WALL, open_h=point(500.0), lasting_rock=TRUE), limits) == ()
    assert word(replace(WALL, open_h=point(500.0), lasting_rock=EITHER), limits) == "unknown"
    assert word(replace(WALL, open_h=point(500.0), lasting_rock=likely_bool(True)), limits) == "open_range"
    assert word(replace(WALL, open_h=point(500.0), lasting_rock=likely_bool(False)), limits) == "open_likely"
    assert word(replace(WALL, lasting_rock=EITHER), limits) == "holds"


@given(st.floats(0.0, 100.0), st.floats(0.0, 50.0), st.sampled_from(["none", "minutes", "hour", "shift", "days"]))
def test_longer_work_betters_nothing(limits, rank, hours, more, name):
    facts = replace(WALL, open_h=point(hours), stand_up=known(name))
    assert rank(check_open_time(replace(facts, open_h=point(hours + more)), limits)) >= rank(check_open_time(facts, limits))
