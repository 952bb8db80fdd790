"""The page of a shaft, or of shafts whose plan is the same: the answer on one page, and everything that was worked out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from methodpick.document import cautions
from methodpick.document.built_with import built_with, plant
from methodpick.document.casings_and_concrete import casings, concrete, pulls
from methodpick.document.cautions import (
    EVERYWHERE,
    TWO_LINES,
    dangers_here,
    gravest_dangers,
    hazards,
    hazards_by_name,
    in_lines,
    placed,
    questions,
)
from methodpick.document.checks import check_name, checks, margin_table, not_proven, open_besides, smallest_margins
from methodpick.document.decision import decision, head_lines, quantities, stages, stages_in_short, supports
from methodpick.document.fluid import fluid_programme, window
from methodpick.document.model import Figure, Items, Page, Paragraph, page_with, section
from methodpick.document.pages import ROOMS, Room, ShaftGroup, and_more, how_many_fit, is_short
from methodpick.document.reasons import (
    alternates,
    cautious,
    change_within_range,
    changes_of_support,
    in_the_way,
    ladder,
    nearest,
    reasons,
    within_range,
    would_open_in_short,
)
from methodpick.document.record import AT_HAND, plain_name
from methodpick.document.site import water_levels
from methodpick.document.strip import strip_section
from methodpick.drawings.strip_log import LEAST_PLOT, SHEET_PLOT, draw_strip, draw_strip_in_characters
from methodpick.plan.result import OPEN_MEANS, Alternate, ShaftPlan, TakenAssumption
from methodpick.unit_markup import SAME_LENGTH_M, either_of, first_sentence, height_words, marks_of, number, spell

# ---- the answer: the decision as in a bid letter, the work in short, what it hangs on, what is dangerous here


HANGS_ON = "What it hangs on"
MOST_ASKED = 5
"""So many questions stand on the page of a shaft that no way builds."""
_AS_NOUNS = {"collapsible": "collapsible soil", "cemented": "cementation", "fissured": "fissures", "crushed": "crushed rock"}
"""Facts whose names are no nouns, as they stand behind 'no'."""
TAKEN_LETTERS = 42
"""Letters of the facts that are named as taken as likely: a line with what stands before and behind them."""


def answer_page(group: ShaftGroup, room: Room | None = None) -> Page:
    """Return the page of one kind of shaft that a contractor reads before bid; in a given room, else in the most in which it is short."""
    if not group.first.has_method:
        told = _undecided(group)
        return told if (room is not None and room.in_print) or is_short(told) else _undecided(group, reasons=False)
    for each in (room,) if room else ROOMS:
        page = _answer(group, each)
        if is_short(page):
            break
    return page


def _answer(group: ShaftGroup, room: Room) -> Page:
    """Return the page with what the room leaves its words."""
    shaft = group.first
    return page_with(
        group.title,
        head_lines(group),
        section("Decision", *_decision(shaft, room), tone="decision"),
        strip_section(shaft, room.strip_rows),
        stages_in_short(shaft),
        section(HANGS_ON, margin_table(shaft), Items(tuple(_hangs_on(group, room)))),
        None if shaft.proven else would_open_in_short(shaft, steps=room.shortfalls),
        dangers_here(shaft, room),
    )


def _undecided(group: ShaftGroup, *, reasons: bool = True) -> Page:
    """Return what is left to say of a shaft on which nothing is decided: no stages, no volumes, but why, what opens a way, what to ask.

    Without ``reasons`` it is left to the full page why each question matters.
    """
    shaft = group.first
    here = tuple(placed(caution, caution.text) for caution in shaft.cautions if caution.is_danger_here)
    return page_with(
        group.title,
        head_lines(group),
        section("Decision", Paragraph(shaft.decision, "strong"), Paragraph(f"{relied_on(shaft)} {left_out(shaft)}"), tone="decision"),
        strip_section(shaft),
        in_the_way(shaft),
        would_open_in_short(shaft),
        questions(shaft, MOST_ASKED, reasons=reasons),
        section("Dangerous here", Items(here), Paragraph(EVERYWHERE), tone="danger"),
    )


def kinds_in_short(groups: Sequence[ShaftGroup]) -> Page:
    """Return the decision of every kind of shaft, what it hangs on, what is open and its gravest danger of the place, on one page."""
    sections = (replace(section(group.title, *_in_short(group)), about=group.ids) for group in groups)
    return Page("Kinds of shaft", (EVERYWHERE,), tuple(sections))


def _in_short(group: ShaftGroup) -> Iterator[Paragraph | Items]:
    shaft = group.first
    yield Paragraph(" ".join(f"{line.rstrip('.')}." for line in head_lines(group)))
    yield Paragraph(shaft.decision, "strong")
    yield Paragraph(not_proven(shaft), "danger")
    built = [words for words, casing in zip(built_with(shaft), shaft.casings, strict=False) if not casing.is_starter]
    built += built_with(shaft)[len(shaft.casings) :]
    yield Items(
        (" ".join(built), *(smallest_margins(shaft) or tuple(_hangs_on(group)))[:1], *map(change_within_range, group.within_range or ()))
    )
    yield Items((hazards_by_name(shaft) or gravest_dangers(shaft)[0],) if gravest_dangers(shaft) else (), tone="danger")


def _decision(shaft: ShaftPlan, room: Room) -> Iterator[Paragraph | Items]:
    """Return the decision, what it relies on, its casings, its fluids, how the concrete is placed, and what it leaves out."""
    yield Paragraph(shaft.decision, "strong")
    yield Paragraph(not_proven(shaft), "danger")
    yield Items((*built_with(shaft, densities=room.densities), *plant(shaft), f"Relied on: {ground_relied_on(shaft)} {left_out(shaft)}"))


def relied_on(shaft: ShaftPlan) -> str:
    """Return the ground and the water that the price relies on."""
    return f"Relied on: log {shaft.dated_boring}, {ground_relied_on(shaft)}"


def ground_relied_on(shaft: ShaftPlan) -> str:
    """Return the levels of water and platform that the price relies on."""
    return f"water {water_levels(shaft)}, grade {drilling_grade(shaft)}."


def drilling_grade(shaft: ShaftPlan) -> str:
    """Return where the drilling grade lies."""
    datum = shaft.design.datum
    words = height_words(shaft.design.grade_m, datum)
    return f"at {datum}" if words == datum else words


def left_out(shaft: ShaftPlan) -> str:
    """Return what the price leaves out."""
    fill = "the platform's fill, " if shaft.raised_m > 0 else ""
    return f"Left out: {fill}obstructions, other ground, higher water, nights, standby."


def _hangs_on(group: ShaftGroup, room: Room = ROOMS[0]) -> Iterator[str]:
    """Return what is open besides the smallest margins or taken as likely, the nearest change of the plan, and the way that comes next."""
    shaft = group.first
    margins, besides = smallest_margins(shaft), open_besides(shaft, room)
    if besides:
        yield f"Open besides: {besides}"
    if (difference := shaft.other_ways.difference) is not None:
        doubt = first_sentence(difference.because)
        told = any(doubt in text for text in (*margins, besides, not_proven(shaft)))
        if not told and not any(marks_of(doubt)[0] in marks_of(hazard.text)[0] for hazard in shaft.open_hazards):
            yield f"Most in doubt: {in_lines(doubt, TWO_LINES - len('Most in doubt: '))}"
    yield from taken_as_likely(shaft)
    yield from map(change_within_range, nearest(group.within_range or ()))
    yield f"{next_best(shaft)} {what_decides(shaft)}".strip()


def taken_as_likely(shaft: ShaftPlan) -> Iterator[str]:
    """Return which facts are taken as likely where others are possible, but for plant that is not counted on.

    The engineer's page has all assumptions.
    """
    taken = ((*_taken(assumption), _down_to(assumption, shaft)) for assumption in shaft.assumptions if assumption.likely)
    known = dict.fromkeys(taken)
    everywhere = {(missing, name) for missing, name, place in known if not place}
    named = [fact for fact in known if not (fact[0] and fact[1].endswith(AT_HAND)) and (not fact[2] or fact[:2] not in everywhere)]
    named.sort(key=lambda fact: fact[1].endswith(AT_HAND))  # the ground decides more than plant that can be hired
    if named:
        told = how_many_fit(named, TAKEN_LETTERS, said=lambda facts: spell(_in_words(facts), "us"))
        yield f"Assumed where not logged: {_in_words(named[:told])}{and_more(len(named) - told)}."


def _in_words(facts: Sequence[tuple[bool, str, str]]) -> str:
    """Return facts that are taken so: those that are absent of one kind and to one depth together, then the others."""
    absent: dict[tuple[str, str], list[str]] = {}
    for missing, name, place in facts:
        if missing:
            last_word = name.rpartition(" ")[2] if " " in name else ""
            absent.setdefault((place, last_word), []).append(name)
    words = [f"no {either_of_kind(names)}{place}" for (place, _), names in absent.items()]
    return ", ".join((*words, *(f"{name}{place}" for missing, name, place in facts if not missing)))


def either_of_kind(names: Sequence[str]) -> str:
    """Return names as a choice; the last words that all share stand once.

    >>> either_of_kind(["caving seen", "loss seen"]), either_of_kind(["cobbles", "boulders"]), either_of_kind(["open ground"])
    ('caving or loss seen', 'cobbles or boulders', 'open ground')
    >>> either_of_kind(["rotator plant at hand", "impact plant at hand"])
    'rotator or impact plant at hand'
    """
    split = [name.split() for name in names]
    least = min(map(len, split)) - 1
    alike = next((count for count in range(least, 0, -1) if len({tuple(words[-count:]) for words in split}) == 1), 0)
    if len(names) < 2 or not alike:
        return either_of(names)
    return f"{either_of([' '.join(words[:-alike]) for words in split])} {' '.join(split[0][-alike:])}"


def _taken(assumption: TakenAssumption) -> tuple[bool, str]:
    """Return whether a fact is taken as absent, and its name, with what it is taken as where that is more than yes or no."""
    likely, name = assumption.likely, _AS_NOUNS.get(assumption.fact, plain_name(assumption.fact))
    return likely == "no", name if likely in {"no", "yes"} else f"{name} {likely}"


def _down_to(assumption: TakenAssumption, shaft: ShaftPlan) -> str:
    """Return where a fact is taken so, where that ends above the tip: below, the log says otherwise, or nothing is taken."""
    base_m = max((base_m for _, base_m in assumption.lengths_m), default=shaft.tip_depth_m)
    return f" to {number(base_m, 'm')}" if base_m < shaft.tip_depth_m - SAME_LENGTH_M else ""


def next_best(shaft: ShaftPlan) -> str:
    """Return the other way that ranks first of those that can be built, with what keeps it from being proven, or that there is none."""
    best = shaft.other_ways.next_best
    if best is None:
        return "No other way can be built with what is known (full page: why)."
    short = ", ".join(dict.fromkeys(check_name(check) for check in best.checks if check.is_short))
    unproven = "" if best.proven else f" Not proven: {short or 'its trials ended'}."
    how = f": {first_sentence(best.why_not)}" if best.leaves_open_m > 0.0 else f", at {_cost_beside(best, shaft)}."
    return f"Next best: {best.family}{how}{unproven}"


def _cost_beside(way: Alternate, shaft: ShaftPlan) -> str:
    """Return what a way costs beside the plan."""
    ratio = (way.relative_cost or 0.0) / shaft.relative_cost if shaft.relative_cost > 0 else 1.0
    return f"about {ratio:.2f} times the cost" if abs(ratio - 1.0) > 0.005 else "about the same cost"


def what_decides(shaft: ShaftPlan) -> str:
    """Return what decides between the plan and a way by other means where both are open at about the same cost; else nothing.

    Where that is not the next best way, it is named with its cost.
    """
    best = shaft.other_ways.next_best
    if best is not None and best.both_open:
        return f"Both are open: {OPEN_MEANS[best.both_open].decided_by}."
    also = shaft.other_ways.also_open
    if also is None or not also.relative_cost or also.both_open is None:
        return ""
    return f"Open as well: {also.family}, at {_cost_beside(also, shaft)}; {OPEN_MEANS[also.both_open].decided_by}."


# ---- everything: the decision first, then how it is built, then why and what else


def shaft_page(group: ShaftGroup) -> Page:
    """Return the page; what holds at every shaft stands on the safety page."""
    shaft = group.first
    sizes = (casings, window, fluid_programme, concrete, pulls, checks, quantities) if shaft.has_method else ()
    return page_with(
        group.title,
        head_lines(group),
        decision(shaft),
        within_range(group),
        section("Strip log", strip_figure(shaft)),
        cautions.assumptions(shaft),
        cautions.warnings(shaft, "danger"),
        stages(shaft) if shaft.has_method else None,
        supports(shaft),
        *(size(shaft) for size in sizes),
        reasons(shaft),
        changes_of_support(shaft),
        hazards(shaft),
        cautions.warnings(shaft, "caution"),
        cautions.questions(shaft),
        ladder(shaft),
        cautious(shaft) if shaft.has_method else None,
        alternates(shaft),
        cautions.log_doubts(shaft),
        cautions.warnings(shaft, "note"),
    )


def strip_figure(shaft: ShaftPlan, *, alone: bool = False) -> Figure:
    """Return the strip log; one that stands alone fills its sheet."""
    least = SHEET_PLOT if alone else LEAST_PLOT
    return Figure(
        lambda units, prefix: draw_strip(shaft, units, prefix, least),
        in_characters=lambda numbers, _: draw_strip_in_characters(shaft, numbers),
    )
