"""The clay wall of an open hole: the overload ratio against collapse and squeezing, and how far the wall comes in."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf

from methodpick.mechanics.clay import closure_percent, collapse_limit, collapse_limit_grows_from, overload_ratio
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import GREATEST_LOAD, ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import ACTS, EXPECTED, Compared, Heading, Wording, make_comparison, over_words, write_comparison
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.terms import OPEN_STATES
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import YES, Choice, Span

WALL_OVERLOAD = Definition(
    "wall-overload",
    "Overload of a clay wall",
    OPEN_STATES,
    "The overload ratio of every clay wall stays below its collapse limit and below six, and below three quarters of it as "
    "a recommendation.",
    rule="clay-wall-collapses",
)
WALL_CLOSURE = Definition(
    "wall-closure",
    "Closure of a dry hole",
    ("dry",),
    "A clay wall that would come in by more than the flagged share of the radius is not left open dry.",
)

ADVERSE = {
    "total_kpa": "the heaviest ground",
    "surcharge_kpa": GREATEST_LOAD,
    "inside_kpa": "the least fluid",
    "su_kpa": "the weakest clay",
    "rigidity": "the softest clay",
}


@record
class WallOverloadFacts:
    """The clay wall at a depth in one open state.

    ``surcharge_kpa`` is what loads on the ground add at that depth, ``inside_kpa`` the pressure of the fluid (0 in a dry hole),
    ``rigidity`` the shear modulus over the strength. ``dry`` asks for the closure of the wall as well.
    """

    place: ProvedPlace
    depth_m: float
    diameter_m: float
    total_kpa: Span
    surcharge_kpa: Span
    inside_kpa: Span
    su_kpa: Span | None
    fissured: Choice
    rigidity: Span | None
    dry: bool


def depths_to_check(top_m: float, base_m: float, diameter_m: float, fluid_level_m: float | None) -> tuple[float, ...]:
    """Return the depths of a length of one clay of which one has the greatest overload over its limit.

    The load on the wall bends down only where the fluid begins to press, and the limit bends up only where it begins to grow; between
    these depths the load over the limit is greatest at an end. The top is the worse end under a heavy load on the ground.

    >>> [round(depth, 2) for depth in depths_to_check(0.5, 3.0, 1.0, 0.6)]
    [0.5, 0.6, 0.73, 3.0]
    """
    bends = (collapse_limit_grows_from(diameter_m), *(() if fluid_level_m is None else (fluid_level_m,)))
    return tuple(sorted({top_m, base_m, *(depth for depth in bends if top_m < depth < base_m)}))


def check_wall_overload(facts: WallOverloadFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof that the clay wall stands, and for a dry hole that it does not come in too far."""
    stands = over_words(WALL_OVERLOAD, facts.fissured, lambda word: _stands(facts, limits, fissured=word == YES), _where)
    return (stands, _closure(facts, limits)) if facts.dry else (stands,)


def _where(fissured: str) -> str:
    return f"where the clay is {'' if fissured == YES else 'not '}fissured"


def _inputs(facts: WallOverloadFacts) -> dict[str, Span | None]:
    return {"total_kpa": facts.total_kpa, "surcharge_kpa": facts.surcharge_kpa, "inside_kpa": facts.inside_kpa, "su_kpa": facts.su_kpa}


def _ratio(value: Mapping[str, float]) -> float:
    """Return the overload ratio; clay without strength has none that is finite, and a full hole has no overload."""
    total = value["total_kpa"] + value["surcharge_kpa"]
    if total <= value["inside_kpa"]:
        return 0.0
    return overload_ratio(total, value["inside_kpa"], value["su_kpa"]) if value["su_kpa"] > 0.0 else inf


def _stands(facts: WallOverloadFacts, limits: Mapping[str, Limit], *, fissured: bool) -> Compared:
    collapse, cap = limits["overload_share_collapse"], limits["overload_cap"]
    recommended = limits["overload_share_fissured" if fissured else "overload_share_recommended"]
    bears = min(cap.value, collapse_limit(facts.depth_m, facts.diameter_m))
    return make_comparison(
        Heading(
            WALL_OVERLOAD,
            facts.place,
            limits=(cap, collapse, recommended),
            formula="collapse_limit",
            remedy="Keep fluid in the hole, or case the clay.",
            question="What is the undrained strength of the clay?",
        ),
        Wording("The overload ratio that the clay wall bears", ACTS, "1", ADVERSE),
        Comparison(
            has=lambda _: bears,
            needed=lambda value: _ratio(value) / collapse.value,
            recommended=lambda value: _ratio(value) / recommended.value,
            adverse={"total_kpa": "high", "surcharge_kpa": "high", "inside_kpa": "low", "su_kpa": "low"},
        ),
        _inputs(facts),
    )


def _closure(facts: WallOverloadFacts, limits: Mapping[str, Limit]) -> Check:
    most = limits["closure_flag_percent"]

    def closes(value: Mapping[str, float]) -> float:
        return closure_percent(_ratio(value), value["rigidity"])

    return write_comparison(
        Heading(
            WALL_CLOSURE,
            facts.place,
            limits=(most,),
            formula="closure_percent",
            remedy="Keep fluid in the hole, case the clay, or ream it before the cage.",
            question="What is the undrained strength of the clay?",
        ),
        Wording("The closure of the radius that is accepted", EXPECTED, "%", ADVERSE),
        Comparison(
            has=lambda _: most.value,
            needed=closes,
            adverse={"total_kpa": "high", "surcharge_kpa": "high", "inside_kpa": "low", "su_kpa": "low", "rigidity": "low"},
        ),
        {**_inputs(facts), "rigidity": facts.rigidity},
    )
