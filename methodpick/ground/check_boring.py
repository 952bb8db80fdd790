"""Coherence of the layers: whether they tile the boring, and whether words, counts and strengths agree."""

from __future__ import annotations

from bisect import bisect_right
from itertools import pairwise

from methodpick.ground.descriptions.reader import Words, read_words
from methodpick.ground.descriptions.symbols import read_symbol
from methodpick.ground.doubt import Doubts
from methodpick.ground.profile import Layer, Profile, Spt
from methodpick.ground.tiling import THINNEST_M, is_lens

CONSISTENCIES = ("very_soft", "soft", "firm", "stiff", "very_stiff", "hard")
DENSITIES = ("very_loose", "loose", "medium_dense", "dense", "very_dense")
N_OF_CONSISTENCY = (2.0, 4.0, 8.0, 15.0, 30.0)
SU_OF_CONSISTENCY_KPA = (12.5, 25.0, 50.0, 100.0, 200.0)
N_OF_DENSITY = (4.0, 10.0, 30.0, 50.0)
CONTRADICTION = 2


def grade_of(value: float, borders: tuple[float, ...]) -> int:
    """Return the grade of a value on its scale, 0 the lowest.

    >>> CONSISTENCIES[grade_of(11, N_OF_CONSISTENCY)]
    'stiff'
    """
    return bisect_right(borders, value)


def grades_apart(words: tuple[str, str], scale: tuple[str, ...], grade: int) -> int:
    """Return how many grades lie between the words of a log ("firm to stiff") and a grade; 0 where it is among them.

    >>> grades_apart(("firm", "stiff"), CONSISTENCIES, grade_of(30, N_OF_CONSISTENCY))
    2
    """
    low, high = sorted(scale.index(word) for word in words)
    return max(0, low - grade, grade - high)


CLEAN = frozenset({"clean_sand", "clean_gravel", "cobbles"})
COHESIVE = frozenset({"clay", "silt", "organic", "intermediate"})
GRANULAR = frozenset({"silt", "silty_sand", "clean_sand", "silty_gravel", "clean_gravel"})
FINES_TOLERANCE = 1.0
"""Percentage points by which a tested share of fines may miss the border of its symbol."""


def check_order(profile: Profile, doubts: Doubts) -> None:
    """Look for layers out of order, upside down, overlapping, with gaps, or below the end of the boring."""
    say_m, end_m = doubts.say_m, profile.end_m
    if not profile.layers:
        doubts.add("serious", None, "the log describes no layer", "nothing can be decided; ask for the full log")
        return
    for layer in profile.layers:
        if layer.thickness_m <= THINNEST_M:
            doubts.add(
                "serious",
                layer.top_m,
                f"a layer has its base at {say_m(layer.base_m)}, not below its top",
                "the layer is left out; correct the log",
            )
    sound = [layer for layer in profile.layers if layer.thickness_m > THINNEST_M]
    in_order = sorted(sound, key=lambda layer: (layer.top_m, -layer.base_m))
    if any(first.top_m > second.top_m for first, second in pairwise(sound)):
        doubts.add("note", None, "the layers are not listed from the top down", "they are sorted by depth")
    _check_joins(in_order, end_m, doubts)
    for layer in in_order:
        if layer.base_m > end_m + THINNEST_M:
            doubts.add(
                "serious",
                layer.top_m,
                f"a layer reaches to {say_m(layer.base_m)}, but the boring ends at {say_m(end_m)}",
                "nothing is claimed below the end of the boring; correct one of them",
            )


def _check_joins(layers: list[Layer], end_m: float, doubts: Doubts) -> None:
    say_m, reached_m = doubts.say_m, 0.0
    holder: Layer | None = None
    for layer in layers:
        if layer.top_m > reached_m + THINNEST_M:
            doubts.add(
                "doubt",
                reached_m,
                f"no layer is described down to {say_m(layer.top_m)}",
                "nothing is known there; ask for the missing description",
            )
        elif layer.top_m < reached_m - THINNEST_M and holder is not None:
            lens = is_lens(layer, holder)
            doubts.add(
                "note" if lens else "doubt",
                layer.top_m,
                "a layer lies inside another" if lens else f"two layers overlap down to {say_m(min(reached_m, layer.base_m))}",
                "it is taken as a lens and cut out of the other" if lens else "the upper one is kept",
            )
        if layer.base_m >= reached_m:
            reached_m, holder = layer.base_m, layer
    if reached_m < end_m - THINNEST_M:
        doubts.add(
            "doubt",
            reached_m,
            f"no layer is described down to the end of the boring at {say_m(end_m)}",
            "nothing is known there; ask for the missing description",
        )


