"""The sections of the installation plan about the work itself: excavation, casing, fluid, concrete, spoil."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import field

from methodpick.document.casings_and_concrete import (
    CURVE_HEADS,
    CURVE_KEY,
    PULL_HEADS,
    PULL_KEY,
    casing_words,
    curve_rows,
    placing,
    pull_rows,
    pull_words,
    sealed,
)
from methodpick.document.decision import SUPPORT_HEADS, support_rows
from methodpick.document.fluid import NO_FLUID, fluid_level_words, loss, practice, stock, what_to_do
from methodpick.document.model import Blanks, Block, Items, Paragraph, Subheading, TextTable
from methodpick.plan.result import Caution, Plan, ShaftPlan, Slurry
from methodpick.records import record
from methodpick.terms import CasingKind
from methodpick.unit_markup import number, number_span


@record(frozen=False)
class Draft:
    """A plan whose shafts of one kind stand as one, and the warnings that a section has written already, so that each stands once."""

    plan: Plan
    written: set[tuple[str, str]] = field(default_factory=set)

    def warnings(self, *hazards: str) -> Items:
        """Return the warnings of some hazards that no section has written yet, with the shafts that they are about."""
        return self._warnings(lambda caution: caution.hazard in hazards)

    def other_warnings(self) -> Items:
        """Return the warnings that no section has written yet."""
        return self._warnings(lambda _: True)

    def _warnings(self, wanted: Callable[[Caution], bool]) -> Items:
        about: dict[tuple[str, str], list[str]] = {}
        found: dict[tuple[str, str], Caution] = {}
        for shaft in self.plan.shafts:
            for caution in shaft.cautions:
                key = (caution.rule, caution.text)
                if wanted(caution) and key not in self.written:
                    about.setdefault(key, []).append(shaft.id)
                    found[key] = caution
        self.written.update(found)
        return Items(tuple(self._warning(caution, about[key]) for key, caution in found.items()))

    def _warning(self, caution: Caution, about: Sequence[str]) -> str:
        shafts = "" if len(about) == len(self.plan.shafts) else f" ({', '.join(dict.fromkeys(about))})"
        return f"{'Danger: ' if caution.severity == 'danger' else ''}{caution.text}{shafts} [{caution.rule}]"


def excavation(draft: Draft) -> Iterator[Block]:
    """Return the decision and the stages of every shaft."""
    for shaft in draft.plan.shafts:
        yield Subheading(f"Shaft {shaft.id}")
        yield Paragraph(shaft.decision)
        yield Items(tuple(stage.text for stage in shaft.stages), numbered=True)
    yield Blanks(("how the base is sounded and inspected, and who signs for it", "clean-out tool and airlift or pump, where used"))


def stability(draft: Draft) -> Iterator[Block]:
    """Return what holds the wall over every length, and what endangers it."""
    yield TextTable(("shaft", *SUPPORT_HEADS), tuple((shaft.id, *row) for shaft in draft.plan.shafts for row in support_rows(shaft)))
    yield draft.warnings("caving", "squeezing", "uplift", "base-instability", "exposure", "softening", "washout", "inflow")
    yield Blanks(("what is done at stoppages, nights and week-ends, and who watches the hole",))


def _casings(draft: Draft, *kinds: CasingKind) -> Iterator[Block]:
    found = [(shaft.id, casing) for shaft in draft.plan.shafts for casing in shaft.casings if casing.kind in kinds]
    if not found:
        yield Paragraph("The plan has none.")
        return
    rows = (
        (
            shaft,
            casing.kind,
            number(casing.outside_diameter_m, "size"),
            number(casing.wall_m, "wall"),
            number(casing.top_m, "m"),
            number(casing.base_m, "m"),
            number(casing.length_m, "m"),
            casing.seat_layer or "-",
            sealed(casing),
        )
        for shaft, casing in found
    )
    yield TextTable(("shaft", "kind", "outside", "wall", "top", "base", "length", "seat", "sealed"), tuple(rows))
    yield Items(tuple(f"{shaft}, {casing_words(casing)}" for shaft, casing in found))


def temporary_casing(draft: Draft) -> Iterator[Block]:
    """Return the casings that are pulled."""
    yield from _casings(draft, "starter", "temporary")
    yield draft.warnings("casing-stuck", "seal")
    yield Blanks(
        ("how a casing that is stuck is freed, and what is done when it cannot be", "casing at hand: sizes, walls, lengths, joints")
    )


def permanent_casing(draft: Draft) -> Iterator[Block]:
    """Return the casings that stay."""
    yield from _casings(draft, "permanent")
    if any(casing.kind == "permanent" for shaft in draft.plan.shafts for casing in shaft.casings):
        yield Blanks(
            ("steel grade and standard", "splices and their welding procedure", "who allows a casing to stay that was to be pulled")
        )


_FLUID_HEADS = ("shaft", "fluid", "from", "to", "least density", "greatest density", "aim", "bound")


def fluid(draft: Draft) -> Iterator[Block]:
    """Return the kind of fluid, its density window and its programme."""
    rows = [
        (
            shaft.id,
            slurry.fluid,
            number(slurry.top_m, "m"),
            number(slurry.base_m, "m"),
            number(slurry.density_min_kg_m3, "kg/m3"),
            number(slurry.density_max_kg_m3, "kg/m3"),
            number(slurry.density_target_kg_m3, "kg/m3"),
            slurry.governed_by,
        )
        for shaft in draft.plan.shafts
        for slurry in shaft.slurries
    ]
    yield TextTable(_FLUID_HEADS, tuple(rows)) if rows else Paragraph(NO_FLUID)
    for shaft in draft.plan.shafts:
        for slurry in shaft.slurries:
            if slurry.density_target_kg_m3 is None:
                yield Paragraph(f"{shaft.id}{_over_length(shaft, slurry)}: {what_to_do(slurry)}")
                yield Items(tuple(remedy.text for remedy in slurry.remedies), numbered=True)
    yield from _programmes(draft)
    yield draft.warnings("fluid-chemistry")
    if rows:
        yield Blanks(
            (
                "product and maker",
                "the mix as tried, with the mixing water of the site",
                "mixing and hydration time",
                "tanks and their volume",
                "desanding",
                "tests: by whom, limits of the contract where stricter",
                "disposal of used fluid",
            )
        )


def _over_length(shaft: ShaftPlan, slurry: Slurry) -> str:
    """Return the length that a fluid holds, behind a comma; nothing where the shaft has no other length under fluid."""
    return f", {number_span(slurry.top_m, slurry.base_m, 'm')}" if len(shaft.slurries) > 1 else ""


def _programmes(draft: Draft) -> Iterator[Block]:
    """Return the fluid programmes; shafts whose programmes read the same share them."""
    found: dict[tuple[Block, ...], list[str]] = {}
    amounts = []
    for shaft in draft.plan.shafts:
        if (programme := shaft.fluid_programme) is not None:
            amounts.append(f"{shaft.id}: {stock(programme)} {loss(programme)}")
            found.setdefault(tuple(practice(programme)), []).append(shaft.id)
    yield Items(tuple(amounts))
    for blocks, shafts in found.items():
        yield Subheading(f"Fluid of {', '.join(shafts)}")
        yield from blocks


def fluid_level(draft: Draft) -> Iterator[Block]:
    """Return how high the fluid stands."""
    entries = tuple(
        f"{shaft.id}{_over_length(shaft, slurry)}: {fluid_level_words(slurry, shaft.design.datum)}"
        for shaft in draft.plan.shafts
        for slurry in shaft.slurries
    )
    yield Items(entries)
    yield draft.warnings("fluid-loss")
    if entries:
        yield Blanks(("how the level is watched and topped up, at night as well", "volume kept ready, and the loss at which work stops"))


def cage(draft: Draft) -> Iterator[Block]:
    """Return what the drawings say of the cage, as far as the file does."""
    yield Items(
        tuple(
            f"{shaft.id}: cage of {number(shaft.design.cage_diameter_m, 'size')} in a shaft of {number(shaft.diameter_m, 'size')}."
            for shaft in draft.plan.shafts
            if shaft.design.cage_diameter_m is not None
        )
    )
    yield Blanks(
        (
            "shop drawings: number and date",
            "lifting points, splices and stiffening",
            "spacers: kind, number, places",
            "how the cage is held against sinking and floating",
        )
    )


def concrete(draft: Draft) -> Iterator[Block]:
    """Return the way of placing and the volumes."""
    for shaft in draft.plan.with_method:
        yield Subheading(f"Shaft {shaft.id}")
        yield Items(tuple(placing(shaft, why=True)))
    yield draft.warnings("concrete-defect")
    yield Blanks(
        (
            "mix, its approval and its trial",
            "supplier, plant, and the plant that stands in",
            "rate of delivery and volume of a truck",
            "slump at the plant and its loss with time",
            "tremie or chute: pipe, joints, first charge",
        )
    )


def pulling(draft: Draft) -> Iterator[Block]:
    """Return the lifts of the casings and the concrete that each needs."""
    rows = tuple((shaft.id, *row) for shaft in draft.plan.with_method for row in pull_rows(shaft))
    if rows:
        yield TextTable(("shaft", *PULL_HEADS), rows)
        yield Paragraph(PULL_KEY)
    yield Items(tuple(f"{shaft.id}: {text}" for shaft in draft.plan.with_method for text in pull_words(shaft)))
    yield Blanks(("longest time from the first truck to the last pull", *(["how the head in the casing is measured"] if rows else [])))


def volumes(draft: Draft) -> Iterator[Block]:
    """Return the points of the depth-volume curve, with room for what is measured."""
    rows = tuple((shaft.id, *row, "") for shaft in draft.plan.with_method for row in curve_rows(shaft))
    yield Paragraph(CURVE_KEY)
    yield TextTable(("shaft", *CURVE_HEADS, "measured"), rows)
    yield Blanks(("who measures and plots at every truck", "what is done when a point leaves the band"))


def spoil(draft: Draft) -> Iterator[Block]:
    """Return the spoil, and what is to be kept out of ground and water."""
    yield Items(
        tuple(
            f"{shaft.id}: {line.item} {number(line.value, line.unit)} a shaft ({line.formula})"
            for shaft in draft.plan.shafts
            for line in shaft.quantities
            if "spoil" in line.item
        )
    )
    yield draft.warnings("spoil", "contamination")
    yield Blanks(("where spoil goes, by whom, and its class", "control of spills and run-off"))
