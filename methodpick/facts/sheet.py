"""A sheet of facts for one place, its watched facts by depth, and the doubt of a formula that was used outside its range."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import field
from typing import ClassVar

from methodpick.facts.curves import NOTHING_PRESSES, Curve, Curves, Ground, HoleFluid, PressedLid
from methodpick.ground.profile import Profile
from methodpick.ground.site import Shaft, SiteConditions
from methodpick.mechanics.registry import REGISTRY, Call, Formula
from methodpick.records import record
from methodpick.unit_markup import mark
from methodpick.vocabulary.assumptions import Assumption
from methodpick.vocabulary.catalogue import Catalogue
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.values import Basis, Choice, Fact, Span, Value, meet

# ---- A sheet of facts for one place, and the frame that every fact function reads


@record
class Frame:
    """What all facts of one shaft are read from: the site, its boring, the shaft and the rulebook's words.

    ``raised_m`` is the fill by which a plan raises the drilling grade of a site that states none.
    """

    site: SiteConditions
    profile: Profile
    shaft: Shaft
    catalogue: Catalogue
    tables: Mapping[str, ClassTable]
    assumptions: tuple[Assumption, ...]
    limits: Mapping[str, float]
    raised_m: float = 0.0


_NOTHING_ASSUMED: frozenset[str] = frozenset()


@record(frozen=False)
class FactSheet:
    """Facts gathered for one place, wider scopes included; a name that is not there is its whole domain."""

    catalogue: Catalogue
    facts: dict[str, Fact] = field(default_factory=dict)
    heard: list[Call] | None = None
    """Calls of formulas since the last fact was written, where they are recorded; None in ordinary planning."""
    calls: dict[str, tuple[Call, ...]] = field(default_factory=dict)
    """The calls of formulas behind each fact, where they are recorded."""

    def put(
        self, name: str, value: Value | None, basis: Basis, source: str = "", inputs: Iterable[str] = (), formulas: tuple[str, ...] = ()
    ) -> None:
        """Write a fact; a value outside the declared domain is clipped to it, None leaves the fact missing.

        ``formulas`` names the registered formulas as :class:`Fact` does.
        """
        if self.heard is not None:
            self.calls[name] = tuple(self.heard)
            self.heard.clear()
        if value is None:
            return
        spec = self.catalogue.facts[name]
        inputs = tuple(inputs)
        value = clip(value, spec.domain)
        known, assumed = self.facts, _NOTHING_ASSUMED
        for entry in inputs:
            source_fact = known.get(entry)
            if source_fact is not None and source_fact.assumed:
                assumed |= source_fact.assumed
        known[name] = Fact(
            name=name, value=value, unit=spec.unit, basis=basis, source=source, inputs=inputs, formulas=formulas, assumed=assumed
        )

    def value(self, name: str) -> Value:
        """Return what is known of a fact: its set, or its whole domain."""
        fact = self.facts.get(name)
        return fact.value if fact is not None else self.catalogue.facts[name].domain_value()

    def span(self, name: str) -> Span:
        """Return a number fact's span."""
        value = self.value(name)
        if not isinstance(value, Span):
            raise TypeError(f"the fact '{name}' is no number")
        return value

    def choice(self, name: str) -> Choice:
        """Return an enumeration's or a yes/no's choice."""
        fact = self.facts.get(name)
        value = self.catalogue.facts[name].domain if fact is None else fact.value
        if not isinstance(value, Choice):
            raise TypeError(f"the fact '{name}' is a number")
        return value

    def values(self) -> dict[str, Value]:
        """Return the bare values, as the rule engine reads them."""
        return {name: fact.value for name, fact in self.facts.items()}

    def copy(self) -> FactSheet:
        """Return a sheet with the same facts that can be written on."""
        return FactSheet(self.catalogue, dict(self.facts), self.heard, dict(self.calls))


def clip(value: Value, domain: Value) -> Value:
    """Return a value within its domain; a value wholly outside it becomes the nearest end.

    >>> clip(Span(-5.0, 2.0, -1.0), Span(0.0, 10.0))
    Span(low=0.0, high=2.0, likely=0.0)
    """
    if isinstance(value, Span) and isinstance(domain, Span):
        if value.low >= domain.low and value.high <= domain.high:
            return value
        low = min(max(value.low, domain.low), domain.high)
        high = min(max(value.high, domain.low), domain.high)
        likely = None if value.likely is None else min(max(value.likely, low), high)
        return Span(low, high, likely)
    return value


