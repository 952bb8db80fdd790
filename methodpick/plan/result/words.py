"""The words of a plan: supports, methods, firmness, and how they are written on a page."""

from __future__ import annotations

from typing import Literal

Support = Literal["dry", "slurry", "temporary_casing", "permanent_casing", "undecided"]
"""What holds a length when the tip is reached."""
ShaftMethod = Literal["dry", "slurry", "temporary_casing", "permanent_casing", "combination", "undecided"]
"""The method of a whole shaft: its one support, or a combination."""
Firmness = Literal["firm", "conditional", "undecided"]
"""How far the plan of a length rests on doubt and assumption."""
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
