"""Where a shaft is cut for deciding: layers, water levels, cut-off, socket, bell, aquifers, tip, and what the planner adds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from methodpick.facts.aquifers import Aquifer
from methodpick.facts.of_slice import bell_top, wet_above
from methodpick.facts.strata import Stratum
from methodpick.ground.shaft import Shaft


def cut_depths(
    shaft: Shaft, strata: Sequence[Stratum], aquifers: Sequence[Aquifer], extra: Sequence[float], limits: Mapping[str, float]
) -> list[float]:
    """Return the depths at which the shaft is cut, from 0 to the tip, in order."""
    tip = shaft.tip_m
    depths = {0.0, tip, *(s.top_m for s in strata), *(s.base_m for s in strata), *extra}
    depths |= {shaft.cutoff_m, shaft.socket_top_m or 0.0}
    if shaft.bell is not None:
        depths.add(bell_top(shaft, limits))
    for aquifer in aquifers:
        level = aquifer.level_m
        levels = {level.low, level.high} | ({level.likely} if level.likely is not None else set())
        if aquifer.kind == "main":
            depths |= levels
            depths |= {
                level - rise
                for level in levels
                for stratum in strata
                if (rise := wet_above(stratum, limits)) > 0 and stratum.top_m < level - rise < stratum.base_m
            }
        else:
            depths |= {aquifer.top_m, aquifer.base_m}
            depths |= {depth for depth in levels if aquifer.top_m < depth < aquifer.base_m}
    ordered = sorted({round(depth, 3) for depth in depths if 0.0 <= depth <= tip})
    kept = [ordered[0]]
    for depth in ordered[1:]:
        if depth - kept[-1] > 0.011 or depth == round(tip, 3):
            kept.append(depth)
    if len(kept) > 1 and kept[-1] - kept[-2] <= 0.011:
        del kept[-2]
    return kept
