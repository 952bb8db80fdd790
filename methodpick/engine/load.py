"""Load a rulebook from a folder: all files, all problems at once, then the overlays in their order."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TypeVar

from methodpick.engine.overlay import lay_over
from methodpick.engine.read import Words, rules_of
from methodpick.engine.rule import Rule
from methodpick.engine.rulebook import Rulebook
from methodpick.errors import MethodpickError, Problem, Problems, RuleError
from methodpick.strict_yaml import YamlDocument, examine
from methodpick.vocabulary.assumptions import assumptions_of
from methodpick.vocabulary.catalogue import catalogue_of
from methodpick.vocabulary.keys import Reader
from methodpick.vocabulary.limits import limits_of, sources_of
from methodpick.vocabulary.tables import ClassTable, table_of

Part = TypeVar("Part")
NOT_RULES = frozenset({"facts.yaml", "limits.yaml", "sources.yaml", "assumptions.yaml"})
NOT_TOPICS = frozenset({"tables", "agencies"})


@contextmanager
def _collector_paused() -> Iterator[None]:
    """Keep the garbage collector still: nothing of a book that is being read is garbage, and looking takes a sixth of the time."""
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()


@_collector_paused()
def load_rulebook(folder: Path, overlays: Sequence[Path] = ()) -> Rulebook:
    """Load ``facts``, ``limits``, ``sources``, ``assumptions``, ``tables/`` and every rule file, then the overlays.

    Raises RuleError with every problem of every file; nothing is decided with half a rulebook.
    """
    if not folder.is_dir():
        raise RuleError(
            Problem(f"{folder}: there is no such rulebook folder", hint="a rulebook folder holds facts.yaml, limits.yaml and sources.yaml")
        )
    problems = Problems()

    def part(path: Path, make: Callable[[YamlDocument], Part]) -> Part | None:
        try:
            return make(_document(path, folder))
        except MethodpickError as error:
            problems.take(error)
            return None

    catalogue = part(folder / "facts.yaml", catalogue_of)
    sources = part(folder / "sources.yaml", sources_of)
    limits = part(folder / "limits.yaml", lambda document: limits_of(document, sources))
    if catalogue is None or sources is None or limits is None:
        raise RuleError(problems)
    problems.kept += [
        Problem(f"limits.yaml: '{name}' is the name of a fact and of a limit", hint="rename one") for name in limits if name in catalogue
    ]
    rules = _rules(folder, Words(catalogue, limits, sources), problems)
    tables: dict[str, ClassTable] = {}
    for path in sorted((folder / "tables").glob("*.yaml")):
        table = part(path, lambda document: table_of(document, catalogue, sources))
        if table is not None and table.id in tables:
            problems.kept.append(Problem(f"tables/{path.name}: the table '{table.id}' stands twice", hint="rename one"))
        if table is not None:
            tables[table.id] = table
    assumptions = part(folder / "assumptions.yaml", lambda document: assumptions_of(document, catalogue, sources))
    if problems or assumptions is None:
        raise RuleError(problems)
    book = Rulebook(catalogue, limits, sources, tuple(rules), assumptions, tables)
    for path in overlays:
        book = lay_over(book, _document(path, path.parent))
    return book


def overlay_path(folder: Path, agency: str) -> Path | None:
    """Return the overlay of an agency that comes with the rulebook, None for the base itself.

    Raises RuleError for an agency that the rulebook does not know.
    """
    known = {path.stem: path for path in sorted((folder / "agencies").glob("*.yaml"))}
    if agency.lower() in known:
        return known[agency.lower()]
    if agency.lower() in {"", "fhwa", "base"}:
        return None
    raise RuleError(
        Problem(
            f"there is no overlay for the agency '{agency}'",
            expected=f"one of {', '.join(known)}",
            hint="write one of your own and name it with --rules",
        )
    )


def _document(path: Path, folder: Path) -> YamlDocument:
    name = str(path.relative_to(folder.parent)) if folder.parent in path.parents else str(path)
    try:
        return examine(path, name)
    except MethodpickError as error:
        raise RuleError(Problems(error.problems, error.left)) from None


def _rules(folder: Path, words: Words, problems: Problems) -> list[Rule]:
    rules: list[Rule] = []
    seen: dict[str, Rule] = {}
    for path in sorted(folder.rglob("*.yaml")):
        inside = path.relative_to(folder)
        if inside.name in NOT_RULES or inside.parts[0] in NOT_TOPICS:
            continue
        try:
            reader = Reader(_document(path, folder))
        except MethodpickError as error:
            problems.take(error)
            continue
        for rule in rules_of(reader.document, words, reader):
            if rule.id in seen:
                reader.wrong_at(rule.place, f"the rule id '{rule.id}' stands twice", f"the first is at {seen[rule.id].place}")
            seen.setdefault(rule.id, rule)
            rules.append(rule)
        problems.take(RuleError(reader.problems))
    return rules
