"""Count how often relations are violated: ``python tests/generated/count_violations.py COUNT [RELATION ...] [--seed N]``.

Each relation is tried on the sites of a series; printed are violated and tried, then the numbers of violating sites with the first thing
that was found, for ``minimise.py``.
"""

from __future__ import annotations

import argparse
import os
import traceback
from multiprocessing import Pool

from minimise import drawn
from relations import RELATIONS


def tried(argument: tuple[str, int, int]) -> tuple[str, int, list[str] | None]:
    """Try a relation on a site; gives None where the change does not apply."""
    name, seed, number = argument
    tree, particulars = drawn(RELATIONS[name], seed, number)
    if particulars is None:
        return name, number, None
    try:
        return name, number, RELATIONS[name].violations(tree, particulars)
    except Exception:  # noqa: BLE001 (an uncaught exception is a violation of every relation)
        return name, number, [traceback.format_exc().strip().splitlines()[-1]]


def main() -> None:
    """Try and count."""
    asked = argparse.ArgumentParser(description="Count how often relations are violated.")
    asked.add_argument("count", type=int)
    asked.add_argument("names", nargs="*", default=[], choices=[*RELATIONS, []], metavar="RELATION")
    asked.add_argument("--seed", type=int, default=7)
    asked.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    options = asked.parse_args()
    names = options.names or list(RELATIONS)
    found: dict[str, dict[int, list[str]]] = {name: {} for name in names}
    with Pool(options.processes) as pool:
        tasks = [(name, options.seed, number) for number in range(options.count) for name in names]
        for name, number, violations in pool.imap(tried, tasks, chunksize=8):
            if violations is not None:
                found[name][number] = violations
    for name, sites in found.items():
        violated = {number: texts for number, texts in sites.items() if texts}
        print(f"{name}: {len(violated)} of {len(sites)}")
        for number, texts in violated.items():
            print(f"    {number}: {texts[0][:200]}")


if __name__ == "__main__":
    main()
