"""All checks of a way of building, in the order of a page; the first are those that the rules of a slice decide."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from operator import attrgetter

from methodpick.plan.checks.record import input_of
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.casings import prove_casings, prove_plant
from methodpick.plan.proving.ground_facts import GroundFacts, SliceComparison, compare_slice
from methodpick.plan.proving.open_hole import prove_drained_walls, prove_open_hole
from methodpick.plan.proving.pour import prove_fluids, prove_pour
from methodpick.plan.proving.surroundings import (
    prove_artesian,
    prove_bare_ground,
    prove_predrilled_sand,
    prove_surroundings,
    prove_wide_walls,
)
from methodpick.plan.result import Citation, Stage
from methodpick.plan.result.checks import Check, Ends
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import Span, Value

# ---- What the facts of a slice can say is decided by a rule: its check shows the same fact, limit and rule


def prove_slices(ground: GroundFacts, way: BuiltWay) -> Iterator[Check]:
    """Return, for every stage and every must rule that compares a fact with a limit about its state, the check of the worst slice."""
    for stage in way.opening_stages():
        part = ("slices", stage.no, stage.state, way.opens_from_m(stage), stage.base_m)
        yield from ground.prove_part(part, partial(_of_stage, ground, way, stage))


def _of_stage(ground: GroundFacts, way: BuiltWay, opening: Stage) -> Iterator[Check]:
    """Return the checks of one stage."""
    stage = replace(opening, top_m=way.opens_from_m(opening))
    found: dict[str, list[SliceComparison]] = {}
    for piece in ground.slices(stage.top_m, stage.base_m):
        for comparison in _of_slice(ground, piece, stage.state or ""):
            found.setdefault(comparison.threshold.rule.id, []).append(comparison)
    for comparisons in found.values():
        yield _write(ground, max(comparisons, key=attrgetter("gravity")), stage)


def _of_slice(ground: GroundFacts, piece: JudgedSlice, state: str) -> tuple[SliceComparison, ...]:
    """Return the comparisons at a slice in a state; made once for all stages and ways."""
    kept, key = ground.kept.slices, (piece.slice.top_m, state)
    if key not in kept:
        kept[key] = tuple(compare_slice(piece, state, ground.limits))
    return kept[key]


def _write(ground: GroundFacts, found: SliceComparison, stage: Stage) -> Check:
    piece, threshold, value, limit = found.piece, found.threshold, found.value, found.limit
    rule, spec = threshold.rule, ground.book.catalogue.facts[threshold.fact]
    near = value.likely if value.likely is not None else value.low if threshold.below else value.high
    word = "at least" if threshold.below else "at most"
    name = spec.meaning.split(";")[0].split(" (")[0].removesuffix(":")
    has, margin = _without_end_of_domain(found, spec.domain)
    nearest = "unlimited" if near not in has.ends else mark(near, spec.unit)
    what = f"At {mark(piece.slice.base_m, 'm')} the {name} is {nearest}, {word} {mark(limit, spec.unit)}."
    return Check(
        id=rule.id,
        stage=stage.no,
        what=what,
        needed=Ends(limit, limit, limit),
        has=has,
        margin=margin,
        unit=spec.unit,
        formula=_formula(piece, threshold.fact),
        inputs={threshold.fact: input_of(value)},
        limits=(threshold.limit,) if threshold.limit is not None else (),
        rule=rule.id,
        sources=tuple(Citation(cited.key, cited.where) for cited in rule.source),
        result=found.result,
        top_m=max(stage.top_m, piece.slice.top_m),
        base_m=min(stage.base_m, piece.slice.base_m),
        remedy="" if found.result == "holds" else rule.treatment.get(stage.state or "", ""),
    )


def _without_end_of_domain(found: SliceComparison, domain: Value) -> tuple[Ends, Ends]:
    """Return a value that must be high and what is left of it, without number where only the end of what can be written bounds it.

    Such is the safety against uplift where no water lies below.
    """
    if not found.threshold.below or not isinstance(domain, Span):
        return found.has, found.margin
    bound = [end is not None and end >= domain.high for end in found.has.ends]
    has = Ends(*(None if is_end else end for end, is_end in zip(found.has.ends, bound, strict=True)))
    return has, Ends(*(None if is_end else end for end, is_end in zip(found.margin.ends, bound, strict=True)))


def _formula(piece: JudgedSlice, fact: str) -> str | None:
    known = piece.slice.sheet.facts.get(fact)
    return known.formulas[0] if known is not None and known.formulas else None


# ---- All checks of a way of building, in the order of a page


def prove(ground: GroundFacts, way: BuiltWay) -> tuple[Check, ...]:
    """Return all checks of a way of building; the same ground and way give the same checks."""
    return (
        *prove_casings(ground, way),
        *prove_plant(ground, way),
        *prove_open_hole(ground, way),
        *prove_drained_walls(ground, way),
        *prove_wide_walls(ground, way),
        *prove_predrilled_sand(ground, way),
        *prove_artesian(ground, way),
        *prove_slices(ground, way),
        *prove_fluids(ground, way),
        *prove_pour(ground, way),
        *prove_bare_ground(ground, way),
        *prove_surroundings(ground, way),
    )
