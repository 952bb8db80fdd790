"""A hint for a misspelt word."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


def did_you_mean(word: str, words: Iterable[str]) -> str:
    """Give "did you mean 'x'?" where a word like it exists, else an empty text.

    >>> did_you_mean("gravle", ["sand", "gravel"])
    "did you mean 'gravel'?"
    >>> did_you_mean("xyz", ["sand"])
    ''
    """
    known = {str(one).lower(): str(one) for one in words}
    close = get_close_matches(str(word).lower(), list(known), n=1, cutoff=0.6)
    return f"did you mean '{known[close[0]]}'?" if close else ""
