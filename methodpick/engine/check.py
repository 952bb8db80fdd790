"""Check a rulebook as a program is checked; every finding names its place and a witness that was executed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from methodpick.engine.load import load_rulebook
from methodpick.engine.rails import FALSE, OPEN, TRUE
from methodpick.engine.rule import Rule
from methodpick.engine.rulebook import Rulebook
from methodpick.errors import MethodpickError, Place, Problem
from methodpick.vocabulary.values import Choice, Value

_EXPECT = {"fires": TRUE, "silent": FALSE, "unknown": OPEN}
SUPPORT_STATES = ("dry", "water", "polymer", "mineral", "cased_dry", "cased_balanced", "cased_plug", "leave_in", "pull_out")
LEAST_BECAUSE = 25


@dataclass(frozen=True, slots=True)
class Finding:
    """Something wrong (error) or worth a look (warning) in a rulebook."""

    code: str
    severity: str
    place: Place | None
    message: str
    witness: str = ""

    def render(self) -> str:
        """Write the finding with its line and caret."""
        text = Problem(f"{self.severity} {self.code}: {self.message}", self.place).render()
        return text + (f"\n    witness: {self.witness}" if self.witness else "")


def check_rulebook(folder: Path, overlays: Sequence[Path] = ()) -> list[Finding]:
    """Check a rulebook folder; a book that does not load gives its problems as errors."""
    try:
        book = load_rulebook(folder, overlays)
    except MethodpickError as error:
        return [Finding("E100", "error", problem.place, " ".join(filter(None, (problem.message, problem.hint))))
                for problem in error.problems]
    findings = [finding for rule in book.rules for finding in _rule(rule, book)]
    findings += _coverage(book)
    findings += _unused(book)
    return findings


def _rule(rule: Rule, book: Rulebook) -> list[Finding]:
    found: list[Finding] = []
    scope = book.scopes[rule.scope]
    for case in rule.cases if rule.status != "deprecated" else ():
        truth = scope.judge(case.given).of(rule.id)[0]
        if truth != _EXPECT[case.expect]:
            said = {TRUE: "fires", FALSE: "silent", OPEN: "unknown"}[truth]
            found.append(Finding("E201", "error", case.place, f"the case of '{rule.id}' expects '{case.expect}', the rule says "
                                 f"'{said}'", _witness(case.given)))
    expected = {case.expect for case in rule.cases}
    wanted = {"fires"} if rule.text.strip() == "always" else {"fires", "silent"}
    if missing := wanted - expected:
        found.append(Finding("E202", "error", rule.place, f"the rule '{rule.id}' has no case that is {' or '.join(sorted(missing))}"))
    if rule.text.strip() != "always" and "unknown" not in expected:
        found.append(Finding("W203", "warning", rule.place, f"the rule '{rule.id}' has no case that is unknown"))
    if len(rule.because) < LEAST_BECAUSE:
        found.append(Finding("W204", "warning", rule.place, f"the reason of '{rule.id}' is too short to explain anything"))
    return found


def _witness(given: Mapping[str, Value]) -> str:
    return ", ".join(f"{name}: {value}" for name, value in given.items())


def _coverage(book: Rulebook) -> list[Finding]:
    """Find combinations of ground, state and water position for which no suits and no exclude can speak."""
    found: list[Finding] = []
    if "soil" not in book.catalogue or "water_position" not in book.catalogue:
        return found
    scopes = [book.scopes[name] for name in ("site", "shaft", "slice", "slice_state")]
    for soil in book.catalogue.facts["soil"].words:
        for water in book.catalogue.facts["water_position"].words:
            values: dict[str, Value] = {"soil": Choice(frozenset({soil}), soil), "water_position": Choice(frozenset({water}), water)}
            outcomes = [scope.judge(values) for scope in scopes]
            for state in SUPPORT_STATES:
                speaks = any(one.on_range[index] != FALSE and one.scope.rules[index].effect in {"suits", "exclude"}
                             for one in outcomes for index in one.scope.by_state[state])
                suited = any((one.on_range[index] != FALSE and one.scope.rules[index].effect == "suits")
                             or (one.on_range[index] == TRUE and one.scope.rules[index].effect == "exclude")
                             for one in outcomes for index in one.scope.by_state[state])
                if not speaks or not suited:
                    found.append(Finding("E301", "error", None, f"no rule says whether '{state}' suits {soil} {water} the water",
                                         f"soil: {soil}, water_position: {water}"))
    return found


def _unused(book: Rulebook) -> list[Finding]:
    found: list[Finding] = []
    facts = {name for rule in book.rules for name in rule.facts}
    facts |= {name for table in book.tables.values() for name in (*table.inputs, *table.outputs)}
    cited = {one.key for rule in book.rules for one in rule.source} | {limit.source for limit in book.limits.values()}
    cited |= {one.source for one in book.assumptions} | {row.source for table in book.tables.values() for row in table.rows}
    found += [Finding("W401", "warning", None, f"the fact '{name}' is used by no rule and no table")
              for name in book.catalogue.facts if name not in facts]
    found += [Finding("W403", "warning", None, f"the source '{key}' is cited nowhere") for key in book.sources if key not in cited]
    return found
