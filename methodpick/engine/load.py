"""Load a rulebook from a folder: all files, all problems at once, then the overlays in their order.

``add`` rules, ``set`` limits, give the ``sizes`` of a market, ``tighten`` or ``replace`` a rule by its id, ``disable`` rules. A
change that makes the book less careful (``loosening.py``) is detected and refused without a ``reason``; with one it is kept and
stands on every page.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from methodpick.collector import collector_paused
from methodpick.engine.loosening import excludes_less, gives_reason, loosened, loosened_by_limit, moved_limit, other_sizes, without_rule
from methodpick.engine.read import OVERLAY_LEVELS, RuleFile, Words, rule_of, rules_of
from methodpick.engine.rule import Either, Loosening, Rule, with_limits
from methodpick.engine.rulebook import Rulebook
from methodpick.errors import MethodpickError, Problem, Problems, RuleError, did_you_mean
from methodpick.records import record
from methodpick.strict_yaml import YamlDocument, examine
from methodpick.vocabulary.assumptions import assumptions_of
from methodpick.vocabulary.catalogue import SCOPES, Reader, catalogue_of
from methodpick.vocabulary.limits import Limit, Source, limit_of, limits_of, refuse_implausible, source_of, sources_of
from methodpick.vocabulary.pay_items import pay_grouping_of, pay_items_of
from methodpick.vocabulary.tables import ClassTable, table_of
from methodpick.vocabulary.trade_sizes import LIST_NAMES, SizeList, size_list_of, size_lists_of

# ---- Overlays: an agency, a company or a project changes the rulebook by explicit verbs; loosening needs its reason


_KEYS = ("overlay", "title", "level", "add", "set", "sizes", "pay_items", "tighten", "replace", "disable", "sources")


def lay_over(book: Rulebook, document: YamlDocument) -> Rulebook:
    """Return the rulebook with an overlay on it; raises RuleError with every problem of the overlay."""
    reader = Reader(document)
    top = reader.mapping((), document.value, _KEYS, ("overlay",))
    name = _name(reader, top.get("overlay"), book)
    reader.text(("title",), top.get("title"))
    reader.word(("level",), top.get("level", "agency"), OVERLAY_LEVELS, "agency")
    book = replace(book, sources=_with_sources(reader, top.get("sources") or {}, book))
    loosenings = list(book.loosened)
    limits, reasons = _moved_limits(reader, {} if top.get("set") is None else top["set"], book, name)
    rules = [with_limits(rule, limits) if reasons else rule for rule in book.rules]
    _note_loosened_by_limits(reader, book, limits, reasons, loosenings)
    sizes = _with_size_lists(reader, top.get("sizes") or {}, book, name, loosenings)
    paid = top.get("pay_items")
    grouping = book.pay_items if paid is None else replace(pay_grouping_of(reader, ("pay_items",), paid, book.sources), origin=name)
    rules, disabled = _disable(reader, reader.items(("disable",), top.get("disable")), rules, name, loosenings)
    change = _Change(name, Words(book.catalogue, limits, book.sources), loosenings)
    for verb in ("tighten", "replace"):
        for index, entry in enumerate(reader.items((verb,), top.get(verb))):
            rules = _changed(reader, (verb, index), entry, rules, change)
    for index, entry in enumerate(reader.items(("add",), top.get("add"))):
        rules += _added(reader, ("add", index), entry, rules, change)
    reader.done()
    return replace(
        book,
        limits=limits,
        sizes=sizes,
        pay_items=grouping,
        rules=tuple(rules),
        overlays=(*book.overlays, name),
        disabled=(*book.disabled, *disabled),
        loosened=tuple(loosenings),
    )


def _name(reader: Reader, value: Any, book: Rulebook) -> str:
    """Return the name of an overlay, under which everything that it changes is shown: no other one's, and not that of the base."""
    name = reader.text(("overlay",), value).strip()
    if value is not None and not gives_reason(name):
        reader.wrong(("overlay",), "the overlay has no name", "words that say whose practice it is")
    elif name.lower() in {"base", *(known.lower() for known in book.overlays)}:
        holder = "of the rulebook itself" if name.lower() == "base" else "of an overlay that lies on the rulebook already"
        reader.wrong(("overlay",), f"'{name}' is the name {holder}", "a name of its own, so that readers see who changed what")
    return name