def by_table(sheet: FactSheet, table: ClassTable, source: str = "") -> None:
    """Write what a class table says of this place, meeting it with what is already known."""
    found = table.look_up({name: sheet.value(name) for name in table.inputs})
    for name, value in found.items():
        known = sheet.facts.get(name)
        if known is not None:
            both = meet(known.value, value)
            if both is None:
                continue
            value = both  # noqa: PLW2901
        sheet.put(name, value, "derived", source or f"class table '{table.id}'", table.inputs)


# ---- Where a formula was used outside the range in which it holds: a doubt, never a silent extrapolation


def doubts_of_ranges(places: Iterable[tuple[float, float, FactSheet]]) -> tuple[str, ...]:
    """Return a sentence for each formula and argument outside its range over the slices, with the first place and the value."""
    sentences: dict[tuple[str, str], str] = {}
    for top_m, base_m, sheet in places:
        for name in dict.fromkeys(name for fact in sheet.facts.values() if fact.formulas for name in fact.formulas):
            formula = REGISTRY[name]
            for argument, value in _outside(formula, sheet.facts, base_m):
                sentences.setdefault((formula.name, argument), _sentence(formula, argument, value, top_m, base_m, sheet))
    return tuple(sentences[key] for key in sorted(sentences))


def _outside(formula: Formula, facts: Mapping[str, Fact], base_m: float) -> Iterator[tuple[str, float]]:
    for argument, bounds in formula.arguments.items():
        for value in _values(argument, facts, base_m):
            if not bounds.low <= value <= bounds.high:
                yield argument, value
                break


def _values(argument: str, facts: Mapping[str, Fact], base_m: float) -> tuple[float, ...]:
    """Return the likely value that went in, or both ends where none is likely."""
    if argument == "depth_m":
        return (base_m,)
    fact = facts.get(argument)
    if fact is None or not isinstance(fact.value, Span):
        return ()
    return (fact.value.likely,) if fact.value.likely is not None else (fact.value.low, fact.value.high)


def _sentence(record: Formula, argument: str, value: float, top_m: float, base_m: float, sheet: FactSheet) -> str:
    bounds = record.arguments[argument]
    spec = sheet.catalogue.facts.get(argument)
    name = spec.meaning if spec is not None else argument
    return (
        f"{record.title}, {mark(top_m, 'm')} to {mark(base_m, 'm')}: {name} is {_say(value, bounds.unit)}, outside the "
        f"{_say(bounds.low, bounds.unit)} to {_say(bounds.high, bounds.unit)} of its formula ({record.name}); its result there is an "
        "extrapolation"
    )


def _say(value: float, unit: str) -> str:
    return mark(value, unit) if unit in {"m", "kPa", "kN/m3"} else f"{value:.4g} {unit}".removesuffix(" 1")


# ---- The watched facts at one depth of a stratum, in every support state


SUPPORT = ("support_margin_kpa", "support_wanted_margin_kpa")
"""The two tiers of support of a granular wall: the least, with the hoop stress as the major one, and the wanted, with it at rest."""
OF_FRICTION = frozenset({*SUPPORT, "cohesion_margin_kpa"})
"""Watched facts of ground that has friction."""
OF_STRENGTH = frozenset({"overload_ratio", "overload_share", "closure_percent", "bulging_ratio"})
"""Watched facts of ground that has an undrained strength."""


def is_of_ground(fact: str, ground: Ground) -> bool:
    """Return whether a watched fact can be known of a ground: of a wall by its friction, of one by its strength, or of any."""
    if fact in OF_FRICTION:
        return ground.phi is not None
    return ground.su is not None if fact in OF_STRENGTH else True


