"""The user's own assumptions (``assume:`` of a site file), read against the catalogue of facts."""

from __future__ import annotations

from typing import Any

from methodpick.engine.rulebook import Rulebook
from methodpick.errors import InputError, Problem
from methodpick.ground.site import Site
from methodpick.strict_yaml import read
from methodpick.vocabulary.assumptions import Assumption, assumption_of
from methodpick.vocabulary.keys import Reader


def user_assumptions(site: Site, book: Rulebook) -> tuple[Assumption, ...]:
    """Return the user's assumptions, which go before those of the rulebook.

    Raises InputError where a fact or a value is not known.
    """
    found = []
    reader = Reader(read("{}", "assume"))
    problems = reader.problems
    for index, entry in enumerate(site.assume, 1):
        kept, before = len(problems.kept), problems.met
        tree: dict[str, Any] = {
            "fact": entry.fact,
            "set": entry.narrowed_to,
            "where": entry.where,
            "why": entry.why or "said in the site file",
            "source": "site file",
        }
        assumption = assumption_of(reader, (), f"user-{index}", tree, book.catalogue)
        problems.kept[kept:] = [
            Problem(f"assumption {index}, on '{entry.fact}': {problem.message}", None, problem.expected, problem.hint)
            for problem in problems.kept[kept:]
        ]
        if assumption is not None and problems.met == before:
            found.append(assumption)
    if problems:
        raise InputError(problems)
    return tuple(found)
