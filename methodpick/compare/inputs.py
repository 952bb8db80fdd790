"""The inputs in which two revisions of a site differ: where each stands, what it was and is, and how it is put back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import reduce
from typing import Any, NamedTuple, cast

from pydantic import ValidationError

from methodpick.compare.result import ChangedInput
from methodpick.engine.rule import Rule, with_limits
from methodpick.engine.rulebook import Rulebook
from methodpick.ground.quantity import Band, Model, QuantityKind, quantity_of
from methodpick.ground.site import Site
from methodpick.records import record
from methodpick.unit_markup import mark, mark_plainly, spell
from methodpick.units import read_as
from methodpick.vocabulary.limits import Limit

KEYED = ("borings", "shafts")
"""Lists of the site file whose entries are known by their id."""
CONTINUOUS = "layers"
"""The list whose entries meet: one of them is not put back alone where a boundary moved."""
GIVEN, ABSENT = "given", "-"
_MARKS: Mapping[str, str] = {"length": "m", "size": "size", "number": "1", "grain size": "mm"}
"""How quantities are marked in sentences, where that is not the unit that they are kept in."""
_LONGEST = 160
"""Letters of a list of entries that are shown."""


class PlanningInputs(NamedTuple):
    """All that a plan is made from."""

    site: Site
    book: Rulebook


class CannotBePutBackError(Exception):
    """One input alone cannot be put back: what would be left is no site."""


Undo = Callable[[PlanningInputs], PlanningInputs]
"""Puts an input of one revision back to what it is in the other. Raises CannotBePutBackError where that leaves no site."""


@record
class Difference:
    """An input that differs, and how it is put back. ``boring`` is the boring that it is of; ``part`` groups inputs of one place."""

    change: ChangedInput
    undo: Undo
    boring: str = ""
    part: str = ""

    def concerns(self, shafts: Iterable[str], borings: Iterable[str]) -> bool:
        """Return whether the plan of some shafts, which are planned with some borings, may depend on it."""
        if self.change.shafts:
            return not set(self.change.shafts).isdisjoint(shafts)
        return not self.boring or self.boring in set(borings)


def differences(before: PlanningInputs, after: PlanningInputs) -> list[Difference]:
    """Return the inputs that differ; each ``undo`` turns it in the inputs of the revision after to what it was before."""
    found = list(_of_model(before.site, after.site, ""))
    return [*_joined(found), *_of_rulebooks(before.book, after.book)]


# ---- the site


def _of_model(before: Model, after: Model, path: str) -> Iterator[Difference]:
    """Return the differences of two records of one type, key by key."""
    for name, info in type(before).model_fields.items():
        old, new = getattr(before, name), getattr(after, name)
        if old == new:
            continue
        word = info.alias or name
        here = f"{path}.{word}" if path else word
        if name in KEYED and not path:
            yield from _of_keyed(before, after, name)
        elif _is_record(old) and _is_record(new) and type(old) is type(new):
            yield from (_inside(each, name) for each in _of_model(old, new, here))
        elif _is_entries(old) and _is_entries(new) and len(old) == len(new) and not _boundary_moved(name, old, new):
            for place, (one_old, one_new) in enumerate(zip(old, new, strict=True)):
                entry = _of_model(one_old, one_new, f"{here}[{place + 1}]")
                yield from (_inside(each, name, place) for each in entry)
        elif _is_entries(old) and _is_entries(new):
            yield _leaf(before, name, here, *_entries_words(old, new))
        else:
            yield _leaf(before, name, here, value_words(old, quantity_of(info), new), value_words(new, quantity_of(info), old))


def _is_record(value: Any) -> bool:
    return isinstance(value, Model) and not isinstance(value, Band)


def _is_entries(value: Any) -> bool:
    return isinstance(value, tuple) and bool(value) and all(_is_record(entry) for entry in value)


def _boundary_moved(name: str, old: Sequence[Any], new: Sequence[Any]) -> bool:
    return name == CONTINUOUS and any(
        (one_old.top_m, one_old.base_m) != (one_new.top_m, one_new.base_m) for one_old, one_new in zip(old, new, strict=True)
    )


ModelUndo = Callable[[Any], Any]
"""Puts an input of a record back."""


def _on_site(undo: ModelUndo) -> Undo:
    return lambda given: given._replace(site=undo(given.site))


def _site_undo(difference: Difference) -> ModelUndo:
    """Return how a difference that was found inside a record is put back in that record."""
    return cast("ModelUndo", difference.undo)


def _leaf(before: Model, name: str, path: str, old: str, new: str) -> Difference:
    value, was_given = getattr(before, name), name in before.model_fields_set
    return Difference(ChangedInput(path, old, new), cast("Undo", lambda model: _with(model, name, value, given=was_given)))


def _inside(difference: Difference, name: str, place: int | None = None) -> Difference:
    """Return a difference of a field's record, or of an entry of its list, as one of the record that has the field."""
    undo = _site_undo(difference)

    def outer(model: Any) -> Any:
        value = getattr(model, name)
        if place is None:
            return _with(model, name, undo(value))
        return _with(model, name, tuple(undo(entry) if index == place else entry for index, entry in enumerate(value)))

    return replace(difference, undo=cast("Undo", outer))


