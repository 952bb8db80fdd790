"""Mutation testing of the planner: ``python tests/mutate_planner.py list`` draws mutants, ``... run`` tries the tests on them.

A mutant is one changed place in ``methodpick/plan``, ``facts`` or ``site``: a bound (< to <=), min for max, a term left out of a sum, a
constant times 1.1 or with the other sign, and for or, a dropped not. ``list`` draws them with a committed seed and writes
``tests/generated/MUTANTS.md`` before anything is run. A mutant is known by the name of its function and its source text, so that it is
found again when files move or lines shift. ``run`` first finds out which tests may notice which mutant (``mutant_reach.py``); then it puts
each into a scratch copy of the tree and runs the doctests of its file and those tests, the shortest first, until one fails. Its results go
into the same table; ``run --again`` forgets earlier ones, ``--survivors`` only those of survivors. A mutant that is not found any more is
"gone", and ``renew`` draws another of its kind for it; one that no test may notice has "survived, unseen".
"""

from __future__ import annotations

import argparse
import ast
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random

from mutant_reach import ACTIVE, PROBE, PYTEST, Group, all_seen, inner_places, with_probes
from warm_pytest import tried_warm, warm_up

TOP = Path(__file__).parents[1]
TABLE = Path(__file__).parent / "generated" / "MUTANTS.md"
PARTS = ("methodpick/plan", "methodpick/facts", "methodpick/site")
TESTS = ("tests/facts", "tests/plan", "tests/site", "tests/laws", "tests/review", "tests/tables", "tests/published", "tests/rulebook")
SEED, COUNT = 2026, 100
SHARES = {"bound": 20, "min or max": 15, "term": 20, "constant": 20, "and or or": 15, "not": 10}
"""How many mutants of each kind there are among a hundred; what one kind lacks comes from the others."""
BOUNDS = {ast.Lt: "<=", ast.LtE: "<", ast.Gt: ">=", ast.GtE: ">"}
SMALLEST = 1e-3
"""Smaller constants are tolerances; a tenth more of one is no mutant."""
COLUMNS = ("no", "file", "line", "function", "kind", "source", "place", "becomes", "result")


@dataclass(frozen=True)
class Mutant:
    """A changed place: where it stands, its source text, which of several alike in the function, what it becomes."""

    file: str
    line: int
    function: str
    kind: str
    source: str
    place: int
    becomes: str
    result: str = ""
    span: tuple[int, int] = (0, 0)

    @property
    def key(self) -> tuple[str, str, str, int, str]:
        return self.function, self.kind, self.source, self.place, self.becomes


# ---- finding


def mutants_in(path: Path, file: str) -> Iterator[Mutant]:
    """Give every mutant of a file, in the order of its text."""
    text = path.read_text(encoding="utf-8")
    lines = [0]
    for line in text.splitlines(keepends=True):
        lines.append(lines[-1] + len(line.encode()))
    data = text.encode()
    for function, node in _functions(ast.parse(text)):
        seen: dict[tuple[str, str, str], int] = {}
        reckoned = {id(side) for one in ast.walk(node) if isinstance(one, ast.BinOp) for side in (one.left, one.right)}
        for inner in _inside(node):
            if isinstance(inner, ast.Constant) and type(inner.value) is int and id(inner) not in reckoned:
                continue  # a number, a digit, an index: not a quantity
            span = lines[inner.lineno - 1] + inner.col_offset, lines[inner.end_lineno - 1] + inner.end_col_offset
            source = data[slice(*span)].decode()
            for kind, becomes in _changes(inner, source):
                shown = (kind, _flat(source), _flat(becomes))
                seen[shown] = place = seen.get(shown, 0) + 1
                yield Mutant(file, inner.lineno, function, kind, shown[1], place, shown[2], span=span)


def _flat(text: str) -> str:
    return re.sub(r"\s+", " ", text)


