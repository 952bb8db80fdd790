"""Run the rules over every slice and state: verdicts for the search, outcomes for reasons, cautions and questions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from methodpick.engine.compiler import FALSE, OPEN, TRUE
from methodpick.engine.rulebook import Outcomes, Rulebook
from methodpick.engine.verdict import Verdict, verdict
from methodpick.facts.curves import HoleFluid
from methodpick.facts.gather import Gatherer, Slice
from methodpick.facts.of_slice import WAY_PLANT, shaken_too_near
from methodpick.facts.sheet import FactSheet
from methodpick.plan.result import STATES
from methodpick.plan.sequence.search_slices import ALLOWED, DOUBTFUL, RANK, RULED_OUT, UNKNOWN, UNLIKELY, WAYS, Cut
from methodpick.terms import SHAKING_WAYS
from methodpick.vocabulary.values import Choice, Span, Value

_STAND = ("none", "minutes", "hour", "shift", "days")


@dataclass(frozen=True, slots=True)
class Judged:
    """A slice with the verdict of every state, and the outcomes behind them."""

    slice: Slice
    verdicts: Mapping[str, Verdict]
    outcomes: Outcomes
    state_outcomes: Mapping[str, Outcomes]
    state_values: Mapping[str, Mapping[str, Value]]
    cut: Cut
    own_values: Mapping[str, Value]

    def values(self, state: str | None = None) -> dict[str, Value]:
        """Return the facts of the slice, with those of one state on top."""
        values = dict(self.own_values)
        if state is not None:
            values.update(self.state_values.get(state, {}))
        return values


def judge(
    gatherer: Gatherer, slices: Sequence[Slice], book: Rulebook, inside: Mapping[str, HoleFluid | None]
) -> tuple[tuple[Judged, ...], tuple[Outcomes, ...]]:
    """Judge all slices; gives them with the outcomes of the site and shaft rules."""
    wide = tuple(book.scopes[name].judge(gatherer.base.values()) for name in ("site", "shaft"))
    return tuple(_one(gatherer, cut, book, inside, wide) for cut in slices), wide


def _one(gatherer: Gatherer, piece: Slice, book: Rulebook, inside: Mapping[str, HoleFluid | None], wide: tuple[Outcomes, ...]) -> Judged:
    values = piece.sheet.values()
    outcomes = book.scopes["slice"].judge(values)
    start = book.scopes["slice_state"].start(values)
    states: dict[str, Outcomes] = {}
    own = gatherer.state_values(piece, inside)
    verdicts: dict[str, Verdict] = {}
    for state in STATES:
        states[state] = start.judge(own[state])
        verdicts[state] = verdict(state, (*wide, outcomes, states[state]))
    for casing in ("pull_out", "leave_in"):
        verdicts[casing] = verdict(casing, (*wide, outcomes))
    return Judged(piece, verdicts, outcomes, states, own, _cut(piece, verdicts, states["dry"], book), values)


def _cut(piece: Slice, verdicts: Mapping[str, Verdict], dry: Outcomes, book: Rulebook) -> Cut:
    sheet = piece.sheet
    stand = sheet.choice("stand_up")
    likely = stand.likely or min(stand.values, key=_STAND.index)
    worst = min(stand.values, key=_STAND.index)
    limits, table = book.values, book.tables["drilling_rate"]
    ranks = {state: RANK[verdicts[state].state] for state in STATES}
    ranks["cased_dry"] = max(ranks["cased_dry"], _lifted(dry))
    rate = table.look_up({name: sheet.value(name) for name in table.inputs}).get("drilling_rate_m_h")
    near = shaken_too_near(sheet, limits)
    metres = rate.likely if isinstance(rate, Span) and rate.likely is not None else limits["drilling_rate_unknown_m_h"]
    return Cut(
        piece.top_m,
        piece.base_m,
        piece.stratum.logged,
        ranks,
        {state: len(verdicts[state].should) for state in STATES},
        {state: verdicts[state].points for state in STATES},
        limits[f"stand_up_{likely}_h"],
        limits[f"stand_up_{worst}_h"],
        max(metres, 0.1),
        frozenset(way for way in WAYS if _gets_through(sheet, way) and not (near and way in SHAKING_WAYS)),
        RANK[verdicts["pull_out"].state],
        RANK[verdicts["leave_in"].state],
        piece.stratum.index,
        verdicts["dry"].state in {"allowed", "discouraged"},
    )


def _lifted(dry: Outcomes) -> int:
    """Return the rank of a base that is dug out dry inside its casing: the casing holds the wall, not the base against uplift."""
    rank = ALLOWED
    for rule, wide, near in dry.speaking(dry.scope.by_state["dry"]):
        if rule.hazard == "uplift" and rule.effect == "exclude" and rule.level == "must":
            rank = max(rank, RULED_OUT if wide == TRUE else {TRUE: UNLIKELY, OPEN: UNKNOWN, FALSE: DOUBTFUL}[near])
    return rank


def _gets_through(sheet: FactSheet, way: str) -> bool:
    """Return whether a way of advancing is likely to get through here with the plant that is likely at hand."""
    return _likely(sheet.choice(f"penetrable_{way}")) and any(_likely(sheet.choice(name)) for name in WAY_PLANT[way])


def _likely(choice: Choice) -> bool:
    return choice.likely == "yes" or choice.values == {"yes"}
