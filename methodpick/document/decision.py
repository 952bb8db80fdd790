"""How a shaft is built: its decision, what holds the wall over every length, stages, quantities, and the checks it hangs on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from methodpick.document.grouping import ShaftGroup
from methodpick.document.model import Items, Paragraph, Section, TextTable, section
from methodpick.drawings.strip_columns import runs
from methodpick.plan.result import CHECK_RESULTS, CautiousPlan, Check, Interval, Rung, ShaftPlan, Stage
from methodpick.terms import FLUID_NAMES, STATE_NAMES, SUPPORT_NAMES
from methodpick.unit_markup import SAME_LENGTH_M, how_many, number

# ---- checks: what they need and have, and the smallest margins


CHECK_HEADS = ("stage", "check", "needs", "has", "margin", "result")
RESULT_WORDS = {
    "holds": "holds",
    "little_margin": "little margin",
    "open_range": "open at worst",
    "open_likely": "likely short",
    "unknown": "not known",
    "fails": "fails",
}
SHOWN_MARGINS = 3
SIZED = ("fluid-specified", "casing-wall-handling", "casing-wall-driving", "casing-wall-twisting", "casing-wall-oscillating", "clearance")
"""Checks of what the plan sizes itself, up to the next size of the trade: their margin says nothing about the ground."""
FINE_UNITS = {"casing-wall": "wall", "clearance": "size", "inflow-pumps": "pumped"}
"""Checks whose metres are written as a drawing has them, and whose flow as a pump has it."""


TRIALS_ENDED = "The trials ended before a sequence was found to which no check objects: have this plan reviewed first."


def not_proven(way: ShaftPlan | CautiousPlan | Rung) -> str:
    """Return why a way is not proven: the checks that are short with what to do, or that the trials ended; nothing where it is proven."""
    if way.proven:
        return ""
    short = dict.fromkeys(f"{check.what} {check.remedy}".strip() for check in way.checks if check.is_short)
    return f"Not proven; settle this before it is built: {' '.join(short)}" if short else TRIALS_ENDED


def check_rows(shaft: ShaftPlan) -> list[tuple[str, ...]]:
    """Return each check that compares numbers where its margin is least, for :data:`CHECK_HEADS`.

    The numbers are those at the likely values, else at the adverse end; what has no end is unlimited.
    """
    rows = []
    for check in _governing(shaft):
        if _compares(check) and not _spared(check):
            ends = (_end(check, quantity) for quantity in ("needed", "has", "margin"))
            cells = ("unlimited" if end is None else number(end, _unit(check)) for end in ends)
            rows.append((_stage_number(check), _name(check), *cells, RESULT_WORDS[check.result]))
    return rows


def _name(check: Check) -> str:
    return check.id.replace("-", " ")


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
    """Return the checks that compare no numbers, each with its stage and what it found, then the rules that do not apply."""
    found = _governing(shaft)
    words = [
        f"Stage {_stage_number(check)}, {_name(check)}, {RESULT_WORDS[check.result]}: {check.what}"
        for check in found
        if not _compares(check)
    ]
    spared = ", ".join(_name(check) for check in found if _spared(check))
    return (*words, *((f"Holds, since other conditions of the rule are not met: {spared}.",) if spared else ()))


def checks(shaft: ShaftPlan) -> Section:
    """Return the checks of the plan; those that do not hold over their whole range come first, with what to do."""
    doubtful = sorted((check for check in shaft.checks if check.result not in {"holds", "little_margin"}), key=_gravity)
    entries = tuple(dict.fromkeys(f"{check.what} {check.remedy}".strip() for check in doubtful))
    where = "Each check where it has the least margin; those of every stage, with their inputs and sources, stand in the plan file."
    rows = check_rows(shaft)
    return section(
        "Checks",
        Paragraph(not_proven(shaft), "danger"),
        Items(entries),
        Paragraph(where if rows else ""),
        TextTable(CHECK_HEADS, tuple(rows), (2, 3, 4)),
        Items(checks_in_words(shaft)),
    )


def smallest_margins(shaft: ShaftPlan) -> tuple[str, ...]:
    """Return what the plan hangs on: the checks with the least margin over what they need, the worst result first, each with its length."""
    return tuple(f"{_length_of(shaft, check)}{check.what}" for check in _least_margins(shaft))


def open_besides(shaft: ShaftPlan) -> str:
    """Return the proofs that are open and stand neither among the smallest margins nor among the open hazards; nothing without one."""
    shown = {check.id for check in _least_margins(shaft)} | {hazard.rule for hazard in shaft.open_hazards}
    found = (check for check in sorted(_governing(shaft), key=_order) if check.result not in {"holds", "little_margin", "fails"})
    return " ".join(dict.fromkeys(check.what for check in found if check.id not in shown))


def _least_margins(shaft: ShaftPlan) -> list[Check]:
    measured = [check for check in shaft.checks if _share(check) is not None and check.rule != check.id and not check.id.startswith(SIZED)]
    measured.sort(key=_order)
    worst = {check.id: check for check in reversed(measured)}
    distinct = {(check.needed.ends, check.has.ends): check for check in sorted(worst.values(), key=_order, reverse=True)}
    return sorted(distinct.values(), key=_order)[:SHOWN_MARGINS]


def numbers_of(shaft: ShaftPlan, rule: str) -> str:
    """Return what the check of a rule needs and has where it is worst, in brackets; nothing where no check has numbers."""
    likely, worst, limit = hazard_numbers(shaft, rule)
    has = [*([likely] if likely != "-" else []), *([f"{worst} at worst"] if worst != "-" else [])]
    return f" ({', '.join(has)}; limit {limit})" if has else ""


def hazard_numbers(shaft: ShaftPlan, rule: str) -> tuple[str, str, str]:
    """Return what the check of a rule has likely and at worst where it is worst, and the limit; strokes where no check has numbers."""
    check = next(
        (each for each in _governing(shaft) if each.rule == rule == each.id and each.result not in {"holds", "little_margin"}), None
    )
    if check is None or check.needed.likely is None:
        return "-", "-", "-"
    unit = _unit(check)
    worst = None if check.has.adverse == check.has.likely else check.has.adverse
    return number(check.has.likely, unit), number(worst, unit), number(check.needed.likely, unit)


def worst_margins(shafts: Sequence[ShaftPlan]) -> list[tuple[str, str, tuple[str, ...]]]:
    """Return the smallest margins of several shafts: each check where it has the least, that shaft, and all shafts that hang on it."""
    found: dict[str, list[tuple[ShaftPlan, Check]]] = {}
    for shaft in shafts:
        for check in _least_margins(shaft):
            found.setdefault(check.id, []).append((shaft, check))
    worst = [(min(held, key=lambda each: _order(each[1])), held) for held in found.values()]
    worst.sort(key=lambda each: _order(each[0][1]))
    return [
        (f"{_length_of(shaft, check)}{check.what}", shaft.id, tuple(holder.id for holder, _ in held))
        for (shaft, check), held in worst[:SHOWN_MARGINS]
    ]


def _length_of(shaft: ShaftPlan, check: Check) -> str:
    """Return the length that a check speaks of, with a colon; nothing where it is all of the shaft or a place above the ground."""
    top, base = max(0.0, check.top_m), check.base_m
    if base <= 0.0 or base - top >= shaft.tip_depth_m - 0.01:
        return ""
    return f"{number(base, 'm')}: " if base - top < 0.01 else f"{number(top, 'm')} to {number(base, 'm')}: "


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


# ---- head line, decision, supports, stages, quantities


BY_PLANNING_RATES = "by this tool's own planning rates"
SUPPORT_HEADS = ("top", "base", "ground", "held by", "drilled", "confidence")


def head_lines(group: ShaftGroup) -> tuple[str, ...]:
    """Return the lines under the title of a shaft's page: for which shafts, their size, and the boring that they are planned with."""
    shaft = group.first
    lines = [f"For shafts {group.names}; {group.count} shafts in all."] if len(group.shafts) > 1 else []
    ground = shaft.ground.ground_elevation_m
    elevation = "" if ground is None else f" (el. {number(ground - shaft.tip_depth_m, 'm')})"
    level = shaft.boring_level_m or 0.0
    step = f", its ground {number(abs(level), 'm')} {'lower' if level > 0 else 'higher'}" if level else ""
    lines.append(
        f"{number(shaft.diameter_m, 'size')} diameter, cut-off {number(shaft.cutoff_m, 'm')}, tip "
        f"{number(shaft.tip_depth_m, 'm')} below {shaft.design.datum}{elevation}; boring {group.boring}{step}, ends at "
        f"{number(shaft.ground.end_m, 'm')}"
    )
    return tuple(lines)


