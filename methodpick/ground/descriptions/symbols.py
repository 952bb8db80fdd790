"""Symbols of the unified soil classification and of boring-log legends: what they allow a layer to be.

Sources: ASTM D2487 (group symbols; 5, 12 and 50 % fines as the borders between clean, borderline, dirty and
fine-grained soils), ASTM D2488 (the same symbols by eye); both from memory. The likely shares of fines are own values.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

Range = tuple[float, float | None, float]
Plasticity = Literal["high", "medium", "low", "none"]

SOILS = frozenset(
    {
        "clay",
        "silt",
        "silty_sand",
        "clean_sand",
        "silty_gravel",
        "clean_gravel",
        "cobbles",
        "organic",
        "intermediate",
        "weathered_rock",
        "rock",
        "void",
        "water",
    }
)
"""The classes that a layer may have."""

CLEAN: Range = (0.0, 3.0, 5.0)
BORDERLINE: Range = (5.0, 8.0, 12.0)
DIRTY: Range = (12.0, 25.0, 50.0)
FINE: Range = (50.0, 80.0, 100.0)


@dataclass(frozen=True, slots=True)
class Symbol:
    """What a symbol allows: classes, the likeliest one, the share of fines in percent, the plasticity."""

    soils: frozenset[str]
    likely: str | None
    fines: Range | None = None
    plasticity: Plasticity | None = None


def _one(soil: str, fines: Range | None = None, plasticity: Plasticity | None = None) -> Symbol:
    return Symbol(frozenset({soil}), soil, fines, plasticity)


def _border(clean: str, dirty: str) -> Symbol:
    return Symbol(frozenset({clean, dirty}), clean, BORDERLINE)


SYMBOLS: dict[str, Symbol] = {
    "GW": _one("clean_gravel", CLEAN),
    "GP": _one("clean_gravel", CLEAN),
    "GM": _one("silty_gravel", DIRTY),
    "GC": _one("silty_gravel", DIRTY),
    "GC-GM": _one("silty_gravel", DIRTY),
    "SW": _one("clean_sand", CLEAN),
    "SP": _one("clean_sand", CLEAN),
    "SM": _one("silty_sand", DIRTY),
    "SC": _one("silty_sand", DIRTY),
    "SC-SM": _one("silty_sand", DIRTY),
    **{dual: _border("clean_gravel", "silty_gravel") for dual in ("GW-GM", "GW-GC", "GP-GM", "GP-GC")},
    **{dual: _border("clean_sand", "silty_sand") for dual in ("SW-SM", "SW-SC", "SP-SM", "SP-SC")},
    "ML": _one("silt", FINE, "low"),
    "MH": _one("silt", FINE, "high"),
    "CL": _one("clay", FINE, "low"),
    "CH": _one("clay", FINE, "high"),
    "CL-ML": Symbol(frozenset({"clay", "silt"}), "clay", FINE, "low"),
    "OL": _one("organic", FINE, "low"),
    "OH": _one("organic", FINE, "high"),
    "PT": _one("organic"),
    "ROCK": _one("rock"),
    "WEATHERED_ROCK": _one("weathered_rock"),
    "IGM": _one("intermediate"),
    "PEAT": _one("organic"),
    "COBBLES": _one("cobbles"),
    "BOULDERS": _one("cobbles"),
    "VOID": _one("void"),
    "WATER": _one("water"),
}
"""Group symbols, the dual symbols of ASTM D2487, and the plain words that a site file may use instead."""

_EITHER = re.compile(r"\s*(?:-|/|,|\bto\b|\bor\b|&|\band\b)\s*", re.IGNORECASE)


def symbol_name(text: str) -> str:
    """Write a symbol as the tables have it.

    >>> symbol_name(" sp - sm "), symbol_name("weathered rock")
    ('SP-SM', 'WEATHERED_ROCK')
    """
    return re.sub(r"\s*-\s*", "-", text.strip()).replace(" ", "_").upper()


@lru_cache(maxsize=1024)
def read_symbol(text: str) -> Symbol | None:
    """Read a symbol, a dual symbol, or a pair that means either; None when it is none of these.

    A dual symbol of ASTM D2487 (SP-SM) is one soil with 5 to 12 % fines; any other pair (SM-ML, CL/CH) leaves both
    open, the first one likelier.

    >>> read_symbol("SP-SM").fines
    (5.0, 8.0, 12.0)
    >>> sorted(read_symbol("SM-ML").soils)
    ['silt', 'silty_sand']
    >>> read_symbol("XY") is None
    True
    """
    name = symbol_name(text)
    if name in SYMBOLS:
        return SYMBOLS[name]
    parts = [SYMBOLS.get(symbol_name(part)) for part in _EITHER.split(text.strip())]
    if len(parts) < 2 or any(part is None for part in parts):
        return None
    return either([part for part in parts if part is not None])


def either(parts: list[Symbol]) -> Symbol:
    """Leave several symbols open, the first one likelier; the share of fines spans them all."""
    fines = [part.fines for part in parts if part.fines is not None]
    span = (min(f[0] for f in fines), fines[0][1], max(f[2] for f in fines)) if len(fines) == len(parts) else None
    senses = {part.plasticity for part in parts}
    soils = frozenset().union(*(part.soils for part in parts))
    return Symbol(soils, parts[0].likely, span, senses.pop() if len(senses) == 1 else None)


LEGEND: dict[str, frozenset[str]] = {
    "1": SOILS - {"rock", "void", "water", "intermediate", "weathered_rock"},
    "2": frozenset({"clay"}),
    "3": frozenset({"silt"}),
    "4": frozenset({"silty_sand", "clean_sand"}),
    "5": frozenset({"silty_gravel", "clean_gravel"}),
    "6": frozenset({"organic"}),
    "7": frozenset({"cobbles"}),
    "8": frozenset({"rock", "weathered_rock", "intermediate"}),
}
"""First digit of an AGS legend code to classes; 1 is made ground and topsoil, 9 (broken, void, none) says nothing."""

_LEGEND_SYMBOL = {"2": "CL-CH", "3": "ML", "4": "SM-SP", "5": "GM-GP", "6": "peat", "7": "cobbles", "8": "rock"}


def legend_soils(code: str) -> frozenset[str]:
    """Return the classes of an AGS legend code by its first digit; empty where the code says nothing.

    >>> sorted(legend_soils("403"))
    ['clean_sand', 'silty_sand']
    """
    code = code.strip()
    return LEGEND.get(code[:1], frozenset()) if code[:3].isdigit() and len(code) >= 3 else frozenset()


def legend_symbol(code: str) -> str | None:
    """Return the symbol that stands for a legend code where the description names no soil; None where it has none.

    >>> legend_symbol("201")
    'CL-CH'
    """
    return _LEGEND_SYMBOL.get(code.strip()[:1]) if legend_soils(code) else None
