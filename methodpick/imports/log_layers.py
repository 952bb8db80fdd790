"""Layers of a log (GEOL) with their legend codes, their weathering (WETH) and seams (DETL), and the tests that belong to a layer."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from functools import reduce
from itertools import pairwise

from methodpick.ground.descriptions.main_soil import read_main_soil
from methodpick.ground.descriptions.named_depths import statements_in
from methodpick.ground.descriptions.part_words import words_by_depth
from methodpick.ground.descriptions.reader import read_description
from methodpick.ground.descriptions.remark_words import tag_of
from methodpick.ground.descriptions.symbols_and_names import read_symbol
from methodpick.ground.descriptions.weathering import chalk_grade_of, chalk_hull, degrees_of, hull, written
from methodpick.ground.layer_parts import LEAST_PART_M, ORIGIN_OF_WORD, THICKEST_SEAM_M, count_of_parts, parts_at_most
from methodpick.ground.profile import MOST_LAYERS, Layer, Origin, Remark, Seam
from methodpick.imports.log_tables import KEPT_AS_IT_STANDS, DataRow, Tables, in_order
from methodpick.imports.log_tests import LabResults, bands_between, cobbles_between, doubt_unplaced, lab_tests
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.terms import ROCK_LIKE, SOIL_CLASSES

# ---- weathering of rock by depth: layers are parted where the grade changes


_GRADED = ("WETH_WETH", "WETH_GRAD")
_SCHEMES = ("WETH_SCH", "WETH_SYS")
_SAME_M = 0.001


@record
class GradedLength:
    """A length of a boring whose weathering the log grades: least and most degree, the grade that it is of chalk, the row that says it."""

    top_m: float
    base_m: float
    degrees: tuple[str, str] | None
    chalk: str
    row: DataRow

    def over_m(self, top_m: float, base_m: float) -> float:
        """Return how much of it lies between two depths."""
        return min(self.base_m, base_m) - max(self.top_m, top_m)


def graded_lengths(tables: Tables, boring: str) -> list[GradedLength]:
    """Return the lengths of a boring with a grade, from the top down; rows without depth or a known grade are doubts."""
    rows = [(top, row) for row in tables.of("WETH", boring) if (top := _graded_top(row)) is not None]
    rows.sort(key=lambda pair: (pair[0], pair[1].order_beside("WETH_TOP", "WETH_BASE")))
    found = []
    for index, (top, row) in enumerate(rows):
        base = row.number("WETH_BASE")
        if base is None:
            base = next((other for other, _ in rows[index + 1 :] if other > top), float("inf"))
        degrees, chalk = _degrees(tables, row)
        if base <= top:
            row.set_aside("the base of the graded length is not below its top", depth_m=top)
        elif degrees is None and not chalk:
            row.set_aside("no grade of weathering is understood", depth_m=top, quoted=_text(row) or row.text("WETH_REM"))
        else:
            found.append(GradedLength(top, base, degrees, chalk, row))
    return found


def _graded_top(row: DataRow) -> float | None:
    top = row.number("WETH_TOP")
    if top is None or top < 0:
        row.set_aside("the grade of weathering has no depth", quoted=_text(row))
        return None
    return top


def _text(row: DataRow) -> str:
    return next((text for heading in _GRADED if (text := row.text(heading))), "")


def _degrees(tables: Tables, row: DataRow) -> tuple[tuple[str, str] | None, str]:
    """Return the degrees of a row, and its grade of chalk: as the file's own table explains its code, else as the code says."""
    text, scheme = _text(row), " ".join(row.text(heading) for heading in _SCHEMES)
    explained = next((meaning for heading in _GRADED if (meaning := tables.codes(heading).get(text))), "")
    return degrees_of(explained, scheme) or degrees_of(text, scheme), chalk_grade_of(explained) or chalk_grade_of(text)


def with_grades(layer: Layer, lengths: Sequence[GradedLength], room: int) -> list[Layer]:
    """Return the parts of a layer of rock by the grades over it, at most ``room``; a layer of soil as it is.

    A layer whose own words name depths is not parted twice: it has all the grades over it as one range.
    """
    here = [length for length in lengths if length.over_m(layer.top_m, layer.base_m) > _SAME_M]
    if not here or not layer.main_soil.soils & ROCK_LIKE:
        return [layer]
    of_chalk = layer.described.rock_type == "chalk"
    here = [length for length in here if length.degrees is not None or of_chalk]
    cuts = _cuts(layer, here)
    if len(cuts) - 1 > room or words_by_depth(layer.description).said:
        cuts = [layer.top_m, layer.base_m]
    parts: list[tuple[float, float, str | None]] = []
    for top, base in pairwise(cuts):
        grade = _over(here, top, base, of_chalk=of_chalk)
        if parts and parts[-1][2] == grade:
            parts[-1] = (parts[-1][0], base, grade)
        else:
            parts.append((top, base, grade))
    return [layer.model_copy(update={"top_m": top, "base_m": base, "weathering": grade}) for top, base, grade in parts]