def decision(shaft: ShaftPlan) -> Section:
    """Return the decision, the method, how the concrete is placed, and the checks on which the plan hangs by the least."""
    if not shaft.has_method:
        return section("Decision", Paragraph(shaft.decision, "strong"), tone="decision")
    method = f"Method: {SUPPORT_NAMES[shaft.method]}. Concrete: {shaft.planned_placement.state}. {shaft.planned_placement.why}"
    least = smallest_margins(shaft)
    margins = (Paragraph("The smallest margins:"), Items(least)) if least else ()
    unproven = Paragraph(not_proven(shaft), "danger")
    return section("Decision", Paragraph(shaft.decision, "strong"), unproven, Paragraph(method), *margins, tone="decision")


def held_by(interval: Interval) -> str:
    """Name what holds the wall of an interval, with its fluid."""
    return SUPPORT_NAMES[interval.support] + (f" ({interval.fluid})" if interval.fluid else "")


def least_confidence(shaft: ShaftPlan) -> str:
    """Return the least confidence of a shaft's intervals."""
    known = {interval.confidence for interval in shaft.intervals}
    return next((word for word in ("undecided", "conditional") if word in known), "firm")


def support_runs(shaft: ShaftPlan) -> list[tuple[Interval, float]]:
    """Return the first of neighbouring intervals that are held in the same way in one soil, and the depth where they end."""
    return runs(shaft.intervals, lambda each: (each.soil_class, each.support, each.fluid, each.drilled_in, each.confidence))


