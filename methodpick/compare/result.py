"""What a comparison hands out: frozen records in SI, texts with marked numbers, as in the format ``methodpick-compare/1``."""

from __future__ import annotations

from typing import Literal

from methodpick.plan.result import InputStamp, Plan, RulebookStamp, ShaftMethod
from methodpick.records import record
from methodpick.site.estimate import Estimate
from methodpick.terms import CasingKind

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
