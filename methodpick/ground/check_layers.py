"""Coherence of the layers: whether they tile the boring, and whether words, counts and strengths agree."""

from __future__ import annotations

from itertools import pairwise

from methodpick.ground import grades
from methodpick.ground.doubt import Doubts
from methodpick.ground.profile import Layer, Profile
from methodpick.ground.symbols import read_symbol
from methodpick.ground.tiling import THINNEST_M, is_lens
from methodpick.ground.words import Words, read_words

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
    by_n = None if mean is None or not cohesive else grades.grade_of(mean, grades.N_OF_CONSISTENCY)
    by_su = None if su_mean is None else grades.grade_of(su_mean, grades.SU_OF_CONSISTENCY_KPA)
    for grade, what in (
        (by_n, f"N of {mean:.0f}" if mean is not None else ""),
        (by_su, f"su of {doubts.say_kpa(su_mean)}" if su_mean is not None else ""),
    ):
        if (
            words.consistency
            and grade is not None
            and cohesive
            and grades.grades_apart(words.consistency, grades.CONSISTENCIES, grade) >= grades.CONTRADICTION
        ):
            doubts.add(
                "doubt",
                layer.top_m,
                f"described as {_said(words.consistency)}, but {what} is {_said((grades.CONSISTENCIES[grade],) * 2)}",
                "ask for a strength test; the report shows both",
            )
    if by_n is not None and by_su is not None and abs(by_n - by_su) >= grades.CONTRADICTION and mean is not None:
        doubts.add(
            "doubt",
            layer.top_m,
            f"su of {doubts.say_kpa(su_mean or 0.0)} does not go with N of {mean:.0f}",
            "the tested strength is used; check both",
        )
    if words.density and mean is not None and words.likely in GRANULAR:
        grade = grades.grade_of(mean, grades.N_OF_DENSITY)
        if grades.grades_apart(words.density, grades.DENSITIES, grade) >= grades.CONTRADICTION:
            doubts.add(
                "doubt",
                layer.top_m,
                f"described as {_said(words.density)}, but N of {mean:.0f} is {_said((grades.DENSITIES[grade],) * 2)}",
                "check the count and the words",
            )


def _said(words: tuple[str, ...]) -> str:
    first, last = (word.replace("_", " ") for word in (words[0], words[-1]))
    return first if first == last else f"{first} to {last}"
