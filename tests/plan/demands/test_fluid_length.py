"""What stands bare under a fluid at one time, by hand: from the shoe that stands down to what is drilled before the next casing."""

from types import SimpleNamespace

import pytest

from methodpick.plan.demands.fluid_length import bare_runs
from methodpick.plan.result.checks import none_short
from methodpick.terms import STARTER

STARTER_SHOE = 2.0


def _stage(no, action, top_m, base_m, state=None):
    return SimpleNamespace(no=no, action=action, top_m=top_m, base_m=base_m, state=state)


def _runs(stages, *shoes, floor_m=0.0):
    found = bare_runs([_stage(no, *stage) for no, stage in enumerate(stages, 1)], [SimpleNamespace(base_m=shoe) for shoe in shoes], floor_m)
    return [(run.fluid, run.stage, run.top_m, run.base_m) for run in found]


SET = ("set_starter", -0.5, STARTER_SHOE)


@pytest.mark.parametrize(
    ("stages", "shoes", "runs"),
    [
        ([SET, ("drill", 2.0, 9.0, "polymer")], (2.0,), [("polymer", 2, 2.0, 9.0)]),
        ([SET, ("drill", 2.0, 9.0, "dry")], (2.0,), []),
        # what is drilled dry at first stands bare under the fluid that is brought in
        ([SET, ("drill", 2.0, 5.0, "dry"), ("drill", 5.0, 9.0, "mineral")], (2.0,), [("mineral", 3, 2.0, 9.0)]),
        # one length in two tools or grounds is one
        ([SET, ("drill", 2.0, 5.0, "water"), ("drill", 5.0, 9.0, "water")], (2.0,), [("water", 2, 2.0, 9.0)]),
        # a casing in between holds the upper length before the lower one is opened
        (
            [SET, ("drill", 2.0, 6.0, "mineral"), ("set_casing", -0.5, 7.0), ("drill", 7.0, 12.0, "mineral")],
            (2.0, 7.0),
            [("mineral", 2, 2.0, 6.0), ("mineral", 4, 7.0, 12.0)],
        ),
        (
            [SET, ("drill", 2.0, 6.0, "polymer"), ("set_casing", -0.5, 7.0), ("drill", 7.0, 12.0, "mineral")],
            (2.0, 7.0),
            [("polymer", 2, 2.0, 6.0), ("mineral", 4, 7.0, 12.0)],
        ),
        # a casing that goes ahead in two runs stands only at its seat
        (
            [("advance_casing", 0.0, 4.0, "cased_plug"), ("advance_casing", 4.0, 6.0, "cased_balanced"), ("drill", 6.0, 9.0, "polymer")],
            (6.0,),
            [("polymer", 3, 6.0, 9.0)],
        ),
        ([("drill", 1.0, 9.0, "polymer")], (), [("polymer", 1, 1.0, 9.0)]),
    ],
)
def test_what_stands_bare_under_a_fluid(stages, shoes, runs):
    assert _runs(stages, *shoes, floor_m=1.0) == runs


SOFT_CLAY = """methodpick: 1
site: {name: Weir lane, units: si, drilling_grade: {above_ground: 0}, allowed: [slurry, temporary_casing], fluids_allowed: [mineral],
  equipment: {vibratory: true}}
borings:
  - {id: B-1, ground_elevation: 10, depth: 34, water: [{depth: 2.0, reading: settled, after: 24 h}],
     layers: [{top: 0, base: 12, description: "loose grey fine SAND", symbol: SP, n: 8},
              {top: 12, base: 26, description: "stiff grey CLAY", symbol: CL, su: 110 kPa},
              {top: 26, base: 34, description: "dense grey SAND", symbol: SP, n: 40}]}
shafts: [{id: S1, boring: B-1, diameter: 1.2 m, tip: 30}]
"""


def test_no_window_of_a_plan_reaches_across_a_casing(read_text, book):
    """Whatever way is best: every casing but the starter has its lengths under fluid above or below its shoe."""
    from methodpick.plan.pipeline import plan

    made = plan(read_text(SOFT_CLAY), book).shafts[0]
    ways = [(made.casings, made.slurries), *((other.casings, other.slurries) for other in made.alternates)]
    seen = 0
    for casings, slurries in ways:
        for casing in casings:
            for slurry in slurries:
                seen += casing.kind != STARTER
                assert not slurry.top_m + 0.002 < casing.base_m < slurry.base_m - 0.002, (casing, slurry.top_m, slurry.base_m)
    assert seen
    assert none_short(made.checks) == made.proven
