"""Facts of made ground: how a slab, a wall and fill with voids behave."""

from __future__ import annotations

from methodpick.facts.sheet import FactSheet
from methodpick.facts.strata import Stratum, is_fill
from methodpick.vocabulary.values import FALSE, TRUE, likely_bool

_SLAB = {"cobbles": TRUE, "boulders": TRUE, "cemented": TRUE, "open_ground": FALSE, "obstructions": TRUE}
"""A slab, wall or pavement stops augers and casing as a boulder does, stands while it is cored or broken out, and takes no fluid."""


def of_made_ground(sheet: FactSheet, stratum: Stratum) -> None:
    """Write how fill with voids and a slab behave."""
    if _is_open_fill(stratum):
        sheet.put("cavities", FALSE, "logged", "voids between the pieces of fill")
        sheet.put("open_ground", likely_bool(True), "logged", "voids between the pieces of fill")
    if stratum.words.slab:
        for fact, answer in _SLAB.items():
            sheet.put(fact, answer, "logged", "a whole slab, wall or pavement")


def _is_open_fill(stratum: Stratum) -> bool:
    """Return whether voids are told of fill: they lie between its pieces and are no cavities of rock or old workings."""
    has = stratum.words.features | set(stratum.layer.features)
    return is_fill(stratum) and "cavities" in has and not has & {"karst", "mined"}
