"""Plan borings and print what stands dry in poor ground below water, and which decisions changed since an earlier run.

``python tests/generated/decisions.py [--field FOLDER] [--json FILE] [--against FILE]``. Planned are the profiles, the published cases and,
with ``--field``, every boring of 6 m or more of the AGS and DIGGS files of a folder, with a shaft of 1.2 m. A length is poor where rock,
weathered rock or granular ground below the likely water level has a test of fewer than 20 blows, core of no RQD or a recovery below
half; no expected plan stands in it dry.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from pathlib import Path

from survey import _inputs as inputs
from survey import rulebook, tasks

from methodpick.errors import InputError
from methodpick.plan.judging.planning_input import boring_at_shaft, choose_boring
from methodpick.plan.pipeline import planning_basis
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.sequence.families import FoundPaths
from methodpick.terms import GRANULAR, ROCK
from methodpick.vocabulary.values import Choice

SIZE = "1.2 m"
FEW_BLOWS = 20
HALF_PERCENT = 50.0


def contexts(field: Path | None) -> Iterator[tuple[str, PlanContext]]:
    """Give a name and what a shaft is planned from, for every shaft of every task."""
    files = [] if field is None else sorted(path for path in field.rglob("*") if path.suffix in {".ags", ".xml"})
    known = [task for task in tasks(0, 0, None) if task[0] in {"profile", "published case"}]
    for series, source, number in (*known, *(("field", str(path), 0) for path in files)):
        try:
            for site, shafts, common in inputs(series, source, number):
                chosen = [shaft for shaft in shafts if series != "field" or shaft.id == SIZE]
                basis = planning_basis(site, rulebook())
                for shaft in chosen[:2] if series == "profile" else chosen:
                    boring = boring_at_shaft(site, shaft, choose_boring(site, shaft).boring, rulebook().values)
                    yield f"{common['name']}/{shaft.id}", PlanContext(basis, boring, shaft)
        except InputError as error:
            print(f"refused: {Path(source).name}: {str(error).splitlines()[0]}")


def decided(context: PlanContext) -> dict:
    """Give the runs of the expected path, whether it is proven, and its poor lengths that stand dry."""
    found = context.paths()
    if not isinstance(found, FoundPaths):
        return {"runs": [], "proven": False, "dry": []}
    runs = [(round(run.top_m, 2), round(run.base_m, 2), run.state) for run in found.best.runs]
    dry = [why for top, base, state in runs if state == "dry" for why in poor(context, top, base)]
    return {"runs": runs, "proven": context.is_proven(found.best), "cost": round(found.best.cost, 2), "dry": dry}


def poor(context: PlanContext, top_m: float, base_m: float) -> list[str]:
    """Give what is poor between two depths."""
    found = []
    for cut in context.slices:
        stratum, position = cut.stratum, cut.sheet.value("water_position")
        below = isinstance(position, Choice) and position.likely == "below"
        if not below or stratum.likely not in GRANULAR | ROCK or min(base_m, cut.base_m) - max(top_m, cut.top_m) < 0.01:
            continue
        counts = [test.n for test in stratum.spt if test.n is not None and not test.refusal]
        told = [f"N {min(counts)}"] if counts and min(counts) < FEW_BLOWS else []
        runs = [run for run in stratum.cores if run.top_m < cut.base_m and run.base_m > cut.top_m]
        told += ["RQD 0"] if any(run.rqd_percent == 0 for run in runs) else []
        told += ["recovery"] if any(run.recovery_percent is not None and run.recovery_percent < HALF_PERCENT for run in runs) else []
        if told:
            found.append(f"{cut.top_m:.2f} to {cut.base_m:.2f} m, {stratum.likely}: {', '.join(told)}: {stratum.layer.description[:70]}")
    return found


def changes(old: dict, new: dict) -> Iterator[str]:
    """Give a line for every decision that changed."""
    for name in sorted(old.keys() & new.keys()):
        before, after = old[name], new[name]
        if [tuple(run) for run in before["runs"]] == [tuple(run) for run in after["runs"]] and before["proven"] == after["proven"]:
            continue
        way = (
            "heavier"
            if after.get("cost", 0) > before.get("cost", 0)
            else "lighter"
            if after.get("cost", 0) < before.get("cost", 0)
            else "as heavy"
        )
        yield f"{name}: {written(before)} -> {written(after)} ({way}, {before.get('cost')} to {after.get('cost')})"


def written(record: dict) -> str:
    """Write a decision on one line."""
    runs = ", ".join(f"{state} {top:g}-{base:g}" for top, base, state in record["runs"])
    return (runs or "not buildable") + ("" if record["proven"] else " (not proven)")


def main() -> None:
    """Plan, print, write, compare."""
    asked = argparse.ArgumentParser(description="Print what stands dry in poor ground, and which decisions changed.")
    asked.add_argument("--field", type=Path, help="a folder of AGS and DIGGS files")
    asked.add_argument("--json", type=Path, help="write the decisions to this file")
    asked.add_argument("--against", type=Path, help="the file that an earlier run wrote")
    options = asked.parse_args()
    found = {name: decided(context) for name, context in contexts(options.field)}
    poor_ones = [f"{name}: {why}" for name, record in found.items() for why in record["dry"]]
    print(f"{len(found)} shafts, {sum(not record['proven'] for record in found.values())} not proven")
    print(f"{len(poor_ones)} lengths dry in poor ground below water", *poor_ones, sep="\n")
    if options.json:
        options.json.write_text(json.dumps(found), encoding="utf-8")
    if options.against:
        lines = list(changes(json.loads(options.against.read_text(encoding="utf-8")), found))
        print(f"{len(lines)} decisions changed", *lines, sep="\n")


if __name__ == "__main__":
    main()
