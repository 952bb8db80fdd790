"""Layers of AGS4 (GEOL) with their seams (DETL) and the tests that belong to a layer."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import get_args

from methodpick.ground.descriptions.reader import read_words
from methodpick.ground.descriptions.remarks import tag_of
from methodpick.ground.descriptions.symbols import legend_soils, legend_symbol
from methodpick.ground.profile import MOST_LAYERS, Layer, Origin, Remark, Seam
from methodpick.ground.quantity import Band
from methodpick.imports.ags4_tables import Row, Tables
from methodpick.imports.input_formats import DoubtBook

THICKEST_SEAM_M = 0.3


@dataclass(frozen=True, slots=True)
class _Test:
    """A kind of test: layer field, AGS4 group and heading, unit kept inside, largest sensible value, depth headings."""

    field: str
    group: str
    heading: str
    inside: str
    largest: float
    depths: tuple[str, ...] = ("SPEC_DPTH", "SAMP_TOP")


_TESTS = (
    _Test("su_kpa", "IVAN", "IVAN_IVAN", "kPa", 5000.0, ("IVAN_DPTH", "SPEC_DPTH", "SAMP_TOP")),
    _Test("pi_percent", "LLPL", "LLPL_PI", "%", 300.0),
    _Test("fines_percent", "GRAG", "GRAG_FINE", "%", 100.0),
    _Test("ucs_kpa", "RUCS", "RUCS_UCS", "kPa", 500000.0),
)


def read_layers(tables: Tables, boring: str, depth_m: float | None) -> list[Layer]:
    """Return the layers of a boring from the top down; gaps and overlaps stay, for the check of the ground to say."""
    book = tables.book
    rows = [(top, row) for row in tables.of("GEOL", boring) if (top := _top(row, book)) is not None]
    bases = {row.line: row.number(book, "GEOL_BASE") for _, row in rows}
    rows.sort(key=lambda pair: (pair[0], bases[pair[1].line] or 0.0, pair[1].order_beside("GEOL_TOP", "GEOL_BASE")))
    if len(rows) > MOST_LAYERS:
        rows[MOST_LAYERS][1].doubt(book, f"the boring has {len(rows)} layers", f"only the first {MOST_LAYERS} are read", serious=True)
        rows = rows[:MOST_LAYERS]
    codes = {row.text("ABBR_CODE"): row.text("ABBR_DESC") for row in tables.of("ABBR") if row.text("ABBR_HDNG") == "GEOL_LEG"}
    tests = {kind.field: _tests(tables, boring, kind) for kind in _TESTS}
    layers = []
    for index, (top, row) in enumerate(rows):
        base = bases[row.line]
        if base is None:
            base = next((other for other, _ in rows[index + 1 :] if other > top), depth_m)
            row.doubt(book, "the layer has no base", "the next top or the end of the boring is taken", depth_m=top)
        if base is None or base <= top:
            row.doubt(
                book,
                "the base of the layer is not below its top",
                "the layer is left out",
                depth_m=top,
                quoted=row.text("GEOL_DESC"),
                serious=True,
            )
            continue
        bands = {field: band for field, found in tests.items() if (band := _band(found, top, base))}
        layers.append(_layer(row, top, base, codes, book).model_copy(update=bands))
    _complain_unplaced(tests, layers, book)
    return layers


def _top(row: Row, book: DoubtBook) -> float | None:
    top = row.number(book, "GEOL_TOP")
    if top is None or top < 0:
        row.doubt(book, "the layer has no top", "the layer is left out", quoted=row.text("GEOL_DESC"), serious=True)
        return None
    return top


def _layer(row: Row, top: float, base: float, codes: dict[str, str], book: DoubtBook) -> Layer:
    """Read the description, and the legend code where the description names no soil or made ground."""
    code = row.text("GEOL_LEG")
    description = " ".join(row.text("GEOL_DESC").split())
    if not description and codes.get(code):
        description = codes[code]
        row.doubt(book, "the layer has no description", f"the legend says '{description}'", depth_m=top, note=True)
    words = read_words(description)
    by_code = legend_soils(code)
    symbol = None if words.soils else legend_symbol(code)
    if words.soils and by_code and not words.soils & by_code:
        row.doubt(
            book,
            f"legend code {code} ({codes.get(code, 'no text')}) and the description disagree",
            "the description is followed",
            depth_m=top,
            quoted=words.evidence.strip("'"),
        )
    elif words.doubt:
        row.doubt(book, words.doubt, f"legend code {code} is followed" if symbol else "kept as it stands", depth_m=top, quoted=description)
    return Layer(top_m=top, base_m=base, description=description, symbol=symbol, origin=_origin(row, words.origin, book))


def _origin(row: Row, by_words: str, book: DoubtBook) -> Origin:
    """Return the origin where formation or legend say it and the description does not."""
    formation = " ".join(row.text(heading) for heading in ("GEOL_FORM", "GEOL_GEOL", "GEOL_BGS")).strip()
    made = row.text("GEOL_LEG")[:1] == "1" and len(row.text("GEOL_LEG")) >= 3
    if made and by_words not in ("fill", "unknown"):
        row.doubt(
            book, f"the legend says made ground, the description {by_words}", "the description is followed", quoted=row.text("GEOL_DESC")
        )
    if by_words != "unknown":
        return "unknown"
    said = "fill" if made else read_words(formation).origin if formation else "unknown"
    return next((origin for origin in get_args(Origin) if origin == said), "unknown")


Found = list[tuple[float, float, Row]]


def _tests(tables: Tables, boring: str, kind: _Test) -> Found:
    """Return depth, value and row of the tests of one kind; a test without depth or sensible value is a doubt."""
    found: Found = []
    heading = kind.heading
    for row in tables.of(kind.group, boring):
        if not row.text(heading):
            row.doubt(tables.book, f"{heading} is blank", "the test is left out", note=True)
            continue
        value = row.number(tables.book, heading, kind.inside)
        at = next((depth for name in kind.depths if (depth := row.number(tables.book, name)) is not None), None)
        if value is not None and at is not None and 0 <= value <= kind.largest:
            found.append((at, value, row))
        elif value is not None:
            row.doubt(tables.book, f"{heading} has no depth or cannot be", "the test is left out", quoted=row.text(heading))
    return found


def _band(found: Found, top: float, base: float) -> Band | None:
    values = [value for at, value, _ in found if top <= at < base]
    if not values:
        return None
    mean = sum(sorted(values)) / len(values)
    return Band(low=min(values), high=max(values), likely=min(max(round(mean, 6), min(values)), max(values)))


def _complain_unplaced(tests: dict[str, Found], layers: list[Layer], book: DoubtBook) -> None:
    for found in tests.values():
        for at, value, row in found:
            if not any(layer.top_m <= at < layer.base_m for layer in layers):
                row.doubt(book, "the test lies in no layer", "it is left out", depth_m=at, quoted=f"{value:g}")


def read_details(tables: Tables, boring: str, layers: list[Layer]) -> tuple[list[Layer], list[Remark]]:
    """Put thin beds of DETL into their layers as seams; everything else of DETL is a remark at its depth."""
    remarks: list[Remark] = []
    seams: dict[int, list[tuple[float, Seam]]] = {}
    book = tables.book
    for row in tables.of("DETL", boring):
        top, base, text = row.number(book, "DETL_TOP"), row.number(book, "DETL_BASE"), row.text("DETL_DESC")
        home = next((index for index, layer in enumerate(layers) if top is not None and layer.top_m <= top < layer.base_m), None)
        if top is not None and base is not None and home is not None and _is_seam(text, base - top):
            wet = True if re.search(r"\b(?:wet|water|saturated)\b", text, re.IGNORECASE) else None
            seam = Seam(material=f"{text} at {top:.2f} m", thickness_m=round(base - top, 4), wet=wet)
            seams.setdefault(home, []).append((top, seam))
        elif text or row.text("DETL_REM"):
            said = "; ".join(part for part in (text, row.text("DETL_REM")) if part)
            remarks.append(Remark(depth_m=top, text=said, tag=tag_of(said)))
        else:
            row.doubt(book, "the detail has no text", "it is left out", depth_m=top, note=True)
    with_seams = [
        layer.model_copy(update={"seams": tuple(_ordered(seams[index]))}) if index in seams else layer for index, layer in enumerate(layers)
    ]
    return with_seams, remarks


def _is_seam(text: str, thickness_m: float) -> bool:
    becoming = re.match(r"\s*(?:becoming|from|below)\b", text, re.IGNORECASE)
    return 0 < thickness_m <= THICKEST_SEAM_M and becoming is None and bool(read_words(text).soils)


def _ordered(seams: Iterable[tuple[float, Seam]]) -> list[Seam]:
    return [seam for _, seam in sorted(seams, key=lambda pair: (pair[0], pair[1].material))]
