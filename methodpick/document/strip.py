"""The strip of a shaft as a table: what is met from the top down, how it is drilled, what holds it, and where that is not firm."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.model import Paragraph, Section, TextTable, section
from methodpick.drawings.strip_columns import IN_STARTER, runs
from methodpick.plan.result import Interval, ShaftPlan
from methodpick.terms import STATE_NAMES, SUPPORT_NAMES
from methodpick.unit_markup import SAME_LENGTH_M, bare_number, number, number_span

MOST_ROWS = 12
"""So many rows tell the ground on the page of the answer, more only where it is built in more ways."""
IN_BRACKETS = "In brackets: how it is drilled, and priced, if the ground above goes on; the log says nothing there."
UNKNOWN_FROM_TOP = "In brackets: how it is drilled, and priced as unknown ground; the log says nothing there."
JOINED = "Thin layers share a row; the foreman's page has each."
_HEADS = ("from", "to", "ground", "N", "drilled", "then held by")
_DRILLING = frozenset({"drill", "advance_casing", "set_casing"})
_Row = tuple[float, float, tuple[str, ...], tuple[str, str]]
"""Top, base, what is met, and how the length is drilled and held."""


def strip_section(shaft: ShaftPlan, *, every_layer: bool = False) -> Section:
    """Return what is met and what holds it, from the top down, and over which lengths that is not firm."""
    layers = min((_rows(shaft, starter_as_one=as_one) for as_one in (False, True)), key=len)
    rows = layers if every_layer else _in_fewer_rows(layers)
    table = TextTable(_HEADS, tuple(_row(shaft, *row) for row in rows), (0, 1))
    known = [(interval.confidence, interval.top_m, base_m) for interval, base_m in runs(shaft.intervals, lambda each: each.confidence)]
    title, weak = f"Strip, {known[0][0]} all the way", ""
    if len(known) > 1:
        found: dict[str, list[str]] = {}
        for word, top_m, base_m in known:
            found.setdefault(word, []).append(number_span(top_m, base_m, "m"))
        ends = [f"{word} {', '.join(lengths)}" for word, lengths in found.items() if word != "firm"]
        title, weak = "Strip", f"Not firm: {'; '.join(ends)}."
    unlogged_m = next((interval.top_m for interval in shaft.intervals if interval.support == "undecided" and shaft.has_method), None)
    brackets = "" if unlogged_m is None else IN_BRACKETS if unlogged_m > 0 else UNKNOWN_FROM_TOP
    joined = JOINED if len(rows) < len(layers) else ""
    return section(title, table, Paragraph(brackets), Paragraph(" ".join(filter(None, (weak, joined)))))


def _rows(shaft: ShaftPlan, *, starter_as_one: bool) -> list[_Row]:
    """Return a row for each soil and way of building; with the starter as one what is drilled in it is not told apart."""
    starter_m = max((casing.base_m for casing in shaft.casings if casing.is_starter and starter_as_one), default=0.0)

    def built(interval: Interval) -> tuple[str, str]:
        drilled, held = _how_built(shaft, interval)
        within = interval.base_m <= starter_m + SAME_LENGTH_M and interval.support != "undecided"
        return (IN_STARTER[0] if within else drilled), held

    lengths = runs(shaft.intervals, lambda each: (each.ground, *built(each)))
    return [(interval.top_m, base_m, (interval.ground,), built(interval)) for interval, base_m in lengths]


def _in_fewer_rows(rows: list[_Row]) -> list[_Row]:
    """Return rows of which neighbours that are built in the same way are joined, the thinnest first, until few enough are left."""
    while len(rows) > MOST_ROWS:
        pairs = [(rows[at + 1][1] - rows[at][0], at) for at in range(len(rows) - 1) if rows[at][3] == rows[at + 1][3]]
        if not pairs:
            break
        _, at = min(pairs)
        (top_m, _, above, built), (_, base_m, below, _) = rows[at : at + 2]
        rows = [*rows[:at], (top_m, base_m, tuple(dict.fromkeys((*above, *below))), built), *rows[at + 2 :]]
    return rows


def _row(shaft: ShaftPlan, top_m: float, base_m: float, soils: Sequence[str], built: tuple[str, str]) -> tuple[str, ...]:
    return (
        bare_number(top_m, "m"),
        number(base_m, "m"),
        ", ".join(soils),
        blow_range([count for depth, count in shaft.ground.spt if top_m <= depth < base_m]),
        *built,
    )


def _how_built(shaft: ShaftPlan, interval: Interval) -> tuple[str, str]:
    """Return how a length is drilled, and what holds it when the tip is reached: the starter where no other casing stands in it."""
    if shaft.in_starter(interval):
        return IN_STARTER
    if interval.support == "undecided":
        return _if_it_goes_on(shaft, interval), SUPPORT_NAMES[interval.support]
    state = "casing ahead" if interval.drilled_in == "cased_plug" else STATE_NAMES.get(interval.drilled_in or "", "-")
    return state, SUPPORT_NAMES[interval.support]


def _if_it_goes_on(shaft: ShaftPlan, interval: Interval) -> str:
    """Return how a length of which no log tells is drilled if the ground above goes on, in brackets."""
    middle_m = (interval.top_m + interval.base_m) / 2
    drilling = (stage for stage in shaft.stages if stage.action in _DRILLING and stage.state and stage.top_m < middle_m < stage.base_m)
    state = next((stage.state for stage in drilling), None)
    return "-" if state is None else f"({STATE_NAMES[state]})"


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
