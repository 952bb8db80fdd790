"""Runs tests with one mutant switched on, in a child of a process that has imported all that they need."""

from __future__ import annotations

import builtins
import os
import re
import resource
import signal
import sys
import traceback
from importlib import import_module
from pathlib import Path

ARGUMENTS = [
    "-q",
    "-x",
    "-n",
    "0",
    "-p",
    "no:cacheprovider",
    "--no-header",
    "--tb",
    "no",
    "-W",
    "ignore::pytest.PytestAssertRewriteWarning",
]
IMPORTED = (
    "pytest",
    "hypothesis",
    "methodpick.plan.pipeline",
    "methodpick.site.site_takeoff",
    "methodpick.review.verify",
    "methodpick.formats.json",
)

BROKEN = 99
"""How a child ends in which pytest itself does not run."""
MOST_BYTES = 8 * 1024**3
"""Memory that a child may take: a mutant whose list grows without end fails a test then, and not the machine."""
NOT_FOUND = "file or directory not found"
"""What pytest says of a test file that is not there: no mutant is killed by that."""


def warm_up(home: Path, active: str) -> None:
    """Import the package from a copy with probes, and read the shipped rulebook; ``active`` names the variable that holds the mutant."""
    os.environ[active] = "-1"
    os.chdir(home)
    sys.path[:0] = [str(home), str(home / "tests")]
    for name in IMPORTED:
        import_module(name)
    import_module("shipped").shipped_rulebook()


def tried_warm(number: int, files: list[str], seconds: float, out: Path, active: str) -> str:
    """Run test files with a mutant switched on until one fails; returns what came of it. ``seconds`` are those of the processor."""
    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (int(seconds), int(seconds) + 5))
        resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
        _run(number, files, out, active)
    _, status = os.waitpid(child, 0)
    code = os.waitstatus_to_exitcode(status)
    return "killed (too long)" if code == -signal.SIGXCPU else _result(code, out)


def _run(number: int, files: list[str], out: Path, active: str) -> None:
    os.environ[active] = str(number)
    builtins.mutant_active[0] = number
    with out.open("w") as file:
        os.dup2(file.fileno(), 1)
        os.dup2(file.fileno(), 2)
        code = BROKEN
        try:
            code = int(import_module("pytest").main([*ARGUMENTS, *files]))
        except BaseException:  # noqa: BLE001 (whatever it is, the parent says it)
            traceback.print_exc()
        finally:
            sys.stdout.flush()
            sys.stderr.flush()
            os._exit(code)


def _result(code: int, out: Path) -> str:
    said = out.read_text(encoding="utf-8", errors="replace")
    if code == BROKEN or NOT_FOUND in said:
        raise RuntimeError(said)
    if code in {0, 5}:  # 5: nothing was collected
        return "survived"
    first = re.search(r"^(?:FAILED|ERROR) (\S+)", said, re.MULTILINE)
    return f"killed by {first[1]}" if first else f"killed (exit {code})"
