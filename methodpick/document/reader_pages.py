"""The pages of the foreman and the estimator, the safety page of what holds at every drilled shaft, and the letter with a bid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from methodpick.document import cautions
from methodpick.document import takeoff as taking_off
from methodpick.document.casings_and_concrete import PULL_HEADS, PULL_KEY, placing, pull_rows, to_order_m3
from methodpick.document.cautions import TITLES, TONES, TWO_LINES, cares, hazards_in_short, hazards_in_words, placed, warning_words
from methodpick.document.checks import not_proven
from methodpick.document.decision import head_lines, stages
from methodpick.document.fluid import control_table, stock
from methodpick.document.model import Blanks, Document, Items, Page, Paragraph, Section, TextTable, page_with, section
from methodpick.document.pages import ShaftGroup, group_shafts, over_shafts
from methodpick.document.reasons import RUNGS_KEY, rungs_table, rungs_together
from methodpick.document.record import CLOSING, marked_loosened, stamp
from methodpick.document.shaft import built_with, casing_in_short, density_window, held_alike, lengths_held, relied_on
from methodpick.document.strip import strip_section
from methodpick.patterns import pattern_of
from methodpick.plan.result import Caution, Plan, ShaftPlan
from methodpick.site.result import Takeoff
from methodpick.terms import FLUID_NAMES, SEVERITIES, STARTER
from methodpick.unit_markup import bare_number, height_words, how_many, number, spell, unit_name

# ---- safety: what holds at every drilled shaft


SAYS_SOMETHING = 30
"""Letters from the last stop or colon to a comma that say something without what follows the comma."""
_CUT = pattern_of(r"[.;:,] ")
_EXCEPTS = pattern_of(r"(?:though|unless|but|never|only|except|else|not|and (?:never|nobody|no|not))\b")
"""How a clause begins that takes back what stands before it, or forbids something."""


def safety_page(shafts: Sequence[ShaftPlan], *, sources: bool = True) -> Page:
    """Return the cautions that hold at every shaft, by severity, with their sources unless these are not asked for."""
    found: dict[str, Caution] = {}
    for shaft in shafts:
        found.update({caution.rule: caution for caution in shaft.cautions if caution.reach == "every_shaft"})
    say = warning_words if sources else _whole
    sections = (
        section(
            TITLES[severity], Items(tuple(say(caution) for caution in found.values() if caution.severity == severity)), tone=TONES[severity]
        )
        for severity in SEVERITIES
    )
    return page_with("Safety page: what holds at every shaft of the site", (CLOSING,), *sections)


TOLD_AS_STEPS = frozenset(
    {
        "dry-base-cleaned-and-inspected",  # the stage that cleans the base
        "fluid-in-before-the-trouble",  # the stage that fills the hole, with the depth
        "mineral-limits-before-concrete",  # the table of the fluid, with the same numbers
        "polymer-limits-before-concrete",
        "water-limits-before-concrete",
        "seal-before-emptying",  # the stage that tests the seal
    }
)
"""Cautions that the stages and tables of the foreman's sheet tell with their numbers."""


HARMS_PEOPLE = frozenset({"contamination", "fall", "gas", "lifting", "utilities", "soda-ash-and-caustic", "sudden-loss-stop"})
"""Hazards to people, and rules of other hazards that keep people from harm: what to do about them is never cut."""


def cares_in_short(shaft: ShaftPlan) -> tuple[str, ...]:
    """Return the dangers and cautions of a shaft in short, without those that are steps of the work on the same sheet."""
    return tuple(care_in_short(caution) for caution in cares(shaft) if caution.rule not in TOLD_AS_STEPS)


def care_in_short(caution: Caution) -> str:
    """Return a danger and a hazard to people with all words, any other caution in two lines, each with where it holds."""
    if caution.severity == "danger" or not HARMS_PEOPLE.isdisjoint((caution.hazard, caution.rule)):
        return _whole(caution)
    return placed(caution, cut_to(caution.text, TWO_LINES - len(spell(placed(caution, ""), "us"))))


def _whole(caution: Caution) -> str:
    return placed(caution, caution.text)


