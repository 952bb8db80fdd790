"""Attack every reader in this process with changed files, and plan and verify a share: ``python tests/generated/fuzz.py [COUNT]``.

COUNT cases of a seed are made of site files (generated, shipped), logs (AGS4, AGS3, DIGGS), rule files, tables, limits, overlays, each
changed in one to four places (``mutated.py``). A case may be read or refused by an error of the tool; anything else is counted as
uncaught, and so are cases over 2 s of the processor or over 300 MB. One in ``--plan-every`` that is read is planned, and every plan is
held against the verifier. A case is known by its number: ``--only NUMBER --seed N`` shows it.
"""

from __future__ import annotations

import argparse
import resource
import signal
import time
import traceback
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from random import Random

from mutated import changed_markup, changed_table, changed_tree
from sites import numbered_site, text_of
from written_plan import verify_plan

from methodpick.engine.load import lay_over, load_rulebook
from methodpick.engine.read import Words, rules_of
from methodpick.errors import MethodpickError, RuleError
from methodpick.ground.check import check
from methodpick.ground.site import Shaft, Site
from methodpick.imports.input_formats import FORMATS
from methodpick.imports.site_file import read_site
from methodpick.plan.pipeline import plan
from methodpick.resources import folder
from methodpick.strict_yaml import read
from methodpick.vocabulary.assumptions import assumptions_of
from methodpick.vocabulary.catalogue import Reader
from methodpick.vocabulary.limits import limits_of
from methodpick.vocabulary.tables import table_of

SEED = 15
MOST_SECONDS = 2.0
MOST_MB = 300
STOPPED_AT_MB, STOPPED_AT_S = 2000, 60.0
"""A case that takes more of the memory or the processor is stopped, and counts as uncaught."""
STRETCH = 1000
"""After so many cases the counts so far are printed."""
HERE = Path(__file__).parent
LOGS = (HERE.parent / "corpus" / "harrow-quay.ags", HERE / "seeds" / "marsh-quay.ags", HERE / "seeds" / "ferry-road.xml")


@cache
def book():
    """Return the shipped rulebook."""
    return load_rulebook(folder("rules"))


@cache
def shipped(path: Path) -> object:
    """Return the tree of a shipped YAML file."""
    return read(path).value


@cache
def rule_files(pattern: str) -> tuple[Path, ...]:
    """Return the shipped rule files of a pattern that hold rules or tables."""
    named = {"facts.yaml", "limits.yaml", "sources.yaml", "assumptions.yaml", "trade_sizes.yaml"}
    return tuple(
        path
        for path in sorted(folder("rules").glob(pattern))
        if path.name not in named and (pattern.startswith("tables") or path.parent.name not in {"tables", "agencies"})
    )


@dataclass(frozen=True)
class Attack:
    """A changed file, and what reads it: the result is a site to plan and the rulebook to plan it with, or nothing to plan."""

    kind: str
    text: str
    read: Callable[[str], tuple[Site, object] | None]


def attack(seed: int, number: int) -> Attack:
    """Make a case by its number."""
    rng = Random(f"fuzz/{seed}/{number}")  # noqa: S311 (no secret)
    kinds = ("site", "site", "site", "example", "log", "log", "rules", "table", "limits", "assumptions", "overlay", "moved limits")
    kind = kinds[number % len(kinds)]
    return Attack(kind, *_MADE[kind](rng, seed, number))


def _site(rng: Random, seed: int, number: int):
    made = numbered_site(seed, number, 1)
    return text_of(changed_tree(rng, read(made.text).value, rng.randint(1, 2))), _read_site


def _example(rng: Random, seed: int, number: int):
    del seed, number
    paths = sorted(path for path in folder("profiles").glob("*.yaml") if path.stat().st_size < 6000)
    return text_of(changed_tree(rng, shipped(rng.choice(paths)), rng.randint(1, 4))), _read_site


def _log(rng: Random, seed: int, number: int):
    del seed, number
    path = rng.choice(LOGS)
    change = changed_markup if path.suffix == ".xml" else changed_table
    return change(rng, path.read_text(encoding="utf-8"), rng.randint(1, 4)), _read_log


def _some(rng: Random, entries: dict) -> dict:
    return {name: entries[name] for name in rng.sample(sorted(entries), min(5, len(entries)))}


