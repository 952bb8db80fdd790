"""Water as a head per aquifer: which readings belong to which permeable ground, and how far each is believed."""

from __future__ import annotations

from dataclasses import dataclass, replace

from methodpick.facts.strata import Stratum
from methodpick.ground.profile import Profile, WaterReading
from methodpick.ground.site import SiteConditions
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import Span

SEPARATES_M = 0.3
"""Tight ground at least this thick parts two aquifers (own value, low confidence)."""
STRIKE_ZONE_M = 0.5
"""Thickness given to water struck inside tight ground (own value, low confidence)."""
SEASON_M = 1.0
"""Swing either way of a settled level that was read once (own value, low confidence)."""
STRIKE_RISE_M = 3.0
"""Likely rise of a strike whose rise was not recorded (own value, low confidence)."""


@dataclass(frozen=True, slots=True)
class Aquifer:
    """Ground that shares one head. ``level_m`` is the depth of its piezometric level (low is the shallowest)."""

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


def find_aquifers(profile: Profile, site: SiteConditions, strata: tuple[Stratum, ...]) -> tuple[Aquifer, ...]:
    """Return the aquifers from the top down; the first one, "main", also stands for the ground between them.

    A reading belongs to a zone, a time and a way of drilling. Perched water stays with its own stratum.
    """
    groups = _groups(strata)
    main_level, source, read, assumed = _main_level(profile, site, groups, strata)
    main_base = groups[0][1] if groups and groups[0][0] <= (main_level.likely or main_level.high) + 0.01 else 0.0
    found = [Aquifer(0.0, main_base, main_level, "main", source, read, assumed)]
    found += _merged([*_confined(profile, groups, strata), *_under_casing(profile, groups)])
    found += _unread(groups, found)
    found += _perched(profile, strata)
    return tuple(sorted(found, key=lambda aquifer: (aquifer.kind != "main", aquifer.top_m)))


def _groups(strata: tuple[Stratum, ...]) -> list[tuple[float, float]]:
    """Return the runs of permeable ground, joined across tight seams too thin to part them."""
    groups: list[tuple[float, float]] = []
    for stratum in strata:
        if not stratum.permeable:
            continue
        if groups and stratum.top_m - groups[-1][1] < SEPARATES_M:
            groups[-1] = (groups[-1][0], stratum.base_m)
        else:
            groups.append((stratum.top_m, stratum.base_m))
    return groups


def _main_level(
    profile: Profile, site: SiteConditions, groups: list[tuple[float, float]], strata: tuple[Stratum, ...]
) -> tuple[Span, str, bool, frozenset[str]]:
    """Return the main water level as a depth, its source, whether it was read, and the assumptions behind it."""
    if site.setting == "water" and site.water_depth_m is not None:
        high = site.water_level.high_m if site.water_level and site.water_level.high_m is not None else None
        low = site.water_level.low_m if site.water_level and site.water_level.low_m is not None else None
        depth = site.water_depth_m
        return Span(-max(high or depth, depth), -min(low or depth, depth), -depth), "open water", True, frozenset()
    best: tuple[int, Span, str] | None = None
    for reading in profile.water:
        judged = None if _belongs_below(reading, groups, strata) else _believe(reading, profile, groups)
        if judged is not None and (best is None or judged[0] < best[0] or (judged[0] == best[0] and judged[1].low < best[1].low)):
            best = judged
    if best is None:
        bottom = max(profile.end_m, 1.0)
        below = [level for reading in profile.water if (level := reading.level_m) is not None and _belongs_below(reading, groups, strata)]
        if below:
            likely = max(0.0, min(below))
            return (Span(0.0, max(bottom, likely), likely), "taken like the water read below", False, frozenset({"upper-water-like-below"}))
        return Span(0.0, bottom), "no water reading", False, frozenset()
    assumed = frozenset({"water-season"}) if best[0] == 0 else frozenset({"water-while-drilling"})
    return best[1], best[2], True, assumed


