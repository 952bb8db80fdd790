"""Concrete on the page of a shaft: placing, volumes by their cause, trucks, the depth-volume table and curve, the pulls."""

from __future__ import annotations

from methodpick.document.model import Part, Pen, Section
from methodpick.drawings.volume_curve import draw_volume
from methodpick.plan.result import Concrete, ShaftPlan

CURVE_HEADS = ("top of concrete at", "drawing", "casings in", "as drilled", "low", "likely", "high")
PULL_HEADS = ("casing, lift", "shoe", "to", "concrete at least", "fill to", "falls to", "add", "safe")


def concrete(shaft: ShaftPlan, pen: Pen, prefix: str) -> Section:
    """Return placing, volumes, trucks and tremie, and the depth-volume curve as a picture and a table."""
    parts = [pen.text(one) for one in placing(shaft.concrete, pen)]
    parts += [
        pen.picture(draw_volume(shaft, pen.units, f"{prefix}c"), ""),
        pen.table(CURVE_HEADS, curve_rows(shaft, pen), tuple(range(len(CURVE_HEADS)))),
    ]
    return Section("Concrete", tuple(parts))


def placing(one: Concrete, pen: Pen) -> list[str]:
    """Describe how the concrete is placed, how much, in how many trucks, and how long it must flow."""
    how = "free fall in the dry" if one.placement == "free_fall" else "tremie"
    more = "casing and predrilled hole add" if one.casing_oversize_m3 >= 0 else "a casing that stays takes away"
    trucks = f"{one.trucks}" if one.trucks == one.trucks_high else f"{one.trucks} to {one.trucks_high}"
    every = f", one every {one.truck_every_h * 60:.0f} min" if one.trucks_high > 1 else ""
    by_cause = (
        f"Theoretical {pen.n(one.theoretical_m3, 'm3')}; {more} {pen.n(abs(one.casing_oversize_m3), 'm3')} for certain, so "
        f"{pen.n(one.fill_m3, 'm3')} fill the hole as drilled. Ground overbreak likely {pen.n(one.overbreak_m3, 'm3')} "
        f"({pen.n(one.overbreak_low_m3, 'm3')} to {pen.n(one.overbreak_high_m3, 'm3')}) on top: {pen.n(one.expected_m3, 'm3')} in all "
        f"({pen.n(one.expected_low_m3, 'm3')} to {pen.n(one.expected_high_m3, 'm3')})."
    )
    time = (
        f"About {trucks} truck{'s' if one.trucks_high > 1 else ''} of {pen.n(one.truck_m3, 'm3')}{every}; pour about "
        f"{one.pour_hours:.1f} h. The concrete must flow for {one.workable_needed_h:.1f} h from the first truck to the last pull, waiting "
        f"counted; {one.workable_h:.0f} h are counted on."
    )
    slump = f"Slump {pen.n(one.slump_min_m, 'size')} to {pen.n(one.slump_max_m, 'size')}."
    said = [f"By {how}. {one.why} {slump}", by_cause, time]
    if one.over_pour_m3 > 0:
        said.append(f"Cast to {level(one.finished_level_m, pen)} and cut down: {pen.n(one.over_pour_m3, 'm3')} more.")
    if one.tremie is not None:
        pipe = one.tremie
        said.append(
            f"Tremie of {pen.n(pipe.pipe_m, 'size')}, its mouth {pen.n(pipe.gap_m, 'size')} above the base. Start with "
            f"{pen.n(pipe.charge_m3, 'm3')} at hand in one go, so that the mouth is covered and the fluid in the pipe is held; do "
            f"not lift it before {pen.n(pipe.before_lift_m3, 'm3')} are in, and keep it {pen.n(pipe.embedment_m, 'm')} in the "
            "concrete."
        )
    return said


def level(depth_m: float, pen: Pen) -> str:
    """State a level against the ground."""
    if abs(depth_m) < 0.005:
        return "the ground"
    return f"{pen.n(abs(depth_m), 'm')} {'below' if depth_m > 0 else 'above'} the ground"


def curve_rows(shaft: ShaftPlan, pen: Pen) -> list[tuple[str, ...]]:
    """Return the points of the depth-volume curve from the tip up."""
    return [
        (
            pen.n(one.depth_m, "m"),
            *(
                pen.n(volume, "m3")
                for volume in (
                    one.theoretical_m3,
                    one.casings_in_m3,
                    one.fill_m3,
                    one.expected_low_m3,
                    one.expected_m3,
                    one.expected_high_m3,
                )
            ),
        )
        for one in shaft.concrete.curve
    ]


def pull_rows(shaft: ShaftPlan, pen: Pen) -> list[tuple[str, ...]]:
    """Return the lifts of the casings, the innermost first."""
    return [
        (
            f"{one.casing_no}.{one.lift_no}",
            pen.n(one.shoe_m, "m"),
            "out" if one.shoe_after_m <= 0 else pen.n(one.shoe_after_m, "m"),
            pen.n(one.level_least_m, "m"),
            pen.n(one.level_before_m, "m"),
            pen.n(one.level_after_m, "m"),
            pen.n(one.refill_m3, "m3"),
            "yes" if one.safe else "NO",
        )
        for one in shaft.concrete.pulls
    ]


def pull_words(shaft: ShaftPlan, pen: Pen) -> list[str]:
    """State every lift, and what pulling each casing takes."""
    said = [f"Casing {one.casing_no}, lift {one.lift_no}{'' if one.safe else ', NOT SAFE'}: {one.note}" for one in shaft.concrete.pulls]
    for pull in shaft.concrete.extraction:
        why = f", most in {pull.stuck_in}" if pull.stuck_in and pull.stuck_risk != "low" else ""
        said.append(
            f"Casing {pull.casing_no} takes a pull of {pen.n(pull.pull_kn, 'kN')} ({pen.n(pull.pull_low_kn, 'kN')} to "
            f"{pen.n(pull.pull_high_kn, 'kN')}) after about {pull.residence_h:.0f} h in the ground. Risk of sticking: "
            f"{pull.stuck_risk}{why}."
        )
    return said


def pulls(shaft: ShaftPlan, pen: Pen) -> list[Section]:
    """Return the table of lifts and its words."""
    if not shaft.concrete.pulls:
        return []
    parts: list[Part] = [
        pen.table(PULL_HEADS, pull_rows(shaft, pen), (1, 2, 3, 4, 5, 6)),
        pen.text(
            "Levels are depths of the concrete in the innermost casing, negative above the ground; what is added to the first lift is "
            "the pour itself."
        ),
        pen.items(pull_words(shaft, pen)),
    ]
    return [Section("Pulls, the innermost casing first", tuple(parts))]
