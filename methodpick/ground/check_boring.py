"""Coherence of a boring: whether its layers tile it, and whether words, counts, strengths, cores and water agree.

Words are held against counts and strengths on one scale. Borders: N of 2, 4, 8, 15, 30 in clay with an unconfined strength of
25, 50, 100, 200, 400 kPa (su is half of it), and N of 4, 10, 30, 50 in sand: Terzaghi and Peck (1967), Soil Mechanics in
Engineering Practice, from memory. Other schools set the words up to one grade apart (BS 5930: stiff is 75 to 150 kPa), so only
two grades or more are a doubt.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise

from methodpick.ground.descriptions.reader import Description, read_description
from methodpick.ground.descriptions.symbols_and_names import read_symbol
from methodpick.ground.descriptions.weathering import disagree
from methodpick.ground.doubt import CORRECT_EITHER, Doubt, Doubts, Subject, WriteNumber, say_kilopascals, say_metres
from methodpick.ground.fitted_boring import THINNEST_M, is_lens, join_equal_layers, tile
from methodpick.ground.layer_parts import at_named_depths, depths_outside, parts_of
from methodpick.ground.profile import Layer, Profile, Spt, WaterReading
from methodpick.terms import CLEAN_GRANULAR, CONSISTENCIES, DENSITIES, GRANULAR, ROCK_LIKE, SLOW_DRAINING

# ---- Coherence of the water readings: what was read, how, when, and how far it can be believed


MASKING = ("mud_rotary", "wash")
"""Ways of drilling that keep the hole full, so that what is read is the drilling fluid."""
EARLY = ("while_drilling", "end_of_drilling")
"""Readings made before the level could settle."""


def check_water(profile: Profile, doubts: Doubts, over_water: bool = False) -> None:
    """Check the readings of one boring; ``over_water`` lets levels above the mudline pass."""
    if not profile.water:
        action = "no reading does not mean dry; ask for a standpipe or a level read after 24 h"
        doubts.doubt(None, "the log says nothing about water", action)
        return
    levels = [reading for reading in profile.water if reading.level_m is not None and reading.reading not in {"perched", "drilling_fluid"}]
    if all(reading.reading == "drilling_fluid" for reading in profile.water):
        message = "only the level of the drilling fluid is logged"
        doubts.doubt(profile.water[0].depth_m, message, "it says nothing about groundwater; ask for a standpipe")
    for reading in profile.water:
        if reading.reading == "none_met":
            _check_none_met(profile, reading, levels, doubts)
        else:
            _check_depths(profile, reading, doubts)
            if reading.struck_m is not None and reading.struck_m < 0 and not over_water:
                message = f"water is said to be struck {doubts.say_m(-reading.struck_m)} above the ground"
                doubts.serious(None, message, "write where it was struck, and the level that it rose to as 'rises_to'")
            _check_kind(profile, reading, doubts, over_water)
            _check_trust(profile, reading, doubts)


def _check_none_met(profile: Profile, reading: WaterReading, levels: list[WaterReading], doubts: Doubts) -> None:
    hole_m = profile.end_m if reading.hole_depth_m is None else reading.hole_depth_m
    met = next((level for level in levels if level.met_m is not None and level.met_m <= hole_m), None)
    if met is not None:
        kind = met.reading.replace("_", " ")
        message = f"no water is said to be met down to {doubts.say_m(hole_m)}, yet a reading ({kind}) stands in that depth"
        doubts.doubt(met.met_m, message, "the level is believed")
    if hole_m > profile.end_m > 0:
        doubts.doubt(hole_m, "no water was met in a hole deeper than the boring", CORRECT_EITHER)
    if profile.technique in MASKING:
        message = f"'no water met' means nothing when drilled by {_technique(profile)}"
        doubts.doubt(None, message, "the hole was full of drilling fluid; ask for a standpipe")


def _check_depths(profile: Profile, reading: WaterReading, doubts: Doubts) -> None:
    """Check that level, strike, hole and boring can be as deep as they are said to be."""
    level_m, say_m = reading.level_m, doubts.say_m
    deepest_m = max((depth for depth in (level_m, reading.struck_m) if depth is not None), default=None)
    if deepest_m is not None and deepest_m > profile.end_m > 0:
        message = f"water is read below the end of the boring at {say_m(profile.end_m)}"
        doubts.serious(deepest_m, message, CORRECT_EITHER)
    if level_m is not None and reading.hole_depth_m is not None and level_m > reading.hole_depth_m:
        message = f"water is read below the hole, then {say_m(reading.hole_depth_m)} deep"
        doubts.serious(level_m, message, CORRECT_EITHER)
    if reading.struck_m is not None and reading.rises_to_m is not None and reading.rises_to_m > reading.struck_m:
        message = f"water is said to rise, yet to {say_m(reading.rises_to_m)}, below where it was struck"
        doubts.serious(reading.struck_m, message, "swap or correct the two depths")


def _check_kind(profile: Profile, reading: WaterReading, doubts: Doubts, over_water: bool) -> None:
    """Check what an artesian, a confined or a piezometer reading needs."""
    level_m = reading.level_m
    if level_m is not None and level_m < 0 and not over_water:
        message = f"water stands {doubts.say_m(-level_m)} above the ground"
        doubts.note(None, message, "artesian: the fluid in the hole has to stand above it")
    if reading.reading == "confined" and reading.rises_to_m is None:
        message = "confined water was struck, but not how far it rises"
        doubts.doubt(reading.met_m, message, "ask for the level; until then it may rise to the ground")
    if reading.reading == "piezometer":
        zone = reading.response_zone_m
        if zone is None:
            doubts.doubt(level_m, "the piezometer does not say which depth it measures", "ask for its response zone")
        elif max(zone) > profile.end_m > 0:
            doubts.doubt(max(zone), "the response zone reaches below the end of the boring", "correct its depths")


def _check_trust(profile: Profile, reading: WaterReading, doubts: Doubts) -> None:
    """Check whether the reading can be the level of the ground water."""
    level_m, at_m = reading.level_m, reading.met_m
    if level_m is None:
        return
    if profile.technique in MASKING and reading.reading == "settled":
        action = "mud seals the wall, so that its own level stands too high for long; ask how the hole was flushed"
        doubts.doubt(level_m, f"a settled level in a hole drilled by {_technique(profile)}", action)
    if reading.reading not in EARLY:
        return
    if profile.technique in MASKING and not _before_mud(reading):
        action = "it is the drilling fluid that was read; ask for a standpipe"
        doubts.doubt(level_m, f"read in a hole kept full ({_technique(profile)})", action)
    if at_m is not None and any(
        layer.top_m < at_m + 1e-9 and at_m < layer.base_m and layer.main_soil.likely in SLOW_DRAINING for layer in tile(profile)
    ):
        action = "the true level is likely higher; ask for a level after 24 h or a standpipe"
        doubts.doubt(level_m, "read in clay or silt before the hole could fill", action)


def _technique(profile: Profile) -> str:
    return profile.technique.replace("_", " ")


def _before_mud(reading: WaterReading) -> bool:
    """Return whether the log says how deep hole and casing were: then it was read before the mud went in."""
    return reading.reading == "while_drilling" and reading.casing_depth_m is not None


# ---- Coherence of a boring: whether its layers tile it, and whether words, counts, strengths, cores and water agree


N_OF_CONSISTENCY = (2.0, 4.0, 8.0, 15.0, 30.0)
SU_OF_CONSISTENCY_KPA = (12.5, 25.0, 50.0, 100.0, 200.0)
N_OF_BRITISH_CONSISTENCY = (4.0, 8.0, 15.0, 30.0, 60.0)
BRITISH_SU_KPA = (20.0, 40.0, 75.0, 150.0, 300.0)
N_OF_DENSITY = (4.0, 10.0, 30.0, 50.0)
CONTRADICTION = 2
"""Grades apart from which words and numbers contradict each other."""
COUNTED_BY_DENSITY = GRANULAR - {"cobbles"}
"""Soils whose density a blow count measures; on cobbles the sampler only bounces."""
FINES_TOLERANCE = 1.0
"""Percentage points by which a tested share of fines may miss the border of its symbol."""
STANDARD_INTERVALS = (3, 4)
NEAR_M = 0.01


def check_profile(
    profile: Profile, over_water: bool = False, say_m: WriteNumber = say_metres, say_kpa: WriteNumber = say_kilopascals
) -> list[Doubt]:
    """Return the doubts about one boring; ``over_water`` lets water levels above the mudline pass.

    ``say_m`` and ``say_kpa`` write a length and a stress in the user's units.

    >>> boring = Profile.model_validate({"id": "B-1", "depth_m": 9, "layers": [{"top_m": 0, "base_m": 4}]})
    >>> check_profile(boring)[0].message
    'no layer is described down to the end of the boring at 9.0 m'
    """
    doubts = Doubts(Subject("boring", profile.id), say_m, say_kpa)
    _check_order(profile, doubts)
    _check_named_depths(profile, doubts)
    for layer in at_named_depths(profile).layers:
        _check_layer(layer, _counts_of(profile, layer), doubts)
    _check_spt(profile, doubts)
    _check_cores(profile, doubts)
    check_water(profile, doubts.of_water(), over_water)
    return doubts.found


def _check_order(profile: Profile, doubts: Doubts) -> None:
    """Check for layers out of order, upside down, overlapping, with gaps, or below the end of the boring."""
    say_m, end_m = doubts.say_m, profile.end_m
    if not profile.layers:
        doubts.serious(None, "the log describes no layer", "nothing can be decided; ask for the full log")
        return
    for layer in profile.layers:
        if layer.thickness_m <= THINNEST_M:
            message = f"a layer has its base at {say_m(layer.base_m)}, not below its top"
            doubts.serious(layer.top_m, message, "the layer is left out; correct the log")
    sound = [layer for layer in profile.layers if layer.thickness_m > THINNEST_M]
    in_order = sorted(sound, key=lambda layer: (layer.top_m, -layer.base_m))
    if any(first.top_m > second.top_m for first, second in pairwise(sound)):
        doubts.note(None, "the layers are not listed from the top down", "they are sorted by depth")
    _check_joins(in_order, end_m, doubts)
    for layer in in_order:
        if layer.base_m > end_m + THINNEST_M:
            message = f"a layer reaches to {say_m(layer.base_m)}, but the boring ends at {say_m(end_m)}"
            doubts.serious(layer.top_m, message, "nothing is claimed below the end of the boring; correct one of them")


def _check_joins(layers: list[Layer], end_m: float, doubts: Doubts) -> None:
    say_m, reached_m = doubts.say_m, 0.0
    unknown = "nothing is known there; ask for the missing description"
    holder: Layer | None = None
    for layer in layers:
        if layer.top_m > reached_m + THINNEST_M:
            doubts.doubt(reached_m, f"no layer is described down to {say_m(layer.top_m)}", unknown)
        elif layer.top_m < reached_m - THINNEST_M and holder is not None:
            if is_lens(layer, holder):
                doubts.note(layer.top_m, "a layer lies inside another", "it is taken as a lens and cut out of the other")
            else:
                message = f"two layers overlap down to {say_m(min(reached_m, layer.base_m))}"
                doubts.doubt(layer.top_m, message, "the upper one is kept")
        if layer.base_m >= reached_m:
            reached_m, holder = layer.base_m, layer
    if reached_m < end_m - THINNEST_M:
        doubts.doubt(reached_m, f"no layer is described down to the end of the boring at {say_m(end_m)}", unknown)


def _check_named_depths(profile: Profile, doubts: Doubts) -> None:
    """Note which layers are parted at depths that their words name, and name the depths that lie outside their layer."""
    for layer in join_equal_layers(profile).layers:
        for words, depth_m in depths_outside(layer):
            ends = f"{doubts.say_m(layer.top_m)} to {doubts.say_m(layer.base_m)}"
            message = f"the words place '{words}' at {doubts.say_m(depth_m)}, outside their layer ({ends})"
            doubts.doubt(layer.top_m, message, "the depth is not read, and what is said of it counts for the layer; correct one of them")
        parts = parts_of(layer)
        if len(parts) > 1:
            told = "; ".join(f"{doubts.say_m(part.top_m)} to {doubts.say_m(part.base_m)}: {part.description}" for part in parts)
            doubts.note(layer.top_m, "the words of the layer name depths inside it", f"it is read in parts: {told}")


def _check_layer(layer: Layer, counts: list[float], doubts: Doubts) -> None:
    """Check a layer for words, symbol, counts, strength and tests that contradict each other."""
    described, top_m = layer.described, layer.top_m
    _check_fines(layer, doubts)
    for name, band in (("fines", layer.fines_percent), ("RQD", layer.rqd_percent), ("recovery", layer.recovery_percent)):
        if band is not None and 0 < band.high < 1:
            doubts.doubt(
                top_m, f"{name} of {band.high:.3g} % is less than one percent", f"write {band.high * 100:.3g} % if the share is meant"
            )
    if described.doubt:
        doubts.doubt(top_m, described.doubt, "check which of them is right")
    if layer.symbol == "water" or layer.description.strip().lower() in {"water", "open water"}:
        action = "over open water write 'setting: water' and count depths from the mudline, without a layer for the water"
        doubts.serious(top_m, "the layer is logged as water and is taken for a void full of it", action)
    _check_grades(layer, described, counts, doubts)
    _check_weathering(layer, doubts)
    if layer.su_kpa is not None and described.soils and described.soils <= CLEAN_GRANULAR:
        message = "an undrained strength is given for clean sand or gravel"
        doubts.doubt(top_m, message, "clean sand and gravel have none; check the layer it belongs to")
    rqd, recovery = layer.rqd_percent, layer.recovery_percent
    if rqd is not None and recovery is not None and rqd.low > recovery.high:
        message = f"RQD {rqd.low:g} % is above the recovery {recovery.high:g} %"
        doubts.doubt(top_m, message, "RQD counts recovered core only; check both")
    if both := sorted(set(layer.features) & set(layer.absent)):
        doubts.doubt(top_m, f"'{both[0]}' is said to be there and to be absent", "it is taken as there; remove one of the two")
    for seam in layer.seams:
        if seam.thickness_m is not None and seam.thickness_m >= (seam.spacing_m or layer.thickness_m):
            message = f"seams of {seam.material} are as thick as their spacing or the layer"
            doubts.doubt(top_m, message, "describe them as a layer of their own")


def _check_weathering(layer: Layer, doubts: Doubts) -> None:
    """Doubt words and a grade of weathering that say different things, and a grade of what is no rock."""
    if layer.weathering is None or not layer.description:
        return
    said = read_description(layer.description, layer.symbol, layer.origin)
    if disagree(said, layer.weathering):
        words = f"chalk of grade {said.chalk_grade}" if said.chalk_grade else f"{said.weathering} weathered rock"
        message = f"the words say {words}, the log grades its weathering as {layer.weathering}"
        doubts.doubt(layer.top_m, message, "both stay possible, and the more weathered is likely; look at the cores")
    elif said.soils and not said.soils & ROCK_LIKE:
        message = f"weathering is graded as {layer.weathering}, and the words name no rock"
        doubts.note(layer.top_m, message, "the words are followed")


def _check_fines(layer: Layer, doubts: Doubts) -> None:
    symbol, tested = read_symbol(layer.symbol) if layer.symbol else None, layer.fines_percent
    if symbol is None or symbol.fines is None or tested is None:
        return
    low, _, high = symbol.fines
    if tested.high < low - FINES_TOLERANCE or tested.low > high + FINES_TOLERANCE:
        by_test = f"{tested.low:g} %" if tested.low == tested.high else f"{tested.low:g} to {tested.high:g} %"
        message = f"the symbol {layer.symbol} has {low:g} to {high:g} % fines, the tests {by_test}"
        doubts.doubt(layer.top_m, message, "the tests decide; check the symbol")


def _counts_of(profile: Profile, layer: Layer) -> list[float]:
    """Return the blow counts of a layer; refusals as the blows reached."""
    tests = (test for test in profile.spt if layer.top_m <= test.depth_m < layer.base_m)
    return [float(n) for n in layer.n] + [float(test.n) for test in tests if test.n is not None]


def _check_grades(layer: Layer, described: Description, counts: list[float], doubts: Doubts) -> None:
    """Check the words of consistency and density against the mean blow count and the strength."""
    cohesive = described.likely in SLOW_DRAINING or (not described.likely and described.consistency is not None)
    mean = sum(counts) / len(counts) if counts else None
    su = layer.su_kpa
    su_mean = None if su is None else su.likely if su.likely is not None else (su.low + su.high) / 2
    n_grades, su_grades = (N_OF_BRITISH_CONSISTENCY, BRITISH_SU_KPA) if described.british else (N_OF_CONSISTENCY, SU_OF_CONSISTENCY_KPA)
    by_n = None if mean is None or not cohesive else grade_of(mean, n_grades)
    by_su = None if su_mean is None else grade_of(su_mean, su_grades)
    if described.consistency and cohesive:
        if by_n is not None and grades_apart(described.consistency, CONSISTENCIES, by_n) >= CONTRADICTION:
            _doubt_words(layer, described.consistency, f"N of {mean:.0f} is {_words(CONSISTENCIES[by_n])}", doubts)
        if by_su is not None and su_mean is not None and grades_apart(described.consistency, CONSISTENCIES, by_su) >= CONTRADICTION:
            _doubt_words(layer, described.consistency, f"su of {doubts.say_kpa(su_mean)} is {_words(CONSISTENCIES[by_su])}", doubts)
    if by_n is not None and by_su is not None and abs(by_n - by_su) >= CONTRADICTION:
        message = f"su of {doubts.say_kpa(su_mean or 0.0)} does not go with N of {mean:.0f}"
        doubts.doubt(layer.top_m, message, "the tested strength is used; check both")
    if described.density and mean is not None and described.likely in COUNTED_BY_DENSITY:
        grade = grade_of(mean, N_OF_DENSITY)
        if grades_apart(described.density, DENSITIES, grade) >= CONTRADICTION:
            message = f"described as {_words(*described.density)}, but N of {mean:.0f} is {_words(DENSITIES[grade])}"
            doubts.doubt(layer.top_m, message, "check the count and the words")


def _doubt_words(layer: Layer, consistency: tuple[str, str], measured: str, doubts: Doubts) -> None:
    message = f"described as {_words(*consistency)}, but {measured}"
    doubts.doubt(layer.top_m, message, "ask for a strength test; the report shows both")


def grade_of(value: float, borders: tuple[float, ...]) -> int:
    """Return the grade of a value on its scale, 0 the lowest.

    >>> CONSISTENCIES[grade_of(11, N_OF_CONSISTENCY)]
    'stiff'
    """
    return bisect_right(borders, value)


def grades_apart(words: tuple[str, str], scale: Sequence[str], grade: int) -> int:
    """Return how many grades lie between the words of a log ("firm to stiff") and a grade; 0 where it is among them.

    >>> grades_apart(("firm", "stiff"), CONSISTENCIES, grade_of(30, N_OF_CONSISTENCY))
    2
    """
    low, high = sorted(scale.index(word) for word in words)
    return max(0, low - grade, grade - high)


def _words(*grades: str) -> str:
    first, last = (grade.replace("_", " ") for grade in (grades[0], grades[-1]))
    return first if first == last else f"{first} to {last}"


def _check_spt(profile: Profile, doubts: Doubts) -> None:
    """Check for tests below the boring, counts that miss their blows, and refusals that no core explains."""
    for test in profile.spt:
        if test.depth_m > profile.end_m + NEAR_M:
            doubts.doubt(test.depth_m, "a penetration test lies below the end of the boring", "it is not used; correct its depth")
        total = blows_total(test)
        if total is not None and test.n is not None and test.penetration_m is None and total != test.n:
            message = f"N is {test.n}, but its blows {list(test.blows)} give {total}"
            doubts.doubt(test.depth_m, message, "the stated N is used; check the log")
    passed_m = max([run.base_m for run in profile.cores] + [test.depth_m for test in profile.spt if not test.refusal], default=0.0)
    unexplained = next((test for test in profile.spt if test.refusal and test.depth_m >= passed_m), None)
    if unexplained is not None:
        message = f"{unexplained.text or 'refusal'} and nothing cored or passed below it"
        doubts.doubt(unexplained.depth_m, message, "dense soil, a boulder, weathered rock and rock all look like this; ask for a core")


def blows_total(test: Spt) -> int | None:
    """Return N of the blows: the second and third interval of 6 in (150 mm), ASTM D1586; None for other lists.

    >>> blows_total(Spt(depth_m=1, n=11, blows=(3, 5, 6)))
    11
    """
    return test.blows[1] + test.blows[2] if len(test.blows) in STANDARD_INTERVALS else None


def _check_cores(profile: Profile, doubts: Doubts) -> None:
    """Check for core runs upside down, below the boring, or with more RQD or solid core than was recovered."""
    for run in profile.cores:
        if run.base_m <= run.top_m:
            doubts.doubt(run.top_m, f"a core run has its base at {doubts.say_m(run.base_m)}, not below its top", "correct the log")
        elif run.base_m > profile.end_m + NEAR_M:
            message = f"a core run reaches to {doubts.say_m(run.base_m)}, below the end of the boring"
            doubts.doubt(run.top_m, message, CORRECT_EITHER)
        for name, value in (("RQD", run.rqd_percent), ("solid core", run.solid_percent)):
            if value is not None and run.recovery_percent is not None and value > run.recovery_percent:
                message = f"{name} {value:g} % is above the recovery {run.recovery_percent:g} %"
                doubts.doubt(run.top_m, message, "it counts recovered core only; check both")
