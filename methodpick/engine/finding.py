"""A finding about a rulebook."""

from __future__ import annotations

from dataclasses import dataclass

from methodpick.errors import Place, Problem


@dataclass(frozen=True, slots=True)
class Finding:
    """Something wrong (error) or worth a look (warning) in a rulebook; ``witness`` is a case that was executed."""

    code: str
    severity: str
    place: Place | None
    message: str
    witness: str = ""

    def render(self) -> str:
        """Write the finding with its line and caret."""
        text = Problem(f"{self.severity} {self.code}: {self.message}", self.place).render()
        return text + (f"\n    witness: {self.witness}" if self.witness else "")