def support_rows(shaft: ShaftPlan) -> list[tuple[str, ...]]:
    """Return what holds the wall over every length, for :data:`SUPPORT_HEADS`."""
    return [
        (
            number(interval.top_m, "m"),
            number(base_m, "m"),
            interval.soil_class.replace("_", " "),
            held_by(interval),
            STATE_NAMES.get(interval.drilled_in or "", "-"),
            interval.confidence,
        )
        for interval, base_m in support_runs(shaft)
    ]


def supports(shaft: ShaftPlan) -> Section:
    """Return the table of supports."""
    return section("What holds the wall when the tip is reached", TextTable(SUPPORT_HEADS, tuple(support_rows(shaft)), (0, 1)))


def stage_hours(shaft: ShaftPlan) -> float:
    """Return the hours of all stages; one without hours counts as none."""
    return sum(stage.hours or 0.0 for stage in shaft.stages)


MOST_NIGHTS = 4
"""So many nights are told one by one."""


def nights(shaft: ShaftPlan) -> Items:
    """Return the nights of the work, each with the stage in or after which it falls and how the hole is left.

    Of many nights the first ones and the last are told, which says what is left after it, and how many lie between them.
    """
    told = [night.text for night in shaft.nights]
    between = len(told) - MOST_NIGHTS
    if between > 0:
        told = [*told[: MOST_NIGHTS - 1], f"{how_many(between, 'more night')} like the one before.", told[-1]]
    return Items(tuple(told))


def nights_in_short(shaft: ShaftPlan) -> str:
    """Return in which stages the shifts end; nothing where the work fits into one."""
    if not shaft.nights:
        return ""
    numbers = list(dict.fromkeys(str(night.stage) for night in shaft.nights))
    ends = f"stage {numbers[0]}" if len(numbers) == 1 else f"stages {', '.join(numbers[:-1])} and {numbers[-1]}"
    return f"{how_many(len(shaft.nights), 'night')}, in {ends}."


def stages(shaft: ShaftPlan) -> Section:
    """Return the steps of the work with their hours, and the hours in all."""
    entries = tuple(stage.text + (f" [{stage.hours:.1f} h]" if stage.hours else "") for stage in shaft.stages)
    return section(
        "Stages",
        Items(entries, numbered=True),
        *([nights(shaft)] if shaft.nights else []),
        Paragraph(f"About {stage_hours(shaft):.0f} h for the whole shaft, {BY_PLANNING_RATES}."),
    )


