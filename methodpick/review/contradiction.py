"""What a written plan says, and what is right."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

from methodpick.records import record
from methodpick.unit_markup import may_be_spelled, spell

ABSOLUTE, RELATIVE = 2e-5, 1e-5
"""Numbers that differ by less are equal: a plan is written to six decimals, and what is computed from it again may differ by more."""
NOTHING = "nothing"


@record
class Contradiction:
    """One thing that a plan says against itself, its ground or its rules: where, what is written and what is right."""

    what: str
    written: str
    right: str
    stage: int | None = None
    way: str = ""
    shaft: str = ""

    def __str__(self) -> str:
        """Write the contradiction in one line.

        >>> print(Contradiction("mass_kg", "900", "1066", shaft="P2", way="plan"))
        shaft P2, plan: mass_kg is written as 900; right is 1066
        """
        places = [f"shaft {self.shaft}" if self.shaft else "", self.way, "" if self.stage is None else f"stage {self.stage}"]
        place = ", ".join(part for part in places if part)
        return f"{place}{': ' if place else ''}{self.what} is written as {self.written}; right is {self.right}"


def placed(found: Iterable[Contradiction], shaft: str, way: str = "") -> Iterator[Contradiction]:
    """Return contradictions with the shaft and the way of building that they were found in."""
    return (replace(contradiction, shaft=shaft, way=way) for contradiction in found)


def is_near(written: float | None, right: float | None, slack: float = ABSOLUTE) -> bool:
    """Return whether two numbers are one, but for the rounding of what is written.

    >>> is_near(1.234568, 1.23456789), is_near(None, 0.0), is_near(1.2, 1.3)
    (True, False, False)
    """
    if written is None or right is None:
        return written is right
    return abs(written - right) <= slack + RELATIVE * max(abs(written), abs(right))


def number(
    what: str, written: float | None, right: float | None, *, stage: int | None = None, slack: float = ABSOLUTE
) -> list[Contradiction]:
    """Return the contradiction of a number that is not what it must be; none where it is."""
    if is_near(written, right, slack):
        return []
    return [Contradiction(what, as_text(written), as_text(right), stage)]


def word(what: str, written: object, right: object, *, stage: int | None = None) -> list[Contradiction]:
    """Return the contradiction of a word, or of several, that is not what it must be; none where it is."""
    return [] if written == right else [Contradiction(what, as_text(written), as_text(right), stage)]


def as_text(value: Any) -> str:
    """Write a value in an error line.

    >>> as_text(1.23456789), as_text(None), as_text(("dry", "water"))
    ('1.23457', 'nothing', 'dry, water')
    """
    if value is None or (isinstance(value, (str, tuple)) and not value):
        return NOTHING
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, tuple):
        return ", ".join(as_text(part) for part in value)
    return str(value)


def differences(written: Any, right: Any, path: str, stage: int | None = None) -> Iterator[Contradiction]:
    """Return where two records, maps, lists or values differ, with the path to each place; ``right`` may hold marked numbers."""
    if is_dataclass(right) and not isinstance(right, type) and type(written) is type(right):
        for field in fields(right):
            yield from differences(getattr(written, field.name), getattr(right, field.name), f"{path}.{field.name}", stage)
    elif isinstance(right, Mapping) and isinstance(written, Mapping):
        for key in dict.fromkeys((*written, *right)):
            yield from differences(written.get(key), right.get(key), f"{path}.{key}", stage)
    elif isinstance(right, (tuple, list)) and isinstance(written, (tuple, list)) and len(written) == len(right):
        for index, (first, second) in enumerate(zip(written, right, strict=True)):
            yield from differences(first, second, f"{path}[{index}]", stage)
    elif isinstance(right, str) and isinstance(written, str):
        if not may_be_spelled(right, written, "si", RELATIVE):
            yield from word(path, written, spell(right, "si"), stage=stage)
    elif _is_number(right) and _is_number(written):
        yield from number(path, written, right, stage=stage)
    elif written != right:
        yield Contradiction(path, _short(written), _short(right), stage)


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _short(value: Any) -> str:
    if isinstance(value, (tuple, list)):
        return f"{len(value)} entries"
    return "a record" if is_dataclass(value) or isinstance(value, Mapping) else as_text(value)
