"""Check a rulebook as a program is checked, and hold one of somebody's own against the one that came along."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import product
from pathlib import Path
from typing import Any

from methodpick.engine.compiler import FALSE, OPEN, TRUE
from methodpick.engine.interpret import Search, truth, write
from methodpick.engine.load import load_rulebook, with_overlays
from methodpick.engine.loosening import loosened, moved_limit, other_sizes, without_rule
from methodpick.engine.read import PLACEHOLDER
from methodpick.engine.rule import LEVELS, RULE_STATES, Always, Both, Compare, Condition, Loosening, Not, Rule, atoms
from methodpick.engine.rulebook import Outcomes, Rulebook, canonical
from methodpick.errors import MethodpickError, Place, Problem, RuleError
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.strict_yaml import read
from methodpick.terms import STATES
from methodpick.vocabulary.catalogue import Catalogue
from methodpick.vocabulary.values import Value, known

# ---- A rulebook folder of somebody's own held against the one that came along: what it lacks, and where it is less careful


STATED = "a rulebook folder gives no reasons; ask whoever wrote it"
"""What stands for the reason of a departure."""


def hold_against(book: Rulebook, shipped: Rulebook, name: str) -> Rulebook:
    """Return a rulebook with its departures from the shipped one noted as loosenings, under the name of its folder.

    Raises RuleError where facts, limits or tables that planning reads are missing, where a limit cannot be what it says, and
    where no rule excludes a state, warns or suits anything.
    """
    problems = [*_missing(book, shipped, name), *_implausible(book, shipped, name), *_silent(book, name)]
    if problems:
        raise RuleError(problems)
    found = [*_limits(book, shipped), *_sizes(book, shipped), *_rules(book, shipped), *_other_parts(book, shipped)]
    return replace(book, loosened=(*(Loosening(f"rulebook '{name}'", what, STATED) for what in found), *book.loosened))


def _missing(book: Rulebook, shipped: Rulebook, name: str) -> Iterator[Problem]:
    parts: tuple[tuple[str, Mapping[str, Any], Mapping[str, Any]], ...] = (
        ("fact", book.catalogue.facts, shipped.catalogue.facts),
        ("limit", book.limits, shipped.limits),
        ("class table", book.tables, shipped.tables),
        ("list of trade sizes", book.sizes, shipped.sizes),
    )
    for kind, there, needed in parts:
        for key in needed:
            if key not in there:
                yield Problem(
                    f"{name}: the {kind} '{key}' is missing, and planning reads it", hint="take it over from the rulebook that came along"
                )


def _implausible(book: Rulebook, shipped: Rulebook, name: str) -> Iterator[Problem]:
    for key, limit in shipped.limits.items():
        given = book.limits.get(key, limit)
        if not replace(limit, value=given.value, by_diameter=given.by_diameter).plausible:
            message = f"{name}: {given.value:g} {limit.unit} cannot be '{key}'"
            yield Problem(message, expected=f"{limit.least:g} to {limit.most:g} {limit.unit}", hint="check the number and its unit")


def _silent(book: Rulebook, name: str) -> Iterator[Problem]:
    rules = [rule for rule in book.rules if rule.status != "deprecated"]
    for effect in ("exclude", "suits"):
        said = {state for rule in rules if rule.effect == effect for state in rule.states}
        if missing := [state for state in STATES if state not in said]:
            words = "excludes" if effect == "exclude" else "suits"
            yield Problem(f"{name}: no rule {words} {', '.join(missing)}", hint="a rulebook speaks for and against every support state")
    if not any(rule.effect == "caution" for rule in rules):
        yield Problem(f"{name}: no rule warns of anything", hint="a plan without cautions is not safe to read")


def _limits(book: Rulebook, shipped: Rulebook) -> Iterator[str]:
    for key, old in shipped.limits.items():
        new = book.limits[key]
        if new.unit != old.unit:
            yield f"{key.replace('_', ' ')}: in {new.unit}, not in {old.unit}"
        elif old.looser_anywhere(new):
            yield moved_limit(old, new)


def _sizes(book: Rulebook, shipped: Rulebook) -> Iterator[str]:
    for key, new in book.sizes.items():
        old = shipped.sizes.get(key)
        if old is None or old.sizes != new.sizes:
            yield other_sizes(old, new)


def _rules(book: Rulebook, shipped: Rulebook) -> Iterator[str]:
    for old in shipped.rules:
        new = book.by_id.get(old.id)
        if new is None:
            if lost := without_rule(old):
                yield f"rule '{old.id}' ({old.level}) is missing: {lost}"
        elif changed := loosened(old, new, shipped.catalogue):
            yield f"rule '{old.id}' ({old.level}) is another: {changed}"
    for new in book.rules:
        if new.effect == "suits" and new.id not in shipped.by_id:
            yield f"rule '{new.id}' ({new.level}) is new: it suits {', '.join(new.states)}"


def _other_parts(book: Rulebook, shipped: Rulebook) -> Iterator[str]:
    """Name the tables, facts and sources that differ, and the assumptions where any does: which way they are looser nobody can tell."""
    parts: tuple[tuple[str, Mapping[str, Any], Mapping[str, Any]], ...] = (
        ("class table", book.tables, shipped.tables),
        ("fact", book.catalogue.facts, shipped.catalogue.facts),
        ("source", book.sources, shipped.sources),
        ("assumption", {found.id: found for found in book.assumptions}, {found.id: found for found in shipped.assumptions}),
    )
    for kind, there, came in parts:
        for key, old in came.items():
            if key in there and canonical(there[key]) != canonical(old):
                yield f"the {kind} '{key}' is another"
        if kind == "assumption":
            yield from (f"the assumption '{key}' is new" for key in there if key not in came)


# ---- Check a rulebook as a program is checked; every finding names its place and a witness that was executed


_EXPECT = {"fires": TRUE, "silent": FALSE, "unknown": OPEN}
ReadElsewhere = Callable[[Iterable[str]], set[str]]
"""Returns those of some names that a program reads beside the rules."""
LEAST_BECAUSE = 25
NAME = pattern_of(r"[a-z][a-z0-9_]+")


def check_rulebook(folder: Path, overlays: Sequence[Path] = (), read_elsewhere: ReadElsewhere | None = None) -> list[Finding]:
    """Check a rulebook folder; a book that does not load gives its problems as errors.

    ``read_elsewhere`` tells which facts, limits and sources a program reads beside the rules; with it unused limits are
    found too.
    """
    try:
        base = load_rulebook(folder)
        book = with_overlays(base, overlays)
    except MethodpickError as error:
        found = [
            Finding("E100", "error", problem.place, " ".join(filter(None, (problem.message, problem.hint)))) for problem in error.problems
        ]
        return found + ([Finding("E100", "error", None, f"and {error.left:,} more problems")] if error.left else [])
    findings = [finding for rule in base.rules for finding in _cases_and_reason(rule, base)]  # their cases are written for the base limits
    findings += [finding for rule in book.rules if rule.origin != "base" for finding in _cases_and_reason(rule, book)]
    findings += check_reach(book)
    findings += check_coverage(book)
    findings += _unused(book, folder, read_elsewhere)
    idle = [
        limit
        for name, limit in book.limits.items()
        if limit.origin != "base" and not limit.by_diameter and limit.value == base.limits[name].value
    ]
    same = [listed for name, listed in book.sizes.items() if listed.origin != "base" and name in base.sizes]
    witnesses = [(limit.origin, limit.name, f"{limit.value:g} {limit.unit}") for limit in idle]
    witnesses += [(listed.origin, listed.name, listed.numbers()) for listed in same if listed.sizes == base.sizes[listed.name].sizes]
    return findings + [
        Finding("W501", "warning", None, f"the overlay '{origin}' sets '{name}' to what it was", witness)
        for origin, name, witness in witnesses
    ]


def _cases_and_reason(rule: Rule, book: Rulebook) -> list[Finding]:
    """Find cases that the rule does not answer as they expect, cases that are missing, and a reason that explains nothing."""
    found: list[Finding] = []
    scope = book.scopes[rule.scope]
    for case in rule.cases if rule.status != "deprecated" else ():
        truth = scope.judge(case.given).of(rule.id)[0]
        if truth != _EXPECT[case.expect]:
            answer = {TRUE: "fires", FALSE: "silent", OPEN: "unknown"}[truth]
            message = f"the case of '{rule.id}' expects '{case.expect}', the rule says '{answer}'"
            found.append(Finding("E201", "error", case.place, message, write(case.given)))
    expected = {case.expect for case in rule.cases}
    wanted = {"fires"} if rule.text.strip() == "always" else {"fires", "silent"}
    if missing := wanted - expected:
        found.append(Finding("E202", "error", rule.place, f"the rule '{rule.id}' has no case that is {' or '.join(sorted(missing))}"))
    if rule.text.strip() != "always" and "unknown" not in expected:
        found.append(Finding("W203", "warning", rule.place, f"the rule '{rule.id}' has no case that is unknown"))
    if len(rule.because) < LEAST_BECAUSE:
        found.append(Finding("W204", "warning", rule.place, f"the reason of '{rule.id}' is too short to explain anything"))
    return found + _one_sided(rule, book)


def _one_sided(rule: Rule, book: Rulebook) -> list[Finding]:
    """Find thresholds of a stable rule that its cases meet on one side only: moving them would go unnoticed."""
    if rule.status != "stable":
        return []
    missing = [
        atom.text
        for atom in atoms(rule.condition)
        if isinstance(atom, Compare) and not {TRUE, FALSE} <= {truth(atom, case.given, book.catalogue) for case in rule.cases}
    ]
    return [Finding("W208", "warning", rule.place, f"the cases of '{rule.id}' do not stand on both sides of '{text}'") for text in missing]


def _unused(book: Rulebook, folder: Path, read_elsewhere: ReadElsewhere | None) -> list[Finding]:
    """Find facts, limits and sources that nothing uses."""
    rules, tables = (*book.rules, *book.disabled), book.tables.values()
    elsewhere = read_elsewhere((*book.catalogue.facts, *book.limits, *book.sources)) if read_elsewhere else set()
    used = set(PLACEHOLDER.findall(" ".join(rule.because for rule in rules))) | elsewhere
    used |= {name for rule in rules for name in (*rule.facts, *rule.limits)}
    used |= {name for assumption in book.assumptions for name in (assumption.fact, *assumption.where)}
    used |= {name for table in tables for name in (*table.inputs, *table.outputs)}
    cited = {cited.key for rule in rules for cited in rule.source} | {limit.source for limit in book.limits.values()}
    cited |= {assumption.source for assumption in book.assumptions} | {row.source for table in tables for row in table.rows}
    cited |= {listed.source for listed in book.sizes.values()} | elsewhere
    for path in sorted((folder / "agencies").glob("*.yaml")):
        texts = set(_words(read(path).value))
        cited |= texts
        used |= {word for text in texts for word in NAME.findall(text)}
    found = [
        ("W401", "facts", name, f"the fact '{name}' is used by no rule and no table") for name in book.catalogue.facts if name not in used
    ]
    if read_elsewhere is not None:
        found += [("W402", "limits", name, f"nothing reads the limit '{name}'") for name in book.limits if name not in used]
    found += [("W403", "sources", key, f"the source '{key}' is cited nowhere") for key in book.sources if key not in cited]
    files = {part: read(folder / f"{part}.yaml", f"{folder.name}/{part}.yaml") for part in {part for _, part, _, _ in found}}
    return [Finding(code, "warning", files[part].place((part, name), key=True), text) for code, part, name, text in found]


def _words(value: Any) -> Iterator[str]:
    """Return the texts that stand in a file as values."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, (dict, list)):
        for item in value.values() if isinstance(value, dict) else value:
            yield from _words(item)


