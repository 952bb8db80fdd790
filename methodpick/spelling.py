"""Messages about words that are not on a closed list: what is not there, what there is, what was likely meant."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

MOST_LISTED = 60
"""Words of a closed list that are written out in a message."""


def one_of(words: Iterable[str]) -> str:
    """Write what is allowed, a long list only in its beginning.

    >>> one_of(["sand", "gravel"])
    'one of sand, gravel'
    >>> one_of(str(number) for number in range(300))[-21:]
    '59 ... and 240 others'
    """
    known = [str(word) for word in words]
    more = len(known) - MOST_LISTED
    return f"one of {', '.join(known[:MOST_LISTED])}" + (f" ... and {more} others" if more > 0 else "")


def did_you_mean(word: str, words: Iterable[str]) -> str:
    """Return "did you mean 'x'?" where a word like it exists, else an empty text.

    >>> did_you_mean("gravle", ["sand", "gravel"])
    "did you mean 'gravel'?"
    >>> did_you_mean("xyz", ["sand"])
    ''
    """
    known = {str(candidate).lower(): str(candidate) for candidate in words}
    close = get_close_matches(str(word).lower(), list(known), n=1, cutoff=0.6)
    return f"did you mean '{known[close[0]]}'?" if close else ""


def no_such(what: str, word: str) -> str:
    """Write that a name is not known.

    >>> no_such("boring", "B-7")
    "there is no boring 'B-7'"
    """
    return f"there is no {what} '{word}'"
