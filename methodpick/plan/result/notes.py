"""What is said beside the plan: assumptions, hazards, cautions, questions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from methodpick.plan.result.why import Citation


@dataclass(frozen=True, slots=True)
class TakenAssumption:
    """What was taken as normal, where, why and by whose word."""

    fact: str
    where: str
    assumed: str
    why: str
    source: str
    id: str = ""


@dataclass(frozen=True, slots=True)
class OpenHazard:
    """A must rule that is still open on the planned support, with what to do about it."""

    rule: str
    state: str
    treatment: str
    top_m: float | None = None
    base_m: float | None = None
    text: str = ""


@dataclass(frozen=True, slots=True)
class Caution:
    """What to watch."""

    rule: str
    severity: Literal["note", "caution", "danger"]
    text: str
    sources: tuple[Citation, ...]
    hazard: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True)
class Gap:
    """What the log does not say, why it matters and the question to put."""

    need: str
    why: str
    question: str
