"""What the page of a takeoff says of its sums, strings and hours: nothing of what is nothing, and each thing once."""

import re
from dataclasses import replace

import pytest

from methodpick.document.model import Document, Page, texts_of
from methodpick.document.reasons import rung_words, rungs_together
from methodpick.document.takeoff import hours, permanent_words, strings, sums
from methodpick.plan.reasons.notes import FIRST_SIGN
from methodpick.site.estimate import Estimate
from methodpick.unit_markup import spell


def said(section):
    return texts_of(Document("", (Page("", (), (section,)),), ""), "us")


@pytest.fixture
def karst(takeoff):
    return takeoff("karst")


def test_what_comes_to_nothing_has_no_row_and_who_pays_is_said_once(karst):
    """A starter of one piece has no splice; the file says nothing of payment."""
    words = said(sums(karst.totals, karst.site_lines))
    assert any(line.item.endswith("splices") and line.amount.high == 0 for line in karst.totals)
    assert " splices 0" not in words
    assert words.count("not known: say it under 'pay:'") == 1
    assert "unknown" not in words
    paid = replace(karst.totals[0], pay="paid")
    assert "unknown" in said(sums((paid, *karst.totals[1:]), karst.site_lines))


def test_fewer_sizes_that_make_no_hole_larger_are_not_spoken_of(karst):
    """A yard whose sizes are those planned makes no hole larger; 0.05 m3 is the least that a page would not write as nothing."""
    assert "makes holes larger" not in said(strings(replace(karst.yard, larger_m3=0.04)))
    assert "makes holes larger by 2.6 yd3" in said(strings(replace(karst.yard, larger_m3=2.0)))
    assert "Rounding up" not in said(strings(replace(karst.yard, rounding_m=0.0)))


def test_planning_hours_without_a_range_have_no_range(karst):
    (first, *_) = hours(karst).blocks
    assert {row[-1] for row in first.rows} == {"-"}
    wide = replace(karst.hours[0], total=Estimate(60.0, 70.5, 80.0))
    (first, *_) = hours(replace(karst, hours=(wide,))).blocks
    assert first.rows[0][-1] == "60 to 80"


def test_hours_that_more_than_fill_the_shifts_say_what_holds_and_what_is_priced(takeoff):
    """The viaduct: 814 h of work in 75 days of 10 h, since a crew pours while the rig drills the next shaft."""
    viaduct = takeoff("viaduct")
    assert viaduct.calendar.on_site_h.likely == 750
    words = " ".join(said(hours(viaduct)).split())
    assert "814 h over all shafts, by your rates; 750 h of shifts hold them, as the crew finishes one shaft while the rig begins" in words
    assert "All of them are priced." in words
    assert "hold them" not in said(hours(takeoff("contaminated-fill"))), "a shaft alone overlaps with nothing"


def test_casing_that_stays_is_named_beside_the_strings_that_come_back(takeoff):
    """Four casings of 75.5 ft; steel of 78 in by 1 1/16 in weighs 874 lb a foot (pi x 76.94 in x 1.0625 in x 0.2836 lb/in3 x 12)."""
    made = takeoff("river-crossing")
    words = " ".join(said(strings(made.yard, permanent_words(made.totals))).split())
    assert "To buy and lost in the ground, permanent casing 78 in x 1.062 in: 301.9 ft, 263,865 lb." in words
    assert permanent_words(takeoff("caving-lens").totals) == ""


def test_a_rung_that_is_built_as_planned_does_not_tell_the_plan_again(karst):
    """The worst of R1 is the same work with the most overbreak; its fallback is another way and is told."""
    shaft = karst.site.plan.shafts[0]
    _, fallback, worst = shaft.ladder
    assert worst.stages == shaft.stages
    assert worst.method not in rung_words(worst, shaft)
    assert "1.00 times" not in rung_words(worst, shaft)
    assert fallback.method in rung_words(fallback, shaft)


def test_kinds_that_fall_back_alike_share_the_words_and_keep_their_numbers(karst):
    """Two shafts of one rung that differ in depth: the words once, with whose depths they are, and what each takes beyond its plan."""
    shaft = karst.site.plan.shafts[0]
    fallback = shaft.ladder[1]
    depth = re.search(r"to ⟦([0-9.]+)[|]m⟧", fallback.method)[1]
    deeper = replace(fallback, method=fallback.method.replace(depth, "38.5"), extra_casing_kg=4536.0)
    (words,) = [spell(line, "us") for line in rungs_together([("R1", fallback, shaft), ("R9", deeper, shaft)])]
    assert words.startswith("2 kinds: Fallback: ")
    assert "These are the depths of R1." in words
    assert words.count(FIRST_SIGN.strip()) == 1
    assert re.search(r"; R9 [^;]*\+10,000 lb of steel", words)
    (alone,) = rungs_together([("R1", fallback, shaft)])
    assert alone == f"R1: {rung_words(fallback, shaft)}"


def test_water_in_a_casing_that_is_kept_full_counts_its_hours(planned):
    """P5 of river-crossing drills 42 to 62 ft under the water of its casing and pours: 45.7 + 11.7 h by the stages of its page."""
    shaft = planned("river-crossing").shafts[0]
    drilled = sum(stage.hours for stage in shaft.stages if stage.action == "drill")
    after = sum(stage.hours for stage in shaft.stages if stage.action in {"clean", "cage", "pour"})
    assert drilled + after == pytest.approx(57.4, abs=0.1)
    assert shaft.fluid_programme.loss.hours_open == pytest.approx(drilled + after, abs=0.01)