def cut_to(text: str, letters: int) -> str:
    """Return a text, cut at the end of a sentence or clause where it has more letters, and never before what takes it back.

    The first clause stands in any case.

    >>> cut_to("Turn it now and then, though never while it is sealed.", 30)
    'Turn it now and then, though never while it is sealed.'
    >>> cut_to("It sticks soon. Turn it now and then, though never while it is sealed.", 45)
    'It sticks soon ...'
    """
    cuts, clause = [], 0
    for found in _CUT.finditer(text):
        is_comma = text[found.start()] == ","
        if not _EXCEPTS.match(text, found.end()) and not (is_comma and found.start() - clause < SAYS_SOMETHING):
            cuts.append(found.start())
        clause = clause if is_comma else found.end()
    if len(spell(text, "us")) <= letters or not cuts:
        return text
    fitting = [cut for cut in cuts if len(spell(text[:cut], "us")) <= letters - 4] or cuts[:1]
    return f"{text[: fitting[-1]]} ..."


# ---- foreman, estimator, letter


_IN_BRACKETS = pattern_of(r" \([^)]*\)")

# ---- foreman: what to do, in order, with levels to hold, numbers to stop at and blanks for what happens


_ACTUALS = (
    "date, shaft, foreman, inspector",
    "water met at, rose to; fluid level kept at",
    "casing base as set, seat in",
    "tip as drilled, ground at the tip",
    "concrete ordered, placed; engineer to call, telephone",
)


MORE_FOR_THE_FOREMAN = "What ends in dots, and what an open hazard does: --for foreman --full."


def foreman_page(group: ShaftGroup, *, full: bool = False) -> Page:
    """Return the sheet: no probabilities, no sources, no names of rules.

    Dangers stand with all their words; ``full`` has those of every caution and open hazard.
    """
    shaft, title = group.first, f"Foreman's sheet: {group.title}"
    if not shaft.has_method:
        stop = section("Do not start", Paragraph(shaft.decision, "danger"), tone="danger")
        return page_with(title, head_lines(group), stop)
    care = tuple(placed(each, each.text) for each in cautions.cares(shaft)) if full else cares_in_short(shaft)
    return page_with(
        title,
        head_lines(group),
        section("Do", Paragraph(shaft.decision, "strong"), Paragraph(not_proven(shaft), "danger"), tone="decision"),
        strip_section(shaft, None),
        stages(shaft),
        section("Casings", Items(tuple(_casings(shaft)))),
        section("Fluid", Items(tuple(_fluid(shaft))), None if shaft.fluid_programme is None else control_table(shaft.fluid_programme)),
        section("Stop, make safe and call the engineer", Items(tuple(dict.fromkeys(_stops(shaft, full=full)))), tone="danger"),
        _concrete(shaft),
        section("Take care", Items(care, numbered=True), Paragraph("" if full else MORE_FOR_THE_FOREMAN), tone="caution"),
        section("As built", Blanks(_ACTUALS)),
    )


def _casings(shaft: ShaftPlan) -> Iterator[str]:
    for index, casing in enumerate(shaft.casings, 1):
        inside, mass = number(casing.inside_m, "size"), number(casing.mass_kg, "kg")
        yield f"{casing_in_short(index, casing)} Inside {inside}; {casing.installed_by}; {mass}."


def _fluid(shaft: ShaftPlan) -> Iterator[str]:
    alike = held_alike(shaft)
    for held in alike:
        slurry = held[0]
        level = height_words(slurry.level_m, shaft.design.datum)
        ends = f", {lengths_held(held)}" if len(alike) > 1 else ""
        yield f"{FLUID_NAMES[slurry.fluid].capitalize()}{ends}: hold the level at {level}; density {density_window(slurry)}."
    if shaft.fluid_programme is not None:
        yield stock(shaft.fluid_programme)
        yield from (time.text for time in shaft.fluid_programme.times)


