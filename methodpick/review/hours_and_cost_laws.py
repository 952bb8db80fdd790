"""The hours, the nights and the relative cost of a way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil

from methodpick.facts.of_site import plant_at_hand
from methodpick.facts.of_slice import WAY_PLANT
from methodpick.plan.hours import nights_of
from methodpick.plan.judging.slices import JudgedSlice, lasting_from_m
from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.result import Alternate, Casing, ShaftPlan, Stage
from methodpick.review.casing_laws import cored_for_starter, lacks_reserve
from methodpick.review.contradiction import Contradiction, differences, number
from methodpick.review.plan_file import WrittenWay
from methodpick.terms import FLUIDS, ROCK, SHAKING_WAYS, CasingWay
from methodpick.vocabulary.values import Span

# ---- hours: what is drilled by the rate of the ground, the rest by the hours that the rulebook gives each step


SLACK_H = 0.02
"""Hours are written to the hundredth and depths to the millimetre, which is a hundredth of an hour where drilling is slowest."""
STEPS = {"introduce_fluid": "hours_fill", "refill": "hours_fill"}
"""Steps that take the same hours in any ground, with the limit that says how many."""


def check_hours(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the hours of a stage or of drilling an interval are not those of its length, its ground and its step."""
    for stage in way.built.stages:
        yield from number("hours", stage.hours, _hours(ground, way, stage), stage=stage.no, slack=SLACK_H)
    for interval in way.intervals or ():
        wanted = drilling_hours(ground, interval.top_m, interval.base_m)
        yield from number("intervals.drilling_h", interval.drilling_h, wanted, slack=SLACK_H)


def drilling_hours(ground: GroundFacts, top_m: float, base_m: float) -> float:
    """Return the hours to drill from one depth to another, each slice at the likely rate of its ground, its depth and the diameter."""
    total = 0.0
    for piece in ground.judged:
        length = min(piece.base_m, base_m) - max(piece.top_m, top_m)
        if length > 0:
            total += length * _hours_a_metre(ground, piece)
    return total


def _hours_a_metre(ground: GroundFacts, piece: JudgedSlice) -> float:
    """Return the hours of a metre: of its ground in a shaft of 1 m at 10 m, more with the diameter and with the trips of the tool."""
    counted = piece.counted_as
    limits, soil = ground.ground.limits, counted.slice.stratum.likely
    rock, tested = soil in ROCK, counted.sheet.facts
    by_strength = soil == "rock" and "ucs_kpa" in tested
    said = counted.look_up(ground.book.tables["rock_rate" if by_strength else "drilling_rate"])
    span = said.get("rock_rate_m_h" if by_strength else "drilling_rate_m_h")
    rate = span.likely if isinstance(span, Span) and span.likely is not None else limits["drilling_rate_unknown_m_h"]
    quality = tested["rqd_percent"].value if "rqd_percent" in tested else None
    if rock and isinstance(quality, Span) and quality.likely_or_middle >= limits["massive_rqd_percent"]:
        rate *= limits["massive_rate_share"]
    shaft, middle_m = ground.shaft, (piece.top_m + piece.base_m) / 2
    socketed = shaft.socket_top_m is not None and shaft.socket_diameter_m is not None and middle_m > shaft.socket_top_m
    drilled_m = min(shaft.diameter_m, shaft.socket_diameter_m or shaft.diameter_m) if socketed else shaft.diameter_m
    slowest = limits["drilling_rate_least_m_h"]
    usual = drilled_m ** limits["rate_exponent_rock" if rock else "rate_exponent_soil"] / max(rate, slowest)
    deeper_m = middle_m - 10.0
    room_m = piece.sheet.span("headroom_m").likely
    short = 1.0 if room_m is None else min(1.0, max(room_m / limits["headroom_low_m"], limits["headroom_rate_least"]))
    return float(max(usual + 2.0 * deeper_m / limits["rate_hoist_m_h"] / limits["rate_bite_m"], 0.1 * usual)) / short


