"""A fact: a named value with its unit, how it is known and what it came from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from methodpick.vocabulary.values import Value

Basis = Literal["logged", "tested", "derived", "assumed", "missing"]
"""How a fact is known: read off the log, measured, computed, taken by a stated assumption, or not at all."""


@dataclass(frozen=True, slots=True)
class Fact:
    """What is known of one thing at one place.

    ``source`` says where it came from in words ("N = 11 at 12.5 ft", "class CH"); ``inputs`` names the facts that a
    derived fact was computed from, ``formulas`` the registered formulas, first the one whose result the value is, then those
    that gave its arguments; ``assumed`` the ids of the assumptions that its value stands on, its inputs' included.
    """

    name: str
    value: Value
    unit: str
    basis: Basis
    source: str = ""
    inputs: tuple[str, ...] = ()
    formulas: tuple[str, ...] = ()
    assumed: frozenset[str] = frozenset()
