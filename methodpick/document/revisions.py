"""Page of two revisions: the inputs that differ, what that changed at which shafts, and because of which input; the sums of both."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from methodpick.compare.result import Cause, ChangedInput, ComparedRevisions, KindChange, PlannedFluid, ShaftState, Side, SiteAmounts
from methodpick.document.comparison import amount_rows, amount_text, casing_words, cost_text
from methodpick.document.model import Document, Items, Paragraph, Section, TextTable, page_with, section
from methodpick.document.record import CLOSING, marked_loosened, rules_and_input
from methodpick.terms import FLUID_NAMES, SUPPORT_NAMES
from methodpick.unit_markup import how_many, mark, number, number_span, unit_name

SAME_INPUTS = "The two do not differ in anything that a plan is made from."
SAME_PLANS = "Every shaft is built as before."
_MOST_NAMES = 8


def revisions_page(compared: ComparedRevisions) -> Document:
    """Return what changed between two revisions, on one page."""
    plan = compared.plan
    before, after = compared.before, compared.after
    lines = [f"{side.name[0].upper()}{side.name[1:]}: {rules_and_input(side.rulebook, side.input)}" for side in (before, after)]
    title = "What changed" + (f" - {plan.site_name}" if plan.site_name else "")
    changed = [_change(change) for change in compared.changes]
    sums = _sums(before, after) if before.amounts != after.amounts else None
    page = page_with(title, lines, _inputs(compared.inputs), *changed, _rest(compared), sums)
    loosened = tuple(dict.fromkeys((*before.rulebook.loosened, *after.rulebook.loosened)))
    of_both = replace(plan, rulebook=replace(plan.rulebook, loosened=loosened))
    return marked_loosened(Document(plan.site_name or plan.input.path, (page,), CLOSING), of_both)


def _inputs(inputs: Sequence[ChangedInput]) -> Section:
    if not inputs:
        return section("Inputs that differ", Paragraph(SAME_INPUTS))
    return section("Inputs that differ", Items(tuple(f"{each.path}: {each.before} -> {each.after}" for each in inputs)))


def _rest(compared: ComparedRevisions) -> Section:
    """Return how many shafts did not change, in one line, and how causes were found where that is to be said."""
    if not compared.changes:
        return section("Shafts", Paragraph(SAME_PLANS))
    rest = (
        f"{how_many(compared.unchanged, 'shaft')} as before."
        if compared.unchanged
        else "Of the shafts that are compared none is as before."
    )
    return section("All other shafts", Paragraph(rest), Items(compared.notes))


def _change(change: KindChange) -> Section:
    named = list(change.shafts)
    names = ", ".join(named[:_MOST_NAMES]) + (f" and {len(named) - _MOST_NAMES} more" if len(named) > _MOST_NAMES else "")
    title = f"Shaft {names}" if len(named) == 1 else f"Shafts {names}"
    before, after = change.before, change.after
    if before is None or after is None:
        state = before or after
        said = f"{change.said} {state.decision} {casing_words(state.casings)}" if state is not None else change.said
        return section(title, Paragraph(said.strip()))
    differs = "" if "decision" in change.differs else f"Built as before: {before.decision}"
    decisions = (f"Before: {before.decision}", f"After: {after.decision}") if not differs else ()
    shown = [(name, words(before), words(after)) for name, aspect, words in _ROWS if aspect in change.differs]
    rows = tuple(row for row in shown if row[1] != row[2])
    return section(
        title,
        Paragraph(change.said, tone="strong"),
        Items(tuple(map(_cause_words, change.causes)) if change.interact else ()),
        Paragraph(differs),
        Items(decisions),
        TextTable((f"{how_many(change.count, 'shaft')}, each", "before", "after"), rows, (1, 2)),
    )


def _cause_words(cause: Cause) -> str:
    does = {"either": "alone it makes the whole change", "decides": "put back alone it undoes all", "shares": ", ".join(cause.moves)}
    return f"{cause.input.path}: {does[cause.share]}."


def _casings(state: ShaftState) -> str:
    return casing_words(state.casings).removeprefix("Casing: ").rstrip(".") or "-"


def _fluids(state: ShaftState) -> str:
    return "; ".join(map(_fluid_words, state.fluids)) or "-"


def _fluid_words(fluid: PlannedFluid) -> str:
    least, most = fluid.density_min_kg_m3, fluid.density_max_kg_m3
    density = "no density serves" if least is None or most is None or least > most else number_span(least, most, "kg/m3")
    return f"{FLUID_NAMES[fluid.fluid]}, level {number(fluid.level_m, 'm')}, {density}"


_ROWS: tuple[tuple[str, str, Callable[[ShaftState], str]], ...] = (
    ("method", "method", lambda state: SUPPORT_NAMES[state.method]),
    ("concrete placed", "placement", lambda state: state.placement),
    ("casing", "casing", _casings),
    ("fluid", "fluid", _fluids),
    ("drilled", "drilled length", lambda state: mark(state.drilled_m, "m")),
    ("concrete to order", "concrete", lambda state: mark(state.concrete_m3.likely, "m3")),
    ("hole under fluid", "volume under fluid", lambda state: mark(state.fluid_m3, "m3")),
    ("hours", "hours", lambda state: mark(state.hours.likely, "h")),
    ("length not firm", "length not firm", lambda state: mark(state.not_firm_m, "m")),
    ("checks open", "checks open", lambda state: "; ".join(state.open_proofs) or "none"),
    ("proven", "proven", lambda state: "yes" if state.proven else "no"),
    ("relative cost (own)", "relative cost", lambda state: f"{state.relative_cost:.1f}"),
)
"""Rows of the table of a kind: name, the aspect that it shows where that differs, and its words."""


def _sums(before: Side, after: Side) -> Section:
    """Return the sums of both and what is more after."""
    sums = (before.amounts, after.amounts)
    rows = [
        (
            row.name + (f", {unit_name(row.unit)}" if row.unit else ""),
            *(amount_text(row, of) for of in sums),
            _more(row.value(before.amounts), row.value(after.amounts), row.unit),
        )
        for row in amount_rows(sums)
    ]
    ratio = after.amounts.relative_cost / before.amounts.relative_cost if before.amounts.relative_cost > 0 else 1.0
    rows.append(("relative cost (own)", "1.00", f"{ratio:.2f}", f"{ratio - 1:+.2f}"))
    rows += _cost_row(before.amounts, after.amounts)
    lacking = dict.fromkeys(name for of in sums if of.money is not None for name in of.money.lacking)
    missing = f"The totals are incomplete, without: {'; '.join(lacking)}." if lacking else ""
    return section("The whole site", TextTable(("", "before", "after", "more"), tuple(rows), (1, 2, 3)), Paragraph(missing))


def _more(before: float | None, after: float | None, unit: str) -> str:
    more = (after or 0.0) - (before or 0.0)
    if abs(more) < 1e-6:
        return "-"
    sign = "+" if more > 0 else "-"
    return sign + (number(abs(more), unit) if unit in {"m", "m3", "h"} else f"{abs(more):,.0f}")


def _cost_row(before: SiteAmounts, after: SiteAmounts) -> list[tuple[str, str, str, str]]:
    if before.money is None or after.money is None:
        return []
    more = f"{after.money.total.likely - before.money.total.likely:+,.0f}" if before.money.currency == after.money.currency else ""
    return [(f"cost, {after.money.currency}".rstrip(", "), cost_text(before.money), cost_text(after.money), more)]
