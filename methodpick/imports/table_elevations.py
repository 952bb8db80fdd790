"""Elevations of tables set over to depths below the ground, by the ground elevation of the boring or of the shaft."""

from __future__ import annotations

from typing import Any, Protocol

from methodpick import units
from methodpick.errors import Place
from methodpick.strict_yaml import KeyPath

_OF_LAYERS = {"top_elevation": "top", "base_elevation": "base"}
_OF_SHAFTS = {"cutoff_elevation": "cutoff", "tip_elevation": "tip"}


class ComplainingTree(Protocol):
    """A tree of tables with the places of its cells."""

    value: dict[str, Any]
    spots: dict[KeyPath, Place]

    def place(self, path: KeyPath, key: bool = False) -> Place:
        """Return the place of the cell at a path."""

    def complain(self, place: Place, message: str, expected: str = "", hint: str = "") -> None:
        """Note a problem of a cell."""


def to_depths(tree: ComplainingTree) -> None:
    """Replace the elevations of layers and shafts by depths; complain where the ground elevation is missing, or a depth is there too."""
    site = tree.value.get("site")
    system = site.get("units") if isinstance(site, dict) else None
    borings = tree.value.get("borings", [])
    for index, boring in enumerate(borings):
        for at, layer in enumerate(boring.get("layers", [])):
            _set_over(tree, layer, _OF_LAYERS, ("borings", index, "layers", at), _metres(boring.get("ground_elevation"), system), "boring")
    for index, shaft in enumerate(tree.value.get("shafts", [])):
        ground = shaft.get("ground_elevation")
        if ground is None:
            home = next((boring for boring in borings if str(boring.get("id")) == str(shaft.get("boring"))), None)
            ground = home.get("ground_elevation") if home is not None else None
        _set_over(tree, shaft, _OF_SHAFTS, ("shafts", index), _metres(ground, system), "shaft, or of the boring that it names")


def _set_over(
    tree: ComplainingTree, entry: dict[str, Any], names: dict[str, str], path: KeyPath, ground_m: float | None, whose: str
) -> None:
    site = tree.value.get("site")
    system = site.get("units") if isinstance(site, dict) else None
    for elevation, depth in names.items():
        if elevation not in entry:
            continue
        level = _metres(entry.pop(elevation), system)
        place = tree.place((*path, elevation))
        if depth in entry:
            tree.complain(place, f"both {depth} and {elevation} are given", "one of them", "leave one column out")
        elif ground_m is None:
            tree.complain(
                place, f"{elevation} needs a ground elevation", f"the ground elevation of the {whose}", "add the column 'ground_elevation'"
            )
            entry[depth] = "1 m"  # nothing is made of it, as the file is refused; so its lack is not told again
        elif level is None:
            tree.complain(place, f"{elevation} is not a level", "a number with a unit")
        else:
            entry[depth] = f"{round(ground_m - level, 4)} m"
            tree.spots[*path, depth] = place


def _metres(value: Any, system: str | None) -> float | None:
    """Return a level in metres; None where there is none or it is no length. Numbers without a unit were complained of before."""
    if value is None:
        return None
    try:
        return units.parse(str(value), "ft" if system == "us" else "m", "m")
    except ValueError:
        return None
