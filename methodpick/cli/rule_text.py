"""Rules written out for a reader: as a list, one whole, what an overlay changes, and which rules hold on which example."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from textwrap import wrap
from typing import TYPE_CHECKING

from methodpick.engine.explain import named_limits, value_text, weakest_confidence
from methodpick.engine.rule import Cited, Rule
from methodpick.engine.rulebook import Rulebook
from methodpick.unit_markup import spell
from methodpick.vocabulary.limits import Limit

if TYPE_CHECKING:
    from methodpick.why.rule_firings import FiringCount

WIDTH = 80


def list_text(rules: Sequence[Rule], book: Rulebook) -> str:
    """Return rules by topic, two lines each: id, level and how well it is known; then what it does and its title."""
    lines: list[str] = []
    topic = ""
    for rule in rules:
        if rule.topic != topic:
            topic = rule.topic
            lines += [*([""] if lines else []), topic]
        lines.append(f"  {rule.id:<52} {rule.level:<6} known by {weakest_confidence(rule, book)}")
        lines += wrap(f"{rule.title} [{effect_words(rule, brief=True)}]", WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 6)
    return "\n".join(lines)


def effect_words(rule: Rule, *, brief: bool = False) -> str:
    """Return what a rule does; ``brief`` leaves out points and questions."""
    states = ", ".join(rule.states)
    return {
        "exclude": f"excludes {states}",
        "suits": f"suits {states}",
        "prefer": f"prefers {states}" + ("" if brief else f" by {rule.points} points"),
        "caution": rule.severity if brief else f"warns ({rule.severity})",
        "ask": "asks" if brief else f"asks: {rule.question}",
    }[rule.effect]


def source_words(cited: Cited, book: Rulebook) -> str:
    """Return a source in full where the rulebook has it, else its key."""
    return book.sources[cited.key].cite() if cited.key in book.sources else cited.key


def rests_on_source(rule: Rule, source: str, book: Rulebook) -> bool:
    """Return whether a rule cites a source, or compares with or names a limit from it."""
    return any(cited.key == source for cited in rule.source) or any(book.limits[name].source == source for name in named_limits(rule, book))


def rule_text(rule: Rule, book: Rulebook) -> str:
    """Return a rule: what it says, when, why, on which limits and sources, with its cases."""
    lines = [
        f"{rule.id}: {rule.title}",
        f"  topic {rule.topic}, {rule.level}, {rule.status}, hazard {rule.hazard}, {rule.origin}",
        f"  {effect_words(rule)}",
        f"  when {rule.text}",
    ]
    lines += [f"  unless ({exemption.id}) {exemption.because}" for exemption in rule.unless]
    lines.append(f"  because {rule.because}")
    if rule.not_for:
        lines.append(f"  not for {rule.not_for}")
    lines += [f"  treatment, {state}: {text}" for state, text in rule.treatment.items()]
    for name in named_limits(rule, book):
        limit = book.limits[name]
        lines.append(f"  limit {name} = {limit_text(limit)} ({limit.source}, {limit.where}; {limit.confidence}, {limit.origin})")
    lines += [f"  source {source_words(cited, book)}, {cited.where}" for cited in rule.source]
    for case in rule.cases:
        given = ", ".join(f"{name} = {value_text(value, book.catalogue.facts[name].unit)}" for name, value in case.given.items())
        lines.append(f"  case {case.expect}: {given or 'nothing known'}")
    return "\n".join(lines)


def limit_text(limit: Limit) -> str:
    """Return the value of a limit, or its ends where it goes by the diameter of the shaft."""
    low, high = limit.number_range
    return f"{low:g} to {high:g} {limit.unit} by the diameter" if limit.by_diameter else f"{limit.value:g} {limit.unit}"


def diff_text(base: Rulebook, book: Rulebook) -> str:
    """Return what a book with overlays changes of the book without: limits, rules, and what becomes looser."""
    lines = [*_changed_limits(base, book), *_changed_rules(base, book)]
    lines += [f"looser   {loosening.overlay}: {spell(loosening.what, 'si')}; reason: {loosening.reason}" for loosening in book.loosened]
    return "\n".join(lines) or "nothing changes"


def _changed_limits(base: Rulebook, book: Rulebook) -> Iterator[str]:
    for name, limit in sorted(book.limits.items()):
        old = base.limits.get(name)
        where = f"({limit.source}, {limit.where}; {limit.confidence})"
        if old is None:
            yield f"limit    {name} = {limit_text(limit)} {where}, new"
        elif (old.value, old.by_diameter) != (limit.value, limit.by_diameter):
            yield f"limit    {name}: {limit_text(old)} -> {limit_text(limit)} {where}"


def _changed_rules(base: Rulebook, book: Rulebook) -> Iterator[str]:
    for rule in book.rules:
        old = base.by_id.get(rule.id)
        if old is None:
            yield f"added    {rule.id}: {rule.title}; {_effect(rule)} when {rule.text}"
        elif (old.text, old.states, old.level, old.effect) != (rule.text, rule.states, rule.level, rule.effect):
            yield f"changed  {rule.id}: {_effect(old)} when {old.text}; now {_effect(rule)} when {rule.text}"
    yield from (f"disabled {rule.id}: {rule.title}" for rule in book.disabled)


def _effect(rule: Rule) -> str:
    return f"{rule.level} {rule.effect} {', '.join(rule.states)}".rstrip()


def cover_text(counts: Mapping[str, FiringCount], book: Rulebook, examples: int, *, silent_only: bool = False) -> str:
    """Return a line a rule: places where it is true, open, false, and the examples; then what never fires, with the reason."""
    lines = [] if silent_only else ["   true   open  false  rule, and the examples on which it holds"]
    for name, count in counts.items() if not silent_only else ():
        lines.append(f"{count.true:>7}{count.open:>7}{count.false:>7}  {name}")
        if count.examples:
            lines.append(" " * 23 + ("all" if len(count.examples) == examples else ", ".join(count.examples)))
    silent = {name: count for name, count in counts.items() if not count.true and book.by_id[name].status != "deprecated"}
    lines += [f"never: {name}: {count.reason}" for name, count in silent.items()]
    lines.append(f"{len(counts) - len(silent)} of {len(counts)} rules hold somewhere on {examples} examples")
    return "\n".join(lines)
