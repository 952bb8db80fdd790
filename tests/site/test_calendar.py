"""The calendar by hand, and its laws: who works where, no night in the finishing, fresh neighbours, more rigs never slower."""

from itertools import pairwise
from math import ceil, floor
from types import SimpleNamespace

import pytest
from effort import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from methodpick.errors import InputError
from methodpick.ground.position import Position
from methodpick.ground.site import Schedule
from methodpick.site.calendar import make_schedule
from methodpick.site.estimate import NOTHING, Estimate, HoursRow, WorkClock

LIMITS = {"shift_h": 10.0, "neighbour_age_h": 24.0, "adjacent_diameters": 5.0}


def made(rows, **schedule):
    """Make the calendar of shafts, each (move, hole, clean, finish, count, place) with hours as one number or low, likely, high."""
    jobs, hours = [], []
    for number, (move, hole, clean, finish, count, place) in enumerate(rows):
        parts = [Estimate(*each) if isinstance(each, tuple) else Estimate.exactly(each) for each in (move, hole, clean, finish)]
        position = None if place is None else Position(east_m=place, north_m=0.0)
        shaft = SimpleNamespace(id=f"P{number}", position=position, count=count, diameter_m=1.2)
        jobs.append(SimpleNamespace(shaft=shaft, limit=LIMITS.get))
        hours.append(row_of(shaft, parts))
    site = SimpleNamespace(site=SimpleNamespace(schedule=Schedule(**schedule)), rates=None)
    return make_schedule(site, jobs, hours)


def row_of(shaft, parts):
    move, hole, clean, finish = parts
    total = move.plus(hole).plus(clean).plus(finish)
    none = dict.fromkeys(("casing", "fluid", "cage", "pull"), NOTHING)
    return HoursRow(shaft.id, shaft.count, drill=hole, clean=clean, pour=finish, move=move, total=total, by_rates=True, lacking=(), **none)


def spans(schedule):
    return [(shaft.begun_h, shaft.opened_h, shaft.cleaned_h, shaft.left_h, shaft.end_h) for shaft in schedule.calendar.shafts]


def test_two_shafts_by_hand():
    """Shifts of 10 h. First: 1 h to move, 6 to drill, 1 to clean, 2 to pour: done at 10 h. The rig left at 8 h and moved to the second
    by 9 h; its hole may stand open overnight, so that 1 h is drilled today and 5 h from 24 h on; cleaned at 29 h, poured by 32 h.
    """
    schedule = made([(1, 6, 1, 2, 2, None)], overnight_allowed=True)
    assert spans(schedule) == [(0, 1, 7, 8, 10), (8, 9, 29, 30, 32)]
    assert schedule.calendar.days == Estimate(2, 2, 2)


def test_a_hole_that_may_not_stand_open_is_finished_in_its_shift():
    """The same, closed overnight: the second hole takes 9 h to the last pull and is opened in the morning, at 24 h."""
    assert spans(made([(1, 6, 1, 2, 2, None)]))[1] == (8, 24, 30, 31, 33)


def test_a_hole_longer_than_a_shift_stands_as_few_nights_as_can_be():
    """14 h from opening to the last pull, at the least one night. Opened at 1 h it has 9 h today and 1 h more to drill tomorrow, from
    24 h on; the 4 h of cleaning and pour end by 29 h. The rig left at 26 h and moved; the second is opened at once at 27 h, for 7 h of
    drilling are left today and 3 tomorrow, which with the 4 h fit in that day.
    """
    assert spans(made([(1, 10, 1, 3, 2, None)])) == [(0, 1, 25, 26, 29), (26, 27, 51, 52, 55)]


def test_a_hole_that_would_stand_two_nights_waits_for_the_morning():
    """14 h again, but the rig comes at 8 h: 2 h today, 8 h tomorrow and the finishing of 4 h on the third day are two nights; opened
    the next morning it is drilled by 34 h and finished from 48 h on, with one.
    """
    assert spans(made([(8, 10, 1, 3, 1, None)])) == [(0, 24, 48, 49, 52)]


def test_no_night_falls_between_the_last_cleaning_and_the_last_pull():
    """Drilled by 8 h, cleaning and pour take 3 h more: they begin the next morning, at 24 h."""
    assert spans(made([(1, 7, 1, 2, 1, None)], overnight_allowed=True)) == [(0, 1, 24, 25, 27)]


