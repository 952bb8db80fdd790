"""Does anything outside the rule files hold the rulebook? python tests/kill_rules.py writes tests/rulebook/KILLS.md.

``--check`` writes nothing and asks only of the changes that KILLS.md does not list as survivors. ``--keep`` asks of the same and writes
KILLS.md: what it lists is kept as it is, for to find that nothing fails takes every check there is, and most of the time of a whole run.
``--only NAME`` tries the changes of one rule or limit, new ones say, and prints what fails on each.
``--listed`` asks in one process only of what KILLS.md lists, and only the checks that speak of it, prints what fails on each, and takes
out of the list what is killed now.

Every rule is deleted, every exception and every part of a condition dropped, every word taken out of its list, every must of
an exclude made a should, and every limit moved by 20 percent up and down, one at a time, in the loaded rulebook; likewise
what the overlay of an agency adds and sets. Of the tables by which blow counts are read every class boundary is moved by
20 percent, and of the friction angles every row by 10 (three degrees, about a class of density). Then the hand-written verdict
checks of ``tests/rulebook/checks`` run, and the plan checks of ``tests/rulebook/test_*_limits.py`` where they do not fail; a
limit is also held by the worked checks of the proofs that read it (``tests/plan/checks``). What nothing fails on is a survivor
and is listed, with why it lives where ``tests/rulebook/survivors.txt`` says it. ``--check`` fails on a survivor that is neither
explained there nor listed in KILLS.md, so that the open ones can only become fewer. Not collected by pytest.
"""

import argparse
import gc
import os
import sys
from dataclasses import fields, is_dataclass, replace
from functools import partial
from importlib.util import module_from_spec, spec_from_file_location
from inspect import getsource, signature
from multiprocessing import get_context
from pathlib import Path
from platform import python_version
from time import perf_counter

from methodpick.engine.rule import Both, Either, LimitRef, Not, Within
from methodpick.imports.site_file import read_site
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.result import CHECK_RESULTS
from methodpick.resources import folder
from methodpick.vocabulary.trade_sizes import TradeSizes
from methodpick.vocabulary.values import Span

HERE = Path(__file__).parent
REPORT = HERE / "rulebook" / "KILLS.md"
EXPLAINED = HERE / "rulebook" / "survivors.txt"
SHIFTS = (1.2, 0.8)
COUNT_TABLES = ("british_consistency_by_n", "consistency_by_n", "density_by_corrected_n", "density_by_n", "density_by_relative_density")
"""Class tables over one blow count, whose rows meet at boundaries."""
ANGLE_SHIFTS = (1.1, 0.9)
GARBAGE = 50_000
"""So many new objects call the garbage collector, as in ``tests/conftest.py``."""
PLACE = ProvedPlace(stage=4, top_m=0.0, base_m=10.0)
"""The place of the proofs' tests."""


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


def changed_rule(book, rule, new):
    """Give the book with a rule replaced, or left out where ``new`` is None."""
    rules = tuple(new if one is rule else one for one in book.rules if one is not rule or new is not None)
    return keep_scopes(book, replace(book, rules=rules), {rule.scope})


def shifted(book, name, factor):
    """Give the book with a limit moved: in the limits, and in every condition that names it."""
    value = book.limits[name].value * factor
    by_diameter = tuple((diameter, at * factor) for diameter, at in book.limits[name].by_diameter)
    limits = {**book.limits, name: replace(book.limits[name], value=value, by_diameter=by_diameter)}
    mine = {rule.id for rule in book.rules if name in rule.limits}
    rules = tuple(
        replace(rule, when=moved(rule.when, name, value), unless=moved(rule.unless, name, value)) if rule.id in mine else rule
        for rule in book.rules
    )
    return keep_scopes(book, replace(book, rules=rules, limits=limits), {rule.scope for rule in book.rules if rule.id in mine})


def boundaries(table):
    """Return the counts at which a row of a table ends and the next begins."""
    (name,) = table.inputs
    return name, sorted({row.when[name].high for row in table.rows} & {row.when[name].low for row in table.rows})


