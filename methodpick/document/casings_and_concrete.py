"""The casings of a shaft and its concrete: sizes and seats; placing, volumes, trucks, tremie, the depth-volume curve, pulls."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi

from methodpick.document.model import Figure, Items, Paragraph, Section, TextTable, section
from methodpick.drawings.charts import draw_volume
from methodpick.plan.checks.pull import PULL
from methodpick.plan.result import Casing, Concrete, Extraction, PullStep, ShaftPlan, Tremie
from methodpick.site.result import YardString
from methodpick.terms import STARTER
from methodpick.unit_markup import SAME_LENGTH_M, bare_number, height_words, how_many, number, number_span, unit_name

# ---- casings: sizes, seats, and why each is as it is


_HEADS = ("casing", "outside x wall", f"top to base, {unit_name('m')}", "shoe, el.", "length", "mass")


def casings(shaft: ShaftPlan) -> Section:
    """Return the casing schedule of a shaft."""
    if not shaft.casings:
        return section("Casing schedule", Paragraph("No casing."))
    ground = shaft.ground.ground_elevation_m
    rows = tuple(
        (
            f"{index} {casing.kind}",
            outside_and_wall(casing),
            f"{bare_number(casing.top_m, 'm')} to {bare_number(casing.base_m, 'm')}",
            number(None if ground is None else ground - casing.base_m, "m"),
            number(casing.length_m, "m"),
            number(casing.mass_kg, "kg"),
        )
        for index, casing in enumerate(shaft.casings, 1)
    )
    seals = ("" if casing.is_starter else f" Shoe sealed: {sealed(casing)}." for casing in shaft.casings)
    about = [f"{index} {casing_words(casing)}{seal}" for (index, casing), seal in zip(enumerate(shaft.casings, 1), seals, strict=True)]
    stick_ups = dict.fromkeys(casing.stick_up_why for casing in shaft.casings if casing.stick_up_why)
    return section("Casing schedule", TextTable(_HEADS, rows, (2, 3, 4, 5)), Items((*about, *stick_ups)))


def outside_and_wall(casing: Casing | YardString) -> str:
    """Return the outside diameter and the wall."""
    return f"{bare_number(casing.outside_diameter_m, 'size')} x {number(casing.wall_m, 'wall')}"


def sealed(casing: Casing) -> str:
    """Return whether the shoe is sealed; a starter need not be."""
    return "-" if casing.kind == STARTER else casing.sealed


def _is_metric(casing: Casing) -> bool:
    """Return whether a turned casing is of the metric sizes of its makers: a whole number of centimetres, none of half inches."""
    half_inches, centimetres = casing.outside_diameter_m / 0.0127, casing.outside_diameter_m * 100.0
    metric = abs(half_inches - round(half_inches)) > 0.05 and abs(centimetres - round(centimetres)) < 0.005
    return casing.way == "oscillated" and metric


def casing_words(casing: Casing) -> str:
    """Describe how a casing is put in and why it is as it is: seat, wall, pieces, step to the casing around it, the yard's price."""
    parts = [
        f"{casing.kind}, {casing.installed_by}.",
        f"Metric casing of {number(casing.outside_diameter_m * 1000.0, 'mm')}, as oscillators and rotators turn it."
        if _is_metric(casing)
        else "",
        casing.why,
        casing.wall_by.why if casing.wall_by is not None else "",
        casing.embedment.note if casing.embedment is not None else "",
    ]
    splices = casing.joints
    if splices > 0:
        lengths = " + ".join(number(length, "m") for length in casing.sections_m)
        parts.append(f"In {splices + 1} pieces from the shoe up, {lengths}, so {splices} splice{'s' if splices > 1 else ''}.")
    if casing.step_m is not None:
        parts.append(f"{number(casing.step_m, 'size')} less than the casing around it.")
    if casing.wider_m > 0:
        least = casing.outside_diameter_m - casing.wider_m
        more_m3 = pi / 4 * (casing.outside_diameter_m**2 - least**2) * max(0.0, casing.base_m)
        origin = "From the yard" if casing.from_yard else "One size for several shafts"
        parts.append(
            f"{origin}, {number(casing.wider_m, 'size')} wider than the {number(least, 'size')} that would do: "
            f"{number(more_m3, 'm3')} more concrete and spoil over its length in the ground."
        )
    return " ".join(part for part in parts if part)


