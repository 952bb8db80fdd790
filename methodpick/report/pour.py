"""Concrete and pulls on the page: volumes by their cause, the depth-volume table, the foreman's table of pulls."""

from __future__ import annotations

from methodpick.plan.result import Concrete, ShaftPlan
from methodpick.report.voice import Voice

ROWS = 14
"""Most rows of the depth-volume table; more points are in the JSON."""


def concrete(shaft: ShaftPlan, voice: Voice) -> None:
    """Write placement, volumes, trucks, tremie and the time that the concrete must flow."""
    one = shaft.concrete
    voice.head("Concrete")
    how = "free fall in the dry" if one.placement == "free_fall" else "tremie"
    voice.say(f"By {how}. {one.why} Slump {voice.n(one.slump_min_m, 'size')} to {voice.n(one.slump_max_m, 'size')}.")
    more = "casing and predrilled hole add" if one.casing_oversize_m3 >= 0 else "a casing that stays takes away"
    voice.say(
        f"Theoretical {voice.n(one.theoretical_m3, 'm3')}; {more} {voice.n(abs(one.casing_oversize_m3), 'm3')} for certain, so "
        f"{voice.n(one.fill_m3, 'm3')} fill the hole as drilled. Ground overbreak likely {voice.n(one.overbreak_m3, 'm3')} "
        f"({voice.n(one.overbreak_low_m3, 'm3')} to {voice.n(one.overbreak_high_m3, 'm3')}) on top: "
        f"{voice.n(one.expected_m3, 'm3')} in all."
    )
    if one.over_pour_m3 > 0:
        voice.say(f"Cast to {_level(one.finished_level_m, voice)} and cut down: {voice.n(one.over_pour_m3, 'm3')} more.")
    trucks = f"{one.trucks}" if one.trucks == one.trucks_high else f"{one.trucks} to {one.trucks_high}"
    every = f", one every {one.truck_every_h * 60:.0f} min" if one.trucks_high > 1 else ""
    voice.say(
        f"About {trucks} truck{'s' if one.trucks_high > 1 else ''} of {voice.n(one.truck_m3, 'm3')}{every}; pour about "
        f"{one.pour_hours:.1f} h. The concrete must flow for {one.workable_needed_h:.1f} h from the first truck to the last pull, "
        f"waiting counted; {one.workable_h:.0f} h are counted on."
    )
    _tremie(one, voice)
    _curve(one, voice)


def _level(level_m: float, voice: Voice) -> str:
    if abs(level_m) < 0.005:
        return "the ground"
    return f"{voice.n(abs(level_m), 'm')} {'below' if level_m > 0 else 'above'} the ground"


def _tremie(one: Concrete, voice: Voice) -> None:
    if one.tremie is None:
        return
    pipe = one.tremie
    voice.say(
        f"Tremie of {voice.n(pipe.pipe_m, 'size')}, its mouth {voice.n(pipe.gap_m, 'size')} above the base. Start with "
        f"{voice.n(pipe.charge_m3, 'm3')} at hand in one go, so that the mouth is covered and the fluid in the pipe is held; do not "
        f"lift it before {voice.n(pipe.before_lift_m3, 'm3')} are in, and keep it {voice.n(pipe.embedment_m, 'm')} in the concrete."
    )


def _curve(one: Concrete, voice: Voice) -> None:
    points = list(one.curve)
    while len(points) > ROWS:
        gaps = [points[at - 1].depth_m - points[at + 1].depth_m for at in range(1, len(points) - 1)]
        points.pop(gaps.index(min(gaps)) + 1)
    rows = [
        (
            _bare(point.depth_m, "m", voice),
            *(
                _bare(volume, "m3", voice)
                for volume in (
                    point.theoretical_m3,
                    point.casings_in_m3,
                    point.fill_m3,
                    point.expected_low_m3,
                    point.expected_m3,
                    point.expected_high_m3,
                )
            ),
        )
        for point in reversed(points)
    ]
    voice.say(
        f"Volume in {_unit('m3', voice)} from the tip up to a depth in {_unit('m', voice)}, for the log of every truck: by the "
        "drawing, with the casings still in, as drilled, and with ground overbreak low, likely and high."
    )
    voice.table(("depth", "drawing", "cased", "drilled", "low", "likely", "high"), rows, right=(0, 1, 2, 3, 4, 5, 6))


def _bare(value: float | None, unit: str, voice: Voice) -> str:
    """Write a number without its unit, which the head of its table names."""
    return voice.n(value, unit).split()[0]


def _unit(unit: str, voice: Voice) -> str:
    return voice.n(0.0, unit).split()[1]


def _around(annulus: str) -> str:
    return "the ground stands against it" if annulus.startswith("none") else f"around it {annulus}"


def pulls(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the table of pulls, innermost casing first, and what pulling each casing takes."""
    steps = shaft.concrete.pulls
    if not steps:
        return
    voice.head("Pulls, the innermost casing first")
    rows = []
    for step in steps:
        lifts = sum(1 for other in steps if other.casing_no == step.casing_no)
        name = f"{step.casing_no}" if lifts == 1 else f"{step.casing_no}.{step.lift_no}"
        to = "out" if step.shoe_after_m <= 0 else _bare(step.shoe_after_m, "m", voice)
        levels = (_bare(level, "m", voice) for level in (step.level_least_m, step.level_before_m, step.level_after_m))
        rows.append((name, _bare(step.shoe_m, "m", voice), to, *levels, _bare(step.refill_m3, "m3", voice), "yes" if step.safe else "NO"))
    voice.table(("casing", "shoe", "to", "at least", "fill to", "falls to", "add", "safe"), rows, right=(1, 2, 3, 4, 5, 6))
    voice.say(
        f"Depths in {_unit('m', voice)}, negative above the ground; 'add' in {_unit('m3', voice)}, the first is the pour itself. "
        "'At least' is the concrete in the casing that holds through the whole lift."
    )
    if len({step.casing_no for step in steps if step.level_before_m is not None}) > 1:
        voice.say(
            "The innermost goes first: the concrete stands in it and fills the gap to the next casing from below, so that no water "
            "is trapped there."
        )
    for step in steps:
        if step.lift_no == 1:
            more = f"; cavities can make it fall {voice.n(step.more_drop_m, 'm')} further" if step.more_drop_m > 0.005 else ""
            full = (
                f" Full to the finished level it would fall {voice.n(step.level_drop_m, 'm')} when it comes out{more}."
                if step.level_before_m is not None
                else f" {step.note}"
            )
            voice.item("-", f"Casing {step.casing_no}: {_around(step.annulus)}.{full}")
        if not step.safe:
            voice.item("!", f"Casing {step.casing_no}, lift {step.lift_no}: {step.note}", "bold red")
    for pull in shaft.concrete.extraction:
        why = f", most in {pull.stuck_in}" if pull.stuck_in and pull.stuck_risk != "low" else ""
        voice.item(
            "-",
            f"Casing {pull.casing_no} takes a pull of {voice.n(pull.pull_kn, 'kN')} ({voice.n(pull.pull_low_kn, 'kN')} to "
            f"{voice.n(pull.pull_high_kn, 'kN')}) after about {pull.residence_h:.0f} h in the ground: weight "
            f"{voice.n(pull.weight_kn, 'kN')}, friction {voice.n(pull.friction_kn, 'kN')}. Risk of sticking: "
            f"{pull.stuck_risk}{why}.",
        )
