"""The method of a shaft: its name, and the decision in one sentence."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from methodpick.plan.casing.ways import words_of
from methodpick.plan.concrete.placement import FLUID_WORDS, FinishedHole
from methodpick.plan.result import Interval, ShaftMethod, Support
from methodpick.plan.sequence.path import Run, Segment, SequencePath
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


def decision(path: SequencePath, hole: FinishedHole, intervals: Sequence[Interval] = ()) -> str:
    """State the method in one sentence, and from where on nothing is decided."""
    strings = iter([casing for casing in hole.casings if not casing.is_starter])
    parts: list[str] = []
    for segment in path.segments:
        parts += [_drilled(segment, run) for run in segment.runs if _is_told(segment, run)]
        if segment.casing != "none":
            casing = next(strings)
            if segment.casing == "set":
                parts.append(f"set {casing.kind} casing to {mark(casing.base_m, 'm')}{_SEAL[casing.sealed]}")
            else:
                parts[-1] += f", {casing.kind} casing{_SEAL[casing.sealed]}"
    text = ", ".join(parts)
    text = (text[0].upper() + text[1:] if text else "Nothing is decided") + "; " + _PLACED[hole.placement.state]
    gap = next((interval for interval in intervals if interval.support == "undecided"), None)
    if gap is None:
        return text
    if gap.top_m <= 0.0:
        return f"From {mark(0.0, 'm')} down nothing is decided: the log says nothing of the ground."
    return f"From {mark(gap.top_m, 'm')} down nothing is decided: the log says nothing there. If the ground above goes on: {text}"


def _is_told(segment: Segment, run: Run) -> bool:
    """Return whether a run is named: the open hole, and of an advanced casing the last run."""
    return run.state == "dry" or run.state in FLUIDS or (segment.casing == "advanced" and run is segment.runs[-1])


def _drilled(segment: Segment, run: Run) -> str:
    """Describe how a run is drilled."""
    base = mark(run.base_m, "m")
    if run.state == "dry":
        return f"{'bail, then ' if segment.bails and run is segment.runs[0] else ''}drill dry to {base}"
    if run.state in FLUIDS:
        return f"drill under {FLUID_WORDS[run.state]} to {base}"
    if run.state == "cased_dry":
        return f"advance casing, dug dry, {words_of(segment.way).manner} to {base}"
    plug = any(each.state == "cased_plug" for each in segment.runs)
    return f"advance casing {'ahead of the dig' if plug else 'with the dig, kept full,'} {words_of(segment.way).manner} to {base}"
