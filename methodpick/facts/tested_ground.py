"""What tests make of the words of a log: a layer is parted where they change, and rock that they show to be soil may be its soil."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from statistics import median, quantiles

from methodpick.ground.descriptions.reader import Description
from methodpick.ground.profile import CoreRun, Layer, Spt
from methodpick.terms import COHESIVE, CONSISTENCIES, DENSITIES, GRANULAR, ROCK
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.values import Choice, Value, known, point

CALLED_ROCK = ROCK | {"intermediate"}
"""Classes of ground that a log calls rock, or that is between soil and rock."""
_FALLING = frozenset({"broken", "rubble"})
_PIECES = frozenset({"clean_gravel", "silty_gravel", "cobbles"})
"""What rock comes up as where the tools have broken it: that alone is no sign that it is decomposed."""
_OF_ROCK = 100
"""The grade of a test that rock stops: far above those of soil."""


@dataclass(frozen=True, slots=True)
class ReadingRules:
    """The limits and class tables by which the tests of a boring are read."""

    limits: Mapping[str, float]
    tables: Mapping[str, ClassTable]


def count_of(test: Spt) -> float | None:
    """Return the blow count of a test, 0 where the rods sank; None where none is given."""
    if test.weight_of_hammer:
        return 0.0
    return None if test.n is None else float(test.n)


def lower_quartile(values: Sequence[float]) -> float:
    """Return the value that a quarter of the values lie below, between the two nearest ones by share.

    >>> lower_quartile([10.0, 20.0, 30.0, 40.0, 50.0])
    20.0
    """
    return quantiles(values, n=4, method="inclusive")[0] if len(values) > 1 else values[0]


def word_of_run(run: CoreRun, reading: ReadingRules, more: Mapping[str, Value]) -> str | None:
    """Return how the rock of a core run holds together, None where it gives neither recovery nor RQD. ``more`` are facts of the layer."""
    if run.recovery_percent is None and run.rqd_percent is None:
        return None
    values = {"soil": known("rock"), "crushed": known("no"), **more}
    rqd, recovery = run.rqd_percent, run.recovery_percent
    if rqd is not None:
        values["rqd_percent"] = point(min(rqd, 100.0))
        recovery = max(rqd, reading.limits["recovery_with_rqd_percent"]) if recovery is None else recovery
    values["recovery_percent"] = point(min(recovery or 0.0, 100.0))
    found = reading.tables["rock_mass"].look_up(values).get("rock_mass")
    if not isinstance(found, Choice):
        return None
    return found.likely or (min(found.values) if found.certain else None)


def parts_of(layer: Layer, spt: Sequence[Spt], cores: Sequence[CoreRun], reading: ReadingRules) -> list[tuple[float, float]]:
    """Return the lengths into which a layer is parted where its tests change, from the top down; the whole where they do not.

    Counts that are given for the layer as a whole have no depth, and part nothing.
    """
    soils = layer.described.soils
    cuts = set(_cuts_by_core(cores, reading)) if soils & CALLED_ROCK else set()
    if not layer.n:
        cuts |= set(_cuts_by_count(spt, _grade_of(soils, layer.described, reading), reading))
    ends, least_m = [layer.top_m], reading.limits["part_least_m"]
    for cut in sorted(cuts):
        if cut - ends[-1] >= least_m and layer.base_m - cut >= least_m:
            ends.append(round(cut, 3))
    return list(pairwise([*ends, layer.base_m]))


def _cuts_by_core(cores: Sequence[CoreRun], reading: ReadingRules) -> list[float]:
    """Return the depths at which core that falls apart begins or ends."""
    cuts = []
    told = [(run, word) for run in sorted(cores, key=lambda run: run.top_m) if (word := word_of_run(run, reading, {}) or _standing(run))]
    for (upper, above), (lower, below) in pairwise(told):
        if (above if above in _FALLING else "") != (below if below in _FALLING else ""):
            cuts.append(lower.top_m if above in _FALLING and below not in _FALLING else upper.base_m)
    return cuts


def _standing(run: CoreRun) -> str | None:
    """Return a word for core that stands, whatever its strength; None where the run says nothing."""
    return None if run.recovery_percent is None and run.rqd_percent is None else "standing"


def _cuts_by_count(spt: Sequence[Spt], grade: Callable[[Spt], int | None], reading: ReadingRules) -> list[float]:
    """Return the depths half way between neighbouring tests whose grades lie apart; one high count alone parts nothing.

    A stone may have stopped the tool.
    """
    graded = [(test.depth_m, found) for test in sorted(spt, key=lambda test: test.depth_m) if (found := grade(test)) is not None]
    groups: list[list[tuple[float, int]]] = []
    for test in graded:
        if groups and abs(test[1] - median(found for _, found in groups[-1])) < reading.limits["n_class_step"]:
            groups[-1].append(test)
        else:
            groups.append([test])
    kept: list[list[tuple[float, int]]] = []
    for index, group in enumerate(groups):
        near = [groups[place][0][1] for place in (index - 1, index + 1) if 0 <= place < len(groups)]
        lone = len(group) == 1 and bool(near) and all(group[0][1] > grade for grade in near)
        if not lone and (not kept or not _are_near(kept[-1], group, reading.limits["n_class_step"])):
            kept.append(list(group))
        elif not lone:
            kept[-1].extend(group)
    return [(upper[-1][0] + lower[0][0]) / 2 for upper, lower in pairwise(kept)]


def _are_near(upper: Sequence[tuple[float, int]], lower: Sequence[tuple[float, int]], step: float) -> bool:
    return abs(median(found for _, found in upper) - median(found for _, found in lower)) < step


def _grade_of(soils: frozenset[str], words: Description, reading: ReadingRules) -> Callable[[Spt], int | None]:
    """Return how a test of ground of some classes is graded: by consistency, by density, or as rock or its soil."""
    if soils & CALLED_ROCK:
        least = _least_of_rock(words, reading.limits)
        return lambda test: None if (n := count_of(test)) is None else _OF_ROCK if n >= least else 0
    table, fact, scale = ("consistency_by_n", "consistency", CONSISTENCIES) if soils & COHESIVE else ("density_by_n", "density", DENSITIES)
    if not soils & (COHESIVE | GRANULAR):
        return lambda _: None

    def graded(test: Spt) -> int | None:
        count = count_of(test)
        found = None if count is None else reading.tables[table].look_up({"n60": point(count)}).get(fact)
        return next((index for index, word in enumerate(scale) if word == found.likely), None) if isinstance(found, Choice) else None

    return graded


def _least_of_rock(words: Description, limits: Mapping[str, float]) -> float:
    return limits["chalk_soil_n" if words.rock_type == "chalk" else "rock_soil_n"]


def by_tests(words: Description, counts: Sequence[float], layer: Layer, limits: Mapping[str, float]) -> Description:
    """Return what words and tests together allow ground called rock to be: its soil too where it is decomposed, or few blows enter it.

    The soil is the likelier one where the words call the rock decomposed and no count says otherwise, and where the lower quartile of
    the counts is below what rock has.
    """
    if not words.soils & CALLED_ROCK or not words.as_soil.soils:
        return words
    least = _least_of_rock(words, limits)
    count = lower_quartile(counts) if counts else None
    few = count is not None and count < least
    weak = layer.ucs_kpa is not None and layer.ucs_kpa.high < limits["rock_soil_ucs_kpa"]
    if not (few or weak or words.decomposed or (words.came_up_as_soil and count is None)):
        return words
    soil = words.as_soil
    if words.rock_type == "chalk" and count is not None and count < limits["chalk_paste_n"]:
        soil = replace(soil, likely="silt", soils=soil.soils | {"silt"})
    likely = words.likely
    if few or weak or (count is None and (words.decomposed or soil.likely not in _PIECES)):
        likely = soil.likely
    elif words.decomposed and likely in {"rock", None}:
        likely = "weathered_rock"
    told = f"{count:g} blows" if few else "weak" if weak else "decomposed"
    evidence = f"{words.evidence}; {told}: the soil that it becomes"
    return replace(words, soils=words.soils | soil.soils | {"weathered_rock"}, likely=likely, evidence=evidence)
