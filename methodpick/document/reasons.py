"""Why a shaft is held as it is: the reasons of every interval, the ways that lost, and what would change the answer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from methodpick.document.checks import not_proven
from methodpick.document.decision import held_by
from methodpick.document.model import Block, Document, Items, Paragraph, Section, Subheading, TextTable, page_with, section
from methodpick.document.pages import ShaftGroup
from methodpick.document.record import CLOSING, reason_words, verdict_words
from methodpick.plan.reasons.notes import FAMILY_WORDS
from methodpick.plan.result import Alternate, CautiousPlan, DerivationStep, Explanation, Flip, RangeFlip, Rung, ShaftPlan
from methodpick.terms import NO_DATA_REASON, SHAFTS_SHARING, STATE_NAMES, SUPPORT_NAMES
from methodpick.unit_markup import all_of, bare_number, either_of, first_sentence, mark, marks_of, number, number_span, spell, unit_name

# ---- other plans: the ladder if the ground disagrees, the cautious plan, the ways that lost

SINGLE_CHANGES = "What alone would change the support"


_IN_TABLE = {"fallback": "fallback", "worst_credible": "worst"}
_RUNGS = {"planned": "Planned", "fallback": "Fallback", "worst_credible": "Worst credible"}
KNOWN_FAMILIES = frozenset(FAMILY_WORDS.values())
_LEAST = 0.05
"""What differs by less than this, in its unit, is not spoken of: it would be written as nothing."""


def ladder(shaft: ShaftPlan) -> Section | None:
    """Return the plan, its fallback with the trigger, and the worst that is credible."""
    entries = tuple(rung_words(rung, shaft) for rung in shaft.ladder)
    return section("Ladder: what is built if the ground disagrees", Items(entries, numbered=True)) if entries else None


def rung_words(rung: Rung, shaft: ShaftPlan) -> str:
    """Describe a way of building, when it is gone over to, and what it takes beyond the plan, which for the plan is nothing.

    What is built as planned is not told again.
    """
    if rung.name == "planned":
        return f"{_RUNGS[rung.name]}: {rung.method}"
    return f"{_rung_and_trigger(rung, shaft)} Against the plan: {_beyond_plan(rung, shaft)}."


def rungs_together(rungs: Sequence[tuple[str, Rung, ShaftPlan]]) -> Iterator[str]:
    """Describe a rung of several shafts, each by its name: those that differ in depths only once, with what each takes beyond its plan."""
    found: dict[str, list[tuple[str, Rung, ShaftPlan]]] = {}
    for name, rung, shaft in rungs:
        found.setdefault(marks_of(_rung_and_trigger(rung, shaft))[0], []).append((name, rung, shaft))
    for held in found.values():
        (first, rung, shaft), others = held[0], held[1:]
        if not others:
            yield f"{first}: {rung_words(rung, shaft)}"
            continue
        words = {spell(_rung_and_trigger(each, of), "si") for _, each, of in held}
        depths = f" These are the depths of {first}." if len(words) > 1 else ""
        beyond = "; ".join(f"{name} {_beyond_plan(each, of)}" for name, each, of in held)
        yield f"{len(held)} kinds: {_rung_and_trigger(rung, shaft)}{depths} Against the plan: {beyond}."


RUNGS_KEY = (
    "Against the plan: what one shaft takes more, or less (-), and its cost over that of the plan. Fallback and its trigger: the foreman's "
    "sheet. Worst: what is credible, each doubt about the open hole turned against the plan, with the most overbreak. A star: not proven."
)


def rungs_table(rows: Sequence[tuple[str, Sequence[ShaftPlan]]]) -> TextTable:
    """Return what the fallback and the worst that is credible take beyond the plan, by the name of a row: the most of its shafts."""
    heads = ("shaft", "way", *(f"{what}, {unit_name(unit)}" for _, unit, what in _AGAINST), "cost")
    found = []
    for name, shafts in rows:
        for rung_name in dict.fromkeys(rung.name for shaft in shafts for rung in shaft.ladder[1:]):
            rungs = [(rung, shaft) for shaft in shafts for rung in shaft.ladder[1:] if rung.name == rung_name]
            star = "" if all(rung.proven for rung, _ in rungs) else "*"
            cost = max((_cost_ratio(rung, shaft) for rung, shaft in rungs), key=lambda ratio: float(ratio or 0))
            found.append((name, _IN_TABLE[rung_name], *_more_in_columns([rung for rung, _ in rungs]), cost + star))
    return TextTable(heads, tuple(found), (2, 3, 4, 5, 6))


_AGAINST = (
    ("extra_casing_m", "m", "casing"),
    ("extra_casing_kg", "kg", "steel"),
    ("extra_fluid_m3", "m3", "fluid"),
    ("extra_concrete_m3", "m3", "concrete"),
)


def _more_in_columns(rungs: Sequence[Rung]) -> Iterator[str]:
    for name, unit, _ in _AGAINST:
        value = max(getattr(rung, name) for rung in rungs)
        yield f"{'-' if value < 0 else ''}{bare_number(abs(value), unit)}" if abs(value) >= _LEAST else "0"


def _cost_ratio(rung: Rung, shaft: ShaftPlan) -> str:
    """Return the relative cost of a rung over that of the plan, nothing where it is built as planned."""
    return "" if rung.stages == shaft.stages or not shaft.relative_cost else f"{rung.relative_cost / shaft.relative_cost:.2f}"


def _rung_and_trigger(rung: Rung, shaft: ShaftPlan) -> str:
    """Return what is built and when it is gone over to; what is built as planned is not told again."""
    if rung.stages == shaft.stages:
        return f"{_RUNGS[rung.name]}: {rung.trigger}"
    before = next((each for each in shaft.ladder if each.name != rung.name and each.stages == rung.stages), None)
    method = f"{rung.method} {not_proven(rung)}".strip() if before is None or rung.name == "fallback" else f"as the {before.name}."
    return f"{_RUNGS[rung.name]}: {method} {rung.trigger}"


def _beyond_plan(rung: Rung, shaft: ShaftPlan) -> str:
    """Return what a rung takes beyond the plan, with its relative cost where it is built otherwise."""
    if rung.stages == shaft.stages:
        return _more(rung)
    cost = rung.relative_cost / shaft.relative_cost if shaft.relative_cost else 1.0
    return f"{_more(rung)}, relative cost {cost:.2f} times"


def _more(rung: Rung) -> str:
    parts = [
        (rung.extra_casing_m, "m", "of casing"),
        (rung.extra_casing_kg, "kg", "of steel"),
        (rung.extra_fluid_m3, "m3", "of fluid to fill the hole"),
        (rung.extra_concrete_m3, "m3", "of concrete"),
    ]
    texts = [f"{'+' if value > 0 else '-'}{mark(abs(value), unit)} {what}" for value, unit, what in parts if abs(value) >= _LEAST]
    return ", ".join(texts) or "the same quantities"


def cautious(shaft: ShaftPlan) -> Section:
    """Return the cautious plan, where it differs."""
    plan = shaft.cautious
    if plan is None:
        same = "It is the same: the plan rests on no doubtful length." if shaft.proven else "No other way is found that all proofs hold."
        return section("Cautious plan", Paragraph(same))
    ratio = plan.relative_cost / shaft.relative_cost if shaft.relative_cost else 1.0
    first, *others = cautious_words(plan)
    return section(
        "Cautious plan",
        Paragraph(not_proven(plan), "danger"),
        Paragraph(f"Relative cost {ratio:.2f} times the plan. {first}"),
        *map(Paragraph, others),
        Items(tuple(stage.text for stage in plan.stages), numbered=True),
    )


def cautious_words(plan: CautiousPlan) -> tuple[str, str, str]:
    """Describe what the cautious plan hangs on, what on site triggers it, and what would settle it now."""
    return f"It hangs on this: {plan.differs_because}", f"Trigger: {plan.trigger}", f"Settled by: {plan.settles}"


def alternates(shaft: ShaftPlan) -> Section:
    """Return the other ways of building and why they lost."""
    return section("Other ways, and why they lost", Items(tuple(f"{other.family}: {other.why_not}" for other in shaft.alternates)))


# ---- a shaft that no way builds: what stands in the way, and what would open one


NO_ORDER = (
    "Every length could be held by something, but no order of work joins them: by the plant, the seats for casing, the hours that the wall "
    "stands, or the proofs of whole ways. The full page gives the verdicts of each length."
)
NO_GROUND = "The log names no soil or rock from {lengths}, so that no rule can judge it. Write what is known of these layers, or bore."
MOST_IN_THE_WAY = 5
"""So many rules that leave a length nothing are told, from the top down."""


def in_the_way(shaft: ShaftPlan) -> Section:
    """Return the lines of the site file that leave no way, and where every way of holding the ground is ruled out.

    Each rule stands once, where it is worst.
    """
    lengths: dict[str, tuple[float, float]] = {}
    words: dict[str, str] = {}
    for interval in shaft.intervals:
        if not interval.verdicts or any(verdict.state != "ruled_out" for verdict in interval.verdicts.values()):
            continue
        for reason in interval.reasons:
            if reason.facts:
                top, _ = lengths.get(reason.rule, (interval.top_m, 0.0))
                lengths[reason.rule] = (top, interval.base_m)
                words[reason.rule] = reason.text
    told = tuple(f"{mark(top, 'm')} to {mark(base, 'm')}: {words[rule]}" for rule, (top, base) in lengths.items())
    rest = len(told) - MOST_IN_THE_WAY
    more = f"{rest} more rules speak against one way or another; the full page tells them." if rest > 0 else ""
    silent = _without_ground(shaft)
    named = all_of(f"{mark(top, 'm')} to {mark(base, 'm')}" for top, base in silent)
    otherwise = NO_GROUND.format(lengths=named) if silent else NO_ORDER
    blocks = (Items(told[:MOST_IN_THE_WAY]), Paragraph(more)) if told else (Paragraph(otherwise),)
    excluding = "; ".join(shaft.excluded_by)
    by_file = f"The site file itself: {excluding}. Nothing that it leaves open builds this shaft." if excluding else ""
    return section("What stands in the way", Paragraph(by_file, "strong"), *blocks)


def _without_ground(shaft: ShaftPlan) -> list[tuple[float, float]]:
    """Return top and base of each length of which the log names no ground."""
    found: list[tuple[float, float]] = []
    for interval in shaft.intervals:
        if any(reason.rule == NO_DATA_REASON for reason in interval.reasons):
            top_m = found.pop()[0] if found and found[-1][1] == interval.top_m else interval.top_m
            found.append((top_m, interval.base_m))
    return found


WOULD_OPEN = "What would open a way"


def would_open(shaft: ShaftPlan) -> Section | None:
    """Return what would open a way, or one that passes its proofs; None where nothing was sought."""
    found = tuple(f"{_capital(way.family)}: {way.why_not}" for way in _sought(shaft))
    return section(WOULD_OPEN, Items(found)) if found else None


def would_open_in_short(shaft: ShaftPlan, *, steps: bool = True) -> Section | None:
    """Return what would open a way, what opens the same way together, each with its decision and the line of the site file to plan with.

    How the work is prepared, as cavities are filled, stands on the full page; without ``steps`` how it is built as well.
    """
    sought = _sought(shaft)
    by_way: dict[str, list[Alternate]] = {}
    for way in sought:
        by_way.setdefault(way.why_not if way.opening is None else f"{way.opening.decision} {way.opening.steps}", []).append(way)
    return section(WOULD_OPEN, Items(tuple(_opened(ways, shaft, steps=steps) for ways in by_way.values()))) if sought else None


def _opened(ways: Sequence[Alternate], shaft: ShaftPlan, *, steps: bool) -> str:
    """Return a way with what opens it and the lines of the site file, or that it is built as the plan; else what is said of it."""
    changes, lines = either_of(way.family for way in ways), either_of(way.opening.lines for way in ways if way.opening is not None)
    opening = ways[0].opening
    if opening is None:
        return f"{_capital(changes)}: {ways[0].why_not}"
    if not steps:
        return f"{_capital(changes)} (--full): plan with {lines}."
    method = first_sentence(opening.decision)
    if spell(method, "si") in spell(shaft.decision, "si"):
        method = "Built as above."
    more = "" if method == opening.decision and not opening.steps else " The full page says how."
    return f"{_capital(changes)}: {method[:1].lower()}{method[1:]}{more} Plan with {lines}."


def _sought(shaft: ShaftPlan) -> list[Alternate]:
    return [way for way in shaft.alternates if way.family not in KNOWN_FAMILIES]


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


# ---- reasons of every interval


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
    return section(SINGLE_CHANGES, *blocks)


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


def nearest(found: Sequence[RangeFlip]) -> Sequence[RangeFlip]:
    """Return the change that needs the least share of the way to the end of its stated range, alone; none where there is none.

    That plant is paid alone is no doubt about the ground or the costs: it is told besides.
    """
    doubts = sorted((each for each in found if each.flip.input != SHAFTS_SHARING), key=_share_of_range)
    return [*doubts[:1], *(each for each in found if each.flip.input == SHAFTS_SHARING)]


def _share_of_range(found: RangeFlip) -> float:
    """Return how far towards the end of the stated range an input moves until the plan changes, 1 for all the way."""
    now, at = found.flip.now, found.flip.flips_at
    if now is None or at is None:
        return 1.0
    way = abs((found.high if at > now else found.low) - now)
    return abs(at - now) / way if way else 1.0


def change_within_range(found: RangeFlip) -> str:
    """Describe what changes the plan although it lies within the range that the page states."""
    flip, length = found.flip, number_span(found.top_m, found.base_m, "m")
    if flip.input == SHAFTS_SHARING:
        return f"Planned alone it pays its plant alone: with {flip.flips_at or 1:.0f} such shafts on the site {length} is {_then(flip)}."
    if flip.input in {"casing_cost", "fluid_cost"}:
        known = f"this tool's range {found.low:.2f} to {found.high:.2f}"
        return f"The cost decides: with {flip.said} at {flip.flips_at or 1.0:.2f} times ({known}) {length} is {_then(flip)}."
    below = flip.input in _DEPTHS and min(found.low, found.high, flip.now or 0.0, flip.flips_at or 0.0) >= 0
    stated = number_span(found.low, found.high, "m") if below else f"{_value(flip, found.low)} to {_value(flip, found.high)}"
    moved = _moved(flip, bare=True) if below else _moved(flip)
    return f"Within its range, {moved[:-1]}; stated {stated}): {length} is {_then(flip)}."


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


def _moved(flip: Flip, *, bare: bool = False) -> str:
    """Return an input with the value at which it flips, and its value now, ``bare`` without its unit."""
    if flip.flips_at is None:
        return f"{flip.said}, now not read, at any value read"
    now = "now not read" if flip.now is None else f"now {bare_number(flip.now, 'm') if bare else _value(flip, flip.now)}"
    return f"{flip.said} at {_value(flip, flip.flips_at)} ({now})"


def _value(flip: Flip, value: float) -> str:
    if flip.input == "diameter":
        return number(value, "size")
    if flip.input not in _DEPTHS:
        return number(value, flip.unit)
    return f"{number(abs(value), 'm')} {'above' if value < 0 else 'below'} the ground"


# ---- the answer for one depth: its derivation, the other states and ways


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