def moved_boundary(book, table, at, factor):
    """Give the book with a boundary of a table over one count moved, in the row that ends there and in that which begins there."""
    (name,) = table.inputs

    def end(value):
        return value * factor if value == at else value

    rows = [replace(row, when={name: Span(end(row.when[name].low), end(row.when[name].high))}) for row in table.rows]
    return with_rows(book, table, rows)


def moved_angle(book, table, index, factor):
    """Give the book with the friction angle of a row moved."""
    angle = table.rows[index].then["phi_deg"]
    there = replace(table.rows[index], then={"phi_deg": Span(angle.low * factor, angle.high * factor, angle.likely * factor)})
    return with_rows(book, table, [*table.rows[:index], there, *table.rows[index + 1 :]])


def with_rows(book, table, rows):
    """Give the book with other rows in a table; no rule reads it, so that the compiled scopes stay."""
    return keep_scopes(book, replace(book, tables={**book.tables, table.id: replace(table, rows=tuple(rows), _found={})}), set())


def table_mutants(book):
    """Give the changes of the tables of counts and angles, as ``mutants`` does."""
    for table in (book.tables[name] for name in COUNT_TABLES):
        name, counts = boundaries(table)
        for at in counts:
            for factor in SHIFTS:
                said = f"{percent(factor)}: {name} {at:g} becomes {at * factor:g}"
                yield "a class boundary of a table moved by 20 %", table.id, said, partial(moved_boundary, book, table, at, factor)
    table = book.tables["friction"]
    for index, each in enumerate(table.rows):
        soils, density = "/".join(sorted(each.when["soil"].values)), "/".join(each.when["density"].values)
        for factor in ANGLE_SHIFTS:
            angle = each.then["phi_deg"].likely
            said = f"{percent(factor)}: {soils}, {density}, {angle:g} becomes {angle * factor:g}"
            yield "a friction angle moved by 10 %", table.id, said, partial(moved_angle, book, table, index, factor)


def percent(factor):
    return f"{(factor - 1) * 100:+.0f} %"


def keep_scopes(book, changed, scopes):
    """Let a changed book use the compiled scopes of the old one, but for those that changed."""
    made = replace(changed, rules=tuple(rule for rule in changed.rules if rule.scope in scopes)).scopes
    changed.__dict__["scopes"] = {**book.scopes, **{name: made[name] for name in scopes}}
    return changed


def thinner(condition):
    """Give (what went, condition without it) for every part of an "and" or "or" and every word of a list."""
    if isinstance(condition, (Both, Either)):
        for index, part in enumerate(condition.parts):
            rest = condition.parts[:index] + condition.parts[index + 1 :]
            yield f"without {written(part)}", rest[0] if len(rest) == 1 else type(condition)(rest)
            for said, new in thinner(part):
                yield said, type(condition)((*condition.parts[:index], new, *condition.parts[index + 1 :]))
    elif isinstance(condition, Not):
        for said, new in thinner(condition.part):
            yield said, Not(new)
    elif isinstance(condition, Within) and len(condition.words) > 1:
        for word in sorted(condition.words):
            yield f"without {word}", replace(condition, words=condition.words - {word})


def written(condition):
    """Write a part of a condition as it stands in the rule."""
    if isinstance(condition, Not):
        return f"not {written(condition.part)}"
    if isinstance(condition, (Both, Either)):
        return f"({(' and ' if isinstance(condition, Both) else ' or ').join(written(part) for part in condition.parts)})"
    return condition.text


