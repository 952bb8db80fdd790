"""The page of a takeoff: sums, strings, hours, cost, clearances; with every line of the shafts where they are asked for."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from methodpick.document import site_text as told
from methodpick.report.borings import borings_of_shafts
from methodpick.report.page import CLOSING
from methodpick.report.voice import SUPPORT, Voice
from methodpick.report.yard import cost, hours, yard
from methodpick.site.result import Estimate, ShaftTakeoff, Takeoff, TakeoffLine, TotalLine
from methodpick.unit_markup import System

FEW = 3
"""So few shafts are shown with all their lines unasked."""


def render_takeoff(takeoff: Takeoff, console: Console, units: System | None = None, *, lines: bool = False) -> None:
    """Print a takeoff in the reader's units; ``lines`` shows every line of every shaft with its formula."""
    plan = takeoff.site.plan
    voice = Voice(console, units or plan.units)
    count = sum(one.count for one in takeoff.shafts)
    console.print(Text(f"Takeoff of {count} shafts" + (f" - {plan.site_name}" if plan.site_name else ""), style="bold"))
    overlays = f" with {', '.join(plan.rulebook.overlays)}" if plan.rulebook.overlays else ""
    voice.say(
        f"methodpick {plan.tool_version}, rulebook {plan.rulebook.digest[:12]}{overlays}, input {plan.input.path} {plan.input.digest[:12]}",
        0,
    )
    borings_of_shafts(takeoff.site, voice)
    if lines or len(takeoff.shafts) <= FEW:
        for shaft in takeoff.shafts:
            _shaft(shaft, voice)
    _totals(takeoff.totals, takeoff.site_lines, voice)
    _checks(takeoff.shafts, voice)
    yard(takeoff.yard, voice)
    hours(takeoff.hours, voice)
    cost(takeoff.cost, voice)
    voice.head("Notes")
    for note in takeoff.notes:
        voice.item("-", note)
    if not lines and len(takeoff.shafts) > FEW:
        voice.item("-", "--shaft ID shows every line of a shaft with its formula; --csv and --json write all of them.")
    console.print()
    voice.say(CLOSING, 0)


def _shaft(shaft: ShaftTakeoff, voice: Voice) -> None:
    many = f", {shaft.count} alike, each" if shaft.count > 1 else ""
    voice.head(f"Shaft {shaft.shaft}{many}")
    voice.say(
        f"{voice.n(shaft.diameter_m, 'size')} diameter, tip {voice.n(shaft.tip_m, 'm')}, boring {shaft.boring}, method "
        f"{SUPPORT[shaft.method]}."
    )
    _lines(shaft.lines, voice)


def _lines(lines: Sequence[TakeoffLine], voice: Voice) -> None:
    rows = [(one.item, _amount(one.amount, one.unit, voice), one.pay, one.formula) for one in lines]
    voice.table(("item", "quantity", "pay", "from"), rows)


def _totals(totals: Sequence[TotalLine], site_lines: Sequence[TakeoffLine], voice: Voice) -> None:
    voice.head("Sums over the site")
    voice.table(told.TOTAL_HEADS, told.total_rows(totals, voice), right=(1,))
    for text in told.site_words(site_lines):
        voice.item("-", text)


def _amount(amount: Estimate, unit: str, voice: Voice) -> str:
    if amount.certain:
        return voice.n(amount.likely, unit)
    return f"{voice.n(amount.likely, unit)} ({told.ends(amount, unit, voice)})"


def _checks(shafts: Sequence[ShaftTakeoff], voice: Voice) -> None:
    voice.head("Clearance of cages")
    for fits, text in told.clearances(shafts):
        voice.item("-" if fits else "!", text, style="" if fits else "bold red")
