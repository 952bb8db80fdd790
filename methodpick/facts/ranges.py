"""Where a formula was used outside the range in which it holds: a doubt, never a silent extrapolation."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from methodpick.facts.sheet import FactSheet
from methodpick.mechanics.registry import REGISTRY, Formula
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import Fact, Span


def doubts_of_ranges(places: Iterable[tuple[float, float, FactSheet]]) -> tuple[str, ...]:
    """Return a sentence for each formula and argument outside its range over the slices, with the first place and the value."""
    sentences: dict[tuple[str, str], str] = {}
    for top_m, base_m, sheet in places:
        for fact in sheet.facts.values():
            for record in (REGISTRY[name] for name in fact.formulas):
                for argument, value in _outside(record, sheet.facts, base_m):
                    sentences.setdefault((record.name, argument), _sentence(record, argument, value, top_m, base_m, sheet))
    return tuple(sentences[key] for key in sorted(sentences))


def _outside(record: Formula, facts: Mapping[str, Fact], base_m: float) -> Iterator[tuple[str, float]]:
    for argument, bounds in record.arguments.items():
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
        f"{_say(bounds.low, bounds.unit)} to {_say(bounds.high, bounds.unit)} for which the formula stands "
        f"({record.name}); its result there is an extrapolation"
    )


def _say(value: float, unit: str) -> str:
    return mark(value, unit) if unit in {"m", "kPa", "kN/m3"} else f"{value:g} {unit}".removesuffix(" 1")