def mutants(book, origin):
    """Give (kind, name, what changed, how to make the changed book) for every rule and limit that the base or an overlay gave."""
    of = "" if origin == "base" else " of an agency"
    for rule in book.rules:
        if rule.origin != origin:
            continue
        yield f"a rule{of} deleted", rule.id, "deleted", partial(changed_rule, book, rule, None)
        for one in rule.unless:
            rest = tuple(other for other in rule.unless if other is not one)
            yield f"an exception{of} dropped", rule.id, f"without {one.id}", partial(changed_rule, book, rule, replace(rule, unless=rest))
        for said, when in thinner(rule.when):
            yield f"a part or a word of a condition{of} dropped", rule.id, said, partial(changed_rule, book, rule, replace(rule, when=when))
        if rule.effect == "exclude" and rule.level == "must":
            yield f"a must{of} made a should", rule.id, "should", partial(changed_rule, book, rule, replace(rule, level="should"))
    for name, limit in book.limits.items():
        for factor in SHIFTS if limit.origin == origin else ():
            said = f"{'+' if factor > 1 else '-'}20 %: {limit.value:g} becomes {limit.value * factor:g} {limit.unit}"
            yield f"a limit{of} moved by 20 %", name, said, partial(shifted, book, name, factor)
    if origin == "base":
        yield from table_mutants(book)


class Checks:
    """The verdict checks and the plan checks; each is asked whether it fails on a book."""

    def __init__(self):
        judging = module(HERE / "rulebook" / "conftest.py")
        plans = [
            module(HERE / "rulebook" / f"test_{name}_limits.py")
            for name in ("plan", "plant", "fluid", "flip", "ground", "sequence", "takeoff", "table")
        ]
        self.failures, self.verdicts, self.laid_over = judging.failures, judging.checks(), judging.laid_over
        self.plans = [one for part in plans for name, one in vars(part).items() if name.startswith("test_")]
        self.texts = {one: getsource(one) for one in self.plans}
        self.proofs = list(proof_checks())
        self.spoken = {check.name: names_in(check.expect) for check in self.verdicts}
        self.killers = {}

    def fails_plan(self, test, book, agency):
        """Tell why a plan check fails where ``book`` stands for the base, or for the overlay of an agency."""
        given = {
            "book": self.laid_over("") if agency else book,
            "read_text": lambda text: read_site(text, "test.yaml")[0],
            "under": lambda name: book if name == agency else self.laid_over(name),
            "trade_sizes": lambda units: TradeSizes(units, given["book"].values, given["book"].sizes),
        }
        try:
            for case in cases_of(test):
                test(**{name: {**given, **case}[name] for name in signature(test).parameters})
        except Exception as error:  # noqa: BLE001 - whatever a test raises, it has failed
            return f"failed: {error!r}"
        return ""

    def fails_proof(self, name, book):
        """Name a check of a proof that fails on a book, of those proofs that read the limit; "" where none does."""
        for source, test, case in self.proofs:
            if name not in source:
                continue
            given = {"book": book, "limits": book.limits, "place": PLACE, "rank": rank, "usable": usable, **case}
            if not set(signature(test).parameters) <= set(given):
                continue
            try:
                test(**{each: given[each] for each in signature(test).parameters})
            except Exception:  # noqa: BLE001 - whatever a test raises, it has failed
                return test.__name__
        return ""

    def whole(self):
        """Give what fails without any change; it must be nothing."""
        found = [f"{check.name}: {said}" for check in self.verdicts if (said := self.failures(self.laid_over(check.under), check))]
        return found + [f"{test.__name__}: {said}" for test in self.plans if (said := self.fails_plan(test, self.laid_over(""), ""))]

    def tries(self, name, book, agency):
        """Yield (check, whether it speaks of the changed thing, ask whether it fails), plan checks that name it before the others."""
        spoken = {name, *(rule.id for rule in book.rules if name in rule.limits)}
        for check in self.verdicts:
            if check.under == agency and name not in book.tables:  # their facts are given, no table is looked up
                yield check.name, not spoken.isdisjoint(self.spoken[check.name]), partial(self.failures, book, check)
        if not agency and name in book.limits:
            yield "test_of_a_proof", True, partial(self.fails_proof, name, book)
        for test in sorted(self.plans, key=lambda each: name not in self.texts[each]):
            if "under" in signature(test).parameters or not agency:
                yield test.__name__, name in self.texts[test], partial(self.fails_plan, test, book, agency)

    def killer(self, name, book, agency, any_order, spoken_only=False):
        """Return the first check that fails on a changed book, "" where none does.

        In ``any_order`` those go first that failed on another change of the same thing, then those that speak of it; ``spoken_only``
        asks no others.
        """
        tries, before = self.tries(name, book, agency), self.killers.setdefault((agency, name), [])
        if spoken_only:
            tries = [each for each in tries if each[1]]
        if any_order:
            tries = sorted(tries, key=lambda each: (each[0] not in before, not each[1]))
        for check, _, fails in tries:
            if fails():
                before.append(check)
                return check
        return ""