def test_what_is_longer_than_a_shift_goes_on_into_the_night():
    """Cleaned from 24 h on, with 11 h to pour and pull the last casing is out at 36 h, at night."""
    schedule = made([(1, 7, 1, 11, 1, None)], overnight_allowed=True)
    assert spans(schedule) == [(0, 1, 24, 25, 36)]
    (shaft,) = {shaft.shaft for shaft in schedule.calendar.shafts}
    assert any(f"{shaft} takes more than a shift" in note for note in schedule.calendar.said)


def test_the_rig_goes_where_no_neighbour_is_fresh():
    """Two shafts 4 m apart, within five diameters of 1.2 m, and one far away. The first is poured by 4 h; the second is too near for
    24 h from then on, so the rig drills the third first, and the second from 28 h on.
    """
    schedule = made([(1, 1, 1, 1, 1, 0.0), (1, 1, 1, 1, 1, 4.0), (1, 1, 1, 1, 1, 50.0)])
    assert [shaft.shaft for shaft in schedule.calendar.shafts] == ["P0", "P2", "P1"]
    assert spans(schedule) == [(0, 1, 2, 3, 4), (3, 4, 5, 6, 7), (6, 28, 29, 30, 31)]


def test_strings_of_days_by_the_week_and_the_date():
    """Six shafts of a day each from a Monday, five days a week: the sixth stands on the Monday after, as the calendar on the wall says."""
    calendar = made([(1, 6, 1, 2, 6, None)], days_a_week=5, start="2026-04-13").calendar
    assert [shaft.first_day for shaft in calendar.shafts] == [1, 1, 2, 3, 4, 5], "the rig moves the evening before"
    assert [shaft.last_day for shaft in calendar.shafts] == [1, 2, 3, 4, 5, 6]
    assert calendar.shafts[-1].end_h == 7 * 24 + 9
    assert (calendar.date_of(5), calendar.date_of(6)) == ("2026-04-17", "2026-04-20")


def test_the_pace_of_the_file_holds_back_but_never_hurries():
    slow = made([(1, 2, 1, 1, 4, None)], shafts_a_day=1)
    assert [shaft.first_day for shaft in slow.calendar.shafts] == [1, 2, 3, 4]
    assert slow.calendar.binding == "'schedule: shafts_a_day'"
    hurried = made([(1, 6, 1, 2, 4, None)], shafts_a_day=3)
    assert hurried.calendar.days == made([(1, 6, 1, 2, 4, None)]).calendar.days
    assert "more than 1 rig" in hurried.calendar.said[0]


def test_one_crew_is_what_binds_two_rigs():
    """Each shaft keeps the crew 8 h and the rig 2: with one crew two rigs are no faster than one, with two they take half the time."""
    calendar = made([(1, 0.5, 0.5, 8, 6, None)], rigs=2, crews=1).calendar
    assert calendar.days.likely == 6
    assert calendar.binding == "the crews"
    assert made([(1, 0.5, 0.5, 8, 6, None)], rigs=2).calendar.days.likely == 3


@pytest.mark.parametrize("start", ["13.4.2026", "2026-02-30", "soon"])
def test_a_start_that_is_no_date_is_pointed_at(read_text, start):
    text = f"""\
methodpick: 1
site: {{schedule: {{start: "{start}"}}}}
borings: [{{id: B, depth: 60, layers: [{{top: 0, base: 60, symbol: CL, description: hard clay}}]}}]
"""
    with pytest.raises(InputError) as caught:
        read_text(text)
    problem = caught.value.problems[0]
    assert "this is no date" in problem.message
    assert (problem.place.line, problem.place.column) == (2, 26)
    assert "2026-04-13" in problem.expected


def test_a_second_rig_that_would_only_be_in_the_way_stays_at_home():
    """One crew, and the first and the third shaft near each other. With two rigs at work the first that is free takes what comes next in
    the file, and the crew is kept by the short holes while the long one waits: five days. One rig takes four, and so does the answer.
    """
    rows = [(1, 9, 1, 2, 1, 0.0), (1, 1, 1, 8, 1, 100.0), (1, 1, 1, 4, 1, 4.0), (1, 5, 1, 1, 1, 200.0)]
    one, two = (made(rows, rigs=rigs, crews=1) for rigs in (1, 2))
    assert two.calendar.days == one.calendar.days
    assert (two.calendar.rigs, two.calendar.rigs_used) == (2, 1)


