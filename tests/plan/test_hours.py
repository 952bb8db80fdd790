"""Where the shifts end and how the hole is left over night: hours of stages added by hand."""

import pytest

from methodpick.plan.hours import FINISHING, nights_of
from methodpick.plan.pipeline import plan
from methodpick.plan.result import Stage

LIMITS = {"stop_short_m": 1.5, "hours_resume": 0.0, "hours_bail": 0.0, "run_least_m": 0.3}


def stage(no, action, top_m, base_m, hours, fluid=None):
    tool = 1.0 if action in {"drill", "advance_casing"} else None
    return Stage(no, action, top_m, base_m, "dry", "dry", fluid, hours, "", tool)


def test_a_shift_is_no_night():
    assert nights_of([stage(1, "drill", 0, 10, 6.0), stage(2, "clean", 10, 10, 2.0), stage(3, "pour", 0, 10, 2.0)], 10, 10.0, LIMITS) == ()


def test_the_shift_ends_where_its_hours_are_worked():
    """1 h of filling leaves 9 h of a shift of 10: at 2 m an hour 18 m of 30; the 6 h left and 3 h of finishing fit the second shift."""
    stages = [stage(1, "introduce_fluid", 0, 0, 1.0, "polymer"), stage(2, "drill", 0, 30, 15.0, "polymer"), stage(3, "clean", 30, 30, 3.0)]
    (night,) = nights_of(stages, 30, 10.0, LIMITS)
    assert (night.stage, night.depth_m) == (2, 18.0)
    assert (night.fluid, night.cased, night.within) == ("polymer", False, True)


def test_finishing_is_never_parted_by_a_night_and_the_hole_is_left_short_of_the_tip():
    """8 h of drilling and 5 h of finishing: the night comes before, two diameters of 1 m, 2 m, short of the tip at 16 m."""
    stages = [stage(1, "drill", 0, 16, 8.0), stage(2, "clean", 16, 16, 2.0), stage(3, "pour", 0, 16, 3.0)]
    (night,) = nights_of(stages, 16, 10.0, LIMITS)
    assert (night.depth_m, night.short_of_tip_m) == (14.0, 2.0)
    assert (night.fluid, night.cased) == (None, False)


def test_the_last_length_of_an_open_hole_is_drilled_without_a_night():
    """1 m an hour: 10 m in the first shift, then to 2 m short of the tip at 16 m; 2 h of drilling and 11 h of finishing are 13 h."""
    stages = [stage(1, "drill", 0, 16, 16.0, "mineral"), stage(2, "clean", 16, 16, 2.0), stage(3, "pour", 0, 16, 9.0)]
    first, second = nights_of(stages, 16, 10.0, LIMITS)
    assert (first.depth_m, second.depth_m) == (10.0, 14.0)
    assert (first.rest_h, second.rest_h) == (None, 13.0)


def test_a_hole_that_is_full_below_a_casing_may_be_left_at_its_tip():
    """2 h of casing and 8 h of drilling to 13 m; then 3 h of drilling to the tip, and 8 h of finishing that do not fit that shift."""
    stages = [
        stage(1, "advance_casing", 0, 5, 2.0, "water"),
        stage(2, "drill", 5, 16, 11.0, "water"),
        stage(3, "clean", 16, 16, 2.0),
        stage(4, "pour", 0, 16, 6.0),
    ]
    nights = nights_of(stages, 16, 10.0, LIMITS)
    assert [(night.stage, night.depth_m) for night in nights] == [(2, 13.0), (2, 16.0)]
    assert [night.within for night in nights] == [True, False]


def test_no_night_falls_where_the_last_one_fell():
    """1 m an hour: 10 m in the first shift, the second to 13.9 m and the third to two diameters short of the tip at 16 m would be the same
    place: from 13.9 m the work goes on to the end."""
    stages = [stage(1, "drill", 0, 16, 16.0, "mineral"), stage(2, "clean", 16, 16, 1.0), stage(3, "pour", 0, 16, 9.0)]
    nights = nights_of(stages, 16, 6.95, LIMITS)
    assert [night.depth_m for night in nights] == [6.95, 13.9]
    assert nights[-1].rest_h == pytest.approx(12.1)


def test_a_socket_in_rock_that_lasts_is_left_at_any_depth_below_its_casing():
    """Common practice, no source: 1 h of casing, then rock at 0.25 m an hour, 4.5 h of bailing aside, is not cored in one go for days."""
    stages = [stage(1, "advance_casing", 0, 2, 1.0, "water"), stage(2, "drill", 2, 8, 24.0), stage(3, "clean", 8, 8, 2.0)]
    assert [night.depth_m for night in nights_of(stages, 8, 10.0, LIMITS, rock_from_m=2.0)] == [4.25, 6.75]
    (short,) = nights_of(stages, 8, 10.0, LIMITS)[1:]
    assert (short.depth_m, short.short_of_tip_m) == (6.0, 2.0)