def _with_sources(reader: Reader, entries: Any, book: Rulebook) -> dict[str, Source]:
    """Return the sources with those that an overlay adds; what is cited already stays what it is."""
    sources = dict(book.sources)
    for key, entry in reader.mapping(("sources",), entries, entries if isinstance(entries, dict) else ()).items():
        source = source_of(reader, ("sources", key), key, entry)
        if sources.setdefault(key, source) != source:
            message = f"the source '{key}' stands in the rulebook already, as: {sources[key].cite()}"
            reader.wrong(("sources", key), message, "a key of its own", "rules and limits would cite another document", key=True)
    return sources


def _moved_limits(reader: Reader, entries: Any, book: Rulebook, name: str) -> tuple[dict[str, Limit], dict[str, str]]:
    """Return all limits with the changed ones, and the reason given for each change."""
    limits, reasons = dict(book.limits), {}
    if not isinstance(entries, dict):
        reader.wrong(("set",), "a map of limits is expected")
        return limits, {}
    for key, entry in entries.items():
        path = ("set", key)
        if key not in limits:
            reader.word(path, key, limits, "")
            continue
        entry = dict(entry) if isinstance(entry, dict) else {"value": entry}  # noqa: PLW2901
        reason = reader.text(path, entry.pop("reason", ""))
        old = limits[key]
        for fixed in ("safe", "range"):
            if fixed in entry:
                reader.wrong((*path, fixed), f"an overlay cannot set the '{fixed}' of a limit", hint="it is part of the rulebook", key=True)
        entry = {"unit": old.unit, "source": old.source, "confidence": "own", **entry}  # noqa: PLW2901
        new = replace(limit_of(reader, path, key, entry, name), safe=old.safe, least=old.least, most=old.most)
        refuse_implausible(reader, path, new)
        if new.source not in book.sources:
            reader.word((*path, "source"), new.source, book.sources, "")
        if new.unit != old.unit:
            reader.wrong(path, f"'{key}' is in {old.unit}, not in {new.unit}")
        limits[key] = new
        reasons[key] = reason
    return limits, reasons


def _note_loosened_by_limits(
    reader: Reader, book: Rulebook, limits: Mapping[str, Limit], reasons: Mapping[str, str], loosenings: list[Loosening]
) -> None:
    """Note which changed limits are less careful, by their records or for an exclude, and ask for the reason."""
    for key, reason in reasons.items():
        old, new = book.limits[key], limits[key]
        moved = {**book.limits, key: new}
        looser = {
            rule.id: text
            for rule in book.rules
            if key in rule.limits
            and (text := loosened_by_limit(rule, with_limits(rule, moved), book.catalogue, key, new.value - old.value))
        }
        if not looser and not old.looser_anywhere(new):
            continue
        of_rules = f"; it loosens {', '.join(sorted(looser))}" if looser else ""
        if not gives_reason(reason) and not any(map(str.isalnum, new.where)):
            message = f"this loosens the exclude '{min(looser)}': {looser[min(looser)]}" if looser else _less_careful(old)
            reader.wrong(("set", key), message, "a reason or the clause ('where')", "add 'reason: ...'")
        stated = reason if gives_reason(reason) else f"{new.source}, {new.where}"
        loosenings.append(Loosening(new.origin, moved_limit(old, new) + of_rules, stated))


