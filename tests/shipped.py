"""The shipped rulebook, loaded once in a process however many tests ask for it, and each file of a changed one read once."""

from functools import cache

from methodpick.engine import load
from methodpick.facts.strata import ReadingRules, build_strata
from methodpick.resources import folder

load_rulebook = load.load_rulebook
"""As it is before a test puts another in its place."""
examine = load.examine
documents = {}
"""The files read so far, by their name in messages and their bytes."""


def examine_once(path, name):
    """Read a rule file of the same name and bytes once: a test that changes one file of a book has all of them read again."""
    try:
        key = name, path.read_bytes() if path.is_file() else None
    except OSError:
        key = name, None
    if key[1] is None:
        return examine(path, name)
    if key not in documents:
        documents[key] = examine(path, name)
    return documents[key]


load.examine = examine_once

parts = {}
"""What was made of the files read so far, by the function and by what it was given, which is kept with it."""


def made_once(make):
    """Make a part of a rulebook of the same document, and the same parts that it stands on, once; one with problems is made anew."""

    def made(*given):
        key = make, *map(id, given)
        if key not in parts:
            parts[key] = make(*given), given
        return parts[key][0]

    return made


for name in ("catalogue_of", "sources_of", "limits_of", "table_of", "size_lists_of", "pay_items_of", "assumptions_of"):
    setattr(load, name, made_once(getattr(load, name)))
rules_of = load.rules_of


def rules_once(document, words, reader):
    """Read the rules of a file once for the same document and words; where the reader noted problems they are read anew."""
    given = document, words.catalogue, words.limits, words.sources
    key = rules_of, *map(id, given)
    if key in parts:
        return parts[key][0]
    before = reader.problems.met
    rules = rules_of(document, words, reader)
    if reader.problems.met == before:
        parts[key] = rules, given
    return rules


load.rules_of = rules_once


@cache
def shipped_rulebook():
    """Return the shipped rulebook without an overlay. It is frozen: a test that changes a book makes one of its own."""
    return load_rulebook(folder("rules"))


def strata_of(profile, depth_m):
    """Return the strata of a boring as the shipped rulebook reads its tests."""
    book = shipped_rulebook()
    return build_strata(profile, depth_m, ReadingRules(book.values, book.tables))


@cache
def shipped_under(agency):
    """Return the shipped rulebook with the overlay of an agency."""
    return load.with_overlays(shipped_rulebook(), [folder("rules") / "agencies" / f"{agency}.yaml"])


def load_shipped_once(home, overlays=()):
    """Load a rulebook as the command line asks for it, the shipped one only once."""
    return load.with_overlays(shipped_rulebook(), overlays) if home == folder("rules") else load_rulebook(home, overlays)
