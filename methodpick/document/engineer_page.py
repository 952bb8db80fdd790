"""The page of the reviewing engineer: what is to be approved, on what basis, with which margins, hold points and assumptions.

In short it is what a reviewer asks first, on a page or two; whole, it has every check with its numbers and every reason to assume.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from methodpick.document import cautions
from methodpick.document.built_with import built_with, short_layer
from methodpick.document.cautions import OPEN_HAZARDS, TWO_LINES, hazards, hazards_in_short
from methodpick.document.checks import checks, checks_in_short, not_proven
from methodpick.document.decision import decision, head_lines, stage_name, supports
from methodpick.document.model import Items, Page, Paragraph, Section, TextTable, page_with, section
from methodpick.document.pages import ShaftGroup, cut_to
from methodpick.document.reasons import changes_of_support, within_range, would_open
from methodpick.document.record import AT_HAND, plain_name
from methodpick.document.site import water_levels
from methodpick.document.strip import strip_section
from methodpick.drawings.strip_columns import runs
from methodpick.plan.reasons.notes import joined_lengths
from methodpick.plan.result import Casing, LogWater, ShaftPlan
from methodpick.terms import FLUID_NAMES
from methodpick.unit_markup import SAME_LENGTH_M, how_many, number, number_span

GROUND_ROWS = 12
"""So many rows tell the ground and its method on the page in short."""
MOST_ASKED, MOST_DOUBTS = 12, 6
"""So many questions, and doubts of the log in two lines each, stand on the page in short."""
_HOLD_POINTS = {
    "bail": "the seal test has held",
    "cage": "base and fluid are within their limits",
    "pour": "base, water or fluid are checked once more with the cage in",
    "bell": "the shaft stands dry and the ground is as logged",
}
"""Stages that begin only when the inspector has seen something, and what."""
WATER_KINDS = {"main": "groundwater", "below": "water of deeper ground", "strike": "struck, under pressure", "confined": "under pressure"}
"""How a body of water is named to a reader; another kind by its own name."""
MORE_FOR_THE_ENGINEER = "Each check with its numbers, each reason to assume or to ask, all of each source: --for engineer --full."


def engineer_page(group: ShaftGroup, *, full: bool = False) -> Page:
    """Return the page: the way itself first, then what it rests on; ``full`` with every check and every reason."""
    parts = _whole(group) if full else _in_short(group)
    return page_with(f"For the reviewing engineer: {group.title}", head_lines(group), *parts)


def _whole(group: ShaftGroup) -> Iterator[Section | None]:
    shaft = group.first
    yield decision(shaft)
    yield within_range(group)
    yield supports(shaft)
    yield _basis(shaft, short=False)
    yield checks(shaft)
    yield hazards(shaft)
    yield cautions.assumptions(shaft)
    yield changes_of_support(shaft)
    yield _hold_points(shaft) if shaft.has_method else would_open(shaft)
    yield cautions.questions(shaft)
    yield cautions.log_doubts(shaft)


def _in_short(group: ShaftGroup) -> Iterator[Section | None]:
    shaft = group.first
    built = built_with(shaft) if shaft.has_method else ()
    yield section("Decision", Paragraph(shaft.decision, "strong"), Paragraph(not_proven(shaft), "danger"), Items(built), tone="decision")
    yield strip_section(shaft, GROUND_ROWS)
    yield _basis(shaft, short=True)
    yield checks_in_short(shaft)
    yield section(OPEN_HAZARDS, Items(hazards_in_short([shaft], len(shaft.open_hazards))), tone="danger")
    yield _hold_points(shaft) if shaft.has_method else would_open(shaft)
    yield _assumed(shaft)
    yield within_range(group)
    yield changes_of_support(shaft)
    yield section(
        cautions.QUESTIONS,
        Items(tuple(gap.question for gap in shaft.gaps[:MOST_ASKED]), numbered=True),
        Paragraph(_more(len(shaft.gaps) - MOST_ASKED, "question")),
    )
    yield section(
        cautions.LOG_DOUBTS,
        Items(tuple(cut_to(doubt.words, TWO_LINES) for doubt in shaft.doubts[:MOST_DOUBTS])),
        Paragraph(_more(len(shaft.doubts) - MOST_DOUBTS, "doubt")),
    )


def _more(count: int, thing: str) -> str:
    return f"{how_many(count, f'more {thing}')}: --full." if count > 0 else ""


# ---- the basis: boring, water, seats, and what the way of building does to side and base


def _basis(shaft: ShaftPlan, *, short: bool) -> Section:
    rows = (*_of_boring(shaft), *_seats(shaft, short=short), *_on_resistance(shaft))
    if short:
        return section("Basis", Items(tuple(f"{_capital(what)}: {which}" for what, which in rows)))
    return section("Basis", TextTable(("what", "which"), rows))


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def _of_boring(shaft: ShaftPlan) -> Iterator[tuple[str, str]]:
    log = shaft.ground
    below_m = log.end_m - shaft.tip_depth_m
    yield "boring below the tip", f"{number(below_m, 'm')}" if below_m >= 0 else f"ends {number(-below_m, 'm')} above the tip"
    yield "boring drilled", log.date or "date not given"
    yield "distance of the boring", "not given" if shaft.boring_distance_m is None else number(shaft.boring_distance_m, "m")
    yield "technique of the boring", log.technique.replace("_", " ") or "not given"
    yield from _waters(log.water)
    yield "levels taken", water_levels(shaft)


def _waters(waters: Sequence[LogWater]) -> Iterator[tuple[str, str]]:
    """Return where water stands and how that was read; many bodies of which the same is said without a reading share a row."""
    found: dict[str, list[LogWater]] = {}
    for water in waters:
        kind = WATER_KINDS.get(water.kind, water.kind.replace("_", " "))
        found.setdefault(water.source if water.kind == "unread" else f"{kind}: {water.source}", []).append(water)
    for said, held in found.items():
        if len(held) > cautions.MOST_LENGTHS - 1:
            yield (
                "water in other layers",
                f"{said} ({'; '.join(number_span(each.aquifer_top_m, each.aquifer_base_m, 'm') for each in held)})",
            )
            continue
        for each in held:
            bears = each.aquifer_base_m - each.aquifer_top_m >= SAME_LENGTH_M
            if not bears and each.low_m < 0:
                yield "water", each.source
                continue
            here = f" from {number(each.aquifer_top_m, 'm')} to {number(each.aquifer_base_m, 'm')}" if bears else ", in no layer"
            yield f"water{here}", said


def _seats(shaft: ShaftPlan, *, short: bool) -> Iterator[tuple[str, str]]:
    for index, casing in enumerate(shaft.casings, 1):
        if casing.embedment is not None and casing.embedment.note:
            layer = short_layer(casing.seat_layer) if short else casing.seat_layer
            yield f"seat of casing {index}", f"{layer}: {casing.embedment.note}"


def _on_resistance(shaft: ShaftPlan) -> Iterator[tuple[str, str]]:
    """Return what the way of building does to the resistance that the design may count on: along the side, and at the base."""
    yield "side friction", _side_friction(shaft)
    under = [
        f"{FLUID_NAMES.get(interval.fluid or '', 'fluid')} {number_span(interval.top_m, base_m, 'm')}"
        for interval, base_m in runs(shaft.built_intervals, lambda each: (shaft.in_starter(each), each.support, each.fluid))
        if interval.support == "slurry" and not shaft.in_starter(interval)
    ]
    if under:
        yield "wall bare under fluid", f"{'; '.join(under)}: the designer says what that takes from the side"
    if shaft.has_method:
        yield "base", _base(shaft)


def _side_friction(shaft: ShaftPlan) -> str:
    """Describe over which lengths a casing that is pulled changes, and one that stays takes, what the design may count on.

    A casing that is pulled from around one that stays changes nothing: concrete meets the ground below the inner one alone.
    """
    touched = [casing for casing in shaft.casings if not casing.is_starter]
    shut_off_m = max((casing.base_m for casing in touched if casing.kind != "temporary"), default=0.0)
    said = [
        f"{what} along the {' and '.join(along)}"
        for what, stays in (("lost or changed", True), ("changed", False))
        if (along := [*_along(touched, 0.0 if stays else shut_off_m, stays=stays)])
    ]
    return f"{'; '.join(said)}: the designer decides" if said else "no casing besides the starter touches it"


def _along(casings: Sequence[Casing], from_m: float, *, stays: bool) -> Iterator[str]:
    """Return the casings that stay, or those that are pulled, each with what of it reaches below a depth."""
    for casing in casings:
        if (casing.kind != "temporary") is stays and casing.base_m > from_m + SAME_LENGTH_M:
            yield f"{casing.kind} casing, {number_span(max(from_m, casing.top_m), casing.base_m, 'm')}"


def _base(shaft: ShaftPlan) -> str:
    """Return whether the base is cleaned dry, where it can be seen, or under fluid, and how the concrete comes onto it."""
    cleaned = next((stage.fluid for stage in shaft.stages if stage.action == "clean"), None)
    how = "cleaned dry and looked at from the surface" if cleaned is None else f"cleaned under {FLUID_NAMES.get(cleaned, 'fluid')}, sounded"
    return f"{how}; concrete {'in the dry' if shaft.planned_placement.state == 'dry' else 'by tremie'}"


# ---- where the inspector is asked, and what is assumed


def _hold_points(shaft: ShaftPlan) -> Section:
    return section("Hold points", Items(tuple(_points(shaft))))


def _points(shaft: ShaftPlan) -> Iterator[str]:
    for stage in shaft.stages:
        if stage.action in _HOLD_POINTS:
            name = stage_name(shaft, stage)
            yield f"Before stage {stage.no} ({name[:1].lower()}{name[1:]}): {_HOLD_POINTS[stage.action]}."


def _assumed(shaft: ShaftPlan) -> Section:
    """Return the facts that are taken as normal, where and by which source; those of the same value over the same length together."""
    lengths: dict[tuple[str, str, str, str], list[tuple[float, float]]] = {}
    for taken in shaft.assumptions:
        key = (
            plain_name(taken.fact),
            f"likely {taken.likely}" if taken.likely else taken.assumed,
            taken.source,
            "" if taken.lengths_m else taken.where,
        )
        lengths.setdefault(key, []).extend(taken.lengths_m)
    together: dict[str, list[str]] = {}
    for (name, assumed, source, where), held in lengths.items():
        here = cautions.length_words(joined_lengths(held, SAME_LENGTH_M))
        together.setdefault(f"{assumed} ({'; '.join(filter(None, (here or where, source)))})", []).append(name)
    entries = tuple(f"{_listed(names)}: {words}" for words, names in together.items())
    return section("Holds only if", Items(entries)) if entries else cautions.assumptions(shaft)


def _listed(names: Sequence[str]) -> str:
    """Return names of facts one after the other; plant at hand together, so that it is said once.

    >>> _listed(["oscillator at hand", "boulders", "rotator at hand"])
    'boulders, oscillator, rotator at hand'
    """
    plant = [name.removesuffix(AT_HAND) for name in names if name.endswith(AT_HAND)]
    others = [name for name in names if not name.endswith(AT_HAND)]
    return ", ".join((*others, *([f"{', '.join(plant)}{AT_HAND}"] if plant else ())))
