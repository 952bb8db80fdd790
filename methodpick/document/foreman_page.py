"""The foreman's sheet, and the safety page of the site that goes with it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from methodpick.document import cautions
from methodpick.document.built_with import casing_in_short, density_window, held_alike, lengths_held
from methodpick.document.casings_and_concrete import PULL_KEY, placing, placing_in_short, pull_rows, pull_table
from methodpick.document.cautions import TITLES, TONES, TWO_LINES, cares, hazards_in_short, hazards_in_words, placed, warning_words
from methodpick.document.checks import not_proven
from methodpick.document.decision import head_lines, lifts_of, nights, stage_name, stages, stages_title, timed
from methodpick.document.fluid import control_table, stock, stock_in_short
from methodpick.document.model import Blanks, Items, Page, Paragraph, Section, page_with, section
from methodpick.document.pages import LINES, ShaftGroup, lines_of
from methodpick.document.record import CLOSING
from methodpick.document.strip import strip_section
from methodpick.patterns import pattern_of
from methodpick.plan.result import Caution, ShaftPlan, Stage
from methodpick.terms import FLUID_NAMES, SEVERITIES
from methodpick.unit_markup import either_of, height_words, lowered, number, spell, without_brackets

# ---- safety: what holds at every drilled shaft


SAYS_SOMETHING = 30
"""Letters from the last stop or colon to a comma that say something without what follows the comma."""
_CUT = pattern_of(r"[.;:,] ")
_EXCEPTS = pattern_of(r"(?:though|unless|but|never|only|except|else|not|and (?:never|nobody|no|not))\b")
"""How a clause begins that takes back what stands before it, or forbids something."""


def safety_page(shafts: Sequence[ShaftPlan], *, sources: bool = True, on_the_rig: bool = False) -> Page:
    """Return the cautions that hold at every shaft, by severity, with their sources unless these are not asked for.

    ``on_the_rig`` it has the cautions of the ways of working that the site uses as well, and nothing that is settled before the rig comes.
    """
    found: dict[str, Caution] = {}
    for shaft in shafts:
        found.update({caution.rule: caution for caution in shaft.cautions if caution.reach == "every_shaft"})
    kept = [caution for caution in found.values() if not (on_the_rig and caution.rule in SETTLED_BEFORE)]
    say = warning_words if sources else _whole
    parts = [
        section(TITLES[severity], Items(tuple(say(caution) for caution in kept if caution.severity == severity)), tone=TONES[severity])
        for severity in SEVERITIES
    ]
    of_site = section(OF_THE_SITE, Items(_of_the_site(shafts) if on_the_rig else ()), tone="caution")
    return page_with("Safety page: what holds at every shaft of the site", (CLOSING,), *parts[:2], of_site, *parts[2:])


OF_THE_SITE = "Cautions of fluid, casing and concrete"


def _of_the_site(shafts: Sequence[ShaftPlan]) -> tuple[str, ...]:
    """Return the cautions that the ways of working add whatever the ground, each once for the site, in two lines where it harms nobody."""
    every = (caution for shaft in shafts for caution in cares(shaft) if _is_of_the_site(caution))
    return tuple(dict.fromkeys(care_in_short(caution) for caution in every))


def _is_of_the_site(caution: Caution) -> bool:
    """Return whether a caution stands on the safety page of the site, and not on each sheet: one of the method that is no danger."""
    is_told = caution.rule in TOLD_AS_STEPS or caution.rule in STOPS or caution.rule in SETTLED_BEFORE
    return (caution.severity, caution.reach) == ("caution", "method") and not is_told


SETTLED_BEFORE = frozenset(
    {"cage-lets-concrete-through", "engineer-decides", "hot-and-cold-weather", "integrity-of-wet-shafts", "technique-shaft"}
)
"""Cautions on what designer, mixing plant and contractor settle before the rig comes; who decides stands in the last words."""
STOPS = ("placement-dry-check", "sudden-loss-stop")
"""Cautions that say when to stop: they stand among what ends the plan."""
TOLD_AS_STEPS = frozenset(
    {
        "dry-base-cleaned-and-inspected",  # the stage that cleans the base
        "fluid-in-before-the-trouble",  # the stage that fills the hole, with the depth
        "mineral-limits-before-concrete",  # the table of the fluid, with the same numbers
        "polymer-limits-before-concrete",
        "water-limits-before-concrete",
        "seal-before-emptying",  # the stage that tests the seal
        "tremie-always-embedded",  # the sentence on the tremie, with the same number
    }
)
"""Cautions that the stages and tables of the foreman's sheet tell with their numbers."""