@record
class Finding:
    """Something wrong (error) or worth a look (warning) in a rulebook; ``witness`` is a case that was executed."""

    code: str
    severity: str
    place: Place | None
    message: str
    witness: str = ""

    def render(self) -> str:
        """Write the finding with its line and caret."""
        text = Problem(f"{self.severity} {self.code}: {self.message}", self.place).render()
        return text + (f"\n    witness: {self.witness}" if self.witness else "")


def check_coverage(book: Rulebook) -> list[Finding]:
    """Find combinations of ground, state and water position for which no suits and no exclude can speak."""
    facts = book.catalogue.facts
    if "soil" not in facts or "water_position" not in facts:
        return []
    found: list[Finding] = []
    for soil, water in product(facts["soil"].words, facts["water_position"].words):
        values: dict[str, Value] = {"soil": known(soil), "water_position": known(water)}
        outcomes = [book.scopes[name].judge(values) for name in ("site", "shaft", "slice", "slice_state")]
        found += [
            Finding("E301", "error", None, f"no rule says whether '{state}' suits {soil} {water} the water", write(values))
            for state in RULE_STATES
            if not _speaks(state, outcomes)
        ]
    return found


def _speaks(state: str, outcomes: list[Outcomes]) -> bool:
    """Return whether the state can suit, or is certainly excluded: an exclude that only may hold leaves a gap beside it."""
    return any(
        rule.effect == "suits" or (rule.effect == "exclude" and on_range == TRUE)
        for found in outcomes
        for rule, on_range, _ in found.speaking(found.scope.by_state[state])
    )


