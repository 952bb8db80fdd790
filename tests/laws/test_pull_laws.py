"""Laws of the pulls: the order never uncovers a shoe, concrete is neither lost nor made, level and volume say the same."""

import itertools

import pytest
from effort import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from methodpick.facts.curves import HoleFluid
from methodpick.mechanics.concrete import annulus_level
from methodpick.plan.concrete.hole import area, bores
from methodpick.plan.concrete.pull_steps import AroundFluid, PullSite
from methodpick.plan.concrete.pulls import OUT_M, ColumnPiece, ConcreteColumn, PulledString, PullTerms, pull_all
from methodpick.plan.demands.ground_on_casing import ExternalPressure
from methodpick.plan.result import Casing

CONCRETE = 23.5
SLOW = settings(max_examples=examples(60))


@st.composite
def jobs(draw):
    """Give one to three telescoped temporary casings in a shaft, with what presses outside and stands inside."""
    diameter = draw(st.sampled_from((0.6, 1.2, 1.8)))
    bases = sorted(draw(st.sets(st.integers(2, 28), min_size=1, max_size=3)))
    tip, stick = bases[-1] + draw(st.integers(1, 12)), draw(st.sampled_from((0.9, 1.5, 3.0)))
    casings, outside = [], diameter + 0.15 * len(bases) + 0.05
    for base in bases:
        predrilled = base - draw(st.sampled_from((0.0, 0.6, 1.2, float(base))))
        casings.append(
            Casing(
                "temporary",
                outside,
                0.012,
                -stick,
                float(base),
                base + stick,
                1000.0,
                "set",
                predrilled,
                outside + draw(st.sampled_from((0.0, 0.05, 0.1))),
                0.0,
                "yes",
                "clay",
                "",
                sections_m=_sections(base + stick, draw(st.sampled_from((3.0, 6.0, 12.0)))),
            )
        )
        outside -= 0.15
    level = draw(st.sampled_from((0.0, 0.5, 3.0, 12.0)))
    fluid = draw(st.one_of(st.none(), st.just(HoleFluid(1030.0, 0.3))))
    waters = ((0.0, level), *(((draw(st.floats(3, 20)), draw(st.floats(-1, 10))),) if draw(st.booleans()) else ()))
    inside = HoleFluid(1030.0, -0.3) if draw(st.booleans()) else None
    terms = PullTerms(ExternalPressure(waters, fluid), inside, CONCRETE, 15.0, 1.524, draw(st.sampled_from((0.0, 1.0, 2.5))), 0.5)
    hole = bores(diameter, None, float(tip), casings)
    around = AroundFluid(10.1, 0.3) if fluid else AroundFluid(9.81, level) if level < 5 else AroundFluid()
    site = PullSite(casings, hole, around, 0.0, lambda *_: 0.0)
    strings = [
        PulledString(at + 1, -stick, casings[at].base_m, casings[at].sections_m, site.column_of(at, CONCRETE))
        for at in reversed(range(len(casings)))
    ]
    return strings, terms


