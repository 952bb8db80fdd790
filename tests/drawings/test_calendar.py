"""The bar chart of the calendar: bars where the hours are, rows that stay in reach, foreign names as text."""

from xml.etree import ElementTree as ET

import pytest
from effort import examples
from hostile import HOSTILE
from hypothesis import given, settings

from methodpick.drawings.calendar import LEFT, MOST_ROWS, RIGHT, draw_calendar
from methodpick.drawings.canvas import INK, clean
from methodpick.errors import InputError
from methodpick.site.estimate import Estimate
from methodpick.site.result import Calendar, CalendarShaft, StringNeed

SVG = "{http://www.w3.org/2000/svg}"


def shaft(name="P1", number=0, begun=0.0, cleaned=7.0, end=10.0, rig=1):
    return CalendarShaft(name, number, rig, begun, begun + 1, cleaned, cleaned + 1, end, first_day=1, last_day=2)


def calendar(*shafts, days=4.0, rigs=1):
    return Calendar(
        days=Estimate.exactly(days),
        rigs=rigs,
        rigs_used=rigs,
        crews=1,
        shift_h=10.0,
        days_a_week=5,
        start="",
        shafts=shafts,
        binding="the rigs",
        reliefs=(),
        said=(),
    )


def bars(svg, fill):
    tree = ET.fromstring(svg)
    found = [rect for rect in tree.iter(f"{SVG}rect") if rect.get("fill") == fill and float(rect.get("x")) >= LEFT]
    return [(float(rect.get("x")), float(rect.get("width"))) for rect in found if float(rect.get("y")) < 60 + 12 * MOST_ROWS]


def test_bars_stand_at_their_share_of_the_days():
    """Four days of 10 h. Cleaned at 7 h and pulled at 10 h: from 0.7 to 1 of the first day; the second shaft, from 31 h to 34 h on the
    clock, is cleaned 0.7 into the second day, for the night of 14 h is left out.
    """
    svg = draw_calendar(calendar(shaft(), shaft("P2", begun=24.0, cleaned=31.0, end=34.0)), ())
    day = (RIGHT - LEFT) / 4
    (first, wide), (second, _) = bars(svg, INK)[:2]
    assert abs(first - (LEFT + 0.7 * day)) < 0.02
    assert abs(wide - 0.3 * day) < 0.02
    assert abs(second - (LEFT + 1.7 * day)) < 0.02


def test_a_weekend_takes_no_room():
    """Five days a week: the Monday after begins at 168 h and follows the Friday at once, after 5 of 10 days."""
    svg = draw_calendar(calendar(shaft(begun=168.0, cleaned=168.0, end=178.0), days=10.0), ())
    assert abs(bars(svg, INK)[0][0] - (LEFT + 0.5 * (RIGHT - LEFT))) < 0.02


def test_many_shafts_share_rows_and_what_is_left_out_is_told():
    together = draw_calendar(calendar(*(shaft(number=number) for number in range(1, 121))), ())
    assert ">P1<" in together
    assert "more rows" not in together
    alone = draw_calendar(calendar(*(shaft(f"P{number}") for number in range(120))), ())
    assert f"{120 - MOST_ROWS} more rows are in the sheet" in alone


def test_shafts_of_a_substructure_share_a_row():
    three = (shaft("A-1"), shaft("A-2", begun=24.0, cleaned=31.0, end=34.0), shaft("B-1", begun=48.0, cleaned=55.0, end=58.0))
    svg = draw_calendar(calendar(*three), (), "a", {"A-1": "pier A", "A-2": "pier A"})
    assert svg.count(">pier A<") == svg.count(">B-1<") == 1
    assert ">A-1<" not in svg
    assert len(bars(svg, INK)) == 3 + 1, "and that of the key"


def test_rigs_are_numbered_where_there_are_several():
    assert ">2<" in draw_calendar(calendar(shaft(), shaft("P2", rig=2), rigs=2), ()).replace("\n", "")
    assert "a number: the rig" not in draw_calendar(calendar(shaft()), ())


def test_a_site_of_which_nothing_is_built_has_no_calendar_to_draw():
    with pytest.raises(InputError, match="no shaft can be built"):
        draw_calendar(calendar(), ())


def test_the_bars_are_also_said():
    said = ET.fromstring(draw_calendar(calendar(shaft(), shaft("P2", begun=24.0, cleaned=31.0, end=34.0)), ())).find(f"{SVG}desc").text
    assert said == "4 working days: P1 from day 1 to 2, P2 from day 1 to 2."


@settings(max_examples=examples(50))
@given(HOSTILE)
def test_a_foreign_name_stays_text(name):
    need = StringNeed(name, "starter", 1.2, 0.01, 3.0, 1.0, 9.0, string=name)
    svg = draw_calendar(calendar(shaft(name)), (need,))
    tree = ET.fromstring(svg)
    assert {element.tag.removeprefix(SVG) for element in tree.iter()} <= {
        "svg", "title", "desc", "defs", "pattern", "rect", "line", "path", "text", "g", "circle"
    }  # fmt: skip
    assert "http" not in svg.replace("http://www.w3.org/2000/svg", "").replace(clean(name), "")
