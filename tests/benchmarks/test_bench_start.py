"""Whole processes against a floor: a process that imports typer, pydantic, rich and yaml alone. Time of the processor, not of the clock.

Rounds take turns, so that what else the machine does meets all alike, and the least of them counts. ``METHODPICK_BEFORE`` names another
checkout, whose commands are measured in the same rounds. Needs a system that counts the time of children.
"""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from methodpick.resources import folder

resource = pytest.importorskip("resource")
TOP = Path(__file__).parents[2]
FLOOR = ("-c", "import typer, pydantic, rich.console, rich.table, yaml")
COMMANDS = {
    "--help": ("--help",),
    "plan of a thin log": ("plan", str(TOP / "tests" / "sites" / "stiff-clay-thin.yaml")),
    "plan of the caving lens": ("plan", str(folder("profiles") / "caving-lens.yaml")),
    "check of the caving lens": ("check", str(folder("profiles") / "caving-lens.yaml")),
}
ROUNDS = int(os.environ.get("METHODPICK_ROUNDS", "15"))


def seconds_of(words, checkout, cache):
    """Return the time of the processor that a process takes, that of its modules' compilation aside: they are compiled already."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    environment |= {"PYTHONPATH": str(checkout), "METHODPICK_CACHE": str(cache), "PYTHONPYCACHEPREFIX": str(cache / "compiled")}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, *words], cwd=checkout, env=environment, stdout=subprocess.DEVNULL, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def test_processes_over_the_import_floor(benchmark, capsys, tmp_path):
    checkouts = {"now": TOP} | ({"before": Path(os.environ["METHODPICK_BEFORE"])} if "METHODPICK_BEFORE" in os.environ else {})
    runs = {("floor", "now"): (FLOOR, TOP)}
    runs |= {(name, when): (("-m", "methodpick", *words), top) for name, words in COMMANDS.items() for when, top in checkouts.items()}
    for _, checkout in runs.values():
        (tmp_path / checkout.name).mkdir(mode=0o700, exist_ok=True)
    found = {key: [] for key in runs}

    def a_round():
        for key, (words, checkout) in runs.items():
            found[key].append(seconds_of(words, checkout, tmp_path / checkout.name))

    a_round()  # writes the compiled modules and the kept rulebook
    found = {key: [] for key in runs}
    benchmark.pedantic(a_round, rounds=ROUNDS)
    least = {key: min(times) for key, times in found.items()}
    floor = least["floor", "now"]
    with capsys.disabled():
        print(f"\n{'floor':28}{1000 * floor:7.0f} ms")
        for name in COMMANDS:
            parts = [f"{when} {1000 * least[name, when]:5.0f} ms, {least[name, when] / floor:4.2f} times the floor" for when in checkouts]
            print(f"{name:28}{'; '.join(parts)}")
    benchmark.extra_info |= {f"{name}, {when}, over the floor": seconds / floor for (name, when), seconds in least.items()}
