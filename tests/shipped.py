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
