"""What an overlay changes, written out for a reader."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.engine.rule import Rule
from methodpick.engine.rulebook import Rulebook


def diff_text(base: Rulebook, book: Rulebook) -> str:
    """Write what a book with overlays changes of the book without: limits, rules, and what becomes looser."""
    lines = [*_limits(base, book), *_rules(base, book)]
    lines += [f"looser   {one.overlay}: {one.what}; reason: {one.reason}" for one in book.loosened]
    return "\n".join(lines) or "nothing changes"


def _limits(base: Rulebook, book: Rulebook) -> Iterator[str]:
    for name, limit in sorted(book.limits.items()):
        old = base.limits.get(name)
        where = f"({limit.source}, {limit.where}; {limit.confidence})"
        if old is None:
            yield f"limit    {name} = {limit.value:g} {limit.unit} {where}, new"
        elif old.value != limit.value:
            yield f"limit    {name}: {old.value:g} -> {limit.value:g} {limit.unit} {where}"


def _rules(base: Rulebook, book: Rulebook) -> Iterator[str]:
    for rule in book.rules:
        old = base.by_id.get(rule.id)
        if old is None:
            yield f"added    {rule.id}: {rule.title}; {_effect(rule)} when {rule.text}"
        elif (old.text, old.states, old.level, old.effect) != (rule.text, rule.states, rule.level, rule.effect):
            yield f"changed  {rule.id}: {_effect(old)} when {old.text}; now {_effect(rule)} when {rule.text}"
    yield from (f"disabled {rule.id}: {rule.title}" for rule in book.disabled)


def _effect(rule: Rule) -> str:
    return f"{rule.level} {rule.effect} {', '.join(rule.states)}".rstrip()
