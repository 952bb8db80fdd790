"""Measure the shape of a checkout, before and after: python tests/measure_house.py CHECKOUT [CHECKOUT ...] [--tests]

Prints the table of DEVELOPERS.md, a column for each checkout. The formulas are counted by planning every example, test and published
site of the checkout with its own code; ``--tests`` also runs its tests (some minutes). Not collected by pytest.
"""

import argparse
import ast
import os
import resource
import subprocess
import sys
from collections import Counter, defaultdict
from functools import cache
from pathlib import Path
from statistics import median
from time import perf_counter

MANY_PARAMETERS = 7
FREE_FOLDERS = ("mechanics", "cli")
"""A formula has the arguments that it has, and a command the options that it has."""
TRACE = """
import inspect, sys
from methodpick.engine.load import load_rulebook
from methodpick.imports.site_file import read_site
from methodpick.mechanics import registry
from methodpick.plan.pipeline import plan
from pathlib import Path

try:
    from methodpick.mechanics.catalogue import all_formulas
except ImportError:
    all_formulas = registry.all_formulas
all_formulas()
codes = {inspect.unwrap(record.call).__code__: name for name, record in registry.REGISTRY.items()}
reached = set()
def watch(frame, event, _):
    if event == "call" and frame.f_code in codes:
        reached.add(codes[frame.f_code])
book = load_rulebook(Path("rules"))
sites = [*Path("profiles").glob("*.yaml"), *Path("tests/sites").glob("*.yaml"), *Path("tests/published/cases").glob("*.yaml")]
for path in sites:
    if path.name != "built.yaml":
        site = read_site(path)[0]
        sys.setprofile(watch)
        plan(site, book)
        sys.setprofile(None)
print(len(registry.REGISTRY), len(reached))
"""


def module_name(path, top):
    """Return the dotted name of a module by its path below a folder."""
    parts = path.relative_to(top).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def sources(top):
    """Return the modules of the package by their dotted names, as (path, tree)."""
    paths = (path for path in sorted((top / "methodpick").rglob("*.py")) if "_data" not in path.parts)
    return {module_name(path, top): (path, ast.parse(path.read_text(encoding="utf-8"))) for path in paths}


@cache
def nodes(tree):
    """Return all nodes of a tree, found once for all who look through it."""
    return tuple(ast.walk(tree))


def imports(modules):
    """Return for every module the modules of the package that it imports anywhere, also for types only and inside functions."""
    graph = {}
    for name, (_, tree) in modules.items():
        met = set()
        for node in nodes(tree):
            if isinstance(node, ast.Import):
                met |= {alias.name for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                met |= {f"{node.module}.{alias.name}" if f"{node.module}.{alias.name}" in modules else node.module for alias in node.names}
        graph[name] = (met & modules.keys()) - {name}
    return graph


def circles(graph):
    """Return the groups of modules that reach each other, each sorted."""
    reach = {}
    for start in graph:
        seen, queue = set(), [start]
        while queue:
            for following in graph[queue.pop()] - seen:
                seen.add(following)
                queue.append(following)
        reach[start] = seen
    groups = {tuple(sorted({name, *(other for other in reach[name] if name in reach[other])})) for name in graph if name in reach[name]}
    return sorted(groups)


def functions(tree):
    """Return the functions of a tree, those of classes and those inside others included."""
    return [node for node in nodes(tree) if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef))]


def parameters(function):
    """Count the parameters of a function, ``self`` and ``cls`` left out."""
    given = function.args
    named = [argument.arg for argument in (*given.posonlyargs, *given.args, *given.kwonlyargs) if argument.arg not in {"self", "cls"}]
    return len(named) + (given.vararg is not None) + (given.kwarg is not None)


def type_names(tree):
    """Return the names of types that a module defines: classes, and aliases written like them."""
    names = [node.name for node in tree.body if isinstance(node, ast.ClassDef)]
    for node in tree.body:
        if isinstance(node, ast.Assign) and len(node.targets) == 1 and isinstance(node.targets[0], ast.Name):
            name = node.targets[0].id
            if name[:1].isupper() and not name.isupper() and isinstance(node.value, (ast.Subscript, ast.BinOp, ast.Name)):
                names.append(name)
    return names


