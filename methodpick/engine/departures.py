"""A rulebook folder of somebody's own held against the one that came along: what it lacks, and where it is less careful."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from methodpick.engine.loosening import Loosening, loosened, moved_limit, without_rule
from methodpick.engine.rulebook import Rulebook, canonical
from methodpick.errors import Problem, RuleError
from methodpick.terms import STATES

STATED = "a rulebook folder gives no reasons; ask whoever wrote it"
"""What stands for the reason of a departure."""


def hold_against(book: Rulebook, shipped: Rulebook, name: str) -> Rulebook:
    """Return a rulebook with its departures from the shipped one noted as loosenings, under the name of its folder.

    Raises RuleError where facts, limits or tables that planning reads are missing, where a limit cannot be what it says, and
    where no rule excludes a state, warns or suits anything.
    """
    problems = [*_missing(book, shipped, name), *_implausible(book, shipped, name), *_silent(book, name)]
    if problems:
        raise RuleError(problems)
    found = [*_limits(book, shipped), *_rules(book, shipped), *_other_parts(book, shipped)]
    return replace(book, loosened=(*(Loosening(f"rulebook '{name}'", what, STATED) for what in found), *book.loosened))


def _missing(book: Rulebook, shipped: Rulebook, name: str) -> Iterator[Problem]:
    parts: tuple[tuple[str, Mapping[str, Any], Mapping[str, Any]], ...] = (
        ("fact", book.catalogue.facts, shipped.catalogue.facts),
        ("limit", book.limits, shipped.limits),
        ("class table", book.tables, shipped.tables),
    )
    for kind, there, needed in parts:
        for key in needed:
            if key not in there:
                yield Problem(
                    f"{name}: the {kind} '{key}' is missing, and planning reads it", hint="take it over from the rulebook that came along"
                )


def _implausible(book: Rulebook, shipped: Rulebook, name: str) -> Iterator[Problem]:
    for key, limit in shipped.limits.items():
        given = book.limits.get(key, limit)
        if not replace(limit, value=given.value, by_diameter=given.by_diameter).plausible:
            message = f"{name}: {given.value:g} {limit.unit} cannot be '{key}'"
            yield Problem(message, expected=f"{limit.least:g} to {limit.most:g} {limit.unit}", hint="check the number and its unit")


def _silent(book: Rulebook, name: str) -> Iterator[Problem]:
    rules = [rule for rule in book.rules if rule.status != "deprecated"]
    for effect in ("exclude", "suits"):
        said = {state for rule in rules if rule.effect == effect for state in rule.states}
        if missing := [state for state in STATES if state not in said]:
            words = "excludes" if effect == "exclude" else "suits"
            yield Problem(f"{name}: no rule {words} {', '.join(missing)}", hint="a rulebook speaks for and against every support state")
    if not any(rule.effect == "caution" for rule in rules):
        yield Problem(f"{name}: no rule warns of anything", hint="a plan without cautions is not safe to read")


def _limits(book: Rulebook, shipped: Rulebook) -> Iterator[str]:
    for key, old in shipped.limits.items():
        new = book.limits[key]
        if new.unit != old.unit:
            yield f"{key.replace('_', ' ')}: in {new.unit}, not in {old.unit}"
        elif old.looser_anywhere(new):
            yield moved_limit(old, new)


def _rules(book: Rulebook, shipped: Rulebook) -> Iterator[str]:
    for old in shipped.rules:
        new = book.by_id.get(old.id)
        if new is None:
            if lost := without_rule(old):
                yield f"rule '{old.id}' ({old.level}) is missing: {lost}"
        elif changed := loosened(old, new, shipped.catalogue):
            yield f"rule '{old.id}' ({old.level}) is another: {changed}"
    for new in book.rules:
        if new.effect == "suits" and new.id not in shipped.by_id:
            yield f"rule '{new.id}' ({new.level}) is new: it suits {', '.join(new.states)}"


def _other_parts(book: Rulebook, shipped: Rulebook) -> Iterator[str]:
    """Name the tables, facts and sources that differ, and the assumptions where any does: which way they are looser nobody can tell."""
    parts: tuple[tuple[str, Mapping[str, Any], Mapping[str, Any]], ...] = (
        ("class table", book.tables, shipped.tables),
        ("fact", book.catalogue.facts, shipped.catalogue.facts),
        ("source", book.sources, shipped.sources),
        ("assumption", {found.id: found for found in book.assumptions}, {found.id: found for found in shipped.assumptions}),
    )
    for kind, there, known in parts:
        for key, old in known.items():
            if key in there and canonical(there[key]) != canonical(old):
                yield f"the {kind} '{key}' is another"
        if kind == "assumption":
            yield from (f"the assumption '{key}' is new" for key in there if key not in known)