def _functions(tree: ast.AST, owner: str = "") -> Iterator[tuple[str, ast.AST]]:
    """Give the functions and methods of a file with their names; those inside functions belong to the outer one."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            yield f"{owner}{node.name}", node
        elif isinstance(node, ast.ClassDef):
            yield from _functions(node, f"{owner}{node.name}.")


def _inside(function: ast.AST) -> Iterator[ast.expr]:
    """Give the expressions of a function's body that may change: no annotation, index, digits of rounding or text."""
    stack: list[ast.AST] = list(reversed(function.body))
    while stack:
        node = stack.pop()
        if isinstance(node, ast.expr):
            yield node
        children = list(ast.iter_child_nodes(node))
        if isinstance(node, ast.Subscript):
            children = [node.value]
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "round":
            children = node.args[:1]
        elif isinstance(node, ast.AnnAssign):
            children = [node.value] if node.value else []
        elif isinstance(node, (ast.JoinedStr, ast.arguments)):
            children = []
        stack += reversed(children)


def _changes(node: ast.expr, source: str) -> Iterator[tuple[str, str]]:
    """Give what an expression may become, by kind."""
    if isinstance(node, ast.Compare) and len(node.ops) == 1 and type(node.ops[0]) in BOUNDS:
        new = BOUNDS[type(node.ops[0])]
        left, right = _parts(node.left, node.comparators[0])
        yield "bound", f"{left} {new} {right}"
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("min", "max"):
        yield "min or max", ("max" if node.func.id == "min" else "min") + source[3:]
    if isinstance(node, ast.BinOp) and isinstance(node.op, (ast.Add, ast.Sub)) and not _is_text(node):
        left, right = _parts(node.left, node.right)
        yield "term", left
        if isinstance(node.op, ast.Add):
            yield "term", right
    if isinstance(node, ast.Constant) and type(node.value) in (int, float) and abs(node.value) > SMALLEST:
        yield "constant", repr(round(node.value * 1.1, 9))
        yield "constant", f"(-{source})"
    if isinstance(node, ast.BoolOp):
        parts = _parts(*node.values)
        word = " or " if isinstance(node.op, ast.And) else " and "
        yield "and or or", f"({word.join(parts)})"
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield "not", f"({_parts(node.operand)[0]})"


def _parts(*inner: ast.expr) -> list[str]:
    """Write parts of an expression anew, each safe beside an operator."""
    return [
        f"({ast.unparse(one)})" if isinstance(one, (ast.BoolOp, ast.IfExp, ast.Compare, ast.Lambda)) else ast.unparse(one) for one in inner
    ]


def _is_text(node: ast.AST) -> bool:
    """Tell whether an addition joins texts or lists."""
    return any(
        isinstance(one, (ast.JoinedStr, ast.List, ast.Tuple, ast.ListComp))
        or (isinstance(one, ast.Constant) and isinstance(one.value, str))
        for one in ast.walk(node)
    )


def all_mutants(top: Path) -> list[Mutant]:
    paths = [path for part in PARTS for path in sorted((top / part).rglob("*.py"))]
    return [one for path in paths for one in mutants_in(path, path.relative_to(top).as_posix())]


def drawn(found: list[Mutant], seed: int = SEED, count: int = COUNT) -> list[Mutant]:
    """Draw mutants by kind, no two in one expression."""
    rng, chosen, places = Random(seed), [], set()  # noqa: S311 (no secret)
    quotas = [(kind, round(count * share / 100)) for kind, share in SHARES.items()]
    for kind, quota in [*quotas, (None, count)]:
        pool = [one for one in found if kind in (None, one.kind)]
        rng.shuffle(pool)
        wanted = min(len(chosen) + quota, count)
        for one in pool:
            if len(chosen) < wanted and (one.file, one.span) not in places:
                chosen.append(one)
                places.add((one.file, one.span))
    return sorted(chosen, key=lambda one: (one.file, one.span, one.becomes))


# ---- the table


