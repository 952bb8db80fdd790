"""What proofs object to in a sequence, and the search that goes on until the best sequence meets no new objection.

A proof of a whole way needs its stages, hours and strings, so that it can speak only of a complete sequence. Each objection names the
segments that it holds for in every sequence and only ever worsens them. The first sequence whose own objections were all counted is
therefore the best of all, and the search stays exact.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from math import inf
from typing import Literal

from methodpick.collector import collector_paused
from methodpick.plan.sequence.path import NOTHING, Score, Segment, SequencePath
from methodpick.records import record
from methodpick.terms import FLUIDS

TOLERANCE_M = 2e-3
ObjectionWeight = Literal["barred", "unlikely", "doubtful", "discouraged"]
ObjectionKind = Literal[
    "base",
    "run",
    "open",
    "bare_under",
    "under_fluid",
    "first_fluid",
    "seal",
    "way",
    "string",
    "pull_out",
    "bell",
    "bare",
    "predrill",
    "drains",
]
ABOUT_WAYS = frozenset[ObjectionKind]({"way", "pull_out"})
"""Kinds of objections that may change the way by which a casing is brought to a depth."""
OF_CASINGS = ABOUT_WAYS | {"string"}
"""Kinds of objections to a casing that is brought to a depth."""
WAIVED_TIMES = 10.0
"""How many times heavier than a likely hazard a failing proof weighs where no way holds them all."""
MOST_TRIALS = 20
"""Sequences that are proved before the best one found is taken as it is."""


@record
class Objection:
    """What a proof says against segments.

    ``base`` speaks of a hole that reaches ``base_m`` in a state, ``run`` of one that stands in a state over all of ``top_m`` to ``base_m``,
    ``open`` of one that stands so until something holds it and goes to ``reaches_m`` at least by then, which takes its time,
    ``bare_under`` of one that is bare over all of that at once under a fluid, whether it was drilled under it or dry at first,
    ``under_fluid`` of one that is so over a part of it, which counts by its length, ``first_fluid`` of a fluid in the hole below the
    starter, ``seal`` of ground dug dry below a shoe at ``base_m``, ``way`` and ``string`` of a casing brought or set to ``base_m``
    (``string`` of one way alone where its wall is what is proved), ``pull_out`` of such a casing that is pulled by the plant of its way
    (``set`` where it was set), ``bell`` of a tip that is not reached dry, ``bare`` of ground from ``top_m`` to ``base_m`` that a segment
    opens and that no casing keeps from the concrete, ``predrill`` of a hole that stands in a state over that length before a casing is set
    in it, ``drains`` of ground that fluid holds in the same segment that goes below ``reaches_m``. ``way`` and ``pull_out`` hold for casing
    that the ground grips from ``gripped_from_m`` or from above it, since one that is brought from deeper down has less to overcome; what
    grips from ``said_to_m`` or above it is held against by another objection of the same check already. ``seated_from_m`` is that below
    which alone the ground grips a casing that the objection holds for: one that is gripped from above it has a longer seat. ``below_m`` is
    the deepest shoe above it: inside a casing that goes deeper it is proved by itself. What grips from ``seated_to_m`` or below it, and
    what stands below a shoe no deeper than ``below_from_m``, is held against by another objection of the same check already.
    """

    check: str
    kind: ObjectionKind
    weight: ObjectionWeight
    top_m: float
    base_m: float
    word: str = ""
    reaches_m: float = 0.0
    gripped_from_m: float = inf
    said_to_m: float = -inf
    seated_from_m: float = -inf
    below_m: float = inf
    seated_to_m: float = inf
    below_from_m: float = -inf

    def holds_for(self, segment: Segment, strings: int) -> bool:
        """Return whether the objection holds for a segment that starts with a number of strings in place."""
        return _HOLDS[self.kind](self, segment, strings)

    def length_in(self, segment: Segment) -> float:
        """Return the length that the objection counts by in a segment: its own, or what of it is bare or stands under the fluid there."""
        if self.kind == "bare":
            return min(self.base_m, segment.base_m) - max(self.top_m, segment.top_m)
        if self.kind == "under_fluid":
            return min(self.base_m, self.reached_under(segment)) - max(self.top_m, segment.top_m)
        return self.base_m - self.top_m

    def reached_under(self, segment: Segment) -> float:
        """Return how deep a segment goes under the fluid that the objection is about; without end above where it does not."""
        return max((run.base_m for run in segment.runs if run.state == self.word), default=-inf)

    def is_at(self, depth_m: float) -> bool:
        """Return whether a depth is that of the shoe that the objection is about."""
        return abs(depth_m - self.base_m) < TOLERANCE_M

    def is_of_grip_from(self, depth_m: float) -> bool:
        """Return whether the objection holds for casing that the ground grips from a depth down."""
        return self.said_to_m + TOLERANCE_M < depth_m <= self.gripped_from_m + TOLERANCE_M

    @property
    def about(self) -> tuple[str | float, ...]:
        """Return what the objection says of which casing, whatever ground grips it."""
        return self.check, self.kind, self.weight, self.base_m, self.word


def _base(about: Objection, segment: Segment, _: int) -> bool:
    return any(run.state == about.word and run.top_m < about.base_m - TOLERANCE_M <= run.base_m for run in segment.runs)


def _run(about: Objection, segment: Segment, _: int) -> bool:
    for run in segment.runs:
        if run.state == about.word and run.top_m <= about.top_m + TOLERANCE_M and run.base_m >= about.base_m - TOLERANCE_M:
            return True
    return False


def _open(about: Objection, segment: Segment, strings: int) -> bool:
    return segment.held_from_m(about.base_m) >= about.reaches_m - TOLERANCE_M and _run(about, segment, strings)


def _bare_under(about: Objection, segment: Segment, _: int) -> bool:
    return segment.top_m <= about.top_m + TOLERANCE_M and about.reached_under(segment) >= about.base_m - TOLERANCE_M


def _under_fluid(about: Objection, segment: Segment, _: int) -> bool:
    return segment.top_m <= about.base_m - TOLERANCE_M and about.reached_under(segment) >= about.top_m + TOLERANCE_M


def _first_fluid(about: Objection, segment: Segment, strings: int) -> bool:
    return strings == 0 and any(run.state == about.word for run in segment.runs)


def _seal(about: Objection, segment: Segment, strings: int) -> bool:
    return strings > 0 and about.is_at(segment.top_m) and segment.runs[0].state == "dry"


def _bell(_: Objection, segment: Segment, __: int) -> bool:
    return segment.casing == "none" and segment.runs[-1].state != "dry"


def _bare(about: Objection, segment: Segment, _: int) -> bool:
    opens = segment.top_m < about.base_m - TOLERANCE_M and segment.base_m > about.top_m + TOLERANCE_M
    return opens and (segment.casing == "none" or not segment.keep)


def _predrill(about: Objection, segment: Segment, strings: int) -> bool:
    return segment.casing != "none" and _run(about, segment, strings)


def _drains(about: Objection, segment: Segment, _: int) -> bool:
    if segment.base_m <= about.reaches_m + TOLERANCE_M:
        return False
    held = (run for run in segment.runs if run.state in FLUIDS)
    return any(run.top_m < about.base_m - TOLERANCE_M and run.base_m > about.top_m + TOLERANCE_M for run in held)


def _way(about: Objection, segment: Segment, _: int) -> bool:
    here = about.is_at(segment.base_m) and segment.casing != "none" and segment.way == about.word
    return here and about.is_of_grip_from(segment.gripped_from_m)


def _string(about: Objection, segment: Segment, _: int) -> bool:
    here = about.is_at(segment.base_m) and segment.casing != "none" and about.word in {"", segment.way or "set"}
    return here and about.seated_from_m - TOLERANCE_M <= segment.gripped_from_m < about.seated_to_m - TOLERANCE_M


def _pull_out(about: Objection, segment: Segment, _: int) -> bool:
    here = about.is_at(segment.base_m) and segment.casing != "none" and about.is_of_grip_from(segment.gripped_from_m)
    here = here and about.below_from_m + TOLERANCE_M < segment.top_m <= about.below_m + TOLERANCE_M
    return here and not segment.keep and about.word in {"", segment.way or "set"}


_HOLDS: Mapping[ObjectionKind, Callable[[Objection, Segment, int], bool]] = {
    "base": _base,
    "run": _run,
    "open": _open,
    "bare_under": _bare_under,
    "under_fluid": _under_fluid,
    "first_fluid": _first_fluid,
    "seal": _seal,
    "bell": _bell,
    "bare": _bare,
    "predrill": _predrill,
    "drains": _drains,
    "way": _way,
    "string": _string,
    "pull_out": _pull_out,
}
"""When an objection of a kind holds for a segment that starts with a number of strings in place."""


@record(frozen=False)
class Objections:
    """All objections known so far for one shaft, in the order in which they came.

    ``waived`` weighs what is barred as the heaviest hazard instead: for the way that least is held against, where nothing can be proved.
    """

    known: list[Objection] = field(default_factory=list)
    waived: bool = False
    _ways_at: dict[float, tuple[Objection, ...]] = field(default_factory=dict)
    _since: dict[tuple[int, float], tuple[Objection, ...]] = field(default_factory=dict)

    def waiving(self) -> Objections:
        """Return the same objections with none of them barring anything."""
        return Objections(list(self.known), waived=True)

    def add(self, objections: Iterable[Objection]) -> bool:
        """Add objections; return whether any of them is new."""
        before, new = set(self.known), list[Objection]()
        for objection in dict.fromkeys(objections):
            new += [unsaid for unsaid in self._unsaid(objection, new) if unsaid not in before]
        self.known += new
        self._since.clear()
        if any(objection.kind in ABOUT_WAYS for objection in new):
            self._ways_at.clear()
        return bool(new)

    def _unsaid(self, objection: Objection, new: Iterable[Objection]) -> Iterable[Objection]:
        """Return what an objection to a casing or to bare ground adds to those of the same check."""
        if objection.kind in OF_CASINGS:
            unsaid = _unsaid_of_casing(objection, [other for other in (*self.known, *new) if other.about == objection.about])
            return () if unsaid is None else (unsaid,)
        if objection.kind == "bare":
            alike = (objection.check, objection.kind, objection.weight)
            said = sorted((each.top_m, each.base_m) for each in (*self.known, *new) if (each.check, each.kind, each.weight) == alike)
            return tuple(replace(objection, top_m=top, base_m=base) for top, base in _left_of(objection.top_m, objection.base_m, said))
        return (objection,)

    def about_ways(self, depth_m: float) -> tuple[Objection, ...]:
        """Return the objections to ways of bringing a casing to a depth or of pulling it; kept until another comes."""
        if depth_m not in self._ways_at:
            self._ways_at[depth_m] = tuple(
                objection for objection in self.known if objection.kind in ABOUT_WAYS and objection.is_at(depth_m)
            )
        return self._ways_at[depth_m]

    def since(self, number: int, base_m: float) -> tuple[Objection, ...]:
        """Return those after the first ``number`` that may hold for a segment to a depth; kept until another comes."""
        found = self._since.get((number, base_m))
        if found is None:
            new = self.known[number:]
            found = tuple(objection for objection in new if objection.kind not in OF_CASINGS or objection.is_at(base_m))
            self._since[number, base_m] = found
        return found

    def ways_against(self, from_m: float, depth_m: float, *weights: ObjectionWeight) -> frozenset[str]:
        """Return the ways of bringing casing from one depth to another against which an objection has such a weight.

        An objection to pulling it is none to the way: the casing may stay.
        """
        if self.waived:
            weights = ("barred", *weights) if "unlikely" in weights else ()
        against = (objection for objection in self.about_ways(depth_m) if objection.kind == "way" and objection.weight in weights)
        return frozenset(objection.word for objection in against if objection.is_of_grip_from(from_m))

    def burden(
        self,
        segment: Segment,
        strings: int,
        should_m: float,
        *,
        cautious: bool,
        new: Sequence[Objection] | None = None,
        before: Score = NOTHING,
    ) -> Score | None:
        """Return what the objections add to the score of a segment; None where one bars it.

        ``should_m`` is the cost of a metre against advice; ``cautious`` counts doubt as a hazard. Where ``before`` is what earlier ones
        add, only the ``new`` ones are looked at.
        """
        total = before
        for objection in self.known if new is None else new:
            if not objection.holds_for(segment, strings):
                continue
            length = max(objection.length_in(segment), 0.1)
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


def _unsaid_of_casing(objection: Objection, same: Sequence[Objection]) -> Objection | None:
    """Return what an objection to a casing adds to those of the same check about the same shoe; None where they say as much already."""
    if objection.below_m < inf:
        said_m = max((other.below_m for other in same), default=-inf)
        return None if said_m >= objection.below_m - TOLERANCE_M else replace(objection, below_from_m=said_m)
    if objection.seated_from_m > -inf:
        seated_m = min((other.seated_from_m for other in same), default=inf)
        return None if seated_m <= objection.seated_from_m + TOLERANCE_M else replace(objection, seated_to_m=seated_m)
    said_m = max((other.gripped_from_m for other in same), default=-inf)
    return None if said_m >= objection.gripped_from_m - TOLERANCE_M else replace(objection, said_to_m=said_m)


def _left_of(top_m: float, base_m: float, taken: Iterable[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """Return what lengths, sorted from the top down, leave of one."""
    for first, last in taken:
        if min(first, base_m) - top_m > TOLERANCE_M:
            yield top_m, min(first, base_m)
        top_m = max(top_m, last)
    if base_m - top_m > TOLERANCE_M:
        yield top_m, base_m


@collector_paused()
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
