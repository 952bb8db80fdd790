"""An aquifer of a boring: ground that shares one head; and perched water, which tight ground holds up over the main water."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from methodpick.facts.strata import Stratum
from methodpick.ground.profile import Profile
from methodpick.records import record
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import Span

# ---- An aquifer of a boring: ground that shares one head


@record
class Aquifer:
    """Ground that shares one head. ``level_m`` is the depth of its piezometric level (low is the shallowest).

    ``kind``: main; covered (main water that may rise into a lid over it); confined, artesian, strike, below (read under tight ground or
    casing); unread; perched. ``none_met`` where the level is counted below a hole that met no water; ``in_standpipe`` where a standpipe in
    this ground read it.
    """

    top_m: float
    base_m: float
    level_m: Span
    kind: str
    source: str
    read: bool
    assumed: frozenset[str] = frozenset()
    none_met: bool = False
    in_standpipe: bool = False

    def may_rise_over(self, grade_m: float) -> bool:
        """Return whether the water may stand above the ground and the drilling grade: pressed under a lid, not perched on one."""
        return self.kind != "perched" and self.level_m.low < min(0.0, grade_m)

    def position(self, depth_m: float) -> tuple[frozenset[str], str | None]:
        """Return whether a depth lies above or below the level: the possible words and the likely one."""
        if depth_m >= self.level_m.high:
            return frozenset({"below"}), "below"
        if depth_m <= self.level_m.low:
            return frozenset({"above"}), "above"
        likely = None if self.level_m.likely is None else "below" if depth_m > self.level_m.likely else "above"
        return frozenset({"above", "below"}), likely


def highest_rising(waters: Sequence[Aquifer], shoe_m: float, *, over_water: bool) -> Span | None:
    """Return the level of the water under pressure above a shoe that may rise highest over the ground; None where none may.

    Over open water what rises over that counts. ``shoe_m`` is the depth of the shoe in m, the main water stands first.
    """
    open_m = min(0.0, waters[0].level_m.low) if over_water else 0.0
    rising = [water.level_m for water in waters if 0.0 < water.top_m < shoe_m and water.may_rise_over(open_m)]
    return min(rising, key=lambda level: level.low, default=None)


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
        level_m, in_standpipe = Span(hull.low, hull.high, first.level_m.likely), old.in_standpipe or aquifer.in_standpipe
        by_top[aquifer.top_m] = replace(first, level_m=level_m, in_standpipe=in_standpipe)
    return list(by_top.values())


# ---- Perched water: what tight ground holds up over the main water


def perched_water(profile: Profile, strata: Sequence[Stratum], found: Sequence[Aquifer], swing_m: float) -> list[Aquifer]:
    """Return perched water by the stratum that it was met in: it wets the ground down to what holds it up, and nothing below.

    Where other water that was read at its depth may stand higher, so may the water there.
    """
    perched = []
    for reading in profile.water:
        level = reading.level_m
        if reading.reading != "perched" or level is None:
            continue
        holder = next((s for s in strata if s.top_m - 0.01 <= level < s.base_m), None)
        if holder is not None:
            span = Span(max(0.0, level - swing_m), level + swing_m, level)
            other = next((aquifer for aquifer in found[1:] if aquifer.top_m <= level <= aquifer.base_m), found[0])
            perched.append(
                Aquifer(
                    top_m=holder.top_m,
                    base_m=_held_up_at(strata, holder),
                    level_m=_higher(span, other.level_m) if other.read else span,
                    kind="perched",
                    source=f"perched at {mark(level, 'm')}",
                    read=True,
                )
            )
    return merged(perched)


def _held_up_at(strata: Sequence[Stratum], stratum: Stratum) -> float:
    """Return the depth of the tight ground that holds up the water of a stratum; its own base where the log shows none.

    A level read in tight ground over permeable ground is that of the water below it, for it would drain into dry sand.
    """
    base = stratum.base_m
    for below in strata[stratum.index + 1 :]:
        if not below.permeable:
            return base if below.logged else stratum.base_m
        base = below.base_m
    return stratum.base_m


def _higher(first: Span, second: Span) -> Span:
    """Return the higher of two water levels at each end.

    >>> _higher(Span(2.3, 3.3, 2.8), Span(1.0, 3.0, 2.0)), _higher(Span(2.3, 3.3, 2.8), Span(8.0, 10.0, 9.0))
    (Span(low=1.0, high=3.0, likely=2.0), Span(low=2.3, high=3.3, likely=2.8))
    """
    likely = [level for level in (first.likely, second.likely) if level is not None]
    return Span(min(first.low, second.low), min(first.high, second.high), min(likely, default=None))