HARMS_PEOPLE = frozenset({"contamination", "fall", "gas", "lifting", "utilities", "soda-ash-and-caustic", "sudden-loss-stop"})
"""Hazards to people, and rules of other hazards that keep people from harm: what to do about them is never cut."""
_NEVER_CUT = HARMS_PEOPLE | {"casing-will-stick"}
"""With a caution of which a part would not say what to do."""
_IN_WORDS = _NEVER_CUT | {"overnight"}
"""With where a shift may end."""


def cares_in_short(shaft: ShaftPlan, *, by_name: bool = False) -> tuple[str, ...]:
    """Return the dangers and cautions of a shaft in short, without what other parts of its sheet or the safety page tell.

    ``by_name`` those that are no danger, harm nobody and do not end a shift are only named, with where they hold.
    """
    sticks = any(caution.rule == "casing-will-stick" for caution in shaft.cautions)
    elsewhere = {*TOLD_AS_STEPS, *STOPS, *SETTLED_BEFORE, *(["casing-residence"] if sticks else [])}
    told = [caution for caution in cares(shaft) if caution.rule not in elsewhere and not _is_of_the_site(caution)]
    named = [caution for caution in told if by_name and not _is_in_words(caution)]
    words = tuple(care_in_short(caution) for caution in told if caution not in named)
    names = "; ".join(placed(caution, caution.rule.replace("-", " ")) for caution in named)
    return (*words, f"Keep in mind: {names}.") if named else words


def _is_in_words(caution: Caution) -> bool:
    """Return whether a caution stands with words on any sheet."""
    return caution.severity == "danger" or not _IN_WORDS.isdisjoint((caution.hazard, caution.rule))


def care_in_short(caution: Caution) -> str:
    """Return a danger and a hazard to people with all words, any other caution in two lines, each with where it holds."""
    if caution.severity == "danger" or not _NEVER_CUT.isdisjoint((caution.hazard, caution.rule)):
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


# ---- foreman: what to do, in order, with levels to hold, numbers to stop at and blanks for what happens


_ACTUALS = (
    "date, shaft, foreman, inspector",
    "water met at, rose to; fluid level kept at",
    "casing base as set, seat in",
    "tip as drilled, ground at the tip",
    "concrete ordered, placed; engineer to call, telephone",
)


MORE_FOR_THE_FOREMAN = "Besides: the safety page. All words: --for foreman --full."
TWO_PAGES = 2 * LINES
"""Lines of a sheet; of a longer one the cautions that harm nobody are named."""
GROUND_ROWS = 12
"""So many rows tell the ground on the sheet."""


def foreman_page(group: ShaftGroup, *, full: bool = False) -> Page:
    """Return the sheet: no probabilities, no sources, no names of rules.

    Dangers stand with all their words; ``full`` has those of every caution and open hazard.
    """
    shaft = group.first
    if not shaft.has_method:
        stop = section("Do not start", Paragraph(shaft.decision, "danger"), tone="danger")
        return page_with(title_of(group), head_lines(group), stop)
    if full:
        return _sheet(group, tuple(placed(each, each.text) for each in cautions.cares(shaft)), full=True)
    page = _sheet(group, cares_in_short(shaft), full=False)
    return page if lines_of(page) <= TWO_PAGES else _sheet(group, cares_in_short(shaft, by_name=True), full=False)


def _sheet(group: ShaftGroup, care: tuple[str, ...], *, full: bool) -> Page:
    shaft = group.first
    return page_with(
        title_of(group),
        head_lines(group),
        section("Do", Paragraph(shaft.decision, "strong"), Paragraph(not_proven(shaft), "danger"), tone="decision"),
        strip_section(shaft, None if full else GROUND_ROWS),
        stages(shaft) if full else _stages(shaft),
        section("Casings", Items(tuple(_casings(shaft, full=full)))),
        _fluid(shaft, full=full),
        section("Stop, make safe and call the engineer", Items(tuple(dict.fromkeys(_stops(shaft, full=full)))), tone="danger"),
        _concrete(shaft, full=full),
        section("Take care", Items(care, numbered=True), Paragraph("" if full else MORE_FOR_THE_FOREMAN), tone="caution"),
        section("As built", Blanks(_ACTUALS)),
    )


