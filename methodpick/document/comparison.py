"""Pages of a comparison: the ways to build a site side by side, with each kind of shaft in each of them; or two revisions of a site.

Of two revisions: the inputs that differ, what that changed at which shafts, and because of which input; the sums of both.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from methodpick.compare.result import (
    Cause,
    ChangedInput,
    ComparedRevisions,
    ComparedWays,
    CostTotal,
    GivenCost,
    KindChange,
    KindState,
    PlannedCasing,
    PlannedFluid,
    ShaftState,
    Side,
    SiteAmounts,
    SiteWay,
)
from methodpick.document.model import Document, Items, Paragraph, Section, TextTable, page_with, section
from methodpick.document.pages import and_more
from methodpick.document.record import CLOSING, marked_loosened, rules_and_input, stamp
from methodpick.records import record
from methodpick.terms import CASING_KINDS, FLUID_NAMES, FLUIDS, SUPPORT_NAMES
from methodpick.unit_markup import bare_number, how_many, mark, number, number_span, unit_name

_HEADS = {"one_casing_diameter": "one casing", "other_family": "other"}
"""Titles of ways that are too long for the head of a column."""
OUTCOMES = {"built": "", "as_planned": "as the plan", "not_proven": "not proven", "cannot_be_built": "cannot be built"}
_BASIS = (
    "Each way is a whole plan of every shaft, by the same search, checks and takeoff as the plan. Not firm: as on the page of a plan, what "
    "states, assumptions and checks leave conditional, and what a more cautious way of the same kind would hold otherwise. Days are those "
    "of the calendar. The relative cost is this tool's own."
)
_BEHIND = (
    "The search chooses the method of each shaft by the lengths in doubt first, then by relative costs; your rates choose sizes of casing "
    "and price the rest. Plant that serves the whole site, such as tanks for fluid, is so weighed for every shaft anew."
)
_MOST_PARTS = 4
"""So many items of cost that differ most are named."""
_NO_RATES = "No rates are given, so nothing is priced: give 'rates:' to see money."


@record
class AmountRow:
    """A row of amounts: its name, the SI unit it is kept in (empty for a count), and the number of a way, None where it has none."""

    name: str
    unit: str
    value: Callable[[SiteAmounts], float | None]


def amount_rows(ways: Sequence[SiteAmounts]) -> list[AmountRow]:
    """Return the rows of amounts in which any of some ways has a number."""
    rows = [
        AmountRow("drilled", "m", lambda of: of.drilled_m),
        *(AmountRow(f"{kind} casing set", "m", _casing(kind)) for kind in CASING_KINDS),
        AmountRow("casing diameters", "", lambda of: float(len(of.diameters_m))),
        AmountRow("strings to have", "m", lambda of: of.strings_m),
        AmountRow("of them to get", "m", lambda of: of.to_get_m),
        AmountRow("concrete to order", "m3", lambda of: of.concrete_m3.likely),
        AmountRow("of it casing oversize", "m3", lambda of: of.overrun_m3),
        *(AmountRow(f"holes under {FLUID_NAMES[fluid]}", "m3", _fluid(FLUID_NAMES[fluid])) for fluid in FLUIDS),
        AmountRow("spoil, loose", "m3", lambda of: of.spoil_m3.likely),
        AmountRow("hours", "h", lambda of: of.hours.likely),
        AmountRow("working days", "", lambda of: of.days),
        AmountRow("length not firm", "m", lambda of: of.not_firm_m),
        AmountRow("checks open", "", lambda of: float(of.open_proofs)),
    ]
    return [row for row in rows if any(row.value(of) for of in ways)]


def _casing(kind: str) -> Callable[[SiteAmounts], float]:
    return lambda of: dict(of.casing_m).get(kind, 0.0)


def _fluid(name: str) -> Callable[[SiteAmounts], float]:
    return lambda of: dict(of.fluid_m3).get(name, 0.0)


def ways_page(compared: ComparedWays, *, kinds: bool = False) -> Document:
    """Return the ways side by side; ``kinds`` adds what every kind of shaft is in each of them."""
    plan = compared.plan
    name = plan.site_name or plan.input.path
    title = f"Ways to build {how_many(compared.shafts, 'shaft')}" + (f" - {plan.site_name}" if plan.site_name else "")
    sections = [_side_by_side(compared.ways), _cheaper(compared), _about(compared.ways), _cost(compared.ways)]
    sections += _kinds(compared.ways) if kinds else [section("", Items(("--kinds shows each kind of shaft in every way.",)))]
    return marked_loosened(Document(name, (page_with(title, (stamp(plan),), *sections),), CLOSING), plan)


def _side_by_side(ways: Sequence[SiteWay]) -> Section:
    rows = [("", *(OUTCOMES[way.outcome] for way in ways))] if any(OUTCOMES[way.outcome] for way in ways) else []
    rows.append(("shafts built otherwise", *(("-" if way.name == "plan" else str(way.changed)) if way.amounts else "" for way in ways)))
    rows += [
        (row.name + (f", {unit_name(row.unit)}" if row.unit else ""), *(amount_text(row, way.amounts) for way in ways))
        for row in amount_rows([way.amounts for way in ways if way.amounts is not None])
    ]
    rows.append(("relative cost", *(_relative(way.amounts, ways[0].amounts) for way in ways)))
    rows += _money_rows(ways)
    heads = ("", *(_HEADS.get(way.name, way.title) for way in ways))
    return section("Side by side", TextTable(heads, tuple(rows), tuple(range(1, len(heads)))), Paragraph(_BASIS))


def amount_text(row: AmountRow, of: SiteAmounts | None) -> str:
    """Return the number of a row without its unit, a dash for none of it; empty for a way without amounts."""
    if of is None:
        return ""
    value = row.value(of)
    if not value:
        return "-"
    return bare_number(value, row.unit) if row.unit in {"m", "m3"} else f"{value:,.0f}"


def _relative(of: SiteAmounts | ShaftState | None, plan: SiteAmounts | ShaftState | None) -> str:
    if of is None or plan is None or plan.relative_cost <= 0:
        return ""
    return f"{of.relative_cost / plan.relative_cost:.2f}"


def _money_rows(ways: Sequence[SiteWay]) -> list[tuple[str, ...]]:
    """Return the rows of money, none without rates; a total that lacks a price says so in its cell."""
    sheets = [None if way.amounts is None else way.amounts.money for way in ways]
    currency = next((sheet.currency for sheet in sheets if sheet is not None), None)
    if currency is None:
        return []
    plan = sheets[0]
    totals = tuple("" if sheet is None else cost_text(sheet) for sheet in sheets)
    more = tuple("" if sheet is None or plan is None else _more_than(plan, sheet) for sheet in sheets)
    return [(f"cost, {currency}" if currency else "cost, by your rates", *totals), ("more than the plan", *more)]


def _more_than(plan: CostTotal, sheet: CostTotal) -> str:
    more = round(sheet.total.likely - plan.total.likely)
    return f"{more:+,d}" if more else "-"


def cost_text(sheet: CostTotal) -> str:
    """Return a likely total; one that lacks a price has a plus behind it.

    >>> from methodpick.site.estimate import Estimate
    >>> cost_text(CostTotal("crowns", Estimate.exactly(1200.0), ("steel",)))
    '1,200 +'
    """
    return f"{sheet.total.likely:,.0f}" + (" +" if sheet.lacking else "")


def _cheaper(compared: ComparedWays) -> Section:
    """Return the ways that cost less money than the plan: by how much, in which items, and by what they stand behind it."""
    (first, *others), entries = compared.ways, []
    plan = first.amounts.money if first.amounts is not None else None
    for way in others:
        money = way.amounts.money if way.amounts is not None else None
        if plan is not None and money is not None and money.total.likely < plan.total.likely:
            less = plan.total.likely - money.total.likely
            lead = f"{way.title[0].upper()}{way.title[1:]}: {less:,.0f} {plan.currency or ''}".rstrip()
            behind = way.behind or f"By relative cost it is {_relative(way.amounts, first.amounts)} times the plan."
            priced = " of what has a rate" if plan.lacking or money.lacking else ""
            entries.append(f"{lead} less{priced} ({_parts(plan, money)}). {behind}")
    why = f"{_BEHIND} {_given_words(compared.given)}" if entries else ""
    return section("Cheaper by your rates, and why it is not the plan", Items(tuple(entries)), Paragraph(why))


def _given_words(given: Sequence[GivenCost]) -> str:
    """Return which relative costs moved the search, and what to do where they do not say what the rates say."""
    if not given:
        return (
            "All relative costs are this tool's own: give yours under 'rates:' (cost_string, cost_casing_m, cost_plant_mineral ...), and "
            "the plan follows them."
        )
    listed = ", ".join(f"{cost.name} {cost.given:g} (this tool's {cost.rulebook:g})" for cost in given)
    return f"The site file sets {listed}: where that is not what the rates say, change it, and the plan follows."


def _parts(plan: CostTotal, money: CostTotal) -> str:
    """Return the items of cost in which a way differs most from the plan, with by how much; kinds of one item together."""
    items: dict[str, float] = {}
    for sign, cost in ((1.0, money), (-1.0, plan)):
        for item, amount in cost.parts:
            head = item.partition(",")[0]
            items[head] = items.get(head, 0.0) + sign * amount
    most = sorted((item for item in items if abs(items[item]) >= 1.0), key=lambda item: -abs(items[item]))[:_MOST_PARTS]
    return ", ".join(f"{item} {items[item]:+,.0f}" for item in most)


def _about(ways: Sequence[SiteWay]) -> Section:
    notes = [f"{way.title[0].upper()}{way.title[1:]}: {note}" for way in ways for note in way.notes if note]
    return section("What they are", Items(tuple(notes)))


def _cost(ways: Sequence[SiteWay]) -> Section:
    """Return what the totals lack, or that there are no rates."""
    built = [way for way in ways if way.amounts is not None]
    lacking: dict[str, list[str]] = {}
    for way in built:
        money = way.amounts.money if way.amounts else None
        if money is not None and money.lacking:
            lacking.setdefault("; ".join(money.lacking), []).append(way.title)
    lines = [
        f"{'All totals are' if len(titles) == len(built) else f'Of {_listed(titles)} the total is'} incomplete, without {what}."
        for what, titles in lacking.items()
    ]
    if not any(way.amounts and way.amounts.money for way in built):
        lines.append(_NO_RATES)
    return section("Money", Items(tuple(lines)))


def _listed(titles: Sequence[str]) -> str:
    """Return titles with an "and" before the last.

    >>> _listed(["plan"]), _listed(["plan", "cautious", "one fluid"])
    ('plan', 'plan, cautious and one fluid')
    """
    *first, last = titles
    return f"{', '.join(first)} and {last}" if first else last


# ---- kinds of shaft


def _kinds(ways: Sequence[SiteWay]) -> list[Section]:
    """Return a section for each kind of shaft: how it is built in every way that can be built."""
    built = [way for way in ways if way.kinds]
    return [_kind([(way.title, way.kinds[place]) for way in built]) for place in range(len(built[0].kinds))] if built else []


def _kind(states: Sequence[tuple[str, KindState]]) -> Section:
    _, first = states[0]
    names = ", ".join(first.shafts)
    shown: dict[ShaftState, list[str]] = {}
    for title, kind in states:
        shown.setdefault(kind.state, []).append(title)
    heads = ("", *(", ".join(titles) for titles in shown.values()))
    rows = (
        (f"concrete, {unit_name('m3')}", *(bare_number(state.concrete_m3.likely, "m3") for state in shown)),
        ("hours", *(f"{state.hours.likely:.1f}" for state in shown)),
        (f"not firm, {unit_name('m')}", *(bare_number(state.not_firm_m, "m") for state in shown)),
        ("checks open", *(str(len(state.open_proofs)) for state in shown)),
        ("relative cost", *(_relative(state, first.state) for state in shown)),
    )
    entries = tuple(f"{', '.join(titles)}: {state.decision} {casing_words(state.casings)}".strip() for state, titles in shown.items())
    return section(
        f"Shaft {names}" if len(first.shafts) == 1 else f"Shafts {names}",
        Paragraph(f"{how_many(first.count, 'shaft')} of {mark(first.diameter_m, 'size')}."),
        Items(entries),
        TextTable(heads, rows, tuple(range(1, len(heads)))),
    )


def casing_words(casings: Sequence[PlannedCasing]) -> str:
    """Return the casings of a shaft in a sentence, none where it has none.

    >>> from methodpick.unit_markup import spell
    >>> spell(casing_words((PlannedCasing("starter", 1.3716, 0.009525, 3.048),)), "us")
    'Casing: starter 54 x 0.375 in, 10.0 ft.'
    """
    listed = [
        f"{casing.kind} {bare_number(casing.outside_diameter_m, 'size')} x {mark(casing.wall_m, 'wall')}, {number(casing.length_m, 'm')}"
        for casing in casings
    ]
    return f"Casing: {'; '.join(listed)}." if listed else ""


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
    names = ", ".join(named[:_MOST_NAMES]) + and_more(len(named) - _MOST_NAMES)
    title = f"Shaft {names}" if len(named) == 1 else f"Shafts {names}"
    before, after = change.before, change.after
    if before is None or after is None:
        state = before or after
        said = f"{change.said} {state.decision} {casing_words(state.casings)}" if state is not None else change.said
        return section(title, Paragraph(said.strip()))
    differs = "" if "decision" in change.differs else f"Built as before: {before.decision}"
    decisions = (f"Before: {before.decision}", f"After: {after.decision}") if not differs else ()
    shown = [(name, words(before), words(after)) for name, aspect, words in _ROWS if aspect in change.differs]
    if "relative cost" in change.differs:
        shown.append(("relative cost (own)", "1.00", _relative(after, before)))
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
