"""The takeoff as CSV for a spreadsheet: the sums, every line of the site and of every shaft; no cell can become a formula."""

from __future__ import annotations

from methodpick.formats.csv import table_csv
from methodpick.site.result import Takeoff
from methodpick.tables.cells import SheetNumbers
from methodpick.tables.factors import make_factors
from methodpick.tables.takeoff import takeoff_table
from methodpick.terms import UnitSystem


def takeoff_csv(takeoff: Takeoff, units: UnitSystem = "si") -> str:
    """Write the sums, the lines of the site, and those of one shaft each (``alike`` says how many stand behind it).

    Numbers have 3 decimals. A text that a spreadsheet would take for a formula has an apostrophe before it.
    """
    numbers = SheetNumbers(units)
    return table_csv(takeoff_table(takeoff, make_factors(takeoff, numbers), numbers))
