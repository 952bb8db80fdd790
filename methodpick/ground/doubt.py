"""A doubt: something in a log that does not fit, and what is done about it. Doubts never stop a plan."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from methodpick.records import record

SubjectKind = Literal["boring", "shaft", "site"]
DoubtSeverity = Literal["note", "doubt", "serious"]
WriteNumber = Callable[[float], str]
"""Writes a number kept inside in the user's unit."""
CORRECT_EITHER = "correct the one or the other"


@record
class Subject:
    """What a doubt is about: a boring or a shaft by its name, or the site as a whole.

    >>> Subject("boring", "A, east").words, Subject("site").words
    ('boring A, east', 'site')
    """

    kind: SubjectKind
    name: str = ""

    @property
    def words(self) -> str:
        """Return how a page names it."""
        return f"{self.kind} {self.name}" if self.name else self.kind


SITE = Subject("site")


@record
class Doubt:
    """What does not fit, where, and what is done or to be done about it.

    ``depth_m`` is the depth, None for the whole of the subject, and ``at`` that depth in words; ``of_water`` where it is about a
    reading of water.
    """

    severity: DoubtSeverity
    subject: Subject
    depth_m: float | None
    at: str
    message: str
    action: str
    of_water: bool = False

    @property
    def where(self) -> str:
        """Return the boring or shaft and the depth in words."""
        return f"{self.subject.words}, {self.at}" if self.at else self.subject.words


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

    def __init__(self, subject: Subject, say_m: WriteNumber = say_metres, say_kpa: WriteNumber = say_kilopascals) -> None:
        self.subject = subject
        self.say_m = say_m
        self.say_kpa = say_kpa
        self.found: list[Doubt] = []
        self._of_water = False

    def of_water(self) -> Doubts:
        """Return what adds doubts about the readings of water to these."""
        waters = Doubts(self.subject, self.say_m, self.say_kpa)
        waters.found, waters._of_water = self.found, True
        return waters

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
        at = "" if depth_m is None else self.say_m(depth_m)
        doubt = Doubt(severity, self.subject, depth_m, at, message, action, self._of_water)
        if doubt not in self.found:
            self.found.append(doubt)
