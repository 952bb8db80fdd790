"""The foreman's sheet: what to do, in order, with levels to hold, numbers to stop at and blanks for what happens.

A caution stands where its work is told: with the casings, the fluid, the concrete; those of the ground stand together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from methodpick.document import cautions
from methodpick.document.built_with import casing_in_short, density_window, held_alike, lengths_held
from methodpick.document.casings_and_concrete import PULL_KEY, placing, placing_in_short, pull_rows, pull_table
from methodpick.document.cautions import cares, hazards_in_short, hazards_in_words, placed
from methodpick.document.checks import not_proven
from methodpick.document.decision import head_lines, lifts_of, stage_name, stages, stages_title, timed
from methodpick.document.fluid import control_table, stock, stock_in_short
from methodpick.document.model import Blanks, Block, Items, Page, Paragraph, Section, page_with, section
from methodpick.document.nights import nights
from methodpick.document.pages import LINES, ShaftGroup, lines_of
from methodpick.document.safety_page import SETTLED_BEFORE, STOPS, TOLD_AS_STEPS, in_words, is_of_the_site
from methodpick.document.strip import strip_section
from methodpick.plan.reasons.notes import ASKED_FOR, UNPROVEN
from methodpick.plan.result import Caution, Rung, ShaftPlan, Stage
from methodpick.plan.result.stage_words import IF_IT_GOES_ON
from methodpick.records import record
from methodpick.terms import FLUID_NAMES
from methodpick.unit_markup import (
    SAME_LENGTH_M,
    all_of,
    either_of,
    first_sentence,
    height_words,
    lowered,
    number,
    span_of,
    without_brackets,
)

# ---- cautions: how much is said of each, and where


HARMS_PEOPLE = frozenset({"contamination", "fall", "gas", "lifting", "utilities", "soda-ash-and-caustic", "sudden-loss-stop"})
"""Hazards to people, and rules of other hazards that keep people from harm: all words on what to do about them stand on every sheet."""
_ENDS_A_SHIFT = "overnight"
_WITH_WORK = {
    "nights": frozenset({_ENDS_A_SHIFT}),
    "casings": frozenset({"casing-stuck", "emptied-casing-stays-still", "probable-seal-tested-in-steps", "seat-shorter-than-water-asks"}),
    "fluid": frozenset({"clean-ground-drinks-fluid", "fluid-chemistry", "fluid-level-kept", "lost-fluid-in-the-boring"}),
    "concrete": frozenset({"concrete-defect"}),
}
"""Rules and hazards whose cautions stand with the work that they are of, where the sheet tells of such work."""


def cares_in_short(shaft: ShaftPlan) -> tuple[Caution, ...]:
    """Return the dangers and cautions of a shaft without what other parts of its sheet or the safety page tell."""
    sticks = any(caution.rule == "casing-will-stick" for caution in shaft.cautions)
    elsewhere = {*TOLD_AS_STEPS, *STOPS, *SETTLED_BEFORE, *(["casing-residence"] if sticks else [])}
    return tuple(caution for caution in cares(shaft) if caution.rule not in elsewhere and not is_of_the_site(caution))


def care_in_short(caution: Caution) -> str:
    """Return a danger and a hazard to people with all words, of any other caution the first sentence, which says what to do or expect."""
    if caution.severity == "danger" or not HARMS_PEOPLE.isdisjoint((caution.hazard, caution.rule)):
        return _placed(caution, caution.text)
    return _placed(caution, first_sentence(caution.text))


@record
class _Cares:
    """The cautions of a sheet. ``named`` those that harm nobody are only named, with where they hold; ``full`` all have all words."""

    shaft: ShaftPlan
    named: bool = False
    full: bool = False

    def of(self, work: str) -> Items:
        """Return what to mind in a kind of work."""
        told = (each for each in self._short if self._with(each) == work)
        return Items(tuple(dict.fromkeys(map(care_in_short, told))), tone="danger")

    def besides(self) -> Items:
        """Return what to mind besides, numbered: what the place asks for, and all of it on a full sheet."""
        if self.full:
            return Items(tuple(map(in_words, cautions.cares(self.shaft))), numbered=True)
        told = [each for each in self._short if self._with(each) == ""]
        named = [each for each in told if self._is_named(each)]
        words = tuple(dict.fromkeys(care_in_short(each) for each in told if each not in named))
        names = "; ".join(_placed(each, each.rule.replace("-", " ")) for each in named)
        return Items((*words, f"Keep in mind: {names}.") if named else words, numbered=True)

    @property
    def _short(self) -> tuple[Caution, ...]:
        return () if self.full else cares_in_short(self.shaft)

    def _with(self, caution: Caution) -> str:
        """Return the work that a caution stands with, nothing where the sheet tells of none."""
        told = {"nights", "concrete", *(["casings"] if self.shaft.casings else []), *(["fluid"] if self.shaft.slurries else [])}
        found = (work for work, keys in _WITH_WORK.items() if work in told and not keys.isdisjoint((caution.rule, caution.hazard)))
        return "" if self._is_named(caution) else next(found, "")

    def _is_named(self, caution: Caution) -> bool:
        """Return whether a caution is only named: one that is no danger, harms nobody and ends no shift, on a long sheet."""
        kept = HARMS_PEOPLE | {_ENDS_A_SHIFT}
        return self.named and caution.severity != "danger" and kept.isdisjoint((caution.hazard, caution.rule))


def _placed(caution: Caution, words: str) -> str:
    """Return words of a caution, and where it holds: of several lengths from where to where they lie."""
    lengths = caution.where.split(", ")
    return f"{words} (parts of {span_of(lengths)})" if len(lengths) > 1 else placed(caution, words)


# ---- the sheet


_ACTUALS = (
    "date, shaft, foreman, inspector",
    "water met at, rose to; fluid level kept at",
    "casing base as set, seat in; tip as drilled, ground at the tip",
    "concrete ordered, placed; engineer to call, telephone",
)
_ACTUALS_IN_BRIEF = (
    "date, shaft, foreman, inspector; engineer to call, telephone",
    f"{_ACTUALS[1]}; concrete ordered, placed",
    _ACTUALS[2],
)
MORE_FOR_THE_FOREMAN = "Besides: the safety page. All words and every layer: --for foreman --full."
TWO_PAGES = 2 * LINES
"""Lines of a sheet; a longer one has fewer rows for the ground, then only names what harms nobody."""
GROUND_ROWS, FEW_ROWS, LEAST_ROWS = 12, 8, 4
"""So many rows tell the ground on the sheet, on a long one, and on the longest."""


def foreman_page(group: ShaftGroup, *, full: bool = False) -> Page:
    """Return the sheet: no probabilities, no sources, no names of rules.

    Dangers stand with all their words; ``full`` has those of every caution and open hazard.
    """
    shaft = group.first
    if not shaft.has_method:
        stop = section("Do not start", Paragraph(shaft.decision, "danger"), tone="danger")
        return page_with(title_of(group), head_lines(group), stop)
    if full:
        return _sheet(group, _Cares(shaft, full=True), None)
    for rows, named, brief in ((GROUND_ROWS, False, False), (FEW_ROWS, False, False), (FEW_ROWS, True, False), (LEAST_ROWS, True, True)):
        page = _sheet(group, _Cares(shaft, named=named), rows, brief=brief)
        if lines_of(page) <= TWO_PAGES:
            break
    return page


def _sheet(group: ShaftGroup, care: _Cares, ground_rows: int | None, *, brief: bool = False) -> Page:
    """Return the sheet; a ``brief`` one leaves the steps of the decision to the stages, and tells the cautious plan by its means."""
    shaft, full = group.first, care.full
    decision = _besides_its_steps(shaft.decision) if brief else shaft.decision
    return page_with(
        title_of(group),
        head_lines(group),
        section("Do", Paragraph(decision, "strong"), Paragraph(not_proven(shaft), "danger"), tone="decision"),
        strip_section(shaft, ground_rows),
        stages(shaft) if full else _stages(shaft, care),
        section("Casings", Items(tuple(_casings(shaft, full=full))), care.of("casings")),
        section("Fluid", *_fluid(shaft, care)),
        section(STOP, Items(tuple(dict.fromkeys(_stops(shaft, full=full, brief=brief)))), tone="danger"),
        _concrete(shaft, care),
        section("Take care", care.besides(), Paragraph("" if full else MORE_FOR_THE_FOREMAN), tone="caution"),
        section("As built", Blanks(_ACTUALS_IN_BRIEF if brief else _ACTUALS)),
    )


def _besides_its_steps(decision: str) -> str:
    """Return what a decision says behind its steps: what is not decided, and the fill that it needs; nothing where it says no more.

    >>> _besides_its_steps("Not proven. Drill dry to 9 m. This needs the platform raised."), _besides_its_steps("Drill dry.")
    ('This needs the platform raised.', '')
    """
    return decision.removeprefix(UNPROVEN).partition(". ")[2]


def title_of(group: ShaftGroup) -> str:
    """Return the title of the sheet."""
    return f"Foreman's sheet: {group.title}"


def _stages(shaft: ShaftPlan, care: _Cares) -> Section:
    """Return the steps of the work with their hours, without what stands once elsewhere on the sheet, and the nights."""
    entries = tuple(timed(stage, _step(shaft, stage)) for stage in shaft.stages)
    return section(stages_title(shaft), Items(entries, numbered=True), care.of("nights"), nights(shaft))


def _step(shaft: ShaftPlan, stage: Stage) -> str:
    """Return what is done in a stage: the level of the fluid, the size of a casing and how it is pulled stand with fluid and casings."""
    if stage.action in {"set_casing", "set_starter"}:
        _, joint, then = stage.text.partition("; ")
        return f"{stage_name(shaft, stage)}{joint}{then or '.'}"
    if stage.action == "drill" and IF_IT_GOES_ON not in stage.text and stage.tool_m is not None:
        return f"{stage_name(shaft, stage)} with the {number(stage.tool_m, 'size')} {'barrel' if stage.cored else 'tool'}."
    return _pulled(shaft, stage) or stage.text


def _pulled(shaft: ShaftPlan, stage: Stage) -> str:
    """Return a pull by the table of pulls, or by the note on what meets no concrete; nothing where a lift is not safe or none is made."""
    lifts = lifts_of(shaft, stage)
    if not lifts or not all(step.safe for step in lifts):
        return ""
    if any(step.level_least_m is None for step in lifts):
        return f"{stage_name(shaft, stage)}, as told with the concrete."
    first, last = (f"{step.casing_no}.{step.lift_no}" for step in (lifts[0], lifts[-1]))
    held = f"lift {first}" if first == last else f"lifts {first} to {last}"
    return f"{stage_name(shaft, stage)}: {held} of the table of pulls."


SLOWLY = "Pull casing slowly and straight while the concrete still flows."
TESTS = "Tests and limits: page of fluid tests; mid-height and near the base, last before concrete."
STOP = "Stop, make safe and call the engineer"


def _casings(shaft: ShaftPlan, *, full: bool) -> Iterator[str]:
    for index, casing in enumerate(shaft.casings, 1):
        inside, mass = number(casing.inside_m, "size"), number(casing.mass_kg, "kg")
        installed = f" {casing.installed_by};" if full else ""
        yield f"{casing_in_short(index, casing)} Inside {inside};{installed} {mass}."


def _fluid(shaft: ShaftPlan, care: _Cares) -> Iterator[Block]:
    """Return what fluid stands in the hole and at which level, how much of it to have, and when it is tested for what."""
    programme, levels = shaft.fluid_programme, tuple(_levels(shaft))
    if programme is None:
        yield Items(levels)
        yield care.of("fluid")
        return
    if care.full:
        yield Items((*levels, stock(programme), *(time.text for time in programme.times)))
        yield control_table(programme)
    else:
        yield Items((*levels, f"{stock_in_short(programme)} {TESTS}"))
        yield care.of("fluid")


def _levels(shaft: ShaftPlan) -> Iterator[str]:
    alike = held_alike(shaft)
    for held in alike:
        slurry = held[0]
        level = height_words(slurry.level_m, shaft.design.datum)
        ends = f", {lengths_held(held)}" if len(alike) > 1 else ""
        mark = f", {number(slurry.level_m - shaft.casings[0].top_m, 'm')} below the top of casing 1" if shaft.casings else ""
        yield f"{FLUID_NAMES[slurry.fluid].capitalize()}{ends}: hold the level at {level}{mark}; density {density_window(slurry)}."


def _stops(shaft: ShaftPlan, *, full: bool, brief: bool) -> Iterator[str]:
    """Return what ends the plan: the triggers of the ways beside it, the hazards that stay open, and what fails on site.

    What is asked before the bid, and nobody can watch for, stands on the full sheet only.
    """
    on_site = replace(shaft, open_hazards=tuple(each for each in shaft.open_hazards if each.treatment not in ASKED_FOR.values()))
    treated = len(on_site.open_hazards)
    yield from hazards_in_words(shaft.open_hazards) if full else hazards_in_short([on_site], treated, numbers=False, whole=True)
    fallback = next((rung for rung in shaft.ladder if rung.trigger and rung.name == "fallback"), None)
    if fallback is not None:
        yield f"{fallback.trigger} That is: {_by_its_means(shaft, fallback) if brief else lowered(fallback.method)}"
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


def _concrete(shaft: ShaftPlan, care: _Cares) -> Section:
    rows = tuple(pull_rows(shaft)) if any(step.level_least_m is not None for step in shaft.planned_concrete.pulls) else ()
    how = placing(shaft, why=shaft.planned_placement.state != "dry") if care.full else placing_in_short(shaft)
    told = map(Paragraph, how if care.full else [" ".join((*how, *_how_pulled(shaft)))])
    return section("Concrete and pulls", *told, care.of("concrete"), pull_table(rows), Paragraph(PULL_KEY if rows else ""))


def _how_pulled(shaft: ShaftPlan) -> Sequence[str]:
    """Return how casings are pulled, and what is done with those that no concrete meets."""
    steps = shaft.planned_concrete.pulls
    apart = dict.fromkeys(step.note for step in steps if step.safe and step.level_least_m is None)
    return (SLOWLY, *apart) if steps else ()


def _by_its_means(shaft: ShaftPlan, way: Rung) -> str:
    """Return a way by its casings, the depth of its fluid, and how the concrete is placed; its steps stand on the full sheet."""
    bases: dict[str, list[str]] = {}
    for casing in way.casings:
        if not casing.is_starter:
            bases.setdefault(casing.kind, []).append(number(casing.base_m, "m"))
    told = [f"{kind} casing to {all_of(depths)}" for kind, depths in bases.items()]
    deepest = max(way.slurries, key=lambda slurry: slurry.base_m, default=None)
    told += [] if deepest is None else [f"{FLUID_NAMES[deepest.fluid]} to {number(deepest.base_m, 'm')}"]
    if deepest is None or deepest.base_m < shaft.tip_depth_m - SAME_LENGTH_M:
        told.append(f"on to {number(shaft.tip_depth_m, 'm')}")
    placed = "" if way.placement is None else f"; concrete {'by tremie' if way.placement.state == 'wet' else 'in the dry'}"
    return f"{', '.join(told)}{placed} (steps: --full)."
