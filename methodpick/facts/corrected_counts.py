"""Blow counts of granular ground at one overburden: what a count says of density hangs on the stress at its depth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from methodpick.facts.aquifer import Aquifer
from methodpick.facts.strata import Stratum, average, counted, span_of
from methodpick.mechanics.spt import n60, overburden_factor, phi_fhwa, phi_hatanaka_uchida, phi_wolff
from methodpick.mechanics.stress import effective_stress, hydrostatic, total_stress
from methodpick.records import record
from methodpick.vocabulary.values import Span, ordered

_GRAVEL = frozenset({"silty_gravel", "clean_gravel", "cobbles"})
LEAST_STRESS_KPA = 1.0
"""Stress below which the factor of a count stays what it is; it is at its greatest long before."""


@record
class Overburden:
    """The ground and water over the tests of a boring. ``in_water`` says that the boring starts at the bed of open water."""

    strata: Sequence[Stratum]
    limits: Mapping[str, float]
    in_water: bool

    def effective_kpa(self, depth_m: float, aquifer: Aquifer) -> Span:
        """Return the effective vertical stress at a depth; weights that the log does not give are those of unknown ground."""
        totals = (0.0, 0.0, 0.0)
        for stratum in self.strata:
            thick = min(stratum.base_m, depth_m) - stratum.top_m
            if thick > 0.0:
                low, likely, high = _ends(self._weight(stratum))
                totals = total_stress(totals[0], low, thick), total_stress(totals[1], likely, thick), total_stress(totals[2], high, thick)
        levels = (max(0.0, level) if self.in_water else level for level in _ends(aquifer.level_m))
        pores = (hydrostatic(depth_m - level) for level in levels)
        return ordered(*(max(LEAST_STRESS_KPA, effective_stress(total, pore)) for total, pore in zip(totals, pores, strict=True)))

    def _weight(self, stratum: Stratum) -> Span:
        given = stratum.layer.unit_weight_kn_m3
        if given is not None:
            return span_of(given)
        low, likely, high = (self.limits[f"unit_weight_unknown_{end}_kn_m3"] for end in ("low", "likely", "high"))
        return Span(low, high, likely)


def _ends(span: Span) -> tuple[float, float, float]:
    """Return the low, the likely (or middle) and the high value."""
    return span.low, span.likely_or_middle, span.high


def corrected_counts(stratum: Stratum, over: Overburden, aquifer: Aquifer, energy_percent: Span) -> Span | None:
    """Return the layer average of counts at 60 % energy and 100 kPa of overburden; None where no test gives a count.

    Each count is corrected by the stress at its depth, one of the layer as a whole by that in its middle. Gravel raises counts.
    """
    limits, likely = over.limits, energy_percent.likely_or_middle
    counts = counted(stratum)
    if not counts:
        return None
    stresses = [over.effective_kpa(depth, aquifer) for depth, _ in counts]
    usual = [overburden_factor(stress.likely_or_middle) for stress in stresses]
    at_likely = [count * factor for (_, count), factor in zip(counts, usual, strict=True)]
    refused = any(test.refusal for test in stratum.spt)
    mean = average(at_likely, limits["n_spread"], limits["n_refusal_factor"] if refused else 1.0)
    if mean is None:
        return None
    low = _off([stress.high for stress in stresses], usual)  # much stress, a low count
    high = _off([stress.low for stress in stresses], usual)
    stones = [limits[f"gravel_count_share_{end}"] for end in ("low", "likely")] if stratum.likely in _GRAVEL else [1.0, 1.0]
    return ordered(
        n60(mean.low * low * stones[0], energy_percent.low),
        n60((mean.likely or 0.0) * stones[1], likely),
        n60(mean.high * high, energy_percent.high),
    )


def _off(stresses_kpa: Sequence[float], usual: Sequence[float]) -> float:
    """Return by how much the factors at one end of the stresses differ from the usual ones."""
    shares = [overburden_factor(stress) / factor for stress, factor in zip(stresses_kpa, usual, strict=True)]
    return sum(shares) / len(shares)


WOLFF_MOST = 60.0
"""Corrected count at which the curve of Wolff ends."""


def friction_of_sand(corrected: Span) -> Span:
    """Return the friction angle of sand by corrected counts: after Wolff, the ends by the lowest and the highest of three correlations.

    >>> friction_of_sand(Span(10.0, 20.0, 15.0))
    Span(low=30.0..., high=39.4..., likely=31.4...)
    """
    low = min(phi_wolff(corrected.low), phi_hatanaka_uchida(corrected.low))
    high = max(phi_fhwa(corrected.high), phi_hatanaka_uchida(corrected.high))
    return ordered(low, phi_wolff(min(corrected.likely_or_middle, WOLFF_MOST)), high)