def _stops(shaft: ShaftPlan, *, full: bool) -> Iterator[str]:
    """Return what ends the plan: the triggers of the ways beside it, the hazards that stay open, and what fails on site."""
    yield from hazards_in_words(shaft.open_hazards) if full else hazards_in_short([shaft], len(shaft.open_hazards))
    fallback = next((rung for rung in shaft.ladder if rung.trigger and rung.name == "fallback"), None)
    if fallback is not None:
        yield f"{fallback.trigger} That is: {_lowered(fallback.method)}"
    if shaft.planned_placement.state == "dry":
        yield f"Pour dry only while this holds, measured just before: {_lowered(_IN_BRACKETS.sub('', shaft.planned_placement.why))}"
    yield from (
        f"Casing {pull.casing_no} takes more than {number(pull.pull_high_kn, 'kN')} to pull." for pull in shaft.planned_concrete.extraction
    )
    difference = shaft.other_ways.difference
    if difference is not None and difference.trigger and (fallback is None or difference.trigger != fallback.trigger):
        yield difference.trigger


def _concrete(shaft: ShaftPlan) -> Section:
    rows = tuple(pull_rows(shaft)) if any(step.level_least_m is not None for step in shaft.planned_concrete.pulls) else ()
    table = TextTable(PULL_HEADS, rows, (1, 2, 3, 4, 5, 6))
    how = placing(shaft, why=shaft.planned_placement.state != "dry")
    return section("Concrete and pulls", *map(Paragraph, how), table, Paragraph(PULL_KEY if rows else ""))


# ---- estimator: what is bought, placed and done, what has no price yet, what it takes if the ground disagrees


MORE_FOR_THE_ESTIMATOR = (
    "How sums and costs come about, where each cage fits and what is built if the ground disagrees: --for estimator --full. Every line of "
    "a shaft with its formula: methodpick takeoff FILE --shaft ID, or --csv for all."
)


def estimator_page(takeoff: Takeoff, groups: Sequence[ShaftGroup], *, full: bool = False) -> Page:
    """Return the page; ``full`` with how its numbers come about. The lines of a shaft with their formulas are in the takeoff itself."""
    plan = takeoff.site.plan
    shafts = [group.first for group in groups]
    risks = section(_DISAGREES, Items(tuple(_risks(groups)))) if full else section(_DISAGREES, rungs_table(shafts), Paragraph(RUNGS_KEY))
    last = MORE_FOR_THE_ESTIMATOR.partition("--full. ")[2] if full else MORE_FOR_THE_ESTIMATOR
    return page_with(
        _title(plan, groups),
        (),
        section("Concrete, net and ordered", _concrete_quantities(groups)),
        *taking_off.taken_off(takeoff, short=not full),
        section("Not priced yet", Items(tuple(_missing(takeoff)))),
        risks if any(len(shaft.ladder) > 1 for shaft in shafts) else None,
        section("", Paragraph(last)),
    )


_DISAGREES = "If the ground disagrees, each shaft"


def _title(plan: Plan, groups: Sequence[ShaftGroup]) -> str:
    return f"For the estimator: {plan.site_name or plan.input.path}, {how_many(sum(group.count for group in groups), 'shaft')}"


_CONCRETE_HEADS = ("shaft", "n", "one by the drawing", "to order", "low to high")


def _concrete_quantities(groups: Sequence[ShaftGroup]) -> TextTable:
    """Return the concrete of one shaft of each kind: by the drawing, to order, and in how many trucks."""
    rows, truck_m3 = [], None
    for group in groups:
        if (concrete := group.first.concrete) is not None:
            likely, low, high = to_order_m3(concrete)
            more = f" +{len(group.shafts) - 1}" if len(group.shafts) > 1 else ""
            volumes = number(concrete.theoretical_m3, "m3"), number(likely, "m3"), f"{bare_number(low, 'm3')} to {bare_number(high, 'm3')}"
            trucks = " to ".join(dict.fromkeys((str(concrete.trucks), str(concrete.trucks_high))))
            rows.append((group.first.id + more, str(group.count), *volumes, trucks))
            truck_m3 = concrete.truck_m3
    return TextTable((*_CONCRETE_HEADS, f"trucks of {number(truck_m3, 'm3')}"), tuple(rows), (1, 2, 3, 4, 5))


def _missing(takeoff: Takeoff) -> Iterator[str]:
    """Return what has no rate of the reader's, for hours and for money."""
    if wanting := taking_off.hours_without_rate(takeoff.hours):
        yield wanting
    if takeoff.cost is None:
        yield "No money: the site file gives no rates ('rates:', see methodpick new)."
    elif takeoff.cost.unpriced:
        yield taking_off.not_priced(takeoff.cost)


