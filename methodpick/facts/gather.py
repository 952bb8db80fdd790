"""Gather the facts of a shaft: site and shaft once, each stratum once, then slices cut where an answer may change.

Order: what is logged and tested, class tables, assumptions on primary facts, then everything derived.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from methodpick.facts.aquifers import Aquifer, find_aquifers
from methodpick.facts.curves import WORSE, Curve, Curves, Ground, Inside, hull
from methodpick.facts.of_ground import of_ground, of_numbers
from methodpick.facts.of_shaft import of_shaft
from methodpick.facts.of_site import of_site
from methodpick.facts.of_slice import ground_of, of_depth, of_evidence, of_place, of_tables, of_water, wet_above
from methodpick.facts.sheet import Frame, Sheet
from methodpick.facts.strata import Stratum, build_strata
from methodpick.spoken import mark
from methodpick.vocabulary.assumptions import Assumption, applies, narrow
from methodpick.vocabulary.values import Span, Value, one, point

FINEST_M = 0.1
"""Slices are not cut finer than this where a curve crosses a limit."""


@dataclass(frozen=True, slots=True)
class Slice:
    """A length of shaft over which every fact keeps one set of values."""

    top_m: float
    base_m: float
    stratum: Stratum
    ground: Ground
    sheet: Sheet


@dataclass(frozen=True, slots=True)
class Gathered:
    """All facts of one shaft. ``taken`` holds the assumptions that narrowed a fact, with the place."""

    base: Sheet
    strata: tuple[Stratum, ...]
    aquifers: tuple[Aquifer, ...]
    curves: Curves
    slices: tuple[Slice, ...]
    taken: tuple[tuple[Assumption, str], ...]
    doubts: tuple[str, ...]


class Gatherer:
    """Gathers in two steps, because fluid levels depend on the heads that the first step finds."""

    def __init__(self, frame: Frame) -> None:
        """Read site, shaft and strata."""
        self.frame = frame
        self.taken: list[tuple[Assumption, str]] = []
        self.doubts: list[str] = []
        self.strata = build_strata(frame.profile, frame.shaft.tip_m)
        self.aquifers = find_aquifers(frame.profile, frame.site, self.strata)
        self.base = Sheet(frame.catalogue)
        of_site(frame, self.base)
        of_shaft(frame, self.base, self.strata, self.aquifers)
        self._assume(self.base, {"site", "shaft"}, "site")
        self.sheets = tuple(self._stratum(stratum) for stratum in self.strata)
        self._owners = tuple(self._owner(stratum) for stratum in self.strata)
        self._placed: dict[tuple[int, frozenset[str]], Sheet] = {}
        self.grounds = tuple(self._ground(index) for index in range(len(self.strata)))
        water = self.base.value("open_water_depth_m")
        above = -self.aquifers[0].level_m.low if frame.site.setting == "water" else 0.0
        del water
        surcharge = self.base.span("surcharge_kpa")
        self.curves = Curves(self.grounds, self.aquifers, frame.shaft.diameter_m, surcharge, above)

    def _stratum(self, stratum: Stratum) -> Sheet:
        sheet = self.base.copy()
        of_ground(self.frame, sheet, stratum)
        of_evidence(self.frame, sheet, stratum)
        if stratum.logged:
            where = f"{mark(stratum.top_m, 'm')} to {mark(stratum.base_m, 'm')}"
            self._assume(sheet, {"slice"}, where)
            of_numbers(self.frame, sheet, stratum)
            self._assume(sheet, {"slice"}, where)
        run = [s for s in self.strata if s.permeable == stratum.permeable and s.logged == stratum.logged]
        top = base = None
        for other in run:
            if other.top_m <= stratum.top_m <= other.base_m or (base is not None and abs(other.top_m - base) < 1e-6):
                top = other.top_m if top is None else top
                base = other.base_m
        thick = (base or stratum.base_m) - (top if top is not None else stratum.top_m)
        sheet.put("layer_thickness_m", point(thick), "logged", "run of like ground")
        return sheet

    def _assume(self, sheet: Sheet, scopes: set[str], where: str) -> None:
        values = sheet.values()
        for assumption in self.frame.assumptions:
            spec = self.frame.catalogue.facts[assumption.fact]
            if spec.scope not in scopes or not applies(assumption.where, values):
                continue
            known = sheet.facts.get(assumption.fact)
            narrowed = narrow(assumption, known, spec.domain, spec.unit)
            if narrowed is None:
                if known is not None and known.value.meet(assumption.value) is None and assumption.id.startswith("user"):  # type: ignore[arg-type]
                    self.doubts.append(f"The assumption on '{assumption.fact}' contradicts what is known at {where}; "
                                       "it is not taken.")
                continue
            sheet.facts[assumption.fact] = narrowed
            values[assumption.fact] = narrowed.value
            self.taken.append((assumption, where))

    def _owner(self, stratum: Stratum) -> Aquifer:
        """Give the aquifer that a stratum belongs to: its own, else the main one."""
        middle = (stratum.top_m + stratum.base_m) / 2
        for aquifer in self.aquifers[1:]:
            if aquifer.kind != "perched" and aquifer.top_m - 1e-6 <= middle <= aquifer.base_m + 1e-6:
                return aquifer
        return self.aquifers[0]

    def _at(self, index: int, top_m: float, base_m: float) -> Aquifer:
        """Give the aquifer of a slice: a strike zone or perched water inside the stratum goes first."""
        middle = (top_m + base_m) / 2
        for aquifer in self.aquifers[1:]:
            if aquifer.top_m - 1e-6 <= middle <= aquifer.base_m + 1e-6:
                return aquifer
        return self._owners[index]

    def _ground(self, index: int) -> Ground:
        stratum = self.strata[index]
        sheet = self._place(index, self._owners[index], (stratum.top_m, stratum.base_m))
        return ground_of(sheet, stratum, self._owners[index])

    def _place(self, index: int, aquifer: Aquifer, ends: tuple[float, float]) -> Sheet:
        """Give the sheet of a stratum in one water position, class tables read; copies share the work."""
        stratum = self.strata[index]
        words, likely = aquifer.position((ends[0] + ends[1]) / 2 + wet_above(stratum))
        key = (index, words | {aquifer.source, f"likely {likely}"})
        if key not in self._placed:
            sheet = self.sheets[index].copy()
            bearing = stratum.permeable or aquifer.kind in {"strike", "confined", "artesian"}
            rise = wet_above(stratum)
            of_water(sheet, aquifer, ends[0] + rise, ends[1] + rise, bearing)
            if stratum.logged:
                of_tables(self.frame, sheet, stratum)
            self._placed[key] = sheet
        return self._placed[key].copy()

    def slices(self, thresholds: Iterable[tuple[str, float]], insides: Mapping[str, Inside | None],
               extra: Sequence[float] = ()) -> tuple[Slice, ...]:
        """Cut the shaft and gather the facts of every slice."""
        tip = self.frame.shaft.tip_m
        depths = self._depths(extra)
        watched = [(fact, limit) for fact, limit in thresholds if fact in WATCHED]
        cuts = [depths[0]]
        for top, base in zip(depths, depths[1:], strict=False):
            cuts += [depth for depth in self._crossings(top, base, watched, insides)
                     if depth - cuts[-1] >= FINEST_M and base - depth >= FINEST_M]
            cuts.append(base)
        return tuple(self._slice(top, base) for top, base in zip(cuts, cuts[1:], strict=False) if base <= tip + 1e-9)

    def _depths(self, extra: Sequence[float]) -> list[float]:
        shaft = self.frame.shaft
        tip = shaft.tip_m
        depths = {0.0, tip, *(s.top_m for s in self.strata), *(s.base_m for s in self.strata), *extra}
        depths |= {shaft.cutoff_m, shaft.socket_top_m or 0.0}
        if shaft.bell is not None:
            depths.add(tip - (shaft.bell.height_m or (shaft.bell.diameter_m - shaft.diameter_m)))
        for aquifer in self.aquifers:
            level = aquifer.level_m
            levels = {level.low, level.high} | ({level.likely} if level.likely is not None else set())
            if aquifer.kind == "main":
                depths |= levels
                depths |= {level - rise for level in levels for stratum in self.strata if (rise := wet_above(stratum)) > 0
                           and stratum.top_m < level - rise < stratum.base_m}
            else:
                depths |= {aquifer.top_m, aquifer.base_m}
                depths |= {depth for depth in levels if aquifer.top_m < depth < aquifer.base_m}
        ordered = sorted({round(depth, 3) for depth in depths if 0.0 <= depth <= tip})
        kept = [ordered[0]]
        for depth in ordered[1:]:
            if depth - kept[-1] > 0.011 or depth == round(tip, 3):
                kept.append(depth)
        if len(kept) > 1 and kept[-1] - kept[-2] <= 0.011:
            del kept[-2]
        return kept

    def _slice(self, top_m: float, base_m: float) -> Slice:
        index = self._index((top_m + base_m) / 2)
        stratum = self.strata[index]
        aquifer = self._at(index, top_m, base_m)
        sheet = self._place(index, aquifer, (top_m, base_m))
        own = self.grounds[index]
        ground = own if aquifer is own.aquifer else Ground(own.top_m, own.base_m, own.weight, own.su, own.phi,
                                                          own.cohesion, aquifer, own.tight)
        if ground.phi is not None:
            cohesion = sheet.facts.get("cohesion_available_kpa")
            value = cohesion.value if cohesion is not None else ground.cohesion
            ground = Ground(own.top_m, own.base_m, own.weight, own.su, own.phi,
                            value if isinstance(value, Span) else point(0.0), aquifer, own.tight)
        of_place(self.frame, sheet, top_m, base_m)
        if stratum.logged:
            of_depth(self.frame, sheet, self.curves, ground, stratum, top_m, base_m)
        return Slice(top_m, base_m, stratum, ground, sheet)

    def _index(self, depth_m: float) -> int:
        return next((s.index for s in self.strata if s.top_m <= depth_m < s.base_m), len(self.strata) - 1)

    def _crossings(self, top_m: float, base_m: float, watched: Sequence[tuple[str, float]],
                   insides: Mapping[str, Inside | None]) -> list[float]:
        """Give the depths between two cuts where a watched curve crosses its limit, rounded to its safe side."""
        if base_m - top_m <= 2 * FINEST_M:
            return []
        index = self._index((top_m + base_m) / 2)
        aquifer = self._at(index, top_m, base_m)
        own = self.grounds[index]
        ground = Ground(own.top_m, own.base_m, own.weight, own.su, own.phi, own.cohesion, aquifer, own.tight)
        found: set[float] = set()
        for fact, limit in watched:
            for state, inside in insides.items():
                if state != "dry" and fact not in {"support_margin_kpa", "support_wanted_margin_kpa", "overload_share",
                                                   "uplift_factor"}:
                    continue
                for which in (0, 1, 2) if state == "dry" else (1,):
                    depth = self._cross(fact, limit, ground, inside, (top_m, base_m), which)
                    if depth is not None:
                        found.add(depth)
        return sorted(found)

    def _cross(self, fact: str, limit: float, ground: Ground, inside: Inside | None, ends: tuple[float, float],
               which: int) -> float | None:
        worse_is_high = WORSE[fact] is max

        def passes(depth: float) -> bool | None:
            value = curve_at(self.curves, fact, ground, depth, inside)
            if value is None or value[which] is None:
                return None
            return value[which] <= limit if worse_is_high else value[which] >= limit  # type: ignore[operator]

        top, base = ends
        first, last = passes(top + 1e-6), passes(base - 1e-6)
        if first is None or last is None or first == last:
            return None
        low, high = top, base
        while high - low > 1e-4:
            middle = (low + high) / 2
            if passes(middle) == first:
                low = middle
            else:
                high = middle
        return int(low * 100) / 100 if first else -int(-high * 100) / 100 + (0.01 if high * 100 % 1 > 1e-9 else 0.0)

    def state_values(self, cut: Slice, state: str, inside: Inside | None) -> dict[str, Value]:
        """Give the facts of a slice in one support state, on top of the slice's own."""
        values: dict[str, Value] = {"state": one(state)}
        if not cut.stratum.logged:
            return values
        ends = (cut.top_m, cut.base_m)
        if inside is not None:
            values["inside_pressure_kpa"] = Span(inside.pressure(ends[0]), inside.pressure(ends[1]),
                                                 inside.pressure(ends[1]))
        for fact in WATCHED - {"cohesion_margin_kpa"}:
            span = hull(*(curve_at(self.curves, fact, cut.ground, depth, inside) for depth in ends), WORSE[fact])
            if span is not None:
                values[fact] = _clip(span, self.frame.catalogue.facts[fact].domain)
        return values

    def gathered(self, slices: tuple[Slice, ...]) -> Gathered:
        """Give the result of both steps."""
        return Gathered(self.base, self.strata, self.aquifers, self.curves, slices, tuple(self.taken),
                        tuple(self.doubts))


