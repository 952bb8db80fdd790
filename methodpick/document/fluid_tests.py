"""The fluid tests of a site: for whoever tests, when each fluid is tested, and what it has to be when it goes in and before concrete."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.fluid import control_table
from methodpick.document.model import Items, Page, page_with, section
from methodpick.document.pages import ShaftGroup
from methodpick.terms import FLUID_NAMES


def fluid_tests_page(groups: Sequence[ShaftGroup]) -> Page | None:
    """Return the page of fluid tests, shafts with the same tests and limits together; nothing where no plan stands under fluid."""
    found: dict[object, list[ShaftGroup]] = {}
    for group in groups:
        programme = group.first.fluid_programme
        if programme is not None:
            key = (programme.fluid, tuple(time.text for time in programme.times), control_table(programme).rows)
            found.setdefault(key, []).append(group)
    parts = []
    for held in found.values():
        programme = held[0].first.fluid_programme
        if programme is not None:
            names = "" if len(held) == len(groups) else f": {', '.join(group.names for group in held)}"
            times = Items(tuple(time.text for time in programme.times))
            parts.append(section(f"{FLUID_NAMES[programme.fluid].capitalize()}{names}", times, control_table(programme)))
    return page_with("Fluid tests of the site", (), *parts) if parts else None