# ---- concrete: placing, volumes by their cause, trucks, tremie, curve, and the pulls of the casings


CURVE_HEADS = ("depth", "drawing", "cased", "drilled", "low", "likely", "high")
CURVE_KEY = (
    f"Volume in {unit_name('m3')} from the tip up to a depth in {unit_name('m')}, for the log of every truck: by the drawing, with the "
    "casings still in, as drilled, and with ground overbreak low, likely and high."
)
PULL_HEADS = ("casing, lift", "shoe", "to", "at least", "fill to", "falls to", "or to", "add", "holds")
PULL_KEY = (
    f"Concrete in the innermost casing in {unit_name('m')}, negative above ground: 'at least' holds the balance through a lift, 'or "
    f"to' with cavities; 'add' in {unit_name('m3')}, first the pour."
)


def concrete(shaft: ShaftPlan) -> Section:
    """Return placing, volumes, trucks and tremie, and the depth-volume curve as a picture and a table."""
    return section(
        "Concrete",
        *map(Paragraph, placing(shaft, why=False)),
        volume_figure(shaft),
        Paragraph(CURVE_KEY),
        TextTable(CURVE_HEADS, tuple(curve_rows(shaft)), tuple(range(len(CURVE_HEADS)))),
    )


def volume_figure(shaft: ShaftPlan) -> Figure:
    """Return the depth-volume curve."""
    return Figure(lambda units, prefix: draw_volume(shaft, units, prefix))


_WAYS = {"free_fall": "free fall in the dry", "drop_pipe": "drop pipe in the dry", "tremie": "tremie"}


def placing(shaft: ShaftPlan, *, why: bool) -> list[str]:
    """Describe how the concrete is placed and, where that is asked for, why; how much, in how many trucks, and how long it must flow."""
    concrete = shaft.planned_concrete
    way = _WAYS[concrete.placement]
    slump = f"Slump {number(concrete.slump_min_m, 'size')} to {number(concrete.slump_max_m, 'size')}."
    because = f" {concrete.why.removesuffix(f': {way}.').rstrip('.')}." if why else ""
    texts = [f"By {way}.{because} {slump}", _volumes(concrete)]
    if concrete.over_pour_m3 > 0:
        level = height_words(concrete.finished_level_m, shaft.design.datum)
        texts.append(f"Cast to {level} and cut down: {number(concrete.over_pour_m3, 'm3')} more.")
    texts.append(_trucks(concrete))
    return texts if concrete.tremie is None else [*texts, _tremie(concrete.tremie)]


def placing_in_short(shaft: ShaftPlan) -> list[str]:
    """Describe how the concrete is placed, how much to order, in how many trucks, how long it must flow, and the tremie."""
    concrete = shaft.planned_concrete
    likely, low, high = to_order_m3(concrete)
    slump = f"slump {number(concrete.slump_min_m, 'size')} to {number(concrete.slump_max_m, 'size')}"
    cut = "" if concrete.over_pour_m3 <= 0 else f" Cast to {height_words(concrete.finished_level_m, shaft.design.datum)} and cut down."
    volumes = (
        f"{number(concrete.fill_m3, 'm3')} fill the hole as drilled; order {number(likely, 'm3')} ({number_span(low, high, 'm3')}).{cut}"
    )
    text = f"By {_WAYS[concrete.placement]}, {slump}. {volumes} {_trucks(concrete)}"
    return [text] if concrete.tremie is None else [text, _tremie(concrete.tremie)]


