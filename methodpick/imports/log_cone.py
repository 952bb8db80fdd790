"""Cone tests of a log (SCPG, SCPT): their readings where a layer is described, as means over a tenth of a metre."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor

from methodpick.ground.cone import MOST_READINGS, ConeReading
from methodpick.ground.profile import Layer
from methodpick.imports.log_tables import VALUE_LEFT_OUT, DataRow, Tables
from methodpick.records import record

STEP_M = 0.1
"""Readings are averaged over this length (own value): a tip feels ten of its own diameters of ground or more."""
MOST_RESISTANCE_KPA = 150_000.0
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
    if not 0 <= resistance <= MOST_RESISTANCE_KPA:
        row.pass_over("the resistance is below zero or above 150 MPa")
        return None
    friction, pore = row.number("SCPT_FRES", "kPa"), row.number("SCPT_PWP2", "kPa")
    if friction is not None and not 0 <= friction <= MOST_RESISTANCE_KPA / 10:
        friction = None
    if corrected is not None or (pore is not None and not -200 <= pore <= 20_000):
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
