"""Sizes on the page: casing schedule, quantities."""

from __future__ import annotations

from math import pi

from methodpick.plan.result import Casing, ShaftPlan
from methodpick.report.voice import Voice


def casings(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the casing schedule."""
    voice.head("Casing schedule")
    if not shaft.casings:
        voice.say("No casing.")
        return
    rows = []
    for number, one in enumerate(shaft.casings, 1):
        size = f"{voice.n(one.outside_diameter_m, 'size').split()[0]} x {voice.n(one.wall_m, 'wall')}"
        rows.append(
            (
                f"{number} {one.kind}",
                size,
                voice.n(one.top_m, "m"),
                voice.n(one.base_m, "m"),
                voice.n(one.length_m, "m"),
                voice.n(one.mass_kg, "kg"),
                "-" if one.kind == "starter" else one.sealed,
            )
        )
    voice.table(("casing", "outside x wall", "top", "base", "length", "mass", "sealed"), rows, right=(2, 3, 4, 5))
    for number, one in enumerate(shaft.casings, 1):
        voice.item(f"{number}.", f"{one.kind.capitalize()}, {one.installed_by}. {one.why} {_about(one, voice)}")
    for why in dict.fromkeys(one.stick_up_why for one in shaft.casings):
        voice.say(why)


def _about(one: Casing, voice: Voice) -> str:
    """Describe wall, seat, pieces, step to the casing around it and what the yard costs."""
    said = [one.wall_by.why if one.wall_by is not None else "", one.embedment.note if one.embedment is not None else ""]
    if len(one.sections_m) > 1:
        said.append(
            f"In {len(one.sections_m)} pieces from the shoe up, {_pieces(one, voice)}, so {len(one.sections_m) - 1} "
            f"splice{'s' if len(one.sections_m) > 2 else ''}."
        )
    if one.step_m is not None:
        said.append(f"{voice.n(one.step_m, 'size')} less than the casing around it.")
    if one.wider_m > 0:
        said.append(
            f"From the yard, {voice.n(one.wider_m, 'size')} wider than the {voice.n(one.outside_diameter_m - one.wider_m, 'size')} "
            f"that would do: {voice.n(_extra(one), 'm3')} more concrete and spoil over its length in the ground."
        )
    return " ".join(part for part in said if part)


def _pieces(one: Casing, voice: Voice) -> str:
    return " + ".join(voice.n(length, "m") for length in one.sections_m)


def _extra(one: Casing) -> float:
    """Return what the wider casing of the yard adds to the hole."""
    return pi / 4 * (one.outside_diameter_m**2 - (one.outside_diameter_m - one.wider_m) ** 2) * max(0.0, one.base_m)


def quantities(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the quantities with their formulas."""
    voice.head("Quantities of one shaft")
    rows = [(one.item, voice.n(one.value, one.unit), one.formula) for one in shaft.quantities]
    voice.table(("item", "quantity", "from"), rows, right=(1,))
