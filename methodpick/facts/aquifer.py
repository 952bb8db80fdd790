"""An aquifer of a boring: ground that shares one head."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from methodpick.vocabulary.values import Span


@dataclass(frozen=True, slots=True)
class Aquifer:
    """Ground that shares one head. ``level_m`` is the depth of its piezometric level (low is the shallowest).

    ``kind``: main; covered (main water that may rise into a lid over it); confined, artesian, strike, below (read under tight ground or
    casing); unread; perched.
    """

    top_m: float
    base_m: float
    level_m: Span
    kind: str
    source: str
    read: bool
    assumed: frozenset[str] = frozenset()

    def position(self, depth_m: float) -> tuple[frozenset[str], str | None]:
        """Return whether a depth lies above or below the level: the possible words and the likely one."""
        if depth_m >= self.level_m.high:
            return frozenset({"below"}), "below"
        if depth_m <= self.level_m.low:
            return frozenset({"above"}), "above"
        likely = None if self.level_m.likely is None else "below" if depth_m > self.level_m.likely else "above"
        return frozenset({"above", "below"}), likely


def merged(found: Iterable[Aquifer]) -> list[Aquifer]:
    """Join readings of the same aquifer: the shallowest likely level is believed, the range holds all."""
    by_top: dict[float, Aquifer] = {}
    for aquifer in found:
        old = by_top.get(aquifer.top_m)
        if old is None:
            by_top[aquifer.top_m] = aquifer
            continue
        first = min(old, aquifer, key=lambda each: each.level_m.likely if each.level_m.likely is not None else 1e9)
        hull = old.level_m.hull(aquifer.level_m)
        by_top[aquifer.top_m] = replace(first, level_m=Span(hull.low, hull.high, first.level_m.likely))
    return list(by_top.values())
