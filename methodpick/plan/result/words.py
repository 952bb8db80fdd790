"""The words of a plan: supports, methods, states, verdicts."""

from __future__ import annotations

from typing import Literal

Support = Literal["dry", "slurry", "temporary_casing", "permanent_casing", "undecided"]
Method = Literal["dry", "slurry", "temporary_casing", "permanent_casing", "combination", "undecided"]
Confidence = Literal["firm", "conditional", "undecided"]
STATES = ("dry", "water", "polymer", "mineral", "cased_dry", "cased_balanced", "cased_plug")
VERDICTS = ("allowed", "discouraged", "doubtful", "unknown", "unlikely", "ruled_out")
FORMAT = "methodpick-plan/2"
