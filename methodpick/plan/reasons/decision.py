"""The method of a shaft: its name, and the decision in one sentence."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.plan.fluid.levels import Levels
from methodpick.plan.reasons.intervals import HeldLength
from methodpick.plan.result import Casing, Interval, Method, Placement
from methodpick.plan.sequence.path import Path
from methodpick.unit_markup import mark

FLUIDS = ("water", "polymer", "mineral")
_BY = {
    "twisted": "by twisting",
    "vibrated": "by vibration",
    "driven": "by driving",
    "oscillated": "by oscillator or rotator",
    None: "by pushing",
}
_WORDS = {"water": "water", "polymer": "polymer fluid", "mineral": "mineral slurry"}


def method_of(lengths: Sequence[Interval | HeldLength], starter_base_m: float) -> Method:
    """Name the method: the one support of the shaft, or a combination; the starter does not count."""
    supports = {
        length.support for length in lengths if not (length.support == "temporary_casing" and length.base_m <= starter_base_m + 1e-6)
    }
    known = supports - {"undecided"}
    if not known:
        return "temporary_casing" if not supports and lengths else "undecided"
    return next(iter(known)) if len(known) == 1 else "combination"


def fluid_of(path: Path, levels: Levels) -> float | None:
    """Return the level of the support fluid, None where the plan has none."""
    return None if path.fluid is None else levels.fluid_m[path.fluid]


def decision(path: Path, casings: Sequence[Casing], placement: Placement, intervals: Sequence[Interval], levels: Levels) -> str:
    """State the method in one sentence."""
    if not path.built:
        return (
            "No way of building this shaft is left by the rules and by what the site leaves open: see the reasons and the other ways, "
            "and ask the engineer."
        )
    parts: list[str] = []
    strings = [casing for casing in casings if casing.kind != "starter"]
    number = 0
    for segment in path.segments:
        for run in segment.runs:
            if run.state == "dry":
                parts.append(f"{'bail, then ' if segment.bails and run is segment.runs[0] else ''}drill dry to {mark(run.base_m, 'm')}")
            elif run.state in FLUIDS:
                parts.append(f"drill under {_WORDS[run.state]} to {mark(run.base_m, 'm')}")
            elif segment.casing == "advanced" and run is segment.runs[-1]:
                plug = any(one.state == "cased_plug" for one in segment.runs)
                how = "ahead of the dig" if plug else "with the dig, kept full,"
                parts.append(f"advance casing {how} {_BY[segment.way]} to {mark(run.base_m, 'm')}")
        if segment.casing != "none":
            casing = strings[number]
            number += 1
            seal = {"yes": " and seal it", "probable": " and prove its seal", "no": ""}[casing.sealed]
            if segment.casing == "set":
                parts.append(f"set {casing.kind} casing to {mark(casing.base_m, 'm')}{seal}")
            else:
                parts[-1] += f", {casing.kind} casing{seal}"
    gap = next((interval for interval in intervals if interval.support == "undecided"), None)
    text = ", ".join(parts)
    text = (text[0].upper() + text[1:] if text else "Nothing is decided") + "; "
    text += {"wet": "concrete by tremie.", "dry": "concrete in the dry."}[placement.state]
    if gap is not None:
        text += f" From {mark(gap.top_m, 'm')} down nothing is decided: the log says nothing there."
    del levels
    return text
