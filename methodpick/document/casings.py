"""The casings of a shaft: sizes, seats, and why each is as it is."""

from __future__ import annotations

from math import pi

from methodpick.document.model import Items, Paragraph, Section, TextTable, section
from methodpick.plan.result import Casing, ShaftPlan
from methodpick.site.result import YardString
from methodpick.terms import STARTER
from methodpick.unit_markup import bare_number, number

_HEADS = ("no.", "kind", "outside x wall", "top", "base", "base, elevation", "length", "mass", "sealed")


def casings(shaft: ShaftPlan) -> Section:
    """Return the casing schedule of a shaft."""
    if not shaft.casings:
        return section("Casing schedule", Paragraph("No casing."))
    ground = shaft.ground.ground_elevation_m
    rows = tuple(
        (
            str(index),
            casing.kind,
            outside_and_wall(casing),
            number(casing.top_m, "m"),
            number(casing.base_m, "m"),
            number(None if ground is None else ground - casing.base_m, "m"),
            number(casing.length_m, "m"),
            number(casing.mass_kg, "kg"),
            sealed(casing),
        )
        for index, casing in enumerate(shaft.casings, 1)
    )
    about = [f"{index} {casing_words(casing)}" for index, casing in enumerate(shaft.casings, 1)]
    stick_ups = dict.fromkeys(casing.stick_up_why for casing in shaft.casings if casing.stick_up_why)
    return section("Casing schedule", TextTable(_HEADS, rows, (3, 4, 5, 6, 7)), Items((*about, *stick_ups)))


def outside_and_wall(casing: Casing | YardString) -> str:
    """Return the outside diameter and the wall."""
    return f"{bare_number(casing.outside_diameter_m, 'size')} x {number(casing.wall_m, 'wall')}"


def sealed(casing: Casing) -> str:
    """Return whether the shoe is sealed; a starter need not be."""
    return "-" if casing.kind == STARTER else casing.sealed


def casing_words(casing: Casing) -> str:
    """Describe how a casing is put in and why it is as it is: seat, wall, pieces, step to the casing around it, the yard's price."""
    parts = [
        f"{casing.kind}, {casing.installed_by}.",
        casing.why,
        casing.wall_by.why if casing.wall_by is not None else "",
        casing.embedment.note if casing.embedment is not None else "",
    ]
    splices = casing.joints
    if splices > 0:
        lengths = " + ".join(number(length, "m") for length in casing.sections_m)
        parts.append(f"In {splices + 1} pieces from the shoe up, {lengths}, so {splices} splice{'s' if splices > 1 else ''}.")
    if casing.step_m is not None:
        parts.append(f"{number(casing.step_m, 'size')} less than the casing around it.")
    if casing.wider_m > 0:
        least = casing.outside_diameter_m - casing.wider_m
        more_m3 = pi / 4 * (casing.outside_diameter_m**2 - least**2) * max(0.0, casing.base_m)
        parts.append(
            f"From the yard, {number(casing.wider_m, 'size')} wider than the {number(least, 'size')} that would do: "
            f"{number(more_m3, 'm3')} more concrete and spoil over its length in the ground."
        )
    return " ".join(part for part in parts if part)
