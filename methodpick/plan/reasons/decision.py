"""The method of a shaft: its name, and the decision in one sentence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from methodpick.plan.casing.ways import words_of
from methodpick.plan.concrete.placement import FLUID_WORDS, FinishedHole
from methodpick.plan.result import Interval, ShaftMethod, Support
from methodpick.plan.sequence.path import TOLERANCE_M, Run, Segment, SequencePath
from methodpick.terms import FLUIDS
from methodpick.unit_markup import mark

NOT_BUILDABLE = (
    "No way of building this shaft is left by the rules and by what the site leaves open: see the reasons and the other ways, "
    "and ask the engineer."
)
UNPROVEN = "Not proven. "
"""How the decision begins where a check fails or the trials ended."""
_SEAL = {"yes": " and seal it", "probable": " and prove its seal", "no": ""}
_PLACED = {"wet": "concrete by tremie.", "dry": "concrete in the dry."}


def method_of(lengths: Iterable[tuple[Support, float]], starter_base_m: float) -> ShaftMethod:
    """Name the method from the support and the base of every length: the one support of the shaft, or a combination.

    What the starter holds does not count.

    >>> method_of([("temporary_casing", 1.5), ("dry", 12.0)], 1.5)
    'dry'
    """
    lengths = list(lengths)
    supports = {support for support, base in lengths if not (support == "temporary_casing" and base <= starter_base_m + 1e-6)}
    decided = supports - {"undecided"}
    if not decided:
        return "temporary_casing" if lengths and not supports else "undecided"
    return next(iter(decided)) if len(decided) == 1 else "combination"


@dataclass(frozen=True, slots=True)
class _Log:
    """Where the log says nothing: from ``end_m`` to the tip (None where it reaches the tip), and over the ``gaps`` above."""

    end_m: float | None
    gaps: tuple[tuple[float, float], ...]

    @classmethod
    def of(cls, intervals: Sequence[Interval]) -> _Log:
        """Return what the undecided intervals of a plan that can be built say of its log."""
        lengths: list[tuple[float, float]] = []
        for interval in intervals:
            if interval.support == "undecided":
                joins = bool(lengths) and abs(lengths[-1][1] - interval.top_m) < TOLERANCE_M
                lengths.append((lengths.pop()[0] if joins else interval.top_m, interval.base_m))
        reaches = not lengths or lengths[-1][1] < intervals[-1].base_m - TOLERANCE_M
        return cls(None, tuple(lengths)) if reaches else cls(lengths[-1][0], tuple(lengths[:-1]))

    def to(self, top_m: float, base_m: float) -> str:
        """Return to what depth a length is built, and from where on that holds only if the last layer of the log goes on."""
        if self.end_m is None or base_m <= self.end_m + TOLERANCE_M:
            return f"to {mark(base_m, 'm')}"
        if top_m >= self.end_m - TOLERANCE_M:
            return f"to {mark(base_m, 'm')} if the last layer goes on"
        return f"to {mark(self.end_m, 'm')}, where the log ends, and on to {mark(base_m, 'm')} if its last layer goes on"

    def what_is_open(self) -> Iterator[str]:
        """Return the sentences about the lengths of which no log tells."""
        for top_m, base_m in self.gaps:
            yield f" From {mark(top_m, 'm')} to {mark(base_m, 'm')} nothing is decided: the log says nothing there; priced as above."
        if self.end_m is not None:
            yield f" Below {mark(self.end_m, 'm')} nothing is decided: the log says nothing there; ask for a deeper boring."


def decision(path: SequencePath, hole: FinishedHole, intervals: Sequence[Interval] = ()) -> str:
    """State the method in one sentence, and of which lengths no log tells."""
    log = _Log.of(intervals)
    strings = iter([casing for casing in hole.casings if not casing.is_starter])
    parts: list[str] = []
    for segment in path.segments:
        parts += [_drilled(segment, run, log) for run in segment.runs if _is_told(segment, run)]
        if segment.casing != "none":
            casing = next(strings)
            if segment.casing == "set":
                parts.append(f"set {casing.kind} casing {log.to(casing.top_m, casing.base_m)}{_SEAL[casing.sealed]}")
            else:
                parts[-1] += f", {casing.kind} casing{_SEAL[casing.sealed]}"
    text = ", ".join(parts)
    text = (text[0].upper() + text[1:] if text else "Nothing is decided") + "; " + _PLACED[hole.placement.state]
    if log.end_m is not None and log.end_m <= 0.0:
        return f"From {mark(0.0, 'm')} down nothing is decided: the log says nothing of the ground."
    return text + "".join(log.what_is_open())


def _is_told(segment: Segment, run: Run) -> bool:
    """Return whether a run is named: the open hole, and of an advanced casing the last run."""
    return run.state == "dry" or run.state in FLUIDS or (segment.casing == "advanced" and run is segment.runs[-1])


def _drilled(segment: Segment, run: Run, log: _Log) -> str:
    """Describe how a run is drilled."""
    to = log.to(run.top_m, run.base_m)
    if run.state == "dry":
        return f"{'bail, then ' if segment.bails and run is segment.runs[0] else ''}drill dry {to}"
    if run.state in FLUIDS:
        return f"drill under {FLUID_WORDS[run.state]} {to}"
    if run.state == "cased_dry":
        return f"advance casing, dug dry, {words_of(segment.way).manner} {to}"
    plug = any(each.state == "cased_plug" for each in segment.runs)
    return f"advance casing {'ahead of the dig' if plug else 'with the dig, kept full,'} {words_of(segment.way).manner} {to}"