WATCHED = frozenset({"overload_ratio", "overload_share", "uplift_factor", "support_margin_kpa",
                     "support_wanted_margin_kpa", "cohesion_margin_kpa", "fluid_head_m"})
"""Facts that run with depth and that rules compare with limits."""


def curve_at(curves: Curves, fact: str, ground: Ground, depth_m: float, inside: Inside | None) -> Curve | None:
    """Give a watched fact at a depth, None where it does not apply."""
    if fact == "overload_ratio":
        return curves.overload(ground, depth_m, inside)
    if fact == "overload_share":
        return curves.share(ground, depth_m, inside)
    if fact == "uplift_factor":
        return curves.uplift(ground, depth_m, inside)
    if fact == "cohesion_margin_kpa":
        return curves.cohesion_margin(ground, depth_m)
    if fact == "fluid_head_m":
        return curves.fluid_head(ground, inside)
    factor, hoop_k0 = (1.1, False) if fact == "support_margin_kpa" else (1.3, True)
    needed = curves.support(ground, depth_m, factor, hoop_k0=hoop_k0) if inside is not None else None
    if needed is None or inside is None:
        return None
    pressure = inside.pressure(depth_m)
    return pressure - needed[2], None if needed[1] is None else pressure - needed[1], pressure - needed[0]


def _clip(span: Span, domain: Value) -> Span:
    if not isinstance(domain, Span):
        return span
    low, high = min(max(span.low, domain.low), domain.high), min(max(span.high, domain.low), domain.high)
    return Span(low, high, None if span.likely is None else min(max(span.likely, low), high))
