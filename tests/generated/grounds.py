"""Ground types: which materials lie over which, how thick; a random source picks among them.

Sequences and thicknesses are common practice (what such ground often looks like), no source.
"""

from collections.abc import Callable
from random import Random

from materials import MATERIALS, Material

Layers = list[tuple[Material, float]]
"""Materials from the ground down, each with its thickness in metres; the last one goes on for as long as is asked."""


def _bed(rng: Random, names: str, thinnest: float, thickest: float) -> tuple[Material, float]:
    return MATERIALS[rng.choice(names.split())], rng.uniform(thinnest, thickest)


def _cover(rng: Random) -> Layers:
    """A thin top of topsoil or fill, in half of the cases."""
    return [_bed(rng, "topsoil sandy_fill clay_fill", 0.6, 2.5)] if rng.random() < 0.5 else []


def _stiff_clay(rng: Random) -> Layers:
    return [
        *_cover(rng),
        _bed(rng, "stiff_clay firm_clay", 3, 10),
        _bed(rng, "very_stiff_clay stiff_clay", 5, 15),
        _bed(rng, "hard_clay very_stiff_clay", 5, 30),
    ]


def _soft_over_firm_clay(rng: Random) -> Layers:
    return [
        *_cover(rng),
        _bed(rng, "soft_clay very_soft_clay", 4, 12),
        _bed(rng, "firm_clay", 3, 10),
        _bed(rng, "stiff_clay very_stiff_clay", 5, 30),
    ]


def _clean_sand(rng: Random) -> Layers:
    return [
        *_cover(rng),
        _bed(rng, "loose_sand medium_sand", 3, 9),
        _bed(rng, "medium_sand dense_sand", 4, 15),
        _bed(rng, "dense_sand very_stiff_clay", 5, 30),
    ]


def _alluvium(rng: Random) -> Layers:
    beds = [
        _bed(rng, "soft_clay firm_clay firm_silt silty_sand loose_silty_sand medium_sand loose_sand gravel", 1, 5)
        for _ in range(rng.randint(3, 7))
    ]
    return [*_cover(rng), *beds, _bed(rng, "dense_sand gravel very_stiff_clay weathered_rock", 5, 30)]


def _till(rng: Random) -> Layers:
    beds = [_bed(rng, "clay_till sandy_till outwash", 2, 9) for _ in range(rng.randint(1, 4))]
    return [*_cover(rng), *beds, _bed(rng, "clay_till sandy_till cobbles sandstone", 5, 30)]


def _gravel(rng: Random) -> Layers:
    return [
        *_cover(rng),
        _bed(rng, "silty_sand medium_sand firm_silt", 1, 4),
        _bed(rng, "gravel openwork_gravel cobbly_gravel", 4, 14),
        _bed(rng, "gravel cobbly_gravel very_stiff_clay sandstone", 5, 30),
    ]


def _residual(rng: Random) -> Layers:
    return [
        *_cover(rng),
        _bed(rng, "stiff_silt silty_sand stiff_clay", 3, 12),
        _bed(rng, "saprolite dense_silty_sand", 2, 10),
        _bed(rng, "weathered_rock", 1.5, 8),
        _bed(rng, "granite sandstone", 5, 30),
    ]


def _on_rock(rng: Random) -> Layers:
    beds = [_bed(rng, "soft_clay firm_clay stiff_clay silty_sand medium_sand gravel firm_silt", 2, 8) for _ in range(rng.randint(1, 3))]
    weathered = [_bed(rng, "weathered_rock soft_shale", 0.6, 3)] if rng.random() < 0.6 else []
    return [*_cover(rng), *beds, *weathered, _bed(rng, "sandstone granite shale limestone", 5, 30)]


def _artesian(rng: Random) -> Layers:
    return [
        *_cover(rng),
        _bed(rng, "stiff_clay firm_clay very_stiff_clay clay_till", 3, 14),
        _bed(rng, "medium_sand dense_sand gravel silty_sand", 2, 12),
        _bed(rng, "hard_clay very_stiff_clay sandstone", 5, 30),
    ]


def _organic(rng: Random) -> Layers:
    return [
        _bed(rng, "sandy_fill topsoil peat", 0.6, 2),
        _bed(rng, "peat organic_silt", 2, 7),
        _bed(rng, "soft_clay organic_silt loose_sand", 2, 7),
        _bed(rng, "firm_clay medium_sand", 3, 8),
        _bed(rng, "dense_sand very_stiff_clay", 5, 30),
    ]


def _fill(rng: Random) -> Layers:
    return [
        _bed(rng, "rubble_fill sandy_fill clay_fill waste", 2, 9),
        _bed(rng, "soft_clay firm_clay medium_sand organic_silt", 2, 7),
        _bed(rng, "stiff_clay dense_sand gravel weathered_rock", 5, 30),
    ]


def _karst(rng: Random) -> Layers:
    holes = [_bed(rng, "cavity_clay void broken_limestone", 0.6, 2.5), _bed(rng, "limestone broken_limestone", 1, 5)]
    return [
        *_cover(rng),
        _bed(rng, "stiff_clay firm_clay stiff_silt", 2, 12),
        _bed(rng, "limestone broken_limestone", 1, 5),
        *holes,
        _bed(rng, "limestone", 5, 30),
    ]


def _weathered_rock(rng: Random) -> Layers:
    return [
        *_cover(rng),
        _bed(rng, "stiff_clay stiff_silt loess silty_sand", 1, 5),
        _bed(rng, "weathered_rock soft_shale", 3, 12),
        _bed(rng, "shale sandstone chalk", 5, 30),
    ]


def _open_water(rng: Random) -> Layers:
    beds = [_bed(rng, "medium_sand firm_clay gravel loose_sand", 2, 10)] if rng.random() < 0.7 else []
    return [
        _bed(rng, "marine_clay organic_silt loose_sand very_soft_clay", 1.5, 10),
        *beds,
        _bed(rng, "dense_sand very_stiff_clay weathered_rock", 2, 12),
        _bed(rng, "sandstone hard_clay dense_sand", 5, 30),
    ]


GROUNDS: dict[str, Callable[[Random], Layers]] = {
    "stiff clay": _stiff_clay,
    "soft over firm clay": _soft_over_firm_clay,
    "clean sand": _clean_sand,
    "layered alluvium": _alluvium,
    "glacial till with cobbles": _till,
    "gravel": _gravel,
    "residual soil over rock": _residual,
    "overburden on rock": _on_rock,
    "artesian aquifer under a lid": _artesian,
    "organic and peat": _organic,
    "fill": _fill,
    "karst": _karst,
    "weathered rock": _weathered_rock,
    "open water": _open_water,
}
"""The ground types by name."""
