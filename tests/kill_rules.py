"""Does anything outside the rule files hold the rulebook? python tests/kill_rules.py writes tests/rulebook/KILLS.md (about a minute).

Every rule is deleted and every limit is moved by 20 percent up and down, one at a time, in the loaded rulebook; then the
hand-written verdict checks of ``tests/rulebook/checks`` run, and the plan checks of ``tests/rulebook/test_plan_limits.py``
where they do not fail. What nothing fails on is a survivor and is listed. Not collected by pytest.
"""

import sys
from dataclasses import fields, is_dataclass, replace
from importlib.util import module_from_spec, spec_from_file_location
from inspect import getsource, signature
from pathlib import Path
from platform import python_version
from time import perf_counter

from methodpick.engine.load import load_rulebook
from methodpick.engine.tree import LimitRef
from methodpick.imports.site_file import read_site
from methodpick.resources import folder

HERE = Path(__file__).parent
REPORT = HERE / "rulebook" / "KILLS.md"
EXPLAINED = HERE / "rulebook" / "survivors.txt"
SHIFTS = (1.2, 0.8)


def module(path):
    """Load a file of the tests by its path, for tests are no package."""
    spec = spec_from_file_location(f"rulebook_{path.stem}", path)
    loaded = module_from_spec(spec)
    sys.modules[spec.name] = loaded
    spec.loader.exec_module(loaded)
    return loaded


def moved(node, name, value):
    """Give a condition with another value of one limit."""
    if isinstance(node, LimitRef):
        return replace(node, value=value) if node.name == name else node
    if isinstance(node, tuple):
        return tuple(moved(part, name, value) for part in node)
    if is_dataclass(node):
        return replace(node, **{one.name: moved(getattr(node, one.name), name, value) for one in fields(node)})
    return node


def without(book, rule):
    """Give the book without a rule; scopes that the rule is not of are taken over as they are."""
    changed = replace(book, rules=tuple(one for one in book.rules if one.id != rule.id))
    return keep_scopes(book, changed, {rule.scope})


def shifted(book, name, factor):
    """Give the book with a limit moved: in the limits, and in every condition that names it."""
    value = book.limits[name].value * factor
    limits = {**book.limits, name: replace(book.limits[name], value=value)}
    mine = {rule.id for rule in book.rules if name in rule.limits}
    rules = tuple(replace(rule, when=moved(rule.when, name, value), unless=moved(rule.unless, name, value)) if rule.id in mine else rule
                  for rule in book.rules)
    return keep_scopes(book, replace(book, rules=rules, limits=limits), {rule.scope for rule in book.rules if rule.id in mine})


def keep_scopes(book, changed, scopes):
    """Let a changed book use the compiled scopes of the old one, but for those that changed."""
    made = type(changed).scopes.func(replace(changed, rules=tuple(rule for rule in changed.rules if rule.scope in scopes)))
    changed.__dict__["scopes"] = {**book.scopes, **{name: made[name] for name in scopes}}
    return changed


def mutants(book):
    """Give (kind, name, what changed, changed book) for every rule and every limit."""
    for rule in book.rules:
        yield "rule", rule.id, "deleted", without(book, rule)
    for name, limit in book.limits.items():
        for factor in SHIFTS:
            said = f"{'+' if factor > 1 else '-'}20 %: {limit.value:g} becomes {limit.value * factor:g} {limit.unit}"
            yield "limit", name, said, shifted(book, name, factor)


class Checks:
    """The verdict checks and the plan checks, each giving whether a book fails it."""

    def __init__(self):
        judging = module(HERE / "rulebook" / "conftest.py")
        plans = module(HERE / "rulebook" / "test_plan_limits.py")
        self.failures, self.verdicts = judging.failures, judging.checks()
        self.plans = [one for name, one in vars(plans).items() if name.startswith("test_")]
        self.texts = {one: getsource(one) for one in self.plans}

    def fixtures(self, book):
        return {"book": book, "read_text": lambda text: read_site(text, "test.yaml")[0]}

    def failed_plan(self, test, book):
        given = self.fixtures(book)
        try:
            test(**{name: given[name] for name in signature(test).parameters})
        except Exception as error:  # noqa: BLE001 - whatever stops a check has killed the mutant
            return f"{type(error).__name__}: {error}"
        return ""

    def whole(self, book):
        """Give what fails without any change; it must be nothing."""
        found = [f"{check.name}: {said}" for check in self.verdicts if (said := self.failures(book, check))]
        return found + [f"{test.__name__}: {said}" for test in self.plans if (said := self.failed_plan(test, book))]

    def killer(self, name, book):
        """Give the first check that fails on a changed book, "" where none does; plan checks that name the limit go first."""
        for check in self.verdicts:
            if self.failures(book, check):
                return check.name
        for test in sorted(self.plans, key=lambda one: name not in self.texts[one]):
            if self.failed_plan(test, book):
                return test.__name__
        return ""


def explanations():
    if not EXPLAINED.exists():
        return {}
    return dict(line.split(" | ", 1) for line in EXPLAINED.read_text(encoding="utf-8").splitlines() if " | " in line)


def report(outcomes, checks):
    """Write the table of kinds, and the survivors with why they live."""
    reasons, alive = explanations(), [one for one in outcomes if not one[3]]
    lines = ["# What holds the rulebook", "",
             f"`python tests/kill_rules.py`, Python {python_version()}: {len(checks.verdicts)} verdict checks, {len(checks.plans)} plan checks.",
             "", "| change | made | killed by a verdict check | killed by a plan check | survive |", "|---|---|---|---|---|"]
    for kind, said in (("rule", "a rule deleted"), ("limit", "a limit moved by 20 %")):
        mine = [one[3] for one in outcomes if one[0] == kind]
        by_plan = sum(name.startswith("test_") for name in mine)
        lines.append(f"| {said} | {len(mine)} | {len(mine) - by_plan - mine.count('')} | {by_plan} | {mine.count('')} |")
    lines += ["", "## Survivors", "", "| what | change | why it lives |", "|---|---|---|"]
    for _, name, said, _ in alive:
        lines.append(f"| {name} | {said} | {reasons.get(f'{name} {said[:5]}'.strip(), 'not explained yet')} |")
    REPORT.write_text("\n".join(lines) + "\n", encoding="utf-8")
    print("\n".join(lines))
    return [one for one in alive if f"{one[1]} {one[2][:5]}".strip() not in reasons]


def main():
    start, book, checks = perf_counter(), load_rulebook(folder("rules")), Checks()
    if wrong := checks.whole(book):
        sys.exit("the checks fail without any change:\n" + "\n".join(wrong))
    outcomes = [(kind, name, said, checks.killer(name, changed)) for kind, name, said, changed in mutants(book)]
    unexplained = report(outcomes, checks)
    print(f"\n{perf_counter() - start:.0f} s")
    sys.exit(1 if unexplained else 0)


if __name__ == "__main__":
    main()
