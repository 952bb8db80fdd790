"""Why a state is judged as it is at a depth: verdict, rules, conditions, facts, formulas with numbers, logged lines, sources."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from methodpick.engine.compiler import FALSE, OPEN, TRUE
from methodpick.engine.explain import known_of, put_in, spoken
from methodpick.engine.interpret import support, truth
from methodpick.engine.rule import Rule
from methodpick.engine.rulebook import Rulebook
from methodpick.engine.tree import Compare, Within, atoms, facts_of_atom, limits_of
from methodpick.plan.judging.slices import Judged
from methodpick.plan.reasons.log_record import count
from methodpick.terms import CONFIDENCE_NAMES
from methodpick.unit_markup import mark, mark_plainly
from methodpick.vocabulary.fact import Fact
from methodpick.vocabulary.values import Choice, Span, Value
from methodpick.why.formula_steps import FormulaSteps
from methodpick.why.result import DerivationStep

SAID = {TRUE: "holds", FALSE: "does not hold", OPEN: "is open"}
VERDICT = {
    "allowed": "allowed",
    "discouraged": "discouraged: it can be done, with a reason against it",
    "doubtful": "doubtful: it stands at the likely values, not on the whole range",
    "unknown": "unknown: a rule against it is open, or none speaks for it",
    "unlikely": "unlikely: ruled out at the likely values",
    "ruled_out": "ruled out",
}
OF_STATE: Mapping[str, tuple[str, ...]] = {
    "overload_ratio": ("total_stress_kpa", "surcharge_kpa", "inside_pressure_kpa", "su_kpa"),
    "overload_share": ("overload_ratio", "collapse_limit"),
    "uplift_factor": ("unit_weight_kn_m3", "inside_pressure_kpa"),
    "support_margin_kpa": ("inside_pressure_kpa", "support_needed_kpa"),
    "support_wanted_margin_kpa": ("inside_pressure_kpa", "support_wanted_kpa"),
    "fluid_head_m": ("head_above_ground_m",),
    "inside_pressure_kpa": (),
}
"""Facts of a slice in one support state, with the facts that each is worked out from."""
IN_WORDS = {
    "uplift_factor": "weight between the base and the water below, with the fluid's pressure, over that water's pressure",
    "overload_share": "overload ratio over the collapse limit",
    "support_margin_kpa": "inside pressure less support needed",
    "fluid_head_m": "fluid level over the water level",
    "support_wanted_margin_kpa": "inside pressure less support wanted",
    "inside_pressure_kpa": "weight of the fluid above",
}


@dataclass
class Derivation:
    """Derives at one judged slice; what was told once is only named again."""

    one: Judged
    book: Rulebook
    boring: str
    formulas: FormulaSteps
    told: set[str] = field(default_factory=set)

    def verdict(self, state: str) -> DerivationStep:
        """Return the verdict of a state with every rule that made it."""
        made = self.one.verdicts[state]
        rules = dict.fromkeys((*made.rules, *made.open_musts, *made.should, *made.suits))
        parts = [self._rule(self.book.by_id[name], state) for name in rules]
        parts += self._passed(state, set(rules))
        silent = (DerivationStep("no rule speaks for it or against it here"),)
        return DerivationStep(f"{state.replace('_', ' ')}: {VERDICT[made.state]}", tuple(parts) or silent)

    def ground(self) -> DerivationStep:
        """Return what the log says of the layer."""
        return DerivationStep(f"boring {self.boring}", tuple(DerivationStep(text) for text in self._logged()))

    def _rule(self, rule: Rule, state: str) -> DerivationStep:
        values = self.one.values(state)
        wide, near = self._outcome(rule, state)
        effect = {"exclude": "speaks against it", "suits": "speaks for it"}.get(rule.effect, rule.effect)
        likely = f", {SAID[near]} at the likely values" if wide == OPEN else ""
        needed = set(support(rule.condition, values, self.book.catalogue))
        parts = [self._atom(atom, values) for atom in self._deciding(rule, needed)]
        parts += [
            DerivationStep(f"unless ({one.id}) {one.because}: {SAID[truth(one.when, values, self.book.catalogue)]}") for one in rule.unless
        ]
        parts += [DerivationStep(f"source: {self._source(one.key)}, {one.where}") for one in rule.source]
        return DerivationStep(
            f"{rule.id} ({rule.level}, {rule.hazard.replace('-', ' ')}) {effect} and {SAID[wide]}{likely}: "
            f"{put_in(rule, values, self.book, mark_plainly)}",
            tuple(parts),
        )

    def _passed(self, state: str, told: set[str]) -> list[DerivationStep]:
        """Return the rules against a state that a number keeps silent here: how far it is from them."""
        values, catalogue = self.one.values(state), self.book.catalogue
        found = []
        for rule in self.book.rules:
            if rule.effect != "exclude" or state not in rule.states or rule.id in told or rule.scope == "stage":
                continue
            if truth(rule.when, values, catalogue) != FALSE:
                continue
            needed = support(rule.when, values, catalogue)
            atom = next((one for one in atoms(rule.when) if isinstance(one, Compare) and set(facts_of_atom(one)) == set(needed)), None)
            if atom is not None and not _far(atom, values):
                found.append(DerivationStep(f"{rule.id} ({rule.level}): {rule.title}", (self._atom(atom, values),)))
        return [DerivationStep("rules against it that a number keeps silent", tuple(found))] if found else []

    def _outcome(self, rule: Rule, state: str) -> tuple[int, int]:
        scope = self.one.state_outcomes[state] if rule.scope == "slice_state" else self.one.outcomes
        if rule.scope in {"slice", "slice_state"}:
            return scope.of(rule.id)
        return self.book.scopes[rule.scope].judge(self.one.values(state)).of(rule.id)

    def _deciding(self, rule: Rule, needed: set[str]) -> Iterator[Compare | Within]:
        for atom in atoms(rule.when):
            if needed.intersection(facts_of_atom(atom)):
                yield atom

    def _atom(self, atom: Compare | Within, values: Mapping[str, Value]) -> DerivationStep:
        said = SAID[truth(atom, values, self.book.catalogue)]
        limits = [self.book.limits[name] for name in (limits_of(atom) if isinstance(atom, Compare) else ())]
        parts = [self._fact(name, values) for name in dict.fromkeys(facts_of_atom(atom))]
        parts += [
            DerivationStep(
                f"limit {limit.name} = {mark_plainly(limit.value, limit.unit)} ({self._source(limit.source)}, {limit.where}; "
                f"{CONFIDENCE_NAMES[limit.confidence]}{'' if limit.origin == 'base' else ', set by ' + limit.origin})"
            )
            for limit in limits
        ]
        return DerivationStep(f"{atom.text}: {said}", tuple(parts))

    def _fact(self, name: str, values: Mapping[str, Value]) -> DerivationStep:
        spec = self.book.catalogue.facts[name]
        fact = self.one.slice.sheet.facts.get(name)
        value = values.get(name)
        said = f"{name} = {spoken(known_of(value, spec), spec.unit, mark_plainly)}"
        if name in self.told:
            return DerivationStep(f"{said}, as above")
        self.told.add(name)
        if name in OF_STATE and (fact is None or value != fact.value):
            words = f": {IN_WORDS[name]}" if name in IN_WORDS else ""
            return DerivationStep(
                f"{said}, in this support state{words}", self._of_state(name, values) + self._inputs(OF_STATE[name], values)
            )
        if fact is None:
            return DerivationStep(f"{said}: {'the state that is judged' if name == 'state' else 'the log does not say'}")
        return DerivationStep(f"{said}, {fact.basis}: {_plain(fact.source)}{self._assumed(fact)}", self._behind(fact, values))

    def _of_state(self, name: str, values: Mapping[str, Value]) -> tuple[DerivationStep, ...]:
        state = values.get("state")
        word = next(iter(state.values)) if isinstance(state, Choice) else ""
        return self.formulas.of_state_fact(name, word, values.get(name))

    def _behind(self, fact: Fact, values: Mapping[str, Value]) -> tuple[DerivationStep, ...]:
        if fact.basis in {"logged", "tested"}:
            return ()
        return self.formulas.of_fact(fact) + self._inputs(fact.inputs, values)

    def _inputs(self, names: tuple[str, ...], values: Mapping[str, Value]) -> tuple[DerivationStep, ...]:
        return tuple(self._fact(name, values) for name in names if name in values)

    def _assumed(self, fact: Fact) -> str:
        return f"; rests on the assumption {', '.join(sorted(fact.assumed))}" if fact.assumed else ""

    def _source(self, key: str) -> str:
        return self.book.sources[key].cite() if key in self.book.sources else key

    def _logged(self) -> Iterator[str]:
        stratum = self.one.slice.stratum
        ends = f"{mark(stratum.top_m, 'm')} to {mark(stratum.base_m, 'm')}"
        if not stratum.logged:
            yield f"{ends}: the log says nothing here"
            return
        symbol = f" ({stratum.layer.symbol})" if stratum.layer.symbol else ""
        yield f'{ends}: "{stratum.layer.description}"{symbol}'
        for test in stratum.spt:
            yield f"N = {count(test)} at {mark(test.depth_m, 'm')}"
        if stratum.layer.n:
            yield f"N = {', '.join(str(n) for n in stratum.layer.n)} in the layer"
        yield f"water here: {_plain(self.one.slice.ground.aquifer.source)}"


def _far(atom: Compare, values: Mapping[str, Value]) -> bool:
    """Return whether nothing of the kind is there at all: an uplift factor without water below."""
    return any(isinstance(value := values.get(name), Span) and value.low >= NOTHING_BELOW for name in facts_of_atom(atom))


NOTHING_BELOW = 999.0


def _plain(source: str) -> str:
    return source or "the rulebook"