def names_in(value):
    """Return every word that stands in what a check expects: the names of rules among them."""
    if isinstance(value, dict):
        return {word for key, each in value.items() for word in {key, *names_in(each)}}
    if isinstance(value, list):
        return {word for each in value for word in names_in(each)}
    return {value}


def rank(checks):
    """Give the rank of the worst result of some checks, as the fixture of the proofs' tests does."""
    return max(CHECK_RESULTS.index(check.result) for check in checks)


def usable(checks):
    """Give whether the worst result of some checks is one that a plan may be built on."""
    return rank(checks) <= CHECK_RESULTS.index("open_range")


def proof_checks():
    """Give (source of the proof, test, its case) for the worked checks of ``tests/plan/checks``; laws are left out, as too slow."""
    for path in sorted((HERE / "plan" / "checks").glob("test_*.py")):
        proof = HERE.parent / "methodpick" / "plan" / "checks" / f"{path.stem.removeprefix('test_')}.py"
        if not proof.exists():
            continue
        source = proof.read_text(encoding="utf-8")
        for name, test in vars(module(path)).items():
            if name.startswith("test_") and not hasattr(test, "is_hypothesis_test"):
                yield from ((source, test, case) for case in cases_of(test))


def cases_of(test):
    """Give the cases of a test that is asked for one list of values, or the one of a test that is not."""
    marks = [mark for mark in getattr(test, "pytestmark", ()) if mark.name == "parametrize"]
    if len(marks) != 1:
        return [{}]
    names, values = marks[0].args[:2]
    names = [each.strip() for each in names.split(",")] if isinstance(names, str) else list(names)
    rows = (getattr(each, "values", each) for each in values)
    return [dict(zip(names, row if len(names) > 1 or hasattr(row, "_fields") else (row,), strict=False)) for row in rows]


def explanations():
    if not EXPLAINED.exists():
        return {}
    return dict(line.split(" | ", 1) for line in EXPLAINED.read_text(encoding="utf-8").splitlines() if " | " in line)


def row(name, said):
    """Give the head of the row of KILLS.md that lists a survivor."""
    return f"| {name} | {said} |"


def survivors(outcomes):
    """Give (row, key in survivors.txt) of every change that nothing failed on."""
    return [(row(name, said), f"{name}: {said.partition(':')[0]}") for _, name, said, killer in outcomes if not killer]


def report(outcomes, checks, *, keeping):
    """Write the table of kinds and the survivors with why they live; ``keeping`` says that those listed before were not tried again."""
    reasons, alive = explanations(), survivors(outcomes)
    lines = [
        "# What holds the rulebook",
        "",
        (
            f"`python tests/kill_rules.py`, Python {python_version()}: {len(checks.verdicts)} verdict checks and "
            f"{len(checks.plans)} plan checks against {len(outcomes)} changes, {len(alive)} survive"
            f"{' (written with --keep: those that the last whole run found were not tried again)' if keeping else ''}."
        ),
        "",
        "| change | made | killed by a verdict check | by a plan check | survive |",
        "|---|---|---|---|---|",
    ]
    for kind in dict.fromkeys(one[0] for one in outcomes):
        mine = [one[3] for one in outcomes if one[0] == kind]
        by_plan = sum(name.startswith("test_") for name in mine)
        lines.append(f"| {kind} | {len(mine)} | {len(mine) - by_plan - mine.count('')} | {by_plan} | {mine.count('')} |")
    lines += ["", "## Survivors", "", "| what | change | why it lives |", "|---|---|---|"]
    lines += [f"{head} {reasons.get(key, 'not explained yet')} |" for head, key in alive]
    REPORT.write_text("\n".join(lines) + "\n", encoding="utf-8")


