"""Tests in the laboratory and in the hole that tell a layer's strength, fines, plasticity, grain size or permeability.

What a log leaves to its reader is worked out: fines and the finest tenth of sieves, the index of the limits of water content, the
undrained strength of the stress at failure, the strength of rock of its point load. A result keeps the range that its kind of test leaves
open.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from math import floor
from typing import Any, NamedTuple

from methodpick.ground.profile import MOST_READINGS, ConeReading, Layer
from methodpick.ground.quantity import CONE, PORE, Band
from methodpick.imports.log_remarks import WORDED_TESTS, vane_strength_kpa
from methodpick.imports.log_tables import VALUE_LEFT_OUT, DataRow, Tables
from methodpick.records import record


@record
class _LabTest:
    """A kind of test: layer field, group and heading, unit kept inside, largest sensible value, depth headings.

    ``times`` are the factors by which a result gives the low, likely and high value of the field. ``beside`` says that the heading
    stands beside another result of its row, so that a blank tells nothing. What is only ``derived`` counts where nothing else is tested.
    """

    field: str
    group: str
    heading: str
    inside: str
    largest: float
    depths: tuple[str, ...] = ("SPEC_DPTH", "SAMP_TOP")
    times: tuple[float, float, float] = (1.0, 1.0, 1.0)
    beside: bool = False
    derived: bool = False


POINT_LOAD_TIMES = (15.0, 22.0, 30.0)
"""Unconfined strength over the point load index Is50: 20 to 25 on average (ISRM suggested method, 1985; 24 Broch and Franklin 1972; both
from memory), which single rocks leave by far; the range is an own value."""
SCATTER_OF_PERMEABILITY = 3.0
"""By how much tests of permeability in boreholes miss either way (own value)."""
WASHED_TIMES = 0.5
"""The finest tenth of the ground over that of a sample, at least: what is bailed from below the water has lost fines (own value)."""
COBBLES_MM, COBBLES_PERCENT = 60.0, 5.0
"""Grains of this size and more are cobbles (63 mm in ISO 14688-1, 60 mm in BS 5930 before it); a share below this may be a single stone
of a small sample (own value)."""
_COBBLES = "cobbles_percent"
_ENDS_ALONE = frozenset({"d10_mm"})
"""What tests only bound: which of the values between is likely, the kind of soil says."""
_TESTS = (
    _LabTest("su_kpa", "IVAN", "IVAN_IVAN", "kPa", 5000.0, ("IVAN_DPTH", "SPEC_DPTH", "SAMP_TOP")),
    _LabTest("su_kpa", "TRIT", "TRIT_CU", "kPa", 5000.0),
    _LabTest("pi_percent", "LLPL", "LLPL_PI", "%", 300.0),
    _LabTest("fines_percent", "GRAG", "GRAG_FINE", "%", 100.0),
    _LabTest("d10_mm", "GRAG", "GRAG_D10", "mm", 200.0, times=(WASHED_TIMES, 1.0, 1.0), beside=True),
    _LabTest(_COBBLES, "GRAG", "GRAG_COBB", "%", 100.0, beside=True),
    _LabTest("ucs_kpa", "RUCS", "RUCS_UCS", "kPa", 500000.0),
    _LabTest("ucs_kpa", "RPLT", "RPLT_PLSI", "kPa", 25000.0, times=POINT_LOAD_TIMES, derived=True),
    _LabTest(
        "permeability_m_s",
        "IPRG",
        "IPRG_IPRM",
        "m/s",
        1.0,
        ("IPRG_MIDDLE",),
        times=(1 / SCATTER_OF_PERMEABILITY, 1.0, SCATTER_OF_PERMEABILITY),
    ),
)
TEST_GROUPS = frozenset(kind.group for kind in _TESTS) | {"GRAT", "TRIG"}


class LabResult(NamedTuple):
    """A test at a depth: its value with the range that it leaves open, its row, whether it says so only by way of another quantity."""

    depth_m: float
    low: float
    value: float
    high: float
    row: DataRow
    derived: bool


LabResults = Mapping[str, list[LabResult]]


def lab_tests(tables: Tables, boring: str) -> LabResults:
    """Return the results of a boring by the field of a layer that they tell."""
    found: dict[str, list[LabResult]] = {kind.field: [] for kind in _TESTS}
    for kind in _TESTS:
        found[kind.field] += _tests(tables, boring, kind)
    return found


def _tests(tables: Tables, boring: str, kind: _LabTest) -> list[LabResult]:
    """Return the tests of one kind; a test without depth or sensible value is a doubt."""
    found: list[LabResult] = []
    heading = kind.heading
    for row in tables.of(kind.group, boring):
        if not row.text(heading):
            if not kind.beside:
                _tell_blank(row, kind)
            continue
        worded = kind.group == WORDED_TESTS and not row.is_number(heading)
        value = vane_strength_kpa(row) if worded else row.number(heading, kind.inside)
        at = next((depth for name in kind.depths if (depth := row.number(name)) is not None), None)
        least = 0.0 if kind.times[0] == 1.0 else 1e-12
        if value is not None and at is not None and least <= value <= kind.largest:
            low, likely, high = (value * factor for factor in kind.times)
            found.append(LabResult(at, low, likely, high, row, kind.derived))
        elif value is not None:
            row.set_aside(f"{row.heading(heading)} has no depth or cannot be", quoted=row.text(heading))
        elif kind.group != WORDED_TESTS:
            row.pass_over(f"{row.heading(heading)} is not a number")
    return found


def _tell_blank(row: DataRow, kind: _LabTest) -> None:
    """Set aside a test without a result; later stages of a triaxial test give no new strength."""
    if row.group == kind.group != "TRIT":
        row.set_aside(f"{row.heading(kind.heading)} is blank", severity="note")
    else:
        row.pass_over(row.text(_WHY) or f"no {kind.field.rpartition('_')[0].upper().replace('_', ' ')} is given")


def bands_between(results: LabResults, top_m: float, base_m: float) -> dict[str, Any]:
    """Return the bands of what tests between two depths tell, by the field of the layer."""
    found = {field: band for field, tests in results.items() if tests and field != _COBBLES and (band := _band(tests, top_m, base_m))}
    return {field: Band(low=band.low, high=band.high) if field in _ENDS_ALONE else band for field, band in found.items()}


def cobbles_between(results: LabResults, top_m: float, base_m: float) -> bool:
    """Return whether a grading between two depths holds more cobbles than a single stone of its sample may be."""
    return any(result.value > COBBLES_PERCENT for result in results[_COBBLES] if top_m <= result.depth_m < base_m)


def _band(found: list[LabResult], top: float, base: float) -> Band | None:
    here = [result for result in found if top <= result.depth_m < base]
    here = [result for result in here if not result.derived] or here
    if not here:
        return None
    low, high = min(result.low for result in here), max(result.high for result in here)
    mean = sum(sorted(result.value for result in here)) / len(here)
    return Band(low=low, high=high, likely=min(max(round(mean, 6) if mean > 1e-3 else mean, low), high))


def doubt_unplaced(results: LabResults, layers: list[Layer]) -> None:
    """Set tests aside that lie in no layer."""
    beside = {kind.field for kind in _TESTS if kind.beside}
    for field, found in results.items():
        for result in found if field not in beside else ():
            if not any(layer.top_m <= result.depth_m < layer.base_m for layer in layers):
                result.row.set_aside("the test lies in no layer", depth_m=result.depth_m, quoted=f"{result.value:g}")


# ---- what a log leaves to its reader


def complete_tests(tables: Tables) -> None:
    """Work out what a log leaves to its reader: fines, the finest tenth, cobbles, plasticity, undrained strength, the place of a test."""
    _complete_gradings(tables)
    _complete_triaxials(tables)
    for row in tables.of("LLPL"):
        _complete_plasticity(row)
    for row in tables.of("IPRG"):
        top, base = row.number("IPRG_TOP"), row.number("IPRG_BASE")
        if top is not None and base is not None and base >= top:
            row.values["IPRG_MIDDLE"] = f"{(top + base) / 2:g}m"


FINES_MM = (0.075, 0.063, 0.06)
"""Sieves below which the share is that of fines (ASTM D2487; ISO 14688-1, BS 5930), the coarsest first."""
_SAMPLE = ("SAMP_ID", "SAMP_TOP", "SAMP_REF", "SAMP_TYPE", "SPEC_REF", "SPEC_DPTH")
_NON_PLASTIC = frozenset({"NP", "N.P.", "NON-PLASTIC", "NON PLASTIC"})


def fines_of(rows: list[DataRow], size: str, passing: str) -> list[DataRow]:
    """Return the rows of a grading that give the share of fines, one a sample; the other sieves are counted as not used."""
    found: dict[tuple[str, ...], tuple[int, DataRow]] = {}
    curves: dict[tuple[str, ...], list[tuple[float, float]]] = {}
    for row in rows:
        mesh_mm, share = row.number(size, "mm"), row.number(passing, "%") if row.text(passing) else None
        if mesh_mm and share is not None:
            curves.setdefault(sample_of(row), []).append((mesh_mm, share))
        sieve = next((index for index, mesh in enumerate(FINES_MM) if mesh_mm is not None and abs(mesh_mm - mesh) < 0.0005), None)
        if sieve is None or not row.text(passing):
            row.pass_over(
                "one sieve of a curve, of which the fines, the finest tenth and the cobbles are kept"
                if row.text(passing)
                else "no share is given"
            )
            continue
        sample = sample_of(row)
        if sample not in found or sieve < found[sample][0]:
            if sample in found:
                found[sample][1].pass_over("another sieve gives the fines of the sample")
            found[sample] = (sieve, row)
        else:
            row.pass_over("another sieve gives the fines of the sample")
    for sample, (_, row) in found.items():
        row.values.update(_of_curve(curves.get(sample, [])))
    return [row for _, row in found.values()]


def _of_curve(points: Iterable[tuple[float, float]]) -> dict[str, str]:
    """Return what a grading curve of sieves in mm and shares in percent says beside the fines: the finest tenth, and the cobbles.

    >>> _of_curve([(0.063, 4), (0.212, 16), (2, 70), (60, 100)])["GRAG_D10"]
    '0.115568mm'
    """
    curve = sorted(points)
    found = {}
    for (fine_mm, less), (coarse_mm, more) in pairwise(curve):
        if less <= _FINEST_PERCENT < more and coarse_mm > fine_mm:
            share = (_FINEST_PERCENT - less) / (more - less)
            found["GRAG_D10"] = f"{math.exp(math.log(fine_mm) + share * math.log(coarse_mm / fine_mm)):.6g}mm"
            break
    retained = [100.0 - share for mesh_mm, share in curve if mesh_mm >= COBBLES_MM]
    return found | ({"GRAG_COBB": f"{max(retained):g}"} if retained else {})


_FINEST_PERCENT = 10.0
_WHY = "WHY_NOT"
"""Heading under which a row says why it gives no strength."""


def _complete_triaxials(tables: Tables) -> None:
    """Fill the undrained strength of unconsolidated undrained tests that lack it: half of the deviator stress at failure.

    This is what it is by definition (ASTM D2850, BS 1377-7, from memory). Consolidated tests give no strength of a hole just drilled.
    """
    kinds = {sample_of(row): row.text("TRIG_TYPE").upper() for row in tables.of("TRIG")}
    given = set()
    for row in tables.of("TRIT"):
        kind = kinds.get(sample_of(row), "")
        if row.text("TRIT_CU") or not row.text("TRIT_DEVF"):
            continue
        if kind.startswith("UU") and (deviator := row.number("TRIT_DEVF", "kPa")) is not None:
            row.values["TRIT_CU"] = f"{deviator / 2:g}kPa"
            given.add(sample_of(row))
        else:
            row.values[_WHY] = "the test is consolidated" if kind else "the kind of test is not said"
    for row in tables.of("TRIG"):
        if sample_of(row) not in given:
            row.pass_over("the kind of test decides nothing more")


def sample_of(row: DataRow) -> tuple[str, ...]:
    """Return what names the sample of a row."""
    return (row.text("LOCA_ID") or row.text("HOLE_ID"), *(row.text(heading) for heading in _SAMPLE))


def _complete_gradings(tables: Tables) -> None:
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
        if sieve is not None:
            row.values.update({heading: sieve.text(heading) for heading in ("GRAG_D10", "GRAG_COBB") if sieve.text(heading)})
    for row in passed.values():
        row.pass_over("the sieve belongs to no grading")


def _sum(row: DataRow) -> float | None:
    silt, clay = row.number("GRAG_SILT", "%"), row.number("GRAG_CLAY", "%")
    return None if silt is None or clay is None else silt + clay


def _complete_plasticity(row: DataRow) -> None:
    """Fill the plasticity index where a log leaves it to the reader: liquid less plastic limit, zero where the soil is not plastic."""
    if row.text("LLPL_PI").upper() in _NON_PLASTIC or (not row.text("LLPL_PI") and row.text("LLPL_PL").upper() in _NON_PLASTIC):
        row.values["LLPL_PI"] = "0"
    if row.text("LLPL_PI") or not (row.is_number("LLPL_LL") and row.is_number("LLPL_PL")):
        return
    liquid, plastic = row.number("LLPL_LL", "%"), row.number("LLPL_PL", "%")
    if liquid is not None and plastic is not None and liquid >= plastic:
        row.values["LLPL_PI"] = f"{liquid - plastic:g}"


# ---- cone tests (SCPG, SCPT): their readings where a layer is described, as means over a tenth of a metre


STEP_M = 0.1
"""Readings are averaged over this length (own value): a tip feels ten of its own diameters of ground or more."""
_NO_LAYER = "no layer is described at its depth"


@record
class _Row:
    depth_m: float
    resistance_kpa: float
    friction_kpa: float | None
    pore_kpa: float | None


def read_cone(tables: Tables, boring: str, layers: Sequence[Layer]) -> tuple[ConeReading, ...]:
    """Return the readings of the cone tests of a boring from the top down; every row is used or set aside with its reason."""
    steps: dict[int, list[_Row]] = {}
    for row in tables.of("SCPT", boring):
        found = _read(row)
        if found is None:
            continue
        if not any(layer.top_m <= found.depth_m < layer.base_m for layer in layers):
            row.pass_over(_NO_LAYER if layers else "no layer is described in the hole")
            continue
        step = floor(found.depth_m / STEP_M + 1e-6)
        if step not in steps and len(steps) >= MOST_READINGS:
            row.set_aside(f"only {MOST_READINGS} readings of a cone are kept", depth_m=found.depth_m, severity="serious")
            continue
        steps.setdefault(step, []).append(found)
    _doubt_alone(tables, boring, layers)
    return tuple(_mean(steps[step]) for step in sorted(steps))


def _doubt_alone(tables: Tables, boring: str, layers: Sequence[Layer]) -> None:
    rows = tables.of("SCPT", boring)
    if rows and not layers:
        first = min(rows, key=lambda row: row.line)
        message = "the hole is a cone sounding, and no layer of it is described"
        first.doubt(message, "nothing is made of it: a cone brings up no ground; plan from a boring", severity="serious")


def _read(row: DataRow) -> _Row | None:
    """Return the numbers of a row, None where it has no depth or no resistance that can be."""
    depth = row.number("SCPT_DPTH")
    corrected = row.number("SCPT_QT", "kPa", "MPa") if row.text("SCPT_QT") else None
    resistance = corrected if corrected is not None else row.number("SCPT_RES", "kPa", "MPa")
    if depth is None or depth < 0:
        row.set_aside("the reading of the cone has no depth", severity="note")
        return None
    if resistance is None:
        row.pass_over("no resistance is given")
        return None
    if not 0 <= resistance <= CONE.most:
        row.pass_over("the resistance is below zero or above 150 MPa")
        return None
    friction, pore = row.number("SCPT_FRES", "kPa"), row.number("SCPT_PWP2", "kPa")
    if friction is not None and not 0 <= friction <= CONE.most / 10:
        friction = None
    if corrected is not None or (pore is not None and not PORE.least <= pore <= PORE.most):
        pore = None
    return _Row(depth, resistance, friction, pore)


def _mean(rows: Sequence[_Row]) -> ConeReading:
    """Return the mean of the rows of a step; the order of rows does not matter."""
    depth, resistance, friction, pore = (
        sorted(value for value in values if value is not None)
        for values in zip(*((row.depth_m, row.resistance_kpa, row.friction_kpa, row.pore_kpa) for row in rows), strict=True)
    )
    return ConeReading(
        depth_m=round(sum(depth) / len(depth), 3),
        resistance_kpa=round(sum(resistance) / len(resistance), 1),
        friction_kpa=round(sum(friction) / len(friction), 2) if friction else None,
        pore_kpa=round(sum(pore) / len(pore), 2) if pore else None,
    )


def area_ratio(tables: Tables, boring: str) -> float | None:
    """Return the net area ratio of the cone; of several the largest, by which the pore pressure adds least."""
    found: dict[float, DataRow] = {}
    for row in tables.of("SCPG", boring):
        ratio = row.number("SCPG_CAR", "1") if row.text("SCPG_CAR") else None
        if ratio is None:
            row.pass_over("it gives no area ratio of the cone")
        elif not 0.3 <= ratio <= 1:
            row.doubt(f"an area ratio of {ratio:g} cannot be", VALUE_LEFT_OUT)
        else:
            found[ratio] = row
    if len(found) > 1:
        found[max(found)].doubt("the cones of the boring have several area ratios", f"{max(found):g} is taken", severity="note")
    return max(found, default=None)