def _rules(rng: Random, seed: int, number: int):
    del seed, number
    tree = dict(shipped(rng.choice(rule_files("*/*.yaml"))))
    tree["rules"] = rng.sample(tree["rules"], min(3, len(tree["rules"])))
    return text_of(changed_tree(rng, tree, rng.randint(1, 4))), _read_rules


def _table(rng: Random, seed: int, number: int):
    del seed, number
    tree = shipped(rng.choice(rule_files("tables/*.yaml")))
    return text_of(changed_tree(rng, tree, rng.randint(1, 4))), _reads(
        lambda document: table_of(document, book().catalogue, book().sources)
    )


def _limits(rng: Random, seed: int, number: int):
    del seed, number
    tree = {"limits": _some(rng, shipped(folder("rules") / "limits.yaml")["limits"])}
    return text_of(changed_tree(rng, tree, rng.randint(1, 4))), _reads(lambda document: limits_of(document, book().sources))


def _assumptions(rng: Random, seed: int, number: int):
    del seed, number
    tree = {"assumptions": rng.sample(shipped(folder("rules") / "assumptions.yaml")["assumptions"], 3)}
    return text_of(changed_tree(rng, tree, rng.randint(1, 4))), _reads(
        lambda document: assumptions_of(document, book().catalogue, book().sources)
    )


def _overlay(rng: Random, seed: int, number: int):
    del seed, number
    agencies = sorted((folder("rules") / "agencies").glob("*.yaml"))
    tree = dict(shipped(rng.choice(agencies)))
    rule = rng.choice(shipped(rng.choice(rule_files("*/*.yaml")))["rules"])
    verb = rng.choice(("tighten", "replace", "disable"))
    tree[verb] = [{"rule": rule["id"], "reason": "a trial"} if verb == "disable" else {**rule, "reason": "a trial"}]
    return text_of(changed_tree(rng, tree, rng.randint(0, 4))), _read_overlay


def _moved_limits(rng: Random, seed: int, number: int):
    """Set limits anywhere in their ranges, ends included, with a reason: what an overlay may do must plan."""
    limits = book().limits
    moved = {
        name: {"value": rng.choice((limits[name].least, limits[name].most, rng.uniform(limits[name].least, limits[name].most)))}
        for name in rng.sample(sorted(limits), rng.randint(1, 40))
    }
    tree = {"overlay": "moved", "set": {name: {**entry, "reason": "a trial"} for name, entry in moved.items()}}
    made = read_site(numbered_site(seed, number, 1).text, "site.yaml")[0]
    return text_of(tree), lambda text: (made, lay_over(book(), read(text)))


_MADE = {
    "site": _site,
    "example": _example,
    "log": _log,
    "rules": _rules,
    "table": _table,
    "limits": _limits,
    "assumptions": _assumptions,
    "overlay": _overlay,
    "moved limits": _moved_limits,
}


def _read_site(text: str):
    site = read_site(text, "site.yaml")[0]
    check(site)
    return (site, book()) if site.shafts else None


def _read_log(text: str):
    known = next((known for known in FORMATS if known.matches(text)), None)
    if known is None:
        return None
    site = known.read(text, "log").site
    check(site)
    boring = next((boring for boring in site.borings if boring.end_m >= 6), None)
    if boring is None:
        return None
    shaft = Shaft(id="P1", boring=boring.id, diameter_m=1.0, tip_m=round(min(boring.end_m * 0.7, 60.0), 2))
    return site.model_copy(update={"borings": (boring,), "shafts": (shaft,)}), book()


def _reads(make: Callable):
    def reads(text: str) -> None:
        make(read(text))

    return reads


def _read_rules(text: str) -> None:
    document = read(text)
    reader = Reader(document)
    rules_of(document, Words(book().catalogue, book().limits, book().sources), reader)
    reader.done()


def _read_overlay(text: str):
    return read_site((folder("profiles") / "caving-lens.yaml"), None)[0], lay_over(book(), read(text))


@dataclass(frozen=True)
class Outcome:
    """What became of a case: ``planned``, ``read``, ``refused``, ``refused as a whole file`` or ``uncaught``, with the words of it."""

    number: int
    kind: str
    result: str
    words: str
    seconds: float


