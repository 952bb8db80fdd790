"""Whether the fines of a silt, sand or gravel are plastic: by their plasticity index, else by symbol and words."""

from __future__ import annotations

import re

from methodpick.facts.sheet import FactSheet, Frame
from methodpick.facts.strata import Stratum
from methodpick.patterns import pattern_of
from methodpick.vocabulary.values import FALSE, TRUE, from_bool, likely_bool

_HIGH_LIMIT = pattern_of(r"\b(?:micaceous|mica|diatom\w*)\b", re.IGNORECASE)
_CLAYEY_SYMBOLS = frozenset({"SC", "GC"})


def of_plastic_fines(frame: Frame, sheet: FactSheet, stratum: Stratum) -> None:
    """Write whether the fines of a silt, sand or gravel are plastic, by the plasticity index, else by symbol and words."""
    least = frame.limits["silt_plastic_pi_percent"]
    if "pi_percent" in sheet.facts:
        index = sheet.span("pi_percent")
        sure = index.low > least or index.high <= least
        value = from_bool(index.low > least) if sure else likely_bool(index.likely is not None and index.likely > least)
        sheet.put("plastic_fines", value, "derived", "plasticity index", ("pi_percent",))
        return
    symbol = (stratum.layer.symbol or "").strip().upper()
    words = stratum.words
    elastic = symbol == "MH" or (not symbol and "silt" in stratum.soils and words.plasticity == "high")
    if elastic and _HIGH_LIMIT.search(stratum.layer.description):
        sheet.put(
            "plastic_fines", likely_bool(False), "derived", "mica and diatoms raise the liquid limit of silt that is not plastic", ("soil",)
        )
        return
    if symbol in _CLAYEY_SYMBOLS or symbol in {"MH", "OH"} or ("silt" in stratum.soils and words.plasticity == "high"):
        sheet.put("plastic_fines", TRUE, "derived", "plastic by definition of the class", ("soil",))
    elif stratum.soils <= {"silt"} and words.plasticity == "medium":
        sheet.put("plastic_fines", likely_bool(True), "derived", "medium plasticity", ("soil",))
    elif symbol == "OL":
        sheet.put("plastic_fines", likely_bool(True), "derived", "organic fines are plastic more often than not", ("soil",))
    elif "clayey" in stratum.layer.description.lower() and not symbol:
        sheet.put("plastic_fines", likely_bool(False), "derived", "clayey by its words, with no test of its fines", ("soil",))
    else:
        sheet.put("plastic_fines", FALSE, "derived", "neither symbol nor words name plastic fines", ("soil",))
