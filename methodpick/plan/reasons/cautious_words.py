"""What the cautious plan hangs on and when it is gone over to, in words: of the rules and the proofs that are open on the plan."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from methodpick.plan.checks.catalogue import BY_ID
from methodpick.plan.reasons.notes import ANY_SIGN, ASKED_FOR, FIRST_SIGN, MOST_REASONS, WALL_MAY_NOT_STAND
from methodpick.plan.result.checks import Check
from methodpick.unit_markup import either_of

GO_OVER = "stop, fill the hole above the outside water level and go over to the cautious plan."
FROM_THE_START = "build the cautious plan from the start."
LET_GO = "ground that is softer or more open than logged"
"""The sign of ground that would take fresh concrete."""
_IF_SETTLED_OTHERWISE = {
    "specification": "If the specification does not allow it, ",
    "data-gap": "If the open question is answered against it, ",
    "cost": "If the price speaks against it, ",
}
_OF_NO_WAY = frozenset({"rig", "shaft"})


def open_proofs(checks: Iterable[Check]) -> list[Check]:
    """Return the proofs of a plan that do not hold over their whole range and speak of its way, not of its rig or the shaft alone."""
    found = (check for check in checks if check.result not in {"holds", "little_margin"})
    return [check for check in found if check.id in BY_ID and not {*BY_ID[check.id].bars} <= _OF_NO_WAY]


def hangs_on(texts: Sequence[str], checks: Iterable[Check]) -> str:
    """Return what the cautious plan hangs on: the open rules in words, else the open proofs, else the time that the wall stands."""
    words = dict.fromkeys((*texts,) or (check.what for check in open_proofs(checks)))
    return " ".join([*words][:MOST_REASONS]) or WALL_MAY_NOT_STAND


def trigger(hazards: Iterable[str], checks: Iterable[Check]) -> str:
    """Return when the cautious plan is gone over to; what is asked before work begins gives no sign on site.

    >>> trigger(["caving"], ())
    'On the first sign of caving, stop, fill the hole above the outside water level and go over to the cautious plan.'
    >>> trigger(["specification"], ())
    'If the specification does not allow it, build the cautious plan from the start.'
    """
    named = dict.fromkeys(hazards)
    signs = [hazard.replace("-", " ") for hazard in named if hazard not in ASKED_FOR]
    if not signs and (asked := next(iter(named), None)) is not None:
        return _IF_SETTLED_OTHERWISE[asked] + FROM_THE_START
    bars = [BY_ID[check.id].bars for check in open_proofs(checks)]
    of_proofs = LET_GO if bars and all(each == ("bare_concrete",) for each in bars) else ANY_SIGN
    return f"{FIRST_SIGN}{either_of(signs) or of_proofs}, {GO_OVER}"
