"""All formulas of the package, whichever modules a program has loaded."""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

import methodpick.mechanics as package
from methodpick.mechanics.registry import REGISTRY, Formula


def all_formulas() -> dict[str, Formula]:
    """Return every registered formula by name, module by module in the order of the files.

    >>> all_formulas()["ka"].unit
    '1'
    """
    for found in iter_modules(package.__path__):
        import_module(f"methodpick.mechanics.{found.name}")
    return dict(sorted(REGISTRY.items(), key=lambda item: item[1].call.__module__))
