"""The first page of a site: one row a kind of shaft, the totals, and what to ask the owner first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from methodpick.document.casings import outside_and_wall
from methodpick.document.cautions import question_words
from methodpick.document.decision import BY_PLANNING_RATES, least_confidence, stage_hours
from methodpick.document.grouping import ShaftGroup, over_shafts
from methodpick.document.model import Items, Page, Paragraph, TextTable, page_with, section
from methodpick.document.site import first_names
from methodpick.plan.result import Plan
from methodpick.terms import STARTER, SUPPORT_NAMES
from methodpick.unit_markup import how_many, number

MOST_QUESTIONS = 5
_HEADS = ("shaft", "n", "size", "tip", "method", "casing besides the starter", "pour")


def roll_up(plan: Plan, groups: Sequence[ShaftGroup]) -> Page:
    """Return the page; a kind of shaft is named by the first of it, its own page names all."""
    count = sum(group.count for group in groups)
    alike = f"{len(groups)} kinds" if len(groups) > 1 else "one kind"
    rows = tuple(map(_row, groups))
    sections = (
        section("Shafts", TextTable(_HEADS, rows, (1, 2, 3)), *map(Paragraph, _confidence(groups))),
        section("Totals", Items(tuple(_totals(groups)))),
        section("Ask the owner first", Items(tuple(_questions(groups)), numbered=True)),
        section("", Paragraph("A page for each kind follows; alike shafts are told once.")),
    )
    title = f"{plan.site_name or plan.input.path}: {how_many(count, 'shaft')} of {alike}"
    return page_with(title, (), *sections)


def _row(group: ShaftGroup) -> tuple[str, ...]:
    shaft = group.first
    more = f" +{len(group.shafts) - 1}" if len(group.shafts) > 1 else ""
    longest = max((casing for casing in shaft.casings if casing.kind != STARTER), key=lambda casing: casing.base_m, default=None)
    return (
        shaft.id + more,
        str(group.count),
        number(shaft.diameter_m, "size"),
        number(shaft.tip_depth_m, "m"),
        SUPPORT_NAMES[shaft.method],
        "-" if longest is None else f"{longest.kind} to {number(longest.base_m, 'm')}",
        shaft.placement.state,
    )


def _confidence(groups: Sequence[ShaftGroup]) -> Iterator[str]:
    """Return the kinds of each confidence, the least first."""
    for word in ("undecided", "conditional", "firm"):
        names = [group.first.id for group in groups if least_confidence(group.first) == word]
        if names:
            yield f"{word.capitalize()}: {', '.join(names)}."


def _totals(groups: Sequence[ShaftGroup]) -> Iterator[str]:
    """Return shaft length, concrete, steel of the longest casing kinds by size, and hours, over all shafts."""
    length = over_shafts(groups, lambda shaft: shaft.tip_depth_m - shaft.cutoff_m)
    yield f"Shaft from cut-off to tip: {number(length, 'm')}."
    theoretical = over_shafts(groups, lambda shaft: shaft.concrete.theoretical_m3)
    likely = over_shafts(groups, lambda shaft: shaft.concrete.expected_m3)
    low = over_shafts(groups, lambda shaft: shaft.concrete.expected_low_m3)
    high = over_shafts(groups, lambda shaft: shaft.concrete.expected_high_m3)
    yield (
        f"Concrete: {number(theoretical, 'm3')} by the drawings, {number(likely, 'm3')} expected ({number(low, 'm3')} to "
        f"{number(high, 'm3')})."
    )
    for kind, words in (("permanent", "stays in the ground"), ("temporary", "set and pulled"), (STARTER, "set and pulled")):
        found = _by_size(groups, kind)
        sizes = "; ".join(f"{size} {number(length_m, 'm')}" for size, (length_m, _) in found.items())
        mass = sum(mass_kg for _, mass_kg in found.values())
        if found:
            yield f"Casing, {kind}, {words}: {sizes}; {number(mass, 'kg')} in all, before strings are used again."
    yield f"Hours, one shaft after another {BY_PLANNING_RATES}: {over_shafts(groups, stage_hours):.0f} h."


def _by_size(groups: Sequence[ShaftGroup], kind: str) -> dict[str, tuple[float, float]]:
    """Return length and mass of the casings of a kind by their size."""
    found: dict[str, tuple[float, float]] = {}
    for group in groups:
        for casing in group.first.casings:
            if casing.kind == kind:
                length_m, mass_kg = found.get(outside_and_wall(casing), (0.0, 0.0))
                found[outside_and_wall(casing)] = (length_m + casing.length_m * group.count, mass_kg + casing.mass_kg * group.count)
    return found


def _questions(groups: Sequence[ShaftGroup]) -> Iterator[str]:
    """Return the questions that stand for most shafts, in their own order among equals, with the kinds that ask them."""
    asked: Counter[str] = Counter()
    by_kind: dict[str, list[str]] = {}
    for group in groups:
        for gap in group.first.gaps:
            asked[question_words(gap)] += group.count
            by_kind.setdefault(question_words(gap), []).append(group.first.id)
    for question, _ in asked.most_common(MOST_QUESTIONS):
        kinds = "" if len(by_kind[question]) == len(groups) else f" ({first_names(by_kind[question])})"
        yield question + kinds