def title_of(group: ShaftGroup) -> str:
    """Return the title of the sheet."""
    return f"Foreman's sheet: {group.title}"


def _stages(shaft: ShaftPlan) -> Section:
    """Return the steps of the work with their hours; of a pull whose every lift stands in the table of pulls, which lifts these are."""
    entries = (timed(stage, _pulled(shaft, stage) or stage.text) for stage in shaft.stages)
    return section(stages_title(shaft), Items(tuple(entries), numbered=True), nights(shaft))


def _pulled(shaft: ShaftPlan, stage: Stage) -> str:
    """Return a pull by the table of pulls; nothing where the table does not tell all of it, or the stage is none."""
    lifts = lifts_of(shaft, stage)
    if not lifts or any(step.level_least_m is None or not step.safe for step in lifts):
        return ""
    first, last = (f"{step.casing_no}.{step.lift_no}" for step in (lifts[0], lifts[-1]))
    held = f"lift {first}" if first == last else f"lifts {first} to {last}"
    return f"{stage_name(shaft, stage)}, slowly and straight while the concrete still flows: {held} of the table of pulls."


def _casings(shaft: ShaftPlan, *, full: bool) -> Iterator[str]:
    for index, casing in enumerate(shaft.casings, 1):
        inside, mass = number(casing.inside_m, "size"), number(casing.mass_kg, "kg")
        installed = f" {casing.installed_by};" if full else ""
        yield f"{casing_in_short(index, casing)} Inside {inside};{installed} {mass}."


def _fluid(shaft: ShaftPlan, *, full: bool) -> Section:
    """Return what fluid stands in the hole and at which level, how much of it to have, and when it is tested for what."""
    levels, programme = tuple(_levels(shaft)), shaft.fluid_programme
    if programme is None:
        return section("Fluid", Items(levels))
    times = tuple(time.text for time in programme.times)
    if full:
        return section("Fluid", Items((*levels, stock(programme), *times)), control_table(programme))
    return section("Fluid", Items((*levels, stock_in_short(programme), f"Tests: {' '.join(times)}")), control_table(programme))


def _levels(shaft: ShaftPlan) -> Iterator[str]:
    alike = held_alike(shaft)
    for held in alike:
        slurry = held[0]
        level = height_words(slurry.level_m, shaft.design.datum)
        ends = f", {lengths_held(held)}" if len(alike) > 1 else ""
        mark = f", {number(slurry.level_m - shaft.casings[0].top_m, 'm')} below the top of casing 1" if shaft.casings else ""
        yield f"{FLUID_NAMES[slurry.fluid].capitalize()}{ends}: hold the level at {level}{mark}; density {density_window(slurry)}."


def _stops(shaft: ShaftPlan, *, full: bool) -> Iterator[str]:
    """Return what ends the plan: the triggers of the ways beside it, the hazards that stay open, and what fails on site."""
    yield from hazards_in_words(shaft.open_hazards) if full else hazards_in_short([shaft], len(shaft.open_hazards), numbers=False)
    fallback = next((rung for rung in shaft.ladder if rung.trigger and rung.name == "fallback"), None)
    if fallback is not None:
        yield f"{fallback.trigger} That is: {lowered(fallback.method)}"
    if full and shaft.planned_placement.state == "dry":
        yield f"Pour dry only while this holds, measured just before: {lowered(without_brackets(shaft.planned_placement.why))}"
    if not full:
        applies = STOPS if shaft.planned_placement.state == "dry" else STOPS[1:]
        yield from (caution.text for caution in cares(shaft) if caution.rule in applies)
    if hardest := shaft.planned_concrete.extraction:
        most = (f"{number(pull.pull_high_kn, 'kN')} at casing {pull.casing_no}" for pull in hardest)
        yield f"A pull of more than {either_of(tuple(most))}."
    difference = shaft.other_ways.difference
    if difference is not None and difference.trigger and (fallback is None or difference.trigger != fallback.trigger):
        yield difference.trigger


def _concrete(shaft: ShaftPlan, *, full: bool) -> Section:
    rows = tuple(pull_rows(shaft)) if any(step.level_least_m is not None for step in shaft.planned_concrete.pulls) else ()
    how = placing(shaft, why=shaft.planned_placement.state != "dry") if full else placing_in_short(shaft)
    return section("Concrete and pulls", *map(Paragraph, how), pull_table(rows), Paragraph(PULL_KEY if rows else ""))
