"""Water as a head per aquifer: which readings belong to which permeable ground, and how far each is believed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from methodpick.facts.aquifer import Aquifer, merged, perched_water
from methodpick.facts.strata import Stratum
from methodpick.ground.profile import Profile, Technique, WaterReading
from methodpick.ground.site import SiteConditions
from methodpick.records import record
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import Span

PermeableRun = tuple[float, float]
"""Top and base of a run of permeable ground."""
_FLUSHED = frozenset({"mud_rotary", "wash", "rotary"})
"""Ways of drilling whose fluid hides the groundwater."""


@record
class Belief:
    """How far a reading of the main water is believed: its rank (0 is best), the level, the reading in words.

    ``read`` is false where no reading is behind it; ``none_met`` where the hole met no water down to where it was drilled dry.
    """

    rank: int
    level_m: Span
    words: str
    assumed: frozenset[str] = frozenset({"water-while-drilling"})
    read: bool = True
    none_met: bool = False

    @property
    def order(self) -> tuple[int, float, float]:
        """Return what sorts the reading that is believed first: the better one, of equals the higher water."""
        level = self.level_m
        return self.rank, level.low, level.high if level.likely is None else level.likely


def find_aquifers(profile: Profile, site: SiteConditions, strata: tuple[Stratum, ...], limits: Mapping[str, float]) -> tuple[Aquifer, ...]:
    """Return the aquifers from the top down; the first one, "main", also stands for the ground between them.

    A reading belongs to a zone, a time and a way of drilling. Perched water stays with its own stratum.
    """
    return _Water(profile, site, strata, limits).aquifers()


class _Water:
    """The readings of one boring, with the runs of permeable ground that they may belong to."""

    def __init__(self, profile: Profile, site: SiteConditions, strata: tuple[Stratum, ...], limits: Mapping[str, float]) -> None:
        self.profile, self.site, self.strata, self.limits = profile, site, strata, limits
        self.tolerance_m, self.season_m = limits["log_depth_tolerance_m"], limits["water_season_m"]
        self.early_m, self.error_m = limits["water_early_higher_m"], limits["water_reading_error_m"]
        self.runs = self._runs()

    def aquifers(self) -> tuple[Aquifer, ...]:
        """Return the main water, what is read or struck below it, what nobody read, and perched water."""
        main = self._main()
        found = [main, *merged([*self._confined(), *self._under_casing()])]
        found += self._under_lids(main, found)
        found += self._unread(found)
        found += perched_water(self.profile, self.strata, found, self.limits["water_perched_swing_m"])
        return tuple(sorted(found, key=lambda aquifer: (aquifer.kind != "main", aquifer.top_m)))

    def _main(self) -> Aquifer:
        """Return the main water with the runs of permeable ground that hold it; without a reading it holds no covered run."""
        belief = self._main_level()
        level = belief.level_m
        runs, likely = self.runs, level.high if level.likely is None else level.likely
        holds = bool(runs) and runs[0][0] <= likely + 0.01 and (belief.read or not self._covered(runs[0]))
        base = runs[0][1] if holds else 0.0
        if belief.none_met:
            base = max((run_base for top, run_base in runs if top < self._drilled_dry_to()), default=base)
        return Aquifer(
            top_m=0.0,
            base_m=base,
            level_m=level,
            kind="main",
            source=belief.words,
            read=belief.read,
            assumed=belief.assumed,
            none_met=belief.none_met,
        )

    def _under_lids(self, main: Aquifer, found: list[Aquifer]) -> list[Aquifer]:
        """Return the covered runs of the main water that may rise over their tops: there it lifts a base in the lid."""
        return [
            replace(main, top_m=top, base_m=base, kind="covered")
            for top, base in self.runs
            if base <= main.base_m + 0.01
            and main.level_m.low < top - 0.01
            and self._covered((top, base))
            and not any(top - 0.01 <= aquifer.top_m < base for aquifer in found[1:])
        ]

    def _runs(self) -> list[PermeableRun]:
        """Return the runs of permeable ground, joined across tight seams too thin to part them."""
        runs: list[PermeableRun] = []
        for stratum in self.strata:
            if not stratum.permeable:
                continue
            if runs and stratum.top_m - runs[-1][1] < self.limits["aquifer_parting_m"]:
                runs[-1] = (runs[-1][0], stratum.base_m)
            else:
                runs.append((stratum.top_m, stratum.base_m))
        return runs

    def _run_at(self, depth_m: float) -> PermeableRun | None:
        """Return the run of permeable ground in which water was met at a depth, None in tight ground."""
        return next(((top, base) for top, base in self.runs if top - self.tolerance_m <= depth_m <= base), None)

    def _main_level(self) -> Belief:
        """Return what is believed of the main water level: of open water, by the best reading, or without any."""
        if self.site.setting == "water" and self.site.water_depth_m is not None:
            return Belief(0, _open_water(self.site, self.site.water_depth_m), "open water over the bed", frozenset())
        best: Belief | None = None
        for reading in self.profile.water:
            belief = None if self._belongs_below(reading) else self._believe(reading, self.runs)
            if belief is not None and (best is None or belief.order < best.order):
                best = belief
        if best is not None:
            return best
        bottom = max(self.profile.end_m, 1.0)
        below = [level for reading in self.profile.water if (level := reading.level_m) is not None and self._belongs_below(reading)]
        if below:
            likely = max(0.0, min(below))
            as_below = Span(0.0, max(bottom, likely), likely)
            return Belief(5, as_below, "not read; taken as the water below", frozenset({"upper-water-like-below"}), read=False)
        return Belief(5, Span(0.0, bottom), "no water reading", frozenset(), read=False)

    def _belongs_below(self, reading: WaterReading) -> bool:
        """Return whether a reading speaks for ground that lies under tight ground, not for the main water."""
        if self._cased_off(reading):
            return True
        zone = reading.response_zone_m
        if reading.reading == "piezometer":
            met = zone[0] if zone is not None else None
        else:
            met = reading.met_m if reading.reading == "confined" else None
        if met is None:
            return False
        home = self._run_at(met)
        return home is not None and (self._covered(home) or self._under_rock(reading, home))

    def _may_measure_below(self, reading: WaterReading) -> bool:
        """Return whether a piezometer may measure water under tight ground as well as the main water: it does not name its zone."""
        return reading.reading == "piezometer" and reading.response_zone_m is None and any(self._covered(run) for run in self.runs)

    def _under_rock(self, reading: WaterReading, run: PermeableRun) -> bool:
        """Return whether water rose that was struck in a run below rock: rock that gave none holds it down, and is a lid."""
        met, least = reading.met_m, self.limits["aquifer_parting_m"]
        if reading.reading != "confined" or met is None:
            return False
        return any(
            stratum.likely == "rock" and max(run[0], stratum.top_m) + least <= met <= stratum.base_m + self.tolerance_m
            for stratum in self.strata
        )

    def _cased_off(self, reading: WaterReading) -> bool:
        """Return whether the hole was cased through the upper permeable ground, so that the reading comes from under the casing."""
        casing = reading.casing_depth_m
        return (
            casing is not None
            and reading.reading not in {"piezometer", "confined", "perched"}
            and bool(self.runs)
            and self.runs[0][1] <= casing + 0.01
        )

    def _believe(self, reading: WaterReading, runs: list[PermeableRun]) -> Belief | None:
        """Return how far a reading of the water in the runs is believed; None where it says nothing."""
        level, season = reading.level_m, self.season_m
        if reading.reading in {"settled", "piezometer"} and level is not None:
            if self._may_measure_below(reading):
                span, words = Span(min(level, 0.0), level + season, level), f"piezometer at {_level(reading, level)}, its zone not stated"
                return Belief(2, span, words, frozenset({"piezometer-zone-not-stated"}))
            span = Span(min(level, max(0.0, level - season)), level + season, level)
            return Belief(0, span, f"{reading.reading} at {_level(reading, level)}", frozenset({"water-season"}))
        if self._technique_of(reading) not in _FLUSHED:
            if reading.reading in {"while_drilling", "end_of_drilling"} and level is not None:
                return self._while_drilling(reading, level, runs)
            if reading.reading == "none_met":
                return self._none_met(reading, runs)
        met = reading.met_m
        if reading.reading == "confined" and runs and level is not None and met is not None:
            top, base = runs[0]
            if top - self.tolerance_m <= met <= base:
                span = Span(level - season, level + self.error_m, level)
                return Belief(1, span, f"struck at {mark(met, 'm')}, rose to {_level(reading, level)}")
        return None

    def _technique_of(self, reading: WaterReading) -> Technique:
        """Return how the boring was drilled where the reading was made, above the end of the hole at the time."""
        at = reading.hole_depth_m if reading.hole_depth_m is not None else reading.met_m
        return self.profile.technique if at is None else self.profile.technique_at(max(0.0, at - self.tolerance_m))

    def _while_drilling(self, reading: WaterReading, level_m: float, runs: list[PermeableRun]) -> Belief:
        """Return how far a level is believed that was met while drilling: in tight ground it reads low, after water was added high."""
        met, at = reading.met_m if reading.met_m is not None else level_m, _level(reading, level_m)
        higher = min(level_m, max(0.0, level_m - self.early_m))
        if any(top - self.tolerance_m <= met <= base for top, base in runs):
            if self._water_was_added(met):
                deepest = max(level_m, reading.hole_depth_m or self.profile.end_m)
                words = f"met while drilling at {at}, after water was added (may read high)"
                return Belief(2, Span(higher, deepest, level_m), words)
            return Belief(1, Span(higher, level_m + self.error_m, level_m), f"met while drilling at {at}")
        likely = max(0.0, level_m - self.season_m)
        return Belief(2, Span(0.0, max(level_m, likely), likely), f"met while drilling in tight ground at {at} (reads low)")

    def _none_met(self, reading: WaterReading, runs: list[PermeableRun]) -> Belief:
        """Return what a dry hole says: the water lies below it in permeable ground, and next to nothing in tight ground."""
        end, far, hole = self.profile.end_m, self.limits["water_unmet_below_m"], self._drilled_dry_to(reading)
        through = [min(hole, base) for top, base in runs if top < hole]
        if through:
            seen = max(through)
            likely = max(hole, seen + self.limits["water_unmet_likely_m"])
            below = Span(max(0.0, seen - self.season_m), max(likely, end) + far, likely)
            return Belief(3, below, "none met", none_met=True)
        return Belief(4, Span(0.0, max(hole, end) + far, hole), "none met, in tight ground", none_met=True)

    def _drilled_dry_to(self, reading: WaterReading | None = None) -> float:
        """Return how deep the hole stood open and was drilled without water: to its end, to where it fell in or where water was added."""
        if reading is None:
            return max((self._drilled_dry_to(each) for each in self.profile.water if each.reading == "none_met"), default=0.0)
        hole = reading.hole_depth_m or self.profile.end_m
        added = [remark.depth_m or 0.0 for remark in self.profile.remarks if "water_added" in remark.tags]
        caved = [] if self.profile.cave_in_depth_m is None else [self.profile.cave_in_depth_m]
        return min([hole, *added, *caved])

    def _water_was_added(self, depth_m: float) -> bool:
        """Return whether water was added to the hole before it reached a depth."""
        return any(
            "water_added" in remark.tags and (remark.depth_m is None or remark.depth_m <= depth_m + self.tolerance_m)
            for remark in self.profile.remarks
        )

    def _confined(self) -> list[Aquifer]:
        """Return the aquifers that the log itself says are under pressure, or were struck below tight ground."""
        found: list[Aquifer] = []
        for reading in self.profile.water:
            zone = reading.response_zone_m
            deep = reading.reading == "piezometer" and zone is not None and self._belongs_below(reading)
            met = zone[0] if deep and zone else reading.met_m
            if (reading.reading != "confined" and not deep) or met is None:
                continue
            home = self._run_at(met)
            lid = home is not None and self._under_rock(reading, home)
            if home is not None and home == self.runs[0] and not self._covered(home) and not lid:
                continue
            top, base = home or (met, met + self.limits["strike_zone_m"])
            if lid:
                top, base = met, max(base, met + self.limits["strike_zone_m"])
            level = reading.rises_to_m if reading.reading == "confined" else reading.level_m
            if level is None:
                found.append(self._strike(top, base, met))
            else:
                words = f"piezometer from {mark(met, 'm')} down at" if deep else f"struck at {mark(met, 'm')}, rose to"
                risen = self._risen((top, base), met, level, f"{words} {_level(reading, level)}")
                found.append(replace(risen, in_standpipe=deep))
        return found

    def _strike(self, top_m: float, base_m: float, met_m: float) -> Aquifer:
        """Return water that was struck and whose rise nobody recorded; a strike above the ground counts as one at the ground."""
        span = Span(0.0, max(0.0, met_m), max(0.0, met_m - self.limits["strike_rise_m"]))
        source = f"struck at {mark(met_m, 'm')}, rise not recorded"
        return Aquifer(
            top_m=top_m,
            base_m=base_m,
            level_m=span,
            kind="strike",
            source=source,
            read=True,
            assumed=frozenset({"strike-rise-not-recorded"}),
        )

    def _risen(self, run: PermeableRun, met_m: float, level_m: float, source: str) -> Aquifer:
        """Return water that was struck, or is let in by a standpipe, and rose to a level."""
        span = Span(level_m - self.season_m, max(level_m, min(met_m, level_m + self.error_m)), level_m)
        kind = "artesian" if level_m < 0 else "confined"
        return Aquifer(*run, level_m=span, kind=kind, source=source, read=True)

    def _under_casing(self) -> list[Aquifer]:
        """Return the aquifers that were read from under a casing, which shut the upper ground off."""
        found: list[Aquifer] = []
        for reading in self.profile.water:
            casing = reading.casing_depth_m
            if casing is None or not self._cased_off(reading):
                continue
            hole = reading.hole_depth_m or self.profile.end_m
            early = reading.met_m if reading.reading != "settled" and reading.met_m is not None and reading.met_m > casing else hole
            home = next(((top, base) for top, base in self.runs if base > casing + 0.01 and top - self.tolerance_m <= early), None)
            belief = self._believe(reading, [home]) if home is not None else None
            if home is None or belief is None or belief.level_m.likely is None or reading.reading == "none_met":
                continue
            likely = belief.level_m.likely
            kind = "artesian" if likely < 0 else "confined" if likely < home[0] - 0.01 else "below"
            source = f"under casing to {mark(casing, 'm')}: {belief.words}"
            found.append(Aquifer(*home, belief.level_m, kind, source, True, belief.assumed))
        return found

    def _covered(self, run: PermeableRun) -> bool:
        """Return whether tight ground lies over a run."""
        return any(
            not stratum.permeable and stratum.base_m <= run[0] + 0.01 and stratum.base_m - stratum.top_m >= self.limits["aquifer_parting_m"]
            for stratum in self.strata
        )

    def _unread(self, found: list[Aquifer]) -> list[Aquifer]:
        """Return the deeper permeable runs that no reading belongs to: likely at the level of the read one above."""
        more: list[Aquifer] = []
        for top, bottom in self.runs:
            base = min((aquifer.top_m for aquifer in found if top + 0.01 < aquifer.top_m < bottom), default=bottom)
            if any(aquifer.top_m <= top + 0.01 and aquifer.base_m >= base - 0.01 for aquifer in found):
                continue
            above = [aquifer for aquifer in found if aquifer.top_m <= top] or found[:1]
            model = max(above, key=lambda aquifer: aquifer.top_m)
            likely = model.level_m.likely
            low = min(0.0, model.level_m.low)
            deepest = (low if likely is None else likely) if model.read else model.level_m.high
            span = Span(low, max(top, deepest), likely)
            source = f"not read; taken as the water above ({model.source})" if model.read else model.source
            more.append(
                Aquifer(
                    top_m=top,
                    base_m=base,
                    level_m=span,
                    kind="unread",
                    source=source,
                    read=False,
                    assumed=frozenset({"deep-aquifer-like-above"}) if model.read else model.assumed,
                )
            )
        return more


def _level(reading: WaterReading, level_m: float) -> str:
    """Return a level, and on which day it was read where the log says so."""
    return mark(level_m, "m") + (f" on {reading.day}" if reading.day else "")


def _open_water(site: SiteConditions, depth_m: float) -> Span:
    """Return the level of open water as a depth below the mudline: its highest, lowest and likely one."""
    level = site.water_level
    high = level.high_m if level and level.high_m is not None else None
    low = level.low_m if level and level.low_m is not None else None
    return Span(-max(high or depth_m, depth_m), -min(low or depth_m, depth_m), -depth_m)
