"""Bents: shafts across the line stand together, distances are those of the drawings, a row breaks no bent."""

from dataclasses import replace

import pytest

from methodpick.drawings.canvas import PALE
from methodpick.drawings.site_section import draw_section
from methodpick.drawings.structure_line import StructureLine


@pytest.fixture
def shaft(planned):
    (found,) = planned("caving-lens").shafts
    return found


def at(shaft, name, east_m, north_m):
    return replace(shaft, id=name, design=replace(shaft.design, east_m=east_m, north_m=north_m))


@pytest.fixture
def viaduct(shaft):
    """Three bents 30 m apart, each of three columns 8 m apart across the line, one of them half a metre out of line."""
    return [
        at(shaft, f"{bent}{column}", 30.0 * bent + (0.5 if column == 1 else 0.0), 8.0 * column) for bent in range(3) for column in range(3)
    ]


def names(parts):
    return [[shaft.id for shaft in part] for part in parts]


def test_columns_of_a_bent_stand_together(viaduct):
    line = StructureLine.through(viaduct)
    assert line.by_east
    assert names(line.bents(line.ordered(viaduct[::-1]))) == [[f"{bent}{column}" for column in range(3)] for bent in range(3)]


def test_distances_are_those_of_the_drawing(viaduct):
    """8 m between columns, 30 m between bents, whatever the zigzag between the last column of one and the first of the next."""
    line = StructureLine.through(viaduct)
    assert line.steps_m(viaduct) == pytest.approx([8.0, 8.0, 30.0, 8.0, 8.0, 30.0, 8.0, 8.0])


def test_a_row_breaks_no_bent(viaduct):
    line = StructureLine.through(viaduct)
    assert [len(row) for row in line.rows(viaduct, 7)] == [6, 3]
    assert [len(row) for row in line.rows(viaduct, 2)] == [2, 1, 2, 1, 2, 1], "a bent longer than a row is parted"


def test_a_cap_lies_over_the_columns_of_a_bent_and_distances_say_which_way_they_lead(viaduct):
    """Two bents of three columns: two caps, four distances across, one along."""
    svg = draw_section(viaduct[:6], "si")
    assert svg.count(f'fill="{PALE}" stroke=') == 2
    assert svg.count(">8.00 m<") == 4
    assert svg.count('stroke-dasharray="6 4"') == 1
    assert svg.count(">30.00 m<") == 1
    alone = draw_section(viaduct[::3], "si")
    assert f'fill="{PALE}" stroke=' not in alone
    assert "Shafts under one cap" in svg
    assert "Shafts under one cap" not in alone


def test_without_places_the_order_of_the_file_stands(shaft):
    shafts = [at(shaft, "b", None, None), at(shaft, "a", 3.0, 0.0)]
    line = StructureLine.through(shafts)
    assert not line.placed
    assert line.ordered(shafts) == shafts
    assert names(line.bents(shafts)) == [["b"], ["a"]]
