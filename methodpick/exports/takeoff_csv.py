"""The takeoff as CSV for a spreadsheet: every line of every shaft, of the site, and the sums; no cell can become a formula."""

from __future__ import annotations

import csv
from io import StringIO

from methodpick.site.result import Range, Takeoff
from methodpick.spoken import System, spell
from methodpick.units import FACTORS

HEAD = ("scope", "shaft", "alike", "group", "item", "low", "likely", "high", "unit", "pay", "formula", "source")
_US = {"m": "ft", "m3": "yd3", "kg": "lb"}
_RISKY = ("=", "+", "-", "@", "\t", "\r")


def takeoff_csv(takeoff: Takeoff, units: System = "si") -> str:
    """Write the lines of one shaft each (``alike`` says how many stand behind it), those of the site, and the sums.

    Numbers have 3 decimals. A text that a spreadsheet would take for a formula has an apostrophe before it.
    """
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HEAD)
    for shaft in takeoff.shafts:
        for line in shaft.lines:
            writer.writerow([*_texts(units, "shaft", shaft.shaft), shaft.count, *_texts(units, line.group, line.item),
                             *_numbers(line.amount, line.unit, units), *_texts(units, line.pay, line.formula, line.source)])
    for line in takeoff.site_lines:
        writer.writerow([*_texts(units, "site", ""), "", *_texts(units, line.group, line.item),
                         *_numbers(line.amount, line.unit, units), *_texts(units, line.pay, line.formula, line.source)])
    for total in takeoff.totals:
        writer.writerow([*_texts(units, "sum", ""), total.shafts, *_texts(units, total.group, total.item),
                         *_numbers(total.amount, total.unit, units), *_texts(units, total.pay, total.formula, "")])
    return out.getvalue()


def defused(text: str) -> str:
    r"""Give a text that no spreadsheet takes for a formula, on one line.

    >>> defused("=HYPERLINK(1)"), defused("P1"), defused(" -3"), defused("\rx")
    ("'=HYPERLINK(1)", 'P1', "' -3", "' x")
    """
    plain = text.replace("\r", " ").replace("\n", " ")
    return f"'{plain}" if text.startswith(_RISKY) or text.strip().startswith(_RISKY) else plain


def _texts(units: System, *texts: str) -> list[str]:
    return [defused(spell(text, units)) for text in texts]


def _numbers(amount: Range, unit: str, units: System) -> list[str]:
    name = _US.get(unit, unit) if units == "us" else unit
    factor = FACTORS[unit][name] if unit in FACTORS and name in FACTORS[unit] else 1.0
    return [*(f"{value / factor + 0.0:.3f}" for value in (amount.low, amount.likely, amount.high)), "" if name == "1" else name]
