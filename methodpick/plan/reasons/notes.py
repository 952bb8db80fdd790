"""What must be said beside the plan: assumptions, open hazards, cautions, questions; the words for the cautious plan and other ways."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from methodpick.engine.compiler import FALSE, TRUE
from methodpick.engine.interpret import known_of, reason_text, value_text
from methodpick.engine.read import PLACEHOLDER
from methodpick.engine.rule import LEVELS, Always, Rule
from methodpick.engine.rulebook import Outcomes, Rulebook
from methodpick.facts.gather import Gathered
from methodpick.plan.checks.catalogue import BY_ID
from methodpick.plan.demands.fluid_length import limit_used
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.plan.result import Casing, Caution, Citation, Gap, Interval, OpenHazard, TakenAssumption
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.terms import CASED_STATES, FLUIDS, SEVERITIES, CautionReach, in_plain_words
from methodpick.unit_markup import either_of, mark, mark_plainly, number_span
from methodpick.units import read_as
from methodpick.vocabulary.values import Choice, Value

# ---- What must be said beside the plan: assumptions, open hazards, cautions, questions


AQUIFER_WORDS = {
    "water-season": ("water level", "A settled level swings by the season.", "a swing of {water_season_m} either way"),
    "water-while-drilling": (
        "water level",
        "A level met while drilling is not a settled one; in tight ground it reads low.",
        "a level up to {water_early_higher_m} higher",
    ),
    "strike-rise-not-recorded": (
        "head of the strike",
        "The rise after the strike was not recorded.",
        "a likely rise of {strike_rise_m}; up to the ground is possible",
    ),
    "upper-water-like-below": ("upper water level", "No reading belongs to the upper ground.", "the level of the water read below"),
    "piezometer-zone-not-stated": (
        "water level",
        "The log does not say which depth the piezometer measures.",
        "its level; water up to the ground is possible above tight ground",
    ),
    "deep-aquifer-like-above": ("head of the deeper permeable ground", "No reading belongs to it.", "the level of the read water above it"),
}
"""What was assumed of the water: the fact, why, and what was taken, with the limits of the rulebook in it."""
_RESTS_ON = {
    "advance_possible": ("plant_vibratory", "plant_twist", "plant_oscillator", "plant_rotator", "plant_impact", "cobbles", "boulders"),
    "support_margin_kpa": ("density",),
    "cohesion_margin_kpa": ("density", "cemented"),
    "overload_share": ("consistency",),
    "overload_ratio": ("consistency", "surcharge_kpa"),
}
"""What derived facts rest on, as far as assumptions go."""


@record
class StageJudgement:
    """What the stage rules said of the finished hole, and the facts that they looked at."""

    outcomes: Outcomes
    values: Mapping[str, Value]


@record
class NotesOfLengths:
    """What is said of the lengths of a path, whatever the sizes of its casings: the assumptions taken, and the cautions of the ground."""

    assumptions: tuple[TakenAssumption, ...]
    cautions: tuple[Caution, ...]


# ---- assumptions


def assumptions(gathered: Gathered, ground: JudgedGround, intervals: Sequence[Interval]) -> tuple[TakenAssumption, ...]:
    """Return the assumptions on facts that the rules about the planned states look at, and those on water, each once."""
    used = _facts_used(ground, intervals)
    found: dict[tuple[str, str], TakenAssumption] = {}
    places: dict[str, list[tuple[float, float] | None]] = {}
    for assumption, ends_m in gathered.taken:
        places.setdefault(assumption.id, []).append(ends_m)
    for assumption, _ in gathered.taken:
        if (assumption.fact, assumption.id) in found or (assumption.fact not in used and not assumption.id.startswith("user")):
            continue
        spec = ground.book.catalogue.facts[assumption.fact]
        value = known_of(assumption.value, spec)
        taken = [ends_m for ends_m in places[assumption.id] if _is_taken_whole(value, assumption.fact, ends_m, ground.slices)]
        if not taken:
            continue
        lengths_m = joined_lengths(ends_m for ends_m in taken if ends_m is not None)
        found[assumption.fact, assumption.id] = TakenAssumption(
            fact=assumption.fact,
            where="; ".join(f"{mark(top_m, 'm')} to {mark(base_m, 'm')}" for top_m, base_m in lengths_m) or "site",
            assumed=value_text(value, read_as(spec.name, spec.unit), mark_plainly),
            why=assumption.why,
            source=assumption.source,
            id=assumption.id,
            lengths_m=lengths_m,
            likely=in_plain_words(value.likely) if isinstance(value, Choice) and not value.certain and value.likely else "",
        )
    for aquifer in gathered.aquifers:
        for name in sorted(aquifer.assumed):
            fact, why, words = AQUIFER_WORDS[name]
            assumed = PLACEHOLDER.sub(lambda match: _limit_words(ground.book, match[1]), words)
            where = f"aquifer from {mark(aquifer.top_m, 'm')} down"
            found[fact, name + aquifer.source] = TakenAssumption(fact, where, assumed, why, source="own", id=name)
    return tuple(found.values())


def _is_taken_whole(value: Value | None, fact: str, ends_m: tuple[float, float] | None, slices: Sequence[JudgedSlice]) -> bool:
    """Return whether what is assumed over a length is what is taken there: where the soil is open, it may be so of one soil only.

    Of silt that may be clay, a fact that is no in clay and likely no in silt is likely no; one that is likely yes in one and likely no
    in the other is open, and nothing is taken of it.
    """
    if ends_m is None or not isinstance(value, Choice):
        return True
    here = (judged.slice_values.get(fact) for judged in slices if judged.top_m < ends_m[1] and judged.base_m > ends_m[0] and judged.logged)
    return all(
        found.values <= value.values and (found.certain or found.likely == value.likely) for found in here if isinstance(found, Choice)
    )


def joined_lengths(lengths_m: Iterable[tuple[float, float]], gap_m: float = 0.0) -> tuple[tuple[float, float], ...]:
    """Return lengths from the top down, those that touch, or lie no further apart than a gap, as one.

    >>> joined_lengths([(2.0, 5.0), (0.0, 2.0), (7.0, 9.0), (0.0, 2.0)]), joined_lengths([(0.0, 2.0), (2.001, 5.0)], 0.002)
    (((0.0, 5.0), (7.0, 9.0)), ((0.0, 5.0),))
    """
    joined: list[tuple[float, float]] = []
    for top_m, base_m in sorted(set(lengths_m)):
        if joined and top_m <= joined[-1][1] + gap_m:
            joined[-1] = joined[-1][0], max(base_m, joined[-1][1])
        else:
            joined.append((top_m, base_m))
    return tuple(joined)


def _limit_words(book: Rulebook, name: str) -> str:
    limit = book.limits[name]
    return f"{mark_plainly(limit.value, read_as(name, limit.unit))}{limit.beside}"


def _facts_used(ground: JudgedGround, intervals: Sequence[Interval]) -> set[str]:
    """Return the facts that the rules about the planned states look at."""
    names: set[str] = set()
    for judged in ground.slices:
        held = _interval_at(judged.middle_m, intervals)
        if held is None or not judged.logged:
            continue
        for state in {held.drilled_in, held.fluid, *held.later_in} - {None}:
            for outcomes in (judged.outcomes, judged.state_outcomes[str(state)]):
                names |= outcomes.scope.deciding_facts[str(state)] & judged.sheet.facts.keys()
    return names | {source for name in names for source in _RESTS_ON.get(name, ())}


def _interval_at(depth_m: float, intervals: Sequence[Interval]) -> Interval | None:
    return next((interval for interval in intervals if interval.top_m <= depth_m <= interval.base_m), None)


# ---- open hazards


def open_hazards(ground: JudgedGround, intervals: Sequence[Interval], casings: Sequence[Casing]) -> tuple[OpenHazard, ...]:
    """Return the must rules that are still open on the planned support, with what to do about each; the deepest slice gives the words.

    What stops a casing stops none above the shoe of the starter, which is dug in, nor where the top is dug out for a casing; fluid in
    the starter holds no wall.
    """
    dug_in_m = max((casing.base_m if casing.is_starter else casing.dug_m for casing in casings), default=0.0)
    deepest: dict[tuple[str, str], JudgedSlice] = {}
    lengths: dict[tuple[str, str], list[tuple[float, float]]] = {}
    for interval in intervals:
        states = sorted({interval.fluid or "", interval.drilled_in or ""} - {""})
        for judged in ground.between(interval.top_m, interval.base_m):
            for state in states:
                for rule_id in judged.verdicts[state].open_musts:
                    dug_in = state in FLUIDS or (state in CASED_STATES and ground.book.by_id[rule_id].hazard == "obstruction")
                    base_m = min(interval.base_m, judged.base_m)
                    top_m = max(interval.top_m, judged.top_m, dug_in_m if dug_in else 0.0)
                    if top_m < base_m:
                        deepest[rule_id, state] = judged
                        lengths.setdefault((rule_id, state), []).append((top_m, base_m))
    by_id = ground.book.by_id
    return tuple(_open_hazard(by_id[key[0]], key[1], deepest[key], lengths[key], ground.book) for key in sorted(deepest))


def _open_hazard(rule: Rule, state: str, judged: JudgedSlice, lengths: Sequence[tuple[float, float]], book: Rulebook) -> OpenHazard:
    lengths_m = joined_lengths(lengths, 1e-6)
    return OpenHazard(
        rule=rule.id,
        state=state,
        treatment=rule.treatment.get(state) or _usual_treatment(rule),
        text=reason_text(rule, judged.values(state), book, mark_plainly),
        top_m=lengths_m[0][0],
        base_m=lengths_m[-1][1],
        lengths_m=lengths_m,
    )


ASKED_FOR: Mapping[str, str] = {
    "specification": "Read the specification, or ask the owner, before the bid.",
    "data-gap": "Settle the open question before the first shaft.",
    "cost": "Price both ways before the bid.",
}
"""What to do about what is no hazard of the ground, so that nobody can watch for it."""


def _usual_treatment(rule: Rule) -> str:
    return ASKED_FOR.get(rule.hazard) or (
        f"Watch for {rule.hazard.replace('-', ' ')}; be ready to change to the fallback at once, and settle the open "
        "question before the first shaft."
    )


# ---- cautions


def cautions(ground: JudgedGround, stage: StageJudgement, of_ground: Sequence[Caution]) -> tuple[Caution, ...]:
    """Return the cautions that hold, the worst first; each rule once: those of the ground, and those of the stages in the finished hole."""
    of_stages = (_caution(rule, stage.values, ground.book) for rule in _cautioning(stage.outcomes))
    return tuple(sorted((*of_ground, *of_stages), key=lambda caution: (SEVERITIES.index(caution.severity), caution.hazard, caution.rule)))


def cautions_of_ground(ground: JudgedGround, intervals: Sequence[Interval]) -> tuple[Caution, ...]:
    """Return the cautions of the site, the shaft and the ground by how it is held, each rule once, with the depths where it holds."""
    found: dict[str, Caution] = {}
    depths: dict[str, list[tuple[float, float]]] = {}
    for outcomes in ground.shared_outcomes:
        for rule in _cautioning(outcomes):
            found[rule.id] = _caution(rule, ground.shared_values, ground.book)
    for judged in ground.slices:
        if not judged.logged:
            continue
        state = _planned_state(judged, intervals)
        for outcomes, of_state in ((judged.outcomes, None), (judged.state_outcomes[state or "dry"], state)):
            for rule in _cautioning(outcomes):
                depths.setdefault(rule.id, []).append((judged.top_m, judged.base_m))
                if rule.id not in found:
                    found[rule.id] = _caution(rule, judged.values(of_state), ground.book)
    return tuple(replace(caution, where=_depth_words(depths[key])) if key in depths else caution for key, caution in found.items())


def _cautioning(outcomes: Outcomes) -> list[Rule]:
    """Return the cautions that hold on the whole range or at the likely values."""
    return [rule for rule, on_range, at_likely in outcomes.holding("caution") if TRUE in (on_range, at_likely)]


def _planned_state(judged: JudgedSlice, intervals: Sequence[Interval]) -> str | None:
    held = _interval_at(judged.middle_m, intervals)
    return None if held is None else held.fluid or held.drilled_in


def _caution(rule: Rule, values: Mapping[str, Value], book: Rulebook) -> Caution:
    printed = dict.fromkeys(name for name in PLACEHOLDER.findall(rule.because) if name in book.limits)
    return Caution(
        rule=rule.id,
        severity=rule.severity,
        text=reason_text(rule, values, book, mark_plainly),
        sources=tuple(Citation(source.key, source.where) for source in rule.source),
        hazard=rule.hazard,
        reach=_reach(rule, book),
        limits=tuple(limit_used(book.limits, name) for name in printed),
    )


def _reach(rule: Rule, book: Rulebook) -> CautionReach:
    """Return how far a caution reaches: a rule without a condition to every shaft, one that asks for the design only to a method."""
    if isinstance(rule.condition, Always):
        return "every_shaft"
    return "method" if all(book.catalogue.facts[name].origin == "design" for name in rule.facts) else "here"


def _depth_words(lengths: Sequence[tuple[float, float]]) -> str:
    """Write lengths in words, those that touch as one."""
    return ", ".join(number_span(top, base, "m") for top, base in joined_lengths(lengths, 1e-6))


# ---- questions


def gaps(ground: JudgedGround, stage: StageJudgement) -> tuple[Gap, ...]:
    """Return the questions to put, each once, the weightiest first."""
    found: dict[str, tuple[int, Gap]] = {}

    def note(outcomes: Outcomes, values: Mapping[str, Value]) -> None:
        for rule, on_range, _ in outcomes.holding("ask"):
            if on_range != FALSE and rule.question not in found:
                gap = Gap(rule.need, reason_text(rule, values, ground.book, mark_plainly), rule.question)
                found[rule.question] = LEVELS.index(rule.level), gap

    shared = ground.shared_values
    for outcomes in ground.shared_outcomes:
        note(outcomes, shared)
    note(stage.outcomes, stage.values)
    for judged in ground.slices:
        if judged.logged:
            note(judged.outcomes, judged.values())
    return tuple(gap for _, gap in sorted(found.values(), key=lambda pair: pair[0]))


# ---- The words for the other ways of building, which the planner writes and the review of a plan looks for


FAMILY_WORDS: Mapping[str, str] = {
    "dry": "all dry",
    "slurry": "fluid to the tip",
    "casing_then_dry": "partial casing, then dry",
    "casing_then_fluid": "partial casing, then fluid",
    "full_depth_casing": "casing to the tip",
    "permanent_casing": "permanent casing",
}
_FLUIDS = tuple(reversed(FLUIDS))
NEEDED_STATES: Mapping[str, tuple[str, ...]] = {
    "dry": ("dry",),
    "slurry": _FLUIDS,
    "casing_then_dry": ("dry",),
    "casing_then_fluid": _FLUIDS,
    "full_depth_casing": ("cased_plug", "cased_balanced"),
    "permanent_casing": ("leave_in",),
}
"""States of which a family needs one at every depth, or at the tip after a casing."""
MOST_REASONS = 3
"""Reasons that are named for what the cautious plan hangs on."""
NOT_BUILDABLE = (
    "No way of building this shaft is left by the rules and by what the site leaves open: see the reasons and the other ways, "
    "and ask the engineer."
)
UNPROVEN = "Not proven. "
"""How the decision begins where a check fails or the trials ended."""
NOT_PROVEN = "It is not proven: "
TRIALS_ENDED = "The trials of its search ended before nothing new was held against it."
CASING_FAILS = "Casing gets to the tip, but a proof of it fails:"
NOT_PULLED = "No casing that is pulled builds it; with one that stays in the ground it is the same as {way}."
RULED_OUT_FROM = "Ruled out from "
TIMES_THE_COST = " times the relative cost of the plan"
AT_ABOUT_THE_SAME_COST = "at about the same relative cost"
WALL_MAY_NOT_STAND = "The wall may not stand for as long as the dry stage needs."
FIRST_SIGN = "On the first sign of "
ANY_SIGN = "loosening or inflow"
TRIAL_SHAFT = "A trial shaft at this place."
CASING_TROUBLE = "the casing stops short, cannot be turned, or soil comes in under its shoe"
TROUBLE_DRY = "the wall ravels, softens or closes, or water comes in faster than the dry limit"
TROUBLE_UNDER_FLUID = "the fluid level cannot be held, or the wall caves under fluid"
LEAVES = "It leaves "


GO_OVER = "stop, fill the hole above the outside water level and go over to the cautious plan."
FROM_THE_START = "build the cautious plan from the start."
LET_GO = "ground that is softer or more open than logged"
"""The sign of ground that would take fresh concrete."""
_IF_SETTLED_OTHERWISE = {
    "specification": "If the specification does not allow it, ",
    "data-gap": "If the open question is answered against it, ",
    "cost": "If the price speaks against it, ",
}
_OF_NO_WAY = frozenset({"rig", "shaft"})


def open_proofs(checks: Iterable[Check]) -> list[Check]:
    """Return the proofs of a plan that do not hold over their whole range and speak of its way, not of its rig or the shaft alone."""
    found = (check for check in checks if check.result not in {"holds", "little_margin"})
    return [check for check in found if check.id in BY_ID and not {*BY_ID[check.id].bars} <= _OF_NO_WAY]


def hangs_on(texts: Sequence[str], checks: Iterable[Check]) -> str:
    """Return what the cautious plan hangs on: the open rules in words, else the open proofs, else the time that the wall stands."""
    words = dict.fromkeys((*texts,) or (check.what for check in open_proofs(checks)))
    return " ".join([*words][:MOST_REASONS]) or WALL_MAY_NOT_STAND


def trigger(hazards: Iterable[str], checks: Iterable[Check]) -> str:
    """Return when the cautious plan is gone over to; what is asked before work begins gives no sign on site.

    >>> trigger(["caving"], ())
    'On the first sign of caving, stop, fill the hole above the outside water level and go over to the cautious plan.'
    >>> trigger(["specification"], ())
    'If the specification does not allow it, build the cautious plan from the start.'
    """
    named = dict.fromkeys(hazards)
    signs = [hazard.replace("-", " ") for hazard in named if hazard not in ASKED_FOR]
    if not signs and (asked := next(iter(named), None)) is not None:
        return _IF_SETTLED_OTHERWISE[asked] + FROM_THE_START
    bars = [BY_ID[check.id].bars for check in open_proofs(checks)]
    of_proofs = LET_GO if bars and all(each == ("bare_concrete",) for each in bars) else ANY_SIGN
    return f"{FIRST_SIGN}{either_of(signs) or of_proofs}, {GO_OVER}"
