"""What searches found before, for plans on changed sites and at other costs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from methodpick.plan.sequence.objections import Objection, Objections
from methodpick.plan.sequence.path import SequencePath
from methodpick.plan.sequence.search_input import SearchInput

PathsBefore = dict[tuple[tuple[Objection, ...], SequencePath | None], SequencePath | None]
"""The paths that were found in one search input, by what was held against paths by then and the path that led the search."""


class KnownSearches:
    """What searches of expected plans found, for plans on changed sites: where nothing changed that a search sees, none is made again."""

    def __init__(self) -> None:
        """Start with nothing searched."""
        self._known: dict[tuple[float, ...], list[tuple[SearchInput, PathsBefore]]] = {}

    def of(self, given: SearchInput) -> PathsBefore:
        """Return what was found in an equal input, whatever was held against paths; to be added to."""
        bare = replace(given, options=replace(given.options, objections=Objections()))
        alike = self._known.setdefault((given.options.start_m, *(piece.base_m for piece in given.slices)), [])
        found = next((paths for known, paths in alike if known == bare), None)
        if found is None:
            alike.append((bare, found := {}))
        return found


def found_before(
    before: PathsBefore, objections: Objections, find: Callable[[SequencePath | None], SequencePath | None], near: SequencePath | None
) -> SequencePath | None:
    """Return the path that a search with the objections known by now finds, of what was found before where it was made already."""
    key = tuple(objections.known), near
    if key not in before:
        before[key] = find(near)
    return before[key]
