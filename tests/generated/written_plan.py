"""Verify a plan as a caller holds it: written as JSON, read back, and held against its ground and the rules."""

from methodpick.engine.rulebook import Rulebook
from methodpick.formats.json import plan_json
from methodpick.ground.site import Site
from methodpick.plan.result import Plan
from methodpick.review import verify as review
from methodpick.review.contradiction import Contradiction
from methodpick.review.plan_file import read_plan_text


def verify_plan(plan: Plan, site: Site, rulebook: Rulebook) -> tuple[Contradiction, ...]:
    """Return every contradiction of a plan, of the ground and the design of ``site``, decided by a rulebook."""
    return review.verify_plan(read_plan_text(plan_json(plan), "plan"), rulebook, site).contradictions
