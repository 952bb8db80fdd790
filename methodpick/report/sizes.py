"""Sizes on the page: casing schedule, slurry window, quantities."""

from __future__ import annotations

from math import pi

from methodpick.plan.result import Casing, ShaftPlan, Slurry
from methodpick.report.voice import Voice

LIGHTEST_KG_M3 = 1000.0
"""No drilling fluid is lighter than water."""


def casings(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the casing schedule."""
    voice.head("Casing schedule")
    if not shaft.casings:
        voice.say("No casing.")
        return
    rows = []
    for number, one in enumerate(shaft.casings, 1):
        size = f"{voice.n(one.outside_diameter_m, 'size').split()[0]} x {voice.n(one.wall_m, 'wall')}"
        rows.append((f"{number} {one.kind}", size, voice.n(one.top_m, "m"), voice.n(one.base_m, "m"), voice.n(one.length_m, "m"),
                     voice.n(one.mass_kg, "kg"), "-" if one.kind == "starter" else one.sealed))
    voice.table(("casing", "outside x wall", "top", "base", "length", "mass", "sealed"), rows, right=(2, 3, 4, 5))
    for number, one in enumerate(shaft.casings, 1):
        voice.item(f"{number}.", f"{one.kind.capitalize()}, {one.installed_by}. {one.why} {_about(one, voice)}")
    for why in dict.fromkeys(one.stick_up_why for one in shaft.casings):
        voice.say(why)


def _about(one: Casing, voice: Voice) -> str:
    """Say wall, seat, pieces, step to the casing around it and what the yard costs."""
    said = [one.wall_by.why if one.wall_by is not None else "", one.embedment.note if one.embedment is not None else ""]
    if len(one.sections_m) > 1:
        said.append(f"In {len(one.sections_m)} pieces from the shoe up, {_pieces(one, voice)}, so {len(one.sections_m) - 1} "
                    f"splice{'s' if len(one.sections_m) > 2 else ''}.")
    if one.step_m is not None:
        said.append(f"{voice.n(one.step_m, 'size')} less than the casing around it.")
    if one.wider_m > 0:
        said.append(f"From the yard, {voice.n(one.wider_m, 'size')} wider than the {voice.n(one.outside_diameter_m - one.wider_m, 'size')} "
                    f"that would do: {voice.n(_extra(one), 'm3')} more concrete and spoil over its length in the ground.")
    return " ".join(part for part in said if part)


def _pieces(one: Casing, voice: Voice) -> str:
    return " + ".join(voice.n(length, "m") for length in one.sections_m)


def _extra(one: Casing) -> float:
    """Give what the wider casing of the yard adds to the hole."""
    return pi / 4 * (one.outside_diameter_m**2 - (one.outside_diameter_m - one.wider_m) ** 2) * max(0.0, one.base_m)


def slurry(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the density window."""
    one = shaft.slurry
    if one is None:
        return
    voice.head("Slurry window")
    least, most = voice.n(one.density_min_kg_m3, "kg/m3"), voice.n(one.density_max_kg_m3, "kg/m3")
    voice.say(f"{one.fluid.capitalize()} fluid from {voice.n(one.top_m, 'm')} to {voice.n(one.base_m, 'm')}, level at "
              f"{_level(one, voice)}.")
    if one.density_target_kg_m3 is None:
        voice.say(f"The window is empty: at least {least} is needed, at most {most} is allowed. {_opens(one, voice)}", style="bold red")
    else:
        voice.say(f"Density {least} to {most}, aim at {voice.n(one.density_target_kg_m3, 'kg/m3')}; bound {one.governed_by}.")
    if one.head_m is not None:
        voice.say(f"Least head over the groundwater of the water-bearing layers: {voice.n(one.head_m, 'm')} at the likely levels.")
    if one.wall_spread is not None and one.wall_spread.cautious_kg_m3 >= LIGHTEST_KG_M3:
        spread = one.wall_spread
        voice.say(f"Where theories differ: at {voice.n(spread.depth_m, 'm')} the granular wall asks for "
                  f"{_fluid(spread.hard_kg_m3, voice)} (hoop factor 1, factor 1.1), for {_fluid(spread.wanted_kg_m3, voice)} (hoop factor "
                  f"K0, factor 1.3), and for {_fluid(spread.cautious_kg_m3, voice)} with friction and water at the bad end of what "
                  "is known.")
    rows = [(voice.n(row.depth_m, "m"), _least(row.density_min_kg_m3, voice), row.min_by or "-",
             voice.n(row.density_max_kg_m3, "kg/m3")) for row in one.by_depth]
    voice.table(("depth", "at least", "because of", "at most"), rows, right=(0, 1, 3))


def _least(density_kg_m3: float | None, voice: Voice) -> str:
    """Write the least density; where less than water would do, any fluid does."""
    return "any" if density_kg_m3 is None or density_kg_m3 < LIGHTEST_KG_M3 else voice.n(density_kg_m3, "kg/m3")


def _fluid(density_kg_m3: float, voice: Voice) -> str:
    return "no more than water" if density_kg_m3 < LIGHTEST_KG_M3 else voice.n(density_kg_m3, "kg/m3")


def _level(one: Slurry, voice: Voice) -> str:
    if one.level_m < 0:
        return f"{voice.n(-one.level_m, 'm')} above the ground"
    return f"{voice.n(one.level_m, 'm')} below the ground"


def _opens(one: Slurry, voice: Voice) -> str:
    if one.level_that_opens_m is None:
        return "Case the layer instead."
    return (f"A fluid level at {voice.n(one.level_that_opens_m, 'm')} (negative above the ground) would open it; else case the layer.")


def quantities(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the quantities with their formulas."""
    voice.head("Quantities of one shaft")
    rows = [(one.item, voice.n(one.value, one.unit), one.formula) for one in shaft.quantities]
    voice.table(("item", "quantity", "from"), rows, right=(1,))
