"""What a cone test beside a boring says: the undrained strength of what the words call clay, the density of what they call sand, as ranges.

A cone brings up no ground: it narrows what words and counts leave open, widens what it contradicts, and makes nothing of other ground.
"""

from __future__ import annotations

import re
from math import floor
from statistics import median

from methodpick.facts.aquifer import Aquifer
from methodpick.facts.penetration_tests import Overburden, Surroundings, meet_or_widen
from methodpick.facts.sheet import FactSheet, Frame
from methodpick.facts.strata import Stratum, is_fill
from methodpick.ground.profile import DRAINED_BELOW, FEWEST, ConeReading, usual_index
from methodpick.mechanics.penetration_tests import (
    corrected_cone_resistance,
    relative_density_baldi,
    relative_density_kulhawy_mayne,
    strength_by_cone,
)
from methodpick.patterns import pattern_of
from methodpick.terms import GRANULAR, GRAVEL
from methodpick.vocabulary.values import Choice, Span, ordered

# ---- clay


def put_cone_strength(sheet: FactSheet, stratum: Stratum, over: Overburden) -> None:
    """Write the strength by the cone where clay is likely: narrower than what is known where both agree, wider where they do not."""
    if stratum.likely != "clay":
        return
    by_cone = clay_strength_by_cone(stratum, over)
    if by_cone is None:
        return
    known = sheet.facts.get("su_kpa")
    met = meet_or_widen(known.value if known is not None else None, by_cone)
    low, high = over.limits["cone_factor_low"], over.limits["cone_factor_high"]
    source = f"cone resistance over {low:g} to {high:g}, beside words and counts"
    sheet.put("su_kpa", met, "derived", source, ("consistency",), ("strength_by_cone",))


def clay_strength_by_cone(stratum: Stratum, over: Overburden) -> Span | None:
    """Return the undrained strength of a stratum by its cone readings, None where none of them is undrained.

    A share of the readings lies below its low end, as many above its high end, each by the factor and the stress at that end; the middle
    reading is likely.
    """
    readings = [reading for reading in stratum.cone if (index := reading.behaviour_index) is None or index >= DRAINED_BELOW]
    if not readings:
        return None
    ends: tuple[list[float], list[float], list[float]] = ([], [], [])
    most = "fissured" if "fissured" in stratum.words.features | set(stratum.layer.features) else "high"
    for reading in readings:
        stress = over.total_kpa(reading.depth_m)
        resistance = _corrected_kpa(reading, stratum.cone_area_ratio)
        for end, total_kpa, name in zip(ends, (stress.high, stress.likely_or_middle, stress.low), (most, "likely", "low"), strict=True):
            end.append(strength_by_cone(resistance, total_kpa, over.limits[f"cone_factor_{name}"], over.limits["cone_strength_least_kpa"]))
    share = over.limits["cone_extreme_share"]
    return ordered(_at_share(ends[0], share), median(ends[1]), _at_share(ends[2], 1.0 - share))


def _at_share(values: list[float], share: float) -> float:
    """Return the value that a share of the values lie below, between the two nearest ones by share.

    >>> _at_share([30.0, 10.0, 20.0], 0.25)
    15.0
    """
    found = sorted(values)
    at = share * (len(found) - 1)
    lower = min(floor(at), len(found) - 1)
    upper = min(lower + 1, len(found) - 1)
    return found[lower] + (at - lower) * (found[upper] - found[lower])


def _corrected_kpa(reading: ConeReading, area_ratio: float | None) -> float:
    """Return the resistance of the whole tip; as read, which is less, where the pore pressure or the cone's area is not known."""
    if reading.pore_kpa is None or area_ratio is None:
        return reading.resistance_kpa
    return corrected_cone_resistance(reading.resistance_kpa, reading.pore_kpa, area_ratio)


# ---- sand


_CRUSHES = pattern_of(r"\b(?:shell\w*|coral\w*|calcareous|carbonate|mica\w*|pumic\w*|oolit\w*|glauconit\w*|volcanic|ash)\b", re.IGNORECASE)
"""Sand whose grains crush or give: it shows less resistance than quartz sand as dense."""


def put_cone_density(frame: Frame, sheet: FactSheet, stratum: Stratum, around: Surroundings) -> None:
    """Write the density by the cone where the words say sand: narrower than what is known where both agree, wider where they do not."""
    by_cone = sand_density_by_cone(stratum, around.over, around.aquifer)
    if by_cone is None:
        return
    source = "cone resistance, after Baldi (1986) and Kulhawy & Mayne (1990)"
    sheet.put("relative_density_percent", by_cone, "derived", source, (), ("relative_density_baldi", "relative_density_kulhawy_mayne"))
    found = frame.tables["density_by_relative_density"].look_up({"relative_density_percent": by_cone}).get("density")
    if not isinstance(found, Choice):
        return
    known = sheet.facts.get("density")
    met = found
    if known is not None and isinstance(known.value, Choice):
        met = known.value.meet(found) or Choice(known.value.values | found.values, known.value.likely)
    sheet.put("density", met, "derived", "cone resistance, beside words and counts", ("relative_density_percent",))


def sand_density_by_cone(stratum: Stratum, over: Overburden, aquifer: Aquifer) -> Span | None:
    """Return the relative density in percent of a stratum of sand by its cone readings, None where they do not say it.

    Only natural quartz sand that nobody calls cemented counts, whose readings mostly behave as ground that drains; then all of them count,
    under enough stress, so that the loosest are not left out. Each has a range by two correlations that lie apart, to which their common
    error is added.
    """
    index = usual_index(stratum.cone)
    if not _is_plain_sand(stratum) or index is None or index >= DRAINED_BELOW:
        return None
    limits = over.limits
    ends: tuple[list[float], list[float], list[float]] = ([], [], [])
    for reading in stratum.cone:
        stress = over.effective_kpa(reading.depth_m, aquifer)
        if stress.low < limits["cone_density_least_kpa"]:
            continue
        at_low, at_likely, at_high = (
            _by_both(reading.resistance_kpa, kpa, limits["cone_density_factor"])
            for kpa in (stress.high, stress.likely_or_middle, stress.low)
        )
        for end, percent in zip(ends, (min(at_low), sum(at_likely) / 2, max(at_high)), strict=True):
            end.append(percent)
    if len(ends[1]) < FEWEST:
        return None
    share, error = limits["cone_extreme_share"], limits["cone_density_error_percent"]
    low, high = _at_share(ends[0], share) - error, _at_share(ends[2], 1.0 - share) + error
    return ordered(max(0.0, low), median(ends[1]), min(100.0, high))


def _by_both(resistance_kpa: float, effective_kpa: float, factor: float) -> tuple[float, float]:
    """Return the relative density in percent by both correlations."""
    return (relative_density_baldi(resistance_kpa, effective_kpa), relative_density_kulhawy_mayne(resistance_kpa, effective_kpa, factor))


def _is_plain_sand(stratum: Stratum) -> bool:
    """Return whether the words allow a density by the cone: natural sand, neither cemented nor of grains that crush."""
    if stratum.likely not in ("clean_sand", "silty_sand") or not stratum.soils <= GRANULAR - GRAVEL or is_fill(stratum):
        return False
    has = stratum.words.features | set(stratum.layer.features)
    return not has & {"cemented", "weakly_cemented", "organic"} and _CRUSHES.search(stratum.layer.description) is None
