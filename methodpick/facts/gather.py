"""Gather the facts of a shaft: site and shaft once, each stratum once, then slices cut where an answer may change.

Order: what is logged and tested, class tables, assumptions on primary facts, then everything derived.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import cache, reduce
from itertools import pairwise

from methodpick.facts.aquifer import Aquifer
from methodpick.facts.aquifers import find_aquifers
from methodpick.facts.curves import ClayBehaviour, Curves, Ground, HoleFluid, LidSide, Loading, inset
from methodpick.facts.cuts import UNDER_FLUID, WATCHED, crossings, cut_depths, cuts_at
from methodpick.facts.of_ground import of_ground, of_numbers
from methodpick.facts.of_site import of_evidence, of_shaft, of_site
from methodpick.facts.of_slice import WORSE, SliceInputs, ground_of, hull, of_depth, of_place, of_tables, of_water, wet_above
from methodpick.facts.penetration_tests import Overburden, Surroundings
from methodpick.facts.sheet import SUPPORT, FactSheet, Frame, Station, clip, doubts_of_ranges, is_of_ground
from methodpick.facts.strata import ReadingRules, Stratum, build_strata
from methodpick.mechanics.registry import Call, recording
from methodpick.records import record
from methodpick.unit_markup import mark
from methodpick.vocabulary.assumptions import Assumption, applies, misses, narrow
from methodpick.vocabulary.catalogue import FactSpec
from methodpick.vocabulary.values import Choice, Fact, Span, Value, hull_of, known, point


@record(guarded=False)
class Slice:
    """A length of shaft over which every fact keeps one set of values."""

    top_m: float
    base_m: float
    stratum: Stratum
    ground: Ground
    sheet: FactSheet
    stations: tuple[Station, Station]


_certain = cache(known)
_IN_STATES = ("inside_pressure_kpa", *sorted(UNDER_FLUID | {"fluid_head_m"}))
_OF_FLUID = frozenset({"inside_pressure_kpa", "fluid_head_m", *SUPPORT})
"""Facts that a hole without fluid does not have."""


@record
class Gathered:
    """All facts of one shaft. ``taken`` holds the assumptions that narrowed a fact, with top and base in m; None for the whole site."""

    base: FactSheet
    strata: tuple[Stratum, ...]
    aquifers: tuple[Aquifer, ...]
    curves: Curves
    slices: tuple[Slice, ...]
    taken: tuple[tuple[Assumption, tuple[float, float] | None], ...]
    doubts: tuple[str, ...]


_Assuming = tuple[Assumption, FactSpec]
"""An assumption and the fact that it narrows."""


def _by_fact(entries: Iterable[_Assuming]) -> dict[str, list[_Assuming]]:
    grouped: dict[str, list[_Assuming]] = {}
    for entry in entries:
        grouped.setdefault(entry[0].fact, []).append(entry)
    return grouped


def _narrowed_in(entries: Iterable[_Assuming], logged: Fact | None, values: Mapping[str, Value]) -> tuple[Fact | None, list[Assumption]]:
    """Return a fact as assumptions narrow it in one soil, and which of them do."""
    fact, used = logged, []
    for assumption, spec in entries:
        narrowed = narrow(assumption, fact, spec.domain, spec.unit) if applies(assumption.where, values) else None
        if narrowed is not None:
            fact = narrowed
            used.append(assumption)
    return fact, used


class Gatherer:
    """Gathers in two steps, because fluid levels depend on the heads that the first step finds."""

    def __init__(self, frame: Frame, heard: list[Call] | None = None) -> None:
        """Read site, shaft and strata; ``heard`` is a running record of calls, where the calls behind the facts are asked for."""
        self.frame = frame
        self.taken: list[tuple[Assumption, tuple[float, float] | None]] = []
        self.doubts: list[str] = []
        specs = [(assumption, frame.catalogue.facts[assumption.fact]) for assumption in frame.assumptions]
        self._shared_assumptions = tuple((assumption, spec) for assumption, spec in specs if spec.scope in {"site", "shaft"})
        self._slice_assumptions = tuple((assumption, spec) for assumption, spec in specs if spec.scope == "slice")
        self._soil_assumptions = _by_fact(entry for entry in self._slice_assumptions if "soil" in entry[0].where)
        self.strata = build_strata(frame.profile, frame.shaft.tip_m, ReadingRules(frame.limits, frame.tables))
        self.aquifers = find_aquifers(frame.profile, frame.site, self.strata, frame.limits)
        self.base = FactSheet(frame.catalogue, heard=heard)
        of_site(frame, self.base)
        of_shaft(frame, self.base, self.strata, self.aquifers)
        self._assume(self.base, self._shared_assumptions, None)
        self._owners = tuple(self._owner(stratum) for stratum in self.strata)
        self._over = Overburden(self.strata, frame.limits, frame.site.setting == "water")
        self.sheets = tuple(self._stratum(stratum) for stratum in self.strata)
        self._placed: dict[tuple[int, frozenset[str]], FactSheet] = {}
        self.grounds = tuple(self._ground(index) for index in range(len(self.strata)))
        self.curves = Curves(self.grounds, self.aquifers, self._loading())

    def _loading(self) -> Loading:
        frame = self.frame
        return Loading(
            diameter_m=frame.shaft.diameter_m,
            surcharge=self.base.span("surcharge_kpa"),
            surcharge_area_m=(frame.limits["surcharge_width_m"], frame.limits["surcharge_length_m"]),
            water_above_m=-self.aquifers[0].level_m.low if frame.site.setting == "water" else 0.0,
            wall_factor_least=frame.limits["wall_factor_least"],
            wall_factor_recommended=frame.limits["wall_factor_recommended"],
            overload_cap=frame.limits["overload_cap"],
            lid_side=self._lid_side() if frame.site.lid_adhesion_agreed else None,
            clay=self._clay(),
        )

    def _clay(self) -> ClayBehaviour:
        limits = self.frame.limits
        return ClayBehaviour(
            rigidity=Span(limits["rigidity_low"], limits["rigidity_high"], limits["rigidity_likely"]),
            at_rest_low=limits["clay_at_rest_low"],
            at_rest_likely=limits["clay_at_rest_likely"],
            concrete_kn_m3=limits["concrete_unit_weight_kn_m3"],
            concrete_top_m=min(self.frame.shaft.cutoff_m, 0.0),
            tip_m=self.frame.shaft.tip_m,
            whole_weight_share=limits["concrete_whole_weight_share"],
        )

    def _lid_side(self) -> LidSide:
        limits = self.frame.limits
        least = max(limits["adhesion_lid_least_m"], limits["adhesion_lid_diameters"] * self.frame.shaft.diameter_m)
        return LidSide(limits["adhesion_share"], least, limits["uplift_factor_least"] / limits["adhesion_factor"])

    def _stratum(self, stratum: Stratum) -> FactSheet:
        sheet = self.base.copy()
        of_ground(self.frame, sheet, stratum, Surroundings(self._over, self._owners[stratum.index]))
        of_evidence(self.frame, sheet, stratum)
        if stratum.logged:
            ends_m = (stratum.top_m, stratum.base_m)
            self._assume(sheet, self._slice_assumptions, ends_m)
            self._assume_soil_by_soil(sheet, ends_m)
            of_numbers(self.frame, sheet, stratum, Surroundings(self._over, self._owners[stratum.index]))
            self._assume(sheet, self._slice_assumptions, ends_m)
            self._assume_soil_by_soil(sheet, ends_m)
        return sheet

    def _assume(self, sheet: FactSheet, assumptions: Iterable[tuple[Assumption, FactSpec]], ends_m: tuple[float, float] | None) -> None:
        values = sheet.values()
        for assumption, spec in assumptions:
            if not applies(assumption.where, values):
                continue
            known = sheet.facts.get(assumption.fact)
            narrowed = narrow(assumption, known, spec.domain, spec.unit)
            if narrowed is None:
                if known is not None and assumption.id.startswith("user") and misses(assumption, known):
                    where = "site" if ends_m is None else f"{mark(ends_m[0], 'm')} to {mark(ends_m[1], 'm')}"
                    self.doubts.append(f"The assumption on '{assumption.fact}' contradicts what is known at {where}; it is not taken.")
                continue
            sheet.facts[assumption.fact] = narrowed
            values[assumption.fact] = narrowed.value
            self.taken.append((assumption, ends_m))

    def _assume_soil_by_soil(self, sheet: FactSheet, ends_m: tuple[float, float]) -> None:
        """Narrow what has no likely value where the soil is open: to what is normal in any of the soils, likely where likely in all.

        An assumption on sand and one on cobbles speak together for sand that may be cobbles, though its place lies in neither.
        """
        soil = sheet.facts.get("soil")
        if soil is None or not isinstance(soil.value, Choice) or soil.value.certain:
            return
        values = sheet.values()
        for name, entries in self._soil_assumptions.items():
            logged, domain = sheet.facts.get(name), entries[0][1].domain
            if logged is not None and logged.value.likely is not None:
                continue
            answers = [_narrowed_in(entries, logged, values | {"soil": _certain(word)}) for word in sorted(soil.value.values)]
            if not all(used for _, used in answers):
                continue
            together = reduce(hull_of, (domain if fact is None else fact.value for fact, _ in answers))
            used = {assumption.id: assumption for _, found in answers for assumption in found}
            written = next(fact for fact, found in answers if fact is not None and found)
            sheet.facts[name] = replace(written, value=together, assumed=written.assumed | used.keys())
            values[name] = together
            self.taken.extend((assumption, ends_m) for assumption in used.values())

    def _owner(self, stratum: Stratum) -> Aquifer:
        """Return the aquifer that a stratum belongs to: its own, else the main one."""
        middle = (stratum.top_m + stratum.base_m) / 2
        for aquifer in self.aquifers[1:]:
            if aquifer.kind != "perched" and aquifer.top_m - 1e-6 <= middle <= aquifer.base_m + 1e-6:
                return aquifer
        return self.aquifers[0]

    def _at(self, index: int, top_m: float, base_m: float) -> Aquifer:
        """Return the aquifer of a slice: perched water goes first, then a strike zone inside the stratum."""
        middle = (top_m + base_m) / 2
        here = [aquifer for aquifer in self.aquifers[1:] if aquifer.top_m - 1e-6 <= middle <= aquifer.base_m + 1e-6]
        return min(here, key=lambda aquifer: aquifer.kind != "perched", default=self._owners[index])

    def _ground(self, index: int) -> Ground:
        stratum = self.strata[index]
        sheet = self._place(index, self._owners[index], (stratum.top_m, stratum.base_m))
        return ground_of(sheet, stratum, self._owners[index], self.frame.limits)

    def _place(self, index: int, aquifer: Aquifer, ends: tuple[float, float]) -> FactSheet:
        """Return a sheet of a stratum in one water position that can be written on."""
        return self._placed_sheet(index, aquifer, ends).copy()

    def _placed_sheet(self, index: int, aquifer: Aquifer, ends: tuple[float, float]) -> FactSheet:
        """Return the shared sheet of a stratum in one water position, class tables read."""
        stratum = self.strata[index]
        rise = wet_above(stratum, self.frame.limits)
        words, likely = aquifer.position((ends[0] + ends[1]) / 2 + rise)
        key = (index, words | {aquifer.source, f"likely {likely}"})
        if key not in self._placed:
            sheet = self.sheets[index].copy()
            bearing = stratum.permeable or aquifer.kind in {"strike", "confined", "artesian"}
            of_water(sheet, aquifer, ends[0] + rise, ends[1] + rise, bearing)
            if stratum.logged:
                of_tables(self.frame, sheet, stratum)
            self._placed[key] = sheet
        return self._placed[key]

    def placed(self, index: int) -> FactSheet:
        """Return the facts of a stratum as a whole, class tables read; the sheet is shared and not to be written on."""
        stratum = self.strata[index]
        return self._placed_sheet(index, self._owners[index], (stratum.top_m, stratum.base_m))

    def slices(
        self, thresholds: Iterable[tuple[str, float]], insides: Mapping[str, HoleFluid | None], extra: Sequence[float] = ()
    ) -> tuple[Slice, ...]:
        """Cut the shaft and gather the facts of every slice."""
        tip = self.frame.shaft.tip_m
        depths = cut_depths(self.frame.shaft, self.strata, self.aquifers, extra, self.frame.limits)
        watched: dict[str, list[float]] = {}
        for fact, limit in thresholds:
            if fact in WATCHED:
                watched.setdefault(fact, []).append(limit)
        cuts = [depths[0]]
        for top, base in pairwise(depths):
            cuts += cuts_at(crossings(self.curves, self._ground_at(top, base), (top, base), watched, insides), (top, base))
            cuts.append(base)
        return tuple(self._slice(top, base) for top, base in pairwise(cuts) if base <= tip + 1e-9)

    def slices_at(self, cuts_m: Sequence[float]) -> tuple[Slice, ...]:
        """Gather the facts of the slices between depths that are known already, from the top down."""
        return tuple(self._slice(top, base) for top, base in pairwise(cuts_m))

    def _ground_at(self, top_m: float, base_m: float) -> Ground:
        """Return the ground between two cuts, with the aquifer that it belongs to there."""
        index = self._index((top_m + base_m) / 2)
        aquifer = self._at(index, top_m, base_m)
        ground, cohesion = self.grounds[index], self._cohesion(index, aquifer, (top_m, base_m))
        same = aquifer is ground.aquifer and cohesion == ground.cohesion
        return ground if same else replace(ground, aquifer=aquifer, cohesion=cohesion)

    def _cohesion(self, index: int, aquifer: Aquifer, ends: tuple[float, float]) -> Span | None:
        """Return the cohesion that a granular wall has between two cuts, in the water position of the aquifer there."""
        ground = self.grounds[index]
        if ground.phi is None:
            return ground.cohesion
        fact = self._placed_sheet(index, aquifer, ends).facts.get("cohesion_available_kpa")
        value = fact.value if fact is not None else ground.cohesion
        return value if isinstance(value, Span) else point(0.0)

    def _slice(self, top_m: float, base_m: float) -> Slice:
        index = self._index((top_m + base_m) / 2)
        stratum = self.strata[index]
        aquifer = self._at(index, top_m, base_m)
        sheet = self._place(index, aquifer, (top_m, base_m))
        ground = self._ground_at(top_m, base_m)
        first, last = inset(top_m, base_m)
        stations = Station(self.curves, ground, first), Station(self.curves, ground, last)
        of_place(self.frame, sheet, top_m, base_m)
        if stratum.logged:
            of_depth(SliceInputs(self.frame, sheet, self.curves, stations, stratum, (top_m, base_m)))
        return Slice(top_m, base_m, stratum, ground, sheet, stations)

    def calls_behind(self, cut: Slice) -> Mapping[str, tuple[Call, ...]]:
        """Return the calls of registered formulas behind every fact of a slice: it is gathered anew, and each call recorded."""
        with recording() as heard:
            return Gatherer(self.frame, heard)._slice(cut.top_m, cut.base_m).sheet.calls  # noqa: SLF001 - another of the same class

    def state_calls_behind(self, cut: Slice, fact: str, fluid: HoleFluid | None) -> tuple[Call, ...]:
        """Return the calls of registered formulas behind a fact of a slice that hangs on what stands in the hole."""
        curves = self.curves.anew()
        first, last = (Station(curves, cut.ground, station.depth_m) for station in cut.stations)
        with recording() as heard:
            self._state_value(replace(cut, stations=(first, last)), fact, fluid)
        return tuple(heard)

    def _index(self, depth_m: float) -> int:
        return next((s.index for s in self.strata if s.top_m <= depth_m < s.base_m), len(self.strata) - 1)

    def state_values(self, cut: Slice, inside: Mapping[str, HoleFluid | None]) -> dict[str, dict[str, Value]]:
        """Return the facts of a slice in every support state, on top of the slice's own.

        Behind casing the wall is carried, but not the base.
        """
        found: dict[str, dict[str, Value]] = {state: {"state": _certain(state)} for state in inside}
        if not cut.stratum.logged:
            return found
        facts = [fact for fact in _IN_STATES if fact != "uplift_factor" and is_of_ground(fact, cut.ground)]
        uplifts: dict[HoleFluid | None, Value | None] = {}
        for state, fluid in inside.items():
            if fluid not in uplifts:
                uplifts[fluid] = self._state_value(cut, "uplift_factor", fluid)
            values, uplift = found[state], uplifts[fluid]
            for fact in () if state.startswith("cased") else facts:
                value = self._state_value(cut, fact, fluid)
                if value is not None:
                    values[fact] = value
            if uplift is not None:
                values["uplift_factor"] = uplift
        return found

    def _state_value(self, cut: Slice, fact: str, fluid: HoleFluid | None) -> Value | None:
        """Return a fact of a slice that hangs on what stands in the hole; None where it does not apply."""
        if fluid is None and fact in _OF_FLUID:
            return None
        if fact == "inside_pressure_kpa" and fluid is not None:
            low, high = fluid.pressure(cut.top_m), fluid.pressure(cut.base_m)
            return Span(low, high, high)
        first, last = cut.stations
        span = hull(first.curve(fact, fluid), last.curve(fact, fluid), WORSE[fact])
        return None if span is None else clip(span, self.frame.catalogue.facts[fact].domain)

    def gathered(self, slices: tuple[Slice, ...]) -> Gathered:
        """Return the gathered facts of the shaft with its slices."""
        return Gathered(
            self.base,
            self.strata,
            self.aquifers,
            self.curves,
            slices,
            tuple(self.taken),
            (*self.doubts, *doubts_of_ranges((cut.top_m, cut.base_m, cut.sheet) for cut in slices)),
        )
