"""What comes along with the program or is installed beside it: the folders of data, and libraries that only some formats need."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import Any

from methodpick.errors import InputError, Problem

# ---- Libraries that only some formats need: found when they are needed, named where they are missing


def need(module: str, extra: str, what: str) -> Any:
    """Import a library of an extra. Raises InputError that says what to install where it is missing.

    >>> need("json", "html", "an HTML report").__name__
    'json'
    """
    try:
        return import_module(module)
    except ImportError:
        raise InputError(
            Problem(
                f"{what} needs the library '{module}', which is not installed here",
                hint=f"install the extra with it: pip install 'methodpick[{extra}]'",
            )
        ) from None


# ---- Find ``rules/`` and ``profiles/`` both in an installed wheel and in a checkout


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
