"""``methodpick programme``: plan, take off or verify many sites in parallel processes, and go on where a run was stopped."""

from __future__ import annotations

import json
import os
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import field
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer

from methodpick.cli.options import PlannedFile, RulebookOptions, input_stamp, rulebook_for, with_records
from methodpick.cli.output import STOPPED
from methodpick.collector import collector_running
from methodpick.errors import InputError, MethodpickError, Problem
from methodpick.records import record
from methodpick.terms import SUPPORT_NAMES
from methodpick.unit_markup import how_many

if TYPE_CHECKING:
    from methodpick.document.model import Document
    from methodpick.engine.rulebook import Rulebook
    from methodpick.imports.input_formats import Imported
    from methodpick.plan.result import ShaftPlan
    from methodpick.programme import Died, ResultFile, Row
    from methodpick.site.estimate import Estimate

# ---- the command


Work = Literal["plan", "takeoff", "verify"]
Result = Literal["done", "refused", "failed", "died"]
"""What became of a site: its file was refused with a reason, the tool failed on it, or the process that worked on it died."""
MOST_LISTED = 100
"""So many sites that were not done are listed at the end; the results hold all of them."""


Processes = Annotated[
    int | None, typer.Option("--processes", min=1, max=256, metavar="<number>", help="Processes; else one for each core.")
]


@with_records
def programme(
    sites: Annotated[list[str], typer.Argument(help="Site files, folders of them, or patterns in quotes ('bridges/*.yaml').")],
    rulebook: RulebookOptions,
    work: Annotated[Work, typer.Option("--do", help="What to do with each site.")] = "plan",
    output: Annotated[
        str, typer.Option("--output", "-o", help="The file of results, a line of JSON a site, or - for standard output.")
    ] = "-",
    processes: Processes = None,
    cluster: Annotated[
        str | None, typer.Option("--cluster", help="The Dask scheduler whose workers take the place of processes here.")
    ] = None,
    full: Annotated[bool, typer.Option("--full", help="With the whole plan of each site in its line.")] = False,
    force: Annotated[bool, typer.Option("--force", help="Begin the results anew.")] = False,
) -> None:
    """Work through many sites. One that cannot be read stops no other; it is listed at the end, and the exit code is 1.

    Give the same command again to go on: what is done already, with the same content and rules, is not done again. The workers of a
    cluster must find the files under the same names.
    """
    from methodpick.cli.output import progress_bar, refuse_clashes
    from methodpick.imports.input_formats import SITE_FILE
    from methodpick.programme import find_files

    run = _runner(processes, cluster)
    files = find_files(_named(sites), frozenset({*SITE_FILE.suffixes, ".xlsx"}))
    refuse_clashes((output,), (*files, *(rulebook.overlay or ())))
    site_work, tally = SiteWork(work, rulebook, full), Tally()
    bar = progress_bar(f"{work}, {how_many(len(files), 'site')}")
    with _results(output, site_work.head(), force=force) as results, collector_running(), bar as tell:
        to_do = [path for path in files if not tally.is_done_before(path, results)]
        with _told_when_stopped(tally, len(files), output):
            for path, answer in run(site_work.answer, to_do):
                row = answer if isinstance(answer, dict) else row_of(path, "died", problem="the process that worked on it died")
                results.write(row)
                tally.count(row)
                if tell is not None:
                    tell(tally.sites, len(files))
    _show(tally, to_errors=output == "-")
    if tally.bad:
        raise typer.Exit(1)


def _named(sites: list[str]) -> list[str]:
    """Return the sites that a programme names. Raises InputError of standard input, which holds one site at most."""
    if "-" in sites:
        raise InputError(
            Problem("a programme names its sites as files, folders or patterns", hint="a lone site goes to 'methodpick plan -'")
        )
    return sites


def _runner(processes: int | None, cluster: str | None) -> Callable[..., Iterator[tuple[Path, Row | Died]]]:
    """Return what maps work over tasks: processes of this machine, one for each core where no number is given, or a cluster."""
    from methodpick.programme import run_all, run_on_cluster

    if cluster is None:
        return partial(run_all, processes=processes or os.cpu_count() or 1)
    if processes is not None:
        raise InputError(Problem("--processes and --cluster name different workers", hint="leave --processes out: a cluster has its own"))
    return partial(run_on_cluster, address=cluster)