def _sections(length, piece):
    number = int(length // piece)
    left = length - number * piece
    return (*[piece] * number, *([left] if left > 1e-9 else []))


@given(jobs(), st.booleans())
@settings(SLOW, max_examples=examples(150))
def test_pulling_never_uncovers_a_shoe(job, top_up):
    """At every 5 cm of every lift called safe the concrete stands over the moving shoe by the head it needs there, over an outer
    shoe that it has come up to by that one's head, and over all others at all; the innermost casing goes first.
    """
    strings, terms = job
    lifts = pull_all(strings, terms, top_up=top_up)
    assert [lift.string.number for lift in lifts] == sorted((lift.string.number for lift in lifts), reverse=True)
    placed = 0.0
    for lift in lifts:
        placed += lift.added_m3
        if not lift.safe:
            continue
        end = max(lift.shoe_after_m, terms.finish_m) if lift.shoe_after_m > 0 else min(terms.finish_m, lift.shoe_m)
        steps = max(2, int((lift.shoe_m - end) / 0.05))
        for step in range(steps + 1):
            shoe = lift.shoe_m - (lift.shoe_m - end) * step / steps
            level = lift.string.column.level(placed, shoe)
            assert level <= terms.needed(shoe, gap=lift.string.gap) + 1e-6
            if step == steps and lift.shoe_after_m == 0:
                level = lift.string.column.level(placed, OUT_M)  # its steel above the concrete's end is out as well
            for other in strings:
                if other.number < lift.string.number:
                    reached = shoe <= other.shoe_m
                    assert level <= (terms.needed(other.shoe_m, gap=other.gap) if reached else max(other.shoe_m, terms.finish_m)) + 1e-6


def test_the_last_lift_of_a_string_leaves_the_starter_around_it_what_it_needs():
    """The shoe of the string comes up to 1.34 m, 0.16 m over the starter's; its steel above that leaves the concrete too."""
    starter, string = (
        Casing(
            "temporary",
            outside,
            0.012,
            -0.9,
            base,
            base + 0.9,
            1000.0,
            "set",
            base,
            outside,
            0.0,
            "no",
            "clay",
            "",
            sections_m=(base + 0.9,),
        )
        for outside, base in ((1.5, 1.5), (1.3, 13.5))
    )
    terms = PullTerms(ExternalPressure(((0.0, 0.5),), None), None, CONCRETE, 15.0, 1.524, 1.34, 0.5)
    site = PullSite((starter, string), bores(1.2, None, 15.0, (starter, string)), AroundFluid(9.81, 0.5), 0.0, lambda *_: 0.0)
    strings = [
        PulledString(at + 1, -0.9, each.base_m, each.sections_m, site.column_of(at, CONCRETE)) for at, each in ((1, string), (0, starter))
    ]
    last = [lift for lift in pull_all(strings, terms) if lift.string.number == 2][-1]
    (over,) = last.over
    assert last.safe
    assert over.stands_m >= over.needed_m - 1e-6


@given(jobs())
@SLOW
def test_concrete_is_neither_lost_nor_made(job):
    """What is in the hole after a lift is what was in it before, and the next lift starts from there; nothing is taken out."""
    strings, terms = job
    placed = 0.0
    for lift in pull_all(strings, terms):
        column = lift.string.column
        assert lift.added_m3 >= -1e-9
        placed += lift.added_m3
        assert column.content(lift.before_m, lift.shoe_m) == pytest.approx(placed, rel=1e-6, abs=1e-6)
        shoe = lift.shoe_after_m if lift.shoe_after_m > 0 else OUT_M
        assert column.content(lift.after_m, shoe) == pytest.approx(placed, rel=1e-6, abs=1e-6)


@given(jobs())
@SLOW
def test_all_out_the_concrete_stands_at_the_finished_level_or_above(job):
    strings, terms = job
    lifts = pull_all(strings, terms)
    if all(lift.safe for lift in lifts):
        assert lifts[-1].after_m <= terms.finish_m + 1e-6
    for lift in lifts:
        assert lift.safe or lift.least_m < lift.string.top_m + 1e-6, "only a casing that is too short is unsafe"


@given(jobs(), st.floats(0.5, 5))
@SLOW
def test_higher_water_never_asks_for_less_concrete(job, rise):
    strings, terms = job
    outside = terms.outside
    higher = PullTerms(
        ExternalPressure(tuple((top, level - rise) for top, level in outside.waters), outside.fluid),
        terms.inside,
        CONCRETE,
        15.0,
        1.524,
        terms.finish_m,
        0.5,
    )
    for string in strings:
        assert higher.needed(string.shoe_m) <= terms.needed(string.shoe_m) + 1e-9


@given(
    st.lists(st.tuples(st.floats(0.5, 6), st.floats(1.0, 2.0)), min_size=1, max_size=4),
    st.floats(0, 1),
    st.floats(-2, 10),
    st.floats(0, 12.5),
    st.floats(0, 1),
)
@SLOW
def test_the_content_is_the_sum_of_thin_slices(lengths, share, fluid_level, fluid_weight, fill):
    """By adding up slices of 2 mm: below the shoe the whole piece, above it the inside to the level, and the gap from the shoe up
    to the first piece without one, to the level that balances the fluid.
    """
    ends = [0.0, *itertools.accumulate(length for length, _ in lengths)]
    pieces = tuple(ColumnPiece(top, base, width) for (top, base), (_, width) in zip(itertools.pairwise(ends), lengths, strict=True))
    column = ConcreteColumn(pieces, 1.16, 1.2, fluid_weight, fluid_level, CONCRETE)
    shoe, level = share * ends[-1], fill * ends[-1]
    total, thin, opened, depth = 0.0, 0.002, True, ends[-1] - 0.001
    around = annulus_level(level, fluid_level, fluid_weight, CONCRETE)
    while depth > 0:
        width = next(piece.diameter_m for piece in pieces if piece.base_m >= depth)
        if depth >= max(shoe, level):
            total += area(width) * thin
        elif depth < shoe:
            total += area(1.16) * thin if depth >= level else 0.0
            opened = opened and width > 1.2
            total += (area(width) - area(1.2)) * thin if opened and depth >= around and level < shoe else 0.0
        depth -= thin
    assert column.content(level, shoe) == pytest.approx(total, abs=0.04)
    assert column.content(column.level(column.content(level, shoe), shoe), shoe) == pytest.approx(column.content(level, shoe), abs=1e-6)


def test_every_pull_of_the_examples_keeps_its_shoes(planned):
    """Each record says what stands over the shoes that remain; where a lift is called safe, that is enough."""
    seen = 0
    for name in ("caving-lens", "descriptions-only", "residual-thin", "sand-over-clay-thin", "soft-clay-over-rock-thin", "twenty-layers"):
        for shaft in planned(name).shafts:
            pours = (shaft.concrete, *(way.concrete for way in shaft.alternates if way.concrete is not None))
            for step in (step for concrete in pours for step in concrete.pulls):
                for over in step.over_shoes:
                    seen += 1
                    assert not step.safe or over.stands_m >= over.needed_m - 1e-6, (name, step.casing_no, step.lift_no)
    assert seen > 5
