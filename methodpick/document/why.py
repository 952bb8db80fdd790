"""The answer to why a depth is held as it is: its derivation, the other states and ways, and what would change it."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.document.decision import held_by
from methodpick.document.model import Document, Items, Paragraph, Section, page_with, section
from methodpick.document.reasons import paired_changes, single_changes
from methodpick.document.record import CLOSING
from methodpick.terms import STATE_NAMES
from methodpick.unit_markup import number
from methodpick.why.result import DerivationStep, Explanation


def why_document(why: Explanation) -> Document:
    """Return the answer as a document of one page."""
    held = why.held
    states = dict.fromkeys((held.drilled_in or held.support, *held.later_in))
    answer = (
        f"At {number(why.depth_m, 'm')}: {held_by(held)}, {held.confidence}; so from {number(held.top_m, 'm')} to "
        f"{number(held.base_m, 'm')}. On the way: {' -> '.join(STATE_NAMES.get(state, state) for state in states)}."
    )
    entries = [entry for tree in why.derivation for entry in _outline(tree)]
    sections: list[Section] = [
        section(f"Shaft {why.shaft}", Paragraph(answer)),
        section("Derivation", Items(tuple(text for _, text in entries), levels=tuple(level for level, _ in entries))),
        section("Other states here", Items(why.other_states)),
        section("Other ways to build the shaft", Items(why.other_ways)),
    ]
    if why.flips is not None:
        tried = Paragraph(f"Tried, each alone: {'; '.join(why.tried)}.")
        sections.append(section("What alone would change the answer", *single_changes(why.flips), tried))
    if why.pairs is not None:
        sections.append(paired_changes(why.pairs))
    return Document(f"Why shaft {why.shaft} is held as it is", (page_with("", (), *sections),), CLOSING)


def _outline(step: DerivationStep, level: int = 0) -> Iterator[tuple[int, str]]:
    """Return the sentences of a derivation from the top down, each with its depth in the tree."""
    yield level, step.text
    for part in step.parts:
        yield from _outline(part, level + 1)