def _cuts(layer: Layer, lengths: Sequence[GradedLength]) -> list[float]:
    """Return the ends of the parts, no two of them nearer than the least part."""
    ends = [layer.top_m]
    for depth in sorted({end for length in lengths for end in (length.top_m, length.base_m)}):
        if depth - ends[-1] >= LEAST_PART_M and layer.base_m - depth >= LEAST_PART_M:
            ends.append(depth)
    return [*ends, layer.base_m]


def _over(lengths: Sequence[GradedLength], top: float, base: float, *, of_chalk: bool) -> str | None:
    """Return the degrees of a part, of chalk its grade: all that the grades over it span, where more than a sliver of it lies in them."""
    least = min(LEAST_PART_M, base - top) / 2
    over = [length for length in lengths if length.over_m(top, base) > least]
    if of_chalk and (grades := [length.chalk for length in over if length.chalk]):
        return chalk_hull(grades)
    degrees = [length.degrees for length in over if length.degrees is not None]
    return written(reduce(hull, degrees)) if degrees else None


def doubt_grades(lengths: Sequence[GradedLength], layers: Sequence[Layer]) -> None:
    """Count the rows of which nothing came to be, and doubt those that grade one depth in two ways."""
    for length in lengths:
        if not any(layer.weathering is not None and length.over_m(layer.top_m, layer.base_m) > _SAME_M for layer in layers):
            kind = "rock" if length.degrees is not None else "chalk"
            length.row.pass_over(f"the ground that it grades is no {kind} by its words")
    for upper, lower in pairwise(lengths):
        if upper.over_m(lower.top_m, lower.base_m) > _SAME_M and (upper.degrees, upper.chalk) != (lower.degrees, lower.chalk):
            message = f"two grades of weathering overlap: {_told(upper)} and {_told(lower)}"
            lower.row.doubt(message, "both stay possible", depth_m=lower.top_m)


def _told(length: GradedLength) -> str:
    return length.chalk if length.degrees is None else written(length.degrees)


# ---- the layers


LEGEND: dict[str, frozenset[str]] = {
    "1": frozenset(SOIL_CLASSES) - ROCK_LIKE - {"void"},
    "2": frozenset({"clay"}),
    "3": frozenset({"silt"}),
    "4": frozenset({"silty_sand", "clean_sand"}),
    "5": frozenset({"silty_gravel", "clean_gravel"}),
    "6": frozenset({"organic"}),
    "7": frozenset({"cobbles"}),
    "8": ROCK_LIKE,
}
"""Soil classes by the first digit of a legend code; 1 is made ground and topsoil, 9 (broken, void, none) says nothing."""

_LEGEND_SYMBOL = {"2": "CL-CH", "3": "ML", "4": "SM-SP", "5": "GM-GP", "6": "peat", "7": "cobbles", "8": "rock"}


def read_layers(tables: Tables, boring: str, depth_m: float | None) -> list[Layer]:
    """Return the layers of a boring from the top down; gaps and overlaps stay, for the check of the ground to say."""
    logged = [(top, row.number("GEOL_BASE"), row) for row in tables.of("GEOL", boring) if (top := _top(row)) is not None]
    rows = in_order(logged, lambda found: (found[0], found[1] or 0.0), lambda found: found[2].order_beside("GEOL_TOP", "GEOL_BASE"))
    for top, _, row in rows[MOST_LAYERS:]:
        row.set_aside(f"only the first {MOST_LAYERS} layers of a boring are read", depth_m=top, severity="serious")
    rows = rows[:MOST_LAYERS]
    codes = tables.codes("GEOL_LEG")
    tests, grades = lab_tests(tables, boring), graded_lengths(tables, boring)
    tested = any(tests.values())
    layers: list[Layer] = []
    for index, (top, stated, row) in enumerate(rows):
        base = stated
        if base is None:
            base = next((other for other, *_ in rows[index + 1 :] if other > top), depth_m)
            row.doubt("the layer has no base", "the next top or the end of the boring is taken", depth_m=top)
        if base is None or base <= top:
            row.set_aside(
                "the base of the layer is not below its top",
                "the layer is left out",
                depth_m=top,
                quoted=row.text("GEOL_DESC"),
                severity="serious",
            )
            continue
        parts = with_grades(_layer(row, top, base, codes), grades, MOST_LAYERS - len(layers) - len(rows) + index + 1)
        layers += [_tested(part, tests) for part in parts] if tested else parts
    doubt_unplaced(tests, layers)
    doubt_grades(grades, layers)
    return layers


