"""A rule written out for a reader."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from methodpick.engine.explain import named_limits, value_text, weakest_confidence
from methodpick.engine.rule import Rule
from methodpick.engine.rulebook import Rulebook

WIDTH = 80


def list_text(rules: Sequence[Rule], book: Rulebook) -> str:
    """Write rules by topic, two lines each: id, level and how well it is known; then what it does and its title."""
    lines: list[str] = []
    topic = ""
    for rule in rules:
        if rule.topic != topic:
            topic = rule.topic
            lines += [*([""] if lines else []), topic]
        about = {
            "exclude": f"excludes {', '.join(rule.states)}",
            "suits": f"suits {', '.join(rule.states)}",
            "prefer": f"prefers {', '.join(rule.states)}",
            "caution": rule.severity,
            "ask": "asks",
        }[rule.effect]
        lines.append(f"  {rule.id:<52} {rule.level:<6} known by {weakest_confidence(rule, book)}")
        lines += wrap(f"{rule.title} [{about}]", WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 6)
    return "\n".join(lines)


def rests_on_source(rule: Rule, source: str, book: Rulebook) -> bool:
    """Return whether a rule cites a source, or compares with or names a limit from it."""
    return any(one.key == source for one in rule.source) or any(book.limits[name].source == source for name in named_limits(rule, book))


def rule_text(rule: Rule, book: Rulebook) -> str:
    """Write a rule: what it says, when, why, on which limits and sources, with its cases."""
    effect = {
        "exclude": f"excludes {', '.join(rule.states)}",
        "suits": f"suits {', '.join(rule.states)}",
        "prefer": f"prefers {', '.join(rule.states)} by {rule.points} points",
        "caution": f"warns ({rule.severity})",
        "ask": f"asks: {rule.question}",
    }[rule.effect]
    lines = [
        f"{rule.id}: {rule.title}",
        f"  topic {rule.topic}, {rule.level}, {rule.status}, hazard {rule.hazard}, {rule.origin}",
        f"  {effect}",
        f"  when {rule.text}",
    ]
    lines += [f"  unless ({one.id}) {one.because}" for one in rule.unless]
    lines.append(f"  because {rule.because}")
    if rule.not_for:
        lines.append(f"  not for {rule.not_for}")
    lines += [f"  treatment, {state}: {text}" for state, text in rule.treatment.items()]
    for name in named_limits(rule, book):
        limit = book.limits[name]
        lines.append(f"  limit {name} = {limit.value:g} {limit.unit} ({limit.source}, {limit.where}; {limit.confidence}, {limit.origin})")
    for one in rule.source:
        lines.append(f"  source {book.sources[one.key].cite() if one.key in book.sources else one.key}, {one.where}")
    for case in rule.cases:
        given = ", ".join(f"{name} = {value_text(value, book.catalogue.facts[name].unit)}" for name, value in case.given.items())
        lines.append(f"  case {case.expect}: {given or 'nothing known'}")
    return "\n".join(lines)
