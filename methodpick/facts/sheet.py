"""A sheet of facts for one place, and the frame that every fact function reads."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from methodpick.ground.profile import Profile
from methodpick.ground.shaft import Shaft
from methodpick.ground.site import SiteConditions
from methodpick.mechanics.registry import Call
from methodpick.vocabulary.assumptions import Assumption
from methodpick.vocabulary.catalogue import Catalogue
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.values import Basis, Choice, Fact, Span, Value, meet


@dataclass(frozen=True, slots=True)
class Frame:
    """What all facts of one shaft are read from: the site, its boring, the shaft and the rulebook's words."""

    site: SiteConditions
    profile: Profile
    shaft: Shaft
    catalogue: Catalogue
    tables: Mapping[str, ClassTable]
    assumptions: tuple[Assumption, ...]
    limits: Mapping[str, float]


@dataclass(slots=True)
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
        value = clip(value, spec.domain_value())
        known = self.facts
        assumed: frozenset[str] = frozenset()
        for entry in inputs:
            if entry in known:
                assumed |= known[entry].assumed
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
        value = self.value(name)
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
