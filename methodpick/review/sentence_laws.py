"""What the sentences of a way must say: the decision and every stage, worded anew from the fields of stages, casings and pulls."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, answer
from methodpick.plan.proving.open_hole import plug_length
from methodpick.plan.reasons.notes import NOT_BUILDABLE, UNPROVEN
from methodpick.plan.result import Casing, Interval, PullStep, ShaftPlan, Stage, decision_words, stage_words
from methodpick.plan.result.decision_words import BAIL_FIRST, SEAL_WORDS, Dig, EndOfLog
from methodpick.plan.result.stage_words import Advanced, Drilled, PouredBy
from methodpick.review.casing_laws import cored_for_starter, is_cored_at
from methodpick.review.contradiction import Contradiction, word
from methodpick.review.hours_and_cost_laws import cage_splices
from methodpick.review.plan_file import WrittenWay
from methodpick.terms import FLUIDS, SHAKING_WAYS, STARTER, words_of_way
from methodpick.unit_markup import marks_of, spell
from methodpick.vocabulary.values import YES

# ---- a sentence against its wording, word for word, its numbers within what rounding leaves open


RECORD_ROUNDING_M = 0.00051
"""Depths of stages are written to the millimetre; a sentence may be spelled from the depth before that."""
_WRITTEN = r"(-?\d[\d,]*(?:\.\d+)?)"
_VALUE = re.compile(_WRITTEN)


def first_difference(text: str, worded: str) -> tuple[str, str] | None:
    """Return the first number of a sentence that is not that of its wording, which has marks, or both whole; None where they agree.

    >>> first_difference("Drill dry to 3.86 m.", "Drill dry to ⟦3.8641|m⟧.") is None
    True
    >>> first_difference("Drill dry to 3.86 m.", "Drill dry to ⟦4|m⟧.")
    ('3.86 m', '4.00 m')
    >>> first_difference("Drill dry to 3.86 m.", "Core dry to ⟦3.86|m⟧.")
    ('"Drill dry to 3.86 m."', '"Core dry to 3.86 m."')
    """
    template, marks = marks_of(worded)
    spelled = [spell(mark, "si") for mark in marks]
    forms = [re.escape(each).replace(re.escape(_VALUE.findall(each)[0]), _WRITTEN, 1) for each in spelled]
    plain = iter(re.escape(part) for part in template.split("⟦⟧"))
    found = re.fullmatch(next(plain) + "".join(form + part for form, part in zip(forms, plain, strict=True)), text)
    if found is None:
        return f'"{text}"', f'"{spell(worded, "si")}"'
    for mark, right, written in zip(marks, spelled, found.groups(), strict=True):
        factor = 1000.0 if right.endswith("mm") else 1.0
        digits = len(written.partition(".")[2])
        exact = float(mark[1:-1].partition("|")[0]) * factor
        if abs(float(written.replace(",", "")) - exact) > 0.5 * 10**-digits + RECORD_ROUNDING_M * factor + 1e-9:
            return right.replace(_VALUE.findall(right)[0], written, 1), right
    return None


def compare_sentence(what: str, text: str, wordings: Iterable[str], stage: int | None = None) -> Iterator[Contradiction]:
    """Return where a sentence says what none of its wordings says, of the first of them."""
    differences = [first_difference(text, worded) for worded in wordings] or [
        (f'"{text}"', "nothing: there is no such casing, bell or state")
    ]
    if differences[0] is not None and None not in differences:
        yield Contradiction(f'{what} "{_short(text)}"', *differences[0], stage)


def _short(text: str) -> str:
    return text if len(text) <= 100 else f"{text[:97]}..."


# ---- the decision


def check_decision(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the sentence of a way says a depth or a method that is not that of its stages, in their order."""
    if way.name == "plan":
        yield from word("decision, begins as not proven", way.sentence.startswith(UNPROVEN), not way.proven)
    if any(stage.no != place for place, stage in enumerate(way.built.stages, 1)):
        return  # which stage follows which cannot be told; the laws of a sequence say so
    parts: list[str] = []
    bailed = False
    log = _log_of(way.intervals or ())
    for stage in way.built.stages:
        if stage.action == "bail":
            bailed = True
        elif stage.action == "drill":
            first = BAIL_FIRST if bailed else ""
            bailed = False
            if not _goes_on(way, stage):
                parts.append(first + decision_words.drilled(stage.state or "", log.to(_first_of(way, stage).top_m, stage.base_m)))
            elif first:
                bailed = True
        elif stage.action in {"set_casing", "advance_casing"}:
            parts += _casing_said(way, stage, log)
    worded = decision_words.whole(parts, way.built.placement.state, log)
    if way.name == "plan" and ground.levels.raised_m > 0:
        worded += decision_words.needs_platform(ground.levels.raised_m)
    yield from compare_sentence("decision", way.sentence.removeprefix(UNPROVEN), [worded])


