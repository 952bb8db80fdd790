"""The concrete in a casing while it is pulled: at every shoe it outweighs what presses outside, and at the cut-off once it is out."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.mechanics.concrete import concrete_head_needed
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import GREATEST_OUTSIDE, ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Compared, Heading, Wording, governing, make_comparison, write_comparison
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span

PULL_BALANCE = Definition(
    "pull-balance",
    "Balance at the shoe",
    ("pull_out",),
    "The concrete over every shoe outweighs what presses outside, to the last metre.",
    life=True,
    rule="pull-cannot-keep-the-concrete-above",
)
PULL_COVER = Definition(
    "pull-cover",
    "Concrete over the shoe",
    ("pull_out",),
    "The shoe stays in the concrete by its least cover until it leaves the finished level.",
)
PULL_BALANCE_CUTOFF = Definition(
    "pull-balance-cutoff",
    "Balance at the cut-off",
    ("pull_out",),
    "Once the casing is out the overpour balances the water outside at the cut-off; where it cannot, the overpour is raised "
    "or the top casing kept.",
    life=True,
)

ADVERSE = {"outside_kpa": GREATEST_OUTSIDE, "over_kpa": "the least over the concrete"}
QUESTION = "How high does the water outside stand, and what stands around the casing?"


@record
class ShoeAt:
    """A shoe at one moment of the pull: its depth, the concrete in the casing, what presses outside and what stands on the concrete.

    ``concrete_level_m`` is the depth of the concrete after the lift; ``outside_kpa`` the greatest of groundwater, fluid around the casing
    and soft clay at the shoe; ``over_kpa`` the pressure of the fluid over the concrete on the concrete (0 without one).
    """

    stage: int | None
    shoe_m: float
    concrete_level_m: float
    outside_kpa: Span | None
    over_kpa: Span


@record
class PullBalanceFacts:
    """A temporary casing over its pull, shoe by shoe, and the finished concrete.

    ``finish_m`` is the depth to which the concrete is brought, overpour included; ``cutoff_m`` the cut-off; ``cutoff_outside_kpa`` the
    pressure outside at the cut-off, ``kept`` that a casing stays around the top of the concrete.
    """

    place: ProvedPlace
    shoes: tuple[ShoeAt, ...]
    finish_m: float
    cutoff_m: float
    cutoff_outside_kpa: Span | None
    kept: bool


def check_pull_balance(facts: PullBalanceFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proofs of the balance at the worst shoe, of the concrete over the worst shoe, and of the balance at the cut-off."""
    checks = []
    if facts.shoes:
        checks += [governing(part(facts, shoe, limits) for shoe in facts.shoes).write() for part in (_balance, _cover)]
    return (*checks, *(() if facts.kept else (_cutoff(facts, limits),)))


def _faded(facts: PullBalanceFacts, shoe: ShoeAt, least: Limit) -> float:
    """Return the share of margin and cover that is asked for: none at the finished level, where the shoe leaves the concrete."""
    return min(1.0, max(0.0, shoe.shoe_m - facts.finish_m) / least.value)


def _balance(facts: PullBalanceFacts, shoe: ShoeAt, limits: Mapping[str, Limit]) -> Compared:
    weight, margin, least = (limits[name] for name in ("concrete_unit_weight_kn_m3", "shoe_margin_kpa", "pull_head_m"))
    asked = margin.value * _faded(facts, shoe, least)
    column = shoe.shoe_m - shoe.concrete_level_m

    def head(value: Mapping[str, float], margin_kpa: float) -> float:
        net = max(0.0, value["outside_kpa"] + margin_kpa - value["over_kpa"])
        return concrete_head_needed(net, weight.value, 0.0)

    return make_comparison(
        Heading(
            PULL_BALANCE,
            ProvedPlace(shoe.stage, shoe.shoe_m, shoe.shoe_m),
            limits=(weight, margin, least),
            formula="concrete_head_needed",
            remedy="Add concrete before the lift, pull in shorter lifts, lengthen the casing, or leave it in.",
            question=QUESTION,
        ),
        Wording("The concrete over the shoe", "to balance what presses outside it takes", "m", ADVERSE),
        Comparison(
            has=lambda _: column,
            needed=lambda value: head(value, asked),
            needed_adverse=lambda value: head(value, 0.0),
            adverse={"outside_kpa": "high", "over_kpa": "low"},
        ),
        {"outside_kpa": shoe.outside_kpa, "over_kpa": shoe.over_kpa},
    )


def _cover(facts: PullBalanceFacts, shoe: ShoeAt, limits: Mapping[str, Limit]) -> Compared:
    least = limits["pull_head_m"]
    return make_comparison(
        Heading(PULL_COVER, ProvedPlace(shoe.stage, shoe.shoe_m, shoe.shoe_m), limits=(least,), remedy="Add concrete before the lift."),
        Wording("The concrete over the shoe", "needed at any time is", "m", {}),
        Comparison(
            has=lambda _: shoe.shoe_m - shoe.concrete_level_m, needed=lambda _: least.value * _faded(facts, shoe, least), adverse={}
        ),
        {},
    )


def _cutoff(facts: PullBalanceFacts, limits: Mapping[str, Limit]) -> Check:
    weight = limits["concrete_unit_weight_kn_m3"]
    return write_comparison(
        Heading(
            PULL_BALANCE_CUTOFF,
            ProvedPlace(facts.place.stage, facts.finish_m, facts.cutoff_m),
            limits=(weight,),
            formula="concrete_head_needed",
            remedy="Raise the overpour, or keep the top casing until the concrete has set.",
            question=QUESTION,
        ),
        Wording("The concrete over the cut-off", "to balance the water outside there it takes", "m", ADVERSE),
        Comparison(
            has=lambda _: facts.cutoff_m - facts.finish_m,
            needed=lambda value: concrete_head_needed(value["outside_kpa"], weight.value, 0.0),
            adverse={"outside_kpa": "high"},
        ),
        {"outside_kpa": facts.cutoff_outside_kpa},
    )
