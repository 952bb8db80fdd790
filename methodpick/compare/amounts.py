"""What a way of building takes: each shaft by its plan and takeoff, and the whole site by the sums of its takeoff."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from methodpick.compare.result import CostTotal, KindState, PlannedCasing, PlannedFluid, ShaftState, SiteAmounts
from methodpick.plan.checks.catalogue import BY_ID
from methodpick.plan.result import FLUID_TO_FILL, ShaftPlan
from methodpick.plan.result.checks import Check
from methodpick.site.estimate import NOTHING, CostSheet, Estimate
from methodpick.site.result import DRILLED_IN_ALL, OVERSIZE, PAD_LOOSE, SPOIL_LOOSE, TO_ORDER, Takeoff, TakeoffLine
from methodpick.terms import CASING_KINDS

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
        if item.endswith(", hole volume"):
            fluids[item.removesuffix(", hole volume")] = amount.likely
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