class Station:
    """The watched facts at one depth of a stratum. What all support states share is worked out once, when it is asked for."""

    __slots__ = ("_curves", "_limit", "_load", "_needed", "_pressed", "_ratios", "_uplifts", "depth_m", "ground")

    def __init__(self, curves: Curves, ground: Ground, depth_m: float) -> None:
        """Take the depth, its ground and the curves of the shaft."""
        self._curves, self.ground, self.depth_m = curves, ground, depth_m
        self._needed: dict[str, Curve | None] = {}
        self._pressed: tuple[PressedLid, ...] | None = None
        self._load: Span | None = None
        self._limit: float | None = None
        self._ratios: dict[HoleFluid | None, Curve | None] = {}
        self._uplifts: dict[HoleFluid | None, Curve] = {}

    def beside(self, depth_m: float) -> Station:
        """Return the station at another depth of the same ground."""
        return Station(self._curves, self.ground, depth_m)

    def needed(self, fact: str) -> Curve | None:
        """Return the support that a granular wall needs in one of the two tiers, None in other ground."""
        if fact not in self._needed:
            wanted, factors = fact == "support_wanted_margin_kpa", self._curves.loading
            factor = factors.wall_factor_recommended if wanted else factors.wall_factor_least
            self._needed[fact] = self._curves.support(self.ground, self.depth_m, factor, hoop_k0=wanted)
        return self._needed[fact]

    def _overload(self, inside: HoleFluid | None) -> Curve | None:
        """Return the overload ratio of a clay wall in a state; the surcharge is the same in all."""
        if self.ground.su is None:
            return None
        if inside not in self._ratios:
            if self._load is None:
                self._load = self._curves.surcharge(self.depth_m)
            self._ratios[inside] = self._curves.overload(self.ground, self.depth_m, inside, self._load)
        return self._ratios[inside]

    def _collapse(self) -> float:
        """Return the overload ratio that a clay wall bears, whatever stands in the hole."""
        if self._limit is None:
            self._limit = self._curves.collapse(self.depth_m)[0]
        return self._limit

    def _uplift(self, inside: HoleFluid | None) -> Curve:
        """Return the safety of the base against uplift in a state."""
        found = self._uplifts.get(inside)
        if found is None:
            if self._pressed is None:
                self._pressed = self._curves.pressed_lids(self.depth_m)
            if not self._pressed:
                return NOTHING_PRESSES
            pressure = 0.0 if inside is None else inside.pressure(self.depth_m)
            found = self._uplifts[inside] = self._curves.uplift(self._pressed, pressure)
        return found

    def curve(self, fact: str, inside: HoleFluid | None) -> Curve | None:
        """Return a watched fact in a state, None where it does not apply."""
        return self._READ[fact](self, inside)

    def _margin(self, fact: str, inside: HoleFluid | None) -> Curve | None:
        """Return what the fluid holds over the support that a wall needs in one of the two tiers."""
        needed = self.needed(fact) if inside is not None else None
        if needed is None or inside is None:
            return None
        pressure = inside.pressure(self.depth_m)
        return pressure - needed[2], None if needed[1] is None else pressure - needed[1], pressure - needed[0]

    def _least_margin(self, inside: HoleFluid | None) -> Curve | None:
        return self._margin("support_margin_kpa", inside)

    def _wanted_margin(self, inside: HoleFluid | None) -> Curve | None:
        return self._margin("support_wanted_margin_kpa", inside)

    def _share(self, inside: HoleFluid | None) -> Curve | None:
        """Return the overload ratio of a clay wall over what it bears."""
        ratio = self._overload(inside)
        return None if ratio is None else self._curves.share(ratio, self._collapse())

    def _cohesion_margin(self, _: HoleFluid | None) -> Curve | None:
        return self._curves.cohesion_margin(self.ground, self.depth_m)

    def _closure(self, _: HoleFluid | None) -> Curve | None:
        return self._curves.closure(self._overload(None))

    def _bulging(self, _: HoleFluid | None) -> Curve | None:
        return self._curves.bulging(self.ground, self.depth_m)

    def _fluid_head(self, inside: HoleFluid | None) -> Curve | None:
        return self._curves.fluid_head(self.ground, inside)

    _READ: ClassVar[Mapping[str, Callable[[Station, HoleFluid | None], Curve | None]]] = {
        "support_margin_kpa": _least_margin,
        "support_wanted_margin_kpa": _wanted_margin,
        "overload_ratio": _overload,
        "overload_share": _share,
        "uplift_factor": _uplift,
        "cohesion_margin_kpa": _cohesion_margin,
        "closure_percent": _closure,
        "bulging_ratio": _bulging,
        "fluid_head_m": _fluid_head,
    }
    """How a watched fact is read in a state."""
