"""Plan many sites and count what comes out: ``python tests/generated/survey.py [COUNT] [--seed N] [--field FOLDER] [--json FILE]``.

Planned are COUNT generated sites of a seed (three diameters each), the profiles, the sites of the tests, the published cases and, with
``--field``, every boring of 6 m or more of the AGS and DIGGS files of a folder and its folders, with shafts of 0.9, 1.2 and 1.8 m
(``--every-boring`` plans all that have layers, however short, with a shaft of 0.9 m). Printed are: planned, refused
(with the reason), uncaught exceptions (with the site's number), shares of the length by support, confidence and verdict, the share on
fallback states, wholly undecided shafts, methods by ground and water, CPU seconds. ``--against`` compares with an earlier ``--json``.

``--verify`` hands every plan to a verifier, MODULE:FUNCTION, called with the plan, the site and the rulebook; it gives a list of
contradictions. Where the package has none, that is said.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import signal
import sys
import time
import traceback
from collections.abc import Iterator
from functools import cache
from importlib import import_module
from multiprocessing import Pool
from pathlib import Path

from measures import Record, against, measured, summary
from sites import numbered_site

from methodpick.engine.load import load_rulebook
from methodpick.errors import InputError
from methodpick.ground.site import Shaft
from methodpick.imports.input_formats import read_file
from methodpick.imports.site_file import read_site
from methodpick.plan.pipeline import plan
from methodpick.resources import folder

SEED = 12
"""The seed of the series that is compared from change to change."""
TESTS = Path(__file__).parents[1]
FOLDERS = {"profile": folder("profiles"), "test site": TESTS / "sites", "published case": TESTS / "published" / "cases"}
FIELD_DIAMETERS_M = (0.9, 1.2, 1.8)
SHORTEST_BORING_M = 6.0
USUAL, EVERY_BORING = 0, 1
"""The number of a task of a field file: borings of some length at three diameters, or all at the least."""
MOST_SECONDS = 120
"""A shaft that takes longer, by the time of the processor, counts as an exception."""
VERIFIER = "written_plan:verify_plan"

Task = tuple[str, str, int]
"""A series, the path of a file or nothing, the seed or a number."""


class TooLongError(Exception):
    """A plan that does not end."""


@cache
def rulebook():
    return load_rulebook(folder("rules"))


@cache
def verifier(name: str):
    """Give the verifier of that name, None where the package has none."""
    module, _, function = name.partition(":")
    try:
        return getattr(import_module(module), function, None)
    except ModuleNotFoundError:
        return None


def tasks(count: int, seed: int, field: Path | None, first: int = 0, which: int = USUAL) -> Iterator[Task]:
    """Return what is planned: the profiles, test sites and cases (not where a series goes on), the field borings, the generated sites."""
    for series, home in FOLDERS.items() if not first else ():
        yield from ((series, str(path), 0) for path in sorted(home.glob("*.yaml")) if path.name != "built.yaml")
    if field is not None:
        files = sorted(path for path in field.rglob("*") if path.suffix.lower() in {".ags", ".xml"})
        if not files:
            raise SystemExit(f"{field}: there is no AGS or DIGGS file in this folder")
        yield from (("field", str(path), which) for path in files)
    yield from (("generated", str(seed), number) for number in range(first, first + count))


def surveyed(task: Task, verify: str | None) -> list[Record]:
    """Plan what a task names, one shaft at a time; gives a record a shaft."""
    series, source, number = task
    found = []
    try:
        for site, shafts, common in _inputs(series, source, number):
            found += [common | _planned(site, shaft, verify) for shaft in shafts]
    except InputError as error:
        found.append(_unread(task, "refused", str(error).splitlines()[0]))
    except Exception:  # noqa: BLE001 (what is uncaught is what is counted)
        found.append(_unread(task, "exception", _last(traceback.format_exc())))
    return found


def _unread(task: Task, result: str, reason: str) -> Record:
    series, source, number = task
    name = f"{source}/{number}" if series == "generated" else Path(source).name
    return {"id": f"{series}/{name}", "series": series, "input": "", "result": result, "reason": reason}


def _inputs(series: str, source: str, number: int) -> Iterator[tuple]:
    """Give sites with the shafts to plan and what records of them have in common."""
    if series == "field":
        yield from _field(Path(source), every=number == EVERY_BORING)
        return
    made = numbered_site(int(source), number) if series == "generated" else None
    text = made.text if made else Path(source).read_text(encoding="utf-8")
    site, digest = read_site(text, Path(source).name)
    common = {"series": series, "input": digest, "name": f"{source}/{number}" if made else Path(source).stem}
    yield site, site.shafts, common | ({"ground": made.ground, "water": made.water} if made else {"ground": series, "water": ""})


def _tip(end_m: float, size_m: float) -> float:
    """Return a tip two diameters above the end of a boring, in a short one at half its depth, not above the least that a shaft may have."""
    return round(max(end_m - 2 * size_m, end_m / 2, 0.3), 2)


def _field(path: Path, *, every: bool) -> Iterator[tuple]:
    read = read_file(path)
    for boring in read.site.borings:
        if not boring.layers or (boring.end_m < SHORTEST_BORING_M and not every):
            continue
        sizes = FIELD_DIAMETERS_M[:1] if every else FIELD_DIAMETERS_M
        shafts = tuple(Shaft(id=f"{size:g} m", boring=boring.id, diameter_m=size, tip_m=_tip(boring.end_m, size)) for size in sizes)
        site = read.site.model_copy(update={"borings": (boring,), "shafts": shafts})
        kinds = "+".join(sorted({one.reading for one in boring.water})) or "none read"
        digest = hashlib.sha256(f"{read.digest}{boring.id}".encode()).hexdigest()
        yield site, shafts, {"series": "field", "input": digest, "name": f"{path.stem}/{boring.id}", "ground": "field", "water": kinds}


def _planned(site, shaft: Shaft, verify: str | None) -> Record:
    record = {"shaft": shaft.id, "diameter_m": shaft.diameter_m, "tip_m": shaft.tip_m}
    signal.setitimer(signal.ITIMER_PROF, MOST_SECONDS)
    start = time.process_time()
    try:
        made = plan(site, rulebook(), shafts=[shaft.id])
        record |= {"result": "planned", "seconds": round(time.process_time() - start, 4)} | measured(made.shafts[0])
        told = all(reason.rule != "no-data" for reason in made.shafts[0].intervals[-1].reasons)
        record["log_reaches_tip"] = told and made.shafts[0].ground.end_m >= shaft.tip_m - 0.005
        record["proven"] = made.shafts[0].proven
        record["excluded_by"] = list(made.shafts[0].excluded_by) if record["undecided"] else []
        if verify and (check := verifier(verify)):
            record["contradictions"] = [str(one) for one in check(made, site, rulebook())]
    except InputError as error:
        record |= {"result": "refused", "reason": str(error).splitlines()[0]}
    except Exception:  # noqa: BLE001 (what is uncaught is what is counted)
        record |= {"result": "exception", "reason": _last(traceback.format_exc())}
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    return record


def _last(text: str) -> str:
    """Give the place and the words of an exception."""
    lines = [line.strip() for line in text.strip().splitlines()]
    place = next((line for line in reversed(lines) if line.startswith("File ")), "")
    return f"{lines[-1][:160]} at {place.replace(str(TESTS.parent), '')}"


def _too_long(*_: object) -> None:
    raise TooLongError(f"longer than {MOST_SECONDS} s")


def _start() -> None:
    signal.signal(signal.SIGPROF, _too_long)
    rulebook()


def _work(argument: tuple[Task, str | None]) -> list[Record]:
    return surveyed(*argument)


def run(chosen: list[Task], processes: int, verify: str | None = None) -> list[Record]:
    """Plan all tasks over processes; records come in the order of the tasks, and what must not be is told as it is found."""
    found: list[Record] = []
    with Pool(processes, _start) as pool:
        for part in pool.imap(_work, [(task, verify) for task in chosen], chunksize=4):
            found += part
            for one in part:
                if one["result"] == "exception" or one.get("contradictions"):
                    print(
                        one.get("name", one.get("id")),
                        one.get("shaft"),
                        one.get("reason") or one["contradictions"],
                        file=sys.stderr,
                        flush=True,
                    )
    for one in found:
        one.setdefault("id", f"{one['series']}/{one.get('name', '')}/{one.get('shaft', '')}")
    return found


def main() -> None:
    """Survey, print, write, compare."""
    asked = argparse.ArgumentParser(description="Plan many sites and count what comes out.")
    asked.add_argument("count", nargs="?", type=int, default=2000, help="number of generated sites")
    asked.add_argument("--seed", type=int, default=SEED)
    asked.add_argument("--first", type=int, default=0, help="the number of the first generated site: a series that goes on")
    asked.add_argument("--field", type=Path, help="a folder of AGS and DIGGS files")
    asked.add_argument("--every-boring", action="store_true", help="of the folder, the short ones too, at one diameter")
    asked.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    asked.add_argument("--json", type=Path, help="write the records to this file")
    asked.add_argument("--against", type=Path, help="the file that an earlier survey wrote")
    asked.add_argument("--verify", nargs="?", const=VERIFIER, metavar="MODULE:FUNCTION")
    options = asked.parse_args()
    which = EVERY_BORING if options.every_boring else USUAL
    chosen = list(tasks(options.count, options.seed, options.field, options.first, which))
    records = run(chosen, options.processes, options.verify)
    sites = f"{options.count} generated sites of seed {options.seed} from number {options.first}"
    print(f"# Survey: {sites}\n\n{summary(records)}")
    if options.verify and verifier(options.verify) is None:
        print(f"\nverify: SKIPPED, the package has no {options.verify}")
    if options.json:
        options.json.write_text(json.dumps({"seed": options.seed, "records": records}), encoding="utf-8")
    if options.against:
        print(f"\n{against(records, json.loads(options.against.read_text(encoding='utf-8'))['records'])}")


if __name__ == "__main__":
    main()