def _volumes(concrete: Concrete) -> str:
    more = "casing and predrilled hole add" if concrete.casing_oversize_m3 >= 0 else "a casing that stays takes away"
    return (
        f"Theoretical {number(concrete.theoretical_m3, 'm3')}; {more} {number(abs(concrete.casing_oversize_m3), 'm3')} for "
        f"certain, so {number(concrete.fill_m3, 'm3')} fill the hole as drilled. Ground overbreak likely "
        f"{number(concrete.overbreak_m3, 'm3')} ({number(concrete.overbreak_low_m3, 'm3')} to "
        f"{number(concrete.overbreak_high_m3, 'm3')}) on top: {number(concrete.expected_m3, 'm3')} in all "
        f"({number(concrete.expected_low_m3, 'm3')} to {number(concrete.expected_high_m3, 'm3')})."
    )


def _trucks(concrete: Concrete) -> str:
    every = f", one every {concrete.truck_every_h * 60:.0f} min" if concrete.trucks_high > 1 else ""
    return (
        f"About {trucks_words(concrete)}{every}; pour about {concrete.pour_hours:.1f} h. The concrete must flow for "
        f"{concrete.workable_needed_h:.1f} h from the first truck to the last pull, waiting counted; {concrete.workable_h:g} h are counted "
        "on."
    )


def trucks_words(concrete: Concrete) -> str:
    """Return how many trucks of which size bring the concrete."""
    few, many = concrete.trucks, concrete.trucks_high
    return f"{how_many(many, 'truck') if few == many else f'{few} to {many} trucks'} of {number(concrete.truck_m3, 'm3')}"


def to_order_m3(concrete: Concrete) -> tuple[float, float, float]:
    """Return the concrete to order, likely, low and high: what is expected to go into the hole and what is cast above the cut-off."""
    ends = (concrete.expected_m3, concrete.expected_low_m3, concrete.expected_high_m3)
    likely, low, high = (end + concrete.over_pour_m3 for end in ends)
    return likely, low, high


def _tremie(tremie: Tremie) -> str:
    return (
        f"Tremie of {number(tremie.pipe_m, 'size')}, closed or plugged, its mouth {number(tremie.gap_m, 'gap')} above the base: start with "
        f"{number(tremie.charge_m3, 'm3')} in one go, do not lift it before {number(tremie.before_lift_m3, 'm3')} are in, and keep it "
        f"{number(tremie.embedment_m, 'm')} in the concrete; if it comes out, stop and ask."
    )


def curve_rows(shaft: ShaftPlan) -> list[tuple[str, ...]]:
    """Return the points of the depth-volume curve from the tip up, for :data:`CURVE_HEADS`."""
    return [
        (
            bare_number(point.depth_m, "m"),
            bare_number(point.theoretical_m3, "m3"),
            bare_number(point.casings_in_m3, "m3"),
            bare_number(point.fill_m3, "m3"),
            bare_number(point.expected_low_m3, "m3"),
            bare_number(point.expected_m3, "m3"),
            bare_number(point.expected_high_m3, "m3"),
        )
        for point in shaft.planned_concrete.curve
    ]


def pulls(shaft: ShaftPlan) -> Section | None:
    """Return the table of lifts and its words; nothing where no casing is pulled."""
    steps = shaft.planned_concrete.pulls
    if not steps:
        return None
    unsafe = tuple(lift_words(step) for step in steps if not step.safe)
    return section(
        "Pulls, the innermost casing first",
        pull_table(pull_rows(shaft)),
        Paragraph(PULL_KEY),
        Paragraph(_why_innermost(steps)),
        Items(unsafe, tone="danger"),
        Items(
            (
                *(lift_words(step) for step in steps if step.safe and not any(step.note in stage.text for stage in shaft.stages)),
                *_falls(steps),
                *map(extraction_words, shaft.planned_concrete.extraction),
            )
        ),
    )


def pull_table(rows: Sequence[tuple[str, ...]]) -> TextTable:
    """Return rows of :func:`pull_rows` under their heads."""
    return TextTable(PULL_HEADS, tuple(rows), tuple(range(1, len(PULL_HEADS) - 1)))