def check_reach(book: Rulebook) -> list[Finding]:
    """Find rules that can never fire, that always fire, and that another rule with the same effect covers."""
    found: list[Finding] = []
    rules = [rule for rule in book.rules if rule.status != "deprecated"]
    for rule in rules:
        if isinstance(rule.condition, Always):
            continue
        if _nowhere(rule.condition, book.catalogue):
            found.append(Finding("E205", "error", rule.place, f"the rule '{rule.id}' can never fire: {rule.text}"))
        elif _nowhere(Not(rule.condition), book.catalogue):
            found.append(Finding("W206", "warning", rule.place, f"the rule '{rule.id}' always fires: {rule.text}"))
        found += [
            Finding(
                "W207",
                "warning",
                rule.place,
                f"the rule '{rule.id}' adds nothing: '{other.id}' holds wherever it does",
                write(_where(rule.condition, book.catalogue)),
            )
            for other in rules
            if _covers(other, rule, book)
        ]
    return found


def _covers(other: Rule, rule: Rule, book: Rulebook) -> bool:
    same = other is not rule and other.effect == rule.effect and other.effect in {"exclude", "suits"}
    if not same or not set(rule.states) <= set(other.states) or not set(other.facts) <= set(rule.facts):
        return False
    if rule.origin == "base" != other.origin:  # an overlay may well be stricter than the book under it
        return False
    if other.hazard != rule.hazard or LEVELS.index(other.level) > LEVELS.index(rule.level):
        return False
    return _nowhere(Both((rule.condition, Not(other.condition))), book.catalogue)


def _nowhere(condition: Condition, catalogue: Catalogue) -> bool:
    """Return whether a condition is proved to hold nowhere."""
    search = Search(condition, catalogue)
    return search.run() is None and search.exact


def _where(condition: Condition, catalogue: Catalogue) -> Mapping[str, Value]:
    return Search(condition, catalogue).run() or {}
