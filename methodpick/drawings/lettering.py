"""How wide words are, how they wrap, and how labels beside a scale keep out of each other's way."""

from __future__ import annotations

from collections.abc import Sequence

_NARROW = frozenset("iljtfrI.,:;'|!()[]{}- /")
_WIDE = frozenset("mwMW%@")
DOTS = "..."


def width_of(text: str, size: float) -> float:
    """Estimate the width of a text in a wide sans-serif font, so that it fits in a narrower one too.

    >>> width_of("", 10), round(width_of("sand", 10), 1)
    (0, 23.2)
    """
    return sum(_em(letter) for letter in text) * size


def _em(letter: str) -> float:
    if letter in _NARROW:
        return 0.36
    if letter in _WIDE:
        return 0.95
    if ord(letter) > 0x2E7F:
        return 1.0
    return 0.68 if letter.isupper() else 0.58


def shorten(text: str, width: float, size: float) -> str:
    """Cut a text to a width, with dots where something is left out.

    >>> shorten("medium dense sand", 60, 10)
    'medium...'
    """
    plain = " ".join(text.split())
    if width_of(plain, size) <= width:
        return plain
    room = width - width_of(DOTS, size)
    used, kept = 0.0, 0
    for letter in plain:
        used += _em(letter) * size
        if used > room:
            break
        kept += 1
    return plain[:kept].rstrip() + DOTS


def wrap(text: str, width: float, size: float, most: int) -> list[str]:
    """Wrap a text to a width over ``most`` lines at the most; the last line is cut where more would follow.

    >>> wrap("medium dense grey fine to medium sand", 80, 10, 2)
    ['medium dense', 'grey fine to...']
    """
    words = text.split()
    rows: list[str] = []
    while words and len(rows) < most:
        row = words.pop(0)
        while words and width_of(f"{row} {words[0]}", size) <= width:
            row = f"{row} {words.pop(0)}"
        rows.append(row)
    if words:
        rows[-1] = f"{rows[-1]} {' '.join(words)}"
    return [shorten(row, width, size) for row in rows]


def spread(wanted: Sequence[float], heights: Sequence[float], top: float, base: float) -> list[float]:
    """Return the upper edges of labels, as near to where they are wanted as they can stand without touching.

    ``wanted`` runs down. The labels must fit between top and base all together.

    >>> spread([0, 1, 30], [10, 10, 10], 0, 50)
    [0, 10, 30]
    >>> spread([0, 45, 46], [10, 10, 10], 0, 50)
    [0, 30, 40]
    """
    places: list[float] = []
    edge = top
    for want, height in zip(wanted, heights, strict=True):
        edge = max(edge, want)
        places.append(edge)
        edge += height
    edge = base
    for index in range(len(places) - 1, -1, -1):
        places[index] = min(places[index], edge - heights[index])
        edge = places[index]
    return places
