"""What to watch and what to ask: assumptions, warnings, questions, doubts, and the safety page."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.model import Items, Page, Paragraph, Section, Tone, page_with, section
from methodpick.document.open_hazards import hazards_in_short
from methodpick.document.record import CLOSING, caution_sources, plain_name
from methodpick.patterns import pattern_of
from methodpick.plan.result import Caution, Gap, ShaftPlan, TakenAssumption
from methodpick.terms import SEVERITIES, CautionReach, Severity
from methodpick.unit_markup import first_sentence, spell

# ---- cautions


_CLAUSE_END = pattern_of(r"[;:,](?= )")
TITLES: dict[Severity, str] = {"danger": "Dangers", "caution": "Cautions", "note": "Notes"}
TONES: dict[Severity, Tone] = {"danger": "danger", "caution": "caution", "note": ""}


def assumptions(shaft: ShaftPlan) -> Section:
    """Return what the plan holds under."""
    places: dict[tuple[str, str], list[str]] = {}
    for assumption in shaft.assumptions:
        places.setdefault((assumption_words(assumption), assumption.source), []).append(assumption.where)
    entries = tuple(f"{words} ({'; '.join(lengths)}; {source})" for (words, source), lengths in places.items())
    nothing = "Nothing is assumed. What the log does not say stays open; the questions name it." if shaft.gaps else "Nothing is assumed."
    return section("Holds only if", Items(entries) if entries else Paragraph(nothing))


def assumption_words(assumption: TakenAssumption) -> str:
    """Describe what is assumed and why."""
    return f"{plain_name(assumption.fact)}: {assumption.assumed}. {assumption.why}"


def warnings(shaft: ShaftPlan, severity: Severity) -> Section | None:
    """Return the warnings of one severity that this ground and method add; what holds at every shaft is on the safety page."""
    found = (caution for caution in shaft.cautions if caution.severity == severity and caution.reach != "every_shaft")
    entries = tuple(map(warning_words, found))
    return section(TITLES[severity], Items(entries), tone=TONES[severity]) if entries else None


def warning_words(caution: Caution) -> str:
    """Describe a warning, where it holds, and by which rule and sources."""
    return f"{placed(caution, caution.text)} [{caution.rule}; {caution_sources(caution)}]"


def _without_sources(caution: Caution) -> str:
    return placed(caution, caution.text)


def placed(caution: Caution, text: str) -> str:
    """Return the words of a caution, all or a part of them, with the depths where it holds."""
    return f"{text} ({caution.where})" if caution.where else text


def questions(shaft: ShaftPlan, most: int | None = None) -> Section | None:
    """Return what to ask, no more than the first ``most`` where that is given."""
    entries = tuple(map(question_words, shaft.gaps))[:most]
    return section("Questions to ask", Items(entries, numbered=True)) if entries else None


def question_words(gap: Gap) -> str:
    """Return a question, and why it matters."""
    return f"{gap.question} {gap.why}"


def log_doubts(shaft: ShaftPlan) -> Section | None:
    """Return the doubts of the log that a shaft is planned with."""
    return doubts("Doubts of the log", shaft.doubts)


def doubts(title: str, texts: tuple[str, ...]) -> Section | None:
    """Return doubts of the log, or of the reader that turned a file into one."""
    return section(title, Items(texts)) if texts else None


# ---- what is dangerous here: the page of the answer has the gravest in short, the foreman's page all of them, by number


MOST_TOLD = 4
"""So many hazards and dangers stand on the page of the answer with their words, more only where more hazards are open."""
TWO_LINES = 144
"""Letters of two lines of a list at 80 columns."""
EVERYWHERE = "Safety page, every shaft: fall protection, no entry, gas, hanging loads, power lines, buried services, spoil, fluid."
_ORDER: tuple[tuple[Severity, CautionReach], ...] = (("danger", "here"), ("danger", "method"), ("caution", "here"), ("caution", "method"))


def cares(shaft: ShaftPlan) -> tuple[Caution, ...]:
    """Return the dangers and cautions that this ground and method add, in the order in which the foreman's page numbers them."""
    found = [caution for caution in shaft.cautions if (caution.severity, caution.reach) in _ORDER]
    return tuple(sorted(found, key=lambda caution: _ORDER.index((caution.severity, caution.reach))))