def _of_keyed(before: Model, after: Model, name: str) -> Iterator[Difference]:
    """Return the differences of borings or shafts, entry by entry; what is in one revision only is put back whole."""
    old, new = ({entry.id: entry for entry in getattr(side, name)} for side in (before, after))
    for key in [*old, *(key for key in new if key not in old)]:
        path = f"{name}[{key}]"
        boring = key if name == "borings" else ""
        shafts = (key,) if name == "shafts" else ()
        if key in old and key in new:
            for each in _of_model(old[key], new[key], path):
                change = replace(each.change, shafts=shafts)
                yield Difference(change, cast("Undo", _of_entry(name, key, _site_undo(each))), boring, path)
        else:
            change = ChangedInput(path, GIVEN if key in old else ABSENT, GIVEN if key in new else ABSENT, shafts)
            yield Difference(change, cast("Undo", _whole_entry(name, key, old.get(key))), part=path)


def _of_entry(name: str, key: str, undo: ModelUndo) -> ModelUndo:
    return lambda model: _with(model, name, tuple(undo(entry) if entry.id == key else entry for entry in getattr(model, name)))


def _whole_entry(name: str, key: str, old: Any) -> ModelUndo:
    def undo(model: Any) -> Any:
        others = tuple(entry for entry in getattr(model, name) if entry.id != key)
        return _with(model, name, others if old is None else (*others, old))

    return undo


def _with(model: Any, name: str, value: Any, *, given: bool = True) -> Any:
    """Return a record with a field changed, checked anew. Raises CannotBePutBackError where it is none then."""
    changed = model.model_copy(update={name: value})
    if not given:
        changed.model_fields_set.discard(name)
    try:
        type(model).model_validate(changed.model_dump(exclude_unset=True))
    except ValidationError as error:
        raise CannotBePutBackError from error
    return changed


def _joined(found: Sequence[Difference]) -> list[Difference]:
    """Return the differences as ones of the site; the same change of several shafts is one."""
    joined: dict[tuple[str, str, str], list[Difference]] = {}
    for index, each in enumerate(found):
        word = each.change.path.partition("].")[2] if each.change.shafts else ""
        key = (word, each.change.before, each.change.after) if word else (str(index), "", "")
        joined.setdefault(key, []).append(each)
    return [_as_one(members) for members in joined.values()]


def _as_one(members: Sequence[Difference]) -> Difference:
    first = members[0]
    undoes = [_on_site(_site_undo(each)) for each in members]
    shafts = tuple(name for each in members for name in each.change.shafts)
    path = first.change.path
    if len(members) > 1:
        few = ", ".join(shafts) if len(shafts) <= 3 else f"{', '.join(shafts[:2])} and {len(shafts) - 2} more"
        path = f"shafts[{few}].{path.partition('].')[2]}"
    change = replace(first.change, path=path, shafts=shafts)
    return replace(first, change=change, undo=lambda given: reduce(lambda inputs, undo: undo(inputs), undoes, given))


def together(members: Sequence[Difference], path: str) -> Difference:
    """Return several differences as one, which puts all of them back."""
    shafts = tuple(name for each in members for name in each.change.shafts)
    change = ChangedInput(path, ABSENT, f"{len(members)} inputs", shafts if all(each.change.shafts for each in members) else ())
    undoes = [each.undo for each in members]
    return Difference(change, lambda given: reduce(lambda inputs, undo: undo(inputs), undoes, given), members[0].boring, path)


# ---- values as words


def value_words(value: Any, quantity: QuantityKind | None, other: Any = None) -> str:
    """Return a value in words, its numbers marked; digits are added where it would read like ``other``.

    >>> from methodpick.ground.quantity import LENGTH
    >>> spell(value_words(4.8768, LENGTH), "us"), value_words(None, None), value_words(True, None)
    ('16.0 ft', '-', 'yes')
    """
    text = _words(value, quantity)
    if other is not None and other != value and any(spell(text, units) == spell(_words(other, quantity), units) for units in ("us", "si")):
        return f"{value:.9g} {quantity.inside}" if quantity is not None and isinstance(value, float) else repr(value)[:_LONGEST]
    return text


def _words(value: Any, quantity: QuantityKind | None) -> str:
    if value is None or value == ():
        return ABSENT
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Band):
        ends = [value.low, *([] if value.likely is None else [value.likely]), value.high]
        return " / ".join(_words(end, quantity) for end in dict.fromkeys(ends))
    if isinstance(value, (int, float)):
        return _marked(float(value), quantity)
    if _is_record(value):
        fields = type(value).model_fields.items()
        given = [(info.alias or name, getattr(value, name), quantity_of(info)) for name, info in fields if name in value.model_fields_set]
        return ", ".join(f"{word} {_words(each, of)}" for word, each, of in given if each is not None)
    if isinstance(value, (tuple, list)):
        return _list_words([_words(entry, quantity) for entry in value])
    return str(value)


