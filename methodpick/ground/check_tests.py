"""Coherence of penetration tests and cores with the boring."""

from __future__ import annotations

from methodpick.ground.doubt import Doubts
from methodpick.ground.profile import Profile, Spt

STANDARD_INTERVALS = (3, 4)
NEAR_M = 0.01


def check_spt(profile: Profile, doubts: Doubts) -> None:
    """Look for tests below the boring, counts that miss their blows, and refusals that no core explains."""
    end_m = profile.end_m
    for test in profile.spt:
        if test.depth_m > end_m + NEAR_M:
            doubts.add("doubt", test.depth_m, "a penetration test lies below the end of the boring", "it is not used; correct its depth")
        total = blows_total(test)
        if total is not None and test.n is not None and test.penetration_m is None and total != test.n:
            doubts.add(
                "doubt",
                test.depth_m,
                f"N is {test.n}, but its blows {list(test.blows)} give {total}",
                "the stated N is used; check the log",
            )
    refusals = [test for test in profile.spt if test.refusal]
    passed_m = max([run.base_m for run in profile.cores] + [test.depth_m for test in profile.spt if not test.refusal], default=0.0)
    bare = [test for test in refusals if test.depth_m >= passed_m]
    if bare:
        doubts.add(
            "doubt",
            bare[0].depth_m,
            f"{bare[0].text or 'refusal'} and nothing cored or passed below it",
            "dense soil, a boulder, weathered rock and rock all look like this; ask for a core",
        )


def blows_total(test: Spt) -> int | None:
    """Return N of the blows: the second and third interval of 6 in (150 mm), ASTM D1586; None for other lists.

    >>> blows_total(Spt(depth_m=1, n=11, blows=(3, 5, 6)))
    11
    """
    return test.blows[1] + test.blows[2] if len(test.blows) in STANDARD_INTERVALS else None


def check_cores(profile: Profile, doubts: Doubts) -> None:
    """Look for core runs upside down, below the boring, or with more RQD or solid core than was recovered."""
    for run in profile.cores:
        if run.base_m <= run.top_m:
            doubts.add("doubt", run.top_m, f"a core run has its base at {doubts.say_m(run.base_m)}, not below its top", "correct the log")
        elif run.base_m > profile.end_m + NEAR_M:
            doubts.add(
                "doubt",
                run.top_m,
                f"a core run reaches to {doubts.say_m(run.base_m)}, below the end of the boring",
                "correct the one or the other",
            )
        for name, value in (("RQD", run.rqd_percent), ("solid core", run.solid_percent)):
            if value is not None and run.recovery_percent is not None and value > run.recovery_percent:
                doubts.add(
                    "doubt",
                    run.top_m,
                    f"{name} {value:g} % is above the recovery {run.recovery_percent:g} %",
                    "it counts recovered core only; check both",
                )
