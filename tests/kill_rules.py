"""Rulebook mutants: python tests/kill_rules.py deletes each rule and moves each limit by a fifth, and writes tests/rulebook/KILLS.md.

A change is killed when a check outside the rule files fails: a place of tests/rulebook/checks.yaml judged by the engine,
or a plan worked by hand in tests/rulebook/plan_checks.py. Not collected by pytest; tests/rulebook/test_checks.py runs the
same checks on the rulebook as it stands.
"""

import runpy
import sys
from dataclasses import replace
from pathlib import Path

import yaml

from methodpick.engine.load import load_rulebook
from methodpick.engine.overlay import _with_limits
from methodpick.engine.rails import TRUE
from methodpick.engine.verdict import verdict
from methodpick.resources import folder
from methodpick.strict_yaml import read
from methodpick.vocabulary.catalogue import SCOPES
from methodpick.vocabulary.keys import Reader
from methodpick.vocabulary.sets import value_of

HERE = Path(__file__).parent / "rulebook"
SHIFT = 0.2


def places(book):
    """Read the checks: what is said of a place, the values of its facts, what is expected there."""
    written = yaml.safe_load((HERE / "checks.yaml").read_text(encoding="utf-8"))
    reader = Reader(read("{}", "checks.yaml"))
    facts = book.catalogue.facts

    def values(given):
        found = {name: value_of(reader, (), facts[name], value) for name, value in given.items()}
        reader.done()
        return found

    good = values(written["good"])
    return [(check["what"], {**good, **values(check["given"])}, check) for check in written["checks"]]


def failures(book, what, values, check):
    """Give what the rulebook answers otherwise than a check expects."""
    outcomes = [book.scopes[name].judge(values) for name in SCOPES]
    said = {rule.id for one in outcomes for rule, wide in zip(one.scope.rules, one.on_range, strict=True) if wide == TRUE}
    for state, expected in check.get("verdicts", {}).items():
        found = verdict(state, outcomes).state
        if found != expected:
            yield f"{what}: {state} is {found}, {expected} was expected"
    for state, expected in check.get("points", {}).items():
        found = verdict(state, outcomes).points
        if found != expected:
            yield f"{what}: {state} has {found} points, {expected} were expected"
    for key, wanted in (("warns", True), ("asks", True), ("quiet", False), ("silent", False)):
        for name in check.get(key, ()):
            if (name in said) is not wanted:
                yield f"{what}: '{name}' is {'silent' if wanted else 'said'}"


def mutants(book):
    """Give every changed rulebook with what was changed."""
    for rule in book.rules:
        yield f"rule {rule.id} deleted", replace(book, rules=tuple(one for one in book.rules if one is not rule))
    for name, limit in book.limits.items():
        for factor in (1 + SHIFT, 1 - SHIFT):
            limits = {**book.limits, name: replace(limit, value=limit.value * factor)}
            rules = tuple(_with_limits(rule, limits) if name in rule.limits else rule for rule in book.rules)
            yield f"limit {name} x {factor:g}", replace(book, limits=limits, rules=rules)


def killed(book, checks, plans):
    """Tell which check a changed rulebook fails first, None where it passes all."""
    for what, values, check in checks:
        for said in failures(book, what, values, check):
            return said
    for check in plans:
        try:
            check(book)
        except Exception as error:  # noqa: BLE001 - a check that cannot even run has noticed the change
            return f"{check.__name__}: {type(error).__name__}"
    return None


def plan_checks():
    """Give the checks on whole plans."""
    made = runpy.run_path(str(HERE / "plan_checks.py"))
    return [check for name, check in made.items() if name.startswith("check_")]


def main():
    """Run all mutants and keep the report."""
    book = load_rulebook(folder("rules"))
    checks, plans = places(book), plan_checks()
    broken = killed(book, checks, plans)
    if broken is not None:
        sys.exit(f"the rulebook as it stands fails: {broken}")
    alive, total = [], 0
    explained = dict(line.split(" | ", 1) for line in (HERE / "survivors.txt").read_text(encoding="utf-8").splitlines() if " | " in line)
    for said, changed in mutants(book):
        total += 1
        if killed(changed, checks, plans) is None:
            alive.append(said)
            print(said, flush=True)
    lines = ["# Mutants of the rulebook", "",
             "Made by `python tests/kill_rules.py`: each rule deleted, each limit moved by a fifth either way.", "",
             f"{total} mutants, {total - len(alive)} killed, {len(alive)} survive.", "",
             "| survivor | why it lives |", "|---|---|"]
    lines += [f"| {one} | {explained.get(one, 'not explained yet')} |" for one in alive]
    (HERE / "KILLS.md").write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(lines[4])


if __name__ == "__main__":
    main()