@contextmanager
def _told_when_stopped(tally: Tally, count: int, output: str) -> Iterator[None]:
    """Write how far the programme came when it is stopped from the keyboard, and how to go on."""
    try:
        yield
    except KeyboardInterrupt:
        to_go_on = "give the same command again to go on" if output != "-" else "name a file with -o to go on next time"
        sys.stderr.write(f"stopped: {tally.sites:,} of {how_many(count, 'site')} done; {to_go_on}\n")
        raise typer.Exit(STOPPED) from None


@contextmanager
def _results(output: str, head: Mapping[str, Any], *, force: bool) -> Iterator[ResultFile]:
    from methodpick.programme import ResultFile, open_results

    if output == "-":
        yield ResultFile(sys.stdout, {})
        return
    with open_results(Path(output), head, anew=force) as results:
        yield results


def _show(tally: Tally, *, to_errors: bool) -> None:
    """Print the summary, on standard error where the lines go to standard output."""
    from rich.console import Console

    from methodpick.cli.output import echo
    from methodpick.formats.console import print_document

    print_document(tally.summary(), Console(stderr=to_errors, highlight=False), "si")
    for line in tally.what_is_bad():
        echo(line, err=to_errors)


# ---- what is done with one site, in a process of its own


def row_of(path: Path, result: Result, **more: Any) -> Row:
    """Return the line of a file: its name, the digest of its content, what became of it, and what that gave."""
    from methodpick.programme import digest_of

    return {"file": str(path), "digest": digest_of(path), "result": result, **more}


@record
class SiteWork:
    """What is done with every site, and by which rules; ``full`` also keeps the whole plan."""

    work: Work
    options: RulebookOptions
    full: bool = False

    def head(self) -> dict[str, Any]:
        """Return what the lines depend on beside the files of the sites."""
        from methodpick import __version__
        from methodpick.programme import digest_of_all
        from methodpick.resources import folder

        rules = sorted((self.options.rules or folder("rules")).rglob("*.yaml"))
        return {
            "did": self.work,
            "full": self.full,
            "tool_version": __version__,
            "rules": digest_of_all((*rules, *(self.options.overlay or ()))),
            "agency": self.options.agency,
            "assumptions": not self.options.no_assumptions,
        }

    def answer(self, path: Path) -> Row:
        """Return the line of a site; whatever goes wrong becomes one."""
        start = time.process_time()
        try:
            row = self._done(path, self._planned(path))
        except MethodpickError as error:
            row = row_of(path, "refused", problem=error.render())
        except Exception as error:  # noqa: BLE001 (one site stops no other; the line says that this is a fault of the tool)
            row = row_of(path, "failed", problem=f"a fault of methodpick, please report it: {type(error).__name__}: {error}")
        return {**row, "seconds": round(time.process_time() - start, 3)}

    def _planned(self, path: Path) -> PlannedFile:
        from methodpick.imports.input_formats import read_file
        from methodpick.site.planning import plan_site

        read = read_file(path)
        if not read.site.shafts:
            raise InputError(Problem(f"{path}: the file names no shaft", hint="add its shafts under 'shafts:'"))
        book = _book(path, read, self.options)
        planned = plan_site(read.site, book, stamp=input_stamp(path, read), assumptions=not self.options.no_assumptions)
        return PlannedFile(read, read.site, book, planned)

    def _done(self, path: Path, found: PlannedFile) -> Row:
        from methodpick.formats.json import plan_json

        row = row_of(path, "done", rulebook=found.rulebook.digest, shafts=[_shaft_row(shaft) for shaft in found.plan.shafts])
        row |= _MORE[self.work](found)
        return {**row, "plan": json.loads(plan_json(found.plan))} if self.full else row


_BOOKS: dict[tuple[str, str], Rulebook] = {}
"""The rulebooks that this process has met, by the agency of the site."""


def _book(path: Path, read: Imported, options: RulebookOptions) -> Rulebook:
    key = (str(options), read.site.site.agency)
    if key not in _BOOKS:
        _BOOKS[key] = rulebook_for(path, read.site, options)
    return _BOOKS[key]


def _shaft_row(shaft: ShaftPlan) -> dict[str, Any]:
    """Return what a programme keeps of a shaft; lengths in m by what holds the wall when the tip is reached."""
    held: dict[str, float] = {}
    for interval in shaft.intervals:
        held[interval.support] = round(held.get(interval.support, 0.0) + interval.base_m - interval.top_m, 3)
    return {
        "id": shaft.id,
        "count": shaft.count,
        "boring": shaft.boring,
        "diameter_m": shaft.diameter_m,
        "tip_depth_m": shaft.tip_depth_m,
        "method": shaft.method,
        "proven": shaft.proven,
        "placement": None if shaft.placement is None else shaft.placement.state,
        "decision": shaft.decision,
        "relative_cost": shaft.relative_cost,
        "held_m": held,
        "firm_m": round(sum(each.base_m - each.top_m for each in shaft.intervals if each.confidence == "firm"), 3),
    }


