"""A draft of the shaft installation plan: what a plan knows is filled in, the rest stands as named blanks.

The sections are those that specifications usually ask for (common practice, after agency requirements for drilled shaft
installation plans). No name, firm, machine, product or supplier is ever invented.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from methodpick.document import installation_work as work
from methodpick.document.cautions import QUESTIONS, assumption_words, hazards_in_words, question_words
from methodpick.document.installation_work import Draft
from methodpick.document.model import Blanks, Block, Document, Items, Page, Paragraph, TextTable, section
from methodpick.document.pages import group_shafts
from methodpick.document.reasons import cautious_words, rung_words
from methodpick.document.record import CLOSING, marked_loosened, stamp
from methodpick.plan.result import Plan, ShaftPlan
from methodpick.terms import SUPPORT_NAMES
from methodpick.unit_markup import number

WARNING = (
    "Not for construction. Every blank is filled by the contractor; the draft is checked by the licensed engineer in charge before "
    "it is submitted."
)
_SHAFT_HEADS = ("shaft", "count", "diameter", "cut-off", "tip", "boring", "method")
Filling = Callable[[Draft], Iterator[Block]]


def installation_plan(plan: Plan) -> Document:
    """Return the draft of the installation plan; shafts whose plan is the same stand as one under all their names."""
    shafts = tuple(replace(group.first, id=group.names, count=group.count) for group in group_shafts(plan.shafts))
    draft = Draft(replace(plan, shafts=shafts))
    sections = [section(f"{index}. {title}", *filling(draft)) for index, (title, filling) in enumerate(_SECTIONS, 1)]
    blanks = sum(len(block.entries) for part in sections for block in part.blocks if isinstance(block, Blanks))
    left = f"{blanks} blanks are left to fill. Search for the word BLANK."
    title = f"Drilled shaft installation plan (draft): {plan.site_name or plan.input.path}"
    page = Page(title, (f"Drafted by {stamp(plan)}.", WARNING, CLOSING), tuple(sections))
    return marked_loosened(Document(title, (page,), left), plan)


def _blanks(*entries: str) -> Filling:
    """Return a section that only names blanks."""
    return _warnings_and_blanks((), *entries)


def _warnings_and_blanks(hazards: tuple[str, ...], *entries: str) -> Filling:
    """Return a section of warnings of some hazards and blanks."""

    def fill(draft: Draft) -> Iterator[Block]:
        yield draft.warnings(*hazards)
        yield Blanks(entries)

    return fill


def _sequence(draft: Draft) -> Iterator[Block]:
    yield TextTable(_SHAFT_HEADS, tuple(map(_shaft_row, draft.plan.shafts)))
    yield Blanks(
        (
            "order of the shafts",
            "shafts of a group that are drilled or concreted on one day",
            "least distance and time between a fresh shaft and drilling beside it",
        )
    )


def _shaft_row(shaft: ShaftPlan) -> tuple[str, ...]:
    sizes = number(shaft.diameter_m, "size"), number(shaft.cutoff_m, "m"), number(shaft.tip_depth_m, "m")
    return shaft.id, str(shaft.count), *sizes, shaft.boring, SUPPORT_NAMES[shaft.method]


def _ground(draft: Draft) -> Iterator[Block]:
    rows = {
        (shaft.boring, layer.top_m): (shaft.boring, number(layer.top_m, "m"), number(layer.base_m, "m"), layer.description or layer.ground)
        for shaft in draft.plan.shafts
        for layer in shaft.ground.layers
    }
    yield Paragraph("The ground that the equipment meets, as logged:")
    yield TextTable(("boring", "top", "base", "as logged"), tuple(rows.values()))
    yield Blanks(("why each tool suits this ground", "what is at hand where the ground is harder or coarser than logged"))


def _contingency(draft: Draft) -> Iterator[Block]:
    for shaft in draft.plan.shafts:
        if shaft.cautious is not None:
            yield from (Paragraph(f"{shaft.id}: cautious plan. {text}") for text in cautious_words(shaft.cautious))
        yield Items(
            (
                *(f"{shaft.id}: {rung_words(rung, shaft)}" for rung in shaft.ladder[1:]),
                *(f"{shaft.id}: {words}" for words in hazards_in_words(shaft.open_hazards)),
            )
        )
    yield draft.other_warnings()
    yield Blanks(("who decides to leave the plan, and who is told", "material and plant held ready for it"))


def _open_questions(draft: Draft) -> Iterator[Block]:
    for shaft in draft.plan.shafts:
        yield Items(
            (
                *(f"{shaft.id}: {question_words(gap)}" for gap in shaft.gaps),
                *(f"{shaft.id}, assumed: {assumption_words(assumption)}" for assumption in shaft.assumptions),
            )
        )


_SECTIONS: tuple[tuple[str, Filling], ...] = (
    (
        "Experience of the firm",
        _blanks(
            "name of the drilled shaft contractor", "years of work with drilled shafts", "similar projects, with ground, sizes and referees"
        ),
    ),
    (
        "People in charge",
        _blanks(
            "superintendent: name and experience",
            "drill foreman: name and experience",
            "licensed engineer in charge: name and registration",
            "quality control of fluid and concrete: names",
        ),
    ),
    ("Shafts and their sequence", _sequence),
    (
        "Equipment",
        _blanks(
            "drill rigs: make, model, torque, crowd",
            "cranes: make, model, capacity",
            "drilling, rock and clean-out tools",
            "casing tools: make and capacity",
            "fluid plant: tanks, mixer, pumps, desander",
            "tremies and concrete pumps",
        ),
    ),
    ("Why the equipment suits the ground", _ground),
    ("Excavation, clean-out and inspection of the base", work.excavation),
    ("Keeping the hole stable", work.stability),
    ("Temporary casing", work.temporary_casing),
    ("Permanent casing", work.permanent_casing),
    ("Support fluid", work.fluid),
    ("Level of the fluid", work.fluid_level),
    ("Reinforcement", work.cage),
    ("Concrete", work.concrete),
    ("Time of placing, and pulling of casing", work.pulling),
    ("Depth-volume record", work.volumes),
    ("Construction and emergency joints", _blanks("where a joint may lie and how it is cleaned", "what is done when the pour stops")),
    ("Integrity testing", _blanks("method, number of tubes and of tests", "who tests, when, and how the tubes are grouted")),
    (
        "Tolerances and how they are measured",
        _warnings_and_blanks(
            ("specification",), "tolerances of the contract: place, plumb, size, level", "instruments and times of measuring"
        ),
    ),
    (
        "Obstructions",
        _warnings_and_blanks(("obstruction", "voids"), "tools and way of removing obstructions", "notice and payment by the contract"),
    ),
    ("Spoil, fluid and the environment", work.spoil),
    (
        "Neighbours, structures and services",
        _warnings_and_blanks(
            ("settlement", "vibration", "utilities"),
            "structures and services near the shafts",
            "monitoring: what, where, how often, limits",
        ),
    ),
    (
        "Trial shaft",
        _warnings_and_blanks(("data-gap",), "place, size and depth of the trial shaft", "who watches it and what it must show"),
    ),
    ("Anomalies and their mending", _blanks("how anomalies are looked into", "how they are mended")),
    (
        "Safety",
        _warnings_and_blanks(
            ("fall", "gas", "lifting"), "person in charge of safety", "rescue plan and emergency call", "air testing: instrument and times"
        ),
    ),
    ("If things go otherwise", _contingency),
    (f"{QUESTIONS}, and what is assumed", _open_questions),
)
