"""The expected plan of a shaft at a boring, without the pages around it: its method and how hard the ground is."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

from methodpick.engine.compiler import FALSE
from methodpick.engine.rule import Rule
from methodpick.engine.rulebook import Rulebook
from methodpick.ground.profile import Profile
from methodpick.ground.shaft import Shaft
from methodpick.ground.site import Site
from methodpick.plan.judging.boring_choice import distance, set_over
from methodpick.plan.plan_context import PlanContext
from methodpick.plan.reasons.intervals import held_at
from methodpick.plan.sequence.path import Score
from methodpick.vocabulary.assumptions import Assumption
from methodpick.vocabulary.values import point

_OWN = {"id", "boring", "count", "position", "substructure", "ground_elevation_m"}
"""What tells shafts apart that are built alike at the same ground."""
Alike = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class Glance:
    """The method of the expected plan and its score, the ordering tuple of the search."""

    method: str
    score: Score
    shop: PlanContext


@dataclass(slots=True)
class Quick:
    """Plans shafts at borings and keeps what is alike: the same boring, the same level, the same shaft."""

    site: Site
    book: Rulebook
    taken: tuple[Assumption, ...]
    _seen: dict[Alike, Glance] = field(default_factory=dict)
    _asking: tuple[Rule, ...] = ()

    def __post_init__(self) -> None:
        """Find the rules that speak of the distance of a boring."""
        self._asking = tuple(rule for rule in self.book.rules if "boring_distance_m" in rule.facts)

    def alike(self, boring: Profile, shaft: Shaft) -> Alike:
        """Return what two shafts share whose expected plans are the same."""
        level = "" if boring.ground_elevation_m is None or shaft.ground_elevation_m is None else (f"{shaft.ground_elevation_m:.4f}")
        return boring.id, level, shaft.model_dump_json(exclude=_OWN) + self._far(boring, shaft)

    def glance(self, boring: Profile, shaft: Shaft) -> Glance:
        """Return the method and the score of a shaft at a boring."""
        key = self.alike(boring, shaft)
        if key not in self._seen:
            self._seen[key] = self._look(boring, shaft)
        return self._seen[key]

    def shop(self, key: Alike) -> PlanContext | None:
        """Return the gathered and judged ground of what was glanced at, None where it was not."""
        return self._seen[key].shop if key in self._seen else None

    def _look(self, boring: Profile, shaft: Shaft) -> Glance:
        shop = PlanContext(self.site, set_over(self.site, shaft, boring, self.book.values), shaft, self.book, self.taken)
        path = shop.best()
        if path is None:
            return Glance("undecided", (shaft.tip_m, 0.0, 0.0, 0.0, 0.0, 0), shop)
        start = shop.levels.starter_base_m
        supports = set()
        for one in shop.judged:
            ends = sorted(
                {one.slice.top_m, one.slice.base_m}
                | {
                    depth
                    for segment in path.segments
                    for run in segment.runs
                    for depth in (run.top_m, run.base_m)
                    if one.slice.top_m < depth < one.slice.base_m
                }
                | ({start} if one.slice.top_m < start < one.slice.base_m else set())
            )
            for top, base in pairwise(ends):
                held = held_at(path, (top + base) / 2, start, one).support
                if not (held == "temporary_casing" and base <= start + 1e-6):
                    supports.add(held)
        known = supports - {"undecided"}
        method = (
            "temporary_casing" if not supports else "undecided" if not known else (next(iter(known)) if len(known) == 1 else "combination")
        )
        return Glance(method, path.score, shop)

    def _far(self, boring: Profile, shaft: Shaft) -> str:
        """Return the distance where a rule may speak of it, so that only shafts of which none does share a plan."""
        away = distance(boring, shaft)
        if away is None:
            return ""
        outcomes = self.book.scopes["shaft"].judge({"boring_distance_m": point(away)})
        own = {rule.id for rule in outcomes.scope.rules}
        silent = all(rule.id in own and outcomes.of(rule.id)[0] == FALSE for rule in self._asking)
        return " known" if silent else f" {away:.6f}"
