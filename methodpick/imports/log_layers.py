"""Layers of a log (GEOL) with their legend codes, their seams (DETL) and the tests that belong to a layer.

The share of fines and the plasticity index of a sample are worked out where a log gives what they are made of: sieves, silt and clay,
limits of water content.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from methodpick.ground.descriptions.main_soil import read_main_soil
from methodpick.ground.descriptions.named_depths import statements_in
from methodpick.ground.descriptions.reader import read_description
from methodpick.ground.descriptions.remark_words import tag_of
from methodpick.ground.descriptions.symbols import read_symbol
from methodpick.ground.layer_parts import ORIGIN_OF_WORD, THICKEST_SEAM_M, parts_at_most, parts_of
from methodpick.ground.profile import MOST_LAYERS, Layer, Origin, Remark, Seam
from methodpick.ground.quantity import Band
from methodpick.imports.log_remarks import WORDED_TESTS, vane_strength_kpa
from methodpick.imports.log_tables import KEPT_AS_IT_STANDS, DataRow, Tables, in_order
from methodpick.records import record
from methodpick.terms import ROCK, SOIL_CLASSES


@record
class _LabTest:
    """A kind of test: layer field, group and heading, unit kept inside, largest sensible value, depth headings."""

    field: str
    group: str
    heading: str
    inside: str
    largest: float
    depths: tuple[str, ...] = ("SPEC_DPTH", "SAMP_TOP")


_TESTS = (
    _LabTest("su_kpa", "IVAN", "IVAN_IVAN", "kPa", 5000.0, ("IVAN_DPTH", "SPEC_DPTH", "SAMP_TOP")),
    _LabTest("su_kpa", "TRIT", "TRIT_CU", "kPa", 5000.0),
    _LabTest("pi_percent", "LLPL", "LLPL_PI", "%", 300.0),
    _LabTest("fines_percent", "GRAG", "GRAG_FINE", "%", 100.0),
    _LabTest("ucs_kpa", "RUCS", "RUCS_UCS", "kPa", 500000.0),
)
LEGEND: dict[str, frozenset[str]] = {
    "1": frozenset(SOIL_CLASSES) - ROCK - {"intermediate", "void"},
    "2": frozenset({"clay"}),
    "3": frozenset({"silt"}),
    "4": frozenset({"silty_sand", "clean_sand"}),
    "5": frozenset({"silty_gravel", "clean_gravel"}),
    "6": frozenset({"organic"}),
    "7": frozenset({"cobbles"}),
    "8": ROCK | {"intermediate"},
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
    tests: dict[str, list[LabResult]] = {kind.field: [] for kind in _TESTS}
    for kind in _TESTS:
        tests[kind.field] += _tests(tables, boring, kind)
    layers = []
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
        bands = {field: band for field, found in tests.items() if found and (band := _band(found, top, base))}
        layer = _layer(row, top, base, codes)
        layers.append(layer.model_copy(update=bands) if bands else layer)
    _doubt_unplaced(tests, layers)
    return layers


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


class LabResult(NamedTuple):
    """A test at a depth, with its row."""

    depth_m: float
    value: float
    row: DataRow


def _tests(tables: Tables, boring: str, kind: _LabTest) -> list[LabResult]:
    """Return depth, value and row of the tests of one kind; a test without depth or sensible value is a doubt."""
    found: list[LabResult] = []
    heading = kind.heading
    for row in tables.of(kind.group, boring):
        if not row.text(heading):
            if row.group == kind.group != "TRIT":  # later stages of a triaxial test give no new strength
                row.set_aside(f"{row.heading(heading)} is blank", severity="note")
            else:
                row.pass_over(f"no {kind.field.rpartition('_')[0].upper().replace('_', ' ')} is given")
            continue
        worded = kind.group == WORDED_TESTS and not row.is_number(heading)
        value = vane_strength_kpa(row) if worded else row.number(heading, kind.inside)
        at = next((depth for name in kind.depths if (depth := row.number(name)) is not None), None)
        if value is not None and at is not None and 0 <= value <= kind.largest:
            found.append(LabResult(at, value, row))
        elif value is not None:
            row.set_aside(f"{row.heading(heading)} has no depth or cannot be", quoted=row.text(heading))
        elif kind.group != WORDED_TESTS:
            row.pass_over(f"{row.heading(heading)} is not a number")
    return found


def _band(found: list[LabResult], top: float, base: float) -> Band | None:
    values = [value for at, value, _ in found if top <= at < base]
    if not values:
        return None
    mean = sum(sorted(values)) / len(values)
    return Band(low=min(values), high=max(values), likely=min(max(round(mean, 6), min(values)), max(values)))


def _doubt_unplaced(tests: dict[str, list[LabResult]], layers: list[Layer]) -> None:
    for found in tests.values():
        for at, value, row in found:
            if not any(layer.top_m <= at < layer.base_m for layer in layers):
                row.set_aside("the test lies in no layer", depth_m=at, quoted=f"{value:g}")


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
    before = len(parts_of(layer)) if parts is None else parts
    if most <= before:
        return layer, before
    told = layer.model_copy(update={"description": description})
    after = len(parts_of(told))
    return (told, after) if after > max(1, before) else (layer, before)


def _is_seam(text: str, thickness_m: float) -> bool:
    becoming = re.match(r"\s*(?:becoming|from|below)\b", text, re.IGNORECASE)
    return 0 < thickness_m <= THICKEST_SEAM_M and becoming is None and bool(read_main_soil(text).soils)


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


FINES_MM = (0.075, 0.063, 0.06)
"""Sieves below which the share is that of fines (ASTM D2487; ISO 14688-1, BS 5930), the coarsest first."""
_SAMPLE = ("SAMP_ID", "SAMP_TOP", "SAMP_REF", "SAMP_TYPE", "SPEC_REF", "SPEC_DPTH")
_NON_PLASTIC = frozenset({"NP", "N.P.", "NON-PLASTIC", "NON PLASTIC"})


def fines_of(rows: list[DataRow], size: str, passing: str) -> list[DataRow]:
    """Return the rows of a grading that give the share of fines, one a sample; the other sieves are counted as not used."""
    found: dict[tuple[str, ...], tuple[int, DataRow]] = {}
    for row in rows:
        mesh_mm = row.number(size, "mm")
        sieve = next((index for index, mesh in enumerate(FINES_MM) if mesh_mm is not None and abs(mesh_mm - mesh) < 0.0005), None)
        if sieve is None or not row.text(passing):
            row.pass_over("a sieve that is not that of fines" if row.text(passing) else "no share is given")
            continue
        sample = sample_of(row)
        if sample not in found or sieve < found[sample][0]:
            if sample in found:
                found[sample][1].pass_over("another sieve gives the fines of the sample")
            found[sample] = (sieve, row)
        else:
            row.pass_over("another sieve gives the fines of the sample")
    return [row for _, row in found.values()]


def sample_of(row: DataRow) -> tuple[str, ...]:
    """Return what names the sample of a row."""
    return (row.text("LOCA_ID") or row.text("HOLE_ID"), *(row.text(heading) for heading in _SAMPLE))


def complete_gradings(tables: Tables) -> None:
    """Fill the share of fines of gradings that lack it: silt and clay together, else what passed the sieve of fines."""
    passed = {sample_of(row): row for row in fines_of(list(tables.of("GRAT")), "GRAT_SIZE", "GRAT_PERP")}
    for row in tables.of("GRAG"):
        sieve = passed.pop(sample_of(row), None)
        silt, clay = (row.text("GRAG_SILT"), row.text("GRAG_CLAY"))
        if row.text("GRAG_FINE"):
            if sieve is not None:
                sieve.pass_over("the fines of the sample are stated")
        elif sieve is not None:
            row.values["GRAG_FINE"] = sieve.text("GRAT_PERP")
        elif silt and clay and (total := _sum(row)) is not None:
            row.values["GRAG_FINE"] = f"{total:g}"
    for row in passed.values():
        row.pass_over("the sieve belongs to no grading")


def _sum(row: DataRow) -> float | None:
    silt, clay = row.number("GRAG_SILT", "%"), row.number("GRAG_CLAY", "%")
    return None if silt is None or clay is None else silt + clay


def complete_plasticity(row: DataRow) -> None:
    """Fill the plasticity index where a log leaves it to the reader: liquid less plastic limit, zero where the soil is not plastic."""
    if row.text("LLPL_PI").upper() in _NON_PLASTIC or (not row.text("LLPL_PI") and row.text("LLPL_PL").upper() in _NON_PLASTIC):
        row.values["LLPL_PI"] = "0"
    if row.text("LLPL_PI") or not (row.is_number("LLPL_LL") and row.is_number("LLPL_PL")):
        return
    liquid, plastic = row.number("LLPL_LL", "%"), row.number("LLPL_PL", "%")
    if liquid is not None and plastic is not None and liquid >= plastic:
        row.values["LLPL_PI"] = f"{liquid - plastic:g}"
