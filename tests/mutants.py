"""Mutation testing of the mechanics: python tests/mutants.py writes tests/mechanics/MUTANTS.md.

``--check`` writes nothing. It takes about a minute.

Every operator, comparison, constant, default, min, max, root and branch in the body of a formula is changed, one at a
time, by giving the function the changed code in place; then the tests of the formulas run until one fails. A mutant that
no test kills is a survivor and is listed. Not collected by pytest.
"""

import argparse
import ast
import signal
import sys
from copy import deepcopy
from importlib import import_module
from inspect import getsource
from pathlib import Path
from platform import python_version
from types import FunctionType

import pytest

import methodpick.mechanics as package

HERE = Path(__file__).parent
REPORT = HERE / "mechanics" / "MUTANTS.md"
SUITES = [
    *(path for path in sorted((HERE / "published").glob("test_*.py")) if path.stem != "test_cases"),  # whole plans are too slow here
    HERE / "mechanics" / "test_registry.py",
    HERE / "laws" / "test_mechanics_laws.py",
]
MOST_SECONDS = 10
"""A mutant that never ends counts as killed."""
EXPLAINED = HERE / "mechanics" / "survivors.txt"
SWAPS = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.Pow: ast.Mult}
ORDER = {ast.Lt: ast.GtE, ast.LtE: ast.Gt, ast.Gt: ast.LtE, ast.GtE: ast.Lt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq}
CALLS = {"min": "max", "max": "min", "sqrt": "abs", "log": "log10", "log10": "log", "sin": "cos", "tan": "sin", "exp": "abs"}


class Change(ast.NodeTransformer):
    """Makes the n-th change that a tree allows; ``said`` tells which, None where there are fewer."""

    def __init__(self, number):
        self.left, self.said = number, None

    def due(self, said):
        self.left -= 1
        if self.left == -1:
            self.said = said
            return True
        return False

    def visit_BinOp(self, node):
        self.generic_visit(node)
        new = SWAPS.get(type(node.op))
        if new and self.due(f"line {node.lineno}: {type(node.op).__name__} becomes {new.__name__}"):
            node.op = new()
        return node

    def visit_Compare(self, node):
        self.generic_visit(node)
        new = ORDER.get(type(node.ops[0]))
        if new and self.due(f"line {node.lineno}: {type(node.ops[0]).__name__} becomes {new.__name__}"):
            node.ops[0] = new()
        return node

    def visit_Constant(self, node):
        if (
            isinstance(node.value, (int, float))
            and not isinstance(node.value, bool)
            and self.due(f"line {node.lineno}: {node.value:g} becomes {changed(node.value):g}")
        ):
            return ast.copy_location(ast.Constant(changed(node.value)), node)
        return node

    def visit_Call(self, node):
        self.generic_visit(node)
        name = node.func.id if isinstance(node.func, ast.Name) else ""
        if name in CALLS and self.due(f"line {node.lineno}: {name} becomes {CALLS[name]}"):
            node.func.id = CALLS[name]
        return node

    def visit_IfExp(self, node):
        self.generic_visit(node)
        if self.due(f"line {node.lineno}: the branches change places"):
            node.body, node.orelse = node.orelse, node.body
        return node

    def visit_UnaryOp(self, node):
        self.generic_visit(node)
        if isinstance(node.op, ast.USub) and self.due(f"line {node.lineno}: the minus goes"):
            return node.operand
        return node


def too_long(*_):
    raise TimeoutError(f"a test ran longer than {MOST_SECONDS} s")


def changed(value):
    return value + 1 if isinstance(value, int) or value == 0 else value * 1.1


def mutants():
    """Give (module, function name, what changed, changed function) for every change of every function."""
    for path in sorted(Path(package.__path__[0]).glob("*.py")):
        module = import_module(f"methodpick.mechanics.{path.stem}") if path.stem != "__init__" else None
        if module is None or path.stem == "registry":
            continue
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef):
                node.decorator_list = []
                yield from of_function(module, node)


def of_function(module, node):
    number = 0
    while True:
        tree = deepcopy(node)
        change = Change(number)
        if isinstance(tree.body[0], ast.Expr) and isinstance(tree.body[0].value, ast.Constant):
            tree.body = tree.body[1:]
        change.visit(tree)
        if change.said is None:
            return
        names = dict(module.__dict__) | {
            "abs": abs,
            "cos": __import__("math").cos,
            "sin": __import__("math").sin,
            "log": __import__("math").log,
            "log10": __import__("math").log10,
        }
        exec(compile(ast.fix_missing_locations(ast.Module([tree], [])), module.__file__, "exec"), names)  # noqa: S102
        yield module, node.name, change.said, names[node.name]
        number += 1


