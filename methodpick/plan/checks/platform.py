"""The working platform: whether the ground bears tracks and plates, and how near they stand to the edge."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.mechanics.plant import clay_bearing, spread_pressure
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Heading, Wording, write_comparison
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Span

PLATFORM_BEARING = Definition(
    "platform-bearing",
    "Ground under the plant",
    ("rig",),
    "The platform under rig, crane and the reaction of an oscillator bears its load, spread through its thickness.",
    life=True,
)
PLATFORM_EDGE = Definition("platform-edge", "Plant at the edge", ("rig",), "Tracks and plates stand clear of an open edge.")

ADVERSE = {"load_kn": "the greatest load", "su_kpa": "the weakest clay", "bearing_kpa": "the weakest ground", "edge_m": "the nearest track"}


@record
class Load:
    """A load on the platform: a track of a rig or crane, or the plate of an oscillator that takes its pull and its weight.

    ``width_m`` is the shorter side of what touches the platform, ``edge_m`` the distance from the edge of the hole.
    """

    name: str
    load_kn: Span | None
    width_m: float
    length_m: float
    edge_m: Span | None


@record
class PlatformFacts:
    """A platform and one load on it.

    ``thickness_m`` of good fill spreads the load; under it lies clay of ``su_kpa``, or ground whose bearing capacity ``bearing_kpa`` was
    worked out elsewhere (it goes first). ``cased`` says that a casing holds the edge of the hole.
    """

    place: ProvedPlace
    load: Load
    thickness_m: float
    su_kpa: Span | None
    bearing_kpa: Span | None
    cased: bool


def check_platform(facts: PlatformFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proofs that the platform bears a load, and that it stands far enough from an edge that no casing holds."""
    return (_bears(facts, limits),) if facts.cased else (_bears(facts, limits), _edge(facts, limits))


def _bears(facts: PlatformFacts, limits: Mapping[str, Limit]) -> Check:
    least, recommended = limits["platform_factor_least"], limits["platform_factor"]
    load, given = facts.load, facts.bearing_kpa is not None

    def pressure(value: Mapping[str, float]) -> float:
        return spread_pressure(value["load_kn"], load.width_m, load.length_m, facts.thickness_m)

    def bears(value: Mapping[str, float]) -> float:
        spread = facts.thickness_m
        return value["bearing_kpa"] if given else clay_bearing(value["su_kpa"], load.width_m + spread, load.length_m + spread)

    strength = "bearing_kpa" if given else "su_kpa"
    return write_comparison(
        Heading(
            PLATFORM_BEARING,
            facts.place,
            limits=(least, recommended),
            formula="spread_pressure" if given else "clay_bearing",
            remedy="Thicken the platform, lay mats, or take lighter plant.",
            question="How heavy is the plant, and how strong is the ground under the platform?",
        ),
        Wording(f"The bearing capacity under the {load.name}", "with its safety the load asks for", "kPa", ADVERSE),
        Comparison(
            has=bears,
            needed=lambda value: least.value * pressure(value),
            needed_adverse=pressure,
            recommended=lambda value: recommended.value * pressure(value),
            adverse={"load_kn": "high", strength: "low"},
        ),
        {"load_kn": load.load_kn, strength: facts.bearing_kpa if given else facts.su_kpa},
    )


def _edge(facts: PlatformFacts, limits: Mapping[str, Limit]) -> Check:
    clear = limits["edge_clear_m"]
    return write_comparison(
        Heading(
            PLATFORM_EDGE,
            facts.place,
            limits=(clear,),
            remedy="Move the plant back, or case the top of the hole.",
            question="How near to the edge of the hole does the plant stand?",
        ),
        Wording(f"The distance of the {facts.load.name} from the edge of the hole", "needed is", "m", ADVERSE),
        Comparison(has=lambda value: value["edge_m"], needed=lambda _: clear.value, adverse={"edge_m": "low"}),
        {"edge_m": facts.load.edge_m},
    )
