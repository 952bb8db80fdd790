"""Judge every slice of the ground by the rules: a verdict for every support state, and the outcomes behind it."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import field, replace
from functools import cached_property
from math import inf

from methodpick.engine.rule import RULE_STATES
from methodpick.engine.rulebook import Outcomes, Rulebook, Verdict, verdict
from methodpick.facts.aquifer import Aquifer
from methodpick.facts.curves import Curves, Ground, HoleFluid
from methodpick.facts.gather import Gatherer, Slice
from methodpick.facts.of_ground import SLAKES
from methodpick.facts.sheet import FactSheet
from methodpick.facts.strata import Stratum
from methodpick.ground.profile import Profile
from methodpick.ground.site import Shaft, SiteConditions
from methodpick.plan.result import HoleLevels
from methodpick.records import record
from methodpick.terms import ROCK, STATES
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.trade_sizes import TradeSizes
from methodpick.vocabulary.values import FALSE, NO, TRUE, YES, Choice, Span, Value, likely_bool

# ---- Judge every slice of the ground by the rules: a verdict for every support state, and the outcomes behind it


@record(guarded=False)
class JudgedSlice:
    """A slice with the verdict of every support state and of pulling or leaving a casing, and the outcomes behind them.

    ``above`` is, for ground that no log tells of, the last slice above of which a log tells.
    """

    slice: Slice
    verdicts: Mapping[str, Verdict]
    outcomes: Outcomes
    state_outcomes: Mapping[str, Outcomes]
    state_values: Mapping[str, Mapping[str, Value]]
    slice_values: Mapping[str, Value]
    above: JudgedSlice | None = None
    _looked_up: dict[str, Mapping[str, Value]] = field(default_factory=dict, compare=False, repr=False)

    @property
    def top_m(self) -> float:
        """Return the depth of the top."""
        return self.slice.top_m

    @property
    def base_m(self) -> float:
        """Return the depth of the base."""
        return self.slice.base_m

    @property
    def middle_m(self) -> float:
        """Return the depth of the middle."""
        return (self.slice.top_m + self.slice.base_m) / 2

    @property
    def sheet(self) -> FactSheet:
        """Return the facts of the slice."""
        return self.slice.sheet

    @property
    def logged(self) -> bool:
        """Return whether the log tells of this ground; where it does not, nothing is decided."""
        return self.slice.stratum.logged

    @property
    def counted_as(self) -> JudgedSlice:
        """Return the slice by whose ground work and volumes are counted: where no log tells of it, as if the ground above went on."""
        return self.above or self

    def values(self, state: str | None = None) -> dict[str, Value]:
        """Return the values of all facts of the slice, with those of one support state on top."""
        values = dict(self.slice_values)
        if state is not None:
            values.update(self.state_values.get(state, {}))
        return values

    def value_of(self, fact: str, state: str) -> Value | None:
        """Return the value of a fact in a support state, None where it is not known."""
        return self.state_values.get(state, {}).get(fact, self.slice_values.get(fact))

    def overlaps(self, top_m: float, base_m: float) -> bool:
        """Return whether the slice shares some length with the one between two depths."""
        return self.slice.top_m < base_m - 1e-6 and self.slice.base_m > top_m + 1e-6

    def words(self, fact: str) -> frozenset[str]:
        """Return the words that a fact of the slice may still be; none for a number."""
        value = self.slice.sheet.value(fact)
        return value.values if isinstance(value, Choice) else frozenset()

    def look_up(self, table: ClassTable) -> Mapping[str, Value]:
        """Return what a class table says of the slice; looked up once."""
        found = self._looked_up.get(table.id)
        if found is None:
            found = self._looked_up[table.id] = table.look_up({name: self.slice.sheet.value(name) for name in table.inputs})
        return found


@record(caches=True)
class JudgedGround:
    """The ground of one shaft, gathered and judged: all that sizes, stages and reasons read of it.

    ``shared_outcomes`` are those of the rules about the site and about the shaft.
    """

    gatherer: Gatherer
    slices: tuple[JudgedSlice, ...]
    shared_outcomes: tuple[Outcomes, ...]
    book: Rulebook

    @property
    def site(self) -> SiteConditions:
        """Return the conditions of the site."""
        return self.gatherer.frame.site

    @property
    def profile(self) -> Profile:
        """Return the boring as it reads at the shaft."""
        return self.gatherer.frame.profile

    @property
    def shaft(self) -> Shaft:
        """Return the shaft."""
        return self.gatherer.frame.shaft

    @property
    def limits(self) -> Mapping[str, float]:
        """Return the limits in force, those that the site sets included."""
        return self.gatherer.frame.limits

    @property
    def tables(self) -> Mapping[str, ClassTable]:
        """Return the class tables."""
        return self.book.tables

    @property
    def trade_sizes(self) -> TradeSizes:
        """Return the sizes of casing and tools on the market of the site."""
        return TradeSizes(self.site.units, self.limits, self.book.sizes)

    @property
    def shared_values(self) -> dict[str, Value]:
        """Return the values of the facts of the site and the shaft."""
        return self.gatherer.base.values()

    @property
    def strata(self) -> tuple[Stratum, ...]:
        """Return the strata from the top down."""
        return self.gatherer.strata

    @property
    def grounds(self) -> tuple[Ground, ...]:
        """Return what the curves read of every stratum."""
        return self.gatherer.grounds

    @property
    def aquifers(self) -> tuple[Aquifer, ...]:
        """Return the aquifers, the main one first."""
        return self.gatherer.aquifers

    @property
    def curves(self) -> Curves:
        """Return stresses, pressures and loads with depth."""
        return self.gatherer.curves

    def between(self, top_m: float, base_m: float, touch_m: float = 1e-6) -> tuple[JudgedSlice, ...]:
        """Return the slices that share more than a touch of length with the one between two depths."""
        first, last = bisect_right(self.bases_m, top_m + touch_m), bisect_left(self.tops_m, base_m - touch_m)
        return self.slices[first:last]

    @cached_property
    def tops_m(self) -> list[float]:
        """Return the tops of the slices, from the top down."""
        return [judged.slice.top_m for judged in self.slices]

    @cached_property
    def bases_m(self) -> list[float]:
        """Return the bases of the slices, from the top down."""
        return [judged.slice.base_m for judged in self.slices]

    def layer_at(self, depth_m: float) -> str:
        """Return the description of the layer at a depth."""
        for stratum in self.gatherer.strata:
            if depth_m <= stratum.base_m + 1e-6:
                return stratum.layer.description or stratum.layer.symbol or "no data"
        return "no data"


def judge(gatherer: Gatherer, slices: Sequence[Slice], book: Rulebook, inside: Mapping[str, HoleFluid | None]) -> JudgedGround:
    """Judge all slices; ``inside`` is what stands inside the hole in every support state."""
    shared = tuple(book.scopes[name].judge(gatherer.base.values()) for name in ("site", "shaft"))
    judging = _Judging(book, shared)
    judged: list[JudgedSlice] = []
    above: JudgedSlice | None = None
    for piece in slices:
        found = judging.of(piece, gatherer.state_values(piece, inside))
        judged.append(found if found.logged else replace(found, above=above))
        above = found if found.logged else above
    return JudgedGround(gatherer, tuple(judged), shared, book)


MOST_VERDICTS = 20_000
"""Verdicts that are kept for a rulebook; 65 sites of all kinds have 1,300."""


class _Judging:
    """Judges the slices of one shaft. Where the rules say the same of a state, in whatever shaft, its verdict is worked out once."""

    def __init__(self, book: Rulebook, shared: tuple[Outcomes, ...]) -> None:
        self.book, self.shared = book, shared
        self._verdicts = book.verdicts
        self._of_shared = {state: (state, *(found.about(state) for found in shared)) for state in RULE_STATES}

    def of(self, piece: Slice, state_values: Mapping[str, Mapping[str, Value]]) -> JudgedSlice:
        """Return a slice with the verdict of every state."""
        values = piece.sheet.values()
        outcomes = self.book.scopes["slice"].judge(values)
        start = self.book.scopes["slice_state"].start(values)
        state_outcomes: dict[str, Outcomes] = {}
        verdicts: dict[str, Verdict] = {}
        for state in STATES:
            state_outcomes[state] = start.judge(state_values[state])
            verdicts[state] = self._verdict(state, outcomes, state_outcomes[state])
        for casing in ("pull_out", "leave_in"):
            verdicts[casing] = self._verdict(casing, outcomes)
        return JudgedSlice(
            slice=piece, verdicts=verdicts, outcomes=outcomes, state_outcomes=state_outcomes, state_values=state_values, slice_values=values
        )

    def _verdict(self, state: str, *outcomes: Outcomes) -> Verdict:
        key = self._of_shared[state], *[found.about(state) for found in outcomes]
        known = self._verdicts.get(key)
        if known is None:
            if len(self._verdicts) >= MOST_VERDICTS:
                self._verdicts.clear()
            known = self._verdicts[key] = verdict(state, (*self.shared, *outcomes))
        return known


# ---- What rock does to the work: how long its wall stands, and how fast it is drilled


NOT_LASTING = SLAKES | {"chalk", "gypsum", "anhydrite", "halite", "salt"}
"""Rock that softens, slakes or dissolves: its wall has a time (common practice, no source)."""


def lasting_rock(judged: JudgedSlice) -> Choice:
    """Return whether a slice is sound rock whose wall stands for as long as the work takes."""
    stratum, sheet = judged.slice.stratum, judged.sheet
    slaking, mass = sheet.choice("slaking"), sheet.choice("rock_mass")
    if not stratum.soils & ROCK or stratum.words.rock_type in NOT_LASTING or slaking.values == {YES} or "sound" not in mass.values:
        return FALSE
    sound = mass.likely == "sound" or mass.values == {"sound"}
    if stratum.soils <= ROCK and slaking.values == {NO} and sound:
        return TRUE
    return likely_bool(stratum.likely in ROCK and slaking.likely != YES and sound)


def lasting_from_m(slices: Sequence[JudgedSlice]) -> float:
    """Return the depth from which all ground to the tip is likely sound rock that lasts; infinitely deep where the tip is not in such."""
    found = inf
    for judged in reversed(slices):
        if not (judged.logged and lasting_rock(judged).likely_yes):
            break
        found = judged.top_m
    return found


OF_SPECIFICATION = frozenset({"specification"})
"""The hazard of what the site does not allow."""


def is_pulled_against_specification(judged: JudgedSlice, book: Rulebook) -> bool:
    """Return whether nothing but the specification forbids to pull a casing out of a slice: its ground may meet the concrete bare."""
    pulled = judged.verdicts["pull_out"]
    return pulled.state == "ruled_out" and book.with_hazards(OF_SPECIFICATION).issuperset(pulled.rules)


def has_no_wall(judged: JudgedSlice) -> bool:
    """Return whether a slice is likely a void: between standing rock there is nothing in it that could fall in from the side."""
    return judged.slice.stratum.likely == "void"


def strength_kpa(judged: JudgedSlice) -> Span | None:
    """Return the tested strength of the rock of a slice."""
    return _tested(judged, "ucs_kpa")


def is_massive(judged: JudgedSlice, limits: Mapping[str, float]) -> bool:
    """Return whether the rock of a slice is likely massive, by its quality."""
    quality = _tested(judged, "rqd_percent")
    return quality is not None and quality.likely_or_middle >= limits["massive_rqd_percent"]


def _tested(judged: JudgedSlice, name: str) -> Span | None:
    fact = judged.sheet.facts.get(name)
    return fact.value if fact is not None and isinstance(fact.value, Span) else None


def insides(levels: HoleLevels, limits: Mapping[str, float]) -> dict[str, HoleFluid | None]:
    """Return what stands inside the hole in every support state; None where it is empty."""
    water = HoleFluid(limits["water_density_kg_m3"], levels.fluid_m["water"])
    return {
        "dry": None,
        "water": water,
        "polymer": HoleFluid(limits["polymer_density_kg_m3"], levels.fluid_m["polymer"]),
        "mineral": HoleFluid(limits["mineral_density_kg_m3"], levels.fluid_m["mineral"]),
        "cased_dry": None,
        "cased_balanced": water,
        "cased_plug": water,
    }