# ---- Laws


def parts_of_hours(most):
    return st.lists(st.integers(0, 4 * most), min_size=3, max_size=3).map(lambda ends: tuple(end / 4 for end in sorted(ends)))


rows_of_shafts = st.lists(
    st.tuples(
        parts_of_hours(2),
        parts_of_hours(15),
        parts_of_hours(2),
        parts_of_hours(9),
        st.integers(1, 3),
        st.sampled_from([None, 0.0, 5.0, 9.0]),
    ),
    min_size=1,
    max_size=5,
)
schedules = st.fixed_dictionaries(
    {"overnight_allowed": st.booleans()},
    optional={
        "crews": st.integers(1, 3),
        "days_a_week": st.integers(4, 7),
        "shafts_a_day": st.sampled_from([0.5, 1, 2]),
        "shift_hours": st.sampled_from([8, 10, 24]),
    },
)


@settings(max_examples=examples(200))
@given(rows_of_shafts, schedules)
def test_more_rigs_are_never_slower_and_longer_hours_never_faster(rows, schedule):
    days = [made(rows, rigs=rigs, **schedule).calendar.days for rigs in (1, 2, 3)]
    for fewer, more in pairwise(days):
        assert (more.low, more.likely, more.high) <= (fewer.low, fewer.likely, fewer.high)
        assert more.low <= fewer.low
        assert more.high <= fewer.high
    assert all(each.low <= each.likely <= each.high for each in days)


@settings(max_examples=examples(200))
@given(rows_of_shafts, schedules, st.integers(1, 3))
def test_a_calendar_keeps_to_its_rules(rows, schedule, rigs):
    found = made(rows, rigs=rigs, **schedule)
    clock, works, placed = found.clock, found.works["likely"], found.placed["likely"]
    assert sorted(each.work for each in placed) == list(range(sum(row[4] for row in rows)))
    for kind, start, end in (("rig", "begun_h", "left_h"), ("crew", "left_h", "end_h")):
        for number in {getattr(each, kind) for each in placed}:
            busy = sorted((getattr(each, start), getattr(each, end)) for each in placed if getattr(each, kind) == number)
            assert all(before[1] <= after[0] + 1e-9 for before, after in pairwise(busy)), "nobody works at two shafts at once"
    for each in placed:
        hours = works[each.work]
        assert each.left_h == pytest.approx(each.cleaned_h + hours.clean_h)
        assert each.end_h == pytest.approx(each.left_h + hours.finish_h)
        assert worked(clock, each.opened_h, each.cleaned_h) >= hours.hole_h - 1e-6
        if each.end_h > each.cleaned_h and hours.clean_h + hours.finish_h <= clock.shift_h:
            assert worked(clock, each.cleaned_h, each.end_h) == pytest.approx(hours.clean_h + hours.finish_h), "no night in it"


def worked(clock, start, end):
    """Add up the working hours between two hours on the clock, shift by shift."""
    total = 0.0
    for day in range(floor(start / 24) - 1, ceil(end / 24) + 2):
        weekday = day % 7
        if weekday < clock.days_a_week and day >= 0:
            total += max(0.0, min(end, 24.0 * day + clock.shift_h) - max(start, 24.0 * day))
    return total


@settings(max_examples=examples(120))
@given(rows_of_shafts, schedules, st.integers(1, 3))
def test_no_hole_is_opened_beside_fresh_concrete(rows, schedule, rigs):
    found = made(rows, rigs=rigs, **schedule)
    jobs = [index for index, row in enumerate(rows) for _ in range(row[4])]
    holes = [(rows[jobs[each.work]], each) for each in found.placed["likely"]]
    placed = [(row[5], each) for row, each in holes if row[5] is not None and row[4] == 1]
    for number, (here, one) in enumerate(placed):
        for there, other in placed[number + 1 :]:
            if abs(here - there) < 5 * 1.2 - 1e-6:
                assert max(one.opened_h, other.opened_h) >= min(one.end_h, other.end_h) + 24.0 - 1e-6


def test_a_clock_of_whole_days_has_no_night():
    assert WorkClock(24).after(5, 100) == 105
    assert WorkClock(24).unparted(20, 10) == 20
    assert WorkClock(24, 5).unparted(115, 10) == 168, "but for the weekend"