def _taken_off(found: PlannedFile) -> dict[str, Any]:
    from methodpick.site.site_takeoff import take_off

    made = take_off(found.site, found.site_plan, found.rulebook)
    totals = [{"group": line.group, "item": line.item, "unit": line.unit, **_ends(line.amount)} for line in made.totals]
    if made.cost is None:
        return {"totals": totals}
    cost = {"currency": made.cost.currency, **_ends(made.cost.total), "not_priced": [line.item for line in made.cost.unpriced]}
    return {"totals": totals, "cost": cost}


def _ends(amount: Estimate) -> dict[str, float]:
    return {"low": amount.low, "likely": amount.likely, "high": amount.high}


def _verified(found: PlannedFile) -> dict[str, Any]:
    from methodpick.formats.json import plan_json
    from methodpick.review.plan_file import read_plan_text
    from methodpick.review.verify import verify_plan

    made = verify_plan(read_plan_text(plan_json(found.plan), "plan"), found.rulebook, found.site)
    return {"checks": made.checks, "contradictions": [str(each) for each in made.contradictions]}


_MORE: Mapping[Work, Callable[[PlannedFile], dict[str, Any]]] = {"plan": lambda _: {}, "takeoff": _taken_off, "verify": _verified}
"""What each kind of work adds to the line of a site."""


# ---- what became of all


@record(frozen=False)
class Tally:
    """What became of the sites of a programme, and of their shafts; of the sites only those that were not done are kept."""

    results: Counter[str] = field(default_factory=Counter)
    shafts: Counter[str] = field(default_factory=Counter)
    not_proven: int = 0
    contradicted: int = 0
    listed: list[str] = field(default_factory=list)

    @property
    def sites(self) -> int:
        """Return how many sites are counted."""
        return self.results.total()

    @property
    def bad(self) -> int:
        """Return how many sites were not done, or are contradicted."""
        return self.sites - self.results["done"] + self.contradicted

    def is_done_before(self, path: Path, results: ResultFile) -> bool:
        """Count the line of an earlier run where that holds still; return whether it does."""
        from methodpick.programme import digest_of

        before = results.before.get(str(path))
        holds = before is not None and before["result"] != "died" and before["digest"] == digest_of(path)
        if before is not None and holds:
            self.count(before)
        return holds

    def count(self, row: Row) -> None:
        """Count a line."""
        self.results[row["result"]] += 1
        for shaft in row.get("shafts", ()):
            self.shafts[shaft["method"]] += shaft["count"]
            self.not_proven += 0 if shaft["proven"] else shaft["count"]
        contradictions = row.get("contradictions", ())
        self.contradicted += bool(contradictions)
        if (row["result"] != "done" or contradictions) and len(self.listed) < MOST_LISTED:
            why = (row.get("problem") or f"contradicted: {contradictions[0]}").splitlines()[0]
            self.listed.append(why if why.startswith(row["file"]) else f"{row['file']}: {why}")

    def summary(self) -> Document:
        """Return the counts of the sites by what became of them, and of the shafts by their method."""
        from methodpick.document.model import Document, Paragraph, TextTable, page_with, section

        of_sites = [f"{count:,} {name}" for name, count in _most_first(self.results)]
        of_sites += [f"{self.contradicted:,} contradicted"] if self.contradicted else []
        methods = tuple((SUPPORT_NAMES[name], f"{count:,}") for name, count in _most_first(self.shafts))
        title = f"{how_many(self.sites, 'site')}: {', '.join(of_sites)}"
        table = section("Methods", TextTable(("method", "shafts"), methods, (1,)), Paragraph(self._not_proven()))
        return Document(title, (page_with(title, (), table if methods else None),), "")

    def what_is_bad(self) -> Iterator[str]:
        """Return a line for each site that was not done or is contradicted, as far as they are listed."""
        yield from self.listed
        if self.bad > len(self.listed):
            yield f"{self.bad - len(self.listed):,} more stand in the results"

    def _not_proven(self) -> str:
        return f"Not proven: {how_many(self.not_proven, 'shaft')}." if self.not_proven else ""


def _most_first(counts: Counter[str]) -> list[tuple[str, int]]:
    """Return the counts from the most on, those of the same number by name: the order in which sites are done is chance."""
    return sorted(counts.items(), key=lambda counted: (-counted[1], counted[0]))
