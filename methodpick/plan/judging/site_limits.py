"""The limits of the rulebook with what a site sets itself."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.ground.site import Site


def limits_of(site: Site, limits: Mapping[str, float]) -> Mapping[str, float]:
    """Return the limits with what the site sets: the user's own truck, and sections of casing that go under the headroom."""
    truck, room = site.rates.pour.truck_m3 if site.rates else None, site.site.headroom_m
    changed = {} if truck is None else {"truck_m3": truck}
    if room is not None:
        under = max(room - limits["headroom_gear_m"], limits["section_least_m"])
        changed["splice_length_m"] = min(limits["splice_length_m"], under)
    return {**limits, **changed} if changed else limits
