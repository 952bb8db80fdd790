"""Water that runs into a dry hole: when it stops dry placement, and when it ends dry drilling."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.mechanics.emptied_hole import rise_rate
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison, InputWords
from methodpick.plan.checks.record import EXPECTED, Heading, Wording, write_comparison, write_condition
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import YES, Choice, Span

INFLOW_PLACEMENT = Definition(
    "inflow-placement",
    "Inflow and dry placement",
    ("dry_placement",),
    "A rise of twelve inches an hour is a limit of placement: over it drilling goes on, the hole is filled and poured by tremie.",
    rule="placement-wet-inflow",
)
INFLOW_PUMPS = Definition("inflow-pumps", "Inflow and pumps", ("dry", "cased_dry"), "Dry drilling ends where the inflow exceeds the pumps.")
INFLOW_EROSION = Definition(
    "inflow-erosion", "Inflow that carries soil", ("dry", "cased_dry"), "Dry drilling ends where seepage erodes sand, silt, gouge or seams."
)

QUESTION = "How much water does the ground give? A pumping or falling-head test, or a trial hole, tells."


@record
class InflowFacts:
    """The inflow into a dry hole, in m3/h over all that feeds it, and whether it carries soil.

    ``erodible`` is whether the ground that gives the water is sand, silt, gouge or seams that wash out.
    """

    place: ProvedPlace
    diameter_m: float
    inflow_m3_h: Span | None
    erodible: Choice


def check_inflow(facts: InflowFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proofs of dry placement, of the pumps, and that the inflow carries no soil."""
    return _placement(facts, limits), _pumps(facts, limits), _erosion(facts)


def _placement(facts: InflowFacts, limits: Mapping[str, Limit]) -> Check:
    most = limits["dry_rise_m_h"]
    return write_comparison(
        Heading(
            INFLOW_PLACEMENT,
            facts.place,
            limits=(most,),
            formula="rise_rate",
            remedy="Let the hole fill above the water outside, and pour by tremie.",
            question=QUESTION,
        ),
        Wording(
            "The rise of water that dry placement bears", "to be expected in the hole is", "m/h", {"inflow_m3_h": "the greatest inflow"}
        ),
        Comparison(
            has=lambda _: most.value,
            needed=lambda value: rise_rate(value["inflow_m3_h"] / 3600.0, facts.diameter_m),
            adverse={"inflow_m3_h": "high"},
        ),
        {"inflow_m3_h": facts.inflow_m3_h},
    )


def _pumps(facts: InflowFacts, limits: Mapping[str, Limit]) -> Check:
    most = limits["pumps_most_m3_h"]
    return write_comparison(
        Heading(
            INFLOW_PUMPS,
            facts.place,
            limits=(most,),
            remedy="Drill on under water, its level kept above the water outside, or case the length.",
            question=QUESTION,
        ),
        Wording("The inflow that pumps keep down", EXPECTED, "pumped", {"inflow_m3_h": "the greatest inflow"}),
        Comparison(has=lambda _: most.value, needed=lambda value: value["inflow_m3_h"], adverse={"inflow_m3_h": "high"}),
        {"inflow_m3_h": facts.inflow_m3_h},
    )


def _erosion(facts: InflowFacts) -> Check:
    def broken(value: InputWords) -> bool:
        return float(value["inflow_m3_h"]) > 0.0 and value["erodible"] == YES

    return write_condition(
        Heading(
            INFLOW_EROSION,
            facts.place,
            remedy="Keep fluid in the hole above the water outside, or case the length.",
            question="Does the water come from sand, silt, gouge or seams?",
        ),
        "the inflow leaves the soil in place",
        "the inflow washes soil into the hole, so that it cannot be drilled dry",
        broken,
        {"inflow_m3_h": facts.inflow_m3_h, "erodible": facts.erodible},
    )
