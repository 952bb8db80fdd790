"""The user's own assumptions (``assume:`` of a site file), read against the catalogue of facts."""

from __future__ import annotations

from typing import Any

from methodpick.engine.rulebook import Rulebook
from methodpick.errors import InputError, Problem
from methodpick.ground.site import Site
from methodpick.strict_yaml import read
from methodpick.vocabulary.assumptions import Assumption, assumption_of
from methodpick.vocabulary.keys import Reader


def own_assumptions(site: Site, book: Rulebook) -> tuple[Assumption, ...]:
    """Return the user's assumptions, which go before those of the rulebook.

    Raises InputError where a fact or a value is not known.
    """
    found = []
    reader = Reader(read("{}", "assume"))
    problems = reader.problems
    for index, one in enumerate(site.assume, 1):
        kept, before = len(problems.kept), problems.met
        entry: dict[str, Any] = {
            "fact": one.fact,
            "set": one.narrowed_to,
            "where": one.where,
            "why": one.why or "said in the site file",
            "source": "site file",
        }
        taken = assumption_of(reader, (), f"user-{index}", entry, book.catalogue)
        problems.kept[kept:] = [
            Problem(f"assumption {index}, on '{one.fact}': {problem.message}", None, problem.expected, problem.hint)
            for problem in problems.kept[kept:]
        ]
        if taken is not None and problems.met == before:
            found.append(taken)
    if problems:
        raise InputError(problems)
    return tuple(found)
