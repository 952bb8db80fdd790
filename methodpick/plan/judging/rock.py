"""What rock does to the work: how long its wall stands, and how fast it is drilled."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.facts.of_ground import SLAKES
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.terms import ROCK
from methodpick.vocabulary.values import FALSE, NO, TRUE, YES, Choice, Span, likely_bool

NOT_LASTING = SLAKES | {"chalk", "gypsum", "anhydrite", "halite", "salt"}
"""Rock that softens, slakes or dissolves: its wall has a time (common practice, no source)."""


def lasting_rock(judged: JudgedSlice) -> Choice:
    """Return whether a slice is sound rock whose wall stands for as long as the work takes."""
    stratum, sheet = judged.slice.stratum, judged.sheet
    slaking, mass = sheet.choice("slaking"), sheet.choice("rock_mass")
    if not stratum.soils & ROCK or stratum.words.rock_type in NOT_LASTING or slaking.values == {YES} or "sound" not in mass.values:
        return FALSE
    sound = mass.likely == "sound" or mass.values == {"sound"}
    if stratum.soils <= ROCK and slaking.values == {NO} and sound:
        return TRUE
    return likely_bool(stratum.likely in ROCK and slaking.likely != YES and sound)


def strength_kpa(judged: JudgedSlice) -> Span | None:
    """Return the tested strength of the rock of a slice."""
    return _tested(judged, "ucs_kpa")


def is_massive(judged: JudgedSlice, limits: Mapping[str, float]) -> bool:
    """Return whether the rock of a slice is likely massive, by its quality."""
    quality = _tested(judged, "rqd_percent")
    return quality is not None and quality.likely_or_middle >= limits["massive_rqd_percent"]


def _tested(judged: JudgedSlice, name: str) -> Span | None:
    fact = judged.sheet.facts.get(name)
    return fact.value if fact is not None and isinstance(fact.value, Span) else None
