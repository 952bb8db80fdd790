"""Which boring a shaft is planned with, and the boring set over to the ground of the shaft."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot
from typing import Literal

from methodpick.errors import InputError, Problem
from methodpick.ground.boring_at_shaft import at_shaft
from methodpick.ground.profile import Profile
from methodpick.ground.site import Shaft, Site

HowChosen = Literal["named", "only", "nearest", "substructure", "first"]


@dataclass(frozen=True, slots=True)
class ChosenBoring:
    """A boring as logged, and how it was found; ``wanted`` is the way that was asked for and not possible."""

    boring: Profile
    way: HowChosen
    wanted: str = ""


def distance(boring: Profile, shaft: Shaft) -> float | None:
    """Return the distance in m between a boring and a shaft, None where a position is not known."""
    if boring.position is None or shaft.position is None:
        return None
    return hypot(boring.position.east_m - shaft.position.east_m, boring.position.north_m - shaft.position.north_m)


def by_distance(site: Site, shaft: Shaft) -> tuple[Profile, ...]:
    """Return the borings whose distance from a shaft is known, the nearest first, those alike in the order of the file."""
    placed = [(away, index) for index, boring in enumerate(site.borings) if (away := distance(boring, shaft)) is not None]
    return tuple(site.borings[index] for _, index in sorted(placed))


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
    return ChosenBoring(near[0], "nearest", wanted) if near else ChosenBoring(site.borings[0], "first", wanted)


def boring_at_shaft(site: Site, shaft: Shaft, boring: Profile, limits: Mapping[str, float]) -> Profile:
    """Return a boring as it reads from the ground at a shaft; over water, where levels belong to one mudline, as it is."""
    return boring if site.site.setting == "water" else at_shaft(boring, shaft, limits["top_stretch_m"])


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