def _tested(layer: Layer, tests: LabResults) -> Layer:
    """Return a layer with what tests between its ends tell."""
    bands = bands_between(tests, layer.top_m, layer.base_m)
    if cobbles_between(tests, layer.top_m, layer.base_m) and "cobbles" not in layer.described.features:
        bands = {**bands, "features": ("cobbles",)}
    return layer.model_copy(update=bands) if bands else layer


def _top(row: DataRow) -> float | None:
    top = row.number("GEOL_TOP")
    if top is None or top < 0:
        row.set_aside("the layer has no top", "the layer is left out", quoted=row.text("GEOL_DESC"), severity="serious")
        return None
    return top


def _layer(row: DataRow, top: float, base: float, codes: Mapping[str, str]) -> Layer:
    """Read the description, and the legend code where the description names no soil or made ground."""
    code = row.text("GEOL_LEG")
    description = " ".join(row.text("GEOL_DESC").split())
    if not description and codes.get(code):
        description = codes[code]
        row.doubt("the layer has no description", f"the legend says '{description}'", depth_m=top, severity="note")
    words = read_main_soil(description)
    by_code = coded_soils(code, codes)
    symbol = _logged_symbol(row) or (None if words.soils else symbol_of(by_code))
    if words.soils and by_code and not words.soils & by_code:
        row.doubt(
            f"legend code {code} ({codes.get(code, 'no text')}) and the description disagree",
            "the description is followed",
            depth_m=top,
            quoted=read_description(description).evidence.strip("'"),
        )
    elif words.doubt:
        row.doubt(words.doubt, f"legend code {code} is followed" if symbol else KEPT_AS_IT_STANDS, depth_m=top, quoted=description)
    return Layer(top_m=top, base_m=base, description=description, symbol=symbol, origin=_origin(row, words.origin, codes))


def _origin(row: DataRow, by_words: str, codes: Mapping[str, str]) -> Origin:
    """Return the origin where formation or legend say it and the description does not."""
    code = row.text("GEOL_LEG")
    explained = read_main_soil(codes[code]).origin if code in codes else "unknown"
    made = explained == "fill" or (code not in codes and code[:1] == "1" and len(code) >= 3)
    if made and by_words not in ("fill", "unknown"):
        row.doubt(f"the legend says made ground, the description {by_words}", "the description is followed", quoted=row.text("GEOL_DESC"))
    if by_words != "unknown":
        return "unknown"
    formation = " ".join(row.text(heading) for heading in ("GEOL_FORM", "GEOL_GEOL", "GEOL_BGS")).strip()
    named = "fill" if made else read_main_soil(formation).origin if formation else "unknown"
    if named == "unknown":
        named = explained
    return ORIGIN_OF_WORD.get(named, "unknown")


def read_details(tables: Tables, boring: str, layers: list[Layer]) -> tuple[list[Layer], list[Remark]]:
    """Return the layers with thin beds of DETL as their seams; everything else of DETL is a remark at its depth."""
    remarks: list[Remark] = []
    seams: dict[int, list[tuple[float, Seam]]] = {}
    parts: dict[int, int | None] = {}
    placed = [(row.number("DETL_TOP"), row.number("DETL_BASE"), row) for row in tables.of("DETL", boring)]
    for top, base, row in in_order(placed, _depths, lambda each: each[2].order_beside("DETL_TOP", "DETL_BASE")):
        text = row.text("DETL_DESC")
        home = next((index for index, layer in enumerate(layers) if top is not None and layer.top_m <= top < layer.base_m), None)
        if top is not None and base is not None and home is not None and _is_seam(text, base - top):
            wet = True if re.search(r"\b(?:wet|water|saturated)\b", text, re.IGNORECASE) else None
            seam = Seam(material=f"{text} at {top:.2f} m", thickness_m=round(base - top, 4), wet=wet)
            seams.setdefault(home, []).append((top, seam))
        elif text or row.text("DETL_REM"):
            remark = "; ".join(part for part in (text, row.text("DETL_REM")) if part)
            if home is not None and text:
                told, parts[home] = _with_detail(layers[home], parts.get(home), text, (top, base))
                layers = [*layers[:home], told, *layers[home + 1 :]]
            remarks.append(Remark(depth_m=top, text=remark, tag=tag_of(remark)))
        else:
            row.set_aside("the detail has no text", depth_m=top, severity="note")
    with_seams = [
        layer.model_copy(update={"seams": tuple(_ordered(seams[index]))}) if index in seams else layer for index, layer in enumerate(layers)
    ]
    return with_seams, remarks


def _depths(placed: tuple[float | None, float | None, DataRow]) -> tuple[float, float]:
    top, base, _ = placed
    return (-1.0 if top is None else top, -1.0 if base is None else base)


