"""Patterns that are compiled when they are first looked for, so that a command pays for those alone that it uses."""

from __future__ import annotations

import re
from typing import Any, cast

_METHODS = ("search", "match", "fullmatch", "finditer", "findall", "split", "sub")


def pattern_of(text: str, flags: int = 0) -> re.Pattern[str]:
    """Return what stands for ``re.compile(text, flags)`` and compiles at its first use; the functions of ``re`` do not take it.

    Raises re.error at its first use where the text is no pattern.

    >>> pattern_of("so(il|nde)").fullmatch("soil")[1]
    'il'
    """
    return cast("re.Pattern[str]", _LatePattern(text, flags))


class _LatePattern:
    def __init__(self, text: str, flags: int) -> None:
        self._text, self._flags = text, flags

    def __getattr__(self, name: str) -> Any:
        compiled = re.compile(self._text, self._flags)
        self.__dict__ |= {method: getattr(compiled, method) for method in _METHODS}
        return getattr(compiled, name)
