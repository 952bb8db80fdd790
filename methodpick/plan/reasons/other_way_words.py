"""The words for the other ways of building, which the planner writes and the review of a plan looks for."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.terms import FLUIDS

FAMILY_WORDS: Mapping[str, str] = {
    "dry": "all dry",
    "slurry": "fluid to the tip",
    "casing_then_dry": "partial casing, then dry",
    "casing_then_fluid": "partial casing, then fluid",
    "full_depth_casing": "casing to the tip",
    "permanent_casing": "permanent casing",
}
_FLUIDS = tuple(reversed(FLUIDS))
NEEDED_STATES: Mapping[str, tuple[str, ...]] = {
    "dry": ("dry",),
    "slurry": _FLUIDS,
    "casing_then_dry": ("dry",),
    "casing_then_fluid": _FLUIDS,
    "full_depth_casing": ("cased_plug", "cased_balanced"),
    "permanent_casing": ("leave_in",),
}
"""States of which a family needs one at every depth, or at the tip after a casing."""
MOST_REASONS = 3
"""Reasons that are named for what the cautious plan hangs on."""
NOT_PROVEN = "It is not proven: "
TRIALS_ENDED = "The trials of its search ended before nothing new was held against it."
CASING_FAILS = "Casing gets to the tip, but a proof of it fails:"
RULED_OUT_FROM = "Ruled out from "
TIMES_THE_COST = " times the relative cost of the plan"
AT_ABOUT_THE_SAME_COST = "at about the same relative cost"
WALL_MAY_NOT_STAND = "The wall may not stand for as long as the dry stage needs."
FIRST_SIGN = "On the first sign of "
ANY_SIGN = "loosening or inflow"
TRIAL_SHAFT = "A trial shaft at this place."
CASING_TROUBLE = "the casing stops short, cannot be turned, or soil comes in under its shoe"
TROUBLE_DRY = "the wall ravels, softens or closes, or water comes in faster than the dry limit"
TROUBLE_UNDER_FLUID = "the fluid level cannot be held, or the wall caves under fluid"
BOTH_OPEN = (
    " Fluid and casing cost about the same here: both are open, and obstructions, loss of fluid, open water and the reserve of the proofs "
    "decide between them."
)
"""What is said where a way by the other of fluid and casing costs hardly more than the plan."""
