"""Tables in characters, held against those of a general library for terminals (rich), which the terminal's page is printed with."""

import re
from io import StringIO

from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.console import Console
from rich.padding import Padding
from rich.table import Table as Grid
from rich.text import Text

from methodpick.formats.text_tables import APART, _parts, _widths, table_lines

WORDS = st.text("abcdefgh0123456789-/.é粘土", min_size=1, max_size=30)
CELLS = st.one_of(st.just(""), st.lists(WORDS, max_size=8).map(" ".join), st.lists(WORDS, max_size=3).map("  ".join))


def by_rich(columns, right, room):
    """The same columns beside each other, laid out by rich within a room."""
    least = [max(cell_len(word) for cell in column for word in cell.split() or [""]) for column in columns]
    parts = _parts(least, room)
    out = StringIO()
    console = Console(file=out, width=room, color_system=None, force_terminal=False, highlight=False)
    for part in parts:
        wanted = [max(map(cell_len, columns[index])) for index in part]
        widths = _widths([least[index] for index in part], wanted, room) if len(parts) > 1 else [None] * len(part)
        grid = Grid(box=None, padding=(0, APART, 0, 0), pad_edge=False, show_edge=False, expand=False)
        for index, width in zip(part, widths, strict=True):
            justify = "right" if index in right else "left"
            grid.add_column(Text(columns[index][0]), justify=justify, overflow="fold", width=width)
        for row in range(1, len(columns[0])):
            grid.add_row(*(Text(columns[index][row]) for index in part))
        console.print(Padding(grid, (0, 0, 0, 0), expand=False))
    return [line.rstrip() for line in out.getvalue().splitlines()]


def printed(columns, right, room):
    lines = [line for table in table_lines(columns, right, room) for line in table]
    return [
        "".join(
            " " * width if cell is None else cell + " " * (APART * (place < len(line.cells) - 1))
            for place, (cell, width) in enumerate(zip(line.cells, line.widths, strict=True))
        ).rstrip()
        for line in lines
    ]


@given(st.data(), st.integers(1, 7), st.integers(1, 5), st.integers(38, 120))
def test_tables_are_those_of_a_general_library(data, count, rows, room):
    columns = [[data.draw(WORDS), *data.draw(st.lists(CELLS, min_size=rows, max_size=rows))] for _ in range(count)]
    right = data.draw(st.sets(st.integers(0, count - 1)))
    assert printed(columns, right, room) == by_rich(columns, right, room)


@given(st.lists(st.lists(CELLS, min_size=3, max_size=3), min_size=1, max_size=6), st.integers(38, 120))
def test_no_sign_of_a_table_is_lost(columns, room):
    """Every cell stands whole in its column, blanks aside, whatever broke it."""
    for table in table_lines(columns, (), room):
        for place in range(len(table[0].cells)):
            read = "".join(line.cells[place] or "" for line in table)
            assert any(re.sub(r"\s", "", read) == re.sub(r"\s", "", "".join(column)) for column in columns)
