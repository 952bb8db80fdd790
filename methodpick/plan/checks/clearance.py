"""What must pass through a casing: the tool, the next string and the cage with its cover, through the real inside."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import Heading, Wording, write_comparison
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.vocabulary.limits import Limit

CLEARANCE_TOOL = Definition("clearance-tool", "Tool through the casing", ("string",), "The tool passes the real inside of the casing.")
CLEARANCE_STRING = Definition(
    "clearance-string", "Next string through the casing", ("string",), "The next string passes the real inside of the casing."
)
CLEARANCE_CAGE = Definition("clearance-cage", "Cage through the casing", ("string",), "The cage passes the smallest inside with its cover.")

REMEDIES = {
    CLEARANCE_TOOL.id: "Take a wider casing, a thinner wall that is still enough, or a narrower tool.",
    CLEARANCE_STRING.id: "Take a wider casing outside or a narrower one inside.",
    CLEARANCE_CAGE.id: "Take a wider casing, or ask the engineer for a narrower cage.",
}


@record
class ClearanceFacts:
    """A casing as it is bought or taken from the yard, and what passes through it.

    ``tool_m`` is the widest tool that works below the casing, ``string_m`` the outside diameter of the next string (None without one),
    ``cage_m`` the outside diameter of the cage (None where it is not known or ends above), ``cover_m`` the cover that the drawing gives.
    """

    place: ProvedPlace
    outside_diameter_m: float
    wall_m: float
    tool_m: float
    string_m: float | None
    cage_m: float | None
    cover_m: float | None

    @property
    def inside_m(self) -> float:
        """Return the clear inside of the casing."""
        return self.outside_diameter_m - 2.0 * self.wall_m


def check_clearance(facts: ClearanceFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proofs that tool, next string and cage pass through the casing."""
    clear = limits["tool_clear_m"]
    checks = [_passes(facts, CLEARANCE_TOOL, "the tool needs", facts.tool_m, facts.tool_m + clear.value, (clear,))]
    if facts.string_m is not None:
        needed = facts.string_m + clear.value
        checks.append(_passes(facts, CLEARANCE_STRING, "the next string needs", needed, needed, (clear,)))
    if facts.cage_m is not None:
        cover = limits["cover_least_m"]
        given = cover.value if facts.cover_m is None else facts.cover_m
        needed = facts.cage_m + 2.0 * given
        used = () if facts.cover_m is not None else (cover,)
        checks.append(_passes(facts, CLEARANCE_CAGE, "the cage with its cover needs", needed, needed, used))
    return tuple(checks)


def _passes(
    facts: ClearanceFacts, proof: Definition, words: str, needed_m: float, recommended_m: float, limits: tuple[Limit, ...]
) -> Check:
    return write_comparison(
        Heading(proof, facts.place, limits=limits, remedy=REMEDIES[proof.id]),
        Wording("The clear inside of the casing", words, "size", {}),
        Comparison(has=lambda _: facts.inside_m, needed=lambda _: needed_m, recommended=lambda _: recommended_m, adverse={}),
        {},
    )
