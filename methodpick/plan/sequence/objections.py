"""What proofs object to in a sequence, and the search that goes on until the best sequence meets no new objection.

A proof of a whole way needs its stages, hours and strings, so that it can speak only of a complete sequence. Each objection names the
segments that it holds for in every sequence and only ever worsens them. The first sequence whose own objections were all counted is
therefore the best of all, and the search stays exact.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Literal

from methodpick.plan.sequence.path import NOTHING, Score, Segment, SequencePath

TOLERANCE_M = 2e-3
ObjectionWeight = Literal["barred", "unlikely", "doubtful", "discouraged"]
ObjectionKind = Literal["base", "run", "first_fluid", "seal", "way", "string", "pull_out", "bell", "bare", "predrill"]
ABOUT_WAYS = frozenset[ObjectionKind]({"way", "pull_out"})
"""Kinds of objections that may change the way by which a casing is brought to a depth."""
OF_STATES = frozenset[ObjectionKind]({"base", "run", "first_fluid", "predrill"})
"""Kinds of objections to a state, which they name."""
AT_SHOES = ABOUT_WAYS | {"string", "seal"}
"""Kinds of objections to a casing at one depth."""
WAIVED_TIMES = 10.0
"""How many times heavier than a likely hazard a failing proof weighs where no way holds them all."""
MOST_TRIALS = 20
"""Sequences that are proved before the best one found is taken as it is."""


@dataclass(frozen=True, slots=True)
class Objection:
    """What a proof says against segments.

    ``base`` speaks of a hole that reaches ``base_m`` in a state, ``run`` of one that stands in a state over all of ``top_m`` to ``base_m``,
    ``first_fluid`` of a fluid in the hole below the starter, ``seal`` of ground dug dry below a shoe at ``base_m``, ``way`` and ``string``
    of a casing brought or set to ``base_m``, ``pull_out`` of such a casing that is pulled by the plant of its way (``set`` where it was
    set), ``bell`` of a tip that is not reached dry, ``bare`` of ground from ``top_m`` to ``base_m`` that a segment opens and that no
    casing keeps from the concrete, ``predrill`` of a hole that stands in a state over that length before a casing is set in it.
    """

    check: str
    kind: ObjectionKind
    weight: ObjectionWeight
    top_m: float
    base_m: float
    word: str = ""

    def holds_for(self, segment: Segment, strings: int) -> bool:
        """Return whether the objection holds for a segment that starts with a number of strings in place."""
        if self.kind in {"base", "run"}:
            return self._holds_for_run(segment)
        if self.kind == "first_fluid":
            return strings == 0 and any(run.state == self.word for run in segment.runs)
        if self.kind == "seal":
            return strings > 0 and segment.runs[0].state == "dry" and abs(segment.top_m - self.base_m) < TOLERANCE_M
        if self.kind == "bell":
            return segment.casing == "none" and segment.runs[-1].state != "dry"
        if self.kind == "bare":
            opens = segment.top_m < self.base_m - TOLERANCE_M and segment.base_m > self.top_m + TOLERANCE_M
            return opens and (segment.casing == "none" or not segment.keep)
        if self.kind == "predrill":
            return segment.casing != "none" and self._holds_for_run(segment)
        here = segment.casing != "none" and abs(segment.base_m - self.base_m) < TOLERANCE_M
        if self.kind == "way":
            return here and segment.way == self.word
        if self.kind == "pull_out":
            return here and not segment.keep and self.word in {"", segment.way or "set"}
        return here

    def _holds_for_run(self, segment: Segment) -> bool:
        for run in segment.runs:
            if run.state != self.word:
                continue
            if self.kind == "base":
                if run.top_m < self.base_m - TOLERANCE_M <= run.base_m:
                    return True
            elif run.top_m <= self.top_m + TOLERANCE_M and run.base_m >= self.base_m - TOLERANCE_M:
                return True
        return False


_Numbered = dict[int, Objection]
"""Objections by their number, in the order in which they came."""


@dataclass(slots=True)
class Objections:
    """All objections known so far for one shaft; ``about_ways`` counts those against a way of bringing or pulling a casing.

    ``waived`` weighs what is barred as the heaviest hazard instead: for the way that least is held against, where nothing can be proved.
    """

    known: dict[Objection, int] = field(default_factory=dict)
    waived: bool = False
    about_ways: int = 0
    _of_states: dict[str, _Numbered] = field(default_factory=dict)
    _at_shoes: _Numbered = field(default_factory=dict)
    _of_ground: _Numbered = field(default_factory=dict)
    _at_depths: dict[float, _Numbered] = field(default_factory=dict)

    def waiving(self) -> Objections:
        """Return the same objections with none of them barring anything."""
        waiving = Objections(waived=True)
        waiving.add(self.known)
        return waiving

    def add(self, objections: Iterable[Objection]) -> bool:
        """Add objections; return whether any of them is new."""
        before = len(self.known)
        for objection in objections:
            if objection not in self.known:
                number = self.known[objection] = len(self.known)
                self._place_of(objection)[number] = objection
                self.about_ways += objection.kind in ABOUT_WAYS
        if len(self.known) > before:
            self._at_depths.clear()
        return len(self.known) > before

    def _place_of(self, objection: Objection) -> _Numbered:
        """Return where an objection is looked for: by the state or the shoe that it is about."""
        if objection.kind in OF_STATES:
            return self._of_states.setdefault(objection.word, {})
        return self._at_shoes if objection.kind in AT_SHOES else self._of_ground

    def _at(self, depth_m: float) -> _Numbered:
        """Return the objections to a shoe at a depth; kept until another objection comes."""
        if depth_m not in self._at_depths:
            self._at_depths[depth_m] = {
                number: objection for number, objection in self._at_shoes.items() if abs(objection.base_m - depth_m) < TOLERANCE_M
            }
        return self._at_depths[depth_m]

    def _about(self, segment: Segment) -> list[Objection]:
        """Return the objections that may hold for a segment, in the order in which they came."""
        found = {**self._of_ground, **self._at(segment.base_m), **self._at(segment.top_m)}
        for run in segment.runs:
            found.update(self._of_states.get(run.state, {}))
        return [found[number] for number in sorted(found)]

    def ways_against(self, depth_m: float, *weights: ObjectionWeight) -> frozenset[str]:
        """Return the ways of bringing casing to a depth, or of pulling it, against which there is an objection of one of some weights."""
        if self.waived:
            weights = ("barred", *weights) if "unlikely" in weights else ()
        return frozenset(
            objection.word
            for objection in self._at(depth_m).values()
            if objection.kind in ABOUT_WAYS and objection.weight in weights
        )

    def burden(self, segment: Segment, strings: int, should_m: float, *, cautious: bool) -> Score | None:
        """Return what the objections add to the score of a segment; None where one bars it.

        ``should_m`` is the cost of a metre against advice; ``cautious`` counts doubt as a hazard.
        """
        total = NOTHING
        for objection in self._about(segment):
            if not objection.holds_for(segment, strings):
                continue
            length = max(objection.base_m - objection.top_m, 0.1)
            if objection.weight == "barred":
                if not self.waived:
                    return None
                total = total.with_unlikely(WAIVED_TIMES * length)
            elif objection.weight == "unlikely":
                total = total.with_unlikely(length)
            elif objection.weight == "doubtful" and cautious:
                total = total.plus(Score(doubtful_m=length))
            elif objection.weight == "discouraged":
                total = total.with_cost(should_m * length)
        return total


def search_proven(
    find: Callable[[SequencePath | None], SequencePath | None],
    objections_to: Callable[[SequencePath], Iterable[Objection]],
    objections: Objections,
    near: SequencePath | None = None,
) -> tuple[SequencePath | None, bool]:
    """Return the best path whose objections were all counted, and whether one was found within the trials.

    ``find`` searches with the objections known so far, led by the path of a search before it, at first ``near``; ``objections_to``
    proves a complete path.
    """
    path = find(near)
    for _ in range(MOST_TRIALS):
        if path is None or not objections.add(objections_to(path)):
            return path, True
        path = find(path)
    return path, path is None
