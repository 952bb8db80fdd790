"""What a comparison hands out, made from plans and takeoffs: frozen records in SI, as in the format ``methodpick-compare/1``."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from methodpick.plan.checks.catalogue import BY_ID
from methodpick.plan.result import FLUID_TO_FILL, InputStamp, Plan, RulebookStamp, ShaftMethod, ShaftPlan
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.site.estimate import NOTHING, CostSheet, Estimate
from methodpick.site.result import DRILLED_IN_ALL, HOLE, OVERSIZE, PAD_LOOSE, SPOIL_LOOSE, TO_ORDER, Takeoff, TakeoffLine
from methodpick.terms import CASING_KINDS, CasingKind

FORMAT = "methodpick-compare/1"


@record
class PlannedCasing:
    """A casing of a shaft, as planned."""

    kind: CasingKind
    outside_diameter_m: float
    wall_m: float
    length_m: float


@record
class PlannedFluid:
    """A support fluid of a shaft, with its level below the ground and the densities that serve; None where there is none that does."""

    fluid: str
    level_m: float
    density_min_kg_m3: float | None
    density_max_kg_m3: float | None


@record
class ShaftState:
    """How one shaft of a kind is built and what it takes; without a method its ``placement`` is empty and it takes nothing.

    ``not_firm_m`` is the length that is conditional or undecided; ``open_proofs`` names the checks that are not known to hold,
    each once.
    """

    method: ShaftMethod
    decision: str
    placement: str
    casings: tuple[PlannedCasing, ...]
    fluids: tuple[PlannedFluid, ...]
    drilled_m: float
    concrete_m3: Estimate
    fluid_m3: float
    hours: Estimate
    relative_cost: float
    not_firm_m: float
    open_proofs: tuple[str, ...]
    proven: bool


@record
class CostTotal:
    """The cost by the user's rates, with its likely parts by item.

    ``lacking`` names what no rate prices, so that the total is incomplete where it names anything.
    """

    currency: str
    total: Estimate
    lacking: tuple[str, ...]
    parts: tuple[tuple[str, float], ...] = ()


@record
class SiteAmounts:
    """What a whole site takes: sums of its takeoff, in SI.

    ``casing_m`` holds the lengths set, by kind; ``strings_m`` the temporary strings to have and ``to_get_m`` what of them is not at hand.
    ``fluid_m3`` holds the volume of the holes under each fluid. ``days`` are working days, likely. ``relative_cost`` is the sum of the
    search's relative costs, which are this tool's own. ``not_firm_m`` of ``shaft_m`` are conditional or undecided, ``open_proofs`` of
    ``proofs`` checks are not known to hold. ``money`` is None without rates.
    """

    drilled_m: float
    casing_m: tuple[tuple[str, float], ...]
    diameters_m: tuple[float, ...]
    strings_m: float
    to_get_m: float
    concrete_m3: Estimate
    overrun_m3: float
    fluid_m3: tuple[tuple[str, float], ...]
    spoil_m3: Estimate
    hours: Estimate
    days: float
    relative_cost: float
    shaft_m: float
    not_firm_m: float
    proofs: int
    open_proofs: int
    money: CostTotal | None


WayName = Literal["plan", "cautious", "one_fluid", "one_casing_diameter", "other_family"]
WayOutcome = Literal["built", "as_planned", "not_proven", "cannot_be_built"]
"""What became of a way: built, the same as the plan, or not to be built; the plan itself may be not proven."""


@record
class KindState:
    """The shafts of a kind, with how many they stand for, and how they are built."""

    shafts: tuple[str, ...]
    count: int
    diameter_m: float
    state: ShaftState


@record
class SiteWay:
    """One way to build the whole site, complete and proven by the same checks as the plan; or why it cannot be built.

    ``changed`` counts the shafts that are built otherwise than planned. ``amounts`` is None where it cannot be built. ``behind`` names
    the length in doubt by which the search puts it behind the plan, empty where only the relative cost does or nothing.
    """

    name: WayName
    title: str
    outcome: WayOutcome
    notes: tuple[str, ...]
    changed: int
    amounts: SiteAmounts | None
    kinds: tuple[KindState, ...]
    behind: str = ""


@record
class GivenCost:
    """A relative cost of the site file that goes before that of the rulebook."""

    name: str
    given: float
    rulebook: float


@record
class ComparedWays:
    """The ways to build a site side by side, the plan first; ``given`` are the relative costs by which the site file moves the search."""

    plan: Plan
    shafts: int
    ways: tuple[SiteWay, ...]
    given: tuple[GivenCost, ...] = ()
    format: str = FORMAT


@record
class ChangedInput:
    """An input that differs: where it stands in the file, what it was and what it is, as they would be written there."""

    path: str
    before: str
    after: str
    shafts: tuple[str, ...] = ()


ShareOfInput = Literal["decides", "either", "shares"]
"""Put back alone it undoes the whole change; it alone would have made the change, though put back it undoes nothing; it undoes a part."""


@record
class Cause:
    """What putting one input back does to the change of a kind of shaft; ``moves`` names what is other then than in the revision after."""

    input: ChangedInput
    share: ShareOfInput
    moves: tuple[str, ...] = ()


@record
class KindChange:
    """Shafts that changed alike: before, after, what differs, and because of which inputs.

    ``before`` or ``after`` is None where the shafts are in one revision only. ``interact`` says that no single input explains it all.
    """

    shafts: tuple[str, ...]
    count: int
    before: ShaftState | None
    after: ShaftState | None
    differs: tuple[str, ...]
    causes: tuple[Cause, ...]
    interact: bool
    said: str


@record
class Side:
    """One of two revisions: what was read, by which rulebook, and what the whole site takes."""

    name: str
    input: InputStamp
    rulebook: RulebookStamp
    amounts: SiteAmounts


@record
class ComparedRevisions:
    """Two revisions of a site, or one site by two rulebooks: inputs that differ, kinds that changed, and how many did not."""

    plan: Plan
    before: Side
    after: Side
    inputs: tuple[ChangedInput, ...]
    changes: tuple[KindChange, ...]
    unchanged: int
    notes: tuple[str, ...]
    format: str = FORMAT


# ---- what a way of building takes, by the plan and the takeoff


CERTAIN = frozenset({"holds", "little_margin"})
"""Results of a check that is known to hold."""


def open_checks(plan: ShaftPlan) -> tuple[Check, ...]:
    """Return the checks of a plan that are not known to hold over the whole range."""
    return tuple(check for check in plan.checks if check.result not in CERTAIN)


def _title(check: Check) -> str:
    """Return the title of a check: that of its proof, else of the rule that it shows."""
    return BY_ID[check.id].title if check.id in BY_ID else check.id.replace("-", " ").replace("_", " ")


def state_of(plan: ShaftPlan, lines: Sequence[TakeoffLine] = (), hours: Estimate = NOTHING) -> ShaftState:
    """Return how one shaft is built and what it takes, by the lines of its takeoff and its hours; a shaft without a method has none."""
    amounts = {line.item: line.amount for line in lines}
    return ShaftState(
        method=plan.method,
        decision=plan.decision,
        placement="" if plan.placement is None else plan.placement.state,
        casings=tuple(
            PlannedCasing(casing.kind, casing.outside_diameter_m, casing.wall_m, round(casing.length_m, 6)) for casing in plan.casings
        ),
        fluids=tuple(
            dict.fromkeys(
                PlannedFluid(slurry.fluid, slurry.level_m, slurry.density_min_kg_m3, slurry.density_max_kg_m3) for slurry in plan.slurries
            )
        ),
        drilled_m=amounts.get(DRILLED_IN_ALL, NOTHING).likely,
        concrete_m3=amounts.get(TO_ORDER, NOTHING),
        fluid_m3=sum(line.value for line in plan.quantities if line.item.endswith(FLUID_TO_FILL)),
        hours=hours,
        relative_cost=plan.relative_cost,
        not_firm_m=plan.not_firm_m,
        open_proofs=tuple(dict.fromkeys(map(_title, open_checks(plan)))),
        proven=plan.proven,
    )


def states_of(takeoff: Takeoff) -> dict[str, ShaftState]:
    """Return how each shaft is built, by its name."""
    lines, hours = {shaft.shaft: shaft.lines for shaft in takeoff.shafts}, {row.shaft: row.total for row in takeoff.hours}
    return {plan.id: state_of(plan, lines.get(plan.id, ()), hours.get(plan.id, NOTHING)) for plan in takeoff.site.plan.shafts}


def kind_states(takeoff: Takeoff, kinds: Iterable[tuple[str, ...]]) -> tuple[KindState, ...]:
    """Return how the shafts of each kind are built; ``kinds`` holds their names."""
    states, plans = states_of(takeoff), {plan.id: plan for plan in takeoff.site.plan.shafts}
    return tuple(
        KindState(
            shafts=names, count=sum(plans[name].count for name in names), diameter_m=plans[names[0]].diameter_m, state=states[names[0]]
        )
        for names in kinds
    )


def amounts_of(takeoff: Takeoff) -> SiteAmounts:
    """Return what a whole site takes, by the sums of its takeoff."""
    plans = [(plan, plan.count) for plan in takeoff.site.plan.shafts]
    totals = {line.item: line.amount for line in takeoff.totals}
    casings = [(casing, count) for plan, count in plans for casing in plan.casings]
    fluids: dict[str, float] = {}
    for item, amount in totals.items():
        if item.endswith(HOLE):
            fluids[item.removesuffix(HOLE)] = amount.likely
    return SiteAmounts(
        drilled_m=totals.get(DRILLED_IN_ALL, NOTHING).likely,
        casing_m=tuple(
            (kind, length)
            for kind in CASING_KINDS
            if (length := sum(casing.length_m * count for casing, count in casings if casing.kind == kind)) > 0
        ),
        diameters_m=tuple(sorted({casing.outside_diameter_m for casing, _ in casings})),
        strings_m=takeoff.yard.metres_m,
        to_get_m=takeoff.yard.to_get_m,
        concrete_m3=totals.get(TO_ORDER, NOTHING),
        overrun_m3=totals.get(OVERSIZE, NOTHING).likely,
        fluid_m3=tuple(sorted(fluids.items())),
        spoil_m3=_sum(totals.get(item, NOTHING) for item in (SPOIL_LOOSE, PAD_LOOSE)),
        hours=_sum(row.total.times(row.count) for row in takeoff.hours),
        days=takeoff.calendar.days.likely,
        relative_cost=sum(plan.relative_cost * count for plan, count in plans),
        shaft_m=sum(plan.tip_depth_m * count for plan, count in plans),
        not_firm_m=sum(plan.not_firm_m * count for plan, count in plans),
        proofs=sum(len(plan.checks) * count for plan, count in plans),
        open_proofs=sum(len(open_checks(plan)) * count for plan, count in plans),
        money=_money(takeoff.cost),
    )


def _money(cost: CostSheet | None) -> CostTotal | None:
    if cost is None:
        return None
    lacking = dict.fromkeys(f"{line.item} (rate '{line.rate}')" for line in cost.unpriced)
    return CostTotal(cost.currency, cost.total, tuple(lacking), tuple((line.item, line.amount.likely) for line in cost.lines))


def _sum(amounts: Iterable[Estimate]) -> Estimate:
    total = NOTHING
    for amount in amounts:
        total = total.plus(amount)
    return total