def written(mutants: list[Mutant], said: str) -> str:
    """Write the table with a head."""
    done = [one for one in mutants if one.result]
    killed, gone = (sum(one.result.startswith(word) for one in done) for word in ("killed", "gone"))
    counts = (
        f"{len(mutants)} mutants, {killed} killed, {len(done) - killed - gone} survive, {gone} gone, {len(mutants) - len(done)} not run."
    )
    lines = ["# Mutants of the planner", "", said, "", counts, "", f"| {' | '.join(COLUMNS)} |", "|---" * len(COLUMNS) + "|"]
    for number, one in enumerate(mutants, 1):
        cells = (number, one.file, one.line, one.function, one.kind, f"`{one.source}`", one.place, f"`{one.becomes}`", one.result)
        lines.append(f"| {' | '.join(str(cell).replace('|', chr(92) + '|') for cell in cells)} |")
    return "\n".join(lines) + "\n"


def renewed(mutants: list[Mutant], now: list[Mutant], seed: int = SEED) -> list[Mutant]:
    """Return mutants with those that are not found any more replaced by others of their kind, drawn from the code as it is."""
    rng, places = Random(seed), {(one.file, one.source) for one in mutants}  # noqa: S311 (no secret)
    kept = []
    for mutant in mutants:
        kept.append(mutant)
        if found_again(mutant, now) is None:
            kept[-1] = rng.choice([one for one in now if one.kind == mutant.kind and (one.file, one.source) not in places])
            places.add((kept[-1].file, kept[-1].source))
    return kept


def read_table(text: str) -> list[Mutant]:
    found = []
    for line in text.splitlines():
        cells = [cell.strip().replace("\\|", "|") for cell in re.split(r"(?<!\\)\|", line)[1:-1]]
        if len(cells) == len(COLUMNS) and cells[0].isdigit():
            row = dict(zip(COLUMNS, cells, strict=True))
            found.append(
                Mutant(
                    row["file"],
                    int(row["line"]),
                    row["function"],
                    row["kind"],
                    row["source"][1:-1],
                    int(row["place"]),
                    row["becomes"][1:-1],
                    row["result"],
                )
            )
    return found


def found_again(mutant: Mutant, now: list[Mutant]) -> Mutant | None:
    """Find a mutant in the code as it is: the same function and text, in its file if it is still there, else in the only other one."""
    same = [one for one in now if one.key == mutant.key]
    here = [one for one in same if one.file == mutant.file]
    if not same:  # the function may have a new name
        same = [one for one in now if one.key[1:3] == mutant.key[1:3] and one.becomes == mutant.becomes]
    chosen = here or same
    return chosen[0] if len(chosen) == 1 or here else None


# ---- running


def tried(mutant: Mutant, home: Path, tests: list[str], seconds: float) -> str:
    """Put a mutant into a scratch copy, run the tests until one fails, and take it out again."""
    path = home / mutant.file
    data = path.read_bytes()
    path.write_bytes(data[: mutant.span[0]] + mutant.becomes.encode() + data[mutant.span[1] :])
    try:
        return outcome(home, tests, seconds)
    finally:
        path.write_bytes(data)


def outcome(home: Path, tests: list[str], seconds: float) -> str:
    command = [sys.executable, *PYTEST, *tests]
    env = {**os.environ, "PYTHONPATH": str(home), "PYTHONDONTWRITEBYTECODE": "1"}
    try:
        done = subprocess.run(command, cwd=home, env=env, capture_output=True, text=True, timeout=seconds, check=False)
    except subprocess.TimeoutExpired:
        return "killed (too long)"
    if done.returncode in {0, 5}:  # 5: nothing was collected
        return "survived"
    first = re.search(r"^(?:FAILED|ERROR) (\S+)", done.stdout, re.MULTILINE)
    return f"killed by {first[1]}" if first else f"killed (exit {done.returncode})"