def _list_words(entries: Sequence[str]) -> str:
    """Return the entries of a list, as many as are short enough to be read."""
    shown: list[str] = []
    for entry in entries:
        if shown and sum(map(len, shown)) + len(entry) > _LONGEST:
            return f"{'; '.join(shown)}; and {len(entries) - len(shown)} more"
        shown.append(entry)
    return "; ".join(shown)


def _entries_words(old: Sequence[Any], new: Sequence[Any]) -> tuple[str, str]:
    """Return what differs in two lists of entries: keys of those in the same place, and whole entries that only one list has."""
    before: list[str] = []
    after: list[str] = []
    for place, (one_old, one_new) in enumerate(zip(old, new, strict=False), 1):
        found = [(each.change.path, each.change) for each in _of_model(one_old, one_new, "")] if type(one_old) is type(one_new) else []
        before += [f"{place}: {path} {change.before}" for path, change in found]
        after += [f"{place}: {path} {change.after}" for path, change in found]
    shared = min(len(old), len(new))
    before += [f"{place}: {_words(entry, None)}" for place, entry in enumerate(old[shared:], shared + 1)]
    after += [f"{place}: {_words(entry, None)}" for place, entry in enumerate(new[shared:], shared + 1)]
    return _list_words(before) or ABSENT, _list_words(after) or ABSENT


def _marked(value: float, quantity: QuantityKind | None) -> str:
    if quantity is None:
        return f"{value:g}"
    return mark(value, _MARKS.get(quantity.name, quantity.inside))


# ---- the rulebook


def _of_rulebooks(before: Rulebook, after: Rulebook) -> Iterator[Difference]:
    """Return the limits and rules that two rulebooks differ in, each by itself, and the rest of their data together."""
    if before.digest == after.digest:
        return
    for name in sorted({*before.limits, *after.limits}):
        old, new = before.limits.get(name), after.limits.get(name)
        if old is not None and new is not None and (old.value, old.by_diameter) != (new.value, new.by_diameter):
            change = ChangedInput(f"rules: limit {name}", _limit_words(old), f"{_limit_words(new)}{_by(new)}")
            yield Difference(change, _limit_undo(name, old), part="rules")
    for rule_id in sorted({*before.by_id, *after.by_id}):
        rule, other = before.by_id.get(rule_id), after.by_id.get(rule_id)
        if _meaning(rule) != _meaning(other):
            change = ChangedInput(f"rules: {rule_id}", _rule_words(rule), _rule_words(other))
            yield Difference(change, _rule_undo(rule_id, rule), part="rules")
    if before.pay_items != after.pay_items:
        change = ChangedInput("rules: pay items", _pay_words(before), _pay_words(after))
        yield Difference(change, lambda given: given._replace(book=replace(given.book, pay_items=before.pay_items)), part="rules")
    if (before.tables, before.sizes, before.assumptions) != (after.tables, after.sizes, after.assumptions):
        change = ChangedInput("rules: tables, trade sizes and assumptions", "others", "others")
        yield Difference(change, _data_undo(before), part="rules")


def _pay_words(book: Rulebook) -> str:
    return ABSENT if book.pay_items is None else ", ".join(item.replace("_", " ") for item in book.pay_items.items)


def _limit_words(limit: Limit) -> str:
    unit = read_as(limit.name, limit.unit)
    if limit.by_diameter:
        low, high = limit.number_range
        return f"{mark_plainly(low, unit)} to {mark_plainly(high, unit)} by the diameter"
    return mark_plainly(limit.value, unit)


def _by(limit: Limit) -> str:
    return "" if limit.origin == "base" else f" (by {limit.origin})"


def _meaning(rule: Rule | None) -> tuple[object, ...] | None:
    """Return what a rule says, the values of its limits aside; None where there is none."""
    if rule is None:
        return None
    return rule.text, rule.level, rule.status, rule.effect, rule.states, tuple(each.id for each in rule.unless)


def _rule_words(rule: Rule | None) -> str:
    return ABSENT if rule is None else f"{rule.level}, when {rule.text}"


def _limit_undo(name: str, limit: Limit) -> Undo:
    def undo(given: PlanningInputs) -> PlanningInputs:
        limits = {**given.book.limits, name: limit}
        rules = tuple(with_limits(rule, limits) if name in rule.limits else rule for rule in given.book.rules)
        return given._replace(book=replace(given.book, limits=limits, rules=rules))

    return undo


def _rule_undo(rule_id: str, rule: Rule | None) -> Undo:
    def undo(given: PlanningInputs) -> PlanningInputs:
        others = [each for each in given.book.rules if each.id != rule_id]
        rules = others if rule is None else [*others, with_limits(rule, given.book.limits)]
        return given._replace(book=replace(given.book, rules=tuple(rules)))

    return undo


def _data_undo(before: Rulebook) -> Undo:
    return lambda given: given._replace(book=replace(given.book, tables=before.tables, sizes=before.sizes, assumptions=before.assumptions))
