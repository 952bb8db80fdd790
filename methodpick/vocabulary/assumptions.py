"""What practice takes as normal until told otherwise: it narrows a primary fact and never overrides it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from methodpick.records import record
from methodpick.strict_yaml import YamlDocument
from methodpick.vocabulary.catalogue import Catalogue, Reader, value_of
from methodpick.vocabulary.limits import Source
from methodpick.vocabulary.values import Choice, Fact, Span, Value

_KEYS = ("id", "fact", "set", "where", "why", "source")


@record
class Assumption:
    """A narrowing of one fact to ``value`` where every fact of ``where`` certainly lies in its set."""

    id: str
    fact: str
    value: Value
    where: Mapping[str, Value]
    why: str
    source: str


def assumptions_of(document: YamlDocument, catalogue: Catalogue, sources: Mapping[str, Source] | None = None) -> tuple[Assumption, ...]:
    """Return the assumptions of ``rules/assumptions.yaml``; raises RuleError with every problem."""
    reader = Reader(document)
    found: dict[str, Assumption] = {}
    for index, entry in enumerate(reader.section("assumptions", list)):
        path = ("assumptions", index)
        entry = reader.mapping(path, entry, _KEYS, ("id", "fact", "set", "why", "source"))  # noqa: PLW2901
        name = reader.text((*path, "id"), entry.get("id"))
        if name and name in found:
            reader.wrong((*path, "id"), f"the id '{name}' stands twice")
        assumption = assumption_of(reader, path, name, entry, catalogue)
        if sources is not None and assumption is not None:
            reader.word((*path, "source"), assumption.source, sources, "")
        if assumption is not None:
            found[name] = assumption
    reader.done()
    return tuple(found.values())


def assumption_of(
    reader: Reader, path: tuple[str | int, ...], name: str, entry: Mapping[str, Any], catalogue: Catalogue
) -> Assumption | None:
    """Return one assumption, None after a problem."""
    fact = reader.word((*path, "fact"), entry.get("fact"), catalogue.facts, "")
    if not fact:
        return None
    where: dict[str, Value] = {}
    written = entry.get("where", "always")
    if isinstance(written, dict):
        for key, value in written.items():
            if key not in catalogue:
                reader.word((*path, "where"), key, catalogue.facts, "")
            else:
                where[key] = value_of(reader, (*path, "where", key), catalogue.facts[key], value)
    elif written not in ("always", "site"):
        reader.wrong((*path, "where"), f"'{written}' is no place", "always, or a map of facts to values")
    value = value_of(reader, (*path, "set"), catalogue.facts[fact], entry.get("set"))
    return Assumption(
        id=name,
        fact=fact,
        value=value,
        where=where,
        why=reader.text((*path, "why"), entry.get("why")),
        source=reader.text((*path, "source"), entry.get("source"), "own"),
    )


def inside(known: Value, wanted: Value) -> bool:
    """Return whether what is known lies certainly inside a set.

    >>> inside(Span(2, 3), Span(1, 4))
    True
    """
    if isinstance(known, Span) and isinstance(wanted, Span):
        return wanted.low <= known.low and known.high <= wanted.high
    return isinstance(known, Choice) and isinstance(wanted, Choice) and known.values <= wanted.values


def applies(where: Mapping[str, Value], values: Mapping[str, Value]) -> bool:
    """Return whether every fact named in ``where`` is certainly in its set; a missing fact is not."""
    for name, wanted in where.items():
        known = values.get(name)
        if known is None or not inside(known, wanted):
            return False
    return True


def narrow(assumption: Assumption, known: Fact | None, domain: Value, unit: str) -> Fact | None:
    """Return the narrowed fact, None where the assumption misses the known set or adds nothing.

    A known likely value stays where it is still possible: an assumption speaks for what nobody said.
    """
    now = known.value if known is not None else domain
    met = _meet(now, assumption.value)
    if met is None or met is now or met == now:
        return None
    if known is None:
        return Fact(
            name=assumption.fact,
            value=met,
            unit=unit,
            basis="assumed",
            source=assumption.why,
            inputs=(),
            formulas=(),
            assumed=frozenset({assumption.id}),
        )
    return replace(known, value=met, basis="assumed", assumed=known.assumed | {assumption.id})


def misses(assumption: Assumption, known: Fact) -> bool:
    """Return whether an assumption contradicts what is known."""
    return _meet(known.value, assumption.value) is None


def _meet(now: Value, wanted: Value) -> Value | None:
    if isinstance(now, Span) and isinstance(wanted, Span):
        met = now.meet(wanted)
        if met is not None and now.likely is not None and met.low <= now.likely <= met.high:
            return Span(met.low, met.high, now.likely)
        return met
    if isinstance(now, Choice) and isinstance(wanted, Choice):
        both = now.values & wanted.values
        if not both:
            return None
        likely = now.likely if now.likely in both else wanted.likely if wanted.likely in both else None
        return now if likely == now.likely and len(both) == len(now.values) else Choice(both, likely)
    return None