def check_words(profile: Profile, doubts: Doubts) -> None:
    """Look in every layer for words, symbol, counts, strength and tests that contradict each other."""
    for layer in profile.layers:
        words = read_words(layer.description, layer.symbol, layer.origin)
        _check_fines(layer, doubts)
        if words.doubt:
            doubts.add("doubt", layer.top_m, words.doubt, "check which of them is right")
        _check_grades(layer, words, counts_of(profile, layer), doubts)
        if layer.su_kpa is not None and words.soils and words.soils <= CLEAN:
            doubts.add(
                "doubt",
                layer.top_m,
                "an undrained strength is given for clean sand or gravel",
                "clean sand and gravel have none; check the layer it belongs to",
            )
        rqd, recovery = layer.rqd_percent, layer.recovery_percent
        if rqd is not None and recovery is not None and rqd.low > recovery.high:
            doubts.add(
                "doubt",
                layer.top_m,
                f"RQD {rqd.low:g} % is above the recovery {recovery.high:g} %",
                "RQD counts recovered core only; check both",
            )
        if both := sorted(set(layer.features) & set(layer.absent)):
            doubts.add(
                "doubt", layer.top_m, f"'{both[0]}' is said to be there and to be absent", "it is taken as there; remove one of the two"
            )
        for seam in layer.seams:
            if seam.thickness_m is not None and seam.thickness_m >= (seam.spacing_m or layer.thickness_m):
                doubts.add(
                    "doubt",
                    layer.top_m,
                    f"seams of {seam.material} are as thick as their spacing or the layer",
                    "describe them as a layer of their own",
                )


def _check_fines(layer: Layer, doubts: Doubts) -> None:
    symbol = read_symbol(layer.symbol) if layer.symbol else None
    if symbol is None:
        return
    if layer.fines_percent is not None and symbol.fines is not None:
        low, _, high = symbol.fines
        tested = layer.fines_percent
        if tested.high < low - FINES_TOLERANCE or tested.low > high + FINES_TOLERANCE:
            by_test = f"{tested.low:g} %" if tested.low == tested.high else f"{tested.low:g} to {tested.high:g} %"
            doubts.add(
                "doubt",
                layer.top_m,
                f"the symbol {layer.symbol} has {low:g} to {high:g} % fines, the tests {by_test}",
                "the tests decide; check the symbol",
            )


def counts_of(profile: Profile, layer: Layer) -> list[float]:
    """Return the blow counts of a layer; refusals as the blows reached."""
    tests = (test for test in profile.spt if layer.top_m <= test.depth_m < layer.base_m)
    return [float(n) for n in layer.n] + [float(test.n) for test in tests if test.n is not None]


def _check_grades(layer: Layer, words: Words, counts: list[float], doubts: Doubts) -> None:
    cohesive = words.likely in COHESIVE or (not words.likely and words.consistency is not None)
    mean = sum(counts) / len(counts) if counts else None
    su = layer.su_kpa
    su_mean = None if su is None else su.likely if su.likely is not None else (su.low + su.high) / 2
    by_n = None if mean is None or not cohesive else grade_of(mean, N_OF_CONSISTENCY)
    by_su = None if su_mean is None else grade_of(su_mean, SU_OF_CONSISTENCY_KPA)
    for grade, what in (
        (by_n, f"N of {mean:.0f}" if mean is not None else ""),
        (by_su, f"su of {doubts.say_kpa(su_mean)}" if su_mean is not None else ""),
    ):
        if words.consistency and grade is not None and cohesive and grades_apart(words.consistency, CONSISTENCIES, grade) >= CONTRADICTION:
            doubts.add(
                "doubt",
                layer.top_m,
                f"described as {_said(words.consistency)}, but {what} is {_said((CONSISTENCIES[grade],) * 2)}",
                "ask for a strength test; the report shows both",
            )
    if by_n is not None and by_su is not None and abs(by_n - by_su) >= CONTRADICTION and mean is not None:
        doubts.add(
            "doubt",
            layer.top_m,
            f"su of {doubts.say_kpa(su_mean or 0.0)} does not go with N of {mean:.0f}",
            "the tested strength is used; check both",
        )
    if words.density and mean is not None and words.likely in GRANULAR:
        grade = grade_of(mean, N_OF_DENSITY)
        if grades_apart(words.density, DENSITIES, grade) >= CONTRADICTION:
            doubts.add(
                "doubt",
                layer.top_m,
                f"described as {_said(words.density)}, but N of {mean:.0f} is {_said((DENSITIES[grade],) * 2)}",
                "check the count and the words",
            )


def _said(words: tuple[str, ...]) -> str:
    first, last = (word.replace("_", " ") for word in (words[0], words[-1]))
    return first if first == last else f"{first} to {last}"


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
