"""The sections of the installation plan about the work itself: excavation, casing, fluid, concrete, spoil."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.document import concrete as placing_of
from methodpick.document import fluid_programme as told
from methodpick.document import fluid_window as window
from methodpick.document.draft import Draft, Line, blanks, table, texts
from methodpick.document.model import Pen
from methodpick.drawings.shaft_columns import runs
from methodpick.plan.result import STATE_SAID, SUPPORT_SAID, FluidProgramme, Interval


def excavation(draft: Draft) -> Iterator[Line]:
    """Write the decision and the stages of every shaft."""
    for shaft in draft.plan.shafts:
        yield Line("head", draft.pen.t(f"Shaft {shaft.id}"))
        yield from texts(draft.pen.t(shaft.decision))
        yield from (Line("step", draft.pen.t(stage.text)) for stage in shaft.stages)
    yield from blanks("how the base is sounded and inspected, and who signs for it", "clean-out tool and airlift or pump, where used")


def stability(draft: Draft) -> Iterator[Line]:
    """Write what holds the wall over every length, and what endangers it."""

    def alike(one: Interval) -> tuple[str | None, ...]:
        return one.soil_class, one.support, one.fluid, one.drilled_in, one.confidence

    pen = draft.pen
    yield table(
        ("shaft", "top", "base", "ground", "held by", "drilled", "confidence"),
        [
            (
                shaft.id,
                pen.n(one.top_m, "m"),
                pen.n(base, "m"),
                one.soil_class.replace("_", " "),
                SUPPORT_SAID[one.support] + (f" ({one.fluid})" if one.fluid else ""),
                STATE_SAID.get(one.drilled_in or "", "-"),
                one.confidence,
            )
            for shaft in draft.plan.shafts
            for one, base in runs(shaft.intervals, alike)
        ],
    )
    yield from draft.warned("caving", "squeezing", "uplift", "base-instability", "exposure", "softening", "washout", "inflow")
    yield from blanks("what is done at stoppages, nights and week-ends, and who watches the hole")


def _casings(draft: Draft, kinds: tuple[str, ...]) -> Iterator[Line]:
    pen = draft.pen
    rows = [
        (
            shaft.id,
            one.kind,
            pen.n(one.outside_diameter_m, "size"),
            pen.n(one.wall_m, "wall"),
            pen.n(one.top_m, "m"),
            pen.n(one.base_m, "m"),
            pen.n(one.length_m, "m"),
            one.seat_layer or "-",
            "-" if one.kind == "starter" else one.sealed,
        )
        for shaft in draft.plan.shafts
        for one in shaft.casings
        if one.kind in kinds
    ]
    if not rows:
        yield from texts("The plan has none.")
        return
    yield table(("shaft", "kind", "outside", "wall", "top", "base", "length", "seat", "sealed"), [tuple(map(pen.t, row)) for row in rows])
    for shaft in draft.plan.shafts:
        for one in shaft.casings:
            if one.kind in kinds:
                wall = f" {one.wall_by.why}" if one.wall_by is not None else ""
                yield Line("item", pen.t(f"{shaft.id}, {one.kind}: {one.installed_by}. {one.why}{wall}"))


def temporary(draft: Draft) -> Iterator[Line]:
    """Write the casings that are pulled."""
    yield from _casings(draft, ("starter", "temporary"))
    yield from draft.warned("casing-stuck", "seal")
    yield from blanks(
        "how a casing that is stuck is freed, and what is done when it cannot be", "casing at hand: sizes, walls, lengths, joints"
    )


def permanent(draft: Draft) -> Iterator[Line]:
    """Write the casings that stay."""
    yield from _casings(draft, ("permanent",))
    if any(one.kind == "permanent" for shaft in draft.plan.shafts for one in shaft.casings):
        yield from blanks(
            "steel grade and standard", "splices and their welding procedure", "who allows a casing to stay that was to be pulled"
        )


def fluid(draft: Draft) -> Iterator[Line]:
    """Write the kind of fluid, its density window and its programme."""
    pen = draft.pen
    rows = [
        (
            shaft.id,
            one.fluid,
            pen.n(one.top_m, "m"),
            pen.n(one.base_m, "m"),
            pen.n(one.density_min_kg_m3, "kg/m3"),
            pen.n(one.density_max_kg_m3, "kg/m3"),
            pen.n(one.density_target_kg_m3, "kg/m3"),
            pen.t(one.governed_by),
        )
        for shaft in draft.plan.shafts
        if (one := shaft.slurry) is not None
    ]
    if not rows:
        yield from texts("The plan uses no support fluid.")
        yield from draft.warned("fluid-chemistry")
        return
    yield table(("shaft", "fluid", "from", "to", "least density", "greatest density", "aim", "bound"), rows)
    yield from _empty(draft)
    yield from _programmes(draft)
    yield from draft.warned("fluid-chemistry")
    yield from blanks(
        "product and maker",
        "the mix as tried, with the mixing water of the site",
        "mixing and hydration time",
        "tanks and their volume",
        "desanding",
        "tests: by whom, limits of the contract where stricter",
        "disposal of used fluid",
    )


def _empty(draft: Draft) -> Iterator[Line]:
    """Write what to do where a window is empty."""
    for shaft in draft.plan.shafts:
        if shaft.slurry is not None and shaft.slurry.density_target_kg_m3 is None:
            yield from texts(draft.pen.t(f"{shaft.id}: {window.of_the_hole(shaft.slurry, draft.pen)} What to do, in this order:"))
            yield from (Line("step", draft.pen.t(remedy.text)) for remedy in shaft.slurry.remedies)


def _programmes(draft: Draft) -> Iterator[Line]:
    """Write the fluid programmes; shafts whose words are the same share them."""
    pen = draft.pen
    found: dict[tuple[Line, ...], list[str]] = {}
    for shaft in draft.plan.shafts:
        if (one := shaft.fluid_programme) is not None:
            yield Line("item", pen.t(f"{shaft.id}: {told.stock(one, pen)} {told.losses(one, pen)}"))
            found.setdefault(tuple(_programme(one, pen)), []).append(shaft.id)
    for lines, shafts in found.items():
        yield Line("head", pen.t(f"Fluid of {', '.join(shafts)}"))
        yield from lines


def _programme(one: FluidProgramme, pen: Pen) -> Iterator[Line]:
    yield from (Line("item", pen.t(text)) for text in told.choice(one))
    yield from texts(pen.t(told.water(one)))
    lead, others = told.mix_lead(one.mix, pen), told.other_grades(one.mix, pen)
    if lead:
        yield from texts(pen.t(lead))
    yield from (Line("item", pen.t(text)) for text in told.mix_items(one.mix, pen))
    yield from texts(*(pen.t(text) for text in (others, *one.mix.checks, told.sand(one)) if text))
    yield table(told.CONTROL_HEADS, [tuple(map(pen.t, row)) for row in told.control_rows(one, pen)])
    yield from texts(pen.t(told.control_sources(one)))
    yield from (Line("item", pen.t(time.text)) for time in one.times)


def fluid_level(draft: Draft) -> Iterator[Line]:
    """Write how high the fluid stands."""
    pen, found = draft.pen, False
    for shaft in draft.plan.shafts:
        one = shaft.slurry
        if one is not None:
            found = True
            head = "" if one.head_m is None else f"; least head over the groundwater {pen.n(one.head_m, 'm')} at the likely levels"
            side = "above" if one.level_m < 0 else "below"
            yield Line("item", pen.t(f"{shaft.id}: fluid level {pen.n(abs(one.level_m), 'm')} {side} the ground{head}."))
    yield from draft.warned("fluid-loss")
    if found:
        yield from blanks("how the level is watched and topped up, at night as well", "volume kept ready, and the loss at which work stops")


def cage(draft: Draft) -> Iterator[Line]:
    """Write what the drawings say of the cage, as far as the file does."""
    pen = draft.pen
    for shaft in draft.plan.shafts:
        if shaft.design.cage_diameter_m is not None:
            yield Line(
                "item",
                pen.t(
                    f"{shaft.id}: cage of {pen.n(shaft.design.cage_diameter_m, 'size')} in a shaft of {pen.n(shaft.diameter_m, 'size')}."
                ),
            )
    yield from blanks(
        "shop drawings: number and date",
        "lifting points, splices and stiffening",
        "spacers: kind, number, places",
        "how the cage is held against sinking and floating",
    )


def concrete(draft: Draft) -> Iterator[Line]:
    """Write the way of placing and the volumes."""
    for shaft in draft.plan.shafts:
        yield Line("head", draft.pen.t(f"Shaft {shaft.id}"))
        yield from (Line("item", draft.pen.t(said)) for said in placing_of.placing(shaft.concrete, draft.pen))
    yield from draft.warned("concrete-defect")
    yield from blanks(
        "mix, its approval and its trial",
        "supplier, plant, and the plant that stands in",
        "rate of delivery and volume of a truck",
        "slump at the plant and its loss with time",
        "tremie or chute: pipe, joints, first charge",
    )


def pulling(draft: Draft) -> Iterator[Line]:
    """Write the lifts of the casings and the concrete that each needs."""
    rows = [(draft.pen.t(shaft.id), *row) for shaft in draft.plan.shafts for row in placing_of.pull_rows(shaft, draft.pen)]
    if rows:
        yield table(("shaft", *placing_of.PULL_HEADS), rows)
    for shaft in draft.plan.shafts:
        yield from (Line("item", draft.pen.t(f"{shaft.id}: {said}")) for said in placing_of.pull_words(shaft, draft.pen))
    yield from blanks("longest time from the first truck to the last pull", *(["how the head in the casing is measured"] if rows else []))


def volumes(draft: Draft) -> Iterator[Line]:
    """Write the points of the depth-volume curve, with room for what is measured."""
    yield table(
        ("shaft", *placing_of.CURVE_HEADS, "measured"),
        [(draft.pen.t(shaft.id), *row, "") for shaft in draft.plan.shafts for row in placing_of.curve_rows(shaft, draft.pen)],
    )


def spoil(draft: Draft) -> Iterator[Line]:
    """Write the spoil, and what is to be kept out of ground and water."""
    pen = draft.pen
    for shaft in draft.plan.shafts:
        yield from (
            Line("item", pen.t(f"{shaft.id}: {line.item} {pen.n(line.value, line.unit)} a shaft ({line.formula})"))
            for line in shaft.quantities
            if "spoil" in line.item
        )
    yield from draft.warned("spoil", "contamination")
    yield from blanks("where spoil goes, by whom, and its class", "control of spills and run-off")
