"""The states in which a depth is drilled and stands afterwards, by hand for made-up sequences."""

from types import SimpleNamespace

import pytest

from methodpick.plan.reasons.intervals import support_at
from methodpick.plan.sequence.path import NOTHING, Run, Segment, SequencePath

JUDGED = SimpleNamespace(logged=True)


def segment(runs, casing="none"):
    return Segment(
        top_m=runs[0].top_m,
        base_m=runs[-1].base_m,
        runs=tuple(runs),
        casing=casing,
        way=None,
        ahead_m=runs[0].top_m,
        keep=False,
        sealed="yes",
        embedment_m=1.0,
        stratum=0,
        bails=False,
        score=NOTHING,
    )


OPEN = segment([Run(0.5, 6.0, "dry"), Run(6.0, 15.0, "mineral")])
CASED_FULL = segment([Run(0.5, 8.0, "mineral"), Run(8.0, 9.0, "cased_balanced")], "set")
CASED_EMPTY = segment([Run(0.5, 8.0, "dry"), Run(8.0, 9.0, "cased_dry")], "set")
DRY_BELOW, FLUID_BELOW = segment([Run(9.0, 15.0, "dry")]), segment([Run(9.0, 15.0, "polymer")])
TO_TIP = segment([Run(0.5, 15.0, "cased_balanced")], "advanced")


@pytest.mark.parametrize(
    ("segments", "depth_m", "drilled", "later"),
    [
        ([OPEN], 5.0, "dry", ("mineral",)),
        ([OPEN], 12.0, "mineral", ()),
        ([CASED_FULL, DRY_BELOW], 5.0, "mineral", ("cased_balanced", "cased_dry")),
        ([CASED_FULL, FLUID_BELOW], 5.0, "mineral", ("cased_balanced",)),
        ([CASED_EMPTY, FLUID_BELOW], 5.0, "dry", ("cased_dry",)),
        ([CASED_EMPTY, FLUID_BELOW], 12.0, "polymer", ()),
        ([TO_TIP], 5.0, "cased_balanced", ()),
    ],
)
def test_a_depth_meets_what_comes_after_it_until_a_casing_covers_it(segments, depth_m, drilled, later):
    """Fluid after a dry start stands over the upper wall too; what is drilled below a shoe does not reach the wall behind the casing.

    A casing below which the hole goes on dry is emptied, whatever stood in it before.
    """
    support = support_at(SequencePath(tuple(segments), NOTHING), depth_m, 0.0, JUDGED)
    assert (support.drilled_in, support.later_in) == (drilled, later)
