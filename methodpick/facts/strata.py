"""The boring as a tiling of strata from the ground to the tip, each with its words and its tests."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from methodpick.facts.tested_ground import ReadingRules, by_tests, count_of, lower_quartile, parts_of
from methodpick.ground.descriptions.reader import Description
from methodpick.ground.profile import CoreRun, Layer, Profile, Spt
from methodpick.ground.tiling import tile
from methodpick.terms import GRANULAR, ROCK
from methodpick.vocabulary.values import Choice, Span


@dataclass(frozen=True, slots=True)
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
    return Stratum(index, *ends, layer, words, logged and bool(words.soils), spt, cores)


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
