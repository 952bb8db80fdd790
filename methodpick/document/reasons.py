"""Why a shaft is held as it is: the reasons of every interval, and what would change the answer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from methodpick.document.citations import reason_words, verdict_words
from methodpick.document.decision import held_by
from methodpick.document.grouping import ShaftGroup
from methodpick.document.model import Block, Items, Paragraph, Section, Subheading, section
from methodpick.plan.result import Flip, ShaftPlan
from methodpick.terms import SUPPORT_NAMES
from methodpick.unit_markup import number
from methodpick.why.result import RangeFlip

_MOST_PAIRS = 8
_DEPTHS = frozenset({"water_level", "struck_water", "deep_water", "tip"})
"""Inputs that are depths: negative ones stand above the ground."""


def reasons(shaft: ShaftPlan) -> Section:
    """Return the reasons of every interval, each reason whole only once, and the verdict of every state."""
    blocks: list[Block] = []
    written: set[tuple[str, str]] = set()
    for interval in shaft.intervals:
        ends = f"{number(interval.top_m, 'm')} to {number(interval.base_m, 'm')}"
        blocks.append(Subheading(f"{ends}, {interval.layer}: {held_by(interval)}"))
        new = [reason for reason in interval.reasons if (reason.rule, reason.text) not in written]
        entries = [reason_words(reason) for reason in new]
        again = [reason.rule for reason in interval.reasons if reason not in new]
        written.update((reason.rule, reason.text) for reason in new)
        if again:
            entries.append(f"As above: {', '.join(again)}.")
        blocks.append(Items((*entries, f"Verdicts: {verdict_words(interval)}.")))
    return section("Reasons", *blocks)


def changes_of_support(shaft: ShaftPlan) -> Section | None:
    """Return what flips each interval, neighbours with the same answer together; nothing where flips were not asked for."""
    if all(interval.would_change is None for interval in shaft.intervals):
        return None
    blocks: list[Block] = []
    for (support, found), group in groupby(shaft.intervals, key=lambda each: (each.support, each.would_change or ())):
        held = list(group)
        blocks.append(Subheading(f"{number(held[0].top_m, 'm')} to {number(held[-1].base_m, 'm')}, {SUPPORT_NAMES[support]}:"))
        blocks += single_changes(found) if found else [Items((_NO_SINGLE,))]
    return section("What alone would change the support", *blocks)


_NO_SINGLE = "No change of one input within its credible range does."


def single_changes(found: Sequence[Flip]) -> Iterator[Block]:
    """Return the single changes that flip an answer, in two lists."""
    for design, lead in ((False, "If the ground or its water were different:"), (True, "If you changed the design:")):
        yield Paragraph(lead)
        yield Items(tuple(_change(flip) for flip in found if flip.design is design) or (_NO_SINGLE,))


def within_range(group: ShaftGroup) -> Section | None:
    """Return what changes the plan within the stated ranges; nothing where it was not looked for or nothing does."""
    entries = tuple(map(change_within_range, group.within_range or ()))
    return section("What changes the plan within the stated ranges", Items(entries)) if entries else None


def change_within_range(found: RangeFlip) -> str:
    """Describe what changes the plan although it lies within the range that the page states."""
    flip, length = found.flip, f"{number(found.top_m, 'm')} to {number(found.base_m, 'm')}"
    then = f"{length} is {_then(flip)} in place of {SUPPORT_NAMES[found.was]}"
    if flip.input in {"casing_cost", "fluid_cost"}:
        known = f"{found.low:.2f} to {found.high:.2f} times"
        return f"The cost decides: with {flip.said} at {flip.flips_at or 1.0:.2f} times ({known} is this tool's own range), {then}."
    stated = f"stated {_value(flip, found.low)} to {_value(flip, found.high)}"
    return f"Within its range, {_moved(flip)[:-1]}; {stated}), {then}."


def paired_changes(found: Sequence[Flip]) -> Section:
    """Return the nearest changes of two inputs together."""
    entries = tuple(map(_change, found[:_MOST_PAIRS])) or ("No two inputs within their credible ranges do.",)
    return section("What two inputs together would change", Items(entries))


def _change(flip: Flip) -> str:
    """Describe a flip: the input, its value now and where it flips, and the support then."""
    second = f", with {_moved(flip.together)}" if flip.together else ""
    return f"{_moved(flip)}{second}: {_then(flip)}."


def _then(flip: Flip) -> str:
    """Name the support after a flip."""
    if flip.then == "undecided":
        return "undecided: no sequence could be built"
    return SUPPORT_NAMES[flip.then] + (f" ({flip.fluid})" if flip.fluid else "")


def _moved(flip: Flip) -> str:
    if flip.flips_at is None:
        return f"{flip.said}, now not read, at any value read"
    now = "now not read" if flip.now is None else f"now {_value(flip, flip.now)}"
    return f"{flip.said} at {_value(flip, flip.flips_at)} ({now})"


def _value(flip: Flip, value: float) -> str:
    if flip.input == "diameter":
        return number(value, "size")
    if flip.input not in _DEPTHS:
        return number(value, flip.unit)
    return f"{number(abs(value), 'm')} {'above' if value < 0 else 'below'} the ground"