def _hours(ground: GroundFacts, way: WrittenWay, stage: Stage) -> float | None:
    limits = ground.ground.limits
    if stage.action in STEPS:
        return limits[STEPS[stage.action]]
    if stage.action in {"bell", "clean", "cage"}:
        return _finishing_hours(ground, stage.action)
    if stage.action == "drill":
        return drilling_hours(ground, stage.top_m, stage.base_m)
    if stage.action == "advance_casing":
        lowered = any(other.no == stage.no - 1 and other.action == "drill" for other in way.built.stages)
        advanced = limits["hours_advance_m"] * (stage.base_m - stage.top_m) + (limits["hours_casing_set"] / 2 if lowered else 0.0)
        return drilling_hours(ground, stage.top_m, stage.base_m) + advanced + _joint_hours(ground, way, stage)
    if stage.action == "set_casing":
        dug = 0.0 if stage.state is None else drilling_hours(ground, way.built.opens_from_m(stage), stage.base_m)
        return limits["hours_casing_set"] + dug + _joint_hours(ground, way, stage)
    if stage.action == "set_starter":
        usual_m = max(0.0, ground.levels.grade_m) + limits["starter_max_m"]
        cored = sum(drilling_hours(ground, *length) for length in cored_for_starter(ground, stage.base_m))
        return limits["hours_casing_set"] / 2 + limits["hours_advance_m"] * max(0.0, stage.base_m - usual_m) + cored
    if stage.action in {"seal_test", "bail"}:
        return limits["hours_bail"] / 2
    if stage.action == "pour":
        return way.built.concrete.pour_hours
    return limits["hours_casing_set"] / 2 + limits["hours_refill"] * (_lifts(way, stage) - 1)


def _finishing_hours(ground: GroundFacts, action: str) -> float:
    """Return the hours of a bell, of cleaning and of the cage, which grow with the size of the shaft."""
    limits, shaft = ground.ground.limits, ground.shaft
    if action == "clean":
        return max(limits["hours_clean"] / 2, limits["hours_clean"] * shaft.diameter_m / limits["clean_reference_m"])
    if action == "cage":
        heavier, length = max(shaft.diameter_m, 1.0), shaft.tip_m - shaft.cutoff_m
        spliced = cage_splices(ground) * limits["hours_cage_splice"]
        return limits["hours_cage_least"] + heavier * limits["hours_cage_m"] * length + spliced
    wide = 0.0 if shaft.bell is None else shaft.bell.diameter_m / limits["bell_reference_m"]
    return float(limits["hours_bell"] * wide ** limits["bell_exponent"])


def cage_splices(ground: GroundFacts) -> int:
    """Return at how many places the cage is spliced over the hole: it comes in pieces of the length that a crane lifts."""
    length = ground.shaft.tip_m - ground.shaft.cutoff_m
    return max(0, ceil(length / ground.ground.limits["splice_length_m"] - 1e-6) - 1)


def _joint_hours(ground: GroundFacts, way: WrittenWay, stage: Stage) -> float:
    """Return the hours of the joints between the sections of the casing that a stage brings to its depth."""
    casing = way.built.string_to(stage.base_m)
    if casing is None:
        return 0.0
    limits, welded = ground.ground.limits, casing.kind == "permanent"
    return casing.joints * (limits["hours_splice_m"] * casing.outside_diameter_m if welded else limits["hours_joint"])


def _lifts(way: WrittenWay, stage: Stage) -> int:
    """Return the number of lifts in which a stage pulls its casing."""
    numbers = [place for place, casing in enumerate(way.built.casings, 1) if abs(casing.base_m - stage.base_m) < 0.002]
    return max(1, sum(step.casing_no in numbers for step in way.built.concrete.pulls))


def check_nights(ground: GroundFacts, shaft: ShaftPlan, shift_h: float) -> Iterator[Contradiction]:
    """Return where the nights are not those that the hours of the stages and the shift ask for."""
    right = nights_of(shaft.stages, shaft.tip_depth_m, shift_h, ground.ground.limits, lasting_from_m(ground.judged))
    yield from differences(shaft.nights, right, "nights")


# ---- cost: at least what lengths, casings and plant cost; and no way as safe as the plan costs less


SLACK = 0.02
"""Depths of stages are written to the millimetre, and no metre costs much more than ten."""
OF_FLUID = frozenset({"cost_water_m", "cost_polymer_m", "cost_mineral_m"})
OF_CASED = frozenset({"cost_cased_dry_m", "cost_cased_balanced_m", "cost_cased_plug_m"})
"""Costs of a metre that are dearer than a dry one by what fluid or casing adds."""
HOLDS = frozenset({"holds", "little_margin", "open_range", "unknown"})
"""Results of checks that leave a way as safe as another, as far as the expected plan goes."""


