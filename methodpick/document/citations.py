"""Sources, facts and verdicts as texts: how every part of a document writes them."""

from __future__ import annotations

import re
from collections.abc import Sequence

from methodpick.plan.result import Caution, Citation, FactValue, Interval, LimitUsed, Reason, SetValue
from methodpick.terms import CONFIDENCE_WORDS
from methodpick.unit_markup import mark_plainly, number

_UNIT = re.compile(r"_(?:m_s|m_h|m3_h|mg_l|kg_m3|kn_m3|kpa|percent|deg|mm|m|h)$")
_KNOWN = {**CONFIDENCE_WORDS, "secondary": "secondary source"}
"""How well a limit is known, as short as a bracket needs."""
_BASIS = {"assumed": ", assumed", "missing": ", not known"}


def plain_name(fact: str) -> str:
    """Return a fact's name without the unit at its end.

    >>> plain_name("boring_distance_m")
    'boring distance'
    """
    return _UNIT.sub("", fact).replace("_", " ")


def cited(sources: Sequence[Citation]) -> str:
    """Return the sources by their keys and places.

    >>> cited([Citation("gec10-2018", "sec. 3.3")]), cited([])
    ('gec10-2018 sec. 3.3', 'no source')
    """
    return ", ".join(f"{source.key} {source.where}".strip() for source in sources) or "no source"


def numbers_cited(limits: Sequence[LimitUsed]) -> str:
    """Return where the numbers of a sentence come from and how well each is known, numbers of one place together.

    >>> from methodpick.unit_markup import spell
    >>> table = Citation("aashto-construction", "5.4")
    >>> spell(numbers_cited([LimitUsed("a", 0.0127, "m", table, "memory"), LimitUsed("b", 0.0381, "m", table, "memory")]), "us")
    '0.5 in, 1.5 in: aashto-construction 5.4, from memory'
    """
    places: dict[str, list[str]] = {}
    for limit in limits:
        overlay = f", set by {limit.set_by}" if limit.set_by else ""
        place = f"{cited((limit.source,))}, {CONFIDENCE_WORDS[limit.confidence]}{overlay}"
        places.setdefault(place, []).append(mark_plainly(limit.value, limit.unit))
    return "; ".join(f"{', '.join(values)}: {place}" for place, values in places.items())


def caution_sources(caution: Caution) -> str:
    """Return the sources of a caution, then those of the numbers in it."""
    return "; ".join(filter(None, (cited(caution.sources), numbers_cited(caution.limits))))


def set_by_overlay(limit: SetValue, advice: str = "") -> str:
    """Return the value that an overlay set, by which overlay, after which source, how well that is known, and what to do about it."""
    known = _KNOWN[limit.confidence]
    return f"{mark_plainly(limit.value, limit.unit)}, by {limit.overlay} ({cited((limit.source,))}; {known}{advice})"


def fact_words(fact: FactValue) -> str:
    """Return a fact's value: a number with its range, or the words that are possible.

    >>> from methodpick.unit_markup import spell
    >>> spell(fact_words(FactValue(1.0, 2.0, 3.0, None, "m", "assumed", "")), "si")
    '2.00 m, 1.00 m to 3.00 m, assumed'
    >>> spell(fact_words(FactValue(0.51, None, None, None, "m", "derived", "")), "si")
    '0.51 m or more'
    """
    basis = _BASIS.get(fact.basis, "")
    if fact.values is not None:
        words = fact.values[0] if len(fact.values) == 1 else f"{fact.likely} likely" if fact.likely else " or ".join(fact.values)
        return words.replace("_", " ") + basis
    likely = number(float(fact.likely), fact.unit) if isinstance(fact.likely, (int, float)) else ""
    low, high = ("" if end is None else number(end, fact.unit) for end in (fact.low, fact.high))
    if not low and not high:
        return f"{likely} likely{basis}" if likely else "not known"
    if fact.low == fact.high:
        return low + basis
    ends = f"{high} or less" if not low else f"{low} or more" if not high else f"{low} to {high}"
    return f"{likely}, {ends}{basis}" if likely else ends + basis


def reason_words(reason: Reason) -> str:
    """Return a reason, and in brackets its rule, its sources, how little a limit is known, and the facts it looked at."""
    facts = "; ".join(f"{plain_name(name)} {fact_words(fact)}" for name, fact in reason.facts.items())
    known = "" if reason.confidence == "read" else f"; limit {_KNOWN[reason.confidence]}"
    return f"{reason.text} [{reason.rule}; {cited(reason.sources)}{known}{'; ' + facts if facts else ''}]"


def verdict_words(interval: Interval) -> str:
    """Return the verdicts of all states of an interval, states of the same verdict together."""
    by_verdict: dict[str, list[str]] = {}
    for state, verdict in interval.verdicts.items():
        by_verdict.setdefault(verdict.state, []).append(state.replace("_", " "))
    return "; ".join(f"{name.replace('_', ' ')}: {', '.join(states)}" for name, states in by_verdict.items())
