"""What the sentences of a way must say: the decision and every stage, from the fields of stages, casings and pulls."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import zip_longest

from methodpick.patterns import pattern_of
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts, answer
from methodpick.plan.proving.open_hole import plug_length
from methodpick.plan.reasons.notes import UNPROVEN
from methodpick.plan.result import Casing, Interval, PullStep, ShaftPlan, Stage
from methodpick.review.casing_laws import cored_for_starter, is_cored_at
from methodpick.review.contradiction import Contradiction, word
from methodpick.review.hours_and_cost_laws import cage_splices
from methodpick.review.plan_file import WrittenWay
from methodpick.review.sentence_forms import check_decision_form, check_stage_facts, check_stage_form
from methodpick.terms import FLUIDS, SHAKING_WAYS, STARTER
from methodpick.unit_markup import mark, spell
from methodpick.vocabulary.values import YES

# ---- numbers and method words of a sentence, in the order in which they stand


TO_METRES = {"m": 1.0, "mm": 0.001}
RECORD_ROUNDING_M = 0.00051
"""Depths of stages are written to the millimetre; a sentence may be spelled from the depth before that."""
_NUMBER = pattern_of(r"(?P<value>-?\d[\d,]*(?:\.\d+)?) (?P<unit>mm|m)\b")

LengthOrWord = float | str
"""A length in metres, or a method word."""


def lengths_and_words(text: str, words: re.Pattern[str]) -> list[tuple[LengthOrWord, float]]:
    """Return the lengths and the method words of a sentence in order, each length with what its rounding leaves open, in metres.

    >>> lengths_and_words("Drill dry to 3.86 m.", re.compile("[Dd]rill dry"))
    [('drill dry', 0.0), (3.86, 0.00551)]
    """
    found: list[tuple[int, LengthOrWord, float]] = [(match.start(), match[0].lower(), 0.0) for match in words.finditer(text)]
    for match in _NUMBER.finditer(text):
        written, factor = match["value"].replace(",", ""), TO_METRES[match["unit"]]
        digits = len(written.partition(".")[2])
        found.append((match.start(), float(written) * factor, 0.5 * 10**-digits * factor + RECORD_ROUNDING_M))
    return [(said, slack) for _, said, slack in sorted(found, key=lambda entry: entry[0])]


def compare_sentence(
    what: str, text: str, right: Sequence[LengthOrWord], words: re.Pattern[str], stage: int | None = None
) -> Iterator[Contradiction]:
    """Return the first number or method word of a sentence that is not that of the record."""
    for written, expected in zip_longest(lengths_and_words(text, words), right):
        if written is None or expected is None or not _is_same(written, expected):
            says = "nothing more" if written is None else _say(written[0])
            yield Contradiction(f'{what} "{_short(text)}"', says, "nothing more" if expected is None else _say(expected), stage)
            return


def _is_same(written: tuple[LengthOrWord, float], expected: LengthOrWord) -> bool:
    said, slack = written
    if isinstance(said, str) or isinstance(expected, str):
        return said == expected
    return abs(said - expected) <= slack + 1e-9


def _say(said: LengthOrWord) -> str:
    return said if isinstance(said, str) else f"{said:.3f} m"


def _short(text: str) -> str:
    return text if len(text) <= 100 else f"{text[:97]}..."


# ---- decision and stages


FLUID_WORDS = {"water": "water", "polymer": "polymer fluid", "mineral": "mineral slurry"}
BY = {
    "twisted": "by twisting",
    "vibrated": "by vibration",
    "driven": "by driving",
    "oscillated": "by the oscillator or rotator",
    None: "by pushing",
}
SEALS = {"yes": ["and seal it"], "probable": ["and prove its seal"], "no": []}
DECISION_WORDS = pattern_of(
    r"needs the platform raised"
    r"|drill dry|drill under (?:water|polymer fluid|mineral slurry)|advance (?:temporary |permanent )?casing|ahead of the dig|dug dry"
    r"|with the dig, kept full"
    r"|by (?:twisting|vibration|driving|oscillator or rotator|pushing)|(?:temporary|permanent) casing|and seal it|and prove its seal"
    r"|bail|concrete by tremie|concrete in the dry|nothing is decided|priced as (?:ground of which|the ground above)|no way of building",
    re.IGNORECASE,
)
STAGE_WORDS = pattern_of(
    r"starter|(?:drill|core) dry|\bcore from|core barrel|(?<!bail )casing \d+|under (?:water|polymer fluid|mineral slurry)"
    r"|(?:with|in) (?:water|polymer fluid|mineral slurry)\b"
    r"|until the (?:water|polymer fluid|mineral slurry)|(?:above|below) the drilling grade|(?:temporary|permanent) casing"
    r"|into undrilled ground|pushed or twisted|dug out"
    r"|by (?:twisting|vibration|driving|the oscillator or rotator|pushing)|a plug of soil|dig it dry|with the dig"
    r"|bail casing \d+|test the seal"
    r"|by tremie|free fall|drop pipe"
    r"|under fluid|from the surface|(?:above|below) the ground|lower the cage|in \d+ (?:lifts|spliced pieces)|not safe as planned"
    r"|\d+(?:\.\d+)? diameters",
    re.IGNORECASE,
)


def check_decision(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the sentence of a way says a depth or a method that is not that of its stages, in their order."""
    yield from check_decision_form(way.sentence)
    if way.name == "plan":
        yield from word("decision, begins as not proven", way.sentence.startswith(UNPROVEN), not way.proven)
    if any(stage.no != place for place, stage in enumerate(way.built.stages, 1)):
        return  # which stage follows which cannot be told; the laws of a sequence say so
    parts: list[LengthOrWord] = []
    bailed = False
    end_m, gaps = _log_of(way.intervals or ())
    for stage in way.built.stages:
        if stage.action == "bail":
            bailed = True
        elif stage.action == "drill":
            parts += ["bail"] if bailed else []
            bailed = False
            if not _goes_on(way, stage):
                words = "drill dry" if stage.state == "dry" else f"drill under {FLUID_WORDS.get(stage.state or '')}"
                parts += [words, *_past_the_log(end_m, _first_of(way, stage).top_m, stage.base_m), stage.base_m]
        elif stage.action in {"set_casing", "advance_casing"}:
            parts += _casing_said(way, stage, end_m)
    parts.append("concrete by tremie" if way.built.placement.state == "wet" else "concrete in the dry")
    for told_together in (gaps[:1], gaps[1:]) if gaps and gaps[0][0] <= 0 else (gaps,):
        parts += [end for length in told_together for end in length]
        priced = "priced as ground of which" if told_together and told_together[0][0] <= 0 else "priced as the ground above"
        parts += ["nothing is decided", priced] if told_together else []
    parts += [] if end_m is None else [end_m, "nothing is decided"]
    if way.name == "plan" and ground.levels.raised_m > 0:
        parts += ["needs the platform raised", ground.levels.raised_m]
    yield from compare_sentence("decision", way.sentence, parts, DECISION_WORDS)