def _with_size_lists(reader: Reader, entries: Any, book: Rulebook, name: str, loosenings: list[Loosening]) -> dict[str, SizeList]:
    """Return the lists of trade sizes with those that an overlay gives.

    No list is safer than another, so that each that differs needs its reason or clause and is noted with what is less careful.
    """
    lists = dict(book.sizes)
    for key, entry in reader.mapping(("sizes",), entries, LIST_NAMES).items():
        path = ("sizes", key)
        entry = dict(entry) if isinstance(entry, dict) else entry  # noqa: PLW2901
        reason = reader.text(path, entry.pop("reason", "")) if isinstance(entry, dict) else ""
        old, new = lists.get(key), replace(size_list_of(reader, path, key, entry, book.sources), origin=name)
        lists[key] = new
        if old is not None and old.sizes == new.sizes:
            continue
        if not gives_reason(reason) and not any(map(str.isalnum, new.where)):
            reader.wrong(path, f"the list '{key}' is changed without a reason", "a reason or the clause ('where')", "add 'reason: ...'")
        stated = reason if gives_reason(reason) else f"{new.source}, {new.where}"
        loosenings.append(Loosening(name, other_sizes(old, new), stated))
    return lists


def _less_careful(old: Limit) -> str:
    way = {"higher": "; the higher, the more careful", "lower": "; the lower, the more careful"}.get(old.safe, " either way, it may be")
    return f"this makes plans less careful: '{old.name}' is {old.value:g} {old.unit}".removesuffix(" 1") + way


def _disable(
    reader: Reader, entries: list[Any], rules: list[Rule], name: str, loosenings: list[Loosening]
) -> tuple[list[Rule], list[Rule]]:
    """Return the rules that stay, and those that the overlay disables."""
    disabled: list[Rule] = []
    for index, entry in enumerate(entries):
        path = ("disable", index)
        if isinstance(entry, str):
            reader.wrong(path, f"rule '{entry}' is disabled without a reason", "{rule: ..., reason: ...}")
            continue
        written = reader.mapping(path, entry, ("rule", "reason"), ("rule", "reason"))
        reason = reader.text(path, written.get("reason"))
        if reason and not gives_reason(reason):
            reader.wrong((*path, "reason"), "this is no reason", "words that say why")
        found = next((rule for rule in rules if rule.id == written.get("rule")), None)
        if found is None:
            if "rule" in written:
                reader.word((*path, "rule"), written["rule"], [rule.id for rule in rules], "")
            continue
        rules = [rule for rule in rules if rule is not found]
        disabled.append(found)
        if lost := without_rule(found):
            loosenings.append(Loosening(name, f"rule '{found.id}' ({found.level}) disabled: {lost}", reason))
    return rules, disabled


@record
class _Change:
    """What the changed rules of an overlay need: its name, the words of the book, and the list of what is made looser."""

    overlay: str
    words: Words
    loosenings: list[Loosening]

    @property
    def file(self) -> RuleFile:
        """Return what a rule takes from the overlay that it stands in."""
        return RuleFile("overlay", origin=self.overlay)


def _changed(reader: Reader, path: tuple[str, int], entry: Any, rules: list[Rule], change: _Change) -> list[Rule]:
    """Return the rules with one of them tightened or replaced, as the first word of the path says."""
    verb = path[0]
    entry = dict(entry) if isinstance(entry, dict) else {}
    reason = reader.text(path, entry.pop("reason", ""))
    rule = rule_of(reader, path, entry, change.words, change.file)
    if rule is None:
        return rules
    old = next((other for other in rules if other.id == rule.id), None)
    if old is None:
        hint = reader.near(rule.id, [other.id for other in rules]) or "use add"
        reader.wrong((*path, "id"), f"there is no rule '{rule.id}' to change", hint=hint)
        return rules
    if verb == "tighten" and old.effect != "exclude":
        reader.wrong(path, f"'{old.id}' is no exclude; only an exclude can be tightened", hint="use replace")
    elif verb == "tighten":
        rule = _tightened(old, rule)
    looser = (excludes_less if verb == "tighten" else loosened)(old, rule, change.words.catalogue)
    if looser and (verb == "tighten" or not gives_reason(reason)):
        hint = "use replace with a reason" if verb == "tighten" else "add 'reason: ...'"
        reader.wrong(path, f"this loosens the {old.effect} '{old.id}': {looser}", hint=hint)
    elif looser:
        change.loosenings.append(Loosening(change.overlay, f"rule '{old.id}' ({old.level}) replaced: {looser}", reason))
    return [replace(rule, topic=old.topic, section=old.section) if other is old else other for other in rules]


