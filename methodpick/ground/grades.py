"""Words of consistency and density on one scale with blow counts and strength, to see whether a log contradicts itself.

Borders: N of 2, 4, 8, 15, 30 in clay with an unconfined strength of 25, 50, 100, 200, 400 kPa (su is half of it), and
N of 4, 10, 30, 50 in sand: Terzaghi and Peck (1967), Soil Mechanics in Engineering Practice, from memory. Other
schools set the words up to one grade apart (BS 5930: stiff is 75 to 150 kPa), so only two grades or more are a doubt.
"""

from __future__ import annotations

from bisect import bisect_right

CONSISTENCIES = ("very_soft", "soft", "firm", "stiff", "very_stiff", "hard")
DENSITIES = ("very_loose", "loose", "medium_dense", "dense", "very_dense")
N_OF_CONSISTENCY = (2.0, 4.0, 8.0, 15.0, 30.0)
SU_OF_CONSISTENCY_KPA = (12.5, 25.0, 50.0, 100.0, 200.0)
N_OF_DENSITY = (4.0, 10.0, 30.0, 50.0)
CONTRADICTION = 2


def grade_of(value: float, borders: tuple[float, ...]) -> int:
    """Return the grade of a value on its scale, 0 the lowest.

    >>> CONSISTENCIES[grade_of(11, N_OF_CONSISTENCY)]
    'stiff'
    """
    return bisect_right(borders, value)


def grades_apart(words: tuple[str, str], scale: tuple[str, ...], grade: int) -> int:
    """Return how many grades lie between the words of a log ("firm to stiff") and a grade; 0 where it is among them.

    >>> grades_apart(("firm", "stiff"), CONSISTENCIES, grade_of(30, N_OF_CONSISTENCY))
    2
    """
    low, high = sorted(scale.index(word) for word in words)
    return max(0, low - grade, grade - high)
