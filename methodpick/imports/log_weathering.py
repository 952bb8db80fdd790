"""Weathering of rock that a log grades by depth (WETH): layers are parted where the grade changes."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from methodpick.ground.descriptions.part_words import words_by_depth
from methodpick.ground.descriptions.weathering import degrees_of, hull, written
from methodpick.ground.layer_parts import LEAST_PART_M
from methodpick.ground.profile import Layer
from methodpick.imports.log_tables import DataRow, Tables
from methodpick.records import record
from methodpick.terms import ROCK

_GRADED = ("WETH_WETH", "WETH_GRAD")
_SCHEMES = ("WETH_SCH", "WETH_SYS")
_SAME_M = 0.001


@record
class GradedLength:
    """A length of a boring whose weathering the log grades, least and most degree, and the row that says it."""

    top_m: float
    base_m: float
    degrees: tuple[str, str]
    row: DataRow

    def over_m(self, top_m: float, base_m: float) -> float:
        """Return how much of it lies between two depths."""
        return min(self.base_m, base_m) - max(self.top_m, top_m)


def graded_lengths(tables: Tables, boring: str) -> list[GradedLength]:
    """Return the lengths of a boring with a grade, from the top down; rows without depth or a known grade are doubts."""
    rows = [(top, row) for row in tables.of("WETH", boring) if (top := _top(row)) is not None]
    rows.sort(key=lambda pair: (pair[0], pair[1].order_beside("WETH_TOP", "WETH_BASE")))
    found = []
    for index, (top, row) in enumerate(rows):
        base = row.number("WETH_BASE")
        if base is None:
            base = next((other for other, _ in rows[index + 1 :] if other > top), float("inf"))
        degrees = _degrees(tables, row)
        if base <= top:
            row.set_aside("the base of the graded length is not below its top", depth_m=top)
        elif degrees is None:
            row.set_aside("no grade of weathering is understood", depth_m=top, quoted=_text(row) or row.text("WETH_REM"))
        else:
            found.append(GradedLength(top, base, degrees, row))
    return found


def _top(row: DataRow) -> float | None:
    top = row.number("WETH_TOP")
    if top is None or top < 0:
        row.set_aside("the grade of weathering has no depth", quoted=_text(row))
        return None
    return top


def _text(row: DataRow) -> str:
    return next((text for heading in _GRADED if (text := row.text(heading))), "")


def _degrees(tables: Tables, row: DataRow) -> tuple[str, str] | None:
    """Return the degrees of a row: as the file's own table explains its code, else as the code says by its scheme."""
    text, scheme = _text(row), " ".join(row.text(heading) for heading in _SCHEMES)
    explained = next((meaning for heading in _GRADED if (meaning := tables.codes(heading).get(text))), "")
    return degrees_of(explained, scheme) or degrees_of(text, scheme)


def with_grades(layer: Layer, lengths: Sequence[GradedLength], room: int) -> list[Layer]:
    """Return the parts of a layer of rock by the grades over it, at most ``room``; a layer of soil as it is.

    A layer whose own words name depths is not parted twice: it has all the grades over it as one range.
    """
    here = [length for length in lengths if length.over_m(layer.top_m, layer.base_m) > _SAME_M]
    if not here or not layer.main_soil.soils & (ROCK | {"intermediate"}):
        return [layer]
    cuts = _cuts(layer, here)
    if len(cuts) - 1 > room or words_by_depth(layer.description).said:
        cuts = [layer.top_m, layer.base_m]
    parts: list[tuple[float, float, tuple[str, str] | None]] = []
    for top, base in pairwise(cuts):
        degrees = _over(here, top, base)
        if parts and parts[-1][2] == degrees:
            parts[-1] = (parts[-1][0], base, degrees)
        else:
            parts.append((top, base, degrees))
    return [
        layer.model_copy(update={"top_m": top, "base_m": base, "weathering": None if degrees is None else written(degrees)})
        for top, base, degrees in parts
    ]


def _cuts(layer: Layer, lengths: Sequence[GradedLength]) -> list[float]:
    """Return the ends of the parts, no two of them nearer than the least part."""
    ends = [layer.top_m]
    for depth in sorted({end for length in lengths for end in (length.top_m, length.base_m)}):
        if depth - ends[-1] >= LEAST_PART_M and layer.base_m - depth >= LEAST_PART_M:
            ends.append(depth)
    return [*ends, layer.base_m]


def _over(lengths: Sequence[GradedLength], top: float, base: float) -> tuple[str, str] | None:
    """Return the degrees of a part: all that the grades over it span, where more than a sliver of it lies in them."""
    least = min(LEAST_PART_M, base - top) / 2
    degrees = None
    for length in lengths:
        if length.over_m(top, base) > least:
            degrees = length.degrees if degrees is None else hull(degrees, length.degrees)
    return degrees


def doubt_grades(lengths: Sequence[GradedLength], layers: Sequence[Layer]) -> None:
    """Count the rows of which nothing came to be, and doubt those that grade one depth in two ways."""
    for length in lengths:
        if not any(layer.weathering is not None and length.over_m(layer.top_m, layer.base_m) > _SAME_M for layer in layers):
            length.row.pass_over("the ground that it grades is no rock by its words")
    for upper, lower in pairwise(lengths):
        if upper.over_m(lower.top_m, lower.base_m) > _SAME_M and upper.degrees != lower.degrees:
            message = f"two grades of weathering overlap: {written(upper.degrees)} and {written(lower.degrees)}"
            lower.row.doubt(message, "both stay possible", depth_m=lower.top_m)
