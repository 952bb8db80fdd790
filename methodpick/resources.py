"""Find ``rules/`` and ``profiles/`` both in an installed wheel and in a checkout."""

from __future__ import annotations

from pathlib import Path

from methodpick.errors import InputError

_PACKAGE = Path(__file__).resolve().parent


def folder(name: str) -> Path:
    """Return the folder ``rules`` or ``profiles`` that came with this copy of methodpick.

    A wheel carries them inside the package, a checkout beside it. Raises InputError when neither is there.

    >>> folder("rules").name
    'rules'
    """
    for place in (_PACKAGE / "_data" / name, _PACKAGE.parent / name):
        if place.is_dir():
            return place
    raise InputError(f"the folder '{name}' that belongs to methodpick is missing; install methodpick again")
