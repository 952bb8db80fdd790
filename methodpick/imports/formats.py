"""What an importer of a foreign log gives: borings, and a doubt for everything that did not fit."""

from __future__ import annotations

from dataclasses import dataclass, field

from methodpick.errors import Place
from methodpick.ground.doubt import Severity
from methodpick.ground.profile import Profile


@dataclass(frozen=True, slots=True)
class ImportDoubt:
    """Something in a foreign file that was not clear: where, the text as it stands, what was done about it."""

    severity: Severity
    place: Place
    boring: str
    depth_m: float | None
    message: str
    action: str
    quoted: str = ""

    def render(self) -> str:
        """Write the doubt on one line.

        >>> ImportDoubt("doubt", Place("a.ags", 7, 1), "BH1", 2.5, "no base", "the next top is taken").render()
        'a.ags:7: BH1, 2.50 m: no base; the next top is taken'
        """
        depth = "" if self.depth_m is None else f", {self.depth_m:.2f} m"
        quoted = f" ('{self.quoted}')" if self.quoted else ""
        subject = f"{self.boring}{depth}: " if self.boring else ""
        return f"{self.place.file}:{self.place.line}: {subject}{self.message}{quoted}; {self.action}"


@dataclass(frozen=True, slots=True)
class Imported:
    """The borings of a foreign file in order of their ids, the doubts in order of the file, its SHA-256 digest."""

    profiles: tuple[Profile, ...]
    doubts: tuple[ImportDoubt, ...]
    digest: str


@dataclass(slots=True)
class DoubtBook:
    """Collects the doubts of one file."""

    file: str
    found: list[ImportDoubt] = field(default_factory=list)

    def add(
        self,
        line: int,
        message: str,
        action: str,
        *,
        severity: Severity = "doubt",
        boring: str = "",
        depth_m: float | None = None,
        quoted: str = "",
    ) -> None:
        """Note one doubt about a line of the file."""
        place = Place(self.file, line, 1)
        self.found.append(ImportDoubt(severity, place, boring, depth_m, message, action, quoted[:200]))

    def in_order(self) -> tuple[ImportDoubt, ...]:
        """Return the doubts in order of the file, each once."""
        return tuple(sorted(dict.fromkeys(self.found), key=lambda doubt: (doubt.place.line, doubt.message)))
