"""Write the reasons of rules and the values of facts as text, and say how well both are known."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import inf

from methodpick.engine.interpret import support
from methodpick.engine.read import PLACEHOLDER
from methodpick.engine.rule import Rule
from methodpick.engine.rulebook import Rulebook
from methodpick.terms import CONFIDENCES
from methodpick.units import kept_unit, read_as
from methodpick.vocabulary.catalogue import FactSpec
from methodpick.vocabulary.values import Choice, Span, Value

NumberFormat = Callable[[float, str], str]
"""Writes a number for the reader: its value and the quantity, by default the unit that it is kept in."""


def plain_number(value: float, unit: str) -> str:
    """Write a number with its unit in SI.

    >>> plain_number(12.5, "kPa")
    '12.5 kPa'
    """
    text = f"{value:.3g}" if abs(value) < 1000 else f"{value:.0f}"
    return text if unit == "1" else f"{text} {kept_unit(unit)}"


def reason_text(rule: Rule, values: Mapping[str, Value], book: Rulebook, number_text: NumberFormat = plain_number) -> str:
    """Return the reason of a rule with its placeholders filled.

    A range is written low to high with its likely value; a missing fact is "not known".
    """

    def write(name: str) -> str:
        if name in book.limits:
            limit = book.limits[name]
            return number_text(limit.value, read_as(name, limit.unit)) + limit.beside
        spec = book.catalogue.facts[name]
        return value_text(known_of(values.get(name), spec), read_as(name, spec.unit), number_text)

    return PLACEHOLDER.sub(lambda match: write(match[1]), rule.because)


def known_of(value: Value | None, spec: FactSpec) -> Value | None:
    """Return what is known of a fact in a value set: None where it is the whole domain, no end where only the domain ends it.

    A domain has to end somewhere: an uplift safety of 0.5 to 1000, where 1000 is the end of the domain, is 0.5 or more, and no number
    is likely where that end is. Ends
    that lie in the nature of the thing stay: no strength is less than 0, no share more than 100 %.
    """
    domain = spec.domain
    if value is None or value == domain:
        return None
    if not isinstance(value, Span) or not isinstance(domain, Span) or value.certain:
        return value
    up = value.high >= domain.high and not (spec.unit == "%" and domain.high == 100)
    down = value.low <= domain.low and (domain.low != 0 or up)
    likely = None if up and value.likely is not None and value.likely >= domain.high else value.likely
    return Span(-inf if down else value.low, inf if up else value.high, likely)


MOST_OTHERS = 2
"""So many words that are possible beside the likely one are named."""


def value_text(value: Value | None, unit: str, number_text: NumberFormat = plain_number) -> str:
    """Write a value set in words.

    >>> value_text(Span(1.0, 3.0, 2.0), "m")
    '2 m (1 m to 3 m)'
    >>> value_text(Choice(frozenset({"soft", "firm", "stiff", "hard"}), "firm"), "1")
    'firm (likely) or other'
    """
    if value is None:
        return "not known"
    if isinstance(value, Choice):
        if value.certain:
            return _word(next(iter(value.values)))
        likely = f"{_word(value.likely)} (likely) or " if value.likely else ""
        rest = sorted(word for word in value.values if word != value.likely)
        if value.likely and len(rest) > MOST_OTHERS:
            rest = ["other"]
        return likely + " or ".join(_word(word) for word in rest)
    if value.certain:
        return number_text(value.low, unit)
    if value.low == -inf and value.high == inf:
        return number_text(value.likely, unit) + ", likely" if value.likely is not None else "not known"
    low, high = number_text(value.low, unit) if value.low != -inf else "", number_text(value.high, unit) if value.high != inf else ""
    if low == high:
        return low
    ends = f"{low} to {high}" if low and high else f"{low} or more" if low else f"{high} or less"
    return f"{number_text(value.likely, unit)} ({ends})" if value.likely is not None else ends


def _word(word: str) -> str:
    return word.replace("_", " ")


def supporting_facts(rule: Rule, values: Mapping[str, Value], book: Rulebook) -> tuple[str, ...]:
    """Return the facts on which the truth of a rule rests at this place."""
    return support(rule.condition, values, book.catalogue)


def weakest_limit(rule: Rule, book: Rulebook) -> str:
    """Return the weakest_limit confidence among the limits that a rule compares with; ``read`` where it names none."""
    return max((book.limits[name].confidence for name in rule.limits), key=CONFIDENCES.index, default="read")


def named_limits(rule: Rule, book: Rulebook) -> tuple[str, ...]:
    """Return the limits that a rule compares with or names in its reason."""
    in_reason = (name for name in PLACEHOLDER.findall(rule.because) if name in book.limits)
    return tuple(dict.fromkeys((*rule.limits, *in_reason)))


def weakest_confidence(rule: Rule, book: Rulebook) -> str:
    """Return the weakest_limit confidence among all limits and sources that a rule rests on."""
    found = [book.limits[name].confidence for name in named_limits(rule, book)]
    found += [book.sources[cited.key].confidence for cited in rule.source if cited.key in book.sources]
    return max(found, key=CONFIDENCES.index, default="own")
