"""The checks of a written way, proved anew and compared; and what no way may be built on."""

from __future__ import annotations

from collections.abc import Iterator

from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.proving.prove import prove
from methodpick.plan.result.checks import Check
from methodpick.review.contradiction import Contradiction, differences
from methodpick.review.written_way import WrittenWay

HOLD = frozenset({"holds", "little_margin"})


def compare_checks(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return where the written checks of a way differ from those that ground and stages give anew."""
    right = prove(ground, way.built)
    names, proved = [_key(check) for check in way.checks], [_key(check) for check in right]
    if names != proved:
        yield from _missing(names, proved)
        return
    for written, again in zip(way.checks, right, strict=True):
        yield from differences(written, again, f"check {again.id}", again.stage)


def failing_checks(way: WrittenWay) -> Iterator[Contradiction]:
    """Return the checks that fail though the way is called proven, and ways called not proven though nothing speaks against them.

    A way that is called not proven says so on its page, with the checks that fail; also where the trials of its search ended, which
    leaves a check that does not hold over its range.
    """
    failing = [check for check in way.checks if check.bars]
    if way.proven:
        for check in failing:
            yield Contradiction(
                f"check {check.id}", "fails, and the way is called proven", "a way that holds it, or not proven", check.stage
            )
    elif not failing and not way.trials_ended and (way.name != "plan" or all(check.result in HOLD for check in way.checks)):
        yield Contradiction("proven", "no", "yes: no check speaks against the way")


def _key(check: Check) -> tuple[str, int | None]:
    return check.id, check.stage


def _missing(names: list[tuple[str, int | None]], proved: list[tuple[str, int | None]]) -> Iterator[Contradiction]:
    lost, added = [name for name in proved if name not in names], [name for name in names if name not in proved]
    for check, stage in lost:
        yield Contradiction(f"check {check}", "nothing", "a check of this stage", stage)
    for check, stage in added:
        yield Contradiction(f"check {check}", "a check of this stage", "nothing", stage)
    if not lost and not added:
        yield Contradiction("the checks", ", ".join(name for name, _ in names), ", ".join(name for name, _ in proved))
