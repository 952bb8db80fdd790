"""The sequence a foreman can follow: from the starter to the last casing pulled."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from methodpick.ground.shaft import Bell, Shaft
from methodpick.plan.concrete.hole import bell_height
from methodpick.plan.fluid.levels import Levels
from methodpick.plan.result import Casing, Concrete, Placement, Stage, Support
from methodpick.plan.sequence.path import Path, Run, Segment
from methodpick.unit_markup import mark

FLUID_WORDS = {"water": "water", "polymer": "polymer fluid", "mineral": "mineral slurry"}


class _List:
    """Collects stages and numbers them."""

    def __init__(self) -> None:
        self.stages: list[Stage] = []

    def add(
        self,
        action: str,
        top_m: float,
        base_m: float,
        support: Support,
        state: str | None,
        fluid: str | None,
        hours: float | None,
        text: str,
    ) -> None:
        self.stages.append(
            Stage(
                len(self.stages) + 1,
                action,
                round(top_m, 3),
                round(base_m, 3),
                support,
                state,
                fluid,
                None if hours is None else round(hours, 2),
                text,
            )
        )


def make_stages(
    path: Path,
    casings: Sequence[Casing],
    levels: Levels,
    placement: Placement,
    concrete: Concrete,
    hours: Mapping[str, float],
    rates: Mapping[str, float],
    shaft: Shaft,
) -> tuple[Stage, ...]:
    """Return the stages of a path. ``hours`` holds the drilling hours of each run by its depths, ``rates`` the handling."""
    out = _List()
    starter = next((casing for casing in casings if casing.kind == "starter"), None)
    if starter is not None:
        out.add(
            "set_starter",
            starter.top_m,
            starter.base_m,
            "temporary_casing",
            None,
            None,
            rates["hours_casing_set"] / 2,
            f"Set the starter casing to {mark(starter.base_m, 'm')}, {mark(levels.grade_m - starter.top_m, 'm')} above the drilling grade.",
        )
    strings = [casing for casing in casings if casing.kind != "starter"]
    full: str | None = None
    for number, segment in enumerate(path.segments):
        casing = strings[sum(1 for one in path.segments[:number] if one.casing != "none")] if segment.casing != "none" else None
        full = _segment(out, segment, casing, full, levels, hours, rates)
    if shaft.bell is not None:
        _bell(out, path, shaft, shaft.bell, full, rates)
    _finish(out, path, casings, placement, concrete, levels, full, rates)
    return tuple(out.stages)


def _segment(
    out: _List,
    segment: Segment,
    casing: Casing | None,
    full: str | None,
    levels: Levels,
    hours: Mapping[str, float],
    rates: Mapping[str, float],
) -> str | None:
    """Write the stages of one segment; gives the fluid that stands in the hole after it."""
    if segment.bails:
        out.add(
            "seal_test",
            0.0,
            segment.top_m,
            "dry",
            None,
            full,
            rates["hours_bail"] / 2,
            f"Test the seal at {mark(segment.top_m, 'm')}: lower the level inside in steps and watch. If it rises, or if soil "
            "comes in, refill above the outside water level first and go on under fluid.",
        )
        out.add(
            "bail",
            0.0,
            segment.top_m,
            "dry",
            "cased_dry",
            None,
            rates["hours_bail"] / 2,
            "Bail the casing once the seal holds; keep the fluid at hand to refill it at once.",
        )
        full = None
    pushed = [run for run in segment.runs if segment.casing == "set" and run.state.startswith("cased")]
    for run in segment.runs:
        if run not in pushed:
            full = _run(out, segment, run, full, levels, hours, rates)
    if casing is not None and segment.casing == "set":
        kind: Support = "permanent_casing" if casing.kind == "permanent" else "temporary_casing"
        took = sum(hours[f"{run.top_m:.3f}-{run.base_m:.3f}"] for run in pushed)
        push = (
            f"; push or twist it from {mark(casing.predrill_base_m, 'm')} into undrilled ground, then dig it out inside"
            if casing.advanced_m > 0
            else ""
        )
        out.add(
            "set_casing",
            casing.top_m,
            casing.base_m,
            kind,
            pushed[-1].state if pushed else None,
            full,
            rates["hours_casing_set"] + took,
            f"Set the {casing.kind} casing, {mark(casing.outside_diameter_m, 'size')} outside by {mark(casing.wall_m, 'wall')} "
            f"wall, from {mark(levels.grade_m - casing.top_m, 'm')} above the drilling grade to {mark(casing.base_m, 'm')}{push}.",
        )
    return full


def _run(
    out: _List, segment: Segment, run: Run, full: str | None, levels: Levels, hours: Mapping[str, float], rates: Mapping[str, float]
) -> str | None:
    took = hours[f"{run.top_m:.3f}-{run.base_m:.3f}"]
    ends = f"from {mark(run.top_m, 'm')} to {mark(run.base_m, 'm')}"
    if run.state == "dry":
        out.add("drill", run.top_m, run.base_m, "dry", "dry", None, took, f"Drill dry {ends}.")
        return None
    if run.state in FLUID_WORDS:
        word = FLUID_WORDS[run.state]
        if full != run.state:
            level = levels.fluid_m[run.state]
            text = (
                f"Fill the hole with {word} to {_level(level, levels)} before drilling below {mark(run.top_m, 'm')}."
                if full is None
                else f"Bring in {word} through a pipe at the base until the {FLUID_WORDS[full]} is out and the level stands at "
                f"{_level(level, levels)}, before drilling below {mark(run.top_m, 'm')}; never lower the level meanwhile."
            )
            out.add("introduce_fluid", level, run.top_m, "slurry", run.state, run.state, rates["hours_fill"], text)
        out.add(
            "drill",
            run.top_m,
            run.base_m,
            "slurry",
            run.state,
            run.state,
            took,
            f"Drill {ends} under {word}; keep it at {_level(levels.fluid_m[run.state], levels)} at all times.",
        )
        return run.state
    kind: Support = "permanent_casing" if segment.keep else "temporary_casing"
    lead = rates["hours_advance_m"] * (run.base_m - run.top_m)
    keep = (
        "keep the shoe ahead of the excavation and a plug of soil in it"
        if run.state == "cased_plug"
        else "keep the shoe with the excavation"
    )
    way = {"twisted": "twisting", "vibrated": "vibration", "driven": "driving", "oscillated": "the oscillator or rotator", None: "pushing"}[
        segment.way
    ]
    out.add(
        "advance_casing",
        run.top_m,
        run.base_m,
        kind,
        run.state,
        full or "water",
        took + lead,
        f"Advance the casing {ends} by {way} and dig inside; {keep}, and keep the level inside at or above the water outside.",
    )
    return full or "water"


def _bell(out: _List, path: Path, shaft: Shaft, bell: Bell, full: str | None, rates: Mapping[str, float]) -> None:
    top = shaft.tip_m - bell_height(bell, shaft.diameter_m, rates["bell_height_share"])
    text = (
        f"Cut the bell with a belling tool from {mark(top, 'm')} to {mark(shaft.tip_m, 'm')}, {mark(bell.diameter_m, 'size')} wide at "
        "the base, and lift the cuttings out; "
    )
    text += (
        "under fluid only where the engineer agrees: neither its roof nor its base can be seen."
        if full
        else "inspect its roof and base by camera from the surface."
    )
    out.add("bell", top, shaft.tip_m, "slurry" if full else "dry", path.last, full, rates["hours_bell"], text)


def _level(level_m: float, levels: Levels) -> str:
    above = levels.grade_m - level_m
    if above > 0.005:
        return f"{mark(above, 'm')} above the drilling grade"
    return f"{mark(-above, 'm')} below the drilling grade" if above < -0.005 else "the drilling grade"


def _finish(
    out: _List,
    path: Path,
    casings: Sequence[Casing],
    placement: Placement,
    concrete: Concrete,
    levels: Levels,
    full: str | None,
    rates: Mapping[str, float],
) -> None:
    tip = path.segments[-1].base_m
    last: Support = "slurry" if full else "dry"
    if path.segments[-1].casing != "none":
        last = "permanent_casing" if path.segments[-1].keep else "temporary_casing"
    state = path.last
    if full:
        text = (
            "Clean the base under fluid (bucket, airlift or pump), then test the fluid near the base and at mid-height "
            "until it meets the limits before concrete."
        )
    else:
        text = "Clean the base and inspect it from the surface with light and camera; nobody enters the hole."
    out.add("clean", tip, tip, last, state, full, rates["hours_clean"], text)
    out.add(
        "cage",
        levels.casing_top_m,
        tip,
        last,
        state,
        full,
        rates["hours_cage"],
        "Lower the cage, centred by spacers; check the base again afterwards.",
    )
    if placement.state == "wet":
        if full is None:
            out.add(
                "refill",
                0.0,
                tip,
                last,
                state,
                "water",
                rates["hours_fill"],
                "Let the hole fill, or fill it with clean water to above the outside water level, so that no flow meets fresh concrete.",
            )
        pour = "Place concrete by tremie from the base up, the pipe always embedded, until clean concrete shows at the top."
    else:
        pour = "Place concrete by free fall down the centre, clear of cage and wall; measure the water at the base just before."
    if concrete.starter_kept:
        pour += " Leave the starter, full, until the concrete has set: water outside stands higher over the cut-off than it would balance."
    out.add("pour", 0.0, tip, last, state, full, concrete.pour_hours, pour)
    for number in dict.fromkeys(step.casing_no for step in concrete.pulls):
        casing = casings[number - 1]
        lifts = [step for step in concrete.pulls if step.casing_no == number]
        action = "remove_starter" if casing.kind == "starter" else "pull"
        name = "starter" if casing.kind == "starter" else f"{mark(casing.outside_diameter_m, 'size')} casing"
        text = f"Pull the {name} slowly and straight while the concrete still flows"
        if len(lifts) > 1:
            text += f", in {len(lifts)} lifts with concrete added between them as the table of pulls says"
        unsafe = next((step for step in lifts if not step.safe), lifts[0])
        out.add(
            action,
            casing.top_m,
            casing.base_m,
            last,
            None,
            None,
            rates["hours_casing_set"] / 2 + (len(lifts) - 1) * rates["hours_refill"],
            f"{text}. {unsafe.note}",
        )
