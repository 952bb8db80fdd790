"""What a search may use: levels, times, fluids, plant, kinds of casing, one way of building."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from methodpick.ground.site import Site
from methodpick.plan.sequence.objections import Objections
from methodpick.plan.sequence.search_slices import FLUIDS, WAYS


@dataclass(frozen=True, slots=True)
class Options:
    """What a search may use.

    ``family`` restricts it to one way of building; ``finish_h`` is from tip to concrete; ``least_run_m`` the length that is worth a
    casing or a change of method; ``shaking`` says that a neighbour
    is near enough for vibrated or driven casing to go against a recommendation; ``over_water`` that no hole can be opened
    before a casing stands in the bottom; ``reach_m`` how far each way brings casing through undrilled ground (no limit where
    it is not named); ``objections`` are what proofs of whole ways hold against segments.
    """

    start_m: float
    margin_m: float
    stick_up_m: float
    set_h: float
    advance_h_per_m: float
    finish_h: float
    least_run_m: float
    most_strings: int = 3
    fluids: tuple[str, ...] = FLUIDS
    ways: tuple[str, ...] = WAYS
    temporary: bool = True
    permanent: bool = True
    shaking: bool = False
    over_water: bool = False
    reach_m: Mapping[str, float] = field(default_factory=dict)
    family: str = ""
    objections: Objections = field(default_factory=Objections)


def own_limits(limits: Mapping[str, float], site: Site) -> Mapping[str, float]:
    """Return the limits with what the site sets: the user's own truck, and sections of casing that go under the headroom."""
    own, room = site.rates.pour.truck_m3 if site.rates else None, site.site.headroom_m
    changed = {} if own is None else {"truck_m3": own}
    if room is not None:
        under = max(room - limits["headroom_gear_m"], limits["section_least_m"])
        changed["splice_length_m"] = min(limits["splice_length_m"], under)
    return {**limits, **changed} if changed else limits
