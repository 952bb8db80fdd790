"""The strip of a shaft as a table: what is met from the top down, how it is drilled, what holds it, and where that is not firm."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.model import Paragraph, Section, TextTable, section
from methodpick.drawings.strip_columns import IN_STARTER, runs
from methodpick.plan.result import Interval, ShaftPlan
from methodpick.terms import STATE_NAMES, SUPPORT_NAMES
from methodpick.unit_markup import SAME_LENGTH_M, bare_number, how_many, number, number_span

MOST_ROWS = 8
"""So many rows tell the ground on the page of the answer, fewer where that is long, more only where it is built in more ways."""
MOST_LENGTHS = 3
"""So many conditional lengths are told one by one."""
ALONE = frozenset({"void", "unknown"})
"""Ground that shares its row with no other."""
IN_BRACKETS = "In brackets: how it is drilled, and priced, if the ground above goes on."
UNKNOWN_FROM_TOP = "In brackets: how it is drilled, and priced as unknown ground."
JOINED = ", thin layers together (each: --full)"
_HEADS = ("from", "to", "ground", "N", "drilled", "then held by")
_SHORT_STATES = {"cased_plug": "casing ahead", "mineral": "under slurry"}
"""States whose names are too long for the column."""
_KINDS = ("sand", "gravel", "rock")
"""Kinds of soil and rock by which neighbours in one row are named."""
_DRILLING = frozenset({"drill", "advance_casing", "set_casing"})
_Row = tuple[float, float, tuple[str, ...], tuple[str, str]]
"""Top, base, what is met, and how the length is drilled and held."""


def strip_section(shaft: ShaftPlan, most_rows: int | None = MOST_ROWS) -> Section:
    """Return what is met and what holds it, from the top down, and where that is not firm; without ``most_rows`` every layer."""
    layers = min((_rows(shaft, starter_as_one=as_one) for as_one in (False, True)), key=len)
    rows = layers if most_rows is None else _in_fewer_rows(layers, most_rows)
    table = TextTable(_HEADS, tuple(_row(shaft, *row) for row in rows), (0, 1))
    known = [(interval.confidence, interval.top_m, base_m) for interval, base_m in runs(shaft.intervals, lambda each: each.confidence)]
    title, weak = (f"Strip, {known[0][0]} all the way", "") if len(known) == 1 else ("Strip", _not_firm(known))
    unlogged_m = next((interval.top_m for interval in shaft.intervals if interval.support == "undecided" and shaft.has_method), None)
    brackets = "" if unlogged_m is None else IN_BRACKETS if unlogged_m > 0 else UNKNOWN_FROM_TOP
    return section(title + (JOINED if len(rows) < len(layers) else ""), table, Paragraph(" ".join(filter(None, (brackets, weak)))))


def _rows(shaft: ShaftPlan, *, starter_as_one: bool) -> list[_Row]:
    """Return a row for each soil and way of building; with the starter as one what is drilled in it is not told apart."""
    starter_m = max((casing.base_m for casing in shaft.casings if casing.is_starter and starter_as_one), default=0.0)

    def built(interval: Interval) -> tuple[str, str]:
        drilled, held = _how_built(shaft, interval)
        within = interval.base_m <= starter_m + SAME_LENGTH_M and interval.support != "undecided"
        return (IN_STARTER[0] if within else drilled), held

    lengths = runs(shaft.built_intervals, lambda each: (each.ground, *built(each)))
    return [(interval.top_m, base_m, (interval.ground,), built(interval)) for interval, base_m in lengths]


def _not_firm(known: Sequence[tuple[str, float, float]]) -> str:
    """Return which lengths are conditional; those that are undecided say so in their row."""
    conditional = [number_span(top_m, base_m, "m") for word, top_m, base_m in known if word == "conditional"]
    if all(word != "firm" for word, _, _ in known):
        return "All that is decided is conditional."
    if len(conditional) > MOST_LENGTHS:
        return f"Conditional: {', '.join(conditional[:MOST_LENGTHS])} and {how_many(len(conditional) - MOST_LENGTHS, 'more length')}."
    return f"Conditional: {', '.join(conditional)}." if conditional else "Firm where it is decided."


def _in_fewer_rows(rows: list[_Row], most: int) -> list[_Row]:
    """Return rows of which neighbours that are built in the same way are joined, the thinnest first, until few enough are left."""
    while len(rows) > most:
        pairs = [(rows[at + 1][1] - rows[at][0], at) for at in range(len(rows) - 1) if _may_share(*rows[at : at + 2])]
        if not pairs:
            break
        _, at = min(pairs)
        (top_m, _, above, built), (_, base_m, below, _) = rows[at : at + 2]
        rows = [*rows[:at], (top_m, base_m, tuple(dict.fromkeys((*above, *below))), built), *rows[at + 2 :]]
    return rows


def _may_share(above: _Row, below: _Row) -> bool:
    """Return whether two rows may be told as one: built in the same way, and neither of them what nobody should overlook."""
    return above[3] == below[3] and ALONE.isdisjoint((*above[2], *below[2]))


def _row(shaft: ShaftPlan, top_m: float, base_m: float, soils: Sequence[str], built: tuple[str, str]) -> tuple[str, ...]:
    return (
        bare_number(top_m, "m"),
        number(base_m, "m"),
        ", ".join(_by_kind(soils)),
        blow_range([count for depth, count in shaft.ground.spt if top_m <= depth < base_m]),
        *built,
    )


def _by_kind(soils: Sequence[str]) -> Sequence[str]:
    """Return the names of soils that share a row: sands, gravels and rocks by their kind, once.

    >>> _by_kind(["sand with fines"]), _by_kind(["clay", "sand with fines", "clean sand", "weathered rock"])
    (['sand with fines'], ['clay', 'sand', 'rock'])
    """
    if len(soils) == 1:
        return soils
    return list(dict.fromkeys(next((kind for kind in _KINDS if kind in soil.split()), soil) for soil in soils))


def _how_built(shaft: ShaftPlan, interval: Interval) -> tuple[str, str]:
    """Return how a length is drilled, and what holds it when the tip is reached: the starter where no other casing stands in it."""
    if shaft.in_starter(interval):
        return IN_STARTER
    if interval.support == "undecided":
        return _if_it_goes_on(shaft, interval), SUPPORT_NAMES[interval.support]
    return _SHORT_STATES.get(interval.drilled_in or "") or STATE_NAMES.get(interval.drilled_in or "", "-"), SUPPORT_NAMES[interval.support]


def _if_it_goes_on(shaft: ShaftPlan, interval: Interval) -> str:
    """Return how a length of which no log tells is drilled if the ground above goes on, in brackets."""
    middle_m = (interval.top_m + interval.base_m) / 2
    drilling = (stage for stage in shaft.stages if stage.action in _DRILLING and stage.state and stage.top_m < middle_m < stage.base_m)
    state = next((stage.state for stage in drilling), None)
    return "-" if state is None else f"({_SHORT_STATES.get(state) or STATE_NAMES[state]})"


def blow_range(blows: Sequence[str]) -> str:
    """Return the least and the greatest blow count of a length; a refusal is the greatest, sinking under its weight the least.

    >>> blow_range(["14", "9", "12"]), blow_range(["50/100mm", "30"]), blow_range(["WOH", "2"]), blow_range([])
    ('9-14', '30-ref.', 'WOH-2', '')
    """
    counts = [str(count) for count in sorted(int(blow) for blow in blows if blow.isdecimal())]
    sinking = [blow for blow in blows if not blow.isdecimal() and "/" not in blow]
    refusals = ["ref."] if any("/" in blow for blow in blows) else []
    ordered = [*sinking, *counts, *refusals]
    return "-".join(dict.fromkeys((*ordered[:1], *ordered[-1:])))