_TO_THE_BASE = re.compile(r"(?:becoming|becomes)\b", re.IGNORECASE)
_SAY_NOTHING = frozenset({"NI", "AZCL", "NR", "CL"})
"""Codes of cores: not intact, assessed zone of core loss, no recovery; they stay remarks."""
_BEFORE_WORDS = re.compile(r"^[^A-Za-z0-9]+")


def _with_detail(layer: Layer, parts: int | None, text: str, ends: tuple[float | None, float | None]) -> tuple[Layer, int | None]:
    """Return a layer with a detail as a sentence of its words, where that parts it: "Below 3.80m, stiff"; else as it is.

    ``parts`` and the number beside it say in how many parts the words of the layer part it, None where nobody has counted.
    """
    (top, base), text = ends, _BEFORE_WORDS.sub("", text)
    if text.strip(" .").upper() in _SAY_NOTHING:
        return layer, parts
    if not statements_in(text):
        if _TO_THE_BASE.match(text):
            text = f"Below {top:.2f} m: {text}"
        elif top is not None and base is not None and base > top:
            text = f"Between {top:.2f} and {base:.2f} m: {text}"
        else:
            return layer, parts
    description = f"{layer.description.rstrip(' .')}. {text}"
    most = parts_at_most(description, layer.top_m, layer.base_m)
    if most <= 1:
        return layer, parts
    before = count_of_parts(layer) if parts is None else parts
    if most <= before:
        return layer, before
    told = layer.model_copy(update={"description": description})
    after = count_of_parts(told)
    return (told, after) if after > max(1, before) else (layer, before)


def _is_seam(text: str, thickness_m: float) -> bool:
    becoming = re.match(r"\s*(?:becoming|from|below)\b", text, re.IGNORECASE)
    return 0 < thickness_m <= THICKEST_SEAM_M and becoming is None and not _is_joint(text) and bool(read_main_soil(text).soils)


_JOINT = pattern_of(r"\b(?:fractures?|joints?|fissures?|discontinuit(?:y|ies))\b", re.IGNORECASE)


def _is_joint(text: str) -> bool:
    """Return whether a text is about a joint before it names any soil: what fills a joint is no bed.

    >>> _is_joint("---at 18.40m to 18.55m ~ 90 deg fracture with thin clay infill"), _is_joint("soft clay, jointed; joints smooth")
    (True, False)
    """
    found = _JOINT.search(text)
    return found is not None and not read_main_soil(text[: found.start()]).soils


def _ordered(seams: Iterable[tuple[float, Seam]]) -> list[Seam]:
    return [seam for _, seam in sorted(seams, key=lambda pair: (pair[0], pair[1].material))]


def coded_soils(code: str, codes: Mapping[str, str]) -> frozenset[str]:
    """Return the classes of a legend code: as the file's own table of codes explains it, else by its first digit.

    >>> sorted(coded_soils("666", {"666": "NO RECOVERY"})), sorted(coded_soils("601", {}))
    ([], ['organic'])
    """
    text = codes.get(code.strip(), "").strip()
    if not text:
        return legend_soils(code)
    explained = read_main_soil(text)
    if explained.soils or explained.origin != "fill":
        rock = LEGEND["8"] if explained.soils & LEGEND["8"] else frozenset()
        return explained.soils | rock | {_WITH_FINES[soil] for soil in explained.soils if soil in _WITH_FINES}
    return LEGEND["1"]


_WITH_FINES = {"clean_sand": "silty_sand", "clean_gravel": "silty_gravel"}
"""A legend says nothing of the fines: "SAND and GRAVEL" is clayey sand and gravel too. Nor does it say how weathered a rock is."""


def _logged_symbol(row: DataRow) -> str | None:
    """Return the group symbol of the layer, where the log gives one that is known."""
    logged = row.text("GEOL_USCS")
    return logged if logged and read_symbol(logged) is not None else None


def symbol_of(soils: frozenset[str]) -> str | None:
    """Return the symbol that stands for the classes of a legend code; None where there is none.

    >>> symbol_of(frozenset({"clay"})), symbol_of(frozenset({"void"})), symbol_of(LEGEND["1"])
    ('CL-CH', 'void', None)
    """
    if soils == {"void"}:
        return "void"
    found = [digit for digit in _LEGEND_SYMBOL if soils and soils <= LEGEND[digit]]
    return _LEGEND_SYMBOL[found[0]] if found else None


def legend_soils(code: str) -> frozenset[str]:
    """Return the classes of a legend code by its first digit; empty where the code says nothing.

    >>> sorted(legend_soils("403"))
    ['clean_sand', 'silty_sand']
    """
    code = code.strip()
    return LEGEND.get(code[:1], frozenset()) if code[:3].isdigit() and len(code) >= 3 else frozenset()
