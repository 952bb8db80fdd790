"""Why a state is judged as it is at a depth: verdict, rules, conditions, facts, formulas with numbers, logged lines, sources."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from methodpick.engine.compiler import FALSE, OPEN, TRUE
from methodpick.engine.explain import known_of, reason_text, value_text
from methodpick.engine.interpret import support, truth
from methodpick.engine.rule import Rule
from methodpick.engine.rulebook import Rulebook
from methodpick.engine.tree import Compare, Within, atoms, facts_of_atom, limits_of
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.reasons.log_record import count_text
from methodpick.terms import CONFIDENCE_WORDS
from methodpick.unit_markup import mark, mark_plainly
from methodpick.vocabulary.values import Choice, Fact, Span, Value
from methodpick.why.formula_steps import FormulaSteps
from methodpick.why.result import DerivationStep

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


@dataclass(frozen=True, slots=True)
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


@dataclass
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
                f"limit {limit.name} = {mark_plainly(limit.value, limit.unit)} ({self._source(limit.source)}, {limit.where}; "
                f"{CONFIDENCE_WORDS[limit.confidence]}{'' if limit.origin == 'base' else ', set by ' + limit.origin})"
            )
            for limit in limits
        ]
        return DerivationStep(f"{atom.text}: {TRUTH_WORDS[truth(atom, values, self.book.catalogue)]}", tuple(parts))

    def _fact(self, name: str, values: Mapping[str, Value]) -> DerivationStep:
        """Return a fact with what it comes from; one that was derived already is only named."""
        spec, value = self.book.catalogue.facts[name], values.get(name)
        fact = self.judged.slice.sheet.facts.get(name)
        stated = f"{name} = {value_text(known_of(value, spec), spec.unit, mark_plainly)}"
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
        yield f'{ends}: "{stratum.layer.description}"{symbol}'
        for test in stratum.spt:
            yield f"N = {count_text(test)} at {mark(test.depth_m, 'm')}"
        if stratum.layer.n:
            yield f"N = {', '.join(str(n) for n in stratum.layer.n)} in the layer"
        yield f"water here: {self.judged.slice.ground.aquifer.source or 'the rulebook'}"


def _nothing_there(atom: Compare, values: Mapping[str, Value]) -> bool:
    """Return whether there is nothing of the kind that a comparison looks at: an uplift factor without water below."""
    return any(isinstance(value := values.get(name), Span) and value.low >= NOTHING_THERE for name in facts_of_atom(atom))