def first_words(modules):
    """Count the first words of the docstrings of functions."""
    words = Counter()
    for _, tree in modules.values():
        for function in functions(tree):
            if text := ast.get_docstring(function):
                words[text.split()[0].strip(".,:;")] += 1
    return words


def reached_formulas(top):
    """Return how many formulas are registered and how many of them planning calls, found with the checkout's own code."""
    done = subprocess.run(
        [sys.executable, "-c", TRACE], cwd=top, env={**os.environ, "PYTHONPATH": str(top)}, capture_output=True, text=True, check=False
    )
    return done.stdout.strip().replace(" ", " / ") or f"not found: {done.stderr.strip().splitlines()[-1]}"


def test_time(top):
    """Run the tests of a checkout; return wall time, processor time and the last line that pytest printed."""
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider"],
        cwd=top,
        env={**os.environ, "PYTHONPATH": str(top)},
        capture_output=True,
        text=True,
        check=False,
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    work = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return f"{perf_counter() - start:.0f} s, processor {work:.0f} s ({done.stdout.strip().splitlines()[-1].strip('= ')})"


def measure(top, *, tests=False):
    """Return the rows of the table for a checkout, by their names."""
    modules = sources(top)
    lines = {name: path.read_text(encoding="utf-8").count("\n") for name, (path, _) in modules.items()}
    longest = max(lines, key=lines.get)
    graph = imports(modules)
    importers = Counter(met for found in graph.values() for met in found)
    plain = [name for name, (path, _) in modules.items() if path.stem not in {"__init__", "__main__"}]
    many = [
        path.relative_to(top).parts[1] in FREE_FOLDERS
        for path, tree in modules.values()
        for function in functions(tree)
        if parameters(function) >= MANY_PARAMETERS
    ]
    where = defaultdict(set)
    for name, (_, tree) in modules.items():
        for kind in type_names(tree):
            where[kind].add(name)
    twice = {kind: len(names) for kind, names in where.items() if len(names) > 1 and not kind.startswith("_")}
    words = first_words(modules)
    long = max((function.end_lineno - function.lineno + 1, function.name) for _, tree in modules.values() for function in functions(tree))
    rows = {
        "files": str(len(modules)),
        "of them outside plan/checks and longer than a line": str(sum(lines[name] > 1 and "plan.checks" not in name for name in modules)),
        "of them 60 lines or fewer": str(sum(1 for name in plain if lines[name] <= 60)),
        "lines": str(sum(lines.values())),
        "median file, lines": f"{median(lines.values()):.0f}",
        "longest file": f"{lines[longest]} ({modules[longest][0].relative_to(top / 'methodpick')})",
        "longest function": f"{long[0]} ({long[1]})",
        f"functions with {MANY_PARAMETERS} or more parameters": f"{len(many)} ({many.count(False)} outside {' and '.join(FREE_FOLDERS)})",
        "circles of imports": "; ".join(", ".join(name.removeprefix("methodpick.") for name in group) for group in circles(graph)) or "0",
        "modules with one importer": str(sum(1 for name in plain if importers[name] == 1)),
        "formulas registered / reached by planning": reached_formulas(top),
        "type names defined more than once": f"{len(twice)} ({', '.join(f'{kind} {n}' for kind, n in Counter(twice).most_common(5))})",
        "first words of docstrings": ", ".join(f"{word} {100 * n / words.total():.0f} %" for word, n in words.most_common(6)),
    }
    return rows | ({"tests": test_time(top)} if tests else {})


def main():
    """Print the table."""
    reader = argparse.ArgumentParser(description="Measure the shape of checkouts.")
    reader.add_argument("checkouts", nargs="+", type=Path)
    reader.add_argument("--tests", action="store_true", help="run the tests of each as well")
    asked = reader.parse_args()
    columns = [measure(top.resolve(), tests=asked.tests) for top in asked.checkouts]
    print("| what | " + " | ".join(top.name for top in asked.checkouts) + " |")
    print("|---|" + "---|" * len(columns))
    for name in columns[0]:
        print(f"| {name} | " + " | ".join(column[name] for column in columns) + " |")


if __name__ == "__main__":
    main()