def run(options: argparse.Namespace) -> None:
    """Try every mutant of the table that has no result yet; the table is written after each."""
    text = TABLE.read_text(encoding="utf-8")
    said, mutants, now = text.split("\n\n")[1], read_table(text), all_mutants(TOP)
    places = [found_again(mutant, now) for mutant in mutants]
    with tempfile.TemporaryDirectory() as scratch:
        home, probed = _copied(Path(scratch) / "tree"), _copied(Path(scratch) / "probed")
        inner = _with_probes(probed, places)
        found = sorted(all_seen(probed, options.tests, Path(scratch) / "seen", options.seen), key=lambda group: group.seconds)
        warm_up(probed, ACTIVE)
        for number, (mutant, place) in enumerate(zip(mutants, places, strict=True)):
            if not (options.again or not mutant.result or (options.survivors and mutant.result.startswith("survived"))):
                continue
            seeing = [file for group in _nearest_first(found, mutant) if inner.get(number, number) in group.sees for file in group.files]
            if place is None:
                result = "gone"
            elif number in inner:
                result = tried(place, home, [*_doctests(place), *seeing], options.seconds)
            else:
                result = tried_warm(number, [*_doctests(place), *seeing], options.seconds, Path(scratch) / "out", ACTIVE)
            if result == "survived" and not seeing:
                result = "survived, unseen"
            there = place or mutant
            mutants[number] = replace(mutant, file=there.file, line=there.line, function=there.function, place=there.place, result=result)
            TABLE.write_text(written(mutants, said), encoding="utf-8")
            print(f"{number + 1}: {there.file} {there.function}: {result}", flush=True)
    print(written(mutants, said).split("\n\n")[2])


def _doctests(place: Mutant) -> list[str]:
    """Return the file of a mutant for its doctests; none of one in which pytest would take a function or a class for a test."""
    text = (TOP / place.file).read_text(encoding="utf-8")
    return [] if re.search(r"^(def test|class Test)", text, re.MULTILINE) else [place.file]


def _nearest_first(found: list[Group], mutant: Mutant) -> list[Group]:
    """Return the groups of tests, those of the folder that mirrors the file of a mutant first, for they are likeliest to notice it."""
    folder = Path(mutant.file).parent.as_posix().replace("methodpick", "tests", 1)
    return sorted(found, key=lambda group: not group.files[0].startswith(folder + "/"))


def _copied(home: Path) -> Path:
    shutil.copytree(TOP, home, ignore=shutil.ignore_patterns(".git", ".venv", "__pycache__", ".hypothesis", ".*_cache"))
    return home


def _with_probes(home: Path, places: list[Mutant | None]) -> dict[int, int]:
    """Put the probes of all mutants into a copy; returns the numbers of those inside another, each with that of the other."""
    inner: dict[int, int] = {}
    for file in {place.file for place in places if place is not None}:
        here = [(number, place.span, place.becomes) for number, place in enumerate(places) if place is not None and place.file == file]
        inner |= inner_places(here)
        path = home / file
        path.write_bytes(with_probes(path.read_bytes(), [place for place in here if place[0] not in inner]))
    package = home / "methodpick" / "__init__.py"
    package.write_text(package.read_text(encoding="utf-8") + PROBE, encoding="utf-8")
    return inner


def main() -> None:
    """Draw the mutants, or try them."""
    asked = argparse.ArgumentParser(description="Mutation testing of the planner.")
    asked.add_argument("what", choices=("list", "renew", "run"))
    asked.add_argument("--seconds", type=float, default=600, help="a mutant whose tests take longer counts as killed")
    asked.add_argument("--again", action="store_true", help="forget the results that the table holds")
    asked.add_argument("--survivors", action="store_true", help="try those again that survived")
    asked.add_argument("--seen", type=Path, help="keep in this file which tests may notice which mutant; read from it where it is there")
    asked.add_argument("tests", nargs="*", default=list(TESTS))
    options = asked.parse_args()
    if options.what == "run":
        run(options)
        return
    found = all_mutants(TOP)
    if options.what == "renew":
        text = TABLE.read_text(encoding="utf-8")
        TABLE.write_text(written(renewed(read_table(text), found), text.split("\n\n")[1]), encoding="utf-8")
        return
    said = f"Drawn with seed {SEED} from {len(found)} in {', '.join(PARTS)} by `python tests/mutate_planner.py list`, before any was tried."
    TABLE.write_text(written(drawn(found), said), encoding="utf-8")


if __name__ == "__main__":
    main()