def _belongs_below(reading: WaterReading, groups: list[tuple[float, float]], strata: tuple[Stratum, ...]) -> bool:
    """Return whether a reading speaks for ground that lies under tight ground, not for the main water."""
    if _cased_off(reading, groups):
        return True
    zone = reading.response_zone_m
    met = zone[0] if reading.reading == "piezometer" and zone is not None else reading.met_m
    if met is None or reading.reading not in {"piezometer", "confined"}:
        return False
    home = next(((top, base) for top, base in groups if top - 0.3 <= met <= base), None)
    return home is not None and _covered(home, strata)


def _cased_off(reading: WaterReading, groups: list[tuple[float, float]]) -> bool:
    """Return whether the hole was cased through the upper permeable ground, so that the reading comes from under the casing."""
    casing = reading.casing_depth_m
    return (
        casing is not None
        and reading.reading not in {"piezometer", "confined", "perched"}
        and bool(groups)
        and groups[0][1] <= casing + 0.01
    )


def _believe(reading: WaterReading, profile: Profile, groups: list[tuple[float, float]]) -> tuple[int, Span, str] | None:
    """Return how far a reading of the main water is believed: its rank (0 best), the level and its words."""
    level = reading.level_m
    fluid_drilled = profile.technique in {"mud_rotary", "wash", "rotary"}
    if reading.reading in {"settled", "piezometer"} and level is not None:
        return 0, Span(min(level, max(0.0, level - SEASON_M)), level + SEASON_M, level), f"{reading.reading} at {mark(level, 'm')}"
    if reading.reading in {"while_drilling", "end_of_drilling"} and level is not None and not fluid_drilled:
        met = reading.met_m if reading.met_m is not None else level
        free = any(top - 0.3 <= met <= base for top, base in groups)
        if free and _water_was_added(profile, met):
            deepest = max(level, reading.hole_depth_m or profile.end_m)
            said = f"met while drilling at {mark(level, 'm')}, after water was added (may read high)"
            return 2, Span(max(0.0, level - 1.5), deepest, level), said
        if free:
            return 1, Span(min(level, max(0.0, level - 1.5)), level + 0.5, level), f"met while drilling at {mark(level, 'm')}"
        likely = max(0.0, level - SEASON_M)
        return 2, Span(0.0, max(level, likely), likely), f"met while drilling in tight ground at {mark(level, 'm')} (reads low)"
    if (
        reading.reading == "confined"
        and groups
        and level is not None
        and reading.met_m is not None
        and groups[0][0] - 0.3 <= reading.met_m <= groups[0][1]
    ):
        return 1, Span(level - SEASON_M, level + 0.5, level), f"struck at {mark(reading.met_m, 'm')}, rose to {mark(level, 'm')}"
    if reading.reading == "none_met" and not fluid_drilled:
        hole = reading.hole_depth_m or profile.end_m
        if groups and groups[0][0] < hole:
            seen = min(hole, groups[0][1])
            return 3, Span(max(0.0, seen - SEASON_M), max(seen, profile.end_m) + 50.0, seen + 1.0), "none met"
        return 4, Span(0.0, max(hole, profile.end_m) + 50.0, hole), "none met, in tight ground"
    return None


def _water_was_added(profile: Profile, depth_m: float) -> bool:
    """Return whether water was added to the hole before it reached a depth."""
    return any("water_added" in remark.tags and (remark.depth_m is None or remark.depth_m <= depth_m + 0.3) for remark in profile.remarks)


def _confined(profile: Profile, groups: list[tuple[float, float]], strata: tuple[Stratum, ...]) -> list[Aquifer]:
    """Return the aquifers that the log itself says are under pressure, or were struck below tight ground."""
    found: list[Aquifer] = []
    for reading in profile.water:
        zone = reading.response_zone_m
        deep = reading.reading == "piezometer" and zone is not None and _belongs_below(reading, groups, strata)
        met = zone[0] if deep and zone else reading.met_m
        if (reading.reading != "confined" and not deep) or met is None:
            continue
        home = next(((top, base) for top, base in groups if top - 0.3 <= met <= base), None)
        if home is not None and home == groups[0] and not _covered(home, strata):
            continue
        top, base = home or (met, met + STRIKE_ZONE_M)
        level = reading.rises_to_m if reading.reading == "confined" else reading.level_m
        if level is None:
            span = Span(0.0, met, max(0.0, met - STRIKE_RISE_M))
            found.append(
                Aquifer(
                    top,
                    base,
                    span,
                    "strike",
                    f"struck at {mark(met, 'm')}, rise not recorded",
                    True,
                    frozenset({"strike-rise-not-recorded"}),
                )
            )
        else:
            span = Span(level - SEASON_M, max(level, min(met, level + 0.5)), level)
            kind = "artesian" if level < 0 else "confined"
            found.append(Aquifer(top, base, span, kind, f"struck at {mark(met, 'm')}, rose to {mark(level, 'm')}", True))
    return found


