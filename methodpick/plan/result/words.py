"""The words of a plan: supports, methods, firmness."""

from __future__ import annotations

from typing import Literal

from methodpick.terms import Method

Support = Literal[Method, "undecided"]
"""What holds a length when the tip is reached."""
ShaftMethod = Literal[Method, "combination", "undecided"]
"""The method of a whole shaft: its one support, or a combination."""
Firmness = Literal["firm", "conditional", "undecided"]
"""How far the plan of a length rests on doubt and assumption."""
FORMAT = "methodpick-plan/2"