def check_cost(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where a way is said to cost less than its parts; it costs more where checks have little margin."""
    if way.relative_cost is None:
        return
    least = _Costs(ground).of_way(way)
    if way.relative_cost < least - SLACK - 1e-4 * least:
        yield Contradiction("relative_cost", f"{way.relative_cost:.6g}", f"no less than {least:.6g}, the cost of its parts")


def check_order(ground: GroundFacts, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return other ways that leave nothing open and are said to cost less than the plan; the planned rung costs as the plan does."""
    for other in shaft.alternates:
        if other.relative_cost is None or not other.stages or not _leaves_nothing_open(ground, other):
            continue
        if other.relative_cost < shaft.relative_cost - SLACK and not _both_open(ground, shaft, other):
            right = f"no less than {shaft.relative_cost:.6g}, the cost of the plan"
            yield Contradiction(f"relative_cost of {other.family}", f"{other.relative_cost:.6g}", right)
    for rung in shaft.ladder:
        if rung.name == "planned":
            yield from number("relative_cost of the rung planned", rung.relative_cost, shaft.relative_cost)


def _both_open(ground: GroundFacts, shaft: ShaftPlan, other: Alternate) -> bool:
    """Return whether plan and other way are one by fluid and one by casing, at so near a cost that what is preferred or surer decides.

    Or both by fluid, where the plan alone has one casing above it, which is pulled.
    """
    held = {_held_by(ground, shaft.stages, shaft.casings), _held_by(ground, other.stages, other.casings)}
    share = ground.book.values["both_open_share"]
    planned, others = ([each.kind for each in way.casings if not each.is_starter] for way in (shaft, other))
    cased_above = held == {"fluid"} and planned == ["temporary"] and not others
    return (held == {"fluid", "casing"} or cased_above) and shaft.relative_cost <= (other.relative_cost or 0.0) * (1.0 + share) + SLACK


def _held_by(ground: GroundFacts, stages: Sequence[Stage], casings: Sequence[Casing]) -> str:
    """Return what holds most of the hole from where it is first opened: the casing down to its shoe, or the fluid below it."""
    top = min((stage.top_m for stage in stages if stage.action in {"drill", "advance_casing"}), default=ground.levels.starter_base_m)
    shoe = max((casing.base_m for casing in casings if not casing.is_starter), default=0.0)
    under = [stage for stage in stages if stage.action == "drill" and stage.state in FLUIDS]
    fluid_m = sum(max(0.0, stage.base_m - max(stage.top_m, shoe)) for stage in under)
    cased_m = max(0.0, shoe - top)
    return "dry" if fluid_m + cased_m <= 0.0 else "fluid" if fluid_m > cased_m else "casing"


def _leaves_nothing_open(ground: GroundFacts, other: Alternate) -> bool:
    """Return whether no rule and no check is likely against a way; emptied casings are left out, for more is asked of their bases.

    Where concrete must not meet the ground bare, all is lined by a casing that stays. A dry hole through ground of which no log tells may
    run in, if the ground above goes on.
    """
    dry = [stage for stage in other.stages if stage.state == "dry" and stage.action == "drill"]
    if any(not piece.logged for stage in dry for piece in ground.slices(stage.top_m, stage.base_m)):
        return False
    if any(check.result not in HOLDS for check in other.checks) or any(stage.state == "cased_dry" for stage in other.stages):
        return False
    cased = max((casing.base_m for casing in other.casings if not casing.is_starter), default=0.0)
    kinds = {"leave_in" if casing.kind == "permanent" else "pull_out" for casing in other.casings if not casing.is_starter}
    of_casings = [piece.verdicts[kind].state for kind in kinds for piece in ground.slices(0.0, cased)]
    drilled = [
        piece.verdicts[stage.state].state
        for stage in other.stages
        if stage.state is not None and stage.action in {"drill", "advance_casing", "set_casing"}
        for piece in ground.slices(stage.top_m, stage.base_m)
        if piece.logged
    ]
    lined = max((casing.base_m for casing in other.casings if casing.kind == "permanent"), default=0.0)
    bare = ground.slices(lined, ground.shaft.tip_m)
    if any(piece.logged and piece.verdicts["pull_out"].state == "ruled_out" for piece in bare):
        return False
    return not {"unlikely", "unknown", "ruled_out"} & {*of_casings, *drilled}


class _Costs:
    """The relative costs of a site: those of the rulebook, or the user's; plant is shared by all shafts."""

    def __init__(self, ground: GroundFacts) -> None:
        self.ground, site = ground, ground.site
        self.users = (site.rates.relative if site.rates else None) or {}
        self.share = 1.0 / max(1, sum(shaft.count for shaft in site.shafts))
        conditions = site.site
        near = ground.ground.limits["vibration_distance_m"]
        self.shakes = bool(conditions.neighbours) and ground.gatherer.base.span("neighbour_distance_m").high < near
        self.at_hand = plant_at_hand(conditions.equipment)

    def cost(self, name: str) -> float:
        """Return a cost by its name, at the diameter of the shaft; the user's own as they are."""
        users, limits = self.users.get(name), self.ground.ground.limits
        if isinstance(users, (int, float)):
            return float(users)
        times = self.ground.shaft.diameter_m / limits["size_usual_m"]
        side = "narrow" if times < 1.0 else "wide"
        of_fluid, of_casing = times ** limits[f"size_fluid_exponent_{side}"], times ** limits[f"size_casing_exponent_{side}"]
        if name in OF_FLUID or name in OF_CASED:
            return float(limits["cost_dry_m"] + (limits[name] - limits["cost_dry_m"]) * (of_fluid if name in OF_FLUID else of_casing))
        if name.startswith("cost_advance_") or name in {"cost_string", "cost_casing_m", "cost_permanent_m"}:
            return float(limits[name] * of_casing)
        return limits[name]

    def of_way(self, way: WrittenWay) -> float:
        """Return the cost of all parts of a way."""
        paid: set[str] = set()
        fluid: str | None = None
        total, last = 0.0, ""
        for stage in way.built.stages:
            if stage.action in {"drill", "advance_casing", "set_casing"} and stage.state is not None:
                total += self._drilled(way, stage)
                last = stage.state
            if stage.action == "drill" and stage.state in FLUIDS and stage.state not in paid:
                paid.add(stage.state)
                total += self.cost(f"cost_plant_{stage.state}") * self.share
                total += 0.0 if stage.state == "water" else self.cost("cost_fill")
            if stage.action == "introduce_fluid" and fluid is not None and fluid != stage.fluid:
                total += self.cost("cost_exchange")
            total += self.cost("cost_seal_test") if stage.action == "bail" else 0.0
            fluid = stage.fluid if stage.action in {"drill", "introduce_fluid", "advance_casing", "bail"} else fluid
        total += sum(self._string(casing) for casing in way.built.strings) - self._starter_spared(way)
        if not way.trials_ended:
            total += sum(self._against_emptying(way, casing) for casing in way.built.strings)
        ways = {casing.way for casing in way.built.strings if casing.way is not None}
        for hired in (way for way in ways if not self._is_at_hand(way)):
            total += self.cost(f"cost_plant_{hired}") * self.share + self.cost(f"cost_hire_{hired}")
        return total + (0.0 if last in {"", "dry", "cased_dry"} else self.cost("cost_tremie"))

    def _drilled(self, way: WrittenWay, stage: Stage) -> float:
        top = max(way.built.opens_from_m(stage), self.ground.levels.starter_base_m)
        state = stage.state or ""
        return sum(
            self._per_metre(piece, state) * (min(piece.base_m, stage.base_m) - max(piece.top_m, top))
            for piece in self.ground.judged
            if piece.overlaps(top, stage.base_m)
        )

    def _per_metre(self, piece: JudgedSlice, state: str) -> float:
        if not piece.logged:
            return self.cost(f"cost_{state}_m")
        verdict = piece.verdicts[state]
        against, preferred = len(verdict.should) * self.cost("cost_should_m"), verdict.points * self.cost("cost_point_m")
        return max(self.cost(f"cost_{state}_m") + against - preferred, self.ground.ground.limits["relative_cost_least"])

    def _string(self, casing: Casing) -> float:
        total = self.cost("cost_string") + self.cost("cost_casing_m") * casing.length_m
        kind = "leave_in" if casing.kind == "permanent" else "pull_out"
        against = sum(
            piece.base_m - piece.top_m
            for piece in self.ground.judged
            if piece.top_m < casing.base_m - 0.002 and piece.verdicts[kind].state == "discouraged"
        )
        total += against * self.cost("cost_should_m")
        if casing.kind == "permanent":
            total += self.cost("cost_permanent_m") * casing.base_m
        if casing.way is not None:
            shaking = self.cost("cost_should_m") if self.shakes and casing.way in SHAKING_WAYS else 0.0
            total += (self.cost(f"cost_advance_{casing.way}_m") + shaking) * (
                casing.base_m - max(casing.predrill_base_m, self.ground.levels.starter_base_m)
            )
        return total

    def _against_emptying(self, way: WrittenWay, casing: Casing) -> float:
        """Return what a casing costs more that is emptied beside water that may rise above the ground, without the reserve advised."""
        against = way.built.emptied_at(casing) is not None and lacks_reserve(self.ground, casing)
        return self.cost("cost_should_m") * casing.base_m if against else 0.0

    def _starter_spared(self, way: WrittenWay) -> float:
        """Return what a starter costs that a string stands in place of: every way has one, and it counts nothing."""
        levels = self.ground.levels
        if not levels.has_starter or not way.built.strings or any(casing.is_starter for casing in way.built.casings):
            return 0.0
        return self.cost("cost_string") + self.cost("cost_casing_m") * (levels.starter_base_m - levels.casing_top_m)

    def _is_at_hand(self, way: CasingWay) -> bool:
        return any(self.at_hand[name] for name in WAY_PLANT[way])
