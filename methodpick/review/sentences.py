"""The numbers and the method words of a sentence, in the order in which they stand, to be held against fields of the record."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import zip_longest

from methodpick.review.contradiction import Contradiction

TO_METRES = {"m": 1.0, "mm": 0.001}
RECORD_ROUNDING_M = 0.00051
"""Depths of stages are written to the millimetre; a sentence may be spelled from the depth before that."""
_NUMBER = re.compile(r"(?P<value>-?\d[\d,]*(?:\.\d+)?) (?P<unit>mm|m)\b")

LengthOrWord = float | str
"""A length in metres, or a method word."""


def lengths_and_words(text: str, words: re.Pattern[str]) -> list[tuple[LengthOrWord, float]]:
    """Return the lengths and the method words of a sentence in order, each length with what its rounding leaves open, in metres.

    >>> lengths_and_words("Drill dry to 3.86 m.", re.compile("[Dd]rill dry"))
    [('drill dry', 0.0), (3.86, 0.00551)]
    """
    found: list[tuple[int, LengthOrWord, float]] = [(match.start(), match[0].lower(), 0.0) for match in words.finditer(text)]
    for match in _NUMBER.finditer(text):
        written, factor = match["value"].replace(",", ""), TO_METRES[match["unit"]]
        digits = len(written.partition(".")[2])
        found.append((match.start(), float(written) * factor, 0.5 * 10**-digits * factor + RECORD_ROUNDING_M))
    return [(said, slack) for _, said, slack in sorted(found, key=lambda entry: entry[0])]


def compare_sentence(
    what: str, text: str, right: Sequence[LengthOrWord], words: re.Pattern[str], stage: int | None = None
) -> Iterator[Contradiction]:
    """Return the first number or method word of a sentence that is not that of the record."""
    for written, expected in zip_longest(lengths_and_words(text, words), right):
        if written is None or expected is None or not _is_same(written, expected):
            says = "nothing more" if written is None else _say(written[0])
            yield Contradiction(f'{what} "{_short(text)}"', says, "nothing more" if expected is None else _say(expected), stage)
            return


def _is_same(written: tuple[LengthOrWord, float], expected: LengthOrWord) -> bool:
    said, slack = written
    if isinstance(said, str) or isinstance(expected, str):
        return said == expected
    return abs(said - expected) <= slack + 1e-9


def _say(said: LengthOrWord) -> str:
    return said if isinstance(said, str) else f"{said:.3f} m"


def _short(text: str) -> str:
    return text if len(text) <= 100 else f"{text[:97]}..."
