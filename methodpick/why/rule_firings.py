"""Which rules fire on which example: every rule judged at every place of every shaft, the finished hole included."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field

from methodpick.engine.compiler import FALSE, OPEN, TRUE
from methodpick.engine.rulebook import Outcomes, Rulebook
from methodpick.ground.site import Site
from methodpick.plan.judging.planning_input import boring_for
from methodpick.plan.pipeline import planning_basis
from methodpick.plan.plan_context import shaft_context
from methodpick.records import record
from methodpick.terms import STATES


@record(frozen=False)
class FiringCount:
    """At how many places a rule was true, open and false, and on which examples it held."""

    true: int = 0
    open: int = 0
    false: int = 0
    examples: list[str] = field(default_factory=list)

    @property
    def reason(self) -> str:
        """Return why the rule never held, nothing where it did."""
        if self.true:
            return ""
        if self.open:
            return "open at most: what decides it is never known for certain"
        return "silent everywhere" if self.false else "never judged"


def count_firings(sites: Mapping[str, Site], book: Rulebook) -> dict[str, FiringCount]:
    """Judge every rule over all shafts of the sites, which are named by their keys; return the count of every rule."""
    counts = {rule.id: FiringCount() for rule in book.rules}
    for name, site in sites.items():
        for state, outcomes in _places(site, book):
            for rule in outcomes.scope.rules:
                if state is not None and rule.states and state not in rule.states:
                    continue  # in a state that is not its own a rule says nothing
                count, certain = counts[rule.id], outcomes.of(rule.id)[0]
                count.true += certain == TRUE
                count.open += certain == OPEN
                count.false += certain == FALSE
                if certain == TRUE and name not in count.examples:
                    count.examples.append(name)
    return counts


def _places(site: Site, book: Rulebook) -> Iterable[tuple[str | None, Outcomes]]:
    """Return the outcomes of every place, with the support state where they belong to one."""
    basis = planning_basis(site, book)
    for shaft in site.shafts:
        context = shaft_context(basis, boring_for(site, shaft, book.values), shaft)
        yield from ((None, outcomes) for outcomes in context.ground.shared_outcomes)
        for judged in context.ground.slices:
            yield None, judged.outcomes
            yield from ((state, judged.state_outcomes[state]) for state in STATES)
        path = context.best()
        if path is not None:
            yield None, context.stage_judgement(context.worked(path)).outcomes
