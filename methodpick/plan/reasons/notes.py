"""What must be said beside the plan: assumptions, open hazards, cautions, questions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from methodpick.engine.compiler import FALSE, TRUE
from methodpick.engine.explain import known_of, reason_text, value_text
from methodpick.engine.read import PLACEHOLDER
from methodpick.engine.rule import LEVELS, Rule
from methodpick.engine.rulebook import Outcomes, Rulebook
from methodpick.facts.gather import Gathered
from methodpick.plan.judging.slices import Judged
from methodpick.plan.result import Caution, Citation, Gap, Interval, OpenHazard, TakenAssumption
from methodpick.unit_markup import mark, mark_plainly
from methodpick.vocabulary.values import Value

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
    "deep-aquifer-like-above": ("head of the deeper permeable ground", "No reading belongs to it.", "the level of the read water above it"),
}
"""What was assumed of the water: the fact, why, and what was taken, with the limits of the rulebook in it."""
_INPUTS = {
    "advance_possible": ("plant_vibratory", "plant_twist", "plant_oscillator", "plant_rotator", "plant_impact", "cobbles", "boulders"),
    "support_margin_kpa": ("density",),
    "cohesion_margin_kpa": ("density", "cemented"),
    "overload_share": ("consistency",),
    "overload_ratio": ("consistency", "surcharge_kpa"),
}
"""What derived facts rest on, as far as assumptions go."""
_SEVERITY = {"danger": 0, "caution": 1, "note": 2}


def _used(judged: Sequence[Judged], intervals: Sequence[Interval]) -> set[str]:
    """Return the facts that the rules about the planned states look at."""
    names: set[str] = set()
    for one in judged:
        held = next((i for i in intervals if i.top_m <= (one.slice.top_m + one.slice.base_m) / 2 <= i.base_m), None)
        if held is None or not one.cut.decided:
            continue
        for state in {held.drilled_in, held.fluid, *held.later_in} - {None}:
            for outcomes in (one.outcomes, one.state_outcomes[str(state)]):
                for _, rule in outcomes.scope.members.of(outcomes.scope.by_state[str(state)]):
                    if rule.effect in {"exclude", "suits"} and rule.level != "should":
                        names.update(fact for fact in rule.facts if one.slice.sheet.facts.get(fact) is not None)
    return names | {source for name in names for source in _INPUTS.get(name, ())}


def assumptions(gathered: Gathered, judged: Sequence[Judged], intervals: Sequence[Interval], book: Rulebook) -> tuple[TakenAssumption, ...]:
    """Return the assumptions on facts that the rules about the planned states look at, and those on water, each once."""
    used = _used(judged, intervals)
    found: dict[tuple[str, str], TakenAssumption] = {}
    where: dict[str, list[str]] = {}
    for assumption, place in gathered.taken:
        where.setdefault(assumption.id, []).append(place)
    for assumption, _ in gathered.taken:
        if assumption.fact not in used and not assumption.id.startswith("user"):
            continue
        spec = book.catalogue.facts[assumption.fact]
        places = list(dict.fromkeys(where[assumption.id]))
        found[assumption.fact, assumption.id] = TakenAssumption(
            assumption.fact,
            "; ".join(places),
            value_text(known_of(assumption.value, spec), spec.unit, mark_plainly),
            assumption.why,
            assumption.source,
            assumption.id,
        )
    for aquifer in gathered.aquifers:
        for name in sorted(aquifer.assumed):
            fact, why, words = AQUIFER_WORDS[name]
            taken = PLACEHOLDER.sub(lambda match: _spoken_limit(book, match[1]), words)
            found[fact, name + aquifer.source] = TakenAssumption(
                fact, f"aquifer from {mark(aquifer.top_m, 'm')} down", taken, why, "own", name
            )
    return tuple(found.values())


def _spoken_limit(book: Rulebook, name: str) -> str:
    limit = book.limits[name]
    return f"{mark_plainly(limit.value, limit.unit)}{limit.beside}"


def open_hazards(judged: Sequence[Judged], intervals: Sequence[Interval], book: Rulebook) -> tuple[OpenHazard, ...]:
    """Return the must rules that are still open on the planned support, with what to do about each."""
    found: dict[tuple[str, str], OpenHazard] = {}
    for interval in intervals:
        states = {interval.fluid or "", interval.drilled_in or ""} - {""}
        for one in judged:
            if one.slice.base_m <= interval.top_m + 1e-6 or one.slice.top_m >= interval.base_m - 1e-6:
                continue
            for state in sorted(states):
                for rule_id in one.verdicts[state].open_musts:
                    rule = book.by_id[rule_id]
                    old = found.get((rule_id, state))
                    top = min(interval.top_m, old.top_m) if old and old.top_m is not None else interval.top_m
                    found[rule_id, state] = OpenHazard(
                        rule_id,
                        state,
                        rule.treatment.get(state) or _treat(rule),
                        top,
                        interval.base_m,
                        reason_text(rule, one.values(state), book, mark_plainly),
                    )
    return tuple(found[key] for key in sorted(found))


def _treat(rule: Rule) -> str:
    return (
        f"Watch for {rule.hazard.replace('-', ' ')}; be ready to change to the fallback at once, and settle the open "
        "question before the first shaft."
    )


def cautions(
    judged: Sequence[Judged],
    wide: Sequence[Outcomes],
    stage: tuple[Outcomes, Mapping[str, Value]],
    base: Mapping[str, Value],
    intervals: Sequence[Interval],
    book: Rulebook,
) -> tuple[Caution, ...]:
    """Return the cautions that hold, the worst first; each rule once, with the depths where it holds."""
    found: dict[str, Caution] = {}
    places: dict[str, list[tuple[float, float]]] = {}
    for outcomes in wide:
        for rule, on_range, at_likely in outcomes.holding("caution"):
            if TRUE in (on_range, at_likely):
                found[rule.id] = _caution(rule, reason_text(rule, base, book, mark_plainly))
    outcomes, values = stage
    for rule, on_range, at_likely in outcomes.holding("caution"):
        if TRUE in (on_range, at_likely):
            found[rule.id] = _caution(rule, reason_text(rule, values, book, mark_plainly))
    for one in judged:
        if not one.cut.decided:
            continue
        state = _state_of(one, intervals)
        for source, extra in ((one.outcomes, None), (one.state_outcomes.get(state or "dry"), state)):
            for rule, on_range, at_likely in source.holding("caution") if source is not None else ():
                if TRUE in (on_range, at_likely):
                    places.setdefault(rule.id, []).append((one.slice.top_m, one.slice.base_m))
                    found.setdefault(rule.id, _caution(rule, reason_text(rule, one.values(extra), book, mark_plainly)))
    done = []
    for key, caution in found.items():
        where = _where(places[key]) if key in places else ""
        done.append(Caution(key, caution.severity, caution.text, caution.sources, caution.hazard, where))
    return tuple(sorted(done, key=lambda one: (_SEVERITY[one.severity], one.hazard, one.rule)))


def _state_of(one: Judged, intervals: Sequence[Interval]) -> str | None:
    middle = (one.slice.top_m + one.slice.base_m) / 2
    held = next((i for i in intervals if i.top_m <= middle <= i.base_m), None)
    return None if held is None else held.fluid or held.drilled_in


def _caution(rule: Rule, text: str) -> Caution:
    return Caution(rule.id, rule.severity, text, tuple(Citation(one.key, one.where) for one in rule.source), rule.hazard)


def _where(spans: Sequence[tuple[float, float]]) -> str:
    joined: list[list[float]] = []
    for top, base in sorted(spans):
        if joined and top <= joined[-1][1] + 1e-6:
            joined[-1][1] = max(joined[-1][1], base)
        else:
            joined.append([top, base])
    return ", ".join(f"{mark(top, 'm')} to {mark(base, 'm')}" for top, base in joined)


def gaps(
    judged: Sequence[Judged],
    wide: Sequence[Outcomes],
    stage: tuple[Outcomes, Mapping[str, Value]],
    base: Mapping[str, Value],
    book: Rulebook,
) -> tuple[Gap, ...]:
    """Return the questions to put, each once, the weightiest first."""
    found: dict[str, tuple[int, Gap]] = {}

    def note(outcomes: Outcomes, values: Mapping[str, Value]) -> None:
        for rule, on_range, _ in outcomes.holding("ask"):
            if on_range != FALSE and rule.question not in found:
                gap = Gap(rule.need, reason_text(rule, values, book, mark_plainly), rule.question)
                found[rule.question] = LEVELS.index(rule.level), gap

    for outcomes in wide:
        note(outcomes, base)
    note(*stage)
    for one in judged:
        if one.cut.decided:
            note(one.outcomes, one.values())
    return tuple(gap for _, gap in sorted(found.values(), key=lambda pair: pair[0]))