def _under_casing(profile: Profile, groups: list[tuple[float, float]]) -> list[Aquifer]:
    """Return the aquifers that were read from under a casing, which shut the upper ground off."""
    found: list[Aquifer] = []
    for reading in profile.water:
        casing = reading.casing_depth_m
        if casing is None or not _cased_off(reading, groups):
            continue
        hole = reading.hole_depth_m or profile.end_m
        early = reading.met_m if reading.reading != "settled" and reading.met_m is not None and reading.met_m > casing else hole
        home = next(((top, base) for top, base in groups if base > casing + 0.01 and top - 0.3 <= early), None)
        judged = _believe(reading, profile, [home]) if home is not None else None
        if home is None or judged is None or judged[1].likely is None or reading.reading == "none_met":
            continue
        likely = judged[1].likely
        kind = "artesian" if likely < 0 else "confined" if likely < home[0] - 0.01 else "below"
        found.append(
            Aquifer(
                *home,
                judged[1],
                kind,
                f"under casing to {mark(casing, 'm')}: {judged[2]}",
                True,
                frozenset({"water-season" if judged[0] == 0 else "water-while-drilling"}),
            )
        )
    return found


def _covered(group: tuple[float, float], strata: tuple[Stratum, ...]) -> bool:
    """Return whether tight ground lies over the group."""
    return any(
        not stratum.permeable and stratum.base_m <= group[0] + 0.01 and stratum.base_m - stratum.top_m >= SEPARATES_M for stratum in strata
    )


def _merged(found: list[Aquifer]) -> list[Aquifer]:
    """Join readings of the same aquifer: the shallowest likely level is believed, the range holds all."""
    by_top: dict[float, Aquifer] = {}
    for aquifer in found:
        old = by_top.get(aquifer.top_m)
        if old is None:
            by_top[aquifer.top_m] = aquifer
            continue
        first = min(old, aquifer, key=lambda one: one.level_m.likely if one.level_m.likely is not None else 1e9)
        hull = old.level_m.hull(aquifer.level_m)
        by_top[aquifer.top_m] = replace(first, level_m=Span(hull.low, hull.high, first.level_m.likely))
    return list(by_top.values())


def _unread(groups: list[tuple[float, float]], found: list[Aquifer]) -> list[Aquifer]:
    """Return the deeper permeable groups that no reading belongs to: likely at the level of the read one above."""
    more: list[Aquifer] = []
    for top, base in groups:
        if any(aquifer.top_m <= top + 0.01 and aquifer.base_m >= base - 0.01 for aquifer in found):
            continue
        above = [aquifer for aquifer in found if aquifer.top_m <= top] or found[:1]
        model = max(above, key=lambda aquifer: aquifer.top_m)
        likely = model.level_m.likely
        low = min(0.0, model.level_m.low)
        high = max(top, low, likely or low)
        more.append(
            Aquifer(
                top,
                base,
                Span(low, high, likely),
                "unread",
                f"not read; taken like {model.source}",
                False,
                frozenset({"deep-aquifer-like-above"}),
            )
        )
    return more


def _perched(profile: Profile, strata: tuple[Stratum, ...]) -> list[Aquifer]:
    """Return perched water: it wets the stratum that holds it and nothing below."""
    found = []
    for reading in profile.water:
        level = reading.level_m
        if reading.reading != "perched" or level is None:
            continue
        holder = next((s for s in strata if s.top_m - 0.01 <= level < s.base_m), None)
        if holder is not None:
            found.append(
                Aquifer(
                    level, holder.base_m, Span(max(0.0, level - 0.5), level + 0.5, level), "perched", f"perched at {mark(level, 'm')}", True
                )
            )
    return found