SHORT_STAGE_HEADS = ("stage", "h", "what is done", "tool")
_PLACED_BY = {"free_fall": "free fall", "drop_pipe": "drop pipe", "tremie": "tremie"}
_CLAUSE_ENDS = (
    "; ",
    ". ",
    ": ",
    " while ",
    " before drilling ",
    ", the pipe ",
    ", clear of ",
    " and inspect ",
    " with the ",
    " and dig inside",
)
"""Where the words of a stage may be cut: what follows says how, not what."""


def stages_in_short(shaft: ShaftPlan, *, parts: bool = True) -> Iterator[TextTable | Paragraph]:
    """Return the stages with their hours and tools, neighbours that drill nothing on one row, and the hours in all.

    ``parts`` tells the hours of the parts of such a row.
    """
    rows = []
    for drills, group in groupby(shaft.stages, key=lambda stage: (stage.no, 0) if _stands_alone(stage) else (0, _leaves_hole(stage))):
        held = list(group)
        rows.append(_drilling_row(shaft, held[0]) if drills[0] else _handling_row(shaft, held, parts=parts))
    yield TextTable(SHORT_STAGE_HEADS, tuple(rows), (0, 1, 3))
    yield Paragraph(f"About {stage_hours(shaft):.0f} h in all by planning rates. {nights_in_short(shaft)}".strip())


def _stands_alone(stage: Stage) -> bool:
    return stage.tool_m is not None or stage.action in {"set_starter", "set_casing", "introduce_fluid", "bell"}


def _leaves_hole(stage: Stage) -> int:
    """Return 1 for what follows when the tip is reached, so that a seal test does not stand on a row with the pour."""
    return 0 if stage.action in {"seal_test", "bail"} else 1


def _drilling_row(shaft: ShaftPlan, stage: Stage) -> tuple[str, ...]:
    return str(stage.no), _hours(stage.hours), stage_name(shaft, stage), "" if stage.tool_m is None else number(stage.tool_m, "size")


def _handling_row(shaft: ShaftPlan, held: Sequence[Stage], *, parts: bool) -> tuple[str, ...]:
    numbers = str(held[0].no) if len(held) == 1 else f"{held[0].no}-{held[-1].no}"
    told = parts and len(held) > 2
    names = [f"{stage_name(shaft, stage)}{f' ({_hours(stage.hours)})' if told else ''}" for stage in held]
    names[1:] = [name[:1].lower() + name[1:] for name in names[1:]]
    return numbers, _hours(sum(stage.hours or 0.0 for stage in held)), ", ".join(names), ""


def _hours(hours: float | None) -> str:
    return f"{hours:.1f}" if hours else ""


def stage_name(shaft: ShaftPlan, stage: Stage) -> str:
    """Return what is done in a stage, in few words: its numbers stand in the decision or on the foreman's page."""
    casing = next(
        (f"casing {no}" for no, casing in enumerate(shaft.casings, 1) if abs(casing.base_m - stage.base_m) < SAME_LENGTH_M), "casing"
    )
    names = {
        "set_starter": f"Set {casing}, the starter, to {number(stage.base_m, 'm')}",
        "set_casing": f"Set {casing} to {number(stage.base_m, 'm')}",
        "introduce_fluid": f"Put in {FLUID_NAMES.get(stage.fluid or '', 'fluid')}",
        "seal_test": f"Test the seal of {casing}",
        "bail": "Bail it once the seal holds",
        "clean": "Clean the base" + (" under fluid" if stage.fluid else ""),
        "refill": "Let the hole fill",
        "cage": "Lower the cage",
        "pour": f"Place concrete by {_PLACED_BY[shaft.planned_concrete.placement]}",
        "pull": f"Pull {casing}",
        "remove_starter": f"Pull {casing}",
    }
    return names.get(stage.action) or clause(stage)


def clause(stage: Stage) -> str:
    """Return the first clause of a stage's words."""
    words = stage.text
    for end in _CLAUSE_ENDS:
        words = words.partition(end)[0]
    return words.rstrip(".")


def quantities(shaft: ShaftPlan) -> Section:
    """Return the quantities with their formulas."""
    rows = tuple((line.item, number(line.value, line.unit), line.formula) for line in shaft.quantities)
    return section("Quantities of one shaft", TextTable(("item", "quantity", "from"), rows, (1,)))
