"""The installation plan in the making: its lines, its blanks, and the warnings that are sorted into its sections."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

from methodpick.document.model import Pen
from methodpick.plan.result import SUPPORT_SAID, Caution, Plan, ShaftPlan

BLANK = "**BLANK**"


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the draft; the first row of a table is its head."""

    kind: Literal["text", "item", "step", "head", "blank", "table"]
    text: str = ""
    rows: tuple[tuple[str, ...], ...] = ()


@dataclass(slots=True)
class Draft:
    """A plan, the reader's units, and which warnings were written already, so that each stands once."""

    plan: Plan
    pen: Pen
    told: set[tuple[str, str]] = field(default_factory=set)

    def method(self, shaft: ShaftPlan) -> str:
        """State the method of a shaft."""
        return SUPPORT_SAID[shaft.method]

    def warned(self, *hazards: str) -> Iterator[Line]:
        """Write the warnings of some hazards that no section has written yet, with the shafts they are about."""
        yield from self._warnings(lambda one: one.hazard in hazards)

    def rest(self) -> Iterator[Line]:
        """Write the warnings that no section has written yet."""
        yield from self._warnings(lambda _: True)

    def _warnings(self, wanted: Callable[[Caution], bool]) -> Iterator[Line]:
        about: dict[tuple[str, str], list[str]] = {}
        found: dict[tuple[str, str], Caution] = {}
        for shaft in self.plan.shafts:
            for one in shaft.cautions:
                key = (one.rule, one.text)
                if wanted(one) and key not in self.told:
                    about.setdefault(key, []).append(shaft.id)
                    found[key] = one
        self.told.update(found)
        for key, one in found.items():
            shafts = "" if len(about[key]) == len(self.plan.shafts) else f" ({', '.join(dict.fromkeys(about[key]))})"
            danger = "Danger: " if one.severity == "danger" else ""
            yield Line("item", self.pen.t(f"{danger}{one.text}{shafts} [{one.rule}]"))


def blanks(*named: str) -> Iterator[Line]:
    """Write blanks, each with the name of what belongs there."""
    yield from (Line("blank", one) for one in named)


def texts(*said: str) -> Iterator[Line]:
    """Write paragraphs."""
    yield from (Line("text", one) for one in said)


def table(heads: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> Line:
    """Write a table."""
    return Line("table", rows=(heads, *rows))
