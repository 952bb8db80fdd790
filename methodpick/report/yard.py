"""Casing strings, hours and cost on the page."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document import site_text as told
from methodpick.report.voice import Voice
from methodpick.site.result import CostSheet, HoursRow, Yard


def yard(one: Yard, voice: Voice) -> None:
    """Write the strings to have, what is at hand, and what rounding and uniformity cost."""
    voice.head("Casing strings and the yard")
    if one.strings:
        voice.table(told.YARD_HEADS, told.yard_rows(one, voice), right=(2, 3, 4, 6, 7))
    for text in told.yard_words(one, voice):
        voice.say(text)


def hours(rows: Sequence[HoursRow], voice: Voice) -> None:
    """Write the hours of each shaft, likely, and their sum as a range; neighbours that are alike stand in one row."""
    voice.head("Hours of each shaft, likely")
    voice.table(told.HOURS_HEADS, told.hours_rows(rows), right=range(1, 9))
    voice.say(told.HOURS_KEY)
    voice.say(told.hours_sum(rows))


def cost(sheet: CostSheet | None, voice: Voice) -> None:
    """Write the cost, where rates are given."""
    if sheet is None:
        return
    voice.head(told.cost_title(sheet))
    voice.table(told.COST_HEADS, told.cost_rows(sheet), right=(1, 2, 3))
    lacking = told.not_priced(sheet)
    if lacking:
        voice.say(lacking)