def dangers_here(shaft: ShaftPlan) -> Section:
    """Return every open hazard, the first dangers of the place in two lines each, the other dangers by name, and where the rest stands.

    Without a hazard or a danger the first cautions stand here. No danger is left out.
    """
    every, shown = cares(shaft), _cares_shown(shaft)
    named = named_dangers(shaft)
    more = "" if len(shown) == len(every) else f"More: foreman's page, {_numbers(len(shown) + 1, len(every))}. "
    entries = (*gravest_dangers(shaft), *((f"Keep in mind: {named}.",) if named else ()))
    return section("Dangerous here", Items(entries), Paragraph(more + EVERYWHERE), tone="danger")


def gravest_dangers(shaft: ShaftPlan) -> tuple[str, ...]:
    """Return the open hazards, and the dangers or cautions that stand with their words on the page of the answer."""
    return tuple(dict.fromkeys((*hazards_in_short([shaft]), *dangers_of_place(shaft))))


def dangers_of_place(shaft: ShaftPlan) -> tuple[str, ...]:
    """Return the dangers of the place as far as there is room for their words, or the first cautions where nothing endangers."""
    return tuple(in_two_lines(caution.text, caution.where) for caution in _cares_shown(shaft))


def named_dangers(shaft: ShaftPlan) -> str:
    """Return by name the dangers that have no room for their words; nothing without one."""
    shown = _cares_shown(shaft)
    return "; ".join(caution.rule.replace("-", " ") for caution in cares(shaft) if caution.severity == "danger" and caution not in shown)


def _cares_shown(shaft: ShaftPlan) -> tuple[Caution, ...]:
    """Return the dangers of the place as far as there is room beside the open hazards; the first cautions where nothing endangers."""
    every, hazards = cares(shaft), hazards_in_short([shaft])
    here = [caution for caution in every if (caution.severity, caution.reach) == _ORDER[0]]
    if hazards or any(caution.severity == "danger" for caution in every):
        return tuple(here[: max(1, MOST_TOLD - len(hazards))])
    return every[:MOST_TOLD]


def _numbers(first: int, last: int) -> str:
    """Return the numbers of entries of a list.

    >>> _numbers(3, 3), _numbers(3, 9)
    ('no. 3', 'no. 3 to 9')
    """
    return f"no. {first}" if first == last else f"no. {first} to {last}"


def in_two_lines(text: str, where: str = "") -> str:
    """Return the first sentence of a text, cut before the clause that would take a third line, and where it holds.

    >>> in_two_lines("Keep it full. Watch it at night.", "3 m")
    'Keep it full. (3 m)'
    >>> in_two_lines("The hole closes, " + "and what stands beside it falls in, " * 5 + "so fill it.")[-34:]
    'what stands beside it falls in ...'
    """
    sentence, place = first_sentence(text), f" ({where})" if where else ""
    room = TWO_LINES - len(spell(place, "us"))
    cuts = [found.start() for found in _CLAUSE_END.finditer(sentence)]
    if len(spell(sentence, "us")) <= room or not cuts:
        return sentence + place
    fitting = [cut for cut in cuts if len(spell(sentence[:cut], "us")) <= room - 4] or cuts[:1]
    return f"{sentence[: fitting[-1]]} ...{place}"


# ---- the safety page: what holds at every drilled shaft, once


def safety_page(shafts: Sequence[ShaftPlan], *, sources: bool = True) -> Page:
    """Return the cautions that hold at every shaft, by severity, with their sources unless these are not asked for."""
    found: dict[str, Caution] = {}
    words = warning_words if sources else _without_sources
    for shaft in shafts:
        found.update({caution.rule: caution for caution in shaft.cautions if caution.reach == "every_shaft"})
    sections = (
        section(
            TITLES[severity],
            Items(tuple(words(caution) for caution in found.values() if caution.severity == severity)),
            tone=TONES[severity],
        )
        for severity in SEVERITIES
    )
    return page_with("Safety page: what holds at every shaft of the site", (CLOSING,), *sections)
