"""The words of a plan: supports, methods, states, verdicts."""

from __future__ import annotations

from typing import Literal

Support = Literal["dry", "slurry", "temporary_casing", "permanent_casing", "undecided"]
Method = Literal["dry", "slurry", "temporary_casing", "permanent_casing", "combination", "undecided"]
Confidence = Literal["firm", "conditional", "undecided"]
STATES = ("dry", "water", "polymer", "mineral", "cased_dry", "cased_balanced", "cased_plug")
VERDICTS = ("allowed", "discouraged", "doubtful", "unknown", "unlikely", "ruled_out")
FORMAT = "methodpick-plan/2"
SUPPORT_SAID = {
    "dry": "dry",
    "slurry": "slurry",
    "temporary_casing": "temporary casing",
    "permanent_casing": "permanent casing",
    "undecided": "undecided",
    "combination": "combination",
}
"""How a support or a method is said on a page."""
STATE_SAID = {
    "dry": "dry",
    "water": "under water",
    "polymer": "under polymer",
    "mineral": "under mineral slurry",
    "cased_dry": "cased, emptied",
    "cased_balanced": "cased, kept full",
    "cased_plug": "casing ahead of the dig",
}
"""How a state of the hole is said on a page."""
