"""A doubt: something in a log that does not fit, and what is done about it. Doubts never stop a plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

Severity = Literal["note", "doubt", "serious"]
Say = Callable[[float], str]
"""Writes a number kept inside in the user's unit."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """What does not fit, where, and what is done or to be done about it.

    ``where`` names the boring or shaft and the depth in words; ``depth_m`` is that depth, None for the whole of it.
    """

    severity: Severity
    where: str
    depth_m: float | None
    message: str
    action: str


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
    """Collects the doubts about one boring, shaft or site; knows how the user reads lengths and stresses."""

    def __init__(self, subject: str, say_m: Say = say_metres, say_kpa: Say = say_kilopascals) -> None:
        self.subject = subject
        self.say_m = say_m
        self.say_kpa = say_kpa
        self.found: list[Doubt] = []

    def add(self, severity: Severity, depth_m: float | None, message: str, action: str) -> None:
        """Note one doubt; the depth becomes part of where it is."""
        where = self.subject if depth_m is None else f"{self.subject}, {self.say_m(depth_m)}"
        doubt = Doubt(severity, where, depth_m, message, action)
        if doubt not in self.found:
            self.found.append(doubt)
