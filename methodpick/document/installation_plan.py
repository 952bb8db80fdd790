"""The sections of the installation plan: each fills what the plan of the shafts knows and names the blanks that are left."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from methodpick.document import installation_work
from methodpick.document.draft import BLANK, Draft, Line, blanks, table, texts
from methodpick.document.ladder import rung_lines

__all__ = ["BLANK", "SECTIONS", "Draft", "Line"]
Fill = Callable[[Draft], Iterator[Line]]


def _only(*named: str) -> Fill:
    return lambda _: blanks(*named)


def _with(hazards: tuple[str, ...], *named: str) -> Fill:
    """Return a section of warnings of some hazards and blanks."""

    def fill(draft: Draft) -> Iterator[Line]:
        yield from draft.warned(*hazards)
        yield from blanks(*named)

    return fill


def _sequence(draft: Draft) -> Iterator[Line]:
    pen = draft.pen
    yield table(
        ("shaft", "count", "diameter", "cut-off", "tip", "boring", "method"),
        [
            (
                one.id,
                str(one.count),
                pen.n(one.diameter_m, "size"),
                pen.n(one.cutoff_m, "m"),
                pen.n(one.tip_depth_m, "m"),
                one.boring,
                draft.method(one),
            )
            for one in draft.plan.shafts
        ],
    )
    yield from blanks(
        "order of the shafts",
        "shafts of a group that are drilled or concreted on one day",
        "least distance and time between a fresh shaft and drilling beside it",
    )


def _suits(draft: Draft) -> Iterator[Line]:
    seen = {
        (shaft.boring, layer.top_m): (
            shaft.boring,
            draft.pen.n(layer.top_m, "m"),
            draft.pen.n(layer.base_m, "m"),
            draft.pen.t(layer.description) or layer.soil_class.replace("_", " "),
        )
        for shaft in draft.plan.shafts
        for layer in shaft.ground.layers
    }
    yield from texts("The ground that the equipment meets, as logged:")
    yield table(("boring", "top", "base", "as logged"), list(seen.values()))
    yield from blanks("why each tool suits this ground", "what is at hand where the ground is harder or coarser than logged")


def _volumes(draft: Draft) -> Iterator[Line]:
    yield from installation_work.volumes(draft)
    yield from blanks("who measures and plots at every truck", "what is done when a point leaves the band")


def _contingency(draft: Draft) -> Iterator[Line]:
    pen = draft.pen
    for shaft in draft.plan.shafts:
        if shaft.cautious is not None:
            one = shaft.cautious
            yield from texts(
                pen.t(f"{shaft.id}: the cautious plan hangs on this: {one.differs_because}"),
                pen.t(f"{shaft.id}: trigger: {one.trigger}"),
                pen.t(f"{shaft.id}: settled by: {one.settles}"),
            )
        for rung in shaft.ladder[1:]:
            yield Line("item", pen.t(f"{shaft.id}: {' '.join(rung_lines(rung, shaft.relative_cost))}"))
        for hazard in shaft.open_hazards:
            yield Line("item", pen.t(f"{shaft.id}: {hazard.text} What to do: {hazard.treatment}"))
    yield from draft.rest()
    yield from blanks("who decides to leave the plan, and who is told", "material and plant held ready for it")


def _open(draft: Draft) -> Iterator[Line]:
    for shaft in draft.plan.shafts:
        for one in shaft.gaps:
            yield Line("item", draft.pen.t(f"{shaft.id}: {one.question} {one.why}"))
        for taken in shaft.assumptions:
            yield Line("item", draft.pen.t(f"{shaft.id}, assumed: {taken.fact.replace('_', ' ')}: {taken.assumed}. {taken.why}"))


SECTIONS: tuple[tuple[str, Fill], ...] = (
    (
        "Experience of the firm",
        _only(
            "name of the drilled shaft contractor", "years of work with drilled shafts", "similar projects, with ground, sizes and referees"
        ),
    ),
    (
        "People in charge",
        _only(
            "superintendent: name and experience",
            "drill foreman: name and experience",
            "licensed engineer in charge: name and registration",
            "quality control of fluid and concrete: names",
        ),
    ),
    ("Shafts and their sequence", _sequence),
    (
        "Equipment",
        _only(
            "drill rigs: make, model, torque, crowd",
            "cranes: make, model, capacity",
            "drilling, rock and clean-out tools",
            "casing tools: make and capacity",
            "fluid plant: tanks, mixer, pumps, desander",
            "tremies and concrete pumps",
        ),
    ),
    ("Why the equipment suits the ground", _suits),
    ("Excavation, clean-out and inspection of the base", installation_work.excavation),
    ("Keeping the hole stable", installation_work.stability),
    ("Temporary casing", installation_work.temporary),
    ("Permanent casing", installation_work.permanent),
    ("Support fluid", installation_work.fluid),
    ("Level of the fluid", installation_work.fluid_level),
    ("Reinforcement", installation_work.cage),
    ("Concrete", installation_work.concrete),
    ("Time of placing, and pulling of casing", installation_work.pulling),
    ("Depth-volume record", _volumes),
    ("Construction and emergency joints", _only("where a joint may lie and how it is cleaned", "what is done when the pour stops")),
    ("Integrity testing", _only("method, number of tubes and of tests", "who tests, when, and how the tubes are grouted")),
    (
        "Tolerances and how they are measured",
        _with(("specification",), "tolerances of the contract: place, plumb, size, level", "instruments and times of measuring"),
    ),
    ("Obstructions", _with(("obstruction", "voids"), "tools and way of removing obstructions", "notice and payment by the contract")),
    ("Spoil, fluid and the environment", installation_work.spoil),
    (
        "Neighbours, structures and services",
        _with(
            ("settlement", "vibration", "utilities"),
            "structures and services near the shafts",
            "monitoring: what, where, how often, limits",
        ),
    ),
    ("Trial shaft", _with(("data-gap",), "place, size and depth of the trial shaft", "who watches it and what it must show")),
    ("Anomalies and their mending", _only("how anomalies are looked into", "how they are mended")),
    (
        "Safety",
        _with(
            ("fall", "gas", "lifting"), "person in charge of safety", "rescue plan and emergency call", "air testing: instrument and times"
        ),
    ),
    ("If things go otherwise", _contingency),
    ("Questions to the owner, and what is assumed", _open),
)