def check_undecided(shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where the sentence of a shaft without a method does not say that no way is left, or from where on the log says nothing."""
    no_way = any(reason.rule == "no-way" for interval in shaft.intervals for reason in interval.reasons)
    top_m = next((interval.top_m for interval in shaft.intervals if interval.support == "undecided"), 0.0)
    yield from compare_sentence("decision", shaft.decision, [NOT_BUILDABLE if no_way else decision_words.log_says_nothing(top_m)])


def _goes_on(way: WrittenWay, stage: Stage) -> bool:
    """Return whether the next stage drills on in the same state: only the tool is another."""
    following = way.built.stages[stage.no] if stage.no < len(way.built.stages) else None
    return following is not None and following.action == "drill" and following.state == stage.state


def _log_of(intervals: Sequence[Interval]) -> EndOfLog:
    """Return where the log ends above the tip, None where it does not, and the lengths above that it leaves out."""
    lengths: list[tuple[float, float]] = []
    for interval in intervals:
        if interval.support == "undecided":
            joins = bool(lengths) and abs(lengths[-1][1] - interval.top_m) < TOUCH_M
            lengths.append((lengths.pop()[0] if joins else interval.top_m, interval.base_m))
    ends = bool(lengths) and abs(lengths[-1][1] - intervals[-1].base_m) < TOUCH_M
    return EndOfLog(lengths[-1][0], tuple(lengths[:-1])) if ends else EndOfLog(None, tuple(lengths))


def _first_of(way: WrittenWay, stage: Stage) -> Stage:
    """Return the stage with which the drilling began that a stage ends: in one state, whatever the tool."""
    before = way.built.stages[stage.no - 2] if stage.no > 1 else None
    return stage if before is None or not _goes_on(way, before) else _first_of(way, before)


def _casing_said(way: WrittenWay, stage: Stage, log: EndOfLog) -> list[str]:
    casing = _casing(way, stage)
    if casing is None or casing.kind == STARTER:
        return []
    dug_dry = stage.action == "advance_casing" and stage.state == "cased_dry"
    seal = SEAL_WORDS[casing.sealed] if _is_empty_below(way, stage) and not dug_dry else ""
    if stage.action == "set_casing":
        return [decision_words.casing_set(casing.kind, log.to(casing.top_m, casing.base_m)) + seal]
    dig: Dig = "dry" if dug_dry else "plug" if _is_plugged(way, stage) else "full"
    return [
        decision_words.advanced(casing.kind, dig, words_of_way(casing.way, casing.turned_by), log.to(stage.top_m, casing.base_m)) + seal
    ]


def _is_empty_below(way: WrittenWay, stage: Stage) -> bool:
    """Return whether the stage after a casing digs without fluid, or, at the tip, the concrete goes into the empty hole."""
    work = (later for later in way.built.stages[stage.no :] if later.action in {"drill", "set_casing", "advance_casing"})
    following = next(work, None)
    if following is None:
        return way.built.placement.state == "dry"
    return following.action != "set_casing" and following.state in {"dry", "cased_dry"}


def _is_plugged(way: WrittenWay, stage: Stage) -> bool:
    """Return whether a plug is kept in any length over which this casing is advanced: the stages next before it of the same kind."""
    plugged = False
    for other in reversed(way.built.stages[: stage.no]):
        if other.action != "advance_casing" or (other is not stage and _casing(way, other) is not None):
            if other.action in {"drill", "introduce_fluid"}:
                continue
            break
        plugged = plugged or other.state == "cased_plug"
    return plugged


def _casing(way: WrittenWay, stage: Stage) -> Casing | None:
    return next((casing for casing in way.built.casings if abs(casing.base_m - stage.base_m) < TOUCH_M), None)


# ---- the stages


def check_stage_texts(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the text of a stage says a number or a method that is not that of the fields."""
    fluid: str | None = None
    for stage in way.built.stages:
        said = _SAID.get(stage.action)
        if said is not None:
            yield from _facts(ground, way, stage)
            yield from compare_sentence("text", stage.text, said(ground, way, stage, fluid), stage.no)
        if stage.action in {"introduce_fluid", "advance_casing", "drill", "refill"}:
            fluid = stage.fluid
        elif stage.action == "bail":
            fluid = None


def _facts(ground: GroundFacts, way: WrittenWay, stage: Stage) -> Iterator[Contradiction]:
    """Return the facts of a stage that are not those of its work: its casing, a core barrel, a casing that is lowered first."""
    before = way.built.stages[stage.no - 2] if 1 < stage.no <= len(way.built.stages) + 1 else None
    advances = stage.action == "advance_casing"
    casing = _string_of(way, stage) if advances else _casing(way, stage)
    right: tuple[tuple[str, int | bool | None], ...] = (
        ("casing_no", _number(way, casing) if stage.action in _OF_A_CASING else None),
        ("cored", stage.action == "drill" and is_cored_at(ground, (stage.top_m + stage.base_m) / 2)),
        ("lowered", advances and before is not None and before.action == "drill"),
    )
    for name, value in right:
        if getattr(stage, name) != value:
            yield Contradiction(name, str(getattr(stage, name)), str(value), stage.no)


def _number(way: WrittenWay, casing: Casing | None) -> int:
    """Return the number of a casing, counted from the outermost; 0 for none."""
    return 0 if casing is None else way.built.casings.index(casing) + 1


def _string_of(way: WrittenWay, stage: Stage) -> Casing | None:
    """Return the casing that is advanced over a stage."""
    return next((known for known in way.built.strings if known.base_m > stage.base_m - TOUCH_M), None)


def _pushed_from(casing: Casing | None) -> float | None:
    return None if casing is None or casing.advanced_m <= 0 else casing.predrill_base_m


def _starter(ground: GroundFacts, way: WrittenWay, stage: Stage, _: str | None) -> list[str]:
    usual_m = max(0.0, ground.levels.grade_m) + ground.limits["starter_max_m"].value
    cored = [top_m for top_m, _ in cored_for_starter(ground, stage.base_m)]
    above_m = ground.levels.grade_m - stage.top_m
    shaken_m = usual_m if stage.base_m > usual_m + TOUCH_M else None
    cored_m, pushed_m = cored[0] if cored else None, _pushed_from(way.built.starter)
    return [stage_words.set_starter(1, stage.base_m, above_m, shaken_from_m=shaken_m, cored_from_m=cored_m, pushed_from_m=pushed_m)]


def _below_grade(ground: GroundFacts, level_m: float) -> float:
    return level_m - ground.levels.grade_m


def _drill(ground: GroundFacts, _: WrittenWay, stage: Stage, __: str | None) -> list[str]:
    """Return the wordings of drilling; a length in which the log ends may be told as one of which it tells or not."""
    cored = is_cored_at(ground, (stage.top_m + stage.base_m) / 2)
    lengths = [Drilled(stage.top_m, stage.base_m, stage.tool_m or 0.0, cored, logged) for logged in (True, False)]
    if stage.state == "dry":
        return [length.dry() for length in lengths]
    if stage.state not in FLUIDS:
        return []
    below_m = _below_grade(ground, ground.levels.fluid_m[stage.state])
    return [length.under(stage.state, below_m) for length in lengths]


def _introduce(ground: GroundFacts, _: WrittenWay, stage: Stage, before: str | None) -> list[str]:
    fluid = stage.fluid if stage.fluid in FLUIDS else FLUIDS[0]
    return [stage_words.bring_in(fluid, _below_grade(ground, stage.top_m), stage.base_m, instead_of=before)]


def _advance(ground: GroundFacts, way: WrittenWay, stage: Stage, _: str | None) -> list[str]:
    casing = _string_of(way, stage)
    if casing is None:
        return []
    dug_first = stage.top_m < ground.levels.floor_m + TOUCH_M < casing.dug_m
    worded = Advanced(
        number=_number(way, casing),
        top_m=stage.top_m,
        base_m=stage.base_m,
        way=words_of_way(casing.way, casing.turned_by),
        tool_m=stage.tool_m or 0.0,
        dig="with_shoe",
        lowered=stage.lowered,
        dug_m=casing.dug_m if dug_first else None,
        pushed_m=_pushed_last(ground, casing, stage),
    )
    if stage.state == "cased_plug":
        plug_m = plug_length(ground, (stage.top_m, stage.base_m), stage.fluid, casing.outside_diameter_m)
        worded = replace(worded, dig="plug", ahead=plug_m)
    elif stage.state == "cased_dry":
        worded = replace(worded, dig="dry", ahead=ground.limits["shoe_lead_diameters"].value)
    return [worded.words, replace(worded, logged=False).words]


def _pushed_last(ground: GroundFacts, casing: Casing, stage: Stage) -> float | None:
    """Return the length over a shoe that is shaken down in which the ground stops the hammer; None for other shoes."""
    if casing.way not in SHAKING_WAYS or casing.base_m > stage.base_m + TOUCH_M:
        return None
    pieces = ground.slices(stage.top_m, stage.base_m)
    goes = [answer(piece, f"penetrable_{casing.way}") for piece in pieces]
    shaken = [
        piece.slice.base_m
        for piece, through in zip(pieces, goes, strict=True)
        if not piece.logged or through.likely == YES or through.values == {YES}
    ]
    length = stage.base_m - max([stage.top_m, *(min(base, stage.base_m) for base in shaken)])
    return length if length > TOUCH_M else None


def _set(ground: GroundFacts, way: WrittenWay, stage: Stage, _: str | None) -> list[str]:
    casing = _casing(way, stage)
    if casing is None:
        return []
    return [
        stage_words.set_casing(
            _number(way, casing),
            casing.kind,
            (casing.outside_diameter_m, casing.wall_m),
            (ground.levels.grade_m - casing.top_m, casing.base_m),
            pushed_from_m=_pushed_from(casing),
            tool_m=stage.tool_m,
        )
    ]


def _seal_test(_: GroundFacts, way: WrittenWay, stage: Stage, __: str | None) -> list[str]:
    return [stage_words.seal_test(_number(way, _casing(way, stage)), stage.base_m)]


def _bail(_: GroundFacts, way: WrittenWay, stage: Stage, __: str | None) -> list[str]:
    return [stage_words.bail(_number(way, _casing(way, stage)))]


def _bell(ground: GroundFacts, _: WrittenWay, stage: Stage, fluid: str | None) -> list[str]:
    bell = ground.shaft.bell
    return [] if bell is None else [stage_words.cut_bell(stage.top_m, stage.base_m, bell.diameter_m, full=bool(fluid))]


def _clean(_: GroundFacts, __: WrittenWay, ___: Stage, fluid: str | None) -> list[str]:
    return [stage_words.clean(full=bool(fluid))]


def _cage(ground: GroundFacts, _: WrittenWay, __: Stage, ___: str | None) -> list[str]:
    return [stage_words.lower_cage(cage_splices(ground) + 1)]


def _refill(_: GroundFacts, __: WrittenWay, ___: Stage, ____: str | None) -> list[str]:
    return [stage_words.REFILL]


def _pour(_: GroundFacts, way: WrittenWay, __: Stage, ___: str | None) -> list[str]:
    soft = any(casing.kind == "temporary" for casing in way.built.casings)
    by: PouredBy = "tremie" if way.built.placement.state == "wet" else "drop_pipe" if soft else "free_fall"
    return [stage_words.pour(by, starter_kept=way.built.concrete.starter_kept)]


def _pull(_: GroundFacts, way: WrittenWay, stage: Stage, __: str | None) -> list[str]:
    casing = _casing(way, stage)
    lifts = [step for step in way.built.concrete.pulls if step.casing_no == _number(way, casing)]
    if casing is None or not lifts:
        return []
    telling = next((lift for lift in lifts if not lift.safe), lifts[0])
    outside_m = None if casing.kind == STARTER else casing.outside_diameter_m
    return [stage_words.pull(_number(way, casing), outside_m, len(lifts), note) for note in _notes(casing, telling)]


def _notes(casing: Casing, step: PullStep) -> tuple[str, ...]:
    """Return what a lift may say: the concrete before it, the least, after it, and the shoe."""
    before, least, after = step.level_before_m, step.level_least_m, step.level_after_m
    if before is None or least is None or after is None:
        return (stage_words.NO_CONCRETE_INSIDE, stage_words.OUT_AT_ANY_TIME)
    if not step.safe:
        return (stage_words.not_safe(least, casing.top_m),)
    return (stage_words.lift(before, least, after, shoe_after_m=step.shoe_after_m, more_drop_m=step.more_drop_m),)


_OF_A_CASING = frozenset({"set_starter", "advance_casing", "set_casing", "seal_test", "bail", "pull", "remove_starter"})
_SAID: Mapping[str, Callable[[GroundFacts, WrittenWay, Stage, str | None], list[str]]] = {
    "set_starter": _starter,
    "drill": _drill,
    "introduce_fluid": _introduce,
    "advance_casing": _advance,
    "set_casing": _set,
    "seal_test": _seal_test,
    "bail": _bail,
    "bell": _bell,
    "clean": _clean,
    "cage": _cage,
    "refill": _refill,
    "pour": _pour,
    "pull": _pull,
    "remove_starter": _pull,
}