def test_a_casing_is_not_set_over_a_night():
    stages = [stage(1, "drill", 0, 9, 9.0, "mineral"), stage(2, "set_casing", 0, 9, 2.0, "mineral"), stage(3, "clean", 9, 9, 1.0)]
    (night,) = nights_of(stages, 9, 10.0, LIMITS)
    assert (night.stage, night.depth_m) == (1, 9.0)
    assert not night.within


def test_the_morning_is_worked_before_the_drilling_goes_on():
    """2 m an hour in shifts of 10 h: 20 m, then 1 h of desanding and cleaning and 9 h for 18 m more; the dry hole takes 2 h to bail."""
    limits = LIMITS | {"hours_resume": 1.0, "hours_bail": 2.0}
    under_fluid = nights_of([stage(1, "drill", 0, 60, 30.0, "polymer"), stage(2, "clean", 60, 60, 1.0)], 60, 10.0, limits)
    assert [(night.depth_m, night.morning_h) for night in under_fluid] == [(20.0, 1.0), (38.0, 1.0), (56.0, 1.0)]
    dry = nights_of([stage(1, "drill", 0, 60, 30.0), stage(2, "clean", 60, 60, 1.0)], 60, 10.0, limits)
    assert [(night.depth_m, night.morning_h) for night in dry] == [(20.0, 2.0), (36.0, 2.0), (52.0, 2.0)]


def test_mornings_longer_than_half_a_shift_leave_the_other_half_for_the_work():
    limits = LIMITS | {"hours_resume": 24.0, "hours_bail": 24.0}
    found = nights_of([stage(1, "drill", 0, 12, 12.0, "water"), stage(2, "clean", 12, 12, 1.0)], 12, 2.0, limits)
    assert found[1].depth_m - found[0].depth_m == pytest.approx(1.0)


@pytest.mark.parametrize(("tip_m", "pieces", "hours"), [(13.0, 1, 1.7), (13.5, 2, 2.75), (25.5, 3, 4.95)])
def test_a_cage_longer_than_its_pieces_is_spliced_over_the_hole(read_text, book, tip_m, pieces, hours):
    """From the cut-off at 1 m, pieces of 12.19 m (40 ft), 0.5 h and 0.1 h/m in a shaft of 1 m; 1 h a splice (own)."""
    text = f"""methodpick: 1
site: {{units: si}}
borings: [{{id: B, depth: 60, layers: [{{top: 0, base: 60, description: "stiff clay", symbol: CL, su: 120, absent: [fissured]}}]}}]
shafts: [{{id: S, boring: B, diameter: 1000, cutoff: 1, tip: {tip_m}}}]
"""
    (shaft,) = plan(read_text(text), book).shafts
    cage = next(stage for stage in shaft.stages if stage.action == "cage")
    assert cage.hours == pytest.approx(hours)
    assert (f"in {pieces} spliced pieces" in cage.text) is (pieces > 1)


@pytest.mark.parametrize("hours", [8, 14])
def test_a_plan_has_its_nights_and_the_last_shift_does_the_finishing(read_text, book, hours):
    text = f"""methodpick: 1
site: {{units: si, schedule: {{shift_hours: {hours}}}}}
borings: [{{id: B, depth: 60, layers: [{{top: 0, base: 60, description: "stiff clay", symbol: CL, su: 120, absent: [fissured]}}]}}]
shafts: [{{id: S, boring: B, diameter: 1500, tip: 45}}]
"""
    (shaft,) = plan(read_text(text), book).shafts
    total = sum(each.hours or 0.0 for each in shaft.stages)
    finishing = sum(each.hours or 0.0 for each in shaft.stages if each.action in FINISHING)
    assert len(shaft.nights) == (0 if total <= hours else 1 + int((total - finishing) // hours) - (total - finishing + finishing <= hours))
    assert all(night.depth_m <= 45.0 for night in shaft.nights)


def test_low_headroom_makes_the_hours_long(book, read_text):
    """Common practice, no source: under a bridge a short kelly, spliced casing and a spliced cage take about twice as long."""
    text = """methodpick: 1
site: {units: si, equipment: {kelly_twist: true}%s}
borings:
  - id: B-1
    depth: 30
    water: [{reading: settled, depth: 3}]
    layers:
      - {top: 0, base: 6, description: "medium dense sand", symbol: SP, phi: 34}
      - {top: 6, base: 30, description: "stiff clay", symbol: CL, su: 110, absent: [fissured]}
shafts: [{id: P1, diameter: 900, tip: 18}]
"""
    free, low = (plan(read_text(text % room), book).shafts[0] for room in ("", ", headroom: 6"))
    drilled, cage = (
        [sum(stage.hours for stage in shaft.stages if stage.action in names) for shaft in (free, low)] for names in ({"drill"}, {"cage"})
    )
    assert drilled[1] / drilled[0] == pytest.approx(2.0, rel=0.25)
    assert cage[1] > cage[0] + 3.0, "six pieces of 3 m or less, of which two are spliced under free sky"
    assert max(max(casing.sections_m) for casing in low.casings) <= 3.0
    assert "limited-headroom" in {caution.rule for caution in low.cautions}
