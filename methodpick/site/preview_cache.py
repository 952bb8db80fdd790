"""The method of a shaft at a boring and how hard the ground is, planned without reasons and sizes; equal shafts are planned once."""

from __future__ import annotations

from dataclasses import dataclass, field

from methodpick.engine.compiler import FALSE
from methodpick.engine.rule import Rule
from methodpick.engine.rulebook import Rulebook
from methodpick.ground.profile import Profile
from methodpick.ground.shaft import Shaft
from methodpick.ground.site import Site
from methodpick.plan.judging.boring_choice import boring_at_shaft, distance
from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.plan.proving.kept_proofs import ProvedFacts
from methodpick.plan.result import ShaftMethod
from methodpick.plan.sequence.path import Score
from methodpick.vocabulary.assumptions import Assumption
from methodpick.vocabulary.values import point

_NOT_BUILT = {"id", "boring", "count", "position", "substructure", "ground_elevation_m"}
"""Fields of a shaft that do not tell how it is built in given ground."""
PlanKey = tuple[str, str, str]
"""What shafts share whose plans are equal: boring, ground level, and the shaft as designed with what its distance decides."""


@dataclass(frozen=True, slots=True)
class MethodPreview:
    """The method of the expected plan, its score (the ordering tuple of the search), and what it was planned from."""

    method: ShaftMethod
    score: Score
    context: PlanContext


@dataclass(slots=True)
class PreviewCache:
    """Plans shafts at borings and keeps the previews, so that equal shafts at the same boring and level are planned once.

    All share their proofs by the facts; they are kept as long as the previews, while the site is planned.
    """

    site: Site
    book: Rulebook
    assumptions: tuple[Assumption, ...]
    _previews: dict[PlanKey, MethodPreview] = field(default_factory=dict)
    _of_distance: tuple[Rule, ...] = ()
    _proved: ProvedFacts = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Find the rules that speak of the distance of a boring."""
        self._of_distance = tuple(rule for rule in self.book.rules if "boring_distance_m" in rule.facts)

    def key(self, boring: Profile, shaft: Shaft) -> PlanKey:
        """Return what two shafts share whose expected plans are equal."""
        known = boring.ground_elevation_m is not None and shaft.ground_elevation_m is not None
        level = f"{shaft.ground_elevation_m:.4f}" if known else ""
        return boring.id, level, shaft.model_dump_json(exclude=_NOT_BUILT) + self._distance_part(boring, shaft)

    def preview(self, boring: Profile, shaft: Shaft) -> MethodPreview:
        """Return the method and the score of a shaft at a boring."""
        key = self.key(boring, shaft)
        if key not in self._previews:
            self._previews[key] = self._plan(boring, shaft)
        return self._previews[key]

    def planned_from(self, key: PlanKey) -> PlanContext | None:
        """Return the gathered and judged ground of a preview that was made, None where it was not."""
        return self._previews[key].context if key in self._previews else None

    def _plan(self, boring: Profile, shaft: Shaft) -> MethodPreview:
        context = PlanContext(
            PlanBasis(self.site, self.book, self.assumptions, proved=self._proved),
            boring_at_shaft(self.site, shaft, boring, self.book.values),
            shaft,
        )
        path = context.best()
        if path is None:
            return MethodPreview("undecided", Score(undecided_m=shaft.tip_m), context)
        return MethodPreview(context.method_of(path), path.score, context)

    def _distance_part(self, boring: Profile, shaft: Shaft) -> str:
        """Return the distance where a rule may speak of it, so that only shafts of which none does share a plan."""
        away_m = distance(boring, shaft)
        if away_m is None:
            return ""
        outcomes = self.book.scopes["shaft"].judge({"boring_distance_m": point(away_m)})
        judged = {rule.id for rule in outcomes.scope.rules}
        silent = all(rule.id in judged and outcomes.of(rule.id)[0] == FALSE for rule in self._of_distance)
        return " known" if silent else f" {away_m:.6f}"
