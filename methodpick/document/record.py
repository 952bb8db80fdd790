"""What a document rests on: tool, rulebook, input, values set by overlays, sources, and what makes its rules less careful."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from methodpick.document.model import Document, Items, Page, Paragraph, Section, TextTable, section
from methodpick.document.pages import ShaftGroup
from methodpick.patterns import pattern_of
from methodpick.plan.result import (
    Caution,
    Citation,
    Departure,
    FactValue,
    InputStamp,
    Interval,
    LimitUsed,
    Plan,
    Reason,
    RulebookStamp,
    SetValue,
)
from methodpick.terms import CONFIDENCE_WORDS, UnitSystem, in_plain_words
from methodpick.unit_markup import NumberWriter, mark_plainly, number, unit_name
from methodpick.units import read_as

# ---- sources, facts and verdicts as texts


_UNIT = pattern_of(r"_(?:m_s|m_h|m3_h|mg_l|kg_m3|kn_m3|kpa|percent|deg|mm|m|h)$")
_KNOWN = {**CONFIDENCE_WORDS, "secondary": "secondary source"}
"""How well a limit is known, as short as a bracket needs."""
_BASIS = {"assumed": ", assumed", "missing": ", not known"}


AT_HAND = " at hand"
PLANT_NAMES = {
    "plant_vibratory": "vibratory hammer at hand",
    "plant_twist": "casing twister at hand",
    "plant_oscillator": "oscillator at hand",
    "plant_rotator": "rotator at hand",
    "plant_impact": "impact hammer at hand",
    "plant_desander": "desander at hand",
}
"""The plant of the site by the name that the trade has for it."""


def plain_name(fact: str) -> str:
    """Return a fact's name without the unit at its end.

    >>> plain_name("boring_distance_m"), plain_name("plant_twist")
    ('boring distance', 'casing twister at hand')
    """
    return PLANT_NAMES.get(fact) or _UNIT.sub("", fact).replace("_", " ")


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
        places.setdefault(place, []).append(mark_plainly(limit.value, read_as(limit.limit, limit.unit)))
    return "; ".join(f"{', '.join(values)}: {place}" for place, values in places.items())


def caution_sources(caution: Caution) -> str:
    """Return the sources of a caution, then those of the numbers in it."""
    return "; ".join(filter(None, (cited(caution.sources), numbers_cited(caution.limits))))


def set_by_overlay(limit: SetValue, advice: str = "") -> str:
    """Return the value that an overlay set, by which overlay, after which source, how well that is known, and what to do about it."""
    known = _KNOWN[limit.confidence]
    return f"{mark_plainly(limit.value, read_as(limit.name, limit.unit))}, by {limit.overlay} ({cited((limit.source,))}; {known}{advice})"


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
        values = [in_plain_words(str(value)) for value in fact.values]
        words = values[0] if len(values) == 1 else f"{in_plain_words(str(fact.likely))} likely" if fact.likely else " or ".join(values)
        return words + basis
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


# ---- what is less careful than the shipped rulebook: at the top of every page


TITLE = "Rules made less careful"
LEAD = "This plan rests on rules or limits that are less careful than those that came along. Whoever signs it answers for each."
MOST_SHOWN = 25
"""So many changes stand on a page; the others are counted, and all stand in the JSON of the plan."""


def departure_words(found: Departure) -> str:
    """Return a change with whose it is and the reason given."""
    return f"{found.what} ({found.origin}): {found.reason}"


def _entries(plan: Plan) -> tuple[str, ...]:
    found = plan.rulebook.loosened
    left = len(found) - MOST_SHOWN
    more = (f"and {left} more changes; the JSON of the plan names all",) if left > 0 else ()
    return (*map(departure_words, found[:MOST_SHOWN]), *more)


def loosened_section(plan: Plan) -> Section | None:
    """Return the changes as a section that stands out, None where there is none."""
    entries = _entries(plan)
    return section(TITLE, Paragraph(LEAD, "danger"), Items(entries), tone="danger") if entries else None


def loosened_lines(plan: Plan, units: UnitSystem) -> Iterator[str]:
    """Return the changes as lines with their numbers written, for a sheet or a terminal."""
    writer = NumberWriter(units)
    yield from (f"{TITLE}: {writer.text(entry)}" for entry in _entries(plan))


def marked_loosened(document: Document, plan: Plan) -> Document:
    """Return a document with the changes first on every page; the document itself where the rulebook is as careful as shipped."""
    found = loosened_section(plan)
    if found is None:
        return document
    return replace(document, pages=tuple(replace(page, sections=(found, *page.sections)) for page in document.pages))


# ---- the record, by which a plan can be made again and checked


CLOSING = (
    "This plan supports judgement: licensed engineer and governing specification decide. Local safety codes govern the work. Nobody "
    "enters the hole."
)
"""The last words of every document."""


def stamp(plan: Plan) -> str:
    """Return the tool, the rulebook and the input of a plan, with short digests."""
    return f"methodpick {plan.tool_version}, {rules_and_input(plan.rulebook, plan.input)}"


def rules_and_input(rulebook: RulebookStamp, given: InputStamp) -> str:
    """Return a rulebook and an input with short digests."""
    overlays = f" with {', '.join(rulebook.overlays)}" if rulebook.overlays else ""
    return f"rulebook {rulebook.digest[:12]}{overlays}, input {given.path} {given.digest[:12]}"


def reliance(plan: Plan, groups: Sequence[ShaftGroup]) -> Page:
    """Return the record of reliance as the last page of a report."""
    book = plan.rulebook
    rows = (
        ("tool", f"methodpick {plan.tool_version}"),
        ("plan format", plan.format),
        ("input", plan.input.path),
        ("digest of the input", plan.input.digest),
        ("digest of the rulebook", book.digest),
        ("overlays", ", ".join(book.overlays) or "none"),
        ("units of this report", ", ".join(map(unit_name, ("m", "size", "kPa", "kg/m3", "m3", "kg")))),
        *((f"boring of {group.names}", f"{group.first.dated_boring}, ends at {number(group.first.ground.end_m, 'm')}") for group in groups),
    )
    sections = (section("What this report rests on", TextTable(("what", "which"), rows)), set_values(plan), sources(plan))
    return Page("Record of reliance", (CLOSING,), tuple(found for found in sections if found is not None))


def set_values(plan: Plan) -> Section | None:
    """Return the limits that overlays set; what was not read in print is to be looked up in the book of the contract."""
    entries = []
    for limit in plan.rulebook.set_by_overlays:
        advice = "" if limit.confidence in {"read", "own"} else "; look it up in the book of the contract"
        entries.append(f"{plain_name(limit.name)}: {set_by_overlay(limit, advice)}")
    return section("Values set by overlays", Items(tuple(entries))) if entries else None


def sources(plan: Plan, said: str | None = None) -> Section | None:
    """Return the sources that the plan cites; where the words of a page are given, those alone that it names by their keys."""
    named = _named(plan, said)
    entries = tuple(f"{key}: {text}" for key, text in named.items())
    more = len(plan.sources) - len(entries)
    rest = Paragraph(f"{more} more, which other pages cite: full page.") if more else None
    return section("Sources", Items(entries), *filter(None, (rest,))) if entries else None


def sources_in_short(plan: Plan, said: str) -> Section | None:
    """Return the sources that the words of a page name by their keys, by author and year, in one paragraph."""
    named = _named(plan, said)
    entries = (f"{key}: {_in_short(text)}" for key, text in named.items())
    return section("Sources", Paragraph(f"{'; '.join(entries)}.")) if named else None


def _in_short(text: str) -> str:
    """Return a source by its author and year; by its title where the project itself is the author, whole where no year is known.

    >>> _in_short("Heuer (1974). Important ground parameters"), _in_short("this project (2026). Statics, derived"), _in_short("OSHA. Fumes")
    ('Heuer (1974)', 'Statics, derived', 'OSHA. Fumes')
    """
    found = _AUTHOR_AND_YEAR.match(text)
    if found is None:
        return text
    return text[found.end() :] if text.startswith("this project") else found[1]


def _named(plan: Plan, said: str | None) -> dict[str, str]:
    keys = plan.sources.keys() if said is None else frozenset(_KEY.findall(said))
    return {key: text for key, text in plan.sources.items() if key in keys}


_KEY = pattern_of(r"[a-z0-9]+(?:-[a-z0-9]+)*")
"""A key of a source in a text."""
_AUTHOR_AND_YEAR = pattern_of(r"([^.]*\(\d{4}\))\. ")
"""How the text of a source begins where its year is known."""
