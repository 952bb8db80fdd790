"""Which test files run which lines of the package, and how long each takes: every file once, by itself, under coverage.

Kept plans are shared by the tests of a process, so that only a file that runs by itself shows all the lines that it needs.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

from coverage import CoverageData

PYTEST = ["-m", "pytest", "-q", "-x", "-n", "0", "-p", "no:cacheprovider", "--no-header", "--tb", "no"]


@dataclass(frozen=True)
class TestFile:
    """A test file, its seconds by itself, and the lines that it runs by the path of the module."""

    name: str
    seconds: float
    lines: dict[str, frozenset[int]]

    __test__ = False


def test_files(home: Path, folders: list[str]) -> list[str]:
    """List the test files of some folders or files."""
    found = []
    for folder in folders:
        path = home / folder
        found += [path] if path.is_file() else sorted(path.rglob("test_*.py"))
    return [path.relative_to(home).as_posix() for path in found]


def measured(home: Path, name: str, scratch: Path) -> TestFile:
    """Run one test file under coverage. Raises RuntimeError where it fails."""
    data_file = scratch / "coverage"
    data_file.unlink(missing_ok=True)
    env = {**os.environ, "PYTHONPATH": str(home), "PYTHONDONTWRITEBYTECODE": "1"}
    command = [sys.executable, "-m", "coverage", "run", f"--data-file={data_file}", "--source=methodpick", *PYTEST, name]
    start = time.monotonic()
    done = subprocess.run(command, cwd=home, env=env, capture_output=True, text=True, check=False)
    if done.returncode not in {0, 5}:  # 5: all of its tests are left to .ci/run
        raise RuntimeError(f"{name} fails without any change:\n{done.stdout[-2000:]}{done.stderr[-2000:]}")
    seconds = time.monotonic() - start
    data = CoverageData(str(data_file))
    data.read()
    lines = {Path(file).relative_to(home).as_posix(): frozenset(data.lines(file) or ()) for file in data.measured_files()}
    return TestFile(name, seconds, lines)


def all_measured(home: Path, folders: list[str], scratch: Path, store: Path | None = None) -> list[TestFile]:
    """Run all test files of some folders, or read what an earlier run stored."""
    if store is not None and store.exists():
        rows = json.loads(store.read_text(encoding="utf-8"))
        return [TestFile(row["name"], row["seconds"], {file: frozenset(lines) for file, lines in row["lines"].items()}) for row in rows]
    found = []
    for name in test_files(home, folders):
        found.append(measured(home, name, scratch))
        print(f"{name}: {found[-1].seconds:.1f} s", flush=True)
    if store is not None:
        rows = [
            {"name": each.name, "seconds": each.seconds, "lines": {file: sorted(lines) for file, lines in each.lines.items()}}
            for each in found
        ]
        store.write_text(json.dumps(rows), encoding="utf-8")
    return found


def reaching(found: list[TestFile], file: str, lines: range) -> list[str]:
    """Return the test files that run any of some lines of a file: those of its folder first, then the shortest."""
    room = "/".join(file.split("/")[1:-1])
    some = [each for each in found if each.lines.get(file, frozenset()) & frozenset(lines)]
    return [each.name for each in sorted(some, key=lambda each: (not each.name.startswith(f"tests/{room}/"), each.seconds))]