def _risks(groups: Sequence[ShaftGroup]) -> Iterator[str]:
    shafts = [group.first for group in groups]
    for place in range(1, max((len(shaft.ladder) for shaft in shafts), default=0)):
        yield from rungs_together([(shaft.id, shaft.ladder[place], shaft) for shaft in shafts if place < len(shaft.ladder)])


# ---- bid letter: method, ground and water relied on, what is in, what is out, rates to fill in


_PUBLIC = (
    "A qualified bid can be rejected where the owner is public: there, ask before bid, and send the method after award. (common "
    "practice, no source)"
)
_BY_OTHERS = "working platform, water and power, place for spoil, survey, lights and traffic"
_RATES = (
    f"extra depth, per {unit_name('m')}",
    f"less depth, per {unit_name('m')}",
    "obstruction, per hour",
    f"casing left in the ground, per {unit_name('m')}",
    f"concrete beyond the quantity expected, per {unit_name('m3')}",
    "standby of the rig, per hour",
    "price holds until",
)


def bid_letter(plan: Plan) -> Document:
    """Return the letter as a document of one page."""
    groups = group_shafts(plan.shafts)
    offered = [group for group in groups if group.first.has_method]
    sections = (
        *(section(group.title, *_method(group)) for group in groups),
        section("In the price", Paragraph(_included(offered))) if offered else section("", Paragraph("")),
        section("Not in the price", Items(tuple(_excluded([group.first for group in offered])))),
        section("By others", Paragraph(f"{_BY_OTHERS.capitalize()}.")),
        section("Rates for what changes", Blanks(_RATES)),
        section("", Paragraph(_PUBLIC)),
    )
    title = f"Method statement for the bid: {plan.site_name or plan.input.path}"
    return marked_loosened(Document(title, (Page(title, (stamp(plan),), sections),), CLOSING), plan)


def _method(group: ShaftGroup) -> Iterator[Paragraph | Items]:
    shaft = group.first
    offered = f"We shall {_lowered(shaft.decision)}" if shaft.proven and shaft.has_method else shaft.decision
    yield Paragraph(
        f"{group.count} shaft{'s' if group.count > 1 else ''} ({group.names}), {number(shaft.diameter_m, 'size')} diameter, tip "
        f"{number(shaft.tip_depth_m, 'm')}. {offered}"
    )
    if not shaft.has_method:
        yield Paragraph("No method and no price are offered for it.", "danger")
        return
    yield Paragraph(not_proven(shaft), "danger")
    yield Items((*built_with(shaft), relied_on(shaft).partition(" Left out: ")[0]))


def _lowered(words: str) -> str:
    """Return words as they go on within a sentence."""
    return words[:1].lower() + words[1:]


def _included(groups: Sequence[ShaftGroup]) -> str:
    likely = over_shafts(groups, lambda shaft: to_order_m3(shaft.planned_concrete)[0])
    theoretical = over_shafts(groups, lambda shaft: shaft.planned_concrete.theoretical_m3)
    return (
        f"Drilling, the casings and fluid named above, cleaning, setting the cage, and {number(likely, 'm3')} of concrete, of "
        f"which {number(theoretical, 'm3')} are by the drawings."
    )


def _excluded(shafts: Sequence[ShaftPlan]) -> Iterator[str]:
    """Return what these plans do not count on; nothing is said of a method that none of them uses."""
    kinds = {casing.kind for shaft in shafts for casing in shaft.casings}
    yield "Obstructions, boulders, and rock or ground harder than logged."
    yield "Water higher than the range named, and the change of method that it asks for."
    if "temporary" in kinds:
        yield "Temporary casing that has to stay, or is ordered to stay."
    if kinds - {STARTER, "temporary"}:
        yield "Coating, corrosion allowance and splices of permanent casing beyond those shown."
    if any(shaft.slurries for shaft in shafts):
        yield "Loss of fluid beyond the reserve, and disposal of fluid or spoil that is contaminated."
    yield "Integrity and load tests, and mending what they show where the method was followed."
    yield "Nights, standby by others, and mobilising again."
