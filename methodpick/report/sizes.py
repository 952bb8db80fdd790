"""Sizes on the page: casing schedule, slurry window, concrete, quantities."""

from __future__ import annotations

from methodpick.plan.result import ShaftPlan, Slurry
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
    for one in shaft.casings:
        size = f"{voice.n(one.outside_diameter_m, 'size')} x {_wall(one.wall_m, voice)}"
        rows.append((one.kind, size, voice.n(one.top_m, "m"), voice.n(one.base_m, "m"), voice.n(one.length_m, "m"),
                     voice.n(one.mass_kg, "kg"), "-" if one.kind == "starter" else one.sealed))
    voice.table(("kind", "outside x wall", "top", "base", "length", "mass", "sealed"), rows, right=(2, 3, 4, 5))
    for one in shaft.casings:
        voice.item("-", f"{one.kind.capitalize()}, {one.installed_by}. {one.why}")


def _wall(wall_m: float, voice: Voice) -> str:
    return voice.n(wall_m, "wall")


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


def concrete(shaft: ShaftPlan, voice: Voice) -> None:
    """Write placement, volumes and pulls."""
    one = shaft.concrete
    voice.head("Concrete")
    how = "free fall in the dry" if one.placement == "free_fall" else "tremie"
    voice.say(f"By {how}. {one.why}")
    voice.say(f"Theoretical {voice.n(one.theoretical_m3, 'm3')}; to fill the hole as drilled {voice.n(one.fill_m3, 'm3')}; expected "
              f"{voice.n(one.expected_m3, 'm3')} ({voice.n(one.expected_low_m3, 'm3')} to {voice.n(one.expected_high_m3, 'm3')}). Pour "
              f"about {one.pour_hours:.1f} h.")
    if one.tremie_embedment_m is not None:
        voice.say(f"Keep the tremie at least {voice.n(one.tremie_embedment_m, 'm')} in the concrete.")
    for step in one.pulls:
        voice.item("-", f"Casing {step.casing_no}, shoe at {voice.n(step.shoe_m, 'm')}: {step.note}")


def quantities(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the quantities with their formulas."""
    voice.head("Quantities of one shaft")
    rows = [(one.item, voice.n(one.value, one.unit), one.formula) for one in shaft.quantities]
    voice.table(("item", "quantity", "from"), rows, right=(1,))
