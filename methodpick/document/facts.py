"""How records are told on any page: sources, facts and the names of facts, in the reader's units."""

from __future__ import annotations

import re
from collections.abc import Sequence

from methodpick.plan.result import Citation, FactValue, Interval, Reason
from methodpick.unit_markup import System, say

_UNIT = re.compile(r"_(?:m_s|m_h|m3_h|mg_l|kg_m3|kn_m3|kpa|percent|deg|mm|m|h)$")
_BASIS = {"assumed": ", assumed", "missing": ", not known"}
WEAK = {"digest": "read in a digest", "secondary": "secondary source", "memory": "from memory", "own": "own value"}
"""How little a limit is known, in words; what was read in print is not in it."""


def plain_name(fact: str) -> str:
    """Write a fact's name without the unit at its end.

    >>> plain_name("boring_distance_m")
    'boring distance'
    """
    return _UNIT.sub("", fact).replace("_", " ")


def cited(sources: Sequence[Citation]) -> str:
    """Write the sources by their keys and places.

    >>> cited([Citation("gec10-2018", "sec. 3.3")]), cited([])
    ('gec10-2018 sec. 3.3', 'no source')
    """
    return ", ".join(f"{one.key} {one.where}".strip() for one in sources) or "no source"


def fact_words(fact: FactValue, units: System) -> str:
    """Write a fact's value: a number with its range, or the words that are possible.

    >>> fact_words(FactValue(1.0, 2.0, 3.0, None, "m", "assumed", ""), "si")
    '2.00 m, 1.00 m to 3.00 m, assumed'
    >>> fact_words(FactValue(0.51, None, None, None, "m", "derived", ""), "si")
    '0.51 m or more'
    """
    basis = _BASIS.get(fact.basis, "")
    if fact.values is not None:
        words = fact.values[0] if len(fact.values) == 1 else f"{fact.likely} likely" if fact.likely else " or ".join(fact.values)
        return words.replace("_", " ") + basis
    likely = say(float(fact.likely), fact.unit, units) if isinstance(fact.likely, (int, float)) else ""
    low, high = ("" if end is None else say(end, fact.unit, units) for end in (fact.low, fact.high))
    if not low and not high:
        return f"{likely} likely{basis}" if likely else "not known"
    if fact.low == fact.high:
        return low + basis
    ends = f"{high} or less" if not low else f"{low} or more" if not high else f"{low} to {high}"
    return f"{likely}, {ends}{basis}" if likely else ends + basis


def reason_tail(reason: Reason, units: System) -> str:
    """Write what stands in brackets after a reason: its rule, sources, how little a limit is known, and the facts."""
    facts = "; ".join(f"{plain_name(name)} {fact_words(fact, units)}" for name, fact in reason.facts.items())
    weak = f"; limit {WEAK[reason.confidence]}" if reason.confidence in WEAK else ""
    return f"[{reason.rule}; {cited(reason.sources)}{weak}{'; ' + facts if facts else ''}]"


def verdict_words(one: Interval) -> str:
    """Write the verdicts of all states of an interval, like ones together."""
    by_state: dict[str, list[str]] = {}
    for state, verdict in one.verdicts.items():
        by_state.setdefault(verdict.state, []).append(state.replace("_", " "))
    return "; ".join(f"{name.replace('_', ' ')}: {', '.join(states)}" for name, states in by_state.items())