def check_undecided(shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where the sentence of a shaft without a method does not say that no way is left, or from where on the log says nothing."""
    no_way = any(reason.rule == "no-way" for interval in shaft.intervals for reason in interval.reasons)
    top_m = next((interval.top_m for interval in shaft.intervals if interval.support == "undecided"), 0.0)
    parts: list[LengthOrWord] = ["no way of building"] if no_way else [top_m, "nothing is decided"]
    yield from check_decision_form(shaft.decision)
    yield from compare_sentence("decision", shaft.decision, parts, DECISION_WORDS)


def _goes_on(way: WrittenWay, stage: Stage) -> bool:
    """Return whether the next stage drills on in the same state: only the tool is another."""
    following = way.built.stages[stage.no] if stage.no < len(way.built.stages) else None
    return following is not None and following.action == "drill" and following.state == stage.state


def _log_of(intervals: Sequence[Interval]) -> tuple[float | None, list[tuple[float, float]]]:
    """Return where the log ends above the tip, None where it does not, and the lengths above that it leaves out."""
    lengths: list[tuple[float, float]] = []
    for interval in intervals:
        if interval.support == "undecided":
            joins = bool(lengths) and abs(lengths[-1][1] - interval.top_m) < TOUCH_M
            lengths.append((lengths.pop()[0] if joins else interval.top_m, interval.base_m))
    ends = bool(lengths) and abs(lengths[-1][1] - intervals[-1].base_m) < TOUCH_M
    return (lengths[-1][0], lengths[:-1]) if ends else (None, lengths)


def _past_the_log(end_m: float | None, top_m: float, base_m: float) -> list[LengthOrWord]:
    """Return the end of the log where a length goes on past it."""
    return [end_m] if end_m is not None and top_m < end_m - TOUCH_M and base_m > end_m + TOUCH_M else []


def _first_of(way: WrittenWay, stage: Stage) -> Stage:
    """Return the stage with which the drilling began that a stage ends: in one state, whatever the tool."""
    before = way.built.stages[stage.no - 2] if stage.no > 1 else None
    return stage if before is None or not _goes_on(way, before) else _first_of(way, before)


def _casing_said(way: WrittenWay, stage: Stage, end_m: float | None) -> list[LengthOrWord]:
    casing = _casing(way, stage)
    if casing is None or casing.kind == STARTER:
        return []
    kind = f"{casing.kind} casing"
    dug_dry = stage.action == "advance_casing" and stage.state == "cased_dry"
    seal = SEALS[casing.sealed] if _is_empty_below(way, stage) and not dug_dry else []
    if stage.action == "set_casing":
        return [kind, *_past_the_log(end_m, casing.top_m, casing.base_m), casing.base_m, *seal]
    by = BY[casing.way].replace("the ", "")
    how = "dug dry" if stage.state == "cased_dry" else "ahead of the dig" if _is_plugged(way, stage) else "with the dig, kept full"
    past = _past_the_log(end_m, stage.top_m, casing.base_m)
    return [f"advance {kind}", how, by, *past, casing.base_m, *seal]


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


def check_stage_texts(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the text of a stage says a number or a method that is not that of the fields."""
    fluid: str | None = None
    for stage in way.built.stages:
        parts = _SAID.get(stage.action)
        if parts is not None:
            yield from check_stage_form(stage.action, stage.text, stage.no)
            yield from check_stage_facts(stage)
            yield from compare_sentence("text", stage.text, parts(ground, way, stage, fluid), STAGE_WORDS, stage.no)
        if stage.action in {"introduce_fluid", "advance_casing", "drill", "refill"}:
            fluid = stage.fluid
        elif stage.action == "bail":
            fluid = None


def _from_grade(ground: GroundFacts, level_m: float) -> list[LengthOrWord]:
    """Return what is said of a level against the drilling grade; no number where they are one."""
    above = ground.levels.grade_m - level_m
    if abs(above) <= 0.005:
        return []
    return [abs(above), f"{'above' if above > 0 else 'below'} the drilling grade"]


def _from_ground(level_m: float) -> list[LengthOrWord]:
    return [] if abs(level_m) < 0.005 else [abs(level_m), f"{'below' if level_m > 0 else 'above'} the ground"]


def _starter(ground: GroundFacts, way: WrittenWay, stage: Stage, _: str | None) -> list[LengthOrWord]:
    usual_m = max(0.0, ground.levels.grade_m) + ground.limits["starter_max_m"].value
    longer = [usual_m] if stage.base_m > usual_m + TOUCH_M else []
    parts: list[LengthOrWord] = ["casing 1", "starter", stage.base_m, ground.levels.grade_m - stage.top_m, "above the drilling grade"]
    cored = [top_m for top_m, _ in cored_for_starter(ground, stage.base_m)][:1]
    return [*parts, *longer, *cored, *_pushed_from(way.built.starter)]


def _pushed_from(casing: Casing | None) -> list[LengthOrWord]:
    return [] if casing is None or casing.advanced_m <= 0 else [casing.predrill_base_m, "into undrilled ground"]


def _drill(ground: GroundFacts, _: WrittenWay, stage: Stage, __: str | None) -> list[LengthOrWord]:
    cored = is_cored_at(ground, (stage.top_m + stage.base_m) / 2)
    with_tool: list[LengthOrWord] = [stage.tool_m or 0.0, *(["core barrel"] if cored else [])]
    if stage.state not in FLUIDS:
        return ["core dry" if cored else "drill dry", stage.top_m, stage.base_m, *with_tool]
    level, under = ground.levels.fluid_m[stage.state], f"under {FLUID_WORDS[stage.state]}"
    first: list[LengthOrWord] = ["core from"] if cored else []
    return [*first, stage.top_m, stage.base_m, under, *with_tool, *_from_grade(ground, level)]


def _introduce(ground: GroundFacts, _: WrittenWay, stage: Stage, before: str | None) -> list[LengthOrWord]:
    words = FLUID_WORDS.get(stage.fluid or "", "")
    if before is None:
        return [f"with {words}", *_from_grade(ground, stage.top_m), stage.base_m]
    return [f"in {words}", f"until the {FLUID_WORDS[before]}", *_from_grade(ground, stage.top_m), stage.base_m]


def _advance(ground: GroundFacts, way: WrittenWay, stage: Stage, _: str | None) -> list[LengthOrWord]:
    casing = next((known for known in way.built.strings if known.base_m > stage.base_m - TOUCH_M), None)
    by = [BY[None if casing is None else casing.way], *_pushed_last(ground, casing, stage)]
    dug: list[LengthOrWord] = (
        ["dug out", casing.dug_m] if casing is not None and stage.top_m < ground.levels.floor_m + TOUCH_M < casing.dug_m else []
    )
    goes = [_number(way, casing), stage.top_m, *dug, stage.base_m, *by, stage.tool_m or 0.0]
    if stage.state == "cased_plug" and casing is not None:
        return [*goes, "a plug of soil", plug_length(ground, (stage.top_m, stage.base_m), stage.fluid, casing.outside_diameter_m)]
    if stage.state == "cased_dry":
        return [*goes, "dig it dry", f"{spell(mark(ground.limits['shoe_lead_diameters'].value, '1'), 'si')} diameters"]
    return [*goes, "with the dig"]


def _pushed_last(ground: GroundFacts, casing: Casing | None, stage: Stage) -> list[LengthOrWord]:
    """Return the length over a shoe that is shaken down in which the ground stops the hammer, with its words; nothing for other shoes."""
    if casing is None or casing.way not in SHAKING_WAYS or casing.base_m > stage.base_m + TOUCH_M:
        return []
    pieces = ground.slices(stage.top_m, stage.base_m)
    goes = [answer(piece, f"penetrable_{casing.way}") for piece in pieces]
    shaken = [
        piece.slice.base_m
        for piece, through in zip(pieces, goes, strict=True)
        if not piece.logged or through.likely == YES or through.values == {YES}
    ]
    length = stage.base_m - max([stage.top_m, *(min(base, stage.base_m) for base in shaken)])
    return [length, "pushed or twisted"] if length > TOUCH_M else []


def _number(way: WrittenWay, casing: Casing | None) -> str:
    """Return how a casing is named by its number, counted from the outermost."""
    return f"casing {0 if casing is None else way.built.casings.index(casing) + 1}"


def _set(ground: GroundFacts, way: WrittenWay, stage: Stage, _: str | None) -> list[LengthOrWord]:
    casing = _casing(way, stage)
    if casing is None:
        return []
    parts: list[LengthOrWord] = [_number(way, casing), f"{casing.kind} casing", casing.outside_diameter_m, casing.wall_m]
    parts += [ground.levels.grade_m - casing.top_m, "above the drilling grade", casing.base_m]
    parts += _pushed_from(casing)
    return parts if stage.tool_m is None else [*parts, stage.tool_m]


def _seal_test(_: GroundFacts, way: WrittenWay, stage: Stage, __: str | None) -> list[LengthOrWord]:
    return ["test the seal", _number(way, _casing(way, stage)), stage.base_m, "under fluid"]


def _bail(_: GroundFacts, way: WrittenWay, stage: Stage, __: str | None) -> list[LengthOrWord]:
    return [f"bail {_number(way, _casing(way, stage))}"]


def _bell(ground: GroundFacts, _: WrittenWay, stage: Stage, fluid: str | None) -> list[LengthOrWord]:
    bell = ground.shaft.bell
    if bell is None:
        return []
    return [stage.top_m, stage.base_m, bell.diameter_m, "under fluid" if fluid else "from the surface"]


def _clean(_: GroundFacts, __: WrittenWay, ___: Stage, fluid: str | None) -> list[LengthOrWord]:
    return ["under fluid"] if fluid else ["from the surface"]


def _cage(ground: GroundFacts, _: WrittenWay, __: Stage, ___: str | None) -> list[LengthOrWord]:
    splices = cage_splices(ground)
    return ["lower the cage", *([f"in {splices + 1} spliced pieces"] if splices else [])]


def _refill(_: GroundFacts, __: WrittenWay, ___: Stage, ____: str | None) -> list[LengthOrWord]:
    return []


def _pour(_: GroundFacts, way: WrittenWay, __: Stage, ___: str | None) -> list[LengthOrWord]:
    soft = any(casing.kind == "temporary" for casing in way.built.casings)
    placed = "by tremie" if way.built.placement.state == "wet" else "drop pipe" if soft else "free fall"
    return [placed, "starter"] if way.built.concrete.starter_kept else [placed]


def _pull(_: GroundFacts, way: WrittenWay, stage: Stage, __: str | None) -> list[LengthOrWord]:
    casing = _casing(way, stage)
    if casing is None:
        return []
    lifts = [step for step in way.built.concrete.pulls if step.casing_no == way.built.casings.index(casing) + 1]
    if not lifts:
        return []
    parts: list[LengthOrWord] = [_number(way, casing), "starter" if casing.kind == STARTER else casing.outside_diameter_m]
    parts += [f"in {len(lifts)} lifts"] if len(lifts) > 1 else []
    step = next((lift for lift in lifts if not lift.safe), lifts[0])
    return parts + _lift(casing, step)


def _lift(casing: Casing, step: PullStep) -> list[LengthOrWord]:
    """Return what is said of a lift: the concrete before it, the least, after it, and the shoe."""
    before, least, after = step.level_before_m, step.level_least_m, step.level_after_m
    if before is None or least is None or after is None:
        return []
    if not step.safe:
        return ["not safe as planned", *_from_ground(least), *_from_ground(casing.top_m)]
    parts = _from_ground(before)
    parts += _from_ground(least) if least - before > 0.05 else []
    parts += _from_ground(after)
    parts += [step.shoe_after_m] if step.shoe_after_m > 0 else []
    return parts + ([step.more_drop_m] if step.more_drop_m > 0.005 else [])


_SAID: Mapping[str, Callable[[GroundFacts, WrittenWay, Stage, str | None], list[LengthOrWord]]] = {
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
