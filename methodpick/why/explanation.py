"""Explain why a depth is held as it is, why not otherwise, and what would change it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from functools import cached_property

from methodpick.engine.compiler import FALSE, OPEN, TRUE
from methodpick.engine.interpret import known_of, reason_text, support, truth, value_text
from methodpick.engine.rule import Compare, Rule, Within, atoms, facts_of_atom, limits_of
from methodpick.engine.rulebook import Rulebook
from methodpick.errors import InputError, Problem
from methodpick.facts.curves import HoleFluid
from methodpick.facts.gather import Gatherer, Slice
from methodpick.ground.site import Site
from methodpick.mechanics.registry import REGISTRY, Call, call_behind
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.reasons.decision import count_text
from methodpick.plan.result import DerivationStep, Explanation, Interval, Plan, ShaftPlan, StateVerdict
from methodpick.records import record
from methodpick.terms import CONFIDENCE_WORDS, UnitSystem
from methodpick.unit_markup import mark, mark_plainly
from methodpick.units import read_as, write_number
from methodpick.vocabulary.values import Choice, Fact, Span, Value
from methodpick.why.flips import FlipSearch, ShaftQuestion, shaft_question

# ---- The formulas behind the facts of a slice, with the numbers that the deciding call took and gave


FORMULAS_OF_STATE: Mapping[str, tuple[str, ...]] = {
    "overload_ratio": ("overload_ratio",),
    "overload_share": ("overload_share",),
    "uplift_factor": ("plug_factor",),
    "inside_pressure_kpa": ("fluid_pressure",),
}
"""The formulas of facts that hang on what stands in the hole; the others are a difference of two facts."""


@record(caches=True)
class FormulaSteps:
    """Shows the formulas behind the facts of one slice.

    Nothing is worked out a second way: the facts are gathered anew by the code that planned with them, and its calls recorded.
    """

    gatherer: Gatherer
    cut: Slice
    insides: Mapping[str, HoleFluid | None]

    def of_fact(self, fact: Fact) -> tuple[DerivationStep, ...]:
        """Return the formulas behind a fact of the slice."""
        return _steps(fact.formulas, self._calls.get(fact.name, ()), fact.value)

    def of_state_fact(self, name: str, state: str, value: Value | None) -> tuple[DerivationStep, ...]:
        """Return the formulas behind a fact of the slice in one support state."""
        calls = self.gatherer.state_calls_behind(self.cut, name, self.insides[state]) if state in self.insides else ()
        return _steps(FORMULAS_OF_STATE.get(name, ()), calls, value)

    @cached_property
    def _calls(self) -> Mapping[str, tuple[Call, ...]]:
        return self.gatherer.calls_behind(self.cut)


def _steps(formulas: Sequence[str], calls: Sequence[Call], value: Value | None) -> tuple[DerivationStep, ...]:
    """Return the call that gave the likely value; the formula alone where there is none, or the value was kept within its domain."""
    if not formulas:
        return ()
    likely = value.likely if isinstance(value, Span) else None
    call = None if likely is None else call_behind(calls, likely, formulas[:1])
    if call is None:
        record = REGISTRY[formulas[0]]
        return (DerivationStep(f"formula {record.name}: {record.symbols} ({record.source}; {record.standing})"),)
    return (_step(call, calls),)


def _step(call: Call, calls: Sequence[Call]) -> DerivationStep:
    record = call.formula
    return DerivationStep(
        f"formula {record.name}: {record.symbols}{worked(call)} ({record.source}; {record.standing})", _within(call, calls)
    )


def _within(call: Call, calls: Sequence[Call]) -> tuple[DerivationStep, ...]:
    """Return the calls that gave the arguments of a call."""
    earlier = calls[: next(index for index, other in enumerate(calls) if other is call)]
    found = []
    for name, value in call.arguments.items():
        unit = call.formula.arguments[name].unit if name in call.formula.arguments else ""
        names = [other.formula.name for other in earlier if other.formula.unit == unit]
        inner = call_behind(earlier, value, names) if value else None
        if inner is not None:
            found.append(_step(inner, earlier))
    return tuple(found)


def worked(call: Call) -> str:
    """Write a call out: its arguments and its result, with marks."""
    record = call.formula
    units = {name: read_as(name, argument.unit) for name, argument in record.arguments.items()}
    given = ", ".join(f"{name} {mark_plainly(value, units[name])}" for name, value in call.arguments.items())
    return f"; with {given}: {mark_plainly(call.result, record.unit)}"


# ---- Why a state is judged as it is at a depth: verdict, rules, conditions, facts, formulas with numbers, logged lines, sources


TRUTH_WORDS = {TRUE: "holds", FALSE: "does not hold", OPEN: "is open"}
VERDICT_WORDS = {
    "allowed": "allowed",
    "discouraged": "discouraged: it can be done, with a reason against it",
    "doubtful": "doubtful: it stands at the likely values, not on the whole range",
    "unknown": "unknown: a rule against it is open, or none speaks for it",
    "unlikely": "unlikely: ruled out at the likely values",
    "ruled_out": "ruled out",
}
EFFECT_WORDS = {"exclude": "speaks against it", "suits": "speaks for it"}
NOTHING_THERE = 999.0
"""Factors from here on stand for a hazard of which there is nothing, such as water below that could lift the base."""


@record
class StateFact:
    """A fact of a slice that hangs on the support state: the facts that it is worked out from, and how, in words."""

    inputs: tuple[str, ...]
    words: str = ""


STATE_FACTS: Mapping[str, StateFact] = {
    "overload_ratio": StateFact(("total_stress_kpa", "surcharge_kpa", "inside_pressure_kpa", "su_kpa")),
    "overload_share": StateFact(("overload_ratio", "collapse_limit"), "overload ratio over the collapse limit"),
    "uplift_factor": StateFact(
        ("unit_weight_kn_m3", "inside_pressure_kpa"),
        "weight between the base and the water below, with the fluid's pressure, over that water's pressure",
    ),
    "support_margin_kpa": StateFact(("inside_pressure_kpa", "support_needed_kpa"), "inside pressure less support needed"),
    "support_wanted_margin_kpa": StateFact(("inside_pressure_kpa", "support_wanted_kpa"), "inside pressure less support wanted"),
    "fluid_head_m": StateFact(("head_above_ground_m",), "fluid level over the water level"),
    "inside_pressure_kpa": StateFact((), "weight of the fluid above"),
}


@record(frozen=False)
class Derivation:
    """Derives the verdicts at one judged slice; a fact that was derived once is only named again."""

    judged: JudgedSlice
    book: Rulebook
    boring: str
    formulas: FormulaSteps
    derived: set[str] = field(default_factory=set)

    def verdict(self, state: str) -> DerivationStep:
        """Return the verdict of a state with every rule that made it."""
        verdict = self.judged.verdicts[state]
        rules = dict.fromkeys((*verdict.rules, *verdict.open_musts, *verdict.should, *verdict.suits))
        parts = [self._rule(self.book.by_id[name], state) for name in rules]
        parts += self._silent_by_a_number(state, set(rules))
        nothing = (DerivationStep("no rule speaks for it or against it here"),)
        return DerivationStep(f"{state.replace('_', ' ')}: {VERDICT_WORDS[verdict.state]}", tuple(parts) or nothing)

    def ground(self) -> DerivationStep:
        """Return what the log says of the layer."""
        return DerivationStep(f"boring {self.boring}", tuple(DerivationStep(text) for text in self._logged()))

    def _rule(self, rule: Rule, state: str) -> DerivationStep:
        """Return a rule at the slice: what it says here, the comparisons that decide it, its exceptions and sources."""
        values, catalogue = self.judged.values(state), self.book.catalogue
        certain, likely = self._outcome(rule, state)
        effect = EFFECT_WORDS.get(rule.effect, rule.effect)
        at_likely = f", {TRUTH_WORDS[likely]} at the likely values" if certain == OPEN else ""
        deciding = set(support(rule.condition, values, catalogue))
        parts = [self._comparison(atom, values) for atom in atoms(rule.when) if deciding.intersection(facts_of_atom(atom))]
        parts += [
            DerivationStep(f"unless ({exception.id}) {exception.because}: {TRUTH_WORDS[truth(exception.when, values, catalogue)]}")
            for exception in rule.unless
        ]
        parts += [DerivationStep(f"source: {self._source(source.key)}, {source.where}") for source in rule.source]
        return DerivationStep(
            f"{rule.id} ({rule.level}, {rule.hazard.replace('-', ' ')}) {effect} and {TRUTH_WORDS[certain]}{at_likely}: "
            f"{reason_text(rule, values, self.book, mark_plainly)}",
            tuple(parts),
        )

    def _silent_by_a_number(self, state: str, named: set[str]) -> list[DerivationStep]:
        """Return the rules against a state that one number keeps silent here, with how far it is from their limit."""
        values, catalogue = self.judged.values(state), self.book.catalogue
        silent = []
        for rule in self.book.rules:
            if rule.effect != "exclude" or state not in rule.states or rule.id in named or rule.scope == "stage":
                continue
            if truth(rule.when, values, catalogue) != FALSE:
                continue
            deciding = set(support(rule.when, values, catalogue))
            comparisons = (atom for atom in atoms(rule.when) if isinstance(atom, Compare) and set(facts_of_atom(atom)) == deciding)
            atom = next(comparisons, None)
            if atom is not None and not _nothing_there(atom, values):
                silent.append(DerivationStep(f"{rule.id} ({rule.level}): {rule.title}", (self._comparison(atom, values),)))
        return [DerivationStep("rules against it that a number keeps silent", tuple(silent))] if silent else []

    def _outcome(self, rule: Rule, state: str) -> tuple[int, int]:
        """Return the truth of a rule on the whole range and at the likely values."""
        if rule.scope == "slice_state":
            return self.judged.state_outcomes[state].of(rule.id)
        if rule.scope == "slice":
            return self.judged.outcomes.of(rule.id)
        return self.book.scopes[rule.scope].judge(self.judged.values(state)).of(rule.id)

    def _comparison(self, atom: Compare | Within, values: Mapping[str, Value]) -> DerivationStep:
        """Return a comparison of a rule with its facts and limits."""
        limits = [self.book.limits[name] for name in (limits_of(atom) if isinstance(atom, Compare) else ())]
        parts = [self._fact(name, values) for name in dict.fromkeys(facts_of_atom(atom))]
        parts += [
            DerivationStep(
                f"limit {limit.name} = {mark_plainly(limit.value, read_as(limit.name, limit.unit))} "
                f"({self._source(limit.source)}, {limit.where}; "
                f"{CONFIDENCE_WORDS[limit.confidence]}{'' if limit.origin == 'base' else ', set by ' + limit.origin})"
            )
            for limit in limits
        ]
        return DerivationStep(f"{atom.text}: {TRUTH_WORDS[truth(atom, values, self.book.catalogue)]}", tuple(parts))

    def _fact(self, name: str, values: Mapping[str, Value]) -> DerivationStep:
        """Return a fact with what it comes from; one that was derived already is only named."""
        spec, value = self.book.catalogue.facts[name], values.get(name)
        fact = self.judged.slice.sheet.facts.get(name)
        stated = f"{name} = {value_text(known_of(value, spec), read_as(name, spec.unit), mark_plainly)}"
        if name in self.derived:
            return DerivationStep(f"{stated}, as above")
        self.derived.add(name)
        if name in STATE_FACTS and (fact is None or value != fact.value):
            return self._state_fact(name, stated, values)
        if fact is None:
            return DerivationStep(f"{stated}: {'the state that is judged' if name == 'state' else 'the log does not say'}")
        assumed = f"; rests on the assumption {', '.join(sorted(fact.assumed))}" if fact.assumed else ""
        return DerivationStep(f"{stated}, {fact.basis}: {fact.source or 'the rulebook'}{assumed}", self._behind(fact, values))

    def _state_fact(self, name: str, stated: str, values: Mapping[str, Value]) -> DerivationStep:
        state = values.get("state")
        word = next(iter(state.values)) if isinstance(state, Choice) else ""
        steps = self.formulas.of_state_fact(name, word, values.get(name))
        words = f": {STATE_FACTS[name].words}" if STATE_FACTS[name].words else ""
        return DerivationStep(f"{stated}, in this support state{words}", steps + self._inputs(STATE_FACTS[name].inputs, values))

    def _behind(self, fact: Fact, values: Mapping[str, Value]) -> tuple[DerivationStep, ...]:
        if fact.basis in {"logged", "tested"}:
            return ()
        return self.formulas.of_fact(fact) + self._inputs(fact.inputs, values)

    def _inputs(self, names: tuple[str, ...], values: Mapping[str, Value]) -> tuple[DerivationStep, ...]:
        return tuple(self._fact(name, values) for name in names if name in values)

    def _source(self, key: str) -> str:
        return self.book.sources[key].cite() if key in self.book.sources else key

    def _logged(self) -> Iterator[str]:
        stratum = self.judged.slice.stratum
        ends = f"{mark(stratum.top_m, 'm')} to {mark(stratum.base_m, 'm')}"
        if not stratum.logged:
            yield f"{ends}: the log says nothing here"
            return
        symbol = f" ({stratum.layer.symbol})" if stratum.layer.symbol else ""
        yield f'{ends}: "{stratum.layer.as_logged}"{symbol}'
        for test in stratum.spt:
            yield f"N = {count_text(test)} at {mark(test.depth_m, 'm')}"
        if stratum.layer.n:
            yield f"N = {', '.join(str(n) for n in stratum.layer.n)} in the layer"
        yield f"water here: {self.judged.slice.ground.aquifer.source or 'the rulebook'}"


def _nothing_there(atom: Compare, values: Mapping[str, Value]) -> bool:
    """Return whether there is nothing of the kind that a comparison looks at: an uplift factor without water below."""
    return any(isinstance(value := values.get(name), Span) and value.low >= NOTHING_THERE for name in facts_of_atom(atom))


# ---- Explain why a depth is held as it is, why not otherwise, and what would change it


def explain_depth(
    question: ShaftQuestion, shaft: ShaftPlan, depth_m: float, *, not_states: Sequence[str] = (), flips: bool = True, pairs: bool = False
) -> Explanation:
    """Return why a depth of a planned shaft is held as it is.

    ``not_states`` names states to derive in place of those that the depth is held in. ``flips`` and ``pairs`` look for the
    nearest change of one input, or of two together. Raises InputError where the depth lies outside the shaft.
    """
    held = _interval(shaft, depth_m, question.site.site.units)
    search = FlipSearch(question, [depth_m])
    judged = next(judged for judged in search.context.ground.slices if judged.top_m <= depth_m <= judged.base_m)
    derivation = Derivation(judged, question.book, shaft.boring, FormulaSteps(search.context.gatherer, judged.slice, search.context.inside))
    states = list(dict.fromkeys(not_states)) or list(_states(held))
    return Explanation(
        shaft=shaft.id,
        boring=shaft.boring,
        depth_m=depth_m,
        held=held,
        derivation=(derivation.ground(), *(derivation.verdict(state) for state in states), *_casings(shaft, depth_m)),
        other_states=tuple(_verdict_words(state, verdict) for state, verdict in held.verdicts.items() if state not in states),
        other_ways=tuple(f"{alternate.family}: {alternate.why_not}" for alternate in shaft.alternates),
        flips=search.singles(0) if flips else None,
        pairs=search.pairs(0) if pairs else None,
        tried=tuple(change.words for change in search.changes(0)) if flips or pairs else (),
    )


def with_flips(plan: Plan, site: Site, book: Rulebook, *, assumptions: bool = True, tell: Callable[[int, int], None] | None = None) -> Plan:
    """Return the plan with the nearest changes that flip each interval; ``tell`` is called with the intervals done and their number."""
    total, done = sum(len(shaft.intervals) for shaft in plan.shafts), 0
    shafts = []
    for shaft in plan.shafts:
        question = shaft_question(site, book, shaft.id, assumptions=assumptions)
        search = FlipSearch(question, [(interval.top_m + interval.base_m) / 2 for interval in shaft.intervals])
        intervals = []
        for index, interval in enumerate(shaft.intervals):
            intervals.append(replace(interval, would_change=search.singles(index)))
            done += 1
            if tell is not None:
                tell(done, total)
        shafts.append(replace(shaft, intervals=tuple(intervals)))
    return replace(plan, shafts=tuple(shafts))


def _interval(shaft: ShaftPlan, depth_m: float, units: UnitSystem) -> Interval:
    for interval in shaft.intervals:
        if interval.top_m <= depth_m <= interval.base_m:
            return interval
    asked, tip = (write_number(length_m, "m", units) for length_m in (depth_m, shaft.tip_depth_m))
    raise InputError(Problem(f"the depth {asked} lies outside the shaft '{shaft.id}'", expected=f"0 to {tip} below the ground"))


def _verdict_words(state: str, verdict: StateVerdict) -> str:
    rules = f" ({', '.join(verdict.rules)})" if verdict.rules else ""
    return f"{state.replace('_', ' ')}: {verdict.state.replace('_', ' ')}{rules}"


def _states(held: Interval) -> Iterator[str]:
    """Return the states in which a depth is held, from the drill to the concrete."""
    if held.drilled_in is not None:
        yield held.drilled_in
    yield from held.later_in
    if held.support == "slurry" and held.fluid is not None and held.fluid not in {held.drilled_in, *held.later_in}:
        yield held.fluid


def _casings(shaft: ShaftPlan, depth_m: float) -> Iterator[DerivationStep]:
    """Return the reason of every casing that stands at a depth."""
    for casing in shaft.casings:
        if casing.top_m <= depth_m <= casing.base_m:
            yield DerivationStep(f"{casing.kind} casing: {casing.why}")