def pull_rows(shaft: ShaftPlan) -> list[tuple[str, ...]]:
    """Return the lifts of the casings, the innermost first, for :data:`PULL_HEADS`."""
    return [
        (
            f"{step.casing_no}.{step.lift_no}",
            bare_number(step.shoe_m, "m"),
            "out" if step.shoe_after_m <= 0 else bare_number(step.shoe_after_m, "m"),
            bare_number(step.level_least_m, "m"),
            bare_number(step.level_before_m, "m"),
            bare_number(step.level_after_m, "m"),
            bare_number(None if step.level_after_m is None else step.level_after_m + step.more_drop_m, "m"),
            bare_number(step.refill_m3, "m3"),
            "yes" if step.safe else "NO",
        )
        for step in shaft.planned_concrete.pulls
    ]


def pull_words(shaft: ShaftPlan) -> list[str]:
    """Describe every lift, what stands around each casing, and what pulling it takes."""
    steps = shaft.planned_concrete.pulls
    return [*map(lift_words, steps), *_falls(steps), *map(extraction_words, shaft.planned_concrete.extraction)]


def lift_words(step: PullStep) -> str:
    """Describe one lift."""
    return f"Casing {step.casing_no}, lift {step.lift_no}{'' if step.safe else ', NOT SAFE'}: {step.note}"


def _why_innermost(steps: tuple[PullStep, ...]) -> str:
    if len({step.casing_no for step in steps if step.level_before_m is not None}) < 2:
        return ""
    return (
        "The innermost goes first: the concrete stands in it and fills the gap to the next casing from below, so that no water is "
        "trapped there."
    )


def _falls(steps: tuple[PullStep, ...]) -> list[str]:
    """Describe what stands around each casing, and how far a full column falls when it comes out."""
    texts = []
    for step in steps:
        if step.lift_no > 1:
            continue
        around = step.annulus.removeprefix("none; ") if step.annulus.startswith("none; ") else f"around it {step.annulus}"
        more = f"; cavities can make it fall {number(step.more_drop_m, 'm')} further" if step.more_drop_m > SAME_LENGTH_M else ""
        fall = f" Full to the finished level it would fall {number(step.level_drop_m, 'm')} when it comes out{more}."
        texts.append(f"Casing {step.casing_no}: {around}.{fall if step.level_before_m is not None else ''}")
    return texts


def extraction_words(pull: Extraction) -> str:
    """Describe what pulling a casing takes, and the risk that it sticks."""
    most = f", most in {pull.stuck_in}" if pull.stuck_in and pull.stuck_risk != "low" else ""
    return (
        f"Casing {pull.casing_no} takes a pull of {number(pull.pull_kn, 'kN')} ({number(pull.pull_low_kn, 'kN')} to "
        f"{number(pull.pull_high_kn, 'kN')}) after about {pull.residence_h:.0f} h in the ground: weight "
        f"{number(pull.weight_kn, 'kN')}, friction {number(pull.friction_kn, 'kN')}. Risk of sticking: "
        f"{pull.stuck_risk}{most}."
    )


def hardest_pull(shaft: ShaftPlan) -> str:
    """Return the hardest pull with its range, and what it comes to where the plant turns the casing out; nothing where none is pulled."""
    hardest = max(shaft.planned_concrete.extraction, key=lambda pull: pull.pull_kn, default=None)
    if hardest is None:
        return ""
    base_m = shaft.casings[hardest.casing_no - 1].base_m
    check = next((check for check in shaft.checks if check.id == PULL.id and abs(check.base_m - base_m) < SAME_LENGTH_M), None)
    needed_kn = check.needed.likely if check is not None and "turning_share" in check.limits else None
    turned = "" if needed_kn is None else f", {number(needed_kn, 'kN')} turned"
    ends = f"{bare_number(hardest.pull_low_kn, 'kN')} to {bare_number(hardest.pull_high_kn, 'kN')}"
    return f"; hardest pull {number(hardest.pull_kn, 'kN')} ({ends}){turned}"
