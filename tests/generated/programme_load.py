"""Plan 10,000 shafts of 500 generated sites by ``methodpick programme``, killed in the middle.

``programme_load.py [SITES] [--shafts N] [--minutes N]``: twenty shafts a site, all different, or fewer, on two processes.
Half of the sites done, the program is killed (SIGKILL), then called again. Printed are the CPU seconds a shaft by tenths of the run, the
peak memory of each process, and what the kill lost: lines that are not whole, sites without a line or with two, lines that are not as they
were. Needs /proc. The exit code is 1 where anything is lost, a process took more than 300 MB, or a tenth costs more than half as much
again as the one after the first hundred shafts.
"""

import argparse
import itertools
import json
import os
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from sites import numbered_site, text_of

SEED = 19
MOST_SHAFTS = 20
MOST_MB = 300
MOST_GROWTH = 1.5
TENTHS = 10


def write_sites(folder: Path, count: int, shafts_a_site: int) -> None:
    """Write sites whose shafts all differ: ten diameters to the tip as generated, and to one a length deeper."""
    for number in range(count):
        made = numbered_site(SEED, number, (MOST_SHAFTS + 1) // 2)
        tree = json.loads(json.dumps(made.tree))
        shafts = [{name: value for name, value in shaft.items() if name != "count"} for shaft in tree["shafts"]]
        deeper = [{**shaft, "id": f"{shaft['id']}d", "tip": shaft["tip"] + 1.0} for shaft in shafts]
        tree["shafts"] = [shaft for both in zip(shafts, deeper, strict=True) for shaft in both][:shafts_a_site]
        (folder / f"{number:04}.yaml").write_text(text_of(tree), encoding="utf-8")


class Run:
    """One call of the program, watched: its own peak memory in MB and those of its processes."""

    def __init__(self, folder: Path, results: Path) -> None:
        words = ("programme", str(folder), "-o", str(results), "--processes", "2")
        self.program = subprocess.Popen([sys.executable, "-m", "methodpick", *words], stdout=subprocess.PIPE, text=True)
        self.results = results
        self.peaks: dict[int, float] = {}

    def watch(self, until_lines: float, until_s: float) -> bool:
        """Wait for so many lines or the end; return whether the program has ended by itself."""
        while self.program.poll() is None and time.monotonic() < until_s:
            self._measure()
            if self.results.exists() and self.results.read_bytes().count(b"\n") > until_lines:
                return False
            time.sleep(0.5)
        return self.program.poll() is not None

    def _measure(self) -> None:
        for task in Path(f"/proc/{self.program.pid}/task").glob("*/children"):
            for pid in (self.program.pid, *map(int, task.read_text().split())):
                try:
                    status = Path(f"/proc/{pid}/status").read_text(encoding="utf-8")
                except OSError:
                    continue
                if "VmHWM" in status:
                    self.peaks[pid] = int(status.partition("VmHWM:")[2].split()[0]) / 1024


def rows_of(results: Path) -> list[dict]:
    """Return the lines of the sites; a last line that is not whole counts as none."""
    return [json.loads(line) for line in results.read_bytes().splitlines(keepends=True)[1:] if line.endswith(b"\n")]


def seconds_by_tenth(rows: list[dict]) -> list[float]:
    """Return the CPU seconds a shaft in each tenth of the run."""
    ends = [round(len(rows) * tenth / TENTHS) for tenth in range(TENTHS + 1)]
    parts = [rows[start:end] for start, end in itertools.pairwise(ends)]
    return [sum(row["seconds"] for row in part) / sum(len(row["shafts"]) for row in part) for part in parts if part]


def main() -> int:
    """Run it and print what was found."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("sites", nargs="?", type=int, default=500)
    parser.add_argument("--shafts", type=int, default=MOST_SHAFTS, choices=range(1, MOST_SHAFTS + 1), metavar="N", help="of each site")
    parser.add_argument("--minutes", type=float, default=600.0, help="end after so long, with what is done by then")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as home:
        return tried(Path(home), given.sites, given.shafts, time.monotonic() + 60 * given.minutes)


def tried(home: Path, count: int, shafts_a_site: int, until_s: float) -> int:
    """Write the sites, run, kill, go on; return the exit code."""
    folder, results = home / "sites", home / "results.jsonl"
    folder.mkdir()
    write_sites(folder, count, shafts_a_site)
    first = Run(folder, results)
    ended = first.watch(count / 2, (time.monotonic() + until_s) / 2)
    os.kill(first.program.pid, signal.SIGKILL)
    first.program.wait()
    kept = {row["file"]: row for row in rows_of(results)}
    print(f"killed after {len(kept)} of {count} sites" + (" (it had ended)" if ended else ""))
    second = Run(folder, results)
    ended = second.watch(count + 1, until_s)
    if not ended:
        second.program.kill()
    summary = second.program.communicate()[0]
    rows = rows_of(results)
    names = [row["file"] for row in rows]
    changed = [name for name, row in kept.items() if [each for each in rows if each["file"] == name] != [row]]
    lost = len(changed) + len(names) - len(set(names)) + (count - len(set(names)) if ended else 0)
    by_tenth = seconds_by_tenth([row for row in rows if row["result"] == "done"])
    peak_mb = max(max(run.peaks.values(), default=0.0) for run in (first, second))
    print(f"{len(rows)} sites, {sum(len(row.get('shafts', ())) for row in rows)} shafts" + ("" if ended else "; ended by the clock"))
    print("CPU seconds a shaft by tenths of the run:", *(f"{value:.3f}" for value in by_tenth))
    print(f"peak memory: {peak_mb:.0f} MB in the largest process of {len(first.peaks) + len(second.peaks)}")
    print(f"lost or changed by the kill: {lost}")
    print(summary)
    return int(lost > 0 or peak_mb > MOST_MB or max(by_tenth[1:]) > MOST_GROWTH * by_tenth[1])


if __name__ == "__main__":
    sys.exit(main())
