"""What to watch and what to ask: assumptions, open hazards, warnings, questions, doubts, and the safety page."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.model import Items, Page, Paragraph, Section, Tone, page_with, section
from methodpick.document.record import CLOSING, caution_sources, plain_name
from methodpick.plan.result import Caution, Gap, OpenHazard, ShaftPlan, TakenAssumption
from methodpick.terms import SEVERITIES, STATE_NAMES, Severity
from methodpick.unit_markup import number

# ---- cautions


TITLES: dict[Severity, str] = {"danger": "Dangers", "caution": "Cautions", "note": "Notes"}
TONES: dict[Severity, Tone] = {"danger": "danger", "caution": "caution", "note": ""}


def assumptions(shaft: ShaftPlan) -> Section:
    """Return what the plan holds under."""
    entries = tuple(f"{assumption_words(assumption)} ({assumption.where}; {assumption.source})" for assumption in shaft.assumptions)
    nothing = "Nothing is assumed. What the log does not say stays open; the questions name it." if shaft.gaps else "Nothing is assumed."
    return section("Holds only if", Items(entries) if entries else Paragraph(nothing))


def assumption_words(assumption: TakenAssumption) -> str:
    """Describe what is assumed and why."""
    return f"{plain_name(assumption.fact)}: {assumption.assumed}. {assumption.why}"


def hazards(shaft: ShaftPlan) -> Section | None:
    """Return the hazards that stay open on the planned support."""
    if not shaft.open_hazards:
        return None
    entries = []
    for hazard in shaft.open_hazards:
        ends = f"{number(hazard.top_m, 'm')} to {number(hazard.base_m, 'm')}, " if hazard.top_m is not None else ""
        entries.append(f"{ends}{STATE_NAMES.get(hazard.state, hazard.state)}: {hazard_words(hazard)} [{hazard.rule}]")
    return section("Open hazards on the planned support", Items(tuple(entries)), tone="danger")


def hazard_words(hazard: OpenHazard) -> str:
    """Describe a hazard that stays open, and what to do about it."""
    return f"{hazard.text} What to do: {hazard.treatment}"


def hazards_in_short(hazards: Sequence[OpenHazard]) -> tuple[str, ...]:
    """Describe hazards that stay open, each rule once: the depths, what may happen, and what to do in each state of the hole.

    Of several lengths the words are those of the longest.
    """
    by_rule: dict[str, list[OpenHazard]] = {}
    for hazard in hazards:
        by_rule.setdefault(hazard.rule, []).append(hazard)
    return tuple(map(_of_one_rule, by_rule.values()))


def _of_one_rule(hazards: Sequence[OpenHazard]) -> str:
    placed_ones = [(hazard.top_m, hazard.base_m, hazard) for hazard in hazards if hazard.top_m is not None and hazard.base_m is not None]
    longest = max(placed_ones, key=lambda place: place[1] - place[0])[2] if placed_ones else hazards[0]
    ends = ""
    if placed_ones:
        ends = f", {number(min(top for top, _, _ in placed_ones), 'm')} to {number(max(base for _, base, _ in placed_ones), 'm')}"
    states: dict[str, list[str]] = {}
    for hazard in hazards:
        states.setdefault(hazard.treatment, []).append(STATE_NAMES.get(hazard.state, hazard.state))
    measures = next(iter(states)) if len(states) == 1 else " ".join(f"{' or '.join(names)}: {what}" for what, names in states.items())
    return f"Not ruled out{ends}: {longest.text} What to do: {measures}"


def warnings(shaft: ShaftPlan, severity: Severity) -> Section | None:
    """Return the warnings of one severity that this ground and method add; what holds at every shaft is on the safety page."""
    found = (caution for caution in shaft.cautions if caution.severity == severity and caution.reach != "every_shaft")
    entries = tuple(map(warning_words, found))
    return section(TITLES[severity], Items(entries), tone=TONES[severity]) if entries else None


def warning_words(caution: Caution) -> str:
    """Describe a warning, where it holds, and by which rule and sources."""
    return f"{placed(caution, caution.text)} [{caution.rule}; {caution_sources(caution)}]"


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


# ---- the safety page: what holds at every drilled shaft, once


def safety_page(shafts: Sequence[ShaftPlan]) -> Page:
    """Return the cautions that hold at every shaft, by severity, with their sources."""
    found: dict[str, Caution] = {}
    for shaft in shafts:
        found.update({caution.rule: caution for caution in shaft.cautions if caution.reach == "every_shaft"})
    sections = (
        section(
            TITLES[severity],
            Items(tuple(warning_words(caution) for caution in found.values() if caution.severity == severity)),
            tone=TONES[severity],
        )
        for severity in SEVERITIES
    )
    return page_with("Safety page: what holds at every shaft of the site", (CLOSING,), *sections)
