"""Where in a site file a doubt about the ground comes from: the line of the boring, layer, reading, test or shaft."""

from __future__ import annotations

import re
from typing import Any, Protocol

from methodpick.errors import Place, Problems
from methodpick.ground.doubt import Doubt
from methodpick.ground.profile import Profile
from methodpick.ground.site import Site
from methodpick.strict_yaml import KeyPath

_NEAR_M = 1e-3
_ABOUT_WATER = re.compile(r"water|level|reading|piezometer|zone|read (?:in|below)", re.IGNORECASE)
_LISTS = ("layers", "spt", "cores", "water", "remarks")


class PlacedDocument(Protocol):
    """A file as a tree of plain values that knows where each of them stands: a YAML file, a workbook."""

    @property
    def value(self) -> Any:
        """Return the tree of the file."""

    @property
    def problems(self) -> Problems:
        """Return what was wrong with the file before its values were looked at."""

    @property
    def digest(self) -> str:
        """Return the SHA-256 digest of what was read."""

    def place(self, path: KeyPath, key: bool = False) -> Place:
        """Return the place of the value (or of the key) at a path; of its nearest ancestor where it is not there."""


def place_of_doubt(document: PlacedDocument, site: Site, doubt: Doubt) -> Place:
    """Return the place that a doubt about a site is about; the beginning of the file where it is about the whole of it."""
    for index, boring in enumerate(site.borings):
        if _is_about(doubt, f"boring {boring.id}"):
            return document.place(("borings", index, *_entry(boring, doubt)))
    for index, shaft in enumerate(site.shafts):
        if _is_about(doubt, f"shaft {shaft.id}"):
            return document.place(("shafts", index))
    return document.place(("site",))


def _is_about(doubt: Doubt, subject: str) -> bool:
    return doubt.where == subject or doubt.where.startswith(f"{subject}, ")


def _entry(boring: Profile, doubt: Doubt) -> KeyPath:
    """Return the way from a boring to the entry with the depth of a doubt, else to the layer around it; nothing without a depth."""
    depth = doubt.depth_m
    if depth is None:
        return ()
    lists = ("water", *_LISTS) if _ABOUT_WATER.search(doubt.message) else _LISTS
    for word in lists:
        for index, entry in enumerate(getattr(boring, word)):
            depths = [value for name, value in entry if name.endswith("_m") and name != "base_m" and isinstance(value, float)]
            if any(abs(value - depth) < _NEAR_M for value in depths):
                return (word, index)
    around = next((index for index, layer in enumerate(boring.layers) if layer.top_m <= depth < layer.base_m), None)
    return () if around is None else ("layers", around)
