"""The strata of a boring: ground is what its tests say, so a layer is parted where they change."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from math import log10
from statistics import median, quantiles

from methodpick.ground.descriptions.reader import Description
from methodpick.ground.descriptions.rock import filled_slots
from methodpick.ground.fitted_boring import tile
from methodpick.ground.profile import ConeReading, CoreRun, Layer, Profile, Spt
from methodpick.ground.quantity import Band
from methodpick.records import record
from methodpick.terms import COHESIVE, CONSISTENCIES, DENSITIES, GRANULAR, GRAVEL, ROCK, ROCK_LIKE
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.values import FALSE, TRUE, Choice, Span, Value, known, likely_bool, point

# ---- What tests make of the words of a log: a layer is parted where they change, and rock that they show to be soil may be its soil


_FALLING = frozenset({"broken", "rubble"})
_OF_ROCK = 100
"""The grade of a test that rock stops: far above those of soil."""


@record
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
    cuts = set(_cuts_by_core(cores, reading)) if soils & ROCK_LIKE else set()
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
    if soils & ROCK_LIKE:
        least = _least_of_rock(words, reading.limits)
        return lambda test: None if (n := count_of(test)) is None else _OF_ROCK if n >= least else 0
    by_words = (consistency_table(words), "consistency", CONSISTENCIES)
    table, fact, scale = by_words if soils & COHESIVE else ("density_by_n", "density", DENSITIES)
    if not soils & (COHESIVE | GRANULAR):
        return lambda _: None

    def graded(test: Spt) -> int | None:
        count = count_of(test)
        found = None if count is None else reading.tables[table].look_up({"n60": point(count)}).get(fact)
        return next((index for index, word in enumerate(scale) if word == found.likely), None) if isinstance(found, Choice) else None

    return graded


def consistency_table(words: Description) -> str:
    """Return the class table by which blow counts grade clay: that of the words that the log is written in."""
    return "british_consistency_by_n" if words.british else "consistency_by_n"


def _least_of_rock(words: Description, limits: Mapping[str, float]) -> float:
    return limits["chalk_soil_n" if words.rock_type == "chalk" else "rock_soil_n"]


def by_tests(words: Description, counts: Sequence[float], layer: Layer, limits: Mapping[str, float]) -> Description:
    """Return what words and tests together allow ground called rock to be: its soil too where it is decomposed, or few blows enter it.

    The soil is the likelier one where the words call the rock decomposed and no count says otherwise, and where the lower quartile of
    the counts is below what rock has.
    """
    if not words.soils & ROCK_LIKE or not words.as_soil.soils:
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
    # rock that the tools have broken comes up as gravel: that alone is no sign that it is decomposed
    if few or weak or (count is None and (words.decomposed or soil.likely not in GRAVEL)):
        likely = soil.likely
    elif words.decomposed and likely in {"rock", None}:
        likely = "weathered_rock"
    told = f"{count:g} blows" if few else "weak" if weak else "decomposed"
    evidence = f"{words.evidence}; {told}: the soil that it becomes"
    return replace(words, soils=words.soils | soil.soils | {"weathered_rock"}, likely=likely, evidence=evidence)


# ---- The boring as a tiling of strata from the ground to the tip, each with its words and its tests


@record
class Stratum:
    """A layer of the tiling; ``logged`` is false where the boring says nothing (gaps, below its end)."""

    index: int
    top_m: float
    base_m: float
    layer: Layer
    words: Description
    logged: bool
    spt: tuple[Spt, ...]
    cores: tuple[CoreRun, ...]
    cone: tuple[ConeReading, ...] = ()
    cone_area_ratio: float | None = None

    @property
    def soils(self) -> frozenset[str]:
        """Return the soil classes that the stratum may be; empty where nothing is logged."""
        return self.words.soils if self.logged else frozenset()

    @property
    def likely(self) -> str:
        """Return the likeliest soil class, or an empty word."""
        if not self.logged:
            return ""
        return self.words.likely or (next(iter(self.words.soils)) if len(self.words.soils) == 1 else "")

    @property
    def permeable(self) -> bool:
        """Return whether the stratum likely carries water (sand, gravel, silt, rock)."""
        return self.likely in GRANULAR | ROCK if self.likely else bool(self.soils & (GRANULAR - {"silt"}))


def is_fill(stratum: Stratum) -> bool:
    """Return whether a stratum was filled by people, by its stated or described origin."""
    origin = stratum.words.origin if stratum.layer.origin == "unknown" else stratum.layer.origin
    return origin == "fill"


def names_coal(stratum: Stratum) -> bool:
    """Return whether a stratum is coal, or rock of which the log says that it holds some; pieces of coal in fill or gravel are stones."""
    if "coal" in stratum.layer.features:
        return True
    in_rock = bool(stratum.soils & (ROCK_LIKE | {"void"})) or "coal measures" in stratum.layer.description.lower()
    return in_rock and "coal" in stratum.words.features and not is_fill(stratum)


def filled_slots_in(stratum: Stratum) -> Choice:
    """Return whether soil fills slots or cavities of rock in a stratum: likely between pinnacles, perhaps where the log tells of karst."""
    has, lacks = stratum.words.features | set(stratum.layer.features), stratum.words.absent | set(stratum.layer.absent)
    if is_fill(stratum) or "cavities" in lacks - has:
        return FALSE
    named = filled_slots(stratum.layer.description.lower())
    if named is False:
        return likely_bool(False) if "karst" in has and stratum.soils & ROCK else FALSE
    return TRUE if named else likely_bool(True)


def build_strata(profile: Profile, depth_m: float, reading: ReadingRules) -> tuple[Stratum, ...]:
    """Return the strata from the ground to ``depth_m`` or the end of the boring, whichever is deeper.

    A layer is parted where its tests change. Below the end of the boring stands one stratum that is not logged.
    """
    layers = list(tile(profile))
    end = max((layer.base_m for layer in layers), default=0.0)
    if end < depth_m:
        layers.append(Layer(top_m=end, base_m=depth_m, description=""))
    strata: list[Stratum] = []
    for layer in layers:
        spt, cores = _tests_within(profile, layer.top_m, layer.base_m)
        for top_m, base_m in parts_of(layer, spt, cores, reading):
            strata.append(_stratum(len(strata), (top_m, base_m), layer, profile, reading))
    return tuple(strata)


def _tests_within(profile: Profile, top_m: float, base_m: float) -> tuple[tuple[Spt, ...], tuple[CoreRun, ...]]:
    return (
        tuple(test for test in profile.spt if top_m <= test.depth_m < base_m),
        tuple(run for run in profile.cores if run.top_m < base_m and run.base_m > top_m),
    )


def _stratum(index: int, ends: tuple[float, float], layer: Layer, profile: Profile, reading: ReadingRules) -> Stratum:
    spt, cores = _tests_within(profile, *ends)
    logged = bool(layer.symbol or layer.description.strip()) and layer.description != "no data"
    counts = [*map(float, layer.n), *(count for test in spt if (count := count_of(test)) is not None)]
    words = by_tests(layer.described, counts, layer, reading.limits)
    cone = tuple(reading for reading in profile.cone if ends[0] <= reading.depth_m < ends[1])
    return Stratum(index, *ends, layer, words, logged and bool(words.soils), spt, cores, cone, profile.cone_area_ratio)


def graded(words: tuple[str, str] | None, scale: tuple[str, ...]) -> Choice | None:
    """Return "firm to stiff" as the choice of the grades between, None where the log does not say.

    >>> from methodpick.terms import CONSISTENCIES
    >>> sorted(graded(("firm", "stiff"), CONSISTENCIES).values)
    ['firm', 'stiff']
    """
    if words is None:
        return None
    first, last = scale.index(words[0]), scale.index(words[1])
    grades = scale[min(first, last) : max(first, last) + 1]
    return Choice(frozenset(grades), grades[0] if len(grades) == 1 else grades[(len(grades) - 1) // 2])


def blow_counts(stratum: Stratum) -> list[float]:
    """Return the counts of the stratum; at refusal the blows reached, weight of hammer as zero."""
    return [count for _, count in counted(stratum)]


def counted(stratum: Stratum) -> list[tuple[float, float]]:
    """Return depth and count of every test of the stratum; counts of the layer as a whole belong to its middle."""
    whole = [((stratum.layer.top_m + stratum.layer.base_m) / 2, float(count)) for count in stratum.layer.n]
    return [*whole, *((test.depth_m, count) for test in stratum.spt if (count := count_of(test)) is not None)]


def span_of(band: Band) -> Span:
    """Return a value of the log, as an engineer knows it, as a span; the middle of a range is likely where nobody says otherwise.

    Over more than a decade it is the middle of the logarithms.
    A range without a likely value would leave open what every value near its middle decides, and a proof of it would object to nothing.

    >>> span_of(Band(low=12, high=18)), span_of(Band(low=1e-7, high=1e-5))
    (Span(low=12.0, high=18.0, likely=15.0), Span(low=1e-07, high=1e-05, likely=1e-06))
    """
    if band.likely is not None:
        return Span(band.low, band.high, band.likely)
    over_decades = band.low > 0 and log10(band.high / band.low) > 1
    middle = (band.low * band.high) ** 0.5 if over_decades else (band.low + band.high) / 2
    return Span(band.low, band.high, min(max(middle, band.low), band.high))


def inflow_span_of(band: Band) -> Span:
    """Return a value of the log that decides an inflow, permeability, as a span; of a range nothing is likely that nobody says.

    Water that comes in at a middle between two powers of ten is no guess that a shaft could be poured dry on.

    >>> inflow_span_of(Band(low=1e-7, high=1e-5)).likely is None, inflow_span_of(Band(low=1e-6, high=1e-6)).likely
    (True, 1e-06)
    """
    return Span(band.low, band.high, band.low if band.likely is None and band.low == band.high else band.likely)


def average(values: list[float], spread: float, reach: float) -> Span | None:
    """Return the layer average with its spread: the mean, and the range narrowed toward it.

    One test alone carries ``spread`` (a fraction) either way; several carry the half range between the mean and the
    extremes, at least ``spread`` over the root of their number. The low end is no more than their lower quartile, the high
    end at least ``reach`` times the mean, which is more than 1 where a test met refusal.

    >>> average([10.0, 14.0], 0.3, 1.0)
    Span(low=9.45..., high=14.54..., likely=12.0)
    """
    if not values:
        return None
    mean = sum(values) / len(values)
    least = spread * mean / len(values) ** 0.5
    low = min(mean - least, (mean + min(values)) / 2, lower_quartile(values))
    high = max(mean + least, (mean + max(values)) / 2)
    return Span(max(0.0, low), max(high, reach * mean), mean)


def run_of_class(strata: Sequence[Stratum], depth_m: float) -> tuple[float, float]:
    """Return the ends of the neighbouring strata of one likely class that hold a depth (the upper ones at a boundary)."""
    at = next((place for place, stratum in enumerate(strata) if depth_m <= stratum.base_m + 1e-6), len(strata) - 1)
    first = last = at
    while first > 0 and strata[first - 1].logged and strata[first - 1].likely == strata[at].likely:
        first -= 1
    while last + 1 < len(strata) and strata[last + 1].logged and strata[last + 1].likely == strata[at].likely:
        last += 1
    return strata[first].top_m, strata[last].base_m
