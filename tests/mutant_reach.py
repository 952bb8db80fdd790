"""Which tests may notice a mutant: those during which its expression has at least once another value than the original.

Every group of tests runs once, by itself, over a scratch copy in which each place of a mutant works out both values, goes on with the
original, and notes where the two differ. A group that never sees a difference cannot fail, so that the mutant need not be tried on it.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

PYTEST = ["-m", "pytest", "-q", "-x", "-n", "0", "-p", "no:cacheprovider", "--no-header", "--tb", "no"]
NOTE = "METHODPICK_MUTANTS_SEEN"
"""Names the file that takes the numbers of the mutants seen."""
ACTIVE = "METHODPICK_MUTANT"
"""Holds the number of the mutant that is switched on."""
PROBE = f"""
def _install():
    import atexit, builtins, json, os
    seen, note = set(), os.environ.get("{NOTE}")
    active = [int(os.environ.get("{ACTIVE}", "-1"))]
    def probe(number, original, mutant):
        if number == active[0]:
            return mutant()
        value = original()
        if number not in seen:
            try:
                other = mutant()
                same = type(value) is type(other) and (value == other) is True
            except Exception:
                same = False
            if not same:
                seen.add(number)
        return value
    def write():
        if note:
            with open(note, "a") as file:
                file.write(json.dumps(sorted(seen)) + "\\n")
    builtins.mutant_probe, builtins.mutant_active = probe, active
    atexit.register(write)
_install()
"""


@dataclass(frozen=True)
class Group:
    """Tests that run together: their files, their seconds, and the numbers of the mutants that they may notice."""

    files: tuple[str, ...]
    seconds: float
    sees: frozenset[int]


def groups(home: Path, folders: list[str]) -> list[tuple[str, ...]]:
    """List test files by what runs together: those of an inner folder, each of the others by itself."""
    found: dict[str, list[str]] = {}
    for folder in folders:
        path = home / folder
        for file in [path] if path.is_file() else sorted(path.rglob("test_*.py")):
            name = file.relative_to(home).as_posix()
            inner = len(name.split("/")) > 3
            found.setdefault(str(Path(name).parent) if inner else name, []).append(name)
    return [tuple(files) for files in found.values()]


def with_probes(data: bytes, places: list[tuple[int, tuple[int, int], str]]) -> bytes:
    """Put probes into the text of a module: ``places`` are numbers, spans in bytes and texts of mutants, none inside another."""
    for number, (start, end), becomes in sorted(places, key=lambda place: place[1], reverse=True):
        original = data[start:end].decode()
        data = data[:start] + f"mutant_probe({number}, lambda: ({original}), lambda: ({becomes}))".encode() + data[end:]
    return data


def inner_places(places: list[tuple[int, tuple[int, int], str]]) -> dict[int, int]:
    """Return the numbers of places that stand inside another place, each with that of the other."""
    return {
        number: other
        for number, (start, end), _ in places
        for other, (top, base), _ in places
        if number != other and top <= start and end <= base and (top, base) != (start, end)
    }


def seen_by(home: Path, files: tuple[str, ...], note: Path) -> Group:
    """Run some test files over a copy with probes. Raises RuntimeError where one fails."""
    note.write_text("", encoding="utf-8")
    env = {**os.environ, "PYTHONPATH": str(home), "PYTHONDONTWRITEBYTECODE": "1", NOTE: str(note)}
    start = os.times()
    done = subprocess.run([sys.executable, *PYTEST, *files], cwd=home, env=env, capture_output=True, text=True, check=False)
    end = os.times()
    if done.returncode not in {0, 5}:  # 5: all of its tests are left to .ci/run
        raise RuntimeError(f"{files[0]} fails without any change:\n{done.stdout[-2000:]}{done.stderr[-2000:]}")
    lines = note.read_text(encoding="utf-8").splitlines()
    sees = frozenset(number for line in lines for number in json.loads(line))
    return Group(files, end.children_user - start.children_user, sees)


def all_seen(home: Path, folders: list[str], note: Path, store: Path | None = None) -> list[Group]:
    """Run all groups of some folders, or read what an earlier run stored."""
    if store is not None and store.exists():
        rows = json.loads(store.read_text(encoding="utf-8"))
        return [Group(tuple(row["files"]), row["seconds"], frozenset(row["sees"])) for row in rows]
    found = []
    for files in groups(home, folders):
        found.append(seen_by(home, files, note))
        print(f"{files[0]}: {len(files)} files, {found[-1].seconds:.1f} s, sees {len(found[-1].sees)} mutants", flush=True)
        if store is not None:
            rows = [{"files": each.files, "seconds": each.seconds, "sees": sorted(each.sees)} for each in found]
            store.with_suffix(".part").write_text(json.dumps(rows), encoding="utf-8")
    if store is not None:
        store.with_suffix(".part").rename(store)
    return found
