"""Move every number that is an own one or from memory, and print which of them change a method: a table in Markdown.

``python tests/sensitivity.py [--factors 0.8 1.25] [--sites FOLDER ...] [--from NAME] [--only NAME ...] [--rows FILE]``. Each limit of
``rules/limits.yaml`` and each number of ``rules/tables/`` whose standing is ``own`` or ``memory`` is multiplied alone, a limit no further
than the range of what it can plausibly be, and the expected way of the first shaft of every example site and published case is searched
anew. A method counts as changed where another support holds a tenth of the shaft or more. The numbers that change the most sites come
first: for these better sources are worth looking for.

A shaft is planned again only where its plan looked the number up or a rule that names it says otherwise. One process, half an hour;
``--from`` goes on at a limit, by name, and the tables; ``--only`` plans the named sites alone, a sample: those whose methods stand on an
edge show most. ``--rows`` keeps each number in a file as soon as it is tried, and those that it holds are not tried again.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path

from kill_rules import shifted

from methodpick.engine.load import load_rulebook
from methodpick.engine.rulebook import Rulebook
from methodpick.errors import InputError
from methodpick.imports.site_file import read_site
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.intervals import DepthSupport
from methodpick.resources import folder
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span, Value
from methodpick.why.flips import ShaftQuestion, shaft_question, supports_at

TESTS = Path(__file__).parent
FOLDERS = (folder("profiles"), TESTS / "published" / "cases")
FACTORS = (0.8, 1.25)
LEAST_SHARE = 0.1
"""Share of the shaft that is held otherwise from which a method counts as changed."""
UNSOURCED = {"own", "memory"}
PARTS = 40
"""Equal parts of a shaft in whose middles the supports are compared."""


class Recorded(dict):
    """A mapping that notes which of its entries were read."""

    def __init__(self, entries: Mapping) -> None:
        super().__init__(entries)
        self.read: set[str] = set()

    def __getitem__(self, name: str) -> object:
        self.read.add(name)
        return super().__getitem__(name)


@dataclass(frozen=True)
class Asked:
    """A shaft that is planned with every changed number, the depths that are compared and how they are held unchanged.

    ``read`` are the numbers that its plan looked up, ``verdicts`` what the rules say of its slices.
    """

    name: str
    question: ShaftQuestion
    depths_m: tuple[float, ...]
    now: tuple[DepthSupport, ...]
    read: frozenset[str]
    verdicts: object

    def with_book(self, book: Rulebook) -> PlanContext:
        """Return what the plan is made from, with another rulebook."""
        question = replace(self.question, book=book, proved={})
        return question.context(question.site)


@dataclass
class Moved:
    """A number by its place and by its name, and by factor the sites whose method it changes, each with what it becomes."""

    place: str
    name: str
    value: str
    standing: str
    changes: dict[float, list[str]] = field(default_factory=dict)

    @property
    def sites(self) -> int:
        """Count the sites that either factor changes."""
        return len({change.partition(":")[0] for changed in self.changes.values() for change in changed})


def shafts(folders: list[Path], book: Rulebook, only: Sequence[str] = ()) -> Iterator[Asked]:
    """Return the first shaft of every site file of some folders, or of the named ones."""
    for path in sorted(path for home in folders for path in home.glob("*.yaml") if not only or path.stem in only):
        try:
            site = read_site(path)[0]
        except InputError:
            continue  # what stands beside the sites
        own = replace(book, limits=Recorded(book.limits), tables={name: replace(table, _found={}) for name, table in book.tables.items()})
        own.__dict__["values"] = Recorded(book.values)
        own.limits.read.clear()
        question = shaft_question(site, own, site.shafts[0].id)
        context = question.context(question.site)
        depths = tuple(context.shaft.tip_m * (part + 0.5) / PARTS for part in range(PARTS))
        now = supports_at(context, depths)
        copied = not isinstance(context.limits, Recorded)
        read = set(book.limits) if copied else own.limits.read | own.values.read
        yield Asked(path.stem, question, depths, now, frozenset(read | set(_rows_met(own))), _verdicts(context))


def _rows_met(book: Rulebook) -> Iterator[str]:
    """Return the names of the rows of class tables that a plan met."""
    for name, table in book.tables.items():
        for index, row in enumerate(table.rows):
            asked = (dict(zip(table.inputs, values, strict=True)) for values in table._found)
            if any(row.possible({key: value for key, value in values.items() if value is not None}) for values in asked):
                yield f"{name} {index}"


def _verdicts(context: PlanContext) -> object:
    """Return what the search works on: a number that leaves it as it is, and that no size or proof reads, changes no plan."""
    given = context.search_input
    return given.slices, given.seats, given.costs, [judged.verdicts for judged in context.ground.slices]


def numbers(book: Rulebook, factors: list[float], first: str = "") -> Iterator[tuple[Moved, list[tuple[float, Rulebook]]]]:
    """Return every number of own or remembered standing from a limit on, with the rulebooks in which it is multiplied."""
    for name, limit in sorted(book.limits.items()):
        if name >= first and limit.confidence in UNSOURCED and not name.startswith("flip_"):
            moved = Moved(name, name, f"{limit.value:g} {limit.unit}".removesuffix(" 1"), limit.confidence)
            yield moved, [(factor, shifted(book, name, plausible_factor(limit, factor))) for factor in factors]
    for name, table in sorted(book.tables.items()):
        for index, row in enumerate(table.rows):
            if row.confidence in UNSOURCED and any(isinstance(value, Span) for value in row.then.values()):
                values = "; ".join(str(value.likely) for value in row.then.values() if isinstance(value, Span))
                yield (
                    Moved(f"{name} {index}", f"{name}: {row.where}", values, row.confidence),
                    [(factor, _with_row(book, name, index, factor)) for factor in factors],
                )


def plausible_factor(limit: Limit, factor: float) -> float:
    """Return the factor, or the last before it that leaves a limit in its range.

    >>> weight = Limit("weight_kn_m3", 20.0, "kN/m3", "own", "", "", "own", "", least=18.0, most=27.0)
    >>> [plausible_factor(weight, factor) for factor in (0.8, 1.25)]
    [0.9, 1.25]
    """
    values = [value for value in (limit.value, *(value for _, value in limit.by_diameter)) if value != 0.0]
    ends = [end / value for value in values for end in (limit.least, limit.most)]
    if factor > 1.0:
        return min([factor, *(end for end in ends if end >= 1.0)])
    return max([factor, *(end for end in ends if end <= 1.0)])


def _with_row(book: Rulebook, name: str, index: int, factor: float) -> Rulebook:
    table = book.tables[name]
    row = table.rows[index]
    changed = replace(row, then={output: _times(value, factor) for output, value in row.then.items()})
    rows = (*table.rows[:index], changed, *table.rows[index + 1 :])
    return replace(book, tables={**book.tables, name: replace(table, rows=rows, _found={})})


def _times(value: Value, factor: float) -> Value:
    if not isinstance(value, Span):
        return value
    return Span(value.low * factor, value.high * factor, None if value.likely is None else value.likely * factor)


def changed_method(asked: Asked, place: str, book: Rulebook) -> str:
    """Return how a shaft is held otherwise with a changed rulebook; an empty text where less than a tenth of it is."""
    by_rules = any(place in rule.limits for rule in book.rules)
    if place not in asked.read and not by_rules:
        return ""
    context = asked.with_book(book)
    if place not in asked.read and _verdicts(context) == asked.verdicts:
        return ""
    then = supports_at(context, asked.depths_m)
    pairs = [(was.support, new.support) for was, new in zip(asked.now, then, strict=True) if was.support != new.support]
    if len(pairs) < LEAST_SHARE * len(then):
        return ""
    was, new = max(set(pairs), key=pairs.count)
    return f"{asked.name}: {was.replace('_', ' ')} to {new.replace('_', ' ')}"


def kept(path: Path | None) -> dict[str, Moved]:
    """Return the numbers that a file of rows holds, by their places."""
    if path is None or not path.exists():
        return {}
    rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    changes = [{float(factor): texts for factor, texts in row.pop("changes").items()} for row in rows]
    return {row["place"]: Moved(**row, changes=changed) for row, changed in zip(rows, changes, strict=True)}


def keep(path: Path | None, moved: Moved) -> None:
    """Write a number that was tried to the end of a file of rows."""
    if path is not None:
        with path.open("a", encoding="utf-8") as file:
            file.write(json.dumps(asdict(moved)) + "\n")


def table(found: list[Moved], factors: list[float], asked: int, tried: int) -> str:
    """Write the numbers that change a method, those that change the most sites first."""
    flips = sorted((moved for moved in found if moved.sites), key=lambda moved: (-moved.sites, moved.name))
    lines = [
        f"{tried} numbers, {asked} shafts; {len(flips)} numbers change the method of one or more.",
        "",
        f"| number | value | standing | {' | '.join(f'x {factor:g}' for factor in factors)} |",
        "|---|---|---|" + "---|" * len(factors),
    ]
    for moved in flips:
        cells = [", ".join(moved.changes.get(factor, [])) for factor in factors]
        lines.append(f"| {moved.name} | {moved.value} | {moved.standing} | {' | '.join(cells)} |")
    return "\n".join(lines)


def main() -> None:
    """Run from the command line."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--factors", type=float, nargs="+", default=list(FACTORS))
    parser.add_argument("--sites", type=Path, nargs="+", default=list(FOLDERS))
    parser.add_argument("--from", dest="first", default="", metavar="NAME", help="the first limit, by name; the tables follow the limits")
    parser.add_argument("--only", nargs="+", default=[], metavar="NAME", help="these sites alone")
    parser.add_argument("--rows", type=Path, metavar="FILE", help="keeps what was tried, and goes on from it")
    options = parser.parse_args()
    book = load_rulebook(folder("rules"))
    asked = list(shafts(options.sites, book, options.only))
    before = kept(options.rows)
    found: list[Moved] = []
    for moved, books in numbers(book, options.factors, options.first):
        if moved.place in before:
            found.append(before[moved.place])
            continue
        moved.changes = {factor: [text for each in asked if (text := changed_method(each, moved.place, new))] for factor, new in books}
        found.append(moved)
        keep(options.rows, moved)
        if moved.sites:
            print(f"{moved.name}: {moved.changes}", file=sys.stderr, flush=True)
    print(table(found, options.factors, len(asked), len(found)))


if __name__ == "__main__":
    main()
