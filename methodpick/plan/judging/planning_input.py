"""What the ground of a shaft is judged with: the boring, limits that the site sets, the assumptions of the user."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from methodpick.engine.rulebook import Rulebook
from methodpick.errors import InputError, Problem
from methodpick.ground.fitted_boring import at_shaft
from methodpick.ground.layer_parts import at_named_depths
from methodpick.ground.profile import Profile
from methodpick.ground.site import Shaft, Site
from methodpick.records import record
from methodpick.strict_yaml import read
from methodpick.vocabulary.assumptions import Assumption, assumption_of
from methodpick.vocabulary.catalogue import Reader

# ---- The limits of the rulebook with what a site sets itself


def limits_of(site: Site, limits: Mapping[str, float]) -> Mapping[str, float]:
    """Return the limits with what the site sets: the user's own truck, and sections of casing that go under the headroom."""
    truck, room = site.rates.pour.truck_m3 if site.rates else None, site.site.headroom_m
    changed = {} if truck is None else {"truck_m3": truck}
    if room is not None:
        under = max(room - limits["headroom_gear_m"], limits["section_least_m"])
        changed["splice_length_m"] = min(limits["splice_length_m"], under)
    return {**limits, **changed} if changed else limits


def is_casing_outside(shaft: Shaft, limits: Mapping[str, float]) -> bool:
    """Return whether the diameter of a shaft is the outside of its casing: so drawn, or nominal where the specification sizes casing so."""
    return shaft.diameter_is == "casing_outside" or (shaft.diameter_is == "nominal" and limits["nominal_is_outside"] > 0.5)


# ---- The user's own assumptions (``assume:`` of a site file), read against the catalogue of facts


def user_assumptions(site: Site, book: Rulebook) -> tuple[Assumption, ...]:
    """Return the user's assumptions, which go before those of the rulebook.

    Raises InputError where a fact or a value is not known.
    """
    found = []
    reader = Reader(read("{}", "assume"))
    problems = reader.problems
    for index, entry in enumerate(site.assume, 1):
        kept, before = len(problems.kept), problems.met
        tree: dict[str, Any] = {
            "fact": entry.fact,
            "set": entry.narrowed_to,
            "where": entry.where,
            "why": entry.why or "said in the site file",
            "source": "site file",
        }
        assumption = assumption_of(reader, (), f"user-{index}", tree, book.catalogue)
        problems.kept[kept:] = [
            Problem(f"assumption {index}, on '{entry.fact}': {problem.message}", None, problem.expected, problem.hint)
            for problem in problems.kept[kept:]
        ]
        if assumption is not None and problems.met == before:
            found.append(assumption)
    if problems:
        raise InputError(problems)
    return tuple(found)


# ---- Which boring a shaft is planned with, and the boring set over to the ground of the shaft


HowChosen = Literal["named", "only", "nearest", "substructure", "first"]


@record
class ChosenBoring:
    """A boring as logged, and how it was found; ``wanted`` is the way that was asked for and not possible."""

    boring: Profile
    way: HowChosen
    wanted: str = ""


def by_distance(site: Site, shaft: Shaft) -> tuple[Profile, ...]:
    """Return the borings whose distance from a shaft is known, the nearest first, those alike in the order of the file.

    Holes without a described layer, as of a probe or a cone, are no ground to plan from and stand behind, where another hole has layers.
    """
    placed = [(away, index) for index, boring in enumerate(site.borings) if (away := shaft.away_m(boring)) is not None]
    found = tuple(site.borings[index] for _, index in sorted(placed))
    return tuple(boring for boring in found if boring.layers) or found


def choose_boring(site: Site, shaft: Shaft) -> ChosenBoring:
    """Return the boring of a shaft: the one it names, the only one, or as ``borings_by`` of the site says, else the nearest.

    An envelope is settled by planning (:mod:`methodpick.site`); here it is the nearest. Where nothing can be measured it is
    the first of the file. Raises InputError where every shaft must name its boring and one does not.
    """
    by = site.site.borings_by
    if shaft.boring is not None:
        return ChosenBoring(site.boring(shaft.boring), "named")
    if by == "explicit":
        raise InputError(
            Problem(
                f"the shaft '{shaft.id}' names no boring, and 'borings_by' is explicit",
                expected=f"boring: one of {', '.join(boring.id for boring in site.borings)}",
                hint="name its boring, or let 'borings_by' be nearest, substructure or envelope",
            )
        )
    if len(site.borings) == 1:
        return ChosenBoring(site.borings[0], "only")
    near = by_distance(site, shaft)
    wanted = ""
    if by == "substructure":
        same = (boring for boring in near or site.borings if boring.substructure == shaft.substructure)
        first = next(same, None) if shaft.substructure is not None else None
        if first is not None:
            return ChosenBoring(first, "substructure")
        wanted = "substructure"
    if near and (near[0].layers or not any(boring.layers for boring in site.borings)):
        return ChosenBoring(near[0], "nearest", wanted)
    return ChosenBoring(next((boring for boring in site.borings if boring.layers), site.borings[0]), "first", wanted)


def boring_at_shaft(site: Site, shaft: Shaft, boring: Profile, limits: Mapping[str, float]) -> Profile:
    """Return a boring as it reads from the ground at a shaft, parted at the depths that its words name.

    Over water, where levels belong to one mudline, it is not set over.
    """
    parted = at_named_depths(boring)
    return parted if site.site.setting == "water" else at_shaft(parted, shaft, limits["top_stretch_m"])


def boring_for(site: Site, shaft: Shaft, limits: Mapping[str, float]) -> Profile:
    """Return the boring that a shaft is planned with, set over to its ground."""
    return boring_at_shaft(site, shaft, choose_boring(site, shaft).boring, limits)


def with_boring_at_shaft(site: Site, name: str, limits: Mapping[str, float]) -> Site:
    """Return the site with one shaft's boring named by it and set over to its ground, so that inputs can be changed in place."""
    changed = next(shaft for shaft in site.shafts if shaft.id == name)
    boring = boring_for(site, changed, limits)
    shafts = tuple(shaft.model_copy(update={"boring": boring.id}) if shaft.id == name else shaft for shaft in site.shafts)
    borings = tuple(boring if logged.id == boring.id else logged for logged in site.borings)
    return site.model_copy(update={"shafts": shafts, "borings": borings})
