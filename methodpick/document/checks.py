"""The checks of a plan: what they need and have, and what the plan hangs on by the smallest margins."""

from __future__ import annotations

from methodpick.document.model import Items, Paragraph, Section, TextTable, section
from methodpick.plan.result import CHECK_RESULTS, CautiousPlan, Check, Rung, ShaftPlan
from methodpick.unit_markup import number

CHECK_HEADS = ("stage", "check", "needs", "has", "margin", "result")
RESULT_WORDS = {
    "holds": "holds",
    "little_margin": "little margin",
    "open_range": "open at worst",
    "open_likely": "likely short",
    "unknown": "not known",
    "fails": "fails",
}
SHOWN_MARGINS = 3
SIZED = ("fluid-specified", "casing-wall-handling", "casing-wall-driving", "casing-wall-twisting", "casing-wall-oscillating", "clearance")
"""Checks of what the plan sizes itself, up to the next size of the trade: their margin says nothing about the ground."""
FINE_UNITS = {"casing-wall": "wall", "clearance": "size", "inflow-pumps": "pumped"}
"""Checks whose metres are written as a drawing has them, and whose flow as a pump has it."""


TRIALS_ENDED = "The trials ended before a sequence was found to which no check objects: have this plan reviewed first."


def not_proven(way: ShaftPlan | CautiousPlan | Rung) -> str:
    """Return why a way is not proven: the checks that fail with what to do, or that the trials ended; nothing where it is proven."""
    if way.proven:
        return ""
    failing = dict.fromkeys(f"{check.what} {check.remedy}".strip() for check in way.checks if check.bars)
    return f"Not proven; settle this before it is built: {' '.join(failing)}" if failing else TRIALS_ENDED


def check_rows(shaft: ShaftPlan) -> list[tuple[str, ...]]:
    """Return each check where its margin is least, for :data:`CHECK_HEADS`: at the likely values, else at the adverse end."""
    return [
        (
            "-" if check.stage is None else str(check.stage),
            check.id.replace("-", " "),
            *(number(_end(check, quantity), _unit(check)) for quantity in ("needed", "has", "margin")),
            RESULT_WORDS[check.result],
        )
        for check in _governing(shaft)
    ]


def checks(shaft: ShaftPlan) -> Section:
    """Return the checks of the plan; those that do not hold over their whole range come first, with what to do."""
    doubtful = sorted((check for check in shaft.checks if check.result not in {"holds", "little_margin"}), key=_gravity)
    entries = tuple(dict.fromkeys(f"{check.what} {check.remedy}".strip() for check in doubtful))
    where = "Each check where it has the least margin; those of every stage, with their inputs and sources, stand in the plan file."
    rows = check_rows(shaft)
    return section(
        "Checks",
        Paragraph(not_proven(shaft), "danger"),
        Items(entries),
        Paragraph(where if rows else ""),
        TextTable(CHECK_HEADS, tuple(rows), (2, 3, 4)),
    )


def smallest_margins(shaft: ShaftPlan) -> tuple[str, ...]:
    """Return what the plan hangs on: the checks with the least margin over what they need, the worst result first."""
    measured = [check for check in shaft.checks if _share(check) is not None and check.rule != check.id and not check.id.startswith(SIZED)]
    measured.sort(key=_order)
    return tuple(dict.fromkeys(check.what for check in measured))[:SHOWN_MARGINS]


def _governing(shaft: ShaftPlan) -> list[Check]:
    least: dict[str, Check] = {}
    for check in shaft.checks:
        if check.id not in least or _order(check) < _order(least[check.id]):
            least[check.id] = check
    return list(least.values())


def _order(check: Check) -> tuple[int, float]:
    share = _share(check)
    return (_gravity(check), float("inf") if share is None else share)


def _gravity(check: Check) -> int:
    return -CHECK_RESULTS.index(check.result)


def _share(check: Check) -> float | None:
    """Return the margin over what is needed, at the likely values."""
    margin, needed = _end(check, "margin"), _end(check, "needed")
    return None if margin is None or not needed else margin / abs(needed)


def _unit(check: Check) -> str:
    fine = next((unit for start, unit in FINE_UNITS.items() if check.id.startswith(start)), check.unit)
    return fine if check.unit in {"m", "m3/h"} else check.unit


def _end(check: Check, quantity: str) -> float | None:
    ends = {"needed": check.needed, "has": check.has, "margin": check.margin}[quantity]
    return ends.adverse if ends.likely is None else ends.likely
