"""What a cone says of clay beside its words: the undrained strength, as a range."""

from __future__ import annotations

from math import floor
from statistics import median

from methodpick.facts.blow_counts import Overburden, meet_or_widen
from methodpick.facts.sheet import FactSheet
from methodpick.facts.strata import Stratum
from methodpick.ground.cone import DRAINED_BELOW, ConeReading
from methodpick.mechanics.cone import corrected_cone_resistance, strength_by_cone
from methodpick.vocabulary.values import Span, ordered


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
