"""A doubt: something in a log that does not fit, and what is done about it. Doubts never stop a plan."""

from __future__ import annotations

from collections.abc import Callable, Container
from typing import Literal

from methodpick.records import record

DoubtSeverity = Literal["note", "doubt", "serious"]
WriteNumber = Callable[[float], str]
"""Writes a number kept inside in the user's unit."""
CORRECT_EITHER = "correct the one or the other"


@record
class Doubt:
    """What does not fit, where, and what is done or to be done about it.

    ``where`` names the boring or shaft and the depth in words; ``depth_m`` is that depth, None for the whole of it.
    """

    severity: DoubtSeverity
    where: str
    depth_m: float | None
    message: str
    action: str


def subject_in(where: str, known: Container[str]) -> str | None:
    """Return which of the known subjects the ``where`` of a doubt begins with, the longest; None where it names none.

    >>> subject_in("boring A, east, 6.0 m", {"boring A", "boring A, east"}), subject_in("boring B", {"boring A"})
    ('boring A, east', None)
    """
    while where and where not in known:
        where = where.rpartition(", ")[0]
    return where or None


def say_metres(length_m: float) -> str:
    """Write a length in metres.

    >>> say_metres(6), say_metres(4.875)
    ('6.0 m', '4.88 m')
    """
    text = f"{length_m:.2f}"
    return f"{text.removesuffix('0')} m"


def say_kilopascals(stress_kpa: float) -> str:
    """Write a stress in kilopascals.

    >>> say_kilopascals(86.18)
    '86 kPa'
    """
    return f"{stress_kpa:.0f} kPa"


class Doubts:
    """The doubts about one boring, shaft or site, and how its user reads lengths and stresses."""

    def __init__(self, subject: str, say_m: WriteNumber = say_metres, say_kpa: WriteNumber = say_kilopascals) -> None:
        self.subject = subject
        self.say_m = say_m
        self.say_kpa = say_kpa
        self.found: list[Doubt] = []

    def note(self, depth_m: float | None, message: str, action: str) -> None:
        """Add something worth knowing that leaves nothing open; None as depth means the whole of the subject."""
        self._add("note", depth_m, message, action)

    def doubt(self, depth_m: float | None, message: str, action: str) -> None:
        """Add something that leaves the log open to more than one reading."""
        self._add("doubt", depth_m, message, action)

    def serious(self, depth_m: float | None, message: str, action: str) -> None:
        """Add something that cannot be so, or without which nothing can be decided."""
        self._add("serious", depth_m, message, action)

    def _add(self, severity: DoubtSeverity, depth_m: float | None, message: str, action: str) -> None:
        where = self.subject if depth_m is None else f"{self.subject}, {self.say_m(depth_m)}"
        doubt = Doubt(severity, where, depth_m, message, action)
        if doubt not in self.found:
            self.found.append(doubt)