def tried(seed: int, number: int, *, planning: bool) -> Outcome:
    """Read a case, and plan and verify what was read where it is asked."""
    made = attack(seed, number)
    start = time.process_time()
    result, words = "read", ""
    try:
        ready = made.read(made.text)
        if ready is not None and planning:
            site, rules = ready
            first = replace_shafts(site)
            found = plan(first, rules)
            wrong = verify_plan(found, first, rules)
            result, words = ("planned", "") if not wrong else ("contradiction", str(wrong[0]))
    except MethodpickError as error:
        placed = all(problem.place for problem in error.problems)
        result, words = "refused" if placed else "refused as a whole file", error.render().splitlines()[0]
        if isinstance(error, RuleError) and len(error.render()) > 200_000:
            result = "uncaught"
    except Exception:  # noqa: BLE001 (what is uncaught is what is counted)
        result, words = "uncaught", " | ".join(line.strip() for line in traceback.format_exc().splitlines()[-3:])
    return Outcome(number, made.kind, result, words, time.process_time() - start)


def replace_shafts(site: Site) -> Site:
    """Return a site with its first shaft only, so that a case costs one plan."""
    return site.model_copy(update={"shafts": site.shafts[:1]})


def _too_long(*_: object) -> None:
    raise TimeoutError(f"longer than {STOPPED_AT_S:g} s")


def run(seed: int, numbers: range, plan_every: int, tell: Callable[[Outcome], None] = lambda _: None) -> tuple[Counter, list[Outcome]]:
    """Try cases; return the counts of what became of them, and those that must not be, each told as it is found."""
    counts: Counter = Counter()
    bad = []
    before_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    for number in numbers:
        signal.setitimer(signal.ITIMER_PROF, STOPPED_AT_S if signal.getsignal(signal.SIGPROF) is _too_long else 0)
        found = tried(seed, number, planning=bool(plan_every) and number % plan_every == number // plan_every % plan_every)
        counts[found.kind, found.result] += 1
        more_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024 - before_mb
        if found.seconds > MOST_SECONDS:
            found = replace(found, result=f"{found.result}, over {MOST_SECONDS:g} s")
        if more_mb > MOST_MB and not counts["all", "over 300 MB"]:
            counts["all", "over 300 MB"] += 1
            found = replace(found, result=f"{found.result}, over {MOST_MB} MB")
        if found.result in {"uncaught", "contradiction"} or "over" in found.result:
            bad.append(found)
            tell(found)
    signal.setitimer(signal.ITIMER_PROF, 0)
    return counts, bad


def _by_result(counts: Counter) -> Counter:
    found: Counter = Counter()
    for (_, result), count in counts.items():
        found[result] += count
    return found


def _tell(found: Outcome) -> None:
    print(f"{found.number} {found.kind} {found.result} {found.seconds:.1f} s: {found.words}", flush=True)


def main() -> None:
    """Attack, and print the counts and what must not be."""
    resource.setrlimit(resource.RLIMIT_AS, (STOPPED_AT_MB << 20, STOPPED_AT_MB << 20))
    signal.signal(signal.SIGPROF, _too_long)
    asked = argparse.ArgumentParser(description="Attack every reader with changed files.")
    asked.add_argument("count", nargs="?", type=int, default=1_000_000)
    asked.add_argument("--seed", type=int, default=SEED)
    asked.add_argument("--start", type=int, default=0)
    asked.add_argument("--plan-every", type=int, default=50, help="plan one of so many cases; 0 plans none")
    asked.add_argument("--only", type=int, help="show this case and what becomes of it")
    options = asked.parse_args()
    if options.only is not None:
        print(attack(options.seed, options.only).text)
        print(tried(options.seed, options.only, planning=True))
        return
    start = time.process_time()
    counts: Counter = Counter()
    for first in range(options.start, options.start + options.count, STRETCH):
        numbers = range(first, min(first + STRETCH, options.start + options.count))
        counts += run(options.seed, numbers, options.plan_every, _tell)[0]
        if numbers.stop < options.start + options.count:
            sums = ", ".join(f"{result} {count}" for result, count in sorted(_by_result(counts).items()))
            print(f"to {numbers.stop}: {sums}; {time.process_time() - start:.0f} s", flush=True)
    for (kind, result), count in sorted(counts.items()):
        print(f"{kind:<14}{result:<26}{count:>9}")
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{options.count} cases of seed {options.seed}, {time.process_time() - start:.0f} s of the processor, peak {peak_mb:.0f} MB")


if __name__ == "__main__":
    main()