class Loop:
    """Collects the tests once, then runs them against every mutant until one fails."""

    def __init__(self):
        self.failed, self.first, self.outcomes = False, "", []

    def pytest_configure(self):
        from hypothesis import settings

        settings.register_profile("mutants", derandomize=True, max_examples=15, database=None, deadline=None)
        settings.load_profile("mutants")

    def pytest_runtest_logreport(self, report):
        if report.failed and not self.failed:
            self.failed, self.first = True, report.longreprtext[-800:]

    def pytest_runtestloop(self, session):
        items = session.items
        for _ in range(2):  # the second time proves that running a test again is no failure of its own
            self.passes(session, items)
            if self.failed:
                sys.exit(f"the tests fail without any change:\n{self.first}")
        killers, sources = {}, {item.function: getsource(item.function) for item in items}
        for module, name, said, new in mutants():
            mine = killers.setdefault(name, [])
            rest = sorted((item for item in items if item not in mine), key=lambda item: name not in item.name + sources[item.function])
            killed = self.killed(session, mine + rest, module, name, new)
            if killed is not None and killed not in mine:
                mine.append(killed)
            self.outcomes.append((module.__name__.rpartition(".")[2], name, said, killed is not None))
        return True

    def killed(self, session, items, module, name, new):
        function = getattr(module, name)
        assert isinstance(function, FunctionType)
        code, defaults = function.__code__, function.__defaults__
        missing = {key: new.__globals__[key] for key in ("cos", "sin", "log", "log10") if key not in module.__dict__}
        module.__dict__.update(missing)
        function.__code__, function.__defaults__ = new.__code__, new.__defaults__
        signal.signal(signal.SIGALRM, too_long)
        try:
            for item in items:
                signal.alarm(MOST_SECONDS)
                self.passes(session, [item])
                if self.failed:
                    return item
        finally:
            signal.alarm(0)
            function.__code__, function.__defaults__ = code, defaults
            for key in missing:
                del module.__dict__[key]
        return None

    def passes(self, session, items):
        self.failed = False
        for item in items:
            item._initrequest()
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=None)
            if self.failed or session.shouldstop:
                return


def report(outcomes, *, checking):
    reasons = (
        dict(line.split(" | ", 1) for line in EXPLAINED.read_text(encoding="utf-8").splitlines() if " | " in line)
        if EXPLAINED.exists()
        else {}
    )
    alive = [one for one in outcomes if not one[3]]
    share = 100 * (len(outcomes) - len(alive)) / len(outcomes)
    lines = [
        "# Mutants of the mechanics",
        "",
        (
            f"`python tests/mutants.py`, Python {python_version()}, pytest {pytest.__version__}: "
            f"{len(outcomes)} mutants, {len(outcomes) - len(alive)} killed ({share:.1f} %), {len(alive)} survive."
        ),
        "",
        "| module | mutants | killed |",
        "|---|---|---|",
    ]
    for module in sorted({one[0] for one in outcomes}):
        mine = [one for one in outcomes if one[0] == module]
        lines.append(f"| {module} | {len(mine)} | {sum(one[3] for one in mine)} |")
    lines += ["", "## Survivors", "", "| function | change | why it lives |", "|---|---|---|"]
    for module, name, said, _ in alive:
        why = reasons.get(f"{name}: {said.partition(': ')[2]}", "not explained yet")
        lines.append(f"| {module}.{name} | {said} | {why} |")
    if not checking:
        REPORT.write_text("\n".join(lines) + "\n", encoding="utf-8")
    sys.stdout.write("\n".join(lines) + "\n")
    return any(line.endswith("| not explained yet |") for line in lines)


def main():
    reader = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    reader.add_argument("--check", action="store_true", help="write no report")
    asked = reader.parse_args()
    loop = Loop()
    pytest.main(["-p", "no:terminal", "-p", "no:cacheprovider", "-o", "addopts=--import-mode=importlib", *map(str, SUITES)], plugins=[loop])
    sys.exit(report(loop.outcomes, checking=asked.check))


if __name__ == "__main__":
    main()