CHECKS = Checks()
"""Loaded once, before the processes part, so that each has them."""


def tried(share, shares, listed, any_order, keeping):
    """Give (number, outcome) of every change of a share that is not listed as a survivor; those too, untried, where they are kept."""
    number, outcomes = 0, []
    for agency in ("", *sorted(path.stem for path in (folder("rules") / "agencies").glob("*.yaml"))):
        for kind, name, said, changed in mutants(CHECKS.laid_over(agency), agency or "base"):
            number += 1
            where = f"{agency}: {name}" if agency else name
            if number % shares != share:
                continue
            if row(where, said) not in listed:
                outcomes.append((number, (kind, where, said, CHECKS.killer(name, changed(), agency, any_order))))
            elif keeping:
                outcomes.append((number, (kind, where, said, "")))
    return outcomes


def try_listed():
    """Try the survivors of KILLS.md again, print what fails on each now, and strike out what is killed."""
    lines = REPORT.read_text(encoding="utf-8").splitlines()
    for agency in ("", *sorted(path.stem for path in (folder("rules") / "agencies").glob("*.yaml"))):
        for _, name, said, changed in mutants(CHECKS.laid_over(agency), agency or "base"):
            head = row(f"{agency}: {name}" if agency else name, said)
            if not any(line.startswith(head) for line in lines):
                continue
            killer = CHECKS.killer(name, changed(), agency, any_order=True, spoken_only=True)
            print(f"{head} {killer or 'survives'}", flush=True)
            if killer:
                lines = [line for line in lines if not line.startswith(head)]
    REPORT.write_text("\n".join(lines) + "\n", encoding="utf-8")


NOTHING_HOLDS_IT = "no check fails, and nothing explains that"


def try_only(wanted):
    """Try the changes of one rule or limit, print what fails on each, and return whether something fails on all that nothing explains."""
    tries, held, explained = 0, True, explanations()
    for agency in ("", *sorted(path.stem for path in (folder("rules") / "agencies").glob("*.yaml"))):
        for _, name, said, changed in mutants(CHECKS.laid_over(agency), agency or "base"):
            if name.split(":")[0] != wanted:
                continue
            tries, where = tries + 1, f"{agency}: {name}" if agency else name
            why = explained.get(f"{where}: {said.partition(':')[0]}", "")
            killer = CHECKS.killer(name, changed(), agency, any_order=True)
            print(row(where, said), killer or f"survives: {why or NOTHING_HOLDS_IT}", flush=True)
            held = held and bool(killer or why)
    if not tries:
        sys.exit(f"no rule, limit or table that can be changed is named {wanted}")
    return held


def main():
    reader = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    for choice in ("--check", "--keep", "--listed"):
        reader.add_argument(choice, action="store_true")
    reader.add_argument("--only", metavar="NAME")
    asked = reader.parse_args()
    start, checks, checking, keeping = perf_counter(), CHECKS, asked.check, asked.keep
    gc.set_threshold(GARBAGE)
    if wrong := checks.whole():
        sys.exit("the checks fail without any change:\n" + "\n".join(wrong))
    if asked.listed:
        return try_listed()
    if asked.only:
        sys.exit(0 if try_only(asked.only) else 1)
    listed = REPORT.read_text(encoding="utf-8") if REPORT.exists() else ""
    shares = os.cpu_count() or 1
    gc.freeze()  # what is loaded now stays for good, in every process
    with get_context("fork").Pool(shares) as pool:
        fewer = checking or keeping
        parts = pool.starmap(tried, [(share, shares, listed if fewer else "", fewer, keeping) for share in range(shares)])
    outcomes = [outcome for _, outcome in sorted((each for part in parts for each in part), key=lambda each: each[0])]
    if not checking:
        report(outcomes, checks, keeping=keeping)
    new = [key for head, key in survivors(outcomes) if key not in explanations() and head not in listed]
    print(f"{len(outcomes)} changes, {perf_counter() - start:.0f} s; new survivors that nothing explains: {', '.join(new) or 'none'}")
    sys.exit(1 if new else 0)


if __name__ == "__main__":
    main()
