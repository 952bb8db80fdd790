"""The checks of a plan: what they need and have, the smallest margins, the numbers of a hazard, and why a way is not proven."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.model import Items, Paragraph, Section, TextTable, section
from methodpick.document.pages import ROOMS, Room, and_more, having_once, how_many_fit
from methodpick.plan.checks.catalogue import BY_ID
from methodpick.plan.result import CHECK_RESULTS, CautiousPlan, Check, Rung, ShaftPlan
from methodpick.records import record
from methodpick.unit_markup import bare_number, first_sentence, in_column, marks_of, number, number_span, spell, unit_name

CHECK_HEADS = ("stage", "check", "needs", "has", "margin", "result")
RESULT_WORDS = {
    "holds": "holds",
    "little_margin": "little margin",
    "open_range": "open at worst",
    "open_likely": "likely short",
    "unknown": "not known",
    "fails": "fails",
}
_HOLDS = frozenset({"holds", "little_margin"})
SHOWN_MARGINS = 3
"""So many checks with the least margins stand on the page of the answer, those that are short and told at the decision among them."""
BESIDES_LETTERS = 130
"""Letters of the sentences of what else is open, two lines of a list; longer ones give way to names."""
SIZED = ("fluid-specified", "casing-wall-handling", "casing-wall-driving", "casing-wall-twisting", "casing-wall-oscillating", "clearance")
"""Checks of what the plan sizes itself, up to the next size of the trade: their margin says nothing about the ground."""
FINE_UNITS = {"casing-wall": "wall", "clearance": "size", "inflow-pumps": "pumped"}
"""Checks whose metres are written as a drawing has them, and whose flow as a pump has it."""


TRIALS_ENDED = "The trials ended before a sequence was found to which no check objects: have this plan reviewed first."


def not_proven(way: ShaftPlan | CautiousPlan | Rung) -> str:
    """Return why a way is not proven: the checks that are short with what to do, or that the trials ended; nothing where it is proven."""
    if way.proven:
        return ""
    short = what_is_short(way)
    return f"Not proven; settle this before it is built: {short}" if short else TRIALS_ENDED


def what_is_short(way: ShaftPlan | CautiousPlan | Rung) -> str:
    """Return the checks that are short, each with what to do where no other asks for the same; nothing where none is."""
    found = short_where_worst(way)
    remedies = {check.remedy: check.what for check in found}
    words = (f"{check.what} {check.remedy if remedies[check.remedy] == check.what else ''}".strip() for check in found)
    return having_once(list(dict.fromkeys(words)))


def short_where_worst(way: ShaftPlan | CautiousPlan | Rung) -> list[Check]:
    """Return the checks that are short, each proof where it is worst, in their order; none where a way is proven."""
    short = [] if way.proven else [check for check in way.checks if check.is_short]
    worst = {check.id: check for check in sorted(short, key=_order, reverse=True)}
    return [check for check in short if check is worst[check.id]]


def check_rows(shaft: ShaftPlan) -> list[tuple[str, ...]]:
    """Return each check that compares numbers where its margin is least, for :data:`CHECK_HEADS`.

    The numbers are those at the likely values, else at the adverse end; what has no end is unlimited.
    """
    rows = []
    for check in _governing(shaft):
        if _compares(check) and not _spared(check):
            ends = (_end(check, quantity) for quantity in ("needed", "has", "margin"))
            cells = ("unlimited" if end is None else number(end, _unit(check)) for end in ends)
            rows.append((_stage_number(check), check_name(check), *cells, RESULT_WORDS[check.result]))
    return rows


def check_name(check: Check) -> str:
    """Return the title of a proof as it stands in a row of words, else the name of a rule."""
    proof = BY_ID.get(check.id)
    return check.id.replace("-", " ") if proof is None else f"{proof.title[:1].lower()}{proof.title[1:]}"


def _stage_number(check: Check) -> str:
    return "-" if check.stage is None else str(check.stage)


def _compares(check: Check) -> bool:
    """Return whether a check compares numbers."""
    return any(end is not None for end in (*check.needed.ends, *check.has.ends))


def _spared(check: Check) -> bool:
    """Return whether a rule holds although its number is short, since it asks for something else besides."""
    margin = _end(check, "margin")
    return check.result == "holds" and margin is not None and margin < 0


def checks_in_words(shaft: ShaftPlan) -> tuple[str, ...]:
    """Return the checks that compare no numbers and hold, each with its stage and what it found, then the rules that do not apply."""
    found = _governing(shaft)
    words = [
        f"Stage {_stage_number(check)}, {check_name(check)}, {RESULT_WORDS[check.result]}: {check.what}"
        for check in found
        if check.result in _HOLDS and not _compares(check)
    ]
    spared = ", ".join(check_name(check) for check in found if _spared(check))
    return (*words, *((f"Holds, since other conditions of the rule are not met: {spared}.",) if spared else ()))


def checks(shaft: ShaftPlan) -> Section:
    """Return the checks of the plan; those that do not hold over their whole range come first, with what to do.

    What the decision has told as a smallest margin is not told again.
    """
    doubtful = sorted((check for check in _governing(shaft) if check.result not in _HOLDS), key=_gravity)
    told = {check.what for check in _least_margins(shaft)}
    entries = tuple(dict.fromkeys(_doubt(check, told=check.what in told) for check in doubtful))
    where = (
        "Each check where it has the least margin, which is formed before rounding; of what may not be exceeded the need is the limit. "
        "Those of every stage, with their inputs, stand in the plan file."
    )
    rows = check_rows(shaft)
    return section(
        "Checks",
        Items(entries),
        Paragraph(where if rows else ""),
        TextTable(CHECK_HEADS, tuple(rows), (2, 3, 4)),
        Items(checks_in_words(shaft)),
        Paragraph(_sources_of(_governing(shaft))),
    )


def _doubt(check: Check, *, told: bool, short: bool = False) -> str:
    """Return a check that does not hold over its whole range, with what to do, in short by its first sentence.

    What it found stands only where that is not told already.
    """
    remedy = first_sentence(check.remedy) if short else check.remedy
    return " ".join(filter(None, (f"{check_name(check).capitalize()}, {RESULT_WORDS[check.result]}:", "" if told else check.what, remedy)))


def _sources_of(named: Sequence[Check]) -> str:
    """Return where the numbers of checks come from, those of the same sources together; a check of the drawing alone has none."""
    found: dict[str, list[str]] = {}
    for check in named:
        keys = ", ".join(dict.fromkeys(cited.key for cited in check.sources))
        if keys and not _spared(check):
            found.setdefault(keys, []).append(check_name(check))
    told = (f"{keys}: {', '.join(names)}" for keys, names in sorted(found.items()))
    return f"Sources of the numbers. {'; '.join(told)}." if found else ""


# ---- on a page or two: what does not hold in full, and of each subject the checks with the least margin


SUBJECTS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("seat", ("emptied-seal", "water-seat", "artesian", "unsealed", "open-water")),
    ("base", ("base-", "bell", "inflow", "water-under-pressure")),
    ("concrete", ("pull-", "workability", "bare-", "fluid-displaced")),
    ("fluid", ("fluid-", "casing-over-fluid", "starter-shoe")),
    ("casing", ("casing-", "clearance")),
    ("plant", ("pick", "pull", "reach", "torque", "crowd", "platform")),
    ("neighbours", ("neighbour",)),
)
"""What a check is about, by how its id begins; the first that fits."""
THE_WALL = "wall"
"""The subject of every other check: the ground beside the hole."""


def _subject(check: Check) -> str:
    return next((subject for subject, starts in SUBJECTS if check.id.startswith(starts)), THE_WALL)


def checks_in_short(shaft: ShaftPlan) -> Section:
    """Return what does not hold in full, and of each subject the checks with the least margin; how many more there are, and which is least.

    What the decision tells as not proven, and what stands under the open hazards, is not told again. Of each subject stand the check with
    the least margin over what it needs and, where that is another one, the least of those on which life or the loss of the hole hangs.
    """
    told = {check.id for check in short_where_worst(shaft)} | {hazard.rule for hazard in shaft.open_hazards}
    found = _governing(shaft)
    doubtful = sorted((check for check in found if check.result not in _HOLDS and check.id not in told), key=_gravity)
    held = [check for check in found if check.result in _HOLDS]
    shown, in_words, rest = _least_of_subjects(held), doubtful[:MOST_IN_WORDS], doubtful[MOST_IN_WORDS:]
    rows = tuple((_subject(check), check_name(check), *_there_and_needed(check)) for check in shown)
    open_rows = tuple((check_name(check), RESULT_WORDS[check.result], *_there_and_needed(check)) for check in rest if _compares(check))
    unmeasured = "; ".join(f"{check_name(check)}, {RESULT_WORDS[check.result]}" for check in rest if not _compares(check))
    return section(
        "Checks",
        Items(tuple(dict.fromkeys(_doubt(check, told=False, short=True) for check in in_words))),
        TextTable(("as well", "result", "there is (at worst)", "needed"), open_rows),
        Paragraph(f"Also: {unmeasured}." if unmeasured else ""),
        TextTable(("on", "least margin that holds (at worst)", "there is", "needed"), rows),
        Paragraph(_counted(len(held) - len(shown))),
        Paragraph(_sources_of([*doubtful, *shown])),
    )


MOST_IN_WORDS = 4
"""So many checks that do not hold in full stand in words on the page in short, the gravest; the others as numbers."""


def _least_of_subjects(held: Sequence[Check]) -> list[Check]:
    """Return the least checks of each subject; what the plan sizes itself only where nothing else is about the subject."""
    by_subject: dict[str, list[Check]] = {}
    for check in sorted((check for check in held if _holds_by_number(check)), key=_used, reverse=True):
        by_subject.setdefault(_subject(check), []).append(check)
    shown = []
    for subject in (*(subject for subject, _ in SUBJECTS), THE_WALL):
        each = by_subject.get(subject, [])
        least = [check for check in each if not check.id.startswith(SIZED)][:1] or each[:1]
        vital = [check for check in each if check.id in BY_ID and BY_ID[check.id].life][:1]
        shown += [*least, *(check for check in vital if check not in least)]
    return shown


def _holds_by_number(check: Check) -> bool:
    """Return whether a check holds by its numbers at worst, and not since other conditions of its rule are not met."""
    worst = check.margin.adverse
    return _compares(check) and worst is not None and worst >= 0


def _used(check: Check) -> tuple[int, float]:
    """Return how grave a check that holds is, and the share of what there is that is used up, whichever of the two bounds the other."""
    ends = [abs(_end(check, quantity) or 0.0) for quantity in ("needed", "has")]
    return _gravity(check), min(ends) / max(*ends, 1e-9)


def _counted(more: int) -> str:
    return f"{more} more checks hold, with more margin than these of their subject, or of what the plan sizes itself." if more > 0 else ""


def smallest_margins(shaft: ShaftPlan) -> tuple[str, ...]:
    """Return what the plan hangs on: the checks with the least margin over what they need, the worst result first, each with its length."""
    return tuple(_with_length(shaft, check) for check in _least_margins(shaft))


def _with_length(shaft: ShaftPlan, check: Check) -> str:
    """Return what a check found, behind its length unless it names its depth itself."""
    where = "" if check.what.startswith("At ") else _where(shaft, check)
    return f"{where}: {check.what}" if where else check.what


FAR = 20
"""A worst of more than so many times the likely value is not written as a number beside it."""
MARGIN_HEADS = ("margin (at worst)", "where", "there is", "needed")


def margin_table(shaft: ShaftPlan) -> TextTable:
    """Return the smallest margins as a table: what there is and what is needed at the likely values, in brackets at worst.

    Their unit stands behind the second, as behind a span.
    """
    rows = ((_capital(check_name(check)), _where(shaft, check), *_unit_once(check)) for check in _least_margins(shaft))
    return TextTable(MARGIN_HEADS, tuple(rows))


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def _unit_once(check: Check) -> tuple[str, str]:
    """Return what there is and what is needed with their unit behind the second, where both are numbers."""
    there, needed = _there_and_needed(check)
    unit = unit_name(_unit(check))
    if not (marks_of(there)[1] and marks_of(needed)[1]):
        return there, needed
    return (there.removesuffix(unit).rstrip() if there.endswith(unit) else in_column(there)[0]), needed


def _there_and_needed(check: Check) -> tuple[str, str]:
    """Return what there is and what is needed, likely, and in brackets at worst where that differs."""
    unit = _unit(check)
    there, needed = ((ends.likely, ends.adverse) for ends in (check.has, check.needed))
    open_ended = check.result not in _HOLDS
    return _likely_and_worst(*there, unit, open_ended=open_ended), _likely_and_worst(*needed, unit, open_ended=open_ended)


def _likely_and_worst(likely: float | None, worst: float | None, unit: str, *, open_ended: bool) -> str:
    if worst is None:
        return "unlimited" if likely is None else number(likely, unit)
    if likely is None:
        return f"({bare_number(worst, unit)}) {unit_name(unit)}".rstrip()
    if all(spell(bare_number(likely, unit), units) == spell(bare_number(worst, unit), units) for units in ("us", "si")):
        return number(likely, unit)
    end = "far more" if open_ended and worst > FAR * abs(likely) > 0 else bare_number(worst, unit)
    return f"{bare_number(likely, unit)} ({end}) {unit_name(unit)}".rstrip()


def open_besides(shaft: ShaftPlan, room: Room = ROOMS[0]) -> str:
    """Return the proofs that are open and stand neither at the decision, among the smallest margins nor among the open hazards.

    They stand with their words where there is room, else by the names that they have on the engineer's page, which tells what there is
    and what is needed; of more names than there is room for the first, and how many more there are.
    """
    shown = {check.id for check in (*short_where_worst(shaft), *_least_margins(shaft))} | {hazard.rule for hazard in shaft.open_hazards}
    ordered = (check for check in sorted(_governing(shaft), key=_order) if check.result not in {*_HOLDS, "fails"})
    found = [check for check in ordered if check.id not in shown]
    words = " ".join(dict.fromkeys(check.what for check in found))
    if len(spell(words, "us")) <= min(room.names, BESIDES_LETTERS):
        return words
    names = [check_name(check) for check in found]
    letters = room.names - len(" and 12 more: --for engineer.")
    told = how_many_fit(names, letters)
    return f"{'; '.join(names[:told])}{and_more(len(names) - told)} ({room.page_of('engineer')})."


def _least_margins(shaft: ShaftPlan) -> list[Check]:
    measured = [check for check in shaft.checks if _share(check) is not None and check.rule != check.id and not check.id.startswith(SIZED)]
    measured.sort(key=_order)
    at_decision = {check.id for check in short_where_worst(shaft)}
    worst = {check.id: check for check in reversed(measured) if check.id not in at_decision}
    distinct = {(check.needed.ends, check.has.ends): check for check in sorted(worst.values(), key=_order, reverse=True)}
    return sorted(distinct.values(), key=_order)[: max(1, SHOWN_MARGINS - len(at_decision))]


@record
class HazardNumbers:
    """What the check of a rule has likely and at worst, the limit, their unit, and the margin at worst; None where there is no number."""

    likely: float | None
    worst: float | None
    limit: float
    unit: str
    margin: float | None


def hazard_numbers(shaft: ShaftPlan, rule: str) -> HazardNumbers | None:
    """Return the numbers of the check of a rule where it is worst; None where no check has numbers."""
    check = next((each for each in _governing(shaft) if each.rule == rule == each.id and each.result not in _HOLDS), None)
    if check is None or check.needed.likely is None:
        return None
    worst = None if check.has.adverse == check.has.likely else check.has.adverse
    return HazardNumbers(check.has.likely, worst, check.needed.likely, _unit(check), check.margin.adverse)


def numbers_of(shafts: Sequence[ShaftPlan], rule: str) -> str:
    """Return the numbers of a rule in brackets: the likely ones from the least to the most, the worst and where it is, the limit."""
    if not (found := [(shaft.id, numbers) for shaft in shafts if (numbers := hazard_numbers(shaft, rule)) is not None]):
        return ""
    unit, limit = found[0][1].unit, found[0][1].limit
    likely = [numbers.likely for _, numbers in found if numbers.likely is not None]
    worst = [(numbers.margin or 0.0, numbers.worst, name) for name, numbers in found if numbers.worst is not None]
    parts = [in_column(number_span(min(likely), max(likely), unit))[0]] if likely else []
    if worst:
        _, least, name = min(worst)
        is_far = least > FAR * max(map(abs, (*likely, limit))) > 0
        parts.append(f"{'far more' if is_far else bare_number(least, unit)} at worst" + (f", {name}" if len(shafts) > 1 else ""))
    return f" ({', '.join(parts)}; limit {number(limit, unit)})" if parts else ""


def worst_margins(shafts: Sequence[ShaftPlan]) -> list[tuple[str, str, tuple[str, ...]]]:
    """Return the smallest margins of several shafts: each check where it has the least, that shaft, and all shafts that hang on it."""
    found: dict[str, list[tuple[ShaftPlan, Check]]] = {}
    for shaft in shafts:
        for check in _least_margins(shaft):
            found.setdefault(check.id, []).append((shaft, check))
    worst = [(min(held, key=lambda each: _order(each[1])), held) for held in found.values()]
    worst.sort(key=lambda each: _order(each[0][1]))
    return [
        (_with_length(shaft, check), shaft.id, tuple(holder.id for holder, _ in held)) for (shaft, check), held in worst[:SHOWN_MARGINS]
    ]


def _where(shaft: ShaftPlan, check: Check) -> str:
    """Return the length that a check speaks of; nothing where it is all of the shaft or a place above the ground."""
    top, base = max(0.0, check.top_m), check.base_m
    if base <= 0.0 or base - top >= shaft.tip_depth_m - 0.01:
        return ""
    return number(base, "m") if base - top < 0.01 else number_span(top, base, "m")


def _governing(shaft: ShaftPlan) -> list[Check]:
    least: dict[str, Check] = {}
    for check in shaft.checks:
        if check.id not in least or _order(check) < _order(least[check.id]):
            least[check.id] = check
    return list(least.values())


def _order(check: Check) -> tuple[int, float]:
    share = _share(check)
    return (_gravity(check), float("inf") if share is None else share)


def _gravity(check: Check) -> int:
    return -CHECK_RESULTS.index(check.result)


def _share(check: Check) -> float | None:
    """Return the margin over what is needed, at the likely values."""
    margin, needed = _end(check, "margin"), _end(check, "needed")
    return None if margin is None or not needed else margin / abs(needed)


def _unit(check: Check) -> str:
    fine = next((unit for start, unit in FINE_UNITS.items() if check.id.startswith(start)), check.unit)
    return fine if check.unit in {"m", "m3/h"} else check.unit


def _end(check: Check, quantity: str) -> float | None:
    ends = {"needed": check.needed, "has": check.has, "margin": check.margin}[quantity]
    return ends.adverse if ends.likely is None else ends.likely
