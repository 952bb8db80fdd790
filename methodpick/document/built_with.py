"""What a shaft is built with, a line each: its casings, its fluids, how the concrete is placed, and what the plant has to bear."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.casings_and_concrete import hardest_pull, outside_and_wall
from methodpick.document.cautions import ONE_LINE
from methodpick.document.checks import RESULT_WORDS
from methodpick.patterns import pattern_of
from methodpick.plan.checks.pick import PICK
from methodpick.plan.result import Casing, ShaftPlan, Slurry
from methodpick.terms import FLUID_NAMES, STARTER
from methodpick.unit_markup import SAME_LENGTH_M, bare_number, first_sentence, height_words, number, number_span, spell, without_brackets

LONGEST_LAYER_NAME = 40
"""Letters; a whole description stands in the strip log and on the full page."""
_LIGHT = frozenset({"water", "polymer"})
"""Fluids whose density the plan does not choose."""
_DENSE, _WEATHER = ("soft", "firm", "stiff", "hard", "loose", "medium", "dense", "weak", "strong"), ("wet", "moist", "damp", "dry")
_HOW_IT_STANDS = frozenset({*_DENSE, *_WEATHER, "very", "extremely", "moderately", "to", "and", "fissured", "weathered"})
"""Words that tell how ground stands; without another word they name none."""


_CAPITALS, _NO_SOILS = pattern_of(r"\b[A-Z]{3,}\b"), frozenset({"MADE", "GROUND", "TILL"})


def built_with(shaft: ShaftPlan, *, by_depth: bool = False, densities: bool = True) -> tuple[str, ...]:
    """Return the casings, the fluids, and how the concrete is placed; ``by_depth`` tells levels as depths, negative above the datum.

    Without ``densities`` only that of mineral slurry is told, and of another fluid that none fits.
    """
    placed = f"Concrete, {shaft.placement.state}: " if shaft.placement is not None else ""
    why = first_sentence(why_placed_so(shaft))
    fits = len(spell(placed + why, "us")) <= ONE_LINE
    said = (placed + (why if fits else without_brackets(why)),) if why else ()
    return (*casings_and_fluids(shaft, by_depth=by_depth, densities=densities), *said)


def casings_and_fluids(shaft: ShaftPlan, *, by_depth: bool = False, densities: bool = True) -> tuple[str, ...]:
    """Return the casings and the fluids, told as :func:`built_with` does."""
    casings = (casing_in_short(index, casing) for index, casing in enumerate(shaft.casings, 1))
    fluids = (fluid_in_short(held, shaft.design.datum, by_depth=by_depth, density=densities) for held in held_alike(shaft))
    return (*casings, *fluids)


def why_placed_so(shaft: ShaftPlan) -> str:
    """Return why the concrete is placed as it is; a fluid to the tip has said it, and without a method there is none."""
    placement = shaft.placement
    under_fluid = any(slurry.base_m >= shaft.tip_depth_m - SAME_LENGTH_M for slurry in shaft.slurries)
    return "" if placement is None or (placement.state == "wet" and under_fluid) else placement.why


def short_layer(description: str) -> str:
    """Return the short name of a layer: what stands before the first stop of its description.

    Of a long one the first words and the soil are told: its name in capitals, or else the last word.

    >>> short_layer("Stiff to very stiff grey CLAY with many partings of silt; rare gravel. Laminated below 12 m")
    'Stiff to very stiff grey CLAY'
    >>> short_layer("very stiff grey fat clay")
    'very stiff grey fat clay'
    >>> short_layer("stiff, fissured CLAY; few pebbles")
    'stiff, fissured CLAY'
    >>> short_layer("Stiff and very stiff brown indistinctly laminated silty CLAY")
    'Stiff and very stiff brown ... CLAY'
    >>> short_layer("MADE GROUND: Soft brown with grey mottling sandy CLAY. Sand is fine")
    'MADE GROUND: Soft brown ... CLAY'
    """
    short = description
    for stop in (";", ". ", ", ", " (", " with "):
        first = short.partition(stop)[0]
        short = first if not _HOW_IT_STANDS.issuperset(first.lower().split()) else short
    short = short.strip().rstrip(".")
    named = _soil_named(description)
    is_named = not named or named in _CAPITALS.findall(short)
    if len(short) <= LONGEST_LAYER_NAME and is_named:
        return short
    soil = named or short.rpartition(" ")[2]
    room = max(1, LONGEST_LAYER_NAME - len(soil) - len(" ... "))
    first = short if len(short) <= room else short[:room].rpartition(" ")[0]
    return first if soil in _CAPITALS.findall(first) else f"{first} ... {soil}"


def _soil_named(description: str) -> str:
    """Return the soil that a description names in capitals; nothing where it has none, or is in capitals throughout."""
    sentence = description.partition(". ")[0]
    return "" if sentence.isupper() else next((word for word in _CAPITALS.findall(sentence) if word not in _NO_SOILS), "")


def casing_in_short(index: int, casing: Casing) -> str:
    """Return a casing on a line: its number, kind, size, ends, and where the shoe stands."""
    seat = f" in {short_layer(casing.seat_layer)}" if casing.seat_layer and casing.kind != STARTER else ""
    sealed = {"yes": ", sealed", "probable": ", seal probable", "no": ""}[casing.sealed] if casing.kind != STARTER else ""
    ends = f"{bare_number(casing.top_m, 'm')} to {number(casing.base_m, 'm')}"
    return f"Casing {index}, {casing.kind}: {outside_and_wall(casing)}, {ends}{seat}{sealed}."


def plant(shaft: ShaftPlan) -> tuple[str, ...]:
    """Return what the plant has to bear: the heaviest pick with its radius, and the hardest pull with its range."""
    if not shaft.casings:
        return ()
    return (f"Plant: {_heaviest_pick(shaft)}{hardest_pull(shaft)}.",)


def _heaviest_pick(shaft: ShaftPlan) -> str:
    """Return the heaviest casing, hung whole, and where its radius is given the cage, the moment and what may be lifted there."""
    heaviest = f"heaviest casing {number(max(casing.mass_kg for casing in shaft.casings), 'kg')}"
    check = next((check for check in shaft.checks if check.id == PICK.id), None)
    if check is None:
        return f"{heaviest}, radius not given: state it"
    cage, radius_m = check.inputs["cage_kg"], check.inputs["radius_m"].low or 0.0
    picked = f"{heaviest}, cage {number_span(cage.low or 0.0, cage.high or 0.0, 'kg')}, at {number(radius_m, 'm')}"
    lifted, allowed = check.needed.likely, check.has.likely
    if lifted is None or allowed is None:
        return f"{picked}; what the crane lifts there is not given: state it"
    share = f"{100.0 * lifted / allowed:.0f} % of what the crane may lift there with its hook"
    return f"{picked}: {number(lifted * radius_m, 'kNm')}, {share}, {RESULT_WORDS[check.result]}"


def density_window(slurry: Slurry) -> str:
    """Return the densities that the ground and the specification leave open, and what to aim at; or that none fits."""
    least, most, aim = slurry.density_min_kg_m3, slurry.density_max_kg_m3, slurry.density_target_kg_m3
    if aim is None:
        return f"none fits, at least {number(least, 'kg/m3')} and at most {number(most, 'kg/m3')}"
    return f"{bare_number(least, 'kg/m3')} to {number(most, 'kg/m3')}, aim at {bare_number(aim, 'kg/m3')}"


def held_alike(shaft: ShaftPlan) -> tuple[tuple[Slurry, ...], ...]:
    """Return the lengths that stand under fluid; those under the same fluid with the same level and density stand together."""
    found: dict[tuple[str, float, str], list[Slurry]] = {}
    for slurry in shaft.slurries:
        found.setdefault((slurry.fluid, slurry.level_m, density_window(slurry)), []).append(slurry)
    return tuple(map(tuple, found.values()))


def lengths_held(held: Sequence[Slurry]) -> str:
    """Return the lengths that one fluid holds, one after the other."""
    return " and ".join(f"{bare_number(slurry.top_m, 'm')} to {number(slurry.base_m, 'm')}" for slurry in held)


def fluid_in_short(held: Sequence[Slurry], datum: str, *, by_depth: bool = False, density: bool = True) -> str:
    """Return a fluid on a line: the lengths that it holds, its level against the datum, and the density window that they share.

    Without ``density`` that of water and polymer is left to the foreman's sheet, unless none fits: they are as light as they come.
    """
    slurry, ends = held[0], lengths_held(held)
    level = f"a depth of {number(slurry.level_m, 'm')} (negative above {datum})" if by_depth else height_words(slurry.level_m, datum)
    fits = slurry.density_target_kg_m3 is not None
    window = f"; density {density_window(slurry)}" if density or not fits or slurry.fluid not in _LIGHT else ""
    return f"{FLUID_NAMES[slurry.fluid].capitalize()}: {ends}, level at {level}{window}."
