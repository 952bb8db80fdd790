"""Libraries that only some formats need: found when they are needed, named where they are missing."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from methodpick.errors import InputError, Problem


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
