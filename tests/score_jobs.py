"""Score the plans of invented jobs against what a superintendent would build, and print a table.

``python tests/score_jobs.py [--list] [--set third|fourth] [JOB ...]``. Every site file of a folder of ``tests/jobs`` is planned by
the command line and compared with ``labels.yaml`` beside it, in steps of 5 cm over the labelled lengths: the share of the length at
which the label is the support of the expected plan, of the expected or the cautious plan, and of any plan named (the alternates
included); in brackets also with the supports that the label accepts. A starter stands for what is below it. "Never" is the share
whose expected support the label never builds.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import yaml
from command_line import run
from published.judging import METRES, starter_m, supports_of

JOBS = Path(__file__).parent / "jobs"
SETS = ("third", "fourth")
STEP_M = 0.05
COUNTS = ("length", "expected", "expected_or_cautious", "any", "expected_ok", "expected_or_cautious_ok", "any_ok", "never")
Supports = list[tuple[float, float, set[str]]]


@dataclass
class Score:
    """Lengths in metres that agree with the labels, and where the expected plan does not: top, base, support, label."""

    lengths: dict[str, float] = field(default_factory=lambda: dict.fromkeys(COUNTS, 0.0))
    apart: list[tuple[float, float, str, str]] = field(default_factory=list)

    def percent(self, name: str) -> float:
        return 100 * self.lengths[name] / self.lengths["length"]

    def add(self, other: Score) -> None:
        for name in COUNTS:
            self.lengths[name] += other.lengths[name]

    def note(self, top: float, support: str, label: str) -> None:
        last = self.apart[-1] if self.apart else None
        if last and last[2:] == (support, label) and abs(last[1] - top) < STEP_M / 2:
            self.apart[-1] = (last[0], top + STEP_M, support, label)
        else:
            self.apart.append((top, top + STEP_M, support, label))


def labels(chosen: str) -> dict[str, dict]:
    """Return the labels of a set by job, depths in metres."""
    jobs = yaml.load((JOBS / chosen / "labels.yaml").read_text(encoding="utf-8"), yaml.CSafeLoader)["jobs"]
    for job in jobs.values():
        for label in job["labels"]:
            label["top"], label["base"] = (METRES[job["unit"]] * label[end] for end in ("top", "base"))
    return jobs


def steps(top: float, base: float) -> Iterator[float]:
    for number in range(round((base - top) / STEP_M)):
        yield top + (number + 0.5) * STEP_M


def at(plan: Supports, depth: float) -> set[str]:
    return next((supports for top, base, supports in plan if top <= depth < base), set())


def score(job: dict, shaft: dict) -> Score:
    """Return how far the plans of a shaft agree with the labels of its job."""
    found = Score()
    beside = [one["intervals"] for one in (*([shaft["cautious"]] if shaft["cautious"] else []), *shaft["alternates"])]
    plans = [supports_of(intervals, starter_m(shaft)) for intervals in (shaft["intervals"], *beside) if intervals]
    cautious = 2 if shaft["cautious"] else 1
    for label in job["labels"]:
        wide = {*label["expect"], *label["accept"]}
        for depth in steps(label["top"], label["base"]):
            held = [at(plan, depth) for plan in plans]
            found.lengths["length"] += STEP_M
            found.lengths["never"] += STEP_M * (not held[0] - set(label["never"]))
            for words, ending in ((set(label["expect"]), ""), (wide, "_ok")):
                agree = [bool(supports & words) for supports in held]
                for name, yes in (("expected", agree[0]), ("expected_or_cautious", any(agree[:cautious])), ("any", any(agree))):
                    found.lengths[name + ending] += STEP_M * yes
            if not held[0] & set(label["expect"]):
                mark = "" if held[0] & wide else "!" if held[0] - set(label["never"]) else "!!"
                found.note(depth - STEP_M / 2, mark + "/".join(sorted(held[0])), "/".join(label["expect"]))
    return found


def planned(chosen: str, job: str) -> dict:
    """Plan a job of a set with the command line. Raises RuntimeError with its words where that fails."""
    done = run("plan", JOBS / chosen / f"{job}.yaml", "--json", "-", cwd=JOBS)
    if done.returncode:
        raise RuntimeError(f"{job}: {done.stdout}{done.stderr}")
    return json.loads(done.stdout)["shafts"][0]


def row(name: str, found: Score) -> str:
    shares = (f"{found.percent(one):.0f} ({found.percent(one + '_ok'):.0f})" for one in COUNTS[1:4])
    return f"| {name} | {found.lengths['length']:.0f} | " + " | ".join(shares) + f" | {found.percent('never'):.0f} |"


def print_set(chosen: str, only: list[str], listed: bool) -> None:
    """Print the rows of a set, and where its expected plans differ if that is asked."""
    total = Score()
    for name, job in labels(chosen).items():
        if only and name not in only:
            continue
        shaft = planned(chosen, name)
        found = score(job, shaft)
        total.add(found)
        print(row(name, found), flush=True)
        unit = METRES[job["unit"]]
        for top, base, support, label in found.apart if listed else []:
            print(f"    {top / unit:.1f} to {base / unit:.1f} {job['unit']}: {support}, label {label} ({shaft['method']})")
    if total.lengths["length"]:
        print(row(f"{chosen} set", total))


def main() -> None:
    """Print the table."""
    asked = argparse.ArgumentParser(description="Score plans of invented jobs against what a superintendent would build.")
    asked.add_argument("--list", action="store_true", help="also tell where the expected plan differs, and how")
    asked.add_argument("--set", choices=SETS, help="only this set")
    asked.add_argument("only", nargs="*", metavar="JOB")
    options = asked.parse_args()
    print("| job | length, m | expected % (accepted) | expected or cautious % | any % | never % |\n|---|---:|---:|---:|---:|---:|")
    for chosen in [options.set] if options.set else SETS:
        print_set(chosen, options.only, options.list)


if __name__ == "__main__":
    main()