def _added(reader: Reader, path: tuple[str, int], entry: Any, rules: list[Rule], change: _Change) -> list[Rule]:
    """Return the rule that an overlay adds, none where it cannot; one that suits a state allows more, and is noted with its reason."""
    rule = rule_of(reader, path, entry, change.words, change.file)
    if rule is None:
        return []
    if any(rule.id == other.id for other in rules):
        reader.wrong((*path, "id"), f"the rule '{rule.id}' exists already", hint="use replace")
        return []
    if rule.effect == "suits":
        what = f"rule '{rule.id}' ({rule.level}) added: it suits {', '.join(rule.states)}"
        change.loosenings.append(Loosening(change.overlay, what, rule.because))
    return [rule]


def _tightened(old: Rule, new: Rule) -> Rule:
    """Return a rule that holds where the old one holds or the new one does, with the words and sources of both."""
    return replace(
        new,
        when=Either((old.condition, new.condition)),
        unless=(),
        text=f"({old.text}) or ({new.text})",
        scope=max(old.scope, new.scope, key=SCOPES.index),
        hazard=old.hazard,
        because=old.because if new.because in old.because else f"{old.because} {new.because}",
        not_for=old.not_for,
        treatment={**new.treatment, **old.treatment},
        source=tuple(dict.fromkeys((*old.source, *new.source))),
    )


# ---- Load a rulebook from a folder: all files, all problems at once, then the overlays in their order


Part = TypeVar("Part")
NOT_RULES = frozenset({"facts.yaml", "limits.yaml", "sources.yaml", "assumptions.yaml", "trade_sizes.yaml", "pay_items.yaml"})
NOT_TOPICS = frozenset({"tables", "agencies"})


@collector_paused()
def load_rulebook(folder: Path, overlays: Sequence[Path] = ()) -> Rulebook:
    """Load facts, limits, sources, assumptions, trade sizes, pay items, tables and every rule file, then the overlays.

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
    read = [
        (path, part(path, lambda document: table_of(document, catalogue, sources))) for path in sorted((folder / "tables").glob("*.yaml"))
    ]
    tables = _by_name(read, problems)
    listed, paid = folder / "trade_sizes.yaml", folder / "pay_items.yaml"
    sizes = part(listed, lambda document: size_lists_of(document, sources)) if listed.exists() else {}
    grouping = part(paid, lambda document: pay_items_of(document, sources)) if paid.exists() else None
    assumptions = part(folder / "assumptions.yaml", lambda document: assumptions_of(document, catalogue, sources))
    if problems or assumptions is None or sizes is None:
        raise RuleError(problems)
    return with_overlays(Rulebook(catalogue, limits, sources, tuple(rules), assumptions, tables, sizes, grouping), overlays)


def _by_name(read: Iterable[tuple[Path, ClassTable | None]], problems: Problems) -> dict[str, ClassTable]:
    tables: dict[str, ClassTable] = {}
    for path, table in read:
        if table is None:
            continue
        if table.id in tables:
            problems.kept.append(Problem(f"tables/{path.name}: the table '{table.id}' stands twice", hint="rename one"))
        tables[table.id] = table
    return tables


@collector_paused()
def with_overlays(book: Rulebook, overlays: Sequence[Path]) -> Rulebook:
    """Return a loaded rulebook with overlays on it, the later ones before the earlier. Raises RuleError with every problem of one."""
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
            hint=did_you_mean(agency, known) or "write an overlay of your own and name it with --overlay",
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
